//! The meter test of a finished lead.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead::Leg;
use solderside_meter::{
    Bench, ControlStep, Danger, FIGURES, Fault, Found, Hidden, PlanStep, Powered, Range, Span,
    before_measuring,
};
use solderside_quantity::{Triple, Volts};

use super::FORMAT;
use crate::commands::MeterTest;

/// The answer of `buzz`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: buzz")]
pub struct Buzz {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// What it is called on paper.
    pub title: String,
    /// The verdict of the lead as it is meant.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// What to do before the first reading.
    pub before: Vec<String>,
    /// The readings of the lead alone, in their order.
    pub steps: Vec<Step>,
    /// No list of readings that finds as much has fewer.
    pub at_least: usize,
    /// How many single faults the readings find.
    pub found: usize,
    /// The faults that no meter can tell from a good lead.
    pub unseen: Vec<FaultTold>,
    /// How many pairs of faults the readings find.
    pub doubles: Doubles,
    /// The switches, read through the lead at its port end.
    pub controls: Vec<Switch>,
    /// The switches that are not read there.
    pub hidden: Vec<HiddenSwitch>,
    /// The readings with power; null where the lead is not sound on paper.
    pub power: Option<Power>,
    /// The figures that expected readings rest on.
    pub figures: Vec<Figure>,
    /// The table that was written; null if none was.
    pub written: Option<String>,
}

/// One reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Step {
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes.
    pub black: String,
    /// The range of the meter.
    #[schemars(extend("enum" = ["ohms", "diode"]))]
    pub range: &'static str,
    /// Whether the buzzer tells as much.
    pub buzzer_will_do: bool,
    /// Why it stands where it does.
    #[schemars(extend("enum" = ["supply-short", "supply-astray", "dead"]))]
    pub danger: &'static str,
    /// What a good lead reads.
    pub good: Reading,
    /// What wrong readings point to.
    pub wrong: Vec<Wrong>,
}

/// What the meter shows, in words and in ohms or volts by the range.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Reading {
    /// In words.
    pub text: String,
    /// The least; null for no reading.
    pub low: Option<f64>,
    /// The most; null where it may be no reading.
    pub high: Option<f64>,
}

/// What a wrong reading points to.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Wrong {
    /// What the meter shows.
    pub shows: Reading,
    /// The faults that show it, the likeliest first.
    pub faults: Vec<FaultTold>,
}

/// One physical mistake.
#[derive(Debug, Serialize, JsonSchema)]
pub struct FaultTold {
    /// Its kind.
    pub kind: &'static str,
    /// What it is.
    pub text: String,
    /// How to mend it.
    pub mend: String,
    /// The places that it is about.
    pub places: Vec<String>,
}

/// So many of so many.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Doubles {
    pub found: usize,
    pub of: usize,
}

/// A switch of the controller, read twice.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Switch {
    /// The control.
    pub control: String,
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes.
    pub black: String,
    /// The range of the meter.
    #[schemars(extend("enum" = ["ohms", "diode"]))]
    pub range: &'static str,
    /// What it reads while the control is held.
    pub held: Reading,
    /// What it reads while nothing is.
    pub released: Reading,
}

/// A switch that is not read at the port end.
#[derive(Debug, Serialize, JsonSchema)]
pub struct HiddenSwitch {
    /// The control.
    pub control: String,
    /// Why.
    pub why: &'static str,
}

/// The readings with power.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Power {
    /// The resistor across the probes.
    pub across_ohms: f64,
    /// By how much a supply may read otherwise without it, either way.
    pub rise_volts: f64,
    /// The contacts through which the machine itself is powered: then nothing is read.
    pub fed: Vec<String>,
    /// Where a supply belongs: at the sockets of chips, and at controllers.
    pub supplies: Vec<PoweredSupply>,
    /// A line that tells whether the lead is plugged in at all, read without the resistor.
    pub plugged_in: Option<PluggedIn>,
    /// The lines on which no supply belongs.
    pub lines: Vec<PoweredLine>,
}

/// Where a supply belongs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PoweredSupply {
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes; null if no return reaches that end.
    pub black: Option<String>,
    /// The machine's supply: least and most.
    pub volts: Option<[f64; 2]>,
    /// Whether it comes by wire alone; else parts on the way take of it.
    pub is_wire: bool,
}

/// A line that the machine pulls up.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PluggedIn {
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes.
    pub black: Option<String>,
    /// What it reads at least.
    pub more_than_volts: f64,
}

/// A line on which no supply belongs.
#[derive(Debug, Serialize, JsonSchema)]
pub struct PoweredLine {
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes.
    pub black: Option<String>,
    /// What it reads at most with the resistor; null where nothing can be promised.
    pub at_most_volts: Option<f64>,
}

/// A figure of the trade.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Figure {
    pub what: &'static str,
    pub source: &'static str,
}

impl Buzz {
    pub fn new(test: &MeterTest<'_>, doubles: Found, written: Option<String>) -> Self {
        let MeterTest { bench, plan, controls, powered, proof } = test;
        let lead = &bench.assembly().lead;
        Self {
            format: FORMAT,
            lead: lead.name.clone(),
            title: lead.title.clone(),
            verdict: proof.verdict.as_str(),
            before: before_measuring(bench, plan),
            steps: plan.steps.iter().map(|step| Step::new(bench, step)).collect(),
            at_least: plan.at_least,
            found: plan.found.len(),
            unseen: plan.unseen.iter().map(|fault| FaultTold::new(bench, fault)).collect(),
            doubles: Doubles { found: doubles.found, of: doubles.of },
            controls: controls.steps.iter().map(Switch::from).collect(),
            hidden: controls.hidden.iter().map(HiddenSwitch::from).collect(),
            power: proof.verdict.is_sound().then(|| Power::from(powered)),
            figures: FIGURES
                .iter()
                .map(|figure| Figure { what: figure.what, source: figure.source })
                .collect(),
            written,
        }
    }
}

impl From<&ControlStep> for Switch {
    fn from(step: &ControlStep) -> Self {
        let measurement = &step.measurement;
        Self {
            control: step.control.to_string(),
            red: measurement.red.to_string(),
            black: measurement.black.to_string(),
            range: measurement.range.as_str(),
            held: Reading::new(step.held, measurement.range),
            released: Reading::new(step.released, measurement.range),
        }
    }
}

impl From<&Hidden> for HiddenSwitch {
    fn from(hidden: &Hidden) -> Self {
        Self { control: hidden.control.to_string(), why: hidden.behind.as_str() }
    }
}

impl From<&Powered> for Power {
    fn from(powered: &Powered) -> Self {
        let home = |home: Option<Leg>| home.map(|leg| leg.to_string());
        let volts = |volts: Triple<Volts>| [volts.low(), volts.high()].map(Volts::get);
        let chips = powered.chips.iter().map(|chip| PoweredSupply {
            red: chip.legs.supply.to_string(),
            black: Some(chip.legs.ground.to_string()),
            volts: chip.fed.map(|(fed, _)| volts(fed)),
            is_wire: chip.fed.is_some_and(|(_, is_wire)| is_wire),
        });
        let supplies = powered.supplies.iter().map(|supply| PoweredSupply {
            red: supply.leg.to_string(),
            black: home(supply.home),
            volts: Some(volts(supply.volts)),
            is_wire: supply.is_wire,
        });
        Self {
            across_ohms: solderside_meter::ACROSS.get(),
            rise_volts: solderside_meter::STEADY.get(),
            fed: powered.fed.iter().map(ToString::to_string).collect(),
            supplies: chips.chain(supplies).collect(),
            plugged_in: powered.plugged_in.map(|own| PluggedIn {
                red: own.leg.to_string(),
                black: home(own.home),
                more_than_volts: own.more_than.get(),
            }),
            lines: (powered.lines.iter())
                .map(|line| PoweredLine {
                    red: line.leg.to_string(),
                    black: home(line.home),
                    at_most_volts: line.at_most.map(Volts::get),
                })
                .collect(),
        }
    }
}

impl Step {
    fn new(bench: &Bench<'_>, step: &PlanStep) -> Self {
        let measurement = &step.measurement;
        let reading = |span| Reading::new(span, measurement.range);
        let wrong = step.hints(bench, usize::MAX).into_iter().map(|hint| Wrong {
            shows: reading(hint.shows),
            faults: hint.faults.into_iter().map(|fault| FaultTold::new(bench, fault)).collect(),
        });
        Self {
            red: measurement.red.to_string(),
            black: measurement.black.to_string(),
            range: measurement.range.as_str(),
            buzzer_will_do: step.buzzer_will_do,
            danger: match step.danger {
                Danger::SupplyShort => "supply-short",
                Danger::SupplyAstray => "supply-astray",
                Danger::Dead => "dead",
            },
            good: reading(step.good),
            wrong: wrong.collect(),
        }
    }
}

impl Reading {
    fn new(span: Span, range: Range) -> Self {
        let finite = |value: f64| value.is_finite().then_some(value);
        Self { text: span.told(range), low: finite(span.low()), high: finite(span.high()) }
    }
}

impl FaultTold {
    pub fn new(bench: &Bench<'_>, fault: &Fault) -> Self {
        Self {
            kind: fault.kind().as_str(),
            text: fault.told(bench),
            mend: fault.mend(bench),
            places: fault.places().iter().map(ToString::to_string).collect(),
        }
    }
}

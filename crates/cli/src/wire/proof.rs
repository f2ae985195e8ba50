//! A proof.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead::{Assembly, Leg};
use solderside_proof as domain;
use solderside_quantity::{Quantity, significant};

use super::{FORMAT, Lead};

/// The answer of `prove`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: prove")]
pub struct Prove {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    #[serde(flatten)]
    pub proof: Proof,
    /// The lead that was proved.
    pub lead: Lead,
    /// What the machine reads in each state, if it was asked for; with switches of the lead's own in their first setting.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub truth: Option<Vec<Row>>,
    /// Absent if `truth` lists every state; else it lists those with so many controls pressed at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub truth_pressed_at_most: Option<usize>,
}

/// What is proved of a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Proof {
    /// What it comes to.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// Operating points that the proof is about, each over all tolerances: those of every state, though one bound
    /// may cover many.
    pub operating_points: u64,
    /// The controls that perform no action.
    pub controls_lost: Vec<String>,
    /// What there is to say, the worst first.
    pub findings: Vec<Finding>,
    /// How each action reads.
    pub actions: Vec<ActionProof>,
    /// The range over which the verdict holds.
    pub holds_for: Vec<Holds>,
    /// The facts that it stands on, the weakest first.
    pub stands_on: Vec<Standing>,
    /// How each axis to which a pot leads is measured.
    pub axes: Vec<AxisProof>,
    /// What contacts carry, against their limits.
    pub loads: Vec<Load>,
    /// What is proved in each setting of the lead's own switches; absent for a lead without any. With them the verdict is
    /// the worst of all settings and of what happens while a switch is moved, and so are the actions; the axes are those of
    /// the first setting.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub settings: Vec<SetProof>,
}

/// What is proved in one setting of the lead's own switches.
#[derive(Debug, Serialize, JsonSchema)]
pub struct SetProof {
    /// The position of each switch, by what it is called.
    pub stands: BTreeMap<String, String>,
    /// What it comes to there.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// For each action the controls that perform it there.
    pub play: BTreeMap<String, Vec<String>>,
    /// The controls that perform no action there.
    pub controls_lost: Vec<String>,
    /// What there is to say of it, the worst first.
    pub findings: Vec<Finding>,
    /// How each action reads there.
    pub actions: Vec<ActionProof>,
    /// How each axis to which a pot leads is measured there.
    pub axes: Vec<AxisProof>,
    /// What the machine reads there in each state, if it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub truth: Option<Vec<Row>>,
    /// Absent if `truth` lists every state; else it lists those with so many controls pressed at most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub truth_pressed_at_most: Option<usize>,
}

/// How an axis is measured: by the time that its pot takes to charge a capacitor.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AxisProof {
    /// The port's axis.
    pub axis: String,
    /// The machine's contact.
    pub contact: String,
    /// The contact of the pot that moves it; none if controls do.
    pub pot: Option<String>,
    /// The controls that move it to its low and to its high end; none if a pot does.
    pub controls: Option<[Vec<String>; 2]>,
    /// The times at low, where the pot has 0 Ω, in the middle, and at the end of the whole track.
    pub travel: [AxisTime; 3],
    /// The shortest and the longest time that the machine can measure.
    pub reads_seconds: [f64; 2],
    /// How far low is from centre and centre from high at the worst of all tolerances and states, as shares of the full
    /// travel that the port is made for; null where nothing bounds it.
    pub apart: Option<[f64; 2]>,
}

/// A time that is measured at one position.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AxisTime {
    /// Where the stick is.
    #[schemars(extend("enum" = ["low", "centre", "high"]))]
    pub position: &'static str,
    /// Never shorter, in any state within the tolerances; null where it never charges.
    pub least_seconds: Option<f64>,
    /// At typical values with nothing else moved; null where it never charges.
    pub typical_seconds: Option<f64>,
    /// Never longer; null where it may never charge.
    pub most_seconds: Option<f64>,
}

/// One thing that the checks have to say.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Finding {
    /// What kind of thing; `solderside explain CODE` says more.
    pub code: &'static str,
    /// How bad it is.
    #[schemars(extend("enum" = ["note", "thin", "fail", "harm"]))]
    pub severity: &'static str,
    /// The contacts that it is about.
    pub contacts: Vec<String>,
    /// The whole of it.
    pub text: String,
    /// The numbers behind it, in SI units; each name ends in its unit.
    pub figures: BTreeMap<&'static str, f64>,
    /// The controls that are pressed where it happens; null if that does not matter.
    pub state: Option<Vec<String>>,
    /// The step of the machine's reading where it happens; null if that does not matter.
    pub step: Option<String>,
    /// How to mend it.
    pub remedy: String,
}

/// How an action reads.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ActionProof {
    /// The action.
    pub action: String,
    /// The machine's contact.
    pub contact: String,
    /// The worst voltage where it should be active; null if no control performs it.
    pub active_worst_volts: Option<f64>,
    /// The worst voltage where it should be idle.
    pub idle_worst_volts: Option<f64>,
    /// The smaller of the two margins against the guaranteed thresholds.
    pub margin_volts: Option<f64>,
    /// Where and why it is worst when it should be active.
    pub active: Option<Worst>,
    /// Where and why it is worst when it should be idle.
    pub idle: Option<Worst>,
}

/// The worst reading on one side of a threshold.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Worst {
    /// The voltage at the machine's contact.
    pub volts: f64,
    /// The threshold that every part of the family keeps.
    pub guaranteed_volts: f64,
    /// The threshold that a typical part keeps.
    pub typical_volts: f64,
    /// How far the voltage stays on the right side of the guaranteed threshold.
    pub margin_volts: f64,
    /// The controls that are pressed there.
    pub state: Vec<String>,
    /// The step of the machine's reading.
    pub step: String,
    /// The tolerances that bring it about, the strongest first.
    pub corner: Vec<String>,
}

/// A value, and the range of it over which the verdict stays what it is.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Holds {
    /// The value.
    pub what: String,
    /// The contacts that it is about.
    pub contacts: Vec<String>,
    /// The unit of the numbers.
    pub unit: &'static str,
    /// The verdict holds from here up; null if it holds down to nothing.
    pub from: Option<f64>,
    /// The verdict holds up to here; null if it holds however far.
    pub to: Option<f64>,
    /// The value taken: low, typical, high.
    pub taken: [f64; 3],
    /// How well it is known.
    #[schemars(extend("enum" = ["published", "measured", "reported", "assumed"]))]
    pub evidence: &'static str,
    /// All of it in a sentence.
    pub text: String,
    /// What to measure to settle it.
    pub settle: String,
}

/// A fact that the verdict stands on.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Standing {
    /// What it says.
    pub what: String,
    /// The contacts that it is about; empty if it is about all.
    pub contacts: Vec<String>,
    /// How well it is known.
    #[schemars(extend("enum" = ["published", "measured", "reported", "assumed"]))]
    pub evidence: &'static str,
    /// Where it comes from.
    pub source: String,
}

/// The most that a contact carries, against its limit.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Load {
    /// The contact.
    pub contact: String,
    /// What carries it.
    pub what: &'static str,
    /// The most in any state, step and corner.
    pub amps: f64,
    /// What it may carry.
    pub limit_amps: f64,
    /// Whether the limit is stated in a profile; else it is the family's or the trade's.
    pub stated: bool,
}

/// What the machine reads in one state.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Row {
    /// The controls that are pressed.
    pub pressed: Vec<String>,
    /// The actions that read active.
    pub reads: Vec<String>,
}

impl Prove {
    pub fn new(assembly: &Assembly, proof: &domain::Proof, truth: bool) -> Self {
        let mut own = Proof::from(proof);
        for (own, set) in own.settings.iter_mut().zip(&proof.settings).filter(|_| truth) {
            own.truth = Some(rows(&set.proof));
            own.truth_pressed_at_most = set.proof.truth_pressed_at_most;
        }
        Self {
            format: FORMAT,
            proof: own,
            lead: assembly.into(),
            truth: truth.then(|| rows(proof)),
            truth_pressed_at_most: proof.truth_pressed_at_most.filter(|_| truth),
        }
    }
}

fn rows(proof: &domain::Proof) -> Vec<Row> {
    let row = |row: &domain::TruthRow| Row { pressed: texts(&row.pressed), reads: texts(&row.reads) };
    proof.truth.iter().map(row).collect()
}

impl From<&domain::Proof> for Proof {
    fn from(proof: &domain::Proof) -> Self {
        Self {
            verdict: proof.verdict.as_str(),
            operating_points: proof.operating_points,
            controls_lost: texts(&proof.controls_lost),
            findings: proof.findings.iter().map(Finding::from).collect(),
            actions: proof.actions.iter().map(ActionProof::from).collect(),
            holds_for: proof.holds_for.iter().map(Holds::from).collect(),
            stands_on: proof.stands_on.iter().map(Standing::from).collect(),
            axes: proof.axes.iter().map(AxisProof::from).collect(),
            loads: proof.loads.iter().map(Load::from).collect(),
            settings: proof.settings.iter().map(SetProof::from).collect(),
        }
    }
}

impl From<&domain::SetProof> for SetProof {
    fn from(own: &domain::SetProof) -> Self {
        let stands = own.setting.at.iter();
        let stands = stands.filter_map(|(called, position)| Some((called.clone(), position.clone()?)));
        let play = own.play.entries().map(|(action, controls)| (action.to_string(), texts(controls)));
        Self {
            stands: stands.collect(),
            verdict: own.proof.verdict.as_str(),
            play: play.collect(),
            controls_lost: texts(&own.proof.controls_lost),
            findings: own.proof.findings.iter().map(Finding::from).collect(),
            actions: own.proof.actions.iter().map(ActionProof::from).collect(),
            axes: own.proof.axes.iter().map(AxisProof::from).collect(),
            truth: None,
            truth_pressed_at_most: None,
        }
    }
}

impl From<&domain::Finding> for Finding {
    fn from(finding: &domain::Finding) -> Self {
        Self {
            code: finding.code.as_str(),
            severity: finding.severity.as_str(),
            contacts: texts(&finding.legs),
            text: finding.text.clone(),
            figures: figures(&finding.figures),
            state: finding.state.as_deref().map(texts),
            step: finding.step.clone(),
            remedy: finding.remedy.clone(),
        }
    }
}

impl From<&domain::ActionProof> for ActionProof {
    fn from(proof: &domain::ActionProof) -> Self {
        let volts = |worst: &Option<domain::Worst>| worst.as_ref().map(|worst| tidy(worst.volts));
        Self {
            action: proof.action.to_string(),
            contact: proof.leg.to_string(),
            active_worst_volts: volts(&proof.active),
            idle_worst_volts: volts(&proof.idle),
            margin_volts: proof.margin.map(tidy),
            active: proof.active.as_ref().map(Worst::from),
            idle: proof.idle.as_ref().map(Worst::from),
        }
    }
}

impl From<&domain::AxisProof> for AxisProof {
    fn from(proof: &domain::AxisProof) -> Self {
        let (shortest, longest) = proof.reads;
        let (pot, controls) = match &proof.moved_by {
            domain::MovedBy::Pot(leg) => (Some(leg.to_string()), None),
            domain::MovedBy::Controls(ends) => {
                (None, Some(ends.clone().map(|own| own.iter().map(ToString::to_string).collect())))
            }
        };
        Self {
            axis: proof.axis.to_string(),
            contact: proof.leg.to_string(),
            pot,
            controls,
            travel: proof.travel.map(|time| AxisTime {
                position: time.position.as_str(),
                least_seconds: time.least.map(tidy),
                typical_seconds: time.typical.map(tidy),
                most_seconds: time.most.map(tidy),
            }),
            reads_seconds: [tidy(shortest), tidy(longest)],
            apart: proof
                .apart
                .filter(|apart| apart.iter().all(|share| share.is_finite()))
                .map(|apart| apart.map(nine_digits)),
        }
    }
}

impl From<&domain::Worst> for Worst {
    fn from(worst: &domain::Worst) -> Self {
        Self {
            volts: tidy(worst.volts),
            guaranteed_volts: tidy(worst.guaranteed),
            typical_volts: tidy(worst.typical),
            margin_volts: tidy(worst.margin),
            state: texts(&worst.state),
            step: worst.step.clone(),
            corner: worst.corner.clone(),
        }
    }
}

impl From<&domain::Holds> for Holds {
    fn from(holds: &domain::Holds) -> Self {
        Self {
            what: holds.what.clone(),
            contacts: texts::<Leg>(&holds.legs),
            unit: holds.unit,
            from: holds.from,
            to: holds.to,
            taken: holds.taken,
            evidence: holds.evidence.as_str(),
            text: holds.text.clone(),
            settle: holds.settle.clone(),
        }
    }
}

impl From<&domain::Standing> for Standing {
    fn from(standing: &domain::Standing) -> Self {
        Self {
            what: standing.what.clone(),
            contacts: texts::<Leg>(&standing.legs),
            evidence: standing.evidence.as_str(),
            source: standing.source.clone(),
        }
    }
}

impl From<&domain::Load> for Load {
    fn from(load: &domain::Load) -> Self {
        Self {
            contact: load.leg.to_string(),
            what: load.what,
            amps: tidy(load.amps),
            limit_amps: tidy(load.limit),
            stated: load.stated,
        }
    }
}

pub(super) fn texts<T: ToString>(items: &[T]) -> Vec<String> {
    items.iter().map(T::to_string).collect()
}

/// Figures by their names.
pub(super) fn figures(figures: &[domain::Figure]) -> BTreeMap<&'static str, f64> {
    figures.iter().map(|figure| (figure.name, nine_digits(figure.value))).collect()
}

/// A quantity as scripts read it.
fn tidy<T: Quantity>(quantity: T) -> f64 {
    nine_digits(quantity.get())
}

/// Nine digits: finer than any meter, and without the rounding noise of the last bits.
fn nine_digits(value: f64) -> f64 {
    significant(value, 9).parse().unwrap_or(value)
}

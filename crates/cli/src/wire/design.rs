//! Options, and what was refused.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_design as domain;
use solderside_lead::Leg;
use solderside_profile::{Control, Level};
use solderside_quantity::{Amps, Seconds, Volts};
use solderside_trade::Bus;

use super::{FORMAT, Lead, Proof};

/// The answer of `design`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: design")]
pub struct Design {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The ways to build the lead, the best first.
    pub options: Vec<Choice>,
    /// The classes in which there is none.
    pub refused: Vec<Refusal>,
    /// Whether diodes and resistors were tried where wire is refused, and mend nothing.
    pub parts_mend_nothing: bool,
    /// The pads that were tried as donors and cannot serve.
    pub not_donors: Vec<NotADonor>,
    /// What a program must do where no lead serves all that is asked; null if there is one, or a program could not
    /// either.
    pub program: Option<Program>,
    /// The file that the first option was saved in; null if it was not.
    pub saved: Option<String>,
}

/// A pad that was tried as a donor.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NotADonor {
    /// Its name.
    pub pad: String,
    /// Why it cannot serve.
    pub why: String,
}

/// One way to build a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Choice {
    /// What it is made of: `plain` is wire only, `parts` has diodes, resistors or a switch, `donor` ends in
    /// the port's own pad, opened, `logic` has chips.
    #[schemars(extend("enum" = ["plain", "parts", "donor", "logic"]))]
    pub class: &'static str,
    /// The actions that the default play map would give a control, and that this lead goes without.
    pub given_up: Vec<String>,
    /// The actions that another option plays, and this one does not.
    pub actions_lost: Vec<String>,
    /// How many joints are soldered.
    pub joints: usize,
    #[serde(flatten)]
    pub proof: Proof,
    #[serde(flatten)]
    pub lead: Lead,
}

/// What a program must do. Nothing is proposed and nothing is proved.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Program {
    /// The controls that it reads, each on a line of its own.
    pub reads: Vec<String>,
    /// The lines of the controller by which it is read as its own machine reads it.
    pub speaks_to: Vec<String>,
    /// The controls that are read so.
    pub spoken: Vec<String>,
    /// The contacts of the pots that it measures, where a protocol takes them.
    pub measures: Vec<String>,
    /// The lines that the machine moves.
    pub watches: Vec<Watch>,
    /// How often these move in a reading.
    pub moves: usize,
    /// The contacts at which the machine looks.
    pub answers: Vec<Answer>,
    /// The shortest time from a move until the machine looks; null if nothing moves, or nobody says.
    pub within_seconds: Option<f64>,
    /// What it must count; null if the lines alone tell what is wanted.
    pub counts: Option<Count>,
    /// The protocol that it must speak; null if the machine looks at its contacts.
    pub bus: Option<&'static str>,
    /// What feeds it; null if the port feeds nothing.
    pub supply: Option<Supply>,
}

/// A line that the machine moves.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Watch {
    pub contact: String,
    /// The family of the outputs that drive it.
    pub family: &'static str,
    /// Whether the machine lets it go in some step.
    pub is_let_go: bool,
}

/// A contact at which the machine looks.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Answer {
    pub contact: String,
    pub low_at_most_volts: f64,
    pub high_at_least_volts: f64,
    /// What a low must sink; null if nothing pulls the line up.
    pub sinks_amps: Option<f64>,
    /// Whether something else drives the line too: then it may only be pulled low and let go.
    pub is_shared: bool,
    /// Whether a low is pressed.
    pub low_is_pressed: bool,
    /// What it must show.
    pub shows: Vec<Show>,
}

/// What is shown in some steps.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Show {
    #[schemars(extend("enum" = ["let-go", "low", "high", "pressed"]))]
    pub what: &'static str,
    /// The controls, any of which is pressed.
    pub controls: Vec<String>,
    /// The names of the steps.
    pub steps: Vec<String>,
}

/// What is counted.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Count {
    /// How the lines stand where the count begins; empty if no stand of them tells.
    pub begins_at: Vec<Stand>,
    /// Within what time it must be forgotten; null if a line tells where it begins, or nobody says.
    pub forgets_within_seconds: Option<f64>,
    /// For how long it must be kept; null if nobody says.
    pub kept_for_seconds: Option<f64>,
    /// Two steps that no number of chips without a timer tells apart; null if the order of the moves tells them all.
    pub alike: Option<Alike>,
}

/// Two steps that want different things at a contact, and that are one to chips that keep no time.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Alike {
    pub contact: String,
    /// The names of the steps.
    pub steps: [String; 2],
    /// How often the lines make the same moves in a reading; null if none moves between the two steps.
    pub times: Option<usize>,
}

/// How a line stands.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Stand {
    pub contact: String,
    #[schemars(extend("enum" = ["low", "high", "released"]))]
    pub level: &'static str,
}

/// What feeds a program.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Supply {
    pub contact: String,
    /// Low, typical, high.
    pub volts: [f64; 3],
    pub amps_max: f64,
}

/// A class in which there is no lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Refusal {
    /// The class.
    #[schemars(extend("enum" = ["plain", "parts", "donor", "logic", "program"]))]
    pub class: &'static str,
    /// The facts that forbid it together, none of which can be spared. Several entries of one class are
    /// conflicts of their own: each has to go.
    pub facts: Vec<String>,
    /// The nearest thing to a lead, with its findings. Not to be built.
    pub nearest: Choice,
}

impl Design {
    pub fn new(designs: &domain::Designs, saved: Option<String>) -> Self {
        let refusal = |refusal: &domain::Refusal| Refusal {
            class: refusal.class.as_str(),
            facts: refusal.facts.iter().map(|fact| fact.text.clone()).collect(),
            nearest: Choice::new(&refusal.nearest, &[]),
        };
        Self {
            format: FORMAT,
            options: designs.options.iter().map(|choice| Choice::new(choice, &designs.options)).collect(),
            program: designs.program.as_ref().map(Program::from),
            parts_mend_nothing: designs.parts_mend_nothing,
            refused: designs.refused.iter().map(refusal).collect(),
            not_donors: designs.not_donors.iter().map(NotADonor::from).collect(),
            saved,
        }
    }
}

impl From<&domain::NotADonor> for NotADonor {
    fn from(tried: &domain::NotADonor) -> Self {
        Self { pad: tried.pad.clone(), why: tried.why.clone() }
    }
}

impl Choice {
    fn new(choice: &domain::Choice, options: &[domain::Choice]) -> Self {
        Self {
            class: choice.class.as_str(),
            given_up: choice.given_up.iter().map(ToString::to_string).collect(),
            actions_lost: choice.actions_lost(options).into_iter().map(ToString::to_string).collect(),
            joints: choice.joints(),
            proof: (&choice.proof).into(),
            lead: (&choice.assembly).into(),
        }
    }
}

impl From<&domain::ProgramTask> for Program {
    fn from(task: &domain::ProgramTask) -> Self {
        let words = |controls: &[Control]| controls.iter().map(ToString::to_string).collect();
        let level = |(leg, level): &(Leg, Level)| Stand { contact: leg.to_string(), level: level.as_str() };
        Self {
            reads: words(&task.reads),
            speaks_to: task.speaks_to.iter().map(|(leg, _)| leg.to_string()).collect(),
            spoken: words(&task.spoken),
            measures: task.measures.iter().map(|(leg, _)| leg.to_string()).collect(),
            watches: task
                .watches
                .iter()
                .map(|line| Watch {
                    contact: line.leg.to_string(),
                    family: line.family.as_str(),
                    is_let_go: line.is_let_go,
                })
                .collect(),
            moves: task.moves,
            answers: task.answers.iter().map(Answer::from).collect(),
            within_seconds: task.within.map(Seconds::get),
            counts: task.counts.as_ref().map(|count| Count {
                begins_at: count.begins_at.iter().map(level).collect(),
                forgets_within_seconds: count.forgets_within.map(Seconds::get),
                kept_for_seconds: count.kept_for.map(Seconds::get),
                alike: count.alike.as_ref().map(|domain::Alike { leg, steps, times }| Alike {
                    contact: leg.to_string(),
                    steps: steps.clone(),
                    times: *times,
                }),
            }),
            bus: task.bus.map(Bus::as_str),
            supply: task.supply.map(|(leg, volts, amps)| Supply {
                contact: leg.to_string(),
                volts: [volts.low(), volts.typical(), volts.high()].map(Volts::get),
                amps_max: amps.get(),
            }),
        }
    }
}

impl From<&domain::Answer> for Answer {
    fn from(answer: &domain::Answer) -> Self {
        let show = |(what, steps): &(domain::Shown, Vec<String>)| {
            let (what, controls) = match what {
                domain::Shown::LetGo => ("let-go", Vec::new()),
                domain::Shown::Fixed(true) => ("high", Vec::new()),
                domain::Shown::Fixed(false) => ("low", Vec::new()),
                domain::Shown::Pressed(controls) => {
                    ("pressed", controls.iter().map(ToString::to_string).collect())
                }
            };
            Show { what, controls, steps: steps.clone() }
        };
        Self {
            contact: answer.leg.to_string(),
            low_at_most_volts: answer.low_at_most.get(),
            high_at_least_volts: answer.high_at_least.get(),
            sinks_amps: answer.sinks.map(Amps::get),
            is_shared: answer.is_shared,
            low_is_pressed: answer.low_is_pressed,
            shows: answer.shows.iter().map(show).collect(),
        }
    }
}

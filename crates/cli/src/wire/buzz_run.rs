//! A run of a meter test.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_meter::{Benches, Course, Explanation, Outcome, Part, Probed, Record, Test};

use super::FORMAT;
use super::diagnose::{Explained, NextTest};
use crate::commands::MeterTest;

/// The answer of `buzz --run`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: buzz --run")]
pub struct BuzzRun {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// The verdict of the lead as it is meant.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// The file of the run.
    pub file: String,
    /// How it stands: `none` where the lead is not sound on paper, and nothing is asked.
    #[schemars(extend("enum" = ["open", "passed", "wrong", "none"]))]
    pub outcome: &'static str,
    /// Whether a dangerous reading is wrong: nothing else is asked before it is right.
    pub stop: bool,
    /// How many questions are answered.
    pub answered: usize,
    /// Of so many.
    pub of: usize,
    /// The question that is open; null if none is.
    pub next: Option<Question>,
    /// All answers, in their order.
    pub answers: Vec<Question>,
    /// What explains all answers, the likeliest first; empty while nothing is wrong. The numbers of evidence are those of the
    /// answers without power.
    pub explanations: Vec<Explained>,
    /// The measurement that tells most; null while nothing is wrong, or where nothing tells more.
    pub next_test: Option<NextTest>,
    /// What was typed this time and is no answer.
    pub refused: Vec<Refused>,
}

/// A question or something to do, and what was answered.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Question {
    /// The part of the test; null for an answer of a file that belongs to no question.
    #[schemars(extend("enum" = ["lead", "controller", "power", null]))]
    pub part: Option<&'static str>,
    /// What is to be done in place of a reading, such as `plug-in` or `press-in u1`; null where the meter is read.
    pub deed: Option<String>,
    /// What the meter is set to; null where something is to be done.
    #[schemars(extend("enum" = ["ohms", "diode", "volts", null]))]
    pub range: Option<&'static str>,
    /// Where the red probe goes; null where something is to be done.
    pub red: Option<String>,
    /// Where the black probe goes; null where something is to be done.
    pub black: Option<String>,
    /// What is held of the controller; null while it is not plugged in.
    pub held: Option<Vec<String>>,
    /// Whether 1 kΩ lies across the probes.
    pub across: bool,
    /// Whether the chip sits in the socket at which it is read.
    pub chip_in: bool,
    /// Whether the buzzer tells as much.
    pub buzzer_will_do: bool,
    /// The answer; null if there is none yet.
    pub value: Option<String>,
    /// Whether it is that of a good lead; null if there is none yet.
    pub right: Option<bool>,
}

/// What was typed and is no answer.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Refused {
    pub text: String,
    pub why: String,
}

impl BuzzRun {
    /// How a run stands.
    pub fn new(
        test: &MeterTest<'_>,
        file: &Path,
        course: &Course<'_>,
        diagnosis: (Vec<Explanation>, Option<Test>),
        refused: Vec<(String, String)>,
    ) -> Self {
        let outcome = course.outcome();
        let (explanations, next_test) = diagnosis;
        let run = course.run();
        let strays = run.records.iter().take(course.strays()).map(Question::stray);
        let answered = course.answers().filter_map(|at| Question::of(course, at));
        Self {
            outcome: match outcome {
                Outcome::Open => "open",
                Outcome::Passed => "passed",
                Outcome::Wrong(_) => "wrong",
            },
            stop: course.stopped().is_some(),
            answered: course.answered(),
            of: course.steps().len(),
            next: course.next().and_then(|at| Question::of(course, at)),
            answers: strays.chain(answered).collect(),
            explanations: explanations.iter().map(|one| Explained::new(test.bench, one)).collect(),
            next_test: next_test.as_ref().map(|next| NextTest::new(&Benches::from(test.bench), next)),
            refused: refused.into_iter().map(|(text, why)| Refused { text, why }).collect(),
            ..Self::refused(test, file)
        }
    }

    /// No run: the lead is not sound on paper.
    pub fn refused(test: &MeterTest<'_>, file: &Path) -> Self {
        Self {
            format: FORMAT,
            lead: test.bench.assembly().lead.name.clone(),
            verdict: test.proof.verdict.as_str(),
            file: file.display().to_string(),
            outcome: "none",
            stop: false,
            answered: 0,
            of: 0,
            next: None,
            answers: Vec::new(),
            explanations: Vec::new(),
            next_test: None,
            refused: Vec::new(),
        }
    }
}

impl Question {
    fn of(course: &Course<'_>, at: usize) -> Option<Self> {
        let step = course.steps().get(at)?;
        let part = match step.part {
            Part::Lead => "lead",
            Part::Controller => "controller",
            Part::Power => "power",
        };
        let own = Self::bare(&step.question);
        Some(Self {
            part: Some(part),
            buzzer_will_do: step.buzzer_will_do,
            value: course.given(at).map(|given| given.to_string()),
            right: course.judged(at).map(|judged| judged == solderside_meter::Judged::Right),
            ..own
        })
    }

    /// An answer of a file to no question of this test.
    fn stray(record: &Record) -> Self {
        Self { value: Some(record.given.to_string()), ..Self::bare(&record.question) }
    }

    fn bare(question: &solderside_meter::Question) -> Self {
        let none = Self {
            part: None,
            deed: None,
            range: None,
            red: None,
            black: None,
            held: None,
            across: false,
            chip_in: false,
            buzzer_will_do: false,
            value: None,
            right: None,
        };
        match question {
            solderside_meter::Question::Deed(deed) => Self { deed: Some(deed.to_string()), ..none },
            solderside_meter::Question::Reading(Probed { setting, red, black, held, across, chip_in }) => {
                Self {
                    range: Some(setting.as_str()),
                    red: Some(red.to_string()),
                    black: Some(black.to_string()),
                    held: held.as_ref().map(|held| held.iter().map(ToString::to_string).collect()),
                    across: *across,
                    chip_in: *chip_in,
                    ..none
                }
            }
        }
    }
}

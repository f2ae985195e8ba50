//! What is wrong with a lead.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_meter::{
    Bench, Benches, Contradiction, Evidence, Explanation, Measurement, Range, Test, TestKind, Weighs,
};
use solderside_profile::Control;

use super::FORMAT;
use super::buzz::FaultTold;

/// The answer of `diagnose`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: diagnose")]
pub struct Diagnosis {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// What was seen, in the order in which it was said.
    pub evidence: Vec<String>,
    /// The explanations, the likeliest first.
    pub explanations: Vec<Explained>,
    /// What cannot be.
    pub contradictions: Vec<Contrary>,
    /// The next thing to try; null where nothing would tell more.
    pub next: Option<NextTest>,
}

/// An explanation.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Explained {
    /// How likely it is among all, from 0 to 1.
    pub share: f64,
    /// The faults, none, one or two; of several lists nobody can tell which it is.
    pub either: Vec<Vec<FaultTold>>,
    /// The numbers of the evidence that speaks for it, counted from 0.
    pub speaks_for: Vec<usize>,
    /// The numbers of the evidence that speaks against it, counted from 0.
    pub speaks_against: Vec<usize>,
}

/// What cannot be.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Contrary {
    /// `twice` if two pieces of evidence contradict each other, `unexplained` if one does not go with the likeliest
    /// explanation.
    #[schemars(extend("enum" = ["twice", "unexplained"]))]
    pub kind: &'static str,
    /// The numbers of the evidence, counted from 0.
    pub evidence: Vec<usize>,
}

/// The next thing to try.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NextTest {
    /// Where each switch of the lead is to stand, by what it is called, and what is to be plugged in; absent where there is
    /// nothing to choose.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub stands: BTreeMap<String, String>,
    /// A measurement; null if it is a press.
    pub measure: Option<Measure>,
    /// The control to press; null if it is a measurement.
    pub press: Option<String>,
    /// The bits of uncertainty that it is expected to take away.
    pub bits: f64,
    /// The minutes that it takes, getting there included.
    pub minutes: f64,
}

/// A measurement.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Measure {
    /// The range of the meter.
    #[schemars(extend("enum" = ["ohms", "diode"]))]
    pub range: &'static str,
    /// Where the red probe goes.
    pub red: String,
    /// Where the black probe goes.
    pub black: String,
    /// The controls that are held; null if the lead is unplugged from the controller.
    pub held: Option<Vec<String>>,
    /// The sentence that says its result, but for the reading.
    pub sentence: String,
    /// What a good lead shows, in ohms or volts from one to the other; a value that is no reading is null.
    pub good: [Option<f64>; 2],
}

impl Diagnosis {
    pub fn new(
        benches: &Benches<'_>,
        evidence: &[Evidence],
        explanations: &[Explanation],
        contradictions: &[Contradiction],
        next: Option<&Test>,
    ) -> Self {
        let contrary = |contradiction: &Contradiction| match *contradiction {
            Contradiction::Twice(one, other) => Contrary { kind: "twice", evidence: vec![one, other] },
            Contradiction::Unexplained(at) => Contrary { kind: "unexplained", evidence: vec![at] },
        };
        let bench = benches.first();
        Self {
            format: FORMAT,
            lead: bench.assembly().lead.name.clone(),
            evidence: evidence.iter().map(|evidence| evidence.text.clone()).collect(),
            explanations: explanations.iter().map(|explanation| Explained::new(bench, explanation)).collect(),
            contradictions: contradictions.iter().map(contrary).collect(),
            next: next.map(|test| NextTest::new(benches, test)),
        }
    }
}

impl Explained {
    pub fn new(bench: &Bench<'_>, explanation: &Explanation) -> Self {
        let numbers = |wanted: Weighs| {
            let own = explanation.weighs.iter().enumerate().filter(|(_, weighs)| **weighs == wanted);
            own.map(|(at, _)| at).collect()
        };
        Self {
            share: explanation.share,
            either: explanation
                .either
                .iter()
                .map(|faults| faults.iter().map(|fault| FaultTold::new(bench, fault)).collect())
                .collect(),
            speaks_for: numbers(Weighs::For),
            speaks_against: numbers(Weighs::Against),
        }
    }
}

impl NextTest {
    pub fn new(benches: &Benches<'_>, test: &Test) -> Self {
        let stands = test.stands(benches).into_iter().map(|stand| (stand.called, stand.position)).collect();
        let (measure, press) = match &test.kind {
            TestKind::Measure(measurement) => {
                (Some(Measure::new(measurement, test, &test.said(benches))), None)
            }
            TestKind::Press(control) => (None, Some(control.to_string())),
        };
        Self { stands, measure, press, bits: test.bits, minutes: test.minutes }
    }
}

impl Measure {
    fn new(measurement: &Measurement, test: &Test, said: &str) -> Self {
        let Measurement { range, red, black, held } = measurement;
        let value = |value: f64| value.is_finite().then_some(value);
        Self {
            range: match range {
                Range::Ohms => "ohms",
                Range::Diode => "diode",
            },
            red: red.to_string(),
            black: black.to_string(),
            held: held.as_ref().map(|held| held.iter().map(Control::to_string).collect()),
            sentence: format!("{measurement}{said} reads"),
            good: test.good.map_or([None, None], |good| [value(good.low()), value(good.high())]),
        }
    }
}

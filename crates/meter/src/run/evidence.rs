//! What the answers of a run say, for diagnosis and by themselves.

use crate::diagnosis::{Clue, Evidence};
use crate::ohms_text::TypedReading;
use crate::plan::Hint;
use crate::reading::{Measurement, Range, Span};

use super::course::{self, Course, Expected};
use super::{Given, Probed, Setting};

impl<'a> Course<'a> {
    /// What the answers say of the lead: every reading without power, and that everything else was as a good lead reads.
    pub fn evidence(&self) -> Vec<Evidence> {
        let answered = self.steps().iter().enumerate().filter_map(|(at, step)| Some((step, self.given(at)?)));
        let said = answered.filter_map(|(step, given)| {
            let measurement = measurement(step.question.probed()?)?;
            let text = format!("{measurement} reads {given}");
            let clue = match (given, step.expected) {
                (Given::Right, Expected::Shown(good)) => Clue::Reading(measurement, within(good)),
                (Given::Right | Given::Done, _) => return None,
                (Given::Reading(TypedReading::Open), _) => Clue::Reading(measurement, f64::INFINITY),
                (Given::Reading(TypedReading::Ohms(ohms)), _) => Clue::Reading(measurement, ohms.get()),
                (Given::Reading(TypedReading::Volts(volts)), _) => {
                    Clue::Reading(measurement, volts.get().max(0.0))
                }
                (Given::Reading(TypedReading::Beep), _) => Clue::Buzzer(measurement, true),
                (Given::Reading(TypedReading::NoBeep), _) => Clue::Buzzer(measurement, false),
            };
            Some(Evidence::of(text, vec![clue]))
        });
        said.collect()
    }

    /// What a wrong answer to a step of the lead alone points to by itself, with at most so many words.
    pub fn hints(&self, at: usize, most: usize) -> Vec<Hint<'a>> {
        let step = self.steps().get(at).and_then(|step| self.plan().steps.get(step.of_plan?));
        let (Some(step), Some(Given::Reading(reading))) = (step, self.given(at)) else { return Vec::new() };
        let hints = step.hints(self.bench(), most).into_iter();
        hints.filter(|hint| course::holds(hint.shows, reading)).collect()
    }
}

/// What is asked without power, as a measurement.
fn measurement(probed: &Probed) -> Option<Measurement> {
    let range = match probed.setting {
        Setting::Ohms => Range::Ohms,
        Setting::Diode => Range::Diode,
        Setting::Volts => return None,
    };
    let Probed { red, black, held, across, .. } = probed;
    (!across).then(|| Measurement { range, red: *red, black: *black, held: held.clone() })
}

/// Some reading of a span.
fn within(span: Span) -> f64 {
    if span.high().is_finite() { f64::midpoint(span.low(), span.high()) } else { span.high() }
}

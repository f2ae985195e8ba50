//! What the answers of a run point to.

use crate::fault::Fault;
use crate::plan::Hint;
use crate::reading::Span;

use super::Given;
use super::course::{self, Course, CourseStep, Part};

impl<'a> Course<'a> {
    /// The single faults that agree with every answer on the lead alone, the likeliest first: none where only several
    /// together can. This is where a diagnosis over several faults takes over.
    pub fn suspects(&self) -> Vec<&'a Fault> {
        let plan = self.plan();
        let wrong = (0..self.steps().len())
            .filter(|at| self.judged(*at).is_some_and(|judged| judged != course::Judged::Right))
            .filter_map(|at| self.steps()[at].of_plan)
            .filter_map(|at| plan.steps.get(at));
        let mut faults: Vec<&Fault> = Vec::new();
        for step in wrong {
            let hints = step.hints(self.bench(), usize::MAX);
            for fault in hints.into_iter().flat_map(|hint| hint.faults) {
                if !faults.contains(&fault) && self.agrees(fault) {
                    faults.push(fault);
                }
            }
        }
        faults
    }

    /// Whether a lead with this one fault would have given every answer on the lead alone.
    fn agrees(&self, fault: &Fault) -> bool {
        let answered = self.steps().iter().enumerate().filter(|(_, step)| step.part == Part::Lead);
        answered.filter_map(|(at, step)| Some((step, self.given(at)?))).all(|(step, given)| {
            self.shown_with(fault, step).is_none_or(|shown| match (given, step.expected) {
                (Given::Right, course::Expected::Shown(good)) => shown.meets(good),
                (Given::Right, _) => true,
                (Given::Reading(reading), _) => course::holds(shown, reading),
            })
        })
    }

    fn shown_with(&self, fault: &Fault, step: &CourseStep) -> Option<Span> {
        let measurement = &self.plan().steps.get(step.of_plan?)?.measurement;
        self.bench().reads(std::slice::from_ref(fault), measurement)
    }

    /// What a wrong answer to a step of the lead alone points to by itself, with at most so many words.
    pub fn hints(&self, at: usize, most: usize) -> Vec<Hint<'a>> {
        let step = self.steps().get(at).and_then(|step| self.plan().steps.get(step.of_plan?));
        let (Some(step), Some(Given::Reading(reading))) = (step, self.given(at)) else { return Vec::new() };
        let hints = step.hints(self.bench(), most).into_iter();
        hints.filter(|hint| course::holds(hint.shows, reading)).collect()
    }
}

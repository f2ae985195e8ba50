//! An axis that two controls move: resistors in steps instead of a pot.
//!
//! One resistor always leads from the feed to the axis: alone it is the high end. A second beside it makes the middle, and
//! is switched off while the high end's control is pressed. A third beside both makes the low end, and is switched on while
//! the low end's control is pressed.

use solderside_lead::Resistor;
use solderside_profile::{Control, Port, PortRole};
use solderside_quantity::Ohms;
use solderside_trade::{ContactId, E12, preferred_ohms};

use super::wants::Signal;
use super::ways::{Feed, Section};
use crate::plain::Problem;

/// How an axis gets its steps.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Steps {
    /// What feeds it.
    pub(super) feed: ContactId,
    /// From the feed to the axis: always, unless the high end is asked for, and while the low end is.
    pub(super) ohms: [Ohms; 3],
    /// The switches of the second and of the third.
    pub(super) sections: Vec<Section>,
}

impl Problem {
    /// The problem with the directions that the port measures as axes and the controller has as controls.
    pub(super) fn steered(&self) -> Self {
        let mut problem = self.clone();
        let has_pot = |contact: ContactId| {
            self.port.axes().any(|(id, axis)| {
                id == contact && self.controller.axes().any(|(_, pot)| pot.axis == axis.axis)
            })
        };
        for (action, contact) in self.port.steered() {
            let controls = self.controller.controls().into_iter();
            let namesake: Vec<Control> =
                controls.filter(|own| own.as_str() == action.as_str()).cloned().collect();
            let is_asked = self.play.iter().any(|part| part.action == action);
            if !namesake.is_empty() && !has_pot(contact) && !is_asked {
                problem.play.push(crate::plain::Part { action, controls: namesake, wished: false });
            }
        }
        problem
    }

    /// Whether controls could move axes of the port that no pot moves.
    pub(crate) fn steers(&self) -> bool {
        self.steered().play.len() > self.play.len()
    }
}

impl Steps {
    /// The ways to give each axis that controls move its steps, axis by axis, one for each feed.
    pub(super) fn all(problem: &Problem, supply: ContactId) -> Vec<(ContactId, Vec<Self>)> {
        let port = &problem.port;
        let steered = port.steered();
        let axes = port.axes().filter_map(|(contact, axis)| {
            let mut ends = steered.iter().filter(|(_, id)| *id == contact).map(|(action, _)| {
                let part = problem.play.iter().find(|part| part.action == *action);
                part.map_or_else(Signal::new, |part| part.controls.clone())
            });
            let (low, high) = (ends.next()?, ends.next()?);
            if low.is_empty() || high.is_empty() {
                return None;
            }
            let ohms = values(axis.full_scale)?;
            let sections = vec![
                Section::Switch { control: Feed::Signal(high) },
                Section::Switch { control: Feed::Inverted(low) },
            ];
            let steps =
                feeds(port, supply).into_iter().map(|feed| Self { feed, ohms, sections: sections.clone() });
            Some((contact, steps.collect()))
        });
        axes.collect()
    }
}

/// The contacts that may feed an axis: one that is there for nothing else, or a supply that feeds no chip of the lead, so
/// that what these take does not move it.
fn feeds(port: &Port, supply: ContactId) -> Vec<ContactId> {
    let feeds = || port.contacts.iter().filter(|(_, contact)| contact.role.feeds());
    let own = feeds().find(|(_, contact)| matches!(contact.role, PortRole::Signal(_)));
    let other = feeds().find(|(id, contact)| matches!(contact.role, PortRole::Supply(_)) && **id != supply);
    own.or(other).or(feeds().next()).map(|(id, _)| *id).into_iter().collect()
}

/// The preferred values that keep the three positions farthest apart over their tolerances: the high end no farther than
/// the port's own stick goes, the low end no nearer than a hundredth of it, which is where a pot stops.
pub(super) fn values(full_scale: Ohms) -> Option<[Ohms; 3]> {
    let full = full_scale.get();
    let within = |least: f64, most: f64| -> Vec<f64> {
        match (Ohms::new(full * least), Ohms::new(full * most)) {
            (Ok(least), Ok(most)) => {
                preferred_ohms(&E12.value, least, most).into_iter().map(Ohms::get).collect()
            }
            (_, _) => Vec::new(),
        }
    };
    let tolerance = Resistor::COMMON_TOLERANCE;
    let beside = |a: f64, b: f64| a * b / (a + b);
    let mut best: Option<(f64, [f64; 3])> = None;
    for high in within(0.3, 1.0) {
        for second in within(0.1, 3.0) {
            let centre = beside(high, second);
            for third in within(0.01, 0.2) {
                let low = beside(centre, third);
                let apart = (centre * (1.0 - tolerance) - low * (1.0 + tolerance))
                    .min(high * (1.0 - tolerance) - centre * (1.0 + tolerance));
                if best.is_none_or(|(most, _)| apart > most) {
                    best = Some((apart, [high, second, third]));
                }
            }
        }
    }
    let [high, second, third] = best.filter(|(apart, _)| *apart > 0.0)?.1.map(Ohms::new);
    Some([high.ok()?, second.ok()?, third.ok()?])
}

//! An axis that two controls move: resistors in steps instead of a pot.
//!
//! One resistor always leads from the feed to the axis: alone it is the high end. A second beside it makes the middle, and
//! is switched off while the high end's control is pressed. A third beside both makes the low end, and is switched on while
//! the low end's control is pressed.

use solderside_lead::Resistor;
use solderside_profile::{Control, Port, PortContact, PortRole};
use solderside_quantity::{Ohms, Volts};
use solderside_trade::{ContactId, E12, preferred_ohms};

use super::wants::Signal;
use super::ways::{Feed, Section};
use crate::plain::{Part, Problem};

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
                problem.play.push(Part { action, controls: namesake, wished: false });
            }
        }
        problem
    }
}

impl Steps {
    /// The steps of each axis that controls move, with its contact.
    pub(super) fn all(problem: &Problem, supply: ContactId) -> Vec<(ContactId, Self)> {
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
            Some((contact, Self { feed: feed(port, supply), ohms, sections }))
        });
        axes.collect()
    }
}

/// What feeds an axis: a contact that is there for nothing else, or a supply that feeds no chip of the lead, so that what
/// these take does not move it. A line that may stand at nothing, as one of data does, feeds none.
fn feed(port: &Port, supply: ContactId) -> ContactId {
    let feeds = || port.contacts.iter().filter(|(_, contact)| contact.role.feeds());
    let stands = |contact: &PortContact| matches!(&contact.role, PortRole::Signal(own) if own.volts.low() > Volts::ZERO);
    let own = feeds().find(|(_, contact)| stands(contact));
    let other = feeds().find(|(id, contact)| matches!(contact.role, PortRole::Supply(_)) && **id != supply);
    own.or(other).map_or(supply, |(id, _)| *id)
}

/// The preferred values that keep the three positions farthest apart over their tolerances: the high end no farther than
/// the port's own stick goes, the low end no nearer than a hundredth of it, where a pot stops (common practice, no source).
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

#[cfg(test)]
mod tests {
    use super::*;

    /// IEC 60063:2015: the twelve values of a decade.
    const TWELVE: [u32; 12] = [10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82];

    fn is_preferred(ohms: Ohms) -> bool {
        let mut value = ohms.get();
        while value >= 99.5 {
            value /= 10.0;
        }
        TWELVE.iter().any(|twelfth| (value - f64::from(*twelfth)).abs() < 1e-6)
    }

    /// Low, centre and high as resistances, at the nominal values.
    fn positions([high, second, third]: [Ohms; 3]) -> [f64; 3] {
        let conductance = |ohms: Ohms| 1.0 / ohms.get();
        let centre = 1.0 / (conductance(high) + conductance(second));
        [1.0 / (1.0 / centre + conductance(third)), centre, high.get()]
    }

    #[test]
    fn the_steps_are_preferred_values_that_span_the_travel_of_the_ports_own_stick() {
        for full in [47e3, 100e3, 150e3, 470e3, 500e3, 1e6] {
            let ohms = values(Ohms::new(full).unwrap()).unwrap();
            assert!(ohms.into_iter().all(is_preferred), "{ohms:?}");
            let [low, centre, high] = positions(ohms).map(|ohms| ohms / full);
            assert!(low < 0.03 && (0.4..0.6).contains(&centre) && (0.8..=1.0).contains(&high), "{ohms:?}");
        }
    }

    /// What a lever switches in comes to the same places as a pot of 100 kΩ: 100 kΩ, 50 kΩ, about 1 kΩ.
    #[test]
    fn a_port_for_sticks_of_100_kilohms_gets_100_100_and_1() {
        assert_eq!(values(Ohms::literal(100e3)), Some([100e3, 100e3, 1e3].map(Ohms::literal)));
    }
}

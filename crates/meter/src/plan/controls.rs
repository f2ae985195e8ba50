//! The second part of a meter test: the controller plugged into the lead, the machine never; each switch held and let go.

use solderside_lead::{EndId, Leg};
use solderside_profile::{Control, Controller, Inside};

use crate::bench::{Bench, Spot};
use crate::nets::Nets;
use crate::reading::{Measurement, Range, Span};

use super::Probing;

/// What a meter sees of the controller's switches at the port end.
#[derive(Debug, Clone, PartialEq)]
pub struct Controls {
    /// The switches that it sees, in the order of the profile.
    pub steps: Vec<ControlStep>,
    /// Those that it does not, and why.
    pub hidden: Vec<Hidden>,
}

/// One switch, read twice at the same two contacts.
#[derive(Debug, Clone, PartialEq)]
pub struct ControlStep {
    /// The controller's end.
    pub end: EndId,
    /// The control.
    pub control: Control,
    /// Where the probes go; nothing is held.
    pub measurement: Measurement,
    /// What the meter shows while it is held.
    pub held: Span,
    /// What it shows while nothing is.
    pub released: Span,
}

/// A control that no meter sees at the port end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hidden {
    /// The controller's end.
    pub end: EndId,
    /// The control.
    pub control: Control,
    /// Why.
    pub behind: Behind,
}

/// Why a control is not seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Behind {
    /// The lead does not carry it.
    NoConductor,
    /// Chips or other parts inside the controller answer for it.
    TheController,
    /// Chips or transistors of the lead stand between.
    TheLead,
}

impl ControlStep {
    /// The reading while the control is held.
    pub fn holding(&self) -> Measurement {
        Measurement { held: Some(vec![self.control.clone()]), ..self.measurement.clone() }
    }
}

impl Behind {
    /// Why, in words that follow the names of controls.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::NoConductor => "not carried by the lead",
            Self::TheController => {
                "behind chips or other parts inside the controller, which a meter would feed"
            }
            Self::TheLead => "behind chips or transistors of the lead, which are without supply",
        }
    }
}

impl Controls {
    /// The hidden ones, those of one reason together.
    pub fn hidden_by_reason(&self) -> Vec<(Behind, Vec<&Control>)> {
        let mut groups: Vec<(Behind, Vec<&Control>)> = Vec::new();
        for Hidden { control, behind, .. } in &self.hidden {
            match groups.iter_mut().find(|(own, _)| own == behind) {
                Some((_, controls)) => controls.push(control),
                None => groups.push((*behind, vec![control])),
            }
        }
        groups
    }

    /// Finds for each switch the two contacts of the port end at which held and let go are told apart for certain.
    pub fn of(bench: &Bench<'_>) -> Self {
        let mut controls = Self { steps: Vec::new(), hidden: Vec::new() };
        let released = Nets::of(bench, &bench.good(), Some(&[]));
        for (end, controller) in bench.assembly().controllers() {
            for control in controller.controls() {
                // A meter on ohms would feed the chips of a pad.
                let step = if has_chips(controller) { None } else { step(bench, (end, control), &released) };
                if let Some(step) = step {
                    controls.steps.push(step);
                } else {
                    let behind = behind(bench, (end, controller), control);
                    controls.hidden.push(Hidden { end, control: control.clone(), behind });
                }
            }
        }
        controls
    }
}

/// Whether anything inside switches that is no contact.
fn has_chips(controller: &Controller) -> bool {
    let switches = |inside: &Inside| inside.parts.iter().any(|part| part.body.switches());
    controller.logic.is_some() || controller.inside.as_ref().is_some_and(switches)
}

fn step(bench: &Bench<'_>, (end, control): (EndId, &Control), released: &Nets) -> Option<ControlStep> {
    let held = Nets::of(bench, &bench.good(), Some(std::slice::from_ref(control)));
    let spans = |probing: &Probing| [probing.shown(&held), probing.shown(released)];
    let told_apart = probings(bench).into_iter().filter(|probing| {
        let [held, released] = spans(probing);
        !held.meets(released)
    });
    // The ohms range before the diode range, the lower resistance before the higher; the first of what is alike.
    let best = told_apart.min_by(|one, other| {
        let [a, b] = [one, other].map(|probing| spans(probing)[0].high());
        one.range.cmp(&other.range).then(a.total_cmp(&b))
    })?;
    let [held, released] = spans(&best);
    let measurement = Measurement { held: Some(Vec::new()), ..best.measurement(bench) };
    Some(ControlStep { end, control: control.clone(), measurement, held, released })
}

/// Every reading at two contacts of the port end that the lead has conductors on, a return as the black one where there is
/// one.
fn probings(bench: &Bench<'_>) -> Vec<Probing> {
    let assembly = bench.assembly();
    let returns: Vec<Leg> = assembly.port.returns().into_iter().map(Leg::port).collect();
    let used = assembly.port.connector.family.contact_ids().map(Leg::port);
    let mut used: Vec<Leg> = used.filter(|leg| assembly.lead.joined(*leg).next().is_some()).collect();
    used.sort_by_key(|leg| (returns.contains(leg), *leg));
    let spots: Vec<Spot> = used.into_iter().filter_map(|leg| bench.spot(leg)).collect();
    let pairs = || {
        let pairs = spots.iter().enumerate();
        pairs.flat_map(|(at, red)| spots.iter().skip(at + 1).map(move |black| [*red, *black]))
    };
    let ohms = pairs().map(|[red, black]| Probing { range: Range::Ohms, red, black });
    let diode = pairs().flat_map(|[one, other]| {
        [[one, other], [other, one]].map(|[red, black]| Probing { range: Range::Diode, red, black })
    });
    ohms.chain(diode).collect()
}

fn behind(bench: &Bench<'_>, (end, controller): (EndId, &Controller), control: &Control) -> Behind {
    let is_carried = controller
        .contact_of(control)
        .is_some_and(|contact| bench.assembly().lead.joined(Leg { end, contact }).next().is_some());
    if has_chips(controller) || controller.contact_of(control).is_none() {
        Behind::TheController
    } else if is_carried {
        Behind::TheLead
    } else {
        Behind::NoConductor
    }
}

//! The ways in which one contact of the machine can be served, each made of sections of chips.

use std::collections::BTreeSet;

use solderside_profile::{ActiveLevel, Port};
use solderside_trade::{ChipPart, ContactId};

use super::register::Chain;
use super::steps::Steps;
use super::wants::{Show, Signal, Want, driven, lines};

/// What an input of a chip is joined to.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Feed {
    Ground,
    Supply,
    /// A line that the machine drives.
    Line(ContactId),
    /// Low while one of these controls is pressed.
    Signal(Signal),
    /// High while one of these controls is pressed.
    Inverted(Signal),
}

/// One of the equal things that a chip holds several times.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Section {
    /// Shows one input while a line is low, and another while it is high.
    Multiplexer { select: ContactId, low: Feed, high: Feed },
    /// Shows its input while its enable is low, and else lets go.
    Buffer { enable: Feed, input: Feed },
    /// Shows the opposite.
    Inverter { input: Feed },
    /// Closed while its control is high.
    Switch { control: Feed },
}

/// How a contact is served.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Way {
    /// The machine's own resistor does it.
    Nothing,
    /// A wire from the return or, if true, from the supply.
    Tied(bool),
    /// A wire from the controls.
    Wire(Signal),
    /// A section whose output drives the contact both ways.
    Driven(Section),
    /// Sections that only pull the contact low, each through a diode, so that none fights another or the machine.
    Pulled(Vec<Section>),
    /// A chain of registers.
    Chain(Chain),
    /// Resistors that switches put together.
    Steps(Steps),
}

impl Way {
    /// All ways to serve a contact, those of wire first.
    pub(super) fn all(want: &Want, port: &Port, registers: &[ChipPart]) -> Vec<Self> {
        let mut ways = constant(want);
        ways.extend(gated(want, port));
        ways.extend(chosen(want, port));
        for chip in registers {
            ways.extend(Chain::all(want, port, *chip).into_iter().map(Self::Chain));
        }
        ways
    }

    /// Whether it is a wire from the controls.
    pub(super) const fn is_wire(&self) -> bool {
        matches!(self, Self::Wire(_))
    }

    /// The sections that it takes.
    pub(super) fn sections(&self) -> &[Section] {
        match self {
            Self::Driven(section) => std::slice::from_ref(section),
            Self::Pulled(sections) => sections,
            Self::Steps(steps) => &steps.sections,
            Self::Nothing | Self::Tied(_) | Self::Wire(_) | Self::Chain(_) => &[],
        }
    }
}

/// Where one thing is wanted in all steps.
fn constant(want: &Want) -> Vec<Way> {
    match want.one(|at| want.shows[at] != Show::LetGo) {
        Some(Show::Fixed(high)) if high == want.idle() && want.is_held => vec![Way::Nothing],
        Some(Show::Fixed(high)) if !want.is_shared() => vec![Way::Tied(high)],
        Some(Show::Pressed(signal)) => {
            let input = Feed::Signal(signal.clone());
            match want.active {
                // Pulled low while the signal is low, and else let go.
                ActiveLevel::Low => {
                    let pulls = Section::Buffer { enable: input.clone(), input: Feed::Ground };
                    let mut ways = vec![Way::Wire(signal)];
                    if want.is_alone() {
                        ways.push(Way::Driven(Section::Buffer { enable: Feed::Ground, input }));
                    }
                    ways.push(Way::Pulled(vec![pulls]));
                    ways
                }
                ActiveLevel::High if want.is_alone() => vec![Way::Driven(Section::Inverter { input })],
                ActiveLevel::High => Vec::new(),
            }
        }
        Some(Show::Any) => vec![Way::Nothing],
        Some(Show::Fixed(_) | Show::LetGo) | None => Vec::new(),
    }
}

/// The level of a line in a step: true is high, none is let go.
fn level(port: &Port, step: usize, line: ContactId) -> Option<bool> {
    driven(port.steps.get(step)?, line)
}

/// Where a line says which of two things is wanted.
fn chosen(want: &Want, port: &Port) -> Vec<Way> {
    if !want.is_alone() || want.active == ActiveLevel::High {
        return Vec::new();
    }
    let mut ways = Vec::new();
    for select in lines(port) {
        let looked = |at: &usize| want.shows[*at] != Show::Any;
        let is_certain = (0..want.shows.len()).filter(looked).all(|at| level(port, at, select).is_some());
        let of = |high: bool| want.one(|at| level(port, at, select) == Some(high));
        let (Some(low), Some(high), true) = (of(false), of(true), is_certain) else { continue };
        let feed = |show: Show| match show {
            Show::Any | Show::LetGo | Show::Fixed(false) => Feed::Ground,
            Show::Fixed(true) => Feed::Supply,
            Show::Pressed(signal) => Feed::Signal(signal),
        };
        // A line that shows the same thing either way needs no choice.
        if low != high {
            ways.push(Way::Driven(Section::Multiplexer { select, low: feed(low), high: feed(high) }));
        }
    }
    ways
}

/// Where a line that is low says that something is wanted, and all is idle else.
fn gated(want: &Want, port: &Port) -> Vec<Way> {
    if want.active == ActiveLevel::High || !want.is_held {
        return Vec::new();
    }
    let mut signals: Vec<&Signal> = Vec::new();
    for show in &want.shows {
        match show {
            Show::Pressed(signal) if !signals.contains(&signal) => signals.push(signal),
            Show::Fixed(false) => return Vec::new(),
            Show::Pressed(_) | Show::Fixed(true) | Show::Any | Show::LetGo => {}
        }
    }
    let mut sections = Vec::new();
    let mut rows: BTreeSet<ContactId> = BTreeSet::new();
    for signal in signals {
        // Low wherever this signal is wanted, and nowhere where anything else is.
        let row = lines(port).filter(|row| !rows.contains(row)).find(|row| {
            want.shows.iter().enumerate().all(|(at, show)| {
                let is_low = level(port, at, *row) == Some(false);
                match show {
                    Show::Pressed(own) => (own == signal) == is_low,
                    Show::Fixed(_) | Show::LetGo => !is_low,
                    Show::Any => true,
                }
            })
        });
        let Some(row) = row else { return Vec::new() };
        rows.insert(row);
        sections.push(Section::Buffer { enable: Feed::Line(row), input: Feed::Signal(signal.clone()) });
    }
    let at_once = |at: usize| rows.iter().filter(|row| level(port, at, **row) == Some(false)).count();
    if sections.is_empty() || (0..want.shows.len()).any(|at| at_once(at) > 1) {
        return Vec::new();
    }
    match sections.as_slice() {
        [section] if want.is_alone() => vec![Way::Driven(section.clone())],
        _ => vec![Way::Pulled(sections)],
    }
}

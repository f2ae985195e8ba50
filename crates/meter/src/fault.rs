//! One physical mistake: what it is, how it changes the lead, and its name on paper.

use solderside_lead::{Body, EndId, Join, Leg, PartId};
use solderside_profile::Control;
use solderside_trade::ContactId;

use crate::bench::Bench;
use crate::build::{Build, Joint};

/// One physical mistake.
///
/// All but the last three are the lead's own; those look like faults of the lead to whoever plays.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// A joint holds no current: cold, cracked, forgotten; or the conductor is broken at its end.
    OpenJoint(Tip),
    /// A joint carries current through 50 Ω to 5 kΩ.
    WeakJoint(Tip),
    /// Solder or a strand between two cups of one end.
    Bridge([Leg; 2]),
    /// Two conductors touch in the cable, where it is crushed or their insulation melted.
    CableShort([Join; 2]),
    /// Two conductors sit in each other's cup at one end.
    Swapped(Tip, Tip),
    /// All cups of an end were counted from the wrong side.
    Mirrored(EndId),
    /// The rows of an end were taken for each other.
    RowsExchanged(EndId),
    /// A conductor sits in a cup beside its own.
    OneCupOff(Tip, Leg),
    /// A part was left out.
    PartMissing(PartId),
    /// A part sits the wrong way round.
    PartReversed(PartId),
    /// A resistor of ten times its value.
    DecadeUp(PartId),
    /// A resistor of a tenth of its value.
    DecadeDown(PartId),
    /// A leg of a chip is bent under it, or does not touch its socket.
    LegOpen(Leg),
    /// A contact of a switch of the lead does not close: the join that it is while the switch stands so.
    ThrowOpen(Join),
    /// A switch of the controller does not close.
    DirtyContact(EndId, Control),
    /// A switch of the controller is always closed.
    StuckContact(EndId, Control),
    /// The machine does not read a line.
    DeadInput(ContactId),
}

/// An end of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tip {
    /// The conductor, by the join that it makes.
    pub join: Join,
    /// Where this end of it belongs: one of the join's two legs.
    pub at: Leg,
}

/// What kind of mistake it is: what a person weighs, and what figures are told by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultKind {
    /// [`Fault::OpenJoint`].
    OpenJoint,
    /// [`Fault::WeakJoint`].
    WeakJoint,
    /// [`Fault::Bridge`].
    Bridge,
    /// [`Fault::CableShort`].
    CableShort,
    /// [`Fault::Swapped`].
    Swapped,
    /// [`Fault::Mirrored`].
    Mirrored,
    /// [`Fault::RowsExchanged`].
    RowsExchanged,
    /// [`Fault::OneCupOff`].
    OneCupOff,
    /// [`Fault::PartMissing`].
    PartMissing,
    /// [`Fault::PartReversed`].
    PartReversed,
    /// [`Fault::DecadeUp`] and [`Fault::DecadeDown`].
    DecadeOff,
    /// [`Fault::LegOpen`].
    LegOpen,
    /// [`Fault::ThrowOpen`].
    ThrowOpen,
    /// [`Fault::DirtyContact`].
    DirtyContact,
    /// [`Fault::StuckContact`].
    StuckContact,
    /// [`Fault::DeadInput`].
    DeadInput,
}

impl FaultKind {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 16] = [
        Self::OpenJoint,
        Self::WeakJoint,
        Self::Bridge,
        Self::CableShort,
        Self::Swapped,
        Self::Mirrored,
        Self::RowsExchanged,
        Self::OneCupOff,
        Self::PartMissing,
        Self::PartReversed,
        Self::DecadeOff,
        Self::LegOpen,
        Self::ThrowOpen,
        Self::DirtyContact,
        Self::StuckContact,
        Self::DeadInput,
    ];

    /// The word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::OpenJoint => "open-joint",
            Self::WeakJoint => "weak-joint",
            Self::Bridge => "bridge",
            Self::CableShort => "cable-short",
            Self::Swapped => "swapped",
            Self::Mirrored => "mirrored",
            Self::RowsExchanged => "rows-exchanged",
            Self::OneCupOff => "one-cup-off",
            Self::PartMissing => "part-missing",
            Self::PartReversed => "part-reversed",
            Self::DecadeOff => "decade-off",
            Self::LegOpen => "leg-open",
            Self::ThrowOpen => "throw-open",
            Self::DirtyContact => "dirty-contact",
            Self::StuckContact => "stuck-contact",
            Self::DeadInput => "dead-input",
        }
    }

    /// Whether the lead itself is wrong; else the controller or the machine is.
    pub const fn is_of_the_lead(self) -> bool {
        match self {
            Self::OpenJoint
            | Self::WeakJoint
            | Self::Bridge
            | Self::CableShort
            | Self::Swapped
            | Self::Mirrored
            | Self::RowsExchanged
            | Self::OneCupOff
            | Self::PartMissing
            | Self::PartReversed
            | Self::DecadeOff
            | Self::LegOpen
            | Self::ThrowOpen => true,
            Self::DirtyContact | Self::StuckContact | Self::DeadInput => false,
        }
    }
}

impl Fault {
    /// What kind of mistake it is.
    pub const fn kind(&self) -> FaultKind {
        match self {
            Self::OpenJoint(_) => FaultKind::OpenJoint,
            Self::WeakJoint(_) => FaultKind::WeakJoint,
            Self::Bridge(_) => FaultKind::Bridge,
            Self::CableShort(_) => FaultKind::CableShort,
            Self::Swapped(..) => FaultKind::Swapped,
            Self::Mirrored(_) => FaultKind::Mirrored,
            Self::RowsExchanged(_) => FaultKind::RowsExchanged,
            Self::OneCupOff(..) => FaultKind::OneCupOff,
            Self::PartMissing(_) => FaultKind::PartMissing,
            Self::PartReversed(_) => FaultKind::PartReversed,
            Self::DecadeUp(_) | Self::DecadeDown(_) => FaultKind::DecadeOff,
            Self::LegOpen(_) => FaultKind::LegOpen,
            Self::ThrowOpen(_) => FaultKind::ThrowOpen,
            Self::DirtyContact(..) => FaultKind::DirtyContact,
            Self::StuckContact(..) => FaultKind::StuckContact,
            Self::DeadInput(_) => FaultKind::DeadInput,
        }
    }

    /// Makes the mistake. One of another lead changes nothing.
    pub(crate) fn make(&self, bench: &Bench<'_>, build: &mut Build) {
        _ = self.try_to_make(bench, build);
    }

    fn try_to_make(&self, bench: &Bench<'_>, build: &mut Build) -> Option<()> {
        match self {
            Self::OpenJoint(tip) => build.joint(bench.end_of(*tip)?, Joint::Open),
            // While the switch stands the other way there is no such contact, and nothing changes.
            Self::ThrowOpen(join) => {
                build.joint(bench.end_of(Tip { join: *join, at: join.from })?, Joint::Open);
            }
            Self::WeakJoint(tip) => build.joint(bench.end_of(*tip)?, Joint::WEAK),
            Self::Bridge([one, other]) => build.bridge([bench.spot(*one)?, bench.spot(*other)?]),
            Self::CableShort([one, other]) => build.bridge([bench.spot(one.from)?, bench.spot(other.from)?]),
            Self::Swapped(one, other) => build.swap(bench.end_of(*one)?, bench.end_of(*other)?),
            Self::Mirrored(end) => build.move_all(&bench.mirrored(*end)),
            Self::RowsExchanged(end) => build.move_all(&bench.rows_exchanged(*end)),
            Self::OneCupOff(tip, cup) => build.move_tip(bench.end_of(*tip)?, bench.spot(*cup)?),
            Self::PartMissing(id) => build.leave_out(*id),
            Self::PartReversed(id) => {
                let part = bench.assembly().lead.part(*id)?;
                let legs = bench.turned(part);
                match part.body {
                    Body::Chip(_) => build.turn(legs),
                    Body::Diode(_)
                    | Body::Transistor(_)
                    | Body::Resistor(_)
                    | Body::Capacitor(_)
                    | Body::Changeover(_) => {
                        build.move_all(&legs);
                        build.put_back(
                            bench.wires().iter().enumerate().filter(|(_, wire)| wire.join.is_of_switch()),
                        );
                    }
                }
            }
            Self::DecadeUp(id) => build.scale(*id, 10.0),
            Self::DecadeDown(id) => build.scale(*id, 0.1),
            Self::LegOpen(leg) => build.bend(bench.spot(*leg)?),
            Self::DirtyContact(end, control) => build.dirty(*end, control.clone()),
            Self::StuckContact(end, control) => build.stick(*end, control.clone()),
            Self::DeadInput(contact) => build.kill(*contact),
        }
        Some(())
    }

    /// What it is, in a sentence without its full stop: "the joint of controller.13 - port.6 at port.6 is open".
    pub fn told(&self, bench: &Bench<'_>) -> String {
        let joint = |tip: &Tip| format!("the joint of {} at {}", tip.join, tip.at);
        match self {
            Self::OpenJoint(tip) => format!("{} is open", joint(tip)),
            Self::WeakJoint(tip) => format!("{} is weak", joint(tip)),
            Self::Bridge([one, other]) => {
                format!("a bridge between {one} and {other}")
            }
            Self::CableShort([one, other]) => format!("the conductors {one} and {other} touch in the cable"),
            Self::Swapped(one, other) => format!(
                "the conductors of {} and {} are swapped at the {} end",
                one.at,
                other.at,
                bench.assembly().lead.hood(one.at)
            ),
            Self::Mirrored(end) => {
                format!("the {end} end is wired mirrored: its cups were counted from the wrong side")
            }
            Self::RowsExchanged(end) => format!("the rows of the {end} end were taken for each other"),
            Self::OneCupOff(tip, cup) => {
                format!("the conductor {} sits at {} in the place of {}", tip.join, cup, tip.at)
            }
            Self::PartMissing(id) => format!("{} is missing", bench.part_told(*id)),
            Self::PartReversed(id) => match bench.assembly().lead.part(*id).map(|part| part.body) {
                Some(Body::Chip(_) | Body::Transistor(_) | Body::Changeover(_)) => {
                    format!("{} sits turned round", bench.part_told(*id))
                }
                Some(Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_)) | None => {
                    format!("{} is reversed", bench.part_told(*id))
                }
            },
            Self::DecadeUp(id) => format!("{} has ten times its value", bench.part_told(*id)),
            Self::DecadeDown(id) => format!("{} has a tenth of its value", bench.part_told(*id)),
            Self::LegOpen(leg) => format!("the leg {leg} does not touch its socket"),
            Self::ThrowOpen(join) => {
                format!("the contact of the switch from {} to {} does not close", join.from, join.to)
            }
            Self::DirtyContact(end, control) => {
                format!("the contact of `{control}` in the {end} is dirty or broken")
            }
            Self::StuckContact(end, control) => {
                format!("the contact of `{control}` in the {end} is always closed")
            }
            Self::DeadInput(contact) => format!("the machine does not read its contact {contact}"),
        }
    }

    /// What to do about it, in a sentence without its full stop.
    pub fn mend(&self, bench: &Bench<'_>) -> String {
        match self {
            Self::OpenJoint(tip) | Self::WeakJoint(tip) => format!(
                "look at {}, heat the joint again with a little fresh solder, tug at the conductor when it is cold",
                tip.at
            ),
            Self::Bridge([one, other]) => format!(
                "look between {one} and {other} for solder or a stray strand, and draw it off with braid"
            ),
            Self::CableShort(_) => {
                "bend the cable along its length while the meter watches the two conductors, and cut out or replace what is \
                 crushed"
                    .to_owned()
            }
            Self::Swapped(one, other) => {
                format!("exchange the two conductors at {} and {}", one.at, other.at)
            }
            Self::Mirrored(end) | Self::RowsExchanged(end) => {
                format!("solder the {end} end again, cup by cup by the numbers moulded beside the contacts")
            }
            Self::OneCupOff(tip, cup) => {
                format!("move the conductor from {} to {}", cup, tip.at)
            }
            Self::PartMissing(id) => format!("put {} in", bench.part_told(*id)),
            Self::PartReversed(id) => {
                format!("turn {} round; a chip that was powered so may be dead", bench.part_told(*id))
            }
            Self::DecadeUp(id) | Self::DecadeDown(id) => {
                format!("put {} in, by its bands and by the meter", bench.part_told(*id))
            }
            Self::LegOpen(leg) => {
                format!("pull the chip, straighten its leg {leg}, press it in again")
            }
            Self::ThrowOpen(join) => format!(
                "move the switch to and fro a few times, and measure from {} to {} on its own lugs; if that stays open, put in \
                 another switch",
                join.from, join.to
            ),
            Self::DirtyContact(_, control) => format!(
                "measure `{control}` at the controller's own plug while it is held; a carbon contact may be cleaned with \
                 isopropyl alcohol, a leaf contact be bent nearer"
            ),
            Self::StuckContact(_, control) => format!(
                "measure `{control}` at the controller's own plug while it is released; a leaf contact may be bent apart, a \
                 microswitch be replaced"
            ),
            Self::DeadInput(contact) => format!(
                "with the machine's own controller, or by a touch of 1 kΩ from contact {contact} to the return, see whether \
                 the machine reads it at all; if not, leave the machine to somebody qualified"
            ),
        }
    }

    /// Where to look: the places that it is about, as far as they are of the lead.
    pub fn places(&self) -> Vec<Leg> {
        match self {
            Self::OpenJoint(tip) | Self::WeakJoint(tip) => vec![tip.at],
            Self::Bridge(legs) => legs.to_vec(),
            Self::Swapped(one, other) => vec![one.at, other.at],
            Self::OneCupOff(tip, cup) => vec![tip.at, *cup],
            Self::LegOpen(leg) => vec![*leg],
            Self::ThrowOpen(join) => vec![join.from, join.to],
            Self::DeadInput(contact) => vec![Leg::port(*contact)],
            Self::CableShort(_)
            | Self::Mirrored(_)
            | Self::RowsExchanged(_)
            | Self::PartMissing(_)
            | Self::PartReversed(_)
            | Self::DecadeUp(_)
            | Self::DecadeDown(_)
            | Self::DirtyContact(..)
            | Self::StuckContact(..) => Vec::new(),
        }
    }
}

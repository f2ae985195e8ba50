//! Which colour each conductor has.

use std::collections::BTreeMap;
use std::fmt;

use solderside_lead::{Assembly, Join, Leg};
use solderside_profile::PortRole;
use solderside_trade::{Colour, combine};

use crate::words::{contacts_here, is_bare};

/// The colour of one conductor's insulation: one colour, or one with a ring or stripe of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Core {
    base: Colour,
    ring: Option<Colour>,
}

/// The conductors' colours, join by join.
///
/// A join without an entry is drawn bare: in grey, without letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Colouring(BTreeMap<Join, Core>);

/// The single colours that neither supply nor return takes, in the order of the IEC 60757 list. Gold and
/// silver are no colours of cheap cable, and green-and-yellow is the protective conductor's.
const SIGNALS: [Colour; 10] = [
    Colour::Bn,
    Colour::Og,
    Colour::Ye,
    Colour::Gn,
    Colour::Bu,
    Colour::Vt,
    Colour::Gy,
    Colour::Wh,
    Colour::Pk,
    Colour::Tq,
];

impl Core {
    /// A conductor of one colour.
    pub const fn plain(base: Colour) -> Self {
        Self { base, ring: None }
    }

    /// A conductor of one colour with a ring or stripe of another; `None` where IEC 60757 has no such
    /// combination.
    pub fn ringed(base: Colour, ring: Colour) -> Option<Self> {
        combine(base, ring).is_ok().then_some(Self { base, ring: Some(ring) })
    }

    /// The colour that covers most of it.
    pub const fn base(self) -> Colour {
        self.base
    }

    /// The colour of the ring or stripe.
    pub const fn ring(self) -> Option<Colour> {
        self.ring
    }

    /// The colour in words: `brown`, `orange with white`.
    pub fn words(self) -> String {
        match self.ring {
            None => self.base.word().to_owned(),
            Some(ring) => format!("{} with {}", self.base.word(), ring.word()),
        }
    }

    /// The cores that are handed out once supply and return have theirs: plain ones, then those ringed in
    /// white, the ring that is seen best, then those ringed in yellow.
    fn handed_out() -> impl Iterator<Item = Self> {
        let ringed = |ring: Colour| SIGNALS.into_iter().filter_map(move |base| Self::ringed(base, ring));
        // White ringed in yellow has the same letters as yellow ringed in white.
        let yellow = ringed(Colour::Ye).filter(|core| core.base != Colour::Wh);
        SIGNALS.into_iter().map(Self::plain).chain(ringed(Colour::Wh)).chain(yellow)
    }
}

impl Colouring {
    /// The colours for a lead of which no cable has been chosen: red for the supply, black for the return,
    /// the others in the order of the standard's list. The bare legs of parts have none.
    ///
    /// A lead of more than 28 conductors leaves the last ones bare.
    pub fn usual(assembly: &Assembly) -> Self {
        let mut colouring = Self::default();
        let mut cores = Core::handed_out();
        let [mut supply, mut home] = [Some(Colour::Rd), Some(Colour::Bk)];
        for join in assembly.lead.joins.iter().filter(|join| !is_bare(assembly, **join)) {
            let own = if is_supply(assembly, *join) {
                supply.take()
            } else if is_return(assembly, *join) {
                home.take()
            } else {
                None
            };
            if let Some(core) = own.map(Core::plain).or_else(|| cores.next()) {
                colouring.set(*join, core);
            }
        }
        colouring
    }

    /// Sets the colour of one conductor: that of the cable in hand.
    pub fn set(&mut self, join: Join, core: Core) {
        self.0.insert(join, core);
    }

    /// The colour of a conductor.
    pub fn core(&self, join: Join) -> Option<Core> {
        self.0.get(&join).copied()
    }

    /// The letters of a conductor's colour; `–` where it is bare.
    pub fn letters(&self, join: Join) -> String {
        self.core(join).map_or_else(|| "–".to_owned(), |core| core.to_string())
    }

    /// A conductor's colour in words.
    pub fn words(&self, join: Join) -> String {
        self.core(join).map_or_else(|| "bare".to_owned(), Core::words)
    }
}

/// Whether a conductor carries the machine's supply.
pub(crate) fn is_supply(assembly: &Assembly, join: Join) -> bool {
    reaches(assembly, join, |role| matches!(role, PortRole::Supply(_)))
}

/// Whether a conductor leads to true ground.
pub(crate) fn is_return(assembly: &Assembly, join: Join) -> bool {
    reaches(assembly, join, |role| *role == PortRole::Return)
}

fn reaches(assembly: &Assembly, join: Join, wanted: impl Fn(&PortRole) -> bool) -> bool {
    let here = [join.from, join.to].map(|leg| contacts_here(&assembly.lead, leg));
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    here.iter().flatten().filter_map(role).any(wanted)
}

impl fmt::Display for Core {
    /// The letters of IEC 60757, such as `BN` or `OGWH`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pair = self.ring.and_then(|ring| combine(self.base, ring).ok());
        f.pad(pair.as_deref().unwrap_or_else(|| self.base.code()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::{pad_to_curlew, stick_to_plover};

    #[test]
    fn the_return_is_black_and_the_others_follow_the_list() {
        let assembly = stick_to_plover();
        let colouring = Colouring::usual(&assembly);
        let letters: Vec<String> =
            assembly.lead.joins.iter().map(|join| format!("{join}: {}", colouring.letters(*join))).collect();
        assert_eq!(
            letters,
            [
                "controller.1 - port.9: BK",
                "controller.5 - port.7: BN",
                "controller.6 - port.4: OG",
                "controller.7 - port.2: YE",
                "controller.13 - port.6: GN",
                "controller.14 - port.3: BU",
                "controller.15 - port.1: VT",
            ]
        );
    }

    #[test]
    fn the_supply_is_red() {
        let assembly = pad_to_curlew();
        let supply = "controller.8 - port.7".parse().unwrap();
        assert_eq!(Colouring::usual(&assembly).letters(supply), "RD");
    }

    #[test]
    fn no_two_of_28_conductors_look_alike() {
        let mut letters: Vec<String> = Core::handed_out().map(|core| core.to_string()).collect();
        letters.sort_unstable();
        let handed_out = letters.len();
        letters.dedup();
        assert_eq!(letters.len(), handed_out);
        assert_eq!(handed_out + 2, 28);
    }

    #[test]
    fn a_core_is_named_by_the_standards_order_and_told_by_its_looks() {
        let core = Core::ringed(Colour::Wh, Colour::Bn).unwrap();
        assert_eq!(core.to_string(), "BNWH");
        assert_eq!(core.words(), "white with brown");
        assert_eq!(Core::ringed(Colour::Ye, Colour::Gn), None);
    }
}

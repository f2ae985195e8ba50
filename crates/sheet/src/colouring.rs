//! Which colour each conductor has.

use std::collections::BTreeMap;

use solderside_lead::{Allocation, Assembly, Job, Join, Leg};
use solderside_profile::{CoreId, PortRole};
use solderside_trade::{Colour, CoreColour};

use crate::words::{contacts_here, is_bare};

/// The conductors' colours, join by join, and the cores that they are where a cable is chosen.
///
/// A join without an entry is drawn bare: in grey, without letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Colouring(BTreeMap<Join, Look>);

/// By what a conductor is known; a piece of wire beside the cable by nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Look {
    colour: Option<CoreColour>,
    core: Option<CoreId>,
    partner: Option<CoreId>,
}

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

/// The colours that are handed out once supply and return have theirs: plain ones, then those ringed in
/// white, the ring that is seen best, then those ringed in yellow.
fn handed_out() -> impl Iterator<Item = CoreColour> {
    let ringed =
        |ring: Colour| SIGNALS.into_iter().filter_map(move |base| CoreColour::ringed(base, ring).ok());
    // White ringed in yellow has the same letters as yellow ringed in white.
    let yellow = ringed(Colour::Ye).filter(|core| core.base() != Colour::Wh);
    SIGNALS.into_iter().map(CoreColour::plain).chain(ringed(Colour::Wh)).chain(yellow)
}

impl Colouring {
    /// The cores of the lead's cable; [`Colouring::usual`] if none is chosen.
    ///
    /// A join that no core is left for has no entry; one that stays within a hood is told as wire.
    pub fn of(assembly: &Assembly) -> Self {
        let (Some(cable), Some(allocation)) = (&assembly.lead.cable, Allocation::of(assembly)) else {
            return Self::usual(assembly);
        };
        let look = |core: CoreId| Look {
            colour: cable.colour(core),
            core: Some(core),
            partner: cable.partner(core),
        };
        let links = assembly.lead.soldered().filter(|join| !assembly.lead.runs_through_cable(join));
        let links = links.map(|join| (*join, Look { colour: None, core: None, partner: None }));
        Self(allocation.cores.into_iter().map(|(join, core)| (join, look(core))).chain(links).collect())
    }

    /// The colours for a lead of which no cable has been chosen: red for the supply, black for the return,
    /// the others in the order of the standard's list. The bare legs of parts have none.
    ///
    /// A lead of more than 28 conductors leaves the last ones bare.
    pub fn usual(assembly: &Assembly) -> Self {
        let mut colouring = Self::default();
        let mut cores = handed_out();
        let [mut supply, mut home] = [Some(Colour::Rd), Some(Colour::Bk)];
        for join in assembly.lead.soldered().filter(|join| !is_bare(assembly, **join)) {
            let own = if is_supply(assembly, *join) {
                supply.take()
            } else if is_return(assembly, *join) {
                home.take()
            } else {
                None
            };
            if let Some(core) = own.map(CoreColour::plain).or_else(|| cores.next()) {
                colouring.set(*join, core);
            }
        }
        colouring
    }

    /// The same conductors under other names, each with the join that it is now called by.
    pub(crate) fn renamed(&self, names: &BTreeMap<Join, Join>) -> Self {
        let look = |(new, own): (&Join, &Join)| Some((*new, *self.0.get(own)?));
        Self(names.iter().filter_map(look).collect())
    }

    /// Sets the colour of one conductor: that of the cable in hand.
    pub fn set(&mut self, join: Join, colour: CoreColour) {
        self.0.insert(join, Look { colour: Some(colour), core: None, partner: None });
    }

    /// The colour of a conductor.
    pub fn core(&self, join: Join) -> Option<CoreColour> {
        self.0.get(&join)?.colour
    }

    /// The letters of a conductor's colour, and the core's number where a cable is chosen; `wire` for a link
    /// beside the cable, `–` where nothing is known of it.
    pub fn letters(&self, join: Join) -> String {
        match self.0.get(&join).copied() {
            Some(Look { colour: Some(colour), core: Some(core), .. }) => format!("{colour} {core}"),
            Some(Look { colour: Some(colour), core: None, .. }) => colour.to_string(),
            Some(Look { colour: None, core: Some(core), .. }) => core.to_string(),
            Some(Look { colour: None, core: None, .. }) => "wire".to_owned(),
            None => "–".to_owned(),
        }
    }

    /// A conductor's colour in words, and the core that it is twisted with.
    pub fn words(&self, join: Join) -> String {
        let Some(look) = self.0.get(&join) else { return "bare".to_owned() };
        match (look.colour.map(CoreColour::words), look.core, look.partner) {
            (Some(colour), _, Some(partner)) => format!("{colour} (twisted with {partner})"),
            (Some(colour), _, None) => colour,
            (None, Some(_), _) => "bare".to_owned(),
            (None, None, _) => "of any colour".to_owned(),
        }
    }
}

/// Whether a conductor carries the machine's supply.
pub(crate) fn is_supply(assembly: &Assembly, join: Join) -> bool {
    assembly.job(join) == Job::Supply
}

/// Whether a conductor leads to true ground.
pub(crate) fn is_return(assembly: &Assembly, join: Join) -> bool {
    reaches(assembly, join, |role| *role == PortRole::Return)
}

fn reaches(assembly: &Assembly, join: Join, wanted: impl Fn(&PortRole) -> bool) -> bool {
    let here = [join.from, join.to].map(|leg| contacts_here(&assembly.lead, leg));
    let beyond = [join.from, join.to].map(|leg| assembly.beyond(leg));
    let role = |leg: &Leg| assembly.port_contact(*leg).map(|contact| &contact.role);
    here.iter().flatten().chain(beyond.iter().flatten()).filter_map(role).any(wanted)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::{cable, pad_to_curlew, stick_to_plover};

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
    fn in_a_cable_a_conductor_is_told_by_its_core() {
        let mut assembly = pad_to_curlew();
        assembly.lead.run_in(cable("five-pair-screened"));
        let colouring = Colouring::of(&assembly);
        let told = |join: &str| {
            let join = join.parse().unwrap();
            [colouring.letters(join), colouring.words(join)]
        };
        assert_eq!(told("controller.8 - port.7"), ["RD 8", "red (twisted with 7)"]);
        assert_eq!(told("controller.1 - port.8"), ["BU 7", "blue (twisted with 8)"]);
        assembly.lead.joins.push("controller.shell - port.8".parse().unwrap());
        assert_eq!(Colouring::of(&assembly).letters("controller.shell - port.8".parse().unwrap()), "drain");
    }

    #[test]
    fn without_a_cable_the_colours_are_the_usual_ones() {
        let assembly = pad_to_curlew();
        assert_eq!(Colouring::of(&assembly), Colouring::usual(&assembly));
    }

    #[test]
    fn the_supply_is_red() {
        let assembly = pad_to_curlew();
        let supply = "controller.8 - port.7".parse().unwrap();
        assert_eq!(Colouring::usual(&assembly).letters(supply), "RD");
    }

    #[test]
    fn no_two_of_28_conductors_look_alike() {
        let mut letters: Vec<String> = handed_out().map(|core| core.to_string()).collect();
        letters.sort_unstable();
        let handed_out = letters.len();
        letters.dedup();
        assert_eq!(letters.len(), handed_out);
        assert_eq!(handed_out + 2, 28);
    }
}

//! What a lead's conductors run in: its cores with their colours and pairs, its drain, and the ends that
//! are moulded on.

use std::collections::BTreeMap;
use std::fmt;

use solderside_quantity::Metres;
use solderside_trade::{Conductor, Connector, ContactId, CoreColour, DIN_47100_COLOURS};

use crate::fact::Fact;
use crate::fingerprint::{Canonical, exact};
use crate::heading::Origin;

/// A cable that was read and checked.
///
/// Promises of a checked cable: it has a core; each pair is of two cores that it has, no core
/// is in two pairs; it has at most two moulded ends, each contact there is one that its connector has, and
/// no conductor ends in two contacts of one end.
#[derive(Debug, Clone, PartialEq)]
pub struct Cable {
    /// The profile's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// The profiles that it starts from, nearest first.
    pub like: Vec<String>,
    /// Each core's copper.
    pub conductor: Conductor,
    /// How long it is; none if it is cut from the reel.
    pub length: Option<Metres>,
    /// The colours of its cores; core 1 is the first.
    pub colours: Vec<CoreColour>,
    /// The cores that are twisted with each other, two by two.
    pub pairs: Vec<[u8; 2]>,
    /// Whether a bare drain runs along under the screen.
    pub drain: bool,
    /// The ends that are moulded on.
    pub moulded: Vec<MouldedEnd>,
    /// Where that comes from.
    pub fact: Fact,
    /// What else there is to say.
    pub note: Option<String>,
    /// Where the profile comes from.
    pub origin: Origin,
}

/// One conductor of a cable; the numbers sort before the drain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CoreId {
    /// An insulated core by its number, counted from 1 in the order of the cable.
    Number(u8),
    /// The bare conductor under the screen.
    Drain,
}

/// A connector that is moulded onto a cable: what no iron reaches.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MouldedEnd {
    /// The connector.
    pub connector: Connector,
    /// What ends in each contact; a contact that is absent is not wired.
    pub contacts: BTreeMap<ContactId, CoreId>,
}

impl Cable {
    /// The most cores that are read: no lead needs as many.
    pub const MOST_CORES: u8 = DIN_47100_COLOURS;

    /// The longest cord that is believed, in millimetres: more is a slip of a prefix.
    pub const LONGEST_MM: i64 = 20_000;

    /// Returns its conductors: the cores in their order, then the drain.
    pub fn cores(&self) -> impl Iterator<Item = CoreId> {
        let drain = self.drain.then_some(CoreId::Drain);
        (1..).zip(&self.colours).map(|(number, _)| CoreId::Number(number)).chain(drain)
    }

    /// Returns the colour of a core; the drain has none.
    pub fn colour(&self, core: CoreId) -> Option<CoreColour> {
        match core {
            CoreId::Number(number) => self.colours.get(usize::from(number).checked_sub(1)?).copied(),
            CoreId::Drain => None,
        }
    }

    /// Returns a core's letters and its number: `BN 2`; `drain`.
    pub fn lettered(&self, core: CoreId) -> String {
        self.colour(core).map_or_else(|| core.to_string(), |colour| format!("{colour} {core}"))
    }

    /// Returns the core that a core is twisted with.
    pub fn partner(&self, core: CoreId) -> Option<CoreId> {
        self.pairs.iter().find_map(|pair| match (pair.map(CoreId::Number), core) {
            ([one, other], core) if core == one => Some(other),
            ([one, other], core) if core == other => Some(one),
            _ => None,
        })
    }

    /// Returns sixteen digits that change when anything does that a lead is built by: not with the title,
    /// the note, the evidence or the place of the file.
    pub fn fingerprint(&self) -> String {
        let mut text = Canonical::default();
        let length = self.length.map_or_else(|| "reel".to_owned(), exact);
        text.line(&["cable", &self.conductor.to_string(), &length]);
        for (number, colour) in (1..=u8::MAX).zip(&self.colours) {
            text.line(&["core", &number.to_string(), &colour.words()]);
        }
        for [one, other] in &self.pairs {
            text.line(&["pair", &one.to_string(), &other.to_string()]);
        }
        text.line(&["drain", if self.drain { "yes" } else { "no" }]);
        for end in &self.moulded {
            text.line(&["moulded", &end.connector.to_string()]);
            for (contact, core) in &end.contacts {
                text.line(&[&contact.to_string(), &core.to_string()]);
            }
        }
        text.digest()
    }
}

impl MouldedEnd {
    /// Returns the contact in which a conductor ends here.
    pub fn contact_of(&self, core: CoreId) -> Option<ContactId> {
        self.contacts.iter().find(|(_, own)| **own == core).map(|(contact, _)| *contact)
    }
}

impl fmt::Display for CoreId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => f.pad(&number.to_string()),
            Self::Drain => f.pad("drain"),
        }
    }
}

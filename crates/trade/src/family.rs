//! Connector families: which contacts each has, what it is called, and the names that sellers get wrong.
//!
//! Names of D-subs: *D-Subminiature Nomenclature*, epl.harvard.edu/Engineering/d-subminiature.html: D, then
//! the letter of the shell's size, then the number of contacts. Names of round ones: *DIN: IEC/DIN EN 60130-9
//! connector*, cryptomuseum.com/ref/conn/din/index.htm: the number of contacts, then the arc that they span.

use std::fmt;
use std::str::FromStr;

use crate::contact::{ContactId, Letter};

/// A body with its arrangement of contacts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// Nine contacts in two rows, shell E.
    De9,
    /// Fifteen contacts in two rows, shell A.
    Da15,
    /// Fifteen contacts in three rows, shell E.
    De15Hd,
    /// Twenty-five contacts in two rows, shell B.
    Db25,
    /// Eight contacts in three rows, in a skirt of 9.5 mm.
    MiniDin8,
    /// Five contacts on half a circle.
    Din5Arc180,
    /// Seven contacts on 262 degrees of a circle, one in its middle.
    Din8Arc262,
    /// Seven contacts on 270 degrees of a circle, one in its middle.
    Din8Arc270,
    /// A board's edge, or the socket over it: 28 contacts on each side, two of them given up for the key.
    Edge28x2,
    /// Numbered screws in one row.
    Terminals(TerminalCount),
}

/// How many screws a strip of terminals has: from 2 to 40.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TerminalCount(u8);

/// A name that sellers use and the standard does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Misnomer {
    /// The name as sellers print it.
    pub name: &'static str,
    /// Why it is wrong, and what to look for instead.
    pub why: &'static str,
}

/// Says that a text names no connector family, and offers the right name.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseFamilyError {
    /// A seller's name for one family.
    #[error("`{found}` is a seller's name; write `{family}`: {why}")]
    Misnamed {
        /// The text as it was given.
        found: String,
        /// The family that sellers mean by it.
        family: Family,
        /// Why the name is wrong.
        why: &'static str,
    },
    /// A seller's name for more than one family.
    #[error("`{found}` can mean {}; {}", either(families), told_apart(families))]
    Ambiguous {
        /// The text as it was given.
        found: String,
        /// The families that sellers mean by it.
        families: Vec<Family>,
    },
    /// A strip of no number of terminals that can be.
    #[error("`{found}` is no strip of terminals; write `terminals N` with N from 2 to 40")]
    Terminals {
        /// The text as it was given.
        found: String,
    },
    /// No name that we know.
    #[error("`{found}` is no connector; write {}", known())]
    Unknown {
        /// The text as it was given.
        found: String,
    },
}

/// Contacts on each side of the edge.
pub(crate) const EDGE_WAYS: u8 = 28;
/// Where the edge's key stands instead of contacts, counted from contact 1.
pub(crate) const EDGE_KEY: u8 = 7;
/// The edge's solder side in its order: no G, I, O and Q.
///
/// *JAMMA pinout information*, www.swallowam.co.uk/jamma.php; *Arcade Game Pinouts*, section 1.1,
/// `www.coinop.org/kdl/GameTech/BoardPinouts/pinout_help.txt`.
pub(crate) const EDGE_LETTERS: &[u8; EDGE_WAYS as usize] = b"ABCDEFHJKLMNPRSTUVWXYZabcdef";

impl TerminalCount {
    /// Takes a number from 2 to 40; `None` for any other.
    #[must_use]
    pub const fn new(screws: u8) -> Option<Self> {
        if matches!(screws, 2..=40) { Some(Self(screws)) } else { None }
    }

    /// The number.
    #[must_use]
    pub const fn get(self) -> u8 {
        self.0
    }
}

impl Family {
    /// The families of a fixed number of contacts: all but terminals.
    pub const ALL: [Self; 9] = [
        Self::De9,
        Self::Da15,
        Self::De15Hd,
        Self::Db25,
        Self::MiniDin8,
        Self::Din5Arc180,
        Self::Din8Arc262,
        Self::Din8Arc270,
        Self::Edge28x2,
    ];

    /// Reads a family's name in any case, with or without its hyphens, spaces and degree signs.
    ///
    /// `DE-15` alone is the high-density one: fifteen contacts fit shell E in no other way.
    ///
    /// # Errors
    /// Refuses a seller's wrong name and offers the right one; refuses what names no family.
    pub fn parse(text: &str) -> Result<Self, ParseFamilyError> {
        let found = text.trim().to_owned();
        let name = squeezed(text);
        match name.as_str() {
            "de15" | "de15hd" => return Ok(Self::De15Hd),
            "edge28×2" | "edge28/56" => return Ok(Self::Edge28x2),
            _ => {}
        }
        if let Some(family) = Self::ALL.into_iter().find(|family| squeezed(&family.to_string()) == name) {
            return Ok(family);
        }
        if let Some(number) = name.strip_prefix("terminals") {
            let count = number.parse().ok().and_then(TerminalCount::new);
            return count.map(Self::Terminals).ok_or(ParseFamilyError::Terminals { found });
        }
        let meant = |family: &Self| family.misnomer(&name).map(|misnomer| (*family, misnomer.why));
        match Self::ALL.iter().filter_map(meant).collect::<Vec<_>>().as_slice() {
            [] => Err(ParseFamilyError::Unknown { found }),
            [(family, why)] => Err(ParseFamilyError::Misnamed { found, family: *family, why }),
            several @ [_, _, ..] => {
                let families = several.iter().map(|(family, _)| *family).collect();
                Err(ParseFamilyError::Ambiguous { found, families })
            }
        }
    }

    /// What sellers wrongly call it. From memory for what is no D-sub.
    #[must_use]
    pub const fn sellers_call_it(self) -> &'static [Misnomer] {
        const B_IS_25_WAY: &str = "B is the shell with 25 ways, and 9 ways fit shell E";
        const B_IS_NOT_A: &str = "B is the shell with 25 ways, and two rows of 15 fit shell A; \
                                  the name is also used for the three-row `DE-15 high density`";
        const B_IS_NOT_E: &str = "B is the shell with 25 ways, and three rows of 15 fit shell E";
        const NO_SHELL: &str = "it does not name the shell's size";
        const NO_ARC: &str = "it does not name the arc, and patterns of the same number do not mate";
        const NOT_LARGE: &str = "a DIN skirt is 13.2 mm wide, a mini-DIN skirt 9.5 mm";
        match self {
            Self::De9 => &[
                Misnomer { name: "DB-9", why: B_IS_25_WAY },
                Misnomer { name: "D-sub 9", why: NO_SHELL },
                Misnomer { name: "D-9", why: NO_SHELL },
            ],
            Self::Da15 => &[
                Misnomer { name: "DB-15", why: B_IS_NOT_A },
                Misnomer { name: "D-sub 15", why: NO_SHELL },
                Misnomer { name: "D-15", why: NO_SHELL },
            ],
            Self::De15Hd => &[
                Misnomer { name: "DB-15HD", why: B_IS_NOT_E },
                Misnomer { name: "DB-15", why: B_IS_NOT_E },
                Misnomer { name: "HD-15", why: NO_SHELL },
                Misnomer { name: "D-sub 15", why: NO_SHELL },
            ],
            Self::Db25 => {
                &[Misnomer { name: "D-sub 25", why: NO_SHELL }, Misnomer { name: "D-25", why: NO_SHELL }]
            }
            Self::MiniDin8 => {
                &[Misnomer { name: "DIN 8", why: NOT_LARGE }, Misnomer { name: "8-pin DIN", why: NOT_LARGE }]
            }
            Self::Din5Arc180 => {
                &[Misnomer { name: "DIN 5", why: NO_ARC }, Misnomer { name: "5-pin DIN", why: NO_ARC }]
            }
            Self::Din8Arc262 => &[
                Misnomer { name: "DIN 8", why: NO_ARC },
                Misnomer { name: "8-pin DIN", why: NO_ARC },
                Misnomer { name: "horseshoe DIN", why: "the 270 degree pattern looks like a horseshoe too" },
            ],
            Self::Din8Arc270 => {
                &[Misnomer { name: "DIN 8", why: NO_ARC }, Misnomer { name: "8-pin DIN", why: NO_ARC }]
            }
            Self::Edge28x2 => &[Misnomer {
                name: "JAMMA connector",
                why: "it names what the contacts are for; the connector has 28 of 3.96 mm on each side",
            }],
            Self::Terminals(_) => &[],
        }
    }

    /// Contacts in each row, the row that holds contact 1 first where it is the upper one; empty where they
    /// lie on a circle. The key of an edge counts as a contact of its row.
    ///
    /// From memory for D-subs; each of the two-row splits differs by one, as the half-pitch offset asks.
    #[must_use]
    pub fn rows(self) -> Vec<u8> {
        match self {
            Self::De9 => vec![5, 4],
            Self::Da15 => vec![8, 7],
            Self::De15Hd => vec![5, 5, 5],
            Self::Db25 => vec![13, 12],
            Self::MiniDin8 => vec![3, 3, 2],
            Self::Din5Arc180 | Self::Din8Arc262 | Self::Din8Arc270 => Vec::new(),
            Self::Edge28x2 => vec![EDGE_WAYS, EDGE_WAYS],
            Self::Terminals(count) => vec![count.get()],
        }
    }

    /// How many contacts it has, without the shell.
    #[must_use]
    pub fn contacts(self) -> usize {
        self.numbers_and_letters().count()
    }

    /// Whether there is a shell to solder to; it is a contact too.
    #[must_use]
    pub const fn has_shell(self) -> bool {
        match self {
            Self::De9
            | Self::Da15
            | Self::De15Hd
            | Self::Db25
            | Self::MiniDin8
            | Self::Din5Arc180
            | Self::Din8Arc262
            | Self::Din8Arc270 => true,
            Self::Edge28x2 | Self::Terminals(_) => false,
        }
    }

    /// Whether its halves are called plug and socket; terminals and wire ends are not.
    #[must_use]
    pub const fn has_gender(self) -> bool {
        !matches!(self, Self::Terminals(_))
    }

    /// Whether it has this contact.
    #[must_use]
    pub fn has(self, contact: ContactId) -> bool {
        self.contact_ids().any(|own| own == contact)
    }

    /// All contacts in rising order, the shell last.
    pub fn contact_ids(self) -> impl Iterator<Item = ContactId> {
        self.numbers_and_letters().chain(self.has_shell().then_some(ContactId::Shell))
    }

    /// Its contacts as a sentence names them, such as "1 to 9, or shell".
    #[must_use]
    pub fn contacts_in_words(self) -> String {
        match self {
            Self::Edge28x2 => "1 to 28 and A to f, without G, I, O, Q and the key's 7 and H".to_owned(),
            Self::Terminals(count) => format!("1 to {}", count.get()),
            Self::De9
            | Self::Da15
            | Self::De15Hd
            | Self::Db25
            | Self::MiniDin8
            | Self::Din5Arc180
            | Self::Din8Arc262
            | Self::Din8Arc270 => format!("1 to {}, or `shell`", self.contacts()),
        }
    }

    fn numbers_and_letters(self) -> impl Iterator<Item = ContactId> {
        let (numbers, letters): (u8, &[u8]) = match self {
            Self::De9 => (9, &[]),
            Self::Da15 | Self::De15Hd => (15, &[]),
            Self::Db25 => (25, &[]),
            Self::MiniDin8 | Self::Din8Arc262 | Self::Din8Arc270 => (8, &[]),
            Self::Din5Arc180 => (5, &[]),
            Self::Edge28x2 => (EDGE_WAYS, EDGE_LETTERS),
            Self::Terminals(count) => (count.get(), &[]),
        };
        let is_there = move |at: &u8| self != Self::Edge28x2 || *at != EDGE_KEY;
        let letters = (1..).zip(letters).filter(move |(at, _)| is_there(at));
        let letters = letters.filter_map(|(_, letter)| Letter::new(*letter)).map(ContactId::Letter);
        (1..=numbers).filter(is_there).map(ContactId::Number).chain(letters)
    }

    fn misnomer(self, squeezed_name: &str) -> Option<&'static Misnomer> {
        self.sellers_call_it().iter().find(|misnomer| squeezed(misnomer.name) == squeezed_name)
    }

    /// What tells it from families that sellers call the same, with its verb.
    const fn told_by(self) -> &'static str {
        match self {
            Self::De9 | Self::Da15 | Self::Db25 => "two rows of contacts are",
            Self::De15Hd => "three rows are",
            Self::MiniDin8 => "a skirt of 9.5 mm is",
            Self::Din5Arc180 => "five contacts on half a circle are",
            Self::Din8Arc262 => "contact 6 in the middle is",
            Self::Din8Arc270 => "contact 8 in the middle is",
            Self::Edge28x2 => "two sides of 28 contacts are",
            Self::Terminals(_) => "screws in one row are",
        }
    }
}

/// A name without what sellers and makers disagree about: case, hyphens, spaces, degree signs.
fn squeezed(name: &str) -> String {
    let kept = name.chars().filter(|c| !c.is_whitespace() && !matches!(c, '-' | '_' | '°'));
    kept.map(|c| c.to_ascii_lowercase()).collect()
}

/// "`DA-15` or `DE-15 high density`".
fn either(families: &[Family]) -> String {
    let quoted: Vec<String> = families.iter().map(|family| format!("`{family}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

fn told_apart(families: &[Family]) -> String {
    let told = families.iter().map(|family| format!("{} `{family}`", family.told_by()));
    told.collect::<Vec<_>>().join(", ")
}

fn known() -> String {
    let names: Vec<String> = Family::ALL.iter().map(|family| format!("`{family}`")).collect();
    format!("{} or `terminals N`", names.join(", "))
}

impl FromStr for Family {
    type Err = ParseFamilyError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for Family {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::De9 => "DE-9",
            Self::Da15 => "DA-15",
            Self::De15Hd => "DE-15 high density",
            Self::Db25 => "DB-25",
            Self::MiniDin8 => "mini-DIN 8",
            Self::Din5Arc180 => "DIN 5/180",
            Self::Din8Arc262 => "DIN 8/262",
            Self::Din8Arc270 => "DIN 8/270",
            Self::Edge28x2 => "edge 28x2",
            Self::Terminals(count) => return f.pad(&format!("terminals {}", count.get())),
        })
    }
}

#[cfg(test)]
pub(crate) mod tests;

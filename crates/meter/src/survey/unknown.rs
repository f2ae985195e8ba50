//! The cable on the bench as its builder sees it: a moulded end, and what lies open at the other.

use std::collections::BTreeSet;
use std::fmt;

use solderside_profile::{Cable, CoreId, listed, nearest, quoted};
use solderside_trade::{Connector, ContactId, CoreColour};

/// A cable of which nobody knows what is joined to what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnknownCable {
    /// The end that is moulded on.
    pub end: Connector,
    /// What the other end shows.
    pub tail: Tail,
}

/// What the other end of a cable shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tail {
    /// It is cut and stripped.
    Cores {
        /// The colours of its cores, in the order in which they lie.
        colours: Vec<CoreColour>,
        /// Whether there is a bare conductor, or a screen that was drawn together into one.
        drain: bool,
    },
    /// It is moulded too.
    Moulded(Connector),
}

/// What a probe can touch at the other end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Far {
    /// A bare core.
    Core(CoreId),
    /// A contact of the connector there.
    Contact(ContactId),
}

/// Points of the other end; several cores are held together and count as one.
pub type Bunch = BTreeSet<Far>;

/// Where the two probes go.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touch {
    /// A contact of the moulded end, and points of the other.
    Through(ContactId, Bunch),
    /// Two bunches of cores at the other end.
    Across(Bunch, Bunch),
}

/// Says that a word names no point of the cable, or that two names make no measurement.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what}; {help}")]
pub struct NotAPoint {
    what: String,
    help: String,
}

impl NotAPoint {
    fn new(what: impl Into<String>, help: impl Into<String>) -> Self {
        Self { what: what.into(), help: help.into() }
    }
}

impl UnknownCable {
    /// The contacts of the moulded end, the shell last.
    pub fn contacts(&self) -> impl Iterator<Item = ContactId> {
        self.end.family.contact_ids()
    }

    /// What can be touched at the other end, in its order.
    pub fn far(&self) -> Vec<Far> {
        match &self.tail {
            Tail::Cores { colours, drain } => {
                let cores = (1..=Cable::MOST_CORES).zip(colours).map(|(number, _)| CoreId::Number(number));
                cores.chain(drain.then_some(CoreId::Drain)).map(Far::Core).collect()
            }
            Tail::Moulded(other) => other.family.contact_ids().map(Far::Contact).collect(),
        }
    }

    /// Whether points of the other end can be held together.
    pub const fn is_bare(&self) -> bool {
        matches!(self.tail, Tail::Cores { .. })
    }

    /// The colour of a core; contacts and the drain have none.
    pub fn colour(&self, far: Far) -> Option<CoreColour> {
        match (&self.tail, far) {
            (Tail::Cores { colours, .. }, Far::Core(CoreId::Number(number))) => {
                colours.get(usize::from(number).checked_sub(1)?).copied()
            }
            (Tail::Cores { .. } | Tail::Moulded(_), Far::Core(_) | Far::Contact(_)) => None,
        }
    }

    /// What a point of the other end is called: `BN`; `WH-2` where several are white; `drain`; `5`.
    pub fn name(&self, far: Far) -> String {
        let Some(colour) = self.colour(far) else {
            return match far {
                Far::Core(core) => core.to_string(),
                Far::Contact(contact) => contact.to_string(),
            };
        };
        let letters = colour.to_string();
        let alike: Vec<Far> =
            self.far().into_iter().filter(|other| self.lettered(*other, &letters)).collect();
        match alike.iter().position(|own| *own == far) {
            Some(at) if alike.len() > 1 => format!("{letters}-{}", at + 1),
            Some(_) | None => letters,
        }
    }

    fn lettered(&self, far: Far, letters: &str) -> bool {
        self.colour(far).is_some_and(|colour| colour.to_string() == letters)
    }

    /// The cores of which several have the same letters: they need a mark before anything is measured.
    pub fn alike(&self) -> Vec<Far> {
        self.far().into_iter().filter(|far| self.name(*far).contains('-')).collect()
    }

    /// The names of several points: `BN + RD + drain`.
    pub fn names(&self, bunch: &Bunch) -> String {
        bunch.iter().map(|far| self.name(*far)).collect::<Vec<_>>().join(" + ")
    }

    /// Where the probes of a measurement go, in the words of a run's file.
    pub fn words(&self, touch: &Touch) -> [String; 2] {
        match touch {
            Touch::Through(contact, bunch) => [contact.to_string(), self.names(bunch)],
            Touch::Across(one, other) => [self.names(one), self.names(other)],
        }
    }

    /// Finds a contact of the moulded end by its name.
    ///
    /// # Errors
    /// Refuses what the connector does not have.
    pub fn contact(&self, word: &str) -> Result<ContactId, NotAPoint> {
        let id = ContactId::parse(word).map_err(|_| {
            let help =
                format!("write a contact of the {}: {}", self.end, self.end.family.contacts_in_words());
            NotAPoint::new(format!("{} is no contact", quoted(word.trim())), help)
        })?;
        if self.end.family.has(id) {
            return Ok(id);
        }
        let what = format!("{} has no contact {id}", self.end.with_article());
        Err(NotAPoint::new(what, format!("write {}", self.end.family.contacts_in_words())))
    }

    /// Finds a point of the other end by its name, in any case: a core by its letters or its colour's word.
    ///
    /// # Errors
    /// Refuses what is not there, with what may have been meant.
    pub fn point(&self, word: &str) -> Result<Far, NotAPoint> {
        let word = word.trim();
        if let Tail::Moulded(other) = &self.tail {
            let id = ContactId::parse(word).ok().filter(|id| other.family.has(*id));
            return id.map(Far::Contact).ok_or_else(|| {
                let what = format!("the {other} at the other end has no contact {}", quoted(word));
                NotAPoint::new(what, format!("write {}", other.family.contacts_in_words()))
            });
        }
        let all = self.far();
        if let Some(far) = all.iter().find(|far| self.name(**far).eq_ignore_ascii_case(word)) {
            return Ok(*far);
        }
        let colour = CoreColour::parse(word).ok();
        let coloured: Vec<Far> =
            all.iter().copied().filter(|far| colour.is_some() && self.colour(*far) == colour).collect();
        if let [one] = coloured.as_slice() {
            return Ok(*one);
        }
        let names: Vec<String> = all.iter().map(|far| self.name(*far)).collect();
        let known = || names.iter().map(String::as_str);
        if coloured.len() > 1 {
            let meant = coloured.iter().map(|far| self.name(*far)).collect::<Vec<_>>();
            let what = format!("{} could be several cores", quoted(word));
            return Err(NotAPoint::new(
                what,
                format!("write {}", listed(meant.iter().map(String::as_str), "or")),
            ));
        }
        let help = match nearest(word, known()) {
            Some(near) => format!("write `{near}`; the cores are {}", listed(known(), "and")),
            None => format!("the cores are {}", listed(known(), "and")),
        };
        Err(NotAPoint::new(format!("{} is no core of this cable", quoted(word)), help))
    }

    /// Finds the points whose names stand between plus signs.
    ///
    /// # Errors
    /// Refuses what is not there, and several contacts of a moulded end: nobody can hold them together.
    pub fn bunch(&self, words: &str) -> Result<Bunch, NotAPoint> {
        let bunch: Bunch = words.split('+').map(|word| self.point(word)).collect::<Result<_, _>>()?;
        if bunch.len() > 1 && !self.is_bare() {
            let what = "contacts of a moulded end cannot be held together";
            return Err(NotAPoint::new(what, "name one contact of the other end"));
        }
        Ok(bunch)
    }

    /// Finds a measurement by the names of what its two probes touch.
    ///
    /// # Errors
    /// Refuses names of nothing, two contacts of the moulded end, and a core against itself.
    pub fn touch(&self, one: &str, other: &str) -> Result<Touch, NotAPoint> {
        match (self.contact(one), self.bunch(one)) {
            (Ok(contact), _) => Ok(Touch::Through(contact, self.bunch(other)?)),
            (Err(_), Ok(first)) if self.is_bare() => {
                let second = self.bunch(other)?;
                match first.intersection(&second).next() {
                    None => Ok(Touch::Across(first, second)),
                    Some(both) => {
                        let what = format!("{} is under both probes", quoted(&self.name(*both)));
                        Err(NotAPoint::new(what, "name two points that are apart"))
                    }
                }
            }
            (Err(error), Err(_)) if one.trim().starts_with(|c: char| c.is_ascii_digit()) => Err(error),
            (Err(error), Ok(_)) | (Err(_), Err(error)) => Err(error),
        }
    }
}

impl fmt::Display for Touch {
    /// For messages of tests; people see the names of [`UnknownCable::words`].
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Through(contact, bunch) => write!(f, "{contact} to {bunch:?}"),
            Self::Across(one, other) => write!(f, "{one:?} to {other:?}"),
        }
    }
}

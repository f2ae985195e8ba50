//! What a survey found, and the cable file that says so.

use std::collections::BTreeMap;
use std::fmt::Write;

use solderside_profile::{CoreId, FORMAT, Kind, toml_text};
use solderside_quantity::Ohms;
use solderside_trade::{Colour, Conductor, Connector, ContactId, CoreColour, Evidence};

use super::file::SurveyHead;
use super::known::{Ending, Known};
use super::unknown::{Bunch, Far, Tail, Touch, UnknownCable};
use super::{SurveyReading, Way};
use crate::ohms_text::TypedReading;

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Where each contact of the moulded end goes.
    pub contacts: BTreeMap<ContactId, Wiring>,
    /// Points of the other end that are joined to each other.
    pub shorts: Vec<Bunch>,
    /// Contacts that end in one conductor: a jumper inside the moulding.
    pub shared: Vec<(Bunch, Vec<ContactId>)>,
    /// Points of the other end that no contact was found for.
    pub nowhere: Vec<Far>,
    /// How many pairs of points of the other end were not tried against each other, neither directly nor by
    /// way of a contact.
    pub untried_pairs: usize,
}

/// Where a contact goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wiring {
    /// To a conductor.
    To {
        /// Its first point.
        far: Far,
        /// The lowest that was read through it; none if only a buzzer was asked.
        ohms: Option<Ohms>,
        /// Whether it is no sound conductor.
        is_weak: bool,
    },
    /// To nothing: it was tried against everything.
    Nothing,
    /// It was not tried against everything.
    NotFound,
}

/// Says why there is no cable file.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoCable {
    /// The survey goes on.
    #[error("the survey is not finished")]
    Unfinished,
    /// One conductor in several contacts of one end.
    #[error(
        "the contacts {contacts} end in one conductor ({conductor}): a jumper inside the moulding, which joins in \
         every lead what these contacts are for"
    )]
    Jumper {
        /// The contacts.
        contacts: String,
        /// The conductor.
        conductor: String,
    },
    /// Conductors that are joined.
    #[error("{0} are joined to each other: the cable is damaged, or wired on purpose so")]
    Short(String),
    /// No contact goes anywhere.
    #[error("no sound conductor ends in any contact")]
    Dead,
}

impl NoCable {
    /// What to do about it.
    pub const fn help(&self) -> &'static str {
        match self {
            Self::Unfinished => "go on where it was left",
            Self::Jumper { .. } | Self::Short(_) => {
                "cut the moulded end off and survey what is left as cable from the reel, or take another cable"
            }
            Self::Dead => "take another cable, or see that its ends are stripped bare",
        }
    }
}

impl Found {
    pub(super) fn of(known: &Known, readings: &[SurveyReading]) -> Self {
        let contacts =
            known.contacts.iter().map(|(contact, ending)| (*contact, wiring(*contact, ending, readings)));
        let contacts: BTreeMap<ContactId, Wiring> = contacts.collect();
        let conductors = known.conductors();
        let ends_in = |wanted: Far| -> Vec<ContactId> {
            let own = known.contacts.iter().filter(|(_, ending)| ending.surely() == Some(wanted));
            own.map(|(contact, _)| *contact).collect()
        };
        let ended: Vec<(Far, Vec<ContactId>)> = conductors.iter().map(|far| (*far, ends_in(*far))).collect();
        let pairs =
            conductors.iter().flat_map(|one| conductors.range(..one).map(move |other| (*one, *other)));
        Self {
            shorts: conductors
                .iter()
                .map(|far| known.points(*far))
                .filter(|points| points.len() > 1)
                .collect(),
            shared: (ended.iter())
                .filter(|(_, contacts)| contacts.len() > 1)
                .map(|(far, contacts)| (known.points(*far), contacts.clone()))
                .collect(),
            nowhere: (ended.iter())
                .filter(|(_, contacts)| contacts.is_empty())
                .flat_map(|(far, _)| known.points(*far))
                .collect(),
            untried_pairs: pairs.filter(|(one, other)| !known.are_apart(*one, *other)).count(),
            contacts,
        }
    }

    /// The contacts whose conductor is no sound one.
    pub fn weak(&self) -> impl Iterator<Item = (ContactId, Far, Option<Ohms>)> {
        self.contacts.iter().filter_map(|(contact, wiring)| match wiring {
            Wiring::To { far, ohms, is_weak: true } => Some((*contact, *far, *ohms)),
            Wiring::To { .. } | Wiring::Nothing | Wiring::NotFound => None,
        })
    }

    /// Writes the cable's file. Conductors that are not sound are left out of it; its note says so.
    ///
    /// # Errors
    /// Says why a cable file cannot say what was found.
    pub fn cable_file(&self, head: &SurveyHead, title: &str, source: &str) -> Result<String, NoCable> {
        let unknown = &head.unknown;
        if let Some(points) = self.shorts.first() {
            return Err(NoCable::Short(unknown.names(points)));
        }
        if let Some((points, contacts)) = self.shared.first() {
            let contacts = contacts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ");
            return Err(NoCable::Jumper { contacts, conductor: unknown.names(points) });
        }
        let sound: BTreeMap<ContactId, Far> = (self.contacts.iter())
            .filter_map(|(contact, wiring)| match wiring {
                Wiring::To { far, is_weak: false, .. } => Some((*contact, *far)),
                Wiring::To { .. } | Wiring::Nothing | Wiring::NotFound => None,
            })
            .collect();
        let cable = match &unknown.tail {
            Tail::Cores { colours, drain } => {
                let core = |far: &Far| if let Far::Core(core) = far { Some(*core) } else { None };
                let ends = sound.iter().filter_map(|(contact, far)| Some((*contact, core(far)?))).collect();
                Surveyed { colours: colours.clone(), drain: *drain, ends: vec![(unknown.end, ends)] }
            }
            Tail::Moulded(other) => Surveyed::both(unknown.end, *other, &sound),
        };
        if cable.ends.iter().all(|(_, cores)| cores.iter().all(|(contact, core)| !is_told(*contact, *core))) {
            return Err(NoCable::Dead);
        }
        let note = self.note(unknown, head.conductor.is_none());
        let conductor = head.conductor.unwrap_or(ASSUMED_CONDUCTOR);
        Ok(cable.text(title, conductor, head.length_mm, source, &note))
    }

    /// What a cable file has no key for.
    fn note(&self, unknown: &UnknownCable, copper_is_assumed: bool) -> String {
        let mut notes = Vec::new();
        if copper_is_assumed {
            notes.push(format!("the copper was not measured: {ASSUMED_CONDUCTOR} is assumed (from memory)"));
        }
        if !unknown.is_bare() {
            notes.push(
                "no colour was seen, and GY stands for each: write the colours in when you cut it".to_owned(),
            );
        }
        if self.untried_pairs > 0 {
            let pairs = self.untried_pairs;
            notes.push(format!("{pairs} pairs of contacts were not tried against each other"));
        }
        for (contact, far, ohms) in self.weak() {
            let reads = ohms.map_or_else(String::new, |ohms| format!(" at {ohms}"));
            let name = unknown.name(far);
            notes.push(format!(
                "contact {contact} goes to {name}{reads}, no sound conductor, and is left out"
            ));
        }
        for (contact, wiring) in &self.contacts {
            if let Wiring::To { far: far @ Far::Core(core), is_weak: false, .. } = wiring
                && !is_told(*contact, *core)
            {
                let name = unknown.name(*far);
                notes.push(format!("the {name} ends in contact {contact}: cut it back and insulate it"));
            }
        }
        notes.join("; ")
    }
}

/// The thinnest copper that is common in moulded leads; from memory.
const ASSUMED_CONDUCTOR: Conductor = Conductor::Awg(28);

/// Whether a cable file has a word for it: the drain ends in a shell or nowhere.
fn is_told(contact: ContactId, core: CoreId) -> bool {
    core != CoreId::Drain || contact == ContactId::Shell
}

fn wiring(contact: ContactId, ending: &Ending, readings: &[SurveyReading]) -> Wiring {
    let Some(far) = ending.surely() else {
        return if ending.may_be.is_empty() { Wiring::Nothing } else { Wiring::NotFound };
    };
    let own = readings.iter().filter(|reading| {
        matches!(&reading.touch, Touch::Through(own, _) if *own == contact) && reading.way != Way::None
    });
    // One good reading is enough: a probe that slips reads too much, never too little.
    let is_weak = own.clone().all(|reading| reading.way == Way::Weak);
    let ohms = own.filter_map(|reading| match reading.reads {
        TypedReading::Ohms(ohms) => Some(ohms),
        TypedReading::Open | TypedReading::Volts(_) | TypedReading::Beep | TypedReading::NoBeep => None,
    });
    Wiring::To { far, ohms: ohms.reduce(Ohms::min), is_weak }
}

/// The cable as its file says it.
struct Surveyed {
    colours: Vec<CoreColour>,
    drain: bool,
    ends: Vec<(Connector, BTreeMap<ContactId, CoreId>)>,
}

impl Surveyed {
    /// A cable with both ends moulded on: its cores are numbered in the order of the first end's contacts, and what
    /// joins the two shells is its drain.
    fn both(end: Connector, other: Connector, sound: &BTreeMap<ContactId, Far>) -> Self {
        let pairs = sound.iter().filter_map(|(contact, far)| match far {
            Far::Contact(far) => Some((*contact, *far)),
            Far::Core(_) => None,
        });
        let is_drain = |pair: &(ContactId, ContactId)| *pair == (ContactId::Shell, ContactId::Shell);
        let (drains, cores): (Vec<_>, Vec<_>) = pairs.partition(is_drain);
        let mut ends = [BTreeMap::new(), BTreeMap::new()];
        let numbered = (1..=u8::MAX).map(CoreId::Number).zip(&cores);
        for (core, (near, far)) in numbered.chain(drains.iter().map(|pair| (CoreId::Drain, pair))) {
            ends[0].insert(*near, core);
            ends[1].insert(*far, core);
        }
        let grey = CoreColour::plain(Colour::Gy);
        Self {
            colours: vec![grey; cores.len()],
            drain: !drains.is_empty(),
            ends: [end, other].into_iter().zip(ends).collect(),
        }
    }

    fn text(
        &self,
        title: &str,
        conductor: Conductor,
        length_mm: Option<i64>,
        source: &str,
        note: &str,
    ) -> String {
        let colours =
            self.colours.iter().map(|colour| toml_text(&based(*colour))).collect::<Vec<_>>().join(", ");
        let mut text = format!("format = {FORMAT}\nkind = \"{}\"\n", Kind::Cable);
        _ = writeln!(text, "title = {}", toml_text(title));
        _ = writeln!(text, "conductor = \"{}\"", written(conductor));
        if let Some(length) = length_mm {
            _ = writeln!(text, "length_mm = {length}");
        }
        _ = writeln!(text, "colours = [{colours}]");
        if self.drain {
            text.push_str("drain = true\n");
        }
        _ = writeln!(text, "evidence = \"{}\"\nsource = {}", Evidence::Measured, toml_text(source));
        if !note.is_empty() {
            _ = writeln!(text, "note = {}", toml_text(note));
        }
        for (connector, cores) in &self.ends {
            let numbered = cores.iter().filter(|(_, core)| **core != CoreId::Drain);
            let cores_text =
                numbered.map(|(contact, core)| format!("{contact} = {core}")).collect::<Vec<_>>();
            if cores_text.is_empty() {
                continue;
            }
            _ = writeln!(text, "\n[[moulded]]\nconnector = \"{connector}\"");
            _ = writeln!(text, "cores = {{ {} }}", cores_text.join(", "));
            if cores.get(&ContactId::Shell) == Some(&CoreId::Drain) {
                text.push_str("shell = \"drain\"\n");
            }
        }
        text
    }
}

/// A colour with its base first, so that it is read back as it looks.
fn based(colour: CoreColour) -> String {
    match colour.ring() {
        Some(ring) => format!("{}/{ring}", colour.base()),
        None => colour.to_string(),
    }
}

/// A conductor the way files write it.
pub(super) fn written(conductor: Conductor) -> String {
    conductor.to_string().replace("mm²", "mm2")
}

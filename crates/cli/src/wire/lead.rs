//! A lead.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead as domain;
use solderside_lead::EndId;
use solderside_profile::Cable;

/// A lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Lead {
    /// The lead's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// Its ends: the controller's first.
    pub ends: Vec<End>,
    /// The pad in which it ends, opened; null if it ends in a connector of its own.
    pub donor: Option<String>,
    /// Whether its second controller end passes the port's contacts through; absent where it has none such.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub passes_through: bool,
    /// Its conductors; those of a donor's own plug are not among them.
    pub joins: Vec<Join>,
    /// What it is made of beside wire; nothing in a plain lead.
    pub parts: Vec<Part>,
    /// For each action the controls that perform it.
    pub play: BTreeMap<String, Vec<String>>,
    /// Its switches that stay where they are put; absent where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub switches: Vec<Changeover>,
    /// What its conductors are.
    pub cord: Cord,
    /// The cable that they run in; null if none is chosen.
    pub cable: Option<LeadCable>,
}

/// The cable that is chosen.
#[derive(Debug, Serialize, JsonSchema)]
pub struct LeadCable {
    /// Its name.
    pub cable: String,
    /// What it is called on paper.
    pub title: String,
    /// The ends of the lead that are moulded on.
    pub moulded_ends: Vec<String>,
    /// The conductors that nothing runs through: numbers, or `drain`.
    pub spares: Vec<String>,
}

/// The conductor of the cable that a join takes.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Core {
    /// Its number, or `drain`.
    pub core: String,
    /// The letters of its colour after IEC 60757; null for the drain.
    pub letters: Option<String>,
    /// The core that it is twisted with; null if there is none.
    pub twisted_with: Option<String>,
}

/// One end of a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct End {
    /// Which one: `controller`, `port` or `donor`.
    pub end: String,
    /// The profile that it is made for.
    pub profile: String,
    /// The lead's own connector; a donor's own plug.
    pub connector: String,
}

/// A part.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Part {
    /// Its name: `d1`, `r1`.
    pub part: String,
    /// What kind of part it is: `diode`, `resistor`, `capacitor`, `transistor`, `chip` or `switch`.
    pub kind: &'static str,
    /// What is bought: `BAT85`, `470 Ω`.
    pub value: String,
    /// A resistor's value; null for any other part.
    pub ohms: Option<f64>,
    /// A capacitor's value; null for any other part.
    pub farads: Option<f64>,
    /// How far a resistor or a capacitor may be off, as a share; null for any other part.
    pub tolerance: Option<f64>,
    /// The end in whose hood it sits.
    pub sits_in: String,
}

/// A switch of the lead that stays where it is put.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Changeover {
    /// The part that it is.
    pub part: String,
    /// What it is called.
    pub called: String,
    /// Its two positions: in the first `common` is joined to `first`.
    pub positions: [ChangeoverPosition; 2],
    /// Whether it makes the new contact before it breaks the old one.
    pub makes_first: bool,
}

/// One position of a switch.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ChangeoverPosition {
    /// Its name.
    pub name: String,
    /// The actions that others perform while it stands there, in place of what `play` says.
    pub play: BTreeMap<String, Vec<String>>,
}

/// A conductor between two contacts, or between a contact and a part's leg.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Join {
    /// The contact of the controller's end; null if the conductor has none.
    pub controller: Option<String>,
    /// The contact of the port's end; null if the conductor has none.
    pub port: Option<String>,
    /// One end of it with its contact: `controller.13`.
    pub from: String,
    /// The other: `port.6`, or a point of the donor: `donor.up`, `donor.up.common`.
    pub to: String,
    /// The core of the cable that it takes; null if it takes none, if no cable is chosen, and for what a
    /// rewired lead will have.
    pub core: Option<Core>,
}

/// What the conductors are, and how long.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cord {
    /// `AWG 28` or `0.14 mm2`.
    pub conductor: String,
    /// From cup to cup.
    pub length_metres: f64,
}

/// The cable of a lead and which core each join takes; nothing if no cable is chosen.
pub struct Cores<'a>(Option<(&'a Cable, domain::Allocation)>);

impl<'a> Cores<'a> {
    pub fn of(assembly: &'a domain::Assembly) -> Self {
        Self(assembly.lead.cable.as_ref().zip(domain::Allocation::of(assembly)))
    }

    /// A join with its core.
    pub fn join(&self, join: domain::Join) -> Join {
        let core = self.0.as_ref().and_then(|(cable, allocation)| {
            let core = *allocation.cores.get(&join)?;
            Some(Core {
                core: core.to_string(),
                letters: cable.colour(core).map(|colour| colour.to_string()),
                twisted_with: cable.partner(core).map(|other| other.to_string()),
            })
        });
        Join { core, ..(&join).into() }
    }
}

impl From<&domain::Assembly> for Lead {
    fn from(assembly: &domain::Assembly) -> Self {
        let lead = &assembly.lead;
        let cores = Cores::of(assembly);
        let cable = cores.0.as_ref().map(|(cable, allocation)| LeadCable {
            cable: cable.name.clone(),
            title: cable.title.clone(),
            moulded_ends: allocation.moulded.keys().map(ToString::to_string).collect(),
            spares: allocation.spares.iter().map(ToString::to_string).collect(),
        });
        let ends = lead.ends.iter().map(|end| End {
            end: end.id.to_string(),
            profile: end.profile.clone(),
            connector: end.connector.to_string(),
        });
        let play = lead.play.entries().map(|(action, controls)| {
            (action.to_string(), controls.iter().map(ToString::to_string).collect())
        });
        Self {
            name: lead.name.clone(),
            title: lead.title.clone(),
            ends: ends.collect(),
            donor: assembly.donor.as_ref().map(|donor| donor.pad().name.clone()),
            passes_through: lead.passes_through,
            joins: lead.soldered().map(|join| cores.join(*join)).collect(),
            parts: lead.parts.iter().map(Part::from).collect(),
            play: play.collect(),
            switches: lead.changeovers.iter().map(Changeover::from).collect(),
            cord: (&lead.cord).into(),
            cable,
        }
    }
}

/// What kind of part it is, in a word.
pub fn part_kind(body: &domain::Body) -> &'static str {
    match body {
        domain::Body::Diode(_) => "diode",
        domain::Body::Resistor(_) => "resistor",
        domain::Body::Capacitor(_) => "capacitor",
        domain::Body::Transistor(_) => "transistor",
        domain::Body::Chip(_) => "chip",
        domain::Body::Changeover(_) => "switch",
    }
}

impl From<&domain::Changeover> for Changeover {
    fn from(own: &domain::Changeover) -> Self {
        let texts =
            |controls: &[solderside_profile::Control]| controls.iter().map(ToString::to_string).collect();
        let position = |own: &domain::ChangeoverPosition| ChangeoverPosition {
            name: own.name.clone(),
            play: own.play.iter().map(|(action, controls)| (action.to_string(), texts(controls))).collect(),
        };
        Self {
            part: own.part.to_string(),
            called: own.called.clone(),
            positions: own.positions.each_ref().map(position),
            makes_first: own.makes_first,
        }
    }
}

impl From<&domain::Part> for Part {
    fn from(part: &domain::Part) -> Self {
        let (ohms, farads, tolerance) = match part.body {
            domain::Body::Resistor(resistor) => (Some(resistor.ohms.get()), None, Some(resistor.tolerance)),
            domain::Body::Capacitor(capacitor) => {
                (None, Some(capacitor.farads.get()), Some(capacitor.tolerance))
            }
            domain::Body::Diode(_)
            | domain::Body::Transistor(_)
            | domain::Body::Chip(_)
            | domain::Body::Changeover(_) => (None, None, None),
        };
        Self {
            part: part.id().to_string(),
            kind: part_kind(&part.body),
            value: part.body.to_string(),
            ohms,
            farads,
            tolerance,
            sits_in: part.sits.to_string(),
        }
    }
}

impl From<&domain::Cord> for Cord {
    fn from(cord: &domain::Cord) -> Self {
        Self { conductor: cord.conductor.to_string(), length_metres: cord.length.get() }
    }
}

impl From<&domain::Join> for Join {
    fn from(join: &domain::Join) -> Self {
        let at = |end: EndId| {
            let leg = [join.from, join.to].into_iter().find(|leg| leg.end == end);
            leg.map(|leg| leg.contact.to_string())
        };
        Self {
            controller: at(EndId::Controller(0)),
            port: at(EndId::Port),
            from: join.from.to_string(),
            to: join.to.to_string(),
            core: None,
        }
    }
}

//! One profile or lead.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead::Assembly;
use solderside_profile::{
    self as domain, ActiveLevel, Body, Cable, Controller, ControllerContact, ControllerRole, Direction,
    Drawer, Driven, Fact, Level, Port, PortRole,
};
use solderside_quantity::{Amps, Metres, Quantity, Triple};
use solderside_trade::{Connector, CoreColour};

use super::lead::part_kind;
use super::{FORMAT, Lead};

/// The answer of `show`.
#[derive(JsonSchema)]
#[schemars(title = "Solderside: show", untagged)]
#[expect(
    dead_code,
    clippy::large_enum_variant,
    reason = "the shapes are written one by one; this is the schema of all five"
)]
pub enum Show {
    Controller(ShowController),
    Port(ShowPort),
    Cable(ShowCable),
    Drawer(ShowDrawer),
    Lead(ShowLead),
}

/// A controller.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShowController {
    #[serde(flatten)]
    heading: Heading,
    /// What is known of its contacts.
    contacts: Vec<Contact>,
    /// The kind of its switches.
    switch: &'static str,
    /// The resistance of a closed switch: low, typical, high.
    switch_ohms: [f64; 3],
    /// What keeps its directions apart.
    gate: &'static str,
    /// Its fire buttons, the first first.
    fire_order: Vec<String>,
    /// The chips inside; null if there are none.
    logic: Option<Logic>,
    /// The parts inside and how they are joined, where that is known part by part; else null.
    parts_inside: Option<PartsInside>,
    /// Sixteen digits that change when anything electrical does.
    fingerprint: String,
}

/// A port.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShowPort {
    #[serde(flatten)]
    heading: Heading,
    /// What is known of its contacts.
    contacts: Vec<Contact>,
    /// The electrical classes of its inputs.
    inputs: Vec<Input>,
    /// The rail inside the machine: low, typical, high.
    rail_volts: [f64; 3],
    /// Its fire actions, the first first.
    fire_order: Vec<String>,
    /// The machine's reading script.
    steps: Vec<Step>,
    /// How long the machine moves none of its lines between two readings: low, typical, high; null if that is not known.
    rest_seconds: Option<[f64; 3]>,
    /// What this socket is instead, if it is none for a controller; else null.
    hazard: Option<String>,
    /// Sixteen digits that change when anything electrical does.
    fingerprint: String,
}

/// A cable.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShowCable {
    #[schemars(extend("const" = FORMAT))]
    format: u8,
    #[schemars(extend("const" = "cable"))]
    kind: &'static str,
    /// The profile's name.
    name: String,
    /// What it is called on paper.
    title: String,
    /// The profiles that it starts from, nearest first.
    like: Vec<String>,
    /// Each core's copper: `AWG 28` or `0.14 mm²`.
    conductor: String,
    /// How long it is; null if it is cut from the reel.
    length_metres: Option<f64>,
    /// Its conductors in their order, the drain last.
    cores: Vec<Core>,
    /// The connectors that are moulded on.
    moulded: Vec<String>,
    #[serde(flatten)]
    fact: WireFact,
    /// What else there is to say.
    note: Option<String>,
    /// Sixteen digits that change when anything does that a lead is built by.
    fingerprint: String,
}

/// A drawer of parts.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShowDrawer {
    #[schemars(extend("const" = FORMAT))]
    format: u8,
    #[schemars(extend("const" = "drawer"))]
    kind: &'static str,
    /// The file's name.
    name: String,
    /// What it is called on paper.
    title: String,
    /// Each kind of part.
    stock: Vec<Stock>,
}

/// A kind of part in a drawer.
#[derive(Debug, Serialize, JsonSchema)]
struct Stock {
    /// `chips`, `diodes`, `transistors`, `resistors` or `capacitors`.
    kind: String,
    /// Each part with its count; null if the kind is not counted.
    parts: Option<Vec<Counted>>,
}

/// A part in a drawer.
#[derive(Debug, Serialize, JsonSchema)]
struct Counted {
    /// Its name or its value.
    part: String,
    count: usize,
}

/// A conductor of a cable.
#[derive(Debug, Serialize, JsonSchema)]
struct Core {
    /// Its number, or `drain`.
    core: String,
    /// The letters of its colour after IEC 60757; null for the drain.
    letters: Option<String>,
    /// Its colour in words; null for the drain.
    colour: Option<String>,
    /// The core that it is twisted with; null if there is none.
    twisted_with: Option<String>,
    /// The contact in which it ends at each moulded end; null where it ends in none.
    moulded_in: Vec<Option<String>>,
}

/// A lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ShowLead {
    #[schemars(extend("const" = FORMAT))]
    format: u8,
    #[schemars(extend("const" = "lead"))]
    kind: &'static str,
    #[serde(flatten)]
    lead: Lead,
}

/// What controllers and ports have in common.
#[derive(Debug, Serialize, JsonSchema)]
struct Heading {
    #[schemars(extend("const" = FORMAT))]
    format: u8,
    #[schemars(extend("enum" = ["controller", "port"]))]
    kind: &'static str,
    /// The profile's name.
    name: String,
    /// What it is called on paper.
    title: String,
    /// The profiles that it starts from, nearest first.
    like: Vec<String>,
    /// Its own connector.
    connector: String,
    /// The connector that a lead needs there.
    mate: String,
    /// What sellers wrongly call such a connector.
    sellers_call_it: Vec<Misnomer>,
}

/// A name that sellers use and the standard does not.
#[derive(Debug, Serialize, JsonSchema)]
struct Misnomer {
    /// The name as sellers print it.
    name: &'static str,
    /// Why it is wrong.
    why: &'static str,
}

/// A contact.
#[derive(Debug, Serialize, JsonSchema)]
struct Contact {
    /// Its number, or `shell`.
    contact: String,
    /// What kind of contact it is.
    role: &'static str,
    /// What it is for, in a word: the control, the action, or the role.
    function: String,
    /// What the trade calls a line that has no control or action of its own, such as `select`; null if
    /// nothing does.
    called: Option<String>,
    /// The class of input, where the machine reads a level or measures an axis.
    input: Option<String>,
    /// How the machine measures an axis here; null if it measures none.
    axis: Option<Measured>,
    /// A supply's voltage without load: low, typical, high.
    supply_volts: Option<[f64; 3]>,
    /// The most that may be taken from a supply.
    supply_amps_max: Option<f64>,
    /// To what level the machine can also drive a line that it reads; null if it cannot.
    #[schemars(extend("enum" = ["low", "high", "both", null]))]
    driven: Option<&'static str>,
    /// What the contact stands, as far as it is stated.
    limits: Option<Limits>,
    /// What is inside a controller at this contact; null at a port.
    inside: Option<Inside>,
    #[serde(flatten)]
    fact: WireFact,
    /// What else there is to say.
    note: Option<String>,
}

/// What is inside a controller between two of its contacts.
#[derive(Debug, Serialize, JsonSchema)]
struct Inside {
    /// The common of this control alone; null if all commons are one.
    closes_to: Option<String>,
    /// The resistor in series with the switch: low, typical, high.
    series_ohms: Option<[f64; 3]>,
    /// A pot's full travel: low, typical, high.
    pot_ohms: Option<[f64; 3]>,
    /// The contact at which a pot's other end sits.
    other_end: Option<String>,
    /// The end of a pot's travel at which it has 0 Ω: `left`, `right`, `up` or `down`; null if unknown.
    low_end: Option<&'static str>,
}

/// How a machine measures an axis.
#[derive(Debug, Serialize, JsonSchema)]
struct Measured {
    /// What a pot of this port has at the end of its travel.
    full_scale_ohms: f64,
    /// The shortest and the longest time that the machine can measure.
    reads_seconds: [f64; 2],
    /// The end of the travel at which it expects the shortest time: `left`, `right`, `up` or `down`; null if unknown.
    low_end: Option<&'static str>,
}

/// What is inside a controller, part by part.
#[derive(Debug, Serialize, JsonSchema)]
struct PartsInside {
    /// The parts.
    parts: Vec<InsidePart>,
    /// Pairs that are electrically one: a contact of the plug such as `5`, or a part's leg such as `u1.16`.
    joins: Vec<[String; 2]>,
    /// The controls that are switches inside.
    switches: Vec<InsideSwitch>,
    /// How long the machine's lines must rest until the counters inside are at zero again: low, typical, high; null if
    /// nothing inside forgets.
    forgets_seconds: Option<[f64; 3]>,
    #[serde(flatten)]
    fact: WireFact,
}

/// A part inside a controller.
#[derive(Debug, Serialize, JsonSchema)]
struct InsidePart {
    /// Its name: `u1`, `r1`.
    part: String,
    /// What kind of part it is: `diode`, `resistor`, `capacitor`, `transistor` or `chip`.
    kind: &'static str,
    /// What it is: `CD4021`, `47 kΩ`.
    value: String,
}

/// A control that is a switch inside.
#[derive(Debug, Serialize, JsonSchema)]
struct InsideSwitch {
    /// The control.
    control: String,
    /// The two places that it joins while it is pressed.
    between: [String; 2],
}

/// What a contact stands; null is its family's default.
#[derive(Debug, Serialize, JsonSchema)]
struct Limits {
    /// The lowest and the highest voltage that may be put on it.
    volts: Option<[f64; 2]>,
    /// The most that may flow into it.
    sink_amps: Option<f64>,
    /// The most that may flow out of it.
    source_amps: Option<f64>,
}

/// Where a fact comes from.
#[derive(Debug, Serialize, JsonSchema)]
struct WireFact {
    /// How much it is believed.
    #[schemars(extend("enum" = ["published", "measured", "reported", "assumed"]))]
    evidence: &'static str,
    /// Where it was read, measured or heard.
    source: String,
}

/// The chips inside a pad.
#[derive(Debug, Serialize, JsonSchema)]
struct Logic {
    /// The family of the chips.
    family: &'static str,
    /// How they drive their contacts.
    output: &'static str,
    /// The controls whose contacts they drive, the others being switches; null if they drive all.
    drives: Option<Vec<String>>,
    /// The supply that they need: low, typical, high.
    supply_volts: [f64; 3],
    /// What they take from it: low, typical, high.
    supply_amps: [f64; 3],
    #[serde(flatten)]
    fact: WireFact,
}

/// An electrical class of input.
#[derive(Debug, Serialize, JsonSchema)]
struct Input {
    /// Its name in the file.
    name: String,
    /// The family of the chip behind it.
    family: &'static str,
    /// The resistance to the rail: low, typical, high; null if there is none.
    pull_up_ohms: Option<[f64; 3]>,
    /// The resistance to the return where a high is active: low, typical, high; null if there is none.
    pull_down_ohms: Option<[f64; 3]>,
    /// What must charge in time, if that is how it is read: low, typical, high; else null.
    charge_farads: Option<[f64; 3]>,
    /// The time within which it must charge: low, typical, high; else null.
    charge_seconds: Option<[f64; 3]>,
    /// What a pot charges, where an axis is measured by the time that this takes; else null.
    ramp: Option<Ramp>,
    /// The level that is taken for pressed: `low` or `high`.
    active: &'static str,
    #[serde(flatten)]
    fact: WireFact,
}

/// What a pot charges: t = (R + series) · C · ln(1 / (1 − threshold)).
#[derive(Debug, Serialize, JsonSchema)]
struct Ramp {
    /// The capacitor: low, typical, high.
    farads: [f64; 3],
    /// What stands between the contact and the capacitor: low, typical, high.
    series_ohms: [f64; 3],
    /// Where the machine takes it for charged, as a share of the rail: low, typical, high.
    threshold_share: [f64; 3],
}

/// One step of the reading script.
#[derive(Debug, Serialize, JsonSchema)]
struct Step {
    /// Its name.
    name: String,
    /// What the machine does to the contacts that it drives.
    drives: std::collections::BTreeMap<String, &'static str>,
    /// How long the machine waits before it reads: low, typical, high; null if that is not known.
    hold_seconds: Option<[f64; 3]>,
    /// What it reads at lines that are read as this or that: the contact, and the action.
    reads: std::collections::BTreeMap<String, String>,
    /// The levels that it expects whatever is pressed: the contact, and `low` or `high`.
    expects: std::collections::BTreeMap<String, &'static str>,
    /// The actions that it reads of contacts with one action; null if it reads all.
    samples: Option<Vec<String>>,
    /// The actions whose lines must be idle here, whatever is pressed.
    quiet: Vec<String>,
    /// The actions whose lines a key of the machine's own keyboard holds low here.
    held: Vec<String>,
}

impl From<&Controller> for ShowController {
    fn from(controller: &Controller) -> Self {
        let contacts = controller.contacts.iter().map(|(id, contact)| {
            let (role, function) = match &contact.role {
                ControllerRole::Control(control) => ("control", control.as_str()),
                ControllerRole::Pot(pot) => ("pot", pot.axis.as_str()),
                ControllerRole::Wired { called } => ("wired", called.as_str()),
                ControllerRole::Common => ("common", "common"),
                ControllerRole::Supply => ("supply", "supply"),
                ControllerRole::DoNotConnect => ("do-not-connect", "do not connect"),
                ControllerRole::Unused => ("unused", "unused"),
            };
            Contact {
                contact: id.to_string(),
                role,
                function: function.to_owned(),
                called: called(&contact.role),
                input: None,
                axis: None,
                supply_volts: None,
                supply_amps_max: None,
                driven: None,
                limits: None,
                inside: Some(contact.into()),
                fact: (&contact.fact).into(),
                note: contact.note.clone(),
            }
        });
        let logic = controller.logic.as_ref().map(|logic| Logic {
            family: logic.family.as_str(),
            output: logic.output.as_str(),
            drives: logic.drives.as_ref().map(|drives| drives.iter().map(ToString::to_string).collect()),
            supply_volts: numbers(logic.supply_volts),
            supply_amps: numbers(logic.supply_amps),
            fact: (&logic.fact).into(),
        });
        let Controller { name, title, like, connector, .. } = controller;
        Self {
            heading: Heading::new("controller", name, title, like, *connector),
            contacts: contacts.collect(),
            switch: controller.switch.as_str(),
            switch_ohms: numbers(controller.switch.closed_ohms().value),
            gate: controller.gate.as_str(),
            fire_order: controller.fire_order.iter().map(ToString::to_string).collect(),
            logic,
            parts_inside: controller.inside.as_ref().map(PartsInside::from),
            fingerprint: controller.fingerprint(),
        }
    }
}

impl From<&ControllerContact> for Inside {
    fn from(contact: &ControllerContact) -> Self {
        let pot = match &contact.role {
            ControllerRole::Pot(pot) => Some(pot),
            ControllerRole::Control(_)
            | ControllerRole::Wired { .. }
            | ControllerRole::Common
            | ControllerRole::Supply
            | ControllerRole::DoNotConnect
            | ControllerRole::Unused => None,
        };
        Self {
            closes_to: contact.closes_to.map(|common| common.to_string()),
            series_ohms: contact.series.as_ref().map(|series| numbers(series.ohms)),
            pot_ohms: pot.map(|pot| numbers(pot.ohms)),
            other_end: pot.map(|pot| pot.other_end.to_string()),
            low_end: pot.and_then(|pot| pot.low_end).map(Direction::as_str),
        }
    }
}

impl From<&domain::Inside> for PartsInside {
    fn from(inside: &domain::Inside) -> Self {
        let parts = inside.parts.iter().map(|part| InsidePart {
            part: part.id.to_string(),
            kind: part_kind(&part.body),
            value: part.body.to_string(),
        });
        let switches = inside.switches.iter().map(|switch| InsideSwitch {
            control: switch.control.to_string(),
            between: switch.between.map(|spot| spot.to_string()),
        });
        Self {
            parts: parts.collect(),
            joins: inside.joins.iter().map(|join| join.map(|spot| spot.to_string())).collect(),
            switches: switches.collect(),
            forgets_seconds: inside.forgets.map(numbers),
            fact: (&inside.fact).into(),
        }
    }
}

impl From<&Port> for ShowPort {
    fn from(port: &Port) -> Self {
        let inputs = port.inputs.values().map(|input| Input {
            name: input.name.clone(),
            family: input.family.as_str(),
            pull_up_ohms: input.pull_up.map(numbers),
            pull_down_ohms: input.pull_down.map(numbers),
            charge_farads: input.charge.map(|charge| numbers(charge.farads)),
            charge_seconds: input.charge.map(|charge| numbers(charge.seconds)),
            ramp: input.ramp.map(|ramp| Ramp {
                farads: numbers(ramp.farads),
                series_ohms: numbers(ramp.series),
                threshold_share: numbers(ramp.threshold),
            }),
            active: match input.active_level() {
                ActiveLevel::Low => "low",
                ActiveLevel::High => "high",
            },
            fact: (&input.fact).into(),
        });
        let steps = port.steps.iter().map(|step| Step {
            name: step.name.clone(),
            drives: step.drives.iter().map(|(id, level)| (id.to_string(), Level::as_str(*level))).collect(),
            hold_seconds: step.hold.map(numbers),
            reads: step.reads.iter().map(|(id, action)| (id.to_string(), action.to_string())).collect(),
            expects: step.expects.iter().map(|(id, level)| (id.to_string(), level.as_str())).collect(),
            samples: step.samples.as_ref().map(|actions| actions.iter().map(ToString::to_string).collect()),
            quiet: step.quiet.iter().map(ToString::to_string).collect(),
            held: step.held.iter().map(ToString::to_string).collect(),
        });
        let Port { name, title, like, connector, .. } = port;
        Self {
            heading: Heading::new("port", name, title, like, *connector),
            contacts: contacts(port),
            inputs: inputs.collect(),
            rail_volts: numbers(port.rail),
            fire_order: port.fire_order.iter().map(ToString::to_string).collect(),
            steps: steps.collect(),
            rest_seconds: port.rest.map(numbers),
            hazard: port.hazard.clone(),
            fingerprint: port.fingerprint(),
        }
    }
}

impl From<&Cable> for ShowCable {
    fn from(cable: &Cable) -> Self {
        let cores = cable.cores().map(|core| {
            let colour = cable.colour(core);
            let ends = cable.moulded.iter().map(|end| end.contact_of(core));
            Core {
                core: core.to_string(),
                letters: colour.map(|colour| colour.to_string()),
                colour: colour.map(CoreColour::words),
                twisted_with: cable.partner(core).map(|other| other.to_string()),
                moulded_in: ends.map(|contact| contact.map(|contact| contact.to_string())).collect(),
            }
        });
        Self {
            format: FORMAT,
            kind: "cable",
            name: cable.name.clone(),
            title: cable.title.clone(),
            like: cable.like.clone(),
            conductor: cable.conductor.to_string(),
            length_metres: cable.length.map(Metres::get),
            cores: cores.collect(),
            moulded: cable.moulded.iter().map(|end| end.connector.to_string()).collect(),
            fact: (&cable.fact).into(),
            note: cable.note.clone(),
            fingerprint: cable.fingerprint(),
        }
    }
}

impl From<&Drawer> for ShowDrawer {
    fn from(drawer: &Drawer) -> Self {
        let counted = |(body, count): (Body, usize)| Counted { part: body.to_string(), count };
        let stock = drawer.stock().into_iter().map(|(kind, parts)| Stock {
            kind: kind.to_lowercase(),
            parts: parts.map(|parts| parts.into_iter().map(counted).collect()),
        });
        Self {
            format: FORMAT,
            kind: "drawer",
            name: drawer.name.clone(),
            title: drawer.title.clone(),
            stock: stock.collect(),
        }
    }
}

impl From<&Assembly> for ShowLead {
    fn from(assembly: &Assembly) -> Self {
        Self { format: FORMAT, kind: "lead", lead: assembly.into() }
    }
}

impl From<&Fact> for WireFact {
    fn from(fact: &Fact) -> Self {
        Self { evidence: fact.evidence.as_str(), source: fact.source.clone() }
    }
}

impl Heading {
    fn new(kind: &'static str, name: &str, title: &str, like: &[String], connector: Connector) -> Self {
        let misnomers = connector.family.sellers_call_it().iter();
        Self {
            format: FORMAT,
            kind,
            name: name.to_owned(),
            title: title.to_owned(),
            like: like.to_vec(),
            connector: connector.to_string(),
            mate: connector.mate().to_string(),
            sellers_call_it: misnomers.map(|wrong| Misnomer { name: wrong.name, why: wrong.why }).collect(),
        }
    }
}

fn contacts(port: &Port) -> Vec<Contact> {
    let contacts = port.contacts.iter().map(|(id, contact)| {
        let (role, function, input) = match &contact.role {
            PortRole::Action { action, input } => ("action", action.as_str(), Some(input.clone())),
            PortRole::Data { input } => {
                ("data", contact.called.as_deref().unwrap_or("data"), Some(input.clone()))
            }
            PortRole::Axis(axis) => ("axis", axis.axis.as_str(), Some(axis.input.clone())),
            PortRole::Sense { input } => ("sense", "sense", Some(input.clone())),
            PortRole::Supply(_) => ("supply", "supply", None),
            PortRole::Fed(_) => ("fed", "fed", None),
            PortRole::Signal(_) => ("signal", "signal", None),
            PortRole::Return => ("return", "return", None),
            PortRole::Drive(_) => ("drive", contact.called.as_deref().unwrap_or("output"), None),
            PortRole::Pot => ("pot", "pot", None),
            PortRole::Unused => ("unused", "unused", None),
        };
        let limits = contact.limits;
        Contact {
            contact: id.to_string(),
            role,
            function: function.to_owned(),
            called: contact.called.clone(),
            input,
            axis: measured(&contact.role),
            supply_volts: contact.voltage().map(|supply| numbers(supply.volts)),
            supply_amps_max: contact.voltage().map(|supply| supply.amps_max.get()),
            driven: contact.driven.map(Driven::as_str),
            limits: Some(Limits {
                volts: limits.volts.map(|(low, high)| [low.get(), high.get()]),
                sink_amps: limits.sink_amps.map(Amps::get),
                source_amps: limits.source_amps.map(Amps::get),
            }),
            inside: None,
            fact: (&contact.fact).into(),
            note: contact.note.clone(),
        }
    });
    contacts.collect()
}

/// What a line of a controller is called that leads to parts inside.
fn called(role: &ControllerRole) -> Option<String> {
    match role {
        ControllerRole::Wired { called } => Some(called.clone()),
        ControllerRole::Control(_)
        | ControllerRole::Pot(_)
        | ControllerRole::Common
        | ControllerRole::Supply
        | ControllerRole::DoNotConnect
        | ControllerRole::Unused => None,
    }
}

fn measured(role: &PortRole) -> Option<Measured> {
    if let PortRole::Axis(axis) = role {
        let (least, most) = axis.reads;
        Some(Measured {
            full_scale_ohms: axis.full_scale.get(),
            reads_seconds: [least.get(), most.get()],
            low_end: axis.low_end.map(Direction::as_str),
        })
    } else {
        None
    }
}

fn numbers<T: Quantity>(triple: Triple<T>) -> [f64; 3] {
    [triple.low().get(), triple.typical().get(), triple.high().get()]
}

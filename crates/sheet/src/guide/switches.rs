//! The test of each control through the lead, with the controller plugged in and the machine not.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Assembly, Body, EndId, Join, Lead, Leg, PartId, State};
use solderside_profile::{Action, ActiveLevel, Control, Step};
use solderside_quantity::{Ohms, Triple, significant};
use solderside_trade::{DiodePart, OPEN_CONTACT_OHMS, Sourced, connector_contact_ohms, run_ohms};

use super::bridge::{listed_causes, tied_by_parts, touches};
use super::frame::{Check, Section, checks, source, tick};
use super::text::range;
use super::{Subject, boards};
use crate::words::{contact, is_bare, listed, part_name};

/// The most that a meter's diode range sends (handheld meter manuals: 0.7 mA to 1.5 mA).
const DIODE_RANGE_AMPS: f64 = 1.5e-3;

/// One control's way through the lead.
struct Test {
    control: Control,
    from: Leg,
    home: Leg,
    /// A leg of each net behind a part and before the switch.
    passed: Vec<Leg>,
    /// What lies between them while it is pressed.
    pressed: Pressed,
    /// The conductors that the current takes.
    way: Vec<Join>,
}

/// What the current of a meter meets on its way.
struct Pressed {
    ohms: Triple<Ohms>,
    /// The diodes in series.
    diodes: Vec<DiodePart>,
    /// Whether the red probe belongs at the machine's line; at the return where a high is active.
    red_first: bool,
}

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("switches", "Switch test", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let has_chips = assembly.controllers.iter().any(|controller| {
        let inside = controller
            .inside
            .as_ref()
            .is_some_and(|inside| inside.parts.iter().any(|part| part.body.switches()));
        controller.logic.is_some() || inside
    });
    html! {
        @if has_chips {
            p { "The controller has chips inside, so a meter sees no switch through them: its controls are tried on the \
                 machine, after the first power-up. Do not measure resistance into it; the meter would feed the chips." }
        } @else { (measured(subject)) }
    }
}

fn measured(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let tests = tests(assembly);
    let rows = tests.iter().map(|test| {
        let probes = probes(assembly, test);
        let cells = vec![
            html! { code { (test.control) } },
            html! { (probes) },
            html! { (test.pressed.reads()) },
            tick(&format!("{} at {probes}", test.control)),
        ];
        Check { cells, wrong: wrong(subject, test, &tests) }
    });
    let is_seen = |action: &Action| {
        let line = assembly.port.contact_of(action).map(Leg::port);
        tests.iter().any(|test| Some(test.from) == line)
    };
    let played = assembly.lead.play.entries().filter(|(_, controls)| !controls.is_empty());
    let unseen = played.map(|(action, _)| action).filter(|action| !is_seen(action));
    let unseen: Vec<&Action> = unseen.filter(|_| !boards::chips(&assembly.lead).is_empty()).collect();
    let is_tied = tests.iter().any(|test| {
        tests.iter().any(|other| {
            other.control != test.control && tied_by_parts(&assembly.lead, test.from, other.from)
        })
    });
    let has_diodes = tests.iter().any(|test| !test.pressed.diodes.is_empty());
    let switches = assembly.controllers.iter().map(|controller| controller.switch.closed_ohms().source.text);
    let mut switches: Vec<&str> = switches.collect();
    switches.dedup();
    html! {
        p { "Plug the controller into the lead and leave the machine out. Measure at the port end, on the ohms range: a \
             buzzer is silent above 50 Ω and cannot judge a carbon contact. "
            (source("handheld meter manual, pages 31 and 32, manualshive.com (buzzer below 50 Ω)")) }
        p { "With nothing pressed each pair reads more than " (OPEN_CONTACT_OHMS.value) ", as good as open; pressed it reads the \
             range, and no pair of another control changes"
             @if is_tied { ", but for those that parts tie to it" }
             "." }
        @if has_diodes {
            p { "Where the figure is in volts a diode is in the way: take the diode range, the red probe as the row says. With \
                 nothing pressed, and with the probes swapped, it reads open. A range that ends above 1.5 V may read open on a \
                 meter that gives no more. " (source("handheld meter manual, page 32, manualshive.com (diode range: 1.5 V); \
                 computed: the diode at 0.7 mA to 1.5 mA, and the switch at 1.5 mA")) }
        }
        @if !unseen.is_empty() {
            p { "Through " (boards::names(&assembly.lead)) " a meter sees no switch. Try "
                (listed(unseen.iter().map(|action| format!("“{action}”")))) " on the machine, after the first power-up." }
        }
        (checks("Each control at the port end", &["Press", "Probe contacts", "Pressed", "Right"], rows.collect()))
        p { "The range adds the switch, the conductors and the controller’s mated contacts. " (source(&switches.join("; "))) }
    }
}

/// A test for every control that reaches home when it is pressed alone.
fn tests(assembly: &Assembly) -> Vec<Test> {
    let mut tests = Vec::new();
    for (action, controls) in assembly.lead.play.entries() {
        let Some(from) = assembly.port.contact_of(action).map(Leg::port) else { continue };
        for control in controls {
            let state = State::from([control.clone()]);
            let ways =
                assembly.port.steps.iter().filter_map(|step: &Step| assembly.way_home(from, &state, step));
            let Some(walk) = ways.min_by_key(Vec::len) else { continue };
            let Some(home) = walk.last().copied() else { continue };
            if let Some(pressed) = pressed(assembly, &walk) {
                let way = conductors(assembly, &walk);
                let passed = passed(&assembly.lead, &walk);
                tests.push(Test { control: control.clone(), from, home, passed, pressed, way });
            }
        }
    }
    tests.sort_by_key(|test| test.from);
    tests
}

/// What a control that reads wrong points to.
fn wrong(subject: &Subject<'_>, test: &Test, tests: &[Test]) -> Markup {
    let assembly = subject.assembly;
    let is_in_all = |join: &&Join| tests.iter().all(|other| other.way.contains(join));
    let (shared, own): (Vec<&Join>, Vec<&Join>) = test.way.iter().partition(is_in_all);
    let letters = |joins: &[&Join]| {
        let wires = joins.iter().filter(|join| !is_bare(assembly, ***join));
        let parts: BTreeSet<PartId> =
            // At a chip or a transistor the current only passes a joint.
            joins.iter().flat_map(|join| [join.from, join.to]).filter_map(Leg::part_id).filter(|id| id.is_two_legged()).collect();
        let wires = wires.map(|join| subject.colouring.letters(**join));
        listed(wires.chain(parts.into_iter().map(part_name)))
    };
    html! {
        "Stays open: "
        @if !own.is_empty() { (letters(&own)) ", or " }
        "the switch or its contact in the connector"
        @if !test.pressed.diodes.is_empty() { ", or a reversed diode" }
        @if !shared.is_empty() && tests.len() > 1 { "; in every row: " (letters(&shared)) }
        ". Above the range: a worn switch or a weak joint. Low with nothing pressed: the switch sticks, or "
        (low(assembly, test)) "."
    }
}

/// What makes a control read low that is not pressed: what touches before the parts in its way, or behind them.
fn low(assembly: &Assembly, test: &Test) -> String {
    let mut causes: Vec<String> = Vec::new();
    for leg in test.passed.iter().copied().chain([test.from]) {
        let new = touches(assembly, leg, test.home).into_iter();
        let new: Vec<String> = new.filter(|cause| !causes.contains(cause)).collect();
        causes.extend(new);
    }
    listed_causes(&causes)
}

/// The first leg of each net that a walk passes before the controller's switch.
fn passed(lead: &Lead, walk: &[Leg]) -> Vec<Leg> {
    let Some(first) = walk.first() else { return Vec::new() };
    let before = walk.iter().take_while(|leg| !matches!(leg.end, EndId::Controller(_)));
    let mut passed: Vec<Leg> = Vec::new();
    for leg in before.filter(|leg| !lead.net(*first).contains(leg)) {
        if !passed.iter().any(|other| lead.net(*other).contains(leg)) {
            passed.push(*leg);
        }
    }
    passed
}

/// The conductors along a walk.
fn conductors(assembly: &Assembly, walk: &[Leg]) -> Vec<Join> {
    let joins = walk.windows(2).map(|two| Join::new(two[0], two[1]));
    joins.filter(|join| assembly.lead.joins.contains(join)).collect()
}

/// "red 6 (fire) – black 9 (return)" through a diode, "6 (fire) – 9 (return)" else.
fn probes(assembly: &Assembly, test: &Test) -> String {
    let [from, home] = [test.from, test.home].map(|leg| contact(assembly, leg));
    match (test.pressed.diodes.is_empty(), test.pressed.red_first) {
        (true, _) => format!("{from} – {home}"),
        (false, true) => format!("red {from} – black {home}"),
        (false, false) => format!("black {from} – red {home}"),
    }
}

impl Pressed {
    /// The range that a meter shows: in ohms, or in volts through diodes.
    fn reads(&self) -> String {
        if self.diodes.is_empty() {
            return range(self.ohms);
        }
        let volts = self.diodes.iter().map(|diode| diode.meter_volts().value);
        let [mut low, mut high] = [0.0, DIODE_RANGE_AMPS * self.ohms.high().get()];
        for volts in volts {
            low += volts.low().get();
            high += volts.high().get();
        }
        format!("{}\u{a0}V to {}\u{a0}V", significant(low, 2), significant(high, 2))
    }
}

/// What a meter meets along a walk: conductors, parts, and for each pass through a controller its switch and two
/// mated contacts.
fn pressed(assembly: &Assembly, walk: &[Leg]) -> Option<Pressed> {
    let cord = &assembly.lead.cord;
    let Sourced { value: mated, .. } = connector_contact_ohms();
    let from = *walk.first()?;
    let mut pressed = Pressed {
        ohms: Triple::exactly(Ohms::ZERO),
        diodes: Vec::new(),
        red_first: match assembly.active_level(from) {
            ActiveLevel::Low => true,
            ActiveLevel::High => false,
        },
    };
    for two in walk.windows(2) {
        let [from, to] = [two[0], two[1]];
        let is_conductor = assembly.lead.joined(from).any(|leg| leg == to);
        let ohms = match from.end {
            EndId::Controller(_) if from.end == to.end && !is_conductor => {
                let controller = assembly.controller(from.end)?;
                let control = [from, to].into_iter().find_map(|leg| controller.control_at(leg.contact));
                let closed =
                    control.map_or(Triple::exactly(Ohms::ZERO), |control| controller.closed_ohms(control));
                closed.plus(mated).plus(mated)
            }
            EndId::Part(id) if from.end == to.end && !is_conductor => match assembly.lead.part(id)?.body {
                Body::Diode(diode) => {
                    pressed.diodes.push(diode);
                    Triple::exactly(Ohms::ZERO)
                }
                Body::Resistor(resistor) => resistor.triple(),
                Body::Capacitor(_) | Body::Transistor(_) | Body::Chip(_) => return None,
            },
            EndId::Controller(_) | EndId::Part(_) | EndId::Inside(..) | EndId::Port => {
                if assembly.lead.runs_through_cable(&Join::new(from, to)) {
                    run_ohms(&cord.conductor, cord.length)
                } else {
                    Triple::exactly(Ohms::ZERO)
                }
            }
        };
        pressed.ohms = pressed.ohms.plus(ohms);
    }
    Some(pressed)
}

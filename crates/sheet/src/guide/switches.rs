//! The test of each control through the lead, with the controller plugged in and the machine not.

use maud::{Markup, html};
use solderside_lead::{Assembly, EndId, Join, Leg, State};
use solderside_profile::{Control, Step};
use solderside_quantity::{Ohms, Triple};
use solderside_trade::{OPEN_CONTACT_OHMS, Sourced, connector_contact_ohms, run_ohms};

use super::Subject;
use super::bridge::touch;
use super::frame::{Check, Section, checks, source, tick};
use super::text::range;
use crate::words::{contact, listed};

/// One control's way through the lead.
struct Test {
    control: Control,
    from: Leg,
    home: Leg,
    pressed: Triple<Ohms>,
    /// The conductors that the current takes.
    way: Vec<Join>,
}

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("switches", "Switch test", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let has_chips = assembly.controllers.iter().any(|controller| controller.logic.is_some());
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
        let probes = format!("{} – {}", contact(assembly, test.from), contact(assembly, test.home));
        let cells = vec![
            html! { code { (test.control) } },
            html! { (probes) },
            html! { (range(test.pressed)) },
            tick(&format!("{} at {probes}", test.control)),
        ];
        Check { cells, wrong: wrong(subject, test, &tests) }
    });
    let switches = assembly.controllers.iter().map(|controller| controller.switch.closed_ohms().source.text);
    let mut switches: Vec<&str> = switches.collect();
    switches.dedup();
    html! {
        p { "Plug the controller into the lead and leave the machine out. Measure at the port end, on the ohms range: a \
             buzzer is silent above 50 Ω and cannot judge a carbon contact. "
            (source("handheld meter manual, pages 31 and 32, manualshive.com (buzzer below 50 Ω)")) }
        p { "With nothing pressed each pair reads more than " (OPEN_CONTACT_OHMS.value) ", as good as open; pressed it reads the \
             range, and no other pair changes." }
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
            if let Some(pressed) = resistance(assembly, &walk) {
                let way = conductors(assembly, &walk);
                tests.push(Test { control: control.clone(), from, home, pressed, way });
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
    let letters = |joins: &[&Join]| listed(joins.iter().map(|join| subject.colouring.letters(**join)));
    html! {
        "Stays open: "
        @if !own.is_empty() { (letters(&own)) ", or " }
        "the switch or its contact in the connector"
        @if !shared.is_empty() && tests.len() > 1 { "; in every row: " (letters(&shared)) }
        ". Above the range: a worn switch or a weak joint. Low with nothing pressed: the switch sticks, or "
        (touch(assembly, test.from, test.home)) "."
    }
}

/// The conductors along a walk.
fn conductors(assembly: &Assembly, walk: &[Leg]) -> Vec<Join> {
    let joins = walk.windows(2).map(|two| Join::new(two[0], two[1]));
    joins.filter(|join| assembly.lead.joins.contains(join)).collect()
}

/// What a meter reads along a walk: conductors, and for each pass through a controller its switch and two
/// mated contacts.
fn resistance(assembly: &Assembly, walk: &[Leg]) -> Option<Triple<Ohms>> {
    let cord = &assembly.lead.cord;
    let Sourced { value: mated, .. } = connector_contact_ohms();
    walk.windows(2).try_fold(Triple::exactly(Ohms::ZERO), |sum, two| {
        let [from, to] = [two[0], two[1]];
        let is_conductor = assembly.lead.joined(from).any(|leg| leg == to);
        let part = match from.end {
            EndId::Controller(_) if from.end == to.end && !is_conductor => {
                let controller = assembly.controller(from.end)?;
                let control = [from, to].into_iter().find_map(|leg| controller.control_at(leg.contact));
                let closed =
                    control.map_or(Triple::exactly(Ohms::ZERO), |control| controller.closed_ohms(control));
                closed.plus(mated).plus(mated)
            }
            end if end == to.end => Triple::exactly(Ohms::ZERO),
            // A part's own resistance is no conductor's.
            EndId::Part(_) if !is_conductor => return None,
            EndId::Controller(_) | EndId::Part(_) | EndId::Port => run_ohms(&cord.conductor, cord.length),
        };
        Some(sum.plus(part))
    })
}

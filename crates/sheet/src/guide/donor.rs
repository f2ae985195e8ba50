//! How a lead into the port's own pad is built: the pad is opened, the points are found with a meter, soldered to, and read.

use maud::{Markup, html};
use solderside_lead::{Donor, EndId, Holder, Join, Leg};
use solderside_profile::{Body, Spot};

use super::Subject;
use super::frame::{Section, source, table, to_do};
use super::plugged::{clamped, is_out};
use super::steps::clamp;
use super::text::conductor;
use crate::laid::points;
use crate::words::{clean, contact, end_name, is_clamped, joint, listed, part_name};

const HABIT: &str = "common practice, no source";

/// What is said above the picture.
pub(super) const fn drawn() -> &'static str {
    "The connector is seen from behind, where the cups are, as it lies on the bench. The donor’s points are drawn in a row; on \
     the board they lie wherever its maker put them. The table under “Points in the pad” says how each is found."
}

/// What takes the place of soldering, meter tests and first power of other leads.
pub(super) fn sections(subject: &Subject<'_>) -> Vec<Section> {
    let Some(donor) = &subject.assembly.donor else { return Vec::new() };
    vec![
        Section::new("points", "Points in the pad", points_in(subject, donor)),
        Section::new("steps", "Soldering", steps(subject, donor)),
        Section::new("bench", "Meter tests", readings(subject, donor)),
        Section::new("power", "First power", power(subject, donor)),
    ]
}

fn points_in(subject: &Subject<'_>, donor: &Donor) -> Markup {
    let pad = clean(&donor.pad().title);
    let has_series = donor.points().iter().any(|(control, _)| donor.pad().series_of(control).is_some());
    let rows = (1..).zip(points(subject.assembly)).map(|(number, point): (usize, Leg)| {
        let wires: Vec<Markup> = joins_at(subject, point).map(|join| conductor(subject, join)).collect();
        vec![
            html! { (number) " " b { (subject.assembly.function(point)) } },
            html! { (side(donor, point)) },
            html! { (beeps_with(donor, point)) },
            html! { @for wire in wires { (wire) " " } },
        ]
    });
    html! {
        (to_do(1, vec![
            html! { "Before anything is opened, try the " (pad) " in the machine: every button must work. Then switch the machine \
                off and pull the pad’s plug out of it. It stays out until the case is closed. " (source(HABIT)) },
            html! { "Open the case: screws may hide under labels and feet. Note how buttons, rubber mats and cable lie, or take a \
                picture. Touch earthed metal, then lift the board out by its edges. " (source(HABIT)) },
            html! { "Find each point of the table with the meter: with the buzzer where the table says “beeps”"
                @if has_series { ", on the ohms range where it says “reads”" }
                ". The two pads of a switch lie under its button: one of them answers as the table says, the other is the common. Mark \
                each on your picture. If a point does not answer as the table says, this is another pad: correct its file, and make this \
                guide again. " (source(HABIT)) },
        ]))
        (table("Points to solder to, by what they are for", &["Point, as numbered in the drawing", "Which pad of the switch", "How to find it", "Gets"], rows.collect()))
        p { "The pad’s own buttons stay in place and go on working. Proved is every combination of the controller’s controls, and \
             while any of them is held, the pad’s own button at the same two points may be pressed or not. Not proved is any other button \
             of the pad beside a control of the controller: play on one of the two at a time." }
    }
}

fn side(donor: &Donor, point: Leg) -> String {
    match donor.function(point) {
        Some((_, true)) => "the one that its neighbours share".to_owned(),
        Some((_, false)) => "the one that is its own".to_owned(),
        None => String::new(),
    }
}

/// "contact 1 of the plug", "leg 3 of U1, a 74HC157": what a point is one with, the plug first.
fn beeps_with(donor: &Donor, point: Leg) -> String {
    let net = donor.net(point);
    let control = donor.function(point).filter(|(_, is_common)| !is_common).map(|(control, _)| control);
    let series = control.and_then(|control| donor.pad().series_of(control));
    let plug = net.iter().find_map(|spot| match spot {
        Spot::Contact(contact) => Some(*contact),
        Spot::Leg(..) => None,
    });
    if let (Some(series), Some(contact)) = (series, plug) {
        return format!(
            "reads {} to {} to contact {contact} of the plug",
            series.ohms.low(),
            series.ohms.high()
        );
    }
    if let Some(contact) = plug {
        return format!("beeps with contact {contact} of the plug");
    }
    let parts = donor.pad().inside.iter().flat_map(|inside| &inside.parts);
    let body = |id| parts.clone().find(|part| part.id == id).map(|part| part.body);
    let legs = net.iter().filter_map(|spot| match spot {
        Spot::Leg(id, leg) => Some((*id, *leg)),
        Spot::Contact(_) => None,
    });
    // The leg of a chip is found by counting; a resistor looks like its neighbours.
    let chip = legs.clone().find(|(id, _)| matches!(body(*id), Some(Body::Chip(_))));
    let found = chip.or_else(|| legs.clone().next());
    found.map_or_else(String::new, |(id, leg)| {
        let is = body(id).map_or_else(String::new, |body| format!(", a {body}"));
        format!("beeps with leg {} of {}{is}", id.leg_name(leg), part_name(id))
    })
}

fn joins_at<'s>(subject: &'s Subject<'_>, point: Leg) -> impl Iterator<Item = Join> + 's {
    subject.assembly.lead.soldered().copied().filter(move |join| join.other(point).is_some())
}

fn steps(subject: &Subject<'_>, donor: &Donor) -> Markup {
    let assembly = subject.assembly;
    let lead = &assembly.lead;
    let mut items = vec![
        html! { "Cut " (lead.cord.length) " of cable. "
        @if lead.ends.iter().any(|end| end.id != EndId::Donor && !is_clamped(end)) { "Slide the hood’s clamp on now. " }
        "Take 25 mm of jacket off one end and as much \
        off the other as the points lie apart, without nicking a conductor. Strip 3 mm of each, twist, tin. " (source(HABIT)) },
        html! { "Lead the cable into the pad’s case beside the pad’s own: file a notch for it, and keep it from being pulled with a \
        cable tie that is drawn tight round its jacket inside. " (source(HABIT)) },
    ];
    for point in points(assembly) {
        let wires: Vec<Markup> = joins_at(subject, point).map(|join| conductor(subject, join)).collect();
        items.push(html! {
            @for wire in wires { (wire) " " } "to the point " b { (assembly.function(point)) } ": tin the copper first, lay \
            the conductor on, and let go when it is smooth."
        });
    }
    items.push(html! { "Look at every joint under a lamp: no strand may reach a neighbour, and no joint may stand so high that a \
        button no longer closes." });
    let own: Vec<Join> = lead.soldered().copied().collect();
    for end in lead.ends.iter().filter(|end| Holder::Donor.end() != end.id) {
        let cups = own.iter().flat_map(|join| [(join.from, *join), (join.to, *join)]);
        for (leg, join) in cups.filter(|(leg, _)| leg.end == end.id) {
            let name = end_name(assembly, end.id).to_lowercase();
            items.push(if is_clamped(end) {
                html! { (conductor(subject, join)) ": crimp a ferrule on it, write " b { (contact(assembly, leg)) } " on a piece of tape, and \
                    fold it round. It is clamped when it has been measured." }
            } else {
                html! { "A sleeve onto " (conductor(subject, join)) ", then the conductor into " (joint(end.connector.family)) " "
                    b { (contact(assembly, leg)) } " of the " (name) "." }
            });
        }
    }
    items.push(html! { "Do the meter tests below with the case still open and everything unplugged." });
    if lead.ends.iter().any(|end| end.id != EndId::Donor && !is_clamped(end)) {
        items.push(html! { "Push the sleeves over the joints of the connector and shrink them." });
    }
    items.push(html! { "Close the case of the " (clean(&donor.pad().title)) " so that no conductor lies under a button or a screw \
        post"
        @if lead.ends.iter().any(|end| end.id != EndId::Donor && !is_clamped(end)) { ", then the hood" }
        "." });
    to_do(1, items)
}

fn readings(subject: &Subject<'_>, donor: &Donor) -> Markup {
    let assembly = subject.assembly;
    let supply = html! {
        "Supply against common first"
        @if let Some(supply) = donor.pad().supply() {
            ": at the pad’s own plug contact " b { (supply) } " against " b { (listed(donor.pad().commons())) }
        }
        ". Silence is right. A beep is a short: stop, mend it, read it again."
    };
    let plug = html! {
        "Then the rest of the pad’s own plug, contact against neighbouring contact: no beep where none beeped before."
    };
    let joins = assembly.lead.soldered().map(|join| {
        let [from, to] = [join.from, join.to].map(|leg| match leg.switch() {
            Some(_) => format!("the point {}", assembly.function(leg)),
            None => format!("{} {}", end_name(assembly, leg.end).to_lowercase(), contact(assembly, leg)),
        });
        html! { (from) " with " (to) ": beeps." }
    });
    let neighbours: Vec<String> =
        points(assembly).into_iter().map(|point| assembly.function(point)).collect();
    let apart = html! {
        "Each of " (listed(neighbours)) " against the one beside it in this list: silence. Chips and resistors let something through, \
        which no buzzer hears."
    };
    let mut items = vec![supply, plug];
    items.extend(joins);
    items.push(apart);
    let mut next = items.len() + 1;
    let mut clamps = Vec::new();
    for end in clamped(assembly) {
        let own = clamp(subject, end);
        clamps.push(to_do(next, own.clone()));
        next += own.len();
    }
    let closed = assembly.controllers.first().map(|own| own.switch.closed_ohms());
    html! {
        p { b { "Meter tests that find every mistake are not made for leads with a donor." } " Read each join with the buzzer, with \
            the pad unplugged from the machine and nothing plugged into the lead." }
        (to_do(1, items))
        @for clamp in clamps { (clamp) }
        (to_do(next, vec![html! {
            @if clamped(assembly).next().is_none() { "Plug the controller in and take" } @else { "Take" }
            " the ohms range. Hold each control in turn: between its point and the common the meter reads a switch while it is held"
            @if let Some(closed) = &closed { ", " (closed.value.low()) " to " (closed.value.high()) ", and the conductors" }
            "; before and after it reads far more. "
            @if let Some(closed) = &closed { (source(closed.source.text)) }
        }]))
        p { (source(HABIT)) }
    }
}

fn power(subject: &Subject<'_>, donor: &Donor) -> Markup {
    let pad = clean(&donor.pad().title);
    html! {
        p { "Only when every reading above was right, and with the case closed." }
        (to_do(1, vec![
            html! { "Machine off. Plug the " (pad) " in, with " (is_out(subject.assembly)) ". Switch on: every button of the pad works as \
                before. If the machine does not start or anything grows warm, switch off at once, and read everything again." },
            html! { "Machine off. " @if clamped(subject.assembly).next().is_none() { "Plug the controller into the lead. " }
                "Switch on, and try every control alone, then two at a time." },
        ]))
        p { (source(HABIT)) }
    }
}

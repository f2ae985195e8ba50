//! Soldering in an order that a hand can follow.

use std::collections::BTreeMap;

use maud::{Markup, html};
use solderside_lead::{Assembly, End, Join, Leg};
use solderside_profile::CoreId;
use solderside_trade::{Body, ContactId};

use super::bench::MeterTest;
use super::frame::{Section, source, to_do};
use super::needs::named;
use super::parts;
use super::text::conductor;
use super::{Subject, boards};
use crate::colouring::{is_return, is_supply};
use crate::drawing::far_row_first;
use crate::words::{self, contact, count, end_name, has_board, is_bare, is_clamped, listed, theirs};

const HABIT: &str = "common practice, no source";

/// The joints of one row of an end, in the order of soldering.
struct Row {
    /// "Row 1 to 5. " where rows go by their first and last contact.
    name: String,
    joints: Vec<Joint>,
}

/// A cup with all that is soldered into it.
struct Joint {
    leg: Leg,
    joins: Vec<Join>,
}

pub(super) fn section(subject: &Subject<'_>, test: &MeterTest<'_>) -> Section {
    Section::new("steps", "Soldering", body(subject, test))
}

fn body(subject: &Subject<'_>, test: &MeterTest<'_>) -> Markup {
    let assembly = subject.assembly;
    let ends = &assembly.lead.ends;
    let preparations = preparations(subject);
    let mut next = preparations.len() + 1;
    let mut parts = vec![html! { h3 { "Cut and prepare" } (to_do(1, preparations)) }];
    let (moulded_ends, soldered): (Vec<End>, Vec<End>) =
        ends.iter().cloned().partition(|end| subject.is_moulded(end.id));
    for end in &moulded_ends {
        let items = vec![moulded(subject, end)];
        parts.push(html! { h3 { (end_name(assembly, end.id)) } (to_do(next, items)) });
        next += 1;
    }
    for (at, end) in soldered.iter().enumerate() {
        let done = [moulded_ends.as_slice(), &soldered[..=at]].concat();
        let mut items = vec![hold_and_fill(subject, end)];
        items.extend(parts::make_up(subject, end));
        if is_clamped(end) {
            items.extend(marked(subject, end));
            parts.push(html! { h3 { (end_name(assembly, end.id)) } (to_do(next, items.clone())) });
            next += items.len();
            continue;
        }
        items.extend(solder(subject, end));
        items.push(html! {
            "Look at every joint from both sides under a lamp. No drop, whisker or strand may reach a neighbour"
            @if end.connector.family.has_shell() { " or the shell" }
            "."
        });
        items.push(buzz(subject, end, &done));
        parts.push(html! { h3 { (end_name(assembly, end.id)) } (to_do(next, items.clone())) });
        next += items.len();
    }
    let closing = vec![
        html! { "Do all of the " a href="#bench" { "meter tests" }
        @if has_hoods(subject) { " with the hoods still open." } @else { " before any joint is covered." } },
        html! {
            "Push the sleeves over the joints and shrink them."
            @if assembly.lead.parts.iter().any(|part| !has_board(&assembly.lead, part.sits)) {
                " Push the long ones over the parts: no bare leg may be seen between cup and conductor, and no part may touch \
                 the metal of the hood. "
                (source(HABIT))
            }
        },
        html! {
        @if !boards::ends(&assembly.lead).is_empty() && boards::chips(&assembly.lead).is_empty() { (boards::wrapped(boards::ends(&assembly.lead).len() > 1)) " " }
        @if assembly.lead.has_changeovers() { "Leave the lever of the switch free. " }
        @if has_hoods(subject) { "Close the clamps on the jacket, not on the conductors, then the hoods" }
        @else { "Tie the cable by its jacket, not by its conductors, near each end, so that no joint carries it" }
            @if !boards::chips(&assembly.lead).is_empty() {
                @if boards::ends(&assembly.lead).len() > 1 { "; leave those with a board open until " } @else { "; leave the one with the board open until " }
                (boards::names(&assembly.lead))
                @if boards::chips(&assembly.lead).len() > 1 { " sit in their sockets, at the " } @else { " sits in its socket, at the " }
                a href="#power" { "first power" }
            }
            (once_more(test)) "." },
    ];
    parts.push(html! { h3 { "Close" } (to_do(next, closing)) });
    html! {
        p { "One end is soldered wholly and checked before the other is begun. In each connector the row that the \
             drawing shows farther from the cable comes first: hold it so that the cable comes towards you, and that row lies \
             behind the other. In a row the middle cups come before the outer ones, so that the iron never \
             passes a finished joint. In each row the return goes first, because all later checks are made against it"
            @if assembly.lead.joins.iter().any(|join| is_supply(assembly, *join)) {
                ", and the supply last, so that its joint is fresh in view when you look for bridges"
            }
            ". " (source(HABIT)) }
        @for part in parts { (part) }
    }
}

/// Whether any connector is closed with a hood; an edge socket and a strip of terminals are not.
fn has_hoods(subject: &Subject<'_>) -> bool {
    let hooded = |end: &End| match end.connector.family.body() {
        Body::DShell { .. } | Body::Skirt { .. } => !subject.is_moulded(end.id),
        Body::Slot { .. } | Body::Strip => false,
    };
    subject.assembly.lead.ends.iter().any(hooded)
}

fn preparations(subject: &Subject<'_>) -> Vec<Markup> {
    let lead = &subject.assembly.lead;
    let cords = words::cords(subject.assembly);
    let short = words::short_wires(subject.assembly).len();
    let far = lead.end_at_machine().map(|end| end_name(subject.assembly, end.id)).unwrap_or_default();
    let connectors = listed(lead.ends.iter().filter(|end| !is_clamped(end)).map(|end| end.connector));
    let soldered = lead.ends.iter().filter(|end| !subject.is_moulded(end.id));
    // What a part is soldered to is twisted when the part has been measured and has its sleeve.
    let is_wire = |joint: &Joint| joint.joins.iter().all(|join| !is_bare(subject.assembly, *join));
    let shared =
        soldered.flat_map(|end| joints(subject, end)).filter(|joint| joint.joins.len() > 1 && is_wire(joint));
    let shared: Vec<String> = shared.map(|joint| together(subject, &joint)).collect();
    let mut items = vec![
        html! { "Compare your connectors with the drawing: " (connectors) "."
        @if lead.ends.iter().any(|end| end.connector.family.has_gender()) {
            " Turn the " (listed(solder_sides(subject))) " towards you and find contact 1; its number is moulded beside it."
        }
        @for end in lead.ends.iter().filter(|end| !end.connector.family.has_gender()) {
            " Find terminal 1"
            @if is_clamped(end) { " of the " (theirs(subject.assembly, end.id)) }
            ": its number stands beside its screw."
        } },
        html! { @if lead.ends.iter().any(|end| subject.is_moulded(end.id)) {
            "Cut the cable " (lead.cord.length) " from the moulded end, and take 25 mm of jacket off the cut end"
        } @else if cords.len() > 1 {
            "Cut " (cords.len()) " cords of " (lead.cord.length) " each, and mark the ends of each. "
            @for cord in &cords {
                "That for the " (cord.end.map(|end| end_name(subject.assembly, end).to_lowercase()).unwrap_or_default()) " has "
                (listed(cord.joins.iter().map(|join| subject.colouring.letters(*join)))) ". "
            }
            "Take 25 mm of jacket off each end"
        } @else {
            "Cut " (lead.cord.length) " of cable. Take 25 mm of jacket off each end"
        } " without nicking a conductor. " (source(HABIT)) },
        html! { "Strip 4 mm of each conductor, twist the strands, tin them, and slide a piece of sleeve on each"
        @if !boards::ends(lead).is_empty() { " that goes into a cup" }
        ". "
        @if !shared.is_empty() {
            "What shares a cup is twisted and tinned together and gets one sleeve: " (shared.join("; ")) ". "
        }
        @if lead.ends.iter().any(|end| !end.connector.family.has_gender()) {
            "Where a screw clamps a conductor, strip 6 mm and neither tin nor sleeve it. "
        }
        (source(HABIT)) },
    ];
    if has_hoods(subject) {
        let before_stripping = items.len() - 1;
        items.insert(
            before_stripping,
            html! { b { "Hoods first: " } "slide the clamps, and any hood that is one piece, onto the cable now. They do not \
            go on afterwards."
            @if cords.len() > 1 {
                " Both cords go into the hood of the " (far.to_lowercase()) ": see that its opening and its clamp take both jackets side by \
                 side, and slide it onto both. "
                (source(HABIT))
            } },
        );
    }
    items.extend((short > 0).then(|| html! {
        "Cut the " (count(short, "short wire")) ", about 50 mm each, and strip, twist and tin both ends of each in the same way"
        @if !boards::ends(lead).is_empty() { ", with a sleeve for the end that goes into a cup" } ". "
        (source(HABIT))
    }));
    items.extend(parts::preparations(lead));
    items.extend(spares(subject));
    items
}

/// "cups", "cups and tags": what one solders to at the ends.
fn solder_sides(subject: &Subject<'_>) -> Vec<String> {
    let ends = subject.assembly.lead.ends.iter().map(|end| end.connector.family);
    let mut words: Vec<String> = ends
        .filter(|family| family.has_gender())
        .map(|family| format!("{}s", words::joint(family)))
        .collect();
    words.dedup();
    words
}

/// What becomes of the cores that nothing runs through. One that is moulded in on a supply is live at its
/// loose end as soon as the lead is plugged in.
fn spares(subject: &Subject<'_>) -> Option<Markup> {
    let (cable, allocation) = (subject.assembly.lead.cable.as_ref()?, subject.allocation.as_ref()?);
    let live = |core: &&CoreId| {
        allocation.moulded.iter().any(|(end, moulded)| {
            let leg = moulded.contact_of(**core).map(|contact| Leg { end: *end, contact });
            leg.and_then(|leg| subject.assembly.port_contact(leg))
                .is_some_and(|contact| contact.supply().is_some())
        })
    };
    let live = listed(allocation.spares.iter().filter(live).map(|core| named(cable, *core)));
    (!allocation.spares.is_empty()).then(|| html! {
        "Cut back to the jacket and insulate, each by itself: "
        (listed(allocation.spares.iter().map(|core| named(cable, *core)))) "."
        @if !live.is_empty() {
            " " b { "Mind " (live) ":" } " it ends in a supply contact of the moulded end and is live as soon as the lead is plugged in."
        }
        " " (source(HABIT))
    })
}

/// "BN with GY at port end 6".
fn together(subject: &Subject<'_>, joint: &Joint) -> String {
    let name = |join: &Join| match join.other(joint.leg).filter(|_| is_bare(subject.assembly, *join)) {
        Some(leg) => contact(subject.assembly, leg),
        None => subject.colouring.letters(*join),
    };
    let letters = joint.joins.iter().map(name);
    let end = end_name(subject.assembly, joint.leg.end).to_lowercase();
    format!("{} at {end} {}", listed(letters), joint.leg.contact)
}

/// "; then take the first 2 of the meter tests once more"; nothing where neither the machine nor a controller has a supply.
fn once_more(test: &MeterTest<'_>) -> String {
    match test.supply_readings() {
        0 => String::new(),
        1 => "; then take the first of the meter tests once more, supply against return".to_owned(),
        several => {
            format!("; then take the first {several} of the meter tests once more, supply against return")
        }
    }
}

/// What is done at an end that is moulded on: nothing but to look whether it is what its file says.
fn moulded(subject: &Subject<'_>, end: &End) -> Markup {
    let joints = joints(subject, end);
    html! {
        "This " (end.connector) " is moulded on: nothing is soldered here. Before anything is soldered, buzz from its contacts \
         to the bared conductors. Each of these pairs must beep, and none of these conductors with another: "
        @for (at, joint) in joints.iter().enumerate() {
            @if at > 0 { "; " }
            (conductors(subject, joint)) " with contact " b { (contact(subject.assembly, joint.leg)) }
        }
        ". If one does not, correct the cable’s file and make this guide again. " (source(HABIT))
    }
}

fn hold_and_fill(subject: &Subject<'_>, end: &End) -> Markup {
    let cups = rows(subject, end).into_iter().flat_map(|row| row.joints).map(|joint| joint.leg.contact);
    let mut cups: Vec<ContactId> = cups.collect();
    cups.sort_unstable();
    if is_clamped(end) {
        return html! {
            b { "Nothing is clamped yet." } " The conductors go under the screws of the " (theirs(subject.assembly, end.id))
            " after the meter tests, which are made at their loose ends. Crimp a ferrule on each, or twist its strands and leave them \
            bare: solder creeps under a screw, and the joint works loose. "
            (source(HABIT))
        };
    }
    if !end.connector.family.has_gender() {
        return html! {
            "Crimp a ferrule on each conductor, or twist its strands and leave them bare: solder creeps under a screw, and \
             the joint works loose. "
            (source(HABIT))
        };
    }
    html! {
        "Hold the " (end.connector) " in a vice or in a spare mating connector, which keeps its contacts straight while the \
         insulator is warm"
        @if !cups.is_empty() { ", and " (tinned(end)) " that will be used: " (listed(cups)) }
        ". " (source(HABIT))
    }
}

/// How what is soldered to is prepared.
const fn tinned(end: &End) -> &'static str {
    match end.connector.family.body() {
        Body::DShell { .. } | Body::Skirt { .. } => "half fill with solder the cups",
        Body::Slot { .. } => "tin the tags",
        Body::Strip => "open the terminals",
    }
}

fn solder(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let assembly = subject.assembly;
    let mut items = Vec::new();
    for row in rows(subject, end) {
        for (at, joint) in row.joints.iter().enumerate() {
            items.push(html! {
                @if at == 0 && !row.name.is_empty() { b { (row.name) } }
                (conductors(subject, joint)) " into " (words::joint(end.connector.family)) " "
                b { (contact(assembly, joint.leg)) } "."
            });
        }
    }
    let shell = joints(subject, end).into_iter().filter(|joint| joint.leg.contact == ContactId::Shell);
    items.extend(shell.map(|joint| {
        html! {
            (conductors(subject, &joint)) " to "
            @match end.connector.family.body() {
                Body::DShell { .. } => "a solder lug under a screw of the ",
                Body::Skirt { .. } | Body::Slot { .. } | Body::Strip => "the tag of the ",
            }
            b { "shell" } "."
        }
    }));
    items
}

/// Where the conductors of an end go under screws, each gets the number of its screw until then.
fn marked(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let rows = rows(subject, end).into_iter().flat_map(|row| row.joints);
    let mark = |joint: Joint| {
        html! {
            (conductors(subject, &joint)) ": write " b { (contact(subject.assembly, joint.leg)) } " on a piece of tape, and fold it round."
        }
    };
    rows.map(mark).collect()
}

/// The conductors of an end under the screws of its controller, when the lead was found right.
pub(super) fn clamp(subject: &Subject<'_>, end: &End) -> Vec<Markup> {
    let name = theirs(subject.assembly, end.id);
    let rows = rows(subject, end).into_iter().flat_map(|row| row.joints);
    let mut items: Vec<Markup> = rows
        .map(|joint| {
            html! {
                (conductors(subject, &joint)) " under the screw of terminal " b { (contact(subject.assembly, joint.leg)) } " of the " (name) "."
            }
        })
        .collect();
    items.push(html! {
        "Pull at each: none may slip, and no strand may stand out towards a neighbour. Tie the cable by its jacket to the " (name)
        ", so that no screw carries it. "
        (source(HABIT))
    });
    items
}

/// "BN brown", or "BN brown and GY grey, twisted together,".
fn conductors(subject: &Subject<'_>, joint: &Joint) -> Markup {
    let last = joint.joins.len().saturating_sub(1);
    html! {
        @for (at, join) in joint.joins.iter().enumerate() {
            @if at > 0 { @if at == last { " and " } @else { ", " } }
            @if is_bare(subject.assembly, *join) { (parts::into_cup(subject, joint.leg, *join)) }
            @else {
                @if words::is_short(subject.assembly, *join) { @if at == 0 { "Short wire " } @else { "short wire " } }
                (conductor(subject, *join))
            }
        }
        @if last > 0 { ", twisted together," }
    }
}

/// The buzz of an end as soon as it is soldered; `done` are the ends that are, this one last.
fn buzz(subject: &Subject<'_>, end: &End, done: &[End]) -> Markup {
    let Beside { joined, later } = beside(subject.assembly, end, done);
    html! {
        "Buzz the " (end_name(subject.assembly, end.id).to_lowercase()) ": each used "
        (words::joint(end.connector.family)) " against its neighbours, used or not"
        @match end.connector.family.body() {
            Body::DShell { .. } => { ", the nearest of the other row too" },
            Body::Slot { .. } | Body::Skirt { .. } | Body::Strip => {},
        }
        @if end.connector.family.has_shell() { ", and against the shell" }
        ". Silence is right"
        @if done.len() == 1 { ". Mend anything else now, while the other end is free" }
        "."
        @if !joined.is_empty() { " Joined on purpose, and heard: " (listed(joined)) "." }
        @if !later.is_empty() {
            " Joined only through the other end, and therefore silent until that is soldered too: " (listed(later))
            ". Buzz these once more then."
        }
        @if subject.assembly.lead.parts.iter().any(|part| part.sits == end.id) {
            " The buzzer says nothing of the parts, and may sound through a small resistor: those come with the meter tests."
        }
    }
}

/// Neighbours of an end that are joined: "5 with 13".
struct Beside {
    /// Those that the soldered ends join.
    joined: Vec<String>,
    /// Those that the finished lead makes one and the soldered ends do not yet.
    later: Vec<String>,
}

fn beside(assembly: &Assembly, end: &End, done: &[End]) -> Beside {
    let is_done = |leg: Leg| done.iter().any(|end| end.id == assembly.lead.hood(leg));
    let mut soldered = assembly.lead.clone();
    soldered.joins.retain(|join| is_done(join.from) && is_done(join.to));
    let family = end.connector.family;
    let mut beside = Beside { joined: Vec::new(), later: Vec::new() };
    for contact in family.contact_ids() {
        for other in family.neighbours(contact).into_iter().filter(|other| *other > contact) {
            let [own, neighbour] = [contact, other].map(|contact| Leg { end: end.id, contact });
            let pair = format!("{contact} with {other}");
            if soldered.net(own).contains(&neighbour) {
                beside.joined.push(pair);
            } else if assembly.lead.net(own).contains(&neighbour) {
                beside.later.push(pair);
            }
        }
    }
    beside
}

/// An end's joints row by row; the shell's are left out.
fn rows(subject: &Subject<'_>, end: &End) -> Vec<Row> {
    let assembly = subject.assembly;
    let turn = |joint: &Joint| {
        let has =
            |wanted: fn(&Assembly, Join) -> bool| joint.joins.iter().any(|join| wanted(assembly, *join));
        (!has(is_return), has(is_supply))
    };
    let mut rows = Vec::new();
    for contacts in far_row_first(assembly, end.id) {
        let place = |joint: &Joint| contacts.iter().position(|contact| *contact == joint.leg.contact);
        let mut joints = joints(subject, end);
        joints.retain(|joint| place(joint).is_some());
        joints.sort_by_key(|joint| (turn(joint), place(joint)));
        let name = match (end.connector.family.body(), contacts.iter().min(), contacts.iter().max()) {
            (Body::DShell { .. } | Body::Slot { .. }, Some(first), Some(last)) => {
                format!("Row {first} to {last}. ")
            }
            (Body::DShell { .. } | Body::Slot { .. } | Body::Skirt { .. } | Body::Strip, _, _) => {
                String::new()
            }
        };
        if !joints.is_empty() {
            rows.push(Row { name, joints });
        }
    }
    rows
}

/// An end's cups that something is soldered to, in their order.
fn joints(subject: &Subject<'_>, end: &End) -> Vec<Joint> {
    let mut joints: BTreeMap<Leg, Vec<Join>> = BTreeMap::new();
    for join in &subject.assembly.lead.joins {
        for leg in [join.from, join.to].into_iter().filter(|leg| leg.end == end.id) {
            joints.entry(leg).or_default().push(*join);
        }
    }
    joints.into_iter().map(|(leg, joins)| Joint { leg, joins }).collect()
}

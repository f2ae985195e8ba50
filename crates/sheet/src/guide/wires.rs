//! The wire table: each conductor with its colour and both of its contacts; and the parts, leg by leg.

use maud::{Markup, html};
use solderside_lead::{Join, Leg, Part, PartId};

use super::frame::{Section, table};
use super::parts::kind;
use super::text::{at, column_heading, columns, conductor, place};
use super::{Subject, boards};
use crate::words::{end_name, is_bare, is_short, listed, part_name};

pub(super) fn section(subject: &Subject<'_>) -> Section {
    Section::new("wires", "Wire table", body(subject))
}

fn body(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let (short, conductors): (Vec<Join>, Vec<Join>) = assembly
        .lead
        .soldered()
        .filter(|join| !is_bare(assembly, **join))
        .copied()
        .partition(|join| is_short(assembly, *join));
    let caption = if assembly.lead.parts.is_empty() {
        "Conductors, cup to cup: number and function"
    } else {
        "Conductors: from cup to cup, or to the leg of a part"
    };
    html! {
        (wires(subject, caption, "Conductor", &conductors))
        @if !short.is_empty() {
            (wires(subject, "Short wires, which stay in their hood and run in no cable", "Short wire", &short))
        }
        @if !assembly.lead.parts.is_empty() { (parts(subject)) }
    }
}

fn wires(subject: &Subject<'_>, caption: &str, what: &str, joins: &[Join]) -> Markup {
    let assembly = subject.assembly;
    let columns = columns(assembly, joins);
    let [from, to] = [(columns[0], "From"), (columns[1], "To")]
        .map(|(end, otherwise)| column_heading(assembly, end, otherwise));
    let rows = joins.iter().map(|join| {
        vec![
            conductor(subject, *join),
            html! { (at(assembly, join.from, columns[0])) },
            html! { (at(assembly, join.to, columns[1])) },
        ]
    });
    table(caption, &[what, &from, &to], rows.collect())
}

fn parts(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let row = |part: &Part| {
        let leg = |contact| leg(subject, Leg::part(part.id(), contact));
        vec![
            html! { (part_name(part.id())) },
            html! { (kind(part)) },
            html! { (end_name(subject.assembly, part.sits)) },
            leg(PartId::ANODE),
            leg(PartId::CATHODE),
        ]
    };
    let two_legged = lead.parts.iter().filter(|part| part.id().is_two_legged());
    let rows: Vec<Vec<Markup>> = two_legged.map(row).collect();
    let headings = ["Part", "Is", "In the hood of the", "First leg goes to", "Second leg goes to"];
    html! {
        @if !rows.is_empty() { (table("Parts: what each leg is soldered to", &headings, rows)) }
        (boards::leg_tables(subject))
    }
}

/// "anode: port end 1 (up)", "cathode (band): VT from controller end 15 (up)".
fn leg(subject: &Subject<'_>, leg: Leg) -> Markup {
    let Subject { assembly, colouring, .. } = subject;
    let joins = assembly.lead.joins.iter().filter_map(|join| Some((*join, join.other(leg)?)));
    let goes = joins.map(|(join, other)| {
        if is_bare(assembly, join) {
            place(assembly, other)
        } else {
            format!("{} from {}", colouring.letters(join), place(assembly, other))
        }
    });
    let name = match leg.part_id() {
        Some(PartId::Diode(_)) if leg.contact == PartId::CATHODE => "cathode (band): ".to_owned(),
        // A resistor may be turned round.
        Some(PartId::Resistor(_)) | None => String::new(),
        Some(PartId::Capacitor(_) | PartId::Chip(_)) => format!("leg {}: ", leg.contact),
        Some(id @ (PartId::Diode(_) | PartId::Bipolar(_) | PartId::Mosfet(_) | PartId::Changeover(_))) => {
            format!("{}: ", id.leg_name(leg.contact))
        }
    };
    html! { (name) (listed(goes)) }
}

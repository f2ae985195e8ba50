//! What a wrong reading of the meter points to, as far as the lead's own shape tells it.

use maud::{Markup, html};
use solderside_lead::{Assembly, EndId, Join, Lead, Leg};
use solderside_meter::reached;
use solderside_trade::{Connector, ContactId, Side};

use super::Subject;
use crate::words::{contact, end_name, has_board, is_bare, listed};

/// "port end 6 (fire)".
pub(super) fn place(assembly: &Assembly, leg: Leg) -> String {
    match leg.part_id() {
        Some(_) => contact(assembly, leg),
        None => format!("{} {}", end_name(assembly, leg.end).to_lowercase(), contact(assembly, leg)),
    }
}

/// Whether a meter sees anything but open between two legs that no joins make one, one way or the other.
pub(super) fn tied_by_parts(lead: &Lead, one: Leg, other: Leg) -> bool {
    !lead.net(one).contains(&other)
        && (reached(lead, one).contains(&other) || reached(lead, other).contains(&one))
}

/// The pairs of parts in one hood whose bare legs would make two legs one if they touched.
pub(super) fn parts_that_touch(assembly: &Assembly, one: Leg, other: Leg) -> Vec<String> {
    let lead = &assembly.lead;
    let [own, others] = [one, other].map(|leg| lead.net(leg));
    let ids = |leg: &Leg| leg.part_id();
    let mut found = Vec::new();
    let is_on_a_board = |leg: &&Leg| ids(leg).is_some() && has_board(lead, lead.hood(**leg));
    for a in own.iter().filter(is_on_a_board) {
        // On a board the legs of one part stand side by side.
        for b in others.iter().filter(|b| ids(b) == ids(a) && are_side_by_side(a.contact, b.contact)) {
            found.push(format!("solder between {} and {}", contact(assembly, *a), contact(assembly, *b)));
        }
    }
    if [&own, &others].iter().all(|net| net.iter().any(|leg| is_on_a_board(&leg))) {
        found.push("wires that touch on the board".to_owned());
    }
    for a in own.iter().filter(|leg| ids(leg).is_some() && !is_on_a_board(leg)) {
        for b in others.iter().filter(|leg| ids(leg).is_some() && lead.hood(**leg) == lead.hood(*a)) {
            found.push(format!("{} touches {}", contact(assembly, *a), contact(assembly, *b)));
        }
    }
    found
}

/// Whether two legs of a chip have neighbouring numbers; all legs of a transistor do as good as.
fn are_side_by_side(one: ContactId, other: ContactId) -> bool {
    match (one, other) {
        (ContactId::Number(one), ContactId::Number(other)) => one.abs_diff(other) == 1,
        (ContactId::Letter(_) | ContactId::Shell, _) | (_, ContactId::Letter(_) | ContactId::Shell) => false,
    }
}

/// The pairs of neighbouring cups at which solder or a strand makes two legs one, end by end.
pub(super) fn bridges(assembly: &Assembly, one: Leg, other: Leg) -> Vec<[Leg; 2]> {
    let [own, others] = [one, other].map(|leg| assembly.lead.net(leg));
    let mut found = Vec::new();
    for end in &assembly.lead.ends {
        for a in own.iter().filter(|leg| leg.end == end.id) {
            let beside = end.connector.family.neighbours(a.contact).into_iter();
            let beside =
                beside.map(|contact| Leg { end: end.id, contact }).filter(|leg| others.contains(leg));
            found.extend(beside.map(|b| [*a, b]));
        }
    }
    found
}

/// Whether two legs have conductors that lie beside each other in the cable.
pub(super) fn meet_in_the_cable(assembly: &Assembly, one: Leg, other: Leg) -> bool {
    [one, other].iter().all(|leg| {
        let net = assembly.lead.net(*leg);
        assembly
            .lead
            .joins
            .iter()
            .any(|join| assembly.lead.runs_through_cable(join) && net.contains(&join.from))
    })
}

/// Everything that makes two legs one which should not be: "a bridge 7 – 8 at the port end, or bared conductors
/// that touch in the cable".
pub(super) fn touch(assembly: &Assembly, one: Leg, other: Leg) -> String {
    listed_causes(&touches(assembly, one, other))
}

/// The causes in a sentence.
pub(super) fn listed_causes(causes: &[String]) -> String {
    if causes.is_empty() {
        return "no two of their cups are neighbours: a stray strand, or a conductor in a wrong cup"
            .to_owned();
    }
    causes.join(", or ")
}

/// Every cause that makes two legs one which should not be.
pub(super) fn touches(assembly: &Assembly, one: Leg, other: Leg) -> Vec<String> {
    let pairs = bridges(assembly, one, other);
    let mut causes: Vec<String> = pairs.into_iter().map(|pair| bridge(assembly, pair)).collect();
    causes.extend(parts_that_touch(assembly, one, other));
    if meet_in_the_cable(assembly, one, other) {
        causes.push("conductors that touch in the cable".to_owned());
    }
    causes
}

/// "a bridge 7 – 8 at the port end".
fn bridge(assembly: &Assembly, [a, b]: [Leg; 2]) -> String {
    format!("a bridge {} – {} at the {}", a.contact, b.contact, end_name(assembly, a.end).to_lowercase())
}

/// What it means when a conductor reads open or high.
pub(super) fn open(subject: &Subject<'_>, join: Join) -> Markup {
    let assembly = subject.assembly;
    if has_another_way(assembly, join) {
        return html! { "Another way joins these two cups, so the meter does not tell a broken conductor here: look at both \
        joints. Open: more than one is broken." };
    }
    let [from, to] = [join.from, join.to].map(|leg| joint(subject, join, leg));
    let what = if assembly.lead.runs_through_cable(&join) {
        "the conductor between them"
    } else {
        "the link itself"
    };
    html! { "Open: the joint at " (from) " or at " (to) ", or " (what) ". Well above: one of these joints is weak." }
}

/// "port end 6 (fire), shared with GY".
fn joint(subject: &Subject<'_>, join: Join, leg: Leg) -> String {
    let others: Vec<Join> = (subject.assembly.lead.joins.iter().copied())
        .filter(|other| *other != join && other.other(leg).is_some())
        .collect();
    let (bare, wires): (Vec<Join>, Vec<Join>) =
        others.iter().partition(|other| is_bare(subject.assembly, **other));
    let letters = wires.iter().map(|other| subject.colouring.letters(*other));
    let others = listed(letters.chain((!bare.is_empty()).then(|| "bare wire".to_owned())));
    let own = place(subject.assembly, leg);
    if others.is_empty() { own } else { format!("{own} (shared with {others}: it, if those are open too)") }
}

/// Whether two cups stay joined without this conductor.
pub(super) fn has_another_way(assembly: &Assembly, join: Join) -> bool {
    assembly.without(&join).lead.net(join.from).contains(&join.to)
}

/// Where one conductor is found if the cups of an end were counted from the wrong side: "port end: BN is found at 9
/// instead of 6".
pub(super) fn mirrored(subject: &Subject<'_>, end: EndId) -> Option<String> {
    let assembly = subject.assembly;
    let connector = assembly.lead.end(end)?.connector;
    assembly.lead.joins.iter().filter(|join| assembly.lead.runs_through_cable(join)).find_map(|join| {
        let leg = [join.from, join.to].into_iter().find(|leg| leg.end == end)?;
        let wrong = mirror_image(connector, leg.contact).filter(|wrong| *wrong != leg.contact)?;
        let letters = subject.colouring.letters(*join);
        let end = end_name(assembly, end).to_lowercase();
        Some(format!("at the {end} {letters} is then found at {wrong} instead of {}", leg.contact))
    })
}

/// The contact whose number is read at another's cup by whoever counts from the wrong side.
fn mirror_image(connector: Connector, contact: ContactId) -> Option<ContactId> {
    let cup = connector.place(contact, Side::Solder)?;
    connector.family.contact_ids().find(|other| connector.place(*other, Side::Mating) == Some(cup))
}

#[cfg(test)]
mod tests {
    use solderside_trade::{Family, Gender};

    use super::*;
    use crate::shelf::{lead, pad_to_curlew, stick_to_plover};

    fn port(contact: u8) -> Leg {
        Leg::port(ContactId::Number(contact))
    }

    #[test]
    fn supply_and_return_meet_at_neighbouring_cups_and_in_the_cable() {
        // The Curlew's supply on 7 and return on 8 stand beside each other, and both are carried to the pad, whose
        // supply on 8 has the common on 1 beside it only through others: 8 is the end of its row.
        assert_eq!(
            touch(&pad_to_curlew(), port(7), port(8)),
            "a bridge 7 – 8 at the port end, or conductors that touch in the cable"
        );
    }

    #[test]
    fn cups_that_are_no_neighbours_are_not_said_to_be_bridged() {
        // DE-9: 1 and 5 are the ends of a row; neither is wired here.
        let nothing = lead("heron-stick", "curlew", &[]);
        assert!(bridges(&nothing, port(6), port(9)).is_empty());
        assert!(touch(&nothing, port(6), port(9)).starts_with("no two of their cups are neighbours"));
    }

    #[test]
    fn the_mirror_image_is_at_the_other_end_of_the_row() {
        for gender in Gender::ALL {
            let image = |family: Family, number: u8| {
                mirror_image(Connector { family, gender }, ContactId::Number(number)).map(|id| id.to_string())
            };
            for [own, other] in [[1, 5], [2, 4], [3, 3], [6, 9], [7, 8]] {
                assert_eq!(image(Family::De9, own), Some(other.to_string()));
                assert_eq!(image(Family::De9, other), Some(own.to_string()));
            }
            assert_eq!(image(Family::Da15, 13).as_deref(), Some("11"));
        }
    }

    #[test]
    fn a_conductor_beside_another_way_is_not_said_to_be_tested() {
        let assembly = lead("heron-stick", "curlew", &[[13, 6], [1, 8]]);
        assert!(assembly.lead.joins.iter().all(|join| !has_another_way(&assembly, *join)));
        let mut doubled = stick_to_plover();
        let link = Join::new(port(6), port(7));
        let far = Join::new(Leg::controller(ContactId::Number(13)), Leg::controller(ContactId::Number(5)));
        doubled.lead.joins.extend([link, far]);
        doubled.lead.settle();
        assert!(has_another_way(&doubled, link) && has_another_way(&doubled, far));
    }
}

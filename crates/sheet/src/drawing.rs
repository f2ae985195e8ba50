//! Pictures of a lead: its connectors seen from the solder side, as they lie on the bench, and the
//! conductors between them.

mod alone;
mod board;
mod bodies;
mod braid;
mod channel;
mod component;
mod ends;
mod geometry;
mod hood;
mod key;
mod label;
mod lanes;
mod layout;
mod paint;
mod path;
mod plan;
mod round;
mod route;
mod seat;
mod shorten;
mod strand;

use solderside_lead::{Assembly, EndId, Leg};
use solderside_trade::ContactId;

use crate::colouring::Colouring;
use crate::laid::Laid;
use crate::words::{self, clean, contact, count, end_name, listed, theirs};
pub(crate) use component::{CERAMIC, COAT, GLASS};
use geometry::Cup;
pub(crate) use label::width;
use layout::Layout;
pub(crate) use paint::hex;
use paint::{Alternative, svg};
pub(crate) use path::number;
use plan::Plan;
pub(crate) use seat::row as transistor_row;

/// Draws a whole lead as one SVG document: the controllers' ends above, the port's end below.
///
/// Each connector lies on its mating face with its cups up, turned by half a turn where that saves a
/// crossing, and never mirrored. Millimetres are true to the standard within a connector; the length of
/// the conductors is not. A join to a contact that its connector lacks is left out. The points of a donor lie in a row.
pub fn drawing(assembly: &Assembly, colouring: &Colouring) -> String {
    if let Some(laid) = Laid::of(assembly) {
        return laid.named(drawn(&laid.assembly, &laid.colouring(colouring)));
    }
    drawn(assembly, colouring)
}

fn drawn(assembly: &Assembly, colouring: &Colouring) -> String {
    let layout = layout::lead(assembly, colouring, Plan::best(assembly));
    svg(&layout, colouring, &of_lead(assembly, colouring, &layout)).into_string()
}

/// Draws one end large, each cup with its conductor's letters and what it is for; it lies as it does in
/// [`drawing`]. `None` where the lead has no such end.
pub fn end_drawing(assembly: &Assembly, colouring: &Colouring, end: EndId) -> Option<String> {
    if let Some(laid) = Laid::of(assembly) {
        let picture = end_drawn(&laid.assembly, &laid.colouring(colouring), end)?;
        return Some(laid.named(picture));
    }
    end_drawn(assembly, colouring, end)
}

fn end_drawn(assembly: &Assembly, colouring: &Colouring, end: EndId) -> Option<String> {
    let plan = Plan::best(assembly);
    let layout = alone::end(assembly, colouring, plan.end(end)?);
    let words = of_end(assembly, colouring, &layout, end);
    Some(svg(&layout, colouring, &words).into_string())
}

/// Whether anything of a long row is left out.
pub(crate) fn is_shortened(assembly: &Assembly) -> bool {
    Plan::best(assembly).ends.iter().any(|end| !end.cuts.is_empty())
}

/// The contacts of an end row by row, the row first that lies farther from its conductors in [`drawing`];
/// in each row the middle ones first.
pub(crate) fn far_row_first(assembly: &Assembly, end: EndId) -> Vec<Vec<ContactId>> {
    let plan = Plan::best(assembly);
    let Some(placed) = plan.end(end) else { return Vec::new() };
    let away = -plan::towards_the_other(end).sign();
    let numbered = placed.cups().into_iter().filter(|cup| cup.contact != ContactId::Shell);
    let mut cups: Vec<Cup> = numbered.collect();
    // Rounded, since the two sides of the middle differ in the last bits.
    let off_middle = |cup: &Cup| (cup.at.x - placed.middle.x).abs().round();
    cups.sort_by(|a, b| off_middle(a).total_cmp(&off_middle(b)).then(a.contact.cmp(&b.contact)));
    cups.sort_by(|a, b| (b.at.y * away).total_cmp(&(a.at.y * away)));
    cups.chunk_by(|a, b| (a.at.y - b.at.y).abs() < 0.1)
        .map(|row| row.iter().map(|cup| cup.contact).collect())
        .collect()
}

fn of_lead(assembly: &Assembly, colouring: &Colouring, layout: &Layout) -> Alternative {
    let ends = layout.ends.iter().map(|end| way_up(assembly, end));
    let joins = assembly.lead.joins.iter().map(|join| {
        let end = |leg: Leg| {
            let what = if leg.end == EndId::Donor { "point" } else { "contact" };
            format!("{} {what} {}", end_name(assembly, leg.end).to_lowercase(), contact(assembly, leg))
        };
        format!(
            "{} ({}): {} to {}.",
            colouring.words(*join),
            colouring.letters(*join),
            end(join.from),
            end(join.to)
        )
    });
    Alternative {
        id: format!("lead-{}", identifier(&assembly.lead.name)),
        title: format!("{}, seen from the solder side", clean(&assembly.lead.title)),
        description: ends.chain(joins).collect::<Vec<_>>().join(" "),
    }
}

fn of_end(assembly: &Assembly, colouring: &Colouring, layout: &Layout, end: EndId) -> Alternative {
    let placed = layout.ends.iter().map(|end| way_up(assembly, end));
    let legs = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to].map(|leg| (leg, *join)));
    let cups: Vec<String> = legs
        .filter(|(leg, _)| leg.end == end)
        .map(|(leg, join)| format!("{} at {}", colouring.letters(join), contact(assembly, leg)))
        .collect();
    let conductors = format!("{}: {}.", count(cups.len(), "joint"), listed(cups));
    let side = assembly.lead.end(end).map_or("solder side", |end| words::seen_from(end.connector.family));
    Alternative {
        id: format!("end-{end}-{}", identifier(&assembly.lead.name)),
        title: format!("{}, seen from the {side}", end_name(assembly, end)),
        description: placed.chain([conductors]).collect::<Vec<_>>().join(" "),
    }
}

/// "Port end: DE-9 socket for Plover home computer, row 1 to 5 up."
fn way_up(assembly: &Assembly, end: &geometry::Placed) -> String {
    let mate = theirs(assembly, end.id);
    let up = words::way_up(end.connector.family, end.turned);
    if end.id == EndId::Donor {
        return format!("{}: the points inside the {mate}, in a row.", end_name(assembly, end.id));
    }
    let breaks = end.breaks().into_iter().map(|own| format!(" Not drawn: {}.", listed(own.rows)));
    format!(
        "{}: {} for {mate}, {up}.{}",
        end_name(assembly, end.id),
        end.connector,
        breaks.collect::<String>()
    )
}

/// A name as part of an identifier.
fn identifier(name: &str) -> String {
    name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::{pad_to_curlew, panel_to_edge, stick_into_pad, stick_to_plover};

    fn picture(assembly: &Assembly) -> String {
        drawing(assembly, &Colouring::usual(assembly))
    }

    #[test]
    fn every_contact_and_every_join_is_drawn_once() {
        let assembly = pad_to_curlew();
        let picture = picture(&assembly);
        for end in &assembly.lead.ends {
            for contact in end.connector.family.contact_ids().filter(|id| *id != ContactId::Shell) {
                assert_eq!(picture.matches(&format!("data-cup=\"{}.{contact}\"", end.id)).count(), 1);
            }
        }
        for join in &assembly.lead.joins {
            assert_eq!(picture.matches(&format!("data-join=\"{join}\"")).count(), 1);
        }
    }

    #[test]
    fn of_an_edge_what_is_not_drawn_is_said_and_nothing_used_is_among_it() {
        let mut assembly = panel_to_edge();
        assembly.lead.joins.retain(|join| join.to.contact != ContactId::Number(1));
        let picture = picture(&assembly);
        for join in &assembly.lead.joins {
            assert_eq!(picture.matches(&format!("data-join=\"{join}\"")).count(), 1);
            assert_eq!(picture.matches(&format!("data-cup=\"{}\"", join.to)).count(), 1);
        }
        assert!(picture.contains("Not drawn: 2 to 12 and B to N."));
        for contact in ["port.2", "port.12", "port.B", "port.N"] {
            assert!(!picture.contains(&format!("data-cup=\"{contact}\"")), "{contact}");
        }
    }

    #[test]
    fn a_shell_that_nothing_is_joined_to_has_no_lug() {
        let mut assembly = stick_to_plover();
        assert!(!picture(&assembly).contains(".shell\""));
        assembly.lead.joins.push("controller.shell - port.shell".parse().unwrap());
        assert_eq!(picture(&assembly).matches("data-cup=\"controller.shell\"").count(), 1);
    }

    #[test]
    fn the_picture_is_told_in_words() {
        let picture = picture(&stick_to_plover());
        assert!(picture.contains("role=\"img\"") && picture.contains("<title id="));
        assert!(
            picture.contains("brown (BN): controller end contact 5 (b) to port end contact 7 (second-fire).")
        );
        assert!(picture.contains("Controller end: DA-15 socket for Heron stick, row 1 to 8 up."));
    }

    #[test]
    fn the_points_of_a_donor_are_drawn_in_a_row_under_their_own_names() {
        let assembly = stick_into_pad();
        let picture = picture(&assembly);
        for join in assembly.lead.soldered() {
            assert_eq!(picture.matches(&format!("data-join=\"{join}\"")).count(), 1, "{join}");
            assert_eq!(picture.matches(&format!("data-cup=\"{}\"", join.to)).count(), 1, "{}", join.to);
        }
        assert!(!picture.contains("plug."), "the pad's own plug is no end to solder to");
        assert!(picture.contains("Donor: the points inside the Bittern pad, in a row."));
        assert!(picture.contains("grey (GY): controller end contact 14 (left) to donor point 3 (left)."));
    }

    #[test]
    fn a_join_to_a_contact_that_is_not_there_is_left_out() {
        let mut assembly = stick_to_plover();
        assembly.lead.joins.push("controller.99 - port.1".parse().unwrap());
        assert!(!picture(&assembly).contains("controller.99 - port.1\""));
    }

    #[test]
    fn an_end_that_the_lead_lacks_has_no_picture() {
        let assembly = stick_to_plover();
        assert_eq!(end_drawing(&assembly, &Colouring::usual(&assembly), EndId::Controller(1)), None);
    }
}

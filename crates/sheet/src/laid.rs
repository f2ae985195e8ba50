//! A lead into a donor as it is drawn: the donor's points in a row, in place of an end.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, EndId, Join, Leg};
use solderside_trade::ContactId;

use crate::colouring::Colouring;

/// The lead with the row, and each join of the row beside the one that it stands for.
pub(crate) struct Laid {
    pub(crate) assembly: Assembly,
    stands_for: BTreeMap<Join, Join>,
}

impl Laid {
    /// None of a lead that has connectors at both ends, and of one with fewer than two points.
    pub(crate) fn of(assembly: &Assembly) -> Option<Self> {
        let donor = assembly.donor.as_ref()?;
        let points = points(assembly);
        let row = donor.in_a_row(&points)?;
        let place = |leg: Leg| {
            let number = points.iter().position(|point| *point == leg);
            let number = number.and_then(|at| u8::try_from(at + 1).ok());
            number.map_or(leg, |number| Leg { end: EndId::Donor, contact: ContactId::Number(number) })
        };
        let joins = assembly.lead.soldered();
        let stands_for: BTreeMap<Join, Join> =
            joins.map(|join| (Join::new(place(join.from), place(join.to)), *join)).collect();
        let mut laid = assembly.clone();
        for end in laid.lead.ends.iter_mut().filter(|end| end.id == EndId::Donor) {
            end.connector = row.pad().connector;
        }
        laid.lead.joins = stands_for.keys().copied().collect();
        laid.donor = Some(row);
        Some(Self { assembly: laid, stands_for })
    }

    /// A picture of the row with its joins and points called as they are in the lead.
    pub(crate) fn named(&self, picture: String) -> String {
        let joins = self
            .stands_for
            .iter()
            .map(|(row, own)| [format!("data-join=\"{row}\""), format!("data-join=\"{own}\"")]);
        let points = self.stands_for.iter().flat_map(|(row, own)| [(row.from, own.from), (row.to, own.to)]);
        let points = points
            .filter(|(row, _)| row.end == EndId::Donor)
            .map(|(row, own)| [format!("data-cup=\"{row}\""), format!("data-cup=\"{own}\"")]);
        joins.chain(points).fold(picture, |picture, [row, own]| picture.replace(&row, &own))
    }

    /// The colours of the lead itself, for its picture.
    pub(crate) fn colouring(&self, own: &Colouring) -> Colouring {
        own.renamed(&self.stands_for)
    }
}

/// The points of a donor that something is soldered to, in the pad's order, what the switches share last.
pub(crate) fn points(assembly: &Assembly) -> Vec<Leg> {
    let used: BTreeSet<Leg> = assembly.lead.soldered().flat_map(|join| [join.from, join.to]).collect();
    let switches = assembly.donor.iter().flat_map(|donor| donor.points()).map(|(_, points)| points);
    let (lines, commons): (Vec<Leg>, Vec<Leg>) = switches.map(|[line, common]| (line, common)).unzip();
    lines.into_iter().chain(commons).filter(|point| used.contains(point)).collect()
}

//! A long row is drawn where it is used. What lies between, far from any conductor, is left out, and a break in its
//! place says which contacts those are, so that all the rest can be drawn large and true.

use std::collections::BTreeSet;

use solderside_trade::{Body, Connector, ContactId, Side};

/// A stretch of a row that is left out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cut {
    /// Where it begins and ends, in millimetres right of the middle of the whole connector that is not turned.
    pub(crate) from: f64,
    pub(crate) to: f64,
    /// What lies in it, row by row.
    pub(crate) contacts: Vec<ContactId>,
    /// The place of the key if it lies in it, counted from contact 1.
    pub(crate) key: Option<u8>,
}

/// The place of a break, in pitches.
pub(crate) const BREAK: f64 = 2.4;
/// So many places in a row have to be free before they are left out.
const LEAST: usize = 4;

impl Cut {
    /// What is left out of a connector on which these contacts are used: of an edge's rows all but the used places,
    /// those beside them, and both ends. No other family is long enough.
    pub(crate) fn of(connector: Connector, used: &BTreeSet<ContactId>) -> Vec<Self> {
        if used.is_empty() || !matches!(connector.family.body(), Body::Slot { .. }) {
            return Vec::new();
        }
        let pitch = connector.family.pitch().value.get() * 1e3;
        let at = |contact: ContactId| connector.place(contact, Side::Solder).map(|place| place.x.get() * 1e3);
        let key = connector.key(Side::Solder).map(|place| place.x.get() * 1e3);
        let mut contacts: Vec<(f64, ContactId)> =
            connector.family.contact_ids().filter_map(|contact| Some((at(contact)?, contact))).collect();
        contacts.sort_by(|(a, one), (b, other)| a.total_cmp(b).then(one.cmp(other)));
        // The key stands at a place of its own.
        let mut places: Vec<f64> = contacts.iter().map(|(x, _)| *x).chain(key).collect();
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| (*a - *b).abs() < pitch / 2.0);
        let one = at(ContactId::Number(1));
        let place_from_1 = |x: f64| {
            let away =
                places.iter().filter(|other| one.is_some_and(|one| is_between(**other, [one, x], pitch)));
            u8::try_from(away.count()).ok()
        };
        let is_near = |x: f64| {
            let kept = contacts.iter().filter(|(_, contact)| used.contains(contact));
            kept.into_iter().any(|(own, _)| (own - x).abs() < 1.5 * pitch)
        };
        let last = places.len().saturating_sub(1);
        let is_free: Vec<bool> =
            places.iter().enumerate().map(|(at, x)| at != 0 && at != last && !is_near(*x)).collect();
        let stretches = (0..places.len()).collect::<Vec<_>>();
        let stretches = stretches.chunk_by(|one, other| is_free[*one] == is_free[*other]);
        let long = stretches.filter(|stretch| stretch.len() >= LEAST && is_free[stretch[0]]);
        long.map(|stretch| {
            let [from, to] =
                [places[stretch[0]] - pitch / 2.0, places[stretch[stretch.len() - 1]] + pitch / 2.0];
            let is_in = |x: f64| from < x && x < to;
            let mut inside: Vec<ContactId> =
                contacts.iter().filter(|(x, _)| is_in(*x)).map(|(_, contact)| *contact).collect();
            inside.sort_unstable();
            let key = key.filter(|x| is_in(*x)).and_then(place_from_1);
            Self { from, to, contacts: inside, key }
        })
        .collect()
    }

    /// How much shorter the drawing gets by it, in millimetres.
    pub(crate) fn saves(&self, pitch: f64) -> f64 {
        self.to - self.from - BREAK * pitch
    }

    /// The contacts row by row: "3 to 14", "C to R".
    pub(crate) fn rows(&self) -> Vec<String> {
        let is_number = |contact: &ContactId| matches!(contact, ContactId::Number(_));
        let rows = self.contacts.chunk_by(|one, other| is_number(one) == is_number(other));
        let row = |row: &[ContactId]| match row {
            [] => None,
            [one] => Some(one.to_string()),
            [first, .., last] => Some(format!("{first} to {last}")),
        };
        rows.filter_map(row).collect()
    }
}

/// Whether a place lies between two others or at one of them.
fn is_between(x: f64, [one, other]: [f64; 2], pitch: f64) -> bool {
    one.min(other) - pitch / 2.0 < x && x < one.max(other) + pitch / 2.0
}

#[cfg(test)]
mod tests {
    use solderside_trade::{Family, Gender};

    use super::*;

    fn cuts(used: &[&str]) -> Vec<(Vec<String>, Option<u8>)> {
        let edge = Connector { family: Family::Edge28x2, gender: Gender::Socket };
        let used = used.iter().map(|contact| contact.parse().unwrap()).collect();
        Cut::of(edge, &used).iter().map(|cut| (cut.rows(), cut.key)).collect()
    }

    #[test]
    fn what_lies_far_from_any_conductor_is_left_out_and_the_key_with_it() {
        let rows = |rows: [&str; 2]| rows.map(str::to_owned).to_vec();
        assert_eq!(cuts(&["1", "16", "19", "22", "24"]), [(rows(["3 to 14", "C to R"]), Some(7))]);
    }

    #[test]
    fn both_rows_are_left_out_together_and_so_is_nothing_that_is_short() {
        // Between 3 and 9 lie 4, 5, 6 (free: 5 to 7) and the key: too few.
        assert_eq!(cuts(&["1", "4", "J", "12", "15", "18", "21", "24", "27"]), []);
    }

    #[test]
    fn no_other_connector_is_shortened() {
        for family in [Family::De9, Family::Db25, Family::MiniDin8] {
            let connector = Connector { family, gender: Gender::Plug };
            assert_eq!(Cut::of(connector, &BTreeSet::new()), []);
        }
    }
}

//! The `[part.NAME]` tables of a controller's file, and `[inside]`.

use std::collections::BTreeMap;

use solderside_quantity::{Seconds, Triple};

use crate::document::Table;
use crate::fact::Statement;
use crate::inside::Spot;
use crate::part::PartId;
use crate::part_file::{PartEntry, part_entries};
use crate::profile_file::{above_nought, lay_over};
use crate::source::At;
use crate::value::{Misread, Value, not_kebab};
use crate::word::Control;

/// The parts of a file, each with the place of its table's key.
pub(crate) type Parts = BTreeMap<PartId, At<PartEntry>>;

/// The `[inside]` table.
#[derive(Debug)]
pub(crate) struct InsideEntry {
    pub(crate) joins: Option<At<Vec<At<[Spot; 2]>>>>,
    /// The spots between which a control's switch stands, with the place of the control's name.
    pub(crate) switches: BTreeMap<Control, At<At<[Spot; 2]>>>,
    pub(crate) forgets: Option<At<Triple<Seconds>>>,
    pub(crate) statement: Statement,
}

/// Reads the parts inside.
pub(crate) fn parts(table: &mut Table<'_>) -> Parts {
    let bare = |At { value: (entry, ()), place }| At { value: entry, place };
    part_entries(table, |_| ()).into_iter().map(|(id, entry)| (id, bare(entry))).collect()
}

/// Reads how they are joined.
pub(crate) fn inside(table: &mut Table<'_>) -> InsideEntry {
    InsideEntry {
        joins: table
            .key("joins", "what is electrically one: contacts of the plug, and legs of parts")
            .list(spots),
        switches: table
            .key("switches", "the controls that are switches inside, each between two spots")
            .map(None, |name, value| {
                let control = Control::new(&name.value);
                if control.is_none() && !value.is_imagined() {
                    value.complain(not_kebab(name.place.clone(), &name.value));
                }
                let between = spots(value)?;
                Some((control?, At { value: between, place: name.place.clone() }))
            })
            .into_iter()
            .collect(),
        forgets: above_nought(
            table,
            "forgets_seconds",
            "how long the machine's lines must rest until the counters inside are at zero again: one figure, or three",
            "write how long that takes, or leave the key out if nothing inside forgets",
        ),
        statement: Statement::read(table),
    }
}

fn spots(value: Value<'_>) -> Option<At<[Spot; 2]>> {
    value.parsed(["u1.16 - 5".to_owned()], |text| {
        Spot::parse_pair(text).map_err(|error| Misread::from_sentence(&error.to_string()))
    })
}

impl InsideEntry {
    pub(crate) fn over(self, parent: Self) -> Self {
        let restated = self.joins.is_some() || !self.switches.is_empty() || self.forgets.is_some();
        Self {
            joins: self.joins.or(parent.joins),
            switches: lay_over(self.switches, parent.switches, |own, _| own),
            forgets: self.forgets.or(parent.forgets),
            // The parent's source does not vouch for what stands here.
            statement: if restated { self.statement } else { self.statement.or(parent.statement) },
        }
    }
}

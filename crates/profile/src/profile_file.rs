//! What the files of profiles have in common: they are read, laid over the file that
//! they start from, and checked.

use std::collections::BTreeMap;

use solderside_quantity::{Seconds, Triple};

use crate::complaint::{Complaint, listed, quoted};
use crate::contacts::stands_twice;
use crate::document::Table;
use crate::heading::{Kind, Origin};
use crate::source::{At, Place, SourceFile};
use crate::spelling::nearest;

/// A kind of profile as it stands in its file.
pub(crate) trait ProfileFile: Sized {
    /// What it becomes when it is checked.
    type Profile;

    /// The word for it in files.
    const KIND: Kind;

    /// Reads a file; what is wrong is written down by the table.
    fn read(table: &mut Table<'_>) -> Self;

    /// The profile that it starts from.
    fn like(&self) -> Option<&At<String>>;

    /// Lays this file over the one that it starts from.
    fn over(self, parent: Self) -> Self;

    /// Checks what a file cannot be told from its keys alone. Nothing is returned without a
    /// complaint here or from the reading.
    fn check(self, identity: Identity, complaints: &mut Vec<Complaint>) -> Option<Self::Profile>;
}

/// Who a profile is.
#[derive(Debug, Clone)]
pub(crate) struct Identity {
    pub(crate) name: String,
    pub(crate) ancestors: Vec<String>,
    pub(crate) origin: Origin,
    pub(crate) file: SourceFile,
}

impl Identity {
    /// Returns the place for what concerns the profile as a whole.
    pub(crate) fn place(&self) -> Place {
        self.file.top()
    }

    /// Returns a fire order or a list of samples without what the file took away from the profile
    /// that it starts from: only its own words must be right.
    pub(crate) fn own_or_known<T: Clone>(
        &self,
        list: Option<At<Vec<At<T>>>>,
        known: impl Fn(&T) -> bool,
    ) -> Vec<At<T>> {
        let inherited = list.as_ref().is_some_and(|list| list.place.file != self.file);
        let list = list.map(|list| list.value).unwrap_or_default();
        list.into_iter().filter(|item| !inherited || known(&item.value)).collect()
    }
}

/// Lays named tables over those of the file that this one starts from, key by key.
pub(crate) fn lay_over<K: Ord, T>(
    own: BTreeMap<K, At<T>>,
    mut parent: BTreeMap<K, At<T>>,
    over: impl Fn(T, T) -> T,
) -> BTreeMap<K, At<T>> {
    for (key, At { value, place }) in own {
        let value = match parent.remove(&key) {
            Some(before) => over(value, before.value),
            None => value,
        };
        parent.insert(key, At { value, place });
    }
    parent
}

/// Reads a time that must be above nought, as one figure or three.
#[expect(clippy::redundant_closure_for_method_calls, reason = "the method itself is for one lifetime only")]
pub(crate) fn above_nought(
    table: &mut Table<'_>,
    key: &'static str,
    doc: &'static str,
    help: &'static str,
) -> Option<At<Triple<Seconds>>> {
    let (one, three) = table.key(key, doc).text_or_list(
        |value| value.quantity::<Seconds>().map(|at| at.map(Triple::exactly)),
        |value| value.triple::<Seconds>(),
    );
    let seconds = one.or(three)?;
    if seconds.value.low() <= Seconds::ZERO {
        let headline = format!("`{key}` must be above 0, found 0");
        table.complain(Complaint::new(seconds.place.clone(), headline).help(help));
    }
    Some(seconds)
}

/// Says of names that stand in several places, or in none, what is wrong with that.
#[derive(Debug)]
pub(crate) struct Names<'n, T> {
    /// What they name: `control` or `action`.
    what: &'static str,
    places: BTreeMap<&'n T, &'n Place>,
}

impl<'n, T: Ord + AsRef<str>> Names<'n, T> {
    /// Takes the names on the contacts of a profile; each may stand on one contact.
    pub(crate) fn of_contacts(
        what: &'static str,
        names: impl Iterator<Item = &'n At<T>>,
        identity: &Identity,
        complaints: &mut Vec<Complaint>,
    ) -> Self {
        let mut places: BTreeMap<&T, &Place> = BTreeMap::new();
        for At { value, place } in names {
            if let Some(other) = places.insert(value, place) {
                // The profile's own file is the one to mend, whichever contact comes first.
                let own = place.file == identity.file;
                let [here, there] = if own { [place, other] } else { [other, place] };
                complaints.push(stands_twice(what, value.as_ref(), here, there));
            }
        }
        Self { what, places }
    }

    /// Takes names that may stand in several places.
    pub(crate) fn known(what: &'static str, names: impl Iterator<Item = &'n At<T>>) -> Self {
        Self { what, places: names.map(|At { value, place }| (value, place)).collect() }
    }

    /// Says whether a contact has this name.
    pub(crate) fn has(&self, name: &T) -> bool {
        self.places.contains_key(name)
    }

    /// Complains about items of a list that no contact has, and about repetitions.
    pub(crate) fn check_list(&self, key: &str, list: &[At<T>], complaints: &mut Vec<Complaint>) {
        let mut seen: BTreeMap<&T, &Place> = BTreeMap::new();
        for At { value, place } in list {
            let name = quoted(value.as_ref());
            if !self.has(value) {
                let known = || self.places.keys().map(AsRef::as_ref);
                let help = match nearest(value.as_ref(), known()) {
                    Some(near) => format!("write `{near}`"),
                    None => format!("known: {}", listed(known(), "and")),
                };
                let headline = format!("`{key}` names the unknown {} {name}", self.what);
                complaints.push(Complaint::new(place.clone(), headline).help(help));
            }
            if let Some(first) = seen.insert(value, place) {
                complaints.push(
                    Complaint::new(place.clone(), format!("`{key}` names {name} twice"))
                        .help("keep one of the two")
                        .also(first.clone(), "the first one"),
                );
            }
        }
    }
}

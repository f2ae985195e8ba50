//! The connector and the `[contact.N]` tables of a file, whatever stands in them.

use std::collections::BTreeMap;

use solderside_trade::{Connector, ContactId, Family, Gender};

use crate::complaint::{Complaint, quoted};
use crate::document::Table;
use crate::source::{At, Place};
use crate::value::{Misread, Value};

/// The pattern of a contact's key.
pub(crate) const CONTACT_KEY: &str = "^([1-9][0-9]*|[A-Za-z]|shell)$";

/// The contacts of a file, each with the place of its key.
pub(crate) type Contacts<T> = BTreeMap<ContactId, At<T>>;

/// Reads a connector such as `DA-15 plug`.
pub(crate) fn connector(value: Value<'_>) -> Option<At<Connector>> {
    let examples = Family::ALL
        .into_iter()
        .flat_map(|family| [Gender::Plug, Gender::Socket].map(|gender| Connector { family, gender }))
        .map(|connector| connector.to_string())
        .chain(["terminals 16".to_owned()]);
    value.parsed(examples, |text| {
        // The longest right name has 25 letters; the message repeats what was found.
        let text: String = text.chars().take(40).collect();
        Connector::parse(&text).map_err(|error| {
            let misread = Misread::from_sentence(&error.to_string());
            let is_unknown = misread.headline.ends_with("is no connector");
            let genders = if is_unknown { "; all but terminals with `plug` or `socket` behind" } else { "" };
            Misread { help: misread.help + genders, ..misread }
        })
    })
}

/// Reads the tables of all contacts; `names` is the key under which a contact has its action or control.
pub(crate) fn contacts<T>(
    value: Value<'_>,
    names: &'static str,
    reader: impl Fn(&mut Table<'_>) -> T,
) -> Contacts<T> {
    let mut contacts: Contacts<T> = BTreeMap::new();
    if let Some(place) = value.place().filter(|_| value.is_empty_table()) {
        value.complain(
            Complaint::new(place, "`contact` has no contacts")
                .help("add a table `[contact.N]` for each contact that is known"),
        );
    }
    value.map(Some(CONTACT_KEY), |key, value| {
        let id = contact_id(&value, &key.value, &key.place);
        let before = id.and_then(|id| contacts.get(&id)).map(|first| first.place.clone());
        if let (Some(id), Some(before)) = (id, before) {
            value.complain(
                Complaint::new(key.place.clone(), format!("contact {id} stands twice"))
                    .help("put the keys of both into one table")
                    .also(before, "the first one"),
            );
        }
        if let Some(word) = value.written_text() {
            value.complain(
                Complaint::new(
                    key.place.clone(),
                    format!("contact {} must be a table, found a text", quoted(&key.value)),
                )
                .help(format!("write `[contact.{}]`, and on the next line `{names} = {word:?}`", key.value)),
            );
            return None;
        }
        let entry = value.table(&reader)?;
        contacts.entry(id?).or_insert(At { value: entry.value, place: key.place.clone() });
        Some(())
    });
    contacts
}

/// Reads a contact's number or letter or `shell` where it stands as a key.
pub(crate) fn contact_id(value: &Value<'_>, key: &str, place: &Place) -> Option<ContactId> {
    let id = ContactId::parse(key).ok();
    if id.is_none() && !value.is_imagined() {
        value.complain(
            Complaint::new(place.clone(), format!("{} is no contact", quoted(key)))
                .help("write the contact's number or letter, or `shell`"),
        );
    }
    id
}

/// Complains about a contact that the connector does not have.
pub(crate) fn check_range(id: ContactId, place: &Place, connector: Option<Connector>) -> Option<Complaint> {
    let connector = connector.filter(|connector| !connector.family.has(id))?;
    Some(
        Complaint::new(place.clone(), format!("{} has no contact {id}", connector.with_article()))
            .label(format!("expected {}", connector.family.contacts_in_words()))
            .help("correct the contact, or the `connector`"),
    )
}

/// Complains about a name that stands on two contacts.
pub(crate) fn stands_twice(what: &str, name: &str, second: &Place, first: &Place) -> Complaint {
    Complaint::new(second.clone(), format!("{what} {} stands on two contacts", quoted(name)))
        .help(format!("give each {what} one contact, or one of the two another name"))
        .label("here")
        .also(first.clone(), "and here")
}

//! `shelf`: what there is.

use std::path::Path;

use clap::Args;
use solderside_profile::{Complaint, Entry, Kind, Origin};

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::shelf::Shelf;
use crate::trouble::Trouble;
use crate::wire::{self, FORMAT};

const EXAMPLES: &str = "\
Examples:
  solderside shelf                   all of the catalogue and the shelf
  solderside shelf nine-pin fire     only what has both words in its name or title
  solderside shelf --shelf demo      with another shelf";

/// List the controllers, ports, cables and leads of the catalogue and the shelf
///
/// A file with mistakes is listed with what is wrong; `show` tells all of it.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct ShelfArgs {
    /// Words that must all be in the name, the title, the kind or what a socket is instead of a port
    words: Vec<String>,
}

/// A line of the list with what is wrong with its file.
struct Item {
    entry: Entry,
    complaints: Vec<Complaint>,
}

impl ShelfArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &[])?;
        let items: Vec<Item> = items(&shelf).into_iter().filter(|item| self.wants(&item.entry)).collect();
        let mut page = Page::default();
        for kind in Kind::ALL.map(Some).into_iter().chain([None]) {
            let of_kind = || items.iter().filter(|item| item.entry.kind == kind);
            let is_hazard = |item: &&Item| item.entry.hazard.is_some();
            section(&mut page, heading(kind), of_kind().filter(|item| !is_hazard(item)));
            section(&mut page, "Sockets where no lead belongs", of_kind().filter(is_hazard));
        }
        if items.is_empty() {
            let words: Vec<String> = self.words.iter().map(|word| format!("`{word}`")).collect();
            page.line(format!("nothing has {} in its name or title", words.join(" and ")));
        }
        if shelf.folder.is_none() {
            page.line("");
            page.line("The current folder is no shelf; `--shelf DIR` names the folder of your own files.");
        }
        let folder = shelf.folder.map(|folder| match folder.to_str() {
            Some("") => ".".to_owned(),
            _ => folder.display().to_string(),
        });
        let status = if items.is_empty() { Status::Found } else { Status::Sound };
        let entries = items.into_iter().map(wire::Entry::from).collect();
        Ok(Reply::new(status, page.finish(), &wire::Shelf { format: FORMAT, shelf: folder, entries }))
    }

    fn wants(&self, entry: &Entry) -> bool {
        let kind = entry.kind.map_or("", Kind::as_str);
        let hazard = entry.hazard.as_deref().unwrap_or_default();
        let text = format!("{} {} {kind} {hazard}", entry.name, entry.title).to_lowercase();
        self.words.iter().all(|word| text.contains(&word.to_lowercase()))
    }
}

/// Everything in the order of the names.
fn items(shelf: &Shelf) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for entry in shelf.library.entries() {
        let trouble = match (&entry.origin, entry.kind) {
            // Sound by test; a file that would take its name is what is broken then.
            (Origin::Catalogue, _) => None,
            (Origin::Shelf(_), Some(Kind::Controller)) => shelf.controller(&entry.name).err(),
            (Origin::Shelf(_), Some(Kind::Port)) => shelf.port(&entry.name).err(),
            (Origin::Shelf(_), Some(Kind::Cable)) => shelf.cable(&entry.name).err(),
            (Origin::Shelf(_), Some(Kind::Drawer)) => shelf.drawer(&entry.name).err(),
            (Origin::Shelf(_), Some(Kind::BuzzRun)) => shelf.run(&entry.name).err(),
            (Origin::Shelf(_), Some(Kind::Lead) | None) => shelf.lead(&entry.name).err(),
        };
        items.push(Item { entry, complaints: trouble.map_or(Vec::new(), |trouble| trouble.complaints) });
    }
    for complaint in shelf.unreadable.iter().cloned().chain(shelf.library.complaints()) {
        let file = &complaint.place.file;
        let entry = Entry {
            name: file.name().to_owned(),
            kind: None,
            title: file.name().to_owned(),
            like: None,
            hazard: None,
            origin: Origin::Shelf(file.path().to_owned()),
        };
        items.push(Item { entry, complaints: vec![complaint] });
    }
    items.sort_by(|one, other| one.entry.name.cmp(&other.entry.name));
    items
}

const fn heading(kind: Option<Kind>) -> &'static str {
    match kind {
        Some(Kind::Controller) => "Controllers",
        Some(Kind::Port) => "Ports",
        Some(Kind::Cable) => "Cables",
        Some(Kind::Drawer) => "Drawers of parts",
        Some(Kind::Lead) => "Leads",
        Some(Kind::BuzzRun) => "Runs of meter tests",
        None => "Not understood",
    }
}

fn section<'i>(page: &mut Page, heading: &str, items: impl Iterator<Item = &'i Item>) {
    let rows: Vec<[String; 3]> = items.map(Item::row).collect();
    if !rows.is_empty() {
        page.heading(heading);
        page.table(["", "", ""], &rows);
    }
}

impl Item {
    fn row(&self) -> [String; 3] {
        let Entry { name, title, like, origin, .. } = &self.entry;
        let origin = match origin {
            Origin::Catalogue => "catalogue",
            Origin::Shelf(_) => "shelf",
        };
        let about = match (self.complaints.as_slice(), like) {
            ([], None) => title.clone(),
            ([], Some(like)) => format!("{title}; like {like}"),
            ([one], _) => broken(one),
            ([first, rest @ ..], _) => format!("{}, and {} more", broken(first), rest.len()),
        };
        [name.clone(), origin.to_owned(), about]
    }
}

/// Says that a file is broken, once: `broken TOML` says it already.
fn broken(complaint: &Complaint) -> String {
    let headline = complaint.headline.as_str();
    if headline.starts_with("broken ") { headline.to_owned() } else { format!("broken: {headline}") }
}

impl From<Item> for wire::Entry {
    fn from(Item { entry, complaints }: Item) -> Self {
        Self {
            name: entry.name,
            kind: entry.kind.map(Kind::as_str),
            title: entry.title,
            like: entry.like,
            hazard: entry.hazard,
            file: match entry.origin {
                Origin::Catalogue => None,
                Origin::Shelf(path) => Some(path),
            },
            complaints: complaints.iter().map(wire::Mistake::from).collect(),
        }
    }
}

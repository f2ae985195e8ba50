//! All profiles by name: the catalogue, and the files of a shelf.

use std::collections::{BTreeMap, BTreeSet};

use toml::de::DeTable;

use crate::cable::Cable;
use crate::cable_file::CableFile;
use crate::catalogue::FILES;
use crate::complaint::{Complaint, listed, quoted, settle};
use crate::controller::Controller;
use crate::controller_file::ControllerFile;
use crate::document::read;
use crate::drawer::Drawer;
use crate::drawer_file::DrawerFile;
use crate::failure::Failure;
use crate::heading::{Kind, Origin};
use crate::port::Port;
use crate::port_file::PortFile;
use crate::profile_file::{Identity, ProfileFile};
use crate::source::{Place, SourceFile};
use crate::spelling::nearest_few;
use crate::value::not_kebab;
use crate::word::is_kebab;

/// The catalogue and a shelf. Files are parsed when they are asked for.
#[derive(Debug, Clone)]
pub struct Library {
    files: BTreeMap<String, Stored>,
    /// What is wrong with files that nobody can ask for, by the name that another one has.
    shadowed: BTreeMap<String, Complaint>,
}

#[derive(Debug, Clone)]
struct Stored {
    file: SourceFile,
    origin: Origin,
}

/// A line of the library's list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The name by which it is asked for.
    pub name: String,
    /// What it describes; unknown if its file is too faulty to tell.
    pub kind: Option<Kind>,
    /// What it is called on paper; its name if that cannot be read.
    pub title: String,
    /// The profile that it starts from.
    pub like: Option<String>,
    /// What this socket is instead, if it is none for a controller.
    pub hazard: Option<String>,
    /// Where it comes from.
    pub origin: Origin,
}

/// What can be told of a file at a glance.
#[derive(Debug, Default)]
struct Glance {
    kind: Option<Kind>,
    title: Option<String>,
    like: Option<String>,
    hazard: Option<String>,
}

/// A profile's file and those that it starts from, nearest first.
struct Descent<F> {
    files: Vec<(SourceFile, F)>,
    complaints: Vec<Complaint>,
    /// A text is broken TOML, so what is missing may only be hidden.
    broken: bool,
    /// The last `like` leads nowhere.
    incomplete: bool,
}

impl Library {
    /// Returns the profiles that ship in the binary.
    pub fn catalogue() -> Self {
        let files = FILES.iter().map(|(path, text)| {
            let file = SourceFile::new(format!("catalogue/{path}"), *text);
            (file.name().to_owned(), Stored { file, origin: Origin::Catalogue })
        });
        Self { files: files.collect(), shadowed: BTreeMap::new() }
    }

    /// Returns the catalogue with the files of a shelf. A file with a name that is taken is not
    /// read but becomes a complaint: a name of the catalogue goes on meaning the catalogue's profile,
    /// and of two files of the shelf with one name nobody can tell which is meant.
    pub fn with_shelf(files: Vec<SourceFile>) -> Self {
        let mut library = Self::catalogue();
        for file in files {
            let name = file.name().to_owned();
            if let Some(taken) = library.files.get(&name) {
                let owner = match &taken.origin {
                    Origin::Catalogue => "a profile of the catalogue".to_owned(),
                    Origin::Shelf(path) => quoted(path),
                };
                let headline = format!("the name {} is taken by {owner}", quoted(&name));
                let help = "give the file another name, and write `like` in it to start from that one";
                library.shadowed.insert(name, Complaint::new(file.top(), headline).help(help));
            } else {
                let origin = Origin::Shelf(file.path().to_owned());
                library.files.insert(name, Stored { file, origin });
            }
        }
        library
    }

    /// Returns all files by name, faulty ones too.
    pub fn entries(&self) -> Vec<Entry> {
        let entry = |(name, stored): (&String, &Stored)| {
            let glance = Glance::at(&stored.file);
            let kind = self.kind(name);
            let hazard = || self.inherited(name, |glance| glance.hazard.clone());
            Entry {
                name: name.clone(),
                kind,
                title: glance.title.unwrap_or_else(|| name.clone()),
                like: glance.like,
                hazard: if kind == Some(Kind::Port) { hazard() } else { None },
                origin: stored.origin.clone(),
            }
        };
        self.files.iter().map(entry).collect()
    }

    /// Returns the kind of a file, by its own word or that of the profiles that it starts from.
    pub fn kind(&self, name: &str) -> Option<Kind> {
        self.inherited(name, |glance| glance.kind)
    }

    /// Returns what is wrong with a file whose kind cannot be told: it is empty, or its `like` names nothing or runs in
    /// a circle.
    pub fn astray(&self, name: &str) -> Option<Complaint> {
        if let Some(file) = self.file(name).filter(|file| file.text().trim().is_empty()) {
            let help = "write `like = \"NAME\"` with the profile that it starts from, or all that `format = 1` and \
                        `kind` begin";
            return Some(Complaint::new(file.top(), "the file is empty").help(help));
        }
        let mut seen = Vec::new();
        let mut next = name.to_owned();
        loop {
            seen.push(next.clone());
            let file = self.file(&next)?;
            let (root, _) = DeTable::parse_recoverable(file.text());
            let like = root.get_ref().get("like").filter(|_| Glance::at(file).kind.is_none())?;
            let place = file.place(like.span());
            next = like.get_ref().as_str()?.to_owned();
            if seen.contains(&next) {
                return Some(in_a_circle(place, seen.iter().chain([&next])));
            }
            if self.file(&next).is_none() {
                let near = nearest_few(&next, self.files.keys().map(String::as_str));
                let help = match near.as_slice() {
                    [] => "write the name of a profile of the catalogue or the shelf".to_owned(),
                    near => format!("write {}", listed(near.iter().copied(), "or")),
                };
                return Some(
                    Complaint::new(place, format!("nothing is called {}", quoted(&next))).help(help),
                );
            }
        }
    }

    /// Returns what a file says at a glance, or else the nearest profile that it starts from.
    fn inherited<T>(&self, name: &str, told: impl Fn(&Glance) -> Option<T>) -> Option<T> {
        let mut seen = BTreeSet::new();
        let mut next = name.to_owned();
        while seen.insert(next.clone()) {
            let glance = Glance::at(self.file(&next)?);
            if let Some(told) = told(&glance) {
                return Some(told);
            }
            next = glance.like?;
        }
        None
    }

    /// Returns the text of a file.
    pub fn file(&self, name: &str) -> Option<&SourceFile> {
        self.files.get(name).map(|stored| &stored.file)
    }

    /// Returns the files of leads, by name.
    pub fn lead_files(&self) -> impl Iterator<Item = &SourceFile> {
        let files = self.files.values().map(|stored| &stored.file);
        files.filter(|file| Glance::at(file).kind == Some(Kind::Lead))
    }

    /// Returns what is wrong with the shelf as a whole: names that are taken.
    pub fn complaints(&self) -> Vec<Complaint> {
        self.shadowed.values().cloned().collect()
    }

    /// Returns a controller.
    ///
    /// # Errors
    /// Refuses a name that is unknown or not a controller's, and a file with mistakes: all of them.
    pub fn controller(&self, name: &str) -> Result<Controller, Failure> {
        self.profile::<ControllerFile>(name)
    }

    /// Returns a port.
    ///
    /// # Errors
    /// Refuses a name that is unknown or not a port's, and a file with mistakes: all of them.
    pub fn port(&self, name: &str) -> Result<Port, Failure> {
        self.profile::<PortFile>(name)
    }

    /// Returns a cable.
    ///
    /// # Errors
    /// Refuses a name that is unknown or not a cable's, and a file with mistakes: all of them.
    pub fn cable(&self, name: &str) -> Result<Cable, Failure> {
        self.profile::<CableFile>(name)
    }

    /// Returns a drawer of parts.
    ///
    /// # Errors
    /// Refuses a name that is unknown or not a drawer's, and a file with mistakes: all of them.
    pub fn drawer(&self, name: &str) -> Result<Drawer, Failure> {
        self.profile::<DrawerFile>(name)
    }

    /// Returns names of a kind that may have been meant by this one, the likeliest first.
    pub fn nearest(&self, name: &str, wanted: Kind) -> Vec<String> {
        let of_kind = self.files.keys().filter(|name| self.kind(name) == Some(wanted));
        nearest_few(name, of_kind.map(String::as_str)).into_iter().map(str::to_owned).collect()
    }

    fn profile<F: ProfileFile>(&self, name: &str) -> Result<F::Profile, Failure> {
        let Some(stored) = self.files.get(name) else {
            let nearest = self.nearest(name, F::KIND);
            return Err(Failure::Unknown { name: name.to_owned(), wanted: F::KIND, nearest });
        };
        if let Some(found) = self.kind(name).filter(|kind| *kind != F::KIND) {
            return Err(Failure::WrongKind { name: name.to_owned(), wanted: F::KIND, found });
        }
        let Descent { files, mut complaints, broken, incomplete } = self.descent::<F>(&stored.file);
        if stored.origin != Origin::Catalogue {
            complaints.extend(self.shadowed.get(name).cloned());
        }
        if !is_kebab(name) {
            complaints.push(not_kebab(stored.file.top(), name));
        }
        let identity = Identity {
            name: name.to_owned(),
            ancestors: files.iter().skip(1).map(|(file, _)| file.name().to_owned()).collect(),
            origin: stored.origin.clone(),
            file: stored.file.clone(),
        };
        let merged = files.into_iter().map(|(_, file)| file).rev().reduce(|parent, own| own.over(parent));
        let mut checks = Vec::new();
        // Without its whole descent a profile lacks things that its own file is not to blame for.
        let profile = merged.filter(|_| !incomplete).and_then(|file| file.check(identity, &mut checks));
        checks.retain(|check| !(broken && check.absence));
        complaints.append(&mut checks);
        match profile {
            Some(profile) if complaints.is_empty() => Ok(profile),
            Some(_) | None => {
                Err(Failure::Faulty { name: name.to_owned(), complaints: settle(name, complaints) })
            }
        }
    }

    /// Reads a file and those that it starts from.
    fn descent<F: ProfileFile>(&self, file: &SourceFile) -> Descent<F> {
        let mut descent =
            Descent { files: Vec::new(), complaints: Vec::new(), broken: false, incomplete: false };
        let mut names = vec![file.name().to_owned()];
        let mut next = Some(file.clone());
        while let Some(file) = next.take() {
            let mut reading = read(&file, F::read);
            descent.complaints.append(&mut reading.complaints);
            descent.broken |= reading.broken;
            let like = reading.value.like().cloned();
            descent.files.push((file, reading.value));
            let Some(like) = like else { break };
            let name = like.value;
            if names.contains(&name) {
                descent.complaints.push(in_a_circle(like.place, names.iter().chain([&name])));
                descent.incomplete = true;
                break;
            }
            let (headline, help) = if let Some(parent) = self.files.get(&name) {
                match self.kind(&name).filter(|kind| *kind != F::KIND) {
                    None => {
                        names.push(name);
                        next = Some(parent.file.clone());
                        continue;
                    }
                    Some(found) => {
                        let headline = format!("{} is a {found}, expected a {}", quoted(&name), F::KIND);
                        (headline, format!("start from a {}", F::KIND))
                    }
                }
            } else {
                let help = match self.nearest(&name, F::KIND).as_slice() {
                    [] => format!("start from a {} of the catalogue or the shelf", F::KIND),
                    near => format!("write {}", listed(near.iter().map(String::as_str), "or")),
                };
                (format!("no {} is called {}", F::KIND, quoted(&name)), help)
            };
            descent.complaints.push(Complaint::new(like.place, headline).help(help));
            descent.incomplete = true;
        }
        descent
    }
}

/// Says that profiles start from each other.
fn in_a_circle<'n>(place: Place, names: impl Iterator<Item = &'n String>) -> Complaint {
    let circle: Vec<String> = names.map(|name| quoted(name)).collect();
    Complaint::new(place, format!("`like` runs in a circle: {}", circle.join(" → ")))
        .help("let one of them stand without `like`, or name the profile that it starts from")
}

impl Glance {
    fn at(file: &SourceFile) -> Self {
        let (root, _) = DeTable::parse_recoverable(file.text());
        let text = |key: &str| Some(root.get_ref().get(key)?.get_ref().as_str()?.to_owned());
        Self {
            kind: text("kind").and_then(|word| Kind::parse(&word)),
            title: text("title"),
            like: text("like"),
            hazard: text("hazard"),
        }
    }
}

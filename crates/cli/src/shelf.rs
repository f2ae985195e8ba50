//! The library that a command works with: the catalogue, the shelf, and files named by their path.

use std::path::{Path, PathBuf};

use solderside_lead::{Assembly, read_lead};
use solderside_meter::{BuzzRun, read_run};
use solderside_profile::{
    Cable, Complaint, Controller, Drawer, Failure, Kind, Library, Origin, Port, SourceFile, quoted,
};

use crate::store::{is_there, list, read, same_folder, why};
use crate::trouble::Trouble;

/// The folder of a shelf that has leads only.
const LEADS: &str = "leads";

/// The catalogue with one person's files.
pub struct Shelf {
    /// The shelf's folder; none if there is no shelf.
    pub folder: Option<PathBuf>,
    /// All that could be read.
    pub library: Library,
    /// What stands on the shelf and cannot be read.
    pub unreadable: Vec<Complaint>,
}

#[derive(Default)]
struct Files {
    read: Vec<SourceFile>,
    unreadable: Vec<Complaint>,
}

impl Shelf {
    /// Opens the shelf at a folder, or the current folder if that is a shelf, and puts the files on it
    /// that are named by a path. Of two files of one name the one named by its path counts.
    ///
    /// # Errors
    /// Refuses a folder that cannot be listed, and a path that cannot be read or takes a name of the catalogue.
    pub fn open(folder: Option<&Path>, words: &[String]) -> Result<Self, Trouble> {
        let mut files = Files::default();
        let folder = if let Some(folder) = folder {
            let paths = list(folder).map_err(|error| {
                let text = format!("the shelf `{}` cannot be listed: {}", folder.display(), why(&error));
                Trouble::new(text, "`--shelf` takes the folder that holds your profiles and leads")
            })?;
            files.take(&paths);
            Some(folder.to_owned())
        } else {
            let mut here = Files::default();
            here.take(&list(Path::new(".")).unwrap_or_default());
            is_shelf(&here.read).then(|| {
                files = here;
                PathBuf::new()
            })
        };
        if let Some(folder) = &folder {
            // A shelf without leads is a shelf.
            files.take(&list(&folder.join(LEADS)).unwrap_or_default());
        }
        for word in words.iter().filter(|word| is_path(word)) {
            let file = read(Path::new(word)).map_err(|complaint| Trouble::file(*complaint))?;
            files.read.retain(|other| other.name() != file.name());
            files.read.insert(0, file);
        }
        let library = Library::with_shelf(files.read);
        // Asked for by its name, the catalogue's profile would be taken for the file.
        let named = |path: &str| words.iter().any(|word| is_path(word) && Path::new(word) == Path::new(path));
        match library.complaints().into_iter().find(|complaint| named(complaint.place.file.path())) {
            Some(complaint) => Err(Trouble::file(complaint)),
            None => Ok(Self { folder, library, unreadable: files.unreadable }),
        }
    }

    /// Returns where a new file goes: where it is told to, or else under its name on the shelf or here; with
    /// `force` over the file of the shelf that has the name.
    ///
    /// # Errors
    /// Refuses to put a second file of one name on the shelf: nobody could tell which of the two is meant.
    pub fn place_for(&self, name: &str, told: Option<&Path>, force: bool) -> Result<PathBuf, Trouble> {
        let folder = self.folder.clone().unwrap_or_default();
        let [top, leads] = [folder.clone(), folder.join(LEADS)];
        let path = told.map_or_else(|| top.join(format!("{name}.toml")), Path::to_owned);
        let parent = path.parent().unwrap_or(Path::new(""));
        let own = path.file_name().unwrap_or_default();
        let Some(owner) = [&top, &leads].into_iter().find(|folder| is_there(&folder.join(own))) else {
            return Ok(path);
        };
        let is_on_shelf = [&top, &leads].into_iter().any(|folder| same_folder(folder, parent));
        if !is_on_shelf || same_folder(owner, parent) {
            return Ok(path);
        }
        let owner = owner.join(own);
        if told.is_none() && force {
            return Ok(owner);
        }
        let shown = owner.display();
        let text = format!("the name {} is taken by `{shown}`", quoted(name_of(&path.display().to_string())));
        let help = if told.is_none() {
            "add `--force` to replace that file, or write to a file of another name".to_owned()
        } else {
            format!("give the file another name, or name `{shown}` and add `--force` to replace it")
        };
        Err(Trouble::new(text, help))
    }

    /// Returns a controller, by name or by path.
    ///
    /// # Errors
    /// Refuses what is none, and a file with mistakes.
    pub fn controller(&self, word: &str) -> Result<Controller, Trouble> {
        self.library.controller(name_of(word)).map_err(|failure| self.trouble(failure))
    }

    /// Returns a port, by name or by path.
    ///
    /// # Errors
    /// Refuses what is none, and a file with mistakes.
    pub fn port(&self, word: &str) -> Result<Port, Trouble> {
        self.library.port(name_of(word)).map_err(|failure| self.trouble(failure))
    }

    /// Returns a cable, by name or by path.
    ///
    /// # Errors
    /// Refuses what is none, and a file with mistakes.
    pub fn cable(&self, word: &str) -> Result<Cable, Trouble> {
        self.library.cable(name_of(word)).map_err(|failure| self.trouble(failure))
    }

    /// Returns a drawer of parts, by name or by path.
    ///
    /// # Errors
    /// Refuses what is none, and a file with mistakes.
    pub fn drawer(&self, word: &str) -> Result<Drawer, Trouble> {
        self.library.drawer(name_of(word)).map_err(|failure| self.trouble(failure))
    }

    /// A run of a meter test, by its name; whether it is of a lead that is here nobody asks.
    ///
    /// # Errors
    /// Refuses what is none, and a file with mistakes.
    pub fn run(&self, name: &str) -> Result<BuzzRun, Trouble> {
        let file = self.library.file(name).ok_or_else(|| self.unknown(name))?;
        read_run(file, None).map_err(|failure| self.trouble(failure))
    }

    /// A lead's file, for commands that nothing else will do for.
    ///
    /// # Errors
    /// As [`Self::lead`], and says how a lead's file is made where something else is named.
    pub fn written_lead(&self, word: &str) -> Result<Assembly, Trouble> {
        let name = name_of(word);
        if let Some(kind @ (Kind::Controller | Kind::Port | Kind::Cable | Kind::Drawer | Kind::BuzzRun)) =
            self.library.kind(name)
        {
            let text = format!("`{name}` is a {kind}, expected a lead");
            return Err(Trouble::new(text, "`solderside design` makes a lead, and `--save` its file"));
        }
        self.lead(name)
    }

    /// Returns a lead with both of its ends, by name or by path.
    ///
    /// # Errors
    /// Refuses what is none, and files with mistakes.
    pub fn lead(&self, word: &str) -> Result<Assembly, Trouble> {
        let name = name_of(word);
        let wanted = Kind::Lead;
        if let Some(complaint) = self.library.astray(name) {
            return Err(Failure::faulty(name, vec![complaint]).into());
        }
        let lead = match (self.library.file(name), self.library.kind(name)) {
            (Some(file), Some(Kind::Lead) | None) => read_lead(file, &self.library),
            (Some(_), Some(found)) => Err(Failure::WrongKind { name: name.to_owned(), wanted, found }),
            (None, _) => {
                let nearest = self.library.nearest(name, wanted);
                Err(Failure::Unknown { name: name.to_owned(), wanted, nearest })
            }
        };
        lead.map_err(|failure| self.trouble(failure))
    }

    /// Says why a name could not be had; a file that could not be read is why its name is unknown.
    pub fn trouble(&self, failure: Failure) -> Trouble {
        if let Failure::Unknown { name, .. } = &failure
            && let Some(complaint) = self.unreadable_file(name)
        {
            return Trouble::file(complaint.clone());
        }
        let pair = match &failure {
            Failure::Unknown { name, wanted: Kind::Lead, .. } => {
                self.pair_in(name).map(|pair| pair.map(str::to_owned))
            }
            Failure::Unknown { .. } | Failure::WrongKind { .. } | Failure::Faulty { .. } => None,
        };
        let mut trouble = Trouble::from(failure);
        if let Some([controller, port]) = pair {
            trouble.help = format!(
                "make it first: `solderside design {controller} {port} --save {controller}-to-{port}.toml`"
            );
        }
        if self.folder.is_none() && trouble.help.is_empty() {
            "if it names files of yours, say with `--shelf DIR` where they are".clone_into(&mut trouble.help);
        }
        trouble
    }

    /// The controller and the port that a lead of this name would join.
    fn pair_in<'n>(&self, name: &'n str) -> Option<[&'n str; 2]> {
        let (controller, port) = name.split_once("-to-")?;
        let are_known = self.library.kind(controller) == Some(Kind::Controller)
            && self.library.kind(port) == Some(Kind::Port);
        are_known.then_some([controller, port])
    }

    /// Says that a name is nobody's, with those of any kind that may be meant.
    pub fn unknown(&self, name: &str) -> Trouble {
        if self.unreadable_file(name).is_some() {
            let nearest = Vec::new();
            return self.trouble(Failure::Unknown { name: name.to_owned(), wanted: Kind::Lead, nearest });
        }
        let nearest = Kind::ALL.into_iter().flat_map(|kind| self.library.nearest(name, kind));
        let nearest: Vec<String> = nearest.take(3).collect();
        Trouble::unknown(format!("no controller, port, cable or lead is called {}", quoted(name)), &nearest)
    }

    /// Returns what is wrong with a file of this name that could not be read.
    pub fn unreadable_file(&self, name: &str) -> Option<&Complaint> {
        self.unreadable.iter().find(|complaint| complaint.place.file.name() == name)
    }
}

impl Files {
    fn take(&mut self, paths: &[PathBuf]) {
        for path in paths {
            match read(path) {
                Ok(file) => self.read.push(file),
                Err(complaint) => self.unreadable.push(*complaint),
            }
        }
    }
}

/// Returns the name that a word of the command line stands for: a path's stem, or the word itself.
pub fn name_of(word: &str) -> &str {
    if !is_path(word) {
        return word;
    }
    let file = word.rsplit(['/', '\\']).next().unwrap_or(word);
    file.strip_suffix(".toml").unwrap_or(file)
}

fn is_path(word: &str) -> bool {
    Path::new(word).extension().is_some_and(|ending| ending == "toml")
}

/// Whether one of the files is ours, so that a folder of somebody else's files is not taken for a shelf.
fn is_shelf(files: &[SourceFile]) -> bool {
    let library = Library::with_shelf(files.to_vec());
    let entries = library.entries();
    entries
        .iter()
        .any(|entry| entry.origin != Origin::Catalogue && (entry.kind.is_some() || entry.like.is_some()))
}

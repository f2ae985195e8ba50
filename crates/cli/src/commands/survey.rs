//! `survey`: what is joined to what, found with a meter, reading by reading.

mod asks;
mod run;
mod tells;

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use solderside_meter::survey::{NoCable, Survey, SurveyHead, Tail, UnknownCable, read_run, take_up};
use solderside_profile::{Cable, Kind, Misread, Origin, capital, is_kebab, nearest, quoted};
use solderside_trade::{Conductor, Connector, CoreColour};

use crate::answer::{Reply, Status};
use crate::dialogue::Dialogue;
use crate::page::Page;
use crate::shelf::{Shelf, name_of};
use crate::store;
use crate::trouble::Trouble;
use crate::wire;
use run::Run;

const EXAMPLES: &str = "\
Examples:
  solderside survey cable drawer --end \"DE-9 socket\" --cores \"bn rd og ye gn bu gy wh bk\" --drain
  solderside survey cable drawer                         goes on where it was left
  solderside survey cable cord --end \"DE-9 socket\" --other-end \"DE-9 plug\"

Exit codes: 0 all is found, or the survey was left; 1 no lead can be built of the cable as it is; 2 the input was wrong.";

/// Find out with a meter what is joined to what
///
/// It asks for one reading after the other, and says where the two probes go. It can be left at any time and taken up
/// again.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct SurveyArgs {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    Cable(CableArgs),
}

/// Which contact of a moulded end goes to which core, and a cable file that says so
///
/// Type what the meter shows: `0.4`, `1.2k`, `open`. `bn 0.4` is read at another core than was asked for, `3 bn 0.4` at
/// another contact too. `undo` takes the last reading back, `leave` stops, `?` helps. Every reading is kept in the
/// run's file at once.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
struct CableArgs {
    /// The name of the cable: small letters and digits, words joined by `-`
    name: String,

    /// The connector that is moulded on, such as "DE-9 socket"
    #[arg(long, value_name = "CONNECTOR", value_parser = Connector::parse)]
    end: Option<Connector>,

    /// The colours of the bare cores at the other end, in the order in which they lie: "bn rd wh/gn"
    #[arg(long, value_name = "COLOURS", conflicts_with = "other_end")]
    cores: Option<String>,

    /// There is a bare drain too, or a screen that was drawn together into one
    #[arg(long, conflicts_with = "other_end")]
    drain: bool,

    /// The connector at the other end, if that is moulded on too
    #[arg(long, value_name = "CONNECTOR", value_parser = Connector::parse)]
    other_end: Option<Connector>,

    /// A cable that may be alike: the order of its cores is tried first
    #[arg(long, value_name = "CABLE")]
    like: Option<String>,

    /// Each core's copper, as it is printed on the jacket: "AWG 28" or "0.14 mm2"
    #[arg(long, value_name = "SIZE", value_parser = Conductor::parse)]
    conductor: Option<Conductor>,

    /// How long the cable is, in millimetres
    #[arg(long, value_name = "MM", value_parser = clap::value_parser!(i64).range(1..=Cable::LONGEST_MM))]
    length_mm: Option<i64>,

    /// The file of the run [default: NAME.survey, on the shelf or here]
    #[arg(long, value_name = "FILE")]
    run: Option<PathBuf>,

    /// The cable's file [default: NAME.toml, on the shelf or here]
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,

    /// Begin again and forget the readings of an earlier run
    #[arg(long)]
    anew: bool,

    /// Replace a cable's file that is there
    #[arg(long)]
    force: bool,
}

impl SurveyArgs {
    pub fn run(&self, shelf: Option<&Path>, dialogue: &mut Dialogue) -> Result<Reply, Trouble> {
        match &self.what {
            What::Cable(args) => args.run(shelf, dialogue),
        }
    }
}

impl CableArgs {
    fn run(&self, shelf: Option<&Path>, dialogue: &mut Dialogue) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, self.like.as_slice())?;
        self.name_is_free(&shelf)?;
        let beside = || shelf.folder.clone().unwrap_or_default().join(format!("{}.survey", self.name));
        let file = self.run.clone().unwrap_or_else(beside);
        let is_new = self.anew || !store::is_there(&file);
        // A run that is taken up may have written its cable already.
        let cable_file = shelf.place_for(&self.name, self.write.as_deref(), self.force || !is_new)?;
        if is_new {
            // Not after half an hour with the meter.
            store::may_write(&cable_file, self.force)?;
        }
        let mut run = if is_new { self.begin(&shelf, file)? } else { self.take_up(&shelf, file)? };
        dialogue.say(&asks::opening(&run, dialogue.columns()));
        run.ask(dialogue)?;
        let found = run.survey.found();
        let written = match run.survey.next() {
            Some(_) => Err(NoCable::Unfinished),
            None => found.cable_file(&run.head, &title(&self.name), &source(&run.survey)),
        };
        let written = match written {
            Ok(text) => {
                // Taken up again when all was found: what is written already need not be written again.
                let is_there = store::read(&cable_file).is_ok_and(|file| file.text() == text);
                if !is_there {
                    store::write(&cable_file, &text, self.force)?;
                }
                Ok(cable_file.display().to_string())
            }
            Err(none) => Err(none),
        };
        let status = match &written {
            Ok(_) | Err(NoCable::Unfinished) => Status::Sound,
            Err(NoCable::Jumper { .. } | NoCable::Short(_) | NoCable::Dead) => Status::Found,
        };
        let mut page = Page::in_columns(dialogue.columns());
        tells::result(&mut page, &run, &found, &written);
        let wire = wire::SurveyedCable::new(
            &run.head,
            &run.survey,
            &found,
            &wire::SurveyEnd {
                run: run.file.display().to_string(),
                written: &written,
                struck: &run.struck,
                refused: &run.refused,
            },
        );
        Ok(Reply::new(status, page.finish(), &wire))
    }

    fn name_is_free(&self, shelf: &Shelf) -> Result<(), Trouble> {
        if !is_kebab(&self.name) {
            let text = format!("a cable cannot be called {}", quoted(&self.name));
            return Err(Trouble::new(
                text,
                "write small letters and digits, words joined by `-`, such as `drawer`",
            ));
        }
        let taken = shelf.library.entries().into_iter().find(|entry| entry.name == self.name);
        match taken.and_then(|entry| Some((entry.kind?, entry.origin))) {
            Some((kind, origin)) if kind != Kind::Cable || origin == Origin::Catalogue => {
                let text = format!("the name {} is taken by a {kind}", quoted(&self.name));
                Err(Trouble::new(text, "give the cable another name"))
            }
            Some(_) | None => Ok(()),
        }
    }

    /// Takes an earlier run up.
    fn take_up(&self, shelf: &Shelf, file: PathBuf) -> Result<Run, Trouble> {
        let source = store::read(&file).map_err(|complaint| Trouble::file(*complaint))?;
        let (mut head, readings) = read_run(&source)?;
        self.is_the_same(&head, &file)?;
        head.conductor = self.conductor.or(head.conductor);
        head.length_mm = self.length_mm.or(head.length_mm);
        let like = head.like.as_deref().map(|like| shelf.cable(like)).transpose()?;
        let survey = take_up(&head, like.as_ref(), readings)?;
        Run::kept(head, survey, file, true)
    }

    /// Begins a run.
    fn begin(&self, shelf: &Shelf, file: PathBuf) -> Result<Run, Trouble> {
        let unknown = self.unknown()?;
        let like = self.like.as_deref().map(|like| shelf.cable(like)).transpose()?;
        if let Some(like) = &like
            && like.moulded.iter().all(|end| end.connector != unknown.end)
        {
            let text = format!("`{}` has no {} moulded on", like.name, unknown.end);
            return Err(Trouble::new(text, "name a cable with that end, or leave `--like` out"));
        }
        let head = SurveyHead {
            cable: self.name.clone(),
            like: self.like.as_deref().map(|like| name_of(like).to_owned()),
            unknown,
            conductor: self.conductor,
            length_mm: self.length_mm,
        };
        let survey = Survey::new(head.unknown.clone(), like.as_ref());
        Run::kept(head, survey, file, self.anew)
    }

    /// What lies on the bench, by the arguments.
    fn unknown(&self) -> Result<UnknownCable, Trouble> {
        let Some(end) = self.end else {
            let text = format!("there is no run of {} to go on with", quoted(&self.name));
            let help = "begin one: name the moulded connector with `--end \"DE-9 socket\"`, and the bare cores with \
                        `--cores \"bn rd og\"`, or the other connector with `--other-end`";
            return Err(Trouble::new(text, help));
        };
        Ok(UnknownCable { end, tail: self.tail()? })
    }

    /// What the other end shows, by the arguments.
    fn tail(&self) -> Result<Tail, Trouble> {
        match (self.other_end, &self.cores) {
            (Some(other), _) => Ok(Tail::Moulded(other)),
            (None, Some(cores)) => Ok(Tail::Cores { colours: colours(cores)?, drain: self.drain }),
            (None, None) => {
                let text = "nothing is said of the cable's other end";
                let help = "write `--cores \"bn rd og\"` with the colours of the bare cores, or `--other-end \"DE-9 \
                            plug\"` if that is moulded on too";
                Err(Trouble::new(text, help))
            }
        }
    }

    /// Refuses the run of another cable, and arguments that differ from the run's own.
    fn is_the_same(&self, head: &SurveyHead, file: &Path) -> Result<(), Trouble> {
        let shown = file.display();
        let anew = "name another file with `--run`, or begin again with `--anew`";
        if head.cable != self.name {
            let text = format!("`{shown}` is a run of the cable `{}`, not of `{}`", head.cable, self.name);
            return Err(Trouble::new(text, anew));
        }
        let says_something = self.cores.is_some() || self.other_end.is_some() || self.drain;
        let same_end = self.end.is_none_or(|end| end == head.unknown.end);
        let same_tail = !says_something || self.tail()? == head.unknown.tail;
        let same_like =
            self.like.as_deref().map(name_of).is_none_or(|like| head.like.as_deref() == Some(like));
        if same_end && same_tail && same_like {
            return Ok(());
        }
        let text = format!("`{shown}` is a run of another cable: {}", asks::about(&head.unknown));
        Err(Trouble::new(text, format!("leave those options out to go on with it; {anew}")))
    }
}

fn title(name: &str) -> String {
    format!("{}, surveyed", capital(&name.replace('-', " ")))
}

fn source(survey: &Survey) -> String {
    format!("surveyed with a meter, {} readings", survey.readings().len())
}

/// The colours of the cores, each a word or two letters.
fn colours(words: &str) -> Result<Vec<CoreColour>, Trouble> {
    let words: Vec<&str> = words.split([' ', ',', ';']).filter(|word| !word.is_empty()).collect();
    if words.is_empty() || words.len() > usize::from(Cable::MOST_CORES) {
        let text = format!("`--cores` lists {} cores", words.len());
        let help =
            format!("write the colours of 1 to {} cores, such as `--cores \"bn rd og\"`", Cable::MOST_CORES);
        return Err(Trouble::new(text, help));
    }
    let colour = |word: &&str| {
        CoreColour::parse(word).map_err(|error| {
            let Misread { headline, help } = Misread::from_sentence(&error.to_string());
            let help = if nearest(word, ["drain", "screen"]).is_some() {
                "say `--drain` for the bare drain, and leave it out of `--cores`".to_owned()
            } else {
                help
            };
            Trouble::new(headline, help)
        })
    };
    words.iter().map(colour).collect()
}

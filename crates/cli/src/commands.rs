//! The command line: one file per subcommand.

mod atlas;
mod board;
mod buzz;
mod compare;
mod design;
mod diagnose;
mod explain;
mod fits;
mod guide;
mod play;
mod prove;
mod shelf;
mod show;
mod survey;
mod timing;

pub use self::atlas::Sides;
pub use self::buzz::MeterTest;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::error::ErrorKind;
use clap::{Args, Parser, Subcommand};

use crate::answer::{Answer, Reply, Status, json};
use crate::dialogue::Dialogue;
use crate::terminal::Terminal;
use crate::tone::shown;
use crate::trouble::Trouble;
use crate::wire::ErrorAnswer;

/// Adapter leads between game controllers and machines: designed, proved, and explained
///
/// A controller and a port are known by their contacts; a lead joins them. Solderside finds the lead,
/// proves over every combination of presses, every step of the machine's reading and all tolerances that
/// it works and harms nothing, or says exactly why there is none.
#[derive(Debug, Parser)]
#[command(name = "solderside", version, after_long_help = EXAMPLES, max_term_width = 100)]
struct CommandLine {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Command,
}

const EXAMPLES: &str = "\
Examples:
  solderside shelf                       what there is
  solderside show nine-pin-one-fire      what is known of a port
  solderside design heron-stick plover   a lead between the two
  solderside fits heron-stick teal       where else that lead may go, and where never
  solderside explain power-pulled-up     what a finding means

Exit codes: 0 sound; 1 a `fail` or a `harm` was found, or there is no sound lead; 2 the input or the
usage was wrong.";

/// Over the options that every subcommand takes.
const ANYWHERE: &str = "Options of all commands";

/// What every subcommand takes.
#[derive(Debug, Args)]
struct Global {
    /// The folder with your own profiles and leads
    ///
    /// Its files, and those of its folder `leads`, are known by their names without `.toml`. Without
    /// `--shelf` it is the current folder, if a profile or a lead is there.
    #[arg(long, global = true, value_name = "DIR", help_heading = ANYWHERE)]
    shelf: Option<PathBuf>,

    /// Answer in JSON
    ///
    /// Errors are then answered in JSON too, on standard output. The exit code stays the same.
    #[arg(long, global = true, help_heading = ANYWHERE)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    // What many type for it first.
    #[command(aliases = ["list", "ls"])]
    Shelf(shelf::ShelfArgs),
    Show(show::ShowArgs),
    Design(design::DesignArgs),
    Prove(prove::ProveArgs),
    Fits(fits::FitsArgs),
    Atlas(atlas::AtlasArgs),
    Guide(guide::GuideArgs),
    Board(board::BoardArgs),
    Buzz(buzz::BuzzArgs),
    Compare(compare::CompareArgs),
    Play(play::PlayArgs),
    Timing(timing::TimingArgs),
    Diagnose(diagnose::DiagnoseArgs),
    Survey(survey::SurveyArgs),
    Explain(explain::ExplainArgs),
}

/// Does what the arguments say; the first is the program's own name. The answer is for this terminal.
pub fn run(args: impl IntoIterator<Item = OsString>, terminal: Terminal) -> Answer {
    let args: Vec<OsString> = args.into_iter().collect();
    let CommandLine { global, command } = match CommandLine::try_parse_from(&args) {
        Ok(line) => line,
        // Nothing was parsed, so whether JSON is wanted is read off the bare words.
        Err(error) => return unparsed(&error, args.iter().any(|arg| arg == "--json")),
    };
    match command.run(&global, terminal) {
        Ok(Reply { status, text, json }) => Answer {
            output: if global.json { json } else { shown(&printable(&text), terminal.coloured) },
            errors: String::new(),
            status,
        },
        Err(trouble) => refused(&trouble, &trouble.render(), global.json),
    }
}

impl Command {
    fn run(&self, global: &Global, terminal: Terminal) -> Result<Reply, Trouble> {
        let shelf = global.shelf.as_deref();
        match self {
            Self::Shelf(args) => args.run(shelf),
            Self::Show(args) => args.run(shelf),
            Self::Design(args) => args.run(shelf),
            Self::Prove(args) => args.run(shelf),
            Self::Fits(args) => args.run(shelf),
            Self::Atlas(args) => args.run(shelf),
            Self::Guide(args) => args.run(shelf),
            Self::Board(args) => args.run(shelf),
            Self::Buzz(args) => args.run(shelf, &mut Dialogue::new(terminal, global.json)),
            Self::Compare(args) => args.run(shelf),
            Self::Play(args) => args.run(shelf),
            Self::Timing(args) => args.run(shelf),
            Self::Diagnose(args) => args.run(shelf, &mut Dialogue::new(terminal, global.json)),
            Self::Survey(args) => args.run(shelf, &mut Dialogue::new(terminal, global.json)),
            Self::Explain(args) => args.run(terminal.columns),
        }
    }
}

fn refused(trouble: &Trouble, text: &str, as_json: bool) -> Answer {
    let status = Status::Wrong;
    if as_json {
        Answer { output: json(&ErrorAnswer::from(trouble)), errors: String::new(), status }
    } else {
        Answer { output: String::new(), errors: printable(text), status }
    }
}

/// The text without what would steer a terminal: a file's title may hold anything.
pub fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() && c != '\n' { '·' } else { c }).collect()
}

/// Help and version are answers; all else is wrong usage.
fn unparsed(error: &clap::Error, as_json: bool) -> Answer {
    let text = error.render().to_string();
    if matches!(error.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) {
        return Answer { output: text, errors: String::new(), status: Status::Sound };
    }
    let (first, rest) = text.split_once('\n').unwrap_or((&text, ""));
    let rest: Vec<&str> = rest.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let first = first.strip_prefix("error: ").unwrap_or(first);
    let trouble = Trouble::new(first, rest.join("\n"));
    // `--play up=up,b fire=a` gives the second wish without its option.
    let stray = first.split('\'').nth(1).filter(|word| word.contains('=') && !word.starts_with('-'));
    match stray {
        Some(wish) => {
            let help = format!("write `--play {wish}`: the option goes before each wish");
            let trouble = Trouble::new(first, help);
            refused(&trouble, &trouble.render(), as_json)
        }
        None => refused(&trouble, &text, as_json),
    }
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_command_line_is_consistent() {
        CommandLine::command().debug_assert();
    }

    #[test]
    fn every_subcommand_has_examples_in_its_long_help() {
        for command in CommandLine::command().get_subcommands() {
            let help = command.get_after_long_help().map(ToString::to_string).unwrap_or_default();
            assert!(help.starts_with("Examples:\n  solderside "), "{}", command.get_name());
        }
    }
}

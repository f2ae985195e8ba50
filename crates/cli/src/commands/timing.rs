//! `timing`: what the machine drives and reads, step by step, while some controls are pressed.

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_lead::{Assembly, State, may_be_together};
use solderside_profile::{Control, Controller, capital};
use solderside_proof::{LineLevel, LineRead, timing};
use solderside_sheet::timing_drawing;

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::report;
use crate::shelf::Shelf;
use crate::stands::{StandsArgs, otherwise};
use crate::store;
use crate::subject::SubjectArgs;
use crate::trouble::Trouble;
use crate::wire::Timing;
use crate::wishes::known_controls;

const USAGE: &str = "\
solderside timing [OPTIONS] <LEAD>
       solderside timing [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside timing heron-stick-to-plover                        with nothing pressed
  solderside timing heron-stick-to-plover --press up --press a   with two controls pressed
  solderside timing heron-stick plover                           the lead that `design` would make
  solderside timing my-lead-with-a-switch --stands as-up         where it stands in another position
  solderside timing leads/my-own.toml --drawing timing.svg       the picture too

Exit codes: 0 the diagram is shown; 2 the input was wrong.";

/// The columns of a terminal that a diagram may take.
const WIDTH: usize = 100;

/// The columns that a step takes.
const STEP: usize = 4;

/// Show what the machine drives and reads, step by step, while controls are pressed
///
/// The machine's reading script is run once from its first step on, with all tolerances: a level is shown as known only
/// where it is certain. Of registers nothing is known before the script has loaded them.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct TimingArgs {
    #[command(flatten)]
    subject: SubjectArgs,

    /// A control that is pressed; may be given several times
    #[arg(long = "press", value_name = "CONTROL")]
    pressed: Vec<String>,

    #[command(flatten)]
    stands: StandsArgs,

    /// Write the diagram as SVG too
    #[arg(long, value_name = "FILE")]
    drawing: Option<PathBuf>,

    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

impl TimingArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        let (assembly, proof) = self.subject.proved(&shelf)?;
        let warning = (!proof.verdict.is_sound()).then(|| report::headline(&assembly, &proof));
        // Of a control that nobody has, what all controllers have is told.
        known_controls(&self.pressed, &assembly.controllers)?;
        let settings = assembly.settings();
        let setting = self.stands.setting(&settings)?;
        let assembly = assembly.set(setting);
        let pressed = self.state(&assembly.controllers)?;
        let timing = timing(&assembly, &pressed)?;
        let mut written = None;
        if let Some(file) = &self.drawing {
            store::may_write(file, self.force)?;
            store::write(file, &timing_drawing(&assembly, &timing), self.force)?;
            written = Some(file.display().to_string());
        }
        let mut page = Page::default();
        if let Some(warning) = warning {
            page.line(warning);
        }
        if let Some(options) = otherwise(&settings, setting) {
            let told = capital(&setting.told());
            page.paragraph("", &format!("{told}; to see it otherwise, add {options}:"));
        }
        show(&mut page, &assembly, &timing);
        if let Some(file) = &written {
            page.line(format!("written: {file}"));
        }
        let wire = Timing::new(&assembly.lead.name, setting, &timing, written);
        Ok(Reply::new(Status::Sound, page.finish(), &wire))
    }

    /// The controls that are pressed, which what is plugged in must have, and its gates let be pressed together.
    fn state(&self, controllers: &[Controller]) -> Result<State, Trouble> {
        let pressed: Vec<Control> = known_controls(&self.pressed, controllers)?;
        let are_apart = |one: &Control, other: &Control| {
            controllers.iter().any(|controller| !may_be_together(controller, one, other))
        };
        for (at, one) in pressed.iter().enumerate() {
            if let Some(other) = pressed.iter().skip(at + 1).find(|other| are_apart(one, other)) {
                let text =
                    format!("`{one}` and `{other}` cannot be pressed at once: the gate keeps them apart");
                return Err(Trouble::new(text, "name one of the two"));
            }
        }
        Ok(pressed.into_iter().collect())
    }
}

/// Shows a run, so many steps side by side as have room.
fn show(page: &mut Page, assembly: &Assembly, timing: &solderside_proof::Timing) {
    let pressed: Vec<&str> = timing.pressed.iter().map(Control::as_str).collect();
    page.line(&assembly.lead.title);
    page.line(if pressed.is_empty() {
        "with nothing pressed".to_owned()
    } else {
        format!("with {} pressed", pressed.join(", "))
    });
    let names: Vec<String> = timing
        .lines
        .iter()
        .map(|line| format!("{} {} ({})", line.kind.as_str(), line.leg, line.function))
        .collect();
    let widest = names.iter().map(|name| name.chars().count()).max().unwrap_or(0);
    let side_by_side = (WIDTH.saturating_sub(widest + 4) / STEP).max(1);
    for first in (0..timing.steps.len()).step_by(side_by_side) {
        let shown = first..timing.steps.len().min(first + side_by_side);
        let numbers: String =
            shown.clone().map(|at| format!("{:<STEP$}", at + 1)).collect::<Vec<_>>().concat();
        page.heading(&format!("  {:widest$}  {numbers}", "step"));
        for (line, name) in timing.lines.iter().zip(&names) {
            let cells = shown.clone().map(|at| {
                let level = line.levels.get(at).copied().unwrap_or(LineLevel::Unknown);
                cell(level, line.reads.get(at).and_then(Option::as_ref))
            });
            page.line(format!("  {name:widest$}  {}", cells.collect::<String>()));
        }
    }
    report::axes(page, &timing.axes);
    page.heading("Steps");
    let rows: Vec<[String; 4]> = timing
        .steps
        .iter()
        .enumerate()
        .map(|(at, step)| {
            let waits = step.hold.map_or_else(|| "not known".to_owned(), |hold| hold.low().to_string());
            [(at + 1).to_string(), step.name.clone(), waits, read_in(timing, at)]
        })
        .collect();
    page.table(["", "step", "waits", "reads"], &rows);
    page.line("");
    page.paragraph(
        "  ",
        "▁ low, ▔ high, ─ let go, ▒ not known; at the end of a step, where the machine reads: ● pressed, or the level \
         that it expects; ○ not; × neither for certain",
    );
}

/// One step of a line.
fn cell(level: LineLevel, read: Option<&LineRead>) -> String {
    let own = match level {
        LineLevel::Low => '▁',
        LineLevel::High => '▔',
        LineLevel::LetGo => '─',
        LineLevel::Unknown => '▒',
    };
    let last = read.map_or(own, |read| match read.answer {
        Some(true) => '●',
        Some(false) => '○',
        None => '×',
    });
    String::from_iter([own, own, own, last])
}

/// What the machine takes for pressed in a step: "up, fire; not down".
fn read_in(timing: &solderside_proof::Timing, at: usize) -> String {
    let reads = || timing.lines.iter().filter_map(|line| Some((line, line.reads.get(at)?.as_ref()?)));
    let told = |wanted: Option<bool>| -> Vec<String> {
        let named = reads().filter(|(_, read)| read.answer == wanted).map(|(line, read)| {
            read.action.as_ref().map_or_else(|| format!("{} as expected", line.leg), ToString::to_string)
        });
        named.collect()
    };
    let parts = [("", told(Some(true))), ("not ", told(Some(false))), ("nobody knows: ", told(None))];
    let parts = parts.into_iter().filter(|(_, names)| !names.is_empty());
    parts.map(|(lead, names)| format!("{lead}{}", names.join(", "))).collect::<Vec<_>>().join("; ")
}

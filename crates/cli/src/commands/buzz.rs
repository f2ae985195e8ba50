//! `buzz`: the meter test of a finished lead.

mod run;
mod says;
mod text;

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_meter::{Bench, Controls, Found, Plan, Powered};
use solderside_proof::Proof;
use solderside_sheet::meter_table;

use crate::answer::{Reply, Status};
use crate::dialogue::Dialogue;
use crate::page::Page;
use crate::report;
use crate::shelf::Shelf;
use crate::stands::StandsArgs;
use crate::store;
use crate::subject::SubjectArgs;
use crate::trouble::Trouble;
use crate::wire::{Buzz, BuzzRun};

const USAGE: &str = "\
solderside buzz [OPTIONS] <LEAD>
       solderside buzz [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside buzz heron-stick-to-plover                 the readings, in their order
  solderside buzz heron-stick plover                    the lead that `design` would make
  solderside buzz heron-stick plover --step 4           all that a wrong fourth reading points to
  solderside buzz heron-stick plover --run plover-1.buzz
                                                        asks for one reading after the other, and keeps them
  solderside buzz heron-stick plover --table plover-test.html
                                                        a page to print and to tick

Exit codes: 0 the lead is sound on paper, and no reading of a run is wrong; 1 it is not, or one is; 2 the input was wrong.";

/// Test a finished lead with a meter: the fewest readings that find every plausible mistake
///
/// Every single mistake of a hand that a meter can tell from a good lead gives a wrong reading somewhere in the list: a
/// joint that is open or weak, a bridge between neighbouring cups or any two nets of a board, two conductors swapped, a
/// connector counted from the wrong side, a part turned round. What no meter can tell is named. What is dangerous comes first. Then the switches are read through the lead, and
/// last the machine is switched on, with 1 kΩ across the probes.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct BuzzArgs {
    #[command(flatten)]
    subject: SubjectArgs,

    #[command(flatten)]
    stands: StandsArgs,

    /// Show one reading with everything that it may point to
    #[arg(long, value_name = "NUMBER", conflicts_with = "run")]
    step: Option<usize>,

    /// Ask for the readings one after the other, and keep them in this file
    ///
    /// Type what the meter shows: `open`, `0.4`, `1.2k`, `0.62 V`; `beep` or `no beep` where the buzzer will do; `right`
    /// where no machine depends on it; `done` when the lead is plugged in, or a chip pressed into its socket. `back` takes the
    /// last answer back, `leave` stops, `?` helps. A file that is there is taken up where it was left. With `--json` nothing is
    /// said before the end, and the answer tells how the run stands.
    #[arg(long, value_name = "FILE")]
    run: Option<PathBuf>,

    /// Write the test as a page to print and to tick at the bench
    #[arg(long, value_name = "FILE", conflicts_with_all = ["run", "step"])]
    table: Option<PathBuf>,

    /// Replace a table that is there
    #[arg(long, requires = "table")]
    force: bool,
}

/// The meter test of a lead.
pub struct MeterTest<'a> {
    pub bench: &'a Bench<'a>,
    pub plan: Plan,
    pub controls: Controls,
    pub powered: Powered,
    pub proof: &'a Proof,
}

impl<'a> MeterTest<'a> {
    fn of(bench: &'a Bench<'a>, proof: &'a Proof) -> Self {
        Self {
            bench,
            plan: Plan::of(bench),
            controls: Controls::of(bench),
            powered: Powered::of(bench.assembly(), proof),
            proof,
        }
    }

    /// How many pairs of faults the plan finds.
    pub fn doubles(&self) -> Found {
        self.plan.doubles(self.bench)
    }
}

impl BuzzArgs {
    pub fn run(&self, shelf: Option<&Path>, dialogue: &mut Dialogue) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        let (assembly, proof) = self.subject.proved(&shelf)?;
        if assembly.donor.is_some() {
            let joins: Vec<String> = assembly.lead.soldered().map(ToString::to_string).collect();
            let help = format!(
                "unplugged, first read the pad's supply against its return: it must be open; then each join from end to end: \
                 it must beep; then each contact against its neighbours: none may: {}. `solderside guide` has this test \
                 step by step",
                joins.join("; ")
            );
            return Err(Trouble::by_donor("meter tests", &help));
        }
        let settings = assembly.full_settings();
        let setting = self.stands.named(&settings)?;
        // Read is what the lead is in one setting; whether it may be built and powered, what it is in all.
        let of_setting =
            proof.settings.iter().find(|own| own.setting == *setting).map(|own| own.proof.clone());
        let proof = match of_setting {
            Some(own) => Proof { verdict: proof.verdict, findings: proof.findings, ..own },
            None => proof,
        };
        let mut assembly = assembly.set(setting);
        if settings.len() > 1 {
            assembly.lead.title = format!("{}, {}", assembly.lead.title, setting.told());
        }
        let bench = Bench::new(&assembly);
        let test = MeterTest::of(&bench, &proof);
        let mut page = Page::default();
        if settings.len() > 1 {
            page.paragraph(
                "",
                "What lies behind the open throw of a switch is read with it in its other position.",
            );
        }
        if let Some(file) = &self.run {
            if !proof.verdict.is_sound() {
                page.line(report::headline(&assembly, &proof));
                page.line("No run was begun: a lead that is not sound on paper passes no test.");
                report::findings(&mut page, &proof.findings);
                return Ok(Reply::new(Status::Found, page.finish(), &BuzzRun::refused(&test, file)));
            }
            return run::run(&test, file, dialogue);
        }
        let doubles = test.doubles();
        let written = self.table.as_ref().map(|file| self.write(&test, file)).transpose()?;
        match (&written, self.step) {
            (Some(file), _) => {
                page.line(report::headline(&assembly, &proof));
                page.line(format!("written: {file}"));
            }
            (None, Some(number)) => text::one(&mut page, &test, number)?,
            (None, None) => text::all(&mut page, &test, doubles),
        }
        Ok(Reply::new(proof.verdict.into(), page.finish(), &Buzz::new(&test, doubles, written)))
    }
    /// Writes the page to print; returns where.
    fn write(&self, test: &MeterTest<'_>, file: &Path) -> Result<String, Trouble> {
        let powered = test.proof.verdict.is_sound().then_some(&test.powered);
        let page = meter_table(test.bench, &test.plan, &test.controls, powered);
        store::write(file, &page, self.force)?;
        Ok(file.display().to_string())
    }
}

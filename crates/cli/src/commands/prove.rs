//! `prove`: whether a lead works.

use std::path::Path;

use clap::Args;

use crate::answer::Reply;
use crate::page::Page;
use crate::report;
use crate::shelf::Shelf;
use crate::subject::SubjectArgs;
use crate::trouble::Trouble;
use crate::wire::Prove;

const USAGE: &str = "\
solderside prove [OPTIONS] <LEAD>
       solderside prove [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside prove heron-stick-to-plover             a lead of the shelf
  solderside prove leads/my-own.toml                 a lead by its file
  solderside prove heron-stick plover --truth        what would be designed, with its truth table
  solderside prove heron-pad teal --join 8-7         what would happen

Exit codes: 0 it works, be it without margin; 1 it fails, harms or is unproved; 2 the input was wrong.";

/// Prove a lead: every combination of presses, every step of the reading, all tolerances
///
/// Proves a lead's file, or the lead that `design` would make of a controller and a port. The verdict is
/// one of `works`, `thin` (works, but without margin), `unproved`, `fails` and `harms`.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct ProveArgs {
    #[command(flatten)]
    subject: SubjectArgs,

    /// Show what the machine reads in each combination of presses, or of over 4096 in those of few controls
    #[arg(long)]
    truth: bool,
}

impl ProveArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        let (assembly, proof) = self.subject.proved(&shelf)?;
        let mut page = Page::default();
        page.line(report::headline(&assembly, &proof));
        page.line(report::coverage(&proof));
        report::parts(&mut page, &assembly);
        report::joins(&mut page, &assembly);
        report::proof(&mut page, &assembly, &proof);
        if self.truth {
            report::truth(&mut page, &proof);
        }
        let wire = Prove::new(&assembly, &proof, self.truth);
        Ok(Reply::new(proof.verdict.into(), page.finish(), &wire))
    }
}

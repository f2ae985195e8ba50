//! `fits`: where else a lead may go, and where it must never be.

use std::path::Path;

use clap::Args;
use solderside_proof::{Fit, Fitting, Place, Verdict};

use crate::answer::{Reply, Status};
use crate::elsewhere::Elsewhere;
use crate::page::Page;
use crate::report;
use crate::shelf::Shelf;
use crate::subject::SubjectArgs;
use crate::tone::Tone;
use crate::trouble::Trouble;
use crate::wire::Fits;

const USAGE: &str = "\
solderside fits [OPTIONS] <LEAD>
       solderside fits [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside fits heron-stick-to-plover          a lead of the shelf
  solderside fits leads/my-own.toml              a lead by its file
  solderside fits heron-stick teal               the lead that would be designed

Exit codes: 0 it is answered, whatever the answer is; 2 the input was wrong.";

/// Prove a lead with everything else that takes one of its connectors
///
/// Every controller with that plug, every port and every other socket of the catalogue and the shelf is tried in
/// the proof: the lead works there, works in part, or must never go there. What the controls do there follows from
/// the joins.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct FitsArgs {
    #[command(flatten)]
    subject: SubjectArgs,
}

impl FitsArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        let (assembly, proof) = self.subject.proved(&shelf)?;
        let elsewhere = Elsewhere::of(&assembly, &shelf)?;
        let mut page = Page::default();
        page.line(report::headline(&assembly, &proof));
        let never = |fitting: &Fitting| fitting.fit == Fit::Never;
        let harmful = elsewhere.that(|fitting| never(fitting) && !fitting.is_harmless);
        let place = |fitting: &Fitting| match fitting.place {
            // Of a lead for two it matters into which end.
            Place::Controller if assembly.controllers.len() > 1 => {
                format!("{} at `{}`", fitting.place.as_str(), fitting.end)
            }
            Place::Controller | Place::Machine | Place::Hazard => fitting.place.as_str().to_owned(),
        };
        let block = |page: &mut Page, tone: Tone, heading: &str, alike: &[Vec<&Fitting>]| {
            block(page, (tone, heading), alike, place);
        };
        block(&mut page, Tone::Bad, "NEVER plug it in here, though it fits", &harmful);
        let idle = elsewhere.that(|fitting| never(fitting) && fitting.is_harmless);
        block(&mut page, Tone::Care, "It fits here and harms nothing, but does not work", &idle);
        block(&mut page, Tone::Care, "Works in part", &elsewhere.that(|fitting| fitting.fit == Fit::InPart));
        block(&mut page, Tone::Good, "Works", &elsewhere.that(|fitting| fitting.fit == Fit::Works));
        if elsewhere.fittings.is_empty() {
            page.line("");
            page.line("Nothing else in the catalogue or on the shelf takes its connectors.");
        }
        not_looked_at(&mut page, &elsewhere);
        let wire = Fits::new(&assembly.lead, proof.verdict, &elsewhere);
        Ok(Reply::new(Status::Sound, page.finish(), &wire))
    }
}

fn block(
    page: &mut Page,
    (tone, heading): (Tone, &str),
    alike: &[Vec<&Fitting>],
    place: impl Fn(&Fitting) -> String,
) {
    if !alike.is_empty() {
        page.heading(&tone.of(heading));
    }
    for fittings in alike {
        for fitting in fittings {
            let Fitting { name, title, verdict, .. } = fitting;
            let harms = if *verdict == Verdict::Harms {
                format!(": it {}", Tone::Bad.of("HARMS"))
            } else {
                String::new()
            };
            page.paragraph("  ", &format!("{name}: {title} ({}){harms}", place(fitting)));
        }
        if let Some(Fitting { reason, .. }) = fittings.first() {
            page.paragraph("      ", reason);
        }
    }
}

/// Silence must not be taken for safety.
fn not_looked_at(page: &mut Page, elsewhere: &Elsewhere) {
    page.heading("Not looked at");
    for name in &elsewhere.unreadable {
        page.paragraph("  ", &format!("{name}: its file has mistakes, which `solderside show {name}` tells"));
    }
    for gap in &elsewhere.gaps {
        page.line(format!("  {}: not in the catalogue yet", gap.title));
        page.paragraph("      ", gap.caution);
    }
    page.paragraph(
        "  ",
        "What is not named above has not been looked at, though its connector may fit: do not plug it in on trust.",
    );
}

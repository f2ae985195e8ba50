//! `guide`: a page that a stranger can build the lead from.

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_lead::{Assembly, Difference, REWIRING_CAUTIONS};
use solderside_profile::Kind;
use solderside_proof::Proof;
use solderside_sheet::{Changes, Colouring, GuideOptions, drawing, guide};

use crate::answer::{Reply, Status};
use crate::commands::compare::comparable;
use crate::elsewhere::Elsewhere;
use crate::page::Page;
use crate::progress::Progress;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::store;
use crate::subject::{SubjectArgs, designed, read};
use crate::trouble::Trouble;
use crate::wire::Guide;
use crate::wishes::WishArgs;

const USAGE: &str = "\
solderside guide [OPTIONS] <LEAD>
       solderside guide [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside guide heron-stick-to-plover               writes heron-stick-to-plover-guide.html
  solderside guide heron-stick plover --out plover.html
  solderside guide heron-stick plover --drawing plover.svg
  solderside guide heron-stick plover --cable ten-core-control
  solderside guide heron-stick plover --from curlew    and what to change in the lead for the Curlew

Exit codes: 0 it was written; 1 the lead is not sound, and nothing was; 2 the input was wrong.";

/// Write the guide to a lead: what to buy, how to solder it, how to test it
///
/// The guide is one HTML file that needs nothing else. A lead that fails, harms or is unproved gets none.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct GuideArgs {
    #[command(flatten)]
    subject: SubjectArgs,

    /// The guide's file [default: LEAD-guide.html, in the current folder]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,

    /// Write the drawing alone too, as SVG
    #[arg(long, value_name = "FILE")]
    drawing: Option<PathBuf>,

    /// Tell in the guide what to change in another lead to make this one of it: a lead, or the port that it is
    /// for; may be given several times
    #[arg(long = "from", value_name = "LEAD|PORT")]
    from: Vec<String>,

    /// Replace files that are there
    #[arg(long)]
    force: bool,
}

impl GuideArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        // Nobody shall wait for an answer that has nowhere to go.
        for file in self.out.iter().chain(&self.drawing) {
            store::may_write(file, self.force)?;
        }
        let progress = Progress::during("proving the lead, here and elsewhere");
        let (assembly, proof) = self.subject.proved(&shelf)?;
        if assembly.controllers.len() > 1 && assembly.lead.cable.is_some() {
            let text = "guides of leads with two cords in a chosen cable are not made";
            return Err(Trouble::new(
                text,
                "take `cable` out of the lead's file: the guide then says what each cord needs",
            ));
        }
        let name = &assembly.lead.name;
        let mut page = Page::default();
        page.line(report::headline(&assembly, &proof));
        if !proof.verdict.is_sound() {
            report::not_made(&mut page, "guide was written", &proof.findings);
            let wire = Guide::new(name, &proof, Vec::new());
            return Ok(Reply::new(Status::Found, page.finish(), &wire));
        }
        let elsewhere = Elsewhere::of(&assembly, &shelf)?.for_guide();
        let changes =
            self.from.iter().map(|word| changes(word, &assembly, &shelf)).collect::<Result<_, _>>()?;
        let options = GuideOptions { elsewhere, changes, ..GuideOptions::default() };
        drop(progress);
        let written = self.write(&assembly, &proof, &options)?;
        for file in &written {
            page.line(format!("written: {file}"));
        }
        Ok(Reply::new(Status::Sound, page.finish(), &Guide::new(name, &proof, written)))
    }

    /// Writes the files, none of them where one may not be written; returns where.
    fn write(
        &self,
        assembly: &Assembly,
        proof: &Proof,
        options: &GuideOptions,
    ) -> Result<Vec<String>, Trouble> {
        let default = || format!("{}-guide.html", assembly.lead.name).into();
        let mut files = vec![(self.out.clone().unwrap_or_else(default), guide(assembly, proof, options))];
        if let Some(file) = &self.drawing {
            files.push((file.clone(), drawing(assembly, &Colouring::of(assembly))));
        }
        if let [(guide, _), (drawing, _)] = files.as_slice()
            && guide == drawing
        {
            let text = format!("`{}` is named for both the guide and the drawing", guide.display());
            return Err(Trouble::new(text, "name two files"));
        }
        for (file, _) in &files {
            store::may_write(file, self.force)?;
        }
        for (file, text) in &files {
            store::write(file, text, self.force)?;
        }
        Ok(files.iter().map(|(file, _)| file.display().to_string()).collect())
    }
}

/// What makes a lead of another one, which is named by itself or by the port that it is for.
fn changes(word: &str, assembly: &Assembly, shelf: &Shelf) -> Result<Changes, Trouble> {
    let none = WishArgs::default();
    let other = if shelf.library.kind(name_of(word)) == Some(Kind::Port) {
        let controller = assembly.controllers.first().map(|controller| controller.name.as_str());
        designed(controller.unwrap_or_default(), word, &none, shelf)?.0
    } else if shelf.library.file(name_of(word)).is_some() {
        read(word, &none, shelf)?
    } else {
        return Err(shelf.unknown(name_of(word)));
    };
    for lead in [&other, assembly] {
        comparable(lead)?;
    }
    let difference = Difference::between(&other, assembly);
    let steps = difference.steps.iter().map(|step| step.text.clone());
    Ok(Changes {
        from: other.lead.title.clone(),
        moves: difference.parts.iter().cloned().chain(steps).collect(),
        caution: REWIRING_CAUTIONS.join(" "),
    })
}

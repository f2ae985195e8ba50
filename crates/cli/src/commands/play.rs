//! `play`: the play map of a lead's file, shown and changed.

use std::path::Path;

use clap::Args;
use solderside_lead::{Assembly, EndId, PlayMap, edit_lead, either_map, read_lead};
use solderside_profile::{Action, Control, SourceFile};
use solderside_proof::{Proof, prove};

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::store;
use crate::trouble::Trouble;
use crate::wire::Play;
use crate::wishes::{PlayWish, held};

const EXAMPLES: &str = "\
Examples:
  solderside play heron-stick-to-plover                      shows the map
  solderside play heron-stick-to-plover up=up,b second-fire= `b` plays `up`, nothing the second fire
  solderside play leads/my-own.toml fire=b                   a lead by its file

Exit codes: 0 the map is shown, or the lead is sound with the new one; 1 it fails, harms or is unproved
with the new one, which is written all the same; 2 the input was wrong, and nothing was written.";

/// Show or change which controls perform which actions, in a lead's file
///
/// The file keeps its comments and its order. The changed lead is proved, and the fingerprints in its file
/// are renewed if it is sound and taken out if it is not. A play map moves no wire: where the joins no longer
/// fit it, the findings say so.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct PlayArgs {
    /// The lead: its name, or a path that ends in `.toml`
    lead: String,

    /// An action and the controls that shall perform it, any of them; without controls it stays idle
    #[arg(value_name = "ACTION=CONTROL[,CONTROL…]")]
    changes: Vec<PlayWish>,
}

impl PlayArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, std::slice::from_ref(&self.lead))?;
        let name = name_of(&self.lead);
        let mut assembly = shelf.written_lead(name)?;
        let mut page = Page::default();
        if self.changes.is_empty() {
            page.line(&assembly.lead.title);
            report::play(&mut page, &assembly);
            return Ok(Reply::new(Status::Sound, page.finish(), &Play::new(&assembly, None, None)));
        }
        let before = assembly.lead.play.clone();
        let (proof, written) = self.change(&mut assembly, &shelf)?;
        page.line(report::headline(&assembly, &proof));
        page.line(match &written {
            Some(file) => format!("written: {file}"),
            None => "nothing was written: that is the map already".to_owned(),
        });
        report::play(&mut page, &assembly);
        report::findings(&mut page, &proof.findings);
        if !proof.verdict.is_sound() {
            hint(&mut page, &assembly);
        }
        if written.is_some() {
            page.heading("To have the map as it was");
            page.line(format!("  solderside play {}{}", self.lead, self.undo(&before)));
        }
        let wire = Play::new(&assembly, written, Some(&proof));
        Ok(Reply::new(proof.verdict.into(), page.finish(), &wire))
    }

    /// The changes that bring a map back: " up=up second-fire=b".
    fn undo(&self, before: &PlayMap) -> String {
        let mut actions: Vec<&Action> = self.changes.iter().map(PlayWish::action).collect();
        actions.sort();
        actions.dedup();
        let undo = actions.into_iter().map(|action| {
            let controls: Vec<&str> = before.controls(action).iter().map(Control::as_str).collect();
            format!(" {action}={}", controls.join(","))
        });
        undo.collect()
    }

    /// Changes the map, proves the lead and writes its file; returns where, if anything is different.
    fn change(&self, assembly: &mut Assembly, shelf: &Shelf) -> Result<(Proof, Option<String>), Trouble> {
        let fingerprints = assembly.fingerprints();
        for (action, controls) in held(&self.changes, "play", &assembly.controllers, &assembly.port)? {
            assembly.lead.play.set(action, controls);
        }
        assembly.lead.proved = fingerprints;
        let proof = prove(assembly)?;
        if !proof.verdict.is_sound() {
            assembly.lead.proved = None;
        }
        let Some(file) = shelf.library.file(&assembly.lead.name) else { return Ok((proof, None)) };
        let path = file.path();
        let text = edit_lead(file.text(), assembly).filter(|text| {
            let read = read_lead(&SourceFile::new(path, text.as_str()), &shelf.library);
            read.is_ok_and(|read| same_but_for_order(&read, assembly))
        });
        let Some(text) = text else {
            let text = format!("the play map of `{path}` cannot be changed where it stands");
            return Err(Trouble::new(text, "write it as `[play]` with a line for each action"));
        };
        if text == file.text() {
            return Ok((proof, None));
        }
        store::write(Path::new(path), &text, true)?;
        Ok((proof, Some(path.to_owned())))
    }
}

/// Whether a file that was changed says what it should.
fn same_but_for_order(read: &Assembly, meant: &Assembly) -> bool {
    let sorted = |assembly: &Assembly| {
        let entries = assembly.port.actions().into_iter().map(|action| {
            let mut controls: Vec<Control> = assembly.lead.play.controls(action).to_vec();
            controls.sort();
            controls
        });
        entries.collect::<Vec<_>>()
    };
    sorted(read) == sorted(meant)
        && read.lead.joins == meant.lead.joins
        && read.lead.proved == meant.lead.proved
}

/// Says how to get wires that fit the map.
fn hint(page: &mut Page, assembly: &Assembly) {
    let own = |end: EndId| assembly.lead.end(end).map(|end| end.profile.as_str()).unwrap_or_default();
    let mut ends = vec![own(EndId::Controller(0)).to_owned(), assembly.port.name.clone()];
    if assembly.controllers.get(1).is_some_and(|second| !second.contacts.is_empty()) {
        ends.push(format!("--second {}", own(EndId::Controller(1))));
    }
    if assembly.lead.passes_through {
        ends.push("--through".to_owned());
    }
    let default = either_map(&assembly.controllers, &assembly.port);
    for action in assembly.port.actions() {
        let controls = assembly.lead.play.controls(action);
        if controls != default.controls(action) {
            let controls: Vec<&str> = controls.iter().map(Control::as_str).collect();
            ends.push(format!("--play {action}={}", controls.join(",")));
        }
    }
    ends.extend(assembly.lead.cable.as_ref().map(|cable| format!("--cable {}", cable.name)));
    let ends = ends.join(" ");
    page.heading("A play map moves no wire");
    page.line(format!("  solderside design {ends}"));
    page.line("    finds wires that fit it, or says why there are none");
    page.line(format!("  solderside compare {} {ends}", assembly.lead.name));
    page.line("    says what to rewire");
}

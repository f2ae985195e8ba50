//! `design`: a lead for a controller and a port, or why there is none.

mod program;

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_design::{Choice, Class, Fact, FactKind, NotADonor, Refusal, design};
use solderside_lead::{Assembly, Body, write_lead};
use solderside_profile::{Kind, is_kebab, quoted};
use solderside_proof::Verdict;

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::store;
use crate::tone::Tone;
use crate::trouble::Trouble;
use crate::wire::Design;
use crate::wishes::{Kept, WishArgs};

const EXAMPLES: &str = "\
Examples:
  solderside design heron-stick plover
  solderside design heron-stick curlew --play up=up,b      `b` plays `up` too
  solderside design heron-pad teal --must start            refused if `start` would be lost
  solderside design heron-stick bittern --drawer drawer    only with parts that are in the drawer
  solderside design heron-pad teal --join 8-7              with the pad's contact 8 on the port's 7
  solderside design heron-stick plover --cable ten-core-control
  solderside design heron-stick plover --save              writes heron-stick-to-plover.toml
  solderside design heron-stick bittern --save --way 2     the second of the ways that stand side by side

Exit codes: 0 there is a lead; 1 there is none; 2 the input was wrong.";

/// Find a lead between a controller and a port, or the facts that forbid it
///
/// Directions go to directions and the fire buttons to the fire actions, in the order of both profiles;
/// `--play` asks for something else. What is proposed has been proved. What cannot be had is refused with
/// the facts that forbid it together. Several ways to build a lead stand side by side; where only a program
/// could do it, what that must do is told.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct DesignArgs {
    /// The controller: its name, or a path that ends in `.toml`
    controller: String,

    /// The port: its name, or a path that ends in `.toml`
    port: String,

    #[command(flatten)]
    wishes: WishArgs,

    #[command(flatten)]
    kept: Kept,

    /// Save the lead [default file: CONTROLLER-to-PORT.toml, on the shelf or here]
    #[arg(long, value_name = "FILE", num_args = 0..=1)]
    #[expect(clippy::option_option, reason = "clap's shape of an option whose value may be left out")]
    save: Option<Option<PathBuf>>,

    /// Save this one of several ways to build it [default: 1, the best]
    #[arg(long, value_name = "NUMBER", requires = "save", value_parser = clap::value_parser!(u8).range(1..))]
    way: Option<u8>,

    /// Let `--save` replace a file
    #[arg(long, requires = "save")]
    force: bool,
}

impl DesignArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let words =
            [&self.controller, &self.port].into_iter().chain(self.wishes.words()).chain(&self.kept.drawer);
        let shelf = Shelf::open(shelf, &words.cloned().collect::<Vec<_>>())?;
        let (controller, port) = (shelf.controller(&self.controller)?, shelf.port(&self.port)?);
        let wishes = self.wishes.wishes(&self.kept, &controller, &port, &shelf)?;
        let mut designs = design(&controller, &port, &wishes)?;
        if !self.wishes.asks_for_donors() {
            designs.not_donors.retain(|tried| tried.is_of_the_pad);
        }
        let saved = match (&self.save, self.chosen(&designs.options)?) {
            (Some(file), Some(option)) => Some(self.save(file.as_deref(), &option.assembly, &shelf)?),
            _ => None,
        };
        let mut page = Page::default();
        side_by_side(&mut page, &designs.options);
        for choice in &designs.options {
            option(&mut page, choice);
        }
        if designs.parts_mend_nothing && !designs.refused.is_empty() {
            page.paragraph(
                "",
                "Diodes and resistors were tried: no lead with them serves all that is asked.",
            );
        }
        not_donors(&mut page, &designs.not_donors);
        for conflicts in designs.refused.chunk_by(|one, other| one.class == other.class) {
            refused(&mut page, conflicts, designs.options.is_empty());
        }
        if let Some(task) = &designs.program {
            program::section(&mut page, task);
        }
        if let Some(saved) = &saved {
            page.line("");
            let chosen = self.chosen(&designs.options)?.filter(|_| designs.options.len() > 1);
            let which = chosen
                .map_or_else(String::new, |own| format!("way {}, the {} lead, is ", self.way(), own.class));
            page.line(format!("{which}saved in {saved}"));
        } else if self.save.is_some() {
            page.line("");
            page.line("nothing was saved: there is no sound lead");
        }
        let status = if designs.options.is_empty() { Status::Found } else { Status::Sound };
        Ok(Reply::new(status, page.finish(), &Design::new(&designs, saved)))
    }

    /// The way that is to be saved; none if there is no lead.
    fn chosen<'o>(&self, options: &'o [Choice]) -> Result<Option<&'o Choice>, Trouble> {
        let chosen = options.get(usize::from(self.way()) - 1);
        if chosen.is_none() && !options.is_empty() {
            let text = format!("there is no way {} to build it", self.way());
            let most = options.len();
            let help = if most == 1 {
                "there is one: leave out `--way`".to_owned()
            } else {
                format!("name one from 1 to {most}")
            };
            return Err(Trouble::new(text, help));
        }
        Ok(chosen)
    }

    fn way(&self) -> u8 {
        self.way.unwrap_or(1)
    }

    /// Writes the lead with the fingerprints that it was proved against; returns where.
    fn save(&self, file: Option<&Path>, assembly: &Assembly, shelf: &Shelf) -> Result<String, Trouble> {
        let path = shelf.place_for(&assembly.lead.name, file, self.force)?;
        let shown = path.display().to_string();
        let name = name_of(&shown);
        if path.extension().is_none_or(|ending| ending != "toml") || !is_kebab(name) {
            let text = format!("a lead cannot be saved as {}", quoted(&shown));
            return Err(Trouble::new(
                text,
                "end it in `.toml`, after small letters and digits joined by `-`",
            ));
        }
        if let Some(kind @ (Kind::Controller | Kind::Port | Kind::Cable | Kind::Drawer | Kind::BuzzRun)) =
            shelf.library.kind(name)
        {
            let text = format!("the name {} is taken by a {kind}", quoted(name));
            return Err(Trouble::new(text, "save the lead under another name"));
        }
        let mut assembly = assembly.clone();
        assembly.lead.proved = assembly.fingerprints();
        store::write(&path, &write_lead(&assembly), self.force)?;
        Ok(shown)
    }
}

/// Why pads that were tried as donors cannot serve.
fn not_donors(page: &mut Page, pads: &[NotADonor]) {
    for (at, NotADonor { pad, why, .. }) in pads.iter().enumerate() {
        if at == 0 {
            page.heading("Pads that cannot serve as the converter");
        }
        page.paragraph("  ", &format!("`{pad}`: {why}"));
    }
}

/// What the leads of a class are made of.
pub fn made_of(class: Class) -> &'static str {
    match class {
        Class::Plain => "wire only",
        Class::Parts => "wire with diodes, resistors or a switch",
        Class::Donor => "wire into the port's own pad",
        Class::Logic => "logic chips, no program",
        Class::Program => "a program",
    }
}

/// What each of several options is, costs and loses.
fn side_by_side(page: &mut Page, options: &[Choice]) {
    if options.len() < 2 {
        return;
    }
    page.line(format!("{} ways to build it, the best first", options.len()));
    let fewest = options.iter().map(Choice::joints).min().unwrap_or(0);
    let rows: Vec<[String; 6]> = (1..)
        .zip(options)
        .map(|(number, choice)| {
            let more = choice.joints() - fewest;
            let more = if more == 0 { String::new() } else { format!(", {more} more") };
            [
                format!("{number}."),
                choice.class.to_string(),
                Tone::from(choice.proof.verdict).of(choice.proof.verdict.as_str()),
                choice.margin().map_or_else(|| "–".to_owned(), |margin| margin.to_string()),
                format!("{} joints{more}", choice.joints()),
                bought(choice),
            ]
        })
        .collect();
    page.table(["", "class", "verdict", "least margin", "to solder", "made of"], &rows);
    for (number, choice) in (1..).zip(options) {
        page.paragraph(&format!("  {number}. "), &format!("loses {}", lost_with(choice, options)));
    }
    page.line("");
}

/// What an option loses, the machine's side first and there the actions that another one plays:
/// "`second-fire`; controls `c`, `d`".
fn lost_with(choice: &Choice, options: &[Choice]) -> String {
    let some = |what: &str, list: String| (!list.is_empty()).then(|| format!("{what}{list}"));
    let lost = [
        choice.assembly.plays_no_direction().then(|| "every direction".to_owned()),
        some("", report::quoted_list(&choice.actions_lost(options))),
        some("axes of the machine ", report::quoted_list(&choice.axes_lost())),
        some("controls ", report::quoted_list(&choice.proof.controls_lost)),
        some("axes of the controller ", report::quoted_list(&choice.pots_lost())),
    ];
    let lost: Vec<String> = lost.into_iter().flatten().collect();
    if lost.is_empty() { "nothing".to_owned() } else { lost.join("; ") }
}

/// What an option is made of: `wire only`, `wire and 7 × BAT85`.
fn bought(choice: &Choice) -> String {
    let mut counted: Vec<(String, usize)> = Vec::new();
    for part in &choice.assembly.lead.parts {
        let what = if matches!(part.body, Body::Changeover(_)) { " switch" } else { "" };
        let name = format!("{}{what}", part.body);
        match counted.iter_mut().find(|(other, _)| *other == name) {
            Some((_, count)) => *count += 1,
            None => counted.push((name, 1)),
        }
    }
    let wire = match &choice.assembly.donor {
        Some(donor) => format!("wire into `{}`", donor.pad().name),
        None if counted.is_empty() => return made_of(choice.class).to_owned(),
        None => "wire".to_owned(),
    };
    let parts = counted.iter().map(|(name, count)| format!("{count} × {name}"));
    let parts: Vec<String> = parts.collect();
    if parts.is_empty() { wire } else { format!("{wire} and {}", parts.join(", ")) }
}

fn option(page: &mut Page, choice: &Choice) {
    let Choice { class, assembly, proof, given_up } = choice;
    page.line(report::headline(assembly, proof));
    let lead = &assembly.lead;
    let conductors = lead.joins.iter().filter(|join| lead.runs_through_cable(join)).count();
    let noun = if conductors == 1 { "conductor" } else { "conductors" };
    page.line(format!("{class} lead: {}, {conductors} {noun}", bought(choice)));
    page.line(report::coverage(proof));
    if !proof.controls_lost.is_empty() {
        page.line(format!("lost: {}", report::quoted_list(&proof.controls_lost)));
    }
    if !given_up.is_empty() {
        page.line(format!("it goes without {}; why stands below", report::quoted_list(given_up)));
    }
    report::ends(page, assembly);
    report::parts(page, assembly);
    report::joins(page, assembly);
    report::cable(page, assembly);
    report::proof(page, assembly, proof);
}

/// Everything that stands in the way of one class.
fn refused(page: &mut Page, conflicts: &[Refusal], nothing_else: bool) {
    let Some(Refusal { class, nearest, facts }) = conflicts.first() else { return };
    if let [
        Fact {
            kind:
                kind @ (FactKind::NoPort | FactKind::Speaks(_) | FactKind::NothingAsked | FactKind::WireServes),
            text,
        },
    ] = facts.as_slice()
    {
        let with_parts =
            if *kind == FactKind::WireServes { format!(" of class {class}") } else { String::new() };
        page.line(format!("{}: there is no lead{with_parts}", nearest.assembly.lead.title));
        page.paragraph("  ", text);
        return;
    }
    let title = &nearest.assembly.lead.title;
    let with_all = if nothing_else { "" } else { " with all that was asked" };
    // A lead exists, but not of what is allowed: that comes first.
    let is_bar = |fact: &&Fact| matches!(fact.kind, FactKind::OnlyClasses | FactKind::NotInDrawer);
    let bars: Vec<&str> = facts.iter().filter(is_bar).map(|fact| fact.text.as_str()).collect();
    // What is not proved is not forbidden.
    let is_open = nearest.proof.verdict == Verdict::Unproved;
    match class {
        Class::Plain | Class::Parts | Class::Donor if bars.is_empty() => {
            let no_lead = if is_open {
                format!("no {class} lead is proved")
            } else {
                format!("there is no {class} lead")
            };
            page.line(format!("{title}: {no_lead} ({}){with_all}", made_of(*class)));
        }
        Class::Plain | Class::Parts | Class::Donor => {
            let text = format!("there is no lead of what is allowed{with_all}: {}", bars.join("; "));
            page.paragraph(&format!("{title}: "), &text);
        }
        Class::Logic | Class::Program => {
            page.line(format!("{title}: nor is there one with parts and chips{with_all}"));
        }
    }
    let single = |refusal: &&Refusal| refusal.facts.len() == 1 && conflicts.len() > 1;
    let alone: Vec<&Fact> = conflicts.iter().filter(single).flat_map(|refusal| &refusal.facts).collect();
    if alone.len() > 1 {
        page.heading("Each of these facts forbids it, whatever becomes of the others");
        for (number, fact) in (1..).zip(&alone) {
            page.paragraph(&format!("  {number}. "), &fact.text);
        }
    }
    for Refusal { facts, .. } in conflicts.iter().filter(|refusal| alone.len() < 2 || !single(refusal)) {
        page.heading(match (facts.len(), conflicts.len()) {
            (0, _) => "Nothing that was asked stands in the way; the findings below do",
            (1, 1) if is_open => "Nothing surely forbids it; without this a lead is proved",
            (1, 1) => "One fact forbids it; without it a lead exists",
            (_, 1) => "These facts forbid it together; drop any one, and a lead exists",
            (1, _) => "One fact forbids it, whatever becomes of the others",
            (_, _) => "These facts forbid it together; one of them has to go, whatever becomes of the others",
        });
        for (number, fact) in (1..).zip(facts) {
            page.paragraph(&format!("  {number}. "), &fact.text);
        }
    }
    let verdict = report::toned(nearest.proof.verdict);
    let but = if nearest.proof.verdict.is_sound() { ", but is not what was asked" } else { "" };
    page.heading(&format!("The nearest thing to it {verdict}{but}"));
    report::parts(page, &nearest.assembly);
    report::joins(page, &nearest.assembly);
    report::findings(page, &nearest.proof.findings);
}

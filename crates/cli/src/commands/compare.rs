//! `compare`: what is different between two leads, and how the first is rewired into the second.

use std::path::Path;

use clap::Args;
use solderside_lead::{Act, Assembly, Difference, EndChange, EndId, REWIRING_CAUTIONS, Step};
use solderside_profile::Kind;
use solderside_proof::{Judgement, Verdict, judge};
use solderside_trade::Connector;

use crate::answer::Reply;
use crate::page::Page;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::subject::{designed, read};
use crate::trouble::Trouble;
use crate::wire::Compare;
use crate::wishes::WishArgs;

const USAGE: &str = "\
solderside compare [OPTIONS] <FIRST> <SECOND>
       solderside compare [OPTIONS] <CONTROLLER> <PORT> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside compare old.toml new.toml                       two leads by their files
  solderside compare heron-stick-to-curlew plover            from a lead of the shelf to the next
  solderside compare heron-stick curlew plover               the same, without a file
  solderside compare heron-stick curlew heron-pad teal       another controller too
  solderside compare my-lead heron-stick curlew --play up=up,b

Exit codes: 0 the second lead is sound; 1 it fails, harms or is unproved; 2 the input was wrong.";

/// Compare two leads: the fewest moves that rewire the first into the second, net by net
///
/// FIRST and SECOND are each a lead, or a controller and a port, for which the lead is taken that `design`
/// would make. A port alone in the second place goes with the first lead's controllers, a controller alone
/// with its port. `--play` and `--join` are wishes for the second lead where it is designed; `--cable` names the cable of
/// both. What counts is
/// nets: where both leads make the same contacts one, no conductor is moved. The order is safe: no cup is
/// crowded, and nothing is joined by wire on the way that is not joined before or after. A switch is a part like any other:
/// its lugs are contacts. Parts that are alike stand for each other: each is called as in the first lead. That no fewer moves would do is said where it is so for sure: not of leads with parts, nor where the
/// controller ends of a lead for two could change places. What the rewired lead comes to is proved.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct CompareArgs {
    /// Two leads, each by its name or path, or by its controller and its port
    #[arg(value_name = "NAMES", num_args = 2..=4, required = true)]
    names: Vec<String>,

    #[command(flatten)]
    wishes: WishArgs,
}

impl CompareArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let words: Vec<String> = self.names.iter().chain(&self.wishes.cable).cloned().collect();
        let shelf = Shelf::open(shelf, &words)?;
        let [(before, first), (after, _)] = self.both(&shelf)?;
        let (after, difference) = Difference::of_alike(&before, after);
        // Margins and the range of the verdict are not told here.
        let judgement = judge(&difference.rewired)?;
        let mut page = Page::default();
        if !judgement.verdict.is_sound() {
            not_rewired(&mut page, [&before, &after], &judgement);
            let wire = Compare::new([&before, &after], &difference, &judgement);
            return Ok(Reply::new(judgement.verdict.into(), page.finish(), &wire));
        }
        if is_another_lead(&before, &difference) {
            let all = if before.lead.ends.len() > 2 { "all" } else { "both" };
            page.line(format!(
                "nothing but the cable would stay: {all} connectors are others, so build the second lead anew"
            ));
            page.line(format!("  from  {}", before.lead.title));
            page.line(format!("  to    {}", after.lead.title));
            page.line(format!("the second lead {}", report::toned(judgement.verdict)));
            let wire = Compare::new([&before, &after], &difference, &judgement);
            return Ok(Reply::new(judgement.verdict.into(), page.finish(), &wire));
        }
        if let Some(first) = first.filter(|first| !first.is_sound()) {
            page.line(format!("the first lead is not sound itself: it {}", report::toned(first)));
        }
        told(&mut page, [&before, &after], &difference, &judgement);
        let wire = Compare::new([&before, &after], &difference, &judgement);
        Ok(Reply::new(judgement.verdict.into(), page.finish(), &wire))
    }

    /// The wishes for the second lead where the first one's controllers go with it: its second one too, unless another is wished.
    fn with_second_of(&self, first: &Assembly) -> WishArgs {
        let mut wishes = self.wishes.clone();
        let second = first.controllers.get(1).filter(|_| wishes.second.is_none() && !wishes.through);
        if let Some(second) = second {
            wishes.second = (!second.contacts.is_empty()).then(|| second.name.clone());
            wishes.through = first.lead.passes_through;
        }
        wishes
    }

    /// Finds both leads, those that are designed with their verdicts.
    fn both(&self, shelf: &Shelf) -> Result<[(Assembly, Option<Verdict>); 2], Trouble> {
        let kind = |word: &String| shelf.library.kind(name_of(word));
        // What is rewired stays in its cable.
        let cable_alone = WishArgs { cable: self.wishes.cable.clone(), ..WishArgs::default() };
        let lead = |word: &String, wishes: &WishArgs| match shelf.library.file(name_of(word)) {
            Some(_) => read(word, wishes, shelf).map(|assembly| (assembly, None)),
            None => Err(shelf.unknown(name_of(word))),
        };
        let designed = |controller: &str, port: &str, wishes: &WishArgs| {
            let (assembly, proof) = designed(controller, port, wishes, shelf)?;
            Ok::<_, Trouble>((assembly, Some(proof.verdict)))
        };
        let (first, rest) = match self.names.as_slice() {
            [controller, port, rest @ ..] if kind(controller) == Some(Kind::Controller) => {
                (designed(controller, port, &cable_alone)?, rest)
            }
            [first, rest @ ..] => (lead(first, &cable_alone)?, rest),
            [] => return Err(second_missing()),
        };
        comparable(&first.0)?;
        let own = |end: EndId| first.0.lead.end(end).map(|end| end.profile.as_str()).unwrap_or_default();
        let second = match rest {
            [] => return Err(second_missing()),
            [port] if kind(port) == Some(Kind::Port) => {
                designed(own(EndId::Controller(0)), port, &self.with_second_of(&first.0))?
            }
            [controller] if kind(controller) == Some(Kind::Controller) => {
                designed(controller, own(EndId::Port), &self.wishes)?
            }
            [second] => lead(second, &self.wishes)?,
            [controller, port] => designed(controller, port, &self.wishes)?,
            [_, _, more, ..] => {
                let text = format!("`{more}` is one name too many");
                return Err(Trouble::new(text, "name two leads, each by its file or by controller and port"));
            }
        };
        comparable(&second.0)?;
        Ok([first, second])
    }
}

/// Refuses a lead that ends in a donor: what would be rewired lies inside a pad.
///
/// # Errors
/// Says so.
pub fn comparable(lead: &Assembly) -> Result<(), Trouble> {
    if lead.donor.is_some() {
        let help =
            "build it anew: its conductors end inside a pad, and what they are soldered to there stays there";
        return Err(Trouble::by_donor("comparisons", help));
    }
    Ok(())
}

fn second_missing() -> Trouble {
    Trouble::new("only one lead is named", "add the second: a lead, or a port for the same controller")
}

fn told(page: &mut Page, [before, after]: [&Assembly; 2], difference: &Difference, judgement: &Judgement) {
    let Difference { moves, steps, .. } = difference;
    page.line(count(*moves, steps.len(), [difference.is_none(), difference.is_fewest]));
    page.line(format!("  from  {}", before.lead.title));
    page.line(format!("  to    {}", after.lead.title));
    let verdict = report::toned(judgement.verdict);
    page.line(if steps.is_empty() {
        format!("the lead {verdict}")
    } else {
        format!("rewired so, the lead {verdict}")
    });
    for part in &difference.parts {
        page.line(format!("  {part}"));
    }
    let [first, last] = REWIRING_CAUTIONS;
    if !steps.is_empty() {
        page.line("");
        page.paragraph("", first);
        for end in &difference.moulded {
            page.paragraph("", &moved_at_a_moulding(*end));
        }
        net_by_net(page, difference);
    }
    if !difference.is_none() {
        stays(page, difference);
    }
    if difference.rewired.lead.joins != after.lead.joins {
        page.paragraph(
            "  ",
            "Some of the second lead's own conductors run elsewhere within the same nets; that asks for no move.",
        );
    }
    if !steps.is_empty() {
        page.line("");
        page.paragraph("", last);
    }
    section(page, "What the controls play", difference.controls.iter().map(|change| change.text.as_str()));
    section(page, "The switch of the lead", difference.switches.iter().map(String::as_str));
    section(page, "What the ends are for", difference.ends.iter().map(|change| change.text.as_str()));
    if let Some([old, new]) = &difference.cord {
        let text = format!(
            "The second lead asks for {}, {}. Rewiring leaves the first one's: {}, {}.",
            new.conductor, new.length, old.conductor, old.length
        );
        section(page, "Cord", [text.as_str()].into_iter());
    }
    if let Some(cables) = &difference.cable {
        let [old, new] = cables
            .each_ref()
            .map(|name| name.as_ref().map_or("no cable".to_owned(), |name| format!("`{name}`")));
        let text = format!("The second lead names {new}. Rewiring leaves what the first one names: {old}.");
        section(page, "Cable", [text.as_str()].into_iter());
    }
}

/// Whether every end of the first lead gets another connector.
fn is_another_lead(before: &Assembly, difference: &Difference) -> bool {
    before.lead.ends.iter().all(|end| {
        let change = difference.ends.iter().find(|change| change.end == end.id);
        change.is_some_and(|EndChange { before, after, .. }| {
            let connector =
                |side: &Option<(String, Connector)>| side.as_ref().map(|(_, connector)| *connector);
            connector(before) != connector(after)
        })
    })
}

/// The verdict in the place of moves: nobody is led into a lead that is not to be built.
fn not_rewired(page: &mut Page, [before, after]: [&Assembly; 2], judgement: &Judgement) {
    page.line("no moves are told: what they would make is not to be built");
    page.line(format!("  from  {}", before.lead.title));
    page.line(format!("  to    {}", after.lead.title));
    page.line(format!("rewired so, the lead {}", report::toned(judgement.verdict)));
    report::findings(page, &judgement.findings);
}

/// What is done instead where a step moves a conductor at a moulded end.
fn moved_at_a_moulding(end: EndId) -> String {
    format!(
        "The {end} end is moulded on. Where a step moves a conductor there, take it off at the other end, insulate \
         it, and solder in its place the core that ends in the new contact."
    )
}

/// "nothing changes", "2 moves, and no fewer would do".
fn count(moves: usize, steps: usize, [nothing, is_fewest]: [bool; 2]) -> String {
    let steps = if steps > moves { format!(" in {steps} steps") } else { String::new() };
    match moves {
        0 if nothing => "nothing changes".to_owned(),
        0 => "no moves, the wiring stays as it is".to_owned(),
        1 => format!("1 move{steps}"),
        _ if is_fewest => format!("{moves} moves{steps}, and no fewer would do"),
        _ => format!("{moves} moves{steps}"),
    }
}

/// The steps in their order, those of one net that follow each other under its name.
fn net_by_net(page: &mut Page, difference: &Difference) {
    page.heading("Net by net");
    let mut number = 1;
    for steps in
        difference.steps.chunk_by(|one, other| heading(difference, one) == heading(difference, other))
    {
        if let Some(first) = steps.first() {
            page.paragraph("  ", heading(difference, first));
        }
        for step in steps {
            page.paragraph(&format!("  {number:>3}. "), &step.text);
            number += 1;
        }
    }
}

/// What a step is about.
fn heading<'d>(difference: &'d Difference, step: &Step) -> &'d str {
    match step.act {
        Act::Remove(_) => "no longer joined",
        Act::Refit(EndId::Part(_) | EndId::Inside(..)) => "another part",
        Act::Refit(EndId::Controller(_) | EndId::Switch(_) | EndId::Donor | EndId::Port) => {
            "another connector"
        }
        Act::Free(_) | Act::Move(_) | Act::Add(_) => {
            let net = difference.nets.iter().find(|change| step.net.as_ref() == Some(&change.after));
            net.map_or("", |change| &change.text)
        }
    }
}

fn stays(page: &mut Page, difference: &Difference) {
    page.heading("What stays");
    let texts: Vec<&str> = difference.stays.iter().map(|stay| stay.text.as_str()).collect();
    match texts.as_slice() {
        [] => page.line("  No conductor."),
        [one] => page.paragraph("  ", &format!("1 conductor: {one}.")),
        [most @ .., last] => {
            let text = format!("{} conductors: {} and {last}.", texts.len(), most.join(", "));
            page.paragraph("  ", &text);
        }
    }
}

fn section<'t>(page: &mut Page, heading: &str, texts: impl Iterator<Item = &'t str>) {
    let mut texts = texts.peekable();
    if texts.peek().is_some() {
        page.heading(heading);
    }
    for text in texts {
        page.paragraph("  ", text);
    }
}

//! The guide: one HTML file from which a stranger can build, test and plug in a lead.
//!
//! It loads nothing, and reads on a phone, on paper and aloud. Its own small script adds the play panel and remembers
//! ticks; without it nothing that matters is missing.

mod bench;
mod boards;
mod cautions;
mod changes;
mod donor;
mod elsewhere;
mod findings;
mod frame;
mod needs;
mod pad;
mod parts;
mod play;
mod plugged;
mod power;
mod range;
mod readings;
mod sources;
mod steps;
mod suspects;
mod switches;
mod table;
mod text;
mod ticks;
mod truth;
mod verdict;
mod wires;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use solderside_lead::{Allocation, Assembly, Body, EndId, Lead, Part, Setting};
use solderside_proof::{Proof, Verdict};

use crate::colouring::Colouring;
use crate::drawing::{self, drawing, end_drawing};
use crate::perfboard::BoardPlan;
use crate::words::{clean, counted_wires, has_board, listed, theirs};
use bench::MeterTest;
use frame::{Section, contents, sections};

pub(crate) use frame::head;
pub(crate) use text::prose;

pub use changes::Changes;
pub use elsewhere::Elsewhere;
pub use table::meter_table;

/// The browser is told to let nothing in but what stands in the page.
const LOADS_NOTHING: &str = "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'";

/// What the caller of [`guide`] decides.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GuideOptions {
    /// The colours of the cable in hand; [`Colouring::of`] the lead if none are given.
    pub colouring: Option<Colouring>,
    /// Where else it was found to fit or not to fit.
    pub elsewhere: Vec<Elsewhere>,
    /// What makes it out of other leads.
    pub changes: Vec<Changes>,
}

/// What every part of the guide is made from.
struct Subject<'a> {
    assembly: &'a Assembly,
    proof: &'a Proof,
    colouring: Colouring,
    /// The cores of the lead's cable, if one is chosen.
    allocation: Option<Allocation>,
    /// The boards in its hoods.
    boards: Vec<BoardPlan>,
}

impl Subject<'_> {
    /// Whether an end is moulded onto the cable, so that nothing is soldered there.
    fn is_moulded(&self, end: EndId) -> bool {
        self.allocation.as_ref().is_some_and(|allocation| allocation.moulded.contains_key(&end))
    }
}

/// Writes the guide to a lead as one HTML document.
///
/// A lead that fails or harms gets its findings and its picture, and nothing from which it could be built.
pub fn guide(assembly: &Assembly, proof: &Proof, options: &GuideOptions) -> String {
    let colouring = options.colouring.clone().unwrap_or_else(|| Colouring::of(assembly));
    let boards = if is_buildable(proof.verdict) { BoardPlan::all(&assembly.lead) } else { Vec::new() };
    let subject = Subject { assembly, proof, colouring, allocation: Allocation::of(assembly), boards };
    let set: Vec<Assembly> = proof.settings.iter().map(|own| assembly.set(&own.setting)).collect();
    let stands = set.iter().zip(&proof.settings).map(|(assembly, own)| Stand {
        told: heading(&own.setting),
        of_switches: heading(&of_switches(&subject.assembly.lead, &own.setting)),
        is_full: own.setting.is_full(),
        subject: Subject {
            assembly,
            proof: &own.proof,
            colouring: subject.colouring.clone(),
            allocation: subject.allocation.clone(),
            boards: subject.boards.clone(),
        },
    });
    let parts = parts(&subject, &stands.collect::<Vec<_>>(), options);
    let key = ticks::key(&subject, &parts);
    let title = clean(&assembly.lead.title);
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            (head(&format!("{title}: building guide"), &[include_str!("guide/style.css"), include_str!("guide/print.css")]))
            body data-ticks=(key) {
                a class="skip" href="#verdict" { "Skip to the guide" }
                header {
                    p class="kind" { "Building guide" }
                    h1 { (title) }
                    p class="job" { (job(&subject)) }
                    (contents(&parts))
                }
                main { (sections(parts)) }
                footer { p { "Made by Solderside from the lead’s file. The same file gives the same guide." } }
                script { (PreEscaped(include_str!("guide/script.js"))) }
            }
        }
    };
    page.into_string()
}

/// The lead with its switches standing in one way.
struct Stand<'a> {
    /// "With `mode` at `as-up` and nothing plugged into the controller 2 end".
    told: String,
    /// "With `mode` at `as-up`"; nothing for a lead without switches.
    of_switches: String,
    /// Whether all is plugged in that there is an end for.
    is_full: bool,
    subject: Subject<'a>,
}

/// What is to be told of a lead, once for each way in which its switches stand; of one without any as it is.
fn each(subject: &Subject<'_>, stands: &[Stand<'_>], told: impl Fn(&Subject<'_>) -> Markup) -> Markup {
    if stands.is_empty() {
        return told(subject);
    }
    html! {
        @for stand in stands {
            h3 class="stand" { (prose(&stand.told)) }
            (told(&stand.subject))
        }
    }
}

/// What is to be told of the lead by itself, once for each way in which its switches stand, whatever is plugged in.
fn each_lead(subject: &Subject<'_>, stands: &[Stand<'_>], told: impl Fn(&Subject<'_>) -> Markup) -> Markup {
    if stands.is_empty() {
        return told(subject);
    }
    html! {
        @for stand in by_lead(stands) {
            @if !stand.of_switches.is_empty() { h3 class="stand" { (prose(&stand.of_switches)) } }
            (told(&stand.subject))
        }
    }
}

/// Of those in which only what is plugged in differs the one with all plugged in, or the first where nobody knows of what.
fn by_lead<'s, 'a>(stands: &'s [Stand<'a>]) -> impl Iterator<Item = &'s Stand<'a>> {
    stands
        .chunk_by(|one, other| one.of_switches == other.of_switches)
        .filter_map(|own| own.iter().find(|stand| stand.is_full).or(own.first()))
}

/// A setting without what is plugged in.
fn of_switches(lead: &Lead, setting: &Setting) -> Setting {
    let mut own = setting.clone();
    own.at.retain(|(called, _)| lead.changeovers.iter().any(|switch| switch.called == *called));
    own
}

/// "With `mode` at `as-up`".
fn heading(setting: &Setting) -> String {
    setting
        .told()
        .replacen("with", "With", 1)
        .replace("`controller-2`", "the controller 2 end")
        .replace("`controller`", "the controller 1 end")
}

fn parts(subject: &Subject<'_>, stands: &[Stand<'_>], options: &GuideOptions) -> Vec<Section> {
    let buildable = is_buildable(subject.proof.verdict);
    let mut parts = vec![verdict::section(subject)];
    parts.extend(elsewhere::section(subject, &options.elsewhere));
    parts.push(findings::section(subject));
    parts.push(Section::new("drawing", "Drawing", picture(subject)));
    parts.push(wires::section(subject));
    parts.extend(boards::section(subject));
    parts.push(play::section(subject, stands));
    if buildable && subject.assembly.donor.is_some() {
        parts.push(cautions::section(subject));
        parts.push(needs::section(subject));
        parts.extend(donor::sections(subject));
    } else if buildable {
        parts.push(cautions::section(subject));
        parts.push(needs::section(subject));
        parts.extend(pad::section(subject));
        parts.extend(changes::section(subject, &options.changes));
        let test = MeterTest::of(by_lead(stands).next().map_or(subject, |stand| &stand.subject));
        parts.push(steps::section(subject, &test));
        parts.push(bench::section(subject, stands));
        parts.push(switches::section(subject, stands));
        parts.push(power::section(subject, stands));
        parts.extend(range::section(subject));
    }
    parts.push(readings::section(subject));
    parts.push(sources::section(subject));
    parts
}

/// Whether the guide may tell how to build it.
const fn is_buildable(verdict: Verdict) -> bool {
    match verdict {
        Verdict::Works | Verdict::Thin | Verdict::Unproved => true,
        Verdict::Fails | Verdict::Harms => false,
    }
}

/// What the lead is, in a sentence.
fn job(subject: &Subject<'_>) -> String {
    let lead = &subject.assembly.lead;
    let ends: Vec<String> = lead
        .ends
        .iter()
        .map(|end| match end.id {
            EndId::Donor => format!("the opened {}", theirs(subject.assembly, end.id)),
            EndId::Controller(_) | EndId::Part(_) | EndId::Inside(..) | EndId::Switch(_) | EndId::Port => {
                format!("{} for the {}", end.connector, theirs(subject.assembly, end.id))
            }
        })
        .collect();
    let conductors = counted_wires(subject.assembly);
    if lead.parts.is_empty() && subject.assembly.donor.is_some() {
        return format!("A lead of {conductors}, wire only: {}.", listed(ends));
    }
    if lead.parts.is_empty() {
        return format!("A plain lead of {conductors}, wire only: {}.", listed(ends));
    }
    format!("A lead of {conductors} with {}: {}.", parts::counted(lead), listed(ends))
}

fn picture(subject: &Subject<'_>) -> Markup {
    let Subject { assembly, colouring, proof, .. } = subject;
    html! {
        @if !is_buildable(proof.verdict) {
            p { strong { "Do not build this lead." } " It is drawn so that the findings can be followed." }
        }
        @if assembly.donor.is_some() { p { (donor::drawn()) } } @else { p {
            @if assembly.lead.ends.len() == 2 { "Both" } @else { "All" }
            " connectors are seen from behind, where the cups are, as they lie on the bench. Within a \
             connector the millimetres are true; the conductors are drawn short. Pale cups stay empty. \
             The black pointer marks contact 1; connectors have the number moulded beside it."
            @if drawing::is_shortened(assembly) {
                " Of a long row only what is used is drawn, and its ends; a torn gap says which contacts lie there, and where the key is."
            }
            @if subject.allocation.is_some() {
                " The number beside the letters is the core’s, not the contact’s."
            }
            @for end in assembly.lead.ends.iter().filter(|end| subject.is_moulded(end.id)) {
                " The " (end.connector) " is moulded on: its contacts are drawn as they lie inside, seen from behind."
            }
        } }
        @if !assembly.lead.parts.is_empty() { p { (of_parts(&assembly.lead)) } }
        (boards::all_too_large(subject))
        (figure(drawing(assembly, colouring), "The whole lead. Where two conductors cross, the lower one has a gap."))
        @for end in assembly.lead.ends.iter().filter(|end| !subject.is_moulded(end.id) && end.id != EndId::Donor) {
            @if let Some(picture) = end_drawing(assembly, colouring, end.id) {
                (figure(picture, "For soldering: each used cup with its conductor."))
            }
        }
    }
}

/// A drawing with what it is; a wide one is slid sideways on a narrow screen, with the keyboard too, and says so there.
fn figure(picture: String, caption: &str) -> Markup {
    let Some(width) = wide_width(&picture) else {
        return html! { figure { (PreEscaped(picture)) figcaption { (caption) } } };
    };
    html! {
        figure style=(format!("--wide:{width}px")) {
            p class="slide" aria-hidden="true" { "Wider than the screen: slide it sideways →" }
            div class="pan" role="region" tabindex="0" aria-label={ "Drawing, may be wider than the screen: " (caption) } { (PreEscaped(picture)) }
            figcaption { (caption) }
        }
    }
}

/// The width of a drawing that is not shrunk to a phone.
fn wide_width(picture: &str) -> Option<&str> {
    let (_, from) = picture.split_once("class=\"wide\"")?;
    let (_, from) = from.split_once(" width=\"")?;
    from.split_once('"').map(|(width, _)| width)
}

/// What the drawing shows of the parts.
fn of_parts(lead: &Lead) -> Markup {
    let is_in_line = |part: &&Part| !has_board(lead, part.sits);
    html! {
        "Parts sit in the hood, between the cups and the cable, and are drawn larger than they are."
        @if !parts::diodes(lead).is_empty() {
            " A black band"
            @if lead.parts.iter().any(|part| matches!(part.body, Body::Diode(_)) && is_in_line(&part)) {
                " with the word “band”"
            }
            " marks a diode’s cathode, the end at which current leaves. A diode that is turned round blocks, and what it carries \
             never arrives."
        }
        @if lead.parts.iter().any(|part| is_in_line(&part)) {
            " The thin grey lines are the bare legs of parts; sleeve them."
        }
        @if !boards::ends(lead).is_empty() {
            " A board is seen from the side of the parts. Each chip shows its notch and the number at each leg; thin grey lines on \
             the board are bare wires on its other side, where each is soldered to the legs at its two ends and nowhere else. \
             Coloured lines are conductors of the cable and short wires from the cups; those that come from a cup carry their letters there. Here the board shows what goes \
             where, and is drawn wider than it has to be. Hole by hole, as it is built, it is drawn under Board."
        }
    }
}

#[cfg(test)]
mod tests;

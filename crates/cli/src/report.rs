//! A lead and its proof in words: the sections that `design`, `prove` and `show` share.

use std::collections::BTreeSet;

use solderside_lead::{Allocation, Assembly, Body, Changeover, EndId, Join, Leg};
use solderside_profile::{ActiveLevel, CoreId};
use solderside_proof::{
    ActionProof, AxisProof, AxisTime, Finding, Holds, Position, Proof, SetProof, Standing, TruthRow, Verdict,
    Worst,
};
use solderside_quantity::Seconds;
use solderside_trade::Evidence;

use crate::page::Page;
use crate::tone::Tone;

/// Names more contacts than this by their number only.
const MOST_LEGS: usize = 4;

/// Says a verdict so that it makes sense alone.
pub const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Works => "works",
        Verdict::Thin => "thin (it works, but without margin)",
        Verdict::Unproved => "unproved (nothing speaks against it, but nothing covers all of it)",
        Verdict::Fails => "fails (do not build it)",
        Verdict::Harms => "harms (it can damage what it is plugged into)",
    }
}

/// The same in its colour.
pub fn toned(of: Verdict) -> String {
    let words = verdict(of);
    let (word, meaning) = words.split_once(' ').unwrap_or((words, ""));
    format!("{} {meaning}", Tone::from(of).of(word)).trim_end().to_owned()
}

/// The lead's title with its verdict, and that it has no direction to play if it has none.
pub fn headline(assembly: &Assembly, proof: &Proof) -> String {
    let but = if proof.verdict.is_sound() && assembly.plays_no_direction() {
        ", but NO DIRECTION is played: a lever moves nothing"
    } else {
        ""
    };
    format!("{}: {}{but}", assembly.lead.title, toned(proof.verdict))
}

/// Says how much was looked at.
pub fn coverage(proof: &Proof) -> String {
    let done = if proof.verdict.is_sound() { "proved" } else { "checked" };
    match proof.operating_points {
        1 => format!("1 operating point was {done}, over all tolerances"),
        points => format!("{points} operating points were {done}, each over all tolerances"),
    }
}

/// The joins, and both ends.
pub fn joins(page: &mut Page, assembly: &Assembly) {
    page.heading("Joins");
    let cell = |leg: Leg| (leg.to_string(), assembly.function(leg));
    let allocation = Allocation::of(assembly);
    let core = |join: &Join| {
        let Some(allocation) = &allocation else { return String::new() };
        match allocation.cores.get(join) {
            Some(core) => named_core(assembly, *core),
            None if allocation.without.contains(join) => "none".to_owned(),
            None => "wire".to_owned(),
        }
    };
    let rows: Vec<[String; 5]> = assembly
        .lead
        .soldered()
        .map(|join| {
            let [(from, from_function), (to, to_function)] = [join.from, join.to].map(cell);
            [from, from_function, to, to_function, core(join)]
        })
        .collect();
    page.table(["from", "", "to", "", "core"], &rows);
    if rows.is_empty() {
        page.line("  none");
    }
    if let Some(donor) = &assembly.donor {
        let pad = &donor.pad().name;
        let text = format!(
            "`donor.up` is the point of the switch `up` in `{pad}` away from what its switches share, \
             `donor.up.common` the point on that. Its own plug goes into the port, on its own cable."
        );
        page.paragraph("  ", &text);
    }
}

/// The cable that is chosen, and what is left over of it.
pub fn cable(page: &mut Page, assembly: &Assembly) {
    let (Some(cable), Some(allocation)) = (&assembly.lead.cable, Allocation::of(assembly)) else { return };
    page.heading("Cable");
    let cord = assembly.lead.cord;
    page.paragraph(
        "  ",
        &format!("{} of {} (`{}`), {}", cord.length, cable.title, cable.name, cord.conductor),
    );
    for (end, moulded) in &allocation.moulded {
        page.paragraph("  ", &format!("the {} at the {end} end is moulded on", moulded.connector));
    }
    if !allocation.spares.is_empty() {
        let spares: Vec<String> = allocation.spares.iter().map(|core| cable.lettered(*core)).collect();
        page.paragraph("  ", &format!("spare, to be cut back and insulated: {}", spares.join(", ")));
    }
}

/// "BN 2, twisted with 1".
fn named_core(assembly: &Assembly, core: CoreId) -> String {
    let Some(cable) = &assembly.lead.cable else { return core.to_string() };
    let name = cable.lettered(core);
    match cable.partner(core) {
        Some(partner) => format!("{name}, twisted with {partner}"),
        None => name,
    }
}

/// What a part is: "resistor 470 Ω ± 5 %", "74HC157, quad 2:1 multiplexer".
pub fn part_words(body: &Body) -> String {
    match body {
        Body::Diode(diode) => format!("{} diode {diode}", diode.kind()),
        Body::Resistor(resistor) => {
            format!("resistor {} ± {:.0} %", resistor.ohms, resistor.tolerance * 100.0)
        }
        Body::Capacitor(capacitor) => {
            format!("capacitor {} ± {:.0} %", capacitor.farads, capacitor.tolerance * 100.0)
        }
        Body::Transistor(transistor) => format!("transistor {transistor}"),
        Body::Chip(chip) => format!("{chip}, {}", chip.sheet().what),
        Body::Changeover(switch) => format!("{switch} switch"),
    }
}

/// "`as-up` (common to first) or `as-fire` (common to second), breaks first".
fn position_words(own: &Changeover) -> String {
    let [first, second] = &own.positions;
    let order = if own.makes_first { "makes first" } else { "breaks first" };
    format!("`{}` (common to first) or `{}` (common to second), {order}", first.name, second.name)
}

/// The parts, if there are any.
pub fn parts(page: &mut Page, assembly: &Assembly) {
    let rows: Vec<[String; 3]> = (assembly.lead.parts.iter())
        .map(|part| {
            let what = match assembly.lead.changeover(part.id()) {
                Some(own) => format!("{}, `{}`: {}", part_words(&part.body), own.called, position_words(own)),
                None => part_words(&part.body),
            };
            let sits = match part.sits {
                EndId::Donor => "in the case of the donor".to_owned(),
                end @ (EndId::Controller(_)
                | EndId::Part(_)
                | EndId::Inside(..)
                | EndId::Switch(_)
                | EndId::Port) => format!("in the hood of the {end} end"),
            };
            [part.id().to_string(), what, sits]
        })
        .collect();
    if !rows.is_empty() {
        page.heading("Parts");
        page.table(["", "", ""], &rows);
    }
}

/// The connectors to buy.
pub fn ends(page: &mut Page, assembly: &Assembly) {
    page.heading("Ends");
    let rows: Vec<[String; 3]> = (assembly.lead.ends.iter())
        .map(|end| match end.id {
            EndId::Donor => {
                let is = format!("the pad {}, opened, with its own {}", end.profile, end.connector);
                [end.id.to_string(), "no connector".to_owned(), is]
            }
            id @ (EndId::Controller(_)
            | EndId::Part(_)
            | EndId::Inside(..)
            | EndId::Switch(_)
            | EndId::Port) => {
                let is_unknown = assembly.controller(id).is_some_and(|own| own.contacts.is_empty());
                let whose = if is_unknown { "whatever goes into the port" } else { &end.profile };
                [id.to_string(), end.connector.to_string(), format!("for {whose}")]
            }
        })
        .collect();
    page.table(["", "", ""], &rows);
}

/// Which controls perform which actions.
pub fn play(page: &mut Page, assembly: &Assembly) {
    page.heading("Play map");
    let ordered: BTreeSet<_> = assembly.lead.play.entries().map(|(action, _)| action).collect();
    let actions = assembly.port.actions().into_iter().filter(|action| ordered.contains(action));
    let rows: Vec<[String; 2]> = actions
        .map(|action| {
            let controls = assembly.lead.play.controls(action);
            let by = if controls.is_empty() { "no control".to_owned() } else { quoted_list(controls) };
            [action.to_string(), by]
        })
        .collect();
    page.table(["action", "performed by any of"], &rows);
    for switch in &assembly.lead.changeovers {
        for position in switch.positions.iter().filter(|position| !position.play.is_empty()) {
            let told = position.play.iter().map(|(action, controls)| match controls.as_slice() {
                [] => format!("{action} by no control"),
                controls => format!("{action} by {}", quoted_list(controls)),
            });
            let told = told.collect::<Vec<_>>().join("; ");
            page.paragraph("  ", &format!("with `{}` at `{}`: {told}", switch.called, position.name));
        }
    }
}

/// What comes of each setting of the lead's own switches: its verdict, and who performs what there and nowhere else.
fn settings(page: &mut Page, assembly: &Assembly, proof: &Proof) {
    if proof.settings.is_empty() {
        return;
    }
    let of_what = if assembly.lead.has_changeovers() { "Positions of its switch" } else { "Its further end" };
    page.heading(&format!("{of_what}, each way proved"));
    let play_of = |own: &SetProof| {
        let differs = assembly.port.actions().into_iter().filter(|action| {
            proof.settings.iter().any(|other| other.play.controls(action) != own.play.controls(action))
        });
        let told = differs.map(|action| match own.play.controls(action) {
            [] => format!("{action} by no control"),
            controls => format!("{action} by {}", quoted_list(controls)),
        });
        told.collect::<Vec<_>>().join("; ")
    };
    let rows = proof
        .settings
        .iter()
        .map(|own| [own.setting.told(), own.proof.verdict.as_str().to_owned(), play_of(own)]);
    page.table(["", "", ""], &rows.collect::<Vec<_>>());
    if !assembly.lead.has_changeovers() {
        return;
    }
    page.paragraph(
        "  ",
        "In between, while it is moved, nothing is asked of what the machine reads; that nothing is harmed then is proved too.",
    );
}

/// All of a proof below its verdict.
pub fn proof(page: &mut Page, assembly: &Assembly, proof: &Proof) {
    settings(page, assembly, proof);
    findings(page, &proof.findings);
    margins(page, assembly, &proof.actions);
    axes(page, &proof.axes);
    holds(page, &proof.holds_for);
    standings(page, &proof.stands_on);
}

/// That something was not made of a lead that does not work, and why that is.
pub fn not_made(page: &mut Page, what: &str, found: &[Finding]) {
    page.line(format!("No {what}: a lead gets one when its proof says that it works."));
    let designed = "Where a controller and a port were named, the findings are those of the nearest thing to a lead: `solderside \
                    design` with the same names tells what forbids one.";
    page.paragraph("", designed);
    findings(page, found);
}

/// What there is to say, the worst first.
pub fn findings(page: &mut Page, findings: &[Finding]) {
    page.heading("Findings");
    if findings.is_empty() {
        page.line("  none");
    }
    for alike in findings.chunk_by(says_the_same) {
        let Some(finding) = alike.first() else { continue };
        let severity = finding.severity.as_str();
        let mark =
            format!("  {}{:2$}  ", Tone::from(finding.severity).of(severity), "", 4 - severity.len().min(4));
        page.paragraph(&mark, &format!("{}: {}", finding.code, told_of_all(alike)));
        if !finding.remedy.is_empty() {
            page.paragraph("        mend: ", &finding.remedy);
        }
    }
}

/// Whether two findings differ in nothing but the contact that they are about.
fn says_the_same(one: &Finding, other: &Finding) -> bool {
    let around =
        |finding: &Finding| about(finding).map(|[before, _, after]| [before, after].map(str::to_owned));
    one.code == other.code
        && one.severity == other.severity
        && one.remedy == other.remedy
        && around(one).is_some_and(|own| around(other) == Some(own))
}

/// The text of findings that say the same, with the contacts of all of them.
fn told_of_all(alike: &[Finding]) -> String {
    let mut places: Vec<&str> = alike.iter().filter_map(about).map(|[_, place, _]| place).collect();
    places.dedup();
    let first = alike.first();
    match (places.as_slice(), first.and_then(about)) {
        ([most @ .., last], Some([before, _, after])) if !most.is_empty() => {
            let [before, after] = of_several([before, after]);
            format!("{before}{} and {last}{after}", most.join(", "))
        }
        _ => first.map_or_else(String::new, |finding| finding.text.clone()),
    }
}

/// The words round one contact as they stand round several.
fn of_several([before, after]: [&str; 2]) -> [String; 2] {
    let verb = [(" gets ", " get "), (" is ", " are ")]
        .into_iter()
        .find_map(|(one, several)| after.strip_prefix(one).map(|rest| format!("{several}{rest}")));
    let noun = before.strip_suffix("the input ").map(|start| format!("{start}the inputs "));
    [noun.unwrap_or_else(|| before.to_owned()), verb.unwrap_or_else(|| after.to_owned())]
}

/// A finding's text before, at and after its only contact: "nothing bounds what ", "`port.6` (fire)", " carries".
fn about(finding: &Finding) -> Option<[&str; 3]> {
    let [leg] = finding.legs.as_slice() else { return None };
    let name = format!("`{leg}`");
    let (before, rest) = finding.text.split_once(&name)?;
    let function = rest.strip_prefix(" (").and_then(|rest| rest.split_once(')'));
    let after = function.map_or(rest, |(_, after)| after);
    let place = finding.text.get(before.len()..finding.text.len() - after.len())?;
    Some([before, place, after])
}

fn margins(page: &mut Page, assembly: &Assembly, actions: &[ActionProof]) {
    let is_read = |action: &&ActionProof| action.active.is_some() || action.idle.is_some();
    let read: Vec<&ActionProof> = actions.iter().filter(is_read).collect();
    if read.is_empty() {
        return;
    }
    page.heading("Margins, at the worst of all tolerances");
    let volts = |worst: &Option<Worst>, of: fn(&Worst) -> solderside_quantity::Volts| {
        worst.as_ref().map_or_else(String::new, |worst| of(worst).to_string())
    };
    for (level, active, idle) in
        [(ActiveLevel::Low, "low up to", "high from"), (ActiveLevel::High, "high from", "low up to")]
    {
        let own = read.iter().filter(|action| assembly.active_level(action.leg) == level);
        let rows: Vec<[String; 7]> = own
            .map(|action| {
                [
                    action.action.to_string(),
                    action.leg.to_string(),
                    volts(&action.active, |worst| worst.volts),
                    volts(&action.active, |worst| worst.guaranteed),
                    volts(&action.idle, |worst| worst.volts),
                    volts(&action.idle, |worst| worst.guaranteed),
                    action.margin.map_or_else(String::new, |margin| margin.to_string()),
                ]
            })
            .collect();
        if !rows.is_empty() {
            page.table(["action", "contact", "active", active, "idle", idle, "margin"], &rows);
        }
    }
    let narrowest = actions.iter().filter(|action| action.margin.is_some());
    let narrowest =
        narrowest.min_by(|a, b| a.margin.partial_cmp(&b.margin).unwrap_or(std::cmp::Ordering::Equal));
    let worst = |action: &ActionProof| {
        let sides = [&action.active, &action.idle].into_iter().flatten();
        sides.min_by(|a, b| a.margin.get().total_cmp(&b.margin.get())).cloned()
    };
    if let Some((action, worst)) = narrowest.and_then(|action| Some((action, worst(action)?))) {
        let pressed = match worst.state.as_slice() {
            [] => "with nothing pressed".to_owned(),
            pressed => format!("with {} pressed", quoted_list(pressed)),
        };
        let corner = match worst.corner.as_slice() {
            [] => String::new(),
            [first, ..] => format!("; the tolerance that counts most: {first}"),
        };
        let text = format!("narrowest: `{}`, {pressed}, in step `{}`{corner}", action.action, worst.step);
        page.paragraph("  ", &text);
    }
}

/// What the machine measures of each axis at the positions of its stick.
pub fn axes(page: &mut Page, axes: &[AxisProof]) {
    if axes.is_empty() {
        return;
    }
    page.heading("Axes: the time at each position of the stick, over all tolerances");
    let told =
        |seconds: Option<Seconds>| seconds.map_or_else(|| "never".to_owned(), |seconds| seconds.to_string());
    // Where nothing typical is known, the time is one all the same.
    let typical = |time: &AxisTime| match (time.typical, time.most) {
        (None, Some(_)) => "–".to_owned(),
        (typical, _) => told(typical),
    };
    let rows = axes.iter().flat_map(|axis| {
        let (shortest, longest) = axis.reads;
        axis.travel.iter().map(move |time| {
            let is_first = time.position == Position::Low;
            let once = |text: String| if is_first { text } else { String::new() };
            [
                once(axis.axis.to_string()),
                once(axis.leg.to_string()),
                time.position.as_str().to_owned(),
                typical(time),
                told(time.least),
                told(time.most),
                once(format!("{shortest} to {longest}")),
            ]
        })
    });
    let rows: Vec<[String; 7]> = rows.collect();
    page.table(["axis", "contact", "stick", "typical", "least", "most", "can be measured"], &rows);
}

fn holds(page: &mut Page, holds: &[Holds]) {
    if holds.is_empty() {
        return;
    }
    page.heading("Holds for");
    for Holds { legs, text, settle, .. } in holds {
        page.paragraph("  ", &format!("{}: {text}", contacts(legs)));
        page.paragraph("    to settle it: ", settle);
    }
}

/// The facts below `published`: those that are worth a meter.
fn standings(page: &mut Page, standings: &[Standing]) {
    let (published, weak): (Vec<_>, Vec<_>) =
        standings.iter().partition(|standing| standing.evidence == Evidence::Published);
    page.heading("Stands on, the weakest first");
    for Standing { what, legs, evidence, source } in weak {
        let about = if legs.is_empty() { String::new() } else { format!(" ({})", contacts(legs)) };
        page.paragraph(&format!("  {:8}  ", evidence.as_str()), &format!("{what}{about}: {source}"));
    }
    let count = published.len();
    if count > 0 {
        let facts = if count == 1 { "1 fact".to_owned() } else { format!("{count} facts") };
        page.line(format!("  and {facts} from published sources"));
    }
}

/// What the machine reads in each state.
pub fn truth(page: &mut Page, proof: &Proof) {
    if proof.settings.is_empty() {
        truth_of(page, "Truth table", proof);
    }
    for own in &proof.settings {
        truth_of(page, &format!("Truth table {}", own.setting.told()), &own.proof);
    }
}

fn truth_of(page: &mut Page, heading: &str, proof: &Proof) {
    page.heading(heading);
    if let Some(most) = proof.truth_pressed_at_most {
        page.line(format!(
            "  with at most {most} controls pressed at once; the verdict is of every combination"
        ));
    }
    let row = |row: &TruthRow| [joined(&row.pressed), joined(&row.reads)];
    let rows: Vec<[String; 2]> = proof.truth.iter().map(row).collect();
    page.table(["pressed", "the machine reads"], &rows);
    if !proof.axes.is_empty() {
        page.line("  and each axis by its time, whatever is pressed: see above");
    }
}

fn joined<T: ToString>(names: &[T]) -> String {
    if names.is_empty() {
        return "nothing".to_owned();
    }
    names.iter().map(T::to_string).collect::<Vec<_>>().join(", ")
}

/// Returns names in backticks, separated by commas.
pub fn quoted_list<T: std::fmt::Display>(names: &[T]) -> String {
    names.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")
}

fn contacts(legs: &[Leg]) -> String {
    match legs {
        few if few.len() <= MOST_LEGS => quoted_list(few),
        many => format!("{} contacts", many.len()),
    }
}

//! `diagnose`: from what was seen of a lead to what is wrong with it, and to the next thing to try.

pub mod tells;

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_meter::{
    Benches, Case, Controls, Course, Evidence, Explanation, Plan, Powered, Test, TestKind, TypedReading,
    Weights, read_run,
};
use solderside_profile::{Control, Kind, Misread};

use crate::answer::{Reply, Status};
use crate::dialogue::{Dialogue, Order};
use crate::page::Page;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::stands::StandsArgs;
use crate::store;
use crate::subject::SubjectArgs;
use crate::trouble::Trouble;
use crate::wire;
use crate::wishes::WishArgs;

const USAGE: &str = "\
solderside diagnose [OPTIONS] <LEAD> [EVIDENCE]...
       solderside diagnose [OPTIONS] <CONTROLLER> <PORT> [EVIDENCE]...";

const EXAMPLES: &str = "\
Examples:
  solderside diagnose heron-stick-to-plover \"left does nothing\"
  solderside diagnose heron-stick-to-plover \"b also gives up\" \"port.1 - port.6 reads 0.4\"
  solderside diagnose heron-stick-to-plover                        asks, and goes on from answer to answer
  solderside diagnose heron-stick plover \"left does nothing\"      the lead that `design` would make

What can be said:
  port.3 - controller.14 reads 1.2k        the lead alone, unplugged at all ends; bare contacts are the port end's
  3 - 9 holding left reads 450             plugged into the controller, `left` held, the machine unplugged
  diode 3 - controller.14 reads 0.6 V      the diode range, the red probe first
  3 - 7 beeps; 3 - 7 is silent             the buzzer
  left does nothing; left works            a press, and what the machine does
  b also gives up; b gives up              its own actions too, or these only
  up is always on                          with nothing pressed
  nothing works; everything works
  b does nothing at b-fires                how a switch of the lead stood; else in any of its positions
  second-up works with nothing plugged into controller
                                           what was plugged into a lead for two, else in any way; or `up on controller-2`

Exit codes: 0 the lead is most likely good, or nothing was said of it; 1 it is most likely not; 2 the input was wrong, or the lead
harms on paper, or may.";

/// Find what is wrong with a lead, from any mix of readings and symptoms
///
/// Every single fault and every pair of faults is weighed by what was seen. The likeliest are told with what speaks for and
/// against each, how to mend them, and the next measurement, the one that is expected to tell most for each minute.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct DiagnoseArgs {
    /// A lead, or a controller and a port: names, or paths that end in `.toml`
    #[arg(value_name = "NAMES")]
    name: String,

    /// What was seen, a sentence each; without any you are asked
    evidence: Vec<String>,

    #[command(flatten)]
    wishes: WishArgs,

    #[command(flatten)]
    stands: StandsArgs,

    /// A text file with a sentence a line; what you answer when asked is added to it
    #[arg(long, value_name = "FILE")]
    notes: Option<PathBuf>,

    /// The file of a run of the meter test: its readings are evidence too
    #[arg(long, value_name = "FILE")]
    run: Option<PathBuf>,

    /// How often each kind of mistake is met, in place of the judgement that ships
    #[arg(long, value_name = "FILE")]
    weights: Option<PathBuf>,
}

/// What comes of the evidence so far.
pub struct Finding {
    evidence: Vec<Evidence>,
    explanations: Vec<Explanation>,
    contradictions: Vec<solderside_meter::Contradiction>,
    next: Option<Test>,
}

impl DiagnoseArgs {
    pub fn run(&self, shelf: Option<&Path>, dialogue: &mut Dialogue) -> Result<Reply, Trouble> {
        let (subject, seen) = self.subject(shelf)?;
        let shelf = Shelf::open(shelf, &subject.words())?;
        let (assembly, proof) = subject.proved(&shelf)?;
        if assembly.donor.is_some() {
            let help = "read each join with a meter, and try the pad by itself in the machine: it must work as before";
            return Err(Trouble::by_donor("diagnoses", help));
        }
        // To find a fault the lead is pressed in a machine: not one that harms it, or may.
        if let Some(why) = proof.findings.iter().find(|own| own.is_harm() || own.is_open()) {
            let verb = if why.is_harm() { "harms" } else { "may harm or not work" };
            let help = "leave it out of the machine, read all of it with `prove`, and mend it on paper first";
            return Err(Trouble::new(format!("on paper the lead {verb}: {}", why.text), help));
        }
        let unless_said = self.stands.stands(&assembly.settings())?;
        let sets = assembly.sets();
        let benches =
            Benches::of(&sets).expect("a lead is used in one way at least").unless_said(unless_said);
        let weights = match &self.weights {
            None => Weights::shipped(),
            Some(file) => {
                let source = store::read(file).map_err(|complaint| Trouble::file(*complaint))?;
                Weights::read(&source).map_err(|failure| shelf.trouble(failure))?
            }
        };
        let mut said = self.noted()?;
        said.extend(seen.iter().cloned());
        let mut all = self.read_before(&benches)?;
        for text in &said {
            all.push(evidence(text, &benches)?);
        }
        let mut finding = find(&benches, &weights, all)?;
        if seen.is_empty() && self.run.is_none() {
            finding = self.ask(&benches, &weights, finding, dialogue)?;
        }
        let first = finding.explanations.first().filter(|_| !finding.evidence.is_empty());
        let is_good = first.is_none_or(|first| first.either.iter().any(Vec::is_empty));
        let status = if is_good { Status::Sound } else { Status::Found };
        let mut page = Page::in_columns(dialogue.columns());
        if !proof.verdict.is_sound() {
            page.line(report::headline(&assembly, &proof));
            page.line("Not all that it does wrong is a mistake of its builder: `prove` tells what is wrong on paper.");
        }
        tells::finding(&mut page, &benches, &finding);
        let wire = wire::Diagnosis::new(
            &benches,
            &finding.evidence,
            &finding.explanations,
            &finding.contradictions,
            finding.next.as_ref(),
        );
        Ok(Reply::new(status, page.finish(), &wire))
    }

    /// What the words name, and what is left of them: of a controller the word that follows is its port.
    fn subject(&self, shelf: Option<&Path>) -> Result<(SubjectArgs, &[String]), Trouble> {
        let shelf = Shelf::open(shelf, std::slice::from_ref(&self.name))?;
        let is_controller = shelf.library.kind(name_of(&self.name)) == Some(Kind::Controller);
        let mut names = vec![self.name.clone()];
        let seen = match self.evidence.split_first() {
            Some((port, seen)) if is_controller && !port.contains(char::is_whitespace) => {
                names.push(port.clone());
                seen
            }
            _ => self.evidence.as_slice(),
        };
        Ok((SubjectArgs { names, wishes: self.wishes.clone() }, seen))
    }

    /// The readings of a run, which is of one of the ways in which all is plugged in.
    fn read_before(&self, benches: &Benches<'_>) -> Result<Vec<Evidence>, Trouble> {
        let Some(file) = &self.run else { return Ok(Vec::new()) };
        let source = store::read(file).map_err(|complaint| Trouble::file(*complaint))?;
        let mut refused = None;
        for way in benches.full() {
            let bench = benches.at(way);
            let assembly = bench.assembly();
            let run = match read_run(&source, Some(assembly)) {
                Ok(run) => run,
                Err(failure) => {
                    refused.get_or_insert(failure);
                    continue;
                }
            };
            let proof = solderside_proof::prove(assembly)?;
            let plan = Plan::of(bench);
            let mut course = Course::new(bench, &plan, &Controls::of(bench), &Powered::of(assembly, &proof));
            course.take_up(&run);
            return Ok(course.evidence().into_iter().map(|evidence| evidence.at(way, benches)).collect());
        }
        refused.map_or_else(|| Ok(Vec::new()), |failure| Err(failure.into()))
    }

    /// The sentences of the notes; a line that begins with `#` is none.
    fn noted(&self) -> Result<Vec<String>, Trouble> {
        let Some(file) = self.notes.as_ref().filter(|file| store::is_there(file)) else {
            return Ok(Vec::new());
        };
        let source = store::read(file).map_err(|complaint| Trouble::file(*complaint))?;
        let lines = source.text().lines().map(str::trim);
        Ok(lines.filter(|line| !line.is_empty() && !line.starts_with('#')).map(str::to_owned).collect())
    }

    /// Writes the notes anew.
    fn note(&self, evidence: &[Evidence]) -> Result<(), Trouble> {
        let Some(file) = &self.notes else { return Ok(()) };
        let lines = evidence.iter().map(|evidence| format!("{}\n", evidence.text));
        store::write(file, &lines.collect::<String>(), true)
    }

    /// Goes on from answer to answer.
    fn ask(
        &self,
        benches: &Benches<'_>,
        weights: &Weights,
        mut finding: Finding,
        dialogue: &mut Dialogue,
    ) -> Result<Finding, Trouble> {
        dialogue.say(&tells::opening(benches, dialogue.columns()));
        loop {
            dialogue.say(&tells::so_far(benches, &finding, dialogue.columns()));
            let Some(line) = dialogue.hear() else { return Ok(finding) };
            let mut evidence_now = finding.evidence.clone();
            match Order::parse(&line) {
                Some(Order::Leave) => return Ok(finding),
                Some(Order::Help) => {
                    dialogue.say(&tells::help(benches, dialogue.columns()));
                    continue;
                }
                Some(Order::Back) => _ = evidence_now.pop(),
                None if line.is_empty() => continue,
                None => match evidence(&answer(&line, finding.next.as_ref(), benches), benches) {
                    Ok(evidence) => evidence_now.push(evidence),
                    Err(trouble) => {
                        dialogue.say(&trouble.render());
                        continue;
                    }
                },
            }
            self.note(&evidence_now)?;
            finding = find(benches, weights, evidence_now)?;
        }
    }
}

/// A bare answer to the test that was asked for, as a whole sentence; anything else as it is.
fn answer(line: &str, next: Option<&Test>, benches: &Benches<'_>) -> String {
    let Some(test) = next else { return line.to_owned() };
    let said = test.said(benches);
    match &test.kind {
        TestKind::Measure(measurement) if is_bare_reading(line) => {
            format!("{measurement}{said} reads {line}")
        }
        TestKind::Press(control) => {
            let first = line.split(' ').next().unwrap_or("");
            let is_verb = matches!(first, "works" | "does" | "gives" | "also" | "is" | "doesn't");
            let controls = benches.at(test.at).assembly().joined_controls();
            let is_control = controls.iter().map(Control::as_str).any(|own| own == first);
            if is_verb && !is_control { format!("{control} {line}{said}") } else { line.to_owned() }
        }
        TestKind::Measure(_) => line.to_owned(),
    }
}

/// Whether a line is a reading, or an attempt at one: a number and no sentence.
fn is_bare_reading(line: &str) -> bool {
    let is_number = line.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    let is_sentence = ["reads", " - ", "beeps", "silent", "–"].iter().any(|word| line.contains(word));
    TypedReading::parse(line).is_ok() || (is_number && !is_sentence)
}

fn evidence(text: &str, benches: &Benches<'_>) -> Result<Evidence, Trouble> {
    Evidence::parse(text, benches).map_err(|error| {
        let Misread { headline, help } = Misread::from_sentence(&error.to_string());
        Trouble::new(headline, help)
    })
}

fn find(benches: &Benches<'_>, weights: &Weights, evidence: Vec<Evidence>) -> Result<Finding, Trouble> {
    let mut case = Case::new(benches.clone(), weights);
    case.take(evidence)?;
    let explanations = case.explanations()?;
    let contradictions = case.contradictions()?;
    let next = case.next_test()?;
    Ok(Finding { evidence: case.evidence().to_vec(), explanations, contradictions, next })
}

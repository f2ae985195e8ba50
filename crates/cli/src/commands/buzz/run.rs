//! A run of the meter test: what is asked, typed and kept.

use std::path::Path;

use solderside_meter::{
    Case, Course, Explanation, Given, Judged, Outcome, ParseReadingError, Part, Setting, Test, Weights,
    read_run, write_run,
};
use solderside_profile::{Complaint, quoted};

use super::{MeterTest, says};
use crate::answer::{Reply, Status};
use crate::dialogue::{Dialogue, Order};
use crate::store;
use crate::trouble::Trouble;
use crate::wire::BuzzRun;

/// What is said when the lead was soldered anew.
const MENDED: &str = "mended";

/// Asks for one reading after the other, until all are taken or the builder leaves; a file that is there is taken up.
pub fn run(test: &MeterTest<'_>, file: &Path, dialogue: &mut Dialogue) -> Result<Reply, Trouble> {
    let mut course = Course::new(test.bench, &test.plan, &test.controls, &test.powered);
    if store::is_there(file) {
        let source = store::read(file).map_err(|complaint| no_file(*complaint))?;
        // An empty file is one that nothing was written to yet.
        if !source.text().trim().is_empty() {
            course.take_up(&read_run(&source, Some(test.bench.assembly()))?);
        }
    }
    let mut run = Run { test, course, file, refused: Vec::new() };
    dialogue.say(&says::opening(test, &run.course, dialogue.columns()));
    run.ask(dialogue)?;
    let status = match run.course.outcome() {
        Outcome::Wrong(_) => Status::Found,
        Outcome::Open if run.course.stopped().is_some() => Status::Found,
        Outcome::Open | Outcome::Passed => Status::Sound,
    };
    if run.course.outcome() == Outcome::Open {
        dialogue.say(&says::left(&run.course, file, dialogue.columns()));
    }
    let Diagnosed { explanations, next } = diagnosed(test, &run.course)?;
    Ok(Reply::new(status, "", &BuzzRun::new(test, file, &run.course, (explanations, next), run.refused)))
}

/// Why a run cannot be read: of what is no file, such as a folder, nothing is mended by another name of it.
fn no_file(mut complaint: Complaint) -> Trouble {
    if complaint.headline.starts_with("this is a folder") {
        let path = complaint.place.file.path().trim_end_matches('/');
        complaint.help = format!("name a file for the run, such as `{path}/run.buzz`");
    }
    Trouble::file(complaint)
}

/// What is wrong, by all answers; nothing while none is wrong.
fn diagnosed(test: &MeterTest<'_>, course: &Course<'_>) -> Result<Diagnosed, Trouble> {
    if !matches!(course.outcome(), Outcome::Wrong(_)) {
        return Ok(Diagnosed::default());
    }
    let mut case = Case::new(test.bench, &Weights::shipped());
    case.take(course.evidence())?;
    Ok(Diagnosed { explanations: case.explanations()?, next: case.next_test()? })
}

/// What all answers together point to.
#[derive(Debug, Default)]
pub struct Diagnosed {
    pub explanations: Vec<Explanation>,
    pub next: Option<Test>,
}

struct Run<'a> {
    test: &'a MeterTest<'a>,
    course: Course<'a>,
    file: &'a Path,
    /// What was typed and is no answer, and why.
    refused: Vec<(String, String)>,
}

impl Run<'_> {
    fn ask(&mut self, dialogue: &mut Dialogue) -> Result<(), Trouble> {
        let mut part: Option<Part> = None;
        loop {
            let asked = self.course.next();
            if let Some(step) = asked.and_then(|at| self.course.steps().get(at))
                && part != Some(step.part)
            {
                part = Some(step.part);
                dialogue.say(&says::part(self.test, step.part, dialogue.columns()));
            }
            if let Some(at) = asked {
                dialogue.say(&says::question(&self.course, at, dialogue.columns()));
            } else {
                let found = diagnosed(self.test, &self.course)?;
                dialogue.say(&says::ending(self.test, &self.course, &found, dialogue.columns()));
            }
            if self.course.outcome() == Outcome::Passed {
                return Ok(());
            }
            let Some(line) = dialogue.hear() else { return Ok(()) };
            match (Order::parse(&line), asked) {
                (Some(Order::Leave), _) => return Ok(()),
                (Some(Order::Help), _) => {
                    dialogue.say(&says::help(&self.course, asked, dialogue.columns()));
                }
                (Some(Order::Back), _) => {
                    let taken = self.course.back();
                    self.keep()?;
                    dialogue.say(&says::taken_back(&self.course, taken, dialogue.columns()));
                }
                (None, _) if line.eq_ignore_ascii_case(MENDED) => {
                    self.course.begin_anew();
                    self.keep()?;
                    part = None;
                    dialogue.say(&says::begun_anew(dialogue.columns()));
                }
                (None, Some(at)) => self.take(at, line, dialogue)?,
                (None, None) => {
                    let why = "all is read: type `mended`, `back` or `leave`".to_owned();
                    self.refuse(line, why, dialogue);
                }
            }
        }
    }

    fn take(&mut self, at: usize, line: String, dialogue: &mut Dialogue) -> Result<(), Trouble> {
        let given = match Given::parse(&line) {
            Ok(given) => given,
            Err(error) => {
                let probed = self.course.steps().get(at).and_then(|step| step.question.probed());
                let asks_volts = probed.is_some_and(|probed| probed.setting == Setting::Volts);
                let why = match (&error, Order::near(&line, &[MENDED, "right", "done"])) {
                    // It speaks of ohms, as a bare number is.
                    (ParseReadingError::Negative { .. }, _) if asks_volts => {
                        "write the volts with their unit, such as `-4.9 V`".to_owned()
                    }
                    (ParseReadingError::Unknown { .. }, Some(near)) => {
                        format!("{} is no reading; write `{near}`, or what the meter shows", quoted(&line))
                    }
                    (_, _) => error.to_string(),
                };
                self.refuse(line, why, dialogue);
                return Ok(());
            }
        };
        let was_stopped = self.course.stopped() == Some(at);
        match self.course.answer(at, given) {
            Ok(judged) => {
                self.keep()?;
                dialogue.say(&says::learned(&self.course, at, judged, dialogue.columns()));
                if was_stopped && judged == Judged::Right {
                    dialogue.say(&says::asked_again(dialogue.columns()));
                }
            }
            Err(refused) => self.refuse(line, refused.help, dialogue),
        }
        Ok(())
    }

    fn refuse(&mut self, line: String, why: String, dialogue: &mut Dialogue) {
        dialogue.say(&says::not_taken(&why, dialogue.columns()));
        self.refused.push((line, why));
    }

    /// Keeps what was read so far: whoever pulls the plug loses nothing.
    fn keep(&self) -> Result<(), Trouble> {
        store::write(self.file, &write_run(&self.course.run()), true)
    }
}

//! The course of a run: what to ask next, what an answer means, when to stop.

use solderside_lead::EndId;
use solderside_profile::Control;
use solderside_quantity::Volts;

use crate::bench::Bench;
use crate::ohms_text::TypedReading;
use crate::plan::{Controls, Danger, Plan};
use crate::powered::{Powered, STEADY};
use crate::reading::{BUZZER, Measurement, Span};

use super::{BuzzRun, Deed, Given, Probed, Question, Record, Setting};

/// A part of the test.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The lead alone.
    Lead,
    /// The controller plugged in, the machine not.
    Controller,
    /// The machine switched on, the controller out.
    Power,
}

/// What a good lead gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Expected {
    /// What the meter shows, in ohms or volts by the setting.
    Shown(Span),
    /// A voltage from one to the other.
    Between(Volts, Volts),
    /// At least a voltage.
    Above(Volts),
    /// At most a voltage, of either sign.
    Below(Volts),
    /// As in the reading before, but for so much either way.
    AsBefore(Volts),
    /// Nothing of the meter: something is done.
    Done,
}

/// One question of a run with what belongs to it.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseStep {
    /// The part of the test.
    pub part: Part,
    /// What is asked, or to be done.
    pub question: Question,
    /// What a good lead gives.
    pub expected: Expected,
    /// Its number in the plan of the lead alone, counted from 0.
    pub of_plan: Option<usize>,
    /// The switch that is read.
    pub control: Option<(EndId, Control)>,
    /// Whether a wrong answer is a danger to the machine: then nothing else is asked.
    pub is_danger: bool,
    /// Whether the buzzer tells as much.
    pub buzzer_will_do: bool,
}

impl CourseStep {
    /// Whether it is a reading of the meter; else something is to be done.
    pub const fn is_reading(&self) -> bool {
        self.question.probed().is_some()
    }
}

/// What an answer comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judged {
    /// As a good lead reads.
    Right,
    /// Not so.
    Wrong,
    /// Not so, and it could harm.
    Stop,
    /// More than anything of this machine can be.
    StopTooMuch,
    /// Below nought where a supply belongs: it is there the wrong way round.
    StopReversed,
}

/// Why an answer is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// What to do instead.
    pub help: String,
}

/// How a run stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// Some questions are open.
    Open,
    /// All is right.
    Passed,
    /// These steps are wrong.
    Wrong(Vec<usize>),
}

/// A run, as far as it went.
#[derive(Debug, Clone)]
pub struct Course<'a> {
    bench: &'a Bench<'a>,
    plan: &'a Plan,
    steps: Vec<CourseStep>,
    /// The steps that are answered, in the order of the answers.
    answers: Vec<(usize, Given)>,
    /// What a file says of questions that are none of this test's.
    strays: Vec<Record>,
    most_volts: Volts,
}

impl<'a> Course<'a> {
    /// A run that begins.
    pub fn new(bench: &'a Bench<'a>, plan: &'a Plan, controls: &Controls, powered: &Powered) -> Self {
        let steps = lead_alone(plan).chain(with_controller(controls)).chain(with_power(powered)).collect();
        let most_volts = Powered::most_volts(bench.assembly());
        Self { bench, plan, steps, answers: Vec::new(), strays: Vec::new(), most_volts }
    }

    /// Takes up what a file says was answered.
    pub fn take_up(&mut self, run: &BuzzRun) {
        self.begin_anew();
        for record in &run.records {
            // Controls that are read at the same contacts ask the same when nothing is held: the first that is open.
            let is_open = |at: &usize| self.answers.iter().all(|(own, _)| own != at);
            let is_asked = |at: &usize| self.steps[*at].question == record.question;
            let at = (0..self.steps.len()).find(|at| is_asked(at) && is_open(at));
            match at.filter(|at| self.admits(*at, record.given).is_ok()) {
                Some(at) => self.answers.push((at, record.given)),
                None => self.strays.push(record.clone()),
            }
        }
    }

    /// What a file keeps.
    pub fn run(&self) -> BuzzRun {
        let answered = self.answers.iter().filter_map(|(at, given)| {
            Some(Record { question: self.steps.get(*at)?.question.clone(), given: *given })
        });
        let assembly = self.bench.assembly();
        BuzzRun {
            lead: assembly.lead.name.clone(),
            fingerprint: assembly.fingerprint(),
            records: self.strays.iter().cloned().chain(answered).collect(),
        }
    }

    /// All steps.
    pub fn steps(&self) -> &[CourseStep] {
        &self.steps
    }

    /// The lead on the bench.
    pub const fn bench(&self) -> &'a Bench<'a> {
        self.bench
    }

    /// The plan of the lead alone.
    pub const fn plan(&self) -> &'a Plan {
        self.plan
    }

    /// The steps that are answered, in the order of the answers.
    pub fn answers(&self) -> impl Iterator<Item = usize> {
        self.answers.iter().map(|(at, _)| *at)
    }

    /// How many steps are answered.
    pub const fn answered(&self) -> usize {
        self.answers.len()
    }

    /// How many readings of a file belong to no step of this test.
    pub const fn strays(&self) -> usize {
        self.strays.len()
    }

    /// What was answered to a step.
    pub fn given(&self, at: usize) -> Option<Given> {
        self.answers.iter().find(|(own, _)| *own == at).map(|(_, given)| *given)
    }

    /// The step to ask now: a dangerous one that is wrong until it is right; none where the run has come to an end.
    pub fn next(&self) -> Option<usize> {
        if let Some(stopped) = self.stopped() {
            // What is wrong under power is mended and tested from the beginning.
            return (self.steps.get(stopped)?.part != Part::Power).then_some(stopped);
        }
        for part in [Part::Lead, Part::Controller, Part::Power] {
            let own = || (0..).zip(&self.steps).filter(move |(_, step)| step.part == part).map(|(at, _)| at);
            if let Some(open) = own().find(|at| self.given(*at).is_none()) {
                return Some(open);
            }
            if own().any(|at| self.judged(at) != Some(Judged::Right)) {
                return None;
            }
        }
        None
    }

    /// The dangerous step that is wrong, if there is one.
    pub fn stopped(&self) -> Option<usize> {
        let is_stop = |at: &usize| {
            matches!(self.judged(*at), Some(Judged::Stop | Judged::StopTooMuch | Judged::StopReversed))
        };
        self.answers.iter().map(|(at, _)| *at).find(is_stop)
    }

    /// Takes an answer.
    ///
    /// A right one to a step that had stopped the run means that something was mended: all that was read before is asked
    /// again.
    ///
    /// # Errors
    /// Says why an answer is none to this step, and what to answer.
    pub fn answer(&mut self, at: usize, given: Given) -> Result<Judged, Refused> {
        self.admits(at, given)?;
        let was_stopped = self.stopped() == Some(at);
        self.answers.retain(|(own, _)| *own != at);
        self.answers.push((at, given));
        let judged = self.judged(at).unwrap_or(Judged::Wrong);
        if was_stopped && judged == Judged::Right {
            self.answers.retain(|(own, _)| *own == at);
        }
        Ok(judged)
    }

    /// Takes the last answer back; returns its step.
    pub fn back(&mut self) -> Option<usize> {
        self.answers.pop().map(|(at, _)| at)
    }

    /// Forgets all answers: what has been soldered since is another lead.
    pub fn begin_anew(&mut self) {
        self.answers.clear();
        self.strays.clear();
    }

    /// How it stands.
    pub fn outcome(&self) -> Outcome {
        let wrong: Vec<usize> = (0..self.steps.len())
            .filter(|at| self.judged(*at).is_some_and(|judged| judged != Judged::Right))
            .collect();
        match (self.next(), wrong.is_empty()) {
            (Some(_), _) => Outcome::Open,
            (None, true) => Outcome::Passed,
            (None, false) => Outcome::Wrong(wrong),
        }
    }

    /// What the answer to a step comes to; none if there is none.
    pub fn judged(&self, at: usize) -> Option<Judged> {
        let (step, given) = (self.steps.get(at)?, self.given(at)?);
        let right = |is_right: bool| {
            if is_right {
                Judged::Right
            } else if step.is_danger {
                Judged::Stop
            } else {
                Judged::Wrong
            }
        };
        let reading = match given {
            Given::Right | Given::Done => return Some(Judged::Right),
            Given::Reading(reading) => reading,
        };
        let volts = match (reading, step.expected) {
            (_, Expected::Shown(span)) => return Some(right(holds(span, reading))),
            (TypedReading::Volts(volts), _) => volts,
            (TypedReading::Open | TypedReading::Ohms(_) | TypedReading::Beep | TypedReading::NoBeep, _) => {
                return Some(right(false));
            }
        };
        if is_too_much(volts, self.most_volts) {
            return Some(Judged::StopTooMuch);
        }
        Some(match step.expected {
            Expected::Between(..) | Expected::Above(_) | Expected::AsBefore(_) if volts < -SLACK => {
                Judged::StopReversed
            }
            // What parts on the way leave of a supply may be little, and is more than a meter is off.
            Expected::Between(low, _) if low <= Volts::ZERO && volts <= SLACK => right(false),
            Expected::Between(low, high) => right(low - slack(low) <= volts && volts <= high + slack(high)),
            Expected::Above(low) => right(low - slack(low) <= volts),
            Expected::Below(high) => right(volts <= high + slack(high) && -volts <= high + slack(high)),
            Expected::AsBefore(within) => {
                let before = (0..at).rev().find(|before| self.steps[*before].is_reading());
                match before.and_then(|before| self.given(before)) {
                    Some(Given::Reading(TypedReading::Volts(before))) => {
                        right(volts - before <= within && before - volts <= within)
                    }
                    Some(Given::Reading(_) | Given::Right | Given::Done) | None => right(false),
                }
            }
            Expected::Shown(_) | Expected::Done => right(false),
        })
    }

    /// Whether an answer is one to a step.
    fn admits(&self, at: usize, given: Given) -> Result<(), Refused> {
        let refuse = |help: &str| Err(Refused { help: help.to_owned() });
        let Some(step) = self.steps.get(at) else { return refuse("there is no such step") };
        match (&step.question, given) {
            (Question::Reading(probed), _) => is_of(probed.setting, given)?,
            (Question::Deed(_), Given::Done) => return Ok(()),
            (Question::Deed(_), Given::Right | Given::Reading(_)) => {
                return refuse("nothing is read here: write `done` when it is done, or `leave`");
            }
        }
        match given {
            Given::Right if step.is_danger => refuse(
                "a reading on which a machine depends is written down as it is: write what the meter shows",
            ),
            Given::Reading(TypedReading::Beep | TypedReading::NoBeep) if !step.buzzer_will_do => refuse(
                "the buzzer cannot tell right from wrong here: turn the meter to ohms and write what it shows",
            ),
            Given::Right | Given::Done | Given::Reading(_) => Ok(()),
        }
    }
}

/// Whether an answer may be one on this setting of the meter.
pub(super) fn is_of(setting: Setting, given: Given) -> Result<(), Refused> {
    let refuse = |help: &str| Err(Refused { help: help.to_owned() });
    let reading = match given {
        Given::Reading(reading) => reading,
        Given::Right => return Ok(()),
        Given::Done => return refuse("write what the meter shows: `done` is for what is no reading"),
    };
    match (setting, reading) {
        (Setting::Ohms, TypedReading::Volts(_)) => refuse(
            "a voltage in a lead that should be unplugged: see that it is, turn the meter to ohms, and measure again",
        ),
        (Setting::Diode, TypedReading::Ohms(_)) => {
            refuse("write the volts with their unit, such as `0.62 V` or `620 mV`, or `open`")
        }
        (Setting::Diode, TypedReading::Beep | TypedReading::NoBeep) => {
            refuse("turn the meter to the diode range and write what it shows, such as `0.62 V` or `open`")
        }
        (Setting::Volts, TypedReading::Ohms(_) | TypedReading::Open) => {
            refuse("write the volts with their unit, such as `4.9 V`")
        }
        (Setting::Volts, TypedReading::Beep | TypedReading::NoBeep) => {
            refuse("never the buzzer on a powered machine: turn the meter to DC volts")
        }
        (
            Setting::Ohms,
            TypedReading::Open | TypedReading::Ohms(_) | TypedReading::Beep | TypedReading::NoBeep,
        )
        | (Setting::Diode, TypedReading::Volts(_) | TypedReading::Open)
        | (Setting::Volts, TypedReading::Volts(_)) => Ok(()),
    }
}

/// Whether a reading lies in what the meter may show.
pub(super) fn holds(span: Span, reading: TypedReading) -> bool {
    let [surely, perhaps] = BUZZER.value;
    match reading {
        TypedReading::Open => span.holds(f64::INFINITY),
        // A meter that shows megohms where another shows nothing is as right.
        TypedReading::Ohms(ohms) if ohms >= crate::reading::OPEN_FROM => span.holds(f64::INFINITY),
        TypedReading::Ohms(ohms) => span.holds(ohms.get()),
        TypedReading::Volts(volts) => span.holds(volts.get()),
        TypedReading::Beep => span.low() <= perhaps,
        TypedReading::NoBeep => span.high() >= surely,
    }
}

/// What a hand-held meter's DC range may be off: 1 % of the reading and two digits of 10 mV (from memory).
const SLACK: Volts = Volts::literal(0.02);

fn slack(of: Volts) -> Volts {
    SLACK + of * 0.01
}

/// A fifth above the most that a port has is no tolerance any more. (Judgement.)
fn is_too_much(volts: Volts, most: Volts) -> bool {
    let most = most * 1.2 + SLACK;
    volts > most || -volts > most
}

fn lead_alone(plan: &Plan) -> impl Iterator<Item = CourseStep> {
    plan.steps.iter().enumerate().map(|(at, step)| CourseStep {
        part: Part::Lead,
        question: Question::Reading(Probed::from(&step.measurement)),
        expected: Expected::Shown(step.good),
        of_plan: Some(at),
        control: None,
        is_danger: step.danger != Danger::Dead,
        buzzer_will_do: step.buzzer_will_do,
    })
}

/// Each switch held, then let go: the probes stay where they are.
fn with_controller(controls: &Controls) -> impl Iterator<Item = CourseStep> {
    controls.steps.iter().flat_map(|step| {
        let question = |measurement: &Measurement, span: Span| CourseStep {
            part: Part::Controller,
            question: Question::Reading(Probed::from(measurement)),
            expected: Expected::Shown(span),
            of_plan: None,
            control: Some((step.end, step.control.clone())),
            is_danger: false,
            buzzer_will_do: false,
        };
        [question(&step.holding(), step.held), question(&step.measurement, step.released)]
    })
}

/// The lead goes into the machine before anything is read there, and each chip into its socket once its supply was right at it:
/// with all sockets empty at first, as in the guide.
fn with_power(powered: &Powered) -> impl Iterator<Item = CourseStep> {
    let bare = |question, expected, is_danger| CourseStep {
        part: Part::Power,
        question,
        expected,
        of_plan: None,
        control: None,
        is_danger,
        buzzer_will_do: false,
    };
    let deed = move |deed| bare(Question::Deed(deed), Expected::Done, false);
    let probed = |red, black, across| Probed {
        setting: Setting::Volts,
        red,
        black,
        held: None,
        across,
        chip_in: false,
    };
    let step = move |red, black: Option<_>, across, expected| {
        Some(bare(Question::Reading(probed(red, black?, across)), expected, true))
    };
    let chips = powered.chips.iter().flat_map(move |chip| {
        let (low, high) = match chip.fed {
            Some((volts, true)) => (volts.low(), volts.high()),
            Some((volts, false)) => (chip.legs.chip.sheet().supply.value.low(), volts.high()),
            None => (chip.legs.chip.sheet().supply.value.low(), chip.legs.chip.sheet().supply.value.high()),
        };
        let home = Some(chip.legs.ground);
        let again = Probed { chip_in: true, ..probed(chip.legs.supply, chip.legs.ground, false) };
        [
            step(chip.legs.supply, home, true, Expected::Between(low, high)),
            step(chip.legs.supply, home, false, Expected::AsBefore(STEADY)),
            Some(deed(Deed::PressIn(chip.legs.part.id()))),
            Some(bare(Question::Reading(again), Expected::AsBefore(STEADY), true)),
        ]
    });
    let supplies = powered.supplies.iter().flat_map(move |supply| {
        let least = supply.needs.unwrap_or(Volts::ZERO);
        let low = if supply.is_wire { supply.volts.low() } else { least };
        [
            step(supply.leg, supply.home, true, Expected::Between(low, supply.volts.high())),
            step(supply.leg, supply.home, false, Expected::AsBefore(STEADY)).filter(|_| supply.is_wire),
        ]
    });
    let plugged = powered.plugged_in.iter();
    let plugged = plugged.map(move |own| step(own.leg, own.home, false, Expected::Above(own.more_than)));
    let lines = powered.lines.iter();
    let lines = lines.map(move |line| step(line.leg, line.home, true, Expected::Below(line.at_most?)));
    let read: Vec<CourseStep> = chips.chain(supplies).chain(plugged).chain(lines).flatten().collect();
    let first = (!read.is_empty()).then(|| deed(Deed::PlugIn));
    first.into_iter().chain(read)
}

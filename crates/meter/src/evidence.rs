//! What a person says of a lead that does not do what it should: readings and symptoms in plain sentences.
//!
//! | said | means |
//! | --- | --- |
//! | `port.3 - controller.14 reads 1.2k` | a reading of the lead alone, unplugged at all ends |
//! | `3 - 7 reads open` | bare contacts are the port end's |
//! | `port.3 - port.9 holding left reads 450` | the controller is plugged in, and held |
//! | `diode port.3 - controller.14 reads 0.6 V` | the diode range, the red probe first |
//! | `3 - 7 beeps`, `3 - 7 is silent` | the buzzer |
//! | `left does nothing` | pressing it does no action |
//! | `left works` | pressing it does its own actions and no other |
//! | `b also gives up` | pressing it does its own actions and these too |
//! | `b gives up` | pressing it does these and no other |
//! | `up is always on` | the machine takes it for active with nothing pressed |
//! | `nothing works`, `everything works` | of all controls, and so with all plugged in |
//! | `up on controller-2 works` | a control by its end: the same as `second-up works` |
//!
//! Of a lead with a switch, or with two controller ends, a sentence may say how the lead stood: `b does nothing at b-fires`,
//! `left works with nothing plugged into controller-2`. One that does not say it is of any of the ways.

use solderside_lead::{EndId, Leg, ParseLegError, SECOND, Stand, State};
use solderside_profile::{Action, Control, Controller, listed, nearest, quoted};
use solderside_trade::ContactId;

use crate::bench::Bench;
use crate::benches::Benches;
use crate::diagnosis::{Clue, Evidence, Way};
use crate::ohms_text::{ParseReadingError, TypedReading};
use crate::reading::{Measurement, Range};

/// Says why a sentence is no evidence, and what to write.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ParseEvidenceError {
    /// It is no sentence that is known.
    #[error(
        "{} is neither a reading nor a symptom; write such as `port.3 - controller.14 reads 1.2k`, `left does nothing`, `b \
         also gives up`, `up is always on`",
        quoted(.0)
    )]
    Form(String),
    /// The verb is nearly one.
    #[error("{} is no verb here; write `{near}`", quoted(.found))]
    Verb {
        /// What stands there.
        found: String,
        /// What was probably meant.
        near: &'static str,
    },
    /// A control that the controller lacks or that the lead does not use.
    #[error("{} is no control of this lead; {}", quoted(.found), .help)]
    Control {
        /// What stands there.
        found: String,
        /// What to write.
        help: String,
    },
    /// A control of the controller to which nothing of the lead goes.
    #[error("the lead does not carry {}: that it does nothing is no fault; what it carries is {}", quoted(.found), .carried)]
    NotCarried {
        /// What stands there.
        found: String,
        /// The controls that the lead carries.
        carried: String,
    },
    /// A control of what is not plugged in, as the sentence has it.
    #[error("{} is not plugged in then; leave out what is said of the ends, here or with `--stands`, or name a control of what is", quoted(.0))]
    NotPlugged(String),
    /// A position that no switch of the lead has.
    #[error("no switch of the lead stands at {}; {}", quoted(.found), .help)]
    Position {
        /// What stands there.
        found: String,
        /// What to write.
        help: String,
    },
    /// Two positions of one switch.
    #[error("a lead stands in one way at a time; say what was seen in each, a sentence each")]
    TwoPositions,
    /// An action that the port does not listen for.
    #[error("{} is no action of this port; {}", quoted(.found), .help)]
    Action {
        /// What stands there.
        found: String,
        /// What to write.
        help: String,
    },
    /// A place that cannot be read.
    #[error(transparent)]
    Leg(#[from] ParseLegError),
    /// A place that the lead has not.
    #[error("this lead has no place `{leg}`; {help}")]
    NoPlace {
        /// What stands there.
        leg: Leg,
        /// What to write.
        help: String,
    },
    /// Both probes are at one place.
    #[error("both probes are at `{0}`: that reads the probes alone, which are subtracted first")]
    OnePlace(Leg),
    /// The reading cannot be read.
    #[error(transparent)]
    Reading(#[from] ParseReadingError),
    /// A voltage at a lead that nothing feeds.
    #[error(
        "{0} at an unplugged lead cannot be: STOP, something feeds it; unplug it at both ends, then measure again (on the diode \
         range nothing above 3.2 V is shown)"
    )]
    Live(String),
    /// A resistance is said of the diode range.
    #[error("the diode range shows volts: write such as `0.6 V`, or `open`")]
    NotVolts,
}

/// The sentences of symptoms, by their verbs; the longer ones first.
const VERBS: [(&str, Verb); 14] = [
    ("also gives", Verb::AlsoGives),
    ("does nothing", Verb::Nothing),
    ("did nothing", Verb::Nothing),
    ("is dead", Verb::Nothing),
    ("does not work", Verb::Nothing),
    ("doesn't work", Verb::Nothing),
    ("is always on", Verb::Stuck),
    ("is stuck", Verb::Stuck),
    ("gives", Verb::Gives),
    ("works", Verb::Works),
    ("reads", Verb::Reads),
    ("beeps", Verb::Beeps),
    ("is silent", Verb::Silent),
    ("does not beep", Verb::Silent),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Verb {
    AlsoGives,
    Nothing,
    Stuck,
    Gives,
    Works,
    Reads,
    Beeps,
    Silent,
}

impl Evidence {
    /// Reads a sentence, as the table at the head of this file has it, in capitals too.
    ///
    /// # Errors
    /// Says what is wrong, and what to write instead.
    pub fn parse(text: &str, benches: &Benches<'_>) -> Result<Self, ParseEvidenceError> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let error = match Self::read(text.clone(), benches) {
            Ok(read) => return Ok(read),
            Err(error) => error,
        };
        let small = in_small_letters(&text);
        if small == text {
            return Err(error);
        }
        match Self::read(small, benches) {
            Ok(read) if !read.names_letters() => Ok(Self { text, ..read }),
            // Contacts may be letters, and `A` is not `a`.
            Ok(_) => Err(error),
            Err(own) => {
                let is_of_a_place =
                    matches!(error, ParseEvidenceError::NoPlace { .. } | ParseEvidenceError::Leg(_));
                Err(if is_of_a_place { error } else { own })
            }
        }
    }

    /// Reads a sentence as it is written.
    fn read(text: String, benches: &Benches<'_>) -> Result<Self, ParseEvidenceError> {
        let (sentence, said) = stands(&text.replace('`', ""), benches)?;
        let parts = split(&sentence)?;
        let mut meant = benches.meant(&said);
        // Who says it of all controls had them all.
        if is_of_all(parts) && meant.iter().any(|way| benches.setting(*way).is_full()) {
            meant.retain(|way| benches.setting(*way).is_full());
        }
        let mut ways: Vec<Way> = Vec::new();
        let mut refused: Vec<(usize, ParseEvidenceError)> = Vec::new();
        for way in &meant {
            match clues(parts, benches.at(*way)) {
                Ok(clues) => ways.push(Way { at: *way, clues }),
                Err(error) => refused.push((*way, error)),
            }
        }
        if ways.is_empty() {
            // Where all is plugged in, all controls are named that there are.
            let is_full = |(way, _): &(usize, ParseEvidenceError)| benches.setting(*way).is_full();
            let place = refused.iter().position(is_full).unwrap_or(0);
            let (_, error) = refused.into_iter().nth(place).ok_or(ParseEvidenceError::TwoPositions)?;
            if let ParseEvidenceError::Control { found, .. } = &error
                && benches.all().any(|way| clues(parts, benches.at(way)).is_ok())
            {
                return Err(ParseEvidenceError::NotPlugged(found.clone()));
            }
            return Err(error);
        }
        Ok(Self { text, ways }.settled(benches))
    }

    /// Whether it is read at a contact that is a letter.
    fn names_letters(&self) -> bool {
        self.ways.iter().flat_map(|way| &way.clues).any(|clue| match clue {
            Clue::Reading(measurement, _) | Clue::Buzzer(measurement, _) => {
                [measurement.red, measurement.black]
                    .iter()
                    .any(|leg| matches!(leg.contact, ContactId::Letter(_)))
            }
            Clue::Deed(..) => false,
        })
    }

    /// The same, found while the lead stood in another way, by its number.
    #[must_use]
    pub fn at(self, way: usize, benches: &Benches<'_>) -> Self {
        let ways = self.ways.into_iter().map(|own| Way { at: way, ..own }).collect();
        Self { ways, ..self }.settled(benches)
    }

    /// The same, each way once: what is plugged in does not count while the lead is alone.
    fn settled(mut self, benches: &Benches<'_>) -> Self {
        let is_alone = |clue: &Clue| match clue {
            Clue::Reading(measurement, _) | Clue::Buzzer(measurement, _) => measurement.held.is_none(),
            Clue::Deed(..) => false,
        };
        for way in self.ways.iter_mut().filter(|way| way.clues.iter().all(is_alone)) {
            way.at = benches.alone_as(way.at);
        }
        self.ways.dedup();
        self
    }
}

/// A sentence in small letters, but for what the meter shows: `M` is not `m`.
fn in_small_letters(text: &str) -> String {
    let mut small = text.to_ascii_lowercase();
    if let Some(at) = small.find(" reads ") {
        small.replace_range(at + " reads ".len().., text.get(at + " reads ".len()..).unwrap_or_default());
    }
    small
}

/// Takes out of a sentence what it says of how the lead stood.
fn stands(text: &str, benches: &Benches<'_>) -> Result<(String, Vec<Stand>), ParseEvidenceError> {
    let known = benches.stands();
    let mut sentence = format!(" {} ", text.replace(", ", " , ").replace(": ", " , "));
    let mut said = Vec::new();
    for stand in &known {
        let told = stand.told().replace('`', "");
        let short = if stand.is_of_switch() { format!("at {}", stand.position) } else { told.clone() };
        let phrases = [format!("with {told}"), format!("and {told}"), told, short];
        for phrase in phrases.iter().map(|phrase| format!(" {phrase} ")) {
            while let Some(at) = sentence.find(&phrase) {
                sentence.replace_range(at..at + phrase.len(), " ");
                said.push(stand.clone());
            }
        }
    }
    if let Some((_, rest)) = sentence.split_once(" at ") {
        let found = rest.split(' ').next().unwrap_or_default().to_owned();
        let positions =
            || known.iter().filter(|stand| stand.is_of_switch()).map(|stand| stand.position.as_str());
        let help = match positions().next() {
            None => match known.first() {
                Some(stand) => format!("write such as `with {}`", stand.told().replace('`', "")),
                None => "it has no switch: leave that out".to_owned(),
            },
            Some(_) => help(&found, positions),
        };
        return Err(ParseEvidenceError::Position { found, help });
    }
    Ok((sentence.trim_matches([' ', ',']).replace(" , ", ", "), said))
}

/// Whether a sentence is of all controls.
fn is_of_all((subject, verb, _): (&str, Verb, &str)) -> bool {
    matches!(verb, Verb::Works | Verb::Nothing) && matches!(subject, "everything" | "nothing" | "all" | "it")
}

/// What a sentence says if the lead stood in one way.
fn clues(
    (subject, verb, object): (&str, Verb, &str),
    bench: &Bench<'_>,
) -> Result<Vec<Clue>, ParseEvidenceError> {
    Ok(match verb {
        Verb::Reads => vec![reading(subject, object, bench)?],
        Verb::Beeps | Verb::Silent => {
            vec![Clue::Buzzer(measurement(subject, Range::Ohms, bench)?, verb == Verb::Beeps)]
        }
        Verb::Stuck => vec![Clue::Deed(State::new(), action(subject, bench)?, true)],
        Verb::Works | Verb::Nothing if is_of_all((subject, verb, object)) => {
            let works = verb == Verb::Works && subject != "nothing";
            let controls = bench.assembly().joined_controls();
            controls.iter().flat_map(|control| pressed(control, works, &[], bench)).collect()
        }
        Verb::Works => pressed(&control(subject, bench)?, true, &[], bench),
        Verb::Nothing => pressed(&control(subject, bench)?, false, &[], bench),
        Verb::Gives | Verb::AlsoGives => {
            let control = control(subject, bench)?;
            let given = object.split([',', ' ']).filter(|word| !word.is_empty() && *word != "and");
            let given: Vec<Action> = given.map(|word| action(word, bench)).collect::<Result<_, _>>()?;
            if given.is_empty() {
                return Err(ParseEvidenceError::Form(format!("{subject} {object}")));
            }
            pressed(&control, verb == Verb::AlsoGives, &given, bench)
        }
    })
}

/// A sentence in its three parts.
fn split(text: &str) -> Result<(&str, Verb, &str), ParseEvidenceError> {
    let found = VERBS.iter().find_map(|(words, verb)| {
        let at = text.find(&format!(" {words}"))?;
        let rest = text.get(at + 1 + words.len()..)?;
        (rest.is_empty() || rest.starts_with(' ')).then(|| (text.get(..at).unwrap_or(""), *verb, rest.trim()))
    });
    if let Some((subject, verb, object)) = found {
        let takes = matches!(verb, Verb::Reads | Verb::Gives | Verb::AlsoGives);
        if takes == object.is_empty() {
            return Err(ParseEvidenceError::Form(text.to_owned()));
        }
        return Ok((subject, verb, object));
    }
    // A verb with a slip of the pen: one or two words somewhere in the sentence.
    let words: Vec<&str> = text.split(' ').collect();
    for count in [3, 2, 1] {
        for some in words.windows(count) {
            let some = some.join(" ");
            if let Some(near) = nearest(&some, VERBS.iter().map(|(words, _)| *words)) {
                return Err(ParseEvidenceError::Verb { found: some, near: verb_named(near) });
            }
        }
    }
    Err(ParseEvidenceError::Form(text.to_owned()))
}

fn verb_named(near: &str) -> &'static str {
    VERBS.iter().map(|(words, _)| *words).find(|words| *words == near).unwrap_or("reads")
}

/// What a press does, action by action: its own if it does them, the given ones, and no other.
fn pressed(control: &Control, does_its_own: bool, given: &[Action], bench: &Bench<'_>) -> Vec<Clue> {
    let assembly = bench.assembly();
    let state: State = std::iter::once(control.clone()).collect();
    let own: Vec<&Action> = assembly.lead.play.actions(control).collect();
    let clue = |action: &&Action| {
        let active = given.contains(action) || (does_its_own && own.contains(action));
        Clue::Deed(state.clone(), (*action).clone(), active)
    };
    assembly.port.actions().iter().map(clue).collect()
}

fn reading(subject: &str, value: &str, bench: &Bench<'_>) -> Result<Clue, ParseEvidenceError> {
    let typed = TypedReading::parse(value)?;
    let range = match (subject.starts_with("diode "), typed) {
        (true, _) | (false, TypedReading::Volts(_)) => Range::Diode,
        (false, _) => Range::Ohms,
    };
    let measurement = measurement(subject, range, bench)?;
    Ok(match typed {
        TypedReading::Open => Clue::Reading(measurement, f64::INFINITY),
        TypedReading::Ohms(_) if range == Range::Diode => return Err(ParseEvidenceError::NotVolts),
        TypedReading::Ohms(ohms) => Clue::Reading(measurement, ohms.get()),
        TypedReading::Volts(volts) => {
            if !(0.0..=crate::reading::DIODE_OPEN_SURELY.get()).contains(&volts.get()) {
                return Err(ParseEvidenceError::Live(volts.to_string()));
            }
            Clue::Reading(measurement, volts.get())
        }
        TypedReading::Beep => Clue::Buzzer(measurement, true),
        TypedReading::NoBeep => Clue::Buzzer(measurement, false),
    })
}

fn measurement(subject: &str, range: Range, bench: &Bench<'_>) -> Result<Measurement, ParseEvidenceError> {
    let subject = subject.strip_prefix("diode ").unwrap_or(subject);
    let (places, held) = match subject.split_once(" holding ") {
        Some((places, held)) => {
            let held = held.split([',', ' ']).filter(|word| !word.is_empty() && *word != "and");
            (places, Some(held.map(|word| control(word, bench)).collect::<Result<Vec<_>, _>>()?))
        }
        None => match subject.strip_suffix(" with the controller") {
            Some(places) => (places, Some(Vec::new())),
            None => (subject, None),
        },
    };
    let form = || ParseEvidenceError::Form(subject.to_owned());
    let (red, black) = ["–", " - ", " to ", "-"]
        .into_iter()
        .find_map(|between| places.split_once(between))
        .ok_or_else(form)?;
    let [red, black] = [place(red, bench)?, place(black, bench)?];
    if red == black {
        return Err(ParseEvidenceError::OnePlace(red));
    }
    Ok(Measurement { range, red, black, held })
}

/// A place by its name; a bare contact is the port end's.
fn place(text: &str, bench: &Bench<'_>) -> Result<Leg, ParseEvidenceError> {
    let text = text.trim();
    let leg = match ContactId::parse(text) {
        Ok(contact) => Leg { end: EndId::Port, contact },
        Err(_) => text.parse::<Leg>()?,
    };
    if bench.spot(leg).is_some() {
        return Ok(leg);
    }
    Err(ParseEvidenceError::NoPlace { leg, help: places(leg.end, bench) })
}

/// What there is at an end or a part: "the port end has `port.1` to `port.9` and `port.shell`".
fn places(end: EndId, bench: &Bench<'_>) -> String {
    let own: Vec<Leg> = bench.spots().iter().copied().filter(|leg| leg.end == end).collect();
    if own.is_empty() {
        let mut ends: Vec<EndId> = bench.spots().iter().map(|leg| leg.end).collect();
        ends.dedup();
        let ends: Vec<String> = ends.iter().map(ToString::to_string).collect();
        return format!("it has {}", listed(ends.iter().map(String::as_str), "and"));
    }
    let follows = |one: &Leg, next: &Leg| match (one.contact, next.contact) {
        (ContactId::Number(one), ContactId::Number(next)) => one.checked_add(1) == Some(next),
        (ContactId::Number(_) | ContactId::Letter(_) | ContactId::Shell, _) => false,
    };
    let runs = own.chunk_by(follows).map(|run| match run {
        [first, .., last] => format!("`{first}` to `{last}`"),
        [alone] => format!("`{alone}`"),
        [] => String::new(),
    });
    format!("there is {}", runs.collect::<Vec<_>>().join(", "))
}

/// A control by its name, or by the one that it has at its own controller and the end: `up on controller-2`.
fn control(word: &str, bench: &Bench<'_>) -> Result<Control, ParseEvidenceError> {
    let controls = bench.assembly().joined_controls();
    let (named, end) = match word.split_once(" on ") {
        Some((named, end)) => (named.trim(), Some(end.trim())),
        None => (word, None),
    };
    let is_named = |control: &&Control| {
        let own = control.as_str();
        let Some(end) = end else { return own.eq_ignore_ascii_case(named) };
        let at_its_own = own.strip_prefix(SECOND).and_then(|rest| rest.strip_prefix('-'));
        let is_so_named = |name: &str| name.eq_ignore_ascii_case(named);
        let mut ends = bench.assembly().controllers();
        let is_there = |(at, controller): (EndId, &Controller)| {
            at.to_string() == end && controller.controls().contains(control)
        };
        (is_so_named(own) || at_its_own.is_some_and(is_so_named)) && ends.any(is_there)
    };
    let found = controls.iter().filter(is_named).min_by_key(|control| control.as_str().len()).cloned();
    found.ok_or_else(|| {
        let known = || controls.iter().map(Control::as_str);
        let all = bench.assembly().controllers().flat_map(|(_, controller)| controller.controls());
        if all.into_iter().any(|control| is_named(&control)) {
            let carried = listed(known(), "and");
            return ParseEvidenceError::NotCarried { found: named.to_owned(), carried };
        }
        ParseEvidenceError::Control { found: word.to_owned(), help: help(word, known) }
    })
}

fn action(word: &str, bench: &Bench<'_>) -> Result<Action, ParseEvidenceError> {
    let actions = bench.assembly().port.actions();
    let found = actions
        .iter()
        .find(|action| action.as_str().eq_ignore_ascii_case(word))
        .map(|action| (*action).clone());
    found.ok_or_else(|| {
        let known = || actions.iter().map(|action| action.as_str());
        ParseEvidenceError::Action { found: word.to_owned(), help: help(word, known) }
    })
}

fn help<'w, I: Iterator<Item = &'w str>>(word: &str, known: impl Fn() -> I) -> String {
    match nearest(word, known()) {
        Some(near) => format!("write `{near}`"),
        None => format!("write {}", listed(known(), "or")),
    }
}

//! What the machine reads: every sample of every step, at the worst of all states and all tolerances.

use std::collections::BTreeMap;

use solderside_circuit::{Element, Extreme, Spread, Unsolvable};
use solderside_lead::{Assembly, Circuit, Leg, Position, Purpose, State, Unbuilt};
use solderside_profile::{Action, ActiveLevel, Control, InputCircuit, Level, Step};
use solderside_quantity::Volts;
use solderside_trade::ContactId;

use crate::cases::{Case, Moving};
use crate::code::Code;
use crate::divider::Divider;
use crate::feed::is_fed;
use crate::finding::{Figure, Finding, Severity};
use crate::line::Line;
use crate::networks::Networks;
use crate::remedy;
use crate::script::Script;
use crate::search::{self, Bad, Patience};
use crate::voltages::{highest_source, lowest_source};
use crate::words::{names, place, walk, while_pressed};

/// What a guaranteed threshold must have to spare, for `works`.
pub(crate) const TO_SPARE: Volts = Volts::literal(0.1);

/// The worst reading of an action on one side of its threshold.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// The voltage at the machine's contact, never passed in any state within the tolerances.
    pub volts: Volts,
    /// The threshold that every part of the family keeps.
    pub guaranteed: Volts,
    /// The threshold that a typical part keeps.
    pub typical: Volts,
    /// How far the voltage stays on the right side of the guaranteed threshold; below zero if it does not.
    pub margin: Volts,
    /// The controls that are pressed there.
    pub state: Vec<Control>,
    /// The step of the machine's reading.
    pub step: String,
    /// The tolerances that bring it about, in words, the strongest first.
    pub corner: Vec<String>,
}

/// How an action reads.
#[derive(Debug, Clone, PartialEq)]
pub struct ActionProof {
    /// The action.
    pub action: Action,
    /// The machine's contact.
    pub leg: Leg,
    /// The worst reading where it should be active; none if no control performs it.
    pub active: Option<Worst>,
    /// The worst reading where it should not.
    pub idle: Option<Worst>,
    /// The smaller of the two margins.
    pub margin: Option<Volts>,
}

/// All readings of an assembly.
pub(crate) struct Readings {
    /// The samples that were covered: of each step, in each state.
    pub(crate) samples: u64,
    /// The worst sample of each contact on each side, where it is.
    worst: BTreeMap<(Action, Side), Spot>,
    pub(crate) findings: Vec<Finding>,
    /// Whether they were read at all.
    pub(crate) are_told: bool,
}

/// Which side of its threshold a sample should be on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Side {
    Active,
    Idle,
}

/// What one sample comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Grade {
    Works,
    Thin,
    Unproved,
    Missed,
}

/// One sample: an action in a state at a step.
pub(crate) struct Sample<'a> {
    pub(crate) action: &'a Action,
    pub(crate) leg: Leg,
    pub(crate) input: &'a InputCircuit,
    pub(crate) side: Side,
    pub(crate) state: &'a State,
    pub(crate) step: &'a Step,
}

/// The level that a sample should find.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Wanted {
    Low,
    High,
}

/// Thresholds as margins: the guaranteed and the typical one on the sample's side.
pub(crate) struct Thresholds {
    pub(crate) guaranteed: Volts,
    pub(crate) typical: Volts,
}

/// Where a worst sample is: a state and a step.
struct Spot {
    leg: Leg,
    /// The place of the step.
    at: usize,
    step: Step,
    state: State,
    found: search::Worst<Grade>,
}

/// An action that a step reads, or must find quiet.
pub(crate) struct Sampled<'a> {
    pub(crate) action: &'a Action,
    pub(crate) leg: Leg,
    pub(crate) input: &'a InputCircuit,
    pub(crate) step: &'a Step,
    quiet: bool,
}

/// A sample with its reading.
pub(crate) struct Read<'a> {
    sample: Sample<'a>,
    pub(crate) thresholds: Thresholds,
    /// Never passed; none if nothing holds the node.
    volts: Option<Volts>,
    /// Whether the voltage is certain never to be passed.
    pub(crate) is_bounded: bool,
    pub(crate) grade: Grade,
}

/// Reads everything.
pub(crate) fn readings(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Readings {
    read_all(assembly, script, moving, Told::Everything, |_| false)
}

/// Reads everything; of a line that reads wrong a state is told in which it does, not the first of the worst.
pub(crate) fn readings_briefly(assembly: &Assembly, script: &Script<'_>, moving: &Moving) -> Readings {
    read_all(assembly, script, moving, Told::Briefly, |_| false)
}

/// Finds what there is to say until that is enough: then nothing else is told. A line's grade is found, not its margin, and
/// the state that is told is one in which it reads so.
pub(crate) fn readings_until(
    assembly: &Assembly,
    script: &Script<'_>,
    moving: &Moving,
    is_enough: impl Fn(&Finding) -> bool,
) -> Readings {
    read_all(assembly, script, moving, Told::Grades, is_enough)
}

/// What is told of readings.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Told {
    Everything,
    /// Everything but the first of the worst states.
    Briefly,
    /// How each line reads, without its margin.
    Grades,
}

fn read_all(
    assembly: &Assembly,
    script: &Script<'_>,
    moving: &Moving,
    told: Told,
    is_enough: impl Fn(&Finding) -> bool,
) -> Readings {
    if !is_fed(assembly) {
        return Readings::untold();
    }
    let patience = match told {
        Told::Everything => Patience::with(moving),
        Told::Briefly | Told::Grades => Patience::brief(moving),
    };
    let mut worst: BTreeMap<(Action, Side), Spot> = BTreeMap::new();
    let mut samples = 0_u64;
    for (at, step) in script.steps() {
        let circuit = script.circuit(at);
        let sampled: Vec<Sampled<'_>> = sampled(assembly, step).collect();
        let of_step = u64::try_from(sampled.len()).unwrap_or(u64::MAX).saturating_mul(moving.count());
        samples = samples.saturating_add(of_step);
        if script.is_repeated(assembly, at) {
            continue;
        }
        for base in moving.without_chips(circuit) {
            let networks = Networks::of_step(script, at, moving);
            for sampled in &sampled {
                for (side, cases) in sampled.sides(assembly, moving, &base) {
                    let line = Line::new(assembly, &networks, sampled, side);
                    let mut question = match told {
                        Told::Everything | Told::Briefly => line.question(),
                        Told::Grades => line.grade_question(),
                    };
                    let Some(found) = question.some_worst(&cases, &patience) else { continue };
                    let [state, _] = moving.controls(&found.at);
                    let spot = Spot { leg: sampled.leg, at, step: step.clone(), state, found };
                    if spot.found.bad.rank >= Grade::Unproved
                        && let Some(finding) = spot.finding(assembly, script, sampled.action, moving)
                        && is_enough(&finding)
                    {
                        return Readings { findings: vec![finding], ..Readings::untold() };
                    }
                    let key = (sampled.action.clone(), side);
                    // Of steps that are as bad the first is told.
                    if worst.get(&key).is_none_or(|so_far: &Spot| spot.never().beats(&so_far.never())) {
                        worst.insert(key, spot);
                    }
                }
            }
        }
    }
    if told == Told::Everything {
        to_first(assembly, script, moving, &patience, worst.iter_mut());
    }
    let mut findings = fixed_levels(assembly, script, moving, &patience);
    for action in assembly.port.actions() {
        for side in [Side::Active, Side::Idle] {
            if let Some(spot) = worst.get(&(action.clone(), side)) {
                findings.extend(spot.finding(assembly, script, action, moving));
            }
        }
    }
    Readings { samples, worst, findings, are_told: true }
}

/// Goes from each worst sample to the first state of its step that is as bad. That takes many looks: only once it is
/// known which samples are told.
fn to_first<'s>(
    assembly: &Assembly,
    script: &Script<'_>,
    moving: &Moving,
    patience: &Patience,
    worst: impl Iterator<Item = (&'s (Action, Side), &'s mut Spot)>,
) {
    let mut worst: Vec<_> = worst.collect();
    for (at, step) in script.steps() {
        let networks = Networks::of_step(script, at, moving);
        for ((action, side), spot) in worst.iter_mut().filter(|(_, spot)| spot.at == at) {
            let is_told = |own: &Sampled<'_>| own.action == action && own.leg == spot.leg;
            let Some(sampled) = sampled(assembly, step).find(is_told) else { continue };
            let mut first: Option<Case> = None;
            for base in moving.without_chips(script.circuit(at)) {
                let line = Line::new(assembly, &networks, &sampled, *side);
                let of_side =
                    sampled.sides(assembly, moving, &base).into_iter().filter(|(own, _)| own == side);
                let cases: Vec<Case> = of_side.flat_map(|(_, cases)| cases).collect();
                let found = line.question().first_as_bad(&spot.found, &cases, patience);
                first = first.into_iter().chain(found).min();
            }
            if let Some(first) = first {
                [spot.state, _] = moving.controls(&first);
                spot.found.at = first;
            }
        }
    }
}

/// Lines that must stand at a fixed level, whatever is pressed: by these the machine knows what is plugged in.
fn fixed_levels(
    assembly: &Assembly,
    script: &Script<'_>,
    moving: &Moving,
    patience: &Patience,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    // A line is looked at as if an action of this name were read from it.
    let Some(action) = Action::new("fixed-level") else { return findings };
    for (at, step) in script.steps() {
        for (contact, level) in &step.expects {
            let Some(input) = assembly.port.input_of(*contact) else { continue };
            let side = match (level, input.active_level()) {
                (Level::Low, ActiveLevel::Low) | (Level::High, ActiveLevel::High) => Side::Active,
                (Level::Low, ActiveLevel::High) | (Level::High, ActiveLevel::Low) => Side::Idle,
                (Level::Released, _) => continue,
            };
            let sampled = Sampled { action: &action, leg: Leg::port(*contact), input, step, quiet: true };
            let networks = Networks::of_step(script, at, moving);
            for base in moving.without_chips(script.circuit(at)) {
                let line = Line::new(assembly, &networks, &sampled, side);
                let Some(found) = line.question().some_worst(&[base], patience) else { continue };
                if found.never().rank > Grade::Works {
                    findings.push(not_fixed(assembly, &sampled, *level, &found, moving));
                    break;
                }
            }
        }
    }
    findings
}

fn not_fixed(
    assembly: &Assembly,
    sampled: &Sampled<'_>,
    level: Level,
    found: &search::Worst<Grade>,
    moving: &Moving,
) -> Finding {
    let pressed = moving.pressed(&found.at);
    let severity = if found.never().rank == Grade::Thin { Severity::Thin } else { Severity::Fail };
    let text = format!(
        "the machine expects {} {} in the step `{}`, whatever is pressed: by that it knows what is plugged in; it \
         does not stand so{} {}",
        place(assembly, sampled.leg),
        level.as_str(),
        sampled.step.name,
        if severity == Severity::Thin { " for every part, only for a typical one," } else { "" },
        while_pressed(&pressed),
    );
    Finding::new(Code::ReadIdentity, severity, text)
        .at([sampled.leg])
        .when(pressed, &sampled.step.name)
        .remedy(
            "a chip that holds the line there in this step, or a machine and programs that do not ask for it",
        )
}

impl Readings {
    /// No reading of any action.
    pub(crate) fn untold() -> Self {
        Self { samples: 0, worst: BTreeMap::new(), findings: Vec::new(), are_told: false }
    }

    /// How each action reads, the worst samples with the corners that bring them about.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element's.
    pub(crate) fn actions(&self, assembly: &Assembly) -> Result<Vec<ActionProof>, Unbuilt> {
        let script = Script::of(assembly)?;
        let mut actions = Vec::new();
        for action in assembly.port.actions() {
            let Some(contact) = assembly.port.contact_of(action) else { continue };
            let tell = |side: Side| {
                let spot = self.worst.get(&(action.clone(), side))?;
                spot.again(assembly, &script, action, |read, circuit, network| {
                    read.tell(assembly, circuit, network)
                })
            };
            let (active, idle) = (tell(Side::Active), tell(Side::Idle));
            let margin = [&active, &idle].into_iter().flatten().map(|worst| worst.margin).reduce(Volts::min);
            actions.push(ActionProof {
                action: action.clone(),
                leg: Leg::port(contact),
                active,
                idle,
                margin,
            });
        }
        Ok(actions)
    }
}

impl Spot {
    /// What no state is worse than.
    fn never(&self) -> Bad<Grade> {
        self.found.never()
    }

    /// Reads the sample once more, and calls with it.
    fn again<T>(
        &self,
        assembly: &Assembly,
        script: &Script<'_>,
        action: &Action,
        call: impl FnOnce(Read<'_>, &Circuit, &Spread) -> Option<T>,
    ) -> Option<T> {
        let circuit = script.circuit(self.at);
        let network = script.network(self.at, &self.state, &State::new());
        let sample = samples_of(assembly, &self.state, &self.step).find(|sample| sample.action == action)?;
        let mut read = read(assembly, circuit, &network, sample);
        if let Some(open) = self.found.open.filter(|open| open.by.is_finite()) {
            read.volts = Volts::new(-open.by).ok().map(|margin| read.at_margin(margin));
        }
        call(read, circuit, &network)
    }

    /// What it is worth saying.
    fn finding(
        &self,
        assembly: &Assembly,
        script: &Script<'_>,
        action: &Action,
        moving: &Moving,
    ) -> Option<Finding> {
        if self.found.open.is_some_and(|open| open.rank > self.found.bad.rank)
            && self.found.bad.rank < Grade::Unproved
        {
            let what = format!("`{action}` reads right");
            return Some(too_many(Code::ReadUnproved, &what, Some(self.leg), moving));
        }
        if self.found.bad.rank == Grade::Works {
            return None;
        }
        self.again(assembly, script, action, |read, _, _| finding(assembly, &read))
    }
}

/// The thresholds of an input for one level.
fn thresholds(assembly: &Assembly, wanted: Wanted, input: &InputCircuit) -> Thresholds {
    let levels = input.family.levels_at(assembly.port.rail);
    match wanted {
        Wanted::Low => {
            Thresholds { guaranteed: levels.low_guaranteed.value, typical: levels.low_typical.value }
        }
        Wanted::High => {
            Thresholds { guaranteed: levels.high_guaranteed.value, typical: levels.high_typical.value }
        }
    }
}

/// An input's current ends where nothing feeds it: it moves no line beyond the lead's sources.
pub(crate) fn within_sources(assembly: &Assembly, volts: Volts) -> Volts {
    volts.min(highest_source(assembly)).max(lowest_source(assembly))
}

/// How far the voltage that does occur stays on the right side of the guaranteed threshold, and how far that which
/// is never passed.
#[cfg(test)]
pub(crate) fn margins_of(
    assembly: &Assembly,
    circuit: &Circuit,
    network: &Spread,
    sample: &Sample<'_>,
) -> Option<[f64; 2]> {
    let wanted = sample.wanted();
    let bound = network.bound(circuit.node(sample.leg)?, wanted.worst()).ok()?;
    let guaranteed = thresholds(assembly, wanted, sample.input).guaranteed;
    let margin = |volts| wanted.spared(within_sources(assembly, volts), guaranteed).get();
    // Where nothing is known to occur the bound may be wider than what does.
    Some([bound.attained.map_or(f64::INFINITY, margin), margin(bound.guaranteed?)])
}

/// Says that there are too many states to settle something.
pub(crate) fn too_many(
    code: Code,
    what: &str,
    leg: impl IntoIterator<Item = Leg>,
    moving: &Moving,
) -> Finding {
    let text = format!(
        "whether {what} in every state is not settled: the {} controls have {} states, and too many of them matter \
         to one another",
        moving.len(),
        moving.count()
    );
    Finding::new(code, Severity::Note, text)
        .at(leg)
        .remedy("keep the controls' nets apart, or leave controls out that nobody needs")
}

/// Whether none of the samples that the given ones name is read worse than with a grade, with the assembly as it is now:
/// for asking how a verdict depends on a value.
pub(crate) fn are_read(
    assembly: &Assembly,
    samples: &[(Action, State, Step)],
    graded: Grade,
) -> Result<bool, Unbuilt> {
    let is_read = |circuit: &Circuit, network: &Spread, (action, state, step): &(Action, State, Step)| {
        let own = samples_of(assembly, state, step).filter(|sample| sample.action == action);
        own.map(|sample| read(assembly, circuit, network, sample).grade).all(|grade| grade <= graded)
    };
    if assembly.chips().is_empty() && assembly.transistors().is_empty() {
        // Nothing holds what an earlier step made it hold: one circuit is enough.
        for sample @ (_, state, step) in samples {
            let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
            if !is_read(&circuit, &circuit.in_state(state), sample) {
                return Ok(false);
            }
        }
        return Ok(true);
    }
    let script = Script::of(assembly)?;
    Ok(samples.iter().all(|sample @ (_, state, step)| {
        let at = script.place_of(step);
        at.is_none_or(|at| is_read(script.circuit(at), &script.network(at, state, &State::new()), sample))
    }))
}

/// The worst grade of all samples of one class of input.
pub(crate) fn grade_of_input(assembly: &Assembly, input: &str, moving: &Moving) -> Result<Grade, Unbuilt> {
    let patience = Patience::with(moving);
    let mut worst = Grade::Works;
    let script = Script::of(assembly)?;
    for (at, step) in script.steps().filter(|(at, _)| !script.is_repeated(assembly, *at)) {
        for base in moving.without_chips(script.circuit(at)) {
            let networks = Networks::of_step(&script, at, moving);
            for sampled in sampled(assembly, step).filter(|sampled| sampled.input.name == input) {
                for (side, cases) in sampled.sides(assembly, moving, &base) {
                    let line = Line::new(assembly, &networks, &sampled, side);
                    let found = line.grade_question().some_worst(&cases, &patience);
                    worst = worst.max(found.map_or(Grade::Works, |found| found.never().rank));
                }
            }
        }
    }
    Ok(worst)
}

/// A state's controls in the controller's own order.
pub(crate) fn in_order(assembly: &Assembly, state: &State) -> Vec<Control> {
    let controls = assembly.controllers.iter().flat_map(solderside_profile::Controller::controls);
    controls.filter(|control| state.contains(*control)).cloned().collect()
}

/// The actions that a step reads, or must find quiet.
pub(crate) fn sampled<'a>(assembly: &'a Assembly, step: &'a Step) -> impl Iterator<Item = Sampled<'a>> {
    let port = &assembly.port;
    let read = port.samples(step).into_iter().map(|(contact, action)| (contact, action, false));
    let quiet = step.quiet.iter().filter_map(|action| Some((port.contact_of(action)?, action, true)));
    // What must be quiet counts as that, also where it is read.
    let read = read.filter(|(_, action, _)| !step.quiet.contains(action));
    let mut all: Vec<(ContactId, &Action, bool)> = read.chain(quiet).collect();
    let order = port.actions();
    all.sort_by_key(|(_, action, _)| order.iter().position(|other| other == action));
    all.into_iter().filter_map(move |(contact, action, quiet)| {
        let input = port.input_of(contact)?;
        Some(Sampled { action, leg: Leg::port(contact), input, step, quiet })
    })
}

pub(crate) fn samples_of<'a>(
    assembly: &'a Assembly,
    state: &'a State,
    step: &'a Step,
) -> impl Iterator<Item = Sample<'a>> {
    sampled(assembly, step).map(move |sampled| {
        let Sampled { action, leg, input, step, quiet } = sampled;
        let asked =
            !quiet && assembly.lead.play.controls(action).iter().any(|control| state.contains(control));
        let side = if asked { Side::Active } else { Side::Idle };
        Sample { action, leg, input, side, state, step }
    })
}

impl Sampled<'_> {
    /// The states of a case in which it should read active, and those in which it should not.
    pub(crate) fn sides(&self, assembly: &Assembly, moving: &Moving, base: &Case) -> [(Side, Vec<Case>); 2] {
        let controls = if self.quiet { &[] } else { assembly.lead.play.controls(self.action) };
        let idle = moving.releasing(base, controls);
        [(Side::Active, moving.pressing(base, controls)), (Side::Idle, idle.into_iter().collect())]
    }

    /// The level that it should find.
    pub(crate) fn wanted(&self, side: Side) -> Wanted {
        wanted(side, self.input)
    }
}

/// The level that an input should find.
fn wanted(side: Side, input: &InputCircuit) -> Wanted {
    match (side, input.active_level()) {
        (Side::Active, ActiveLevel::Low) | (Side::Idle, ActiveLevel::High) => Wanted::Low,
        (Side::Active, ActiveLevel::High) | (Side::Idle, ActiveLevel::Low) => Wanted::High,
    }
}

/// Reads one sample in one network.
pub(crate) fn read<'a>(
    assembly: &Assembly,
    circuit: &Circuit,
    network: &Spread,
    sample: Sample<'a>,
) -> Read<'a> {
    let wanted = sample.wanted();
    let extreme = wanted.worst();
    let thresholds = thresholds(assembly, wanted, sample.input);
    let spared = |volts: Volts, threshold: Volts| wanted.spared(volts, threshold);
    let node = circuit.node(sample.leg);
    // A transistor of which nobody knows what it does is taken as anything: what then occurs need not occur.
    let is_known = circuit.transistors().iter().all(|own| own.position == Position::Tested);
    let (volts, is_bounded, grade) = match node.map(|node| network.bound(node, extreme)) {
        // An input that nothing holds reads as it likes.
        None | Some(Err(Unsolvable::Floating { .. })) => (None, false, Grade::Missed),
        Some(Err(Unsolvable::Contradiction { .. } | Unsolvable::NoBalance { .. } | Unsolvable::Range)) => {
            (None, false, Grade::Unproved)
        }
        Some(Ok(bound)) => {
            let grade = match bound.guaranteed {
                Some(never) if spared(never, thresholds.guaranteed) >= TO_SPARE => Grade::Works,
                Some(never) if spared(never, thresholds.typical) >= Volts::ZERO => Grade::Thin,
                _ if is_known
                    && bound
                        .attained
                        .is_some_and(|volts| spared(volts, thresholds.typical) < Volts::ZERO) =>
                {
                    Grade::Missed
                }
                _ => Grade::Unproved,
            };
            let volts = bound.guaranteed.or(bound.attained);
            (volts.map(|volts| within_sources(assembly, volts)), bound.guaranteed.is_some(), grade)
        }
    };
    Read { sample, thresholds, volts, is_bounded, grade }
}

impl Sample<'_> {
    /// The level that it should find.
    fn wanted(&self) -> Wanted {
        wanted(self.side, self.input)
    }
}

impl Wanted {
    /// The end of the voltage's range that tells against it.
    pub(crate) const fn worst(self) -> Extreme {
        match self {
            Self::Low => Extreme::Highest,
            Self::High => Extreme::Lowest,
        }
    }

    /// How far a voltage lies on the right side of a threshold.
    pub(crate) fn spared(self, volts: Volts, threshold: Volts) -> Volts {
        match self {
            Self::Low => threshold - volts,
            Self::High => volts - threshold,
        }
    }

    /// The level with its threshold, in words that a figure follows.
    const fn words(self) -> &'static str {
        match self {
            Self::Low => "a low up to",
            Self::High => "a high from",
        }
    }
}

impl Read<'_> {
    /// How far the reading stays on the right side of the guaranteed threshold.
    pub(crate) fn margin(&self) -> Option<Volts> {
        self.spared(self.thresholds.guaranteed)
    }

    /// How far the reading stays on the right side of a threshold.
    pub(crate) fn spared(&self, threshold: Volts) -> Option<Volts> {
        self.volts.map(|volts| self.sample.wanted().spared(volts, threshold))
    }

    /// The voltage with a margin to the guaranteed threshold.
    fn at_margin(&self, margin: Volts) -> Volts {
        match self.sample.wanted() {
            Wanted::Low => self.thresholds.guaranteed - margin,
            Wanted::High => self.thresholds.guaranteed + margin,
        }
    }

    /// The reading as it is told, with the corner that brings it about.
    fn tell(&self, assembly: &Assembly, circuit: &Circuit, network: &Spread) -> Option<Worst> {
        let (volts, margin) = (self.volts?, self.margin()?);
        Some(Worst {
            volts,
            guaranteed: self.thresholds.guaranteed,
            typical: self.thresholds.typical,
            margin,
            state: in_order(assembly, self.sample.state),
            step: self.sample.step.name.clone(),
            corner: self.corner(circuit, network),
        })
    }

    /// The tolerances at their worst, in words.
    fn corner(&self, circuit: &Circuit, network: &Spread) -> Vec<String> {
        let extreme = self.sample.wanted().worst();
        let Some(Ok(corner)) = circuit.node(self.sample.leg).map(|node| network.corner(node, extreme)) else {
            return Vec::new();
        };
        let mut words: Vec<String> = Vec::new();
        for (id, element) in corner {
            let Some(label) = circuit.label(id, self.sample.state) else { continue };
            let what = format!("{} of {}", label.what, label.leg);
            words.push(match element {
                Element::Resistor { ohms, .. } => format!("{what} at {ohms}"),
                Element::Source { volts, ohms, .. } => format!("{what} at {volts} behind {ohms}"),
                Element::Current { amps, .. } if amps.get() == 0.0 => continue,
                Element::Current { amps, .. } => format!("{what} at {amps}"),
                Element::OpenCollector { offset, ohms, .. } => format!("{what} at {offset} and {ohms}"),
                Element::Diode { diode, .. } => {
                    format!("{what} at {:.0} °C", diode.at.get() - 273.15)
                }
                Element::Switch { .. } => continue,
            });
        }
        // What sits at the sampled contact first, the rest in the circuit's order.
        let own = format!("of {}", self.sample.leg);
        words.sort_by_key(|word| !word.contains(&own));
        words
    }
}

fn floating(assembly: &Assembly, sample: &Sample<'_>, severity: Severity) -> Finding {
    let Sample { action, leg, state, step, .. } = sample;
    let text = format!("`{action}` is read from {}, which nothing holds at any level", place(assembly, *leg));
    Finding::new(Code::ReadFloating, severity, text)
        .at([*leg])
        .when(in_order(assembly, state), &step.name)
        .remedy("give the input its pull-up in the port's profile, or find out how the machine holds it")
}

/// A line that something holds, of which no argument tells where.
fn unbounded(assembly: &Assembly, sample: &Sample<'_>, when: &str) -> Finding {
    let Sample { action, leg, state, step, .. } = sample;
    let text = format!(
        "nothing bounds where {} stands {when}, from which `{action}` is read",
        place(assembly, *leg)
    );
    Finding::new(Code::ReadUnproved, Severity::Note, text)
        .at([*leg])
        .when(in_order(assembly, state), &step.name)
        .remedy("fewer diodes round the line, or a measured resistance for the contacts beside them")
}

/// What a worst reading is worth saying.
fn finding(assembly: &Assembly, read: &Read<'_>) -> Option<Finding> {
    let Sample { action, leg, state, step, side, input } = &read.sample;
    let severity = match read.grade {
        Grade::Works => return None,
        Grade::Thin => Severity::Thin,
        Grade::Unproved | Grade::Missed => Severity::Fail,
    };
    let when = while_pressed(&in_order(assembly, state));
    let Some(volts) = read.volts else {
        return Some(match read.grade {
            Grade::Unproved => unbounded(assembly, &read.sample, &when),
            Grade::Works | Grade::Thin | Grade::Missed => floating(assembly, &read.sample, severity),
        });
    };
    let Thresholds { guaranteed, typical } = read.thresholds;
    let wanted = read.sample.wanted();
    // What a chip answers comes along no way of closed contacts.
    let way = assembly.way_home(*leg, state, step).filter(|_| !assembly.has_logic());
    let figures = [
        Figure::volts("reads_volts", volts),
        Figure::volts("guaranteed_volts", guaranteed),
        Figure::volts("typical_volts", typical),
    ];
    let build = |code: Code, severity: Severity, text: String, remedy: String| {
        Finding::new(code, severity, text)
            .at([*leg])
            .when(in_order(assembly, state), &step.name)
            .figures(figures)
            .remedy(remedy)
    };
    if read.grade == Grade::Unproved {
        let right = if wanted == Wanted::Low { "below" } else { "above" };
        let text =
            format!("`{action}` is not certain to stay {right} {typical} {when}: {volts} cannot be excluded");
        let remedy =
            "measure the assumed values that the proof names, and put them into the profile".to_owned();
        return Some(Finding {
            severity: Severity::Note,
            ..build(Code::ReadUnproved, Severity::Note, text, remedy)
        });
    }
    let misses = format!("{volts} where {} {guaranteed} is guaranteed and {typical} typical", wanted.words());
    let held_by = match input.active_level() {
        ActiveLevel::Low => "pull-up",
        ActiveLevel::High => "pull-down",
    };
    Some(match (side, read.grade, way) {
        (Side::Idle, Grade::Missed, Some(way)) => {
            let text = if step.quiet.contains(action) {
                let step = &step.name;
                format!(
                    "`{action}` reads in step `{step}` too, where its line is not selected, {when}: {}",
                    walk(&way)
                )
            } else {
                format!("`{action}` reads although nobody asked {when}: {}", walk(&way))
            };
            let others: Vec<&Leg> = way.iter().filter(|other| *other != leg).collect();
            let mut ghost = build(Code::ReadGhost, severity, text, remedy::ghost(&way));
            ghost.legs.extend(others);
            ghost
        }
        (Side::Idle, grade, _) => build(
            if grade == Grade::Missed { Code::ReadGhost } else { Code::ReadThin },
            severity,
            format!("`{action}` idles at {misses} {when}"),
            format!("a stronger {held_by} at the machine's contact, or less that loads the line"),
        ),
        (_, Grade::Missed, _) if assembly.has_logic() && assembly.lead.joined(*leg).next().is_some() => {
            build(
                if *side == Side::Active { Code::ReadMissed } else { Code::ReadGhost },
                severity,
                format!("`{action}` reads {misses} {when} in the step `{}`", step.name),
                "look at the timing of this step with these controls, and at the chips' inputs".to_owned(),
            )
        }
        (Side::Active, Grade::Missed, None) => build(
            Code::ReadMissed,
            severity,
            format!(
                "`{action}` does not read {when}: no way leads from {} to {}",
                place(assembly, *leg),
                closes_to(assembly, input)
            ),
            remedy::missing(assembly, action, state),
        ),
        (Side::Active, grade, way) => match Divider::of(assembly, &read.sample) {
            Some(divider) => build(
                divider.code(grade),
                severity,
                format!("`{action}` reads {misses} {when}: {}", divider.what()),
                remedy::divided(assembly, &read.sample, divider, way.as_ref(), [volts, guaranteed]),
            )
            .figures(divider.figures()),
            None => build(
                if read.grade == Grade::Missed { Code::ReadMissed } else { Code::ReadThin },
                severity,
                format!("`{action}` reads {misses} {when}"),
                remedy::weak(assembly, &read.sample, way.as_ref(), volts),
            ),
        },
    })
}

/// Where a switch closes an input to, in words.
fn closes_to(assembly: &Assembly, input: &InputCircuit) -> String {
    match input.active_level() {
        ActiveLevel::Low => "the return".to_owned(),
        ActiveLevel::High => {
            let supplies = assembly.port.supplies().into_iter().map(|(id, _)| Leg::port(id));
            format!("the supply {}", names(supplies))
        }
    }
}

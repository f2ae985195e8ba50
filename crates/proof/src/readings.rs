//! What the machine reads: every sample of every step, at the worst of all states and all tolerances.

use std::collections::BTreeMap;

use solderside_circuit::{Element, Extreme, Spread, Unsolvable};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt};
use solderside_profile::{Action, ActiveLevel, Control, InputCircuit, Step};
use solderside_quantity::Volts;
use solderside_trade::ContactId;

use crate::cases::{Case, Moving};
use crate::code::Code;
use crate::divider::{Divider, largest_contact};
use crate::feed::is_fed;
use crate::finding::{Figure, Finding, Severity};
use crate::line::Line;
use crate::networks::Networks;
use crate::search::{self, Bad, Patience};
use crate::truth::TruthTable;
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
    worst: BTreeMap<(ContactId, Side), Spot>,
    pub(crate) truth: TruthTable,
    pub(crate) findings: Vec<Finding>,
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
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn readings(assembly: &Assembly, moving: &Moving) -> Result<Readings, Unbuilt> {
    if !is_fed(assembly) {
        return Ok(Readings::untold());
    }
    let patience = Patience::with(moving);
    let mut truth = TruthTable::of(moving);
    let mut worst: BTreeMap<(ContactId, Side), Spot> = BTreeMap::new();
    let mut samples = 0_u64;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
        let sampled: Vec<Sampled<'_>> = sampled(assembly, step).collect();
        let of_step = u64::try_from(sampled.len()).unwrap_or(u64::MAX).saturating_mul(moving.count());
        samples = samples.saturating_add(of_step);
        for base in moving.without_chips(&circuit) {
            let networks = Networks::of(&circuit, moving);
            for sampled in &sampled {
                for (side, cases) in sampled.sides(assembly, moving, &base) {
                    let line = Line::new(assembly, &networks, sampled, side);
                    let mut question = line.question();
                    let Some(mut found) = question.some_worst(&cases, &patience) else { continue };
                    truth.fill(&line, &mut question, &cases);
                    let key = (sampled.leg.contact, side);
                    let so_far = worst.get(&key);
                    if so_far.is_some_and(|so_far| so_far.never().beats(&found.never())) {
                        continue;
                    }
                    question.first_as_bad(&mut found, &cases, &patience);
                    let spot =
                        Spot { step: step.clone(), state: moving.controls(&found.at)[0].clone(), found };
                    if so_far.is_none_or(|so_far| spot.comes_before(so_far)) {
                        worst.insert(key, spot);
                    }
                }
            }
        }
    }
    let mut findings = Vec::new();
    for action in assembly.port.actions() {
        let Some(contact) = assembly.port.contact_of(action) else { continue };
        for side in [Side::Active, Side::Idle] {
            if let Some(spot) = worst.get(&(contact, side)) {
                findings.extend(spot.finding(assembly, action, moving)?);
            }
        }
    }
    Ok(Readings { samples, worst, truth, findings })
}

impl Readings {
    /// No reading of any action.
    pub(crate) fn untold() -> Self {
        Self { samples: 0, worst: BTreeMap::new(), truth: TruthTable::default(), findings: Vec::new() }
    }

    /// How each action reads, the worst samples with the corners that bring them about.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element's.
    pub(crate) fn actions(&self, assembly: &Assembly) -> Result<Vec<ActionProof>, Unbuilt> {
        let mut actions = Vec::new();
        for action in assembly.port.actions() {
            let Some(contact) = assembly.port.contact_of(action) else { continue };
            let tell = |side: Side| match self.worst.get(&(contact, side)) {
                Some(spot) => spot.tell(assembly, action),
                None => Ok(None),
            };
            let (active, idle) = (tell(Side::Active)?, tell(Side::Idle)?);
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

    /// Whether it is to be told and not the other: it is worse, or as bad in an earlier state of the same step.
    fn comes_before(&self, other: &Self) -> bool {
        let is_earlier = self.step.name == other.step.name && self.found.at < other.found.at;
        self.never().beats(&other.never()) || (is_earlier && !other.never().beats(&self.never()))
    }

    /// Reads the sample once more, and calls with it.
    fn again<T>(
        &self,
        assembly: &Assembly,
        action: &Action,
        call: impl FnOnce(Read<'_>, &Circuit, &Spread) -> Option<T>,
    ) -> Result<Option<T>, Unbuilt> {
        let circuit = Circuit::of(assembly, &self.step, Purpose::Reading)?;
        let network = circuit.in_state(&self.state);
        let sample = samples_of(assembly, &self.state, &self.step).find(|sample| sample.action == action);
        Ok(sample.and_then(|sample| {
            let mut read = read(assembly, &circuit, &network, sample);
            if let Some(open) = self.found.open {
                read.volts = Volts::new(-open.by).ok().map(|margin| read.at_margin(margin));
            }
            call(read, &circuit, &network)
        }))
    }

    /// Tells the sample.
    fn tell(&self, assembly: &Assembly, action: &Action) -> Result<Option<Worst>, Unbuilt> {
        self.again(assembly, action, |read, circuit, network| read.tell(assembly, circuit, network))
    }

    /// What it is worth saying.
    fn finding(
        &self,
        assembly: &Assembly,
        action: &Action,
        moving: &Moving,
    ) -> Result<Option<Finding>, Unbuilt> {
        if self.found.open.is_some_and(|open| open.rank > self.found.bad.rank)
            && self.found.bad.rank < Grade::Unproved
        {
            let leg = assembly.port.contact_of(action).map(Leg::port);
            return Ok(Some(too_many(Code::ReadUnproved, &format!("`{action}` reads right"), leg, moving)));
        }
        if self.found.bad.rank == Grade::Works {
            return Ok(None);
        }
        self.again(assembly, action, |read, _, _| finding(assembly, &read))
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
fn within_sources(assembly: &Assembly, volts: Volts) -> Volts {
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
    Some([margin(bound.attained?), margin(bound.guaranteed?)])
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

/// The worst grade of the samples that the given ones name, with the assembly as it is now: for asking
/// how a verdict depends on a value.
pub(crate) fn grade_of(assembly: &Assembly, samples: &[(Action, State, Step)]) -> Result<Grade, Unbuilt> {
    let mut worst = Grade::Works;
    for (action, state, step) in samples {
        let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
        let network = circuit.in_state(state);
        for sample in samples_of(assembly, state, step).filter(|sample| sample.action == action) {
            worst = worst.max(read(assembly, &circuit, &network, sample).grade);
        }
    }
    Ok(worst)
}

/// The worst grade of all samples of one class of input.
pub(crate) fn grade_of_input(assembly: &Assembly, input: &str, moving: &Moving) -> Result<Grade, Unbuilt> {
    let patience = Patience::with(moving);
    let mut worst = Grade::Works;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
        for base in moving.without_chips(&circuit) {
            let networks = Networks::of(&circuit, moving);
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
fn sampled<'a>(assembly: &'a Assembly, step: &'a Step) -> impl Iterator<Item = Sampled<'a>> {
    assembly.port.actions().into_iter().filter_map(move |action| {
        let quiet = step.quiet.contains(action);
        if !quiet && step.samples.as_ref().is_some_and(|samples| !samples.contains(action)) {
            return None;
        }
        let contact = assembly.port.contact_of(action)?;
        let input = assembly.port.input_of(contact)?;
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
    fn sides(&self, assembly: &Assembly, moving: &Moving, base: &Case) -> [(Side, Vec<Case>); 2] {
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
                _ if bound.attained.is_some_and(|volts| spared(volts, thresholds.typical) < Volts::ZERO) => {
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
        let text =
            format!("`{action}` is read from {}, which nothing holds at any level", place(assembly, *leg));
        return Some(
            Finding::new(Code::ReadFloating, severity, text)
                .at([*leg])
                .when(in_order(assembly, state), &step.name)
                .remedy(
                    "give the input its pull-up in the port's profile, or find out how the machine holds it",
                ),
        );
    };
    let Thresholds { guaranteed, typical } = read.thresholds;
    let wanted = read.sample.wanted();
    let way = assembly.way_home(*leg, state, step);
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
            let text = format!("`{action}` reads although nobody asked {when}: {}", walk(&way));
            let others: Vec<&Leg> = way.iter().filter(|other| *other != leg).collect();
            let mut ghost = build(Code::ReadGhost, severity, text, ghost_remedy(&way));
            ghost.legs.extend(others);
            ghost
        }
        (Side::Idle, grade, _) => build(
            if grade == Grade::Missed { Code::ReadGhost } else { Code::ReadThin },
            severity,
            format!("`{action}` idles at {misses} {when}"),
            format!("a stronger {held_by} at the machine's contact, or less that loads the line"),
        ),
        (Side::Active, Grade::Missed, None) => build(
            Code::ReadMissed,
            severity,
            format!(
                "`{action}` does not read {when}: no way leads from {} to {}",
                place(assembly, *leg),
                closes_to(assembly, input)
            ),
            missing_remedy(assembly, action),
        ),
        (Side::Active, grade, _) => match Divider::of(assembly, &read.sample) {
            Some(divider) => build(
                divider.code(grade),
                severity,
                format!("`{action}` reads {misses} {when}: {}", divider.what()),
                divider.remedy(largest_contact(assembly, input, guaranteed)),
            )
            .figures(divider.figures()),
            None => build(
                if read.grade == Grade::Missed { Code::ReadMissed } else { Code::ReadThin },
                severity,
                format!("`{action}` reads {misses} {when}"),
                "thicker or shorter conductors, or a stronger output".to_owned(),
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

fn ghost_remedy(way: &[Leg]) -> String {
    match way {
        [first, second, ..] => {
            format!("take out the join `{first}` – `{second}`, or keep the nets apart with diodes")
        }
        _ => "keep the nets apart".to_owned(),
    }
}

fn missing_remedy(assembly: &Assembly, action: &Action) -> String {
    let controls = assembly.lead.play.controls(action);
    let contact = assembly.port.contact_of(action).map(Leg::port);
    let controller = assembly.controllers.first();
    let from = controls.iter().find_map(|control| controller?.contact_of(control)).map(Leg::controller);
    let common = match controller.zip(controls.first()) {
        // Of several commons the control's own is the one to join.
        Some((controller, control)) if controller.common_nets().len() > 1 => {
            format!("the common {}", names(controller.commons_of(control).into_iter().map(Leg::controller)))
        }
        Some(_) | None => "the controller's common".to_owned(),
    };
    match (from, contact) {
        (Some(from), Some(contact)) if assembly.lead.reach(from).contains(&contact) => {
            let home = names(assembly.port.closes_to(action).into_iter().map(Leg::port));
            format!("`{from}` reaches `{contact}`; join {common} to {home}")
        }
        (Some(from), Some(contact)) => {
            format!("join `{from}` to `{contact}`, and {common} to a return; {} asks for it", names(controls))
        }
        _ => "join the control's contact to the action's, and the common to a return".to_owned(),
    }
}

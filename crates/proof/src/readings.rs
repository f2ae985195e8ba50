//! What the machine reads: every sample of every step in every state, at the worst of all tolerances.

use std::collections::BTreeMap;

use solderside_circuit::{Element, Extreme, Spread, Unsolvable};
use solderside_lead::{Assembly, Circuit, Leg, Purpose, State, Unbuilt, states};
use solderside_profile::{Action, ActiveLevel, Control, InputCircuit, PortRole, Step};
use solderside_quantity::Volts;
use solderside_trade::ContactId;

use crate::code::Code;
use crate::divider::Divider;
use crate::finding::{Figure, Finding, Severity};
use crate::remedy;
use crate::voltages::{highest_source, lowest_source};
use crate::words::{names, place, walk, while_pressed};

/// What a guaranteed threshold must have to spare, for `works`.
pub(crate) const TO_SPARE: Volts = Volts::literal(0.1);

/// The worst reading of an action on one side of its threshold.
#[derive(Debug, Clone, PartialEq)]
pub struct Worst {
    /// The voltage at the machine's contact, never passed within the tolerances.
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

/// What the machine reads in one state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TruthRow {
    /// The controls that are pressed.
    pub pressed: Vec<Control>,
    /// The actions that the machine may read: those asked for that are sure to read, and those not asked for that
    /// are not sure to stay quiet, each at the worst of all tolerances against a typical part's threshold.
    pub reads: Vec<Action>,
}

/// All readings of an assembly.
pub(crate) struct Readings {
    pub(crate) samples: u64,
    /// The worst sample of each contact on each side, where it is.
    worst: BTreeMap<(ContactId, Side), Spot>,
    pub(crate) truth: Vec<TruthRow>,
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
enum Wanted {
    Low,
    High,
}

/// Thresholds as margins: the guaranteed and the typical one on the sample's side.
struct Thresholds {
    guaranteed: Volts,
    typical: Volts,
}

/// Where a worst sample is: a state and a step.
struct Spot {
    state: State,
    step: Step,
}

/// A sample with its reading.
pub(crate) struct Read<'a> {
    sample: Sample<'a>,
    thresholds: Thresholds,
    /// Never passed; none if nothing holds the node.
    volts: Option<Volts>,
    pub(crate) grade: Grade,
}

/// Reads everything.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn readings(assembly: &Assembly) -> Result<Readings, Unbuilt> {
    if !is_fed(assembly) {
        return Ok(Readings::untold());
    }
    let states = all_states(assembly);
    let mut truth: Vec<TruthRow> = states
        .iter()
        .map(|state| TruthRow { pressed: in_order(assembly, state), reads: Vec::new() })
        .collect();
    let mut worst: BTreeMap<(ContactId, Side), Read<'_>> = BTreeMap::new();
    let mut samples = 0;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
        for (state, row) in states.iter().zip(&mut truth) {
            let network = circuit.in_state(state);
            for sample in samples_of(assembly, state, step) {
                samples += 1;
                let read = read(assembly, &circuit, &network, sample);
                let should = read.sample.side == Side::Active;
                let does = if read.grade == Grade::Missed { !should } else { should };
                if does && !row.reads.contains(read.sample.action) {
                    row.reads.push(read.sample.action.clone());
                }
                let key = (read.sample.leg.contact, read.sample.side);
                if worst.get(&key).is_none_or(|so_far| read.is_worse_than(so_far)) {
                    worst.insert(key, read);
                }
            }
        }
    }
    let mut findings = Vec::new();
    for action in assembly.port.actions() {
        let Some(contact) = assembly.port.contact_of(action) else { continue };
        let sides = [Side::Active, Side::Idle].into_iter().filter_map(|side| worst.get(&(contact, side)));
        findings.extend(sides.filter_map(|read| finding(assembly, read)));
    }
    let spot = |read: &Read<'_>| Spot { state: read.sample.state.clone(), step: read.sample.step.clone() };
    let worst = worst.iter().map(|(key, read)| (*key, spot(read))).collect();
    Ok(Readings { samples, worst, truth, findings })
}

/// Whether each pad whose chips drive a line has its supply. Without it the chips answer nothing, whatever
/// their clamps let through, and the lead fails for that.
pub(crate) fn is_fed(assembly: &Assembly) -> bool {
    assembly.controllers().filter(|(end, _)| assembly.uses_chips(*end)).all(|(end, controller)| {
        let supply = controller.supply().map(|contact| Leg { end, contact });
        supply.into_iter().flat_map(|leg| assembly.lead.joined(leg)).any(|leg| {
            assembly.port_contact(leg).is_some_and(|contact| matches!(contact.role, PortRole::Supply(_)))
        })
    })
}

impl Readings {
    /// No reading of any action.
    pub(crate) fn untold() -> Self {
        Self { samples: 0, worst: BTreeMap::new(), truth: Vec::new(), findings: Vec::new() }
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
    /// Reads the sample once more, and tells it.
    fn tell(&self, assembly: &Assembly, action: &Action) -> Result<Option<Worst>, Unbuilt> {
        let circuit = Circuit::of(assembly, &self.step, Purpose::Reading)?;
        let network = circuit.in_state(&self.state);
        let sample = samples_of(assembly, &self.state, &self.step).find(|sample| sample.action == action);
        Ok(sample
            .and_then(|sample| read(assembly, &circuit, &network, sample).tell(assembly, &circuit, &network)))
    }
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
pub(crate) fn grade_of_input(assembly: &Assembly, input: &str) -> Result<Grade, Unbuilt> {
    let mut worst = Grade::Works;
    for step in &assembly.port.steps {
        let circuit = Circuit::of(assembly, step, Purpose::Reading)?;
        for state in all_states(assembly) {
            let network = circuit.in_state(&state);
            for sample in samples_of(assembly, &state, step).filter(|sample| sample.input.name == input) {
                worst = worst.max(read(assembly, &circuit, &network, sample).grade);
            }
        }
    }
    Ok(worst)
}

/// Every state of the controls that could make a difference: those that are joined to something, and those
/// that should be, because an action is theirs.
pub(crate) fn all_states(assembly: &Assembly) -> Vec<State> {
    let Some(controller) = assembly.controllers.first() else { return vec![State::new()] };
    let joined = assembly.joined_controls();
    let controls = controller.controls().into_iter();
    let moving = controls
        .filter(|control| joined.contains(control) || assembly.lead.play.actions(control).next().is_some());
    states(controller, &moving.cloned().collect::<Vec<_>>())
}

/// A state's controls in the controller's own order.
pub(crate) fn in_order(assembly: &Assembly, state: &State) -> Vec<Control> {
    let controls = assembly.controllers.iter().flat_map(solderside_profile::Controller::controls);
    controls.filter(|control| state.contains(*control)).cloned().collect()
}

pub(crate) fn samples_of<'a>(
    assembly: &'a Assembly,
    state: &'a State,
    step: &'a Step,
) -> impl Iterator<Item = Sample<'a>> {
    let sampled = |action: &Action| step.samples.as_ref().is_none_or(|samples| samples.contains(action));
    assembly.port.actions().into_iter().filter_map(move |action| {
        let quiet = step.quiet.contains(action);
        if !quiet && !sampled(action) {
            return None;
        }
        let contact = assembly.port.contact_of(action)?;
        let input = assembly.port.input_of(contact)?;
        let pressed = || assembly.lead.play.controls(action).iter().any(|control| state.contains(control));
        let asked = !quiet && pressed();
        let side = if asked { Side::Active } else { Side::Idle };
        Some(Sample { action, leg: Leg::port(contact), input, side, state, step })
    })
}

pub(crate) fn read<'a>(
    assembly: &Assembly,
    circuit: &Circuit,
    network: &Spread,
    sample: Sample<'a>,
) -> Read<'a> {
    let levels = sample.input.family.levels_at(assembly.port.rail);
    let wanted = sample.wanted();
    let extreme = wanted.worst();
    let thresholds = match wanted {
        Wanted::Low => {
            Thresholds { guaranteed: levels.low_guaranteed.value, typical: levels.low_typical.value }
        }
        Wanted::High => {
            Thresholds { guaranteed: levels.high_guaranteed.value, typical: levels.high_typical.value }
        }
    };
    let spared = |volts: Volts, threshold: Volts| wanted.spared(volts, threshold);
    let node = circuit.node(sample.leg);
    let (volts, grade) = match node.map(|node| network.bound(node, extreme)) {
        // An input that nothing holds reads as it likes.
        None | Some(Err(Unsolvable::Floating { .. })) => (None, Grade::Missed),
        Some(Err(Unsolvable::Contradiction { .. } | Unsolvable::NoBalance { .. } | Unsolvable::Range)) => {
            (None, Grade::Unproved)
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
            // An input's current ends where nothing feeds it: it moves no line beyond the lead's sources.
            let volts = bound.guaranteed.or(bound.attained);
            let within = |volts: Volts| volts.min(highest_source(assembly)).max(lowest_source(assembly));
            (volts.map(within), grade)
        }
    };
    Read { sample, thresholds, volts, grade }
}

impl Sample<'_> {
    /// The level that it should find.
    fn wanted(&self) -> Wanted {
        match (self.side, self.input.active_level()) {
            (Side::Active, ActiveLevel::Low) | (Side::Idle, ActiveLevel::High) => Wanted::Low,
            (Side::Active, ActiveLevel::High) | (Side::Idle, ActiveLevel::Low) => Wanted::High,
        }
    }
}

impl Wanted {
    /// The end of the voltage's range that tells against it.
    const fn worst(self) -> Extreme {
        match self {
            Self::Low => Extreme::Highest,
            Self::High => Extreme::Lowest,
        }
    }

    /// How far a voltage lies on the right side of a threshold.
    fn spared(self, volts: Volts, threshold: Volts) -> Volts {
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
    fn margin(&self) -> Option<Volts> {
        self.volts.map(|volts| self.sample.wanted().spared(volts, self.thresholds.guaranteed))
    }

    /// The worse grade, then the smaller margin; equal ones keep the earlier, simpler state.
    fn is_worse_than(&self, other: &Self) -> bool {
        match (self.grade.cmp(&other.grade), self.margin(), other.margin()) {
            (std::cmp::Ordering::Equal, Some(own), Some(other)) => own < other - Volts::literal(1e-9),
            (std::cmp::Ordering::Equal, None, Some(_)) => true,
            (std::cmp::Ordering::Equal, _, None) => false,
            (order, ..) => order.is_gt(),
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

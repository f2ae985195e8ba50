//! The range over which a verdict holds: how far an unpublished value may be off before it changes.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, Leg, State, Unbuilt};
use solderside_profile::{Action, InputCircuit, Step};
use solderside_quantity::{Amps, Ohms, Quantity, Triple, Volts};
use solderside_trade::{ContactId, Evidence};

use crate::cases::Moving;
use crate::finding::{Finding, Severity};
use crate::loads::{Asked, Culprit, Enough, Load, is_kept, loads};
use crate::readings::{ActionProof, Grade, are_read, grade_of_input};

/// One value, and the range of it over which the verdict stays what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Holds {
    /// The value: `pull-up of line`.
    pub what: String,
    /// The contacts that it is about.
    pub legs: Vec<Leg>,
    /// The unit of the numbers.
    pub unit: &'static str,
    /// The verdict holds from here up; none if it holds down to nothing.
    pub from: Option<f64>,
    /// The verdict holds up to here; none if it holds however far.
    pub to: Option<f64>,
    /// The value taken, low, typical and high.
    pub taken: [f64; 3],
    /// How well that is known.
    pub evidence: Evidence,
    /// All of it in a sentence.
    pub text: String,
    /// What to measure to settle it.
    pub settle: String,
    /// How it reads over all of the range; where nothing reads, as if all were well.
    grade: Grade,
}

/// Below this a pull-up would burn: 5 V across 10 Ω is 2.5 W.
const STRONGEST: Ohms = Ohms::literal(10.0);
/// Above this a pull-up is none: a meter of 10 MΩ loads it to half.
const WEAKEST: Ohms = Ohms::literal(10e6);

/// Halvings of the ratio between a value that holds and one that does not: from six decades to one part in
/// seventy, so that two digits on the safe side lose little.
const HALVINGS: usize = 10;

/// Asks of each unpublished value how far it may be off.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn holds(
    assembly: &Assembly,
    moving: &Moving,
    actions: &[ActionProof],
    loads: &[Load],
) -> Result<Vec<Holds>, Unbuilt> {
    let mut found = Vec::new();
    let mut grades = BTreeMap::new();
    for input in assembly.port.inputs.keys() {
        grades.insert(input.clone(), grade_of_input(assembly, input, moving)?);
    }
    for input in assembly.port.inputs.values() {
        found.extend(pull_up(assembly, moving, input, (actions, &grades))?);
    }
    found.extend(supply_limits(assembly, loads));
    Ok(found)
}

/// How little each supply may give, where its limit is not published.
pub(crate) fn supply_limits(assembly: &Assembly, loads: &[Load]) -> Vec<Holds> {
    let drawn = loads.iter().filter(|load| load.what == "supply" && load.amps > Amps::ZERO);
    drawn.filter_map(|load| supply_limit(assembly, load)).collect()
}

/// The ranges of pull-ups over which the verdict holds in all these settings of a lead: of each the values that every
/// setting in which its lines lead anywhere allows, with the worst that it reads there; none where one of them has none.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn in_all_settings(settings: &[(Assembly, &[Holds])]) -> Result<Vec<Holds>, Unbuilt> {
    let Some((first, _)) = settings.first() else { return Ok(Vec::new()) };
    let mut all = Vec::new();
    for input in first.port.inputs.values() {
        let Some(taken) = input.pull_up else { continue };
        let using = settings.iter().filter(|(set, _)| is_joined(set, input));
        let own: Option<Vec<&Holds>> =
            using.map(|(_, own)| own.iter().find(|own| own.what == pull_up_of(input))).collect();
        let own = own.unwrap_or_default();
        let Some(grade) = own.iter().map(|own| own.grade).max() else { continue };
        let legs: BTreeSet<Leg> = own.iter().flat_map(|own| own.legs.iter().copied()).collect();
        let from = own.iter().filter_map(|own| own.from).reduce(f64::max).map(Ohms::new).transpose()?;
        let to = own.iter().filter_map(|own| own.to).reduce(f64::min).map(Ohms::new).transpose()?;
        all.push(tell(input, taken, legs.into_iter().collect(), grade, from, to));
    }
    Ok(all)
}

/// Whether a contact that the machine reads through an input is joined to anything.
fn is_joined(assembly: &Assembly, input: &InputCircuit) -> bool {
    let of_input =
        |contact: &ContactId| assembly.port.input_of(*contact).is_some_and(|own| own.name == input.name);
    let own = assembly.port.contacts.keys().filter(|contact| of_input(contact));
    own.copied().any(|contact| assembly.lead.joined(Leg::port(contact)).next().is_some())
}

/// Whether every limit is certainly kept over the range of a pull-up.
///
/// # Errors
/// Says which value of a profile cannot be an element's.
pub(crate) fn is_borne_with(assembly: &Assembly, holds: &Holds) -> Result<bool, Unbuilt> {
    let Some(input) = assembly.port.inputs.values().find(|input| holds.what == pull_up_of(input)) else {
        return Ok(false);
    };
    let mut other = assembly.clone();
    let ohms = |at: Option<f64>, end: Ohms| at.map_or(Ok(end), Ohms::new);
    let (low, high) = (ohms(holds.from, STRONGEST)?, ohms(holds.to, WEAKEST)?);
    let typical = input.pull_up.map_or(low, Triple::typical).max(low).min(high);
    if let (Some(input), Ok(triple)) =
        (other.port.inputs.get_mut(&input.name), Triple::new(low, typical, high))
    {
        input.pull_up = Some(triple);
        return is_borne(&other, &Moving::of(&other));
    }
    Ok(false)
}

fn pull_up_of(input: &InputCircuit) -> String {
    format!("pull-up of {}", input.name)
}

fn pull_up(
    assembly: &Assembly,
    moving: &Moving,
    input: &InputCircuit,
    (actions, grades): (&[ActionProof], &BTreeMap<String, Grade>),
) -> Result<Option<Holds>, Unbuilt> {
    let Some(taken) = input.pull_up else { return Ok(None) };
    if input.fact.evidence == Evidence::Published {
        return Ok(None);
    }
    let of_input = |leg: &Leg| assembly.port.input_of(leg.contact).is_some_and(|own| own.name == input.name);
    let used: Vec<&ActionProof> = actions.iter().filter(|action| of_input(&action.leg)).collect();
    let legs: Vec<Leg> = used
        .iter()
        .filter(|action| assembly.lead.joined(action.leg).next().is_some())
        .map(|action| action.leg)
        .collect();
    if legs.is_empty() {
        return Ok(None);
    }
    let graded = grades.get(&input.name).copied().unwrap_or(Grade::Works);
    let active = samples(assembly, &used, |action| action.active.as_ref());
    let idle = samples(assembly, &used, |action| action.idle.as_ref());
    let with = |low: Ohms, high: Ohms| {
        let mut other = assembly.clone();
        if let (Some(input), Ok(triple)) = (
            other.port.inputs.get_mut(&input.name),
            Triple::new(low, taken.typical().max(low).min(high), high),
        ) {
            input.pull_up = Some(triple);
        }
        other
    };
    let from = edge(taken.low(), STRONGEST, |low| are_read(&with(low, taken.high()), &active, graded))?;
    let to = edge(taken.high(), WEAKEST, |high| are_read(&with(taken.low(), high), &idle, graded))?;
    // The stronger a pull-up, the more flows wherever it leads: limits end the range where they are passed.
    // What holds over the whole range holds over each part of it.
    let strongest = from.unwrap_or(STRONGEST);
    let whole = with(strongest, to.unwrap_or(WEAKEST));
    if reads_no_worse(&whole, grades, moving)? && is_borne(&whole, moving)? {
        return Ok(Some(tell(input, taken, legs, graded, from, to)));
    }
    let tried = (from, to);
    let from = match overload(&with(strongest, taken.high()), moving)? {
        None => from,
        Some(overload) => borne(taken.low(), strongest, overload, |low| with(low, taken.high()), moving)?,
    };
    // The edges were sought at the samples that are worst now, one at a time: all samples and limits have the last
    // word. Where both ends together are too much, the end that was taken stands for one of them.
    let ends = [(from, to), (from, Some(taken.high())), (Some(taken.low()), to)];
    for (from, to) in ends.into_iter().filter(|ends| *ends != tried) {
        let whole = with(from.unwrap_or(STRONGEST), to.unwrap_or(WEAKEST));
        if reads_no_worse(&whole, grades, moving)? && is_borne(&whole, moving)? {
            return Ok(Some(tell(input, taken, legs, graded, from, to)));
        }
    }
    Ok(None)
}

/// Whether no class of input reads with a worse grade than it did.
fn reads_no_worse(
    now: &Assembly,
    before: &BTreeMap<String, Grade>,
    moving: &Moving,
) -> Result<bool, Unbuilt> {
    for (input, before) in before {
        if grade_of_input(now, input, moving)? > *before {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Whether every limit is certainly kept.
fn is_borne(assembly: &Assembly, moving: &Moving) -> Result<bool, Unbuilt> {
    Ok(overload(assembly, moving)?.is_none())
}

/// A limit that is not certainly kept.
enum Overload {
    /// In this state.
    At(Culprit),
    /// No single state shows it.
    Somewhere,
}

/// The first limit that is not certainly kept.
fn overload(assembly: &Assembly, moving: &Moving) -> Result<Option<Overload>, Unbuilt> {
    let is_too_much = |finding: &Finding| finding.severity >= Severity::Fail || finding.is_open();
    let enough = Enough { finding: &is_too_much, doubt: false };
    let loads = loads(assembly, moving, Asked::Until(enough))?;
    let is_borne = !loads.findings.iter().any(is_too_much);
    Ok((!is_borne).then(|| loads.culprit.map_or(Overload::Somewhere, Overload::At)))
}

/// Finds how strong a pull-up may be for every limit to be kept, as [`edge`] does, from the limit that was passed at the
/// bound: where one limit ends the range, only that is asked of each value, and all limits of the one that is told. If another is
/// passed there, it is asked as well from then on.
fn borne(
    holds_at: Ohms,
    bound: Ohms,
    passed: Overload,
    with: impl Fn(Ohms) -> Assembly,
    moving: &Moving,
) -> Result<Option<Ohms>, Unbuilt> {
    let mut culprits = Vec::new();
    let mut passed = passed;
    while let Overload::At(culprit) = passed {
        if culprits.contains(&culprit) {
            break;
        }
        culprits.push(culprit);
        let [good, bad] = halved(holds_at, bound, |low| {
            let assembly = with(low);
            for culprit in &culprits {
                if !is_kept(&assembly, moving, culprit)? {
                    return Ok(false);
                }
            }
            Ok(true)
        })?;
        // What is told is asked: nearer to the edge much is left open that has to be looked into.
        let told = rounded(holds_at, good, bad)?;
        match if told == holds_at { None } else { overload(&with(told), moving)? } {
            None => return Ok(Some(told)),
            Some(other) => passed = other,
        }
    }
    edge(holds_at, bound, |low| is_borne(&with(low), moving))
}

/// Finds how far a value can go from one that holds towards a bound, to two digits on the safe side;
/// none if it holds all the way.
fn edge(
    holds_at: Ohms,
    bound: Ohms,
    mut holds: impl FnMut(Ohms) -> Result<bool, Unbuilt>,
) -> Result<Option<Ohms>, Unbuilt> {
    if holds(bound)? {
        return Ok(None);
    }
    let [good, bad] = halved(holds_at, bound, holds)?;
    rounded(holds_at, good, bad).map(Some)
}

/// Halves the ratio between a value that holds and one that does not.
fn halved(
    holds_at: Ohms,
    bound: Ohms,
    mut holds: impl FnMut(Ohms) -> Result<bool, Unbuilt>,
) -> Result<[f64; 2], Unbuilt> {
    let (mut good, mut bad) = (holds_at.get(), bound.get());
    for _ in 0..HALVINGS {
        let middle = (good * bad).sqrt();
        if holds(Ohms::new(middle)?)? { good = middle } else { bad = middle }
    }
    Ok([good, bad])
}

/// A value that holds, to two digits on the safe side, though no further than the one that was taken.
fn rounded(holds_at: Ohms, good: f64, bad: f64) -> Result<Ohms, Unbuilt> {
    // Two digits, away from the side where it breaks.
    let unit = libm::pow(10.0, libm::floor(libm::log10(good)) - 1.0);
    let steps = if bad < good { libm::ceil(good / unit) } else { libm::floor(good / unit) };
    let rounded = steps * unit;
    let beyond = if bad < good { rounded > holds_at.get() } else { rounded < holds_at.get() };
    Ok(if beyond { holds_at } else { Ohms::new(rounded)? })
}

/// The samples where the actions read worst on one side.
fn samples(
    assembly: &Assembly,
    actions: &[&ActionProof],
    side: impl Fn(&ActionProof) -> Option<&crate::readings::Worst>,
) -> Vec<(Action, State, Step)> {
    let mut samples = Vec::new();
    for action in actions {
        let Some(worst) = side(action) else { continue };
        if let Some(step) = assembly.port.steps.iter().find(|step| step.name == worst.step) {
            samples.push((action.action.clone(), worst.state.iter().cloned().collect(), step.clone()));
        }
    }
    samples
}

fn tell(
    input: &InputCircuit,
    taken: Triple<Ohms>,
    legs: Vec<Leg>,
    graded: Grade,
    from: Option<Ohms>,
    to: Option<Ohms>,
) -> Holds {
    let verb = if graded == Grade::Works { "works" } else { "works without margin" };
    let range = match (from, to) {
        (Some(from), Some(to)) => format!("from {from} to {to}"),
        (Some(from), None) => format!("above {from}"),
        (None, Some(to)) => format!("below {to}"),
        (None, None) => "of any strength".to_owned(),
    };
    let text =
        format!("{verb} for pull-ups {range}; {} {} to {}", input.fact.evidence, taken.low(), taken.high());
    let first = legs.first().map_or(String::new(), Leg::to_string);
    let settle = format!(
        "read `{first}` against the return, open and then with 10 kΩ across: the pull-up is 10 kΩ × (open ÷ loaded − 1)"
    );
    Holds {
        what: pull_up_of(input),
        legs,
        unit: <Ohms as Quantity>::SYMBOL,
        from: from.map(Ohms::get),
        to: to.map(Ohms::get),
        taken: [taken.low(), taken.typical(), taken.high()].map(Ohms::get),
        evidence: input.fact.evidence,
        text,
        settle,
        grade: graded,
    }
}

/// How little a supply may give, where its limit is not published.
fn supply_limit(assembly: &Assembly, load: &Load) -> Option<Holds> {
    let contact = assembly.port_contact(load.leg)?;
    let evidence = if load.stated { contact.fact.evidence } else { Evidence::Assumed };
    if evidence == Evidence::Published {
        return None;
    }
    let volts = assembly.port.rail.typical();
    // Not the controller alone: chips, pull-ups and a donor in the lead are fed from there too.
    let is_wire = assembly.lead.parts.is_empty() && assembly.donor.is_none();
    let takers = match (is_wire, assembly.controllers.len()) {
        (true, 0 | 1) => "the controller takes at most",
        (true, _) => "both controllers take together at most",
        (false, 0 | 1) => "the lead and the controller take together at most",
        (false, _) => "the lead and both controllers take together at most",
    };
    Some(Holds {
        what: format!("limit of the supply {}", load.leg),
        legs: vec![load.leg],
        unit: "A",
        from: Some(load.amps.get()),
        to: None,
        taken: [load.limit.get(); 3],
        evidence,
        text: format!(
            "harms nothing while the supply `{}` may give {}; {evidence} {}",
            load.leg, load.amps, load.limit
        ),
        settle: format!(
            "look the limit up for the exact machine; {} at {} is what {takers}",
            load.amps,
            Volts::max(volts, Volts::ZERO)
        ),
        grade: Grade::Works,
    })
}

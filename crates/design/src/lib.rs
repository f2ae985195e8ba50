//! Leads for a controller and a port: each option is proved, and what cannot be had is refused with
//! the facts that forbid it, of which none can be spared.
//!
//! This crate judges nothing itself: an option is one because `proof` says so.

mod atlas;
mod counting;
mod donor;
mod facts;
mod logic;
mod pads;
mod parts;
mod plain;
mod program;
mod second;
mod switched;
mod tied;
mod wishes;

use std::cmp::Ordering;

use donor::Candidate;
use facts::Means;
use plain::Problem;
use second::with_second;
use solderside_lead::{Assembly, Leg, Unbuilt};
use solderside_profile::{Action, Axis, Control, Controller, Port};
use solderside_proof::{MovedBy, Proof, Verdict, prove_briefly, prove_to_build};
use solderside_quantity::Volts;
use solderside_trade::ContactId;
use switched::with_switches;

pub use atlas::{ATLAS_CLASSES, Best, Square, atlas, is_one_controller, is_one_port};
pub use counting::Alike;
pub use donor::NotADonor;
pub use facts::{Fact, FactKind};
pub use pads::{Donors, Pads};
pub use program::{Answer, Count, ProgramTask, Shown, Watch};
pub use wishes::{SecondWish, SwitchWish, Wishes};

/// What a lead is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Wire only.
    Plain,
    /// Wire with diodes, resistors, or a switch that stays where it is put.
    Parts,
    /// Wire into the port's own pad, opened.
    Donor,
    /// Logic chips, no program.
    Logic,
    /// A program in a microcontroller: what it must do is told, and no lead is proposed.
    Program,
}

/// One way to build a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// What it is made of.
    pub class: Class,
    /// The lead with what it is plugged into.
    pub assembly: Assembly,
    /// Its proof.
    pub proof: Proof,
    /// The actions that the default play map would give a control, and that this lead goes without.
    pub given_up: Vec<Action>,
}

/// One reason why there is no lead of a class.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// The class.
    pub class: Class,
    /// The facts that forbid it together, what was asked last: these alone leave no lead, and without any one
    /// of them the others leave one. That the port is none, or that wire serves, stands alone.
    pub facts: Vec<Fact>,
    /// The nearest thing to a lead, with its findings.
    pub nearest: Choice,
}

/// All that was found.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Designs {
    /// The ways to build it, the best first: the better verdict, then directions that are played, fewer controls lost that
    /// are nice to have, fewer actions given up, the plainer class, fewer parts, fewer joints, the wider margin.
    pub options: Vec<Choice>,
    /// Why there is none of a class: one entry for each conflict that stands in the way by itself.
    pub refused: Vec<Refusal>,
    /// Whether parts were tried where wire is refused, and mend nothing.
    pub parts_mend_nothing: bool,
    /// The pads that were tried as donors and cannot serve.
    pub not_donors: Vec<NotADonor>,
    /// What a program must do, where it is allowed and no lead of another class serves all that is asked.
    pub program: Option<ProgramTask>,
}

impl Designs {
    /// No lead of a class, for one reason that needs no search.
    fn refused(class: Class, fact: Fact, nearest: Choice) -> Self {
        let refusal = Refusal { class, facts: vec![fact], nearest };
        Self { refused: vec![refusal], ..Self::default() }
    }

    /// Whether what forbids a lead of one class forbids one of any: the socket is none for a controller, or nothing is asked.
    pub(crate) fn forbids_all(&self) -> bool {
        let is_final = |fact: &Fact| matches!(fact.kind, FactKind::NoPort | FactKind::NothingAsked);
        self.refused.iter().flat_map(|refusal| &refusal.facts).any(is_final)
    }

    /// Whether a lead of wire alone serves all that is asked, and only leads of other classes were allowed.
    pub fn wire_serves(&self) -> bool {
        self.refused.iter().flat_map(|refusal| &refusal.facts).any(|fact| fact.kind == FactKind::WireServes)
    }
}

impl Class {
    /// All classes, the plainest first.
    pub const ALL: [Self; 5] = [Self::Plain, Self::Parts, Self::Donor, Self::Logic, Self::Program];

    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Parts => "parts",
            Self::Donor => "donor",
            Self::Logic => "logic",
            Self::Program => "program",
        }
    }
}

impl std::fmt::Display for Class {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

/// Designs leads from a controller to a port.
///
/// With a switch wished there is that lead or none: it is one of wire in each position, and proved in all. With a second
/// controller wished the options are those for the first alone whose lead bears the second too; donors and programs are
/// not asked.
///
/// Where wire alone serves all that is asked, and loses nothing that another class would keep, that is the one
/// option. Else the options are leads with parts and with chips that serve it all, leads into a pad as a donor, and
/// leads of wire that go without what only the default play map asks; what stands in the way is told by its facts.
/// Where no lead of the allowed classes serves it all and a program could, what that must do is told.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn design(controller: &Controller, port: &Port, wishes: &Wishes) -> Result<Designs, Unbuilt> {
    if let Some(second) = &wishes.second {
        return with_second(controller, port, wishes, second);
    }
    if !wishes.switches.is_empty() {
        return with_switches(controller, port, wishes);
    }
    designed(&Problem::new(controller, port, wishes)?, wishes, &Candidate::all(&wishes.donors, port))
}

/// Designs leads as [`design`] does without wishes, and proves them [briefly](prove_briefly); none that could not come
/// out as the best.
pub(crate) fn briefly(
    controller: &Controller,
    port: &Port,
    pads: &[Candidate<'_>],
) -> Result<Designs, Unbuilt> {
    let wishes = Wishes::default();
    designed(&Problem { is_brief: true, ..Problem::new(controller, port, &wishes)? }, &wishes, pads)
}

fn designed(problem: &Problem, wishes: &Wishes, pads: &[Candidate<'_>]) -> Result<Designs, Unbuilt> {
    let port = &problem.port;
    let OfWire { best: nearest, fits } = OfWire::of(problem)?;
    if let Some(fact) = facts::speaks(port) {
        let program = wishes.allows(Class::Program).then(|| ProgramTask::of_bus(problem)).flatten();
        return Ok(Designs { program, ..Designs::refused(Class::Plain, fact, nearest) });
    }
    if let Some(fact) = facts::no_port(port).or_else(|| facts::nothing_asked(&nearest)) {
        return Ok(Designs::refused(Class::Plain, fact, nearest));
    }
    let is_whole = !nearest.assembly.plays_no_direction();
    if fits && is_whole && wishes.allows(Class::Plain) {
        return Ok(Designs { options: vec![nearest], ..Designs::default() });
    }
    let allows = |class| wishes.allows(class);
    let mut options = with_parts(problem, allows)?;
    let is_for_chips = !options.iter().any(Choice::works);
    let mut not_donors = Vec::new();
    let in_reach = problem.within_reach();
    let in_reach = in_reach.as_ref().unwrap_or(problem);
    if allows(Class::Donor) && !is_settled(problem, &options) {
        let (found, others) = in_reach.with_donors(pads)?;
        for lead in found {
            let given_up = [in_reach.given_up.clone(), lead.given_up].concat();
            let own = Problem { given_up, ..in_reach.clone() };
            options.push(proved(&own, Class::Donor, lead.judged.assembly)?);
        }
        not_donors = others;
    }
    if is_for_chips && !is_settled(problem, &options) {
        options.extend(with_chips(in_reach, allows)?);
    }
    // They were looked for by the grade of their lines alone: the proof has the last word.
    let is_sound = |choice: &Choice| choice.proof.verdict.is_sound();
    options.retain(is_sound);
    if fits {
        // What costs more has to lose less; a donor that somebody has costs nothing.
        options.retain(|choice| {
            choice.class == Class::Donor || !is_whole && !choice.assembly.plays_no_direction()
        });
        if wishes.allows(Class::Plain) {
            options.push(nearest);
        } else if options.is_empty() {
            return Ok(Designs {
                not_donors,
                ..Designs::refused(wishes.plainest(), facts::wire_serves(), nearest)
            });
        }
        options.sort_by(|one, other| by_merit(&problem.nice, one, other));
        return Ok(Designs { options, not_donors, ..Designs::default() });
    }
    let conflicts = facts::conflicts(problem, &nearest, Means::Wire)?;
    let parts_mend_nothing =
        wishes.allows(Class::Parts) && options.iter().all(|choice| choice.class != Class::Parts);
    let is_served = options.iter().any(|choice| choice.given_up.is_empty());
    let barred = if is_served { Vec::new() } else { barred(problem, wishes)? };
    let mut refused: Vec<Refusal> = conflicts
        .iter()
        .map(|facts| Refusal {
            class: Class::Plain,
            facts: facts::with_bars(facts, &barred),
            nearest: nearest.clone(),
        })
        .collect();
    // A join that somebody wishes goes from contact to contact.
    let is_asked = !is_served && barred.is_empty() && !problem.is_brief;
    if is_asked && wishes.joins.is_empty() && wishes.allows(Class::Logic) {
        refused.extend(without_chips(in_reach, &nearest, &conflicts)?);
    }
    let wants_program = wishes.allows(Class::Program)
        && !is_served
        && (barred.is_empty() || wishes.classes.contains(&Class::Program));
    let program = if wants_program { ProgramTask::of(problem) } else { None };
    if !is_settled(problem, &options) {
        let are_chips_better = options.iter().any(|choice| choice.class == Class::Logic);
        let lesser = without(problem, &conflicts, is_served || are_chips_better, allows)?;
        options.extend(lesser.into_iter().filter(is_sound));
    }
    options.sort_by(|one, other| by_merit(&problem.nice, one, other));
    Ok(Designs { options, refused, parts_mend_nothing, not_donors, program })
}

/// Whether only the best lead is asked for, and one of these is better than any of a class that costs more.
fn is_settled(problem: &Problem, options: &[Choice]) -> bool {
    let is_best = |choice: &Choice| {
        choice.works() && choice.given_up.is_empty() && !choice.assembly.plays_no_direction()
    };
    problem.is_brief && options.iter().any(is_best)
}

/// The leads with parts that serve all that is asked, and where none of them works one with chips.
fn with_more(problem: &Problem, allows: impl Fn(Class) -> bool) -> Result<Vec<Choice>, Unbuilt> {
    let mut options = with_parts(problem, &allows)?;
    if !options.iter().any(Choice::works) {
        options.extend(with_chips(problem, &allows)?);
    }
    Ok(options)
}

fn with_parts(problem: &Problem, allows: impl Fn(Class) -> bool) -> Result<Vec<Choice>, Unbuilt> {
    if !allows(Class::Parts) {
        return Ok(Vec::new());
    }
    let leads = problem.with_parts()?;
    leads.into_iter().map(|lead| proved(problem, Class::Parts, lead.assembly)).collect()
}

fn with_chips(problem: &Problem, allows: impl Fn(Class) -> bool) -> Result<Option<Choice>, Unbuilt> {
    if !allows(Class::Logic) {
        return Ok(None);
    }
    problem.with_logic()?.map(|lead| proved(problem, Class::Logic, lead.assembly)).transpose()
}

/// What of the allowed classes and of the drawer stands in the way, where a lead exists without that: each of the
/// facts has to go.
fn barred(problem: &Problem, wishes: &Wishes) -> Result<Vec<Fact>, Unbuilt> {
    let is_short = [Class::Parts, Class::Logic].iter().any(|class| !wishes.allows(*class));
    let full = Problem { drawer: None, ..problem.clone() };
    let own = |class| wishes.allows(class);
    let classes = facts::only_classes(wishes);
    let missing = |choices: &[Choice]| {
        let drawer = wishes.drawer.as_ref()?;
        choices.iter().map(|choice| facts::not_in_drawer(drawer, &choice.assembly.lead)).next()
    };
    if is_short && !with_more(problem, |_| true)?.is_empty() {
        return Ok(vec![classes]);
    }
    if problem.drawer.is_none() {
        return Ok(Vec::new());
    }
    if let Some(fact) = missing(&with_more(&full, own)?) {
        return Ok(vec![fact]);
    }
    if is_short && let Some(fact) = missing(&with_more(&full, |_| true)?) {
        return Ok(vec![classes, fact]);
    }
    Ok(Vec::new())
}

/// Why there is no lead with chips either, where that is for other reasons than with wire.
fn without_chips(
    problem: &Problem,
    nearest: &Choice,
    of_wire: &[Vec<Fact>],
) -> Result<Vec<Refusal>, Unbuilt> {
    let composed = problem.first_with_logic().map(|lead| proved(problem, Class::Logic, lead)).transpose()?;
    let nearest = composed.unwrap_or_else(|| nearest.clone());
    let conflicts = facts::conflicts(problem, &nearest, Means::All)?;
    let told = conflicts.into_iter().filter(|facts| !of_wire.contains(facts));
    Ok(told.map(|facts| Refusal { class: Class::Logic, facts, nearest: nearest.clone() }).collect())
}

/// What there is of wire.
struct OfWire {
    /// The best lead, sound or not, over every return and every supply that the port has.
    best: Choice,
    /// Whether it is what was asked.
    fits: bool,
}

impl OfWire {
    fn of(problem: &Problem) -> Result<Self, Unbuilt> {
        let brief = |lead: Assembly| {
            let proof = prove_briefly(&lead)?;
            problem.known.keep(&lead, &proof);
            Ok::<_, Unbuilt>(Choice {
                class: Class::Plain,
                assembly: lead,
                proof,
                given_up: problem.given_up.clone(),
            })
        };
        let mut leads = problem.leads();
        // There is always one way, if only that without return and supply.
        let mut best = brief(leads.next().unwrap_or_else(|| problem.joined(None, None)))?;
        let rank = |choice: &Choice| (choice.proof.verdict, choice.proof.findings.len());
        for lead in leads {
            let other = brief(lead)?;
            if rank(&other) < rank(&best) {
                best = other;
            }
        }
        if !problem.is_brief {
            best = proved(problem, Class::Plain, best.assembly)?;
        }
        let fits = problem.accepts(&best.assembly, &best.proof.findings, &best.proof.controls_lost);
        Ok(Self { best, fits })
    }
}

/// The leads that go without one action of each conflict, where only the default play map asks for one; directions are
/// never given up. If what wire does then is not all that is left to ask, or plays no direction, there is one with chips
/// beside it unless chips serve all that is asked.
fn without(
    problem: &Problem,
    conflicts: &[Vec<Fact>],
    are_chips_better: bool,
    allows: impl Fn(Class) -> bool,
) -> Result<Vec<Choice>, Unbuilt> {
    let mut lesser = problem.clone();
    for conflict in conflicts {
        let wished = conflict.iter().rev().filter_map(|fact| fact.kind.wished());
        let spared =
            wished.filter(|action| problem.may_give_up(action)).min_by_key(|action| problem.is_nice(action));
        if let Some(action) = spared {
            lesser.give_up(action);
        }
    }
    if lesser.given_up.is_empty() {
        return Ok(Vec::new());
    }
    let OfWire { best, fits } = OfWire::of(&lesser)?;
    let is_whole = fits && !best.assembly.plays_no_direction();
    let mut options = Vec::new();
    if !is_whole && !are_chips_better {
        options = with_more(&lesser, &allows)?;
        options.retain(|choice| !choice.assembly.plays_no_direction());
    }
    options.extend((fits && allows(Class::Plain)).then_some(best));
    Ok(options)
}

fn proved(problem: &Problem, class: Class, assembly: Assembly) -> Result<Choice, Unbuilt> {
    let proof = if problem.is_brief { prove_briefly(&assembly)? } else { prove_to_build(&assembly)? };
    Ok(Choice { class, assembly, proof, given_up: problem.given_up.clone() })
}

/// Which of two options is the better one.
fn by_merit(nice: &[Control], one: &Choice, other: &Choice) -> Ordering {
    let merit = |choice: &Choice| {
        let lead = &choice.assembly.lead;
        let nice = nice.iter().filter(|control| choice.proof.controls_lost.contains(control)).count();
        let is_idle = choice.assembly.plays_no_direction();
        (
            (choice.proof.verdict, is_idle, nice, choice.given_up.len()),
            (choice.class, lead.parts.len(), lead.soldered().count()),
        )
    };
    // Of two that are alike in all that, the one with the wider margin.
    let margin = |choice: &Choice| choice.margin().map_or(f64::INFINITY, Volts::get);
    merit(one).cmp(&merit(other)).then(margin(other).total_cmp(&margin(one)))
}

impl Choice {
    /// Whether its proof comes to `works`.
    fn works(&self) -> bool {
        self.proof.verdict == Verdict::Works
    }

    /// The least margin of all its actions; none if nothing is read as a level.
    pub fn margin(&self) -> Option<Volts> {
        self.proof.actions.iter().filter_map(|action| action.margin).reduce(Volts::min)
    }

    /// How many joints are soldered.
    pub fn joints(&self) -> usize {
        2 * self.assembly.lead.soldered().count()
    }

    /// The axes of the port that nothing moves.
    pub fn axes_lost(&self) -> Vec<&Axis> {
        let is_moved = |at: ContactId| self.proof.axes.iter().any(|axis| axis.leg == Leg::port(at));
        let axes = self.assembly.port.axes().filter(|(at, _)| !is_moved(*at));
        axes.map(|(_, axis)| &axis.axis).collect()
    }

    /// The axes of the controller that move nothing.
    pub fn pots_lost(&self) -> Vec<&Axis> {
        let moves = |at: ContactId| MovedBy::Pot(Leg::controller(at));
        let is_idle = |at: ContactId| self.proof.axes.iter().all(|axis| axis.moved_by != moves(at));
        let pots = self.assembly.controllers.iter().flat_map(Controller::axes);
        pots.filter(|(at, _)| is_idle(*at)).map(|(_, pot)| &pot.axis).collect()
    }

    /// The actions that another of the options plays and this one does not.
    pub fn actions_lost<'o>(&self, options: &'o [Self]) -> Vec<&'o Action> {
        let is_idle = |action: &Action| self.assembly.lead.play.controls(action).is_empty();
        let mut lost: Vec<&Action> = Vec::new();
        for (action, controls) in options.iter().flat_map(|option| option.assembly.lead.play.entries()) {
            if !controls.is_empty() && is_idle(action) && !lost.contains(&action) {
                lost.push(action);
            }
        }
        lost
    }
}

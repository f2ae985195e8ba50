//! Leads for a controller and a port: each option is proved, and what cannot be had is refused with
//! the facts that forbid it, of which none can be spared.
//!
//! This crate judges nothing itself: an option is one because `proof` says so.

mod atlas;
mod donor;
mod facts;
mod logic;
mod parts;
mod plain;
mod switched;
mod wishes;

use std::cmp::Ordering;

use plain::Problem;
use solderside_lead::{Assembly, Unbuilt};
use solderside_profile::{Action, Controller, Port};
use solderside_proof::{Proof, Verdict, prove_unless_harm};
use switched::with_switches;

pub use atlas::{Best, Square, atlas, is_one_controller, is_one_port};
pub use donor::NotADonor;
pub use facts::{Fact, FactKind};
pub use wishes::{SwitchWish, Wishes};

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
#[derive(Debug, Clone, PartialEq)]
pub struct Designs {
    /// The ways to build it, the best first: the better verdict, then directions that are played, fewer actions given up,
    /// the plainer class, fewer parts, fewer joints, the wider margin.
    pub options: Vec<Choice>,
    /// Why there is none of a class: one entry for each conflict that stands in the way by itself.
    pub refused: Vec<Refusal>,
    /// Whether parts were tried where wire is refused, and mend nothing.
    pub parts_mend_nothing: bool,
    /// The pads that were tried as donors and cannot serve.
    pub not_donors: Vec<NotADonor>,
}

impl Designs {
    /// No lead of a class, for one reason that needs no search.
    fn refused(class: Class, fact: Fact, nearest: Choice) -> Self {
        let refusal = Refusal { class, facts: vec![fact], nearest };
        Self {
            options: Vec::new(),
            refused: vec![refusal],
            parts_mend_nothing: false,
            not_donors: Vec::new(),
        }
    }

    /// Whether a lead of wire alone serves all that is asked, and only leads of other classes were allowed.
    pub fn wire_serves(&self) -> bool {
        self.refused.iter().flat_map(|refusal| &refusal.facts).any(|fact| fact.kind == FactKind::WireServes)
    }
}

impl Class {
    /// All classes, the plainest first.
    pub const ALL: [Self; 4] = [Self::Plain, Self::Parts, Self::Donor, Self::Logic];

    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Parts => "parts",
            Self::Donor => "donor",
            Self::Logic => "logic",
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
/// With a switch wished there is that lead or none: it is one of wire in each position, and proved in all.
///
/// Where wire alone serves all that is asked, that is the one option, unless chips could let a lever move axes that it
/// cannot. Where it does not, the facts that forbid it are told, and the options are leads with parts, leads into a pad
/// that is named as a donor, leads with chips where no parts do, and leads of wire that go without what only the default
/// play map asks.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub fn design(controller: &Controller, port: &Port, wishes: &Wishes) -> Result<Designs, Unbuilt> {
    if !wishes.switches.is_empty() {
        return with_switches(controller, port, wishes);
    }
    let problem = Problem::new(controller, port, wishes);
    let (nearest, fits) = of_wire(&problem, &[])?;
    if let Some(fact) = facts::no_port(port).or_else(|| facts::nothing_asked(&nearest)) {
        return Ok(Designs::refused(Class::Plain, fact, nearest));
    }
    let gains_directions = problem.steers() && wishes.allows(Class::Logic);
    if fits && wishes.allows(Class::Plain) && !gains_directions {
        let options = vec![nearest];
        let refused = Vec::new();
        return Ok(Designs { options, refused, parts_mend_nothing: false, not_donors: Vec::new() });
    }
    let conflicts = if fits { Vec::new() } else { facts::conflicts(&problem, &nearest)? };
    let mut options = Vec::new();
    if wishes.allows(Class::Parts) {
        for judged in problem.with_parts()? {
            options.push(proved(Class::Parts, judged.assembly, Vec::new())?);
        }
    }
    let parts_mend_nothing = wishes.allows(Class::Parts) && options.is_empty();
    let mut not_donors = Vec::new();
    if wishes.allows(Class::Donor) {
        let (found, others) = problem.with_donors(&wishes.donors)?;
        for lead in found {
            options.push(proved(Class::Donor, lead.judged.assembly, lead.given_up)?);
        }
        not_donors = others;
    }
    let is_served = |choice: &Choice| choice.class == Class::Parts && choice.proof.verdict == Verdict::Works;
    if wishes.allows(Class::Logic)
        && (!fits || gains_directions)
        && !options.iter().any(is_served)
        && let Some(judged) = problem.with_logic()?
    {
        options.push(proved(Class::Logic, judged.assembly, Vec::new())?);
    }
    if fits && wishes.allows(Class::Plain) {
        options.push(nearest.clone());
    }
    if fits && options.is_empty() {
        let dearest =
            [Class::Parts, Class::Donor, Class::Logic].into_iter().find(|class| wishes.allows(*class));
        let class = dearest.unwrap_or(Class::Parts);
        return Ok(Designs { not_donors, ..Designs::refused(class, facts::wire_serves(), nearest) });
    }
    if !fits && wishes.allows(Class::Plain) {
        options.extend(without(&problem, &conflicts)?);
    }
    options.sort_by(by_merit);
    let refused =
        conflicts.into_iter().map(|facts| Refusal { class: Class::Plain, facts, nearest: nearest.clone() });
    Ok(Designs { options, refused: refused.collect(), parts_mend_nothing, not_donors })
}

/// The best lead of wire, sound or not, over every return and every supply that the port has; and whether it is
/// what was asked.
fn of_wire(problem: &Problem, given_up: &[Action]) -> Result<(Choice, bool), Unbuilt> {
    let prove = |lead: Assembly| proved(Class::Plain, lead, given_up.to_vec());
    let mut leads = problem.leads();
    // There is always one way, if only that without return and supply.
    let mut choice = prove(leads.next().unwrap_or_else(|| problem.joined(None, None)))?;
    let rank = |choice: &Choice| (choice.proof.verdict, choice.proof.findings.len());
    for lead in leads {
        let other = prove(lead)?;
        if rank(&other) < rank(&choice) {
            choice = other;
        }
    }
    let fits = problem.accepts(&choice.assembly, &choice.proof.findings, &choice.proof.controls_lost);
    Ok((choice, fits))
}

/// The lead of wire that goes without one action of each conflict, where only the default play map asks for
/// one; directions are never given up.
fn without(problem: &Problem, conflicts: &[Vec<Fact>]) -> Result<Option<Choice>, Unbuilt> {
    let mut lesser = problem.clone();
    let mut given_up = Vec::new();
    for conflict in conflicts {
        let mut wished = conflict.iter().rev().filter_map(|fact| fact.kind.wished());
        let spared = wished.find(|action| problem.may_give_up(action));
        let Some(action) = spared else { return Ok(None) };
        lesser.give_up(action);
        given_up.push(action.clone());
    }
    if given_up.is_empty() {
        return Ok(None);
    }
    let (choice, fits) = of_wire(&lesser, &given_up)?;
    Ok(fits.then_some(choice))
}

fn proved(class: Class, assembly: Assembly, given_up: Vec<Action>) -> Result<Choice, Unbuilt> {
    let proof = prove_unless_harm(&assembly)?;
    Ok(Choice { class, assembly, proof, given_up })
}

/// Which of two options is the better one.
fn by_merit(one: &Choice, other: &Choice) -> Ordering {
    let merit = |choice: &Choice| {
        let lead = &choice.assembly.lead;
        let is_still = choice.assembly.plays_no_direction();
        let joints = lead.soldered().count();
        (choice.proof.verdict, is_still, choice.given_up.len(), choice.class, lead.parts.len(), joints)
    };
    // Of two that are alike in all that, the one with the wider margin.
    let margin = |choice: &Choice| {
        let margins = choice.proof.actions.iter().filter_map(|action| action.margin);
        margins.fold(f64::INFINITY, |least, margin| least.min(margin.get()))
    };
    merit(one).cmp(&merit(other)).then(margin(other).total_cmp(&margin(one)))
}

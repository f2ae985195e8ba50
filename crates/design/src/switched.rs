//! A lead of wire with a switch that chooses what a control does.
//!
//! With the switch in either position it has to be the lead of wire that would be made for that position alone. So these
//! are found first; where one is refused, its refusal is told. The switch stands in the one wire in which they differ.

use solderside_lead::{
    Assembly, Changeover, ChangeoverPosition, EndId, Join, Leg, Part, PartId, PlayMap, Unbuilt, default_map,
};
use solderside_profile::{Action, Body, Control, Controller, LONGEST_NAME, Port};
use solderside_proof::prove_to_build;
use solderside_trade::ChangeoverPart;

use crate::facts::{self, Means};
use crate::parts::{is_wrong, sit_where_there_is_a_hood};
use crate::plain::Problem;
use crate::wishes::{SwitchWish, Wishes};
use crate::{Choice, Class, Designs, OfWire, Refusal};

/// Designs the lead with all the switches that are wished.
///
/// # Errors
/// Says which value of a profile cannot be an element of a circuit.
pub(crate) fn with_switches(
    controller: &Controller,
    port: &Port,
    wishes: &Wishes,
) -> Result<Designs, Unbuilt> {
    let play = default_map(controller, port);
    // What each action has of controls that no switch moves.
    let fixed = |action: &Action| -> Vec<Control> {
        let wished = wishes.play.iter().rev().find(|(own, _)| own == action);
        let controls =
            wished.map_or_else(|| play.controls(action).to_vec(), |(_, controls)| controls.clone());
        let is_moved = |control: &Control| wishes.switches.iter().any(|switch| switch.control == *control);
        controls.into_iter().filter(|control| !is_moved(control)).collect()
    };
    // Every position by itself, the other switches in their first ones.
    let alone = |stands: &dyn Fn(usize) -> usize| alone(controller, port, wishes, &fixed, stands);
    let first = match alone(&|_| 0)? {
        Ok(assembly) => assembly,
        Err(refused) => return Ok(Designs { refused, ..Designs::default() }),
    };
    for at in 0..wishes.switches.len() {
        if let Err(refused) = alone(&|other| usize::from(other == at))? {
            return Ok(Designs { refused, ..Designs::default() });
        }
    }
    let assembly = joined(first, wishes, &fixed);
    let proof = prove_to_build(&assembly)?;
    let choice = Choice { class: Class::Parts, assembly, proof, given_up: Vec::new() };
    let wrong = choice.proof.findings.iter().find(|finding| is_wrong(finding)).map(|own| own.text.clone());
    let lost = wishes.must.iter().find(|control| choice.proof.controls_lost.contains(control));
    let why = wrong
        .or_else(|| lost.map(|control| format!("`{control}` must not be lost, and performs nothing there")));
    let Some(why) = why else { return Ok(Designs { options: vec![choice], ..Designs::default() }) };
    let facts = vec![facts::switched(&wishes.switches, &why)];
    let refused = vec![Refusal { class: Class::Parts, facts, nearest: choice }];
    Ok(Designs { refused, ..Designs::default() })
}

/// The lead of wire where each switch stands in one position for good, or why there is none.
fn alone(
    controller: &Controller,
    port: &Port,
    wishes: &Wishes,
    fixed: &dyn Fn(&Action) -> Vec<Control>,
    stands: &dyn Fn(usize) -> usize,
) -> Result<Result<Assembly, Vec<Refusal>>, Unbuilt> {
    let play = port.actions().into_iter().map(|action| {
        let mut controls = fixed(action);
        let moved =
            wishes.switches.iter().enumerate().filter(|(at, own)| own.actions[stands(*at)] == *action);
        controls.extend(moved.map(|(_, own)| own.control.clone()));
        (action.clone(), controls)
    });
    let is_switched = |control: &Control| wishes.switches.iter().any(|own| own.control == *control);
    let own = Wishes {
        play: play.collect(),
        must: wishes.must.iter().filter(|control| !is_switched(control)).cloned().collect(),
        switches: Vec::new(),
        ..wishes.clone()
    };
    let mut problem = Problem::new(controller, port, &own)?;
    let OfWire { best: nearest, fits } = OfWire::of(&problem)?;
    if let Some(fact) = facts::no_port(port).or_else(|| facts::nothing_asked(&nearest)) {
        return Ok(Err(vec![Refusal { class: Class::Plain, facts: vec![fact], nearest }]));
    }
    if fits {
        return Ok(Ok(nearest.assembly));
    }
    // What the default play map asks nobody wished; while inputs of the controller are tied in several ways it has to stay
    // as it is here.
    let default = default_map(controller, port);
    if problem.ties.is_empty() {
        for part in &mut problem.play {
            let is_named = wishes.play.iter().any(|(action, _)| *action == part.action);
            part.wished = is_named || part.controls != default.controls(&part.action);
        }
    }
    let conflicts = facts::conflicts(&problem, &nearest, Means::Wire)?;
    let refusal = |facts| Refusal { class: Class::Plain, facts, nearest: nearest.clone() };
    Ok(Err(conflicts.into_iter().map(refusal).collect()))
}

/// The lead of the first positions with a switch in the wire of each control that is moved.
fn joined(mut assembly: Assembly, wishes: &Wishes, fixed: &dyn Fn(&Action) -> Vec<Control>) -> Assembly {
    for (number, SwitchWish { control, actions }) in (1_u8..).zip(&wishes.switches) {
        let id = PartId::Changeover(number);
        let from = assembly.controllers.first().and_then(|own| own.contact_of(control)).map(Leg::controller);
        let to = actions.each_ref().map(|action| assembly.port.contact_of(action).map(Leg::port));
        let (Some(from), [Some(first), Some(second)]) = (from, to) else { continue };
        let lead = &mut assembly.lead;
        lead.joins.retain(|join| *join != Join::new(from, first));
        let leg = |name: &str| id.leg(name).map(|contact| Leg::part(id, contact));
        let ends = [(from, leg("common")), (first, leg("first")), (second, leg("second"))];
        lead.joins.extend(ends.into_iter().filter_map(|(end, leg)| Some(Join::new(end, leg?))));
        lead.parts.push(Part { number, body: Body::Changeover(ChangeoverPart::OnePole), sits: EndId::Port });
        let position = |own: &Action, which: usize| {
            let with = |action: &Action| {
                let own = (action == own).then(|| control.clone());
                (action.clone(), fixed(action).into_iter().chain(own).collect())
            };
            let name = format!("{control}-as-{own}");
            let name = if name.len() > LONGEST_NAME { format!("s{number}-{which}") } else { name };
            ChangeoverPosition { name, play: actions.iter().map(with).collect() }
        };
        let called = if number == 1 { "mode".to_owned() } else { format!("mode-{number}") };
        let positions = [position(&actions[0], 1), position(&actions[1], 2)];
        lead.changeovers.push(Changeover { part: id, called, positions, makes_first: false });
    }
    let mut play = PlayMap::default();
    for action in assembly.port.actions() {
        play.set(action.clone(), fixed(action));
    }
    let lead = &mut assembly.lead;
    lead.play = play;
    lead.name = format!("{}-with-switch", lead.name);
    lead.title = format!("{} with a switch", lead.title);
    sit_where_there_is_a_hood(&mut assembly);
    assembly.lead.settle();
    assembly
}

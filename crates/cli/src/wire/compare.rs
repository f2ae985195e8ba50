//! What is different between two leads.

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead as domain;
use solderside_lead::{Act, Assembly, REWIRING_CAUTIONS, Touch};
use solderside_proof::Judgement;

use super::lead::{Cord, Cores, Join};
use super::proof::Finding;
use super::{FORMAT, Lead};

/// The answer of `compare`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: compare")]
pub struct Compare {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The first lead.
    pub before: Lead,
    /// The second lead, its parts called as those of the first where they are alike and that asks for fewer moves.
    pub after: Lead,
    /// A number of moves that turns the first lead's nets into the second's.
    pub moves: usize,
    /// Whether no fewer would do; of leads with parts, and where the controller ends of a lead for two could change places,
    /// that is not claimed.
    pub fewest: bool,
    /// What to mind before the first step, and after the last.
    pub cautions: Vec<&'static str>,
    /// The moves in a safe order; none where what they would make is not to be built.
    pub steps: Vec<Step>,
    /// What becomes of each net.
    pub nets: Vec<NetChange>,
    /// The conductors that stay.
    pub stays: Vec<Stay>,
    /// The controls that play something else.
    pub controls: Vec<ControlChange>,
    /// The ends whose profile or connector is another.
    pub ends: Vec<EndChange>,
    /// The parts that come in or go out, a sentence each; only where one takes another's place is that a move.
    pub parts: Vec<String>,
    /// What is different of the switches that both leads have, a sentence each.
    pub switches: Vec<String>,
    /// Both cords if they are different; null if they are not. Rewiring leaves the first.
    pub cord: Option<CordChange>,
    /// Both cables if they are different; null if they are not. Rewiring leaves the first.
    pub cable: Option<CableChange>,
    /// The ends that are moulded on and at which a step moves a conductor. Instead it is taken off at the
    /// other end, and the core that ends in the new contact is soldered there.
    pub moulded_ends: Vec<String>,
    /// The first lead after the moves.
    pub rewired: Rewired,
}

/// One thing to do.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Step {
    /// What: take a conductor out; change an end's connector or a part; take a conductor off and leave it free;
    /// solder it elsewhere; put a new one in.
    #[schemars(extend("enum" = ["remove", "refit", "free", "move", "add"]))]
    pub act: &'static str,
    /// The conductor as it is in the first lead; null if it is new or the step is about an end.
    pub conductor: Option<Join>,
    /// The conductor as it will be; null if it is removed or the step is about an end.
    pub becomes: Option<Join>,
    /// The end whose connector is changed, or the part that gives way to another; null in other steps.
    pub end: Option<String>,
    /// The ends that are taken off or soldered in this step.
    pub touched: Vec<Touched>,
    /// The contacts of the second lead's net that it is about; null if it is about none.
    pub net: Option<Vec<String>>,
    /// A sentence to read aloud.
    pub text: String,
}

/// One end of a conductor that is taken off or soldered.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Touched {
    /// Where it is taken off; null if it is free already.
    pub from: Option<String>,
    /// Where it is soldered; null if it is left free.
    pub to: Option<String>,
}

/// What becomes of a net.
#[derive(Debug, Serialize, JsonSchema)]
pub struct NetChange {
    /// The nets of the first lead that have a contact in it.
    pub before: Vec<Vec<String>>,
    /// Its contacts in the second lead; empty if it is gone.
    pub after: Vec<String>,
    /// What it is for.
    pub text: String,
}

/// A conductor that stays.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Stay {
    #[serde(flatten)]
    pub join: Join,
    /// What it is for.
    pub text: String,
}

/// A control that plays something else.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ControlChange {
    /// The control.
    pub control: String,
    /// The actions that it performs with the first lead, in any position of its switches; null if its controller has no such control.
    pub before: Option<Vec<String>>,
    /// The actions that it performs with the second lead, in any position of its switches; null if its controller has no such control.
    pub after: Option<Vec<String>>,
    /// A sentence about it.
    pub text: String,
}

/// An end whose profile or connector is another.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EndChange {
    /// Which one.
    pub end: String,
    /// In the first lead; null if it has no such end.
    pub before: Option<EndSide>,
    /// In the second lead; null if it has no such end.
    pub after: Option<EndSide>,
    /// A sentence about it.
    pub text: String,
}

/// An end in one of the leads.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EndSide {
    /// The profile that it is made for.
    pub profile: String,
    /// The lead's own connector.
    pub connector: String,
}

/// Two cords.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CordChange {
    /// The first lead's.
    pub before: Cord,
    /// The second lead's.
    pub after: Cord,
}

/// Two cables, by their names.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CableChange {
    /// The first lead's; null if none is chosen.
    pub before: Option<String>,
    /// The second lead's; null if none is chosen.
    pub after: Option<String>,
}

/// The first lead after the moves.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Rewired {
    /// Its conductors; they make the second lead's nets, though some may run elsewhere within a net.
    pub joins: Vec<Join>,
    /// What its proof comes to.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// What there is to say of it, the worst first.
    pub findings: Vec<Finding>,
}

impl Compare {
    pub fn new(
        [before, after]: [&Assembly; 2],
        difference: &domain::Difference,
        judgement: &Judgement,
    ) -> Self {
        let is_sound = judgement.verdict.is_sound();
        let joins = difference.rewired.lead.joins.iter().map(Join::from).collect();
        // Nobody is led into a lead that is not to be built.
        let told = if is_sound { difference.steps.as_slice() } else { &[] };
        let cautions = if told.is_empty() { Vec::new() } else { REWIRING_CAUTIONS.into() };
        let cores = Cores::of(before);
        let stay = |stay: &domain::Stay| Stay { join: cores.join(stay.join), text: stay.text.clone() };
        Self {
            format: FORMAT,
            before: before.into(),
            after: after.into(),
            moves: difference.moves,
            fewest: difference.is_fewest,
            cautions,
            steps: told.iter().map(|step| Step::new(step, &cores)).collect(),
            nets: difference.nets.iter().map(NetChange::from).collect(),
            stays: difference.stays.iter().map(stay).collect(),
            controls: difference.controls.iter().map(ControlChange::from).collect(),
            ends: difference.ends.iter().map(EndChange::from).collect(),
            parts: difference.parts.clone(),
            switches: difference.switches.clone(),
            cord: (difference.cord.as_ref())
                .map(|[before, after]| CordChange { before: before.into(), after: after.into() }),
            cable: difference.cable.clone().map(|[before, after]| CableChange { before, after }),
            moulded_ends: difference.moulded.iter().map(ToString::to_string).collect(),
            rewired: Rewired {
                joins,
                verdict: judgement.verdict.as_str(),
                findings: judgement.findings.iter().map(Finding::from).collect(),
            },
        }
    }
}

impl Step {
    fn new(step: &domain::Step, cores: &Cores<'_>) -> Self {
        let mut wire = Self {
            act: "",
            conductor: None,
            becomes: None,
            end: None,
            touched: Vec::new(),
            net: step.net.as_ref().map(texts),
            text: step.text.clone(),
        };
        match step.act {
            Act::Remove(join) => {
                wire.act = "remove";
                wire.conductor = Some(cores.join(join));
            }
            Act::Refit(end) => {
                wire.act = "refit";
                wire.end = Some(end.to_string());
            }
            Act::Add(join) => {
                wire.act = "add";
                wire.becomes = Some((&join).into());
            }
            Act::Free(ends) => {
                wire.act = "free";
                wire.take(&ends, false, cores);
            }
            Act::Move(ends) => {
                wire.act = "move";
                wire.take(&ends, true, cores);
            }
        }
        wire
    }

    fn take(&mut self, ends: &domain::Conductor, soldered: bool, cores: &Cores<'_>) {
        let [one, other] = ends;
        self.conductor = Some(cores.join(domain::Join::new(one.from, other.from)));
        self.becomes = Some((&domain::Join::new(one.to, other.to)).into());
        let touched = ends.iter().filter(|end| end.touch != Touch::Stays);
        self.touched.extend(touched.map(|end| Touched {
            from: (end.touch == Touch::Taken).then(|| end.from.to_string()),
            to: soldered.then(|| end.to.to_string()),
        }));
    }
}

impl From<&domain::NetChange> for NetChange {
    fn from(change: &domain::NetChange) -> Self {
        Self {
            before: change.before.iter().map(texts).collect(),
            after: texts(&change.after),
            text: change.text.clone(),
        }
    }
}

impl From<&domain::ControlChange> for ControlChange {
    fn from(change: &domain::ControlChange) -> Self {
        let names = |actions: &Option<Vec<_>>| actions.as_ref().map(texts);
        Self {
            control: change.control.to_string(),
            before: names(&change.before),
            after: names(&change.after),
            text: change.text.clone(),
        }
    }
}

impl From<&domain::EndChange> for EndChange {
    fn from(change: &domain::EndChange) -> Self {
        let side = |side: &Option<(String, solderside_trade::Connector)>| {
            side.as_ref().map(|(profile, connector)| EndSide {
                profile: profile.clone(),
                connector: connector.to_string(),
            })
        };
        Self {
            end: change.end.to_string(),
            before: side(&change.before),
            after: side(&change.after),
            text: change.text.clone(),
        }
    }
}

fn texts<'t, T: ToString + 't>(items: impl IntoIterator<Item = &'t T>) -> Vec<String> {
    items.into_iter().map(T::to_string).collect()
}

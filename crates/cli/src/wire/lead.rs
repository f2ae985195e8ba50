//! A lead.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead as domain;
use solderside_lead::EndId;

/// A lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Lead {
    /// The lead's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// Its ends: the controller's first.
    pub ends: Vec<End>,
    /// Its conductors.
    pub joins: Vec<Join>,
    /// What it is made of beside wire; nothing in a plain lead.
    pub parts: Vec<String>,
    /// For each action the controls that perform it.
    pub play: BTreeMap<String, Vec<String>>,
    /// What its conductors are.
    pub cord: Cord,
}

/// One end of a lead.
#[derive(Debug, Serialize, JsonSchema)]
pub struct End {
    /// Which one: `controller` or `port`.
    pub end: String,
    /// The profile that it is made for.
    pub profile: String,
    /// The lead's own connector.
    pub connector: String,
}

/// A conductor between two contacts.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Join {
    /// The contact of the controller's end; null if the conductor has none.
    pub controller: Option<String>,
    /// The contact of the port's end; null if the conductor has none.
    pub port: Option<String>,
    /// One end of it with its contact: `controller.13`.
    pub from: String,
    /// The other: `port.6`.
    pub to: String,
}

/// What the conductors are, and how long.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cord {
    /// `AWG 28` or `0.14 mm2`.
    pub conductor: String,
    /// From cup to cup.
    pub length_metres: f64,
}

impl From<&domain::Lead> for Lead {
    fn from(lead: &domain::Lead) -> Self {
        let ends = lead.ends.iter().map(|end| End {
            end: end.id.to_string(),
            profile: end.profile.clone(),
            connector: end.connector.to_string(),
        });
        let play = lead.play.entries().map(|(action, controls)| {
            (action.to_string(), controls.iter().map(ToString::to_string).collect())
        });
        Self {
            name: lead.name.clone(),
            title: lead.title.clone(),
            ends: ends.collect(),
            joins: lead.joins.iter().map(Join::from).collect(),
            parts: Vec::new(),
            play: play.collect(),
            cord: (&lead.cord).into(),
        }
    }
}

impl From<&domain::Cord> for Cord {
    fn from(cord: &domain::Cord) -> Self {
        Self { conductor: cord.conductor.to_string(), length_metres: cord.length.get() }
    }
}

impl From<&domain::Join> for Join {
    fn from(join: &domain::Join) -> Self {
        let at = |end: EndId| {
            let leg = [join.from, join.to].into_iter().find(|leg| leg.end == end);
            leg.map(|leg| leg.contact.to_string())
        };
        Self {
            controller: at(EndId::Controller(0)),
            port: at(EndId::Port),
            from: join.from.to_string(),
            to: join.to.to_string(),
        }
    }
}

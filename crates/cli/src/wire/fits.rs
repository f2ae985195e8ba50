//! Where else a lead fits.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;
use solderside_lead as lead;
use solderside_profile as profile;
use solderside_proof::{Fitting as Domain, Verdict};

use super::FORMAT;
use super::proof::{Finding, figures, texts};
use crate::elsewhere::Elsewhere;

/// The answer of `fits`.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(title = "Solderside: fits")]
pub struct Fits {
    #[schemars(extend("const" = FORMAT))]
    pub format: u8,
    /// The lead's name.
    pub lead: String,
    /// What its proof comes to at its own place.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// Everything else that takes one of its connectors: what harms first, then what else must never be done, then
    /// what works in part, then what works.
    pub fittings: Vec<Fitting>,
    /// Profiles with mistakes, which nobody could look at.
    pub unreadable: Vec<String>,
    /// Sockets that take one of its connectors and are not in the catalogue yet.
    pub gaps: Vec<Gap>,
}

/// What comes of the lead with one other thing plugged in.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Fitting {
    /// The profile's name.
    pub name: String,
    /// What it is called on paper.
    pub title: String,
    /// What it is.
    #[schemars(extend("enum" = ["controller", "machine", "no controller port"]))]
    pub place: &'static str,
    /// The end of the lead that goes into it.
    pub end: String,
    /// What comes of it.
    #[schemars(extend("enum" = ["never", "works in part", "works"]))]
    pub fit: &'static str,
    /// What the proof there comes to.
    #[schemars(extend("enum" = ["works", "thin", "unproved", "fails", "harms"]))]
    pub verdict: &'static str,
    /// Whether nothing is damaged, whatever else comes of it.
    pub harmless: bool,
    /// Why, in one line.
    pub reason: String,
    /// The figures behind it, in SI units; each name ends in its unit.
    pub figures: BTreeMap<&'static str, f64>,
    /// For each control that does something there, the actions that it performs.
    pub play: BTreeMap<String, Vec<String>>,
    /// The controls that do something at the lead's own place and nothing here.
    pub controls_lost: Vec<String>,
    /// The actions that the lead's own controller performs, and this one does not.
    pub actions_lost: Vec<String>,
    /// What else differs, a clause each.
    pub differs: Vec<String>,
    /// What there is to say of it, the worst first.
    pub findings: Vec<Finding>,
}

/// A class of socket that the catalogue has not.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Gap {
    /// What it is called on paper.
    pub title: &'static str,
    /// The machine's own connector.
    pub connector: Option<String>,
    /// What makes it dangerous to take it for another one.
    pub caution: &'static str,
    /// Where that comes from.
    pub source: &'static str,
}

impl Fits {
    pub fn new(lead: &lead::Lead, verdict: Verdict, elsewhere: &Elsewhere) -> Self {
        Self {
            format: FORMAT,
            lead: lead.name.clone(),
            verdict: verdict.as_str(),
            fittings: elsewhere.fittings.iter().map(Fitting::from).collect(),
            unreadable: elsewhere.unreadable.clone(),
            gaps: elsewhere.gaps.iter().copied().map(Gap::from).collect(),
        }
    }
}

impl From<&Domain> for Fitting {
    fn from(fitting: &Domain) -> Self {
        let play = fitting.play.iter().map(|(control, actions)| (control.to_string(), texts(actions)));
        Self {
            name: fitting.name.clone(),
            title: fitting.title.clone(),
            place: fitting.place.as_str(),
            end: fitting.end.to_string(),
            fit: fitting.fit.as_str(),
            verdict: fitting.verdict.as_str(),
            harmless: fitting.is_harmless,
            reason: fitting.reason.clone(),
            figures: figures(&fitting.figures),
            play: play.collect(),
            controls_lost: texts(&fitting.controls_lost),
            actions_lost: texts(&fitting.actions_lost),
            differs: fitting.differs.clone(),
            findings: fitting.findings.iter().map(Finding::from).collect(),
        }
    }
}

impl From<&profile::Gap> for Gap {
    fn from(gap: &profile::Gap) -> Self {
        let connector = gap.connector().map(|connector| connector.to_string());
        Self { title: gap.title, connector, caution: gap.caution, source: gap.source }
    }
}

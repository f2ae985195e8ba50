//! A lead on the bench in each of the ways in which it is used: its switches in each position, all plugged in or an end empty.
//!
//! A fault is of the lead itself, so it is the same in every way; what a meter reads and what the machine does is asked of
//! one way, which is a lead without switches.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Setting, Stand};

use crate::bench::Bench;
use crate::fault::Fault;
use crate::universe::{rare, universe};

/// A lead in all ways in which it is used. There is at least one.
#[derive(Debug, Clone)]
pub struct Benches<'a> {
    ways: Vec<(Setting, Bench<'a>)>,
    /// Where the lead stood when a sentence does not say it; of what is not named here either it may have stood in any way.
    unless_said: Vec<Stand>,
}

impl<'a> Benches<'a> {
    /// A lead in these ways, the one in which it is used most first; none if there is none.
    pub fn of(sets: &'a [(Setting, Assembly)]) -> Option<Self> {
        let ways: Vec<_> = sets.iter().map(|(setting, set)| (setting.clone(), Bench::new(set))).collect();
        (!ways.is_empty()).then_some(Self { ways, unless_said: Vec::new() })
    }

    /// The same where a sentence that does not say how the lead stood is of these positions.
    #[must_use]
    pub fn unless_said(self, stands: Vec<Stand>) -> Self {
        Self { unless_said: stands, ..self }
    }

    /// The lead in the first way: for what is told of the lead itself.
    pub fn first(&self) -> &Bench<'a> {
        &self.ways[0].1
    }

    /// The lead in one way, by its number.
    pub fn at(&self, way: usize) -> &Bench<'a> {
        &self.ways[way].1
    }

    /// Where everything stands in one way, by its number.
    pub fn setting(&self, way: usize) -> &Setting {
        &self.ways[way].0
    }

    /// The numbers of all ways.
    pub(crate) fn all(&self) -> std::ops::Range<usize> {
        0..self.ways.len()
    }

    /// The numbers of the ways in which all is plugged in that there is an end for; all of them if there is none.
    pub fn full(&self) -> Vec<usize> {
        let full: Vec<usize> = self.all().filter(|way| self.setting(*way).is_full()).collect();
        if full.is_empty() { self.all().collect() } else { full }
    }

    /// The first way that is the same for a meter at the lead alone: what is plugged in does not count.
    pub(crate) fn alone_as(&self, way: usize) -> usize {
        let joins = |way: usize| &self.at(way).assembly().lead.joins;
        self.all().find(|other| joins(*other) == joins(way)).unwrap_or(way)
    }

    /// The ways that a meter at the lead alone may tell apart.
    pub(crate) fn alone(&self) -> Vec<usize> {
        self.all().filter(|way| self.alone_as(*way) == *way).collect()
    }

    /// Every position that there is to choose from, and every way of being plugged in.
    pub fn stands(&self) -> BTreeSet<Stand> {
        self.ways.iter().flat_map(|(setting, _)| setting.stands()).collect()
    }

    /// The ways that somebody may mean who says so much.
    pub(crate) fn meant(&self, said: &[Stand]) -> Vec<usize> {
        let is_said = |stand: &Stand| said.iter().any(|said| said.called == stand.called);
        let wanted: Vec<&Stand> =
            said.iter().chain(self.unless_said.iter().filter(|stand| !is_said(stand))).collect();
        let is_meant = |way: &usize| {
            let stands: Vec<Stand> = self.setting(*way).stands().collect();
            wanted.iter().all(|wanted| stands.contains(wanted))
        };
        self.all().filter(is_meant).collect()
    }

    /// Every plausible single mistake, whatever way shows it, then what is too rare to test every lead for.
    pub(crate) fn faults(&self) -> Vec<Fault> {
        let mut known = BTreeSet::new();
        let all = |of: fn(&Bench<'_>) -> Vec<Fault>| self.ways.iter().flat_map(move |(_, bench)| of(bench));
        all(universe).chain(all(rare)).filter(|fault| known.insert(fault.clone())).collect()
    }
}

impl<'a> From<&Bench<'a>> for Benches<'a> {
    /// A lead of which one way is looked at.
    fn from(bench: &Bench<'a>) -> Self {
        Self { ways: vec![(Setting::default(), bench.clone())], unless_said: Vec::new() }
    }
}

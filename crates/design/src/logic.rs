//! The lead with logic chips, composed: what the machine wants at each contact in each step, against what the controls give.
//!
//! For each contact there are a few ways to serve it ([`ways`]): a wire, a multiplexer that a line of the machine
//! switches, buffers that lines of the machine let through, a chain of registers that they load and shift. They are found by
//! comparing levels over the steps, so no way knows a class of port. Their sections are put into the fewest chips
//! ([`mod@pack`]), drawn as a lead ([`netlist`]), and proved, the cheapest first.

mod netlist;
mod pack;
mod register;
mod steps;
pub(crate) mod wants;
mod ways;

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Body, Leg, Unbuilt};
use solderside_proof::Verdict;
use solderside_trade::{ChipPart, ContactId};

use crate::parts::rank;
use crate::plain::{Judged, Problem};
use netlist::Plan;
use pack::{Packed, Stock, pack};
use steps::Steps;
use wants::Want;
use ways::{Section, Way};

/// So many choices of ways are tried, each in every family, before it is given up.
const MOST_TRIED: usize = 4;

/// So many ways to serve all contacts are weighed.
const MOST_WEIGHED: usize = 4096;

/// What is in stock, the family that is asked first first: high-speed CMOS is the most common and takes least; with
/// TTL levels it reads what TTL drives (common practice, no source).
const STOCKS: [Stock; 3] = [
    Stock {
        multiplexer: Some(ChipPart::Hc157),
        quad_buffer: Some(ChipPart::Hc125),
        octal_buffer: Some(ChipPart::Hc244),
        inverter: Some(ChipPart::Hc04),
        switch: Some(ChipPart::Cd4066),
    },
    Stock {
        multiplexer: Some(ChipPart::Hct157),
        quad_buffer: Some(ChipPart::Hct125),
        octal_buffer: Some(ChipPart::Hct244),
        inverter: Some(ChipPart::Hct04),
        switch: Some(ChipPart::Hc4066),
    },
    Stock {
        multiplexer: Some(ChipPart::Ls157),
        quad_buffer: None,
        octal_buffer: None,
        inverter: None,
        switch: None,
    },
];

/// The registers that may be chained.
const REGISTERS: [ChipPart; 3] = [ChipPart::Hc165, ChipPart::Cd4021, ChipPart::Cd4014];

/// One way for each contact, with what it costs.
struct Served<'w> {
    ways: Vec<&'w Way>,
    chips: usize,
    sections: usize,
}

impl Problem {
    /// Returns the sound lead with the fewest chips; none where none is composed, or none that is composed is sound.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub(crate) fn with_logic(&self) -> Result<Option<Judged>, Unbuilt> {
        for problem in self.variants() {
            if let Some(found) = problem.steered().composed()? {
                return Ok(Some(found));
            }
        }
        Ok(None)
    }

    fn composed(&self) -> Result<Option<Judged>, Unbuilt> {
        let Some(rails) = self.rails() else { return Ok(None) };
        let (served, mut ways) = self.services(rails);
        let stocks = self.stocks();
        self.leave_out_wires_that_fail(&served, &mut ways)?;
        let mut tried = 0;
        for Served { ways, .. } in choices(&ways, &stocks) {
            let ways: Vec<Way> = ways.into_iter().cloned().collect();
            let mut best: Option<Judged> = None;
            let mut is_tried = false;
            for stock in &stocks {
                let Some(packed) = packed(&ways, *stock) else { continue };
                if packed.is_empty() && ways.iter().all(|way| !matches!(way, Way::Chain(_))) {
                    continue;
                }
                let plan = Plan { problem: self, served: &served, ways: &ways, packed: &packed, rails };
                let assembly = plan.built();
                if !self.has_all(&assembly.lead) {
                    continue;
                }
                is_tried = true;
                let judged = self.judge_while(assembly, |finding| self.bears(finding))?;
                let Some(found) = judged.filter(|judged| self.accepts_judged(judged)) else { continue };
                if best.as_ref().is_none_or(|best| rank(&found) < rank(best)) {
                    best = Some(found);
                }
                if best.as_ref().is_some_and(|best| best.judgement.verdict == Verdict::Works) {
                    break;
                }
            }
            tried += usize::from(is_tried);
            if best.is_some() || tried == MOST_TRIED {
                return Ok(best);
            }
        }
        Ok(None)
    }

    /// Takes a wire from what may serve a contact where chips could and the lead of wire fails at it: with chips elsewhere
    /// it would fail there again.
    fn leave_out_wires_that_fail(&self, served: &[ContactId], ways: &mut [Vec<Way>]) -> Result<(), Unbuilt> {
        let is_choice = |ways: &[Way]| ways.len() > 1 && ways.iter().any(Way::is_wire);
        if !ways.iter().any(|ways| is_choice(ways)) {
            return Ok(());
        }
        let Some([home, supply]) = self.ways().first().copied() else { return Ok(()) };
        let wire = self.joined(home, supply);
        let findings = self.judge_once(wire)?.judgement.findings;
        let wrong = findings.iter().filter(|finding| !self.bears(finding));
        let failing: BTreeSet<Leg> = wrong.flat_map(|finding| finding.legs.iter().copied()).collect();
        for (contact, ways) in served.iter().zip(ways) {
            if is_choice(ways) && failing.contains(&Leg::port(*contact)) {
                ways.retain(|way| !way.is_wire());
            }
        }
        Ok(())
    }

    /// The lead that would be tried first, sound or not; none where none is composed.
    pub(crate) fn first_with_logic(&self) -> Option<Assembly> {
        self.variants().iter().find_map(Self::first_composed)
    }

    fn first_composed(&self) -> Option<Assembly> {
        let rails = self.rails()?;
        let (served, ways) = self.services(rails);
        let stocks = self.stocks();
        let choices = choices(&ways, &stocks);
        choices.into_iter().find_map(|Served { ways, .. }| {
            let ways: &Vec<Way> = &ways.into_iter().cloned().collect();
            let packed = stocks.iter().find_map(|stock| packed(ways, *stock))?;
            Some(Plan { problem: self, served: &served, ways, packed: &packed, rails }.built())
        })
    }

    /// What is wanted of contacts, each of which no chip that is tried here serves.
    pub(crate) fn wants_unserved(&self) -> Vec<Want> {
        let wants = Want::all(self);
        let ways = self.ways_of(&wants);
        wants.into_iter().zip(ways).filter(|(_, ways)| ways.is_empty()).map(|(want, _)| want).collect()
    }

    /// The machine's return and its supply; none if it lacks one, or a control has no contact that chips could read.
    fn rails(&self) -> Option<[Leg; 2]> {
        let (home, (supply, _)) = (*self.port.returns().first()?, *self.port.supplies().first()?);
        let mut controls = self.play.iter().flat_map(|part| &part.controls);
        let all_there = controls.all(|control| self.contact_of(control).is_some());
        all_there.then_some([home, supply].map(Leg::port))
    }

    /// The contacts that are to be served, and the ways to serve each: those that are read as levels, then the axes that
    /// controls move.
    fn services(&self, [_, supply]: [Leg; 2]) -> (Vec<ContactId>, Vec<Vec<Way>>) {
        let wants = Want::all(self);
        let mut ways = self.ways_of(&wants);
        let mut served: Vec<ContactId> = wants.iter().map(|want| want.contact).collect();
        for (contact, steps) in Steps::all(self, supply.contact) {
            served.push(contact);
            ways.push(vec![Way::Steps(steps)]);
        }
        (served, ways)
    }

    fn ways_of(&self, wants: &[Want]) -> Vec<Vec<Way>> {
        let registers: Vec<ChipPart> =
            REGISTERS.into_iter().filter(|chip| self.has(&Body::Chip(*chip))).collect();
        wants.iter().map(|want| Way::all(want, &self.port, &registers)).collect()
    }

    /// What there is of each family; of a drawer that is counted also the first of each kind, whatever its family.
    fn stocks(&self) -> Vec<Stock> {
        let has = |chip: &ChipPart| self.has(&Body::Chip(*chip));
        let mut stocks: Vec<Stock> = STOCKS.iter().map(|stock| stock.within(has)).collect();
        if self.drawer.is_some() {
            stocks.push(stocks.iter().copied().fold(Stock::NONE, Stock::or));
        }
        stocks
    }
}

/// The sections of all ways, in their order.
fn sections<'w>(ways: impl IntoIterator<Item = &'w Way>) -> Vec<&'w Section> {
    ways.into_iter().flat_map(Way::sections).collect()
}

fn packed(ways: &[Way], stock: Stock) -> Option<Vec<Packed>> {
    pack(&sections(ways), stock)
}

/// Every way to serve all contacts, the one with the fewest chips first, then with the fewest sections.
fn choices<'w>(ways: &'w [Vec<Way>], stocks: &[Stock]) -> Vec<Served<'w>> {
    let mut all: Vec<Vec<&Way>> = vec![Vec::new()];
    for own in ways {
        let longer = all.iter().flat_map(|before| {
            own.iter().map(move |way| before.iter().copied().chain([way]).collect::<Vec<_>>())
        });
        all = longer.take(MOST_WEIGHED).collect();
    }
    let mut choices: Vec<Served<'_>> = all
        .into_iter()
        .filter_map(|ways| {
            let registers =
                ways.iter().map(|way| if let Way::Chain(chain) = way { chain.stages.len() } else { 0 });
            let registers: usize = registers.sum();
            let own = sections(ways.iter().copied());
            let chips = registers + stocks.iter().find_map(|stock| pack(&own, *stock))?.len();
            Some(Served { ways, chips, sections: own.len() })
        })
        .collect();
    choices.sort_by_key(|choice| (choice.chips, choice.sections));
    choices
}

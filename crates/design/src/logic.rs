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
mod wants;
mod ways;

use solderside_lead::{Leg, Unbuilt};
use solderside_proof::{Verdict, judge_while};
use solderside_trade::{ChipPart, ContactId};

use crate::parts::{Judged, rank};
use crate::plain::Problem;
use netlist::Plan;
use pack::{Packed, Stock, pack};
use steps::Steps;
use wants::Want;
use ways::{Section, Way};

/// So many leads are judged before it is given up.
const MOST_JUDGED: usize = 12;

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
struct Served {
    ways: Vec<Way>,
    chips: usize,
    sections: usize,
}

impl Problem {
    /// Returns the sound lead with the fewest chips; none where none is composed, or none that is composed is sound.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub(crate) fn with_logic(&self) -> Result<Option<Judged>, Unbuilt> {
        self.steered().composed()
    }

    fn composed(&self) -> Result<Option<Judged>, Unbuilt> {
        let port = &self.port;
        let (Some(home), Some((supply, _))) =
            (port.returns().first().copied(), port.supplies().first().copied())
        else {
            return Ok(None);
        };
        if self.play.iter().flat_map(|part| &part.controls).any(|it| self.controller.contact_of(it).is_none())
        {
            return Ok(None);
        }
        let wants = Want::all(self);
        let mut ways: Vec<Vec<Way>> = wants.iter().map(|want| Way::all(want, port, &REGISTERS)).collect();
        let mut served: Vec<ContactId> = wants.iter().map(|want| want.contact).collect();
        for (contact, steps) in Steps::all(self, supply) {
            served.push(contact);
            ways.push(vec![Way::Steps(steps)]);
        }
        let mut judged = 0;
        for Served { ways, .. } in choices(&ways) {
            let mut best: Option<Judged> = None;
            for stock in STOCKS {
                let Some(packed) = packed(&ways, stock) else { continue };
                if packed.is_empty() && ways.iter().all(|way| !matches!(way, Way::Chain(_))) {
                    continue;
                }
                let rails = [home, supply].map(Leg::port);
                let plan = Plan { problem: self, served: &served, ways: &ways, packed: &packed, rails };
                let assembly = plan.built();
                judged += 1;
                let judgement = judge_while(&assembly, |finding| self.bears(finding))?;
                let Some(judgement) = judgement else { continue };
                if !self.accepts(&assembly, &judgement.findings, &judgement.controls_lost) {
                    continue;
                }
                let found = Judged { assembly, judgement };
                if best.as_ref().is_none_or(|best| rank(&found) < rank(best)) {
                    best = Some(found);
                }
                if best.as_ref().is_some_and(|best| best.judgement.verdict == Verdict::Works) {
                    break;
                }
            }
            if best.is_some() || judged >= MOST_JUDGED {
                return Ok(best);
            }
        }
        Ok(None)
    }
}

/// The sections of all ways, in their order.
fn sections(ways: &[Way]) -> Vec<Section> {
    ways.iter().flat_map(Way::sections).cloned().collect()
}

fn packed(ways: &[Way], stock: Stock) -> Option<Vec<Packed>> {
    pack(&sections(ways), stock)
}

/// Every way to serve all contacts, the one with the fewest chips first, then with the fewest sections.
fn choices(ways: &[Vec<Way>]) -> Vec<Served> {
    let mut all: Vec<Vec<Way>> = vec![Vec::new()];
    for own in ways {
        let longer = all.iter().flat_map(|before| {
            own.iter().map(move |way| before.iter().chain([way]).cloned().collect::<Vec<_>>())
        });
        all = longer.take(MOST_WEIGHED).collect();
    }
    let mut choices: Vec<Served> = all
        .into_iter()
        .filter_map(|ways| {
            let registers =
                ways.iter().map(|way| if let Way::Chain(chain) = way { chain.stages.len() } else { 0 });
            let registers: usize = registers.sum();
            let own = sections(&ways);
            let chips = registers + pack(&own, STOCKS[0])?.len();
            Some(Served { ways, chips, sections: own.len() })
        })
        .collect();
    choices.sort_by_key(|choice| (choice.chips, choice.sections));
    choices
}

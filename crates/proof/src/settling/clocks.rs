//! What clocks ask for, against how long the steps last.

use solderside_lead::Chip;
use solderside_profile::Step;
use solderside_quantity::Seconds;
use solderside_trade::{Block, Clocking, LegNumber};

use super::ways::{Arrival, Ways};
use super::{held, seconds};
use crate::code::Code;
use crate::finding::{Finding, Severity};

/// What the clocks of one step ask of it, the first that it does not give.
///
/// A step lasts at least as long as its hold. What the lines take in it is lost at its end: a pulse is shorter by the time
/// that the line needs until the chip has seen it begin.
pub(crate) fn clocks(ways: &Ways<'_>, step: &Step) -> Option<Finding> {
    let hold = step.hold?.low();
    ways.lines.circuit.chips().iter().find_map(|chip| {
        let clocking = chip.part.sheet().clocking?;
        chip.part.sheet().blocks.iter().find_map(|block| of_block(ways, chip, block, &clocking, step, hold))
    })
}

fn of_block(
    ways: &Ways<'_>,
    chip: &Chip,
    block: &Block,
    clocking: &Clocking,
    step: &Step,
    hold: Seconds,
) -> Option<Finding> {
    let (clocks, read): (Vec<LegNumber>, Vec<LegNumber>) = match block {
        Block::Register(register) => (
            register.clocks.iter().copied().chain([register.load]).collect(),
            register.parallel.iter().copied().chain([register.serial, register.load]).collect(),
        ),
        Block::Counter(counter) => (vec![counter.clock, counter.reset], vec![counter.reset]),
        Block::Gate(_) | Block::Switch(_) => return None,
    };
    // Between two edges of one kind lie two moves of the line, so half a period is the least that a step may last.
    let half = clocking.period.value * 0.5;
    let moved = [
        (clocks.as_slice(), clocking.pulse.value.max(half), "a pulse there lasts"),
        (clocks.as_slice(), clocking.hold.value, "what it reads must stay"),
        (read.as_slice(), clocking.set_up.value, "the next edge may come only"),
    ];
    moved.into_iter().find_map(|(legs, asks, what)| {
        legs.iter().find_map(|number| {
            let (place, leg) = (*chip.inputs.get(number)?, chip.leg(*number));
            let Some(Arrival::Within(within)) = ways.arrival(&ways.input(place), leg) else { return None };
            let needs = within.seconds + asks;
            if needs <= hold {
                return None;
            }
            let text = format!(
                "`{leg}` of a {} moves in the step `{}`, which lasts {hold} at least; it may take {} to settle, \
                 and {what} {asks} at least: {} short",
                chip.part,
                step.name,
                within.seconds,
                needs - hold
            );
            let mut finding = Finding::new(Code::TimingClock, Severity::Fail, text).at([leg]);
            finding.step = Some(step.name.clone());
            let figures = [seconds("needs_seconds", needs), held(hold), seconds("short_seconds", needs - hold)];
            let remedy = "a faster chip, a shorter cable, or a stronger output for this line";
            Some(finding.figures(figures).remedy(remedy))
        })
    })
}

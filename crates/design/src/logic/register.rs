//! Which stage of a register the machine sees in each step, found by running its script.

use solderside_profile::{ActiveLevel, Port};
use solderside_trade::{Block, ChipPart, ContactId, Drive, LegNumber, Register, StageOutput};

use super::wants::{Show, Want, driven, lines};

/// So many registers are chained at most.
const MOST_CHIPS: usize = 4;

/// A chain of registers behind one contact of the machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Chain {
    pub(super) chip: ChipPart,
    /// The line of the machine that loads.
    pub(super) load: ContactId,
    /// The line of the machine that shifts.
    pub(super) clock: ContactId,
    /// The leg of the first chip that the machine reads.
    pub(super) output: LegNumber,
    /// Whether that leg shows the opposite of what was loaded.
    pub(super) inverted: bool,
    /// What each parallel input gets, chip by chip, each chip's from the stage that comes out first.
    pub(super) stages: Vec<Vec<(LegNumber, Show)>>,
    /// What the last chip shifts in.
    pub(super) serial: Show,
    /// The level of a stage that nobody looks at, as the machine sees it.
    pub(super) idle: bool,
}

/// What stands in a stage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Held {
    /// What was there before the machine began.
    Unknown,
    /// What the parallel input had that comes out so many stages after the first.
    Input(usize),
    /// What the last chip shifted in.
    Serial,
}

/// The register of a chip, if it is one.
pub(super) fn register_of(chip: ChipPart) -> Option<&'static Register> {
    chip.sheet().blocks.iter().find_map(|block| match block {
        Block::Register(register) => Some(register),
        Block::Gate(_) | Block::Counter(_) | Block::Switch(_) => None,
    })
}

impl Chain {
    /// The shortest chain of a chip that shows what is wanted, for each pair of lines that loads and shifts it.
    pub(super) fn all(want: &Want, port: &Port, chip: ChipPart) -> Vec<Self> {
        let Some(register) = register_of(chip) else { return Vec::new() };
        let lines: Vec<ContactId> = lines(port).collect();
        let mut found = Vec::new();
        let last = register.parallel.len().saturating_sub(1);
        // A signal is low while it is pressed: where a high is active the machine reads the opposite.
        let is_opposite = want.active == ActiveLevel::High;
        let fits =
            |output: &&StageOutput| usize::from(output.stage) == last && output.inverted == is_opposite;
        for output in register.outputs.iter().filter(fits) {
            for load in &lines {
                for clock in lines.iter().filter(|clock| *clock != load) {
                    let chain = (1..=MOST_CHIPS).find_map(|chips| {
                        Self::of(want, port, chip, register, [*load, *clock], chips, *output)
                    });
                    found.extend(chain);
                }
            }
        }
        found
    }

    fn of(
        want: &Want,
        port: &Port,
        chip: ChipPart,
        register: &Register,
        [load, clock]: [ContactId; 2],
        chips: usize,
        output: StageOutput,
    ) -> Option<Self> {
        let width = register.parallel.len();
        let mut stages = vec![Show::Any; width * chips];
        let mut serial = Show::Any;
        for (seen, show) in seen(port, register, [load, clock], width * chips).iter().zip(&want.shows) {
            let place = match (seen, show) {
                (_, Show::Any) => continue,
                // What is shifted in later is pressed by then or not: nobody knows.
                (_, Show::LetGo) | (Held::Unknown, _) | (Held::Serial, Show::Pressed(_)) => return None,
                (Held::Input(at), _) => stages.get_mut(*at)?,
                (Held::Serial, Show::Fixed(_)) => &mut serial,
            };
            if *place != Show::Any && place != show {
                return None;
            }
            *place = show.clone();
        }
        // A line that shows one thing for ever is no register's work.
        if stages.iter().filter(|show| **show != Show::Any).count() < 2 {
            return None;
        }
        let of_chip =
            |shows: &[Show]| register.parallel.iter().rev().copied().zip(shows.iter().cloned()).collect();
        let stages = stages.chunks(width).map(of_chip).collect();
        Some(Self {
            chip,
            load,
            clock,
            output: output.leg,
            inverted: output.inverted,
            stages,
            serial,
            idle: want.idle(),
        })
    }
}

/// What comes out in each step of a chain of so many stages.
fn seen(port: &Port, register: &Register, [load, clock]: [ContactId; 2], stages: usize) -> Vec<Held> {
    let mut held = vec![Held::Unknown; stages];
    let mut before: Option<bool> = None;
    let mut seen = Vec::new();
    for step in &port.steps {
        let (loads, ticks) = (driven(step, load), driven(step, clock));
        let rises = before == Some(false) && ticks == Some(true);
        let asks = loads.map(|high| high == (register.load_level == Drive::High));
        match asks {
            Some(true) if !register.load_at_clock || rises => {
                held = (0..stages).map(Held::Input).collect();
            }
            Some(false) if rises => {
                held.remove(0);
                held.push(Held::Serial);
            }
            Some(_) => {}
            None => held.fill(Held::Unknown),
        }
        if ticks.is_none() {
            held.fill(Held::Unknown);
        }
        before = ticks;
        seen.push(held[0]);
    }
    seen
}

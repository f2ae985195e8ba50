//! A register, parallel in and serial out.

use super::{Bit, Edge};

/// Stages that load in parallel and shift towards the last.
///
/// Its inputs are, in this order: serial, load, the parallel ones, the clocks. A rising edge of one clock while all
/// others are low shifts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Register {
    /// How many stages there are.
    pub stages: usize,
    /// The level of the load input that loads.
    pub load_level: bool,
    /// Whether it loads at a clock only; else as long as the input asks for it.
    pub load_at_clock: bool,
}

/// Its inputs at one moment.
struct Inputs<'i> {
    serial: Bit,
    load: Bit,
    parallel: &'i [Bit],
    clock: Bit,
}

impl Register {
    /// How many inputs come before the clocks.
    pub const fn before_clocks(&self) -> usize {
        2 + self.stages
    }

    /// What its stages hold after a change from one settled moment to another.
    ///
    /// What was not still while it was taken is unknown: the inputs count as they were and as they are. `clean`
    /// says that its clock and its load moved at most once.
    #[must_use]
    pub fn after(&self, stages: &[Bit], before: &[Bit], now: &[Bit], clean: bool) -> Vec<Bit> {
        let [before, now] = [before, now].map(|bits| self.inputs(bits));
        let edge = Edge::between(before.clock, now.clock, true, clean);
        let agreed = |one: &[Bit], other: &[Bit]| -> Vec<Bit> {
            one.iter().zip(other).map(|(one, other)| one.agreed(*other)).collect()
        };
        let taken = agreed(before.parallel, now.parallel);
        let shifted = |stages: &[Bit]| -> Vec<Bit> {
            let first = std::iter::once(before.serial.agreed(now.serial));
            first.chain(stages.iter().copied()).take(self.stages).collect()
        };
        let load = before.load.agreed(now.load);
        let clocked = |stages: &[Bit]| -> Vec<Bit> {
            if !self.load_at_clock || load.is(!self.load_level) {
                shifted(stages)
            } else if load.is(self.load_level) {
                taken.clone()
            } else {
                agreed(&shifted(stages), &taken)
            }
        };
        let held = if self.load_at_clock || !before.load.can_be(self.load_level) {
            stages.to_vec()
        } else if before.load.is(self.load_level) {
            taken.clone()
        } else {
            agreed(stages, &taken)
        };
        let was_loading = !self.load_at_clock && before.load.can_be(self.load_level);
        let moved = match edge {
            Edge::None => held,
            // A clock at the very moment in which the load ends may count or not.
            Edge::One if was_loading => agreed(&held, &clocked(&held)),
            Edge::One => clocked(&held),
            Edge::Perhaps => vec![Bit::Unknown; self.stages],
        };
        if self.load_at_clock || (clean && now.load.is(!self.load_level)) {
            moved
        } else if now.load.is(self.load_level) {
            now.parallel.to_vec()
        } else {
            agreed(&moved, now.parallel)
        }
    }

    fn inputs<'i>(&self, bits: &'i [Bit]) -> Inputs<'i> {
        let at = |at: usize| bits.get(at).copied().unwrap_or(Bit::Unknown);
        let clocks = bits.get(self.before_clocks()..).unwrap_or(&[]);
        // High while any is high.
        let clock = if clocks.iter().any(|clock| clock.is(true)) {
            Bit::High
        } else if clocks.iter().all(|clock| clock.is(false)) {
            Bit::Low
        } else {
            Bit::Unknown
        };
        Inputs {
            serial: at(0),
            load: at(1),
            parallel: bits.get(2..self.before_clocks()).unwrap_or(&[]),
            clock,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ASYNCHRONOUS: Register = Register { stages: 3, load_level: true, load_at_clock: false };

    fn bits(text: &str) -> Vec<Bit> {
        let bit = |letter: char| match letter {
            'L' => Bit::Low,
            'H' => Bit::High,
            _ => Bit::Unknown,
        };
        text.chars().map(bit).collect()
    }

    /// Serial, load, three parallel, clock.
    fn after(register: &Register, stages: &str, before: &str, now: &str) -> Vec<Bit> {
        register.after(&bits(stages), &bits(before), &bits(now), true)
    }

    #[test]
    fn while_it_loads_it_follows_its_parallel_inputs() {
        assert_eq!(after(&ASYNCHRONOUS, "LLL", "LLHLHL", "LHHLHL"), bits("HLH"));
        assert_eq!(after(&ASYNCHRONOUS, "HLH", "LHHLHL", "LHLLLL"), bits("LLL"));
    }

    #[test]
    fn a_rising_clock_shifts_and_a_falling_one_does_not() {
        assert_eq!(after(&ASYNCHRONOUS, "HLH", "LLXXXL", "LLXXXH"), bits("LHL"));
        assert_eq!(after(&ASYNCHRONOUS, "HLH", "LLXXXH", "LLXXXL"), bits("HLH"));
    }

    #[test]
    fn what_changes_while_it_is_taken_is_unknown() {
        // The serial input moves with the clock.
        assert_eq!(after(&ASYNCHRONOUS, "HLH", "LLXXXL", "HLXXXH"), bits("XHL"));
        // The clock rises as the load ends.
        assert_eq!(after(&ASYNCHRONOUS, "HLH", "LHHLHL", "LLHLHH"), bits("XXX"));
        // A clock that is unknown may have come.
        assert_eq!(after(&ASYNCHRONOUS, "HHH", "HLXXXL", "HLXXXX"), bits("XXX"));
    }

    #[test]
    fn a_load_at_the_clock_waits_for_it() {
        let register = Register { load_at_clock: true, ..ASYNCHRONOUS };
        assert_eq!(after(&register, "LLL", "LLHLHL", "LHHLHL"), bits("LLL"));
        assert_eq!(after(&register, "LLL", "LHHLHL", "LHHLHH"), bits("HLH"));
        assert_eq!(after(&register, "HLH", "HLHHHL", "HLHHHH"), bits("HHL"));
    }

    #[test]
    fn a_second_clock_that_is_high_inhibits() {
        let both = |text: &str| format!("LLXXX{text}");
        assert_eq!(after(&ASYNCHRONOUS, "HLH", &both("LH"), &both("HH")), bits("HLH"));
        assert_eq!(after(&ASYNCHRONOUS, "HLH", &both("LL"), &both("LH")), bits("LHL"));
    }
}

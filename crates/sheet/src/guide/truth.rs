//! The proof's truth table in a form that is small enough for a page.

use std::collections::BTreeMap;

use solderside_lead::{Assembly, PlayMap};
use solderside_profile::{Action, Control, Controller, Gate};
use solderside_proof::TruthRow;

/// So many combinations that are more than the sum of their presses are embedded, at most: about 60 kB.
const MOST_ODD: usize = 4000;
/// A set of controls or actions is one number to the page, and it counts with 31 bits.
const MOST_BITS: usize = 30;

/// A set of controls or of actions: bit 0 is the first of them.
pub(super) type Bits = u32;

/// What the machine reads in every combination of presses.
///
/// Nearly every combination reads the sum of what its presses read alone, so only the others are told one by one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Truth<'a> {
    /// The controls that can change anything, in the controller's order.
    pub(super) presses: Vec<Press<'a>>,
    /// All actions of the port.
    pub(super) actions: Vec<&'a Action>,
    /// What reads with nothing pressed.
    pub(super) idle: Bits,
    /// The presses whose reading is not that sum, with their reading.
    pub(super) odd: BTreeMap<Bits, Bits>,
}

/// One control.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Press<'a> {
    pub(super) control: &'a Control,
    /// What the play map asks for when it is pressed.
    pub(super) asked: Bits,
    /// What reads when it is pressed alone.
    pub(super) alone: Bits,
}

impl<'a> Truth<'a> {
    /// The table of an assembly; none where it is too large for a page, or does not hold every combination.
    pub(super) fn of(assembly: &'a Assembly, rows: &'a [TruthRow]) -> Option<Self> {
        let controller = assembly.controllers.first()?;
        let controls = moving(rows);
        let actions = assembly.port.actions();
        let is_small = controls.len() <= MOST_BITS && actions.len() <= MOST_BITS;
        if !is_small || combinations(controller, &controls) != u64::try_from(rows.len()).ok()? {
            return None;
        }
        let pressed = |row: &TruthRow| bits(&controls, |control| row.pressed.contains(control));
        let reads = |row: &TruthRow| bits(&actions, |action| row.reads.contains(action));
        let table: BTreeMap<Bits, Bits> = rows.iter().map(|row| (pressed(row), reads(row))).collect();
        let idle = *table.get(&0)?;
        let press = |(bit, control): (Bits, &&'a Control)| {
            let asked = bits(&actions, |action| asks(&assembly.lead.play, action, control));
            Some(Press { control, asked, alone: *table.get(&(1 << bit))? })
        };
        let presses: Vec<Press<'a>> = (0..).zip(&controls).map(press).collect::<Option<_>>()?;
        let mut truth = Self { presses, actions, idle, odd: BTreeMap::new() };
        truth.odd = table.into_iter().filter(|(pressed, reads)| truth.sum(*pressed) != *reads).collect();
        (truth.odd.len() <= MOST_ODD).then_some(truth)
    }

    /// What presses read if none of them makes a difference to another.
    fn sum(&self, pressed: Bits) -> Bits {
        let held = (0..).zip(&self.presses).filter(|(bit, _)| pressed & (1 << bit) != 0);
        held.fold(self.idle, |sum, (_, press)| sum | press.alone)
    }

    /// The odd combinations as text: `5:3 1a:7`, to the base of 36.
    pub(super) fn odd_text(&self) -> String {
        let odd =
            self.odd.iter().map(|(pressed, reads)| format!("{}:{}", base_36(*pressed), base_36(*reads)));
        odd.collect::<Vec<_>>().join(" ")
    }
}

/// The controls of a table: the ones that are ever pressed, each once.
fn moving(rows: &[TruthRow]) -> Vec<&Control> {
    // The rows with one control come in the controller's own order.
    rows.iter().filter(|row| row.pressed.len() == 1).flat_map(|row| &row.pressed).collect()
}

/// Whether a press of a control asks for an action.
fn asks(play: &PlayMap, action: &Action, control: &Control) -> bool {
    play.controls(action).contains(control)
}

/// How many combinations the gate allows.
fn combinations(controller: &Controller, controls: &[&Control]) -> u64 {
    let directions: Vec<_> = controls.iter().filter_map(|control| control.direction()).collect();
    let excluded = match controller.gate {
        Gate::EightWay => directions.iter().filter(|own| directions.contains(&own.opposite())).count() / 2,
        Gate::None => 0,
    };
    // Of the four combinations of two opposite directions the gate allows three.
    let [free, excluded] =
        [controls.len() - 2 * excluded, excluded].map(|n| u32::try_from(n).unwrap_or(u32::MAX));
    2_u64.saturating_pow(free).saturating_mul(3_u64.saturating_pow(excluded))
}

fn bits<T>(all: &[&T], has: impl Fn(&T) -> bool) -> Bits {
    (0..).zip(all).filter(|(_, one)| has(one)).fold(0, |set, (bit, _)| set | 1 << bit)
}

fn base_36(number: Bits) -> String {
    let mut digits = Vec::new();
    let mut rest = number;
    loop {
        digits.extend(char::from_digit(rest % 36, 36));
        rest /= 36;
        if rest == 0 {
            return digits.into_iter().rev().collect();
        }
    }
}

#[cfg(test)]
mod tests {
    use solderside_proof::prove;

    use super::*;
    use crate::shelf::{lead, pad_to_curlew, stick_to_curlew, stick_to_plover};

    /// What the page makes of the text, by its own small means.
    fn read_back(truth: &Truth<'_>, pressed: Bits) -> Bits {
        let number = |text: &str| Bits::from_str_radix(text, 36).unwrap();
        let text = truth.odd_text();
        let odd = text.split_whitespace().map(|pair| pair.split_once(':').unwrap());
        let odd =
            odd.map(|(pressed, reads)| (number(pressed), number(reads))).find(|(own, _)| *own == pressed);
        odd.map_or_else(|| truth.sum(pressed), |(_, reads)| reads)
    }

    fn every_row_is_kept(assembly: &Assembly) {
        let rows = prove(assembly).unwrap().truth;
        let truth = Truth::of(assembly, &rows).unwrap();
        for row in &rows {
            let pressed = (0..).zip(&truth.presses).filter(|(_, press)| row.pressed.contains(press.control));
            let pressed = pressed.fold(0, |set, (bit, _)| set | 1 << bit);
            let reads = read_back(&truth, pressed);
            let names = (0..).zip(&truth.actions).filter(|(bit, _)| reads & (1 << bit) != 0);
            let names: Vec<&Action> = names.map(|(_, action)| *action).collect();
            let mut expected: Vec<&Action> = row.reads.iter().collect();
            expected.sort_by_key(|action| truth.actions.iter().position(|other| other == action));
            assert_eq!(names, expected, "{:?}", row.pressed);
        }
    }

    /// The return sits on `a` and the common on nothing: a direction reads only while `a` is held.
    fn return_on_a_button() -> Assembly {
        lead("heron-stick", "curlew", &[[13, 8]])
    }

    #[test]
    fn the_small_form_says_what_the_truth_table_says() {
        for assembly in [stick_to_plover(), stick_to_curlew(), pad_to_curlew(), return_on_a_button()] {
            every_row_is_kept(&assembly);
        }
    }

    #[test]
    fn only_presses_that_make_a_difference_to_each_other_are_told_one_by_one() {
        let sound = stick_to_plover();
        let rows = prove(&sound).unwrap().truth;
        assert!(Truth::of(&sound, &rows).unwrap().odd.is_empty());
        let odd = return_on_a_button();
        let rows = prove(&odd).unwrap().truth;
        let truth = Truth::of(&odd, &rows).unwrap();
        // Nine positions of the lever with `a` held, less the one at rest.
        assert_eq!(truth.odd.len(), 8);
        assert_eq!(truth.odd_text().split_whitespace().next(), Some("h:1"));
    }

    #[test]
    fn a_table_with_a_hole_in_it_is_refused() {
        let assembly = stick_to_plover();
        let mut rows = prove(&assembly).unwrap().truth;
        rows.pop();
        assert_eq!(Truth::of(&assembly, &rows), None);
        assert_eq!(Truth::of(&assembly, &[]), None);
    }

    #[test]
    fn numbers_are_written_to_the_base_of_36() {
        assert_eq!([0, 35, 36, Bits::MAX].map(base_36), ["0", "z", "10", "1z141z3"]);
    }
}

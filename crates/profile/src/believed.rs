//! What is believed of the resistances of each use: beyond it, Ω, kΩ and MΩ were mixed up.
//!
//! All ranges are common practice, no source: wide enough for any machine of a hobby, and narrow enough that a
//! usual value a thousand times too high or too low falls out of them. 0 is left to who reads the value.

use solderside_quantity::significant;

/// The least and the most that is believed of a value of one use.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Believed {
    /// What has that resistance, with its article.
    what: &'static str,
    lowest: f64,
    pub(crate) highest: f64,
}

impl Believed {
    /// Pull-ups and pull-downs: less is a short to the rail, more is no pull.
    pub(crate) const PULL: Self = Self { what: "a pull-up or pull-down", lowest: 100.0, highest: 1e6 };
    /// Resistors in series with a switch or a line. What wires and contacts have needs no resistor.
    pub(crate) const SERIES: Self = Self { what: "a resistor in series", lowest: 10.0, highest: 100e3 };
    /// Pots that a player moves: from 1 kΩ less 20 % on.
    pub(crate) const POT: Self = Self { what: "a pot", lowest: 800.0, highest: 10e6 };
    /// Resistors that are bought one by one.
    pub(crate) const RESISTOR: Self = Self { what: "a resistor", lowest: 1.0, highest: 10e6 };

    /// How to mend numbers of which one is not believed, with those that are likely to be meant; none if all are
    /// believed.
    pub(crate) fn doubt(&self, numbers: &[f64]) -> Option<String> {
        if self.holds(numbers) {
            return None;
        }
        let ohms = |number: f64| significant(number, 6);
        let Self { what, lowest, highest } = self;
        let [lowest, highest] = [ohms(*lowest), ohms(*highest)];
        let believed = format!("ohms are meant, and from {lowest} to {highest} is believed of {what}");
        Some(match self.meant(numbers) {
            Some(meant) => {
                let meant: Vec<String> = meant.into_iter().map(ohms).collect();
                let list = meant.join(", ");
                let list = if meant.len() > 1 { format!("[{list}]") } else { list };
                format!("did you mean {list}? {believed}")
            }
            None => believed,
        })
    }

    /// What is believed with one slip of a prefix, or with one at each number that is not believed.
    fn meant(&self, numbers: &[f64]) -> Option<Vec<f64>> {
        const SLIPS: [f64; 4] = [1e3, 1e-3, 1e6, 1e-6];
        let all = |slip: f64| numbers.iter().map(|number| number * slip).collect::<Vec<f64>>();
        let each = |number: &f64| {
            let slips = [1.0].into_iter().chain(SLIPS);
            slips.map(|slip| number * slip).find(|number| self.holds(&[*number]))
        };
        let one_slip = SLIPS.into_iter().map(all).find(|meant| self.holds(meant));
        let slips = || numbers.iter().map(each).collect::<Option<Vec<f64>>>();
        one_slip.or_else(slips).filter(|meant| meant.is_sorted())
    }

    fn holds(&self, numbers: &[f64]) -> bool {
        numbers.iter().all(|number| *number == 0.0 || (self.lowest..=self.highest).contains(number))
    }
}

#[cfg(test)]
mod tests {
    use super::Believed;

    #[test]
    fn a_slip_of_a_prefix_is_told_with_what_was_meant() {
        let cases = [
            (Believed::PULL, [3.1, 5.0, 8.0], "did you mean [3100, 5000, 8000]?"),
            (Believed::PULL, [3.1e6, 5e6, 8e6], "did you mean [3100, 5000, 8000]?"),
            (Believed::PULL, [3.1, 5e3, 8e3], "did you mean [3100, 5000, 8000]?"),
            (Believed::SERIES, [2.1, 2.2, 2.3], "did you mean [2100, 2200, 2300]?"),
            (Believed::SERIES, [47e4, 52e4, 57e4], "did you mean [470, 520, 570]?"),
            (Believed::POT, [0.42, 0.47, 0.52], "did you mean [420000, 470000, 520000]?"),
            (Believed::POT, [0.0, 0.0, 500.0], "did you mean [0, 0, 500000]?"),
            (Believed::RESISTOR, [0.47, 0.47, 0.47], "did you mean [470, 470, 470]?"),
            // The high end would be below the typical value.
            (Believed::SERIES, [50.0, 99e3, 150e3], "ohms are meant, and from 10 to 100000 is believed of a"),
        ];
        for (believed, numbers, told) in cases {
            let doubt = believed.doubt(&numbers).expect("it is doubted");
            assert!(doubt.starts_with(told), "{numbers:?}: {doubt}");
        }
    }

    #[test]
    fn what_machines_have_is_believed_and_nought_is_no_slip() {
        for (believed, numbers) in [
            (Believed::PULL, [200.0, 400.0, 800.0]),
            (Believed::PULL, [400e3, 470e3, 600e3]),
            (Believed::SERIES, [0.0, 0.0, 0.0]),
            (Believed::POT, [0.0, 0.0, 500e3]),
            (Believed::POT, [800.0, 1000.0, 1200.0]),
        ] {
            assert_eq!(believed.doubt(&numbers), None, "{numbers:?}");
        }
    }
}

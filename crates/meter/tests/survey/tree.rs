//! The survey of small cables against the best that any plan can do.
//!
//! The best plan is found by trying every measurement in every state: one contact against any set of cores, each order
//! of the cores equally likely, until every contact is proved to end where it does (or nowhere) without leaning on
//! what is likely. It shares no code with the survey.

use std::collections::BTreeMap;

use crate::hidden::{Hidden, bare, core, number, surveyed};

/// For each contact the cores that it may still end in, a bit each, and above them a bit for none.
type State = Vec<u8>;

struct Tree {
    cores: usize,
    orders: Vec<Vec<usize>>,
    known: BTreeMap<State, f64>,
}

impl Tree {
    fn new(cores: usize) -> Self {
        Self { cores, orders: orders(cores), known: BTreeMap::new() }
    }

    fn none(&self) -> u8 {
        1 << self.cores
    }

    /// How many of the orders agree with a state.
    fn agreeing(&self, state: &State) -> usize {
        let agrees = |order: &&Vec<usize>| order.iter().zip(state).all(|(core, own)| own & (1 << core) != 0);
        self.orders.iter().filter(agrees).count()
    }

    /// The fewest further readings on average.
    fn fewest(&mut self, state: &State) -> f64 {
        if state.iter().all(|own| own.is_power_of_two()) {
            return 0.0;
        }
        // Which contact is which counts for nothing.
        let mut key = state.clone();
        key.sort_unstable();
        if let Some(known) = self.known.get(&key) {
            return *known;
        }
        let all = self.agreeing(&key) as f64;
        let mut best = f64::INFINITY;
        for contact in 0..key.len() {
            if contact > 0 && key[contact] == key[contact - 1] {
                continue;
            }
            for touched in 1..self.none() {
                let own = key[contact];
                let [there, gone] = [own & touched, own & !touched];
                if there == 0 || gone == 0 {
                    continue;
                }
                let mut cost = 1.0;
                for half in [there, gone] {
                    let mut next = key.clone();
                    next[contact] = half;
                    let share = self.agreeing(&next) as f64 / all;
                    if share > 0.0 && cost < best {
                        cost += share * self.fewest(&next);
                    }
                }
                best = best.min(cost);
            }
        }
        self.known.insert(key, best);
        best
    }
}

fn orders(cores: usize) -> Vec<Vec<usize>> {
    let mut orders: Vec<Vec<usize>> = vec![Vec::new()];
    for _ in 0..cores {
        let mut longer = Vec::new();
        for order in &orders {
            let free = (0..cores).filter(|core| !order.contains(core));
            longer.extend(free.map(|core| [order.as_slice(), &[core]].concat()));
        }
        orders = longer;
    }
    orders
}

#[test]
fn the_survey_of_a_small_cable_takes_hardly_more_readings_than_the_best_plan() {
    for cores in 2..=4 {
        let mut tree = Tree::new(cores);
        let start: State = vec![2 * tree.none() - 1; cores];
        let best = tree.fewest(&start);
        let unknown = bare(&format!("terminals {cores}"), u8::try_from(cores).unwrap(), false);
        let mut sum = 0;
        let orders = orders(cores);
        for order in &orders {
            let mut hidden = Hidden::new(&unknown);
            for (contact, own) in (1..).zip(order) {
                hidden.join_through(number(contact), core(u8::try_from(own + 1).unwrap()));
            }
            let survey = surveyed(&unknown, None, &hidden);
            hidden.check(&survey);
            sum += survey.readings().len();
        }
        // Those that part the cores come on top of what the tree looks at.
        let parting = f64::from(usize::BITS - (cores - 1).leading_zeros());
        let mean = sum as f64 / orders.len() as f64 - parting;
        assert!(mean >= best - 1e-9, "nothing beats the best plan");
        assert!(mean <= best * 1.04, "{mean} against {best}");
    }
}

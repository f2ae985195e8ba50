//! A cable whose wiring the survey does not know. It answers by a walk over its wires, the bunches that are held
//! together among them, and shares no code with what concludes from the answers.

use std::collections::{BTreeMap, BTreeSet};

use solderside_meter::TypedReading;
use solderside_meter::survey::{Bunch, Far, Survey, SurveyReading, Tail, Taken, Touch, UnknownCable, Wiring};
use solderside_profile::{Cable, CoreId};
use solderside_quantity::Ohms;
use solderside_trade::{Connector, ContactId, CoreColour};

/// A point of either end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    Near(ContactId),
    Far(Far),
}

pub struct Hidden {
    unknown: UnknownCable,
    wires: Vec<(Spot, Spot)>,
}

/// Numbers that look random and are the same in every run: xorshift64*.
pub struct Luck(u64);

impl Luck {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        usize::try_from(self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33).unwrap() % end
    }

    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for at in (1..items.len()).rev() {
            items.swap(at, self.below(at + 1));
        }
    }
}

pub fn number(number: u8) -> ContactId {
    ContactId::Number(number)
}

pub fn core(number: u8) -> Far {
    Far::Core(CoreId::Number(number))
}

pub fn colours(words: &str) -> Vec<CoreColour> {
    words.split_whitespace().map(|word| CoreColour::parse(word).unwrap()).collect()
}

/// A moulded end with so many bare cores at the other.
pub fn bare(end: &str, cores: u8, drain: bool) -> UnknownCable {
    let words = "BK BN RD OG YE GN BU VT GY WH PK TQ WH/BN WH/RD WH/GN";
    let colours = colours(words).into_iter().take(usize::from(cores)).collect();
    UnknownCable { end: end.parse::<Connector>().unwrap(), tail: Tail::Cores { colours, drain } }
}

/// Surveys a hidden cable to the end.
pub fn surveyed(unknown: &UnknownCable, like: Option<&Cable>, hidden: &Hidden) -> Survey {
    let mut survey = Survey::new(unknown.clone(), like);
    while let Some(touch) = survey.next() {
        let before = survey.readings().len();
        assert!(before < 1000, "the survey does not end");
        assert!(survey.readings().iter().all(|reading| reading.touch != touch), "{touch} is asked twice");
        let taken = survey.take(SurveyReading::new(touch.clone(), hidden.answer(&touch)).unwrap());
        assert_eq!(taken, Taken::Kept, "a real cable does not contradict itself: {touch}");
    }
    survey
}

impl Hidden {
    pub fn new(unknown: &UnknownCable) -> Self {
        Self { unknown: unknown.clone(), wires: Vec::new() }
    }

    pub fn join_through(&mut self, contact: ContactId, far: Far) {
        self.wires.push((Spot::Near(contact), Spot::Far(far)));
    }

    pub fn join_far(&mut self, one: Far, other: Far) {
        self.wires.push((Spot::Far(one), Spot::Far(other)));
    }

    pub fn answer(&self, touch: &Touch) -> TypedReading {
        let spots = |bunch: &Bunch| bunch.iter().map(|far| Spot::Far(*far)).collect::<Vec<_>>();
        let sides = match touch {
            Touch::Through(contact, bunch) => [vec![Spot::Near(*contact)], spots(bunch)],
            Touch::Across(one, other) => [spots(one), spots(other)],
        };
        let mut wires = self.wires.clone();
        for side in &sides {
            wires.extend(side.windows(2).map(|pair| (pair[0], pair[1])));
        }
        if reached(sides[0][0], &wires).contains(&sides[1][0]) {
            TypedReading::Ohms(Ohms::literal(0.4))
        } else {
            TypedReading::Open
        }
    }

    /// Asserts that a finished survey says what is there.
    pub fn check(&self, survey: &Survey) {
        let found = survey.found();
        let ends = |spot: Spot| -> BTreeSet<Spot> { reached(spot, &self.wires) };
        for contact in self.unknown.contacts() {
            let truth: BTreeSet<Far> = far_of(&ends(Spot::Near(contact)));
            match found.contacts[&contact] {
                Wiring::To { far, .. } => assert!(truth.contains(&far), "{contact} does not end in {far:?}"),
                Wiring::Nothing => assert!(truth.is_empty(), "{contact} ends in {truth:?}"),
                Wiring::NotFound => panic!("{contact} is not found"),
            }
        }
        let mut nets: BTreeMap<Far, BTreeSet<Far>> = BTreeMap::new();
        for far in self.unknown.far() {
            let net = far_of(&ends(Spot::Far(far)));
            nets.insert(*net.first().unwrap(), net);
        }
        let shorts: Vec<BTreeSet<Far>> = nets.values().filter(|net| net.len() > 1).cloned().collect();
        assert_eq!(found.shorts, shorts);
        assert_eq!(found.untried_pairs, 0);
        let shared = nets.values().filter(|net| {
            let near = |spot: &Spot| matches!(spot, Spot::Near(_));
            ends(Spot::Far(*net.first().unwrap())).iter().filter(|spot| near(spot)).count() > 1
        });
        assert_eq!(found.shared.len(), shared.count());
    }
}

fn far_of(spots: &BTreeSet<Spot>) -> BTreeSet<Far> {
    spots.iter().filter_map(|spot| if let Spot::Far(far) = spot { Some(*far) } else { None }).collect()
}

fn reached(start: Spot, wires: &[(Spot, Spot)]) -> BTreeSet<Spot> {
    let mut seen = BTreeSet::from([start]);
    let mut open = vec![start];
    while let Some(spot) = open.pop() {
        for (one, other) in wires {
            for (from, to) in [(one, other), (other, one)] {
                if *from == spot && seen.insert(*to) {
                    open.push(*to);
                }
            }
        }
    }
    seen
}

//! What chips can know of where the machine is in its reading.
//!
//! Chips that keep no time see how the lines stand and in which order they move, and nothing else: neither how long a stand
//! lasts nor the pause between two readings. As the machine reads again and again, a reading is to them a ring of places, in
//! which steps that follow each other without a move are one place.
//!
//! Let the ring look the same when it is turned by some places, and the controls stand still. Two leads of the same chips, of
//! which one is switched on so many places later than the other, then see the same for ever, and whatever state they wake up
//! in, both show the same for ever. Where the machine wants different things of the two, one of them is wrong in every
//! reading; and nobody knows in which place a lead is switched on. So no number of such chips serves.
//!
//! Else the places tell themselves apart: what turns onto itself is a word written several times over, and a word that is
//! none has as many different turns as letters (M. Lothaire, "Combinatorics on Words", 1983, chapter 1, from memory). Chips
//! that remember one round of stands then know where they are, up to the turns that do not matter. The tests hold both against
//! every machine of a few states.

use std::fmt;

use solderside_lead::Leg;
use solderside_profile::{Action, Control, Level, Port, Step};
use solderside_trade::ContactId;

use crate::logic::wants::{Show, Want};

/// Two steps that are one to chips that keep no time, however many there are, and in which the machine wants different things.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alike {
    /// The contact at which it does.
    pub leg: Leg,
    /// The steps.
    pub steps: [String; 2],
    /// How often the lines make the same moves in a reading; none where they do not move at all between the two steps.
    pub times: Option<usize>,
}

/// The steps of a reading as chips see them.
struct Ring {
    /// The place of each step.
    places: Vec<usize>,
    /// How many places there are.
    length: usize,
    /// By how many places it must be turned to look the same, at least.
    period: usize,
}

impl Ring {
    /// The ring of steps whose lines stand so.
    fn of<S: PartialEq>(stands: &[S]) -> Self {
        let (mut places, mut seen): (Vec<usize>, Vec<&S>) = (Vec::new(), Vec::new());
        for stand in stands {
            if seen.last() != Some(&stand) {
                seen.push(stand);
            }
            places.push(seen.len() - 1);
        }
        // The last step is followed by the first.
        if seen.len() > 1 && seen.first() == seen.last() {
            seen.pop();
            for place in &mut places {
                *place %= seen.len();
            }
        }
        let length = seen.len();
        let is_turned = |by: &usize| seen.iter().eq(seen.iter().cycle().skip(*by).take(length));
        Self { places, length, period: (1..length).find(is_turned).unwrap_or(length) }
    }

    /// Whether two steps are one to whoever sees the ring.
    fn are_one(&self, one: usize, other: usize) -> bool {
        let place = |step: usize| self.places.get(step).map(|place| place % self.period);
        place(one) == place(other)
    }
}

impl Alike {
    /// The first two steps in which a contact is to show different things and that are one to chips. It is about the
    /// machine's lines alone: what a controller shows that keeps time inside is not asked.
    pub(crate) fn of(port: &Port, want: &Want) -> Option<Self> {
        let steps = &port.steps;
        let ring = Ring::of(&steps.iter().map(seen).collect::<Vec<_>>());
        let pairs = (0..steps.len()).flat_map(|other| (0..other).map(move |one| [one, other]));
        let mut alike = pairs.filter(|[one, other]| ring.are_one(*one, *other));
        let [one, other] = alike.find(|[one, other]| want.differs(*one, *other))?;
        let is_moved = ring.places.get(one) != ring.places.get(other);
        Some(Self {
            leg: Leg::port(want.contact),
            steps: [one, other].map(|at| steps[at].name.clone()),
            times: is_moved.then_some(ring.length / ring.period),
        })
    }
}

impl fmt::Display for Alike {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [one, other] = &self.steps;
        write!(
            f,
            "no number of chips that keep no time tells `{one}` from `{other}` by the machine's lines, "
        )?;
        match self.times {
            Some(times) => write!(f, "which move alike {times} times in a reading"),
            None => f.write_str("none of which moves between them"),
        }
    }
}

/// All that chips may see of a step: which lines are driven, and which keys of the machine's own are held.
fn seen(step: &Step) -> (Vec<(&ContactId, &Level)>, &[Action]) {
    (step.drives.iter().filter(|(_, level)| **level != Level::Released).collect(), &step.held)
}

impl Want {
    /// Whether nothing that a lead may do at the contact serves two steps alike, at least while some control is pressed.
    pub(crate) fn differs(&self, one: usize, other: usize) -> bool {
        let is_idle = |show: &Show| *show == Show::Fixed(self.idle());
        match [&self.shows[one], &self.shows[other]] {
            [Show::Any, _] | [_, Show::Any] => false,
            // What is let go of stands idle, if need be by a resistor.
            [Show::LetGo, show] | [show, Show::LetGo] => *show != Show::LetGo && !is_idle(show),
            [Show::Pressed(one), Show::Pressed(other)] => {
                let has_all =
                    |all: &[Control], of: &[Control]| of.iter().all(|control| all.contains(control));
                !(has_all(one, other) && has_all(other, one))
            }
            [one, other] => one != other,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use super::*;

    /// A chip circuit as its stable states: where each leads under each stand of the lines.
    type Machine = Vec<Vec<usize>>;

    /// Every machine of so many states that sees so many different stands.
    fn machines(states: usize, stands: usize) -> impl Iterator<Item = Machine> {
        let all = states.pow(u32::try_from(states * stands).expect("few"));
        (0..all).map(move |mut number| {
            let mut next = || {
                let state = number % states;
                number /= states;
                state
            };
            (0..states).map(|_| (0..stands).map(|_| next()).collect()).collect()
        })
    }

    /// Every list of so many things out of so many.
    fn lists(length: usize, kinds: usize) -> impl Iterator<Item = Vec<usize>> {
        let all = kinds.pow(u32::try_from(length).expect("few"));
        (0..all).map(move |number| {
            (0..length).scan(number, |left, _| Some((*left % kinds, *left /= kinds).0)).collect()
        })
    }

    /// In which steps a machine is for ever in a state under a stand, if it is switched on in any step and in one of these
    /// states: it must show the same in all of them. What does not move, it does not see.
    fn shown_alike(machine: &Machine, stands: &[usize], begin: &[usize]) -> Vec<Vec<usize>> {
        let steps = stands.len();
        let mut at: BTreeSet<[usize; 2]> =
            begin.iter().flat_map(|state| (0..steps).map(move |step| [*state, step])).collect();
        let follow = |[state, step]: &[usize; 2]| {
            let next = (step + 1) % steps;
            let moved = stands[next] != stands[*step];
            [if moved { machine[*state][stands[next]] } else { *state }, next]
        };
        for _ in 0..machine.len() * steps {
            at = at.iter().map(follow).collect();
        }
        let mut alike: BTreeMap<[usize; 2], Vec<usize>> = BTreeMap::new();
        for [state, step] in at {
            alike.entry([state, stands[step]]).or_default().push(step);
        }
        alike.into_values().collect()
    }

    /// Holds what the ring of a reading says, whatever is wanted in its steps, against every machine of so many states.
    fn hold(stands: &[usize], machines: &[Machine]) {
        let ring = Ring::of(stands);
        let alike = |begin: &[usize]| -> BTreeSet<Vec<Vec<usize>>> {
            machines.iter().map(|machine| shown_alike(machine, stands, begin)).collect()
        };
        // At best chips wake up in the one state that suits them, at worst in any.
        let every: Vec<usize> = (0..machines[0].len()).collect();
        let (best, worst) = (alike(&every[..1]), alike(&every));
        for wants in lists(stands.len(), 2) {
            let is_served = |groups: &Vec<Vec<usize>>| {
                groups.iter().all(|group| group.iter().all(|step| wants[*step] == wants[group[0]]))
            };
            let pairs = (0..stands.len()).flat_map(|other| (0..other).map(move |one| (one, other)));
            let is_vain =
                pairs.into_iter().any(|(one, other)| ring.are_one(one, other) && wants[one] != wants[other]);
            let found = [&best, &worst].map(|all| all.iter().any(is_served));
            assert_eq!(found, [!is_vain; 2], "{stands:?} {wants:?}");
        }
    }

    #[test]
    fn no_machine_of_few_states_tells_apart_what_the_ring_says_is_one_and_some_machine_tells_all_else() {
        for (steps, kinds, states) in
            [(1, 2, 1), (2, 2, 2), (3, 2, 2), (4, 2, 2), (6, 2, 3), (3, 3, 2), (4, 3, 2), (5, 3, 2)]
        {
            let machines: Vec<Machine> = machines(states, kinds).collect();
            for stands in lists(steps, kinds) {
                hold(&stands, &machines);
            }
        }
        let machines: Vec<Machine> = machines(3, 3).collect();
        for stands in [[0, 1, 2, 0, 1, 2], [0, 1, 0, 1, 0, 2], [0, 1, 1, 0, 1, 1]] {
            hold(&stands, &machines);
        }
    }
}

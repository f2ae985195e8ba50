//! Voltages that no node passes, cheap and wide: every node may have every element as it likes.
//!
//! Let each node see each element conduct most where that lifts it and least where that would lower
//! it, whatever the other end sees. Voltages at which no node then takes in more than it gives are
//! passed by none of the real networks (the comparison principle of monotone networks). How they were
//! found does not matter, so they are sought by a few steps of Newton's method and then checked.

use super::elements::{ends, held_at, laws, side};
use super::{Extreme, Spread, Uncertain};
use crate::diode::Junction;
use crate::law::Law;
use crate::network::Node;
use crate::star_mesh::Mesh;

/// What is added beyond the voltages found, so that rounding cannot deny them: far below any margin.
const BEYOND: f64 = 1e-3;

/// The current by which a checked node may seem out of balance through rounding. It lifts a node by no more
/// than [`BEYOND`] as long as the node is no further than 1 GΩ from a known voltage, which no line is.
const ROUNDING: f64 = 1e-12;

/// How often the diodes are bounded more closely.
const CLOSER: usize = 1;

/// Steps until the laws in force no longer change; with fewer the check fails and nothing is claimed.
const STEPS: usize = 60;

/// The lowest and highest voltage of each node.
#[derive(Debug, Clone)]
pub(super) struct Ranges {
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Ranges {
    /// Finds them; none where the check fails, as with a floating node.
    ///
    /// How much a diode lets through depends on how far it is driven: what the first search allows it bounds
    /// it more closely in the next, as its law lies below the chord to the furthest point.
    pub(super) fn of(spread: &Spread) -> Option<Self> {
        Self::found(spread, Leaks::Straight)
    }

    /// Finds them where a current of its own would drive a node away that diodes alone hold: what these carry forwards
    /// at least is told more closely, which takes longer.
    pub(super) fn bent(spread: &Spread) -> Option<Self> {
        Self::found(spread, Leaks::Bent)
    }

    fn found(spread: &Spread, leaks: Leaks) -> Option<Self> {
        let laws: Vec<Option<Law>> = spread
            .elements
            .iter()
            .map(|element| laws(element).filter(|_| is_diode(element)).map(|[_, most]| most))
            .collect();
        let series = |element: &Uncertain| match element {
            Uncertain::Diode { most, .. } if most.rs.get() > 0.0 => most.rs.get().recip(),
            Uncertain::Diode { .. }
            | Uncertain::Resistor { .. }
            | Uncertain::Source { .. }
            | Uncertain::Current { .. }
            | Uncertain::Sink { .. } => f64::INFINITY,
        };
        let mut through: Vec<f64> = spread.elements.iter().map(series).collect();
        let mut found = Self::search(spread, &through, None, leaks)?;
        for _ in 0..CLOSER {
            for ((through, law), element) in through.iter_mut().zip(&laws).zip(&spread.elements) {
                let [anode, cathode] = ends(element);
                let furthest = found.high[anode.0] - found.low[cathode.0];
                if let Some(law) = law.filter(|_| furthest > 0.0) {
                    *through = through.min(law.at(furthest).0 / furthest);
                }
            }
            let Some(closer) = Self::search(spread, &through, Some(&found), leaks) else { break };
            found = closer;
        }
        Some(found)
    }

    /// Searches from what was found before: a close start saves steps, any would do.
    fn search(spread: &Spread, through: &[f64], before: Option<&Self>, leaks: Leaks) -> Option<Self> {
        let [low, high] = [before.map(|it| it.low.as_slice()), before.map(|it| it.high.as_slice())];
        Some(Self {
            low: passed_by_none(spread, through, Extreme::Lowest, low, leaks)?,
            high: passed_by_none(spread, through, Extreme::Highest, high, leaks)?,
        })
    }

    /// One end of a node's range.
    pub(super) fn at(&self, node: Node, extreme: Extreme) -> f64 {
        match extreme {
            Extreme::Lowest => self.low[node.0],
            Extreme::Highest => self.high[node.0],
        }
    }

    /// How far a node's highest lies above its lowest, in volts.
    pub(super) fn width(&self, node: usize) -> f64 {
        self.high[node] - self.low[node]
    }

    /// The largest current, either way, that a diode can carry.
    pub(super) fn most_amps(&self, anode: Node, cathode: Node, law: &Law) -> f64 {
        let [back, forth] =
            [self.low[anode.0] - self.high[cathode.0], self.high[anode.0] - self.low[cathode.0]];
        [back, forth].map(|volts| law.at(volts).0.abs()).into_iter().fold(0.0, f64::max)
    }
}

fn is_diode(element: &Uncertain) -> bool {
    matches!(element, Uncertain::Diode { .. })
}

/// One element as one of its nodes sees it.
struct Sight {
    node: usize,
    /// The other node, or what is known of it.
    other: Result<usize, f64>,
    /// In force while current leaves the node.
    leaving: Seen,
    /// In force while current comes in.
    entering: Seen,
}

/// What a node may see of an element.
#[derive(Clone, Copy)]
enum Seen {
    Law(Law),
    /// A law turned round: the node is its second end.
    Turned(Law),
    /// A diode forwards, by a conductance that it never exceeds or never falls short of.
    Forwards(f64),
    /// A diode backwards: its exponential is gentle there.
    Backwards(Law),
    Nothing,
}

/// How a diode's leakage is taken, and what it carries forwards at least; all ways are sure, and where one leaves nodes
/// without a balance another may not.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Leak {
    /// As its saturation current, wherever its ends stand; nothing forwards.
    Whole,
    /// By its own law: nothing leaks into a node that hangs on the diode alone. Forwards by its tangent at nothing.
    Own,
    /// By its own law, and forwards by a second tangent as well, as soon as that carries more: so it holds a node that a
    /// current of its own would drive away.
    Bent,
}

/// Which of these ways are gone.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Leaks {
    /// The first two, one after the other.
    Straight,
    /// The last.
    Bent,
}

/// The current at which a diode's second tangent touches it, in amperes: the most that flows into an input, or less.
const BENT_AT: f64 = 1e-3;

/// No more than a diode carries forwards: its law is convex, and so above each of its tangents. Taken are that at nothing
/// and that at [`BENT_AT`], whichever carries more.
fn below(diode: &Junction) -> Law {
    let (_, leak) = diode.at(0.0);
    let touches = diode.scale() * libm::log1p(BENT_AT / diode.saturation()) + diode.series() * BENT_AT;
    let (current, slope) = diode.at(touches);
    let conductance = slope - leak;
    // Where both carry the same.
    let offset = (slope * touches - current) / conductance;
    if conductance > 0.0 && offset.is_finite() {
        Law::Sink { offset: offset.max(0.0), conductance, leak }
    } else {
        Law::Linear(leak)
    }
}

impl Seen {
    /// The current away from the node and its slope.
    fn at(self, volts: f64) -> (f64, f64) {
        match self {
            Self::Law(law) => law.at(volts),
            Self::Turned(law) => {
                let (current, slope) = law.at(-volts);
                (-current, slope)
            }
            Self::Forwards(conductance) => (conductance * volts, conductance),
            Self::Backwards(law) => {
                let current = law.at(-volts.abs()).0.abs().copysign(volts);
                // The tangent of a diode far in reverse leads nowhere; a chord is never flat.
                let chord = current / volts;
                (current, if chord > 0.0 { chord } else { law.at(0.0).1 })
            }
            Self::Nothing => (0.0, 0.0),
        }
    }
}

fn passed_by_none(
    spread: &Spread,
    through: &[f64],
    extreme: Extreme,
    before: Option<&[f64]>,
    leaks: Leaks,
) -> Option<Vec<f64>> {
    let with = |leak: Leak| with_leaks(spread, through, leak, extreme, before);
    match leaks {
        Leaks::Straight => with(Leak::Whole).or_else(|| with(Leak::Own)),
        Leaks::Bent => with(Leak::Bent),
    }
}

fn with_leaks(
    spread: &Spread,
    through: &[f64],
    leak: Leak,
    extreme: Extreme,
    before: Option<&[f64]>,
) -> Option<Vec<f64>> {
    let held = held_at(spread, extreme).ok()?;
    let mut place = vec![None; held.len()];
    let reached = reached(spread, &held);
    let free: Vec<usize> = (0..held.len()).filter(|at| held[*at].is_none() && reached[*at]).collect();
    for (at, node) in free.iter().enumerate() {
        place[*node] = Some(at);
    }
    let (sights, into) = sights(spread, through, leak, extreme, &held, &place)?;
    let into: Vec<f64> = free.iter().map(|node| into[*node]).collect();
    let mut volts: Vec<f64> = free.iter().map(|node| before.map_or(0.0, |before| before[*node])).collect();
    let mut next = vec![0.0; free.len()];
    let mut mesh = Mesh::default();
    for _ in 0..STEPS {
        mesh.reset(free.len());
        for sight in &sights {
            let across = sight.across(&volts);
            let (current, slope) = sight.seen(across).at(across);
            match sight.other {
                Ok(other) => mesh.lean(sight.node, other, slope),
                Err(known) => mesh.join_fixed(sight.node, slope, known),
            }
            mesh.inject(sight.node, slope * across - current);
        }
        for (node, amps) in into.iter().enumerate() {
            mesh.inject(node, *amps);
        }
        mesh.solve(&mut next).ok()?;
        let moved = next.iter().zip(&volts).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        std::mem::swap(&mut volts, &mut next);
        if moved <= BEYOND * 1e-3 {
            break;
        }
    }
    let beyond = if extreme == Extreme::Highest { BEYOND } else { -BEYOND };
    for volts in &mut volts {
        *volts += beyond;
    }
    // What leaves each node, less what is put in: at least nothing for the highest, at most for the lowest.
    let mut leaving: Vec<f64> = into.iter().map(|amps| -amps).collect();
    for sight in &sights {
        let across = sight.across(&volts);
        leaving[sight.node] += sight.seen(across).at(across).0;
    }
    let holds = leaving.iter().all(|amps| match extreme {
        Extreme::Highest => *amps >= -ROUNDING,
        Extreme::Lowest => *amps <= ROUNDING,
    });
    holds.then(|| {
        let value = |(node, held): (usize, Option<f64>)| {
            // Of a node that floats nothing is known.
            held.or_else(|| place[node].map(|at| volts[at] + beyond)).unwrap_or(beyond * f64::INFINITY)
        };
        held.into_iter().enumerate().map(value).collect()
    })
}

/// Which nodes something leads from to a known voltage.
fn reached(spread: &Spread, held: &[Option<f64>]) -> Vec<bool> {
    let mut reached: Vec<bool> = held.iter().map(Option::is_some).collect();
    loop {
        let mut more = false;
        for element in spread.elements.iter().filter(|element| laws(element).is_some()) {
            let [a, b] = ends(element).map(|node| node.0);
            let either = reached[a] || reached[b] || matches!(element, Uncertain::Source { .. });
            more |= either && !(reached[a] && reached[b]);
            reached[a] |= either;
            reached[b] |= either;
        }
        if !more {
            return reached;
        }
    }
}

impl Sight {
    fn across(&self, volts: &[f64]) -> f64 {
        volts[self.node] - self.other.map_or_else(|known| known, |other| volts[other])
    }

    fn seen(&self, across: f64) -> Seen {
        if across >= 0.0 { self.leaving } else { self.entering }
    }
}

/// Every element from each of its free nodes, and the current put into each node.
type Sights = (Vec<Sight>, Vec<f64>);

fn sights(
    spread: &Spread,
    through: &[f64],
    leak: Leak,
    extreme: Extreme,
    held: &[Option<f64>],
    place: &[Option<usize>],
) -> Option<Sights> {
    let raising = extreme == Extreme::Highest;
    let mut sights = Vec::new();
    let mut into = vec![0.0; held.len()];
    for (element, through) in spread.elements.iter().zip(through) {
        let [a, b] = ends(element).map(|node| node.0);
        let Some([least, most]) = laws(element) else {
            if let Uncertain::Current { amps, .. } = element {
                let [low, high] = [amps.low().get(), amps.high().get()];
                into[a] -= if raising { low } else { high };
                into[b] += if raising { high } else { low };
            }
            continue;
        };
        let far = |node: usize| match (element, held[node]) {
            (Uncertain::Source { volts, .. }, _) => Some(Err(side(*volts, extreme).get())),
            (_, Some(known)) => Some(Err(known)),
            (_, None) => place[node].map(Ok),
        };
        for (node, other, turned) in [(a, b, false), (b, a, true)] {
            // A source's other end is no node.
            if a == b || (turned && matches!(element, Uncertain::Source { .. })) {
                continue;
            }
            let (Some(node), Some(other)) = (place[node], far(other)) else { continue };
            // Lifted, a node gives little and takes much; lowered, the other way round.
            let (leaving, entering) = if raising { (least, most) } else { (most, least) };
            let (leaving, entering) = if is_diode(element) {
                // Forwards its exponential would make the search slow. It carries at most what `through` allows, and
                // at least what its tangent at nothing does, as its law is convex.
                if !through.is_finite() {
                    return None;
                }
                let saturation = if let Law::Junction(most) = most { most.saturation() } else { 0.0 };
                let forwards = |is_most: bool| match (is_most, leak, least) {
                    (true, _, _) => Seen::Forwards(*through),
                    (false, Leak::Bent, Law::Junction(least)) if turned => Seen::Turned(below(&least)),
                    (false, Leak::Bent, Law::Junction(least)) => Seen::Law(below(&least)),
                    (false, Leak::Own | Leak::Bent, _) => Seen::Forwards(least.at(0.0).1),
                    (false, Leak::Whole, _) => Seen::Nothing,
                };
                let backwards = |law: Law| match leak {
                    Leak::Own | Leak::Bent => Seen::Backwards(law),
                    Leak::Whole => Seen::Nothing,
                };
                if leak == Leak::Whole {
                    into[if turned { b } else { a }] += if raising { saturation } else { -saturation };
                }
                if turned {
                    (backwards(leaving), forwards(raising))
                } else {
                    (forwards(!raising), backwards(entering))
                }
            } else if turned {
                (Seen::Turned(leaving), Seen::Turned(entering))
            } else {
                (Seen::Law(leaving), Seen::Law(entering))
            };
            sights.push(Sight { node, other, leaving, entering });
        }
    }
    Some((sights, into))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diode::Diode;
    use proptest::prelude::*;
    use solderside_quantity::{Amps, Kelvin, Ohms};

    proptest! {
        #[test]
        fn a_diode_carries_no_less_than_its_two_tangents(
            volts in 0.0..3.0f64, decade in -14.0..-3.0f64, n in 0.9..2.5f64, rs in 0.0..100.0f64,
        ) {
            let is = Amps::literal(libm::pow(10.0, decade));
            let diode = Diode { is, n, rs: Ohms::literal(rs), at: Kelvin::literal(300.15) };
            let junction = Junction::new(&diode).unwrap();
            let (carries, _) = junction.at(volts);
            let (least, _) = below(&junction).at(volts);
            prop_assert!(least <= carries * (1.0 + 1e-9) + 1e-15, "{least} {carries}");
            prop_assert!(least >= 0.0);
        }
    }
}

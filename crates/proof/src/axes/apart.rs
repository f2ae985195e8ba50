//! How far the positions of an axis are apart, on the same parts.

use solderside_circuit::{Equivalent, time_constants};
use solderside_profile::{AxisInput, Ramp};
use solderside_quantity::{Farads, Ohms, Quantity, Seconds, Triple, Volts};

use super::bench::{Bench, in_units};
use super::{Joined, Position, from_rail};

/// A track is cut into so many pieces: within one, it is the same for all positions.
const TRACK_PIECES: usize = 8;

/// What the machine measures of an axis at the worst.
pub(super) struct Weighed {
    /// The shortest and the longest time at each position; none where it may never charge.
    pub(super) times: [[Option<Seconds>; 2]; 3],
    /// How far low is from centre and centre from high, as shares of the port's full travel.
    pub(super) apart: [f64; 2],
}

impl Weighed {
    /// None if nothing bounds what the capacitor sees.
    pub(super) fn of(bench: &Bench, joined: &Joined<'_>) -> Option<Self> {
        let mut weighed = Self { times: [[None; 2]; 3], apart: [f64::INFINITY; 2] };
        let mut widest: [Option<Equivalent>; 3] = [None; 3];
        for piece in 0..bench.pieces() {
            for track in tracks(joined.pot.ohms) {
                let mut seen = Vec::new();
                for (position, widest) in Position::ALL.into_iter().zip(&mut widest) {
                    let own = bench.seen(Some(position.ohms(track)), piece)?;
                    *widest = Some(widest.map_or(own, |so_far| both(&so_far, &own)));
                    seen.push(own);
                }
                for (apart, pair) in weighed.apart.iter_mut().zip(seen.windows(2)) {
                    if let [near, far] = pair {
                        *apart = apart.min(share_apart(bench.beside, joined.axis, &joined.ramp, [near, far]));
                    }
                }
            }
        }
        let farads = joined.ramp.farads;
        let farads = Triple::new(farads.low(), farads.typical(), farads.high() + bench.beside).ok()?;
        let to = [joined.ramp.threshold.low(), joined.ramp.threshold.high()];
        let to = [Volts::new(to[0].get()).ok()?, Volts::new(to[1].get()).ok()?];
        for (times, widest) in weighed.times.iter_mut().zip(widest) {
            *times = widest?.charging(joined.ramp.series, farads, to);
        }
        Some(weighed)
    }
}

pub(super) fn both(one: &Equivalent, other: &Equivalent) -> Equivalent {
    Equivalent {
        open: [one.open[0].min(other.open[0]), one.open[1].max(other.open[1])],
        ohms: [one.ohms[0].min(other.ohms[0]), one.ohms[1].max(other.ohms[1])],
    }
}

/// The pieces of a track.
fn tracks(track: Triple<Ohms>) -> Vec<Triple<Ohms>> {
    if track.low() == track.high() {
        return vec![track];
    }
    let edge =
        |at: usize| track.low() + (track.high() - track.low()) * (in_units(at) / in_units(TRACK_PIECES));
    let piece = |at: usize| Triple::new(edge(at), edge(at), edge(at + 1)).ok();
    (0..TRACK_PIECES).filter_map(piece).collect()
}

/// How much more the farther of two positions takes than the nearer one, at the worst, as a share of the full travel.
///
/// A time in units of what an ohm from the rail takes is `(R + series) · ln(V / (V − s)) / ln(1 / (1 − s))` with all voltages
/// as shares of the rail; what is charged cancels. For one `V` the quotient only rises or only falls with the threshold
/// `s`, so it is extreme at an end of its range. Of the `series`, which both share, the difference is a concave function, so
/// it is least at an end as well.
pub(super) fn share_apart(
    beside: Farads,
    axis: &AxisInput,
    ramp: &Ramp,
    [near, far]: [&Equivalent; 2],
) -> f64 {
    let thresholds = [ramp.threshold.low().get(), ramp.threshold.high().get()];
    let scales = thresholds.map(from_rail);
    if scales.iter().any(|scale| *scale <= 0.0 || !scale.is_finite()) {
        return f64::NEG_INFINITY;
    }
    let quotients = |open: Volts| {
        [0, 1].map(|at| time_constants(open, Volts::new(thresholds[at]).unwrap_or(Volts::ZERO)) / scales[at])
    };
    let least = quotients(far.open[1]).into_iter().fold(f64::INFINITY, f64::min);
    let most = quotients(near.open[0]).into_iter().fold(0.0, f64::max);
    // What lies beyond what is measured reads as the nearest time that is.
    let (shortest, longest) = axis.reads;
    let shortest = shortest.get() / (ramp.farads.low().get() * scales[0]);
    let longest = longest.get() / ((ramp.farads.high() + beside).get() * scales[1]);
    let apart = [ramp.series.low(), ramp.series.high()].map(|series| {
        let far = ((far.ohms[0] + series).get() * least).min(longest);
        let near = ((near.ohms[1] + series).get() * most).max(shortest);
        if near.is_finite() { (far - near) / axis.full_scale.get() } else { f64::NEG_INFINITY }
    });
    apart[0].min(apart[1])
}

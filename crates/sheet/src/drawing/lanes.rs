//! Where labelled conductors run beside one another.

use super::label::Wording;

/// Between plates, and between a plate and a neighbour's conductor.
pub(super) const CLEARANCE: f64 = 2.5;
const WIDEST: f64 = 64.0;

/// Lanes, one for each conductor that is labelled.
pub(super) struct Lanes {
    count: usize,
    /// The width of the widest plate.
    widest: f64,
    pitch: f64,
    /// Two where plates are wider than lanes: every second one stands lower.
    tiers: usize,
}

impl Lanes {
    #[expect(clippy::cast_precision_loss, reason = "a lead has few conductors")]
    pub(super) fn new(words: &[Wording], width: f64) -> Self {
        let widest = words.iter().map(Wording::width).fold(0.0, f64::max);
        let spaces = words.len().saturating_sub(1).max(1) as f64;
        let room = (width - widest - 2.0 * CLEARANCE) / spaces;
        let tiers = if widest + CLEARANCE <= room { 1 } else { 2 };
        let mut lanes = Self { count: words.len(), widest, pitch: 0.0, tiers };
        lanes.pitch = room.min(WIDEST).max(lanes.least());
        lanes
    }

    /// Lanes as near as can be to where conductors come from, and nowhere closer than plates allow.
    #[expect(clippy::cast_precision_loss, reason = "a lead has few conductors")]
    pub(super) fn near(&self, wanted: &[f64], width: f64) -> Vec<f64> {
        let least = self.least();
        let spread = spread(wanted, &vec![least; self.count.saturating_sub(1)]);
        let reach = self.count.saturating_sub(1) as f64 * least;
        let first = self.widest / 2.0 + CLEARANCE;
        let last = (width - first - reach).max(first);
        let lanes = spread.into_iter().enumerate();
        lanes
            .map(|(at, x)| {
                let moved = at as f64 * least;
                (x - moved).clamp(first, last) + moved
            })
            .collect()
    }

    /// The least distance between lanes. In two tiers a plate only has to spare the conductors left and
    /// right of it.
    fn least(&self) -> f64 {
        if self.tiers == 1 { self.widest + CLEARANCE } else { self.widest / 2.0 + CLEARANCE }
    }

    #[expect(clippy::cast_precision_loss, reason = "a lead has few conductors")]
    pub(super) fn x(&self, at: usize, width: f64) -> f64 {
        let from_middle = at as f64 - self.count.saturating_sub(1) as f64 / 2.0;
        width / 2.0 + from_middle * self.pitch
    }

    /// The width of a sheet that holds them, the outermost plates included.
    #[expect(clippy::cast_precision_loss, reason = "a lead has few conductors")]
    pub(super) fn width(&self) -> f64 {
        self.pitch * self.count.saturating_sub(1) as f64 + self.widest + 2.0 * CLEARANCE
    }

    /// The height of their plates.
    pub(super) fn height(&self, words: &[Wording]) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "one or two")]
        let tiers = self.tiers as f64;
        if words.is_empty() { 0.0 } else { tiers * tallest(words) + (tiers - 1.0) * CLEARANCE }
    }

    /// How much lower the plate of a lane stands than the uppermost.
    pub(super) fn tier_of(&self, at: usize, words: &[Wording]) -> f64 {
        if self.tiers > 1 && at % 2 == 1 { tallest(words) + CLEARANCE } else { 0.0 }
    }
}

/// Places in their order as near as can be to where they are wanted, each so far from the next at least.
///
/// Pool-adjacent-violators: with the spacing taken off, places that would overlap become one block at the mean
/// of what its members want.
#[expect(clippy::cast_precision_loss, reason = "a lead has few conductors")]
pub(super) fn spread(wanted: &[f64], least: &[f64]) -> Vec<f64> {
    let mut offsets = vec![0.0];
    for distance in least {
        offsets.push(offsets.last().copied().unwrap_or(0.0) + distance);
    }
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for (x, offset) in wanted.iter().zip(&offsets) {
        let mut block = (x - offset, 1);
        while let Some((mean, members)) = blocks.pop_if(|(mean, _)| *mean > block.0) {
            let sum = mean * members as f64 + block.0 * block.1 as f64;
            block = (sum / (members + block.1) as f64, members + block.1);
        }
        blocks.push(block);
    }
    let means = blocks.into_iter().flat_map(|(mean, members)| std::iter::repeat_n(mean, members));
    means.zip(offsets).map(|(mean, offset)| mean + offset).collect()
}

fn tallest(words: &[Wording]) -> f64 {
    words.iter().map(Wording::height).fold(0.0, f64::max)
}

//! Sections put into chips: as few chips as there can be, and what is free in one used before a further one.

use std::collections::BTreeMap;

use solderside_trade::{ChipPart, ContactId};

use super::ways::{Feed, Section};

/// A chip with what its blocks do, in the order of its sheet; none where a block is free.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Packed {
    pub(super) chip: ChipPart,
    /// The section in each block, as its place among those that were given.
    pub(super) blocks: Vec<Option<usize>>,
}

/// The chips that a family has for each kind of section; none where none can be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stock {
    pub(super) multiplexer: Option<ChipPart>,
    pub(super) quad_buffer: Option<ChipPart>,
    pub(super) octal_buffer: Option<ChipPart>,
    pub(super) inverter: Option<ChipPart>,
}

impl Stock {
    /// Nothing.
    pub(super) const NONE: Self =
        Self { multiplexer: None, quad_buffer: None, octal_buffer: None, inverter: None };

    /// What of it is there.
    pub(super) fn within(self, has: impl Fn(&ChipPart) -> bool) -> Self {
        let kept = |chip: Option<ChipPart>| chip.filter(&has);
        Self {
            multiplexer: kept(self.multiplexer),
            quad_buffer: kept(self.quad_buffer),
            octal_buffer: kept(self.octal_buffer),
            inverter: kept(self.inverter),
        }
    }

    /// This with what it lacks from another one.
    pub(super) fn or(self, other: Self) -> Self {
        Self {
            multiplexer: self.multiplexer.or(other.multiplexer),
            quad_buffer: self.quad_buffer.or(other.quad_buffer),
            octal_buffer: self.octal_buffer.or(other.octal_buffer),
            inverter: self.inverter.or(other.inverter),
        }
    }
}

/// The blocks of a chip.
fn width(chip: ChipPart) -> usize {
    chip.sheet().blocks.len()
}

/// Puts sections into the fewest chips of a stock; none if a kind of chip is missing.
pub(super) fn pack(sections: &[Section], stock: Stock) -> Option<Vec<Packed>> {
    let mut selects: BTreeMap<ContactId, Vec<usize>> = BTreeMap::new();
    let mut enables: BTreeMap<&Feed, Vec<usize>> = BTreeMap::new();
    let mut inverters: Vec<usize> = Vec::new();
    for (at, section) in sections.iter().enumerate() {
        match section {
            Section::Multiplexer { select, .. } => selects.entry(*select).or_default().push(at),
            Section::Buffer { enable, .. } => enables.entry(enable).or_default().push(at),
            Section::Inverter { .. } => inverters.push(at),
        }
    }
    let mut packed = Vec::new();
    for own in selects.values() {
        packed.extend(filled(stock.multiplexer?, own));
    }
    packed.extend(buffers(&enables, stock)?);
    if !inverters.is_empty() {
        packed.extend(filled(stock.inverter?, &inverters));
    }
    Some(packed)
}

/// Chips of one kind, each filled before the next.
fn filled(chip: ChipPart, sections: &[usize]) -> Vec<Packed> {
    sections
        .chunks(width(chip))
        .map(|own| Packed { chip, blocks: (0..width(chip)).map(|block| own.get(block).copied()).collect() })
        .collect()
}

/// Buffers by their enables, in chips of four with an enable each and of two fours with an enable for each four.
///
/// A four takes sections of one enable, so what many chips of fours take at most is the largest fours that the
/// enables can be cut into; every number of such chips is tried, and the rest goes into the others.
fn buffers(enables: &BTreeMap<&Feed, Vec<usize>>, stock: Stock) -> Option<Vec<Packed>> {
    if enables.is_empty() {
        return Some(Vec::new());
    }
    let half = |octal: ChipPart| width(octal) / 2;
    let mut fours: Vec<&[usize]> = match stock.octal_buffer {
        Some(octal) => enables.values().flat_map(|own| own.chunks(half(octal))).collect(),
        None => Vec::new(),
    };
    fours.sort_by_key(|own| std::cmp::Reverse(own.len()));
    let mut best: Option<(usize, usize, Vec<Packed>)> = None;
    for octals in 0..=fours.len().div_ceil(2) {
        let (taken, rest): (Vec<_>, Vec<_>) = match stock.octal_buffer {
            Some(_) => {
                let (taken, rest) = fours.split_at(fours.len().min(2 * octals));
                (taken.to_vec(), rest.concat())
            }
            None => (Vec::new(), enables.values().flatten().copied().collect()),
        };
        let mut packed: Vec<Packed> = Vec::new();
        if let Some(octal) = stock.octal_buffer {
            packed.extend(taken.chunks(2).map(|halves| {
                Packed {
                    chip: octal,
                    blocks: (0..width(octal))
                        .map(|block| halves.get(block / half(octal))?.get(block % half(octal)).copied())
                        .collect(),
                }
            }));
        }
        if !rest.is_empty() {
            let Some(quad) = stock.quad_buffer else { continue };
            packed.extend(filled(quad, &rest));
        }
        // Of two that are as many the one with fewer legs.
        let legs = packed.iter().map(|packed| packed.chip.sheet().legs.len()).sum();
        if best.as_ref().is_none_or(|(chips, most, _)| (packed.len(), legs) < (*chips, *most)) {
            best = Some((packed.len(), legs, packed));
        }
    }
    best.map(|(_, _, packed)| packed)
}

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
    pub(super) switch: Option<ChipPart>,
}

impl Stock {
    /// Nothing.
    pub(super) const NONE: Self =
        Self { multiplexer: None, quad_buffer: None, octal_buffer: None, inverter: None, switch: None };

    /// What of it is there.
    pub(super) fn within(self, has: impl Fn(&ChipPart) -> bool) -> Self {
        let kept = |chip: Option<ChipPart>| chip.filter(&has);
        Self {
            multiplexer: kept(self.multiplexer),
            quad_buffer: kept(self.quad_buffer),
            octal_buffer: kept(self.octal_buffer),
            inverter: kept(self.inverter),
            switch: kept(self.switch),
        }
    }

    /// This with what it lacks from another one.
    pub(super) fn or(self, other: Self) -> Self {
        Self {
            multiplexer: self.multiplexer.or(other.multiplexer),
            quad_buffer: self.quad_buffer.or(other.quad_buffer),
            octal_buffer: self.octal_buffer.or(other.octal_buffer),
            inverter: self.inverter.or(other.inverter),
            switch: self.switch.or(other.switch),
        }
    }
}

/// The blocks of a chip.
fn width(chip: ChipPart) -> usize {
    chip.sheet().blocks.len()
}

/// Puts sections into the fewest chips of a stock; none if a kind of chip is missing.
pub(super) fn pack(sections: &[&Section], stock: Stock) -> Option<Vec<Packed>> {
    let mut selects: BTreeMap<ContactId, Vec<usize>> = BTreeMap::new();
    let mut enables: BTreeMap<&Feed, Vec<usize>> = BTreeMap::new();
    let [mut inverters, mut switches] = [Vec::new(), Vec::new()];
    for (at, section) in sections.iter().enumerate() {
        match section {
            Section::Multiplexer { select, .. } => selects.entry(*select).or_default().push(at),
            Section::Buffer { enable, .. } => enables.entry(enable).or_default().push(at),
            Section::Inverter { .. } => inverters.push(at),
            Section::Switch { .. } => switches.push(at),
        }
    }
    let mut packed = Vec::new();
    for own in selects.values() {
        packed.extend(filled(stock.multiplexer?, own));
    }
    packed.extend(buffers(&enables, stock)?);
    for (chip, own) in [(stock.inverter, &inverters), (stock.switch, &switches)] {
        if !own.is_empty() {
            packed.extend(filled(chip?, own));
        }
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

#[cfg(test)]
mod tests {
    use solderside_profile::Control;

    use super::super::STOCKS;
    use super::*;

    fn buffer(enable: u8) -> Section {
        let input = Feed::Signal(vec![Control::new("a").unwrap()]);
        Section::Buffer { enable: Feed::Line(ContactId::Number(enable)), input }
    }

    /// The fewest chips of four and of two fours for so many buffers of each enable: every number of both is tried, with
    /// every way to give the fours to enables.
    fn fewest(counts: &[usize]) -> usize {
        fn rest_after(counts: &mut Vec<usize>, fours: usize) -> usize {
            if fours == 0 {
                return counts.iter().sum();
            }
            (0..counts.len())
                .map(|enable| {
                    let before = counts[enable];
                    counts[enable] = before.saturating_sub(4);
                    let rest = rest_after(counts, fours - 1);
                    counts[enable] = before;
                    rest
                })
                .min()
                .unwrap_or(0)
        }
        let all: usize = counts.iter().sum();
        (0..=all)
            .map(|octals| octals + rest_after(&mut counts.to_vec(), 2 * octals.min(3)).div_ceil(4))
            .min()
            .unwrap()
    }

    #[test]
    fn buffers_of_any_enables_take_as_few_chips_as_there_can_be() {
        for counts in (0..6_usize.pow(3)).map(|at| [at % 6, at / 6 % 6, at / 36]) {
            let sections: Vec<Section> =
                (1..).zip(counts).flat_map(|(row, count)| vec![buffer(row); count]).collect();
            let packed = pack(&sections.iter().collect::<Vec<_>>(), STOCKS[0]).unwrap();
            assert_eq!(packed.len(), fewest(&counts), "{counts:?}");
            let mut placed: Vec<usize> =
                packed.iter().flat_map(|chip| &chip.blocks).flatten().copied().collect();
            placed.sort_unstable();
            assert_eq!(placed, (0..sections.len()).collect::<Vec<_>>(), "{counts:?}: each section once");
        }
    }

    /// Whether one chip holds all these, by what the data sheets say of it.
    fn fits_one_chip(own: &[&Section]) -> bool {
        let mut enables: BTreeMap<&Feed, usize> = BTreeMap::new();
        let mut selects: Vec<ContactId> = Vec::new();
        let [mut inverters, mut switches] = [0, 0];
        for section in own {
            match section {
                Section::Multiplexer { select, .. } => selects.push(*select),
                Section::Buffer { enable, .. } => *enables.entry(enable).or_default() += 1,
                Section::Inverter { .. } => inverters += 1,
                Section::Switch { .. } => switches += 1,
            }
        }
        let all = own.len();
        // A 74HC157 has one select for its four; a 74HC125 four enables; a 74HC244 one for each of its two fours.
        let in_a_multiplexer = selects.len() == all && all <= 4 && selects.iter().all(|it| *it == selects[0]);
        let buffers: usize = enables.values().sum();
        let fours: usize = enables.values().map(|count| count.div_ceil(4)).sum();
        let in_buffers = buffers == all && (all <= 4 || fours <= 2);
        in_a_multiplexer || in_buffers || inverters == all && all <= 6 || switches == all && all <= 4
    }

    /// The fewest chips for the sections that are left, over every way to share them out.
    fn over_every_way(sections: &[Section], left: usize, known: &mut BTreeMap<usize, usize>) -> usize {
        if left == 0 {
            return 0;
        }
        if let Some(fewest) = known.get(&left) {
            return *fewest;
        }
        let first = left & left.wrapping_neg();
        let mut fewest = usize::MAX;
        let mut own = left;
        while own != 0 {
            let members: Vec<&Section> =
                (0..sections.len()).filter(|at| own >> at & 1 == 1).map(|at| &sections[at]).collect();
            if own & first != 0 && fits_one_chip(&members) {
                fewest = fewest.min(1 + over_every_way(sections, left & !own, known));
            }
            own = (own - 1) & left;
        }
        known.insert(left, fewest);
        fewest
    }

    #[test]
    fn sections_of_every_kind_take_as_few_chips_as_any_way_to_share_them_out() {
        let input = || Feed::Signal(vec![Control::new("a").unwrap()]);
        let multiplexer = |select: u8| Section::Multiplexer {
            select: ContactId::Number(select),
            low: input(),
            high: Feed::Ground,
        };
        let kinds = [
            multiplexer(1),
            multiplexer(2),
            buffer(1),
            buffer(2),
            Section::Inverter { input: input() },
            Section::Switch { control: input() },
        ];
        let mut tried = 0;
        for counts in (0..6_usize.pow(6)).map(|at| [1, 6, 36, 216, 1296, 7776].map(|place| at / place % 6)) {
            if counts.iter().sum::<usize>() > 7 {
                continue;
            }
            let sections: Vec<Section> =
                kinds.iter().zip(counts).flat_map(|(kind, count)| vec![kind.clone(); count]).collect();
            let packed = pack(&sections.iter().collect::<Vec<_>>(), STOCKS[0]).unwrap();
            let all = (1 << sections.len()) - 1;
            assert_eq!(packed.len(), over_every_way(&sections, all, &mut BTreeMap::new()), "{counts:?}");
            tried += 1;
        }
        assert!(tried > 1500, "{tried}");
    }

    /// The four of a chip with one enable for all four hold one enable's sections only.
    #[test]
    fn a_shared_enable_is_shared_by_its_own_sections() {
        let sections = [vec![buffer(1); 5], vec![buffer(2); 3]].concat();
        let packed = pack(&sections.iter().collect::<Vec<_>>(), STOCKS[0]).unwrap();
        for Packed { chip, blocks } in packed.iter().filter(|packed| packed.chip == ChipPart::Hc244) {
            for four in blocks.chunks(width(*chip) / 2) {
                let enables: std::collections::BTreeSet<&Section> =
                    four.iter().flatten().map(|at| &sections[*at]).collect();
                assert!(enables.len() <= 1, "{blocks:?}");
            }
        }
    }

    #[test]
    fn what_a_stock_lacks_cannot_be_packed() {
        let none = Stock { quad_buffer: None, octal_buffer: None, ..STOCKS[0] };
        assert_eq!(pack(&[&buffer(1)], none), None);
        assert_eq!(pack(&[], none), Some(Vec::new()));
    }
}

//! What a chip's outputs can hold.

use solderside_quantity::{Amps, Ohms, Triple, Volts};

use crate::logic::{Ceiling, LogicFamily, Output};
use crate::source::{Source, Sourced};

/// What each output of a chip can hold, driving, off and under stress.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChipOutput {
    /// Driving low.
    pub low: Sourced<Output>,
    /// Driving high; none for an open collector or drain.
    pub high: Option<Sourced<Output>>,
    /// The most that it may sink.
    pub sink_limit: Sourced<Amps>,
    /// The most that it may source.
    pub source_limit: Sourced<Amps>,
    /// What it leaks at most while it is off, to either rail; none where it is never off.
    pub off_amps: Option<Sourced<Amps>>,
    /// How far it may be pulled up while it is off.
    pub ceiling: Sourced<Ceiling>,
}

const HC245: Source =
    Source::published("74HC245; 74HCT245 rev. 03, 31 January 2005, table 7, pdf.ic37.com (74HCT245D_7)");
const HC125: Source = Source::published(
    "74HC125; 74HCT125 rev. 5, 19 January 2015, table 4, www.manualshelf.com (74HCT125D), page 3",
);
const HC03: Source = Source::published(
    "74HC03; 74HCT03 rev. 4, 27 November 2015, table 6, www.omo-ic.com/pdf/241683 (5 µA to 85 °C)",
);

impl ChipOutput {
    /// A plain output of a family.
    pub(super) const fn of(family: LogicFamily) -> Self {
        Self {
            low: family.output_low(),
            high: if family.drives_high() { Some(family.output_high()) } else { None },
            sink_limit: family.sink_limit(),
            source_limit: family.source_limit(),
            off_amps: None,
            ceiling: family.ceiling(),
        }
    }

    /// A tri-state output of high-speed CMOS that drives a bus.
    pub(super) const BUS: Self = Self {
        // 0.33 V at 6 mA, and 0.1 V without load, at 4.5 V and 85 °C; typically 0.15 V at 6 mA. The strongest
        // is assumed: two and a half times as strong as the typical one.
        low: output([0.0, 0.0, 0.1], [10.0, 25.0, 38.4], HC245),
        // 3.84 V at 6 mA, and 4.4 V without load. The typical is from memory: 4.32 V at 6 mA.
        high: Some(output([0.0, 0.0, 0.1], [10.0, 30.0, 93.4], HC245)),
        sink_limit: Sourced::new(Amps::literal(35e-3), HC125),
        source_limit: Sourced::new(Amps::literal(35e-3), HC125),
        off_amps: Some(Sourced::new(Amps::literal(5e-6), HC245)),
        ..Self::of(LogicFamily::Hc)
    };

    /// An open drain of high-speed CMOS. One maker's has no clamp to the supply and may be pulled above it;
    /// others have one, so it is reckoned with.
    pub(super) const OPEN_DRAIN: Self = Self {
        high: None,
        off_amps: Some(Sourced::new(Amps::literal(5e-6), HC03)),
        ..Self::of(LogicFamily::Hc)
    };
}

const fn output(volts: [f64; 3], ohms: [f64; 3], source: Source) -> Sourced<Output> {
    let offset = Triple::<Volts>::literal(volts[0], volts[1], volts[2]);
    let ohms = Triple::<Ohms>::literal(ohms[0], ohms[1], ohms[2]);
    Sourced::new(Output { offset, ohms }, source)
}

//! The figures of each logic family, beside their sources.

use solderside_quantity::{Amps, Ohms, Triple, Volts};

use super::{Ceiling, Levels, Output};
use crate::source::{Source, Sourced};

/// What is known of one family.
pub(super) struct Row {
    pub(super) thresholds: Thresholds,
    pub(super) input_low_amps: Sourced<Triple<Amps>>,
    pub(super) input_high_amps: Sourced<Triple<Amps>>,
    pub(super) pull_up: Option<Sourced<Triple<Ohms>>>,
    pub(super) output_low: Sourced<Output>,
    pub(super) output_high: Sourced<Output>,
    pub(super) sink_limit: Sourced<Amps>,
    pub(super) source_limit: Sourced<Amps>,
    pub(super) off_amps: Sourced<Amps>,
    pub(super) clamp_amps: Sourced<Amps>,
    pub(super) below_ground: Volts,
    pub(super) ceiling: Ceiling,
    pub(super) range_source: Source,
    pub(super) supply: Sourced<Triple<Volts>>,
}

/// Levels that stand still, or levels that follow the supply.
pub(super) enum Thresholds {
    Fixed(Levels),
    OfSupply { low: f64, typical: f64, high: f64, source: Source },
}

/// What the select or the enable of an LS quad 2:1 multiplexer asks to be sunk: two loads.
pub const LS_COMMON_INPUT_LOW: Sourced<Amps> = amps(0.8e-3, LS157);

const LS157: Source = Source::published(
    "DM74LS157 / DM74LS158 data sheet, page 3, \
     manualmachine.com/fairchildsemiconductor/dm74ls157cw/3914981-datasheet",
);
const HC245: Source =
    Source::published("74HC245; 74HCT245 rev. 03, 31 January 2005, table 7, pdf.ic37.com (74HCT245D_7)");
const HC157: Source = Source::published(
    "74HC157; 74HCT157 Quad 2-input multiplexer, rev. 7, 2015, tables 2 to 4 (limits), icpdf.com",
);
const AHCT157: Source =
    Source::published("74AHC157-Q100; 74AHCT157-Q100 rev. 1, 4 July 2013, table 6, omo-ic.com/pdf/458519");
const CD4021: Source = Source::published(
    "CD4021BC 8-Stage Static Shift Register, DC table, page 3, \
     manualmachine.com/fairchildsemiconductor/cd4021bcn/3934777-datasheet",
);
const PORT_6526: Source = Source::published(
    "6526 Complex Interface Adapter (CIA) chip specifications, transcribed, \
     members.tripod.com/~Frank_Kontros/6526/6526line.txt",
);
const SOUND_CHIP: Source = Source::published(
    "General Instrument AY-3-8910, AY-3-8912, AY-3-8913 Programmable Sound Generator, pin functions \
     and electrical characteristics, www.gryzor.info",
);
const TTL_THRESHOLD: Source =
    Source::assumed("from memory: TTL-compatible inputs switch between 1.3 V and 1.5 V");
const HC_OUTPUT: Source = Source::assumed(
    "from memory: standard HC output at 4.5 V and 85 °C, 0.33 V low and 3.84 V high at 4 mA (printed \
     for the 6 mA bus output in 74HC245; 74HCT245 rev. 03, table 7), 0.1 V from the rail without \
     load; low ends assumed",
);
const PORT_MEMORY: Source =
    Source::assumed("from memory: 6526-class ports, 0.8 V and 2.4 V; from -0.3 V to 7 V survived");
const SOUND_MEMORY: Source = Source::assumed(
    "from memory: sound chip ports, 0.6 V or 0.8 V by version (the lower is taken) and 2.4 V",
);
const PORT_CLAMP: Source =
    Source::assumed("assumed: no figure is published for the substrate diode; 1 mA is held harmless");

pub(super) const TTL: Row = Row {
    thresholds: Thresholds::Fixed(Levels {
        low_guaranteed: volts(0.8, LS157),
        low_typical: volts(1.4, TTL_THRESHOLD),
        high_typical: volts(1.4, TTL_THRESHOLD),
        high_guaranteed: volts(2.0, LS157),
    }),
    // The typical current is that of the 20 kΩ inside, from memory: (5 V − 0.7 V − 0.4 V) / 20 kΩ.
    input_low_amps: range(0.0, 0.2e-3, 0.4e-3, LS157),
    input_high_amps: range(0.0, 0.0, 20e-6, LS157),
    pull_up: None,
    // 0.4 V at 4 mA and 0.5 V at 8 mA lie on one line; the other ends are from memory.
    output_low: output([0.0, 0.15, 0.3], [10.0, 25.0, 25.0], LS157),
    // The weakest meets 2.7 V at 0.4 mA on 4.75 V, and 20 mA into a short on 5.25 V; the strongest meets
    // 100 mA into a short; the typical meets 3.4 V at 0.4 mA behind the usual 120 Ω (from memory).
    output_high: output([1.0, 1.55, 1.98], [42.0, 120.0, 165.0], LS157),
    sink_limit: amps(8e-3, LS157),
    // The sheet allows one output a short of 20 mA to 100 mA for a second; the least is held for good.
    source_limit: amps(20e-3, LS157),
    off_amps: amps(20e-6, Source::assumed("from memory: LS three-state outputs leak 20 µA")),
    clamp_amps: amps(18e-3, Source::assumed("from memory: LS input clamp tested at 18 mA, -1.5 V")),
    below_ground: Volts::literal(0.5),
    ceiling: Ceiling::AboveGround(Volts::literal(7.0)),
    range_source: Source::assumed("from memory: LS inputs survive -0.5 V to 7 V"),
    supply: supply(4.75, 5.0, 5.25, LS157),
};

pub(super) const HC: Row = Row {
    // 1.35 V and 3.15 V at 4.5 V.
    thresholds: Thresholds::OfSupply { low: 0.3, typical: 0.5, high: 0.7, source: HC245 },
    input_low_amps: range(0.0, 0.0, 1e-6, HC245),
    input_high_amps: range(0.0, 0.0, 1e-6, HC245),
    pull_up: None,
    output_low: output([0.0, 0.0, 0.1], [20.0, 40.0, 58.0], HC_OUTPUT),
    output_high: output([0.0, 0.0, 0.1], [20.0, 45.0, 140.0], HC_OUTPUT),
    sink_limit: amps(25e-3, HC157),
    source_limit: amps(25e-3, HC157),
    off_amps: amps(5e-6, HC245),
    clamp_amps: amps(20e-3, HC157),
    below_ground: Volts::literal(0.5),
    ceiling: Ceiling::AboveSupply(Volts::literal(0.5)),
    range_source: Source::assumed("from memory: HC inputs survive 0.5 V beyond either rail"),
    supply: supply(2.0, 5.0, 6.0, Source::assumed("from memory: HC parts work on 2 V to 6 V")),
};

pub(super) const HCT: Row = Row {
    thresholds: Thresholds::Fixed(Levels {
        low_guaranteed: volts(0.8, AHCT157),
        low_typical: volts(1.2, HCT_TYPICAL),
        high_typical: volts(1.6, HCT_TYPICAL),
        high_guaranteed: volts(2.0, AHCT157),
    }),
    supply: supply(4.5, 5.0, 5.5, AHCT157),
    ..HC
};

const HCT_TYPICAL: Source =
    Source::assumed("from memory: typical HCT parts read low to 1.2 V and high from 1.6 V");

pub(super) const NMOS_PORT: Row = Row {
    thresholds: Thresholds::Fixed(Levels {
        low_guaranteed: volts(0.8, PORT_MEMORY),
        low_typical: volts(1.4, TTL_THRESHOLD),
        high_typical: volts(1.4, TTL_THRESHOLD),
        high_guaranteed: volts(2.4, PORT_MEMORY),
    }),
    // All that flows is the pull-up's.
    input_low_amps: range(0.0, 0.0, 0.0, PORT_PULL_UP),
    input_high_amps: range(0.0, 0.0, 0.0, PORT_PULL_UP),
    pull_up: Some(ohms(3100.0, 5000.0, 11_750.0, PORT_PULL_UP)),
    // Two TTL loads, 3.2 mA, at 0.4 V; the other ends are assumed.
    output_low: output([0.0, 0.0, 0.0], [30.0, 60.0, 125.0], PORT_6526),
    output_high: output([0.0, 0.0, 0.0], [3100.0, 5000.0, 11_750.0], PORT_PULL_UP),
    sink_limit: amps(3.2e-3, PORT_6526),
    source_limit: amps(
        3.2e-3,
        Source::assumed("assumed: a line that is only pulled up may be shorted; as much as it sinks"),
    ),
    // All that flows is the pull-up's.
    off_amps: amps(0.0, PORT_PULL_UP),
    clamp_amps: amps(1e-3, PORT_CLAMP),
    below_ground: Volts::literal(0.3),
    ceiling: Ceiling::AboveGround(Volts::literal(7.0)),
    range_source: PORT_MEMORY,
    supply: supply(4.75, 5.0, 5.25, Source::assumed("from memory: 6526-class ports work on 5 V ± 5 %")),
};

const PORT_PULL_UP: Source = Source::assumed(
    "from memory: 6526-class port pull-up, 3.1 kΩ least, 5 kΩ typical; the most gives the 200 µA at \
     2.4 V that the port holds on 4.75 V",
);

pub(super) const SOUND_PORT: Row = Row {
    thresholds: Thresholds::Fixed(Levels {
        low_guaranteed: volts(0.6, SOUND_MEMORY),
        low_typical: volts(1.4, TTL_THRESHOLD),
        high_typical: volts(1.4, TTL_THRESHOLD),
        high_guaranteed: volts(2.4, SOUND_MEMORY),
    }),
    // All that flows is the pull-up's.
    input_low_amps: range(0.0, 0.0, 0.0, SOUND_CHIP),
    input_high_amps: range(0.0, 0.0, 0.0, SOUND_CHIP),
    pull_up: Some(ohms(
        25e3,
        100e3,
        250e3,
        Source::assumed("from memory: sound chip port pull-up, 20 µA to 200 µA at 0 V"),
    )),
    output_low: output([0.0, 0.0, 0.0], [50.0, 150.0, 312.5], SOUND_OUTPUT),
    output_high: output([0.0, 0.0, 0.0], [1000.0, 5000.0, 23_500.0], SOUND_OUTPUT),
    sink_limit: amps(1.6e-3, SOUND_OUTPUT),
    source_limit: amps(1.6e-3, SOUND_OUTPUT),
    off_amps: amps(0.0, SOUND_OUTPUT),
    clamp_amps: amps(1e-3, PORT_CLAMP),
    below_ground: Volts::literal(0.3),
    ceiling: Ceiling::AboveGround(Volts::literal(7.0)),
    range_source: Source::assumed("from memory: sound chip ports survive -0.3 V to 7 V"),
    supply: supply(4.75, 5.0, 5.25, Source::assumed("from memory: sound chips work on 5 V ± 5 %")),
};

const SOUND_OUTPUT: Source = Source::assumed(
    "from memory: sound chip port, 0.5 V at 1.6 mA low and 2.4 V at 100 µA high; the other ends and \
     the limits are assumed",
);

pub(super) const CD4000: Row = Row {
    // 1.5 V and 3.5 V at 5 V.
    thresholds: Thresholds::OfSupply { low: 0.3, typical: 0.5, high: 0.7, source: CD4021 },
    input_low_amps: range(0.0, 0.0, 1e-6, CD4000_MEMORY),
    input_high_amps: range(0.0, 0.0, 1e-6, CD4000_MEMORY),
    pull_up: None,
    // 0.4 V at 0.88 mA typical, and at 0.36 mA least at 85 °C (0.44 mA at 25 °C would be 909 Ω); 0.05 V
    // without load. The lowest is assumed: twice as strong as the typical one.
    output_low: output([0.0, 0.0, 0.05], [227.0, 455.0, 1111.0], CD4021),
    output_high: output(
        [0.0, 0.0, 0.05],
        [227.0, 455.0, 1111.0],
        Source::assumed("from memory: 4000-series outputs source what they sink at 5 V"),
    ),
    sink_limit: amps(10e-3, CD4000_MEMORY),
    source_limit: amps(10e-3, CD4000_MEMORY),
    off_amps: amps(1e-6, CD4000_MEMORY),
    clamp_amps: amps(10e-3, CD4000_MEMORY),
    below_ground: Volts::literal(0.5),
    ceiling: Ceiling::AboveSupply(Volts::literal(0.5)),
    range_source: CD4000_MEMORY,
    supply: supply(3.0, 5.0, 15.0, CD4021),
};

/// As an output; an open collector drives nothing high, and what stands there is never asked for.
pub(super) const LS145: Row = Row {
    // At most 0.4 V up to 12 mA whatever flows less, and 0.5 V at 24 mA.
    output_low: output([0.0, 0.15, 0.4], [3.0, 4.0, 4.2], LS145_MEMORY),
    sink_limit: amps(24e-3, LS145_SHEET),
    source_limit: amps(250e-6, LS145_MEMORY),
    off_amps: amps(5e-6, LS145_OFF),
    ceiling: Ceiling::AboveGround(Volts::literal(15.0)),
    range_source: LS145_SHEET,
    ..TTL
};

const LS145_SHEET: Source = Source::published(
    "SN74LS145 rev. 6, December 1999, www.yumpu.com/en/document/view/46604405 (24 mA recommended, 15 V off)",
);
const LS145_MEMORY: Source = Source::assumed(
    "from memory: 74LS145, 0.4 V at 12 mA, 0.5 V at 24 mA, off-state leakage 250 µA; the other ends are assumed",
);

const LS145_OFF: Source = Source::assumed(
    "assumed: 250 µA is recalled for 15 V, where the part is near its limit, and no figure for 5 V; machines that \
     scan with it on pull-ups of 100 kΩ and more would not read with a tenth of that",
);

const CD4000_MEMORY: Source = Source::assumed(
    "from memory: 4000-series pins leak 1 µA, carry 10 mA, and survive 0.5 V beyond either rail",
);

const fn volts(value: f64, source: Source) -> Sourced<Volts> {
    Sourced::new(Volts::literal(value), source)
}

const fn amps(value: f64, source: Source) -> Sourced<Amps> {
    Sourced::new(Amps::literal(value), source)
}

const fn range(low: f64, typical: f64, high: f64, source: Source) -> Sourced<Triple<Amps>> {
    Sourced::new(Triple::<Amps>::literal(low, typical, high), source)
}

const fn ohms(low: f64, typical: f64, high: f64, source: Source) -> Sourced<Triple<Ohms>> {
    Sourced::new(Triple::<Ohms>::literal(low, typical, high), source)
}

const fn supply(low: f64, typical: f64, high: f64, source: Source) -> Sourced<Triple<Volts>> {
    Sourced::new(Triple::<Volts>::literal(low, typical, high), source)
}

const fn output(volts: [f64; 3], ohms: [f64; 3], source: Source) -> Sourced<Output> {
    let offset = Triple::<Volts>::literal(volts[0], volts[1], volts[2]);
    let ohms = Triple::<Ohms>::literal(ohms[0], ohms[1], ohms[2]);
    Sourced::new(Output { offset, ohms }, source)
}

//! The data sheets of the transistors.

use solderside_quantity::{Amps, Farads, Kelvin, Ohms, Seconds, Triple, Volts, Watts};

use super::{BaseSheet, ClosedBy, GateSheet, Junction, OffState, TransistorSheet};
use crate::diode::{Barrier, DiodeModel};
use crate::logic::Output;
use crate::source::{Source, Sourced};

const BC547_SHEET: Source = Source::published(
    "BC546 / BC547 / BC548 / BC549 / BC550 NPN Epitaxial Silicon Transistor, electrical characteristics, \
     sheetsdata.com/parts/BC547 (90 mV typical and 250 mV at 10 mA and 0.5 mA, 600 mV at 100 mA and 5 mA; \
     gain 110 to 800); BC546B, BC547A, B, C, rev. 7, page 2, rlocman.cn/datasheet/pdf.html?di=165567 (200 mV \
     typical at 100 mA)",
);
const BC547_JUNCTION: Source = Source::published(
    "BC546B, BC547A, B, C, rev. 7, page 2, rlocman.cn/datasheet/pdf.html?di=165567 (0.55 V least at 2 mA); \
     BC546 / BC547, electrical characteristics, sheetsdata.com/parts/BC547 (0.70 V most at 2 mA; 0.7 V and \
     0.9 V typical at 0.5 mA and 5 mA into the base); BC546/BC547/BC548, May 2011, \
     dtsheet.com/doc/602800/tgs-bc546 (1.1 V most at 5 mA into the base)",
);
const BC547_LIMITS: Source = Source::published(
    "BC547 general purpose NPN transistor, general operation specifications, bc547.nl (45 V, 6 V, 100 mA, \
     500 mW)",
);
const BC547_ROW: Source = Source::published(
    "BC546B, BC547A/B/C, BC548A/B/C, rev. 8, 18 August 2010, pdf.datasheet.directory/637a32e7 (1 collector, \
     2 base, 3 emitter); which of them is left is from memory",
);
const BC557_SHEET: Source = Source::published(
    "BC557B Small signal PNP transistor, March 2003, \
     manualmachine.com/sgsthomsonmicroelectronics/bc557bap/3961378-datasheet (60 mV typical and 300 mV at 10 \
     mA and 0.5 mA, 180 mV and 650 mV at 100 mA and 5 mA; 45 V, 5 V, 100 mA, 500 mW)",
);
const BC557_GAIN: Source = Source::published(
    "BC556, BC557, BC558, electrical characteristics, dtsheet.com/doc/2921827 (75 to 800 at 2 mA and 5 V)",
);
const BC557_JUNCTION: Source = Source::published(
    "BC556, BC557, BC558, electrical characteristics, dtsheet.com/doc/2921827 (0.55 V least at 2 mA); \
     BC557B, March 2003, manualmachine.com/sgsthomsonmicroelectronics/bc557bap/3961378-datasheet (0.75 V \
     most at 2 mA; 0.75 V and 0.93 V typical at 0.5 mA and 5 mA); BC556, A / B, 26 April 2005, \
     pdf.elecfans.com/WEITRON/BC557B.html (1.0 V most at 5 mA into the base)",
);
const BC557_ROW: Source = Source::published(
    "SBC557, KST-2010-000, pdf.datasheet.live/bced50dc (1 collector, 2 base, 3 emitter); which of them is \
     left is from memory",
);
const BASE_AMPS: Source = Source::assumed(
    "assumed: 5 mA, the most that the sheets of BC547 and BC557 test at; 200 mA peak is printed in BC556; \
     BC557, 15 April 1999",
);
const BASE_OFF: Source = Source::assumed(
    "assumed: the least 0.55 V at 2 mA of the sheets, in a room of 40 °C, leaves less than 1 µA at 0.3 V; \
     15 nA from collector to base are printed at 25 °C",
);
const BASE_FARADS: Source = Source::assumed(
    "assumed: 15 pF most; 9 pF typical is printed for BC547, sheetsdata.com/parts/BC547 (0.5 V in reverse)",
);
const BASE_OUTPUT_FARADS: Source = Source::assumed(
    "assumed: 12 pF most; from memory 3.5 pF typical and 6 pF most at 10 V, and more with less voltage across",
);
const BASE_DELAY: Source = Source::assumed(
    "assumed: 10 µs most to empty a base that nothing but a resistor empties, with what the collector's own swing \
     takes; from memory 200 ns of storage and 50 ns of fall where 1 mA is drawn out of the base of a like one",
);
const N2N7000_SHEET: Source = Source::published(
    "2N7000, DSFP-2N7000, page 2, rlocman.es/datasheet/pdf.html?di=128293 (0.8 V to 3.0 V at 1 mA; \
     5.3 Ω at 4.5 V and 75 mA; 1 µA at 48 V; 10 nA; 60 pF most; 0.85 V typical at 200 mA); 2N7000, \
     www.electronics-notes.com/articles/component-data/mosfets/2N7000.php (2.1 V, 1.2 Ω at 10 V and 20 pF \
     typical)",
);
const N2N7000_LIMITS: Source =
    Source::published("2N7000, pdf.datasheet.live/2aa57d09 (60 V, 20 V, 200 mA, 400 mW)");
const N2N7000_CLOSED: Source = Source::assumed(
    "from memory: 2N7000, 1.8 Ω typical at 4.5 V and 8 % more at 40 °C than the 5.3 Ω that DSFP-2N7000 \
     prints for 4.5 V and 25 °C; the least is assumed",
);
const N2N7000_OFF: Source = Source::assumed(
    "from memory: a MOSFET conducts a decade less for each 130 mV below its threshold, and leaks twice as \
     much for each 10 K; from the 0.8 V at 1 mA and 1 µA at 25 °C of DSFP-2N7000",
);
const N2N7000_BODY: Source = Source::assumed(
    "from memory: 2N7000, 1.5 V most at 200 mA; 0.85 V typical and 1 µA in reverse are printed in \
     DSFP-2N7000, page 2",
);
const N2N7000_OUTPUT_FARADS: Source =
    Source::assumed("assumed: 75 pF most; from memory 25 pF most at 25 V, and more with less voltage across");
const N2N7000_DELAY: Source =
    Source::assumed("assumed: 100 ns most; from memory 10 ns most on and off from a source of 25 Ω");
const N2N7000_ROW: Source = Source::published(
    "2N7000/2N7002, VQ1000J/P, BS170, rev. F, 16 July 2001, xonelec.com/mpn/vishay/2n7002t1ge3 (1 source, 2 \
     gate, 3 drain); which of them is left is from memory",
);

/// What the sheets test saturation at: 0.5 mA for 10 mA, 5 mA for 100 mA.
const FORCED_GAIN: f64 = 20.0;

/// A silicon junction of ideality 1 at 25 °C.
const fn silicon(is_amps: f64, rs: f64) -> DiodeModel {
    DiodeModel {
        is_amps: Amps::literal(is_amps),
        n: 1.0,
        rs: Ohms::literal(rs),
        at: Kelvin::literal(298.15),
        barrier: Barrier::Silicon,
    }
}

/// As if all that an emitter carries flowed through the base: 0.55 V at 2 mA.
const BASE_MOST: DiodeModel = silicon(1.01e-12, 0.1);

const BASE_OFF_STATE: OffState = OffState { up_to: Volts::literal(0.3), amps: Amps::literal(1e-6) };

pub(super) const BC547: TransistorSheet = TransistorSheet {
    closed_by: ClosedBy::Base(BaseSheet {
        junction: Junction {
            // 0.70 V at 2 mA and the greatest gain, which is 2.5 µA into the base; 1.1 V at 5 mA.
            least: silicon(3.67e-18, 41.0),
            typical: silicon(1.34e-15, 31.0),
            most: BASE_MOST,
            source: BC547_JUNCTION,
        },
        forced_gain: Sourced::new(FORCED_GAIN, BC547_SHEET),
        gain: Sourced::new([110.0, 800.0], BC547_SHEET),
        amps_max: amps(5e-3, BASE_AMPS),
    }),
    // Through 250 mV at 10 mA and 600 mV at 100 mA; 90 mV and 200 mV. The least is assumed.
    closed: closed([0.0, 0.078, 0.212], [0.5, 1.22, 3.89], BC547_SHEET),
    off: Sourced::new(BASE_OFF_STATE, BASE_OFF),
    body: None,
    amps_max: amps(0.1, BC547_LIMITS),
    volts_max: volts(45.0, BC547_LIMITS),
    reverse_volts_max: volts(6.0, BC547_LIMITS),
    watts_max: Sourced::new(Watts::literal(0.5), BC547_LIMITS),
    input_farads: farads([0.0, 9e-12, 15e-12], BASE_FARADS),
    output_farads: farads([0.0, 4e-12, 12e-12], BASE_OUTPUT_FARADS),
    delay: seconds([0.0, 1e-6, 10e-6], BASE_DELAY),
    row: Sourced::new(["collector", "base", "emitter"], BC547_ROW),
};

pub(super) const BC557: TransistorSheet = TransistorSheet {
    closed_by: ClosedBy::Base(BaseSheet {
        junction: Junction {
            // 0.75 V at 2 mA and the greatest gain, which is 2.5 µA out of the base; 1.0 V at 5 mA.
            least: silicon(5.25e-19, 11.0),
            typical: silicon(1.77e-16, 27.0),
            most: BASE_MOST,
            source: BC557_JUNCTION,
        },
        forced_gain: Sourced::new(FORCED_GAIN, BC557_SHEET),
        gain: Sourced::new([75.0, 800.0], BC557_GAIN),
        amps_max: amps(5e-3, BASE_AMPS),
    }),
    // Through 300 mV at 10 mA and 650 mV at 100 mA; 60 mV and 180 mV. The least is assumed.
    closed: closed([0.0, 0.047, 0.262], [0.5, 1.33, 3.89], BC557_SHEET),
    off: Sourced::new(BASE_OFF_STATE, BASE_OFF),
    body: None,
    amps_max: amps(0.1, BC557_SHEET),
    volts_max: volts(45.0, BC557_SHEET),
    reverse_volts_max: volts(5.0, BC557_SHEET),
    watts_max: Sourced::new(Watts::literal(0.5), BC557_SHEET),
    input_farads: farads([0.0, 9e-12, 15e-12], BASE_FARADS),
    output_farads: farads([0.0, 4e-12, 12e-12], BASE_OUTPUT_FARADS),
    delay: seconds([0.0, 1e-6, 10e-6], BASE_DELAY),
    row: Sourced::new(["collector", "base", "emitter"], BC557_ROW),
};

pub(super) const N2N7000: TransistorSheet = TransistorSheet {
    closed_by: ClosedBy::Gate(GateSheet {
        threshold: Sourced::new(Triple::<Volts>::literal(0.8, 2.1, 3.0), N2N7000_SHEET),
        closed_from: volts(4.5, N2N7000_SHEET),
        volts_max: volts(20.0, N2N7000_LIMITS),
        leak: amps(10e-9, N2N7000_SHEET),
    }),
    closed: closed([0.0, 0.0, 0.0], [0.5, 1.8, 5.8], N2N7000_CLOSED),
    off: Sourced::new(OffState { up_to: Volts::literal(0.45), amps: Amps::literal(5e-6) }, N2N7000_OFF),
    body: Some(Junction {
        // 1.5 V at 200 mA.
        least: silicon(1.22e-16, 3.0),
        typical: silicon(9.46e-13, 0.9),
        // In a room of 40 °C what the sheet's 1 µA in reverse is there by doubling each 10 K: 2.8 µA.
        most: silicon(0.3e-6, 0.1),
        source: N2N7000_BODY,
    }),
    amps_max: amps(0.2, N2N7000_LIMITS),
    volts_max: volts(60.0, N2N7000_LIMITS),
    reverse_volts_max: volts(20.0, N2N7000_LIMITS),
    watts_max: Sourced::new(Watts::literal(0.4), N2N7000_LIMITS),
    input_farads: farads([0.0, 20e-12, 60e-12], N2N7000_SHEET),
    output_farads: farads([0.0, 15e-12, 75e-12], N2N7000_OUTPUT_FARADS),
    delay: seconds([0.0, 10e-9, 100e-9], N2N7000_DELAY),
    row: Sourced::new(["source", "gate", "drain"], N2N7000_ROW),
};

const fn volts(value: f64, source: Source) -> Sourced<Volts> {
    Sourced::new(Volts::literal(value), source)
}

const fn amps(value: f64, source: Source) -> Sourced<Amps> {
    Sourced::new(Amps::literal(value), source)
}

const fn farads(values: [f64; 3], source: Source) -> Sourced<Triple<Farads>> {
    Sourced::new(Triple::<Farads>::literal(values[0], values[1], values[2]), source)
}

const fn seconds(values: [f64; 3], source: Source) -> Sourced<Triple<Seconds>> {
    Sourced::new(Triple::<Seconds>::literal(values[0], values[1], values[2]), source)
}

const fn closed(volts: [f64; 3], ohms: [f64; 3], source: Source) -> Sourced<Output> {
    let offset = Triple::<Volts>::literal(volts[0], volts[1], volts[2]);
    let ohms = Triple::<Ohms>::literal(ohms[0], ohms[1], ohms[2]);
    Sourced::new(Output { offset, ohms }, source)
}

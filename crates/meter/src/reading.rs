//! What a hand-held meter is, what it is asked, and what it shows.

use std::fmt;

use solderside_lead::Leg;
use solderside_profile::Control;
use solderside_quantity::{Ohms, Volts};
use solderside_trade::{Source, Sourced, SwitchKind};

/// A range of the meter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Range {
    /// Resistance.
    Ohms,
    /// The voltage that about 1 mA drops from the red probe to the black one.
    Diode,
}

/// One question to the meter: where its probes go, and what is held.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Measurement {
    /// The range.
    pub range: Range,
    /// Where the red probe goes; on the ohms range either probe may.
    pub red: Leg,
    /// Where the black probe goes.
    pub black: Leg,
    /// What is held of the controller; none if the lead is unplugged from it. The machine is never plugged in.
    pub held: Option<Vec<Control>>,
}

/// What the meter may show: ohms or volts from one to the other, by its range; infinite where it shows no reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    low: f64,
    high: f64,
}

/// What the buzzer does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Buzz {
    /// It sounds.
    Sounds,
    /// It keeps silent.
    Silent,
    /// One meter's sounds and another's does not.
    Either,
}

/// Resistance from here up counts as open: flux and a finger read more (common practice, no source).
pub const OPEN_FROM: Ohms = Ohms::literal(1e6);

/// The diode range of some meters shows no reading above this (handheld meter manual, page 32, manualshive.com).
pub(crate) const DIODE_OPEN_FROM: Volts = Volts::literal(1.5);

/// No diode range shows a reading above this (bench dual-display meter, diode specification, www.raynetrepair.us).
pub(crate) const DIODE_OPEN_SURELY: Volts = Volts::literal(3.2);

/// What the diode range sends, least, usual, most (bench meter, diode specification, www.raynetrepair.us: 0.7 mA;
/// handheld meter manual, page 32, manualshive.com: 1 mA; 3 1/2-digit handheld meter manual, page 7: up to 1.5 mA).
pub(crate) const DIODE_AMPS: [f64; 3] = [0.7e-3, 1e-3, 1.5e-3];

/// How far a range may be off: a share of the reading, and so many of its unit, as manuals write ±(1 % + 2 digits).
#[derive(Debug, Clone, Copy)]
struct Accuracy {
    share: f64,
    digits: f64,
}

/// The ohms range: two digits of 0.1 Ω (3 1/2-digit handheld meter manual, page 7).
const OHMS_ACCURACY: Accuracy = Accuracy { share: 0.008, digits: 0.2 };

/// What the probes may still add or lack after their own reading is subtracted: leads are 0.1 Ω to 0.2 Ω (true-rms
/// handheld meter users manual, page 17), and a touch is never twice the same.
const PROBES: f64 = 0.2;

/// The diode range: two digits of 1 mV (from memory).
const DIODE_ACCURACY: Accuracy = Accuracy { share: 0.02, digits: 0.002 };

impl Accuracy {
    /// What a range so accurate shows.
    fn around(self, span: Span) -> Span {
        let Self { share, digits } = self;
        Span { low: span.low * (1.0 - share) - digits, high: span.high * (1.0 + share) + digits }
    }
}

impl Span {
    /// No reading.
    pub const OPEN: Self = Self { low: f64::INFINITY, high: f64::INFINITY };
    /// Anything at all.
    pub const ANYTHING: Self = Self { low: 0.0, high: f64::INFINITY };

    /// From one value to another, which are put in order.
    pub fn new(one: f64, other: f64) -> Self {
        let clean = |value: f64| if value.is_nan() { f64::INFINITY } else { value.max(0.0) };
        let [one, other] = [one, other].map(clean);
        Self { low: one.min(other), high: one.max(other) }
    }

    /// The least; infinite for no reading.
    pub const fn low(self) -> f64 {
        self.low
    }

    /// The most; infinite where it may be no reading.
    pub const fn high(self) -> f64 {
        self.high
    }

    /// Whether it is surely no reading.
    pub fn is_open(self) -> bool {
        self.low == f64::INFINITY
    }

    /// What a meter shows of this, with all that it and its probes may be off.
    #[must_use]
    pub fn shown(self, range: Range) -> Self {
        let (accuracy, probes) = match range {
            Range::Ohms => (OHMS_ACCURACY, PROBES),
            Range::Diode => (DIODE_ACCURACY, 0.0),
        };
        let Self { low, high } = accuracy.around(self);
        Self { low: (low - probes).max(0.0), high: high + probes }.with_display(range)
    }

    /// Nothing above what the range shows.
    fn with_display(self, range: Range) -> Self {
        let (perhaps, surely) = match range {
            Range::Ohms => (OPEN_FROM.get(), OPEN_FROM.get()),
            Range::Diode => (DIODE_OPEN_FROM.get(), DIODE_OPEN_SURELY.get()),
        };
        Self {
            low: if self.low >= surely { f64::INFINITY } else { self.low },
            high: if self.high >= perhaps { f64::INFINITY } else { self.high },
        }
    }

    /// Whether a reading may be of both.
    pub fn meets(self, other: Self) -> bool {
        self.low <= other.high && other.low <= self.high
    }

    /// Whether a reading lies in it; no reading is infinite.
    pub fn holds(self, reading: f64) -> bool {
        self.low <= reading && reading <= self.high
    }

    /// The least span that holds both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// What the buzzer does at this resistance: it sounds below 50 Ω to 100 Ω.
    pub fn buzz(self) -> Buzz {
        let Sourced { value: [surely, perhaps], .. } = BUZZER;
        if self.high + PROBES < surely {
            Buzz::Sounds
        } else if self.low > perhaps {
            Buzz::Silent
        } else {
            Buzz::Either
        }
    }

    /// In words: `0.3 Ω to 0.6 Ω`, `at most 0.6 Ω`, `open`.
    pub fn told(self, range: Range) -> String {
        let value = |value: f64| match range {
            // A meter shows 0.3 Ω and no milliohms.
            Range::Ohms if value < 100.0 => format!("{value:.1} Ω"),
            Range::Ohms => Ohms::literal(value).to_string(),
            Range::Diode => format!("{value:.2} V"),
        };
        match (self.low, self.high) {
            (f64::INFINITY, _) => "open".to_owned(),
            (low, f64::INFINITY) if low <= 0.0 => "anything".to_owned(),
            (low, f64::INFINITY) => format!("{} or more, or open", value(low)),
            (low, high) if value(low) == value(high) => value(low),
            (low, high) if low <= 0.0 => format!("at most {}", value(high)),
            (low, high) => format!("{} to {}", value(low), value(high)),
        }
    }
}

/// The buzzer sounds below this on any meter, and keeps silent above that on any.
pub(crate) const BUZZER: Sourced<[f64; 2]> = Sourced::new(
    [50.0, 100.0],
    Source::published(
        "handheld meter manual, page 32, manualshive.com, and handheld meter manual, page 47, www.manualshelf.com (50 Ω); \
         3 1/2-digit handheld meter manual, page 7 (100 Ω)",
    ),
);

/// A figure of the trade that readings rest on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Figure {
    /// What it is.
    pub what: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// All figures that expected readings rest on, beside those of the lead's own parts and wires.
pub const FIGURES: [Figure; 12] = [
    Figure {
        what: "the ohms range is off by at most 0.8 % of the reading and two digits of 0.1 Ω",
        source: "3 1/2-digit handheld meter manual, page 7",
    },
    Figure {
        what: "probes read 0.1 Ω to 0.2 Ω when they touch; once that is subtracted, 0.2 Ω remain in doubt",
        source: "true-rms handheld meter users manual, page 17",
    },
    Figure { what: "1 MΩ and more counts as open", source: "common practice, no source" },
    Figure {
        what: "the diode range sends 0.7 mA to 1.5 mA",
        source: "bench meter, diode specification, www.raynetrepair.us; handheld meter manual, page 32, manualshive.com; \
                 3 1/2-digit handheld meter manual, page 7",
    },
    Figure { what: "the diode range is off by at most 2 % of the reading and 2 mV", source: "from memory" },
    Figure {
        what: "the buzzer sounds below 50 Ω on any meter, and is silent above 100 Ω on any",
        source: BUZZER.source.text,
    },
    Figure { what: "a weak joint reads 50 Ω to 5 kΩ", source: "common practice, no source" },
    Figure {
        what: "copper from 0 °C to 40 °C, with the usual strands and tinning",
        source: "IEC 60028 (1925), tnlab.org; Industrial Power Engineering and Applications Handbook, page 970; spread of \
                 strands and tinning from memory",
    },
    Figure { what: "a carbon contact has 50 Ω to 1 kΩ while it is held", source: CARBON.text },
    Figure {
        what: "with 1 kΩ across the probes a line that is pulled up reads at most the rail at its highest, divided by the \
               strongest pull-up and the resistor, with what the input itself may give, rounded up to 0.1 V",
        source: "computed",
    },
    Figure {
        what: "a supply rises by less than 50 mV when the resistor is taken away: one of 2 Ω and the lead lose about 15 mV at \
               5 mA, and a pull-up of 1 kΩ loses half",
        source: "computed",
    },
    Figure {
        what: "the DC range is off by at most 1 % of the reading and two digits of 10 mV",
        source: "from memory",
    },
];

/// Where the resistance of a carbon contact comes from.
const CARBON: Source = SwitchKind::DomeCarbon.closed_ohms().source;

impl Range {
    /// The word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ohms => "ohms",
            Self::Diode => "diode",
        }
    }
}

impl fmt::Display for Measurement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { range, red, black, held } = self;
        match range {
            Range::Ohms => write!(f, "{red} - {black}")?,
            Range::Diode => write!(f, "diode {red} - {black}")?,
        }
        match held {
            None => Ok(()),
            Some(held) if held.is_empty() => f.write_str(" with the controller"),
            Some(held) => {
                let names: Vec<&str> = held.iter().map(Control::as_str).collect();
                write!(f, " holding {}", names.join(" and "))
            }
        }
    }
}

#[cfg(test)]
mod tests;

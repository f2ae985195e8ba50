//! What a branch conducts: monotone laws through the origin.

use crate::diode::Junction;

/// A monotone relation of voltage and current that passes through the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Law {
    /// A conductance in siemens.
    Linear(f64),
    /// A diode, anode first.
    Junction(Junction),
    /// An output that can only sink: nothing below its offset but a leakage conductance.
    Sink { offset: f64, conductance: f64, leak: f64 },
}

impl Law {
    /// Returns the current and its slope at a voltage.
    pub(crate) fn at(&self, volts: f64) -> (f64, f64) {
        match self {
            Self::Linear(conductance) => (conductance * volts, *conductance),
            Self::Junction(junction) => junction.at(volts),
            Self::Sink { offset, conductance, leak } => {
                if volts > *offset {
                    (leak * volts + conductance * (volts - offset), leak + conductance)
                } else {
                    (leak * volts, *leak)
                }
            }
        }
    }

    /// The least conductance `current / voltage` that the law has anywhere.
    pub(crate) fn least_chord(&self) -> f64 {
        match self {
            Self::Linear(conductance) => *conductance,
            // Far in reverse a junction conducts next to nothing.
            Self::Junction(_) => 0.0,
            Self::Sink { leak, .. } => *leak,
        }
    }

    /// Whether the law is one straight line.
    pub(crate) fn is_linear(&self) -> bool {
        match self {
            Self::Linear(_) => true,
            Self::Sink { conductance, .. } => *conductance == 0.0,
            Self::Junction(_) => false,
        }
    }
}

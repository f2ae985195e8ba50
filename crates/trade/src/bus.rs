//! Protocols that a port may speak instead of looking at levels: what answers them is a program.

use solderside_quantity::Seconds;

use crate::source::{Source, Sourced};

/// What a port speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bus {
    /// USB; a controller is a human interface device there.
    UsbHid,
}

impl Bus {
    /// All of them.
    pub const ALL: [Self; 1] = [Self::UsbHid];

    /// The word that files use.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::UsbHid => "usb-hid",
        }
    }

    /// What it is, as in "the port speaks …".
    #[must_use]
    pub const fn what(self) -> &'static str {
        match self {
            Self::UsbHid => "USB: packets of bits that something must answer by name",
        }
    }

    /// As what a controller answers, and what its answer holds.
    #[must_use]
    pub const fn report(self) -> Sourced<&'static str> {
        match self {
            Self::UsbHid => Sourced::new(
                "as a game pad (usage page 0x01, usage 0x05): a descriptor first, then reports that hold X and Y in two \
                 bits each and a bit for each button (usage page 0x09, from 1 up)",
                Source::published(
                    "Device Class Definition for Human Interface Devices (HID) 1.11, 6.2.2 and 8, USB-IF, \
                     www.usb.org/document-library/device-class-definition-hid-111; HID Usage Tables 1.1, example of a game pad, \
                     figure 16, www.yumpu.com/en/document/view/42041029",
                ),
            ),
        }
    }

    /// The shortest time between two questions, and how fast the bits of each come.
    #[must_use]
    pub const fn asked(self) -> Sourced<(Seconds, &'static str)> {
        match self {
            Self::UsbHid => Sourced::new(
                (Seconds::literal(10e-3), "1.5 Mbit/s"),
                Source::assumed(
                    "from memory: Universal Serial Bus Specification 2.0, 5.7.4, a device of low speed",
                ),
            ),
        }
    }
}

//! Sockets that the trade knows and the catalogue has not: what nobody looks at here.

use solderside_trade::Connector;

/// A class of socket for controllers without a profile in the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// The machine's own connector, as files write it.
    connector: &'static str,
    /// What it is called on paper.
    pub title: &'static str,
    /// What makes it dangerous to take it for another one.
    pub caution: &'static str,
    /// Where that comes from.
    pub source: &'static str,
}

const GAPS: [Gap; 6] = [
    Gap {
        connector: "DE-9 plug",
        title: "nine-pin port that selects between two halves of a pad",
        caution: "it looks like the port with two buttons and a light-gun line, but the machine drives 7 all the time, \
                  to either level: a lead for that port must not go in",
        source: "Parallel Port Joystick Drivers, Linux kernel documentation, \
                 Documentation/input/devices/joystick-parport.rst, for the contacts; common practice for the rest, \
                 no source",
    },
    Gap {
        connector: "DE-9 plug",
        title: "nine-pin port of pads that are latched and clocked",
        caution: "6 is its supply, where most nine-pin leads have a fire button, and the machine drives 3 and 4",
        source: "Parallel Port Joystick Drivers, Linux kernel documentation, \
                 Documentation/input/devices/joystick-parport.rst; such clones vary",
    },
    Gap {
        connector: "DA-15 socket",
        title: "fifteen-pin analogue game port",
        caution: "1, 8, 9 and 15 are supplies, and its axes are resistances that no switch can stand for",
        source: "from memory",
    },
    Gap {
        connector: "DA-15 socket",
        title: "fifteen-pin port of analogue sticks with a keypad",
        caution: "12 is its supply, and 9 only looks like one: it feeds the pots",
        source: "common practice, no source",
    },
    Gap {
        connector: "DA-15 socket",
        title: "fifteen-pin port of pads that are latched and clocked",
        caution: "it has a supply, and the machine drives its latch and its clock",
        source: "Parallel Port Joystick Drivers, Linux kernel documentation, \
                 Documentation/input/devices/joystick-parport.rst",
    },
    Gap {
        connector: "DE-15 high density socket",
        title: "fifteen-pin port that scans a pad by rows",
        caution: "the machine drives four of its contacts as rows, and one is a supply",
        source: "from memory",
    },
];

impl Gap {
    /// Returns those whose connector goes together with one of a lead's.
    pub fn for_lead_end(connector: Connector) -> impl Iterator<Item = &'static Self> {
        GAPS.iter().filter(move |gap| gap.connector().is_some_and(|theirs| connector.mates_with(&theirs)))
    }

    /// The machine's own connector.
    pub fn connector(&self) -> Option<Connector> {
        Connector::parse(self.connector).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::Library;

    #[test]
    fn each_gap_is_of_a_connector_that_there_is() {
        for gap in GAPS {
            let connector = gap.connector().expect(gap.title);
            assert!(Gap::for_lead_end(connector.mate()).any(|found| *found == gap));
            assert_eq!(Gap::for_lead_end(connector).count(), 0, "a socket takes no socket");
        }
    }

    #[test]
    fn what_the_catalogue_has_is_no_gap() {
        let titles: Vec<String> =
            Library::catalogue().entries().into_iter().map(|entry| entry.title.to_lowercase()).collect();
        for gap in GAPS {
            assert!(!titles.contains(&gap.title.to_lowercase()), "{}", gap.title);
        }
    }
}

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

const GAPS: [Gap; 1] = [Gap {
    connector: "DA-15 socket",
    title: "fifteen-pin port of pads that are latched and clocked",
    caution: "it has a supply, and the machine drives its latch and its clock",
    source: "Parallel Port Joystick Drivers, Linux kernel documentation, \
             Documentation/input/devices/joystick-parport.rst",
}];

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

//! What lines have against everything round them, in farads.

use solderside_quantity::{Farads, Triple};

use crate::source::{Source, Sourced};

/// A metre of a core in a cable without a screen, against the cores round it.
pub const CORE_FARADS_PER_METRE: Sourced<Triple<Farads>> = Sourced::new(
    Triple::<Farads>::literal(50e-12, 100e-12, 150e-12),
    Source::assumed("from memory: cores of PVC signal cable, 50 pF to 150 pF a metre"),
);

/// A metre of a core in a screened cable, against the screen and the cores round it.
pub const SCREENED_CORE_FARADS_PER_METRE: Sourced<Triple<Farads>> = Sourced::new(
    Triple::<Farads>::literal(150e-12, 200e-12, 300e-12),
    Source::assumed("from memory: core to screen, 150 pF to 300 pF a metre"),
);

/// A contact of a machine: its input or output, the track to it and the connector.
pub const MACHINE_CONTACT_FARADS: Sourced<Triple<Farads>> = Sourced::new(
    Triple::<Farads>::literal(5e-12, 15e-12, 50e-12),
    Source::assumed("from memory: 10 pF at most for an input; tracks and connector are assumed"),
);

/// A contact of a controller with its own cord, as it is sold: 1.5 m typically, up to 3 m, or none.
pub const CONTROLLER_CONTACT_FARADS: Sourced<Triple<Farads>> = Sourced::new(
    Triple::<Farads>::literal(0.0, 150e-12, 450e-12),
    Source::assumed("from memory: cores of PVC signal cable; the lengths of controllers' cords are assumed"),
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_controllers_cord_is_made_of_the_same_cable() {
        let [core, cord] = [CORE_FARADS_PER_METRE, CONTROLLER_CONTACT_FARADS].map(|sourced| sourced.value);
        assert_eq!(cord.typical(), core.typical() * 1.5);
        assert_eq!(cord.high(), core.high() * 3.0);
    }
}

//! The port's own pad in which a lead ends.
//!
//! Its own switches stay in their places. Pressed alone they do what they always did in this port, which is the pad's
//! affair and no lead's. What counts here is a donor's switch beside a switch of the controller that lies across the same
//! points: while that one is closed, the donor's may be open or closed.
//!
//! Where wire alone leads from the controller's switch to both points, and these lie between a line and the return, no
//! element of its own stands for the donor's switch. Closing it adds a conductor from a line to the return, and no line
//! stands lower than that: every line falls or stays, so none reads less closed for it; and none falls below where it would
//! be with next to no resistance on the way through the controller. Where the controller's switch has a common of its own,
//! both ways lie side by side between two points, and are one resistor. In both cases the wires to a donor's points and the
//! controller's closed switches there have any resistance from [`NEXT_TO_A_WIRE`] up. However worn a donor's own contacts
//! are, it tells in nothing. Anywhere else the donor's switch is a resistor of its own, from its least up to an open one.

use solderside_circuit::Uncertain;
use solderside_profile::{Control, PortRole};
use solderside_quantity::{Ohms, Triple};

use super::{Circuit, LEFT_OUT, NEXT_TO_NOTHING, Unbuilt, When};
use crate::assembly::Assembly;
use crate::donor::Donor;
use crate::lead::{EndId, Holder, Leg};

/// Less than any contact: three of them on the way carry a line's milliamperes within microvolts of none.
const NEXT_TO_A_WIRE: Ohms = Ohms::literal(1e-3);

/// A resistance on the way to a donor's switch: from next to nothing up, as that switch may be closed beside it.
pub(super) fn beside_own(ohms: Triple<Ohms>) -> Triple<Ohms> {
    let low = ohms.low().min(NEXT_TO_A_WIRE);
    Triple::new(low, ohms.typical(), ohms.high()).unwrap_or(ohms)
}

/// Whether wire alone leads from a control's switch to both points of a donor's switch, cup to point, and no element of
/// its own need stand for that switch.
pub(super) fn lies_across_by_wire(
    assembly: &Assembly,
    end: EndId,
    control: &Control,
    is_wanted: impl Fn(Leg) -> bool,
) -> bool {
    let (Some(donor), Some(controller)) = (&assembly.donor, assembly.controller(end)) else { return false };
    if donor.is_left_alone() {
        return false;
    }
    let points = |contact| assembly.lead.joined(Leg { end, contact }).filter(|leg| leg.switch().is_some());
    let own = controller.commons_of(control);
    let is_alone =
        controller.controls().into_iter().filter(|other| controller.commons_of(other) == own).count() == 1;
    let is_return =
        |leg: &Leg| assembly.port_contact(*leg).is_some_and(|contact| contact.role == PortRole::Return);
    let commons = own.into_iter().flat_map(points);
    let commons = commons.filter(|common| is_alone || assembly.beyond(*common).iter().any(is_return));
    let commons: Vec<_> = commons.map(|common| donor.net(common)).collect();
    let lines = controller.contact_of(control).into_iter().flat_map(points).filter(|line| is_wanted(*line));
    lines.filter_map(Leg::switch).map(Leg::across).any(|[_, common]| commons.contains(&donor.net(common)))
}

impl Circuit {
    /// Takes the donor: what is inside it, the points that something is soldered to, and its own switches.
    pub(super) fn take_donor(&mut self, assembly: &Assembly, donor: &Donor) -> Result<(), Unbuilt> {
        let pad = donor.pad();
        self.take_commons(EndId::Donor, pad);
        if let Some(inside) = &pad.inside {
            self.take_inside(Holder::Donor, pad, inside)?;
        }
        for (control, [[line, own_line], [common, own_common]]) in donor.ties() {
            if [line, common].iter().all(|point| assembly.lead.joined(*point).next().is_none()) {
                continue;
            }
            self.take_nets([[common, own_common]].into_iter());
            if let Some(series) = pad.series_of(control) {
                let [a, b] = [line, own_line].map(|leg| self.node_of(leg));
                self.put(line, "series resistor", Uncertain::Resistor { a, b, ohms: series.ohms })?;
            } else {
                self.take_nets([[line, own_line]].into_iter());
            }
            self.take_own_switch(assembly, donor, [line, common])?;
        }
        Ok(())
    }

    /// Takes a donor's own switch, as it may stand while a control is pressed that is soldered across it through parts.
    fn take_own_switch(
        &mut self,
        assembly: &Assembly,
        donor: &Donor,
        [line, common]: [Leg; 2],
    ) -> Result<(), Unbuilt> {
        let [a, b] = [line, common].map(|leg| self.node_of(leg));
        let least = donor.pad().switch.closed_ohms().value.low();
        let Ok(ohms) = Triple::new(least, NEXT_TO_NOTHING, LEFT_OUT) else { return Ok(()) };
        let reach = assembly.lead.reach(line);
        for (end, controller) in assembly.controllers() {
            let contacts = reach.iter().filter(|leg| leg.end == end);
            for control in contacts.filter_map(|leg| controller.control_at(leg.contact)) {
                if a != b
                    && !donor.is_left_alone()
                    && !lies_across_by_wire(assembly, end, control, |own| own == line)
                {
                    let element = Uncertain::Resistor { a, b, ohms };
                    self.switch(line, "the donor's own switch", control, When::Pressed, element)?;
                }
            }
        }
        Ok(())
    }
}

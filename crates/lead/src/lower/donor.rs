//! The port's own pad in which a lead ends.

use solderside_circuit::Uncertain;
use solderside_profile::Control;
use solderside_quantity::Triple;

use super::{Circuit, LEFT_OUT, NEXT_TO_NOTHING, Unbuilt, When};
use crate::assembly::Assembly;
use crate::donor::Donor;
use crate::lead::{EndId, Holder, Leg};

impl Circuit {
    /// Takes the donor: what is inside it, the points that something is soldered to, and its own switches.
    ///
    /// Its own switches stay in their places. Alone they do what they always did in this port, which is the pad's
    /// affair and no lead's. Beside a switch of the controller that lies across the same points, a donor's switch is
    /// open, or closed with anything from its least resistance upwards: both together are a contact that closes better
    /// than the controller's alone, and never one that closes worse. So while a control is pressed, each donor's switch
    /// that its conductor leads to is a resistor that may have any value from that least one to that of an open
    /// contact. However worn a donor's carbon is, it tells in nothing then.
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

    /// Takes a donor's own switch, as it may stand while a control is pressed that is soldered across it.
    fn take_own_switch(
        &mut self,
        assembly: &Assembly,
        donor: &Donor,
        [line, common]: [Leg; 2],
    ) -> Result<(), Unbuilt> {
        let [a, b] = [line, common].map(|leg| self.node_of(leg));
        let least = donor.pad().switch.closed_ohms().value.low();
        let reach = assembly.lead.reach(line);
        let beside: Vec<&Control> = (assembly.controllers())
            .flat_map(|(end, controller)| {
                let contacts = reach.iter().filter(move |leg| leg.end == end);
                contacts.filter_map(|leg| controller.control_at(leg.contact))
            })
            .collect();
        let Ok(ohms) = Triple::new(least, NEXT_TO_NOTHING, LEFT_OUT) else { return Ok(()) };
        for control in beside.into_iter().filter(|_| a != b) {
            let element = Uncertain::Resistor { a, b, ohms };
            self.switch(line, "the donor's own switch", control, When::Pressed, element)?;
        }
        Ok(())
    }
}

//! What is inside a controller, part by part.

use std::collections::BTreeMap;

use solderside_circuit::{Node, Uncertain};
use solderside_profile::{Controller, Inside};

use super::{Circuit, Unbuilt, When};
use crate::lead::{EndId, Holder, Leg};

impl Circuit {
    /// Takes the parts inside a controller, but for its chips, and its switches, but for a donor's.
    pub(super) fn take_inside(
        &mut self,
        holder: Holder,
        controller: &Controller,
        inside: &Inside,
    ) -> Result<(), Unbuilt> {
        self.take_nets(inside.joins.iter().map(|join| join.map(|spot| holder.leg(spot))));
        for switch in inside.switches.iter().filter(|_| holder != Holder::Donor) {
            let between = switch.between.map(|spot| holder.leg(spot));
            let [a, b] = between.map(|leg| self.node_of(leg));
            if a == b {
                continue;
            }
            let ohms = controller.switch.closed_ohms().value;
            let element = Uncertain::Resistor { a, b, ohms };
            self.switch(between[0], "switch", &switch.control, When::Pressed, element)?;
        }
        for part in &inside.parts {
            self.take_part(EndId::Inside(holder, part.id), part.body)?;
        }
        Ok(())
    }

    /// Makes one node of what is electrically one: tracks of a board are short.
    pub(super) fn take_nets(&mut self, joins: impl Iterator<Item = [Leg; 2]>) {
        let mut nets: Vec<Vec<Leg>> = Vec::new();
        for join in joins {
            let (own, others): (Vec<Vec<Leg>>, Vec<Vec<Leg>>) =
                nets.into_iter().partition(|net| join.iter().any(|leg| net.contains(leg)));
            let mut net: Vec<Leg> = own.into_iter().flatten().chain(join).collect();
            net.sort_unstable();
            net.dedup();
            nets = others;
            nets.push(net);
        }
        for net in nets {
            // Contacts that are one on the outside have their node already.
            let known: Vec<Node> = net.iter().filter_map(|leg| self.nodes.get(leg)).copied().collect();
            let node = known.first().copied().unwrap_or_else(|| self.network.node());
            let same: BTreeMap<Leg, Node> = net.into_iter().map(|leg| (leg, node)).collect();
            for own in self.nodes.values_mut().filter(|own| known.contains(own)) {
                *own = node;
            }
            self.nodes.extend(same);
        }
    }
}

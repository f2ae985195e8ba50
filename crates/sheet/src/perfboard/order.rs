//! The order in which wires are soldered.

use solderside_lead::Lead;

use super::BoardWire;

/// Bare wires before insulated ones, which lie over them; within each net by net, the largest net first, and short wires first.
pub(super) fn to_solder(lead: &Lead, mut wires: Vec<BoardWire>) -> Vec<BoardWire> {
    wires.sort_by_cached_key(|wire| {
        let net = lead.net(wire.legs[1]);
        let first = net.first().copied();
        (wire.insulated, std::cmp::Reverse(net.len()), first, wire.holes.len(), wire.join)
    });
    wires
}

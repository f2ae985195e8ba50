//! Which contacts are electrically one in the lead.

use std::collections::BTreeSet;

use solderside_lead::{Assembly, Leg};

/// All legs that conductors make one with a leg, itself included.
pub(super) fn net(assembly: &Assembly, leg: Leg) -> BTreeSet<Leg> {
    let mut reached = BTreeSet::from([leg]);
    let mut queue = vec![leg];
    while let Some(at) = queue.pop() {
        queue.extend(assembly.lead.joined(at).filter(|next| reached.insert(*next)).collect::<Vec<_>>());
    }
    reached
}

/// Whether the lead makes two legs one.
pub(super) fn is_joined(assembly: &Assembly, a: Leg, b: Leg) -> bool {
    net(assembly, a).contains(&b)
}

//! Sixteen digits by which a run at the bench knows the lead that it is of.

use solderside_profile::{Body, Cable, Canonical, Controller};

use crate::assembly::Assembly;

impl Assembly {
    /// Returns sixteen digits that change when anything does by which the lead is built or read: its ends, parts, joins, cord
    /// and cable, and the profiles of both ends. Not with its name, its title, or its play map, which asks for no other wire.
    pub fn fingerprint(&self) -> String {
        let lead = &self.lead;
        let mut text = Canonical::default();
        for controller in self.controllers.iter().map(Controller::fingerprint) {
            text.line(&["controller", &controller]);
        }
        if let Some(donor) = &self.donor {
            text.line(&["donor", &donor.pad().fingerprint()]);
        }
        text.line(&["port", &self.port.fingerprint()]);
        for end in &lead.ends {
            text.line(&["end", &end.id.to_string(), &end.connector.to_string()]);
        }
        for part in &lead.parts {
            let tolerance = match part.body {
                Body::Resistor(resistor) => resistor.tolerance,
                Body::Capacitor(capacitor) => capacitor.tolerance,
                Body::Diode(_) | Body::Transistor(_) | Body::Chip(_) | Body::Changeover(_) => 0.0,
            };
            let (id, sits) = (part.id().to_string(), part.sits.to_string());
            text.line(&["part", &id, &part.body.to_string(), &format!("{tolerance:?}"), &sits]);
        }
        if lead.passes_through {
            text.line(&["through"]);
        }
        for switch in &lead.changeovers {
            let [first, second] = &switch.positions;
            let order = if switch.makes_first { "makes first" } else { "breaks first" };
            text.line(&[
                "switch",
                &switch.part.to_string(),
                &switch.called,
                &first.name,
                &second.name,
                order,
            ]);
        }
        for join in &lead.joins {
            text.line(&["join", &join.to_string()]);
        }
        text.line(&["cord", &lead.cord.conductor.to_string(), &format!("{:?}", lead.cord.length.get())]);
        if let Some(cable) = &lead.cable {
            text.line(&["cable", &Cable::fingerprint(cable)]);
        }
        text.digest()
    }
}

#[cfg(test)]
mod tests {
    use solderside_profile::Library;
    use solderside_trade::ContactId;

    use crate::{Assembly, Join, Leg, default_map};

    fn lead() -> Assembly {
        let library = Library::catalogue();
        let controller = library.controller("fifteen-pin-stick").unwrap();
        let port = library.port("nine-pin-one-fire").unwrap();
        let play = default_map(&controller, &port);
        let mut assembly = Assembly::between(controller, port, play);
        let join =
            |from, to| Join::new(Leg::controller(ContactId::Number(from)), Leg::port(ContactId::Number(to)));
        assembly.lead.joins.extend([join(15, 1), join(7, 2)]);
        assembly.lead.settle();
        assembly
    }

    #[test]
    fn the_fingerprint_changes_with_a_wire_and_not_with_a_word() {
        let own = lead().fingerprint();
        assert_eq!((own.len(), lead().fingerprint()), (16, own.clone()));
        let mut renamed = lead();
        renamed.lead.name = "mine".to_owned();
        renamed.lead.title = "My own".to_owned();
        assert_eq!(renamed.fingerprint(), own);
        let mut shorter = lead();
        shorter.lead.joins.pop();
        assert_ne!(shorter.fingerprint(), own);
        let mut other_end = lead();
        other_end.port = Library::catalogue().port("nine-pin-two-trigger").unwrap();
        assert_ne!(other_end.fingerprint(), own);
    }
}

//! A controller whose controls carry another name, as the second one of a lead.

use crate::controller::{Controller, ControllerRole};
use crate::word::Control;

impl Controller {
    /// The same controller with each of its controls called `PREFIX-NAME`; none if a name grows too long.
    ///
    /// No such name is a direction, so its gate keeps nothing apart any more: what holds with everything pressed at once
    /// holds of the lever too.
    pub fn prefixed(&self, prefix: &str) -> Option<Self> {
        let name = |control: &Control| Control::new(&format!("{prefix}-{control}"));
        let names = |controls: &[Control]| controls.iter().map(name).collect::<Option<Vec<_>>>();
        let mut own = self.clone();
        for contact in own.contacts.values_mut() {
            if let ControllerRole::Control(control) = &mut contact.role {
                *control = name(control)?;
            }
        }
        own.fire_order = names(&self.fire_order)?;
        own.two_key_rollover = names(&self.two_key_rollover)?;
        if let Some(logic) = &mut own.logic
            && let Some(drives) = &logic.drives
        {
            logic.drives = Some(names(drives)?);
        }
        for switch in own.inside.iter_mut().flat_map(|inside| &mut inside.switches) {
            switch.control = name(&switch.control)?;
        }
        Some(own)
    }

    /// Nothing at all, where a controller could be plugged in.
    #[must_use]
    pub fn unplugged(&self) -> Self {
        Self {
            contacts: std::collections::BTreeMap::new(),
            fire_order: Vec::new(),
            two_key_rollover: Vec::new(),
            logic: None,
            inside: None,
            ..self.clone()
        }
    }
}

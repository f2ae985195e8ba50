//! What divides with a pull-up while a control is pressed: a worn contact, a resistor inside the controller.

use solderside_lead::Assembly;
use solderside_profile::{Control, Controller, InputCircuit};
use solderside_quantity::{Ohms, Volts};

use crate::code::Code;
use crate::finding::Figure;
use crate::readings::{Grade, Sample};

/// The resistances of a closed switch that matter beside a pull-up: a hundredth of it or more.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Divider {
    /// The contact alone, worn.
    Worn(Ohms),
    /// The resistor in series with the switch, whose contact hardly matters.
    Series(Ohms),
    /// Both.
    Both { worn: Ohms, series: Ohms },
}

impl Divider {
    /// Looks at the switches that are closed for a sample, the one with the most resistance if there are
    /// several; none if nothing there matters.
    pub(crate) fn of(assembly: &Assembly, sample: &Sample<'_>) -> Option<Self> {
        let pull_up = sample.input.pull_up?.low();
        let pressed = assembly.lead.play.controls(sample.action).iter();
        let switches = pressed
            .filter(|control| sample.state.contains(*control))
            .filter_map(|control| {
                let mut owners = assembly.controllers.iter();
                Some((control, owners.find(|own| own.controls().contains(&control))?))
            })
            .filter(|(control, controller)| controller.driver_of(control).is_none());
        let most =
            |(control, controller): &(&Control, &Controller)| controller.closed_ohms(control).high().get();
        let (control, controller) = switches.max_by(|a, b| most(a).total_cmp(&most(b)))?;
        let matters = |ohms: &Ohms| ohms.get() * 100.0 >= pull_up.get();
        let worn = Some(controller.switch.closed_ohms().value.high()).filter(matters);
        let series = controller.series_of(control).map(|series| series.ohms.high()).filter(matters);
        match (worn, series) {
            (Some(worn), Some(series)) => Some(Self::Both { worn, series }),
            (Some(worn), None) => Some(Self::Worn(worn)),
            (None, Some(series)) => Some(Self::Series(series)),
            (None, None) => None,
        }
    }

    /// All of it together.
    pub(crate) fn ohms(self) -> Ohms {
        match self {
            Self::Worn(ohms) | Self::Series(ohms) => ohms,
            Self::Both { worn, series } => worn + series,
        }
    }

    /// Wear is blamed only where there is some.
    pub(crate) fn code(self, grade: Grade) -> Code {
        match self {
            Self::Worn(_) | Self::Both { .. } => Code::ReadWornContact,
            Self::Series(_) if grade == Grade::Missed => Code::ReadMissed,
            Self::Series(_) => Code::ReadThin,
        }
    }

    /// What happens, for the end of a sentence.
    pub(crate) fn what(self) -> String {
        match self {
            Self::Worn(worn) => format!("a contact worn to {worn} divides with the pull-up"),
            Self::Series(series) => {
                format!("the controller's own series resistor of {series} divides with the pull-up")
            }
            Self::Both { worn, series } => format!(
                "a contact worn to {worn} and the controller's own series resistor of {series} divide with the \
                 pull-up"
            ),
        }
    }

    /// How to mend it; `most` is what the input wants at most.
    pub(crate) fn remedy(self, most: Option<Ohms>) -> String {
        let wants = |more: &str| {
            most.map_or_else(String::new, |most| format!(": this input wants at most about {most}{more}"))
        };
        match self {
            Self::Worn(_) => format!("clean the contacts, or fit new ones{}", wants("")),
            Self::Series(_) => format!(
                "bridge the resistor inside the controller, or use a port with weaker pull-ups{}",
                wants(" in all")
            ),
            Self::Both { .. } => format!(
                "clean the contacts or fit new ones, and bridge the resistor if that is not enough{}",
                wants(" in all")
            ),
        }
    }

    pub(crate) fn figures(self) -> Vec<Figure> {
        let worn = |ohms| Figure::ohms("contact_ohms", ohms);
        let series = |ohms| Figure::ohms("series_ohms", ohms);
        match self {
            Self::Worn(ohms) => vec![worn(ohms)],
            Self::Series(ohms) => vec![series(ohms)],
            Self::Both { worn: contact, series: resistor } => vec![worn(contact), series(resistor)],
        }
    }
}

/// The largest contact resistance that still leaves the input below a threshold.
pub(crate) fn largest_contact(assembly: &Assembly, input: &InputCircuit, threshold: Volts) -> Option<Ohms> {
    let rail = assembly.port.rail.high();
    let pull_up = input.pull_up.filter(|_| rail > threshold)?;
    // A contact carries the pull-up's current, and what a bipolar input gives when it is held low.
    let amps = (rail - threshold).across(pull_up.low()).ok()? + input.family.input_low_amps().value.high();
    threshold.at(amps).ok()
}

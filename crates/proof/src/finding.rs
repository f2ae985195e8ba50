//! What the checks have to say.

use solderside_lead::Leg;
use solderside_profile::Control;
use solderside_quantity::{Amps, Ohms, Quantity, Volts};

use crate::code::Code;

/// How bad a finding is, mildest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Works without margin.
    Thin,
    /// Will not work.
    Fail,
    /// Can damage.
    Harm,
}

/// What a proof comes to, best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Each guaranteed threshold is met everywhere with at least 0.1 V to spare.
    Works,
    /// Each typical threshold is met everywhere, but not each guaranteed one with 0.1 V to spare.
    Thin,
    /// Nothing speaks against it, and no argument covers all of it.
    Unproved,
    /// A typical threshold is missed somewhere, or something reads that nobody asked for.
    Fails,
    /// A limit is exceeded somewhere.
    Harms,
}

/// One thing that the checks have to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// What kind of thing.
    pub code: Code,
    /// How bad it is.
    pub severity: Severity,
    /// The whole of it in one sentence that stands alone.
    pub text: String,
    /// The contacts that it is about, the first first.
    pub legs: Vec<Leg>,
    /// What is pressed where it happens; none if that does not matter.
    pub state: Option<Vec<Control>>,
    /// The step of the machine's reading where it happens; none if that does not matter.
    pub step: Option<String>,
    /// The numbers behind it, so that a meter can check them.
    pub figures: Vec<Figure>,
    /// How to mend it.
    pub remedy: String,
}

/// A number with its name and unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// What it is, in `snake_case` and ending in its unit: `sags_to_volts`.
    pub name: &'static str,
    /// How much, in SI units.
    pub value: f64,
    /// The unit's symbol.
    pub unit: &'static str,
}

impl Severity {
    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Thin => "thin",
            Self::Fail => "fail",
            Self::Harm => "harm",
        }
    }
}

impl Verdict {
    /// The word of screens and files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Works => "works",
            Self::Thin => "thin",
            Self::Unproved => "unproved",
            Self::Fails => "fails",
            Self::Harms => "harms",
        }
    }

    /// Whether a person may build it: it works, be it without margin.
    pub const fn is_sound(self) -> bool {
        match self {
            Self::Works | Self::Thin => true,
            Self::Unproved | Self::Fails | Self::Harms => false,
        }
    }
}

impl From<Severity> for Verdict {
    fn from(severity: Severity) -> Self {
        match severity {
            Severity::Note => Self::Works,
            Severity::Thin => Self::Thin,
            Severity::Fail => Self::Fails,
            Severity::Harm => Self::Harms,
        }
    }
}

impl std::fmt::Display for Severity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(self.as_str())
    }
}

impl Figure {
    pub(crate) fn volts(name: &'static str, value: Volts) -> Self {
        Self { name, value: value.get(), unit: Volts::SYMBOL }
    }

    pub(crate) fn amps(name: &'static str, value: Amps) -> Self {
        Self { name, value: value.get(), unit: Amps::SYMBOL }
    }

    pub(crate) fn ohms(name: &'static str, value: Ohms) -> Self {
        Self { name, value: value.get(), unit: Ohms::SYMBOL }
    }
}

impl Finding {
    pub(crate) fn new(code: Code, severity: Severity, text: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            text: text.into(),
            legs: Vec::new(),
            state: None,
            step: None,
            figures: Vec::new(),
            remedy: String::new(),
        }
    }

    pub(crate) fn at(mut self, legs: impl IntoIterator<Item = Leg>) -> Self {
        self.legs.extend(legs);
        self
    }

    pub(crate) fn when(mut self, state: impl IntoIterator<Item = Control>, step: &str) -> Self {
        self.state = Some(state.into_iter().collect());
        self.step = Some(step.to_owned());
        self
    }

    pub(crate) fn figures(mut self, figures: impl IntoIterator<Item = Figure>) -> Self {
        self.figures.extend(figures);
        self
    }

    /// Whether it tells of something that is harmed.
    pub fn is_harm(&self) -> bool {
        self.severity == Severity::Harm
    }

    /// Whether it leaves open what no argument covers: then the lead is unproved, however slight the finding.
    pub const fn is_open(&self) -> bool {
        matches!(
            self.code,
            Code::ReadUnproved | Code::DriveUnproved | Code::TimingUnproved | Code::TimingForgets
        )
    }

    pub(crate) fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }
}

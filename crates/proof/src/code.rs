//! The codes of findings, and the page that explains each.

use std::fmt;

macro_rules! codes {
    ($($(#[$doc:meta])* $name:ident = $text:literal,)*) => {
        /// What kind of thing a finding says. The first word is its family: `power`, `drive`, `read`,
        /// `timing` or `build`.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Code {
            $($(#[$doc])* $name,)*
        }

        impl Code {
            /// All codes, in the order of this list.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// The word of screens and files.
            pub const fn as_str(self) -> &'static str {
                match self {
                    $(Self::$name => $text,)*
                }
            }
        }

        /// The page that explains a code: what it means, why it matters, how to mend it, and an example.
        pub const fn explanation(code: Code) -> &'static str {
            match code {
                $(Code::$name => include_str!(concat!("explain/", $text, ".md")),)*
            }
        }
    };
}

codes! {
    /// A contact that is only pulled up is used as a supply.
    PowerPulledUp = "power-pulled-up",
    /// A controller with chips gets no supply.
    PowerMissing = "power-missing",
    /// Chips without a supply are fed through their clamps.
    PowerThroughClamps = "power-through-clamps",
    /// The supply that arrives is outside what the controller's chips work on.
    PowerOutOfRange = "power-out-of-range",
    /// A chip has no capacitor at its supply.
    PowerDecoupling = "power-decoupling",
    /// A supply contact is asked for more than its limit.
    PowerOverload = "power-overload",
    /// A part of the lead carries more than it bears.
    PowerHotPart = "power-hot-part",
    /// A contact where the machine itself is powered is joined.
    PowerFed = "power-fed",
    /// An output carries more than its limit.
    DriveOverload = "drive-overload",
    /// A chip that drives both levels meets a line that the machine drives too.
    DriveFight = "drive-fight",
    /// Chips have a line for their ground that the machine drives.
    DriveScannedLogic = "drive-scanned-logic",
    /// A contact sees a voltage outside its limits.
    DriveVolts = "drive-volts",
    /// A diode has more across it in reverse than it bears.
    DriveReverse = "drive-reverse",
    /// Nothing bounds what a contact is exposed to.
    DriveUnproved = "drive-unproved",
    /// An analogue input is joined.
    DrivePot = "drive-pot",
    /// The controller's common is joined to no return.
    ReadNoReturn = "read-no-return",
    /// The controller's common lands on an input.
    ReadReturnOnInput = "read-return-on-input",
    /// An input reads although nobody asked.
    ReadGhost = "read-ghost",
    /// An input does not read although it should.
    ReadMissed = "read-missed",
    /// A worn switch contact cannot pull its line low enough.
    ReadWornContact = "read-worn-contact",
    /// A line is read right, but without margin.
    ReadThin = "read-thin",
    /// An input that is read is held by nothing.
    ReadFloating = "read-floating",
    /// A line by which the machine knows what is plugged in is not at its level.
    ReadIdentity = "read-identity",
    /// Nothing speaks against a reading, and no argument covers it.
    ReadUnproved = "read-unproved",
    /// An axis is never charged, or moves nothing.
    ReadAxisStill = "read-axis-still",
    /// The machine does not tell the positions of an axis apart, or does not measure all of them.
    ReadAxisRange = "read-axis-range",
    /// Something else than its pot moves an axis.
    ReadAxisMoved = "read-axis-moved",
    /// An axis moves the wrong way, or another one than its own.
    ReadAxisReversed = "read-axis-reversed",
    /// The verdict is about two keys at once at most.
    ReadRollover = "read-rollover",
    /// A control performs no action.
    ReadLostControl = "read-lost-control",
    /// An action has no control.
    ReadLostAction = "read-lost-action",
    /// No control of the controller performs any action.
    ReadNothing = "read-nothing",
    /// Opposite directions can be read at once.
    ReadOpposites = "read-opposites",
    /// A switch moves a clock.
    TimingBounce = "timing-bounce",
    /// Chips move each other without end.
    TimingOscillates = "timing-oscillates",
    /// A line is read before it has settled.
    TimingUnsettled = "timing-unsettled",
    /// Nothing bounds how long a line takes to settle.
    TimingUnproved = "timing-unproved",
    /// Nobody says how long the machine waits before it reads.
    TimingUnknown = "timing-unknown",
    /// A clocked chip is moved faster than its sheet allows.
    TimingClock = "timing-clock",
    /// A controller that counts may not count from zero.
    TimingForgets = "timing-forgets",
    /// The socket is none for a controller.
    BuildNoPort = "build-no-port",
    /// A connector of the lead does not mate with what it is for.
    BuildGender = "build-gender",
    /// The shell is on the wrong net.
    BuildShell = "build-shell",
    /// Two conductors share one cup.
    BuildCrowdedCup = "build-crowded-cup",
    /// A join leads to a contact without a use.
    BuildIdleJoin = "build-idle-join",
    /// The cable has fewer cores than joins run through it.
    BuildFewCores = "build-few-cores",
    /// What is moulded onto the cable is not what the lead needs.
    BuildMouldedEnd = "build-moulded-end",
    /// A transistor stands with its collector where its emitter belongs.
    BuildTurnedRound = "build-turned-round",
    /// A switch of the lead must break the old contact before it makes the new one.
    BuildBreaksFirst = "build-breaks-first",
    /// Nobody says what is plugged into an end of the lead.
    BuildUnknownEnd = "build-unknown-end",
    /// A profile has changed since the lead was proved.
    BuildStale = "build-stale",
}

impl Code {
    /// Finds the code that a word names.
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|code| code.as_str() == word)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_code_is_of_one_of_the_five_families_and_reads_back() {
        for code in Code::ALL {
            let family = code.as_str().split_once('-').map(|(family, _)| family);
            assert!(matches!(family, Some("power" | "drive" | "read" | "timing" | "build")), "{code}");
            assert_eq!(Code::parse(code.as_str()), Some(*code));
        }
    }

    #[test]
    fn each_page_begins_with_its_code_and_has_its_parts() {
        for code in Code::ALL {
            let page = explanation(*code);
            assert!(page.starts_with(&format!("# {code}\n")), "{code}");
            for part in ["## Why it matters\n", "## How to mend it\n", "## Example\n"] {
                assert!(page.contains(part), "{code} lacks {part}");
            }
        }
    }
}

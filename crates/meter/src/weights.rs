//! How often each kind of mistake is met: judgement, in a file that a person can edit.

use std::collections::BTreeMap;

use solderside_profile::{FORMAT, Failure, Reading, SourceFile, Table, describe, read};

use crate::fault::FaultKind;

/// How often each kind of mistake is made, as a share of the chances to make it.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights {
    good: f64,
    of: BTreeMap<FaultKind, f64>,
}

/// The file that ships.
const SHIPPED: &str = include_str!("weights.toml");

/// What a file's numbers are counted in.
const CHANCES: i64 = 10_000;

/// What a kind has that a file leaves out: one in a thousand.
const LEFT_OUT: f64 = 0.001;

impl Weights {
    /// The weights that ship: judgement, and no measurement.
    pub fn shipped() -> Self {
        Self::read(&SourceFile::new("weights.toml", SHIPPED))
            .unwrap_or_else(|failure| unreachable!("the shipped weights are sound: {failure}"))
    }

    /// Reads a file of weights.
    ///
    /// # Errors
    /// Returns every mistake of the file.
    pub fn read(file: &SourceFile) -> Result<Self, Failure> {
        let Reading { value, complaints, broken } = read(file, WeightsFile::read);
        if !complaints.is_empty() || broken {
            return Err(Failure::faulty(file.name(), complaints));
        }
        Ok(Self { good: value.good.unwrap_or(LEFT_OUT), of: value.of })
    }

    /// The share of doubted leads that are good.
    pub const fn good(&self) -> f64 {
        self.good
    }

    /// The share of chances at which a mistake of this kind is made.
    pub fn of(&self, kind: FaultKind) -> f64 {
        self.of.get(&kind).copied().unwrap_or(LEFT_OUT)
    }

    /// Returns the JSON Schema of files of weights.
    pub fn schema() -> String {
        let schema = describe("Solderside fault weights", WeightsFile::read);
        format!("{schema:#}\n")
    }
}

struct WeightsFile {
    good: Option<f64>,
    of: BTreeMap<FaultKind, f64>,
}

impl WeightsFile {
    fn read(table: &mut Table<'_>) -> Self {
        table.key("format", "the number of the file format").version(FORMAT);
        table.key("kind", "what the file describes").choice([("fault-weights", ())]);
        let mut share = |key: &'static str, doc: &'static str| {
            let found = table.key(key, doc).whole(1, CHANCES - 1)?;
            let [found, of] = [found.value, CHANCES].map(|number| u32::try_from(number).map(f64::from));
            Some(found.ok()? / of.ok()?)
        };
        let good = share("good_lead", "in ten thousand leads that somebody doubts, those that are good");
        let of = FaultKind::ALL.map(|kind| share(kind.key(), kind.chances()).map(|share| (kind, share)));
        let of = of.into_iter().flatten().collect();
        table.require(&["format", "kind"]);
        Self { good, of }
    }
}

impl FaultKind {
    /// Its word as a key of a file.
    const fn key(self) -> &'static str {
        match self {
            Self::OpenJoint => "open_joint",
            Self::WeakJoint => "weak_joint",
            Self::Bridge => "bridge",
            Self::CableShort => "cable_short",
            Self::Swapped => "swapped",
            Self::Mirrored => "mirrored",
            Self::RowsExchanged => "rows_exchanged",
            Self::OneCupOff => "one_cup_off",
            Self::PartMissing => "part_missing",
            Self::PartReversed => "part_reversed",
            Self::DecadeOff => "decade_off",
            Self::LegOpen => "leg_open",
            Self::ThrowOpen => "throw_open",
            Self::DirtyContact => "dirty_contact",
            Self::StuckContact => "stuck_contact",
            Self::DeadInput => "dead_input",
        }
    }

    /// What its weight counts.
    const fn chances(self) -> &'static str {
        match self {
            Self::OpenJoint => "in ten thousand ends of conductors, those whose joint is open",
            Self::WeakJoint => "in ten thousand ends of conductors, those whose joint is weak",
            Self::Bridge => {
                "in ten thousand pairs of neighbouring cups with solder, and of nets on a board, those that are bridged"
            }
            Self::CableShort => "in ten thousand pairs of conductors, those that touch in the cable",
            Self::Swapped => "in ten thousand pairs of conductors at an end, those that are swapped",
            Self::Mirrored => "in ten thousand ends, those that are wired mirrored",
            Self::RowsExchanged => "in ten thousand ends, those whose rows are taken for each other",
            Self::OneCupOff => "in ten thousand cups beside a conductor's own, those in which it sits",
            Self::PartMissing => "in ten thousand parts, those that are left out",
            Self::PartReversed => "in ten thousand diodes, transistors and chips, those the wrong way round",
            Self::DecadeOff => {
                "in ten thousand resistors, those of ten times or a tenth of their value, each"
            }
            Self::LegOpen => "in ten thousand legs of chips, those that do not touch",
            Self::ThrowOpen => "in ten thousand contacts of switches in leads, those that do not close",
            Self::DirtyContact => "in ten thousand controls, those whose contact does not close",
            Self::StuckContact => "in ten thousand controls, those whose contact is always closed",
            Self::DeadInput => "in ten thousand inputs of machines, those that are dead",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shipped_file_weighs_every_kind() {
        let shipped = Weights::shipped();
        assert_eq!(shipped.of.len(), FaultKind::ALL.len());
        assert!((shipped.of(FaultKind::OpenJoint) - 0.004).abs() < 1e-12);
    }

    #[test]
    fn mistakes_of_a_file_are_told_with_their_places() {
        let text = "format = 1\nkind = \"fault-weights\"\nopen_joints = 40\nbridge = -3\n";
        let failure = Weights::read(&SourceFile::new("mine.toml", text)).unwrap_err();
        insta::assert_snapshot!(failure.render(), @"
        error: unknown key `open_joints`
         --> mine.toml:3:1
          |
        3 | open_joints = 40
          | ^^^^^^^^^^^
          |
          = help: write `open_joint`

        error: `bridge` is out of range: found `-3`
         --> mine.toml:4:10
          |
        4 | bridge = -3
          |          ^^
          |
          = help: write a whole number from 1 to 9999

        `mine` has 2 mistakes
        ");
    }
}

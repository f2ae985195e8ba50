//! The names of controls and actions, and the four directions among them.

use std::fmt;

/// A direction of a lever.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Away from the player.
    Up,
    /// Towards the player.
    Down,
    /// To the player's left.
    Left,
    /// To the player's right.
    Right,
}

impl Direction {
    /// All four, in the order in which they are listed everywhere.
    pub const ALL: [Self; 4] = [Self::Up, Self::Down, Self::Left, Self::Right];

    /// Returns the word of files and screens.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Up => "up",
            Self::Down => "down",
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// Returns the direction that a name stands for, if it stands for one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|direction| direction.as_str() == name)
    }

    /// Returns the direction that a gate keeps apart from this one.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::Up => Self::Down,
            Self::Down => Self::Up,
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

/// Returns whether a text is a kebab-case name: words of small letters and digits, joined by `-`.
///
/// ```
/// # use solderside_profile::is_kebab;
/// assert!(is_kebab("second-fire"));
/// assert!(!is_kebab("Second_fire") && !is_kebab("fire-") && !is_kebab(""));
/// ```
pub fn is_kebab(text: &str) -> bool {
    let word =
        |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    text.len() <= LONGEST_NAME && text.split('-').all(word)
}

/// Longer names fit no drawing.
pub const LONGEST_NAME: usize = 60;

macro_rules! name {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(String);

        impl $name {
            /// Takes a kebab-case name.
            pub fn new(name: &str) -> Option<Self> {
                is_kebab(name).then(|| Self(name.to_owned()))
            }

            /// Returns the name.
            pub fn as_str(&self) -> &str {
                &self.0
            }

            /// Returns the direction that this is, if it is one.
            pub fn direction(&self) -> Option<Direction> {
                Direction::parse(&self.0)
            }
        }

        impl From<Direction> for $name {
            fn from(direction: Direction) -> Self {
                Self(direction.as_str().to_owned())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }

        impl AsRef<str> for $name {
            fn as_ref(&self) -> &str {
                &self.0
            }
        }
    };
}

name! {
    /// Something that the player moves or presses: `up`, `a`, `start`.
    Control
}
name! {
    /// Something that the player turns or pushes part of the way: `x`, `first-paddle`.
    Axis
}
name! {
    /// What the machine listens for: `up`, `fire`, `second-fire`.
    Action
}

/// Brings names into the order of all lists: directions, then the fire order, then the alphabet.
pub(crate) fn in_order<'n, T: Ord + AsRef<str>>(
    names: impl Iterator<Item = &'n T>,
    fire_order: &[T],
) -> Vec<&'n T> {
    let mut names: Vec<&T> = names.collect();
    names.sort_by_key(|name| {
        let direction = Direction::parse(name.as_ref());
        let turn = fire_order.iter().position(|fire| fire == *name);
        // `None` sorts first, so absence is what each key asks about.
        (direction.is_none(), direction, turn.is_none(), turn, *name)
    });
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_come_first_then_the_fire_order_then_the_alphabet() {
        let name = |name: &str| Control::new(name).unwrap();
        let all = ["start", "left", "select", "b", "a", "up"].map(name);
        let ordered = in_order(all.iter(), &[name("a"), name("b")]);
        let ordered: Vec<&str> = ordered.into_iter().map(Control::as_str).collect();
        assert_eq!(ordered, ["up", "left", "a", "b", "select", "start"]);
    }

    #[test]
    fn the_opposite_of_the_opposite_is_the_direction_itself() {
        for direction in Direction::ALL {
            assert_ne!(direction.opposite(), direction);
            assert_eq!(direction.opposite().opposite(), direction);
            assert_eq!(Direction::parse(direction.as_str()), Some(direction));
        }
    }
}

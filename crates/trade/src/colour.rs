//! Colour letters after IEC 60757.
//!
//! *IEC 60757:2021 Code for designation of colours*, clauses 4 and 5; the same letters in GOST 28763-90
//! (identical to IEC 757:1983), profsector.com/reference-data/show/25.

use std::fmt;

/// A conductor's colour, in the order of the standard's list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Colour {
    /// Black.
    Bk,
    /// Brown.
    Bn,
    /// Red.
    Rd,
    /// Orange.
    Og,
    /// Yellow.
    Ye,
    /// Green.
    Gn,
    /// Blue.
    Bu,
    /// Violet.
    Vt,
    /// Grey.
    Gy,
    /// White.
    Wh,
    /// Pink.
    Pk,
    /// Gold.
    Gd,
    /// Turquoise.
    Tq,
    /// Silver.
    Sr,
    /// Green-and-yellow, the protective conductor's alone.
    Gnye,
}

/// Says that two colours make no combination.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CannotCombine {
    /// One colour twice.
    #[error("`{0}` with itself is no combination; write `{0}` alone")]
    Same(Colour),
    /// Green with yellow.
    #[error("`GN` and `YE` combine only as `GNYE`, the protective conductor; choose another core")]
    Protective,
    /// The protective conductor's colour with another.
    #[error("`GNYE` marks the protective conductor and combines with no colour, found `{0}`")]
    WithProtective(Colour),
}

impl Colour {
    /// All colours in the standard's order.
    pub const ALL: [Self; 15] = [
        Self::Bk,
        Self::Bn,
        Self::Rd,
        Self::Og,
        Self::Ye,
        Self::Gn,
        Self::Bu,
        Self::Vt,
        Self::Gy,
        Self::Wh,
        Self::Pk,
        Self::Gd,
        Self::Tq,
        Self::Sr,
        Self::Gnye,
    ];

    /// The standard's letters.
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::Bk => "BK",
            Self::Bn => "BN",
            Self::Rd => "RD",
            Self::Og => "OG",
            Self::Ye => "YE",
            Self::Gn => "GN",
            Self::Bu => "BU",
            Self::Vt => "VT",
            Self::Gy => "GY",
            Self::Wh => "WH",
            Self::Pk => "PK",
            Self::Gd => "GD",
            Self::Tq => "TQ",
            Self::Sr => "SR",
            Self::Gnye => "GNYE",
        }
    }

    /// The colour's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bk => "black",
            Self::Bn => "brown",
            Self::Rd => "red",
            Self::Og => "orange",
            Self::Ye => "yellow",
            Self::Gn => "green",
            Self::Bu => "blue",
            Self::Vt => "violet",
            Self::Gy => "grey",
            Self::Wh => "white",
            Self::Pk => "pink",
            Self::Gd => "gold",
            Self::Tq => "turquoise",
            Self::Sr => "silver",
            Self::Gnye => "green-and-yellow",
        }
    }

    /// Finds the colour that letters name, in any case.
    ///
    /// Some makers print BR, YW, GR, BL and VI (*DIN 47100 core colour chart*,
    /// www.elandcables.com/the-cable-lab/faqs/din47100-colour-chart): they are read and never written.
    #[must_use]
    pub fn from_code(letters: &str) -> Option<Self> {
        match letters.trim().to_ascii_uppercase().as_str() {
            "BR" => Some(Self::Bn),
            "YW" => Some(Self::Ye),
            "GR" => Some(Self::Gy),
            "BL" => Some(Self::Bu),
            "VI" => Some(Self::Vt),
            code => Self::ALL.into_iter().find(|colour| colour.code() == code),
        }
    }

    /// Red, green and blue for a screen; common practice, no source. Green-and-yellow is drawn as its
    /// green, and its letters say the rest.
    #[must_use]
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Bk => [0x1c, 0x1c, 0x1c],
            Self::Bn => [0x7a, 0x48, 0x22],
            Self::Rd => [0xcc, 0x22, 0x22],
            Self::Og => [0xee, 0x7f, 0x1b],
            Self::Ye => [0xf2, 0xd0, 0x1e],
            Self::Gn | Self::Gnye => [0x2e, 0x8b, 0x3d],
            Self::Bu => [0x22, 0x5f, 0xc0],
            Self::Vt => [0x7b, 0x3f, 0xa8],
            Self::Gy => [0x8c, 0x8c, 0x8c],
            Self::Wh => [0xfa, 0xfa, 0xfa],
            Self::Pk => [0xf2, 0x9b, 0xb8],
            Self::Gd => [0xc9, 0xa2, 0x27],
            Self::Tq => [0x2f, 0xb5, 0xad],
            Self::Sr => [0xc4, 0xc8, 0xcc],
        }
    }
}

/// Names a core of two colours: both codes, in the order of the standard's list.
///
/// # Errors
/// Refuses a colour with itself, green with yellow, and green-and-yellow with anything.
pub fn combine(a: Colour, b: Colour) -> Result<String, CannotCombine> {
    let [first, second] = if a <= b { [a, b] } else { [b, a] };
    match (first, second) {
        _ if first == second => Err(CannotCombine::Same(first)),
        (other, Colour::Gnye) => Err(CannotCombine::WithProtective(other)),
        (Colour::Ye, Colour::Gn) => Err(CannotCombine::Protective),
        _ => Ok(format!("{first}{second}")),
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// GOST 28763-90 (identical to IEC 757:1983), profsector.com/reference-data/show/25.
    #[test]
    fn the_letters_are_those_of_the_standard() {
        let letters = Colour::ALL.map(Colour::code).join(" ");
        assert_eq!(letters, "BK BN RD OG YE GN BU VT GY WH PK GD TQ SR GNYE");
    }

    #[test]
    fn every_colour_is_read_back_from_its_letters() {
        for colour in Colour::ALL {
            assert_eq!(Colour::from_code(&colour.code().to_lowercase()), Some(colour));
        }
        assert_eq!(Colour::from_code("XX"), None);
    }

    /// *DIN 47100 core colour chart*, www.elandcables.com.
    #[test]
    fn the_wrong_letters_of_some_makers_are_read_and_never_written() {
        for (letters, colour) in [
            ("BR", Colour::Bn),
            ("YW", Colour::Ye),
            ("GR", Colour::Gy),
            ("BL", Colour::Bu),
            ("VI", Colour::Vt),
        ] {
            assert_eq!(Colour::from_code(letters), Some(colour));
            assert!(Colour::ALL.iter().all(|colour| colour.code() != letters));
        }
    }

    /// *IEC 60757:2021*, clause 5: red with blue is RDBU, not BURD.
    #[test]
    fn a_combination_is_written_in_the_order_of_the_list() {
        assert_eq!(combine(Colour::Bu, Colour::Rd).as_deref(), Ok("RDBU"));
        for a in Colour::ALL {
            for b in Colour::ALL {
                assert_eq!(combine(a, b), combine(b, a));
            }
        }
    }

    /// *IEC 60757:2021*: green and yellow are combined as the protective GNYE only.
    #[test]
    fn green_and_yellow_are_kept_for_the_protective_conductor() {
        assert_eq!(combine(Colour::Gn, Colour::Ye), Err(CannotCombine::Protective));
        assert_eq!(combine(Colour::Gnye, Colour::Rd), Err(CannotCombine::WithProtective(Colour::Rd)));
        assert_eq!(combine(Colour::Rd, Colour::Rd), Err(CannotCombine::Same(Colour::Rd)));
        assert_eq!(combine(Colour::Wh, Colour::Gn).as_deref(), Ok("GNWH"));
    }

    #[test]
    fn plain_colours_look_different_on_a_screen() {
        for (index, a) in Colour::ALL.iter().enumerate() {
            for b in Colour::ALL.iter().skip(index + 1).filter(|b| **b != Colour::Gnye) {
                assert_ne!(a.rgb(), b.rgb(), "{a} and {b}");
            }
        }
    }
}

//! The colours of a cable's cores, and the sequence by which many makers colour them.

use std::fmt;
use std::str::FromStr;

use crate::colour::{CannotCombine, Colour, combine};

/// The colour of one core's insulation: one colour, or one with a ring or stripe of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CoreColour {
    base: Colour,
    ring: Option<Colour>,
}

/// Says that a text names no core's colour.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseCoreColourError {
    /// No letters and no word that we know.
    #[error(
        "`{found}` is no colour; write letters such as `WH` or `WH/GN`, or words such as `white with green`"
    )]
    Unknown {
        /// The text as it was given.
        found: String,
    },
    /// Two colours that make no combination.
    #[error(transparent)]
    CannotCombine(#[from] CannotCombine),
}

/// How many colours the sequence of DIN 47100 has before it begins again.
pub const DIN_47100_COLOURS: u8 = 44;

impl CoreColour {
    /// A core of one colour.
    #[must_use]
    pub const fn plain(base: Colour) -> Self {
        Self { base, ring: None }
    }

    /// A core of one colour with a ring or stripe of another.
    ///
    /// # Errors
    /// Refuses the combinations that IEC 60757 does not have.
    pub fn ringed(base: Colour, ring: Colour) -> Result<Self, CannotCombine> {
        combine(base, ring).map(|_| Self { base, ring: Some(ring) })
    }

    /// The colour that covers most of it.
    #[must_use]
    pub const fn base(self) -> Colour {
        self.base
    }

    /// The colour of the ring or stripe.
    #[must_use]
    pub const fn ring(self) -> Option<Colour> {
        self.ring
    }

    /// The colour in words: `brown`, `orange with white`.
    #[must_use]
    pub fn words(self) -> String {
        match self.ring {
            None => self.base.word().to_owned(),
            Some(ring) => format!("{} with {}", self.base.word(), ring.word()),
        }
    }

    /// Reads letters (`WH`, `WHGN`, `WH/GN`) or words (`white`, `white with green`), in any case; the first
    /// colour is the base. The letters of some makers are read too, see [`Colour::from_code`].
    ///
    /// # Errors
    /// Refuses what names no colour, and combinations that IEC 60757 does not have.
    pub fn parse(text: &str) -> Result<Self, ParseCoreColourError> {
        let name = text.trim();
        if let Some(colour) = colour(name) {
            return Ok(Self::plain(colour));
        }
        let two = [" with ", "/", "+", "-"].into_iter().find_map(|between| name.split_once(between));
        let joined = name.is_ascii().then(|| name.split_at_checked(2)).flatten();
        let two = two.or(joined).and_then(|(base, ring)| Some((colour(base)?, colour(ring)?)));
        let (base, ring) = two.ok_or_else(|| ParseCoreColourError::Unknown { found: name.to_owned() })?;
        Ok(Self::ringed(base, ring)?)
    }

    /// The colour of a core by its number, counted from 1, after DIN 47100 (withdrawn in 1998, and still the
    /// trade's habit); none beyond the 44 of the sequence. In a cable of twisted pairs cores 1 and 2 are the
    /// first pair, 3 and 4 the second.
    ///
    /// *Core colour codes according to DIN 47100*, www.medikabel.de; *DIN 47100 core colour chart*,
    /// www.elandcables.com; *DIN 47100*, `en.wikipedia.org/wiki/DIN_47100`. One distributor prints core 39 as
    /// grey and pink, which repeats core 11.
    #[must_use]
    pub fn din_47100(number: u8) -> Option<Self> {
        use Colour::{Bk, Bn, Bu, Gn, Gy, Pk, Rd, Vt, Wh, Ye};
        const PLAIN: [Colour; 10] = [Wh, Bn, Gn, Ye, Gy, Pk, Bu, Rd, Bk, Vt];
        const RINGED: [[Colour; 2]; 34] = [
            [Gy, Pk],
            [Rd, Bu],
            [Wh, Gn],
            [Bn, Gn],
            [Wh, Ye],
            [Ye, Bn],
            [Wh, Gy],
            [Gy, Bn],
            [Wh, Pk],
            [Pk, Bn],
            [Wh, Bu],
            [Bn, Bu],
            [Wh, Rd],
            [Bn, Rd],
            [Wh, Bk],
            [Bn, Bk],
            [Gy, Gn],
            [Ye, Gy],
            [Pk, Gn],
            [Ye, Pk],
            [Gn, Bu],
            [Ye, Bu],
            [Gn, Rd],
            [Ye, Rd],
            [Gn, Bk],
            [Ye, Bk],
            [Gy, Bu],
            [Pk, Bu],
            [Gy, Rd],
            [Pk, Rd],
            [Gy, Bk],
            [Pk, Bk],
            [Bu, Bk],
            [Rd, Bk],
        ];
        let at = usize::from(number).checked_sub(1)?;
        let ringed = |at: usize| RINGED.get(at).map(|[base, ring]| Self { base: *base, ring: Some(*ring) });
        PLAIN.get(at).map(|base| Self::plain(*base)).or_else(|| ringed(at.checked_sub(PLAIN.len())?))
    }
}

/// Reads one colour, by its letters or its word.
fn colour(name: &str) -> Option<Colour> {
    let name = name.trim();
    let worded = || Colour::ALL.into_iter().find(|colour| colour.word().eq_ignore_ascii_case(name));
    Colour::from_code(name).or_else(worded)
}

impl FromStr for CoreColour {
    type Err = ParseCoreColourError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for CoreColour {
    /// The letters of IEC 60757 in the standard's order, such as `BN` or `OGWH`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let pair = self.ring.and_then(|ring| combine(self.base, ring).ok());
        f.pad(pair.as_deref().unwrap_or_else(|| self.base.code()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<String, String> {
        CoreColour::parse(text).map(CoreColour::words).map_err(|error| error.to_string())
    }

    #[test]
    fn a_core_is_named_by_the_standards_order_and_told_by_its_looks() {
        let core = CoreColour::ringed(Colour::Wh, Colour::Bn).unwrap();
        assert_eq!(core.to_string(), "BNWH");
        assert_eq!(core.words(), "white with brown");
        assert!(CoreColour::ringed(Colour::Ye, Colour::Gn).is_err());
    }

    #[test]
    fn letters_and_words_are_read_and_the_first_colour_is_the_base() {
        for text in ["WH/GN", "whgn", "wh-gn", "WH+GN", "white with green", "White/Green", "WH / gn"] {
            assert_eq!(read(text).as_deref(), Ok("white with green"), "{text}");
        }
        assert_eq!(read("GNWH").as_deref(), Ok("green with white"));
        assert_eq!(read(" violet ").as_deref(), Ok("violet"));
        assert_eq!(read("GNYE").as_deref(), Ok("green-and-yellow"));
        assert_eq!(read("green-and-yellow").as_deref(), Ok("green-and-yellow"));
    }

    /// *DIN 47100 core colour chart*, www.elandcables.com: BR, YW, GR, BL, VI.
    #[test]
    fn the_letters_of_some_makers_are_read_and_never_written() {
        for (text, letters) in [("BR", "BN"), ("YW/GR", "YEGY"), ("blrd", "RDBU"), ("VI", "VT")] {
            assert_eq!(CoreColour::parse(text).unwrap().to_string(), letters);
        }
    }

    #[test]
    fn what_is_no_colour_says_how_to_write_one() {
        assert_eq!(
            read("mauve").unwrap_err(),
            "`mauve` is no colour; write letters such as `WH` or `WH/GN`, or words such as `white with green`"
        );
        assert_eq!(
            read("YE/GN").unwrap_err(),
            "`GN` and `YE` combine only as `GNYE`, the protective conductor; choose another core"
        );
        for text in ["", "W", "WHGNRD", "ÄÖ", "with", "/", " with "] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    /// The sequence as it is printed, base and ring: *Core colour codes according to DIN 47100*,
    /// www.medikabel.de.
    #[test]
    fn the_sequence_of_din_47100_is_the_printed_one() {
        const PRINTED: &str = "
            1 WH    12 RD/BU 23 WH/RD 34 YE/RD
            2 BN    13 WH/GN 24 BN/RD 35 GN/BK
            3 GN    14 BN/GN 25 WH/BK 36 YE/BK
            4 YE    15 WH/YE 26 BN/BK 37 GY/BU
            5 GY    16 YE/BN 27 GY/GN 38 PK/BU
            6 PK    17 WH/GY 28 YE/GY 39 GY/RD
            7 BU    18 GY/BN 29 PK/GN 40 PK/RD
            8 RD    19 WH/PK 30 YE/PK 41 GY/BK
            9 BK    20 PK/BN 31 GN/BU 42 PK/BK
            10 VT   21 WH/BU 32 YE/BU 43 BU/BK
            11 GY/PK 22 BN/BU 33 GN/RD 44 RD/BK";
        let words: Vec<&str> = PRINTED.split_whitespace().collect();
        for entry in words.chunks(2) {
            let number: u8 = entry[0].parse().unwrap();
            assert_eq!(CoreColour::din_47100(number), CoreColour::parse(entry[1]).ok(), "core {number}");
        }
        assert_eq!(words.len(), 2 * usize::from(DIN_47100_COLOURS));
        assert_eq!(CoreColour::din_47100(0), None);
        assert_eq!(CoreColour::din_47100(DIN_47100_COLOURS + 1), None);
    }

    #[test]
    fn no_two_cores_of_din_47100_have_the_same_letters_and_none_is_a_forbidden_combination() {
        let mut letters: Vec<String> = (1..=DIN_47100_COLOURS)
            .map(|number| {
                let core = CoreColour::din_47100(number).unwrap();
                assert!(core.ring().is_none_or(|ring| combine(core.base(), ring).is_ok()), "{number}");
                core.to_string()
            })
            .collect();
        letters.sort_unstable();
        letters.dedup();
        assert_eq!(letters.len(), usize::from(DIN_47100_COLOURS));
    }
}

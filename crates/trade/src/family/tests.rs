use super::*;

/// All families, with the shortest, a common and the longest strip.
pub(crate) fn families() -> Vec<Family> {
    let strips = [2, 16, 40].map(|screws| Family::Terminals(TerminalCount::new(screws).unwrap()));
    Family::ALL.into_iter().chain(strips).collect()
}

#[test]
fn families_are_read_in_the_ways_that_people_write_them() {
    for (text, family) in [
        ("DE-9", Family::De9),
        ("de9", Family::De9),
        (" DA-15 ", Family::Da15),
        ("DE-15HD", Family::De15Hd),
        ("DE-15", Family::De15Hd),
        ("de-15 high density", Family::De15Hd),
        ("db25", Family::Db25),
        ("MiniDIN-8", Family::MiniDin8),
        ("DIN 5/180°", Family::Din5Arc180),
        ("din8/262", Family::Din8Arc262),
        ("edge 28/56", Family::Edge28x2),
        ("edge 28 × 2", Family::Edge28x2),
    ] {
        assert_eq!(Family::parse(text), Ok(family), "{text}");
    }
}

// *D-Subminiature Nomenclature*, epl.harvard.edu/Engineering/d-subminiature.html: DE-9.
#[test]
fn the_sellers_name_for_nine_ways_is_refused_with_the_right_one() {
    assert_eq!(
        Family::parse("DB-9").unwrap_err().to_string(),
        "`DB-9` is a seller's name; write `DE-9`: \
         B is the shell with 25 ways, and 9 ways fit shell E"
    );
}

#[test]
fn the_sellers_name_for_fifteen_ways_is_refused_as_ambiguous() {
    for text in ["DB-15", "db15", "D-sub 15"] {
        assert_eq!(
            Family::parse(text).unwrap_err().to_string(),
            format!(
                "`{text}` can mean `DA-15` or `DE-15 high density`; two rows of contacts are `DA-15`, \
                 three rows are `DE-15 high density`"
            )
        );
    }
    assert!(matches!(
        Family::parse("DB15HD"),
        Err(ParseFamilyError::Misnamed { family: Family::De15Hd, .. })
    ));
}

// *DIN: IEC/DIN EN 60130-9 connector*, cryptomuseum.com/ref/conn/din/index.htm: the two patterns of eight.
#[test]
fn the_sellers_name_for_eight_round_ways_is_refused_as_ambiguous() {
    assert_eq!(
        Family::parse("8-pin DIN").unwrap_err().to_string(),
        "`8-pin DIN` can mean `mini-DIN 8`, `DIN 8/262` or `DIN 8/270`; a skirt of 9.5 mm is `mini-DIN 8`, \
         contact 6 in the middle is `DIN 8/262`, contact 8 in the middle is `DIN 8/270`"
    );
}

#[test]
fn a_name_that_nobody_uses_is_refused_with_all_names() {
    assert_eq!(
        Family::parse("XLR").unwrap_err().to_string(),
        "`XLR` is no connector; write `DE-9`, `DA-15`, `DE-15 high density`, `DB-25`, `mini-DIN 8`, \
         `DIN 5/180`, `DIN 8/262`, `DIN 8/270`, `edge 28x2` or `terminals N`"
    );
}

#[test]
fn a_strip_has_from_2_to_40_terminals() {
    for text in ["terminals", "terminals 1", "terminals 41", "terminals 300", "terminals many"] {
        assert_eq!(
            Family::parse(text).unwrap_err().to_string(),
            format!("`{text}` is no strip of terminals; write `terminals N` with N from 2 to 40")
        );
    }
}

#[test]
fn no_misnomer_is_the_standards_name() {
    for family in families() {
        for misnomer in family.sellers_call_it() {
            assert!(Family::parse(misnomer.name).is_err(), "{}", misnomer.name);
        }
    }
}

#[test]
fn contacts_are_listed_once_in_rising_order() {
    for family in families() {
        let ids: Vec<ContactId> = family.contact_ids().collect();
        assert!(ids.is_sorted_by(|a, b| a < b), "{family}");
        assert!(ids.iter().all(|id| family.has(*id)));
        assert_eq!(ids.len(), family.contacts() + usize::from(family.has_shell()));
        assert_eq!(family.has(ContactId::Shell), family.has_shell());
        assert!(!family.has(ContactId::Number(0)));
    }
}

#[test]
fn contacts_are_numbered_from_one_without_a_gap_but_for_the_key() {
    let counts = families().into_iter().map(|family| (family.to_string(), family.contacts()));
    assert_eq!(
        counts.collect::<Vec<_>>(),
        [
            ("DE-9".to_owned(), 9),
            ("DA-15".to_owned(), 15),
            ("DE-15 high density".to_owned(), 15),
            ("DB-25".to_owned(), 25),
            ("mini-DIN 8".to_owned(), 8),
            ("DIN 5/180".to_owned(), 5),
            ("DIN 8/262".to_owned(), 8),
            ("DIN 8/270".to_owned(), 8),
            ("edge 28x2".to_owned(), 54),
            ("terminals 2".to_owned(), 2),
            ("terminals 16".to_owned(), 16),
            ("terminals 40".to_owned(), 40),
        ]
    );
    for family in families().into_iter().filter(|family| *family != Family::Edge28x2) {
        let numbers = (1..=u8::try_from(family.contacts()).unwrap()).map(ContactId::Number);
        assert!(numbers.eq(family.contact_ids().filter(|id| *id != ContactId::Shell)), "{family}");
    }
}

// *JAMMA pinout information*, www.swallowam.co.uk/jamma.php: 7 and H hold the key, 28 lies over f.
#[test]
fn the_edge_is_read_as_its_pin_table() {
    let read: Vec<String> = Family::Edge28x2.contact_ids().map(|id| id.to_string()).collect();
    assert_eq!(read[..8].join(" "), "1 2 3 4 5 6 8 9");
    assert_eq!(read[27..].join(" "), "A B C D E F J K L M N P R S T U V W X Y Z a b c d e f");
}

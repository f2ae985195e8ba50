//! Small matrices of keys, with diodes and without, read row by row.

use std::fmt::Write as _;

use proptest::prelude::*;
use solderside_lead::Assembly;

use super::{agree, both, lead};
use crate::code::Code;
use crate::finding::Verdict;

/// Two rows on 1 and 2, three columns on 3, 4 and 5; two loose buttons on 6 and 7, their common on 8.
fn pad(diodes: &[bool], rollover: bool) -> String {
    let mut text =
        "format = 1\nkind = \"controller\"\nconnector = \"DA-15 plug\"\nswitch = \"carbon-dome\"\n\
                    fire_order = [\"a\", \"b\"]\n"
            .to_owned();
    if rollover {
        text += "two_key_rollover = [\"key-1\", \"key-2\", \"key-3\", \"key-4\", \"key-5\", \"key-6\"]\n";
    }
    for (contact, name) in [(1, "row-1"), (2, "row-2"), (3, "left"), (4, "middle"), (5, "right")] {
        let _ = write!(text, "[contact.{contact}]\nrole = \"wired\"\ncalled = \"{name}\"\n");
    }
    text += "[contact.6]\ncontrol = \"a\"\n[contact.7]\ncontrol = \"b\"\n[contact.8]\nrole = \"common\"\n[inside]\n";
    let crossing = |at: usize| (at % 3 + 3, at / 3 + 1);
    let with_diode = || diodes.iter().enumerate().filter(|(_, has)| **has).map(|(at, _)| at);
    let joins = with_diode().map(|at| format!("\"d{}.cathode - {}\"", at + 1, crossing(at).1));
    let joins: Vec<String> = joins.collect();
    let _ = write!(text, "joins = [{}]\n[inside.switches]\n", joins.join(", "));
    for (at, has_diode) in diodes.iter().enumerate() {
        let (column, row) = crossing(at);
        let to = if *has_diode { format!("d{}.anode", at + 1) } else { row.to_string() };
        let _ = writeln!(text, "key-{} = \"{column} - {to}\"", at + 1);
    }
    for at in with_diode() {
        let _ = write!(text, "[part.d{}]\ndiode = \"1N4148\"\n", at + 1);
    }
    text
}

/// The port that reads it; rows that are not read are driven high, or let go.
fn rows(family: &str, pull_up: [u32; 3], lets_go: bool) -> String {
    let mut text = format!(
        "format = 1\nkind = \"port\"\nconnector = \"DA-15 socket\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         fire_order = [\"fire\", \"second-fire\"]\n[input.line]\nfamily = \"{family}\"\npull_up_ohms = {pull_up:?}\n"
    );
    for row in 1..=2 {
        let _ = write!(text, "[contact.{row}]\nrole = \"drive\"\nfamily = \"hc\"\n");
    }
    for column in 3..=5 {
        let _ = write!(text, "[contact.{column}]\nrole = \"data\"\n");
    }
    text += "[contact.6]\naction = \"fire\"\n[contact.7]\naction = \"second-fire\"\n[contact.8]\nrole = \"return\"\n";
    for (row, other, first) in [(1, 2, 1), (2, 1, 4)] {
        let high = if lets_go { String::new() } else { format!(", {other} = \"high\"") };
        let reads: Vec<String> = (0..3).map(|at| format!("{} = \"key-{}\"", at + 3, first + at)).collect();
        let _ = write!(
            text,
            "[[step]]\nname = \"row-{row}\"\ndrive = {{ {row} = \"low\"{high} }}\nreads = {{ {} }}\n",
            reads.join(", ")
        );
    }
    text
}

fn keypad(diodes: &[bool], rollover: bool, port: &str) -> Assembly {
    let joins: Vec<String> = (1..=8).map(|at| format!("{at}-{at}")).collect();
    let shelf = [("pad", pad(diodes, rollover)), ("rows", port.to_owned())];
    let shelf = shelf.each_ref().map(|(name, text)| (*name, text.as_str()));
    lead(&shelf, ["pad", "rows"], joins.iter().map(String::as_str), "")
}

fn keypads() -> impl Strategy<Value = Assembly> {
    let diodes = prop_oneof![
        2 => Just(vec![true; 6]),
        1 => Just(vec![false; 6]),
        2 => proptest::collection::vec(proptest::bool::weighted(0.7), 6),
    ];
    let family = prop_oneof![Just("hc"), Just("nmos-port")];
    let pull_up = prop_oneof![Just([4700, 10_000, 22_000]), Just([1000, 1000, 100_000])];
    (diodes, family, pull_up, any::<bool>(), any::<bool>()).prop_map(
        |(diodes, family, pull_up, lets_go, rollover)| {
            keypad(&diodes, rollover, &rows(family, pull_up, lets_go))
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 20, ..ProptestConfig::default() })]

    #[test]
    fn a_proof_of_a_small_matrix_is_that_of_all_its_states(assembly in keypads()) {
        agree(&assembly)?;
    }
}

#[test]
fn a_matrix_with_a_diode_at_each_key_works_however_many_are_held() {
    for proof in both(&keypad(&[true; 6], false, &rows("hc", [10_000, 10_000, 22_000], false))) {
        assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
        assert_eq!(proof.truth.len(), 1 << 8);
        assert!(proof.truth.iter().all(|row| row.reads.len() == row.pressed.len()));
    }
}

#[test]
fn a_keypad_without_diodes_reads_a_fourth_key_when_three_corners_of_a_square_are_held() {
    for proof in both(&keypad(&[false; 6], false, &rows("hc", [10_000, 10_000, 22_000], true))) {
        assert_eq!(proof.verdict, Verdict::Fails);
        let ghosts = proof.findings.iter().filter(|finding| finding.code == Code::ReadGhost);
        for ghost in ghosts.clone() {
            assert!(ghost.state.as_ref().is_some_and(|held| held.len() >= 3), "{}", ghost.text);
        }
        assert_eq!(ghosts.count(), 6, "each key is the fourth corner of a square");
    }
}

#[test]
fn with_two_key_rollover_it_works_and_says_what_a_third_key_does() {
    for proof in both(&keypad(&[false; 6], true, &rows("hc", [10_000, 10_000, 22_000], true))) {
        assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
        let noted: Vec<_> = proof.findings.iter().filter(|one| one.code == Code::ReadRollover).collect();
        let [note] = noted.as_slice() else { panic!("{:#?}", proof.findings) };
        let held: Vec<String> = note.state.iter().flatten().map(ToString::to_string).collect();
        assert_eq!(held, ["key-1", "key-2", "key-4"]);
        assert!(note.text.contains("`key-5` reads as well: port.4 – "), "{}", note.text);
        assert!(note.text.ends_with("port.2"), "{}", note.text);
        // No key, one or two of six, each with both buttons free.
        assert_eq!(proof.truth.len(), (1 + 6 + 15) * 4);
        assert!(proof.truth.iter().all(|row| row.reads.len() == row.pressed.len()));
    }
}

#[test]
fn a_rollover_that_is_claimed_of_a_matrix_with_diodes_is_said_to_be_too_careful() {
    let assembly = keypad(&[true; 6], true, &rows("hc", [10_000, 10_000, 22_000], false));
    let [proof, _] = both(&assembly);
    let note = proof.findings.iter().find(|one| one.code == Code::ReadRollover).expect("a note");
    assert!(note.text.ends_with("no three of them bring a fourth"), "{}", note.text);
}

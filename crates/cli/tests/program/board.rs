//! The boards of leads on the terminal, as JSON and as pictures.

use serde_json::json;

use crate::bench::Bench;

const BITTERN: &str = include_str!("../../../../demo/leads/heron-stick-to-bittern.toml");

#[test]
fn every_wire_of_a_board_is_told_by_its_holes_and_the_picture_prints_at_its_true_size() {
    let bench = Bench::demo();
    bench.put("leads/heron-stick-to-bittern.toml", BITTERN);
    let text = bench.run("board heron-stick-to-bittern --drawing board.svg").sound();
    assert!(text.contains("Board at the end `port`") && text.contains("written: board.svg"), "{text}");
    let picture = bench.read("board.svg");
    assert!(picture.starts_with("<svg") && picture.contains("mm\""));
    let answer = bench.json("board heron-stick-to-bittern").1;
    let board = &answer["boards"][0];
    assert_eq!((&board["end"], &answer["written"]), (&json!("port"), &json!(null)));
    // Two of the lead's joins pass the board by.
    assert_eq!(board["wires"].as_array().map(Vec::len), Some(31));
    assert_eq!(board["parts"].as_array().map(Vec::len), Some(8));
}

#[test]
fn a_lead_of_wire_alone_has_no_board_and_is_told_so() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("board heron-stick plover").wrong(), @"
    error: `heron-stick-to-plover` has no board: nothing in it has more than two legs
      = help: `solderside guide heron-stick-to-plover` tells how it is built without one
    ");
}

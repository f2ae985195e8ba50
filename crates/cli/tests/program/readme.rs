//! What the README shows is what the program does.

use crate::bench::Bench;

const README: &str = include_str!("../../../../README.md");
const PICTURE: &str = include_str!("../../../../docs/pictures/heron-stick-to-plover.svg");

/// To make the picture again: `cargo run --release -- --shelf demo guide heron-stick plover --force
/// --drawing docs/pictures/heron-stick-to-plover.svg`.
#[test]
fn its_picture_is_the_drawing_as_it_is_now() {
    let bench = Bench::demo();
    let _ = bench.run("guide heron-stick plover --drawing drawing.svg").sound();
    assert!(
        bench.read("drawing.svg") == PICTURE,
        "the drawing has changed: look at it, and make the picture again"
    );
}

#[test]
fn its_first_command_leaves_a_guide_for_the_demo_lead() {
    let (_, command) =
        README.split_once("cargo run --release -- --shelf demo ").expect("the command stands there");
    let command = command.lines().next().expect("it ends");
    let bench = Bench::demo();
    let _ = bench.run(command).sound();
    let guide = bench.read("heron-stick-to-plover-guide.html");
    assert!(README.contains("heron-stick-to-plover-guide.html"));
    assert!(guide.contains("<svg") && guide.contains("Meter tests"));
}

#[test]
fn the_conversation_in_it_is_the_programs_own() {
    let (_, shown) =
        README.split_once("    $ solderside --shelf demo ").expect("the conversation stands there");
    let (command, answer) = shown.split_once('\n').expect("an answer follows");
    let answer: Vec<&str> = answer
        .lines()
        .map_while(|line| if line.is_empty() { Some("") } else { line.strip_prefix("    ") })
        .collect();
    let told = Bench::demo().run(command).found();
    assert!(told.starts_with(answer.join("\n").trim_end()), "{told}");
}

#[test]
fn its_machine_of_two_lines_works() {
    let (_, file) = README.split_once("`my-machine.toml`:\n\n").expect("the file stands there");
    let file: Vec<&str> = file.lines().take_while(|line| !line.is_empty()).map(str::trim).collect();
    assert_eq!(file.len(), 2);
    let bench = Bench::empty();
    bench.put("my-machine.toml", file.join("\n"));
    let _ = bench.run("design fifteen-pin-stick my-machine").sound();
}

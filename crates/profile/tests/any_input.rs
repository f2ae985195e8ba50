//! No text, however broken, makes the reader panic or fall silent.

use proptest::prelude::*;
use solderside_profile::{Failure, LONGEST_FILE, Library, SourceFile, render};

/// Asks for a file as every kind and renders what is wrong with it.
fn ask(path: &str, bytes: &[u8]) {
    let file = match SourceFile::from_bytes(path, bytes) {
        Ok(file) => file,
        Err(complaint) => {
            assert!(!render(&[*complaint]).is_empty());
            return;
        }
    };
    let name = file.name().to_owned();
    let library = Library::with_shelf(vec![file]);
    assert!(!library.entries().is_empty());
    let failures = [
        library.controller(&name).err(),
        library.port(&name).err(),
        library.cable(&name).err(),
        library.drawer(&name).err(),
    ];
    for failure in failures.into_iter().flatten() {
        assert!(!failure.render().is_empty());
        if let Failure::Faulty { complaints, .. } = failure {
            assert!(!complaints.is_empty(), "a file is refused for a reason");
        }
    }
}

fn shipped() -> Vec<String> {
    let library = Library::catalogue();
    let names = library.entries().into_iter().map(|entry| entry.name);
    names.map(|name| library.file(&name).expect("an entry has a file").text().to_owned()).collect()
}

/// A shipped file with lines dropped, doubled and swapped, and with bytes changed.
fn mutated() -> impl Strategy<Value = Vec<u8>> {
    let change = (0_u8..5, any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<u8>());
    (prop::sample::select(shipped()), prop::collection::vec(change, 1..6)).prop_map(|(text, changes)| {
        let mut lines: Vec<Vec<u8>> = text.lines().map(|line| line.as_bytes().to_vec()).collect();
        for (what, line, byte, new) in changes {
            let at = line.index(lines.len());
            let other = byte.index(lines.len());
            match what {
                0 => drop(lines.remove(at)),
                1 => lines.insert(other, lines[at].clone()),
                2 => lines.swap(at, other),
                3 if !lines[at].is_empty() => {
                    let place = byte.index(lines[at].len());
                    lines[at][place] = new;
                }
                _ => {
                    let place = byte.index(lines[at].len() + 1);
                    lines[at].insert(place, new);
                }
            }
            if lines.is_empty() {
                break;
            }
        }
        lines.join(&b'\n')
    })
}

/// Pieces of the format in any order: deeper into the reader than random bytes get.
fn shuffled() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "format = 1",
        "kind = \"port\"",
        "kind = \"controller\"",
        "like = \"nine-pin-one-fire\"",
        "like = \"mine\"",
        "kind = \"cable\"",
        "kind = \"drawer\"",
        "[chips]",
        "74HC157 = 2",
        "[resistors]",
        "10k = -1",
        "4k7 = 3",
        "like = \"ten-core\"",
        "cores = 3",
        "colours = \"din-47100\"",
        "colours = [\"WH\", \"BN\", 3]",
        "pairs = [[1, 2], [2], [3, 99]]",
        "[[moulded]]",
        "cores = { 1 = 1, 2 = 1, shell = 3 }",
        "shell = \"drain\"",
        "connector = \"DE-9 plug\"",
        "switch = \"leaf\"",
        "rail_volts = [5, 5, 5]",
        "rail_volts = 1e400",
        "fire_order = [\"up\", 1]",
        "[contact]",
        "[contact.1]",
        "[contact.shell]",
        "[contact.999]",
        "[[contact]]",
        "[input.line]",
        "[input]",
        "[[step]]",
        "step = [[]]",
        "[logic]",
        "family = \"ttl\"",
        "role = \"supply\"",
        "role = \"drive\"",
        "driven = \"low\"",
        "action = \"up\"",
        "control = \"up\"",
        "volts = [0xff, 0o7, 0b1]",
        "ohms = [nan, -inf, 99999999999999999999]",
        "drive = { 1 = \"low\" }",
        "drive = { 1 = \"toggled\" }",
        "reads = { 1 = \"up\", 9 = \"left\" }",
        "expects = { 1 = \"low\", 5 = \"high\" }",
        "hold_seconds = 14e-6",
        "hold_seconds = [0, 1, 2]",
        "like = \"nine-pin-select\"",
        "like = \"fifteen-pin-game\"",
        "like = \"nine-pin-register-pad-16-bit\"",
        "role = \"data\"",
        "role = \"axis\"",
        "role = \"wired\"",
        "called = \"select\"",
        "axis = \"x\"",
        "series_ohms = [1, 2, 3]",
        "threshold_share = [0, 0.5, 1]",
        "[inside]",
        "[inside.switches]",
        "joins = [\"u1.1 - 8\", \"u9.300 - é.1\", \"1 - 1\"]",
        "a = \"u1.1 - 8\"",
        "a = \"8 - 8\"",
        "[part.u1]",
        "[part.q1]",
        "chip = \"CD4021\"",
        "sample = []",
        "name = \"read\"",
        "a.b.c = { d = [ { e = 1 } ] }",
        "\"\" = ''",
        "title = \"\"\"\n\"\"\"",
        "x = 1979-05-27",
        "contact.1.role = \"return\"",
        "\t",
        "\u{feff}",
        "=",
        "[",
        "\"",
    ]);
    prop::collection::vec(piece, 0..16).prop_map(|pieces| pieces.join("\n"))
}

proptest! {
    #[test]
    fn random_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        ask("mine.toml", &bytes);
    }

    #[test]
    fn damaged_files_of_the_catalogue_are_answered(bytes in mutated()) {
        ask("mine.toml", &bytes);
    }

    #[test]
    fn pieces_of_the_format_in_any_order_are_answered(text in shuffled()) {
        ask("mine.toml", text.as_bytes());
    }

    #[test]
    fn any_file_name_is_answered(path in ".{0,30}") {
        ask(&path, b"like = \"nine-pin-one-fire\"");
    }
}

#[test]
fn deep_nesting_does_not_exhaust_the_stack() {
    for (open, close) in [("[", "]"), ("{a=", "}")] {
        let depth = 100_000;
        let text = format!("title = {}1{}", open.repeat(depth), close.repeat(depth));
        ask("mine.toml", text.as_bytes());
    }
    ask("mine.toml", format!("{}b = 1", "a.".repeat(300_000)).as_bytes());
    ask("mine.toml", format!("[{}b]", "a.".repeat(300_000)).as_bytes());
}

#[test]
fn a_mebibyte_of_mistakes_is_answered() {
    ask("mine.toml", &[b'[', b']'].repeat(1 << 19));
    ask("mine.toml", "=\n".repeat(1 << 16).as_bytes());
    let keys: Vec<String> = (0..60_000).map(|key| format!("key{key} = 1")).collect();
    ask("mine.toml", keys.join("\n").as_bytes());
    ask("mine.toml", format!("contact = {{ {} }}", keys.join(", ")).as_bytes());
    ask(
        "mine.toml",
        format!("title = '{}'\nconnector = '{}'", "x".repeat(400_000), "y".repeat(400_000)).as_bytes(),
    );
}

#[test]
fn a_mebibyte_of_joins_and_steps_is_answered() {
    // All in one net, each under the one before it.
    let star: Vec<String> =
        (0..60_000).map(|n| format!("'u1.1 - u{}.{}'", n / 255 + 1, n % 255 + 1)).collect();
    let file = format!("kind = 'controller'\n[inside]\njoins = [{}]", star.join(","));
    assert!(file.len() < LONGEST_FILE);
    ask("mine.toml", file.as_bytes());
    let steps = "{drive={9='toggled'},reads={9='Z',8='a'},expects={7='low'}},".repeat(17_000);
    let file = format!("kind = 'port'\nstep = [{steps}]");
    assert!(file.len() < LONGEST_FILE);
    ask("mine.toml", file.as_bytes());
}

//! The atlas of the catalogue, every pair designed and proved, and single pairs.
//!
//! `cargo bench -p solderside-design --bench atlas` times the pairs, with `-- --ignored` the whole atlas.
//! `tests/atlas.rs` holds squares against each pair alone.

use divan::{Bencher, black_box};
use solderside_design::{Pads, Square, Wishes, atlas, design};
use solderside_profile::{Controller, Kind, Library, Port};

fn main() {
    divan::main();
}

/// All controllers of the catalogue, and all its ports at which a lead belongs.
fn sides() -> (Vec<Controller>, Vec<Port>) {
    let library = Library::with_shelf(Vec::new());
    let (mut controllers, mut ports) = (Vec::new(), Vec::new());
    for entry in library.entries() {
        match entry.kind {
            Some(Kind::Controller) => controllers.push(library.controller(&entry.name).expect("it ships")),
            Some(Kind::Port) => ports.push(library.port(&entry.name).expect("it ships")),
            Some(Kind::Cable | Kind::Drawer | Kind::Lead | Kind::BuzzRun) | None => {}
        }
    }
    ports.retain(|port| port.hazard.is_none());
    (controllers, ports)
}

#[divan::bench(ignore, sample_count = 1, sample_size = 1)]
fn the_atlas_of_the_catalogue_in_two_threads(bencher: Bencher<'_, '_>) {
    let (controllers, ports) = sides();
    let pads = Pads::of(&Library::catalogue());
    bencher.bench_local(|| {
        atlas(black_box(&controllers), &ports, &pads, 2, &|_, _| ()).expect("a circuit").len()
    });
}

/// A pad with chips of its own behind a multiplexer, a lead of wire, and two registers on a script of sixteen steps.
const PAIRS: [[&str; 2]; 3] = [
    ["fifteen-pin-pad-with-logic", "nine-pin-select"],
    ["fifteen-pin-stick", "nine-pin-one-fire"],
    ["fifteen-pin-stick", "nine-pin-register-16-bit"],
];

#[divan::bench(args = 0..PAIRS.len(), sample_count = 3, sample_size = 1)]
fn a_pair(bencher: Bencher<'_, '_>, at: usize) {
    bench_design(bencher, PAIRS[at]);
}

fn bench_design(bencher: Bencher<'_, '_>, [controller, port]: [&str; 2]) {
    let library = Library::with_shelf(Vec::new());
    let controller = library.controller(controller).expect("it ships");
    let port = library.port(port).expect("it ships");
    bencher.bench_local(|| {
        design(black_box(&controller), black_box(&port), &Wishes::default()).expect("a circuit").refused.len()
    });
}

/// Pairs that take longest: twelve buttons behind chips on lines that the machine scans, pads whose worn carbon meets
/// clamps and registers, and sixteen buttons into a pad that counts.
const HEAVIEST: [[&str; 2]; 5] = [
    ["nine-pin-select-pad-six-buttons", "nine-pin-scanned-return-supply-on-5"],
    ["nine-pin-select-pad-six-buttons", "nine-pin-register-16-bit"],
    ["fifteen-pin-pad-with-logic", "fifteen-pin-analogue-with-keypad"],
    ["fifteen-pin-matrix-pad", "fifteen-pin-matrix"],
    ["loose-arcade-panel", "nine-pin-select-six-buttons"],
];

#[divan::bench(args = 0..HEAVIEST.len(), sample_count = 3, sample_size = 1)]
fn a_heavy_pair_with_all_that_is_told(bencher: Bencher<'_, '_>, at: usize) {
    bench_design(bencher, HEAVIEST[at]);
}

#[divan::bench(args = 0..HEAVIEST.len(), sample_count = 3, sample_size = 1)]
fn a_square_of_the_atlas(bencher: Bencher<'_, '_>, at: usize) {
    let library = Library::with_shelf(Vec::new());
    let [controller, port] = HEAVIEST[at];
    let controller = library.controller(controller).expect("it ships");
    let port = library.port(port).expect("it ships");
    let pads = Pads::of(&library).for_port(&port);
    bencher.bench_local(|| {
        Square::of(black_box(&controller), black_box(&port), black_box(&pads))
            .expect("a circuit")
            .reasons
            .len()
    });
}

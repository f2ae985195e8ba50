//! Prints the covering problems of fifty leads drawn by chance, for the solvers of `reference/meter`.
//!
//! `cargo run --release -p solderside-meter --example coverings`

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a program for those who make the record again"
)]

#[path = "../tests/lead/drawn.rs"]
mod drawn;

fn main() {
    for (number, assembly) in drawn::leads().enumerate() {
        let problem = drawn::problem(&assembly);
        print!("lead {number} {:016x}\n{problem}", drawn::digest(&problem));
    }
}

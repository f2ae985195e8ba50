//! Writes the JSON Schemas of answers and of leads:
//! `cargo run -p solderside-cli --example schemas -- docs/schema`.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a tool for the keepers of this repository"
)]

use std::path::PathBuf;

use solderside_cli::schemas;

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "docs/schema".to_owned()));
    for (name, schema) in schemas() {
        let path = folder.join(format!("{name}.json"));
        std::fs::write(&path, schema)?;
        println!("{}", path.display());
    }
    Ok(())
}

//! Writes the JSON Schemas of profiles: `cargo run -p solderside-profile --example schemas -- docs/schema`.

#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a tool for the keepers of this repository"
)]

use std::path::PathBuf;

use solderside_profile::{Kind, schema};

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "docs/schema".to_owned()));
    for kind in [Kind::Controller, Kind::Port, Kind::Cable, Kind::Drawer] {
        let path = folder.join(format!("{kind}.json"));
        std::fs::write(&path, format!("{:#}\n", schema(kind).expect("profiles have a schema")))?;
        println!("{}", path.display());
    }
    Ok(())
}

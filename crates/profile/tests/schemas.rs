//! The schemas in `docs/schema/` are those of the readers.

#![expect(clippy::disallowed_methods, reason = "the kept files are compared with the code")]

use std::fs;
use std::path::Path;

use solderside_profile::{Kind, schema};

#[test]
fn the_kept_schemas_say_what_the_readers_ask_for() {
    for kind in [Kind::Controller, Kind::Port, Kind::Cable, Kind::Drawer] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../docs/schema/{kind}.json"));
        let kept = fs::read_to_string(&path).unwrap_or_default();
        let current = format!("{:#}\n", schema(kind).unwrap());
        assert!(
            kept == current,
            "docs/schema/{kind}.json is stale: \
             cargo run -p solderside-profile --example schemas -- docs/schema"
        );
    }
}

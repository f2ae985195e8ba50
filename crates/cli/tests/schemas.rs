//! The schemas in `docs/schema/` are those of the answers.

#![expect(clippy::disallowed_methods, reason = "the kept files are compared with the code")]

use std::fs;
use std::path::Path;

use solderside_cli::schemas;

#[test]
fn the_kept_schemas_describe_the_answers() {
    for (name, current) in schemas() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../docs/schema/{name}.json"));
        let kept = fs::read_to_string(&path).unwrap_or_default();
        assert!(
            kept == current,
            "docs/schema/{name}.json is stale: cargo run -p solderside-cli --example schemas -- docs/schema"
        );
    }
}

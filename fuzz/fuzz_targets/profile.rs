//! A file on a shelf, read as every kind of profile.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_profile::{Failure, Library, SourceFile};

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = SourceFile::from_bytes("shelf/fuzzed.toml", bytes) else { return };
    let library = Library::with_shelf(vec![file]);
    let failures = [
        library.controller("fuzzed").err(),
        library.port("fuzzed").err(),
        library.cable("fuzzed").err(),
        library.drawer("fuzzed").err(),
    ];
    for failure in failures.into_iter().flatten() {
        let _ = failure.render();
        if let Failure::Faulty { complaints, .. } = failure {
            assert!(!complaints.is_empty(), "a faulty file says why");
            for complaint in complaints {
                assert!(complaint.place.line() >= 1 && complaint.place.column() >= 1);
            }
        }
    }
});

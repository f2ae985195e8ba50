//! The file of a meter test's run.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_meter::{read_run, write_run};
use solderside_profile::SourceFile;

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = SourceFile::from_bytes("fuzzed.toml", bytes) else { return };
    match read_run(&file, None) {
        Ok(run) => {
            let again = SourceFile::new("fuzzed.toml", write_run(&run));
            assert_eq!(read_run(&again, None).expect("what was written is read"), run);
        }
        Err(failure) => _ = failure.render(),
    }
});

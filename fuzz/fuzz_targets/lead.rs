//! A lead's file over the catalogue.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_lead::{read_lead, write_lead};
use solderside_profile::{Library, SourceFile};

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = SourceFile::from_bytes("fuzzed.toml", bytes) else { return };
    let library = Library::catalogue();
    let Ok(assembly) = read_lead(&file, &library) else { return };
    let again = SourceFile::new("fuzzed.toml", write_lead(&assembly));
    let read = read_lead(&again, &library).expect("what was written is read");
    assert_eq!(read.lead, assembly.lead);
});

//! What is typed at the bench, and the file of a survey's run.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_meter::TypedReading;
use solderside_meter::survey::{parse_line, read_run, take_up, write_run};
use solderside_profile::SourceFile;

fuzz_target!(|bytes: &[u8]| {
    let Ok(file) = SourceFile::from_bytes("fuzzed.survey", bytes) else { return };
    if let Ok(reading) = TypedReading::parse(file.text()) {
        assert_eq!(TypedReading::parse(&reading.to_string()), Ok(reading));
    }
    let Ok((head, readings)) = read_run(&file) else { return };
    let Ok(survey) = take_up(&head, None, readings) else { return };
    if let Some(asked) = survey.next() {
        _ = parse_line(&head.unknown, &asked, file.text());
    }
    let again = SourceFile::new("fuzzed.survey", write_run(&head, &survey));
    let (read, readings) = read_run(&again).expect("what was written is read");
    assert_eq!(read, head);
    assert_eq!(readings.len(), survey.readings().len());
});

//! A run's file: written and read back, and any text at all.

use proptest::prelude::*;
use solderside_meter::TypedReading;
use solderside_meter::survey::{Survey, SurveyHead, SurveyReading, read_run, take_up, write_run};
use solderside_profile::SourceFile;
use solderside_trade::Conductor;

use crate::hidden::{Hidden, bare, core, number};

/// A run in its middle, with every key.
fn run() -> (SurveyHead, Survey) {
    let head = SurveyHead {
        cable: "drawer".to_owned(),
        unknown: bare("DE-9 socket", 9, true),
        like: Some("nine-core-moulded-socket".to_owned()),
        conductor: Conductor::parse("0.14 mm2").ok(),
        length_mm: Some(1500),
    };
    let mut hidden = Hidden::new(&head.unknown);
    (1..=9).for_each(|n| hidden.join_through(number(n), core(n)));
    let mut survey = Survey::new(head.unknown.clone(), None);
    while let Some(touch) = survey.next().filter(|_| survey.readings().len() < 12) {
        survey.take(SurveyReading::new(touch.clone(), hidden.answer(&touch)).unwrap());
    }
    let touch = survey.next().unwrap();
    survey.take(SurveyReading::new(touch, TypedReading::parse("1.2k").unwrap()).unwrap());
    (head, survey)
}

#[test]
fn what_was_written_is_read_back() {
    let (head, survey) = run();
    let file = SourceFile::new("drawer.survey", write_run(&head, &survey));
    let (read, readings) = read_run(&file).unwrap();
    assert_eq!(read, head);
    assert_eq!(take_up(&read, None, readings).unwrap(), survey);
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in ".{0,200}") {
        let _ = read_run(&SourceFile::new("a.survey", text));
    }

    #[test]
    fn no_slip_in_a_file_makes_the_reader_panic(at in 0_usize..1000, slip in ".{0,4}", gone in 0_usize..40) {
        let (head, survey) = run();
        let text: Vec<char> = write_run(&head, &survey).chars().collect();
        let at = at.min(text.len());
        let rest = text.iter().skip(at + gone);
        let slipped: String = text.iter().take(at).copied().chain(slip.chars()).chain(rest.copied()).collect();
        if let Ok((head, readings)) = read_run(&SourceFile::new("a.survey", slipped)) {
            let _ = take_up(&head, None, readings);
        }
    }
}

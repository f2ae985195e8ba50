//! A run of the meter test: what is asked next, what an answer comes to, and the file that keeps it.

use proptest::prelude::*;
use solderside_lead::{Assembly, Leg, PartId};
use solderside_meter::{
    Bench, Case, Controls, Course, Deed, Expected, Given, Judged, Outcome, Part, Plan, Powered,
    PoweredSupply, Question, Range, Setting, Weights, read_run, write_run,
};
use solderside_profile::SourceFile;
use solderside_proof::prove;
use solderside_quantity::Volts;
use solderside_trade::ContactId;

use crate::shelf;

/// A test of a lead, for those who ask.
struct Test<'a> {
    bench: Bench<'a>,
    plan: Plan,
    controls: Controls,
    powered: Powered,
}

impl<'a> Test<'a> {
    fn of(assembly: &'a Assembly) -> Self {
        let bench = Bench::new(assembly);
        let proof = prove(assembly).unwrap();
        Self {
            plan: Plan::of(&bench),
            controls: Controls::of(&bench),
            powered: Powered::of(assembly, &proof),
            bench,
        }
    }

    fn course(&'a self) -> Course<'a> {
        Course::new(&self.bench, &self.plan, &self.controls, &self.powered)
    }
}

fn given(text: &str) -> Given {
    Given::parse(text).unwrap()
}

/// A figure that a good lead may give.
fn good(course: &Course<'_>, at: usize) -> Given {
    let step = &course.steps()[at];
    let Question::Reading(probed) = &step.question else { return Given::Done };
    given(&match step.expected {
        Expected::Shown(span) if span.is_open() => "open".to_owned(),
        Expected::Shown(span) if probed.setting == Setting::Diode => format!("{} V", span.low()),
        Expected::Shown(span) => span.low().to_string(),
        Expected::Between(low, _) => format!("{} V", low.get()),
        Expected::Above(low) => format!("{} V", low.get() + 1.0),
        Expected::Below(_) => "0 V".to_owned(),
        Expected::AsBefore(_) => {
            let before = (0..at).rev().find(|before| course.steps()[*before].is_reading()).unwrap();
            course.given(before).unwrap().to_string()
        }
        Expected::Done => panic!("a reading is expected"),
    })
}

fn answer_all_good(course: &mut Course<'_>) {
    while let Some(at) = course.next() {
        let answer = good(course, at);
        assert_eq!(course.answer(at, answer), Ok(Judged::Right), "{:?}", course.steps()[at]);
    }
}

#[test]
fn good_leads_of_all_kinds_pass() {
    for assembly in [
        shelf::stick_to_plover(),
        shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
        shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7"),
    ] {
        let test = Test::of(&assembly);
        let mut course = test.course();
        answer_all_good(&mut course);
        assert_eq!(course.outcome(), Outcome::Passed);
    }
}

#[test]
fn a_dangerous_wrong_reading_is_asked_until_it_is_right_and_then_all_is_asked_again() {
    let assembly = shelf::stick_to_plover();
    let test = Test::of(&assembly);
    let mut course = test.course();
    course.answer(0, given("open")).unwrap();
    assert_eq!(course.answer(1, given("0.4")), Ok(Judged::Stop));
    assert_eq!((course.next(), course.outcome()), (Some(1), Outcome::Open));
    // It takes more than a word to be let off.
    assert!(course.answer(1, Given::Right).is_err());
    assert_eq!(course.answer(1, given("open")), Ok(Judged::Right));
    assert_eq!((course.next(), course.answered()), (Some(0), 1));
}

#[test]
fn neither_the_controller_nor_power_comes_before_the_lead_alone_is_right() {
    let assembly = shelf::stick_to_plover();
    let test = Test::of(&assembly);
    let mut course = test.course();
    let joint = (0..course.steps().len())
        .find(|at| matches!(course.steps()[*at].expected, Expected::Shown(span) if !span.is_open()))
        .unwrap();
    while let Some(at) = course.next() {
        assert_eq!(course.steps()[at].part, Part::Lead);
        let answer = if at == joint { given("open") } else { good(&course, at) };
        course.answer(at, answer).unwrap();
    }
    assert_eq!(course.outcome(), Outcome::Wrong(vec![joint]));
    let mut case = Case::new(&test.bench, &Weights::shipped());
    case.take(course.evidence()).unwrap();
    let first = case.explanations().unwrap().remove(0);
    let alone = first.either.iter().filter(|faults| faults.len() == 1).flatten();
    let told: Vec<String> = alone.map(|fault| fault.told(&test.bench)).collect();
    assert_eq!(told.len(), 2, "both of its joints: {told:?}");
    assert!(
        told.iter().all(|told| told.contains("controller.6 - port.4") && told.ends_with("is open")),
        "{told:?}"
    );
    course.begin_anew();
    assert_eq!(course.next(), Some(0));
}

/// What comes of an answer to the first step that expects such a thing, all before it right.
fn answered_at(test: &Test<'_>, is_it: fn(&Expected) -> bool, answer: &str) -> (Judged, Outcome) {
    let mut course = test.course();
    while let Some(at) = course.next() {
        if is_it(&course.steps()[at].expected) {
            let judged = course.answer(at, given(answer)).unwrap();
            return (judged, course.outcome());
        }
        let answer = good(&course, at);
        course.answer(at, answer).unwrap();
    }
    panic!("there is no such step")
}

#[test]
fn a_supply_reads_the_same_without_the_resistor_neither_more_nor_less_nor_the_wrong_way_round() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let test = Test::of(&assembly);
    // With the resistor it read 4.75 V.
    for (answer, judged) in [
        ("4.75 V", Judged::Right),
        ("4.80 V", Judged::Right),
        ("4.70 V", Judged::Right),
        ("4.85 V", Judged::Stop),
        ("4.65 V", Judged::Stop),
        ("0 V", Judged::Stop),
        ("-4.75 V", Judged::StopReversed),
        ("-5 V", Judged::StopReversed),
        ("12 V", Judged::StopTooMuch),
    ] {
        let (own, outcome) = answered_at(&test, |own| matches!(own, Expected::AsBefore(_)), answer);
        assert_eq!(own, judged, "{answer}");
        assert_eq!(matches!(outcome, Outcome::Wrong(_)), judged != Judged::Right, "{answer}: {outcome:?}");
    }
}

#[test]
fn a_supply_of_which_parts_on_the_way_take_is_not_nothing_and_not_the_wrong_way_round() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let mut test = Test::of(&assembly);
    let [red, black] = [1, 8].map(|contact| Leg::controller(ContactId::Number(contact)));
    let volts = assembly.port.supplies()[0].1.volts;
    let supply = PoweredSupply { leg: red, home: Some(black), volts, is_wire: false, needs: None };
    test.powered.supplies = vec![supply];
    for (answer, judged) in [
        ("0.7 V", Judged::Right),
        ("0 V", Judged::Stop),
        ("0.01 V", Judged::Stop),
        ("-3 V", Judged::StopReversed),
    ] {
        let is_it = |own: &Expected| matches!(own, Expected::Between(low, _) if *low <= Volts::ZERO);
        assert_eq!(answered_at(&test, is_it, answer).0, judged, "{answer}");
    }
}

#[test]
fn the_buzzer_and_the_word_right_are_taken_only_where_they_are_safe() {
    let assembly = shelf::stick_to_plover();
    let test = Test::of(&assembly);
    let course = test.course();
    for (at, step) in course.steps().iter().enumerate() {
        let mut course = course.clone();
        assert_eq!(course.answer(at, Given::Right).is_ok(), !step.is_danger && step.is_reading());
        assert_eq!(course.answer(at, given("no beep")).is_ok(), step.buzzer_will_do);
        // A wire is never asked of the buzzer, nor anything with the controller or with power.
        if step.buzzer_will_do {
            assert!(
                matches!(step.expected, Expected::Shown(span) if span.is_open()) && step.part == Part::Lead
            );
        }
    }
}

#[test]
fn the_run_file_reads_as_it_was_written() {
    for assembly in [
        shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7"),
        shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
    ] {
        let test = Test::of(&assembly);
        let mut course = test.course();
        answer_all_good(&mut course);
        let run = course.run();
        let file = SourceFile::new("run.toml", write_run(&run));
        assert_eq!(read_run(&file, Some(&assembly)).unwrap(), run);
        let mut taken_up = test.course();
        taken_up.take_up(&run);
        assert_eq!(taken_up.outcome(), Outcome::Passed);
        assert_eq!(taken_up.strays(), 0);
    }
}

#[test]
fn a_file_says_of_a_deed_that_it_is_done_and_nothing_else() {
    let run = |deed: &str, value: &str| {
        let text = format!(
            "format = 1\nkind = \"buzz-run\"\nlead = \"l\"\nfingerprint = \"f\"\n\n[[reading]]\n{deed}\nvalue = \"{value}\"\n"
        );
        read_run(&SourceFile::new("run.toml", text), None)
    };
    let read = run("deed = \"press-in u2\"", "done").unwrap();
    assert_eq!(read.records[0].question, Question::Deed(Deed::PressIn(PartId::Chip(2))));
    for (deed, value) in [
        ("deed = \"press-in u2\"", "4.9 V"),
        ("deed = \"press-in r2\"", "done"),
        ("deed = \"solder\"", "done"),
        ("deed = \"plug-in\"\nred = \"port.1\"", "done"),
        ("red = \"port.1\"\nblack = \"port.2\"\nrange = \"ohms\"", "done"),
    ] {
        assert!(run(deed, value).is_err(), "{deed} {value}");
    }
}

/// What is asked with power, in short: a deed, or the contact with what lies across and whether its chip is in.
fn with_power(course: &Course<'_>) -> Vec<String> {
    let own = course.steps().iter().filter(|step| step.part == Part::Power);
    let told = own.map(|step| match &step.question {
        Question::Deed(deed) => deed.to_string(),
        Question::Reading(probed) => {
            let across = if probed.across { " across 1 kΩ" } else { "" };
            let chip_in = if probed.chip_in { " chip in" } else { "" };
            format!("{}{across}{chip_in}", probed.red)
        }
    });
    told.collect()
}

#[test]
fn the_lead_goes_into_the_machine_and_each_chip_into_its_socket_before_anything_farther_is_read() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let test = Test::of(&assembly);
    let mut course = test.course();
    let order = with_power(&course);
    assert_eq!(
        order[..5],
        ["plug-in", "u1.16 across 1 kΩ", "u1.16", "press-in u1", "u1.16 chip in"].map(str::to_owned)
    );
    assert!(order[5..].iter().all(|other| other.starts_with("controller.")), "{order:?}");
    // No reading and no word but one stands for what a hand has to do.
    while let Some(at) = course.next() {
        if course.steps()[at].is_reading() {
            assert!(course.answer(at, Given::Done).is_err());
        } else {
            for other in ["right", "4.9 V", "open", "beep"] {
                assert!(course.answer(at, given(other)).is_err(), "{other}");
            }
            assert_eq!((course.next(), course.outcome()), (Some(at), Outcome::Open));
        }
        let answer = good(&course, at);
        course.answer(at, answer).unwrap();
    }
    assert_eq!(course.outcome(), Outcome::Passed);
    let power = |lead: &Assembly| with_power(&Test::of(lead).course());
    // Of a lead without chips only the lead goes in.
    assert_eq!(power(&shelf::stick_to_plover()).iter().filter(|own| !own.contains('.')).count(), 1);
}

#[test]
fn a_run_from_before_deeds_were_asked_asks_them_before_it_passes() {
    let assembly = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let test = Test::of(&assembly);
    let mut course = test.course();
    answer_all_good(&mut course);
    let mut run = course.run();
    run.records.retain(|record| record.question.probed().is_some_and(|probed| !probed.chip_in));
    course.take_up(&run);
    assert_eq!((course.outcome(), course.strays()), (Outcome::Open, 0));
    let next = course.next().map(|at| course.steps()[at].question.clone());
    assert_eq!(next, Some(Question::Deed(Deed::PlugIn)));
}

#[test]
fn a_switch_is_read_held_and_let_go_at_the_same_two_contacts() {
    let assembly = shelf::stick_to_plover();
    let bench = Bench::new(&assembly);
    let controls = Controls::of(&bench);
    let names: Vec<&str> = controls.steps.iter().map(|step| step.control.as_str()).collect();
    assert_eq!(names, ["up", "down", "left", "right", "a", "b"]);
    for step in &controls.steps {
        assert!(!step.held.meets(step.released), "{}", step.control);
        assert_eq!(bench.reads(&[], &step.holding()), Some(step.held));
        assert_eq!(bench.reads(&[], &step.measurement), Some(step.released));
    }
}

#[test]
fn a_switch_behind_a_diode_is_read_on_the_diode_range_with_red_at_its_anode() {
    let text = "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"plover\"\n\
                joins = [\"d1.anode - port.1\", \"controller.15 - d1.cathode\", \"controller.1 - port.9\"]\n\
                [part.d1]\ndiode = \"1N4148\"\nsits_in = \"port\"\n";
    let assembly = shelf::from_text(text, &["heron-stick", "plover"]);
    let controls = Controls::of(&Bench::new(&assembly));
    let [up] = controls.steps.as_slice() else { panic!("one switch is carried: {controls:?}") };
    assert_eq!(up.measurement.range, Range::Diode);
    assert_eq!([up.measurement.red, up.measurement.black].map(|leg| leg.to_string()), ["port.1", "port.9"]);
    assert!(up.released.is_open() && up.held.high() < 1.0, "{up:?}");
}

#[test]
fn no_meter_is_put_to_a_pad_with_chips() {
    let assembly = shelf::lead("heron-pad", "curlew", "15-1 7-2 14-3 6-4 13-6 1-8 8-7");
    assert_eq!(Controls::of(&Bench::new(&assembly)).steps, []);
}

proptest! {
    #[test]
    fn answers_in_any_order_never_panic_and_are_kept(
        answers in proptest::collection::vec((0_usize..80, 0_usize..8), 0..40),
    ) {
        let assembly = shelf::stick_to_plover();
        let test = Test::of(&assembly);
        let mut course = test.course();
        let words = ["open", "0.4", "1.2k", "4.9 V", "-12 V", "beep", "done", "right"];
        for (at, word) in answers {
            let taken = course.answer(at, given(words[word]));
            if taken.is_err() {
                _ = course.back();
            }
            let mut again = test.course();
            again.take_up(&course.run());
            prop_assert_eq!(again.outcome(), course.outcome());
            _ = course.evidence();
        }
    }
}

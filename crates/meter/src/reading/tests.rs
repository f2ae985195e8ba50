//! The arithmetic of readings against what manuals print of it.

use super::*;

fn near(span: Span, [low, high]: [f64; 2]) {
    let is_near = |one: f64, other: f64| one.total_cmp(&other).is_eq() || (one - other).abs() < 1e-9;
    assert!(is_near(span.low, low) && is_near(span.high, high), "{span:?} is not {low} to {high}");
}

#[test]
fn a_hundred_shown_by_one_per_cent_and_two_digits_is_98_8_to_101_2() {
    // The worked example of a handheld meter manual: ±(1 % + 2) at 100.0.
    let accuracy = Accuracy { share: 0.01, digits: 0.2 };
    near(accuracy.around(Span::new(100.0, 100.0)), [98.8, 101.2]);
}

#[test]
fn the_ohms_range_is_off_by_its_manual_and_by_the_probes() {
    // ±(0.8 % + 2 digits of 0.1 Ω): 1 Ω at 100 Ω; and the probes' 0.2 Ω.
    near(OHMS_ACCURACY.around(Span::new(100.0, 100.0)), [99.0, 101.0]);
    near(Span::new(100.0, 100.0).shown(Range::Ohms), [98.8, 101.2]);
    // 200 kΩ, the end of its best ranges: 1.6 kΩ either way.
    near(Span::new(200e3, 200e3).shown(Range::Ohms), [198_399.6, 201_600.4]);
    // No reading is below nought, and a nought may show 0.4 Ω.
    near(Span::new(0.0, 0.0).shown(Range::Ohms), [0.0, 0.4]);
}

#[test]
fn what_no_range_shows_is_no_reading() {
    near(Span::new(2e6, 5e6).shown(Range::Ohms), [f64::INFINITY, f64::INFINITY]);
    near(Span::new(0.5e6, 5e6).shown(Range::Ohms), [0.496e6 - 0.4, f64::INFINITY]);
    // One handheld has 1.5 V across its open probes on the diode range, one bench meter 3.2 V: between, one shows what
    // another does not.
    near(Span::new(2.0, 2.0).shown(Range::Diode), [1.958, f64::INFINITY]);
    assert!(Span::new(3.5, 3.5).shown(Range::Diode).is_open());
}

#[test]
fn a_buzzer_is_only_sure_below_the_least_threshold_and_above_the_most() {
    // Two manuals say below 50 Ω, one below 100 Ω; the probes add up to 0.2 Ω.
    for (ohms, buzz) in [
        (0.0, Buzz::Sounds),
        (49.7, Buzz::Sounds),
        (49.9, Buzz::Either),
        (50.0, Buzz::Either),
        (100.0, Buzz::Either),
        (100.1, Buzz::Silent),
        (f64::INFINITY, Buzz::Silent),
    ] {
        assert_eq!(Span::new(ohms, ohms).buzz(), buzz, "{ohms}");
    }
    // A carbon contact of 100 Ω to 1 kΩ never sounds for sure, and a resistor of 520 Ω at 5 % never sounds.
    assert_eq!(Span::new(100.0, 1000.0).buzz(), Buzz::Either);
    assert_eq!(Span::new(494.0, 546.0).buzz(), Buzz::Silent);
}

//! Outside checks of copper, each beside its published source, and the readers of sizes.

use proptest::prelude::*;

use super::*;

fn within(found: f64, expected: f64, share: f64) {
    let off = (found / expected - 1.0).abs();
    assert!(off <= share, "found {found}, expected {expected} within {share}");
}

fn ohms_per_kilometre(gauge: u8) -> f64 {
    copper_resistance(awg_area(gauge), Metres::literal(1000.0), ROOM).get()
}

/// *Common Wire Gauges*, hyperphysics.phy-astr.gsu.edu/hbase/tables/wirega.html, and the wire gauge
/// table at wp.1728.org/?p=4314, in Ω/km.
#[test]
fn gauges_have_the_resistance_of_the_published_tables() {
    for (gauge, published) in [
        (22, 52.94),
        (23, 66.78),
        (24, 84.20),
        (25, 106.17),
        (26, 133.86),
        (27, 168.82),
        (28, 212.87),
        (29, 268.40),
        (30, 338.50),
    ] {
        within(ohms_per_kilometre(gauge), published, 0.002);
    }
}

/// GNU `units` 2.22, `wiregauge` and 1/58 Ω·mm²/m, in Ω/km.
#[test]
fn gauges_have_the_resistance_of_an_independent_calculation() {
    for (gauge, computed) in [(24, 84.215), (26, 133.907), (28, 212.921)] {
        within(ohms_per_kilometre(gauge), computed, 1e-5);
    }
}

/// *AWG*, Hardware Book, and *Copper Wire Tables*, NBS Handbook 100: diameters after ASTM B258.
#[test]
fn gauges_have_the_diameter_and_the_area_of_the_published_tables() {
    for (gauge, millimetres, square_millimetres) in [
        (22, 0.6438, 0.3255),
        (24, 0.5106, 0.2047),
        (26, 0.4049, 0.1288),
        (28, 0.3211, 0.0810),
        (30, 0.2546, 0.0509),
    ] {
        within(awg_diameter(gauge).get() * 1e3, millimetres, 0.001);
        within(awg_area(gauge).square_millimetres(), square_millimetres, 0.002);
    }
    // The definition: AWG 36 is 0.005 inch.
    within(awg_diameter(36).get(), 0.127e-3, 1e-12);
}

/// *AWG* rules, www.daycounter.com/Calculators/AWG.phtml: ten gauges are a factor of 10, three double.
#[test]
fn ten_gauges_thinner_has_ten_times_the_resistance() {
    for gauge in 0..=30 {
        within(ohms_per_kilometre(gauge + 10) / ohms_per_kilometre(gauge), 10.0, 0.02);
        within(ohms_per_kilometre(gauge + 10) / ohms_per_kilometre(gauge), 10.16, 0.001);
        within(ohms_per_kilometre(gauge + 3) / ohms_per_kilometre(gauge), 2.0, 0.01);
    }
}

/// *IEC 60028* (1925), tnlab.org: 0.017241 Ω for 1 mm², 1 m, 20 °C; coefficient from the *Industrial
/// Power Engineering and Applications Handbook*, page 970.
#[test]
fn standard_copper_has_the_standards_resistance() {
    let one =
        |temperature| copper_resistance(Area::new(1.0).unwrap(), Metres::literal(1.0), temperature).get();
    within(one(ROOM), 0.017_241, 1e-4);
    within(one(Kelvin::from_celsius(50.0).unwrap()), 0.019_274, 0.001);
}

/// *Power copper conductors according to IEC 60228*, www.uecables.com/471: factors to 20 °C.
#[test]
fn the_temperature_factors_are_those_of_the_standard() {
    for (celsius, published) in [(15.0, 1.020), (25.0, 0.980), (30.0, 0.962)] {
        let factor = 1.0 / copper_temperature_factor(Kelvin::from_celsius(celsius).unwrap());
        assert!((factor - published).abs() <= 0.001, "{celsius} °C: {factor}");
    }
}

/// Geometry, and *Structure of stranding in acc. with VDE 0295*, www.kabeltronik.de.
#[test]
fn strands_add_up_to_their_nominal_area() {
    for (strands, millimetres, expected) in
        [(7, 0.20, 0.2199), (18, 0.10, 0.1414), (14, 0.15, 0.2474), (16, 0.20, 0.5027)]
    {
        let area = Area::of_strands(strands, Metres::literal(millimetres * 1e-3)).unwrap();
        within(area.square_millimetres(), expected, 0.0005);
    }
    assert_eq!(Area::of_strands(0, Metres::literal(0.1e-3)), Err(NotAnArea));
    assert_eq!(Area::of_strands(7, Metres::literal(-0.1e-3)), Err(NotAnArea));
}

/// *IEC 60228*: class 5, 0.5 mm², at most 39.0 Ω/km; class 2, 0.75 mm², at most 24.5 Ω/km.
#[test]
fn the_standards_maxima_are_held_and_lie_above_the_copper_alone() {
    let max = |class, area| iec60228_max(class, Area::new(area).unwrap()).unwrap().value.get();
    within(max(Iec60228::Flexible, 0.5), 0.0390, 1e-12);
    within(max(Iec60228::Rigid, 0.75), 0.0245, 1e-12);
    let classes = [Iec60228::Rigid, Iec60228::RigidCoated, Iec60228::Flexible, Iec60228::FlexibleTinned];
    for area in [0.5, 0.75, 1.0] {
        let copper = RESISTIVITY / area;
        for class in classes {
            assert!(max(class, area) > copper);
        }
        // 16 × 0.20 mm and 24 × 0.20 mm keep the limit that their class sets.
        assert!(max(Iec60228::Flexible, area) < copper * SPREAD[2]);
    }
    assert!(iec60228_max(Iec60228::Flexible, Area::new(0.14).unwrap()).is_none());
}

/// Three metres out and back in AWG 28 at 50 mA: 64 mV, from the published 212.87 Ω/km.
#[test]
fn a_long_thin_lead_loses_a_sixteenth_of_a_volt() {
    let one_way = run_ohms(&Conductor::Awg(28), Metres::literal(3.0));
    within(one_way.typical().get() * 2.0 * 0.05, 0.064, 0.01);
}

#[test]
fn a_run_covers_what_makers_allow_for_thin_strands() {
    let thin = run_ohms(&Conductor::parse("0.14 mm2").unwrap(), Metres::literal(1000.0));
    assert!(thin.high() > Ohms::literal(148.0));
    let gauge = run_ohms(&Conductor::Awg(28), Metres::literal(1000.0));
    assert!(gauge.low() < Ohms::literal(194.0));
}

#[test]
fn sizes_are_read_in_the_ways_that_cables_print_them() {
    let area = |hundredths| Conductor::SquareMillimetres(NonZeroU16::new(hundredths).unwrap());
    for (text, conductor) in [
        ("AWG 28", Conductor::Awg(28)),
        ("awg28", Conductor::Awg(28)),
        ("28 AWG", Conductor::Awg(28)),
        ("0.14 mm2", area(14)),
        ("0.5mm²", area(50)),
        ("1 MM2", area(100)),
        ("0.2500 mm2", area(25)),
    ] {
        assert_eq!(Conductor::parse(text), Ok(conductor), "{text}");
    }
}

#[test]
fn a_size_that_is_no_size_is_refused_with_the_way_to_write_one() {
    for (text, message) in [
        ("28", "`28` is no conductor size; write `AWG 28` or `0.14 mm2`"),
        ("AWG 41", "`AWG 41` is no wire gauge; write a whole number from 0 to 40, such as `AWG 28`"),
        ("0 mm2", "`0 mm2` is no area; write 0.01 mm2 to 655.35 mm2 in steps of 0.01 mm2"),
        ("0.055 mm2", "`0.055 mm2` is no area; write 0.01 mm2 to 655.35 mm2 in steps of 0.01 mm2"),
    ] {
        assert_eq!(Conductor::parse(text).unwrap_err().to_string(), message);
    }
    for text in ["-0.1 mm2", "1e3 mm2", "+1 mm2", ".5. mm2", "mm2", "700 mm2", "AWG", "AWG -1"] {
        assert!(Conductor::parse(text).is_err(), "{text}");
    }
}

fn any_conductor() -> impl Strategy<Value = Conductor> {
    let area = (1..=u16::MAX).prop_filter_map("above 0", NonZeroU16::new);
    prop_oneof![(0u8..=40).prop_map(Conductor::Awg), area.prop_map(Conductor::SquareMillimetres)]
}

proptest! {
    #[test]
    fn every_size_is_read_back_from_its_text(conductor in any_conductor()) {
        prop_assert_eq!(Conductor::parse(&conductor.to_string()), Ok(conductor));
    }

    #[test]
    fn a_longer_run_never_has_less_resistance(
        conductor in any_conductor(),
        lengths in [0.0..1e4, 0.0..1e4],
    ) {
        let [short, long] = if lengths[0] <= lengths[1] { lengths } else { [lengths[1], lengths[0]] };
        let short = run_ohms(&conductor, Metres::literal(short));
        let long = run_ohms(&conductor, Metres::literal(long));
        prop_assert!(short.low() <= long.low() && short.high() <= long.high());
    }

    #[test]
    fn no_number_makes_copper_panic(
        gauge: u8,
        length in proptest::num::f64::NORMAL,
        temperature in proptest::num::f64::NORMAL,
    ) {
        let (length, temperature) = (Metres::literal(length), Kelvin::literal(temperature));
        let _ = run_ohms(&Conductor::Awg(gauge), length);
        let _ = Conductor::Awg(gauge).ohms_per_metre(temperature);
        let _ = copper_resistance(awg_area(gauge), length, temperature);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in ".{0,16}(mm2|awg)?") {
        let _ = Conductor::parse(&text);
    }
}

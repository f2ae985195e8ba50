//! How the catalogue's ports read, and what is inside their pads, against the published protocols: written down here a
//! second time.

use solderside_profile::{
    Action, Body, Controller, ControllerRole, InsideSwitch, Level, Library, Port, PortRole, Ramp, Spot, Step,
};
use solderside_quantity::{Ohms, Quantity, Triple};
use solderside_trade::ContactId;

fn port(name: &str) -> Port {
    Library::catalogue().port(name).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn controller(name: &str) -> Controller {
    Library::catalogue().controller(name).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn number(id: u8) -> ContactId {
    ContactId::Number(id)
}

/// Contact and action of all that a step reads: "1 up, 2 down".
fn reads(port: &Port, step: &Step) -> String {
    let samples = port.samples(step);
    samples.iter().map(|(id, action)| format!("{id} {action}")).collect::<Vec<_>>().join(", ")
}

/// Contact and level of all that a step expects or drives: "3 low, 4 low".
fn levels<'l>(levels: impl IntoIterator<Item = (&'l ContactId, &'l Level)>) -> String {
    let levels = levels.into_iter().map(|(id, level)| format!("{id} {}", level.as_str()));
    levels.collect::<Vec<_>>().join(", ")
}

/// All steps, each as what it drives, reads and expects.
fn script(port: &Port) -> Vec<[String; 3]> {
    let steps = port.steps.iter();
    steps.map(|step| [levels(&step.drives), reads(port, step), levels(&step.expects)]).collect()
}

fn microseconds(step: &Step) -> f64 {
    step.hold.expect("a time that is published").typical().get() * 1e6
}

/// Common practice, no source; Linux kernel source, drivers/input/joystick/db9.c, for all that it reads.
#[test]
fn select_high_shows_one_half_of_the_pad_and_select_low_the_other() {
    let expected = [
        ["7 high", "1 up, 2 down, 3 left, 4 right, 6 b, 9 c", ""],
        ["7 low", "1 up, 2 down, 6 a, 9 start", "3 low, 4 low"],
    ];
    assert_eq!(script(&port("nine-pin-select")), expected);
}

/// Common practice, no source: levels of D3 to D0 state by state; db9.c for z, y, x and mode at the third rising edge.
#[test]
fn six_buttons_are_read_when_select_rises_for_the_third_time() {
    let six = port("nine-pin-select-six-buttons");
    let directions = "1 up, 2 down, 3 left, 4 right";
    let expected = [
        ["7 high", "1 up, 2 down, 3 left, 4 right, 6 b, 9 c", ""],
        ["7 low", "1 up, 2 down, 6 a, 9 start", "3 low, 4 low"],
        ["7 high", directions, ""],
        ["7 low", "1 up, 2 down", "3 low, 4 low"],
        ["7 high", directions, ""],
        ["7 low", "", "1 low, 2 low, 3 low, 4 low"],
        ["7 high", "1 z, 2 y, 3 x, 4 mode", ""],
        ["7 low", "", "1 high, 2 high, 3 high, 4 high"],
    ];
    assert_eq!(script(&six), expected);
    let rising = six.steps.windows(2).take(5).filter(|pair| {
        let level = |step: &Step| step.drives[&number(7)];
        (level(&pair[0]), level(&pair[1])) == (Level::Low, Level::High)
    });
    assert_eq!(rising.count(), 2, "two rising edges before the four lows");
    // Two rising edges within 1.1 ms, and all of it before the pad forgets: 1.5 ms ± 0.3 ms.
    assert!(six.steps.iter().all(|step| (microseconds(step) - 14.0).abs() < 1e-9));
    assert!(six.steps.iter().map(microseconds).sum::<f64>() < 1100.0);
}

/// Common practice, no source: 1.5 ms ± 0.3 ms; Linux kernel source, drivers/input/joystick/db9.c: 10 ms from one reading to
/// the next.
#[test]
fn the_ports_that_select_rest_for_longer_than_the_slowest_pad_needs_to_forget() {
    let pad = controller("nine-pin-select-pad-six-buttons");
    let forgets = pad.inside.as_ref().and_then(|inside| inside.forgets).expect("it forgets");
    let milliseconds = [forgets.low(), forgets.typical(), forgets.high()].map(|time| time.get() * 1e3);
    for (found, published) in milliseconds.into_iter().zip([1.5 - 0.3, 1.5, 1.5 + 0.3]) {
        assert!((found - published).abs() < 1e-9);
    }
    for name in ["nine-pin-select", "nine-pin-select-six-buttons"] {
        let port = port(name);
        let rest = port.rest.expect("a time that is published");
        let reading = port.steps.iter().map(microseconds).sum::<f64>();
        assert!((rest.typical().get() - 10e-3).abs() < 1e-12 && rest.low().get() < 10e-3 - reading * 1e-6);
        assert!(rest.low() >= forgets.high() && reading < forgets.low().get() * 1e6, "{name}");
    }
    assert!(port("nine-pin-register-8-bit").rest.is_none(), "nothing there forgets");
}

/// Linux kernel source, drivers/input/joystick/gamecon.c: the order of the bits, and 6 µs for each half of a clock.
#[test]
fn the_register_ports_read_the_published_bits_in_the_published_time() {
    let eight = "a b select start up down left right";
    let sixteen = "lower-face left-face select start up down left right right-face upper-face left-shoulder \
                   right-shoulder";
    for (name, bits, order, total) in
        [("nine-pin-register-8-bit", 8, eight, 108.0), ("nine-pin-register-16-bit", 16, sixteen, 204.0)]
    {
        let port = port(name);
        assert_eq!(port.steps.len(), 1 + 2 * bits, "{name}");
        assert_eq!(script(&port)[0], ["3 high, 4 high", "", ""], "the latch copies the switches");
        assert!((microseconds(&port.steps[0]) - 12.0).abs() < 1e-9);
        let mut read = Vec::new();
        for clock in port.steps[1..].chunks(2) {
            let drives: Vec<String> = clock.iter().map(|step| levels(&step.drives)).collect();
            assert_eq!(drives, ["3 low, 4 high", "3 low, 4 low"], "{name}");
            assert!((clock.iter().map(microseconds).sum::<f64>() - 12.0).abs() < 1e-9);
            read.extend(port.samples(&clock[0]).into_iter().map(|(id, action)| {
                assert_eq!(id, number(2));
                action.to_string()
            }));
            assert!(port.samples(&clock[1]).is_empty());
        }
        assert_eq!(read.join(" "), order, "{name}");
        let microseconds = port.steps.iter().map(microseconds).sum::<f64>();
        assert!((microseconds - total).abs() < 1e-6, "{name}: {microseconds} µs");
        let idle = port.steps.iter().filter(|step| levels(&step.expects) == "2 high");
        assert_eq!(idle.count(), bits - order.split(' ').count(), "bits that are not pressed");
    }
}

/// The last stage of a CD4021 comes out first; each further bit lies one stage in front of it.
#[test]
fn the_register_pads_hold_their_bits_where_the_ports_read_them() {
    for (pad, port) in [
        ("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit"),
        ("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit"),
    ] {
        let inside = controller(pad).inside.expect("parts inside");
        let port = self::port(port);
        let bits = port.steps.iter().filter_map(|step| step.reads.get(&number(2)));
        // PI8 to PI1, by the legs of the data sheet.
        let stages = [1, 15, 14, 13, 4, 5, 6, 7];
        for (bit, action) in bits.enumerate() {
            let switch = inside.switches.iter().find(|switch| switch.control.as_str() == action.as_str());
            let InsideSwitch { between, .. } = switch.expect("each bit is a control of the pad's own");
            let expected = format!("u{}.{}", bit / 8 + 1, stages[bit % 8]);
            assert_eq!(between.map(|spot| spot.to_string()), [expected, "8".to_owned()], "{pad}, {action}");
        }
        let has = |join: &str| {
            let join: Vec<&str> = join.split(" - ").collect();
            let told = |own: &&[Spot; 2]| own.iter().map(ToString::to_string).eq(join.iter().copied());
            inside.joins.iter().any(|own| told(&own))
        };
        for join in ["u1.3 - 2", "u1.9 - 3", "u1.10 - 4", "u1.16 - 6", "u1.8 - 8"] {
            assert!(has(join), "{pad}: {join}");
        }
        assert_eq!(has("u2.3 - u1.11"), pad.ends_with("16-bit"), "the second passes its bits to the first");
    }
}

/// Common practice, no source: what each half of the multiplexer shows. 74HC157 data sheet, table 3, for the legs.
#[test]
fn the_select_pad_shows_what_its_port_reads() {
    let pad = controller("nine-pin-select-pad");
    let inside = pad.inside.as_ref().expect("parts inside");
    let chip = inside.parts.iter().find_map(|part| match part.body {
        Body::Chip(chip) => Some(chip),
        Body::Diode(_)
        | Body::Resistor(_)
        | Body::Capacitor(_)
        | Body::Transistor(_)
        | Body::Changeover(_) => None,
    });
    let sheet = chip.expect("a multiplexer").sheet();
    // The name of the leg to which a contact, a control or the return leads.
    let leg_of = |spots: &[Spot; 2]| {
        spots.iter().find_map(|spot| match spot {
            Spot::Leg(part, ContactId::Number(leg)) if part.to_string() == "u1" => {
                Some(sheet.leg(*leg).expect("a leg of the sheet").name)
            }
            Spot::Leg(..) | Spot::Contact(_) => None,
        })
    };
    let leads_to = |contact: u8| {
        let joins = inside.joins.iter().filter(|join| join.contains(&Spot::Contact(number(contact))));
        joins.filter_map(leg_of).collect::<Vec<_>>()
    };
    assert_eq!(leads_to(7), ["S"]);
    assert_eq!(leads_to(5), ["VCC"]);
    // With select low left and right show the return, and the chip is always enabled.
    assert_eq!(leads_to(8), ["GND", "E", "1I0", "2I0"]);
    for (contact, output) in [(3, "1Y"), (4, "2Y"), (6, "3Y"), (9, "4Y")] {
        assert_eq!(leads_to(contact), [output]);
        for step in &port("nine-pin-select").steps {
            let high = step.drives[&number(7)] == Level::High;
            let input = output.replace('Y', if high { "I1" } else { "I0" });
            let switch = inside.switches.iter().find(|switch| leg_of(&switch.between) == Some(&input));
            let shown = switch.map(|switch| switch.control.as_str());
            assert_eq!(shown, step.reads.get(&number(contact)).map(Action::as_str), "{input}");
        }
    }
    for (contact, control) in [(1, "up"), (2, "down")] {
        assert_eq!(pad.control_at(number(contact)).expect("a switch").as_str(), control);
    }
}

/// *Joystick / Game Port (201h)*, the page of a programmer's help: t = 24.2 µs + 0.011 µs × R / Ω.
#[test]
fn the_game_port_measures_the_published_time() {
    let port = port("fifteen-pin-game");
    for (_, axis) in port.axes() {
        let Ramp { farads, series, threshold } = port.inputs[&axis.input].ramp.expect("a time");
        let seconds = |ohms: f64, pick: fn(Triple<Ohms>) -> Ohms, share: f64, farads: f64| {
            (ohms + pick(series).get()) * farads * -libm::log(1.0 - share)
        };
        for (ohms, microseconds) in [(0.0, 24.2), (1e3, 35.2), (50e3, 574.2), (100e3, 1124.2)] {
            let published: f64 = 24.2 + 0.011 * ohms;
            assert!((published - microseconds).abs() < 1e-9);
            let typical =
                seconds(ohms, Triple::typical, threshold.typical().get(), farads.typical().get()) * 1e6;
            assert!((typical / microseconds - 1.0).abs() < 1e-3, "{ohms} Ω: {typical} µs");
            let low = seconds(ohms, Triple::low, threshold.low().get(), farads.low().get());
            let high = seconds(ohms, Triple::high, threshold.high().get(), farads.high().get());
            assert!(low * 1e6 < microseconds && microseconds < high * 1e6);
            let (least, most) = axis.reads;
            assert!(least.get() < low && high < most.get(), "all of the travel can be measured");
        }
        assert_eq!(axis.full_scale, Ohms::literal(100e3));
    }
    let axes: Vec<String> = port.axes().map(|(id, axis)| format!("{id} {}", axis.axis)).collect();
    assert_eq!(axes, ["3 x", "6 y", "11 second-x", "13 second-y"]);
}

/// Common practice, no source: the crossings of the keypad, by rows.
#[test]
fn the_keypad_is_read_at_the_published_crossings() {
    let port = port("fifteen-pin-analogue-with-keypad");
    let expected = [
        ["7 low", "1 key-3, 2 key-2, 3 key-1, 4 start", ""],
        ["6 low", "1 key-6, 2 key-5, 3 key-4, 4 pause", ""],
        ["5 low", "1 key-9, 2 key-8, 3 key-7, 4 reset", ""],
        ["8 low", "1 key-hash, 2 key-0, 3 key-star", ""],
    ];
    let side = "13 fire, 14 second-fire";
    let expected = expected
        .map(|[drives, reads, none]| [drives.to_owned(), format!("{reads}, {side}"), none.to_owned()]);
    assert_eq!(script(&port), expected);
    assert_eq!(port.supplies().into_iter().map(|(id, _)| id).collect::<Vec<_>>(), [number(12)]);
    crossings_are_the_pads_own(&port, &controller("fifteen-pin-analogue-stick-with-keypad"));
}

/// From memory: which row and column each control of the matrix joins.
#[test]
fn the_matrix_pad_joins_the_rows_and_columns_that_its_port_reads() {
    let port = port("fifteen-pin-matrix");
    let first = ["1 high, 2 high, 3 high, 4 low", "6 pause, 10 a, 11 up, 12 down, 13 left, 14 right", ""];
    assert_eq!(script(&port)[0], first);
    assert_eq!(port.steps.len(), 4);
    assert_eq!(port.actions().len(), 21);
    crossings_are_the_pads_own(&port, &controller("fifteen-pin-matrix-pad"));
}

/// Each action is read where the pad's control of that name joins row and column, with a diode between or without.
fn crossings_are_the_pads_own(port: &Port, pad: &Controller) {
    let inside = pad.inside.as_ref().expect("switches inside");
    // What a diode's bar leads to.
    let row_of = |spot: Spot| match spot {
        Spot::Contact(contact) => Some(contact),
        Spot::Leg(diode, _) => inside.joins.iter().find_map(|join| match join {
            [Spot::Leg(part, leg), Spot::Contact(row)] if *part == diode => {
                assert_eq!(diode.leg_name(*leg), "cathode", "the bar lies towards the row");
                Some(*row)
            }
            [_, _] => None,
        }),
    };
    let mut seen = 0;
    for step in &port.steps {
        let row = step.drives.iter().find(|(_, level)| **level == Level::Low).map(|(id, _)| *id);
        for (column, action) in &step.reads {
            let own = |switch: &&InsideSwitch| switch.control.as_str() == action.as_str();
            let switch = inside.switches.iter().find(own).expect("each crossing is a control");
            let [one, other] = switch.between;
            assert_eq!(one, Spot::Contact(*column), "{action}");
            assert_eq!(row_of(other), row, "{action}");
            seen += 1;
        }
    }
    assert_eq!(seen, inside.switches.len());
}

#[test]
fn each_pad_calls_its_contacts_as_its_port_does() {
    for (pad, port) in [
        ("nine-pin-select-pad", "nine-pin-select"),
        ("nine-pin-select-pad-six-buttons", "nine-pin-select-six-buttons"),
        ("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit"),
        ("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit"),
        ("fifteen-pin-matrix-pad", "fifteen-pin-matrix"),
        ("fifteen-pin-analogue-stick-with-keypad", "fifteen-pin-analogue-with-keypad"),
    ] {
        let (pad, port) = (controller(pad), self::port(port));
        assert!(pad.connector.mates_with(&port.connector), "{}", pad.name);
        let mut wired = 0;
        for (id, contact) in &pad.contacts {
            let ControllerRole::Wired { called } = &contact.role else { continue };
            assert_eq!(port.contacts[id].called.as_ref(), Some(called), "{}, contact {id}", pad.name);
            wired += 1;
        }
        let lines = port
            .contacts
            .values()
            .filter(|contact| matches!(contact.role, PortRole::Data { .. } | PortRole::Drive(_)));
        let switches = pad.contacts.values().filter(|contact| contact.role.control().is_some());
        let through = switches.count() - port.contacts.values().filter(|own| own.action().is_some()).count();
        assert_eq!(wired + through, lines.count(), "{}", pad.name);
    }
}

#[test]
fn every_control_of_a_pad_is_an_action_of_its_port() {
    for (pad, port) in [
        ("nine-pin-select-pad", "nine-pin-select"),
        ("nine-pin-select-pad-six-buttons", "nine-pin-select-six-buttons"),
        ("nine-pin-register-pad-8-bit", "nine-pin-register-8-bit"),
        ("nine-pin-register-pad-16-bit", "nine-pin-register-16-bit"),
        ("fifteen-pin-matrix-pad", "fifteen-pin-matrix"),
    ] {
        let (pad, port) = (controller(pad), self::port(port));
        let [controls, actions] = [
            pad.controls().into_iter().map(ToString::to_string).collect::<Vec<_>>(),
            port.actions().into_iter().map(ToString::to_string).collect::<Vec<_>>(),
        ];
        assert_eq!(controls, actions, "{}", pad.name);
    }
}

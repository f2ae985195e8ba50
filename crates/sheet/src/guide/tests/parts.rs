//! What a lead with parts asks for more: boards and chips too.

use solderside_lead::read_lead;
use solderside_profile::{Library, SourceFile};
use solderside_trade::DiodePart;

use super::*;

/// The lines of a section from one that contains a text to one that contains another, which is left out.
fn between_lines(page: &str, id: &str, first: &str, last: &str) -> String {
    let words = words_of(page, id);
    let lines = words.lines().skip_while(|line| !line.contains(first));
    lines.take_while(|line| !line.contains(last)).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_split_line_is_made_up_in_an_order_that_a_hand_can_follow() {
    let page = page(&one_button_on_two_fires());
    insta::assert_snapshot!(between_lines(&page, "steps", "Lay the parts out", "Look at every joint from both sides"), @"
    Lay the parts out as the table of parts names them, and measure each before it is soldered. BAT85 on the diode range, red probe at the end without band, black at the band: 0.17 V to 0.37 V; the other way round: open.
    Cut the legs of each part to 10 mm and tin their ends. Bend no leg nearer than 3 mm to the body, or the glass cracks. While you solder, hold the leg with pliers between body and iron, and take the iron away after 3 seconds.
    Controller end
    Hold the DA-15 socket in a vice or in a spare mating connector, which keeps its contacts straight while the insulator is warm, and half fill with solder the cups that will be used: 1, 6, 7, 13, 14 and 15.
    Row 1 to 8. BK black into cup 1 (common).
    BN brown into cup 6 (right).
    OG orange into cup 7 (down).
    Row 9 to 15. YE yellow into cup 13 (a).
    GN green into cup 14 (left).
    BU blue into cup 15 (up).
    ");
    insta::assert_snapshot!(between_lines(&page, "steps", "30 mm onto", "Buzz the port end"), @"
    Slide a sleeve of 30 mm onto YE yellow, well away from the heat. Solder it to the leg at the band (cathode) of D1 and the leg at the band (cathode) of D2. Slide a sleeve of 30 mm over each of D1 and D2 from its free leg. Look once more that the band of no diode is on the wrong side, and leave the sleeves unshrunk until all is measured.
    Row 1 to 5. GN green into cup 3 (left).
    OG orange into cup 2 (down).
    BN brown into cup 4 (right).
    BU blue into cup 1 (up).
    Row 6 to 9. BK black into cup 9 (return).
    D2 by its leg without band (anode; the band away from the connector) into cup 7 (second-fire).
    D1 by its leg without band (anode; the band away from the connector) into cup 6 (fire).
    Look at every joint from both sides under a lamp. No drop, whisker or strand may reach a neighbour or the shell.
    ");
}

#[test]
fn each_part_is_listed_with_what_its_legs_are_soldered_to() {
    let page = page(&resistors_in_series());
    insta::assert_snapshot!(between_lines(&page, "wires", "Parts: what", "no such line"), @"
    Parts: what each leg is soldered to
    Part | Is | In the hood of the | First leg goes to | Second leg goes to |
    D1 | 1N4148, a silicon diode | Port end | anode: R2 leg 1 | cathode (band): OG from controller end 7 (down) |
    R1 | resistor of 470 Ω ± 5 % | Port end | YE from controller end 13 (a) | port end 6 (fire) |
    R2 | resistor of 10 Ω ± 1 % | Port end | D1 anode | port end 2 (down) |
    R3 | resistor of 4.7 kΩ ± 5 % | Port end | port end 1 (up) | port end 6 (fire) |
    ");
    insta::assert_snapshot!(between_lines(&page, "needs", "1 × 1N4148", "A resistor of 1 kΩ"), @"
    1 × 1N4148, a small silicon diode in glass with a band at its cathode (D1). Do not put another type in its place.
    1 × 470 Ω ± 5 %, a resistor of ¼ W (R1). Its bands: yellow, violet, brown and gold.
    1 × 10 Ω ± 1 %, a resistor of ¼ W (R2). Its bands: brown, black, black, gold and brown.
    1 × 4.7 kΩ ± 5 %, a resistor of ¼ W (R3). Its bands: yellow, violet, red and gold.
    Heat-shrink sleeve for the parts, 5 pieces of 30 mm, about 3 mm bore: one over each, its legs included, and one over each joint of several.
    Heat-shrink sleeve, 12 pieces of 10 mm, about 2 mm bore before shrinking: one for each used cup.
    ");
}

#[test]
fn a_diode_is_measured_on_the_diode_range_and_a_resistor_on_ohms_never_with_the_buzzer() {
    let page = page(&resistors_in_series());
    let words = words_of(&page, "bench");
    let is_of_a_part =
        |line: &&str| ["D1", "R1", "R2", "R3"].iter().any(|part| line.contains(&format!(" {part}")));
    let rows = words.lines().filter(|line| line.matches(" | ").count() == 4).filter(is_of_a_part);
    insta::assert_snapshot!(rows.collect::<Vec<_>>().join("
"), @"
    7 YE R1 | Port end 6 (fire) | Controller end 13 (a) | 443 Ω to 499 Ω |  |
    25 OG D1 R2 | Port end 2 (down) | Controller end 7 (down) | diode 0.48 V to 0.78 V |  |
    39 YE BU R1 R3 | Controller end 13 (a) | Controller end 15 (up) | 4.87 kΩ to 5.47 kΩ |  |
    ");
}

#[test]
fn a_control_behind_a_diode_is_tested_in_volts_with_the_red_probe_at_the_machines_line() {
    let page = page(&one_button_on_two_fires());
    insta::assert_snapshot!(between_lines(&page, "switches", "a | ", "The lead was right"), @"a | 6 (fire) | 9 (return) | 0.16 V to 0.38 V | open |  |");
}

#[test]
fn every_part_has_one_row_in_the_table_and_is_missed_by_a_test() {
    let leads =
        [diode_in_each_line(), one_button_on_two_fires(), one_cup_with_two_diodes(), resistors_in_series()];
    for assembly in leads {
        let page = page(&assembly);
        for part in &assembly.lead.parts {
            let name = part.id().to_string().to_uppercase();
            let wires = words_of(&page, "wires");
            assert_eq!(
                wires.lines().filter(|line| line.starts_with(&format!("{name} "))).count(),
                1,
                "{name}"
            );
            let bench = words_of(&page, "bench");
            assert!(bench.contains(&format!("{name} missing or dead")), "{name}: {bench}");
            assert!(section(&page, "needs").contains(&name));
        }
    }
}

#[test]
fn no_line_behind_a_diode_is_powered_without_a_figure_and_the_return_is_found_through_one() {
    let page = page(&diode_in_each_line());
    let power = words_of(&page, "power");
    assert!(power.contains("Black probe fixed to 1 (common), red probe to 15 (up)"));
    assert_eq!(power.matches("1 (common) – ").count(), 6);
    assert_eq!(power.matches("below 0.3 V").count(), 6);
}

#[test]
fn a_board_is_cut_then_filled_from_the_low_parts_up_then_wired_and_its_chip_comes_last() {
    let page = page(&stick_through_buffer());
    insta::assert_snapshot!(between_lines(&page, "steps", "The board. ", "The chip stays out"), @"
    The board. Cut it to 8 by 7 holes, through the row of holes beyond, and smooth its edges. Write the letters of the rows and the numbers of the columns along its edges on both sides: on the solder side left and right are changed over.
    The socket of U1, without the chip: leg 1 of U1 in B7, the notch as in the picture. Solder two legs of each, corner to corner; look whether it lies flat, then solder the rest.
    What lies flat: R1 in F8 and B8. Bend the legs to the holes, put it in, solder it, and cut the legs.
    What stands: C1 in F7 and F5. C1 belongs as near as can be to leg 14 of U1 and leg 7 of U1.
    Bare wires: nos. 1 to 16 of the table. Lay each flat from hole to hole as the picture of the solder side shows it, solder it at both ends and where it bends, and tick it off. A hole that waits for a conductor stays open.
    ");
    insta::assert_snapshot!(between_lines(&page, "board", "Wires of the board", "16 |"), @"
    Wires of the board, controller end, in the order of soldering
    No. | Joins | And | By laying | Done |
    1 | A1 short wire BN of controller end 1 (common) | B1 U1 leg 7 (GND) | bare, A1 to B1 |  |
    2 | B4 U1 leg 4 (2OE) | B3 U1 leg 5 (2A) | bare, B4 to B3; holds an unused input |  |
    3 | E2 U1 leg 9 (3A) | E3 U1 leg 10 (3OE) | bare, E2 to E3; holds an unused input |  |
    4 | E5 U1 leg 12 (4A) | E6 U1 leg 13 (4OE) | bare, E5 to E6; holds an unused input |  |
    5 | B3 U1 leg 5 (2A) | B1 U1 leg 7 (GND) | bare, B3 by C3 and C1 to B1; holds an unused input |  |
    6 | B1 U1 leg 7 (GND) | E2 U1 leg 9 (3A) | bare, C2 to E2; the rest lies already; holds an unused input |  |
    7 | E2 U1 leg 9 (3A) | E5 U1 leg 12 (4A) | bare, E3 by F3 and F5 to E5; the rest lies already; holds an unused input |  |
    8 | F5 C1 leg 2 | B1 U1 leg 7 (GND) | bare, lies already: solder both ends |  |
    9 | B7 U1 leg 1 (1OE) | B1 U1 leg 7 (GND) | bare, B7 by C7 to C3; the rest lies already |  |
    10 | G4 conductor BK of port end 8 (return) | B1 U1 leg 7 (GND) | bare, G4 to F4; the rest lies already |  |
    11 | F7 C1 leg 1 | E7 U1 leg 14 (VCC) | bare, F7 to E7 |  |
    12 | F8 R1 leg 1 | E7 U1 leg 14 (VCC) | bare, F8 to F7; the rest lies already |  |
    13 | G8 conductor RD of port end 7 (supply) | E7 U1 leg 14 (VCC) | bare, G8 to F8; the rest lies already |  |
    14 | A8 short wire GN of controller end 13 (a) | B6 U1 leg 2 (1A) | bare, A8 by A6 to B6 |  |
    15 | B8 R1 leg 2 | B6 U1 leg 2 (1A) | bare, B8 to A8; the rest lies already |  |
    ");
    insta::assert_snapshot!(between_lines(&page, "power", "Supply of U1", "Close the board"), @"
    Supply of U1
    Machine off, no controller plugged in, U1 not in its socket. At the socket fix a 1 kΩ resistor between U1 leg 14 (VCC) and U1 leg 7 (GND), and the meter’s probes beside it, on DC volts, the black one at U1 leg 7 (GND). No clip may touch a neighbour.
    Plug the lead into the machine, then switch the machine on. Expect 4.75 V to 5.25 V, less a few millivolts that the cable takes; the chip asks for 2 V to 6 V. A minus sign means that supply and ground are swapped, and would kill the chip: stop.
    Switch off, take the resistor away, switch on. The reading stays the same within 50 mV. If it rises by more, the contact is no supply but a line that is pulled up; if it falls or is gone, a joint is loose: stop.
    Switch off and unplug the lead. Touch earthed metal, then press U1 into its socket, its notch at the socket’s notch, every leg in its hole and none bent under. Turned round it gets its supply the wrong way, and is dead.
    Plug the lead into the machine, still with no controller plugged in, and switch on. Measure U1 leg 14 (VCC) against U1 leg 7 (GND) once more: the same within 50 mV. A chip that grows warm to a finger in half a minute: switch off.
    ");
}

#[test]
fn a_chip_is_bought_by_its_name_and_family_with_a_socket_and_a_board() {
    insta::assert_snapshot!(between_lines(&page(&stick_through_buffer()), "needs", "1 × 10 kΩ", "Bare tinned wire"), @"
    1 × 10 kΩ ± 5 %, a resistor of ¼ W (R1). Its bands: brown, black, orange and gold.
    1 × ceramic capacitor of 100 nF for at least 16 V (C1), marked 104. It works either way round.
    1 × 74HC125 in DIP-14 (U1), quad tri-state buffer, four enables; and for each a socket of 14 legs, two rows 7.62 mm apart. What is printed on it is longer: the maker’s letters stand before the name, and those behind it tell the package; only a package with two rows of stiff legs fits. The letters within the name are the family, and no other family does in its place: its inputs have other thresholds and its outputs other strength, and nothing here was proved for it.
    1 × piece of perforated board, holes 2.54 mm apart, a ring of copper round each and no strips between them, of 8 by 7 holes (20.3 mm by 17.8 mm), for R1, C1 and U1. It has to go into the hood with them, and a chip in its socket stands about 10 mm high. Where it does not, take a larger hood, or a small closed box in the cable close to this end.
    ");
}

#[test]
fn every_leg_of_a_chip_has_a_row_in_its_table_and_every_join_of_a_board_one_wire_to_tick_off_and_one_test() {
    let assembly = stick_through_buffer();
    let page = page(&assembly);
    let table = words_of(&page, "wires");
    for leg in 1..=14 {
        assert!(table.lines().any(|line| line.starts_with(&format!("{leg} "))), "{leg}: {table}");
    }
    let board = words_of(&page, "board");
    let bench = words_of(&page, "bench");
    for join in &assembly.lead.joins {
        let [from, to] = [join.from, join.to];
        let of_a_chip = [from, to].into_iter().find(|leg| leg.part_id().is_some());
        let Some(leg) = of_a_chip else { continue };
        let other = crate::words::contact(&assembly, join.other(leg).unwrap());
        let name = crate::words::contact(&assembly, leg);
        let rows = board.lines().filter(|line| line.contains(" | "));
        let wires = rows.filter(|line| line.contains(&other) && line.contains(&name));
        assert_eq!(wires.count(), 1, "{join}: {board}");
        assert!(bench.contains(&other) && bench.contains(&name), "{join}");
    }
}

#[test]
fn no_reading_is_taken_through_a_chip_and_its_supply_is_tested_before_power() {
    let plain = page(&stick_to_plover());
    let page = page(&stick_through_buffer());
    let bench = words_of(&page, "bench");
    assert!(bench.contains("Take every chip of the lead out of its socket"));
    assert!(bench.contains("Port end 7 (supply) | Port end 8 (return) | open"), "{bench}");
    assert!(bench.contains("U1 not touching its socket with leg 1, 2,"), "{bench}");
    assert!(!bench.contains("On the diode range"));
    let tests = words_of(&page, "switches");
    // The button behind the chip is seen through its pull-up alone; what the chip makes of it shows on the machine.
    assert!(
        tests.replace('\u{a0}', " ").contains("a | 7 (supply) | 8 (return) | 9.42 kΩ to 10.6 kΩ | open"),
        "{tests}"
    );
    assert!(bench.contains("What is wrong with a chip in its socket shows on the machine"), "{bench}");
    let cautions = words_of(&page, "cautions");
    assert!(cautions.contains("Static") && cautions.contains("Chip the right way round"));
    assert!(!words_of(&plain, "cautions").contains("Static that"));
}

#[test]
fn a_lead_with_a_board_makes_a_sound_page_whatever_its_verdict() {
    let boards = [transistor_in_the_fire(), stick_through_buffer()];
    for assembly in boards.into_iter().chain((0..5).map(tangled_with_chip)) {
        let Ok(mut proof) = prove(&assembly) else { continue };
        for verdict in [Verdict::Works, Verdict::Fails] {
            proof.verdict = verdict;
            let page = guide(&assembly, &proof, &GuideOptions::default());
            let open = |tag: &str| page.matches(&format!("<{tag}")).count();
            let closed = |tag: &str| page.matches(&format!("</{tag}>")).count();
            assert!(["table", "svg", "section"].iter().all(|tag| open(tag) == closed(tag)));
            assert!(!words_of(&page, "bench").contains("– and"), "a bare wire has no letters");
        }
    }
}

#[test]
fn conductors_of_the_cable_and_short_wires_are_counted_and_named_apart_in_every_section() {
    for assembly in [stick_through_buffer(), crate::shelf::stick_to_select()] {
        let page = page(&assembly);
        let lead = &assembly.lead;
        let [long, short] = [true, false].map(|is_long| {
            let own = lead.joins.iter().filter(|join| !crate::words::is_bare(&assembly, **join));
            own.copied().filter(|join| lead.runs_through_cable(join) == is_long).collect::<Vec<_>>()
        });
        assert!(!long.is_empty() && !short.is_empty());
        let (conductors, wires) =
            (crate::words::count(long.len(), "conductor"), crate::words::count(short.len(), "short wire"));
        assert!(page.contains(&format!("A lead of {conductors} and {wires} with")), "{conductors} {wires}");
        let needs = words_of(&page, "needs");
        assert!(needs.contains(&format!("at least {conductors}")) && needs.contains(&wires), "{needs}");
        assert!(words_of(&page, "steps").contains(&format!("Cut the {wires}")));
        let colouring = Colouring::of(&assembly);
        let table = words_of(&page, "wires");
        let (of_cable, of_short) = table.split_once("Short wires, which stay").expect("two tables");
        let rows = |table: &str, join| {
            let start = format!("{} ", colouring.letters(join));
            table.lines().filter(|row| row.starts_with(&start) && row.contains(" | ")).count()
        };
        let steps = words_of(&page, "steps");
        for join in long {
            assert_eq!(rows(of_cable, join), 1, "{join}");
            assert!(!steps.contains(&format!("hort wire {} ", colouring.letters(join))), "{join}: {steps}");
        }
        for join in short {
            assert_eq!(rows(of_short, join), 1, "{join}");
            assert!(steps.contains(&format!("hort wire {} ", colouring.letters(join))), "{join}: {steps}");
        }
    }
}

#[test]
fn the_boards_are_wrapped_and_closed_once_after_the_last_chip_is_in_its_socket() {
    let assembly = two_registers();
    let mut proof = prove(&assembly).unwrap();
    proof.verdict = Verdict::Works;
    let page = guide(&assembly, &proof, &GuideOptions::default());
    let power = words_of(&page, "power");
    let at = |words: &str| {
        let all: Vec<usize> = power.match_indices(words).map(|(at, _)| at).collect();
        assert_eq!(all.len(), 1, "{words}: {power}");
        all[0]
    };
    assert!(at("press U1 into") < at("U2 not in its socket") && at("press U2 into") < at("Wrap the board"));
    assert!(at("Wrap the board") < at("close the hood"));
    let steps = words_of(&page, "steps");
    for words in ["until their turn comes", "without the chips", "until U1 and U2 sit in their sockets"] {
        assert!(steps.contains(words), "{words}: {steps}");
    }
}

#[test]
fn a_lead_with_a_switch_and_no_chip_names_no_chip_and_is_plugged_in_once_both_positions_were_read() {
    let joins = ["controller.5 - port.7", "controller.8 - s1.common", "s1.first - port.5"];
    let page = page(&stick_with_switch("SPDT", &joins));
    for id in ["steps", "bench", "switches", "power"] {
        let words = words_of(&page, id).to_lowercase();
        assert!(!words.contains("chip") && !words.contains("their socket"), "{id}: {words}");
    }
    let power = words_of(&page, "power");
    assert_eq!(
        power.matches("Plug the controller in, then plug the lead into the machine").count(),
        1,
        "{power}"
    );
    assert!(power.find("at other").unwrap() < power.find("Plug the controller in, ").unwrap(), "{power}");
}

#[test]
fn a_transistor_is_bought_with_the_order_of_its_legs_and_the_warning_that_makers_differ() {
    let assembly = transistor_in_the_fire();
    let mut proof = prove(&assembly).unwrap();
    proof.verdict = Verdict::Works;
    let page = guide(&assembly, &proof, &GuideOptions::default());
    let needs = words_of(&page, "needs");
    assert!(needs.contains("the legs down: collector, base and emitter"), "{needs}");
    assert!(needs.contains("Makers differ in that order"));
    assert!(words_of(&page, "wires").contains("Q1 BC547, leg by leg"));
    assert!(!words_of(&page, "cautions").contains("Chip the right way round"));
}

/// The stick to a port with two triggers, with a switch: its kind, and the joins of its lugs.
fn stick_with_switch(kind: &str, joins: &[&str]) -> Assembly {
    let joins: Vec<String> = joins.iter().map(|join| format!("'{join}'")).collect();
    let text = format!(
        "format = 1\nkind = 'lead'\ncontroller = 'fifteen-pin-stick'\nport = 'nine-pin-two-trigger'\njoins = ['controller.15 - port.1',\n\
         'controller.7 - port.2', 'controller.14 - port.3', 'controller.6 - port.4', 'controller.13 - port.6',\n\
         'controller.1 - port.9', {}]\n[part.s1]\nswitch = '{kind}'\npositions = ['one', 'other']\n",
        joins.join(", ")
    );
    read_lead(&SourceFile::new("with-switch.toml", text), &Library::catalogue()).expect("the lead is sound")
}

#[test]
fn a_switch_that_must_break_first_is_bought_as_one() {
    let must = "S1 must break the old contact before it makes the new one";
    let shopping = |joins: &[&str]| words_of(&page(&stick_with_switch("SPDT", joins)), "needs");
    let between_rails =
        ["controller.5 - port.7", "controller.8 - s1.common", "s1.first - port.5", "s1.second - port.9"];
    assert!(shopping(&between_rails).contains(must));
    // Where both throws may meet, either kind will do.
    let parted = ["controller.5 - port.7", "controller.8 - s1.common", "s1.first - port.5"];
    let shopping = shopping(&parted);
    assert!(shopping.contains("slide or toggle switch, SPDT") && !shopping.contains(must), "{shopping}");
}

#[test]
fn switches_are_counted_among_the_parts() {
    let mut lead = stick_with_switch("SPST", &["controller.5 - s1.common", "s1.first - port.7"]).lead;
    assert_eq!(super::super::parts::counted(&lead), "1 switch");
    lead.parts.extend([
        Part { number: 2, ..lead.parts[0] },
        Part { number: 1, body: Body::Diode(DiodePart::Silicon1N4148), ..lead.parts[0] },
    ]);
    assert_eq!(super::super::parts::counted(&lead), "1 diode and 2 switches");
}

#[test]
fn the_lugs_of_a_switch_that_is_on_or_off_are_two() {
    let on_off = stick_with_switch(
        "SPST",
        &["controller.5 - port.7", "controller.8 - s1.common", "s1.first - port.5"],
    );
    let page = page(&on_off);
    let shopping = words_of(&page, "needs");
    assert!(
        shopping.contains("It has two lugs") && !shopping.contains("on the other in the other"),
        "{shopping}"
    );
    assert!(!page.contains("1 and 2") && page.contains("A switch with two lugs, C and 1"));
}

#[test]
fn a_switch_is_fixed_where_its_lever_is_reached_and_its_lugs_are_called_as_in_the_pictures() {
    let joins = ["controller.5 - port.7", "controller.8 - s1.common", "s1.first - port.5"];
    let page = page(&stick_with_switch("SPDT", &joins));
    let steps = words_of(&page, "steps");
    for words in
        ["Write beside the lever which side is one and which other", "Leave the lever of the switch free"]
    {
        assert!(steps.contains(words), "{steps}");
    }
    let lugs = words_of(&page, "wires");
    assert!(lugs.contains("Lug | Is | Goes to"), "{lugs}");
}

//! The catalogue's ports against pin tables and limits as they are published, written down here a second time.

use solderside_profile::{Library, Port, PortRole};
use solderside_quantity::{Amps, Ohms, Volts};
use solderside_trade::{ContactId, Gender};

fn port(name: &str) -> Port {
    Library::catalogue().port(name).unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn contact(id: &str) -> ContactId {
    ContactId::parse(id).unwrap_or_else(|_| panic!("`{id}` is no contact"))
}

/// What a contact is, in a word: its action, or its role.
fn word(port: &Port, id: &str) -> String {
    let Some(contact) = port.contacts.get(&contact(id)) else { return "unknown".to_owned() };
    match &contact.role {
        PortRole::Action { action, .. } => action.to_string(),
        PortRole::Data { .. } => contact.called.clone().unwrap_or_else(|| "data".to_owned()),
        PortRole::Axis(axis) => format!("axis-{}", axis.axis),
        PortRole::Sense { .. } => "sense".to_owned(),
        PortRole::Supply(_) => "supply".to_owned(),
        PortRole::Fed(_) => "fed".to_owned(),
        PortRole::Signal(_) => "signal".to_owned(),
        PortRole::Return => "return".to_owned(),
        PortRole::Drive(_) => contact.called.clone().unwrap_or_else(|| "drive".to_owned()),
        PortRole::Pot => "pot".to_owned(),
        PortRole::Unused => "unused".to_owned(),
    }
}

#[track_caller]
fn check(name: &str, table: &str) {
    let port = port(name);
    for row in table.split(", ") {
        let (id, expected) = row.split_once(' ').expect("a contact and what it is");
        assert_eq!(word(&port, id), expected, "{name}, contact {id}");
    }
}

fn amps_max(name: &str, id: &str) -> Amps {
    port(name).contacts[&contact(id)].supply().expect("a supply").amps_max
}

/// *Amiga Hardware Reference Manual*, chapter 8, table 8-1 and appendix E: contacts, and 9 as the second button.
#[test]
fn the_ports_with_one_fire_are_the_hardware_manuals() {
    let table = "1 up, 2 down, 3 left, 4 right, 6 fire, 7 supply, 8 return";
    for name in ["nine-pin-one-fire", "nine-pin-one-fire-keyboard-lines"] {
        check(name, &format!("{table}, 5 pot, 9 pot"));
    }
    for name in ["nine-pin-one-fire-second-button-as-level", "nine-pin-one-fire-second-button-as-charge-time"]
    {
        check(name, &format!("{table}, 5 pot, 9 second-fire"));
    }
}

/// *C64 Control Port*, The Hardware Book: 50 mA. *Control Port*, C64-Wiki: 100 mA. *Amiga Mouse/Joystick/Lightpen
/// Ports*: 125 mA. The lowest holds for all.
#[test]
fn no_nine_pin_supply_gives_more_than_the_lowest_published_limit() {
    let library = Library::catalogue();
    let mut supplies = 0;
    for entry in library.entries() {
        let Ok(port) = library.port(&entry.name) else { continue };
        let listens = port.hazard.is_none() && port.bus.is_none();
        for (id, supply) in port.supplies().into_iter().filter(|_| listens) {
            assert!(
                supply.amps_max <= Amps::literal(0.05),
                "{}, contact {id}: {}",
                port.name,
                supply.amps_max
            );
            supplies += 1;
        }
    }
    assert!(supplies >= 9, "{supplies}");
}

/// *Parallel Port Joystick Drivers*, Linux kernel documentation.
#[test]
fn the_ports_with_two_buttons_are_those_of_the_kernels_drawings() {
    let directions = "1 up, 2 down, 3 left, 4 right";
    check(
        "nine-pin-two-button-light-gun",
        &format!("{directions}, 5 supply, 6 fire, 8 return, 9 second-fire"),
    );
    check("nine-pin-two-trigger", &format!("{directions}, 5 supply, 6 fire, 7 second-fire, 9 return"));
}

/// Common practice, no source.
#[test]
fn the_scanned_ports_have_no_return_where_the_sticks_commons_are() {
    let directions = "1 up, 2 down, 3 left, 4 right";
    check("nine-pin-scanned-returns", &format!("{directions}, 6 second-fire, 7 fire, 8 drive, 9 drive"));
    check(
        "nine-pin-scanned-returns-supply-on-7",
        &format!("{directions}, 5 return, 6 fire, 7 supply, 8 drive, 9 drive"),
    );
    check(
        "nine-pin-scanned-return-supply-on-5",
        &format!("{directions}, 5 supply, 6 fire, 7 second-fire, 8 drive, 9 return"),
    );
    let bare = port("nine-pin-scanned-returns");
    assert_eq!((bare.returns(), bare.supplies()), (Vec::new(), Vec::new()));
}

/// *Joystick* connector, C16 / C116 / +4, jack.logicalsystems.it.
#[test]
fn the_mini_din_has_one_return_and_a_common_that_is_none() {
    check("eight-pin-mini-din", "1 up, 2 down, 3 left, 4 right, 5 supply, 6 fire, 7 return, 8 drive");
}

/// *Parallel Port Joystick Drivers*, Linux kernel documentation.
#[test]
fn the_select_and_register_ports_are_those_of_the_kernels_drawings() {
    let select = "1 d0, 2 d1, 3 d2, 4 d3, 5 supply, 6 d4, 7 select, 8 return, 9 d5";
    check("nine-pin-select", select);
    check("nine-pin-select-six-buttons", select);
    for name in ["nine-pin-register-8-bit", "nine-pin-register-16-bit"] {
        check(
            name,
            "1 unknown, 2 data, 3 latch, 4 clock, 5 unknown, 6 supply, 7 unknown, 8 return, 9 unknown",
        );
    }
}

/// *Pin Assignment for the Game Adapter*, PC-TECH6.TXT; *Gameport/Joystick Connections*; *Joystick Port* for later cards.
#[test]
fn the_game_port_is_the_published_one_and_later_cards_lack_two_of_its_contacts() {
    let both = "1 supply, 2 fire, 3 axis-x, 4 return, 5 return, 6 axis-y, 7 second-fire, 8 supply, 9 supply, \
                10 third-fire, 11 axis-second-x, 13 axis-second-y, 14 fourth-fire";
    check("fifteen-pin-game", &format!("{both}, 12 return, 15 supply"));
    check("fifteen-pin-game-with-music", &format!("{both}, 12 signal, 15 signal"));
}

/// Common practice, no source.
#[test]
fn the_port_with_a_keypad_feeds_its_pots_from_a_contact_that_is_no_supply() {
    check(
        "fifteen-pin-analogue-with-keypad",
        "1 right-column, 2 middle-column, 3 left-column, 4 start-column, 5 third-row, 6 second-row, 7 top-row, \
         8 bottom-row, 9 signal, 10 axis-x, 11 axis-y, 12 supply, 13 fire, 14 second-fire, 15 return",
    );
}

/// From memory.
#[test]
fn the_matrix_port_has_four_rows_and_six_columns() {
    check(
        "fifteen-pin-matrix",
        "4 row-1, 3 row-2, 2 row-3, 1 row-4, 11 column-1, 12 column-2, 13 column-3, 14 column-4, 10 column-5, \
         6 column-6, 5 pot, 15 pot, 7 supply, 8 unused, 9 return",
    );
}

/// *JAMMA pinout information*, www.swallowam.co.uk/jamma.php; *Arcade Game Pinouts*, section 1.1.
#[test]
fn the_arcade_edge_is_the_published_one_for_both_players() {
    let board = "1 return, 2 return, 27 return, 28 return, A return, B return, e return, f return, \
                 3 fed, 4 fed, C fed, D fed, 5 fed, E fed, 6 fed, F fed, 7 unknown, H unknown, \
                 10 signal, L signal, 12 signal, N signal, 13 signal, P signal, 15 sense, R sense, S sense";
    let numbers =
        "18 up, 19 down, 20 left, 21 right, 22 fire, 23 second-fire, 24 third-fire, 17 start, 16 coin";
    let letters = "V up, W down, X left, Y right, Z fire, a second-fire, b third-fire, U start, T coin";
    for (name, own, others) in
        [("arcade-edge-player-1", numbers, letters), ("arcade-edge-player-2", letters, numbers)]
    {
        check(name, board);
        check(name, own);
        for row in others.split(", ") {
            let (id, _) = row.split_once(' ').expect("a contact and what it is");
            assert_eq!(word(&port(name), id), "sense", "{name}, contact {id}");
        }
        let edge = port(name);
        let volts = |id: &str| {
            edge.contacts[&contact(id)].voltage().expect("a contact with a voltage").volts.typical()
        };
        for (ids, expected) in
            [(["3", "4", "C", "D"], 5.0), (["5", "E", "5", "E"], -5.0), (["6", "F", "6", "F"], 12.0)]
        {
            assert!(ids.into_iter().all(|id| volts(id) == Volts::literal(expected)), "{ids:?}");
        }
        assert_eq!(edge.supplies(), [], "what feeds the board is no source for a lead");
    }
}

/// *MOS Technology 6581 Sound Interface Device*: R × C = 4.7e-4 s at 470 kΩ, 512 cycles for a conversion.
#[test]
fn the_charge_time_is_half_of_what_the_converter_counts() {
    let charge =
        port("nine-pin-one-fire-second-button-as-charge-time").inputs["charge"].charge.expect("a charge");
    let time_constant = Ohms::literal(470e3).get() * charge.farads.typical().get();
    assert!((time_constant - 4.7e-4).abs() < 1e-9, "{time_constant} s");
    for (seconds, hertz) in [(charge.seconds.low(), 1.0227e6), (charge.seconds.high(), 0.985_25e6)] {
        assert!((seconds.get() * hertz - 128.0).abs() < 0.3, "{seconds}");
    }
}

/// Serial: *Oracle VTS 8.0 Software User's Guide*, 9-Pin Male DB-9 External Connector. Network: *Transceiver (Drop)
/// Cable Pinouts*, 500 mA. Video: martin.hinner.info/vga/pinout.html.
#[test]
fn hazards_are_what_they_are_published_as() {
    check(
        "nine-way-serial",
        "1 sense, 2 sense, 3 signal, 4 signal, 5 return, 6 sense, 7 signal, 8 sense, 9 sense",
    );
    check(
        "nine-way-monitor-output",
        "1 return, 2 return, 3 signal, 4 signal, 5 signal, 6 signal, 7 unused, 8 signal, 9 signal",
    );
    check(
        "fifteen-way-network-attachment",
        "2 sense, 3 signal, 5 sense, 6 return, 9 sense, 10 signal, 12 sense, 13 supply",
    );
    assert_eq!(amps_max("fifteen-way-network-attachment", "13"), Amps::literal(0.5));
    check(
        "fifteen-way-high-density-video",
        "1 signal, 2 signal, 3 signal, 5 return, 6 return, 7 return, 8 return, 9 supply, 10 return, 13 signal, 14 signal",
    );
    let serial = port("nine-way-serial");
    let ring = &serial.contacts[&contact("3")];
    let swing = ring.voltage().expect("an output").volts;
    assert_eq!((swing.low(), swing.high()), (Volts::literal(-15.0), Volts::literal(15.0)));
}

#[test]
fn hazards_have_the_gender_of_the_real_socket_and_listen_for_nothing() {
    for (name, gender) in [
        ("nine-way-serial", Gender::Plug),
        ("nine-way-monitor-output", Gender::Socket),
        ("fifteen-way-network-attachment", Gender::Socket),
        ("fifteen-way-high-density-video", Gender::Socket),
    ] {
        let hazard = port(name);
        assert_eq!((hazard.connector.gender, hazard.actions().len()), (gender, 0), "{name}");
        assert!(hazard.hazard.is_some());
    }
    let entries = Library::catalogue().entries();
    assert_eq!(entries.iter().filter(|entry| entry.hazard.is_some()).count(), 4);
}

#[test]
fn a_file_that_starts_from_a_hazard_is_one() {
    let mine = solderside_profile::SourceFile::new("mine.toml", "like = \"nine-way-serial\"\n");
    let entries = Library::with_shelf(vec![mine]).entries();
    let mine = entries.iter().find(|entry| entry.name == "mine").expect("it is there");
    assert!(mine.hazard.as_ref().is_some_and(|hazard| hazard.starts_with("a serial interface")));
}

//! What a file that starts from another one takes over, and what it does not.

use solderside_profile::{
    Action, Cable, Control, Controller, ControllerRole, Driven, Level, Library, Port, PortRole, SourceFile,
    Supply,
};
use solderside_quantity::{Amps, Ohms, Seconds, Triple, Volts};
use solderside_trade::{ContactId, Evidence, LogicFamily};

const ONE: ContactId = ContactId::Number(1);
const SEVEN: ContactId = ContactId::Number(7);

fn library(text: &str) -> Library {
    Library::with_shelf(vec![SourceFile::new("shelf/mine.toml", text)])
}

fn port(text: &str) -> Port {
    library(text).port("mine").unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn controller(text: &str) -> Controller {
    library(text).controller("mine").unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn cable(text: &str) -> Cable {
    library(text).cable("mine").unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn supply(port: &Port) -> Supply {
    *port.supplies().first().expect("the class has a supply").1
}

#[test]
fn mistakes_of_ones_own_file_come_before_those_of_the_file_that_it_starts_from() {
    let files = [
        ("a.toml", "like = \"nine-pin-one-fire\"\nnot-a-key = 1\n"),
        ("b.toml", "like = \"a\"\nnor-one = 1\n"),
    ];
    let library = Library::with_shelf(files.map(|(path, text)| SourceFile::new(path, text)).into());
    let told = |name: &str| library.port(name).map(|port| port.name).unwrap_err().render();
    let at = |told: &str, key: &str| told.find(key).unwrap_or_else(|| panic!("{told}"));
    let told = told("b");
    assert!(at(&told, "nor-one") < at(&told, "not-a-key"), "{told}");
}

#[test]
fn two_lines_make_a_machine_of_ones_own() {
    let mine = port("like = \"nine-pin-one-fire\"\ntitle = \"Curlew\"");
    let class = Library::catalogue().port("nine-pin-one-fire").unwrap();
    assert_eq!((mine.name.as_str(), mine.title.as_str()), ("mine", "Curlew"));
    assert_eq!(mine.like, ["nine-pin-one-fire"]);
    assert_eq!(mine.contacts, class.contacts);
    assert_eq!(mine.fingerprint(), class.fingerprint());
}

#[test]
fn a_title_is_not_inherited() {
    assert_eq!(port("like = \"nine-pin-one-fire\"").title, "mine");
}

#[test]
fn a_contact_is_overridden_key_by_key() {
    let mine = port("like = \"nine-pin-one-fire\"\n[contact.7]\namps_max = 0.1");
    assert_eq!(supply(&mine).amps_max, Amps::literal(0.1));
    assert_eq!(supply(&mine).volts, Triple::<Volts>::literal(4.75, 5.0, 5.25));
}

#[test]
fn the_source_of_the_parent_does_not_vouch_for_a_new_figure() {
    let class = port("like = \"nine-pin-one-fire\"\n[contact.7]\nnote = \"blue cable\"");
    assert_eq!(class.contacts[&SEVEN].fact.evidence, Evidence::Published);
    let mine = port("like = \"nine-pin-one-fire\"\n[contact.7]\namps_max = 0.1");
    assert_eq!(mine.contacts[&SEVEN].fact.evidence, Evidence::Assumed);
}

#[test]
fn another_role_drops_the_keys_of_the_old_one() {
    let mine = port("like = \"nine-pin-one-fire\"\n[contact.7]\naction = \"second-fire\"");
    let action = Action::new("second-fire").unwrap();
    assert_eq!(mine.contact_of(&action), Some(SEVEN));
    assert!(mine.supplies().is_empty());
    let mine = port("like = \"nine-pin-one-fire\"\n[contact.1]\nrole = \"unused\"");
    assert_eq!(mine.contacts[&ONE].role, PortRole::Unused);
    assert_eq!(mine.contacts[&ONE].note, None);
}

#[test]
fn a_line_that_the_machine_drives_stays_so_until_it_is_said_otherwise() {
    let driven = |text: &str| {
        port(&format!("like = \"nine-pin-two-trigger\"\n[contact.7]\n{text}")).contacts[&SEVEN].driven
    };
    assert_eq!(driven("note = \"blue\""), Some(Driven::Low));
    assert_eq!(driven("driven = \"both\""), Some(Driven::Both));
    assert_eq!(driven("action = \"third-fire\""), None);
    assert_eq!(Driven::Both.levels(), [Level::Low, Level::High]);
}

#[test]
fn the_reading_script_is_replaced_as_a_whole() {
    let class = Library::catalogue().port("nine-pin-two-trigger").unwrap();
    assert_eq!(class.steps.len(), 2);
    let mine =
        port("like = \"nine-pin-two-trigger\"\n[[step]]\nname = \"only\"\ndrive = { 8 = \"released\" }");
    assert_eq!(mine.steps.len(), 1);
    assert_eq!(mine.steps[0].drives[&ContactId::Number(8)], Level::Released);
    assert_eq!(mine.steps[0].samples, None);
}

#[test]
fn an_inherited_fire_order_forgets_what_was_taken_away() {
    let mine = controller("like = \"fifteen-pin-stick\"\n[contact.4]\nrole = \"unused\"");
    assert_eq!(mine.fire_order, ["a", "b", "c"].map(|name| Control::new(name).unwrap()));
}

#[test]
fn evidence_at_the_top_counts_for_all_that_has_none_of_its_own() {
    let mine = controller("like = \"fifteen-pin-stick\"\nevidence = \"measured\"\nsource = \"a meter\"");
    assert!(mine.contacts.values().all(|contact| contact.fact.evidence == Evidence::Measured));
}

#[test]
fn the_source_of_the_file_that_one_starts_from_does_not_vouch_for_ones_own_facts() {
    let mine =
        port("like = \"nine-pin-one-fire\"\n[contact.7]\nrole = \"return\"\n[contact.9]\naction = \"b2\"");
    let nine = ContactId::Number(9);
    for id in [SEVEN, nine] {
        let fact = &mine.contacts[&id].fact;
        assert_eq!((fact.evidence, fact.source.as_str()), (Evidence::Assumed, "no source given"));
    }
    let class = Library::catalogue().port("nine-pin-one-fire").unwrap();
    assert_eq!(mine.contacts[&ONE].fact, class.contacts[&ONE].fact);
    let mine = port("like = \"nine-pin-one-fire\"\nsource = \"a meter\"\n[contact.7]\nrole = \"return\"");
    assert_eq!(mine.contacts[&SEVEN].fact.source, "a meter");
}

#[test]
fn what_a_file_leaves_out_is_assumed_and_marked() {
    let mine = port(
        "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [5, 5, 5]\n[input.line]\nfamily = \"sound-port\"\n[contact.1]\naction = \"up\"\n[contact.7]\nrole = \"supply\"\nvolts = [5, 5, 5]\n[contact.8]\nrole = \"return\"",
    );
    let supply = supply(&mine);
    assert_eq!((supply.amps_max, supply.amps_max_stated), (Supply::ASSUMED_AMPS_MAX, false));
    assert_eq!((supply.ohms, supply.ohms_stated), (Supply::ASSUMED_OHMS, false));
    assert_eq!(mine.input_of(ONE).unwrap().pull_up, LogicFamily::SoundPort.pull_up().map(|it| it.value));
    assert_eq!(mine.contacts[&ONE].fact.evidence, Evidence::Assumed);
    assert_eq!((mine.steps.len(), mine.steps[0].name.as_str()), (1, "read"));
}

#[test]
fn a_fingerprint_changes_with_a_figure_and_not_with_a_word() {
    let of = |text: &str| port(&format!("like = \"nine-pin-one-fire\"\n{text}")).fingerprint();
    let class = of("");
    assert_eq!(class.len(), 16);
    assert_eq!(of("title = \"other\"\nevidence = \"measured\"\n[contact.7]\nnote = \"n\""), class);
    let others = [
        "rail_volts = [4.75, 5.0, 5.26]",
        "[contact.7]\namps_max = 0.1",
        "[contact.7]\nsink_amps_max = 0.1",
        "[contact.9]\nrole = \"unused\"",
        "[input.line]\npull_up_ohms = [3100, 5000, 8001]",
        "[contact.6]\ndriven = \"low\"",
        "[contact.6]\ndriven = \"both\"",
        "[[step]]\nname = \"read\"\n[[step]]\nname = \"more\"",
        "[[step]]\nname = \"read\"\n[[step]]\nname = \"more\"\nsample = []",
        "[[step]]\nname = \"read\"\n[[step]]\nname = \"more\"\nsample = [\"up\"]",
        "[contact.shell]\nrole = \"return\"",
    ];
    let mut prints: Vec<String> = others.into_iter().map(of).chain([class]).collect();
    prints.sort();
    prints.dedup();
    assert_eq!(prints.len(), others.len() + 1);
}

// *Amiga Hardware Reference Manual*, chapter 8, table 8-1; the limit on 7: *C64 Control Port*,
// The Hardware Book.
#[test]
fn the_one_fire_class_has_the_contacts_that_are_published() {
    let class = Library::catalogue().port("nine-pin-one-fire").unwrap();
    let actions: Vec<String> = class
        .actions()
        .into_iter()
        .map(|action| format!("{} {action}", class.contact_of(action).unwrap()))
        .collect();
    assert_eq!(actions, ["1 up", "2 down", "3 left", "4 right", "6 fire"]);
    assert_eq!(class.returns(), [ContactId::Number(8)]);
    assert_eq!(class.supplies()[0].0, SEVEN);
    assert_eq!(supply(&class).amps_max, Amps::literal(0.05));
    assert_eq!(class.input_of(ONE).unwrap().pull_up, Some(Triple::<Ohms>::literal(3100.0, 5000.0, 8000.0)));
}

// Common practice, no source.
#[test]
fn the_pad_with_logic_is_the_stick_with_a_supply() {
    let library = Library::catalogue();
    let [stick, pad] =
        ["fifteen-pin-stick", "fifteen-pin-pad-with-logic"].map(|name| library.controller(name).unwrap());
    assert_eq!(stick.commons(), [ONE]);
    assert_eq!((stick.supply(), pad.supply()), (None, Some(ContactId::Number(8))));
    assert_eq!(stick.controls(), pad.controls());
    let names: Vec<&str> = stick.controls().into_iter().map(Control::as_str).collect();
    assert_eq!(names, ["up", "down", "left", "right", "a", "b", "c", "d", "select", "start"]);
    assert_eq!(stick.contacts[&ContactId::Number(8)].role, ControllerRole::Unused);
    assert_eq!(pad.logic.unwrap().family, LogicFamily::Hc);
}

#[test]
fn a_cable_takes_over_what_it_does_not_say() {
    let mine = cable("like = 'ten-core-control'\ncores = 4\ntitle = 'Mine'\nlength_mm = 2000");
    assert_eq!((mine.title.as_str(), mine.colours.len()), ("Mine", 4));
    assert_eq!(mine.conductor.to_string(), "0.14 mm²");
    assert_eq!(mine.length.map(|length| length.to_string()).as_deref(), Some("2 m"));
}

#[test]
fn a_cable_with_fewer_cores_loses_the_pairs_and_contacts_of_the_others() {
    assert_eq!(cable("like = 'five-pair-screened'\ncores = 3").pairs, [[1, 2]]);
    let cheap = cable("like = 'nine-core-moulded-socket'\ncolours = ['WH', 'WH', 'BN']");
    assert_eq!(cheap.moulded[0].contacts.len(), 3);
    assert_eq!(cheap.colours[0], cheap.colours[1], "two cores of one colour are allowed");
}

#[test]
fn a_cables_fingerprint_changes_with_what_a_lead_is_built_by_and_with_nothing_else() {
    let own = |rest: &str| cable(&format!("like = 'five-pair-screened'\n{rest}")).fingerprint();
    let plain = own("");
    for same in ["title = 'Other'", "note = 'other'", "evidence = 'measured'"] {
        assert_eq!(own(same), plain, "{same}");
    }
    for other in [
        "conductor = 'AWG 28'",
        "length_mm = 1000",
        "drain = false",
        "pairs = [[1, 2]]",
        "cores = 11",
        "[[moulded]]\nconnector = 'DE-9 socket'\ncores = { 1 = 1 }",
    ] {
        assert_ne!(own(other), plain, "{other}");
    }
}

#[test]
fn a_script_is_taken_over_without_what_the_file_took_away() {
    let mine = port("like = \"nine-pin-select\"\n[contact.9]\nrole = \"unused\"\n");
    let actions: Vec<&str> = mine.actions().into_iter().map(Action::as_str).collect();
    assert_eq!(actions, ["up", "down", "left", "right", "a", "b"], "9 had c and start");
    assert_eq!(mine.fire_order.iter().map(Action::as_str).collect::<Vec<_>>(), ["a", "b"]);
    let low = port("like = \"nine-pin-select\"\n[contact.3]\nrole = \"sense\"\n");
    assert_eq!(low.steps[1].expects.len(), 2, "a sense line can be expected low too");
    let unwired = port("like = \"nine-pin-select\"\n[contact.3]\nrole = \"unused\"\n");
    assert_eq!(unwired.steps[1].expects.len(), 1);
}

#[test]
fn a_toggled_line_is_brought_to_its_level() {
    let six = Library::catalogue().port("nine-pin-select-six-buttons").unwrap();
    let levels: Vec<Level> = six.steps.iter().map(|step| step.drives[&SEVEN]).collect();
    assert_eq!(levels, [Level::High, Level::Low].repeat(4));
}

#[test]
fn an_axis_takes_over_what_is_not_said_again() {
    let class = Library::catalogue().port("fifteen-pin-game").unwrap();
    let mine = port("like = \"fifteen-pin-game\"\n[input.axis]\nseries_ohms = [900, 1000, 1100]\n");
    let [old, new] = [&class, &mine].map(|port| port.inputs["axis"].ramp.unwrap());
    assert_eq!((new.farads, new.threshold), (old.farads, old.threshold));
    assert_ne!(new.series, old.series);
    assert_ne!(mine.fingerprint(), class.fingerprint());
    let level = "like = \"fifteen-pin-game\"\n[input.axis]\ncharge_seconds = [1e-3, 1e-3, 1e-3]\n";
    let texts = [3, 6, 11, 13].map(|id| format!("[contact.{id}]\naction = \"a-{id}\"\ninput = \"axis\"\n"));
    let level = port(&format!("{level}{}", texts.concat()));
    assert!(level.inputs["axis"].ramp.is_none() && level.inputs["axis"].charge.is_some());
}

#[test]
fn a_pads_inside_is_overridden_join_by_list_and_switch_by_name() {
    const PAD: &str = "nine-pin-register-pad-8-bit";
    let class = Library::catalogue().controller(PAD).unwrap().inside.unwrap();
    let same = controller(&format!("like = \"{PAD}\"\n")).inside.unwrap();
    assert_eq!(same, class);
    let swapped = format!("like = \"{PAD}\"\n[inside.switches]\na = \"u1.15 - 8\"\nb = \"u1.1 - 8\"\n");
    let swapped = controller(&swapped);
    let inside = swapped.inside.clone().unwrap();
    assert_eq!((inside.joins.clone(), inside.parts.len()), (class.joins, class.parts.len()));
    assert_eq!(inside.switches.len(), class.switches.len());
    assert_ne!(inside.fact.source, class.fact.source, "the parent's source does not vouch for it");
    assert_ne!(swapped.fingerprint(), Library::catalogue().controller(PAD).unwrap().fingerprint());
    let bare = format!(
        "like = \"{PAD}\"\nfire_order = [\"a\"]\n[contact.2]\nrole = \"unused\"\n\
         [inside]\njoins = [\"u1.9 - 3\", \"u1.10 - 4\", \"u1.16 - 6\", \"u1.8 - 8\"]\n"
    );
    let parts = controller(&bare).inside.unwrap().parts;
    assert_eq!(parts.len(), 1, "the resistors and the capacitor went with their joins");
}

#[test]
fn chips_that_are_described_anew_take_the_place_of_the_others() {
    let known = "like = \"fifteen-pin-pad-with-logic\"\n[inside]\njoins = [\"r1.1 - 8\", \"r1.2 - 1\"]\n\
                 [part.r1]\nohms = 1000\n";
    let known = controller(known);
    assert!(known.logic.is_none() && known.inside.is_some());
    let black = "like = \"nine-pin-select-pad\"\n[logic]\nfamily = \"hc\"\noutput = \"push-pull\"\n\
                 supply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [0.001, 0.002, 0.003]\n";
    let contacts = [3, 4, 6, 7, 9].map(|id| format!("[contact.{id}]\nrole = \"unused\"\n")).concat();
    let black = controller(&format!("fire_order = []\n{black}{contacts}"));
    assert!(black.logic.is_some() && black.inside.is_none());
    assert_eq!(black.controls().len(), 2, "the switches inside went with it");
}

#[test]
fn the_order_in_which_an_inside_is_written_changes_no_fingerprint() {
    let pad = |joins: &str, switches: &str| {
        let text = format!(
            "format = 1\nkind = \"controller\"\nconnector = \"DE-9 socket\"\nswitch = \"leaf\"\n\
             [contact.1]\nrole = \"wired\"\ncalled = \"row\"\n[contact.2]\nrole = \"wired\"\ncalled = \"column\"\n\
             [inside]\njoins = [{joins}]\n[inside.switches]\n{switches}\n[part.d1]\ndiode = \"1N4148\"\n\
             [part.r1]\nohms = 100\n"
        );
        controller(&text).fingerprint()
    };
    let one = pad(
        r#""d1.cathode - 1", "r1.1 - d1.anode", "r1.2 - 8""#.replace("r1.2 - 8", "r1.2 - 1").as_str(),
        "a = \"2 - d1.anode\"",
    );
    let other = pad(r#""d1.anode - r1.1", "1 - r1.2", "1 - d1.cathode""#, "a = \"d1.anode - 2\"");
    let turned = pad(r#""d1.anode - 1", "r1.1 - d1.cathode", "r1.2 - 1""#, "a = \"2 - d1.cathode\"");
    assert_eq!(one, other);
    assert_ne!(one, turned, "a diode the other way round is another pad");
}

#[test]
fn what_is_only_called_something_is_not_electrical() {
    let class = Library::catalogue().port("nine-pin-select").unwrap();
    let mine = port("like = \"nine-pin-select\"\n[contact.7]\ncalled = \"strobe\"\n");
    assert_eq!(mine.contacts[&SEVEN].called.as_deref(), Some("strobe"));
    assert_eq!(mine.fingerprint(), class.fingerprint());
    let waits = port(
        "like = \"nine-pin-select\"\n[[step]]\nname = \"read\"\ndrive = { 7 = \"high\" }\n\
                      reads = { 1 = \"up\", 2 = \"down\", 3 = \"left\", 4 = \"right\", 6 = \"b\", 9 = \"c\" }\n\
                      hold_seconds = [1e-6, 2e-6, 3e-6]\n",
    );
    assert_ne!(waits.fingerprint(), class.fingerprint());
}

#[test]
fn how_long_a_pad_takes_to_forget_and_a_port_rests_is_electrical_and_taken_over() {
    const PAD: &str = "nine-pin-select-pad-six-buttons";
    let library = Library::catalogue();
    let (pad, class) = (library.controller(PAD).unwrap(), library.port("nine-pin-select").unwrap());
    let forgets = |pad: &Controller| pad.inside.as_ref().and_then(|inside| inside.forgets);
    let same = controller(&format!("like = \"{PAD}\"\n"));
    assert_eq!((forgets(&same), same.fingerprint()), (forgets(&pad), pad.fingerprint()));
    let slower = controller(&format!("like = \"{PAD}\"\n[inside]\nforgets_seconds = 2e-3\n"));
    assert_eq!(forgets(&slower), Some(Triple::exactly(Seconds::literal(2e-3))));
    assert_ne!(slower.fingerprint(), pad.fingerprint());
    assert_eq!(port("like = \"nine-pin-select\"\n").rest, class.rest);
    let other = port("like = \"nine-pin-select\"\nrest_seconds = [16e-3, 17e-3, 18e-3]\n");
    assert_eq!(other.rest, Some(Triple::<Seconds>::literal(16e-3, 17e-3, 18e-3)));
    assert_ne!(other.fingerprint(), class.fingerprint());
    // A pad that no longer counts forgets nothing.
    let bare = controller(&format!("like = \"{PAD}\"\n[part.u6]\nchip = \"74HC00\"\n"));
    assert_eq!(forgets(&bare), None);
}

#[test]
fn a_script_of_ten_thousand_steps_is_read() {
    let steps: Vec<String> = (0..5000)
        .flat_map(|round| {
            [("high", "high"), ("low", "toggled")].map(|(name, word)| {
                format!("{{name=\"{name}-{round}\",drive={{7=\"{word}\"}},reads={{9=\"c\"}}}}")
            })
        })
        .collect();
    let rest = "{name=\"all\",reads={1=\"up\",2=\"down\",3=\"left\",4=\"right\",6=\"b\"}}";
    let mine = port(&format!("like = \"nine-pin-select\"\nstep = [{},{rest}]\n", steps.join(",")));
    assert_eq!(mine.steps.len(), 10_001);
    assert_eq!(mine.steps[9_999].drives[&SEVEN], Level::Low);
}

//! What is refused, by which facts, and that a lead exists as soon as any one of them is otherwise: each
//! is changed by hand, as a person would who has another machine or another wish.

mod bench;

use solderside_design::{Class, FactKind, Wishes};
use solderside_profile::{Controller, Port, PortRole};
use solderside_trade::ContactId;

use bench::{LIGHT_GUN, ONE_FIRE, PAD, STICK, TWO_TRIGGER, action, control, designed, ends, join};

type Ends = (Controller, Port);

/// The facts that forbid the lead of wire. Why chips do not do it either is told in `options.rs`.
fn facts(ends: &Ends, wishes: &Wishes) -> Vec<FactKind> {
    let mut designs = designed(ends, wishes);
    designs.refused.retain(|refusal| refusal.class != Class::Logic);
    let [refusal] = designs.refused.as_slice() else { panic!("a lead of wire exists") };
    refusal.facts.iter().map(|fact| fact.kind.clone()).collect()
}

#[track_caller]
fn assert_exists(ends: &Ends, wishes: &Wishes) {
    let designs = designed(ends, wishes);
    assert_eq!(designs.options.len(), 1, "refused for {:?}", designs.refused.first().map(|it| &it.facts));
}

fn joined(joins: &[&str]) -> Wishes {
    Wishes { joins: joins.iter().map(|text| join(text)).collect(), ..Wishes::default() }
}

const NO_WISH: fn() -> Wishes = Wishes::default;

#[test]
fn a_pad_fed_from_the_light_gun_line_is_refused_because_that_is_only_pulled_up() {
    let pad = ends([PAD, ""], [LIGHT_GUN, ""]);
    let wishes = joined(&["8-7"]);
    let seven = ContactId::Number(7);
    assert_eq!(
        facts(&pad, &wishes),
        [FactKind::PulledUp(seven), FactKind::NeedsSupply, FactKind::Joined(join("8-7"))]
    );
    assert_exists(
        &ends([PAD, ""], [LIGHT_GUN, "[contact.7]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\n"]),
        &wishes,
    );
    assert_exists(&ends([STICK, ""], [LIGHT_GUN, ""]), &wishes);
    assert_exists(&pad, &NO_WISH());
}

#[test]
fn a_button_that_is_a_direction_and_a_fire_at_once_is_refused_in_wire() {
    let stick = ends([STICK, ""], [TWO_TRIGGER, ""]);
    let up = (action("up"), vec![control("up"), control("b")]);
    let second = (action("second-fire"), vec![control("b")]);
    let wished = |play: &[&(_, Vec<_>)]| Wishes {
        play: play.iter().map(|part| (**part).clone()).collect(),
        ..Wishes::default()
    };
    assert_eq!(
        facts(&stick, &wished(&[&up, &second])),
        [FactKind::OnlyWire, FactKind::Wish(action("up")), FactKind::Wish(action("second-fire"))]
    );
    // That the button is second fire is the default map too, so it has to be given up in words.
    assert_exists(&stick, &wished(&[&up, &(action("second-fire"), Vec::new())]));
    assert_exists(&stick, &wished(&[&second]));
}

#[test]
fn a_third_button_on_a_port_with_one_fire_is_refused_because_of_what_the_port_listens_for() {
    let stick = ends([STICK, ""], [ONE_FIRE, ""]);
    let must = Wishes { must: vec![control("c")], ..Wishes::default() };
    let c = control("c");
    assert_eq!(
        facts(&stick, &must),
        [FactKind::TheseActions, FactKind::Unasked(c.clone()), FactKind::Must(c)]
    );
    let three = "fire_order = [\"fire\", \"second-fire\", \"third-fire\"]\n\
                 [contact.5]\naction = \"second-fire\"\n[contact.9]\naction = \"third-fire\"\n";
    assert_exists(&ends([STICK, ""], [ONE_FIRE, three]), &must);
    assert_exists(&stick, &NO_WISH());
}

/// That the button in place must not be lost either is no reason: the two could share the fire.
#[test]
fn of_two_buttons_that_must_not_be_lost_the_one_without_an_action_is_the_reason() {
    let stick = ends([STICK, ""], [ONE_FIRE, ""]);
    let wishes = Wishes { must: vec![control("a"), control("b")], ..Wishes::default() };
    assert_eq!(
        facts(&stick, &wishes),
        [FactKind::TheseActions, FactKind::Unasked(control("b")), FactKind::Must(control("b"))]
    );
    let shared = vec![(action("fire"), vec![control("a"), control("b")])];
    assert_exists(&stick, &Wishes { play: shared, ..wishes });
}

#[test]
fn a_pad_on_a_port_without_a_supply_is_refused() {
    let bare = "[contact.5]\nrole = \"unused\"\n";
    let pad = ends([PAD, ""], [TWO_TRIGGER, bare]);
    assert_eq!(facts(&pad, &NO_WISH()), [FactKind::NoSupply, FactKind::NeedsSupply]);
    assert_exists(&ends([PAD, ""], [TWO_TRIGGER, ""]), &NO_WISH());
    assert_exists(&ends([STICK, ""], [TWO_TRIGGER, bare]), &NO_WISH());
}

#[test]
fn worn_carbon_on_a_strong_pull_up_is_refused() {
    let [carbon, strong] = ["switch = \"carbon-dome\"\n", "[input.line]\npull_up_ohms = [950, 1000, 1050]\n"];
    // One line, so that its wish is the only one to give up.
    let only_fire = |pull_up: &str| {
        let unused = (1..=4).map(|contact| format!("[contact.{contact}]\nrole = \"unused\"\n"));
        format!("{pull_up}{}", unused.collect::<String>())
    };
    let worn = ends([STICK, carbon], [ONE_FIRE, &only_fire(strong)]);
    let fire = action("fire");
    assert_eq!(
        facts(&worn, &NO_WISH()),
        [FactKind::StrongPullUp("line".to_owned()), FactKind::WornContacts, FactKind::Wish(fire.clone())]
    );
    let weak = "[input.line]\npull_up_ohms = [20000, 22000, 24000]\n";
    assert_exists(&ends([STICK, carbon], [ONE_FIRE, &only_fire(weak)]), &NO_WISH());
    assert_exists(&ends([STICK, ""], [ONE_FIRE, &only_fire(strong)]), &NO_WISH());
    let nothing = Wishes { play: vec![(fire, Vec::new())], ..Wishes::default() };
    assert_eq!(facts(&worn, &nothing), [FactKind::NothingAsked]);
}

#[test]
fn a_pad_that_takes_more_than_the_supply_gives_is_refused() {
    let hungry = "[logic]\nfamily = \"hc\"\noutput = \"open-drain\"\nsupply_volts = [4.5, 5.0, 5.5]\n\
                  supply_amps = [0.04, 0.06, 0.08]\n";
    let pad = ends([PAD, hungry], [TWO_TRIGGER, ""]);
    assert_eq!(facts(&pad, &NO_WISH()), [FactKind::SupplyLimit(ContactId::Number(5)), FactKind::NeedsSupply]);
    assert_exists(&ends([PAD, hungry], [TWO_TRIGGER, "[contact.5]\namps_max = 0.1\n"]), &NO_WISH());
    assert_exists(&ends([PAD, ""], [TWO_TRIGGER, ""]), &NO_WISH());
}

#[test]
fn a_port_without_a_return_is_refused() {
    // A file without a return and without an output is refused by its reader.
    let (stick, mut port) = ends([STICK, ""], [TWO_TRIGGER, "[contact.9]\nrole = \"unused\"\n"]);
    port.contacts.get_mut(&ContactId::Number(8)).expect("it has eight").role = PortRole::Unused;
    assert_eq!(facts(&(stick, port), &NO_WISH()), [FactKind::NoReturn]);
    assert_exists(&ends([STICK, ""], [TWO_TRIGGER, ""]), &NO_WISH());
}

#[test]
fn without_a_return_the_common_goes_to_the_line_that_the_machine_drives_low() {
    // A row that only pulls low: one that is driven high would fight a trigger that is held low.
    let row = "[contact.9]\nrole = \"unused\"\n[contact.8]\nrole = \"drive\"\nfamily = \"ls145\"\n\
               [[step]]\nname = \"row\"\ndrive = { 8 = \"low\" }\n";
    let stick = ends([STICK, ""], [TWO_TRIGGER, row]);
    let designs = designed(&stick, &NO_WISH());
    let [option] = designs.options.as_slice() else { panic!("one lead") };
    assert!(option.assembly.lead.joins.contains(&join("1-8")), "{:?}", option.assembly.lead.joins);
}

#[test]
fn a_port_whose_inputs_nothing_holds_is_refused() {
    // No profile of the catalogue is like that, and `like` takes no pull-up away.
    let (stick, mut port) = ends([STICK, ""], [LIGHT_GUN, ""]);
    let line = port.inputs.get_mut("line").expect("the input is called so");
    let pull_up = line.pull_up.take();
    assert_eq!(facts(&(stick.clone(), port.clone()), &NO_WISH()), [FactKind::NoPullUp("line".to_owned())]);
    port.inputs.get_mut("line").expect("the input is called so").pull_up = pull_up;
    assert_exists(&(stick, port), &NO_WISH());
}

#[test]
fn a_common_wished_onto_an_input_is_refused_for_that_join_alone() {
    let stick = ends([STICK, ""], [LIGHT_GUN, ""]);
    assert_eq!(facts(&stick, &joined(&["1-9"])), [FactKind::Joined(join("1-9"))]);
    assert_exists(&stick, &NO_WISH());
}

#[test]
fn a_fact_is_told_in_a_sentence_that_stands_alone() {
    let wishes = Wishes { must: vec![control("c")], ..Wishes::default() };
    let designs = designed(&ends([STICK, ""], [ONE_FIRE, ""]), &wishes);
    let told: Vec<&str> = designs.refused[0].facts.iter().map(|fact| fact.text.as_str()).collect();
    assert_eq!(
        told,
        [
            "the port listens for `up`, `down`, `left`, `right`, `fire` and nothing else",
            "nobody asked for an action of `c`, and the default play map gives it none",
            "`c` must not be lost"
        ]
    );
}

// A resistor of 520 Ω beside a pull-up of 1 kΩ leaves 1.7 V of 5 V.
#[test]
fn series_resistors_on_a_strong_pull_up_are_refused() {
    let [behind, strong] =
        ["series_ohms = [494, 520, 651]\n", "[input.line]\npull_up_ohms = [950, 1000, 1050]\n"];
    let only_fire = |pull_up: &str| {
        let unused = (1..=4).map(|contact| format!("[contact.{contact}]\nrole = \"unused\"\n"));
        format!("{pull_up}{}", unused.collect::<String>())
    };
    let fire = action("fire");
    assert_eq!(
        facts(&ends([STICK, behind], [ONE_FIRE, &only_fire(strong)]), &NO_WISH()),
        [FactKind::StrongPullUp("line".to_owned()), FactKind::SeriesResistors, FactKind::Wish(fire)]
    );
    let weak = "[input.line]\npull_up_ohms = [20000, 22000, 24000]\n";
    assert_exists(&ends([STICK, behind], [ONE_FIRE, &only_fire(weak)]), &NO_WISH());
    assert_exists(&ends([STICK, ""], [ONE_FIRE, &only_fire(strong)]), &NO_WISH());
}

#[test]
fn auto_fire_without_a_supply_is_refused_for_its_button_alone() {
    let bare = "[contact.5]\nrole = \"unused\"\n";
    let ends = |port| ends(["nine-pin-stick-with-auto-fire", ""], [TWO_TRIGGER, port]);
    let fire = action("fire");
    assert_eq!(
        facts(&ends(bare), &NO_WISH()),
        [FactKind::NoSupply, FactKind::NeedsSupply, FactKind::Wish(fire.clone())]
    );
    assert_exists(&ends(""), &NO_WISH());
    assert_exists(&ends(bare), &Wishes { play: vec![(fire, Vec::new())], ..Wishes::default() });
}

#[test]
fn a_socket_that_is_none_for_a_controller_is_refused_whatever_is_asked() {
    let serial = ends([STICK, ""], ["nine-way-serial", ""]);
    assert_eq!(facts(&serial, &NO_WISH()), [FactKind::NoPort]);
    assert_eq!(facts(&serial, &joined(&["1-5"])), [FactKind::NoPort]);
}

#[test]
fn parts_where_wire_serves_are_refused() {
    let stick = ends([STICK, ""], [ONE_FIRE, ""]);
    let parts = Wishes { classes: vec![Class::Parts], ..Wishes::default() };
    assert_eq!(facts(&stick, &parts), [FactKind::WireServes]);
}

/// A port with a select line: `a` and `b` are read from 6, each at a level of its own.
const SELECTS: &str = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [5.0, 5.0, 5.0]\n\
     fire_order = [\"a\", \"b\"]\n[input.line]\nfamily = \"hct\"\npull_up_ohms = [10000, 10000, 10000]\n\
     [contact.6]\nrole = \"data\"\n[contact.7]\nrole = \"drive\"\n\
     family = \"hc\"\n[contact.8]\nrole = \"return\"\n";

/// That port with its steps: what it reads, and what it expects in the second one.
fn steps(reads: [&str; 2], expects: &str) -> String {
    let [high, low] = reads;
    let nine = if low.contains('9') { "[contact.9]\nrole = \"data\"\n" } else { "" };
    format!(
        "{SELECTS}{nine}[[step]]\nname = \"high\"\ndrive = {{ 7 = \"high\" }}\nreads = {{ {high} }}\n\
         [[step]]\nname = \"low\"\ndrive = {{ 7 = \"low\" }}\nreads = {{ {low} }}\n{expects}\n"
    )
}

#[test]
fn two_buttons_on_one_line_of_a_port_that_selects_are_refused_in_wire() {
    let shared = stick_into(&steps(["6 = \"a\"", "6 = \"b\""], ""));
    let designs = designed(&shared, &NO_WISH());
    let told =
        designs.refused.iter().map(|refusal| refusal.facts.iter().map(|fact| fact.kind.clone()).collect());
    let line = FactKind::SharedLine(ContactId::Number(6));
    let wire = |other| vec![line.clone(), FactKind::OnlyWire, FactKind::Wish(action(other))];
    let chips = |other| vec![FactKind::NoSupply, line.clone(), FactKind::Wish(action(other))];
    // Whichever of the two is played, the other one reads with it.
    assert_eq!(told.collect::<Vec<Vec<_>>>(), [wire("b"), wire("a"), chips("b"), chips("a")]);
    assert_exists(&stick_into(&steps(["6 = \"a\"", "9 = \"b\""], "")), &NO_WISH());
}

#[test]
fn a_stick_is_refused_where_the_machine_knows_its_pad_by_a_fixed_level() {
    let apart = ["6 = \"a\"", "9 = \"b\""];
    let known = stick_into(&steps(apart, "expects = { 6 = \"low\" }"));
    assert_eq!(facts(&known, &NO_WISH()), [FactKind::Identity]);
    assert_exists(&stick_into(&steps(apart, "")), &NO_WISH());
}

#[test]
fn a_pad_that_shifts_its_buttons_out_is_refused_where_each_has_a_line() {
    let pad = ends(["nine-pin-register-pad-8-bit", ""], [ONE_FIRE, ""]);
    assert_eq!(facts(&pad, &NO_WISH()), [FactKind::Inside]);
    assert_exists(&ends(["nine-pin-stick-with-one-button", ""], [ONE_FIRE, ""]), &NO_WISH());
}

fn stick_into(port: &str) -> Ends {
    let file = solderside_profile::SourceFile::new("selects.toml", port);
    let library = solderside_profile::Library::with_shelf(vec![file]);
    let port = library.port("selects").unwrap_or_else(|it| panic!("{}", it.render()));
    (library.controller(STICK).unwrap_or_else(|it| panic!("{}", it.render())), port)
}

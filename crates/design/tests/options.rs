//! Options side by side: what is proposed beside what, from which parts, and what is told where nothing can be.

mod bench;

use std::collections::BTreeMap;

use solderside_design::{Choice, Class, Designs, FactKind, Shown, SwitchWish, Wishes};
use solderside_lead::{Body, EndId};
use solderside_profile::{Controller, Drawer, Level, Library, Port, PortRole, SourceFile};
use solderside_proof::{Code, Verdict};
use solderside_trade::{Bus, ChipPart, ContactId};

use bench::{LIGHT_GUN, ONE_FIRE, PAD, STICK, TWO_TRIGGER, action, control, designed, ends, join};

const SELECT: &str = "nine-pin-select";
const SIX: &str = "nine-pin-select-six-buttons";

fn stick_into(port: &str) -> (Controller, Port) {
    ends([STICK, ""], [port, ""])
}

fn classes(designs: &Designs) -> Vec<Class> {
    designs.options.iter().map(|option| option.class).collect()
}

fn kinds(designs: &Designs, class: Class) -> Vec<Vec<FactKind>> {
    let own = designs.refused.iter().filter(|refusal| refusal.class == class);
    own.map(|refusal| refusal.facts.iter().map(|fact| fact.kind.clone()).collect()).collect()
}

fn only(classes: &[Class]) -> Wishes {
    Wishes { classes: classes.to_vec(), ..Wishes::default() }
}

fn drawer(text: &str) -> Drawer {
    let text = format!("format = 1\nkind = \"drawer\"\n{text}");
    let library = Library::with_shelf(vec![SourceFile::new("own.toml", text)]);
    library.drawer("own").unwrap_or_else(|failure| panic!("{}", failure.render()))
}

fn from_drawer(text: &str) -> Wishes {
    Wishes { drawer: Some(drawer(text)), ..Wishes::default() }
}

#[test]
fn where_wire_serves_nothing_stands_beside_it() {
    for port in [ONE_FIRE, TWO_TRIGGER, LIGHT_GUN] {
        assert_eq!(classes(&designed(&stick_into(port), &Wishes::default())), [Class::Plain], "{port}");
    }
}

/// A port that reads `a` and `b` from 6, at two levels of its select, and feeds what is plugged in.
const TWO_ON_A_LINE: &str = "format = 1\nkind = \"port\"\nconnector = \"DE-9 plug\"\nrail_volts = [4.75, 5.0, 5.25]\n\
    fire_order = [\"a\", \"b\", \"c\"]\n[input.line]\nfamily = \"hct\"\npull_up_ohms = [9500, 10000, 10500]\n\
    [contact.5]\nrole = \"supply\"\nvolts = [4.75, 5.0, 5.25]\n[contact.9]\naction = \"c\"\ninput = \"line\"\n\
    [contact.6]\nrole = \"data\"\ninput = \"line\"\n[contact.7]\nrole = \"drive\"\nfamily = \"hc\"\n[contact.8]\nrole = \"return\"\n\
    [[step]]\nname = \"high\"\ndrive = { 7 = \"high\" }\nhold_seconds = 20e-6\nreads = { 6 = \"a\" }\n\
    [[step]]\nname = \"low\"\ndrive = { 7 = \"low\" }\nhold_seconds = 20e-6\nreads = { 6 = \"b\" }\n";

fn two_on_a_line() -> (Controller, Port) {
    stick_into_own(TWO_ON_A_LINE)
}

fn stick_into_own(port: &str) -> (Controller, Port) {
    let library = Library::with_shelf(vec![SourceFile::new("own.toml", port)]);
    let port = library.port("own").unwrap_or_else(|failure| panic!("{}", failure.render()));
    (stick_into(ONE_FIRE).0, port)
}

#[test]
fn a_lead_of_chips_that_plays_all_stands_beside_one_of_wire_that_does_not() {
    let designs = designed(&two_on_a_line(), &Wishes::default());
    assert_eq!(classes(&designs), [Class::Logic, Class::Plain]);
    let [chips, wire] = designs.options.as_slice() else { panic!("two") };
    assert_eq!(wire.actions_lost(&designs.options), [&action("a"), &action("b")]);
    assert!(chips.actions_lost(&designs.options).is_empty());
    assert!(chips.joints() > wire.joints());
    assert_eq!(designs.program, None, "what chips do needs no program");
}

/// The start of this port is one of three keys on one contact, and a wire cannot choose: what goes without it still plays
/// the directions.
#[test]
fn where_wire_goes_without_an_action_and_plays_no_direction_chips_that_go_without_it_stand_before_it() {
    let (controller, port) =
        ends(["fifteen-pin-pad-with-logic", ""], ["fifteen-pin-analogue-with-keypad", ""]);
    let designs = designed(&(controller, port), &Wishes::default());
    assert_eq!(classes(&designs), [Class::Logic, Class::Plain]);
    let start = action("start");
    for choice in &designs.options {
        assert_eq!((choice.proof.verdict, &choice.given_up), (Verdict::Works, &vec![start.clone()]));
    }
    let plays_none = |choice: &Choice| choice.assembly.plays_no_direction();
    assert!(!plays_none(&designs.options[0]) && plays_none(&designs.options[1]));
}

#[test]
fn a_class_that_is_not_allowed_is_a_fact_of_the_refusal() {
    let ends = stick_into(SELECT);
    let designs = designed(&ends, &only(&[Class::Plain, Class::Parts]));
    assert!(designs.options.is_empty());
    let facts = kinds(&designs, Class::Plain);
    assert!(facts.iter().all(|facts| facts.last() == Some(&FactKind::OnlyClasses)), "{facts:?}");
    let told = designs.refused[0].facts.last().map(|fact| fact.text.as_str());
    assert_eq!(told, Some("only leads of class `plain` or `parts` are allowed"));
    assert_eq!(classes(&designed(&ends, &Wishes::default())), [Class::Logic]);
    // Where no class does it, none is to blame.
    let six = designed(&stick_into(SIX), &only(&[Class::Plain]));
    assert!(kinds(&six, Class::Plain).iter().flatten().all(|kind| *kind != FactKind::OnlyClasses));
}

#[test]
fn only_parts_of_the_drawer_are_used() {
    let ends = stick_into(SELECT);
    let made_of = |text: &str| {
        let designs = designed(&ends, &from_drawer(text));
        let option = designs.options.first().expect("there is a lead");
        let mut counted: BTreeMap<String, usize> = BTreeMap::new();
        for part in &option.assembly.lead.parts {
            *counted.entry(part.body.to_string()).or_default() += 1;
        }
        let bodies = || option.assembly.lead.parts.iter().map(|part| &part.body);
        assert_eq!(drawer(text).wanting(bodies()), []);
        counted
    };
    assert!(made_of("[chips]\n74HC157 = 1\n").contains_key("74HC157"));
    assert!(made_of("[chips]\n74HCT157 = 1\n").contains_key("74HCT157"));
    let twelve = made_of("[chips]\n74HC157 = 1\n[resistors]\n12k = 40\n1k = 10\n");
    assert!(twelve.contains_key("12 kΩ") && !twelve.contains_key("10 kΩ"), "{twelve:?}");
}

#[test]
fn a_part_that_the_drawer_lacks_is_a_fact_of_the_refusal() {
    let ends = stick_into(SELECT);
    for lacks in ["[chips]\n", "[chips]\n74HC157 = 0\n", "[chips]\n74HC165 = 3\n"] {
        let designs = designed(&ends, &from_drawer(lacks));
        assert!(designs.options.is_empty());
        let facts = kinds(&designs, Class::Plain);
        assert!(facts.iter().all(|facts| facts.last() == Some(&FactKind::NotInDrawer)), "{facts:?}");
        let told = designs.refused[0].facts.last().map(|fact| fact.text.as_str());
        assert_eq!(told, Some("1 × 74HC157 is not in the drawer `own`"));
    }
    // Neither the class alone nor the chip alone: both have to go.
    let both = Wishes { classes: vec![Class::Plain], ..from_drawer("[chips]\n") };
    let facts = kinds(&designed(&ends, &both), Class::Plain);
    assert!(facts.iter().all(|facts| facts.ends_with(&[FactKind::OnlyClasses, FactKind::NotInDrawer])));
}

#[test]
fn what_six_buttons_ask_of_a_program_follows_from_the_steps() {
    let designs = designed(&stick_into(SIX), &Wishes::default());
    let task = designs.program.expect("chips do not count here");
    assert_eq!(task.moves, 8);
    assert_eq!(task.watches.iter().map(|line| line.leg.to_string()).collect::<Vec<_>>(), ["port.7"]);
    assert!((task.within.expect("the steps say").get() - 14e-6).abs() < 1e-9);
    let count = task.counts.expect("the same level asks for two things");
    assert!(count.begins_at.is_empty(), "no level of select says where the count begins");
    assert!((count.kept_for.expect("the steps say").get() - 8.0 * 14e-6).abs() < 1e-9);
    let first = task.answers.iter().find(|answer| answer.leg.to_string() == "port.1").expect("it is read");
    let shown: Vec<&Shown> = first.shows.iter().map(|(shown, _)| shown).collect();
    assert!(shown.contains(&&Shown::Pressed(vec![control("up")])) && shown.contains(&&Shown::Fixed(false)));
    assert_eq!(task.supply.map(|(leg, ..)| leg.to_string()), Some("port.5".to_owned()));
}

/// A port that reads `a` and `b` from 6, both while its select is high; another line may stand low beside it in a step.
fn counted(low_beside: Option<&str>) -> (Controller, Port) {
    let (head, _) = TWO_ON_A_LINE.split_once("[[step]]").expect("it has steps");
    let step = |name: &str, level: &str, reads: &str| {
        let beside = if low_beside == Some(name) { "low" } else { "high" };
        format!(
            "[[step]]\nname = \"{name}\"\ndrive = {{ 4 = \"{beside}\", 7 = \"{level}\" }}\nhold_seconds = 20e-6\n{reads}\n"
        )
    };
    let steps = [
        step("high-1", "high", "reads = { 6 = \"a\" }"),
        step("low-1", "low", "sample = []"),
        step("high-2", "high", "reads = { 6 = \"b\" }"),
        step("low-2", "low", "sample = []"),
    ];
    let line = "[contact.4]\nrole = \"drive\"\nfamily = \"hc\"\n";
    stick_into_own(&format!("{head}{line}{}", steps.concat()))
}

#[test]
fn a_machine_that_counts_the_moves_of_its_one_line_is_served_by_no_number_of_chips_without_a_timer() {
    let ends =
        [(stick_into(SIX), ["select-low-1", "select-low-3"], 4), (counted(None), ["high-1", "high-2"], 2)];
    for (ends, steps, times) in ends {
        let designs = designed(&ends, &Wishes::default());
        assert!(designs.options.iter().all(|option| !option.given_up.is_empty()), "{:?}", classes(&designs));
        let count =
            designs.program.expect("a program has a clock").counts.expect("one level asks for two things");
        let alike = count.alike.expect("the moves come again before the reading does");
        assert_eq!((alike.steps, alike.times), (steps.map(str::to_owned), Some(times)));
        let facts = designs.refused.iter().filter(|refusal| refusal.class == Class::Logic);
        let told =
            facts.flat_map(|refusal| &refusal.facts).filter(|fact| fact.text.contains("no number of chips"));
        assert!(told.count() > 0, "{:#?}", designs.refused);
    }
}

#[test]
fn a_line_that_moves_once_in_a_reading_tells_chips_where_they_are() {
    let task = designed(&counted(Some("low-2")), &only(&[Class::Program])).program.expect("it is asked for");
    let count = task.counts.expect("while select is high the lines stand alike");
    assert_eq!((count.alike, count.begins_at.len()), (None, 2));
    // Where it moves while the machine looks, nothing is to be counted at all.
    let task = designed(&counted(Some("high-2")), &only(&[Class::Program])).program.expect("it is asked for");
    assert_eq!(task.counts, None);
}

#[test]
fn steps_that_want_no_more_than_to_be_let_go_are_not_counted() {
    let task = designed(&stick_into("nine-pin-scanned-returns"), &only(&[Class::Program])).program;
    assert_eq!(
        task.expect("it is asked for").counts,
        None,
        "a key of the machine's own holds its line by itself"
    );
}

#[test]
fn a_pad_that_speaks_a_protocol_is_read_by_a_program_as_its_own_machine_reads_it() {
    let pad = ends(["nine-pin-register-pad-8-bit", ""], [ONE_FIRE, ""]);
    let task = designed(&pad, &Wishes::default()).program.expect("a program can speak it");
    assert!(task.reads.is_empty() && task.spoken.contains(&control("up")));
    assert!(task.speaks_to.len() >= 3, "{:?}", task.speaks_to);
    assert_eq!((task.moves, task.within, task.counts), (0, None, None));
}

#[test]
fn a_register_tells_by_its_latch_where_the_count_begins() {
    // Chips can do this one; who asks for a program is told of it all the same.
    let task = designed(&stick_into("nine-pin-register-8-bit"), &only(&[Class::Program])).program;
    let count = task.expect("it is asked for").counts.expect("the clock says nothing by itself");
    assert_eq!(count.forgets_within, None);
    let begins: Vec<(String, Level)> =
        count.begins_at.iter().map(|(leg, level)| (leg.to_string(), *level)).collect();
    assert_eq!(begins, [("port.3".to_owned(), Level::High), ("port.4".to_owned(), Level::High)]);
    assert_eq!(count.alike, None, "chips can do it, and do");
}

#[test]
fn no_program_is_told_of_where_it_could_not_do_it_either() {
    let none = |ends: &(Controller, Port), wishes: &Wishes| assert_eq!(designed(ends, wishes).program, None);
    none(&stick_into("nine-way-serial"), &Wishes::default());
    none(&stick_into(ONE_FIRE), &Wishes { must: vec![control("c")], ..Wishes::default() });
    none(&stick_into(ONE_FIRE), &only(&[Class::Program]));
    // A join that somebody wishes goes from contact to contact, and no program sits there.
    none(&stick_into(SIX), &Wishes { joins: vec![join("4-7")], ..Wishes::default() });
    none(&stick_into(SIX), &only(&[Class::Plain, Class::Logic]));
}

/// Changes what a fact says, by hand; the facts that these refusals have are all here.
#[expect(clippy::wildcard_enum_match_arm, reason = "a fact that is not here fails the test")]
fn without(kind: &FactKind, (controller, port): &mut (Controller, Port), wishes: &mut Wishes) {
    let donor = stick_into(TWO_TRIGGER).1;
    let from_donor = |role: fn(&PortRole) -> bool| {
        donor.contacts.values().find(|contact| role(&contact.role)).cloned().expect("it has one")
    };
    let spare = ContactId::Number(250);
    match kind {
        FactKind::NoSupply => {
            _ = port.contacts.insert(spare, from_donor(|role| matches!(role, PortRole::Supply(_))));
        }
        FactKind::NoReturn => {
            _ = port.contacts.insert(spare, from_donor(|role| *role == PortRole::Return));
        }
        FactKind::Wish(action) => wishes.play.push((action.clone(), Vec::new())),
        FactKind::Identity => port.steps.iter_mut().for_each(|step| step.expects.clear()),
        FactKind::Inside => *controller = ends([PAD, ""], [ONE_FIRE, ""]).0,
        FactKind::NotComposed(id) => {
            port.contacts.get_mut(id).expect("it is read").role = PortRole::Unused;
            for step in &mut port.steps {
                step.reads.remove(id);
                step.expects.remove(id);
            }
            let left: Vec<_> = port.actions().into_iter().cloned().collect();
            port.fire_order.retain(|action| left.contains(action));
        }
        FactKind::SharedLine(id) => {
            // One of its actions is read no more.
            let last =
                port.steps.iter().rev().find_map(|step| step.reads.get(id)).cloned().expect("it is read");
            port.steps.iter_mut().for_each(|step| step.reads.retain(|_, action| *action != last));
            port.fire_order.retain(|action| *action != last);
        }
        other => panic!("say by hand how {other:?} could be otherwise"),
    }
}

#[test]
fn of_a_refusal_with_chips_too_any_one_fact_can_be_dropped() {
    let unfed = "[contact.5]\nrole = \"unused\"\n";
    let cases = [
        ends([STICK, ""], [SELECT, unfed]),
        ends(["nine-pin-register-pad-8-bit", ""], [ONE_FIRE, ""]),
        stick_into(SIX),
    ];
    for case in cases {
        let designs = designed(&case, &Wishes::default());
        assert!(designs.options.is_empty(), "{}", case.1.name);
        let told = kinds(&designs, Class::Logic);
        let told = if told.is_empty() { kinds(&designs, Class::Plain) } else { told };
        // One fact of each conflict goes; whichever it is, a lead exists.
        let most = told.iter().map(Vec::len).max().expect("there is a conflict");
        for at in 0..most {
            let (mut ends, mut wishes) = (case.clone(), Wishes::default());
            for facts in &told {
                without(&facts[at.min(facts.len() - 1)], &mut ends, &mut wishes);
            }
            let found = designed(&ends, &wishes);
            assert!(
                !found.options.is_empty(),
                "{}: {told:?} without {at}: {:?}",
                case.1.name,
                found.refused.len()
            );
        }
    }
}

#[test]
fn a_drawer_never_makes_a_lead_better() {
    for text in ["[chips]\n", "[diodes]\n", "[chips]\n74HC157 = 1\n[diodes]\nBAT85 = 2\n"] {
        for port in [TWO_TRIGGER, SELECT, "nine-pin-scanned-returns"] {
            let ends = stick_into(port);
            let [free, bound] =
                [Wishes::default(), from_drawer(text)].map(|wishes| designed(&ends, &wishes).options);
            let merit = |options: &[Choice]| {
                options.first().map(|best| (best.proof.verdict, best.given_up.len(), best.class))
            };
            // No lead at all is worse than any.
            let worst = (Verdict::Harms, usize::MAX, Class::Program);
            assert!(merit(&bound).unwrap_or(worst) >= merit(&free).unwrap_or(worst), "{port}");
            let uses = |chip| {
                bound.iter().flat_map(|it| &it.assembly.lead.parts).any(|it| it.body == Body::Chip(chip))
            };
            assert!(!uses(ChipPart::Hct157), "it is in no drawer");
        }
    }
}

fn switching(control_name: &str, actions: [&str; 2]) -> Wishes {
    let switch = SwitchWish { control: control(control_name), actions: actions.map(action) };
    Wishes { switches: vec![switch], ..Wishes::default() }
}

#[test]
fn a_refusal_speaks_of_nothing_that_nobody_asked() {
    let select = ends([STICK, ""], ["nine-pin-select", ""]);
    let designs = designed(&select, &switching("b", ["up", "a"]));
    assert!(designs.options.is_empty());
    let facts: Vec<_> = designs.refused.iter().flat_map(|refusal| &refusal.facts).collect();
    // Which classes are allowed nobody said, nor which control is a fire; the lever does what it always does.
    assert!(facts.iter().all(|fact| fact.kind != FactKind::OnlyClasses), "{facts:#?}");
    let asked = facts.iter().filter(|fact| fact.text.ends_with("as asked"));
    assert!(asked.clone().all(|fact| fact.text.contains("`b`")), "{facts:#?}");
}

#[test]
fn a_switch_sits_in_the_hood_that_is_not_moulded_on() {
    let moulded = Library::catalogue().cable("nine-core-moulded-socket").expect("it is in the catalogue");
    // A moulded end has one core for each contact: nobody else may fire.
    let play = vec![(action("fire"), Vec::new())];
    let wishes = Wishes { cable: Some(moulded), play, ..switching("b", ["fire", "second-fire"]) };
    let designs = designed(&ends([STICK, ""], [TWO_TRIGGER, ""]), &wishes);
    let [option] = designs.options.as_slice() else { panic!("{:#?}", designs.refused) };
    assert_eq!((option.class, option.proof.verdict), (Class::Parts, Verdict::Works));
    assert!(option.assembly.lead.parts.iter().all(|part| part.sits == EndId::Controller(0)));
    assert!(option.proof.findings.iter().all(|finding| finding.code != Code::BuildMouldedEnd));
}

/// Bits that come a million and a half times a second are answered by no wire and no gate; what answers them reads every
/// control, also those behind a register and the pots.
#[test]
fn a_port_that_speaks_a_protocol_is_served_by_a_program_alone() {
    for (controller, reads, spoken, pots) in
        [(STICK, 10, 0, 0), ("nine-pin-register-pad-8-bit", 0, 8, 0), ("fifteen-pin-game-stick", 2, 0, 2)]
    {
        let designs = designed(&ends([controller, ""], ["usb-host", ""]), &Wishes::default());
        assert!(designs.options.is_empty(), "{controller}");
        let [refusal] = designs.refused.as_slice() else { panic!("{controller} is refused once") };
        assert_eq!(
            refusal.facts.iter().map(|fact| &fact.kind).collect::<Vec<_>>(),
            [&FactKind::Speaks(Bus::UsbHid)]
        );
        let task = designs.program.expect("a program could do it");
        assert_eq!(task.bus, Some(Bus::UsbHid));
        assert_eq!(
            (task.reads.len(), task.spoken.len(), task.measures.len()),
            (reads, spoken, pots),
            "{controller}"
        );
        // USB 2.0, 7.2.1: a device that is not configured yet takes 100 mA at most (from memory).
        assert_eq!(task.supply.map(|(_, _, amps)| amps.get()), Some(0.1));
    }
    let plain = Wishes { classes: vec![Class::Plain], ..Wishes::default() };
    let designs = designed(&ends([STICK, ""], ["usb-host", ""]), &plain);
    assert!(designs.program.is_none() && designs.options.is_empty(), "only leads of wire were allowed");
}

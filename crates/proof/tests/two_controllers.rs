//! Leads with two controller ends: two sticks into one port, and a pass-through for a second one.

use std::collections::{BTreeMap, BTreeSet};

use solderside_lead::{Assembly, EndId, PlayMap, read_lead, write_lead};
use solderside_profile::{Controller, Library, Port, SourceFile};
use solderside_proof::{Code, Fit, Holds, Place, Proof, Severity, Verdict, fits, prove};

const ONE_BUTTON: &str = "nine-pin-stick-with-one-button";

/// A pad whose chips drive both levels.
const PUSHING: &str = "format = 1\nkind = 'controller'\nconnector = 'DE-9 socket'\nswitch = 'metal-dome'\n\
    gate = 'eight-way'\nfire_order = ['a']\n[contact.1]\ncontrol = 'up'\n[contact.6]\ncontrol = 'a'\n\
    [contact.7]\nrole = 'supply'\n[contact.8]\nrole = 'common'\n\
    [logic]\nfamily = 'hc'\noutput = 'push-pull'\nsupply_volts = [4.5, 5.0, 5.5]\nsupply_amps = [0.001, 0.005, 0.01]\n";

/// A pad for the one-fire port whose button has a resistor in series.
fn series(ohms: u16) -> String {
    format!(
        "format = 1\nkind = 'controller'\nconnector = 'DE-9 socket'\nswitch = 'metal-dome'\ngate = 'eight-way'\n\
         fire_order = ['a']\n[contact.1]\ncontrol = 'up'\n[contact.2]\ncontrol = 'down'\n[contact.3]\n\
         control = 'left'\n[contact.4]\ncontrol = 'right'\n[contact.6]\ncontrol = 'a'\n\
         series_ohms = [{ohms}, {ohms}, {ohms}]\n[contact.8]\nrole = 'common'\n"
    )
}

fn shelf() -> Library {
    Library::with_shelf(vec![
        SourceFile::new("pushing.toml", PUSHING),
        SourceFile::new("in-series.toml", series(300)),
        SourceFile::new("much-in-series.toml", series(700)),
    ])
}

fn read(controllers: &str, port: &str, joins: &[String]) -> Result<Assembly, String> {
    let joins: Vec<String> = joins.iter().map(|join| format!("'{join}'")).collect();
    let text = format!(
        "format = 1\nkind = 'lead'\n{controllers}\nport = '{port}'\njoins = [{}]\n",
        joins.join(", ")
    );
    read_lead(&SourceFile::new("lead.toml", text), &shelf()).map_err(|failure| failure.render())
}

fn lead(controllers: &str, port: &str, joins: &[String]) -> Assembly {
    read(controllers, port, joins).unwrap_or_else(|failure| panic!("{failure}"))
}

/// Joins of one end, such as `1-1`.
fn joins(end: &str, pairs: &[&str]) -> Vec<String> {
    let join = |pair: &&str| {
        let (from, to) = pair.split_once('-').expect("a pair");
        format!("{end}.{from} - port.{to}")
    };
    pairs.iter().map(join).collect()
}

const STRAIGHT: [&str; 6] = ["1-1", "2-2", "3-3", "4-4", "6-6", "8-8"];
const FIFTEEN: [&str; 6] = ["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];

type Reads = BTreeMap<BTreeSet<String>, BTreeSet<String>>;

/// What the machine reads for each combination of presses.
fn truth(proof: &Proof) -> Reads {
    let texts = |names: Vec<String>| names.into_iter().collect::<BTreeSet<_>>();
    let rows = proof.truth.iter().map(|row| {
        let pressed = row.pressed.iter().map(ToString::to_string).collect();
        (texts(pressed), texts(row.reads.iter().map(ToString::to_string).collect()))
    });
    rows.collect()
}

#[test]
fn of_two_switch_sticks_in_parallel_either_is_read() {
    let both = [joins("controller", &FIFTEEN), joins("controller-2", &STRAIGHT)].concat();
    let two = lead(
        &format!("controller = 'fifteen-pin-stick'\nsecond = '{ONE_BUTTON}'"),
        "nine-pin-one-fire",
        &both,
    );
    let proof = prove(&two).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    // The slow, obvious oracle: each stick alone, and the boolean OR of what the two read.
    let first = lead("controller = 'fifteen-pin-stick'", "nine-pin-one-fire", &joins("controller", &FIFTEEN));
    let second =
        lead(&format!("controller = '{ONE_BUTTON}'"), "nine-pin-one-fire", &joins("controller", &STRAIGHT));
    let [first, second] = [first, second].map(|alone| truth(&prove(&alone).unwrap()));
    let table = truth(&proof);
    let mut held_at_once = 0;
    for (pressed, reads) in &table {
        let (theirs, ours): (BTreeSet<String>, BTreeSet<String>) =
            pressed.iter().cloned().partition(|control| control.starts_with("second-"));
        let theirs: BTreeSet<String> = theirs.iter().map(|name| name["second-".len()..].to_owned()).collect();
        // A lever keeps opposite directions apart, but what holds without its gate holds with it.
        let (Some(one), Some(other)) = (first.get(&ours), second.get(&theirs)) else { continue };
        let either: BTreeSet<String> = one.union(other).cloned().collect();
        assert_eq!(*reads, either, "{pressed:?}");
        held_at_once += usize::from(!theirs.is_empty() && !ours.is_empty());
    }
    assert!(held_at_once > 0, "both are worked at the same time");
}

#[test]
fn two_pads_that_both_push_fight_on_one_line() {
    let straight = ["1-1", "6-6", "7-7", "8-8"];
    let alone = lead("controller = 'pushing'", "nine-pin-one-fire", &joins("controller", &straight));
    let fights = |proof: &Proof| proof.findings.iter().any(|own| own.code == Code::DriveFight);
    let alone = prove(&alone).unwrap();
    assert!(!fights(&alone), "{:#?}", alone.findings);
    let both = [joins("controller", &straight), joins("controller-2", &straight)].concat();
    let two = prove(&lead("controller = 'pushing'\nsecond = 'pushing'", "nine-pin-one-fire", &both)).unwrap();
    assert!(two.verdict >= Verdict::Fails && fights(&two), "{:#?}", two.findings);
}

fn through(second: &str) -> Assembly {
    let all = [joins("controller", &FIFTEEN), joins("controller-2", &STRAIGHT)].concat();
    lead(&format!("controller = 'fifteen-pin-stick'\n{second}through = true"), "nine-pin-one-fire", &all)
}

#[test]
fn a_pass_through_is_proved_with_nothing_in_it_and_with_the_ports_own_stick() {
    let proof = prove(&through(&format!("second = '{ONE_BUTTON}'\n"))).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let told: Vec<String> = proof.settings.iter().map(|own| own.setting.told()).collect();
    assert_eq!(
        told,
        [
            "with nothing plugged into `controller-2`",
            "with both controllers plugged in",
            "with nothing plugged into `controller`"
        ]
    );
    let alone = lead("controller = 'fifteen-pin-stick'", "nine-pin-one-fire", &joins("controller", &FIFTEEN));
    assert_eq!(truth(&proof.settings[0].proof), truth(&prove(&alone).unwrap()));
    assert!(proof.settings[1].proof.truth.iter().any(|row| row.pressed.len() > 2));
}

#[test]
fn the_verdict_holds_for_the_pull_ups_that_every_setting_allows() {
    // A button behind a resistor pulls its line less low than the stick's own does.
    let proof = prove(&through("second = 'in-series'\n")).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    let from =
        |holds: &[Holds]| holds.iter().filter(|own| own.unit == "Ω").map(|own| own.from).collect::<Vec<_>>();
    let [empty, plugged] = [0, 1].map(|at| from(&proof.settings[at].proof.holds_for));
    assert!(empty < plugged, "{empty:?} and {plugged:?}");
    assert_eq!(from(&proof.holds_for), plugged);
    // With much before it, it reads without margin, and so does the lead.
    let proof = prove(&through("second = 'much-in-series'\n")).unwrap();
    assert_eq!(proof.verdict, Verdict::Thin, "{:#?}", proof.findings);
    let told = proof.holds_for.iter().filter(|own| own.unit == "Ω");
    let told: Vec<&str> = told.map(|own| own.text.as_str()).collect();
    assert!(!told.is_empty() && told.iter().all(|text| text.starts_with("works without margin")), "{told:?}");
}

#[test]
fn of_a_controller_that_nobody_names_nothing_is_claimed() {
    let proof = prove(&through("")).unwrap();
    assert_eq!(proof.verdict, Verdict::Works, "{:#?}", proof.findings);
    assert_eq!(proof.settings.len(), 1);
    let note = proof.findings.iter().find(|own| own.code == Code::BuildUnknownEnd).expect("it is said");
    assert_eq!(note.severity, Severity::Note);
    assert!(
        note.text.starts_with("the verdict is about nothing plugged into `controller-2`"),
        "{}",
        note.text
    );
}

#[test]
fn of_two_sticks_either_may_be_out_while_the_other_is_played() {
    let both = [joins("controller", &FIFTEEN), joins("controller-2", &STRAIGHT)].concat();
    let two = format!("controller = 'fifteen-pin-stick'\nsecond = '{ONE_BUTTON}'");
    let proof = prove(&lead(&two, "nine-pin-one-fire", &both)).unwrap();
    let told: Vec<String> = proof.settings.iter().map(|own| own.setting.told()).collect();
    assert_eq!(
        told,
        [
            "with both controllers plugged in",
            "with nothing plugged into `controller`",
            "with nothing plugged into `controller-2`"
        ]
    );
    // With one out the lead is one for the other alone.
    let first = lead("controller = 'fifteen-pin-stick'", "nine-pin-one-fire", &joins("controller", &FIFTEEN));
    assert_eq!(truth(&proof.settings[2].proof), truth(&prove(&first).unwrap()));
    let second =
        lead(&format!("controller = '{ONE_BUTTON}'"), "nine-pin-one-fire", &joins("controller", &STRAIGHT));
    let named = |pressed: &BTreeSet<String>| pressed.iter().map(|own| format!("second-{own}")).collect();
    let second: Reads = truth(&prove(&second).unwrap())
        .iter()
        .map(|(pressed, reads)| (named(pressed), reads.clone()))
        .collect();
    let alone = truth(&proof.settings[1].proof);
    assert!(!second.is_empty() && second.iter().all(|(pressed, reads)| alone.get(pressed) == Some(reads)));
}

#[test]
fn a_pass_through_for_a_pad_that_pushes_is_no_sound_one() {
    let straight = ["1-1", "6-6", "7-7", "8-8"];
    let all = [joins("controller", &straight), joins("controller-2", &straight)].concat();
    let text = "controller = 'pushing'\nsecond = 'pushing'\nthrough = true";
    let proof = prove(&lead(text, "nine-pin-one-fire", &all)).unwrap();
    assert!(proof.verdict >= Verdict::Fails);
    let fight = proof.findings.iter().find(|own| own.code == Code::DriveFight).unwrap();
    assert!(fight.text.starts_with("with both controllers plugged in: "), "{}", fight.text);
}

#[test]
fn a_lead_with_two_ends_is_read_back_as_it_is_written() {
    for lead in [through(""), through(&format!("second = '{ONE_BUTTON}'\n"))] {
        let text = write_lead(&lead);
        let again = read_lead(&SourceFile::new("lead.toml", text), &shelf())
            .unwrap_or_else(|own| panic!("{}", own.render()));
        assert_eq!(again.fingerprint(), lead.fingerprint());
        assert_eq!(again.lead.play, lead.lead.play);
    }
}

#[test]
fn what_is_no_second_controller_is_refused_in_words() {
    let all = [joins("controller", &FIFTEEN), joins("controller-2", &["1-2"])].concat();
    let refused = |controllers: &str| read(controllers, "nine-pin-one-fire", &all).unwrap_err();
    let crossed =
        refused(&format!("controller = 'fifteen-pin-stick'\nsecond = '{ONE_BUTTON}'\nthrough = true"));
    assert!(crossed.contains("passes one contact on to another"), "{crossed}");
    let wrong_plug =
        refused("controller = 'fifteen-pin-stick'\nsecond = 'fifteen-pin-stick'\nthrough = true");
    assert!(wrong_plug.contains("does not go into `nine-pin-one-fire`"), "{wrong_plug}");
    let keypad =
        refused("controller = 'fifteen-pin-stick'\nsecond = 'fifteen-pin-analogue-stick-with-keypad'");
    assert!(keypad.contains("one has two-key rollover"), "{keypad}");
}

/// Whatever else goes into one of the three ends is proved as the lead is that is written for it.
#[test]
fn what_else_goes_into_an_end_comes_to_what_the_lead_written_for_it_does() {
    let library = shelf();
    let entries = library.entries();
    let controllers: Vec<Controller> =
        entries.iter().filter_map(|entry| library.controller(&entry.name).ok()).collect();
    let ports: Vec<Port> = entries.iter().filter_map(|entry| library.port(&entry.name).ok()).collect();
    let port = "nine-pin-one-fire";
    let all = [joins("controller", &FIFTEEN), joins("controller-2", &STRAIGHT)].concat();
    let ends = |first: &str, second: &str| format!("controller = '{first}'\nsecond = '{second}'");
    for through in ["", "\nthrough = true"] {
        let own = lead(&(ends("fifteen-pin-stick", ONE_BUTTON) + through), port, &all);
        let mut tried = [0; 3];
        for fitting in fits(&own, &controllers, &ports).unwrap() {
            let name = fitting.name.as_str();
            let (place, written) = match (fitting.end, fitting.place) {
                (EndId::Port, _) => (2, read(&(ends("fifteen-pin-stick", ONE_BUTTON) + through), name, &all)),
                (EndId::Controller(0), Place::Controller) => {
                    (0, read(&(ends(name, ONE_BUTTON) + through), port, &all))
                }
                (EndId::Controller(1), Place::Controller) => {
                    (1, read(&(ends("fifteen-pin-stick", name) + through), port, &all))
                }
                // A machine at an end for a controller.
                _ => {
                    assert_eq!((fitting.fit, fitting.is_harmless), (Fit::Never, false), "{name}");
                    continue;
                }
            };
            tried[place] += 1;
            let Ok(mut written) = written else {
                assert_eq!(
                    (fitting.fit, fitting.is_harmless),
                    (Fit::Never, false),
                    "{name} cannot be the second"
                );
                continue;
            };
            written.lead.play = PlayMap::default();
            for action in written.port.actions().into_iter().cloned().collect::<Vec<_>>() {
                let plays = fitting.play.iter().filter(|(_, actions)| actions.contains(&action));
                written.lead.play.set(action.clone(), plays.map(|(control, _)| control.clone()));
            }
            let whole = prove(&written).unwrap();
            let harms = |verdict: Verdict| verdict == Verdict::Harms;
            assert_eq!(harms(fitting.verdict), harms(whole.verdict), "{name} at {}: {whole:?}", fitting.end);
            assert!(!(fitting.is_harmless && harms(whole.verdict)), "{name}");
            if fitting.fit != Fit::Never {
                assert_eq!(fitting.verdict, whole.verdict, "{name} at {}", fitting.end);
            }
        }
        assert!(tried.iter().all(|count| *count > 2), "{tried:?}");
    }
}

#[test]
fn of_an_end_of_which_nobody_knew_what_goes_in_each_stick_is_told() {
    let library = shelf();
    let all = [joins("controller", &FIFTEEN), joins("controller-2", &STRAIGHT)].concat();
    let open = lead("controller = 'fifteen-pin-stick'\nthrough = true", "nine-pin-one-fire", &all);
    let stick = library.controller(ONE_BUTTON).unwrap();
    let found = fits(&open, &[stick], &[library.port("nine-pin-two-button-light-gun").unwrap()]).unwrap();
    let at = |end| found.iter().find(|fitting| fitting.end == end).unwrap();
    let second = at(EndId::Controller(1));
    assert_eq!((second.fit, second.verdict), (Fit::Works, Verdict::Works), "{second:?}");
    assert!(second.play.iter().any(|(control, _)| control.as_str() == "second-up"));
    // On another machine nobody knows any better what is plugged in there.
    let codes: Vec<Code> = at(EndId::Port).findings.iter().map(|finding| finding.code).collect();
    assert!(codes.contains(&Code::BuildUnknownEnd), "{codes:?}");
}

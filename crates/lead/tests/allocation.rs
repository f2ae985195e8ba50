//! Which core each join takes: the laws, held against trying everything, and the habits of the trade.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use solderside_lead::{Allocation, Assembly, Body, EndId, Job, Join, Part, default_map};
use solderside_profile::{Cable, CoreId, Library, MouldedEnd, SourceFile};
use solderside_trade::{Connector, ContactId, CoreColour, DiodePart};

/// A lead in a cable of the catalogue, or of a file that starts from one.
fn assembly(controller: &str, port: &str, joins: &[&str], cable: &str) -> Assembly {
    let library = Library::with_shelf(vec![SourceFile::new("mine.toml", cable)]);
    let controller = library.controller(controller).expect("a controller of the catalogue");
    let port = library.port(port).expect("a port of the catalogue");
    let play = default_map(&controller, &port);
    let mut assembly = Assembly::between(controller, port, play);
    assembly.lead.joins = joins.iter().map(|text| join(text)).collect();
    assembly.lead.settle();
    assembly.lead.run_in(library.cable("mine").unwrap_or_else(|failure| panic!("{}", failure.render())));
    assembly
}

/// Reads `13-6`, the controller's contact first.
fn join(text: &str) -> Join {
    let (from, to) = text.split_once('-').expect("a join has two ends");
    format!("controller.{from} - port.{to}").parse().expect("two contacts")
}

/// "13-6: 1 WH", join by join.
fn told(assembly: &Assembly) -> Vec<String> {
    let allocation = Allocation::of(assembly).expect("a cable is chosen");
    let cable = assembly.lead.cable.as_ref().expect("a cable is chosen");
    let core = |join: &Join| match allocation.cores.get(join) {
        Some(core) => match cable.colour(*core) {
            Some(colour) => format!("{core} {colour}"),
            None => core.to_string(),
        },
        None => "none".to_owned(),
    };
    let joins = assembly.lead.joins.iter();
    joins.map(|join| format!("{}-{}: {}", join.from.contact, join.to.contact, core(join))).collect()
}

const STICK: &[&str] = &["15-1", "7-2", "14-3", "6-4", "13-6", "1-8"];
const PAD: &[&str] = &["15-1", "7-2", "14-3", "6-4", "13-6", "1-8", "8-7"];

fn stick(cable: &str) -> Assembly {
    assembly("fifteen-pin-stick", "nine-pin-one-fire", STICK, cable)
}

fn pad(cable: &str) -> Assembly {
    assembly("fifteen-pin-pad-with-logic", "nine-pin-one-fire", PAD, cable)
}

#[test]
fn a_return_is_black_a_supply_red_and_the_others_follow_the_cable() {
    assert_eq!(
        told(&pad("like = 'ten-core-control'")),
        ["1-8: 9 BK", "6-4: 1 WH", "7-2: 2 BN", "8-7: 8 RD", "13-6: 3 GN", "14-3: 4 YE", "15-1: 5 GY"]
    );
}

#[test]
fn what_stays_within_a_hood_takes_no_core() {
    let mut lead = stick("like = 'ten-core-control'");
    let diode = Body::Diode(DiodePart::ALL[0]);
    lead.lead.parts = vec![Part { number: 1, body: diode, sits: EndId::Port }];
    let joins = ["controller.15 - d1.cathode", "d1.anode - port.1", "port.1 - port.2"];
    lead.lead.joins = joins.map(|text| text.parse().expect("a join")).into();
    let cores = |lead: &Assembly| {
        let allocation = Allocation::of(lead).expect("a cable is chosen");
        assert_eq!(allocation.without, []);
        allocation.cores.keys().map(Join::to_string).collect::<Vec<_>>()
    };
    assert_eq!(cores(&lead), ["controller.15 - d1.cathode"]);
    lead.lead.parts[0].sits = EndId::Controller(0);
    assert_eq!(cores(&lead), ["d1.anode - port.1"]);
}

#[test]
fn a_supply_shares_its_pair_with_the_return() {
    // Red decides: its partner is blue, and black is in another pair.
    assert_eq!(
        told(&pad("like = 'five-pair-screened'")),
        ["1-8: 7 BU", "6-4: 1 WH", "7-2: 2 BN", "8-7: 8 RD", "13-6: 3 GN", "14-3: 4 YE", "15-1: 5 GY"]
    );
}

#[test]
fn a_return_without_a_supply_shares_its_pair_with_a_line() {
    let lead = stick("like = 'five-pair-screened'");
    assert_eq!(told(&lead)[..2], ["1-8: 9 BK", "6-4: 10 VT"]);
    let spares = Allocation::of(&lead).map(|allocation| allocation.spares);
    let spares = spares.map(|spares| spares.iter().map(CoreId::to_string).collect::<Vec<_>>());
    assert_eq!(spares, Some(["5", "6", "7", "8", "drain"].map(str::to_owned).into()));
}

#[test]
fn green_and_yellow_is_the_last_to_be_taken() {
    let cable = "conductor = '0.5 mm2'\ncolours = ['GNYE', 'BN', 'BU', 'BK', 'GY', 'WH', 'RD']\n";
    let cable = format!("format = 1\nkind = 'cable'\n{cable}");
    assert_eq!(
        told(&stick(&cable)),
        ["1-8: 4 BK", "6-4: 2 BN", "7-2: 3 BU", "13-6: 5 GY", "14-3: 6 WH", "15-1: 7 RD"]
    );
}

#[test]
fn a_moulded_contact_says_which_core_reaches_it() {
    let lead = stick("like = 'nine-core-moulded-socket'");
    assert_eq!(
        told(&lead),
        ["1-8: 8 GY", "6-4: 4 OG", "7-2: 2 BN", "13-6: 6 GN", "14-3: 3 RD", "15-1: 1 BK"]
    );
}

#[test]
fn a_join_to_a_moulded_contact_that_is_not_wired_goes_without() {
    let moulded = "[[moulded]]\nconnector = 'DE-9 socket'\ncores = { 1 = 1, 2 = 2, 3 = 3, 4 = 4, 6 = 6 }";
    let lead = stick(&format!("like = 'nine-core-moulded-socket'\n{moulded}"));
    let allocation = Allocation::of(&lead).expect("a cable is chosen");
    assert_eq!(allocation.without, [join("1-8")]);
}

#[test]
fn a_moulded_end_that_is_no_end_of_the_lead_binds_nothing() {
    let moulded = "[[moulded]]\nconnector = 'DE-9 plug'\ncores = { 1 = 1 }";
    let allocation = Allocation::of(&stick(&format!("like = 'ten-core-control'\n{moulded}")));
    let allocation = allocation.expect("a cable is chosen");
    assert_eq!(allocation.strays.iter().map(Connector::to_string).collect::<Vec<_>>(), ["DE-9 plug"]);
    assert_eq!(allocation.without, []);
}

#[test]
fn a_shell_takes_the_drain_and_nothing_else_does() {
    let few = "like = 'five-pair-screened'\ncores = 6\npairs = []";
    let mut joins = STICK.to_vec();
    joins.push("shell-8");
    let lead = assembly("fifteen-pin-stick", "nine-pin-one-fire", &joins, few);
    assert_eq!(told(&lead)[6], "shell-8: drain");
    joins.push("13-9");
    let lead = assembly("fifteen-pin-stick", "nine-pin-one-fire", &joins, few);
    assert_eq!(Allocation::of(&lead).map(|allocation| allocation.without.len()), Some(1));
}

#[test]
fn with_too_few_cores_the_return_is_served_first_and_then_the_supply() {
    let lead = pad("like = 'ten-core-control'\ncores = 2");
    assert_eq!(told(&lead)[0], "1-8: 1 WH");
    assert_eq!(told(&lead)[3], "8-7: 2 BN");
}

#[test]
fn a_link_within_one_end_needs_no_core() {
    let mut lead = stick("like = 'ten-core-control'\ncores = 6");
    lead.lead.joins.push("controller.5 - controller.13".parse().expect("two contacts"));
    lead.lead.settle();
    assert_eq!(Allocation::of(&lead).map(|allocation| allocation.without), Some(Vec::new()));
}

#[test]
fn a_core_that_is_moulded_in_at_both_ends_is_a_join() {
    let ends = "
        [[moulded]]
        connector = 'DA-15 socket'
        cores = { 15 = 1, 8 = 2 }
        [[moulded]]
        connector = 'DE-9 socket'
        cores = { 1 = 1, 7 = 2 }";
    let lead = assembly(
        "fifteen-pin-stick",
        "nine-pin-one-fire",
        &["15-1"],
        &format!("like = 'ten-core-control'\n{ends}"),
    );
    let allocation = Allocation::of(&lead).expect("a cable is chosen");
    assert_eq!(told(&lead), ["15-1: 1 WH"]);
    assert_eq!(allocation.moulded_through(CoreId::Number(2)), [join("8-7")]);
    assert_eq!(allocation.moulded_through(CoreId::Number(3)), []);
}

/// The most joins that can be served, found by trying everything.
fn most(
    joins: &[Join],
    cable: &Cable,
    moulded: &BTreeMap<EndId, MouldedEnd>,
    taken: &BTreeSet<CoreId>,
) -> usize {
    let Some((first, rest)) = joins.split_first() else { return 0 };
    let served =
        cable.cores().filter(|core| may_run(*first, *core, moulded) && !taken.contains(core)).map(|core| {
            let taken = taken.iter().copied().chain([core]).collect();
            1 + most(rest, cable, moulded, &taken)
        });
    served.chain([most(rest, cable, moulded, taken)]).max().unwrap_or(0)
}

/// What the bench says of a join and a core.
fn may_run(join: Join, core: CoreId, moulded: &BTreeMap<EndId, MouldedEnd>) -> bool {
    let shell = [join.from.contact, join.to.contact].contains(&ContactId::Shell);
    let reaches = |end: EndId, contact: ContactId| {
        moulded.get(&end).is_none_or(|moulded| moulded.contact_of(core) == Some(contact))
    };
    (core != CoreId::Drain || shell)
        && reaches(join.from.end, join.from.contact)
        && reaches(join.to.end, join.to.contact)
}

/// A moulded end with up to five cores on a few contacts, and the drain on its shell.
fn moulded(connector: &'static str) -> impl Strategy<Value = MouldedEnd> {
    let cores = prop::sample::subsequence((1_u8..=5).collect::<Vec<_>>(), 1..=5).prop_shuffle();
    let contacts = prop::sample::subsequence((4_u8..=9).collect::<Vec<_>>(), 5);
    (cores, contacts, any::<bool>()).prop_map(move |(cores, contacts, shell)| {
        let numbers = contacts.into_iter().zip(cores);
        let mut contacts: BTreeMap<_, _> =
            numbers.map(|(contact, core)| (ContactId::Number(contact), CoreId::Number(core))).collect();
        if shell {
            contacts.insert(ContactId::Shell, CoreId::Drain);
        }
        MouldedEnd { connector: connector.parse().expect("a connector"), contacts }
    })
}

/// Small leads in small cables of all kinds, ends moulded or not.
fn small() -> impl Strategy<Value = Assembly> {
    let colours = prop::collection::vec(1_u8..=12, 1..=5);
    let ends = (prop::option::of(moulded("DA-15 socket")), prop::option::of(moulded("DE-9 socket")));
    let contact = || prop_oneof![8 => (4_u8..=9).prop_map(ContactId::Number), 1 => Just(ContactId::Shell)];
    let joins = prop::collection::vec((contact(), contact()), 0..7);
    let pairs = prop::sample::select(vec![vec![], vec![[1, 2]], vec![[1, 4], [2, 3]]]);
    (colours, ends, joins, pairs, any::<bool>()).prop_map(|(colours, ends, joins, pairs, drain)| {
        let mut lead = pad("like = 'ten-core-control'");
        lead.lead.joins = joins.iter().map(|(from, to)| join(&format!("{from}-{to}"))).collect();
        lead.lead.settle();
        let count = colours.len();
        let cable = lead.lead.cable.as_mut().expect("a cable is chosen");
        cable.colours = colours.into_iter().filter_map(CoreColour::din_47100).collect();
        cable.drain = drain;
        cable.pairs = pairs;
        cable.pairs.retain(|pair| pair.iter().all(|core| usize::from(*core) <= count));
        cable.moulded = [ends.0, ends.1].into_iter().flatten().collect();
        lead
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn each_join_has_at_most_one_core_and_as_many_as_can_be_have_one(lead in small()) {
        let allocation = Allocation::of(&lead).expect("a cable is chosen");
        let cable = lead.lead.cable.as_ref().expect("a cable is chosen");
        let used: BTreeSet<CoreId> = allocation.cores.values().copied().collect();
        prop_assert_eq!(used.len(), allocation.cores.len(), "a core is given out twice");
        for (join, core) in &allocation.cores {
            prop_assert!(may_run(*join, *core, &allocation.moulded), "{} cannot run in {}", join, core);
        }
        let mut all: Vec<Join> = allocation.cores.keys().chain(&allocation.without).copied().collect();
        all.sort_unstable();
        prop_assert_eq!(&all, &lead.lead.joins);
        let cores: Vec<CoreId> = cable.cores().collect();
        prop_assert_eq!(allocation.spares.len() + used.len(), cores.len());
        prop_assert!(allocation.spares.iter().all(|core| cores.contains(core) && !used.contains(core)));
        let possible = most(&lead.lead.joins, cable, &allocation.moulded, &BTreeSet::new());
        prop_assert_eq!(allocation.cores.len(), possible);
    }

    #[test]
    fn a_return_never_goes_without_while_a_line_is_served(lead in small()) {
        let allocation = Allocation::of(&lead).expect("a cable is chosen");
        let cable = lead.lead.cable.as_ref().expect("a cable is chosen");
        let home: Vec<Join> = lead.lead.joins.iter().filter(|join| lead.job(**join) == Job::Return).copied().collect();
        let served = home.iter().filter(|join| allocation.cores.contains_key(join)).count();
        prop_assert_eq!(served, most(&home, cable, &allocation.moulded, &BTreeSet::new()));
    }
}

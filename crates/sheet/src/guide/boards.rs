//! Parts on a board in the guide's words: what is bought, how the board is made up leg by leg, and how its chips are
//! first powered.

use std::collections::BTreeSet;

use maud::{Markup, html};
use solderside_lead::{Body, Changeover, EndId, Join, Lead, Leg, Part, PartId};
use solderside_meter::feeds;
pub(super) use solderside_meter::{FedChip, fed_chips as chips};
use solderside_trade::{Block, ChipPart, ContactId, StageOutput, TransistorPart};

use super::frame::{Section, source, table, tick, to_do};
use super::plugged::is_out;
use super::text::{conductor, place};
use super::{Subject, figure};
use crate::perfboard::{BoardPlan, BoardSeat, BoardWire, Side, side_drawing};
use crate::words::{
    contact, count, end_name, has_board, initial, is_bare, is_short, leg_of, listed, part_name,
};

const HABIT: &str = "common practice, no source";

/// The ends in whose hoods boards sit.
pub(super) fn ends(lead: &Lead) -> Vec<EndId> {
    lead.ends.iter().map(|end| end.id).filter(|end| has_board(lead, *end)).collect()
}

/// The names of a lead's chips: "U1 and U2".
pub(super) fn names(lead: &Lead) -> String {
    listed(chips(lead).iter().map(|fed| part_name(fed.part.id())))
}

/// "DIP-16".
pub(super) fn package(chip: ChipPart) -> String {
    format!("DIP-{}", chip.sheet().legs.len())
}

/// What is said of a chip that is bought.
pub(super) fn of_a_chip(chip: ChipPart, number: usize, names: &[String]) -> Markup {
    let sheet = chip.sheet();
    let legs = sheet.legs.len();
    html! {
        b { (number) " × " (chip) " in " (package(chip)) } " (" (listed(names)) "), " (sheet.what) "; and for each a socket of " (legs)
        " legs, two rows 7.62 mm apart. What is printed on it is longer: the maker’s letters stand before the name, and \
        those behind it tell the package; only a package with two rows of stiff legs fits. The letters within the name are the \
        family, and "
        b { "no other family does in its place" }
        ": its inputs have other thresholds and its outputs other strength, and nothing here was proved for it. "
        (source(sheet.source.text))
    }
}

/// What is said of a transistor that is bought.
pub(super) fn of_a_transistor(transistor: TransistorPart, number: usize, names: &[String]) -> Markup {
    let row = transistor.sheet().row;
    html! {
        b { (number) " × " (transistor) } " in a small case with one flat side (" (listed(names)) "). From left to right, the flat \
        side to you and the legs down: " b { (listed(row.value)) } ". Makers differ in that order, so look at the sheet of the very \
        one that you buy. Do not put another type in its place. "
        (source(row.source.text))
    }
}

/// The board itself and its wire.
pub(super) fn shopping(subject: &Subject<'_>) -> Markup {
    let lead = &subject.assembly.lead;
    let ends = ends(lead);
    html! {
        @for plan in &subject.boards {
            li {
                b { "1 × piece of perforated board" } ", holes 2.54 mm apart, a ring of copper round each and no strips between them, of "
                (plan.columns) " by " (plan.rows) " holes (" (millimetres(plan)) "), for " (part_list(lead, plan.end)) ". It has to go into the \
                hood with them"
                @if chips(lead).iter().any(|fed| fed.part.sits == plan.end) { ", and a chip in its socket stands about 10 mm high" }
                @if switches(lead, plan.end).next().is_some() { ", and the lever of a switch has to come out through an opening" }
                ". "
                @if plan.too_large(lead).is_none() { "Where it does not, take a larger hood, or a small closed box in the cable close to this end. " }
                (source("from memory (height); common practice, no source"))
                @if let Some(told) = plan.too_large(lead) {
                    " "
                    b { (told) } " A box clamps the jacket at both of its walls; the pieces from the cups to the board then run in a \
                    short jacket of their own, and are as much longer. " (source(HABIT))
                }
            }
        }
        @if !ends.is_empty() {
            @let is_insulated = subject.boards.iter().flat_map(|plan| &plan.wires).any(|wire| wire.insulated);
            li { "Bare tinned wire of 0.5 mm for the board, "
                @if is_insulated { "thin insulated wire where its table asks for that, " }
                "and insulating tape or wide sleeve to wrap the board in. " (source(HABIT)) }
            @for switch in &lead.changeovers {
                @let lugs = lead.part(switch.part).map_or(0, |part| part.body.legs().count());
                li { (count(lugs, "piece")) " of thin insulated wire, 30 mm long, and as many pieces of heat-shrink sleeve of 10 mm, for the \
                    lugs of " (part_name(switch.part)) ": most do not go into the holes of the board. " (source(HABIT)) }
            }
        }
    }
}

/// "R1, C1 and U1".
fn part_list(lead: &Lead, end: EndId) -> String {
    listed(lead.parts.iter().filter(|part| part.sits == end).map(|part| part_name(part.id())))
}

/// What is done to the parts of boards before anything is soldered.
pub(super) fn preparations(lead: &Lead) -> Vec<Markup> {
    let chips = chips(lead);
    let several = chips.len() > 1;
    let mut items = Vec::new();
    if !chips.is_empty() {
        let last_legs: BTreeSet<usize> = chips.iter().map(|fed| fed.chip.sheet().legs.len()).collect();
        items.push(html! {
            "Leave " (names(lead)) " in the foam or tube until " @if several { "their turn comes" } @else { "its turn comes" }
            ": static that nobody feels can kill a chip. Touch earthed metal before you take it out, hold it by its two ends, and bend \
             none of its legs. Find its notch: seen from above, the notch to the left, leg 1 is the first below it, and they count on from \
             there against the clock to leg "
            (last_legs.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ")) " above the notch. "
            (source(HABIT))
        });
    }
    if lead.parts.iter().any(|part| matches!(part.body, Body::Transistor(_)) && has_board(lead, part.sits)) {
        items.push(html! {
            "Hold each transistor with its flat side to you and its legs down, and compare its order of legs with the list above and \
             with the sheet of its maker. " (source(HABIT))
        });
    }
    items
}

/// The boards as they are built: both sides, every wire to tick off, and what is left over; none where there is none.
pub(super) fn section(subject: &Subject<'_>) -> Option<Section> {
    let body = html! { @for plan in &subject.boards { (board(subject, plan)) } };
    (!subject.boards.is_empty()).then(|| Section::new("board", "Board", body))
}

fn board(subject: &Subject<'_>, plan: &BoardPlan) -> Markup {
    let Subject { assembly, colouring, .. } = subject;
    let insulated = plan.wires.iter().filter(|wire| wire.insulated).count();
    let rows = plan.wires.iter().zip(1..).map(|(wire, number)| wire_row(subject, wire, number));
    let spares = spares(&assembly.lead, plan.end);
    let end = end_name(assembly, plan.end).to_lowercase();
    html! {
        div class="sides" {
        p {
            "The board of the " (end) " has " b { (plan.columns) " columns and " (plan.rows) " rows" } " of holes 2.54 mm apart, "
            (millimetres(plan)) " in all. A hole is named by its row and its column: " b { "C7" } " is the seventh of row C. The two pictures are to scale, and larger than the board."
        }
        (too_large(&assembly.lead, plan))
        (figure(side_drawing(assembly, colouring, plan, Side::Component), "The component side. The dot is at leg 1 of a chip, beside its notch. A round body stands on end over one hole, and its bent leg goes into the other."))
        (figure(side_drawing(assembly, colouring, plan, Side::Solder), "The solder side, as you see it with the iron in your hand. Solid lines are bare wire, hollow ones insulated wire. Bare wires of one net meet in a hole and are soldered there."))
        }
        div class="laid" {
        p {
            @if insulated == 0 { "No wire crosses another: all may be bare." }
            @else {
                (count(insulated, "wire")) " must be insulated: " @if insulated == 1 { "it crosses others, or passes" } @else { "they cross others, or pass" }
                " over joints, " (times(plan.crossings)) "."
            }
            " Each row joins two legs; where part of the way lies already from a row before, only what is named is laid on."
        }
        (table(&format!("Wires of the board, {end}, in the order of soldering"), &["No.", "Joins", "And", "By laying", "Done"], rows.collect()))
        @if !spares.is_empty() { p { "Left over in the chips: " (spares.join("; ")) "." } }
        }
    }
}

/// That an ordinary hood is too small for a board, where that is so.
fn too_large(lead: &Lead, plan: &BoardPlan) -> Markup {
    html! { @if let Some(told) = plan.too_large(lead) { p class="caution" { (told) } } }
}

/// The same of all boards.
pub(super) fn all_too_large(subject: &Subject<'_>) -> Markup {
    html! { @for plan in &subject.boards { (too_large(&subject.assembly.lead, plan)) } }
}

/// "30.5 mm by 27.9 mm".
fn millimetres(plan: &BoardPlan) -> String {
    let [high, wide] = plan.millimetres();
    format!("{wide:.1} mm by {high:.1} mm")
}

/// "once", "7 times".
fn times(number: u32) -> String {
    if number == 1 { "once".to_owned() } else { format!("{number} times") }
}

fn wire_row(subject: &Subject<'_>, wire: &BoardWire, number: usize) -> Vec<Markup> {
    let holes = [wire.corners.first(), wire.corners.last()];
    let [from, to] = [0, 1].map(|at| {
        html! {
            @if let Some(hole) = holes[at] { b { (hole) } " " }
            @if wire.legs[at].part_id().is_none() || !sits_together(subject, wire) && at == 0 {
                (wire_word(subject, wire.join)) " " (subject.colouring.letters(wire.join)) " of " (place(subject.assembly, wire.legs[at]))
            } @else { (contact(subject.assembly, wire.legs[at])) }
        }
    });
    let unused = ties_unused(&subject.assembly.lead, wire);
    vec![
        html! { (number) },
        from,
        to,
        html! { (wire.told()) @if unused { "; holds an unused input" } },
        tick(&format!("wire {number}")),
    ]
}

/// What leads to a board: a conductor of the cable, or a short wire from a cup beside it.
fn wire_word(subject: &Subject<'_>, join: Join) -> &'static str {
    if is_short(subject.assembly, join) { "short wire" } else { "conductor" }
}

/// Whether both legs of a wire sit on its board.
fn sits_together(subject: &Subject<'_>, wire: &BoardWire) -> bool {
    !subject.assembly.lead.runs_through_cable(&wire.join)
}

/// A block's inputs and outputs.
fn block_legs(block: &Block) -> (Vec<u8>, Vec<u8>) {
    let outputs = |outputs: &[StageOutput]| outputs.iter().map(|output| output.leg).collect();
    match block {
        Block::Gate(gate) => (gate.inputs.to_vec(), vec![gate.output]),
        Block::Switch(switch) => (vec![switch.control], switch.sides.to_vec()),
        Block::Counter(counter) => (vec![counter.clock, counter.reset], outputs(counter.outputs)),
        Block::Register(register) => {
            let own = register.parallel.iter().chain(register.clocks).copied();
            (own.chain([register.serial, register.load]).collect(), outputs(register.outputs))
        }
    }
}

/// The blocks of a chip by whether what they drive leads anywhere: those that are used, and those that are left over.
fn blocks(lead: &Lead, part: &Part, chip: ChipPart) -> [Vec<(Vec<u8>, Vec<u8>)>; 2] {
    let is_joined = |leg: &u8| lead.joined(Leg::part(part.id(), ContactId::Number(*leg))).next().is_some();
    let (used, spare) =
        chip.sheet().blocks.iter().map(block_legs).partition(|(_, out)| out.iter().any(is_joined));
    [used, spare]
}

/// What is left over of the chips of an end: "U1 legs 9, 10 and 8".
fn spares(lead: &Lead, end: EndId) -> Vec<String> {
    let mut spares = Vec::new();
    for part in lead.parts.iter().filter(|part| part.sits == end) {
        if let Body::Chip(chip) = part.body {
            let [_, spare] = blocks(lead, part, chip);
            spares.extend(spare.into_iter().map(|(inputs, outputs)| {
                format!("{} from {} to {}", part_name(part.id()), legs(&inputs), legs(&outputs))
            }));
        }
    }
    spares
}

fn legs(numbers: &[u8]) -> String {
    format!("leg{} {}", if numbers.len() == 1 { "" } else { "s" }, listed(numbers))
}

/// Whether a wire holds an input that nothing in use depends on.
fn ties_unused(lead: &Lead, wire: &BoardWire) -> bool {
    wire.legs.iter().any(|leg| {
        let part = leg.part_id().and_then(|id| lead.part(id));
        let (Some(part), ContactId::Number(number)) = (part, leg.contact) else { return false };
        let Body::Chip(chip) = part.body else { return false };
        let [used, spare] =
            blocks(lead, part, chip).map(|of| of.iter().any(|(inputs, _)| inputs.contains(&number)));
        spare && !used
    })
}

/// The making up of an end's board.
pub(super) fn make_up(subject: &Subject<'_>, end: EndId) -> Vec<Markup> {
    let assembly = subject.assembly;
    let Some(plan) = subject.boards.iter().find(|plan| plan.end == end) else { return Vec::new() };
    let mut items = seating(subject, plan);
    let bare = plan.wires.iter().filter(|wire| !wire.insulated).count();
    let all = plan.wires.len();
    if bare > 0 {
        items.push(html! {
            "Bare wires: " (numbers(1, bare)) " of the " a href="#board" { "table" } ". Lay each flat from hole to hole as the picture of the \
            solder side shows it, solder it at both ends and where it bends, and tick it off. A hole that waits for a conductor stays \
            open. " (source(HABIT))
        });
    }
    if bare < all {
        items.push(html! {
            "Insulated wires: " (numbers(bare + 1, all)) ". They lie over the bare ones; strip no more than 2 mm at each end, so that no copper \
            reaches a neighbour. " (source(HABIT))
        });
    }
    items.push(html! {
        "Look at the underside under a lamp: no drop, whisker or strand may reach a neighbouring leg."
        @match chips(&assembly.lead).iter().filter(|fed| fed.part.sits == end).count() {
            0 => {},
            1 => {
                " Buzz each leg of the socket against the next in its row: only those may sound that the table of its legs joins. The chip \
                 stays out of its socket until its supply has been measured there."
            },
            _ => {
                " Buzz each leg of the sockets against the next in its row: only those may sound that the tables of their legs join. The chips \
                 stay out of their sockets until the supply of each has been measured there."
            },
        }
    });
    items.extend(plan.entries.iter().map(|entry| {
        html! {
            "Into hole " b { (entry.hole) } ", from the component side: "
            @if is_short(assembly, entry.join) { "the short wire " }
            (conductor(subject, entry.join)) ", which goes to "
            (place(assembly, entry.leg)) "."
        }
    }));
    items
}

/// "no. 3", "nos. 1 to 12".
fn numbers(first: usize, last: usize) -> String {
    if first == last { format!("no. {first}") } else { format!("nos. {first} to {last}") }
}

/// The board cut, and the parts in it, the low ones first.
fn seating(subject: &Subject<'_>, plan: &BoardPlan) -> Vec<Markup> {
    let lead = &subject.assembly.lead;
    let chips: Vec<FedChip> = chips(lead).into_iter().filter(|fed| fed.part.sits == plan.end).collect();
    let sockets: Vec<String> = chips.iter().map(|fed| part_name(fed.part.id())).collect();
    let of = |is_wanted: &dyn Fn(&BoardSeat) -> bool| {
        let seats = plan.seats.iter().filter(|seat| is_wanted(seat));
        seats.map(|seat| format!("{} {}", part_name(seat.part.id()), holes(seat))).collect::<Vec<_>>()
    };
    let is_rod = |seat: &BoardSeat| matches!(seat.part.body, Body::Diode(_) | Body::Resistor(_));
    let lying = of(&|seat| is_rod(seat) && !seat.upright);
    let is_own = |seat: &BoardSeat| matches!(seat.part.body, Body::Chip(_) | Body::Changeover(_));
    let standing = of(&|seat| !is_own(seat) && (seat.upright || !is_rod(seat)));
    let has_diode = plan.seats.iter().any(|seat| matches!(seat.part.body, Body::Diode(_)));
    let mut items = vec![html! {
        b { "The board. " }
        @if let Some(told) = plan.too_large(lead) { b { (told) } " " }
        "Cut it to " (plan.columns) " by " (plan.rows) " holes, through the row of holes beyond, and smooth its edges. Write the letters of the rows \
        and the numbers of the columns along its edges on " b { "both sides" } ": on the solder side left and right are changed over. "
        (source(HABIT))
    }];
    if !sockets.is_empty() {
        items.push(html! {
            @if sockets.len() == 1 { "The socket" } @else { "The sockets" } " of " (listed(&sockets)) ", "
            b { @if sockets.len() == 1 { "without the chip" } @else { "without the chips" } } ": "
            @for (at, fed) in chips.iter().enumerate() {
                @if at > 0 { "; " }
                @if let Some(seat) = plan.seats.iter().find(|seat| seat.part.id() == fed.part.id()) { "leg 1 of " (part_name(fed.part.id())) " in " b { (first_hole(seat)) } }
            }
            ", the notch as in the picture. Solder two legs of each, corner to corner; look whether it lies flat, then solder the rest. "
            (source(HABIT))
        });
    }
    if !lying.is_empty() {
        items.push(html! {
            "What lies flat: " (lying.join("; ")) ". Bend the legs to the holes, put it in, solder it, and cut the legs."
            @if has_diode { " The band of a diode lies where the picture has it." }
        });
    }
    if !standing.is_empty() {
        let beside = decoupling(lead, plan, &chips);
        items.push(html! {
            "What stands: " (standing.join("; ")) "." @for line in &beside { " " (line) "." }
        });
    }
    for switch in switches(lead, plan.end) {
        items.push(of_a_switch(plan, switch));
    }
    items
}

/// The lead's own switches in the hood of an end.
fn switches(lead: &Lead, end: EndId) -> impl Iterator<Item = &Changeover> {
    lead.changeovers.iter().filter(move |own| lead.part(own.part).is_some_and(|part| part.sits == end))
}

/// How a switch is fixed: its lever has to be reached, and whoever plays has to know which side is which.
fn of_a_switch(plan: &BoardPlan, switch: &Changeover) -> Markup {
    let name = part_name(switch.part);
    let [first, second] = &switch.positions;
    html! {
        b { (name) ". " }
        @if let Some(seat) = plan.seats.iter().find(|seat| seat.part.id() == switch.part) { "Its lugs: " (named_holes(seat)) ". " }
        "The lugs of most switches are thicker than these holes and wider apart: then solder a piece of insulated wire, 30 mm or so, to each lug \
        and its other end into the hole, and slide a piece of heat-shrink over the joint at the lug. Cut an opening for the lever into the \
        hood or the box and fix the switch there by its own nut or ears, before the board goes in. Write beside the lever which side is "
        b { (first.name) } " and which " b { (second.name) } ": in the first the common is on its first lug. "
        (source(HABIT))
    }
}

/// "in B4 and B8".
fn holes(seat: &BoardSeat) -> String {
    format!("in {}", named_holes(seat))
}

/// "B4 and B8", "common B2, first B3 and second B1".
fn named_holes(seat: &BoardSeat) -> String {
    let id = seat.part.id();
    let leg = |contact: &ContactId| match id {
        PartId::Diode(_) | PartId::Bipolar(_) | PartId::Mosfet(_) | PartId::Changeover(_) => {
            format!("{} ", id.leg_name(*contact))
        }
        PartId::Resistor(_) | PartId::Capacitor(_) | PartId::Chip(_) => String::new(),
    };
    listed(seat.legs.iter().map(|(contact, hole)| format!("{}{hole}", leg(contact))))
}

fn first_hole(seat: &BoardSeat) -> String {
    seat.legs.first().map_or_else(String::new, |(_, hole)| hole.to_string())
}

/// Which capacitor belongs to which chip.
fn decoupling(lead: &Lead, plan: &BoardPlan, chips: &[FedChip]) -> Vec<String> {
    let beside = |fed: &FedChip| {
        let own = plan.seats.iter().map(|seat| seat.part).find(|part| {
            let legs: Vec<Leg> = part.body.legs().map(|contact| Leg::part(part.id(), contact)).collect();
            let touches = |of: Leg| lead.net(of).iter().any(|leg| legs.contains(leg));
            matches!(part.body, Body::Capacitor(_)) && touches(fed.supply) && touches(fed.ground)
        })?;
        Some(format!(
            "{} belongs as near as can be to {}",
            part_name(own.id()),
            listed([fed.supply, fed.ground].map(|leg| leg_of(fed.part.id(), leg.contact)))
        ))
    };
    if chips.len() > 1 { Vec::new() } else { chips.iter().filter_map(beside).collect() }
}

/// What each leg of the parts with more than two legs is joined to.
pub(super) fn leg_tables(subject: &Subject<'_>) -> Markup {
    let assembly = subject.assembly;
    let parts = assembly.lead.parts.iter().filter(|part| part.body.sits_on_a_board());
    html! {
        @for part in parts {
            @let rows = part.body.legs().map(|number| row(subject, part, Leg::part(part.id(), number)));
            (table(
                &format!("{} {}, leg by leg, in the hood of the {}", part_name(part.id()), part.body,
                    end_name(assembly, part.sits).to_lowercase()),
                &[if matches!(part.body, Body::Changeover(_)) { "Lug" } else { "Leg" }, "Is", "Goes to"],
                rows.collect(),
            ))
        }
    }
}

fn row(subject: &Subject<'_>, part: &Part, leg: Leg) -> Vec<Markup> {
    let Subject { assembly, colouring, .. } = subject;
    let joins = assembly.lead.joins.iter().filter_map(|join| Some((*join, join.other(leg)?)));
    let goes = joins.map(|(join, other)| {
        let there = place(assembly, other);
        if is_bare(assembly, join) { there } else { format!("{} to {there}", colouring.letters(join)) }
    });
    let goes = listed(goes);
    let is = match part.body {
        Body::Chip(chip) => match leg.contact {
            ContactId::Number(number) => chip.sheet().leg(number).map_or("", |leg| leg.name).to_owned(),
            ContactId::Letter(_) | ContactId::Shell => String::new(),
        },
        Body::Transistor(_) => part.id().leg_name(leg.contact),
        Body::Changeover(_) => {
            let (name, function) = (part.id().leg_name(leg.contact), assembly.function(leg));
            if function.ends_with(&name) { function } else { format!("{name}: {function}") }
        }
        Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) => String::new(),
    };
    // A switch has nothing printed at its lugs: they are called as in the pictures.
    let mark = match part.body {
        Body::Changeover(_) => initial(part.id(), leg.contact),
        Body::Chip(_) | Body::Transistor(_) | Body::Diode(_) | Body::Resistor(_) | Body::Capacitor(_) => {
            leg.contact.to_string()
        }
    };
    vec![html! { (mark) }, html! { (is) }, html! { @if goes.is_empty() { "nothing" } @else { (goes) } }]
}

/// The first power of the chips, at their empty sockets; `first` is the number of the first step. Returns how many
/// steps there are too.
pub(super) fn first_power(subject: &Subject<'_>, first: usize) -> (Markup, usize) {
    let assembly = subject.assembly;
    let mut next = first;
    let mut parts = Vec::new();
    for fed in chips(&assembly.lead) {
        let items = chip_power(subject, &fed);
        parts.push(html! {
            h3 { "Supply of " (part_name(fed.part.id())) }
            (to_do(next, items.clone()))
        });
        next += items.len();
    }
    if !parts.is_empty() {
        // A board is wrapped when the last chip is in.
        let several = ends(&assembly.lead).len() > 1;
        parts.push(html! {
            h3 { @if several { "Close the boards" } @else { "Close the board" } }
            (to_do(next, vec![html! {
                "Switch off and unplug the lead. " (wrapped(several)) " Then close the hood" @if several { "s" } " over "
                @if several { "the boards." } @else { "the board." }
            }]))
        });
        next += 1;
    }
    (html! { @for part in parts { (part) } }, next - first)
}

fn chip_power(subject: &Subject<'_>, fed: &FedChip) -> Vec<Markup> {
    let assembly = subject.assembly;
    let name = part_name(fed.part.id());
    let [own, home] = [fed.supply, fed.ground].map(|leg| contact(assembly, leg));
    let supply = feeds(assembly, fed.supply);
    let asks = fed.chip.sheet().supply.value;
    vec![
        html! { "Machine off, " (is_out(assembly)) ", " (name) " not in its socket. At the socket fix a 1 kΩ resistor between " (own)
        " and " (home) ", and the meter’s probes beside it, on DC volts, the black one at " (home) ". No clip may touch a neighbour." },
        html! { "Plug the lead into the machine, then switch the machine on. Expect "
        @match supply {
            Some((volts, true)) => { (volts.low()) " to " (volts.high()) },
            Some((volts, false)) => {
                "what the parts on the way leave of " (volts.low()) " to " (volts.high())
            },
            None => "its supply",
        }
        ", less a few millivolts that the cable takes; the chip asks for " (asks.low()) " to " (asks.high())
        ". A minus sign means that supply and ground are swapped, and would kill the chip: stop." },
        html! { "Switch off, take the resistor away, switch on. The reading stays the same within 50 mV. If it rises by more, \
        the contact is no supply but a line that is pulled up; if it falls or is gone, a joint is loose: stop. "
        (source("computed: a supply of 2 Ω and the lead lose about 15 mV at 5 mA; a pull-up of 1 kΩ loses half")) },
        html! { "Switch off and unplug the lead. Touch earthed metal, then press " (name) " into its socket, its notch at the socket’s \
        notch, every leg in its hole and none bent under. Turned round it gets its supply the wrong way, and is dead." },
        html! { "Plug the lead into the machine, still with " (is_out(assembly)) ", and switch on. Measure " (own) " against " (home) " once more: \
        the same within 50 mV. A chip that grows warm to a finger in half a minute: switch off. "
        (source(HABIT)) },
    ]
}

/// How a board is kept off the metal around it.
pub(super) const fn wrapped(several: bool) -> &'static str {
    if several {
        "Wrap each board in tape or wide sleeve: no joint may touch the metal of the hood or a screw."
    } else {
        "Wrap the board in tape or wide sleeve: no joint may touch the metal of the hood or a screw."
    }
}

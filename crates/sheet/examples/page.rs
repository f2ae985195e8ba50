//! Prints a lead's drawing or guide: `page drawing|controller|port|boards|guide LEAD [CABLE]`. The lead is one of the demo's,
//! a number, `straight CONNECTOR CONNECTOR`, `parts NUMBER`, `board NUMBER`, `chips NUMBER`, `smallest-board`,
//! `tangled-with-parts NUMBER` or `tangled-with-chip NUMBER`.
#![expect(clippy::print_stdout, reason = "an example is read on a terminal")]

use solderside_lead::EndId;
use solderside_proof::prove;
use solderside_sheet::{BoardPlan, Colouring, GuideOptions, board_drawing, drawing, end_drawing, guide};

#[path = "../src/shelf.rs"]
mod shelf;

fn main() {
    let mut words = std::env::args().skip(1);
    let what = words.next().unwrap_or_default();
    let mut assembly = match words.next().as_deref() {
        Some("pad-wrongly-to-plover") => shelf::pad_wrongly_to_plover(),
        Some("game-stick-to-godwit") => shelf::game_stick_to_godwit(),
        Some("panel-to-edge") => shelf::panel_to_edge(),
        Some("stick-into-pad") => shelf::stick_into_pad(),
        Some("stick-with-pass-through") => shelf::stick_with_pass_through(),
        Some("stick-to-mini-din") => shelf::stick_to_mini_din(),
        Some("buttons-to-round") => shelf::buttons_to_round(),
        Some("parts") => {
            let at = words.next().and_then(|at| at.parse().ok()).unwrap_or(0);
            shelf::with_parts_of_all_kinds().into_iter().nth(at).unwrap_or_else(shelf::diode_in_each_line)
        }
        Some("tangled-with-parts") => {
            shelf::tangled_with_parts(words.next().and_then(|seed| seed.parse().ok()).unwrap_or(0))
        }
        Some("board") => {
            let at = words.next().and_then(|at| at.parse().ok()).unwrap_or(0);
            shelf::with_boards().into_iter().nth(at).unwrap_or_else(shelf::stick_to_select)
        }
        Some("smallest-board") => shelf::resistor_at_a_base(),
        Some("chips") => {
            let at = words.next().and_then(|at| at.parse().ok()).unwrap_or(0);
            shelf::demo_leads_with_chips().into_iter().nth(at).unwrap_or_else(shelf::two_registers)
        }
        Some("tangled-with-chip") => {
            shelf::tangled_with_chip(words.next().and_then(|seed| seed.parse().ok()).unwrap_or(0))
        }
        Some("round-to") => shelf::round_to(&words.next().unwrap_or_default()),
        Some("straight") => {
            shelf::straight(&words.next().unwrap_or_default(), &words.next().unwrap_or_default())
        }
        Some(seed) if seed.parse::<u64>().is_ok() => shelf::tangled(seed.parse().unwrap_or(0)),
        Some(name) => {
            let named = shelf::every_pair().into_iter().find(|assembly| assembly.lead.name == name);
            named.unwrap_or_else(shelf::stick_to_plover)
        }
        None => shelf::stick_to_plover(),
    };
    if let Some(cable) = words.next() {
        assembly.lead.run_in(shelf::cable(&cable));
    }
    let colouring = Colouring::of(&assembly);
    let page = match what.as_str() {
        "controller" => end_drawing(&assembly, &colouring, EndId::Controller(0)).unwrap_or_default(),
        "port" => end_drawing(&assembly, &colouring, EndId::Port).unwrap_or_default(),
        "guide" => match prove(&assembly) {
            Ok(proof) => guide(&assembly, &proof, &GuideOptions::default()),
            Err(unbuilt) => unbuilt.to_string(),
        },
        "boards" => board_drawing(&assembly, &colouring, &BoardPlan::all(&assembly.lead)),
        _ => drawing(&assembly, &colouring),
    };
    print!("{page}");
}

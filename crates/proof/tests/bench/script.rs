//! A panel of loose buttons on a port that reads it in many steps: in each other lines lean on the first ones.

use std::fmt::Write as _;

use solderside_lead::{Assembly, read_lead};
use solderside_profile::{Library, SourceFile};

/// The lines that the machine moves: as many resistors lead from them to the first buttons' lines.
const MOVED: usize = 4;

/// The lead between them: each button on a line of its own, the first so many through a diode.
pub fn scripted(buttons: usize, diodes: usize, steps: usize) -> Assembly {
    let mut joins = vec!["\"controller.26 - port.26\"".to_owned()];
    let mut parts = String::new();
    for at in 1..=buttons {
        if at <= diodes {
            joins.push(format!("\"controller.{at} - d{at}.cathode\", \"d{at}.anode - port.{at}\""));
            let _ = write!(parts, "[part.d{at}]\ndiode = \"1N4148\"\n");
        } else {
            joins.push(format!("\"controller.{at} - port.{at}\""));
        }
    }
    for at in 1..=MOVED {
        joins.push(format!("\"port.{at} - r{at}.1\", \"r{at}.2 - port.{}\"", 20 + at));
        let _ = write!(parts, "[part.r{at}]\nohms = 47000\n");
    }
    let lead = format!(
        "format = 1\nkind = \"lead\"\ncontroller = \"panel\"\nport = \"lines\"\njoins = [{}]\n{parts}",
        joins.join(", ")
    );
    let shelf = [("panel", super::panel::loose_buttons(buttons)), ("lines", port(buttons, steps))];
    let shelf = shelf.map(|(name, text)| SourceFile::new(format!("{name}.toml"), text));
    let assembly = read_lead(&SourceFile::new("lead.toml", lead), &Library::with_shelf(shelf.into()));
    assembly.unwrap_or_else(|failure| panic!("{}", failure.render()))
}

/// The port, all lines pulled up; a step for each count of its moved lines, over and over.
fn port(lines: usize, steps: usize) -> String {
    let mut text = super::panel::lines(lines);
    text = text.replace("\"nmos-port\"", "\"hc\"").replace("[3100, 5000, 8000]", "[4700, 10000, 22000]");
    for at in 1..=MOVED {
        let _ = write!(text, "[contact.{}]\nrole = \"drive\"\nfamily = \"hc\"\n", 20 + at);
    }
    for step in 0..steps {
        let level = |at: usize| if step >> (at - 1) & 1 == 1 { "high" } else { "low" };
        let drive: Vec<String> = (1..=MOVED).map(|at| format!("{} = \"{}\"", 20 + at, level(at))).collect();
        let _ = write!(text, "[[step]]\nname = \"step-{step}\"\ndrive = {{ {} }}\n", drive.join(", "));
    }
    text
}

//! A panel of loose buttons on a port with as many lines: each button on a line of its own, one common.

use std::fmt::Write as _;

use solderside_lead::Assembly;

/// The lead between them, plainly wired.
pub fn panel(buttons: usize) -> Assembly {
    let joins = (1..=buttons).map(|at| format!("{at}-{at}")).chain(["26-26".to_owned()]);
    let joins: Vec<String> = joins.collect();
    let (panel, lines) = (loose_buttons(buttons), lines(buttons));
    let shelf = [("panel", panel.as_str()), ("lines", lines.as_str())];
    super::bench::lead(&shelf, ["panel", "lines"], joins.iter().map(String::as_str), "")
}

/// The panel, all buttons to the common on 26.
pub fn loose_buttons(buttons: usize) -> String {
    let names: Vec<String> = (1..=buttons).map(|at| format!("\"b{at}\"")).collect();
    let mut text = format!(
        "format = 1\nkind = \"controller\"\nconnector = \"terminals 26\"\nswitch = \"microswitch\"\ngate = \"none\"\n\
         fire_order = [{}]\n[contact.26]\nrole = \"common\"\n",
        names.join(", ")
    );
    for at in 1..=buttons {
        let _ = write!(text, "[contact.{at}]\ncontrol = \"b{at}\"\n");
    }
    text
}

/// The port, all lines pulled up, its return on 26.
pub fn lines(count: usize) -> String {
    let names: Vec<String> = (1..=count).map(|at| format!("\"fire-{at}\"")).collect();
    let mut text = format!(
        "format = 1\nkind = \"port\"\nconnector = \"terminals 26\"\nrail_volts = [4.75, 5.0, 5.25]\n\
         fire_order = [{}]\n[input.line]\nfamily = \"nmos-port\"\npull_up_ohms = [3100, 5000, 8000]\n\
         [contact.26]\nrole = \"return\"\n",
        names.join(", ")
    );
    for at in 1..=count {
        let _ = write!(text, "[contact.{at}]\naction = \"fire-{at}\"\n");
    }
    text
}

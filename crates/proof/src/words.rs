//! Turns of phrase that findings share.

use solderside_lead::{Assembly, Leg};
use solderside_profile::Control;

/// Names in backticks as a list in a sentence.
pub(crate) fn names<T: std::fmt::Display>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<String> = items.into_iter().map(|item| format!("`{item}`")).collect();
    match items.as_slice() {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// "while `up` and `a` are pressed".
pub(crate) fn while_pressed<'c>(pressed: impl IntoIterator<Item = &'c Control>) -> String {
    let pressed: Vec<&Control> = pressed.into_iter().collect();
    match pressed.as_slice() {
        [] => "with nothing pressed".to_owned(),
        [only] => format!("while `{only}` is pressed"),
        several => format!("while {} are pressed", names(several)),
    }
}

/// "`port.6` (`fire`)".
pub(crate) fn place(assembly: &Assembly, leg: Leg) -> String {
    let function = assembly.function(leg);
    if function.is_empty() { format!("`{leg}`") } else { format!("`{leg}` ({function})") }
}

/// "port.6 – controller.13 – controller.1 – port.9".
pub(crate) fn walk(legs: &[Leg]) -> String {
    legs.iter().map(Leg::to_string).collect::<Vec<_>>().join(" – ")
}

//! What a program must do where no lead does.

use solderside_design::{Answer, Count, ProgramTask, Shown};

use crate::page::Page;
use crate::report;

/// So many steps are named where something is wanted, and no more.
const MOST_STEPS: usize = 4;

/// Adds what a program must do that no lead here does.
pub fn section(page: &mut Page, task: &ProgramTask) {
    page.heading(match task.bus {
        Some(_) => "A program could do it; what it must do follows from the protocol",
        None => "A program could do it; what it must do follows from the machine's steps",
    });
    page.paragraph("  ", "no lead is proposed: Solderside writes no program and proves none");
    if !task.reads.is_empty() {
        let noun = if task.reads.len() == 1 { "line" } else { "lines" };
        let reads = report::quoted_list(&task.reads);
        page.paragraph("  read     ", &format!("{} {noun} of the controller: {reads}", task.reads.len()));
    }
    if !task.spoken.is_empty() {
        let lines = task.speaks_to.iter().map(|(leg, called)| format!("{called} at {leg}"));
        let lines = lines.collect::<Vec<_>>().join(", ");
        let spoken = report::quoted_list(&task.spoken);
        let text = format!("the controller as its own machine does, through {lines}: {spoken}");
        page.paragraph("  read     ", &text);
    }
    if !task.measures.is_empty() {
        let pots = task.measures.iter().map(|(leg, axis)| format!("{axis} at {leg}"));
        page.paragraph("  measure  ", &format!("the pots {}", pots.collect::<Vec<_>>().join(", ")));
    }
    for line in &task.watches {
        let held =
            if line.is_let_go { "; held high by a resistor of the lead's, as it is let go" } else { "" };
        page.paragraph("  watch    ", &format!("{}, driven by `{}` outputs{held}", line.leg, line.family));
    }
    let all_levels: Vec<String> = task.answers.iter().map(levels).collect();
    let are_one = all_levels.windows(2).all(|pair| pair.first() == pair.last());
    for (answer, levels) in task.answers.iter().zip(&all_levels) {
        let levels = if are_one { String::new() } else { format!("; {levels}") };
        page.paragraph("  show     ", &format!("at {}: {}{levels}", answer.leg, shown(answer)));
    }
    if let (Some(levels), true) = (all_levels.first(), are_one) {
        page.paragraph("  levels   ", levels);
    }
    if let Some(bus) = task.bus {
        let report = bus.report();
        page.paragraph("  speak    ", &format!("{}: {}", bus.what(), report.value));
        page.paragraph("  source   ", report.source.text);
        let asked = bus.asked();
        let (every, rate) = asked.value;
        let text = format!(
            "{rate}, asked again after {every} at the earliest ({}); a press that is shorter than the time between two \
             questions is kept for the next. A microcontroller whose own hardware speaks it keeps the times of the bits",
            asked.source.text
        );
        page.paragraph("  speed    ", &text);
    }
    let speed = match (task.moves, task.within) {
        (0, _) => "no line of the machine moves: nothing has to be fast".to_owned(),
        (moves, Some(within)) => format!("within {within} after a line moves, {moves} times in each reading"),
        (moves, None) => {
            format!("lines move {moves} times in each reading; how soon the machine looks then, nobody says")
        }
    };
    if task.bus.is_none() {
        page.paragraph("  speed    ", &speed);
    }
    if let Some(count) = &task.counts {
        page.paragraph("  count    ", &counted(count));
        page.paragraph("  chips    ", &by_chips(count));
    }
    let supply = match &task.supply {
        Some((leg, volts, amps)) => {
            format!("{leg} feeds {} to {}, at most {amps}", volts.low(), volts.high())
        }
        None => "the port feeds nothing: it needs a supply of its own".to_owned(),
    };
    page.paragraph("  supply   ", &supply);
}

/// "`a` in low; `b` in high".
fn shown(answer: &Answer) -> String {
    let of = |(what, steps): &(Shown, Vec<String>)| {
        let what = match what {
            Shown::LetGo => "nothing, let go".to_owned(),
            Shown::Fixed(true) => "a high".to_owned(),
            Shown::Fixed(false) => "a low".to_owned(),
            Shown::Pressed(controls) => report::quoted_list(controls),
        };
        match answer.shows.len() {
            1 => what,
            _ if steps.len() > MOST_STEPS => format!("{what} in {} steps", steps.len()),
            _ => format!("{what} in {}", steps.join(", ")),
        }
    };
    answer.shows.iter().map(of).collect::<Vec<_>>().join("; ")
}

/// "pressed is low; a low is below 0.8 V while it takes 1 mA, a high above 2 V".
fn levels(answer: &Answer) -> String {
    let pressed = if answer.low_is_pressed { "low" } else { "high" };
    let sinks = answer.sinks.map_or_else(String::new, |amps| format!(" while it takes {amps}"));
    let shared = if answer.is_shared { "; never driven high, as something else drives it too" } else { "" };
    let [low, high] = [answer.low_at_most, answer.high_at_least];
    format!("pressed is {pressed}; a low is below {low}{sinks}, a high above {high}{shared}")
}

/// Whether chips could count it.
fn by_chips(count: &Count) -> String {
    match &count.alike {
        Some(alike) => {
            format!("{alike}; only how long they rest tells, and that takes a timer")
        }
        None => {
            "the order of the moves tells apart what wants different things: chips that remember it could count too".to_owned()
        }
    }
}

/// What the lines alone do not tell.
fn counted(count: &Count) -> String {
    let kept = count.kept_for.map_or_else(
        || "as long as a reading takes, which nobody says".to_owned(),
        |seconds| format!("for the {seconds} of a reading"),
    );
    let begins = if count.begins_at.is_empty() {
        match count.forgets_within {
            Some(seconds) => format!("then forgotten within the {seconds} in which the lines rest"),
            None => "then forgotten while the lines rest, and nobody says how long they do".to_owned(),
        }
    } else {
        let at = count.begins_at.iter().map(|(leg, level)| format!("{leg} is {}", level.as_str()));
        format!("from where {}", at.collect::<Vec<_>>().join(" and "))
    };
    format!(
        "the lines stand alike in steps that want different things: their moves are counted, {kept}, {begins}"
    )
}

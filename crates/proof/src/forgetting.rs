//! Counters that forget when the machine's lines rest, against how long these do.

use solderside_lead::{Assembly, Doubt, Forgetting};
use solderside_quantity::{Quantity, Seconds};

use crate::code::Code;
use crate::finding::{Figure, Finding, Severity};

/// What there is to say of counters that may not begin at zero, or not come to the end of a reading.
pub(crate) fn forgetting(assembly: &Assembly) -> Vec<Finding> {
    let forgetting = assembly.forgetting();
    forgetting.iter().flat_map(|own| own.doubts.iter().map(move |doubt| told(own, doubt))).collect()
}

fn told(own: &Forgetting, doubt: &Doubt) -> Finding {
    let Forgetting { controller, forgets, .. } = own;
    let controller = controller.end();
    let [soonest, latest] = [forgets.low(), forgets.high()];
    let begins =
        format!("what `{controller}` counts is forgotten when the lines rest for {soonest} to {latest}");
    let slower = "a program that waits longer between two readings; no lead mends this";
    let (text, figures, remedy) = match doubt {
        Doubt::RestUnknown => (
            format!(
                "{begins}, and nobody says how long they rest between two readings: where the count begins is not known"
            ),
            vec![seconds("forgets_seconds", latest)],
            "write `rest_seconds` into the port's file when you know it",
        ),
        Doubt::RestShort(rest) => (
            format!(
                "{begins}, and between two readings they rest for {} only: {} short, and a reading may begin with \
                 the count of the one before",
                rest.low(),
                latest - rest.low()
            ),
            vec![
                seconds("forgets_seconds", latest),
                seconds("rest_seconds", rest.low()),
                seconds("short_seconds", latest - rest.low()),
            ],
            slower,
        ),
        Doubt::HoldUnknown(step) => (
            format!(
                "{begins}, and nobody says how long the step `{step}` lasts: the count may be forgotten in the middle of a reading"
            ),
            vec![seconds("forgets_seconds", soonest)],
            "write `hold_seconds` into the steps of the port's file when you know it",
        ),
        Doubt::ReadingLong(reading) => (
            format!(
                "{begins}, and a reading takes {}: {} too long, and the count may be forgotten in the middle of it",
                reading.high(),
                reading.high() - soonest
            ),
            vec![
                seconds("forgets_seconds", soonest),
                seconds("reading_seconds", reading.high()),
                seconds("long_seconds", reading.high() - soonest),
            ],
            "a program that reads faster; no lead mends this",
        ),
    };
    let severity = if doubt.is_typical(*forgets) { Severity::Fail } else { Severity::Note };
    let mut finding = Finding::new(Code::TimingForgets, severity, text).figures(figures).remedy(remedy);
    if let Doubt::HoldUnknown(step) = doubt {
        finding.step = Some(step.clone());
    }
    finding
}

fn seconds(name: &'static str, value: Seconds) -> Figure {
    Figure { name, value: value.get(), unit: Seconds::SYMBOL }
}

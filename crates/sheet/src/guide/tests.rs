//! What must hold of every guide.

mod bench;
mod form;
mod parts;
mod script;
mod told;

use std::collections::BTreeMap;
use std::sync::Mutex;

use solderside_lead::EndId;
use solderside_profile::{Action, Control};
use solderside_proof::{Figure, Fit, Place, prove};

use super::*;
use crate::drawing::far_row_first;
use crate::shelf::{
    buttons_to_round, cable, diode_in_each_line, every_pair, lead, one_button_on_two_fires,
    one_cup_with_two_diodes, pad_to_curlew, pad_wrongly_to_plover, resistors_in_series, stick_into_pad,
    stick_through_buffer, stick_to_curlew, stick_to_plover, stick_with_pass_through, tangled,
    tangled_with_chip, transistor_in_the_fire, two_registers,
};

/// The page of a lead. To plan its meter test takes a while, so many tests share it.
fn page(assembly: &Assembly) -> String {
    static PAGES: Mutex<BTreeMap<String, String>> = Mutex::new(BTreeMap::new());
    let lead = format!("{assembly:?}");
    let known = PAGES.lock().unwrap().get(&lead).cloned();
    known.unwrap_or_else(|| {
        let page = guide(assembly, &prove(assembly).unwrap(), &GuideOptions::default());
        PAGES.lock().unwrap().insert(lead, page.clone());
        page
    })
}

fn all() -> Vec<String> {
    let others = [pad_wrongly_to_plover(), stick_into_pad()];
    let mut pages: Vec<String> = every_pair().iter().chain(&others).map(page).collect();
    pages.push(page_with_all_sections());
    pages
}

/// A page with what others have found out about the lead, all of it invented.
fn page_with_all_sections() -> String {
    let entry = |title: &str, place: Place, fit: Fit, reason: &str, figures: Vec<Figure>| Elsewhere {
        title: title.to_owned(),
        place,
        end: if place == Place::Controller { EndId::Controller(0) } else { EndId::Port },
        fit,
        verdict: if fit == Fit::Never { Verdict::Harms } else { Verdict::Works },
        is_harmless: fit != Fit::Never,
        reason: reason.to_owned(),
        figures,
    };
    let figure = |name: &'static str, value: f64| Figure { name, value, unit: "V" };
    let elsewhere = vec![
        entry("Teal games console", Place::Machine, Fit::Works, "every threshold is met", Vec::new()),
        entry("Egret stick", Place::Controller, Fit::InPart, "`b` is joined to nothing", Vec::new()),
        entry(
            "Serial port",
            Place::Hazard,
            Fit::Never,
            "`port.3` is driven below the return",
            vec![figure("reads_volts", -12.0), figure("lowest_volts", -0.5)],
        ),
    ];
    let changes = vec![Changes {
        from: "Heron stick to Curlew".to_owned(),
        moves: vec!["move the conductor on `port.8` to `port.9`".to_owned(), "add one more".to_owned()],
        caution: "a machine that takes both now shorts its supply".to_owned(),
    }];
    let assembly = stick_to_plover();
    let options = GuideOptions { elsewhere, changes, ..GuideOptions::default() };
    guide(&assembly, &prove(&assembly).unwrap(), &options)
}

/// The values of an attribute, in the order of the page.
fn attributes<'p>(page: &'p str, name: &str) -> Vec<&'p str> {
    let start = format!(" {name}=\"");
    page.split(start.as_str()).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

/// One section of a page.
fn section<'p>(page: &'p str, id: &str) -> &'p str {
    let from = page.split(&format!("<section id=\"{id}\"")).nth(1).unwrap_or_default();
    from.split("</section>").next().unwrap_or_default()
}

/// The page without its own script, which must stand there once.
fn without_script(page: &str) -> String {
    let script = format!("<script>{}</script>", include_str!("script.js"));
    assert_eq!(page.matches(&script).count(), 1);
    page.replace(&script, "")
}

/// The text of a section without its tags and sources, a line for each block.
fn words_of(page: &str, id: &str) -> String {
    let mut text = String::new();
    let mut rest = section(page, id).to_owned();
    for block in ["</tr>", "</li>", "</p>", "</h3>", "</caption>"] {
        rest = rest.replace(block, "\n");
    }
    rest = rest.replace("</td>", " | ").replace("</th>", " | ");
    let mut is_source = false;
    for piece in rest.split('<') {
        let (tag, words) = piece.split_once('>').unwrap_or(("", piece));
        is_source = tag.starts_with("small") || (is_source && tag != "/small");
        if !is_source {
            text.push_str(words);
        }
    }
    let lines = text.replace('\u{a0}', " ");
    lines.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join("\n")
}

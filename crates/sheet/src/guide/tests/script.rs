//! What the page's script does, run on the page as a browser would.

use rquickjs::{Context, Runtime};
use solderside_proof::TruthRow;

use super::*;
use crate::shelf::lead;

/// A page that is open, with what its browser keeps.
struct Open {
    context: Context,
    _runtime: Runtime,
}

impl Open {
    /// Opens a page; `stored` is what the browser kept of earlier visits as JSON, or nothing where it forbids its store.
    fn new(page: &str, stored: Option<&str>) -> Self {
        let runtime = Runtime::new().unwrap();
        let context = Context::full(&runtime).unwrap();
        let open = Self { context, _runtime: runtime };
        let script = include_str!("../script.js");
        // The stand-in's parser is for markup; style and script are none.
        let markup = without_script(page)
            .split_once("</style>")
            .map(|(_, rest)| format!("<html><head>{rest}"))
            .unwrap();
        open.context.with(|context| {
            context.globals().set("source", markup).unwrap();
            context.globals().set("stored", stored).unwrap();
        });
        open.run("if (stored === undefined) stored = null;");
        open.run(include_str!("browser.js"));
        open.run(script);
        open
    }

    fn run(&self, code: &str) {
        self.ask::<()>(&format!("{code}\n;undefined"));
    }

    fn ask<T: for<'js> rquickjs::FromJs<'js>>(&self, code: &str) -> T {
        self.context.with(|context| {
            let caught = |error| rquickjs::CaughtError::from_error(&context, error).to_string();
            context.eval(code).map_err(caught).unwrap_or_else(|error| panic!("{error}"))
        })
    }

    fn text(&self, selector: &str) -> String {
        self.ask(&format!("document.querySelector({selector:?}).textContent"))
    }

    /// Presses a button by its words.
    fn press(&self, words: &str) {
        self.run(&format!(
            "document.querySelectorAll('button').find((one) => one.textContent === {words:?}).click()"
        ));
    }

    /// The controls that are held, in the panel's order.
    fn held(&self) -> Vec<String> {
        self.ask("document.querySelectorAll('.controls [aria-pressed=true]').map((one) => one.textContent)")
    }

    /// Each action that the panel shows as read, in its own words.
    fn read(&self) -> Vec<String> {
        self.ask(
            "document.querySelectorAll('tbody tr').filter((row) => row.querySelector('.state')?.textContent.startsWith('read')) \
             .map((row) => row.querySelector('code').textContent)",
        )
    }

    fn store(&self) -> String {
        self.ask("JSON.stringify(Object.fromEntries(kept))")
    }

    fn ticked(&self) -> Vec<usize> {
        self.ask(
            "document.querySelectorAll('input[type=checkbox]').map((box, at) => (box.checked ? at : -1)).filter((at) => at >= 0)",
        )
    }

    fn tick(&self, box_number: usize) {
        self.run(&format!("document.querySelectorAll('input[type=checkbox]')[{box_number}].click()"));
    }
}

const NOTHING_KEPT: Option<&str> = Some("{}");

/// The return sits on `a` and the common on nothing: a direction reads only while `a` is held.
fn return_on_a_button() -> Assembly {
    lead("heron-stick", "curlew", &[[13, 8], [15, 1], [7, 2]])
}

#[test]
fn the_panel_shows_in_every_state_what_the_proof_says_that_the_machine_reads() {
    for assembly in [stick_to_plover(), stick_to_curlew(), return_on_a_button()] {
        let proof = prove(&assembly).unwrap();
        let open = Open::new(&guide(&assembly, &proof, &GuideOptions::default()), NOTHING_KEPT);
        assert!(!open.ask::<bool>("document.getElementById('panel').hidden"));
        for TruthRow { pressed, reads, .. } in &proof.truth {
            open.press("Let everything go");
            for control in pressed {
                open.press(control.as_str());
            }
            let names = |list: &[Action]| {
                let order = assembly.port.actions();
                let mut list: Vec<&Action> = list.iter().collect();
                list.sort_by_key(|own| order.iter().position(|other| other == own));
                list.into_iter().map(ToString::to_string).collect::<Vec<_>>()
            };
            assert_eq!(open.held().len(), pressed.len(), "{pressed:?}");
            assert_eq!(open.read(), names(reads), "{pressed:?}");
            let asked = |action: &&Action| {
                assembly.lead.play.controls(action).iter().any(|control| pressed.contains(control))
            };
            let said = open.text(".said");
            let is_unasked = reads.iter().any(|action| !asked(&action));
            assert_eq!(said.contains("Nobody asked for"), is_unasked, "{said}");
            let is_missed =
                assembly.port.actions().iter().any(|action| asked(action) && !reads.contains(action));
            assert_eq!(said.contains("not sure to read:"), is_missed, "{said}");
        }
    }
}

#[test]
fn the_gate_lets_the_opposite_direction_go_and_a_second_press_the_control_itself() {
    let open = Open::new(&page(&stick_to_plover()), NOTHING_KEPT);
    assert_eq!(open.text(".said"), "Nothing pressed. The machine reads nothing.");
    for control in ["up", "a", "down"] {
        open.press(control);
    }
    assert_eq!(open.held(), ["down", "a"]);
    assert_eq!(
        open.text(".said"),
        "The gate has let up go. Pressed: down and a. The machine reads down and fire."
    );
    open.press("a");
    assert_eq!(open.held(), ["down"]);
    open.press("Let everything go");
    assert_eq!(open.held(), [""; 0]);
}

#[test]
fn ticks_are_counted_kept_and_there_again_at_the_next_visit() {
    let page = page(&stick_to_plover());
    let open = Open::new(&page, NOTHING_KEPT);
    let boxes = page.matches("type=\"checkbox\"").count();
    assert_eq!(open.text("[data-progress=page]"), format!("0 of {boxes} ticked"));
    assert!(open.text(".kept").starts_with("Ticks are kept in this browser"));
    for number in [0, 3, boxes - 1] {
        open.tick(number);
    }
    assert_eq!(open.text("[data-progress=page]"), format!("3 of {boxes} ticked"));
    let again = Open::new(&page, Some(&open.store()));
    assert_eq!(again.ticked(), [0, 3, boxes - 1]);
    assert_eq!(again.text("[data-progress=page]"), format!("3 of {boxes} ticked"));
    again.tick(3);
    assert_eq!(Open::new(&page, Some(&again.store())).ticked(), [0, boxes - 1]);
}

#[test]
fn ticks_of_another_lead_are_not_taken_over() {
    let open = Open::new(&page(&stick_to_plover()), NOTHING_KEPT);
    open.tick(0);
    assert_eq!(Open::new(&page(&stick_to_curlew()), Some(&open.store())).ticked(), [0; 0]);
}

#[test]
fn ticks_are_cleared_only_when_asked_twice() {
    let open = Open::new(&page(&stick_to_plover()), NOTHING_KEPT);
    let is_hidden =
        |selector: &str| open.ask::<bool>(&format!("document.querySelector({selector:?}).hidden"));
    assert!(open.ask::<bool>("document.querySelector('.clear').disabled"));
    open.tick(1);
    open.press("Clear ticks");
    assert_eq!([is_hidden(".sure"), is_hidden(".clear")], [false, true]);
    assert_eq!(open.ask::<String>("document.activeElement.textContent"), "Keep them");
    open.run("document.activeElement.fire('keydown', { key: 'Escape' })");
    assert_eq!(([is_hidden(".sure"), is_hidden(".clear")], open.ticked()), ([true, false], vec![1]));
    open.press("Clear ticks");
    open.press("Clear them");
    assert_eq!((open.ticked(), is_hidden(".sure")), (vec![], true));
    assert_eq!(open.ask::<usize>("[...kept.values()].join('').replaceAll('0', '').length"), 0);
}

#[test]
fn another_tab_with_the_same_guide_is_followed() {
    let page = page(&stick_to_plover());
    let open = Open::new(&page, NOTHING_KEPT);
    let there = Open::new(&page, NOTHING_KEPT);
    there.tick(2);
    open.run(&format!(
        "for (const [key, value] of Object.entries({})) {{ kept.set(key, value); window.listeners.forEach(([, hear]) => hear({{ key }})); }}",
        there.store()
    ));
    assert_eq!(open.ticked(), [2]);
}

#[test]
fn a_browser_that_forbids_its_store_costs_the_memory_and_nothing_else() {
    let open = Open::new(&page(&stick_to_plover()), None);
    assert_eq!(
        open.text(".kept"),
        "This browser keeps no ticks for this page: they are gone when it is closed."
    );
    open.tick(0);
    assert_eq!(open.ticked(), [0]);
    assert!(open.text("[data-progress=page]").starts_with("1 of "));
    open.press("up");
    assert_eq!(open.read(), ["up"]);
}

#[test]
fn a_page_without_panel_and_without_ticks_is_left_alone() {
    let open = Open::new(&page(&pad_wrongly_to_plover()), NOTHING_KEPT);
    assert!(open.ask::<bool>("['panel', 'ticks'].every((id) => document.getElementById(id) === null)"));
    assert_eq!(open.store(), "{}");
}

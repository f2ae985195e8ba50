//! What the page says of the lead, and what it does not.

use super::*;

#[test]
fn the_panel_has_a_button_for_each_joined_control_and_a_row_for_each_action() {
    let page = page(&stick_to_plover());
    let play = section(&page, "play");
    assert_eq!(play.matches("aria-pressed=\"false\"").count(), 6);
    assert_eq!(play.matches(">not read<").count(), 6);
    assert!(play.contains("data-excludes=\"down\">up</button>"));
    assert!(play.contains("36 combinations of presses were checked. Each reads what was asked for"));
}

#[test]
fn without_the_script_the_page_says_who_does_what() {
    let page = page(&stick_to_plover());
    let play = section(&page, "play");
    let (told, panel) = play.split_once("id=\"panel\" hidden").unwrap();
    assert!(told.contains("<code>a</code> pressed</th><td><code>fire</code></td>"));
    assert!(told.contains("Not joined in this lead, so pressing it changes nothing: <code>c</code>"));
    assert!(!panel.contains("<script"));
}

#[test]
fn a_reading_that_nobody_asked_for_is_said_in_words() {
    // Both buttons close to the one fire, and the play map asks for `a` alone.
    let assembly = lead("heron-stick", "curlew", &[[13, 6], [5, 6], [1, 8]]);
    let page = page(&assembly);
    let play = section(&page, "play");
    assert!(play.contains(
        "<code>b</code> pressed</th><td><code>fire</code>; nobody asked for <code>fire</code></td>"
    ));
    assert!(play.contains("of them something is wrong.</strong> The shortest: with <code>b</code> pressed"));
}

#[test]
fn a_changed_lead_starts_with_fresh_ticks() {
    let key = |assembly: &Assembly| attributes(&page(assembly), "data-ticks")[0].to_owned();
    let lead = stick_to_plover();
    assert!(key(&lead).starts_with("solderside ticks heron-stick-to-plover "));
    assert_eq!(key(&lead), key(&stick_to_plover()));
    let mut changed = vec![lead.clone(); 3];
    changed[0].lead.joins.pop();
    changed[1].lead.play.set(Action::new("fire").unwrap(), [Control::new("b").unwrap()]);
    changed[2].controllers[0].switch = solderside_trade::SwitchKind::DomeCarbon;
    for changed in &changed {
        assert_ne!(key(changed), key(&lead));
    }
    // Another lead is known by its name, whatever it is wired like.
    let mut renamed = lead.clone();
    "another".clone_into(&mut renamed.lead.name);
    assert_ne!(key(&renamed), key(&lead));
}

#[test]
fn what_others_found_out_does_not_cost_a_reader_the_ticks() {
    let assembly = stick_to_plover();
    let proof = prove(&assembly).unwrap();
    let mut options = GuideOptions::default();
    let before = guide(&assembly, &proof, &options);
    options.elsewhere.push(Elsewhere {
        title: "Teal games console".to_owned(),
        place: Place::Machine,
        end: EndId::Port,
        fit: Fit::Works,
        verdict: Verdict::Works,
        is_harmless: true,
        reason: "every threshold is met".to_owned(),
        figures: Vec::new(),
    });
    let after = guide(&assembly, &proof, &options);
    assert_ne!(before, after);
    assert_eq!(attributes(&before, "data-ticks"), attributes(&after, "data-ticks"));
}

#[test]
fn where_the_lead_must_never_go_comes_before_where_it_may() {
    let page = page_with_all_sections();
    let elsewhere = section(&page, "elsewhere");
    let never = elsewhere
        .find("<strong>NEVER: Serial port</strong> (no controller port): it <strong>HARMS</strong>. Port end 3 is driven")
        .unwrap();
    assert!(elsewhere.find("class=\"never\"").unwrap() < never);
    assert!(never < elsewhere.find("works in part").unwrap());
    assert!(elsewhere.find("Egret stick").unwrap() < elsewhere.find("Teal games console").unwrap());
    assert!(elsewhere.contains("reads -12 V"));
    assert!(page.find("id=\"verdict\"").unwrap() < page.find("id=\"elsewhere\"").unwrap());
    assert!(page.find("id=\"elsewhere\"").unwrap() < page.find("id=\"findings\"").unwrap());
}

#[test]
fn changes_from_another_lead_are_ticked_one_by_one_after_their_caution() {
    let page = page_with_all_sections();
    let changes = section(&page, "changes");
    let caution = changes.find("<strong>Caution: </strong>A machine that takes both").unwrap();
    assert!(caution < changes.find("Move the conductor on port end 8 to port end 9.").unwrap());
    assert_eq!(changes.matches("<li><label><input type=\"checkbox\">").count(), 2);
    assert_eq!(section(&self::page(&stick_to_plover()), "changes"), "");
}

#[test]
fn a_lead_that_harms_comes_without_a_way_to_build_it() {
    let page = page(&pad_wrongly_to_plover());
    assert!(page.contains("Do not build this lead."));
    for id in ["needs", "steps", "bench", "power"] {
        assert_eq!(section(&page, id), "", "{id}");
    }
}

#[test]
fn a_verdict_counts_the_facts_that_nobody_stands_for() {
    let page = page(&stick_to_plover());
    assert!(section(&page, "verdict").contains("hold; 4 of them are assumed."));
}

#[test]
fn a_lost_control_is_told_once_and_in_the_guides_words() {
    let page = page(&stick_to_plover());
    let findings = section(&page, "findings");
    assert_eq!(findings.matches("<code>start</code>").count(), 1);
    assert!(
        findings.replace('\u{a0}', " ").contains("controller end 12 (c), 4 (d), 3 (select) and 11 (start)")
    );
    assert!(!findings.contains("play map"));
}

#[test]
fn what_settles_an_assumption_says_where_to_measure() {
    let page = page(&stick_to_plover());
    let range = section(&page, "range");
    assert!(range.contains("Read port end 1 against the return"));
    assert!(range.contains("between 15 (up) and 1 (common)"));
    assert!(page.find("id=\"power\"") < page.find("id=\"range\""));
    assert!(section(&page, "needs").contains("Optional: a resistor of 10 kΩ"));
}

#[test]
fn a_guide_to_a_lead_with_axes_tells_the_times_that_the_machine_measures() {
    let page = page(&crate::shelf::game_stick_to_godwit());
    let readings = words_of(&page, "readings");
    assert!(readings.contains("24.2 µs (18.8 µs to 49.6 µs)"), "{readings}");
    assert!(readings.contains("10 µs to 2 ms"), "{readings}");
}

#[test]
fn the_guide_to_a_donor_says_how_each_point_is_found_and_what_is_not_tested() {
    let page = page(&stick_into_pad());
    for words in [
        "beeps with contact 1 of the plug",
        "beeps with leg 3 of U1, a 74HC157",
        "beeps with contact 8 of the plug",
        "never to the carbon",
        "pull the pad’s plug out of it",
        "Meter tests that find every mistake are not made for leads with a donor.",
    ] {
        assert!(page.contains(words), "{words}");
    }
    // One case is opened after all, and it is not the machine's.
    assert!(!page.contains("Nothing in this guide needs a case to be opened"));
    assert!(page.contains("The one case that is opened here is the pad’s"));
}

#[test]
fn a_donors_guide_reads_the_supply_first_and_buys_a_sleeve_for_each_cup_that_a_step_uses() {
    let page = page(&stick_into_pad());
    let bench = words_of(&page, "bench");
    let first = bench.find("Supply against common first: at the pad’s own plug contact").unwrap();
    assert!(first < bench.find("with the point").unwrap(), "{bench}");
    let points = words_of(&page, "points");
    assert!(!points.contains("what both do at once"), "{points}");
    assert!(points.contains("Not proved is any other button of the pad beside a control of the controller"));
    assert!(points.contains("the buzzer where the table says “beeps”"), "{points}");
    let steps = words_of(&page, "steps");
    let sleeves = steps.matches("A sleeve onto ").count();
    let needs = words_of(&page, "needs");
    assert!(needs.contains(&format!("Heat-shrink sleeve, {sleeves} pieces of 10 mm")), "{needs}");
    assert!(steps.contains("Push the sleeves over the joints") && needs.contains("A cable tie"));
    assert!(!needs.contains("DC volts"), "no step reads any");
}

//! What must hold of every guide.

mod script;

use solderside_lead::EndId;
use solderside_profile::{Action, Control};
use solderside_proof::{Figure, Fit, Place, prove};

use super::*;
use crate::drawing::far_row_first;
use crate::shelf::{
    buttons_to_round, cable, diode_in_each_line, every_pair, lead, one_button_on_two_fires,
    one_cup_with_two_diodes, pad_to_curlew, pad_wrongly_to_plover, resistors_in_series, stick_through_buffer,
    stick_to_curlew, stick_to_plover, tangled, tangled_with_chip, transistor_in_the_fire,
};

fn page(assembly: &Assembly) -> String {
    guide(assembly, &prove(assembly).unwrap(), &GuideOptions::default())
}

fn all() -> Vec<String> {
    let mut pages: Vec<String> = every_pair().iter().chain([&pad_wrongly_to_plover()]).map(page).collect();
    pages.push(page_with_all_sections());
    pages
}

/// A page with what others have found out about the lead, all of it invented.
fn page_with_all_sections() -> String {
    let entry = |title: &str, place: Place, fit: Fit, reason: &str, figures: Vec<Figure>| Elsewhere {
        title: title.to_owned(),
        place,
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

#[test]
fn a_page_loads_nothing_and_runs_only_its_own_script() {
    for page in all() {
        assert!(page.contains("content=\"default-src 'none';"));
        let page = without_script(&page).replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for forbidden in ["http:", "https:", "src=", "url(", "@import", "<script", "<link", "<iframe", " on"]
        {
            let found = page.match_indices(forbidden).map(|(at, _)| at);
            let is_attribute = |at: &usize| page[*at..].starts_with(" on") && !is_handler(&page[*at..]);
            assert_eq!(found.filter(|at| !is_attribute(at)).count(), 0, "{forbidden}");
        }
    }
}

/// Whether a text begins with an event handler such as ` onload="`.
fn is_handler(text: &str) -> bool {
    let word = text.trim_start().split(|c: char| !c.is_ascii_alphabetic()).next().unwrap_or_default();
    word.len() > 2 && text.trim_start()[word.len()..].starts_with("=\"")
}

#[test]
fn a_page_is_small() {
    for page in all() {
        assert!(page.len() < 250_000, "{} bytes", page.len());
    }
}

#[test]
fn the_script_reaches_for_nothing_outside_the_page() {
    let script = include_str!("script.js");
    for forbidden in
        ["fetch", "XMLHttp", "import", "WebSocket", "eval", "innerHTML", "http", "Beacon", "alert", "</"]
    {
        assert!(!script.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn headings_skip_no_level() {
    for page in all() {
        let levels: Vec<u8> = page
            .match_indices("<h")
            .filter_map(|(at, _)| page.as_bytes().get(at + 2))
            .filter(|level| level.is_ascii_digit())
            .map(|level| level - b'0')
            .collect();
        assert_eq!(page.matches("<h1>").count(), 1);
        assert!(levels.windows(2).all(|two| two[1] <= two[0] + 1), "{levels:?}");
    }
}

#[test]
fn every_link_lands_and_no_identifier_stands_twice() {
    for page in all() {
        let mut ids = attributes(&page, "id");
        for target in attributes(&page, "href").iter().filter_map(|href| href.strip_prefix('#')) {
            assert!(ids.contains(&target), "{target}");
        }
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count);
    }
}

#[test]
fn every_table_has_a_caption_and_every_box_a_name() {
    for page in all() {
        assert_eq!(page.matches("<table>").count(), page.matches("<caption>").count());
        let boxes = page.matches("<input").count();
        let named = page.matches("<input type=\"checkbox\" aria-label=").count();
        assert_eq!(boxes, named + page.matches("<label><input type=\"checkbox\"><span>").count());
        assert!(attributes(&page, "aria-label").iter().all(|name| !name.trim().is_empty()));
    }
}

#[test]
fn every_button_has_a_name_and_says_that_it_sends_nothing() {
    for page in all() {
        let page = without_script(&page);
        let buttons: Vec<&str> = page.split("<button").skip(1).collect();
        assert!(buttons.iter().all(|button| button.starts_with(" type=\"button\"")));
        for button in buttons {
            let name = button.split('>').nth(1).unwrap().split('<').next().unwrap();
            assert!(!name.trim().is_empty(), "{button:.60}");
        }
    }
}

#[test]
fn every_heading_of_a_table_says_what_it_heads() {
    for page in all() {
        assert_eq!(page.matches("<th ").count(), page.matches("<th scope=").count());
        assert!(!page.contains("<th>"));
    }
}

#[test]
fn every_element_is_closed_where_it_was_opened() {
    const EMPTY: [&str; 3] = ["meta", "input", "br"];
    for page in all() {
        let style = page.split("<style>").nth(1).unwrap().split("</style>").next().unwrap().to_owned();
        let page = without_script(&page).replace(&style, "");
        let mut open: Vec<&str> = Vec::new();
        for tag in page.split('<').skip(1).filter(|tag| !tag.starts_with('!')) {
            let (tag, _) = tag.split_once('>').unwrap();
            let name = tag.trim_start_matches('/').split([' ', '/']).next().unwrap();
            if tag.starts_with('/') {
                assert_eq!(open.pop(), Some(name));
            } else if !tag.ends_with('/') && !EMPTY.contains(&name) {
                open.push(name);
            }
        }
        assert_eq!(open, [""; 0]);
    }
}

/// The colours of a block of custom properties.
fn colours(block: &str) -> Vec<(&str, [f64; 3])> {
    let channel = |hex: &str, at: usize| f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
    let properties = block.split('}').next().unwrap().split(';');
    let pairs = properties.filter_map(|property| property.trim_start_matches("--").split_once(":#"));
    pairs.map(|(name, hex)| (name, [1, 3, 5].map(|at| channel(hex, at - 1)))).collect()
}

/// Web Content Accessibility Guidelines 2.1, *relative luminance* and *contrast ratio*.
fn contrast(one: [f64; 3], other: [f64; 3]) -> f64 {
    let linear = |c: f64| if c <= 0.039_28 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) };
    let luminance =
        |[red, green, blue]: [f64; 3]| 0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue);
    let [one, other] = [luminance(one), luminance(other)];
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn every_colour_of_text_stands_out_from_both_grounds_in_light_and_in_dark() {
    assert!((contrast([1.0; 3], [0.0; 3]) - 21.0).abs() < 1e-9);
    let schemes: Vec<&str> = include_str!("style.css").split(":root{").skip(1).take(2).collect();
    for scheme in schemes {
        let colours = colours(scheme);
        let find = |wanted: &str| colours.iter().find(|(name, _)| *name == wanted).unwrap().1;
        for ink in ["ink", "quiet", "copper", "good", "care", "bad"] {
            for ground in ["paper", "tint"] {
                let ratio = contrast(find(ink), find(ground));
                assert!(ratio >= 4.5, "{ink} on {ground}: {ratio:.2}");
            }
        }
    }
}

#[test]
fn what_moves_by_itself_moves_only_for_those_who_did_not_refuse_it() {
    let style = include_str!("style.css");
    for moving in ["scroll-behavior", "transition", "animation"] {
        for (at, _) in style.match_indices(moving) {
            let line = style[..at].rsplit('\n').next().unwrap();
            assert!(line.starts_with("@media (prefers-reduced-motion:no-preference)"), "{moving}");
        }
    }
}

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
fn each_meter_test_says_what_a_wrong_reading_points_to() {
    for assembly in every_pair() {
        let page = page(&assembly);
        let bench = section(&page, "bench");
        let tests = bench.matches("<label class=\"tick\">").count();
        assert_eq!(bench.matches("<tr class=\"where\">").count(), tests);
    }
    let page = page(&pad_to_curlew());
    let bench = section(&page, "bench");
    assert!(bench.contains(
        "Anything but open, STOP: a bridge 7 – 8 at the port end, or conductors that touch in the cable."
    ));
    assert!(bench.contains(
        "Open: the joint at controller end 13 (a) or at port end 6 (fire), or the conductor between them."
    ));
}

#[test]
fn conductors_that_share_a_cup_are_suspected_together() {
    let page = page(&two_buttons_one_fire());
    let bench = section(&page, "bench");
    assert_eq!(bench.matches("at port end 6 (fire) (shared with").count(), 2);
}

#[test]
fn a_buzzer_is_asked_for_no_conductor_and_no_switch() {
    let page = page(&stick_to_plover());
    assert!(section(&page, "bench").contains("On the ohms range, not the buzzer"));
    assert!(section(&page, "switches").contains("on the ohms range: a buzzer is silent above 50 Ω"));
}

#[test]
fn every_join_is_wired_soldered_at_both_ends_and_buzzed() {
    for assembly in [stick_to_plover(), pad_to_curlew()] {
        let page = page(&assembly);
        let colouring = Colouring::usual(&assembly);
        for join in &assembly.lead.joins {
            let name = format!("<b>{}</b>", colouring.letters(*join));
            let times = |id: &str| section(&page, id).matches(&name).count();
            assert_eq!(["wires", "steps", "bench"].map(times), [1, 2, 1], "{join}");
        }
    }
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
fn the_supply_is_tested_against_the_return_before_all_else() {
    let page = page(&pad_to_curlew());
    let bench = section(&page, "bench");
    let supply = bench.find("7 (supply) – 8 (return)").unwrap();
    assert!(supply < bench.find("Continuity").unwrap() && supply < bench.find("Isolation").unwrap());
}

// *Common Wire Gauges*, HyperPhysics: AWG 28 has 64.9 Ω for 1000 ft, which is 0.32 Ω for 1.5 m.
#[test]
fn continuity_expects_what_published_tables_give_for_the_wire() {
    let page = page(&stick_to_plover());
    assert!(section(&page, "bench").replace('\u{a0}', " ").contains("<b>0.27 Ω to 0.43 Ω</b>"));
}

#[test]
fn terminals_are_clamped_and_round_cups_soldered_and_only_a_shell_that_is_there_is_tested() {
    let page = page(&buttons_to_round());
    let steps = section(&page, "steps");
    assert!(steps.contains("into terminal <b>2 (up)</b>") && steps.contains("into cup <b>8 (left)</b>"));
    assert!(steps.contains("Crimp a ferrule") && !steps.contains("<b>Row"));
    let bench = section(&page, "bench");
    let isolation = bench.split("id=\"isolation-").skip(1).collect::<Vec<_>>();
    assert!(!isolation[0].contains("shell") && isolation[1].contains("8 and shell"));
    let needs = section(&page, "needs");
    assert!(needs.contains("270 degrees of a circle and its middle") && !needs.contains("hood for shell"));
}

#[test]
fn every_pair_of_neighbours_is_tested_once() {
    let page = page(&stick_to_plover());
    let bench = section(&page, "bench");
    // DE-9, *row by row*: contact 1 has 2, 6 and the shell beside it; 2 has 3, 6 and 7.
    assert!(bench.contains("<td>2, 6 and shell</td>"));
    assert!(bench.contains("<td>3, 6, 7 and shell</td>"));
}

#[test]
fn the_far_row_is_soldered_before_the_near_one_and_the_middle_before_the_outside() {
    let rows = far_row_first(&stick_to_plover(), EndId::Controller(0));
    let read = |row: &[solderside_trade::ContactId]| listed(row);
    // The stick's connector lies with row 1 to 8 up, away from the conductors.
    assert_eq!(read(&rows[0]), "4, 5, 3, 6, 2, 7, 1 and 8");
    assert_eq!(read(&rows[1]), "12, 11, 13, 10, 14, 9 and 15");
}

#[test]
fn a_controller_with_chips_is_not_measured_through() {
    let page = page(&pad_to_curlew());
    assert!(section(&page, "switches").contains("has chips inside"));
    assert_eq!(section(&page, "switches").matches("<table>").count(), 0);
}

#[test]
fn a_title_is_text_whatever_is_in_it() {
    let mut assembly = stick_to_plover();
    "<script>\u{7}&".clone_into(&mut assembly.lead.title);
    "\"><b>".clone_into(&mut assembly.port.title);
    let page = page(&assembly);
    assert!(page.contains("<h1>&lt;script&gt; &amp;</h1>"));
    let page = without_script(&page);
    assert!(!page.contains("<script") && !page.contains('\u{7}') && !page.contains("\"><b>\""));
}

#[test]
fn the_same_lead_gives_the_same_bytes() {
    assert_eq!(page(&pad_to_curlew()), page(&pad_to_curlew()));
}

#[test]
fn a_lead_that_nobody_would_build_still_makes_a_page() {
    for seed in 0..30 {
        let assembly = tangled(seed);
        if let Ok(proof) = prove(&assembly) {
            let page = guide(&assembly, &proof, &GuideOptions::default());
            assert!(page.ends_with("</html>"), "seed {seed}");
        }
    }
}

#[test]
fn the_first_power_begins_with_the_lead_in_the_machine() {
    for assembly in [stick_to_plover(), stick_to_curlew()] {
        let page = page(&assembly);
        let power = section(&page, "power");
        let plugged_in = power.find("Plug the lead into the machine").unwrap();
        assert!(plugged_in < power.find("Switch on").unwrap());
        // A loose lead reads nothing: this reading tells it from one that is plugged in.
        assert!(power.contains("red probe to 15 (up), no resistor. Switch on. Expect more than 1.4 V"));
    }
}

// The divider of the strongest pull-up and 1 kΩ on 5.25 V: 1.28 V with 3.1 kΩ, 0.20 V with 25 kΩ.
#[test]
fn every_used_contact_but_the_return_stays_below_its_figure() {
    for (assembly, figure, lines) in
        [(stick_to_curlew(), "below 1.3 V", 5), (stick_to_plover(), "below 0.3 V", 6)]
    {
        let page = page(&assembly);
        assert_eq!(section(&page, "power").matches(figure).count(), lines);
    }
}

#[test]
fn the_supply_of_a_pad_is_checked_before_it_is_soldered_to() {
    let page = page(&pad_to_curlew());
    let pad = section(&page, "pad");
    assert!(pad.contains("contact 8 (supply)") && pad.contains("nobody has measured it"));
    assert!(page.find("id=\"pad\"") < page.find("id=\"steps\""));
    assert!(section(&page, "needs").contains("100 Ω"));
    assert_eq!(section(&self::page(&stick_to_plover()), "pad"), "");
}

/// Both buttons on one fire: cups 5 and 13 are neighbours and share the port's cup 6.
fn two_buttons_one_fire() -> Assembly {
    let mut assembly = lead("heron-stick", "curlew", &[[13, 6], [5, 6], [1, 8]]);
    let fire = Action::new("fire").unwrap();
    assembly.lead.play.set(fire, ["a", "b"].map(|name| Control::new(name).unwrap()));
    assembly
}

#[test]
fn conductors_that_share_a_cup_are_soldered_together() {
    let page = page(&two_buttons_one_fire());
    let steps = section(&page, "steps");
    assert_eq!(steps.matches(", twisted together, into cup <b>6 (fire)</b>").count(), 1);
    assert_eq!(steps.matches("into cup <b>6 (fire)</b>").count(), 1);
    assert!(section(&page, "needs").contains("13 pieces"));
}

#[test]
fn cups_joined_through_the_other_end_are_buzzed_when_that_is_done() {
    let page = page(&two_buttons_one_fire());
    assert_eq!(section(&page, "steps").matches("5 with 13. Buzz these once more then.").count(), 1);
    assert!(!section(&self::page(&stick_to_curlew()), "steps").contains("once more then"));
}

#[test]
fn a_lead_without_a_supply_has_no_supply_to_solder() {
    let fresh = "fresh in view";
    assert!(!section(&page(&stick_to_plover()), "steps").contains(fresh));
    let page = page(&pad_to_curlew());
    let steps = section(&page, "steps");
    assert!(steps.contains(fresh));
    assert!(
        steps.contains("measure contact 7 (supply) of the port end against 8 (return) and shell once more")
    );
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

/// The lines of a section from one that contains a text to one that contains another, which is left out.
fn between_lines(page: &str, id: &str, first: &str, last: &str) -> String {
    let words = words_of(page, id);
    let lines = words.lines().skip_while(|line| !line.contains(first));
    lines.take_while(|line| !line.contains(last)).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_split_line_is_made_up_in_an_order_that_a_hand_can_follow() {
    let page = page(&one_button_on_two_fires());
    insta::assert_snapshot!(between_lines(&page, "steps", "Lay the parts out", "Look at every joint from both sides"), @"
    Lay the parts out as the table of parts names them, and measure each before it is soldered. BAT85 on the diode range, red probe at the end without band, black at the band: 0.17 V to 0.37 V; the other way round: open.
    Cut the legs of each part to 10 mm and tin their ends. Bend no leg nearer than 3 mm to the body, or the glass cracks. While you solder, hold the leg with pliers between body and iron, and take the iron away after 3 seconds.
    Controller end
    Hold the DA-15 socket in a vice or in a spare mating connector, which keeps its contacts straight while the insulator is warm, and half fill with solder the cups that will be used: 1, 6, 7, 13, 14 and 15.
    Row 1 to 8. BK black into cup 1 (common).
    BN brown into cup 6 (right).
    OG orange into cup 7 (down).
    Row 9 to 15. YE yellow into cup 13 (a).
    GN green into cup 14 (left).
    BU blue into cup 15 (up).
    ");
    insta::assert_snapshot!(between_lines(&page, "steps", "30 mm onto", "Buzz the port end"), @"
    Slide a sleeve of 30 mm onto YE yellow, well away from the heat. Solder it to the leg at the band (cathode) of D1 and the leg at the band (cathode) of D2. Slide a sleeve of 30 mm over each of D1 and D2 from its free leg. Look once more that the band of no diode is on the wrong side, and leave the sleeves unshrunk until all is measured.
    Row 1 to 5. GN green into cup 3 (left).
    OG orange into cup 2 (down).
    BN brown into cup 4 (right).
    BU blue into cup 1 (up).
    Row 6 to 9. BK black into cup 9 (return).
    D2 by its leg without band (anode; the band away from the connector) into cup 7 (second-fire).
    D1 by its leg without band (anode; the band away from the connector) into cup 6 (fire).
    Look at every joint from both sides under a lamp. No drop, whisker or strand may reach a neighbour or the shell.
    ");
}

#[test]
fn each_part_is_listed_with_what_its_legs_are_soldered_to() {
    let page = page(&resistors_in_series());
    insta::assert_snapshot!(between_lines(&page, "wires", "Parts: what", "no such line"), @"
    Parts: what each leg is soldered to
    Part | Is | In the hood of the | First leg goes to | Second leg goes to |
    D1 | 1N4148, a silicon diode | Port end | anode: R2 leg 1 | cathode (band): OG from controller end 7 (down) |
    R1 | resistor of 470 Ω ± 5 % | Port end | YE from controller end 13 (a) | port end 6 (fire) |
    R2 | resistor of 10 Ω ± 1 % | Port end | D1 anode | port end 2 (down) |
    R3 | resistor of 4.7 kΩ ± 5 % | Port end | port end 1 (up) | port end 6 (fire) |
    ");
    insta::assert_snapshot!(between_lines(&page, "needs", "1 × 1N4148", "A resistor of 1 kΩ"), @"
    1 × 1N4148, a small silicon diode in glass with a band at its cathode (D1). Do not put another type in its place.
    1 × 470 Ω ± 5 %, a resistor of ¼ W (R1). Its bands: yellow, violet, brown and gold.
    1 × 10 Ω ± 1 %, a resistor of ¼ W (R2). Its bands: brown, black, black, gold and brown.
    1 × 4.7 kΩ ± 5 %, a resistor of ¼ W (R3). Its bands: yellow, violet, red and gold.
    Heat-shrink sleeve for the parts, 5 pieces of 30 mm, about 3 mm bore: one over each, its legs included, and one over each joint of several.
    Heat-shrink sleeve, 12 pieces of 10 mm, about 2 mm bore before shrinking: one for each used cup.
    ");
}

#[test]
fn a_diode_is_measured_on_the_diode_range_and_a_resistor_on_ohms_never_with_the_buzzer() {
    let page = page(&resistors_in_series());
    insta::assert_snapshot!(between_lines(&page, "bench", "Parts, probe by probe", "1N4148:"), @"
    Parts, probe by probe
    Part | Red probe | Black probe | Reads | Right |
    D1 1N4148 | D1 anode | controller end 7 (down) | 0.48 V to 0.75 V; probes swapped: open |  |
    Open this way and the reading with the probes swapped: D1 is reversed. Open both ways: D1 is missing or dead, or one of its joints is open, or OG is broken. Near 0 V both ways: the legs of D1 touch, or it is shorted. 0.17 V to 0.37 V: a Schottky diode in its place. |
    R1 470 Ω | controller end 13 (a) | port end 6 (fire) | 447 Ω to 494 Ω |  |
    Open: R1 is missing or dead, or one of its joints is open, or YE is broken. Near 0 Ω: the legs of R1 touch. Another value: a wrong resistor, compare its bands; well above: a weak joint. |
    R2 10 Ω | R2 leg 1 | port end 2 (down) | 9.9 Ω to 10.1 Ω |  |
    Open: R2 is missing or dead, or one of its joints is open. Near 0 Ω: the legs of R2 touch. Another value: a wrong resistor, compare its bands; well above: a weak joint. |
    R3 4.7 kΩ | controller end 15 (up) | port end 6 (fire) | 4.47 kΩ to 4.94 kΩ |  |
    Open: R3 is missing or dead, or one of its joints is open, or BU is broken. Near 0 Ω: the legs of R3 touch. Another value: a wrong resistor, compare its bands; well above: a weak joint. |
    ");
    assert!(words_of(&page, "bench").contains("Never with the buzzer"));
}

#[test]
fn a_control_behind_a_diode_is_tested_in_volts_with_the_red_probe_at_the_machines_line() {
    let page = page(&one_button_on_two_fires());
    insta::assert_snapshot!(between_lines(&page, "switches", "a | ", "The range adds"), @"
    a | red 6 (fire) – black 9 (return) | 0.17 V to 0.37 V |  |
    Stays open: YE and D1, or the switch or its contact in the connector, or a reversed diode; in every row: BK. Above the range: a worn switch or a weak joint. Low with nothing pressed: the switch sticks, or conductors that touch in the cable. |
    a | red 7 (second-fire) – black 9 (return) | 0.17 V to 0.37 V |  |
    Stays open: YE, D1 and D2, or the switch or its contact in the connector, or a reversed diode; in every row: BK. Above the range: a worn switch or a weak joint. Low with nothing pressed: the switch sticks, or conductors that touch in the cable. |
    ");
}

#[test]
fn every_part_has_one_row_in_the_table_and_one_in_the_tests() {
    let leads =
        [diode_in_each_line(), one_button_on_two_fires(), one_cup_with_two_diodes(), resistors_in_series()];
    for assembly in leads {
        let page = page(&assembly);
        for part in &assembly.lead.parts {
            let name = part.id().to_string().to_uppercase();
            let rows = |id: &str| {
                words_of(&page, id).lines().filter(|line| line.starts_with(&format!("{name} "))).count()
            };
            assert_eq!(rows("wires"), 1, "{name}");
            // In the soldering each part stands at its cups; in the tests it heads one row.
            assert_eq!(rows("bench"), 1, "{name}");
            assert!(section(&page, "needs").contains(&name));
        }
    }
}

#[test]
fn no_line_behind_a_diode_is_powered_without_a_figure_and_the_return_is_found_through_one() {
    let page = page(&diode_in_each_line());
    let power = words_of(&page, "power");
    assert!(power.contains("Black probe fixed to 1 (common), red probe to 15 (up)"));
    assert_eq!(power.matches("1 (common) – ").count(), 6);
    assert_eq!(power.matches("below 0.3 V").count(), 6);
}

#[test]
fn neighbours_that_a_part_ties_together_are_not_said_to_be_open() {
    let mut assembly = resistors_in_series();
    // 2 and 3 stand beside each other; a resistor between them is no bridge.
    let moved = |text: &str| text.parse::<solderside_lead::Join>().unwrap();
    assembly.lead.joins.retain(|join| *join != moved("r3.2 - port.6"));
    assembly.lead.joins.push(moved("r3.2 - port.2"));
    assembly.lead.settle();
    let page = page(&assembly);
    let isolation = words_of(&page, "bench");
    assert!(isolation.contains("1 (up) | 6 and shell (tied by parts, tested with them: 2)"), "{isolation}");
}

#[test]
fn a_crushed_cable_is_sought_where_no_part_hides_it() {
    let [at_port, at_controller] = [one_button_on_two_fires(), one_cup_with_two_diodes()].map(|assembly| {
        let page = page(&assembly);
        let bench = words_of(&page, "bench");
        let before = bench.split("A crushed cable").next().unwrap().to_owned();
        before.matches("3. Isolation").count()
    });
    assert_eq!([at_port, at_controller], [1, 2]);
}

#[test]
fn a_lead_in_a_cable_names_its_cores_and_its_spares() {
    let mut assembly = pad_to_curlew();
    assembly.lead.run_in(cable("five-pair-screened"));
    let page = page(&assembly);
    let needs = section(&page, "needs");
    assert!(needs.contains("<b>1.5 m of Five-pair screened control cable</b>"), "{needs}");
    assert!(needs.contains("Spare: <b>PK 6, BK 9, VT 10 and the drain</b>."), "{needs}");
    for join in &assembly.lead.joins {
        let name = format!("<b>{}</b>", Colouring::of(&assembly).letters(*join));
        let times = |id: &str| section(&page, id).matches(&name).count();
        assert_eq!(["needs", "wires", "steps", "bench"].map(times), [1, 1, 2, 1], "{join}");
    }
}

#[test]
fn nothing_is_bought_for_or_soldered_to_a_moulded_end() {
    let mut assembly = stick_to_plover();
    assembly.lead.run_in(cable("nine-core-moulded-socket"));
    let page = page(&assembly);
    let needs = section(&page, "needs");
    assert!(!needs.contains("1 × DE-9 socket") && needs.contains("1 × DA-15 socket"), "{needs}");
    assert!(needs.contains("is moulded onto the cable."), "{needs}");
    assert!(needs.contains("7 pieces of 10 mm"), "{needs}");
    let steps = section(&page, "steps");
    assert!(steps.contains("This DE-9 socket is moulded on: nothing is soldered here."), "{steps}");
    assert_eq!(steps.matches("Hold the ").count(), 1);
    assert!(steps.find("is moulded on") < steps.find("Hold the "), "it is checked first");
    assert!(steps.contains("insulate, each by itself: YE 5 and GY 8."), "{steps}");
    assert!(steps.contains("<b>Mind YE 5:</b>"), "contact 5 of the Plover is its supply: {steps}");
    assert!(steps.contains("Cut the cable 1.5 m from the moulded end"), "{steps}");
    assert_eq!(section(&page, "drawing").matches("For soldering: ").count(), 1);
}

#[test]
fn cores_that_look_alike_are_told_apart_with_the_meter() {
    let mut assembly = stick_to_plover();
    let mut cheap = cable("ten-core-control");
    cheap.colours[4] = cheap.colours[0];
    assembly.lead.run_in(cheap);
    assert!(section(&page(&assembly), "needs").contains("The cores <b>1 and 5</b> look alike"));
}

#[test]
fn a_board_is_made_up_leg_by_leg_and_its_chip_comes_last() {
    let page = page(&stick_through_buffer());
    insta::assert_snapshot!(between_lines(&page, "steps", "The board. ", "The chip stays out"), @"
    The board. Put the parts in as the drawing shows them from above, the sockets without their chips, and solder two legs of each, corner to corner where there are corners; then look whether it lies flat, and solder the rest. The notch of a socket points where the drawing has the chip’s. C1 stands as near as can be to leg 14 of U1 and leg 7 of U1, and its wires to them are the shortest of the board. Then turn the board over: seen from below, left and right are changed over, so count the legs of a chip from leg 1 with the clock. The steps that follow go leg by leg; each wire comes once.
    U1 leg 1 (1OE): bare wire to U1 leg 7 (GND).
    U1 leg 2 (1A): GN green, which goes to controller end 13 (a); bare wire to R1 leg 2.
    U1 leg 3 (1Y): GY grey, which goes to port end 6 (fire).
    U1 leg 4 (2OE): bare wire to U1 leg 5 (2A).
    U1 leg 5 (2A): bare wire to U1 leg 7 (GND).
    U1 leg 7 (GND): BN brown, which goes to controller end 1 (common); bare wire to C1 leg 2; bare wire to U1 leg 9 (3A); BK black, which goes to port end 8 (return).
    U1 leg 9 (3A): bare wire to U1 leg 10 (3OE); bare wire to U1 leg 12 (4A).
    U1 leg 12 (4A): bare wire to U1 leg 13 (4OE).
    U1 leg 14 (VCC): bare wire to R1 leg 1; bare wire to C1 leg 1; RD red, which goes to port end 7 (supply).
    ");
    insta::assert_snapshot!(between_lines(&page, "power", "Supply of U1", "Then close the hood"), @"
    Supply of U1
    Machine off, controller not plugged in, U1 not in its socket. At the socket fix a 1 kΩ resistor between U1 leg 14 (VCC) and U1 leg 7 (GND), and the meter’s probes beside it, on DC volts, the black one at U1 leg 7 (GND). No clip may touch a neighbour.
    Plug the lead into the machine, then switch the machine on. Expect 4.75 V to 5.25 V, less a few millivolts that the cable takes; the chip asks for 2 V to 6 V. A minus sign means that supply and ground are swapped, and would kill the chip: stop.
    Switch off, take the resistor away, switch on. The reading may rise by less than 50 mV. If it rises by more, the contact is no supply but a line that is pulled up: stop.
    Switch off and unplug the lead. Touch earthed metal, then press U1 into its socket, its notch at the socket’s notch, every leg in its hole and none bent under. Turned round it gets its supply the wrong way, and is dead.
    Plug the lead into the machine, the controller still out, and switch on. Measure U1 leg 14 (VCC) against U1 leg 7 (GND) once more: the same within 50 mV. A chip that grows warm to a finger in half a minute: switch off.
    ");
}

#[test]
fn a_chip_is_bought_by_its_name_and_family_with_a_socket_and_a_board() {
    insta::assert_snapshot!(between_lines(&page(&stick_through_buffer()), "needs", "1 × 10 kΩ", "Tinned wire"), @"
    1 × 10 kΩ ± 5 %, a resistor of ¼ W (R1). Its bands: brown, black, orange and gold.
    1 × ceramic capacitor of 100 nF for at least 16 V (C1), marked 104. It works either way round.
    1 × 74HC125 in DIP-14 (U1), quad tri-state buffer, four enables; and for each a socket of 14 legs, two rows 7.62 mm apart. What is printed on it is longer: the maker’s letters stand before the name, and those behind it tell the package; only a package with two rows of stiff legs fits. The letters within the name are the family, and no other family does in its place: its inputs have other thresholds and its outputs other strength, and nothing here was proved for it.
    1 × piece of perforated board, holes 2.54 mm apart, a ring of copper round each and no strips between them, for R1, C1 and U1. Lay the parts out on it before you cut it, and cut it as small as they allow: it has to go into the hood with them, and a chip in its socket stands about 10 mm high. Where it does not, take a larger hood, or a small closed box in the cable close to this end.
    ");
}

#[test]
fn every_leg_of_a_chip_has_a_row_in_its_table_and_every_join_of_a_board_one_step_and_one_test() {
    let assembly = stick_through_buffer();
    let page = page(&assembly);
    let table = words_of(&page, "wires");
    for leg in 1..=14 {
        assert!(table.lines().any(|line| line.starts_with(&format!("{leg} "))), "{leg}: {table}");
    }
    let steps = words_of(&page, "steps");
    let bench = words_of(&page, "bench");
    for join in &assembly.lead.joins {
        let [from, to] = [join.from, join.to];
        let of_a_chip = [from, to].into_iter().find(|leg| leg.part_id().is_some());
        let Some(leg) = of_a_chip else { continue };
        let other = crate::words::contact(&assembly, join.other(leg).unwrap());
        assert!(steps.contains(&other), "{join}");
        assert!(bench.contains(&other) && bench.contains(&crate::words::contact(&assembly, leg)), "{join}");
    }
}

#[test]
fn no_reading_is_taken_through_a_chip_and_its_supply_is_tested_before_power() {
    let plain = page(&stick_to_plover());
    let page = page(&stick_through_buffer());
    let bench = words_of(&page, "bench");
    assert!(bench.contains("U1 is not in its socket"));
    assert!(bench.contains("U1 leg 14 (VCC) – U1 leg 7 (GND)"));
    assert!(bench.contains("Socket of U1, empty: each leg open to the next"));
    assert!(!bench.contains("diode range, red"));
    let tests = words_of(&page, "switches");
    assert!(tests.contains("Through U1 a meter sees no switch. Try “fire” on the machine"), "{tests}");
    let cautions = words_of(&page, "cautions");
    assert!(cautions.contains("Static") && cautions.contains("Chip the right way round"));
    assert!(!words_of(&plain, "cautions").contains("Static that"));
}

#[test]
fn a_lead_with_a_board_makes_a_sound_page_whatever_its_verdict() {
    let boards = [transistor_in_the_fire(), stick_through_buffer()];
    for assembly in boards.into_iter().chain((0..5).map(tangled_with_chip)) {
        let Ok(mut proof) = prove(&assembly) else { continue };
        for verdict in [Verdict::Works, Verdict::Fails] {
            proof.verdict = verdict;
            let page = guide(&assembly, &proof, &GuideOptions::default());
            let open = |tag: &str| page.matches(&format!("<{tag}")).count();
            let closed = |tag: &str| page.matches(&format!("</{tag}>")).count();
            assert!(["table", "svg", "section"].iter().all(|tag| open(tag) == closed(tag)));
            assert!(!words_of(&page, "bench").contains("– and"), "a bare wire has no letters");
        }
    }
}

#[test]
fn a_transistor_is_bought_with_the_order_of_its_legs_and_the_warning_that_makers_differ() {
    let assembly = transistor_in_the_fire();
    let mut proof = prove(&assembly).unwrap();
    proof.verdict = Verdict::Works;
    let page = guide(&assembly, &proof, &GuideOptions::default());
    let needs = words_of(&page, "needs");
    assert!(needs.contains("the legs down: collector, base and emitter"), "{needs}");
    assert!(needs.contains("Makers differ in that order"));
    assert!(words_of(&page, "wires").contains("Q1 BC547, leg by leg"));
    assert!(!words_of(&page, "cautions").contains("Chip the right way round"));
}

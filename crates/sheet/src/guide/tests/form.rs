//! The page as a document: whole, small, closed to the world, and open to every reader.

use super::*;

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
    let script = include_str!("../script.js");
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
    let schemes: Vec<&str> = include_str!("../style.css").split(":root{").skip(1).take(2).collect();
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
    let style = include_str!("../style.css");
    for moving in ["scroll-behavior", "transition", "animation"] {
        for (at, _) in style.match_indices(moving) {
            let line = style[..at].rsplit('\n').next().unwrap();
            assert!(line.starts_with("@media (prefers-reduced-motion:no-preference)"), "{moving}");
        }
    }
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
fn on_paper_a_board_is_one_block_with_its_heading_and_no_picture_starts_a_page_by_itself() {
    let page = page(&stick_through_buffer());
    let (_, sides) = section(&page, "board").split_once("<div class=\"body\"><div class=\"sides\">").unwrap();
    let (sides, _) = sides.split_once("<div class=\"laid\">").unwrap();
    assert_eq!(sides.matches("<figure").count(), 2, "both sides are in it");
    assert!(sides.contains("The board of the controller end has"));
    let paper = include_str!("../print.css");
    assert!(paper.contains("break-inside:avoid}\n.sides p") && paper.contains("h1,h2,h3,"));
    assert!(!paper.contains("break-before"), "a page is begun only where something does not fit");
}

//! Each page of `explain` is reached by its code, and its example raises that code.

use std::collections::BTreeSet;

use crate::bench::Bench;
use serde_json::Value;

fn texts<'v>(list: &'v Value, key: &'v str) -> impl Iterator<Item = &'v str> {
    list.as_array().expect("a list").iter().map(move |item| item[key].as_str().expect("a text"))
}

/// The files of a page's example: its blocks of TOML, each named by its first line.
fn files(page: &str) -> Vec<(&str, &str)> {
    let blocks = page.split("```toml\n").skip(1).filter_map(|rest| Some(rest.split_once("\n```")?.0));
    blocks.filter_map(|block| Some((block.lines().next()?.strip_prefix("# ")?, block))).collect()
}

#[test]
fn each_example_raises_its_code_and_nothing_else_that_is_bad() {
    let (code, answer) = Bench::empty().json("explain");
    assert_eq!(code, 0);
    for explained in answer["codes"].as_array().expect("codes") {
        let [code, page] = ["code", "page"].map(|key| explained[key].as_str().expect("a text"));
        let bench = Bench::empty();
        let files = files(page);
        for (name, text) in &files {
            bench.put(&format!("shelf/{name}"), text);
        }
        let lead = files.iter().find(|(_, text)| text.contains("kind = \"lead\""));
        let (lead, _) = lead.unwrap_or_else(|| panic!("`{code}` has no lead in its example"));
        let lead = lead.trim_end_matches(".toml");
        let (status, proof) = bench.json(&format!("prove {lead} --shelf shelf"));
        let raised: BTreeSet<&str> = texts(&proof["findings"], "code").collect();
        assert!(raised.contains(code), "`{code}` is not raised: {raised:?}");
        let severities = texts(&proof["findings"], "severity");
        let bad = texts(&proof["findings"], "code").zip(severities);
        let bad: BTreeSet<&str> =
            bad.filter(|(_, severity)| ["fail", "harm"].contains(severity)).map(|(code, _)| code).collect();
        let also = page.lines().filter_map(|line| line.strip_prefix("Also raises: "));
        let also: BTreeSet<&str> = also.flat_map(|codes| codes.split(", ")).chain([code]).collect();
        assert!(bad.is_subset(&also), "`{code}`: {bad:?}");
        let sound = bad.is_empty() && proof["verdict"] != "unproved";
        assert_eq!(status, i32::from(!sound), "`{code}`");
    }
}

#[test]
fn each_code_has_one_line_in_the_list_and_a_page() {
    let bench = Bench::empty();
    let list = bench.run("explain").sound();
    let (_, answer) = bench.json("explain");
    for code in texts(&answer["codes"], "code") {
        let line = list.lines().find(|line| line.split(' ').next() == Some(code));
        assert!(line.is_some_and(|line| line.len() > code.len() + 10), "{code}");
        let page = bench.run(&format!("explain {code}")).sound();
        assert!(page.starts_with(&format!("{code}\n")) && page.ends_with('\n'), "{code}");
    }
}

#[test]
fn an_unknown_code_is_answered_with_the_nearest() {
    let bench = Bench::empty();
    insta::assert_snapshot!(bench.run("explain power-puled-up").wrong(), @r"
    error: no finding has the code `power-puled-up`
      = help: write `power-pulled-up`; `solderside explain` lists all codes
    ");
    insta::assert_snapshot!(bench.run("explain overload").wrong(), @r"
    error: no finding has the code `overload`
      = help: write `power-overload` or `drive-overload`; `solderside explain` lists all codes
    ");
    insta::assert_snapshot!(bench.run("explain zzz").wrong(), @r"
    error: no finding has the code `zzz`
      = help: `solderside explain` lists all codes
    ");
}

//! Leads with two controller ends.

use crate::bench::Bench;

const LEAD: &str = "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"curlew\"\n\
    second = \"nine-pin-stick-with-one-button\"\nthrough = true\njoins = [\n\
    \"controller.15 - port.1\", \"controller.7 - port.2\", \"controller.14 - port.3\", \"controller.6 - port.4\",\n\
    \"controller.13 - port.6\", \"controller.1 - port.8\",\n\
    \"controller-2.1 - port.1\", \"controller-2.2 - port.2\", \"controller-2.3 - port.3\", \"controller-2.4 - port.4\",\n\
    \"controller-2.6 - port.6\", \"controller-2.8 - port.8\",\n]\n";

fn with_lead() -> Bench {
    let bench = Bench::demo();
    bench.put("two.toml", LEAD);
    bench
}

#[test]
fn a_pass_through_is_proved_empty_and_with_its_stick_and_either_is_read() {
    let (code, proof) = with_lead().json("prove two");
    assert_eq!((code, &proof["verdict"]), (0, &"works".into()), "{}", proof["findings"]);
    let stands = |at: usize| proof["settings"][at]["stands"]["controller-2"].clone();
    assert_eq!([stands(0), stands(1)], ["empty", "plugged"]);
    assert_eq!(proof["settings"][0]["play"]["up"].to_string(), r#"["up"]"#);
    assert_eq!(proof["settings"][1]["play"]["up"].to_string(), r#"["up","second-up"]"#);
    assert_eq!(proof["lead"]["ends"][1]["end"], "controller-2");
}

#[test]
fn of_a_further_end_of_which_nobody_says_what_goes_in_only_that_it_is_empty_is_proved() {
    let bench = Bench::demo();
    bench.put("open.toml", LEAD.replace("second = \"nine-pin-stick-with-one-button\"\n", ""));
    let told = bench.run("prove open").sound();
    assert!(
        told.contains("build-unknown-end: the verdict is about nothing plugged into `controller-2`"),
        "{told}"
    );
}

#[test]
fn what_is_not_made_of_a_lead_with_two_controller_ends_is_said() {
    let bench = with_lead();
    for (command, what) in [
        ("guide two", "guides"),
        ("buzz two", "meter tests"),
        ("diagnose two", "diagnoses"),
        ("compare two curlew", "comparisons"),
        ("fits two", "lists of where else to plug"),
        ("timing two", "diagrams"),
        ("play two fire=b", "changes of the play map"),
    ] {
        let told = bench.run(command).wrong();
        assert!(told.contains(&format!("{what} of leads with two controller ends are not made")), "{told}");
    }
}

//! Where the tool says no, and that it says why.

use crate::bench::Bench;

/// Sockets that share a plug with controllers, each with the controller whose lead would fit.
const SOCKETS: [(&str, &str); 5] = [
    ("heron-stick", "nine-way-serial"),
    ("heron-stick", "fifteen-way-network-attachment"),
    ("heron-stick", "fifteen-way-high-density-video"),
    ("heron-stick", "nine-way-monitor-output"),
    ("heron-pad", "fifteen-way-high-density-video"),
];

#[test]
fn no_lead_is_designed_for_a_socket_that_is_none_for_a_controller() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick nine-way-serial --save").found(), @"
    Heron stick to Nine-way serial interface: there is no lead
      `nine-way-serial` is no port for a controller: it is a serial interface (TIA-574): its outputs
      stand at up to 15 V either side of ground, and nothing in it gives 5 V

    nothing was saved: there is no sound lead
    ");
    for (controller, socket) in SOCKETS {
        let (code, answer) = bench.json(&format!("design {controller} {socket}"));
        assert_eq!((code, answer["options"].as_array().map(Vec::len)), (1, Some(0)), "{socket}");
        let fact = answer["refused"][0]["facts"][0].as_str().unwrap_or_default();
        assert!(fact.starts_with(&format!("`{socket}` is no port for a controller: it is ")), "{fact}");
        assert_ne!(answer["refused"][0]["nearest"]["verdict"], "works", "{socket}");
    }
    assert_eq!(bench.names().iter().filter(|name| name.contains("-to-")).count(), 0, "nothing is saved");
}

#[test]
fn a_lead_into_a_socket_that_is_none_for_a_controller_never_works_and_is_not_guided() {
    let bench = Bench::demo();
    for (controller, socket) in SOCKETS {
        for command in ["prove", "guide"] {
            let told = bench.run(&format!("{command} {controller} {socket}")).found();
            assert!(told.contains("build-no-port"), "{told}");
            assert!(!told.contains(": works"), "{told}");
        }
    }
    let plug = "format = 1\nkind = \"lead\"\ncontroller = \"nine-pin-stick-with-one-button\"\n\
                port = \"nine-way-monitor-output\"\njoins = [\"controller.8 - port.1\"]\n";
    bench.put("leads/by-hand.toml", plug);
    let (code, answer) = bench.json("prove by-hand");
    assert_eq!((code, &answer["verdict"]), (1, &"fails".into()));
    assert!(bench.names().iter().all(|name| !name.contains("-guide")));
}

#[test]
fn nobody_is_led_into_a_lead_that_is_not_to_be_built() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("compare heron-stick curlew nine-way-serial").found(), @"
    no moves are told: what they would make is not to be built
      from  Heron stick to Curlew home computer
      to    Heron stick to Nine-way serial interface
    rewired so, the lead fails (do not build it)

    Findings
      fail  build-no-port: `nine-way-serial` is no port for a controller: it is a serial interface
            (TIA-574): its outputs stand at up to 15 V either side of ground, and nothing in it gives 5
            V
            mend: plug nothing in there, and build no lead for it: take the machine's controller port
    ");
    let (code, answer) = bench.json("compare heron-stick plover heron-pad avocet");
    assert_eq!((code, answer["steps"].as_array().map(Vec::len)), (1, Some(0)));
}

#[test]
fn a_lead_that_plays_nothing_fails() {
    let bench = Bench::demo();
    let none = "up= down= left= right= fire=".split(' ').map(|wish| format!(" --play {wish}"));
    let told = bench.run(&format!("design heron-stick curlew{}", none.collect::<String>())).found();
    assert!(told.contains("no control of the controller performs any action"), "{told}");
    bench.put(
        "idle.toml",
        "format = 1\nkind = \"lead\"\ncontroller = \"heron-stick\"\nport = \"curlew\"\njoins = [\"controller.1 - port.8\"]\n\
         [play]\nup = []\ndown = []\nleft = []\nright = []\nfire = []\n",
    );
    let told = bench.run("prove idle").found();
    assert!(told.contains("fail  read-nothing: no control of the controller performs any action"), "{told}");
}

#[test]
fn a_lead_without_any_direction_says_so_in_its_headline() {
    let bench = Bench::demo();
    let headline = "Two analogue paddles on one nine-pin plug to Curlew home computer: works, but NO DIRECTION is played";
    for command in ["design", "prove", "fits", "guide"] {
        let told = bench.run(&format!("{command} nine-pin-paddles curlew")).sound();
        assert!(told.starts_with(headline), "{told}");
    }
    let page = bench.read("nine-pin-paddles-to-curlew-guide.html");
    assert!(page.contains("No direction is played:"));
}

#[test]
fn parts_are_not_put_into_a_lead_that_wire_alone_serves() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick curlew --class parts").found(), @"
    Heron stick to Curlew home computer: there is no lead of class parts
      wire alone does it; nothing else is needed
    ");
    let (_, answer) = bench.json("design heron-stick curlew --class parts");
    assert_eq!(answer["parts_mend_nothing"], false);
    insta::assert_snapshot!(bench.run("prove heron-stick curlew --class parts").wrong(), @"
    error: wire alone does it; nothing else is needed
      = help: leave out `--class parts`
    ");
    // Who named a pad named no class.
    let told = bench.run("prove heron-stick curlew --donor bittern-pad").wrong();
    assert!(told.contains("leave out `--donor bittern-pad`"), "{told}");
    for command in
        ["guide heron-stick curlew", "fits heron-stick curlew", "compare heron-stick plover curlew"]
    {
        let told = bench.run(&format!("{command} --class parts")).wrong();
        assert!(told.starts_with("error: wire alone does it"), "{command}: {told}");
    }
}

#[test]
fn a_lead_of_which_both_connectors_go_is_built_anew_and_not_rewired() {
    insta::assert_snapshot!(Bench::demo().run("compare heron-stick plover bittern-panel dotterel").sound(), @"
    nothing but the cable would stay: both connectors are others, so build the second lead anew
      from  Heron stick to Plover home computer
      to    Bittern panel to Dotterel home computer
    the second lead works
    ");
}

//! Options side by side, the parts in the drawer, and what only a program could do.

use crate::bench::Bench;
use serde_json::json;

#[test]
fn a_class_that_is_named_twice_is_told_once() {
    let told = Bench::demo().run("design heron-stick bittern --class plain --class plain").found();
    assert!(told.contains("only leads of class `plain` are allowed"), "{told}");
}

#[test]
fn ways_to_build_a_lead_stand_side_by_side() {
    let told = Bench::demo().run("design heron-stick avocet").sound();
    let (table, _) = told.split_once("\n\n").expect("the table stands first");
    insta::assert_snapshot!(table, @"
    2 ways to build it, the best first
          class  verdict  least margin  to solder  made of
      1.  parts  thin     -0.314 V      26 joints  wire and 6 × BAT85
      2.  parts  thin     -0.42 V       26 joints  wire and 6 × 1N4148
      1. loses controls `c`, `d`, `select`, `start`
      2. loses controls `c`, `d`, `select`, `start`
    ");
    assert!(table.lines().all(|line| line.chars().count() <= 100), "{table}");
}

#[test]
fn a_drawer_is_listed_and_shown() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show drawer").sound(), @"
    Workshop drawer of the Saltmarsh Computer Museum (drawer `drawer`)

    Chips
      2 ×  74HC157, quad 2:1 multiplexer
      1 ×  74HC165, 8-bit register, parallel in and serial out, loads while PL is low
      1 ×  74HC125, quad tri-state buffer, four enables

    Diodes
      50 ×  silicon diode 1N4148
      12 ×  Schottky diode BAT85

    Transistors
      not counted: of these a lead may have any

    Resistors
      not counted: of these a lead may have any

    Capacitors
      not counted: of these a lead may have any
    ");
    let (_, shown) = bench.json("show drawer");
    assert_eq!(shown["stock"][0]["parts"][0], json!({ "part": "74HC157", "count": 2 }));
    assert_eq!(shown["stock"][3], json!({ "kind": "resistors", "parts": null }));
    insta::assert_snapshot!(bench.run("shelf drawer").sound(), @"
    Drawers of parts
      drawer  shelf  Workshop drawer of the Saltmarsh Computer Museum
    ");
}

#[test]
fn only_what_is_in_the_drawer_is_used_and_what_is_wanting_is_said() {
    let bench = Bench::demo();
    let told = bench.run("design heron-stick bittern --drawer drawer").sound();
    assert!(told.contains("1 × 74HC157"), "{told}");
    bench.put("empty.toml", "format = 1\nkind = 'drawer'\n[chips]\n");
    let of_chips = "design heron-stick bittern --class plain --class parts --class logic --drawer empty";
    let told = bench.run(of_chips).found();
    assert!(told.contains("1 × 74HC157 is not in the drawer `empty`"), "{told}");
    let (code, answer) = bench.json(of_chips);
    assert_eq!((code, &answer["options"]), (1, &json!([])));
}

#[test]
fn a_drawer_with_unknown_parts_is_refused_with_all_its_mistakes() {
    let bench = Bench::demo();
    bench.put(
        "mine.toml",
        "format = 1\nkind = 'drawer'\n[chips]\n74HC158 = 2\nBAT85 = 1\n[resistors]\n10 = 5\nten = 1\n",
    );
    insta::assert_snapshot!(bench.run("design heron-stick bittern --drawer mine.toml").wrong(), @"
    error: no chip that is known here is called `74HC158`
     --> mine.toml:4:1
      |
    4 | 74HC158 = 2
      | ^^^^^^^
      |
      = help: write `74HC157`, or drop the line: no lead is made with it

    error: no chip that is known here is called `BAT85`
     --> mine.toml:5:1
      |
    5 | BAT85 = 1
      | ^^^^^
      |
      = help: put it under `[diodes]`

    error: `ten` is no value of a resistor
     --> mine.toml:8:1
      |
    8 | ten = 1
      | ^^^
      |
      = help: write its value, such as `470`, `10k` or `4k7`

    error: `mine` has 3 mistakes
    ");
    insta::assert_snapshot!(bench.run("design heron-stick bittern --drawer plover").wrong(), @"
    error: `plover` is a port, expected a drawer
      = help: give the name of a drawer
    ");
    insta::assert_snapshot!(bench.run("design heron-stick bittern --drawer drawr").wrong(), @"
    error: no drawer is called `drawr`
      = help: write `drawer`
    ");
}

#[test]
fn wishes_that_conflict_are_named() {
    let bench = Bench::demo();
    let wrong = |wishes: &str| bench.run(&format!("design heron-stick plover {wishes}")).wrong();
    insta::assert_snapshot!(wrong("--must a --nice a"), @"
    error: `--must a` and `--nice a` say two things of one control
      = help: keep `--must` if no lead without it will do, else `--nice`
    ");
    insta::assert_snapshot!(wrong("--must a --play fire=b"), @"
    error: `--must a` and `--play fire=b` conflict: that takes `a` its only action
      = help: give `a` an action with `--play`, or drop one of the two
    ");
    insta::assert_snapshot!(wrong("--nice z"), @"
    error: `heron-stick` has no control `z`
      = help: write `a`; it has `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select` and `start`
    ");
    insta::assert_snapshot!(wrong("--play fire=a --play fire=b"), @"
    error: `--play` names the action `fire` twice
      = help: name all of its controls at once: `fire=a,b`
    ");
    insta::assert_snapshot!(wrong("--class wire"), @"
    error: invalid value 'wire' for '--class <CLASS>': write `plain`, `parts`, `donor`, `logic` or `program`

    For more information, try '--help'.
    ");
    // Given another action it is not lost.
    let _ = bench.run("design heron-stick plover --must a --play fire=b --play second-fire=a").sound();
}

#[test]
fn a_class_that_is_not_allowed_is_told_where_it_would_serve() {
    let told = Bench::demo().run("design heron-stick bittern --class plain").found();
    insta::assert_snapshot!(told.lines().take(6).collect::<Vec<_>>().join("\n"), @"
    Heron stick to Bittern console: there is no lead of what is allowed: only leads of class `plain` are
                                    allowed

    These facts forbid it together; one of them has to go, whatever becomes of the others
      1. the machine knows what is plugged in by fixed levels of `port.3` and `port.4`
      2. only leads of class `plain` are allowed
    ");
    let told = Bench::demo().run("design heron-stick plover --class logic").found();
    insta::assert_snapshot!(told, @"
    Heron stick to Plover home computer: there is no lead of class logic
      wire alone does it; nothing else is needed
    ");
}

#[test]
fn what_a_program_must_do_is_told_where_nothing_else_does_it() {
    let bench = Bench::demo();
    let without_donors = "--class plain --class parts --class logic --class program";
    let told = bench.run(&format!("design heron-stick nine-pin-select-six-buttons {without_donors}")).found();
    let (_, chips) = told.split_once("nor is there").expect("chips were tried");
    insta::assert_snapshot!(chips.lines().take(6).collect::<Vec<_>>().join("\n"), @"
     one with parts and chips

    These facts forbid it together; one of them has to go, whatever becomes of the others
      1. at `port.4` the machine wants a low in 3 steps, a high in 2 steps, `right` in 3 steps: no
         number of chips that keep no time tells `select-high-1` from `select-high-4` by the machine's
         lines, which move alike 4 times in a reading
    ");
    let (_, task) = told.split_once("\nA program").expect("a program could");
    insta::assert_snapshot!(task, @"
    could do it; what it must do follows from the machine's steps
     no lead is proposed: Solderside writes no program and proves none
     read     9 lines of the controller: `a`, `b`, `c`, `d`, `down`, `left`, `right`, `start`, `up`
     watch    port.7, driven by `hc` outputs
     show     at port.1: `up` in 5 steps; a low in select-low-3; a high in select-high-4, select-low-4
     show     at port.2: `down` in 5 steps; a low in select-low-3; a high in select-high-4,
              select-low-4
     show     at port.3: `left` in select-high-1, select-high-2, select-high-3; a low in select-low-1,
              select-low-2, select-low-3; `d` in select-high-4; a high in select-low-4
     show     at port.4: `right` in select-high-1, select-high-2, select-high-3; a low in select-low-1,
              select-low-2, select-low-3; a high in select-high-4, select-low-4
     show     at port.6: `b` in select-high-1; `a` in select-low-1
     show     at port.9: `c` in select-high-1; `start` in select-low-1
     levels   pressed is low; a low is below 0.8 V while it takes 641 µA, a high above 2 V
     speed    within 14 µs after a line moves, 8 times in each reading
     count    the lines stand alike in steps that want different things: their moves are counted, for
              the 112 µs of a reading, then forgotten within the 9.8 ms in which the lines rest
     chips    no number of chips that keep no time tells `select-low-1` from `select-low-3` by the
              machine's lines, which move alike 4 times in a reading; only how long they rest tells,
              and that takes a timer
     supply   port.5 feeds 4.75 V to 5.25 V, at most 50 mA
    ");
    let told = bench.run("design heron-stick usb-host").found();
    insta::assert_snapshot!(told, @"
    Heron stick to USB host, at the four wires of a lead: there is no lead
      `usb-host` speaks USB: packets of bits that something must answer by name; neither wire nor chips
      do

    A program could do it; what it must do follows from the protocol
      no lead is proposed: Solderside writes no program and proves none
      read     10 lines of the controller: `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select`,
               `start`
      speak    USB: packets of bits that something must answer by name: as a game pad (usage page 0x01,
               usage 0x05): a descriptor first, then reports that hold X and Y in two bits each and a
               bit for each button (usage page 0x09, from 1 up)
      source   Device Class Definition for Human Interface Devices (HID) 1.11, 6.2.2 and 8, USB-IF,
               www.usb.org/document-library/device-class-definition-hid-111; HID Usage Tables 1.1,
               example of a game pad, figure 16, www.yumpu.com/en/document/view/42041029
      speed    1.5 Mbit/s, asked again after 10 ms at the earliest (from memory: Universal Serial Bus
               Specification 2.0, 5.7.4, a device of low speed); a press that is shorter than the time
               between two questions is kept for the next. A microcontroller whose own hardware speaks
               it keeps the times of the bits
      supply   port.1 feeds 4.4 V to 5.25 V, at most 100 mA
    ");
    let told = bench.run("design dunlin-pad curlew").found();
    let (_, task) = told.split_once("\nA program").expect("a program could");
    insta::assert_snapshot!(task, @"
    could do it; what it must do follows from the machine's steps
     no lead is proposed: Solderside writes no program and proves none
     read     the controller as its own machine does, through data at controller.2, latch at
              controller.3, clock at controller.4: `a`, `down`, `left`, `right`, `up`
     show     at port.1: `up`
     show     at port.2: `down`
     show     at port.3: `left`
     show     at port.4: `right`
     show     at port.6: `a`
     levels   pressed is low; a low is below 0.8 V while it takes 1.69 mA, a high above 2.4 V
     speed    no line of the machine moves: nothing has to be fast
     supply   port.7 feeds 4.75 V to 5.25 V, at most 50 mA
    ");
    let (_, answer) = bench.json(&format!("design heron-stick nine-pin-select-six-buttons {without_donors}"));
    assert_eq!((&answer["program"]["moves"], &answer["options"]), (&json!(8), &json!([])));
    let (_, answer) = bench.json("design heron-stick plover");
    assert_eq!(answer["program"], json!(null));
}

#[test]
fn a_donor_that_no_allowed_class_could_end_in_is_a_wish_that_conflicts() {
    let told = Bench::demo().run("design heron-stick bittern --donor bittern-pad --class logic").wrong();
    assert!(told.contains("`--class` allows no lead that ends in one"), "{told}");
}

#[test]
fn the_second_of_several_ways_is_saved_where_it_is_asked_for() {
    let bench = Bench::demo();
    let told = bench.run("design heron-stick bittern --save second.toml --way 2").sound();
    assert!(told.contains("way 2, the logic lead, is saved in second.toml"), "{told}");
    let (_, proof) = bench.json("prove second");
    assert_eq!((&proof["verdict"], proof["lead"]["donor"].is_null()), (&"works".into(), true));
    let told = bench.run("design heron-stick bittern --save third.toml --way 9").wrong();
    assert!(told.contains("there is no way 9 to build it"), "{told}");
}

#[test]
fn who_asks_for_a_donor_alone_is_told_why_there_is_none() {
    let told = Bench::demo().run("design heron-pad bittern --class donor").found();
    assert!(told.contains("has chips, which want a supply; a pad's switches carry none"), "{told}");
}

//! What each command says, line by line.

use crate::bench::Bench;

#[test]
fn design_gives_the_verdict_first_then_all_that_it_rests_on() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick plover").sound(), @"
    Heron stick to Plover home computer: works
    plain lead: wire only, 7 conductors
    360 operating points were proved, each over all tolerances
    lost: `c`, `d`, `select`, `start`

    Ends
      controller  DA-15 socket  for heron-stick
      port        DE-9 socket   for plover

    Joins
      from                   to
      controller.1   common  port.9  return
      controller.5   b       port.7  second-fire
      controller.6   right   port.4  right
      controller.7   down    port.2  down
      controller.13  a       port.6  fire
      controller.14  left    port.3  left
      controller.15  up      port.1  up

    Findings
      note  read-lost-control: `c`, `d`, `select` and `start` of the controller do nothing here
            mend: give one of them an action in the play map, if the port has one to spare

    Margins, at the worst of all tolerances
      action       contact  active    low up to  idle    high from  margin
      up           port.1   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      down         port.2   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      left         port.3   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      right        port.4   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      fire         port.6   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      second-fire  port.7   0.678 mV  0.6 V      4.75 V  2.4 V      0.599 V
      narrowest: `up`, with `up`, `left`, `a`, `b` pressed, in step `strobe-low`; the tolerance that
      counts most: pull-up of port.1 at 5.25 V behind 25 kΩ

    Holds for
      6 contacts: works for pull-ups above 3.3 kΩ; assumed 25 kΩ to 250 kΩ
        to settle it: read `port.1` against the return, open and then with 10 kΩ across: the pull-up is
                      10 kΩ × (open ÷ loaded − 1)

    Stands on, the weakest first
      assumed   pull-up of 25 kΩ to 250 kΩ, typically 100 kΩ (6 contacts): from memory: 20 µA to 200 µA
                at 0 V
      assumed   guaranteed low of sound-port inputs at 0.6 V (6 contacts): from memory: sound chip
                ports, 0.6 V or 0.8 V by version (the lower is taken) and 2.4 V
      assumed   guaranteed high of sound-port inputs at 2.4 V (6 contacts): from memory: sound chip
                ports, 0.6 V or 0.8 V by version (the lower is taken) and 2.4 V
      assumed   a closed microswitch of 15 mΩ to 1 Ω, typically 100 mΩ: from memory: snap-action
                contacts
      reported  which contact does what at the controller (7 contacts): common practice, no source
      reported  which contact does what at the port (7 contacts): common practice, no source
    ");
}

#[test]
fn design_refuses_with_the_facts_and_the_nearest_lead() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-pad teal --join 8-7").found(), @"
    Diodes and resistors were tried: no lead with them serves all that is asked.
    Heron pad to Teal games console: there is no plain lead (wire only)

    These facts forbid it together; drop any one, and a lead exists
      1. `port.7` (sense) is only pulled up through 4.7 kΩ to 22 kΩ: a meter alone reads 5 V there, but
         the pad's load (5 mA at 5 V) pulls it down to 0.455 V (0.105 V to 3.92 V over all tolerances),
         or to 1.82 V with what idle lines feed through the pad's clamps; the pad needs 4.5 V
      2. the controller's chips need 4.5 V to 5.5 V and take up to 10 mA
      3. `controller.8` shall be joined to `port.7`

    The nearest thing to it harms (it can damage what it is plugged into)

    Joins
      from                   to
      controller.1   common  port.8  return
      controller.5   b       port.9  second-fire
      controller.6   right   port.4  right
      controller.7   down    port.2  down
      controller.8   supply  port.7  sense
      controller.13  a       port.6  fire
      controller.14  left    port.3  left
      controller.15  up      port.1  up

    Findings
      harm  drive-overload: `port.7` (sense) can carry 9.4 mA with nothing pressed; its limit is 8 mA
            mend: take out the join that loads it; nothing but what the limit allows may hang on it
      fail  power-pulled-up: `port.7` (sense) is only pulled up through 4.7 kΩ to 22 kΩ: a meter alone
            reads 5 V there, but the pad's load (5 mA at 5 V) pulls it down to 0.455 V (0.105 V to 3.92
            V over all tolerances), or to 1.82 V with what idle lines feed through the pad's clamps; the
            pad needs 4.5 V
            mend: join `controller.8` to `port.5` (supply). To see it, measure `port.7` against the
                  return with 1 kΩ across: a supply hardly moves, a pull-up collapses
      note  read-lost-control: `c`, `d`, `select` and `start` of the controller do nothing here
            mend: give one of them an action in the play map, if the port has one to spare
    ");
}

#[test]
fn design_refuses_to_lose_what_must_not_be_lost() {
    let bench = Bench::demo();
    let answer = bench.run("design heron-stick curlew --must start").found();
    assert!(answer.contains("`start` must not be lost"), "{answer}");
    assert!(answer.contains("The nearest thing to it works, but is not what was asked\n"), "{answer}");
    bench.run("design heron-stick curlew --must start --play fire=start").sound();
}

#[test]
fn prove_says_what_the_machine_reads() {
    let bench = Bench::demo();
    let answer = bench.run("prove heron-stick curlew --play up=up,b --truth").sound();
    assert!(answer.starts_with("Heron stick to Curlew home computer: works\n"), "{answer}");
    let (_, table) = answer.split_once("Truth table\n").expect("there is a table");
    let rows: Vec<(&str, &str)> = table
        .lines()
        .filter_map(|row| row.trim().split_once("  "))
        .map(|(state, reads)| (state, reads.trim()))
        .collect();
    assert_eq!(rows.len(), 1 + 9 * 4, "nine places of the lever, two buttons");
    for row in [("nothing", "nothing"), ("down, b", "up, down"), ("up, left, a", "up, left, fire")] {
        assert!(rows.contains(&row), "{table}");
    }
    assert!(answer.contains("  note  read-opposites: "), "{answer}");
}

#[test]
fn guide_says_where_it_was_written_and_refuses_a_lead_that_is_not_sound() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("guide heron-stick plover --drawing lead.svg").sound(), @r"
    Heron stick to Plover home computer: works
    written: heron-stick-to-plover-guide.html
    written: lead.svg
    ");
    assert!(bench.read("heron-stick-to-plover-guide.html").starts_with("<!DOCTYPE html>"));
    assert!(bench.read("lead.svg").starts_with("<svg "));
    insta::assert_snapshot!(bench.run("guide heron-pad teal --join 8-7 --out no.html").found(), @"
    Heron pad to Teal games console: harms (it can damage what it is plugged into)
    No guide was written: a lead gets one when its proof says that it works.
    Where a controller and a port were named, the findings are those of the nearest thing to a lead:
    `solderside design` with the same names tells what forbids one.

    Findings
      harm  drive-overload: `port.7` (sense) can carry 9.4 mA with nothing pressed; its limit is 8 mA
            mend: take out the join that loads it; nothing but what the limit allows may hang on it
      fail  power-pulled-up: `port.7` (sense) is only pulled up through 4.7 kΩ to 22 kΩ: a meter alone
            reads 5 V there, but the pad's load (5 mA at 5 V) pulls it down to 0.455 V (0.105 V to 3.92
            V over all tolerances), or to 1.82 V with what idle lines feed through the pad's clamps; the
            pad needs 4.5 V
            mend: join `controller.8` to `port.5` (supply). To see it, measure `port.7` against the
                  return with 1 kΩ across: a supply hardly moves, a pull-up collapses
      note  read-lost-control: `c`, `d`, `select` and `start` of the controller do nothing here
            mend: give one of them an action in the play map, if the port has one to spare
    ");
    assert!(!bench.path("no.html").exists());
}

#[test]
fn names_that_are_slips_are_answered_with_those_that_were_meant() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show telal").wrong(), @"
    error: no controller, port, cable or lead is called `telal`
      = help: write `teal`
    ");
    insta::assert_snapshot!(bench.run("show gramophone").wrong(), @"
    error: no controller, port, cable or lead is called `gramophone`
      = help: `solderside shelf` lists the names; `--shelf DIR` says where your own files are
    ");
    insta::assert_snapshot!(bench.run("design heron-stik plover").wrong(), @r"
    error: no controller is called `heron-stik`
      = help: write `heron-stick`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plovr").wrong(), @r"
    error: no port is called `plovr`
      = help: write `plover`
    ");
    insta::assert_snapshot!(bench.run("design plover heron-stick").wrong(), @r"
    error: `plover` is a port, expected a controller
      = help: give the name of a controller
    ");
    insta::assert_snapshot!(bench.run("prove heron-stick").wrong(), @r"
    error: `heron-stick` is a controller, expected a lead, or a controller and a port
      = help: add the port
    ");
    insta::assert_snapshot!(bench.run("prove plover").wrong(), @r"
    error: `plover` is a port, expected a lead, or a controller and a port
      = help: put the controller before it
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --play fir=a").wrong(), @r"
    error: `plover` has no action `fir`
      = help: write `fire`; it has `up`, `down`, `left`, `right`, `fire` and `second-fire`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --play fire=start,strat").wrong(), @r"
    error: `heron-stick` has no control `strat`
      = help: write `start`; it has `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select` and `start`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --play fire=a --play fire=b").wrong(), @r"
    error: `--play` names the action `fire` twice
      = help: name all of its controls at once: `fire=a,b`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --must srart").wrong(), @r"
    error: `heron-stick` has no control `srart`
      = help: write `start`; it has `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select` and `start`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --join 16-1").wrong(), @r"
    error: `heron-stick` has no contact 16: its connector is a DA-15 plug
      = help: write a contact from 1 to 15, or `shell`
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --join 1-port.10").wrong(), @r"
    error: `plover` has no contact 10: its connector is a DE-9 plug
      = help: write a contact from 1 to 9, or `shell`
    ");
}

#[test]
fn wrong_usage_says_how_to_write_it() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick plover --join 8").wrong(), @r"
    error: invalid value '8' for '--join <C-P>': write a contact of the controller, `-` and a contact of the port, as in `8-7`

    For more information, try '--help'.
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --play fire").wrong(), @r"
    error: invalid value 'fire' for '--play <ACTION=CONTROL[,CONTROL…]>': write the action, `=` and its controls, as in `fire=a,b`

    For more information, try '--help'.
    ");
    insta::assert_snapshot!(bench.run("desing heron-stick plover").wrong(), @r"
    error: unrecognized subcommand 'desing'

      tip: a similar subcommand exists: 'design'

    Usage: solderside [OPTIONS] <COMMAND>

    For more information, try '--help'.
    ");
    insta::assert_snapshot!(bench.run("prove a b c").wrong(), @r"
    error: unexpected value 'c' for '<NAMES>...' found; no more were expected

    Usage: solderside prove [OPTIONS] <LEAD>
           solderside prove [OPTIONS] <CONTROLLER> <PORT>

    For more information, try '--help'.
    ");
    insta::assert_snapshot!(bench.run("design heron-stick plover --force").wrong(), @r"
    error: the following required arguments were not provided:
      --save [<FILE>]

    Usage: solderside design --save [<FILE>] --force <CONTROLLER> <PORT>

    For more information, try '--help'.
    ");
}

#[test]
fn wishes_beside_a_leads_file_are_refused() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save").sound();
    insta::assert_snapshot!(bench.run("prove heron-stick-to-curlew --play fire=b").wrong(), @r"
    error: `--play` and `--join` go with a controller and a port; a lead's file has its own
      = help: change the lead's file, or name a controller and a port
    ");
}

#[test]
fn help_and_version_are_answers() {
    let bench = Bench::empty();
    for command in ["", "shelf ", "show ", "design ", "prove ", "guide ", "explain "] {
        let help = bench.run(&format!("{command}--help")).sound();
        assert!(help.contains("\nUsage: solderside ") && help.contains("\nExamples:\n"), "{help}");
        assert!(help.lines().all(|line| line.chars().count() <= 100), "{help}");
    }
    assert_eq!(bench.run("--version").sound(), format!("solderside {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn a_guide_tells_what_to_change_in_the_lead_for_another_port() {
    let bench = Bench::demo();
    bench.run("guide heron-stick plover --from curlew --out guide.html").sound();
    let page = bench.read("guide.html");
    assert!(page.contains("From Heron stick to Curlew home computer"), "the other lead is named");
    let moves = page.split("id=\"changes\"").nth(1).expect("the section of changes");
    assert!(moves.contains("Move the"), "a move is told");
    let trouble = bench.run("guide heron-stick plover --from curlow --out other.html").wrong();
    assert!(trouble.contains("curlew"), "{trouble}");
}

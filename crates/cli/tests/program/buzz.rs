//! The meter test of a finished lead: the list of readings, on the terminal and for machines, and runs of it at leads that
//! somebody built with a hidden fault.

use std::io::{Read, Write};
use std::process::{Child, Stdio};

use serde_json::json;
use solderside_lead::{Assembly, Leg, read_lead};
use solderside_meter::{Fault, Measurement, Range, universe};
use solderside_profile::{Control, Library, SourceFile};

use crate::bench::Bench;

const BITTERN: &str = include_str!("../../../../demo/leads/heron-stick-to-bittern.toml");

/// A part of a text: from one heading up to the next of the two.
fn part<'t>(text: &'t str, from: &str, to: &str) -> &'t str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("`{from}` is missing: {text}"));
    rest.split_once(to).unwrap_or_else(|| panic!("`{to}` is missing: {text}")).0
}

#[test]
fn the_readings_of_the_plover_lead_begin_with_the_supply() {
    let told = Bench::demo().run("buzz heron-stick plover").sound();
    insta::assert_snapshot!(part(&told, "", "What a wrong reading"), @"
    Heron stick to Plover home computer: works

    Before the first reading
      - Unplug the lead at both ends. A meter on ohms in a lead that is plugged in reads the machine or
        the controller, and can be harmed by either.
      - Hold the probes together on the lowest ohms range and note what they read; subtract it from
        every reading below 10 Ω, or let the meter do it.
      - Touch the contacts on the mating face, where the numbers are moulded, and not the cups. Whoever
        counted the cups from the wrong side when soldering would count them wrongly again when
        measuring, and all would seem right.
      - Into the hole of a socket put a short piece of solid wire, no thicker than the pin that belongs
        there, and touch that: a probe spreads the spring, and the contact stays loose.

    The lead alone: 49 readings, and no fewer find as much

      First the supply against the return. A wrong reading here is a short: stop, mend it, read it
      again.
          red                    black                  range            a good lead reads  right
       1  port.5 (supply)        port.9 (return)        ohms, or buzzer  open               [ ]
       2  port.5 (supply)        port.shell             ohms, or buzzer  open               [ ]

      Then the supply against everything else. A wrong reading here puts it on a line: stop, mend it,
      read it again.
          red                    black                  range            a good lead reads  right
       3  port.5 (supply)        controller.6 (right)   ohms, or buzzer  open               [ ]

      Then everything else. What is wrong here makes a lead that does not work.
          red                    black                  range            a good lead reads  right
       4  port.4 (right)         controller.6 (right)   ohms             at most 0.8 Ω      [ ]
       5  port.4 (right)         controller.5 (b)       ohms, or buzzer  open               [ ]
       6  port.8 (output)        controller.5 (b)       ohms, or buzzer  open               [ ]
       7  port.7 (second-fire)   controller.5 (b)       ohms             at most 0.8 Ω      [ ]
       8  port.7 (second-fire)   controller.4 (d)       ohms, or buzzer  open               [ ]
       9  port.7 (second-fire)   controller.12 (c)      ohms, or buzzer  open               [ ]
      10  port.6 (fire)          controller.12 (c)      ohms, or buzzer  open               [ ]
      11  port.6 (fire)          controller.13 (a)      ohms             at most 0.8 Ω      [ ]
      12  port.6 (fire)          controller.14 (left)   ohms, or buzzer  open               [ ]
      13  port.6 (fire)          controller.6 (right)   ohms, or buzzer  open               [ ]
      14  port.2 (down)          controller.6 (right)   ohms, or buzzer  open               [ ]
      15  port.2 (down)          controller.7 (down)    ohms             at most 0.8 Ω      [ ]
      16  port.2 (down)          controller.8 (unused)  ohms, or buzzer  open               [ ]
      17  port.1 (up)            controller.8 (unused)  ohms, or buzzer  open               [ ]
      18  port.1 (up)            controller.15 (up)     ohms             at most 0.8 Ω      [ ]
      19  port.1 (up)            controller.14 (left)   ohms, or buzzer  open               [ ]
      20  port.3 (left)          controller.14 (left)   ohms             at most 0.8 Ω      [ ]
      21  port.8 (output)        controller.14 (left)   ohms, or buzzer  open               [ ]
      22  port.8 (output)        controller.6 (right)   ohms, or buzzer  open               [ ]
      23  port.8 (output)        controller.1 (common)  ohms, or buzzer  open               [ ]
      24  port.9 (return)        controller.1 (common)  ohms             at most 0.8 Ω      [ ]
      25  port.9 (return)        controller.2           ohms, or buzzer  open               [ ]
      26  port.9 (return)        controller.9           ohms, or buzzer  open               [ ]
      27  port.9 (return)        controller.shell       ohms, or buzzer  open               [ ]
      28  port.4 (right)         controller.shell       ohms, or buzzer  open               [ ]
      29  port.3 (left)          controller.shell       ohms, or buzzer  open               [ ]
      30  port.2 (down)          controller.shell       ohms, or buzzer  open               [ ]
      31  port.1 (up)            controller.shell       ohms, or buzzer  open               [ ]
      32  port.6 (fire)          controller.shell       ohms, or buzzer  open               [ ]
      33  port.7 (second-fire)   controller.shell       ohms, or buzzer  open               [ ]
      34  port.7 (second-fire)   port.shell             ohms, or buzzer  open               [ ]
      35  port.6 (fire)          port.shell             ohms, or buzzer  open               [ ]
      36  port.2 (down)          port.shell             ohms, or buzzer  open               [ ]
      37  port.3 (left)          port.shell             ohms, or buzzer  open               [ ]
      38  port.4 (right)         port.shell             ohms, or buzzer  open               [ ]
      39  port.9 (return)        port.shell             ohms, or buzzer  open               [ ]
      40  port.1 (up)            port.shell             ohms, or buzzer  open               [ ]
      41  controller.1 (common)  controller.6 (right)   ohms, or buzzer  open               [ ]
      42  controller.14 (left)   controller.6 (right)   ohms, or buzzer  open               [ ]
      43  controller.14 (left)   controller.5 (b)       ohms, or buzzer  open               [ ]
      44  controller.13 (a)      controller.5 (b)       ohms, or buzzer  open               [ ]
      45  controller.7 (down)    controller.5 (b)       ohms, or buzzer  open               [ ]
      46  controller.7 (down)    controller.13 (a)      ohms, or buzzer  open               [ ]
      47  controller.7 (down)    controller.14 (left)   ohms, or buzzer  open               [ ]
      48  controller.7 (down)    controller.15 (up)     ohms, or buzzer  open               [ ]
      49  controller.13 (a)      controller.15 (up)     ohms, or buzzer  open               [ ]
    ");
}

#[test]
fn the_likeliest_that_a_wrong_reading_points_to_is_told_first_and_the_rest_counted() {
    let bench = Bench::demo();
    let told = bench.run("buzz heron-stick plover").sound();
    insta::assert_snapshot!(part(&told, "What a wrong reading points to\n", "   7  "), @"
    The likeliest first; `--step NUMBER` shows all.
     1  port.5 - port.9
        at most 0.9 Ω: a bridge between port.5 and port.9
     2  port.5 - port.shell
        anything else: no single slip does this; look for a stray strand, or for solder between
        several cups
     3  port.5 - controller.6
        at most 0.9 Ω: a bridge between port.4 and port.5; the conductor controller.6 - port.4 sits at
                       port.5 in the place of port.4
     4  port.4 - controller.6
        49.2 Ω to 5.04 kΩ: a joint of controller.6 - port.4 is weak, at either end
        open: a joint of controller.6 - port.4 is open, at either end; the conductors of controller.1
              and controller.6 are swapped at the controller end; the conductors of controller.5 and
              controller.6 are swapped at the controller end; or one of 22 more
     5  port.4 - controller.5
        at most 1.4 Ω: a bridge between controller.5 and controller.6; the conductors of controller.5
                       and controller.6 are swapped at the controller end; the conductor controller.6
                       - port.4 sits at controller.5 in the place of controller.6; or one more
     6  port.8 - controller.5
        at most 0.9 Ω: a bridge between port.7 and port.8; the conductor controller.5 - port.7 sits at
                       port.8 in the place of port.7; the port end is wired mirrored: its cups were
                       counted from the wrong side
    ");
    let all = bench.run("buzz heron-stick plover --step 4").sound();
    assert!(
        all.contains("the rows of the port end were taken for each other") && !all.contains(" more"),
        "{all}"
    );
    insta::assert_snapshot!(bench.run("buzz heron-stick plover --step 50").wrong(), @"
    error: there is no reading 50
      = help: the lead alone has readings 1 to 49
    ");
}

#[test]
fn what_no_meter_finds_in_a_lead_with_a_chip_is_told_by_name() {
    let bench = Bench::demo();
    bench.put("leads/heron-stick-to-bittern.toml", BITTERN);
    let told = bench.run("buzz heron-stick-to-bittern").sound();
    insta::assert_snapshot!(part(&told, "What this finds\n", "Where the figures"), @"
      376 of 427 single mistakes that were thought of: every one that a meter can tell from a good lead.
      No meter tells these from a good lead, wherever its probes go; look at each of them:
        - a joint is open: either of c1.1 - u1.16, either of c1.2 - u1.8
        - a joint is weak: either of r1.1 - r2.1, either of r1.1 - u1.16, either of r1.2 - u1.3, either
          of r2.1 - r3.1, either of r2.2 - u1.6, either of r3.1 - r4.1, either of r3.2 - u1.11, either
          of r4.1 - r5.1, either of r4.2 - u1.10, either of r5.1 - r6.1, either of r5.2 - u1.14, either
          of r6.2 - u1.13, either of c1.1 - u1.16, either of c1.2 - u1.8
        - c1 (100 nF) is missing
        - u1 (74HC157) is missing
        - u1 (74HC157) sits turned round
        - a leg of u1 (74HC157) does not touch its socket: u1.1, u1.2, u1.3, u1.4, u1.5, u1.6, u1.7,
          u1.8, u1.9, u1.10, u1.11, u1.12, u1.13, u1.14, u1.15, u1.16
      Of two mistakes at once, 89480 pairs of 90951 (98.3 %).

    With the controller, without the machine: 8 switches
      - Only when every reading of the lead alone was right. Plug the controller into the lead; the
        machine stays unplugged, and chips of the lead stay out of their sockets.
      - Probe at the port end. Hold one control and nothing else, then let go of it with the probes
        where they are.
      - On the ohms range, never the buzzer: a sound carbon contact has hundreds of ohms, and no buzzer
        sounds through that.

      hold   red              black            range  held                let go  right
      up     port.1 (d0)      port.8 (return)  ohms   at most 2.3 Ω       open    [ ] [ ]
      down   port.2 (d1)      port.8 (return)  ohms   at most 2.3 Ω       open    [ ] [ ]
      left   port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      right  port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      a      port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      b      port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      c      port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      start  port.5 (supply)  port.8 (return)  ohms   9.42 kΩ to 10.6 kΩ  open    [ ] [ ]
      not read at the port end:
        - `d`, `select`: not carried by the lead

    With power, and 1 kΩ across the probes
      - Only when everything before was right. Take the controller out of the lead; it is plugged in
        last.
      - Put probes and resistor in place with the machine off, and switch off before anything is moved.
        Keep your hands away while it is on.
      - Nothing is read straight: a meter alone takes a line that is only pulled up for a supply. With 1
        kΩ across the probes a supply stays where it is, and such a line falls. Without it a supply
        reads the same within 50 mV, no more and no less.
      - If anything grows warm or smells, or the picture changes: switch off and unplug. Never work on
        mains or inside a powered machine.

      red                    black                  across  reads                  right
      u1.16 (74HC157 VCC)    u1.8 (74HC157 GND)     1 kΩ    4.75 V to 5.25 V       [ ]
      u1.16 (74HC157 VCC)    u1.8 (74HC157 GND)     none    the same within 50 mV  [ ]
      u1.16 (74HC157 VCC)    u1.8 (74HC157 GND)     none    the same, u1 in        [ ]
      controller.15 (up)     controller.1 (common)  none    more than 1.6 V        [ ]
      controller.5 (b)       controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.6 (right)   controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.7 (down)    controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.11 (start)  controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.12 (c)      controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.13 (a)      controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.14 (left)   controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      controller.15 (up)     controller.1 (common)  1 kΩ    below 0.6 V            [ ]
      Each chip goes into its socket when its supply was right there, with the lead unplugged, and is
      read again there before anything farther is.
      A minus sign where a supply belongs means that supply and return are the wrong way round: stop. So
      does more than the port has at all.
    ");
    assert!(told.contains("Take every chip of the lead out of its socket"));
}

#[test]
fn the_switches_and_the_powered_test_follow_the_lead_alone() {
    let told = Bench::demo().run("buzz heron-stick plover").sound();
    insta::assert_snapshot!(part(&told, "With the controller", "Where the figures"), @"
    , without the machine: 6 switches
      - Only when every reading of the lead alone was right. Plug the controller into the lead; the
        machine stays unplugged, and chips of the lead stay out of their sockets.
      - Probe at the port end. Hold one control and nothing else, then let go of it with the probes
        where they are.
      - On the ohms range, never the buzzer: a sound carbon contact has hundreds of ohms, and no buzzer
        sounds through that.

      hold   red                   black            range  held           let go  right
      up     port.1 (up)           port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      down   port.2 (down)         port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      left   port.3 (left)         port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      right  port.4 (right)        port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      a      port.6 (fire)         port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      b      port.7 (second-fire)  port.9 (return)  ohms   at most 2.3 Ω  open    [ ] [ ]
      not read at the port end:
        - `c`, `d`, `select`, `start`: not carried by the lead

    With power, and 1 kΩ across the probes
      - Only when everything before was right. Take the controller out of the lead; it is plugged in
        last.
      - Put probes and resistor in place with the machine off, and switch off before anything is moved.
        Keep your hands away while it is on.
      - Nothing is read straight: a meter alone takes a line that is only pulled up for a supply. With 1
        kΩ across the probes a supply stays where it is, and such a line falls. Without it a supply
        reads the same within 50 mV, no more and no less.
      - If anything grows warm or smells, or the picture changes: switch off and unplug. Never work on
        mains or inside a powered machine.

      red                   black                  across  reads            right
      controller.15 (up)    controller.1 (common)  none    more than 1.4 V  [ ]
      controller.5 (b)      controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      controller.6 (right)  controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      controller.7 (down)   controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      controller.13 (a)     controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      controller.14 (left)  controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      controller.15 (up)    controller.1 (common)  1 kΩ    below 0.3 V      [ ]
      A minus sign where a supply belongs means that supply and return are the wrong way round: stop. So
      does more than the port has at all.
    ");
    let pad = Bench::demo().run("buzz heron-pad teal").sound();
    insta::assert_snapshot!(part(&pad, "With the controller", "  - Only when everything"), @"
    , without the machine: 0 switches
      not read at the port end:
        - `up`, `down`, `left`, `right`, `a`, `b`, `c`, `d`, `select`, `start`: behind chips or other
          parts inside the controller, which a meter would feed

    With power, and 1 kΩ across the probes
    ");
    assert!(pad.contains("controller.8 (supply)  controller.1 (common)  1 kΩ    4.75 V to 5.25 V"), "{pad}");
}

#[test]
fn the_table_to_print_has_a_box_for_each_reading_of_all_three_parts() {
    let bench = Bench::demo();
    let _ = bench.run("buzz heron-stick plover --table plover.html").sound();
    let page = bench.read("plover.html");
    // 49 of the lead alone, six switches held and let go, seven with power.
    assert_eq!(page.matches("type=\"checkbox\"").count(), 49 + 12 + 7);
    for heading in ["The lead alone: 49 readings", "With the controller", "With power", "What this finds"] {
        assert!(page.contains(heading), "{heading}");
    }
    // It loads nothing and needs no script.
    assert!(!page.contains("<script") && !page.contains("src="));
    let _ = bench.run("buzz heron-stick plover --table plover.html").wrong();
    let _ = bench.run("buzz heron-pad teal --join 8-7 --table pad.html").found();
    assert!(!bench.read("pad.html").contains("With power"), "no lead that harms is told how to be powered");
}

#[test]
fn a_lead_that_harms_is_told_so_before_anything_else() {
    let told = Bench::demo().run("buzz heron-pad teal --join 8-7").found();
    assert!(told.starts_with("Heron pad to Teal games console: harms"), "{told}");
    assert!(told.contains("belongs in no"), "{told}");
}

#[test]
fn the_same_is_told_to_machines() {
    let (code, answer) = Bench::demo().json("buzz heron-stick plover");
    assert_eq!(code, 0);
    assert_eq!((&answer["lead"], &answer["verdict"]), (&json!("heron-stick-to-plover"), &json!("works")));
    let steps = answer["steps"].as_array().expect("steps");
    assert_eq!(answer["at_least"], json!(steps.len()));
    assert_eq!((&steps[0]["red"], &steps[0]["black"]), (&json!("port.5"), &json!("port.9")));
    assert_eq!(answer["controls"][0]["control"], json!("up"));
    assert_eq!(answer["power"]["across_ohms"], json!(1000.0));
    assert_eq!(steps[0]["danger"], json!("supply-short"));
    assert_eq!(steps[0]["good"], json!({ "text": "open", "low": null, "high": null }));
    let bridge = &steps[0]["wrong"][0]["faults"][0];
    assert_eq!((&bridge["kind"], &bridge["places"]), (&json!("bridge"), &json!(["port.5", "port.9"])));
    assert_eq!(answer["unseen"], json!([]));
    // Seven conductors: 21 swaps at either end, each undone by the same swap at the other.
    assert_eq!(answer["doubles"], json!({ "found": 14007, "of": 14028 }));
}

/// A lead on the bench that somebody built, with what is wrong with it: it answers as a real one would.
struct BuiltLead<'a> {
    meter: solderside_meter::Bench<'a>,
    faults: Vec<Fault>,
}

/// The program at a run, and what it has said.
struct Conversation {
    child: Child,
    said: String,
}

impl Conversation {
    fn begin(bench: &Bench, arguments: &str) -> Self {
        let mut command = bench.command(arguments);
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut own = Self { child: command.spawn().expect("the program starts"), said: String::new() };
        own.listen();
        own
    }

    /// Listens up to the next prompt, or to the end; returns what was said since.
    fn listen(&mut self) -> String {
        let mut bytes = Vec::new();
        let out = self.child.stdout.as_mut().expect("it speaks");
        let mut byte = [0];
        while out.read(&mut byte).expect("it is heard") == 1 {
            bytes.push(byte[0]);
            if bytes.ends_with(b"\n> ") {
                break;
            }
        }
        let heard = String::from_utf8(bytes).expect("it speaks text");
        self.said += &heard;
        heard
    }

    fn say(&mut self, line: &str) -> String {
        let input = self.child.stdin.as_mut().expect("it listens");
        writeln!(input, "{line}").expect("it hears");
        self.listen()
    }

    fn end(self) -> (i32, String) {
        let Self { mut child, mut said } = self;
        drop(child.stdin.take());
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "");
        said += &String::from_utf8(output.stdout).expect("it speaks text");
        (output.status.code().expect("it is not killed"), said)
    }
}

impl BuiltLead<'_> {
    /// What the meter shows at the last question in a text.
    fn answer(&self, said: &str) -> Option<String> {
        if said.ends_with("then type `done`\n> ") {
            return Some("done".to_owned());
        }
        let (_, question) = said.rsplit_once("  red    ")?;
        let leg = |line: &str| line.split_whitespace().next()?.parse::<Leg>().ok();
        let red = leg(question)?;
        let (_, rest) = question.split_once("  black  ")?;
        let black = leg(rest)?;
        let hold = said.lines().rev().take(6).find_map(|line| line.strip_prefix("  hold   "));
        let held = hold.map(|held| held.split('`').nth(1).and_then(Control::new).into_iter().collect());
        if rest.contains("DC volts") {
            // A machine that pulls its lines up to 5 V, as it should be.
            return Some(if rest.contains("without the resistor") { "4.6 V" } else { "0.2 V" }.to_owned());
        }
        let range = if rest.contains("diode range") { Range::Diode } else { Range::Ohms };
        let shown = self.meter.reads(&self.faults, &Measurement { range, red, black, held })?;
        if shown.is_open() {
            return Some("open".to_owned());
        }
        let value = if shown.high().is_finite() {
            f64::midpoint(shown.low(), shown.high())
        } else {
            2.0 * shown.low()
        };
        Some(match range {
            Range::Ohms => format!("{value:.1}"),
            Range::Diode => format!("{value:.2} V"),
        })
    }

    /// Answers until nothing more is asked, or the run stops.
    fn answer_all(&self, talk: &mut Conversation, first: &str) -> String {
        let mut heard = first.to_owned();
        for _ in 0..100 {
            if heard.contains("STOP") || heard.contains("PASSED") {
                return heard;
            }
            let Some(answer) = self.answer(&heard) else { return heard };
            heard = talk.say(&answer);
        }
        panic!("the run does not end: {heard}");
    }
}

/// A folder with the demo shelf and the Plover lead on it, and that lead.
fn plover() -> (Bench, Assembly) {
    let bench = Bench::demo();
    let _ = bench.run("design heron-stick plover --save").sound();
    let text = |name: &str| SourceFile::new(name, bench.read(name));
    let library = Library::with_shelf(vec![text("heron-stick.toml"), text("plover.toml")]);
    let assembly = read_lead(&text("heron-stick-to-plover.toml"), &library).expect("the lead is read");
    (bench, assembly)
}

const RUN: &str = "buzz heron-stick-to-plover --run run.toml";

/// Builds the Plover lead with a fault, buzzes it out, and returns the exit code and what was said.
fn buzzed(told: &str) -> (i32, String) {
    let (bench, assembly) = plover();
    let meter = solderside_meter::Bench::new(&assembly);
    let fault = universe(&meter).into_iter().find(|fault| fault.told(&meter) == told);
    let lead =
        BuiltLead { faults: vec![fault.unwrap_or_else(|| panic!("no fault is told so: {told}"))], meter };
    let mut talk = Conversation::begin(&bench, RUN);
    let first = talk.said.clone();
    lead.answer_all(&mut talk, &first);
    talk.end()
}

#[test]
fn a_good_lead_passes_and_is_told_what_that_means() {
    let (bench, assembly) = plover();
    let lead = BuiltLead { meter: solderside_meter::Bench::new(&assembly), faults: Vec::new() };
    let mut talk = Conversation::begin(&bench, RUN);
    let first = talk.said.clone();
    lead.answer_all(&mut talk, &first);
    let (code, said) = talk.end();
    assert_eq!(code, 0, "{said}");
    let (_, end) = said.rsplit_once("\n\n").expect("an ending");
    insta::assert_snapshot!(end, @"
    PASSED: all 68 readings are right.
    The lead has none of the 168 single mistakes that these readings find.
    It does not say that joints last, that the cable bears being pulled, or that the machine and the
    controller are whole. The first time on the machine stay beside it, and switch off at once if
    anything grows warm.
    ");
    let (code, answer) = bench.json(RUN);
    assert_eq!((code, &answer["outcome"], &answer["next"]), (0, &json!("passed"), &serde_json::Value::Null));
    assert_eq!(answer["answered"], answer["of"]);
}

#[test]
fn a_bridge_at_the_supply_stops_the_run_until_it_reads_right() {
    let (bench, assembly) = plover();
    let meter = solderside_meter::Bench::new(&assembly);
    let told = "a bridge between port.5 and port.9";
    let fault = universe(&meter).into_iter().find(|fault| fault.told(&meter) == told);
    let mut lead = BuiltLead { faults: fault.into_iter().collect(), meter };
    let mut talk = Conversation::begin(&bench, RUN);
    let first = talk.said.clone();
    let stopped = lead.answer_all(&mut talk, &first);
    insta::assert_snapshot!(stopped, @"
    0.5
      STOP: 0.5, expected open: as it is, this lead can short the machine's supply or put it where it
      does not belong. Do not plug it in.
        - a bridge between port.5 and port.9
      Nothing else is asked before it is mended and this reads right.

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    >
    ");
    // Not mended, and not let off.
    assert!(talk.say("right").contains("not taken"));
    assert!(talk.say("0.5").contains("STOP"));
    lead.faults.clear();
    let mut heard = talk.say("open");
    for _ in 0..100 {
        if heard.contains("PASSED") {
            break;
        }
        let answer = lead.answer(&heard).expect("a question");
        heard = talk.say(&answer);
    }
    assert!(heard.contains("PASSED"), "{heard}");
    assert_eq!(talk.end().0, 0);
}

#[test]
fn an_open_joint_is_found() {
    let (code, said) = buzzed("the joint of controller.13 - port.6 at port.6 is open");
    assert_eq!(code, 1);
    let (_, end) = said.split_once("NOT PASSED").expect("it is not passed");
    insta::assert_snapshot!(end, @"
    : 1 reading is wrong. Plug the lead into nothing.
      11  port.6 - controller.13: open, expected at most 0.8 Ω

    What all readings together point to
      94 %  the joint of controller.13 - port.6 at port.6 is open; or the joint of controller.13 -
            port.6 at controller.13 is open
            for it: 11
       6 %  the conductor controller.13 - port.6 sits at controller.5 in the place of controller.13
            for it: 11

    To mend it
      - Look at port.6, heat the joint again with a little fresh solder, tug at the conductor when it is
        cold.
      - Look at controller.13, heat the joint again with a little fresh solder, tug at the conductor
        when it is cold.
      Then measure again before it touches a machine.

    Next
      The lead unplugged at both ends. Ohms from controller.5 (b) to port.6 (fire).
      A good lead reads open.

    Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave`
    stops.
    >
    ");
}

#[test]
fn a_weak_joint_is_found() {
    let (code, said) = buzzed("the joint of controller.13 - port.6 at port.6 is weak");
    assert_eq!(code, 1);
    let (_, end) = said.split_once("NOT PASSED").expect("it is not passed");
    insta::assert_snapshot!(end, @"
    : 1 reading is wrong. Plug the lead into nothing.
      11  port.6 - controller.13: 2545, expected at most 0.8 Ω

    What all readings together point to
      98 %  the joint of controller.13 - port.6 at port.6 is weak; or the joint of controller.13 -
            port.6 at controller.13 is weak
            for it: 11

    To mend it
      - Look at port.6, heat the joint again with a little fresh solder, tug at the conductor when it is
        cold.
      - Look at controller.13, heat the joint again with a little fresh solder, tug at the conductor
        when it is cold.
      Then measure again before it touches a machine.

    Next
      The lead in the controller and not in the machine, `a` held. Ohms from port.6 (fire) to port.9
      (return).
      A good lead reads at most 2.3 Ω.

    Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave`
    stops.
    >
    ");
}

#[test]
fn a_connector_that_was_counted_from_the_wrong_side_is_found() {
    let (code, said) = buzzed("the port end is wired mirrored: its cups were counted from the wrong side");
    assert_eq!(code, 1);
    let (_, end) = said.split_once("NOT PASSED").expect("it is not passed");
    insta::assert_snapshot!(end, @"
    : 8 readings are wrong. Plug the lead into nothing.
       4  port.4 - controller.6: open, expected at most 0.8 Ω
       6  port.8 - controller.5: 0.4, expected open
       7  port.7 - controller.5: open, expected at most 0.8 Ω
      11  port.6 - controller.13: open, expected at most 0.8 Ω
      14  port.2 - controller.6: 0.4, expected open
      15  port.2 - controller.7: open, expected at most 0.8 Ω
      18  port.1 - controller.15: open, expected at most 0.8 Ω
      24  port.9 - controller.1: open, expected at most 0.8 Ω

    What all readings together point to
      100 %  the port end is wired mirrored: its cups were counted from the wrong side
            for it: 4, 6, 7, 11, 14, 15, 18, 24

    To mend it
      - Solder the port end again, cup by cup by the numbers moulded beside the contacts.
      Then measure again before it touches a machine.

    Next
      The lead unplugged at both ends. Ohms from controller.7 (down) to port.4 (right).
      A good lead reads open.

    Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave`
    stops.
    >
    ");
}

#[test]
fn two_swapped_conductors_are_found() {
    let (code, said) =
        buzzed("the conductors of controller.7 and controller.15 are swapped at the controller end");
    assert_eq!(code, 1);
    let (_, end) = said.split_once("NOT PASSED").expect("it is not passed");
    insta::assert_snapshot!(end, @"
    : 2 readings are wrong. Plug the lead into nothing.
      15  port.2 - controller.7: open, expected at most 0.8 Ω
      18  port.1 - controller.15: open, expected at most 0.8 Ω

    What all readings together point to
      93 %  the conductors of controller.7 and controller.15 are swapped at the controller end; or the
            conductors of port.2 and port.1 are swapped at the port end
            for it: 15, 18
       6 %  the joint of controller.7 - port.2 at controller.7 is open, and the joint of controller.15 -
            port.1 at controller.15 is open; or one of 3 more that look the same
            for it: 15, 18

    To mend it
      - Exchange the two conductors at controller.7 and controller.15.
      - Exchange the two conductors at port.2 and port.1.
      Then measure again before it touches a machine.

    Next
      The lead unplugged at both ends. Ohms from controller.15 (up) to port.2 (down).
      A good lead reads open.

    Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave`
    stops.
    >
    ");
}

#[test]
fn a_run_that_is_left_is_taken_up_where_it_was() {
    let (bench, _) = plover();
    let said = bench.typed(RUN, &[], "open\nOL\nopen\n0.4\nno beep\nleave\n").sound();
    assert!(said.ends_with("The lead is not proved before all is read.\n"), "{said}");
    insta::assert_snapshot!(bench.read("run.toml"), @r#"
    format = 1
    kind = "buzz-run"
    lead = "heron-stick-to-plover"
    fingerprint = "77e690a76e43944e"

    [[reading]]
    red = "port.5"
    black = "port.9"
    range = "ohms"
    value = "open"

    [[reading]]
    red = "port.5"
    black = "port.shell"
    range = "ohms"
    value = "open"

    [[reading]]
    red = "port.5"
    black = "controller.6"
    range = "ohms"
    value = "open"

    [[reading]]
    red = "port.4"
    black = "controller.6"
    range = "ohms"
    value = "0.4"

    [[reading]]
    red = "port.4"
    black = "controller.5"
    range = "ohms"
    value = "no beep"
    "#);
    let said = bench.typed(RUN, &[], "").sound();
    assert!(said.contains("Taken up: 5 of "), "{said}");
    assert!(said.contains("\n6 of "), "{said}");
    let (_, answer) = bench.json(RUN);
    assert_eq!((&answer["outcome"], &answer["answered"]), (&json!("open"), &json!(5)));
    assert_eq!(answer["answers"][4]["value"], json!("no beep"));
    // It is no profile, and no broken file either.
    assert!(bench.run("shelf run").sound().contains("Runs of meter tests"));
}

#[test]
fn a_run_of_another_lead_of_an_older_one_or_cut_short_is_told_with_its_line() {
    let (bench, _) = plover();
    let _ = bench.typed(RUN, &[], "open\nopen\nleave\n").sound();
    let run = bench.read("run.toml");
    insta::assert_snapshot!(bench.run("buzz heron-stick curlew --run run.toml").wrong(), @r#"
    error: this is a run of the lead `heron-stick-to-plover`, not of `heron-stick-to-curlew`
     --> run.toml:3:8
      |
    3 | lead = "heron-stick-to-plover"
      |        ^^^^^^^^^^^^^^^^^^^^^^^
      |
      = help: name that lead, or another file for `--run`

    error: `run` has 1 mistake
    "#);
    bench.put("run.toml", &run[..run.len() - 12]);
    insta::assert_snapshot!(bench.run(RUN).wrong(), @r#"
    error: broken TOML: key with no value, expected `=`
      --> run.toml:16:4
       |
    16 | val
       |    ^ not understood
       |
       = help: write `key = value`; texts in "quotes", lists in [brackets], tables as [name]; a run that was cut short goes on when its last table `[[reading]]` is taken out

    error: `run` has 1 mistake
    "#);
    bench.put("run.toml", run.replace("value = \"open\"", "value = \"-3\""));
    insta::assert_snapshot!(bench.run(RUN).wrong(), @r#"
    error: `-3` cannot be: no resistance is below nought
      --> run.toml:10:9
       |
    10 | value = "-3"
       |         ^^^^
       |
       = help: unplug what feeds the lead, hold the probes together and set the meter to nought, then measure again

    error: `-3` cannot be: no resistance is below nought
      --> run.toml:16:9
       |
    16 | value = "-3"
       |         ^^^^
       |
       = help: unplug what feeds the lead, hold the probes together and set the meter to nought, then measure again

    error: `run` has 2 mistakes
    "#);
    bench.put("run.toml", &run);
    let lead = bench.read("heron-stick-to-plover.toml");
    bench.put("heron-stick-to-plover.toml", lead.replace("length_mm = 1500", "length_mm = 1600"));
    let told = bench.run(RUN).wrong();
    let (_, told) = told.split_once("-->").expect("a place");
    insta::assert_snapshot!(told.lines().filter(|line| !line.contains("fingerprint =")).collect::<Vec<_>>().join("\n"), @"
     run.toml:4:15
      |
      |               ^^^^^^^^^^^^^^^^^^
      |
      = help: its readings are of another lead: keep the file for itself, and name a new one for `--run`

    error: `run` has 1 mistake
    ");
}

#[test]
fn what_cannot_be_a_reading_is_not_taken_and_near_misses_are_offered() {
    let (bench, _) = plover();
    let lines = "\nopne\nright\n-3\n0,4\n4.9 V\nbakc\nback\nbeep\n?\nleave\n";
    let said = bench.typed(RUN, &[], lines).found();
    insta::assert_snapshot!(part(&said, "1 of 69\n", "Left: "), @"
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > 
      not taken: a reading is missing; write what the meter shows, such as `0.4`, `1.2k` or `open`

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > opne
      not taken: `opne` is no reading; write `open`

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > right
      not taken: a reading on which a machine depends is written down as it is: write what the meter
      shows

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > -3
      not taken: `-3` cannot be: no resistance is below nought; unplug what feeds the lead, hold the
      probes together and set the meter to nought, then measure again

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > 0,4
      not taken: `0,4` is no number here; write `0.4`

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > 4.9 V
      not taken: a voltage in a lead that should be unplugged: see that it is, turn the meter to ohms,
      and measure again

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > bakc
      not taken: `bakc` is no reading; write `back`, or what the meter shows

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > back
      nothing is answered yet

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > beep
      STOP: beep, expected open: as it is, this lead can short the machine's supply or put it where it
      does not belong. Do not plug it in.
        - a bridge between port.5 and port.9
      Nothing else is asked before it is mended and this reads right.

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > ?
      open, OL                the meter shows no reading
      0.4, 470, 1.2k, 3M      ohms
      0.62 V, 620 mV, -4.9 V  volts
      beep, no beep           what the buzzer says, where it will do
      right                   as a good lead reads, where no machine depends on it
      done                    what was to be done is done
      back                    takes the last answer back
      mended                  you have soldered: all is read again
      leave                   stops; the same command takes the run up again

      a wrong reading points to
        at most 0.9 Ω: a bridge between port.5 and port.9

    1 of 69
      red    port.5 (supply)
      black  port.9 (return)
      ohms, or the buzzer; good: open
    > leave
    ");
}

#[test]
fn too_much_voltage_on_the_port_stops_the_run() {
    let (bench, assembly) = plover();
    let lead = BuiltLead { meter: solderside_meter::Bench::new(&assembly), faults: Vec::new() };
    let mut talk = Conversation::begin(&bench, RUN);
    let mut heard = talk.said.clone();
    while !heard.contains("DC volts") {
        let answer = lead.answer(&heard).expect("a question");
        heard = talk.say(&answer);
    }
    assert!(talk.say("5").contains("write the volts with their unit"));
    assert!(talk.say("-3").contains("write the volts with their unit"));
    insta::assert_snapshot!(talk.say("12 V"), @"
    12 V
      STOP: 12 V, expected more than 1.4 V: nothing in this machine's port has such a voltage. Switch
      off, pull the plug, and let nobody plug this lead in before you know where it comes from.
        - a voltage that is none of this port's: another machine, a power supply that is broken, or the
          probes at another connector

    NOT PASSED: 1 reading is wrong. Plug the lead into nothing.
      63  controller.15 - controller.1: 12 V, expected more than 1.4 V

    Reading 63 points to
        - a voltage that is none of this port's: another machine, a power supply that is broken, or the
          probes at another connector

    Type `mended` when it is mended: then all is read again. `back` takes the last answer back, `leave`
    stops.
    >
    ");
    assert_eq!(talk.end().0, 1);
}

#[test]
fn a_lead_that_is_not_sound_on_paper_is_given_no_run() {
    let bench = Bench::demo();
    let told = bench.run("buzz heron-pad teal --join 8-7 --run run.toml").found();
    assert!(told.contains("No run was begun"), "{told}");
    assert!(!bench.names().contains(&"run.toml".to_owned()));
}

#[test]
fn a_folder_is_no_run_and_an_empty_file_is_one_that_begins() {
    let (bench, _) = plover();
    bench.put("runs/first.buzz", "");
    let said = bench.run("buzz heron-stick-to-plover --run runs").wrong();
    assert!(said.contains("name a file for the run, such as `runs/run.buzz`"), "{said}");
    let said = bench.typed("buzz heron-stick-to-plover --run runs/first.buzz", &[], "open\nleave\n").sound();
    assert!(said.contains("Left: 1 of 69 are answered"), "{said}");
    assert!(bench.read("runs/first.buzz").contains("value = \"open\""));
}

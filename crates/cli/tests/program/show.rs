//! What `show` tells of a controller, a port and a lead.

use crate::bench::Bench;

#[test]
fn show_tells_all_of_a_controller() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show heron-pad").sound(), @r"
    Heron pad (controller `heron-pad`)
    like `fifteen-pin-pad-with-logic`, `fifteen-pin-stick`

    Connector
      the controller has a DA-15 plug; the lead needs a DA-15 socket
      sellers call it `DB-15`, wrongly: B is the shell with 25 ways, and two rows of 15 fit shell A; the
      name is also used for the three-row `DE-15 high density`
      sellers call it `D-sub 15`, wrongly: it does not name the shell's size
      sellers call it `D-15`, wrongly: it does not name the shell's size

    Contacts
      contact  function                    evidence  source
      1        common                      reported  [1]
      3        select                      reported  [1]
      4        d                           reported  [1]
      5        b                           reported  [1]
      6        right                       reported  [1]
      7        down                        reported  [1]
      8        supply of the chips inside  assumed   [1]
      11       start                       reported  [1]
      12       c                           reported  [1]
      13       a                           reported  [1]
      14       left                        reported  [1]
      15       up                          reported  [1]

    Notes
      8      without 5 V here the chips are fed through their clamp diodes by whatever line is high

    Inside
      hc chips with open-drain outputs
      they need 4.5 V to 5.5 V, typically 5 V
      they take 500 µA to 10 mA, typically 5 mA
      assumed [2]
      gate: eight-way
      fire buttons in order: `a`, `b`, `c`, `d`
      not in the fire order: `select`, `start`

    Sources
      [1] common practice, no source
      [2] from memory: 5 V within 10 %, and the current of a few chips with their pull-ups; no source
    ");
}

#[test]
fn show_tells_all_of_a_port() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show plover").sound(), @r"
    Plover home computer (port `plover`)
    like `nine-pin-two-trigger`

    Connector
      the machine has a DE-9 plug; the lead needs a DE-9 socket
      sellers call it `DB-9`, wrongly: B is the shell with 25 ways, and 9 ways fit shell E
      sellers call it `D-sub 9`, wrongly: it does not name the shell's size
      sellers call it `D-9`, wrongly: it does not name the shell's size

    Contacts
      contact  function                  limits                                          evidence  source
      1        up (input line)                                                           reported  [1]
      2        down (input line)                                                         reported  [1]
      3        left (input line)                                                         reported  [1]
      4        right (input line)                                                        reported  [1]
      5        supply                    4.75 V to 5.25 V, typically 5 V; at most 50 mA  reported  [1]
      6        fire (input line)         may be driven low                               reported  [1]
      7        second-fire (input line)  may be driven low                               reported  [1]
      8        output (ttl)                                                              reported  [1]
      9        return                                                                    reported  [1]

    Notes
      8      low at rest on many machines, but not ground

    Inputs
      line  sound-port, pull-up 25 kΩ to 250 kΩ, typically 100 kΩ; low up to 0.6 V, high from 2.4 V;
            assumed [2]
      rail 4.75 V to 5.25 V, typically 5 V; reported [1]

    Reading script
      1. `strobe-low`: drives 8 low, reads all actions
      2. `strobe-high`: drives 8 high, reads nothing

    Sources
      [1] common practice, no source
      [2] from memory: 20 µA to 200 µA at 0 V
    ");
}

#[test]
fn show_tells_the_parts_inside_a_controller_their_joins_and_the_switches() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show nine-pin-register-pad-8-bit").sound(), @"
    Nine-pin pad with eight buttons in a register (controller `nine-pin-register-pad-8-bit`)

    Connector
      the controller has a DE-9 socket; the lead needs a DE-9 plug
      sellers call it `DB-9`, wrongly: B is the shell with 25 ways, and 9 ways fit shell E
      sellers call it `D-sub 9`, wrongly: it does not name the shell's size
      sellers call it `D-9`, wrongly: it does not name the shell's size

    Contacts
      contact  function                evidence   source
      2        data, to parts inside   published  [1]
      3        latch, to parts inside  published  [1]
      4        clock, to parts inside  published  [1]
      6        supply                  published  [1]
      8        common                  published  [1]

    Inside
      r1  resistor 47 kΩ ± 5 %
      r2  resistor 47 kΩ ± 5 %
      r3  resistor 47 kΩ ± 5 %
      r4  resistor 47 kΩ ± 5 %
      r5  resistor 47 kΩ ± 5 %
      r6  resistor 47 kΩ ± 5 %
      r7  resistor 47 kΩ ± 5 %
      r8  resistor 47 kΩ ± 5 %
      c1  capacitor 100 nF ± 20 %
      u1  CD4021, 8-bit register, parallel in and serial out, loads while P/S is high
      joined:
      u1.16 - 6     u1.8 - 8      u1.9 - 3     u1.10 - 4     c1.1 - 6
      c1.2 - 8      u1.3 - 2      u1.11 - 8    r1.1 - 6      r1.2 - u1.1
      r2.1 - 6      r2.2 - u1.15  r3.1 - 6     r3.2 - u1.14  r4.1 - 6
      r4.2 - u1.13  r5.1 - 6      r5.2 - u1.4  r6.1 - 6      r6.2 - u1.5
      r7.1 - 6      r7.2 - u1.6   r8.1 - 6     r8.2 - u1.7
      switches:
      a       closes u1.1 to 8
      b       closes u1.15 to 8
      down    closes u1.5 to 8
      left    closes u1.6 to 8
      right   closes u1.7 to 8
      select  closes u1.14 to 8
      start   closes u1.13 to 8
      up      closes u1.4 to 8
      assumed [2]
      carbon-dome contacts, closed 50 Ω to 1 kΩ, typically 200 Ω; published [3]
      gate: eight-way
      fire buttons in order: `a`, `b`
      not in the fire order: `select`, `start`

    Sources
      [1] Parallel Port Joystick Drivers, Linux kernel documentation,
          Documentation/input/devices/joystick-parport.rst (drawing of a plug); such clones vary, so
          measure first
      [2] common practice, no source, for the register; Linux kernel source,
          drivers/input/joystick/gamecon.c, for the order of the bits; pull-ups of 47 kΩ and where the
          serial input leads are from memory
      [3] silicone rubber keypad design guide, www.northpointech.com/design-guide-1/ (below 200 Ω
          assembled); rubber and membrane keypad design considerations,
          ly-electronix.com/page/rubbermembr/index.php (about 1000 Ω for printed carbon)
    ");
    let stick = bench.run("show fifteen-pin-game-stick").sound();
    assert!(stick.contains("axis x, pot to 1 of 80 kΩ to 120 kΩ, typically 100 kΩ, 0 Ω at left"), "{stick}");
}

#[test]
fn show_tells_what_each_step_waits_reads_and_expects_and_how_axes_are_measured() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("show nine-pin-select").sound(), @"
    Nine-pin port that selects between two halves of a pad: three buttons (port `nine-pin-select`)

    Connector
      the machine has a DE-9 plug; the lead needs a DE-9 socket
      sellers call it `DB-9`, wrongly: B is the shell with 25 ways, and 9 ways fit shell E
      sellers call it `D-sub 9`, wrongly: it does not name the shell's size
      sellers call it `D-9`, wrongly: it does not name the shell's size

    Contacts
      contact  function                            limits                                          evidence  source
      1        d0 (input line), read by the steps                                                  reported  [1]
      2        d1 (input line), read by the steps                                                  reported  [1]
      3        d2 (input line), read by the steps                                                  reported  [1]
      4        d3 (input line), read by the steps                                                  reported  [1]
      5        supply                              4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed   [2]
      6        d4 (input line), read by the steps                                                  reported  [1]
      7        select (hc)                                                                         assumed   [3]
      8        return                                                                              reported  [1]
      9        d5 (input line), read by the steps                                                  reported  [1]

    Notes
      7      how to know the class: with nothing plugged in a meter from 7 to 8 reads a steady level
             that moves while a game runs. The port with a light-gun line on 7 has the same contacts and
             does not drive it

    Inputs
      line  hct, pull-up 8.2 kΩ to 12 kΩ, typically 10 kΩ; low up to 0.8 V, high from 2 V; assumed [4]
      rail 4.75 V to 5.25 V, typically 5 V; reported [1]

    Reading script
      1. `select-high`: drives 7 high, waits 14 µs, reads `up` at 1, `down` at 2, `left` at 3, `right`
         at 4, `b` at 6, `c` at 9
      2. `select-low`: drives 7 low, waits 14 µs, reads `up` at 1, `down` at 2, `a` at 6, `start` at 9;
         expects, whatever is pressed, 3 low, 4 low
      between two readings the lines rest for 9.8 ms to 20 ms, typically 10 ms

    Sources
      [1] common practice, no source; the contacts are drawn so in Parallel Port Joystick Drivers, Linux
          kernel documentation, Documentation/input/devices/joystick-parport.rst
      [2] from memory: no limit was found, so the lowest published for a nine-pin port stands here
      [3] from memory: an output that pads with CMOS inputs take for high, driven to either level all
          the time
      [4] from memory: a chip of its own with TTL-compatible levels and pull-ups of 10 kΩ
    ");
    insta::assert_snapshot!(bench.run("show fifteen-pin-game").sound(), @"
    Fifteen-pin analogue game port: four buttons, four axes (port `fifteen-pin-game`)

    Connector
      the machine has a DA-15 socket; the lead needs a DA-15 plug
      sellers call it `DB-15`, wrongly: B is the shell with 25 ways, and two rows of 15 fit shell A; the
      name is also used for the three-row `DE-15 high density`
      sellers call it `D-sub 15`, wrongly: it does not name the shell's size
      sellers call it `D-15`, wrongly: it does not name the shell's size

    Contacts
      contact  function                                                                                 limits                                          evidence   source
      1        supply                                                                                   4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      2        fire (input button)                                                                                                                      published  [2]
      3        axis x (input axis), full scale 100 kΩ, measures 10 µs to 2 ms, shortest at left                                                         assumed    [3]
      4        return                                                                                                                                   published  [2]
      5        return                                                                                                                                   published  [2]
      6        axis y (input axis), full scale 100 kΩ, measures 10 µs to 2 ms, shortest at up                                                           assumed    [3]
      7        second-fire (input button)                                                                                                               published  [2]
      8        supply                                                                                   4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      9        supply                                                                                   4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      10       third-fire (input button)                                                                                                                published  [2]
      11       axis second-x (input axis), full scale 100 kΩ, measures 10 µs to 2 ms, shortest at left                                                  assumed    [3]
      12       return                                                                                                                                   published  [2]
      13       axis second-y (input axis), full scale 100 kΩ, measures 10 µs to 2 ms, shortest at up                                                    assumed    [3]
      14       fourth-fire (input button)                                                                                                               published  [2]
      15       supply                                                                                   4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]

    Inputs
      axis  ttl, a pot charges 9 nF to 11 nF, typically 10 nF, behind 2.1 kΩ to 2.3 kΩ, typically 2.2
            kΩ, up to 0.63 to 0.7, typically 0.667 of the rail; assumed [4]
      button  ttl, pull-up 900 Ω to 4.7 kΩ, typically 1 kΩ; low up to 0.8 V, high from 2 V; assumed [5]
      rail 4.75 V to 5.25 V, typically 5 V; published [2]

    Reading script
      1. `read`: drives nothing, reads all actions

    Sources
      [1] Pin Assignment for the Game Adapter, PC-TECH6.TXT, ftpmirror.your.org, for the contact; no
          limit was found, so the lowest published for a nine-pin port is assumed
      [2] Pin Assignment for the Game Adapter, PC-TECH6.TXT, ftpmirror.your.org; Gameport/Joystick
          Connections, www.qsl.net/l/lu5fjl
      [3] Pin Assignment for the Game Adapter, PC-TECH6.TXT, ftpmirror.your.org, for the contact; Game
          Control Adapter, Personal Computer Hardware Reference Library, transcribed,
          nicolas.marchildon.net/electro/gameIBM/index.html, for 0 to 100 kΩ; how short and how long a
          time is still measured is from memory, and so is which end is the short one
      [4] Joystick / Game Port (201h), HelpPC, jnz.dk/helppc/game_port.html, for t = 24.2 µs + 0.011 µs
          × R; the tolerances are assumed
      [5] from memory: 1 kΩ on the first cards; later ones are assumed to be weaker
    ");
    let keypad = bench.run("show fifteen-pin-analogue-with-keypad").sound();
    assert!(keypad.contains("reads the actions of the contacts, `key-3` at 1"), "{keypad}");
}

#[test]
fn show_tells_all_of_a_lead() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save").sound();
    insta::assert_snapshot!(bench.run("show heron-stick-to-curlew").sound(), @r"
    Heron stick to Curlew home computer (lead `heron-stick-to-curlew`)

    Ends
      controller  DA-15 socket  for heron-stick
      port        DE-9 socket   for curlew
      cord        AWG 28, 1.5 m

    Joins
      from                   to
      controller.1   common  port.8  return
      controller.6   right   port.4  right
      controller.7   down    port.2  down
      controller.13  a       port.6  fire
      controller.14  left    port.3  left
      controller.15  up      port.1  up

    Play map
      action  performed by any of
      up      `up`
      down    `down`
      left    `left`
      right   `right`
      fire    `a`

    It was proved before it was saved; `solderside prove heron-stick-to-curlew` proves it again.
    ");
}

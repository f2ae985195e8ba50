//! What each command says, line by line.

use crate::bench::Bench;

#[test]
fn shelf_lists_controllers_ports_and_leads_with_what_they_are_like() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save leads.toml").sound();
    insta::assert_snapshot!(bench.run("shelf").sound(), @"
    Controllers
      bittern-pad                             shelf      Bittern pad; like nine-pin-select-pad
      bittern-panel                           shelf      Bittern panel; like loose-arcade-panel
      dunlin-pad                              shelf      Dunlin pad; like nine-pin-register-pad-8-bit
      fifteen-pin-analogue-stick-with-keypad  catalogue  Fifteen-pin analogue stick with a keypad
      fifteen-pin-game-stick                  catalogue  Fifteen-pin analogue stick with two buttons
      fifteen-pin-matrix-pad                  catalogue  Fifteen-pin high-density pad with a keypad, scanned by rows
      fifteen-pin-pad-with-logic              catalogue  Fifteen-pin pad with chips inside, which need a supply; like fifteen-pin-stick
      fifteen-pin-stick                       catalogue  Fifteen-pin stick, all switches to one common
      heron-pad                               shelf      Heron pad; like fifteen-pin-pad-with-logic
      heron-stick                             shelf      Heron stick; like fifteen-pin-stick
      knot-pad                                shelf      Knot pad; like nine-pin-register-pad-16-bit
      loose-arcade-panel                      catalogue  Loose arcade panel on numbered terminals, all switches to one common
      nine-pin-pad-with-series-resistors      catalogue  Nine-pin pad with two buttons behind series resistors
      nine-pin-paddles                        catalogue  Two analogue paddles on one nine-pin plug
      nine-pin-register-pad-16-bit            catalogue  Nine-pin pad with twelve buttons in two registers
      nine-pin-register-pad-8-bit             catalogue  Nine-pin pad with eight buttons in a register
      nine-pin-select-pad                     catalogue  Nine-pin pad with three buttons behind a multiplexer
      nine-pin-stick-with-auto-fire           catalogue  Nine-pin stick with auto-fire, which needs a supply; like nine-pin-stick-with-one-button
      nine-pin-stick-with-one-button          catalogue  Nine-pin stick with one button, all switches to one common
      nine-pin-stick-with-separate-commons    catalogue  Nine-pin stick with one common for the lever and one for the buttons
      nine-pin-stick-with-two-buttons         catalogue  Nine-pin stick with two buttons, the second on 9; like nine-pin-stick-with-one-button
      sanderling-pad                          shelf      Sanderling pad; like fifteen-pin-matrix-pad

    Ports
      arcade-edge-player-1                            catalogue  Arcade board's edge, player 1
      arcade-edge-player-2                            catalogue  Arcade board's edge, player 2
      avocet                                          shelf      Avocet home computer; like nine-pin-scanned-returns
      bittern                                         shelf      Bittern console; like nine-pin-select
      curlew                                          shelf      Curlew home computer; like nine-pin-one-fire
      curlew-plus                                     shelf      Curlew Plus home computer; like nine-pin-one-fire-second-button-as-level
      dotterel                                        shelf      Dotterel home computer; like eight-pin-mini-din
      dunlin                                          shelf      Dunlin console; like nine-pin-register-8-bit
      eight-pin-mini-din                              catalogue  Eight-pin mini-DIN port with one fire and a strobed common on 8
      fifteen-pin-analogue-with-keypad                catalogue  Fifteen-pin port of analogue sticks with a keypad
      fifteen-pin-game                                catalogue  Fifteen-pin analogue game port: four buttons, four axes
      fifteen-pin-game-with-music                     catalogue  Fifteen-pin analogue game port with serial music on 12 and 15; like fifteen-pin-game
      fifteen-pin-matrix                              catalogue  Fifteen-pin high-density port that scans a pad by rows
      knot                                            shelf      Knot console; like nine-pin-register-16-bit
      nine-pin-active-high                            catalogue  Nine-pin port whose lines rest low and close to the supply on 5
      nine-pin-one-fire                               catalogue  Nine-pin port with one fire, supply on 7
      nine-pin-one-fire-keyboard-lines                catalogue  Nine-pin port with one fire, on lines that the machine also drives
      nine-pin-one-fire-second-button-as-charge-time  catalogue  Nine-pin port with one fire, and a second button read as a charge time on 9
      nine-pin-one-fire-second-button-as-level        catalogue  Nine-pin port with one fire, and a second button read as a level on 9
      nine-pin-register-16-bit                        catalogue  Nine-pin port that latches and clocks a pad of sixteen bits
      nine-pin-register-8-bit                         catalogue  Nine-pin port that latches and clocks a pad of eight bits
      nine-pin-scanned-return-supply-on-5             catalogue  Nine-pin port with two fires and one scanned return, supply on 5 and ground on 9
      nine-pin-scanned-returns                        catalogue  Nine-pin port with two fires and two scanned returns, no supply
      nine-pin-scanned-returns-supply-on-7            catalogue  Nine-pin port with one fire and two scanned returns, supply on 7 and ground on 5
      nine-pin-select                                 catalogue  Nine-pin port that selects between two halves of a pad: three buttons
      nine-pin-select-six-buttons                     catalogue  Nine-pin port that selects between two halves of a pad, and counts: six buttons; like nine-pin-select
      nine-pin-two-button-light-gun                   catalogue  Nine-pin port with two buttons and a light-gun line on 7
      nine-pin-two-trigger                            catalogue  Nine-pin port with two triggers and a driven line on 8
      plover                                          shelf      Plover home computer; like nine-pin-two-trigger
      sanderling                                      shelf      Sanderling console; like fifteen-pin-matrix
      shrike                                          shelf      Shrike arcade board, player 1; like arcade-edge-player-1
      teal                                            shelf      Teal games console; like nine-pin-two-button-light-gun

    Sockets where no lead belongs
      fifteen-way-high-density-video  catalogue  Fifteen-way high-density video output
      fifteen-way-network-attachment  catalogue  Fifteen-way network attachment
      nine-way-monitor-output         catalogue  Nine-way monitor output
      nine-way-serial                 catalogue  Nine-way serial interface

    Cables
      five-pair-screened        catalogue  Five-pair screened control cable; like ten-core-control
      nine-core-moulded-socket  catalogue  Nine-core extension lead, cut, with its moulded DE-9 socket
      ten-core-control          catalogue  Ten-core control cable
      twelve-core-control       catalogue  Twelve-core control cable; like ten-core-control

    Leads
      leads  shelf  Heron stick to Curlew home computer
    ");
}

#[test]
fn shelf_lists_what_has_all_words_in_its_name_title_or_kind() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("shelf PORT light").sound(), @r"
    Ports
      nine-pin-two-button-light-gun  catalogue  Nine-pin port with two buttons and a light-gun line on 7
    ");
    insta::assert_snapshot!(bench.run("shelf pad gramophone").found(), @"nothing has `pad` and `gramophone` in its name or title");
}

#[test]
fn shelf_says_that_the_current_folder_is_none() {
    let bench = Bench::empty();
    bench.put("Cargo.toml", "[package]\nname = 'x'\n");
    insta::assert_snapshot!(bench.run("shelf stick").sound(), @"
    Controllers
      fifteen-pin-analogue-stick-with-keypad  catalogue  Fifteen-pin analogue stick with a keypad
      fifteen-pin-game-stick                  catalogue  Fifteen-pin analogue stick with two buttons
      fifteen-pin-stick                       catalogue  Fifteen-pin stick, all switches to one common
      nine-pin-stick-with-auto-fire           catalogue  Nine-pin stick with auto-fire, which needs a supply; like nine-pin-stick-with-one-button
      nine-pin-stick-with-one-button          catalogue  Nine-pin stick with one button, all switches to one common
      nine-pin-stick-with-separate-commons    catalogue  Nine-pin stick with one common for the lever and one for the buttons
      nine-pin-stick-with-two-buttons         catalogue  Nine-pin stick with two buttons, the second on 9; like nine-pin-stick-with-one-button

    Ports
      fifteen-pin-analogue-with-keypad  catalogue  Fifteen-pin port of analogue sticks with a keypad

    The current folder is no shelf; `--shelf DIR` names the folder of your own files.
    ");
}

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
      contact  function                                                               limits                                          evidence   source
      1        supply                                                                 4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      2        fire (input button)                                                                                                    published  [2]
      3        axis x (input axis), full scale 100 kΩ, measures 10 µs to 2 ms                                                         assumed    [3]
      4        return                                                                                                                 published  [2]
      5        return                                                                                                                 published  [2]
      6        axis y (input axis), full scale 100 kΩ, measures 10 µs to 2 ms                                                         assumed    [3]
      7        second-fire (input button)                                                                                             published  [2]
      8        supply                                                                 4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      9        supply                                                                 4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]
      10       third-fire (input button)                                                                                              published  [2]
      11       axis second-x (input axis), full scale 100 kΩ, measures 10 µs to 2 ms                                                  assumed    [3]
      12       return                                                                                                                 published  [2]
      13       axis second-y (input axis), full scale 100 kΩ, measures 10 µs to 2 ms                                                  assumed    [3]
      14       fourth-fire (input button)                                                                                             published  [2]
      15       supply                                                                 4.75 V to 5.25 V, typically 5 V; at most 50 mA  assumed    [1]

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
          time is still measured is from memory
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

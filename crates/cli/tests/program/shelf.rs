//! What `shelf` lists.

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
      godwit-stick                            shelf      Godwit stick; like fifteen-pin-game-stick
      heron-pad                               shelf      Heron pad; like fifteen-pin-pad-with-logic
      heron-stick                             shelf      Heron stick; like fifteen-pin-stick
      knot-pad                                shelf      Knot pad; like nine-pin-register-pad-16-bit
      loose-arcade-panel                      catalogue  Loose arcade panel on numbered terminals, all switches to one common
      nine-pin-pad-with-series-resistors      catalogue  Nine-pin pad with two buttons behind series resistors
      nine-pin-paddles                        catalogue  Two analogue paddles on one nine-pin plug
      nine-pin-register-pad-16-bit            catalogue  Nine-pin pad with twelve buttons in two registers
      nine-pin-register-pad-8-bit             catalogue  Nine-pin pad with eight buttons in a register
      nine-pin-select-pad                     catalogue  Nine-pin pad with three buttons behind a multiplexer
      nine-pin-select-pad-six-buttons         catalogue  Nine-pin pad with six buttons behind a multiplexer, which counts
      nine-pin-stick-with-auto-fire           catalogue  Nine-pin stick with auto-fire, which needs a supply; like nine-pin-stick-with-one-button
      nine-pin-stick-with-one-button          catalogue  Nine-pin stick with one button, all switches to one common
      nine-pin-stick-with-separate-commons    catalogue  Nine-pin stick with one common for the lever and one for the buttons
      nine-pin-stick-with-two-buttons         catalogue  Nine-pin stick with two buttons, the second on 9; like nine-pin-stick-with-one-button
      sanderling-pad                          shelf      Sanderling pad; like fifteen-pin-matrix-pad
      whimbrel-stick                          shelf      Whimbrel stick; like fifteen-pin-analogue-stick-with-keypad

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
      godwit                                          shelf      Godwit computer; like fifteen-pin-game
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
      usb-host                                        catalogue  USB host, at the four wires of a lead
      whimbrel                                        shelf      Whimbrel console; like fifteen-pin-analogue-with-keypad

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

    Drawers of parts
      drawer  shelf  Workshop drawer of the Saltmarsh Computer Museum

    Leads
      leads  shelf  Heron stick to Curlew home computer
    ");
}

#[test]
fn who_types_list_or_ls_gets_the_shelf() {
    let bench = Bench::demo();
    let shelf = bench.run("shelf heron").sound();
    assert_eq!([bench.run("list heron").sound(), bench.run("ls heron").sound()], [shelf.clone(), shelf]);
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

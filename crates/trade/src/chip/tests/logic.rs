//! What chips do: every function table against a formula, registers and counters against their sheets'
//! examples.

use solderside_quantity::Ohms;

use super::*;

/// All levels of some inputs.
pub(super) fn all_levels(inputs: usize) -> impl Iterator<Item = Vec<bool>> {
    (0..1_usize << inputs).map(move |code| (0..inputs).map(|input| code >> input & 1 == 1).collect())
}

/// What a function table says; all rows that ask for these levels must agree.
pub(super) fn by_table(gate: &Gate, levels: &[bool]) -> Drive {
    let asked = gate.rows().filter(|(asks, _)| {
        asks.iter().zip(levels).all(|(ask, level)| ask.is_none_or(|asked| asked == *level))
    });
    let does: Vec<Drive> = asked.map(|(_, does)| does).collect();
    assert!(does.windows(2).all(|pair| pair[0] == pair[1]), "{gate:?} contradicts itself at {levels:?}");
    does.first().copied().unwrap_or(gate.otherwise)
}

fn drives(level: bool) -> Drive {
    if level { Drive::High } else { Drive::Low }
}

fn pulls(low: bool) -> Drive {
    if low { Drive::Low } else { Drive::Off }
}

/// What each output does, by the logic equations of the sheets.
///
/// *74HC/HCT157*, December 1990: 1Y is 1I1 while S is high, else 1I0, and low while E is high. *74HC125* rev. 5 and
/// *MC74HCT244A*: Y is A while OE is low, else off. *74HC04* and *74HC05*: Y is not A. *74HC00* and *74HC03*: Y is
/// not both of A and B. *SN54/74LS145*: Qn is low at code n, and all are off at invalid codes.
fn by_formula(part: ChipPart, output: &str, level: &dyn Fn(&str) -> bool) -> Drive {
    let (unit, rest) = output.split_at(1);
    let own = |name: &str| level(&format!("{unit}{name}"));
    match part {
        ChipPart::Hc157 | ChipPart::Hct157 => {
            drives(!level("E") && (own("I1") && level("S") || own("I0") && !level("S")))
        }
        ChipPart::Ls157 => drives(!level("G") && (own("B") && level("S") || own("A") && !level("S"))),
        ChipPart::Hc125 | ChipPart::Hct125 => {
            if own("OE") {
                Drive::Off
            } else {
                drives(own("A"))
            }
        }
        ChipPart::Hc244 | ChipPart::Hct244 => {
            let input = format!("{unit}{}", rest.replace('Y', "A"));
            if own("OE") { Drive::Off } else { drives(level(&input)) }
        }
        ChipPart::Hc04 | ChipPart::Hct04 => drives(!own("A")),
        ChipPart::Hc05 => pulls(own("A")),
        ChipPart::Hc00 | ChipPart::Hct00 => drives(!(own("A") && own("B"))),
        ChipPart::Hc03 => pulls(own("A") && own("B")),
        ChipPart::Ls145 => {
            let code = (0..4).filter(|bit| level(&format!("P{bit}"))).map(|bit| 1 << bit).sum::<u32>();
            pulls(rest.parse() == Ok(code))
        }
        ChipPart::Hc165
        | ChipPart::Cd4021
        | ChipPart::Cd4014
        | ChipPart::Hc4066
        | ChipPart::Cd4066
        | ChipPart::Hc393 => panic!("{part} has no gates"),
    }
}

#[test]
fn every_function_table_equals_its_formula_in_every_row() {
    let mut rows = 0;
    for part in ChipPart::ALL {
        let sheet = part.sheet();
        for block in sheet.blocks {
            let Block::Gate(gate) = block else { continue };
            assert_eq!(gate.rows().count(), gate.rows.len(), "{part}: a row is not read");
            assert!(gate.rows().all(|(asks, _)| asks.len() == gate.inputs.len()), "{part}");
            let name = |leg: LegNumber| sheet.leg(leg).unwrap().name;
            for levels in all_levels(gate.inputs.len()) {
                let level = |called: &str| {
                    let place = gate.inputs.iter().position(|leg| name(*leg) == called);
                    levels[place.unwrap_or_else(|| panic!("{part}: {called} is no input of this output"))]
                };
                let expected = by_formula(part, name(gate.output), &level);
                assert_eq!(by_table(gate, &levels), expected, "{part} {} {levels:?}", name(gate.output));
                rows += 1;
            }
        }
    }
    // 3 × 4 × 16 (multiplexers), 2 × 12 × 4 (buffers), 3 × 6 × 2 (inverters), 3 × 4 × 4 (NANDs), 10 × 16 (decoder).
    assert_eq!(rows, 192 + 96 + 36 + 48 + 160);
}

#[test]
fn letters_of_a_function_table_are_read_as_sheets_print_them() {
    assert_eq!(["L", "H", "Z"].map(Drive::parse), [Some(Drive::Low), Some(Drive::High), Some(Drive::Off)]);
    assert_eq!(Drive::parse("X"), None);
}

/// A register worked edge by edge from its description.
struct Worked {
    register: Register,
    stages: Vec<bool>,
    clock: bool,
}

impl Worked {
    fn of(part: ChipPart) -> Self {
        let [Block::Register(register)] = part.sheet().blocks else { panic!("{part} is no register") };
        Self { register: *register, stages: vec![false; register.parallel.len()], clock: false }
    }

    /// Puts levels on the legs.
    fn put(&mut self, level: &dyn Fn(LegNumber) -> bool) {
        let clock = self.register.clocks.iter().any(|leg| level(*leg));
        let rises = clock && !self.clock;
        self.clock = clock;
        let asked = level(self.register.load) == (self.register.load_level == Drive::High);
        if asked && (rises || !self.register.load_at_clock) {
            self.stages = self.register.parallel.iter().map(|leg| level(*leg)).collect();
        } else if rises && !asked {
            self.stages.pop();
            self.stages.insert(0, level(self.register.serial));
        }
    }

    fn shows(&self, leg: LegNumber) -> bool {
        let output = self.register.outputs.iter().find(|output| output.leg == leg).unwrap();
        self.stages[usize::from(output.stage)] != output.inverted
    }
}

/// *MC14014B, MC14021B* rev. 3, truth table: the serial bits 0, 1, 0, 1 of clocks n to n+3 stand at Q6 from
/// clock n+6 on, at Q7 a clock later, at Q8 two.
#[test]
fn a_metal_gate_register_shifts_as_its_truth_table_shows() {
    for part in [ChipPart::Cd4021, ChipPart::Cd4014] {
        let mut worked = Worked::of(part);
        let [q6, q7, q8] = ["Q6", "Q7", "Q8"].map(|name| leg_called(part.sheet(), name));
        let (serial, clock) = (leg_called(part.sheet(), "SER"), leg_called(part.sheet(), "CLK"));
        let mut seen = Vec::new();
        for bit in [false, true, false, true, false, false, false, false, false, false, false] {
            worked.put(&|leg| leg == serial && bit);
            worked.put(&|leg| leg == serial && bit || leg == clock);
            seen.push([q6, q7, q8].map(|leg| worked.shows(leg)));
        }
        for (output, first) in [(0, 5), (1, 6), (2, 7)] {
            let bits: Vec<bool> = seen[first..first + 4].iter().map(|shown| shown[output]).collect();
            assert_eq!(bits, [false, true, false, true], "{part}, output {output}");
        }
    }
}

/// *CD4021BC*, truth table: the parallel inputs are jammed in while the control is high, without a clock;
/// *HEF4014B* rev. 10: loaded on the rising clock while PE is high. Q8 then shows PI8, PI7 and so on to PI1.
#[test]
fn a_metal_gate_register_loads_at_once_or_at_a_clock() {
    for (part, at_once) in [(ChipPart::Cd4021, true), (ChipPart::Cd4014, false)] {
        let sheet = part.sheet();
        let pressed = ["PI1", "PI4", "PI8"].map(|name| leg_called(sheet, name));
        let [control, clock, q8] = ["P/S", "CLK", "Q8"].map(|name| leg_called(sheet, name));
        let mut worked = Worked::of(part);
        worked.put(&|leg| pressed.contains(&leg) || leg == control);
        assert_eq!(worked.shows(q8), at_once, "{part}");
        worked.put(&|leg| pressed.contains(&leg) || leg == control || leg == clock);
        worked.put(&|_| false);
        let mut read = vec![worked.shows(q8)];
        for _ in 1..8 {
            worked.put(&|leg| leg == clock);
            worked.put(&|_| false);
            read.push(worked.shows(q8));
        }
        assert_eq!(read, [true, false, false, false, true, false, false, true], "{part}");
    }
}

/// *74HC165; 74HCT165* rev. 3: loads while PL is low; a high on CE holds the clock off, either clock input
/// shifts; Q7 and its opposite are the last stage, D7 first.
#[test]
fn a_cmos_register_loads_low_and_its_second_clock_inhibits_the_first() {
    let sheet = ChipPart::Hc165.sheet();
    let [load, clock, inhibit, q7, opposite] =
        ["PL", "CP", "CE", "Q7", "Q7N"].map(|name| leg_called(sheet, name));
    let pressed = ["D7", "D5", "D0"].map(|name| leg_called(sheet, name));
    let mut worked = Worked::of(ChipPart::Hc165);
    worked.put(&|leg| pressed.contains(&leg));
    worked.put(&|leg| leg == load);
    assert_eq!([worked.shows(q7), worked.shows(opposite)], [true, false]);

    worked.put(&|leg| [load, inhibit].contains(&leg));
    let inhibited = worked.stages.clone();
    worked.put(&|leg| [load, inhibit, clock].contains(&leg));
    worked.put(&|leg| [load, inhibit].contains(&leg));
    assert_eq!(worked.stages, inhibited);

    worked.put(&|_| false);
    worked.put(&|leg| pressed.contains(&leg));
    worked.put(&|leg| leg == load);
    let mut read = vec![worked.shows(q7)];
    for edge in [clock, inhibit, clock, clock, inhibit, clock, clock] {
        worked.put(&|leg| leg == load || leg == edge);
        worked.put(&|leg| leg == load);
        read.push(worked.shows(q7));
        assert_ne!(worked.shows(q7), worked.shows(opposite));
    }
    assert_eq!(read, [true, false, true, false, false, false, false, true]);
}

/// *CD54HC393*, SCHS186F, table 7-1, and *74HC/HCT393*, December 1990: the count sequence from Q0 to Q3,
/// counted on the falling edge, and zero while MR is high.
#[test]
fn a_counter_counts_as_its_sequence_shows() {
    const SEQUENCE: [&str; 16] = [
        "LLLL", "HLLL", "LHLL", "HHLL", "LLHL", "HLHL", "LHHL", "HHHL", "LLLH", "HLLH", "LHLH", "HHLH",
        "LLHH", "HLHH", "LHHH", "HHHH",
    ];
    let sheet = ChipPart::Hc393.sheet();
    assert_eq!(sheet.blocks.len(), 2);
    for (half, block) in (1..).zip(sheet.blocks) {
        let Block::Counter(counter) = block else { panic!("{block:?}") };
        assert!(counter.falling);
        assert_eq!(sheet.leg(counter.clock).unwrap().name, format!("{half}CP"));
        assert_eq!(sheet.leg(counter.reset).unwrap().name, format!("{half}MR"));
        for (count, row) in (0_u32..).zip(SEQUENCE) {
            for (bit, letter) in row.chars().enumerate() {
                let leg = leg_called(sheet, &format!("{half}Q{bit}"));
                let output = counter.outputs.iter().find(|output| output.leg == leg).unwrap();
                let high = count >> output.stage & 1 == 1;
                assert_eq!(high != output.inverted, letter == 'H', "{half}Q{bit} at {count}");
            }
        }
        assert_eq!(1 << counter.stages, SEQUENCE.len());
    }
}

/// *74HC4066* rev. 10: closed while nE is high; *CD4066BC*, October 2005: switch on at a control of 1.
/// *SN74HC4066*, page 3: 50 Ω typical, 170 Ω peak at 25 °C.
#[test]
fn an_analogue_switch_closes_high_between_its_own_two_contacts() {
    for part in [ChipPart::Hc4066, ChipPart::Cd4066] {
        let sheet = part.sheet();
        for block in sheet.blocks {
            let Block::Switch(switch) = block else { panic!("{block:?}") };
            let name = |leg: LegNumber| sheet.leg(leg).unwrap().name;
            let unit = |name: &'static str| name.split(' ').nth(1).unwrap_or(&name[..1]);
            assert_eq!(unit(name(switch.sides[0])), unit(name(switch.control)));
            assert_eq!(unit(name(switch.sides[1])), unit(name(switch.control)));
            assert_eq!(switch.closed_at, Drive::High);
            assert!(switch.on.value.high() >= Ohms::literal(170.0) && switch.off_amps.value > Amps::ZERO);
        }
    }
}

//! A network with tolerances, five bytes an element.
#![no_main]

use libfuzzer_sys::fuzz_target;
use solderside_circuit::{Diode, Extreme, Network, Node, Spread, Uncertain};
use solderside_quantity::{Amps, Kelvin, Ohms, Triple, Volts};

const NODES: usize = 5;

fuzz_target!(|bytes: &[u8]| {
    let mut spread = Spread::new();
    let mut nodes = vec![Node::GROUND];
    nodes.extend((0..NODES).map(|_| spread.node()));
    for part in bytes.chunks_exact(5).take(16) {
        let [kind, ends, low, span, volts] = part else { return };
        let [a, b] = [ends % 6, ends / 6 % 6].map(|at| nodes[usize::from(at)]);
        let ohms = 10_f64.powf(f64::from(*low) / 32.0 - 1.0);
        let ohms = triple(ohms, ohms * (1.0 + f64::from(*span) / 64.0), Ohms::literal);
        let at = f64::from(*volts) / 16.0 - 8.0;
        let element = match kind % 6 {
            0 | 1 => Uncertain::Resistor { a, b, ohms },
            2 if a != Node::GROUND => {
                Uncertain::Source { node: a, volts: triple(at, at + 0.5, Volts::literal), ohms }
            }
            3 => Uncertain::Current { a, b, amps: triple(at * 1e-5, at * 1e-5 + 1e-5, Amps::literal) },
            4 => Uncertain::Diode { anode: a, cathode: b, least: silicon(3e-9), most: silicon(9e-9) },
            5 => Uncertain::Sink {
                node: a,
                to: b,
                offset: triple(0.1, 0.3, Volts::literal),
                ohms,
                off: Triple::exactly(Ohms::literal(1e9)),
            },
            _ => continue,
        };
        let _ = spread.add(element);
    }
    let typical: Network = spread.typical();
    let Ok(point) = typical.operating_point() else { return };
    for node in &nodes[1..] {
        let volts = point.volts(*node).get();
        for (extreme, sign) in [(Extreme::Highest, 1.0), (Extreme::Lowest, -1.0)] {
            let Ok(bound) = spread.bound(*node, extreme) else { continue };
            let Some(guaranteed) = bound.guaranteed else { continue };
            let over = sign * (volts - guaranteed.get());
            assert!(over <= 1e-6 * (1.0 + volts.abs()), "{volts} passes {bound:?}");
        }
    }
});

fn triple<T: solderside_quantity::Quantity>(low: f64, high: f64, unit: fn(f64) -> T) -> Triple<T> {
    Triple::new(unit(low), unit(f64::midpoint(low, high)), unit(high)).expect("the ends are in order")
}

fn silicon(is: f64) -> Diode {
    Diode { is: Amps::literal(is), n: 1.94, rs: Ohms::literal(0.7), at: Kelvin::literal(300.15) }
}

//! What a meter sees of a lead: wire and solder made one, and what is left between.
//!
//! Everything of a few ohms at most is wire: a net. Between nets stand weak joints, resistors, diodes, junctions of
//! transistors, and the controller's switches if it is plugged in. Chips are out of their sockets, and a capacitor is
//! full. A reading within a net is at most the sum of its wires; one along a single way is the sum of what lies on it;
//! anything else is solved: resistances at both ends of their tolerances, as no resistance falls when one of its parts
//! rises (J. W. Strutt, Lord Rayleigh, "On the theory of resonance", 1871, from memory), diodes by the bounds of
//! `circuit`.

use solderside_circuit::{Diode, Element, Extreme, Network, Node, Spread, Uncertain, Unsolvable};
use solderside_lead::{AT_THE_STOP, Body, EndId, Leg};
use solderside_profile::{Control, Controller, ControllerRole};
use solderside_quantity::{Amps, Ohms, Triple, Volts};
use solderside_trade::{ClosedBy, DiodeModel, TransistorKind};

use crate::bench::{Bench, Spot};
use crate::build::{Build, Joint, is_gone};
use crate::reading::{DIODE_AMPS, Range, Span};

/// What a bridge of solder is at most (common practice, no source).
const BRIDGE: f64 = 0.1;

/// The least that an ohms range shows through a junction: at least 0.1 V at no more than 1 mA (common practice, no source).
const JUNCTION_OHMS: f64 = 100.0;

/// What the meter itself is across its probes: far above anything that it tells apart from open.
const METER: Ohms = Ohms::literal(10e6);

/// A lead reduced to nets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Nets {
    /// The net of each place.
    of: Vec<usize>,
    /// What the wires of each net come to at most, in a row.
    wire_ohms: Vec<f64>,
    soft: Vec<Soft>,
}

/// What stands between two nets.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Soft {
    nets: [usize; 2],
    law: Law,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Law {
    /// A resistance between two values.
    Ohms { low: f64, high: f64 },
    /// A junction that conducts from the first net to the second.
    Junction { least: DiodeModel, most: DiodeModel },
    /// A channel whose gate floats.
    Anything,
}

/// What is plugged in, and which controls are held.
pub(crate) type Plugged<'h> = Option<&'h [Control]>;

/// Sets that grow together.
struct Union(Vec<usize>);

impl Union {
    fn find(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, one: usize, other: usize) {
        let [one, other] = [one, other].map(|at| self.find(at));
        self.0[one.max(other)] = one.min(other);
    }
}

impl Nets {
    /// Reduces a lead as it was soldered, with a controller plugged in or not.
    pub(crate) fn of(bench: &Bench<'_>, build: &Build, plugged: Plugged<'_>) -> Self {
        let spots = bench.spots();
        let mut union = Union((0..spots.len()).collect());
        let mut hard: Vec<(Spot, f64)> = Vec::with_capacity(bench.wires().len());
        let mut soft: Vec<([Spot; 2], Law)> = Vec::new();
        for (wire, meant) in build.wires().iter().zip(bench.wires()) {
            if is_gone(build, meant) {
                continue;
            }
            let [a, b] = wire.ends;
            let mut weak: Option<[f64; 2]> = None;
            let mut is_open = false;
            for joint in wire.joints {
                match joint {
                    Joint::Sound => {}
                    Joint::Open => is_open = true,
                    Joint::Weak(ohms) => {
                        let [low, high] = weak.unwrap_or_default();
                        weak = Some([low + ohms.low().get(), high + ohms.high().get()]);
                    }
                }
            }
            let wire_high = meant.ohms.high().get();
            match weak {
                _ if is_open => {}
                None => {
                    union.join(a, b);
                    hard.push((a, wire_high));
                }
                Some([low, high]) => soft.push(([a, b], Law::Ohms { low, high: high + wire_high })),
            }
        }
        for [a, b] in build.bridges() {
            union.join(*a, *b);
            hard.push((*a, BRIDGE));
        }
        for part in bench.parts() {
            let Some(body) = build.body(part) else { continue };
            let leg = |number| bench.spot(Leg::part(part.id(), solderside_trade::ContactId::Number(number)));
            take_body(body, &leg, &mut soft);
        }
        if let Some(held) = plugged {
            for (end, controller) in bench.assembly().controllers() {
                take_controller(bench, build, (end, controller), held, &mut union, &mut soft);
            }
        }
        let of: Vec<usize> = (0..spots.len()).map(|at| union.find(at)).collect();
        let mut wire_ohms = vec![0.0; spots.len()];
        for (at, ohms) in hard {
            wire_ohms[of[at]] += ohms;
        }
        let soft = soft.into_iter().map(|(at, law)| Soft { nets: at.map(|at| of[at]), law });
        let soft = soft.filter(|soft| soft.nets[0] != soft.nets[1]).collect();
        Self { of, wire_ohms, soft }
    }

    /// Whether two places are one net.
    pub(crate) fn are_one(&self, one: Spot, other: Spot) -> bool {
        self.of[one] == self.of[other]
    }

    /// Whether a junction or a channel hangs together with both of two places that are not one.
    pub(crate) fn is_junction_between(&self, one: Spot, other: Spot) -> bool {
        let [one, other] = [one, other].map(|spot| self.of[spot]);
        if one == other || self.soft.is_empty() {
            return false;
        }
        let (nets, edges) = self.part_of(one);
        let is_junction = |at: &usize| !matches!(self.soft[*at].law, Law::Ohms { .. });
        nets.contains(&other) && edges.iter().any(is_junction)
    }

    /// Whether two places have nothing but wire, or nothing at all, between them.
    pub(crate) fn is_only_wire(&self, one: Spot, other: Spot) -> bool {
        self.are_one(one, other) || !self.part_of(self.of[one]).0.contains(&self.of[other])
    }

    /// What a meter finds, before it is shown.
    pub(crate) fn read(&self, range: Range, red: Spot, black: Spot) -> Span {
        let [from, to] = [red, black].map(|spot| self.of[spot]);
        if from == to {
            return match range {
                Range::Ohms => Span::new(0.0, self.wire_ohms[from]),
                Range::Diode => Span::new(0.0, self.wire_ohms[from] * DIODE_AMPS[2]),
            };
        }
        if self.soft.is_empty() {
            return Span::OPEN;
        }
        let (nets, edges) = self.part_of(from);
        if !nets.contains(&to) {
            return Span::OPEN;
        }
        // What is passed on the way of wire counts with either end; it is small against what stands between.
        let wire = nets.iter().map(|net| self.wire_ohms[*net]).sum();
        if edges.len() + 1 == nets.len() {
            return self.along(range, from, to, wire);
        }
        let solved = match range {
            Range::Ohms => self.ohms(&nets, &edges, [from, to], wire),
            Range::Diode => self.volts(&nets, &edges, [from, to], wire),
        };
        solved.unwrap_or(Span::ANYTHING)
    }

    /// The nets that a net is tied to, and what stands between them.
    fn part_of(&self, from: usize) -> (Vec<usize>, Vec<usize>) {
        let mut nets = vec![from];
        let mut edges = Vec::new();
        let mut next = 0;
        while let Some(net) = nets.get(next).copied() {
            next += 1;
            for (at, soft) in self.soft.iter().enumerate() {
                let [a, b] = soft.nets;
                if a != net && b != net {
                    continue;
                }
                if !edges.contains(&at) {
                    edges.push(at);
                }
                let far = if a == net { b } else { a };
                if !nets.contains(&far) {
                    nets.push(far);
                }
            }
        }
        (nets, edges)
    }

    /// The reading along the only way between two nets.
    fn along(&self, range: Range, from: usize, to: usize, wire: f64) -> Span {
        let Some(way) = self.way(from, to) else { return Span::OPEN };
        let mut low = 0.0;
        let mut high = 0.0;
        let [least_amps, _, most_amps] = DIODE_AMPS;
        for (at, forth) in way {
            let [more_low, more_high] = match (range, self.soft[at].law) {
                (Range::Ohms, Law::Ohms { low, high }) => [low, high],
                (Range::Ohms, Law::Junction { .. }) => [JUNCTION_OHMS, f64::INFINITY],
                (Range::Diode, Law::Ohms { low, high }) => [low * least_amps, high * most_amps],
                (Range::Diode, Law::Junction { least, most }) if forth => {
                    [drop(&most, least_amps), drop(&least, most_amps)]
                }
                (Range::Diode, Law::Junction { .. }) => return Span::OPEN,
                (Range::Ohms | Range::Diode, Law::Anything) => [0.0, f64::INFINITY],
            };
            low += more_low;
            high += more_high;
        }
        let wire = match range {
            Range::Ohms => wire,
            Range::Diode => wire * most_amps,
        };
        Span::new(low, high + wire)
    }

    /// The only way between two nets, each step with whether it is taken from its first net to its second.
    fn way(&self, from: usize, to: usize) -> Option<Vec<(usize, bool)>> {
        let mut open = vec![(from, Vec::new())];
        while let Some((net, way)) = open.pop() {
            if net == to {
                return Some(way);
            }
            for (at, soft) in self.soft.iter().enumerate() {
                let far = match soft.nets {
                    [a, b] if a == net => Some((b, true)),
                    [a, b] if b == net => Some((a, false)),
                    _ => None,
                };
                if let Some((far, forth)) = far
                    && way.iter().all(|(other, _)| *other != at)
                {
                    open.push((far, [way.as_slice(), &[(at, forth)]].concat()));
                }
            }
        }
        None
    }

    /// The resistance between two nets of a part of the circuit, by two solutions.
    fn ohms(&self, nets: &[usize], edges: &[usize], ends: [usize; 2], wire: f64) -> Option<Span> {
        let with = |choose: fn(Law) -> f64| {
            let mut network = Network::new();
            let nodes: Vec<Node> = nets.iter().map(|_| network.node()).collect();
            let node = |net: usize| Some(*nodes.get(nets.iter().position(|own| *own == net)?)?);
            for edge in edges {
                let Soft { nets: [a, b], law } = self.soft[*edge];
                let ohms = choose(law);
                if ohms.is_finite() {
                    let ohms = Ohms::new(ohms).ok()?.max(AT_THE_STOP);
                    network.add(Element::Resistor { a: node(a)?, b: node(b)?, ohms }).ok()?;
                }
            }
            let black = Element::Source { node: node(ends[1])?, volts: Volts::ZERO, ohms: Ohms::ZERO };
            network.add(black).ok()?;
            // What hangs on nothing but open edges is held by the meter's own resistance.
            for node in &nodes {
                network.add(Element::Resistor { a: *node, b: Node::GROUND, ohms: METER * 1e3 }).ok()?;
            }
            Some(network.thevenin(node(ends[0])?).ok()?.ohms.get())
        };
        let low = with(|law| match law {
            Law::Ohms { low, .. } => low,
            Law::Junction { .. } => JUNCTION_OHMS,
            Law::Anything => 0.0,
        })?;
        let high = with(|law| match law {
            Law::Ohms { high, .. } => high,
            Law::Junction { .. } | Law::Anything => f64::INFINITY,
        })?;
        Some(Span::new(low, high + wire))
    }

    /// The voltage that the diode range shows between two nets, by the bounds of a network with the meter in it.
    fn volts(&self, nets: &[usize], edges: &[usize], [red, black]: [usize; 2], wire: f64) -> Option<Span> {
        let mut spread = Spread::new();
        let nodes: Vec<Node> = nets.iter().map(|_| spread.node()).collect();
        let node = |net: usize| Some(*nodes.get(nets.iter().position(|own| *own == net)?)?);
        for edge in edges {
            let Soft { nets: [a, b], law } = self.soft[*edge];
            let [a, b] = [node(a)?, node(b)?];
            let between = |low: f64, high: f64| {
                let [low, high] = [Ohms::new(low).ok()?.max(AT_THE_STOP), Ohms::new(high).ok()?];
                Triple::new(low, low, high.max(low)).ok()
            };
            let element = match law {
                Law::Ohms { low, high } => Uncertain::Resistor { a, b, ohms: between(low, high)? },
                Law::Junction { least, most } => {
                    Uncertain::Diode { anode: a, cathode: b, least: diode(least), most: diode(most) }
                }
                Law::Anything => Uncertain::Resistor { a, b, ohms: between(0.0, 1e12)? },
            };
            spread.add(element).ok()?;
        }
        let volts = Triple::exactly(Volts::ZERO);
        let [red, black] = [node(red)?, node(black)?];
        spread.add(Uncertain::Source { node: black, volts, ohms: Triple::exactly(Ohms::ZERO) }).ok()?;
        for node in &nodes {
            let ohms = Triple::exactly(METER);
            spread.add(Uncertain::Resistor { a: *node, b: Node::GROUND, ohms }).ok()?;
        }
        let amps = Triple::<Amps>::literal(DIODE_AMPS[0], DIODE_AMPS[1], DIODE_AMPS[2]);
        spread.add(Uncertain::Current { a: Node::GROUND, b: red, amps }).ok()?;
        let bound = |extreme| {
            let bound = spread.bound(red, extreme);
            bound.map(|bound| bound.guaranteed.map(Volts::get))
        };
        let [low, high] = [bound(Extreme::Lowest), bound(Extreme::Highest)];
        Some(match (low, high) {
            (Ok(Some(low)), Ok(Some(high))) => Span::new(low, high + wire * DIODE_AMPS[2]),
            (Ok(Some(low)), _) => Span::new(low, f64::INFINITY),
            (Err(Unsolvable::Floating { .. }), _) => Span::OPEN,
            (Ok(None) | Err(_), _) => Span::ANYTHING,
        })
    }
}

fn take_body(body: Body, leg: &dyn Fn(u8) -> Option<Spot>, soft: &mut Vec<([Spot; 2], Law)>) {
    let mut put = |a: u8, b: u8, law: Law| soft.extend(leg(a).zip(leg(b)).map(|(a, b)| ([a, b], law)));
    match body {
        Body::Resistor(resistor) => {
            let ohms = resistor.triple();
            put(1, 2, Law::Ohms { low: ohms.low().get(), high: ohms.high().get() });
        }
        Body::Diode(part) => put(1, 2, Law::Junction { least: part.least().value, most: part.most().value }),
        Body::Transistor(part) => {
            let kind = part.kind();
            match (&part.sheet().closed_by, kind) {
                (ClosedBy::Base(base), TransistorKind::Npn | TransistorKind::NChannel) => {
                    let law = Law::Junction {
                        least: base.junction.least().value,
                        most: base.junction.most().value,
                    };
                    put(1, 3, law);
                    put(1, 2, law);
                }
                (ClosedBy::Base(base), TransistorKind::Pnp) => {
                    let law = Law::Junction {
                        least: base.junction.least().value,
                        most: base.junction.most().value,
                    };
                    put(3, 1, law);
                    put(2, 1, law);
                }
                // Its gate floats, so its channel may be anything.
                (ClosedBy::Gate(_), _) => put(2, 3, Law::Anything),
            }
        }
        Body::Capacitor(_) | Body::Chip(_) | Body::Changeover(_) => {}
    }
}

/// The commons of a controller are one net each; a held control's switch is closed. What chips inside do to a meter nobody
/// promises.
fn take_controller(
    bench: &Bench<'_>,
    build: &Build,
    (end, controller): (EndId, &Controller),
    held: &[Control],
    union: &mut Union,
    soft: &mut Vec<([Spot; 2], Law)>,
) {
    let spot = |contact| bench.spot(Leg { end, contact });
    for net in controller.common_nets() {
        let spots: Vec<Spot> = net.into_iter().filter_map(spot).collect();
        for pair in spots.windows(2) {
            union.join(pair[0], pair[1]);
        }
    }
    let has_chips = controller.logic.is_some() || controller.inside.is_some();
    let supply = controller.supply().and_then(spot);
    for (id, contact) in &controller.contacts {
        let Some(own) = spot(*id) else { continue };
        match &contact.role {
            ControllerRole::Control(control) => {
                let common = controller.commons_of(control).first().copied().and_then(spot);
                let Some(common) = common else { continue };
                if controller.driver_of(control).is_some() {
                    soft.push(([own, common], Law::Anything));
                } else if build.is_stuck(end, control)
                    || (held.contains(control) && build.closes(end, control))
                {
                    let ohms = controller.closed_ohms(control);
                    soft.push(([own, common], Law::Ohms { low: ohms.low().get(), high: ohms.high().get() }));
                }
            }
            ControllerRole::Pot(pot) => {
                if let Some(far) = spot(pot.other_end) {
                    soft.push(([own, far], Law::Ohms { low: 0.0, high: pot.ohms.high().get() }));
                }
            }
            ControllerRole::Wired { .. } | ControllerRole::DoNotConnect => {
                soft.extend(supply.map(|supply| ([own, supply], Law::Anything)));
                let common = controller.commons().first().copied().and_then(spot);
                soft.extend(common.map(|common| ([own, common], Law::Anything)));
            }
            ControllerRole::Supply if has_chips => {
                let common = controller.commons().first().copied().and_then(spot);
                soft.extend(common.map(|common| ([own, common], Law::Anything)));
            }
            ControllerRole::Supply | ControllerRole::Common | ControllerRole::Unused => {}
        }
    }
}

/// What a junction drops at a current.
fn drop(model: &DiodeModel, amps: f64) -> f64 {
    model.forward_volts(Amps::literal(amps)).map_or(f64::INFINITY, Volts::get)
}

fn diode(model: DiodeModel) -> Diode {
    Diode { is: model.is_amps, n: model.n, rs: model.rs, at: model.at }
}

#[cfg(test)]
mod tests;

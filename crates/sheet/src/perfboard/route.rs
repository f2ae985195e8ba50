//! The wires of a board: each along rows and columns of holes on the solder side, the shortest way that is free.
//!
//! Bare wires of one net may run together; those of two nets share no hole. What finds no way in bare wire is
//! insulated, and crosses others at right angles only; where even that finds none it is laid straight across.

use super::hole::Hole;
use super::layout::{Layout, Stretch};
use super::task::Task;

/// The way of one wire.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Course {
    /// All holes that it passes, the first and the last being those that it is soldered in. One that is laid straight
    /// across has these two only.
    pub(super) holes: Vec<Hole>,
    pub(super) insulated: bool,
}

/// What a step costs: from hole to hole, the same where wire of the net lies already, a bend, and a crossing.
const STEP: u32 = 4;
const TOGETHER: u32 = 2;
const BEND: u32 = 1;
const CROSSING: u32 = 100;
/// One more than a step can cost.
const BUCKETS: usize = 128;
/// Owners from here on are insulated wires, each by itself; those below are nets.
const INSULATED: u16 = 0x8000;

/// Rightwards, down, leftwards, up.
const WAYS: usize = 4;

/// The wires of a layout as far as they are laid.
#[derive(Debug, Clone)]
pub(super) struct Wiring {
    rows: usize,
    columns: usize,
    /// The net of what stands in each hole, or 0.
    pads: Vec<u16>,
    /// Who owns the step from each hole to the right, and down; and how many wires run there.
    steps: Vec<[u16; 2]>,
    uses: Vec<[u16; 2]>,
    /// The pins' holes.
    pins: Vec<usize>,
    /// The way of each tie.
    ways: Vec<Option<Way>>,
}

/// A wire's way, hole by hole, and who owns its steps: its net, or itself if it is insulated.
#[derive(Debug, Clone)]
struct Way {
    nodes: Vec<usize>,
    owner: u16,
}

/// Who seeks a way, and what a strange wire in it costs; at nought none may be in the way.
#[derive(Debug, Clone, Copy)]
struct Passage {
    owner: u16,
    through: u32,
}

/// The room in which ways are sought; it is used again and again.
#[derive(Debug, Default)]
pub(super) struct Seeker {
    /// What it costs to arrive at a hole in a direction, from where, and in which search that was written.
    costs: Vec<u32>,
    origins: Vec<u32>,
    stamps: Vec<u32>,
    stamp: u32,
    buckets: Vec<Vec<(u32, u32)>>,
}

/// The holes of a way at which it begins, bends and ends.
pub(super) fn corners(holes: &[Hole]) -> Vec<Hole> {
    let last = holes.len().saturating_sub(1);
    let turns = |at: usize| {
        let [before, after] = [holes[at - 1], holes[at + 1]];
        before.row != after.row && before.column != after.column
    };
    (0..=last).filter(|at| *at == 0 || *at == last || turns(*at)).map(|at| holes[at]).collect()
}

impl Wiring {
    /// All wires of a layout, the short ones laid first, and what finds no way in bare wire last.
    pub(super) fn of(task: &Task, layout: &Layout, seeker: &mut Seeker) -> Self {
        let holes = layout.holes(task);
        let mut order: Vec<usize> = (0..task.ties.len()).collect();
        order.sort_by_key(|tie| {
            let [from, to] = task.ties[*tie].pins;
            holes[from].steps_to(holes[to])
        });
        let mut wiring = Self::unlaid(task, layout);
        wiring.lay_all(task, order, seeker);
        wiring
    }

    fn unlaid(task: &Task, layout: &Layout) -> Self {
        let [rows, columns] = [layout.rows, layout.columns].map(usize::from);
        let size = rows * columns;
        let mut wiring = Self {
            rows,
            columns,
            pads: vec![0; size],
            steps: vec![[0; 2]; size],
            uses: vec![[0; 2]; size],
            pins: Vec::new(),
            ways: vec![None; task.ties.len()],
        };
        wiring.set_pins(task, layout);
        wiring
    }

    fn set_pins(&mut self, task: &Task, layout: &Layout) {
        let node = |hole: Hole| usize::from(hole.row) * self.columns + usize::from(hole.column);
        self.pins = layout.holes(task).into_iter().map(node).collect();
        self.pads.fill(0);
        for (pin, node) in self.pins.iter().enumerate() {
            self.pads[*node] = task.nets[pin];
        }
    }

    /// Lays bare what can be, then the rest insulated.
    fn lay_all(&mut self, task: &Task, order: Vec<usize>, seeker: &mut Seeker) {
        let failed: Vec<usize> =
            order.into_iter().filter(|tie| !self.lay(task, *tie, false, seeker)).collect();
        for tie in failed {
            self.lay(task, tie, true, seeker);
        }
    }

    /// The same wires after the layout has changed, its size apart: those are laid anew whose ends have moved, or that lie in
    /// the way of a leg.
    pub(super) fn moved(&self, task: &Task, layout: &Layout, seeker: &mut Seeker) -> Self {
        let mut next = self.clone();
        next.set_pins(task, layout);
        let is_new = |node: usize| next.pads[node] != 0 && next.pads[node] != self.pads[node];
        let is_stale = |(tie, way): (usize, &Option<Way>)| {
            let Some(way) = way else { return true };
            let has_moved = task.ties[tie].pins.iter().any(|pin| self.pins[*pin] != next.pins[*pin]);
            let inner = way.nodes.get(1..way.nodes.len() - 1).unwrap_or_default();
            has_moved || inner.iter().any(|node| is_new(*node) && next.pads[*node] != way.owner)
        };
        let stale: Vec<usize> =
            self.ways.iter().enumerate().filter(|own| is_stale(*own)).map(|(tie, _)| tie).collect();
        next.lay_anew(task, stale, seeker);
        next
    }

    /// The same with one wire laid bare whatever stands in its way, and what did laid anew behind it. The more a wire in the
    /// way costs, the longer the ways around it.
    pub(super) fn shoved(&self, task: &Task, tie: usize, through: u32, seeker: &mut Seeker) -> Self {
        let mut next = self.clone();
        let aside = next.shove(task, tie, through, seeker);
        next.lay_anew(task, aside, seeker);
        next
    }

    /// Lays a wire bare through others and takes those up; returns what has no way now.
    fn shove(&mut self, task: &Task, tie: usize, through: u32, seeker: &mut Seeker) -> Vec<usize> {
        self.take_up(tie);
        let [from, to] = task.ties[tie].pins;
        let owner = task.nets[from];
        let Some(nodes) = seeker.find(self, self.pins[from], self.pins[to], Passage { owner, through })
        else {
            return vec![tie];
        };
        let stands_in = |way: &Way| way.owner != owner && way.nodes.iter().any(|node| nodes.contains(node));
        let aside: Vec<usize> =
            (0..self.ways.len()).filter(|other| self.ways[*other].as_ref().is_some_and(stands_in)).collect();
        for other in &aside {
            self.take_up(*other);
        }
        self.put(tie, Way { nodes, owner });
        aside
    }

    /// The same after a row or a column has come or gone: each wire as it was, as far as it still fits.
    pub(super) fn stretched(
        &self,
        task: &Task,
        layout: &Layout,
        stretch: Stretch,
        seeker: &mut Seeker,
    ) -> Self {
        let mut next = Self::unlaid(task, layout);
        let mut stale = Vec::new();
        let mut order: Vec<usize> = (0..self.ways.len()).collect();
        order.sort_by_key(|tie| self.ways[*tie].as_ref().is_none_or(|way| way.owner >= INSULATED));
        for tie in order {
            let way = self.ways[tie].as_ref();
            let nodes = way
                .and_then(|way| next.mapped(way, task.ties[tie].pins, |node| stretch.moves(self.hole(node))));
            match way.zip(nodes) {
                Some((way, nodes)) => next.put(tie, Way { nodes, owner: way.owner }),
                None => stale.push(tie),
            }
        }
        next.lay_all(task, stale, seeker);
        next
    }

    /// A way of another board hole by hole on this one, if it fits.
    fn mapped(&self, way: &Way, pins: [usize; 2], moves: impl Fn(usize) -> Hole) -> Option<Vec<usize>> {
        let mut nodes: Vec<usize> = Vec::new();
        for node in &way.nodes {
            let hole = moves(*node);
            if usize::from(hole.row) >= self.rows || usize::from(hole.column) >= self.columns {
                return None;
            }
            let node = usize::from(hole.row) * self.columns + usize::from(hole.column);
            match nodes.last() {
                Some(last) if *last == node => {}
                // Where a row has come the wire passes it.
                Some(last) if last.abs_diff(node) == 2 || last.abs_diff(node) == 2 * self.columns => {
                    nodes.extend([usize::midpoint(*last, node), node]);
                }
                Some(_) | None => nodes.push(node),
            }
        }
        let target = self.pins[pins[1]];
        let mut came = None;
        for pair in nodes.windows(2) {
            let way_on =
                (0..WAYS).find(|on| self.step(pair[0], *on).is_some_and(|(next, _)| next == pair[1]))?;
            let there = self.owner(pair[0], way_on);
            let bends = came.is_some_and(|came| came != way_on);
            let is_free =
                (there == 0 || there == way.owner) && !(bends && self.straight_only(pair[0], way.owner));
            let passage = Passage { owner: way.owner, through: 0 };
            if !is_free || self.arrival(pair[1], way_on, passage, target).is_none() {
                return None;
            }
            came = Some(way_on);
        }
        let ends = [nodes.first(), nodes.last()] == [Some(&self.pins[pins[0]]), Some(&target)];
        (ends && nodes.len() > 1).then_some(nodes)
    }

    fn hole(&self, node: usize) -> Hole {
        let [row, column] =
            [node / self.columns, node % self.columns].map(|at| u16::try_from(at).unwrap_or(u16::MAX));
        Hole::new(row, column)
    }

    fn lay_anew(&mut self, task: &Task, ties: Vec<usize>, seeker: &mut Seeker) {
        for tie in &ties {
            self.take_up(*tie);
        }
        self.lay_all(task, ties, seeker);
    }

    /// The wires that are insulated.
    pub(super) fn insulated(&self) -> Vec<usize> {
        let is_insulated = |way: &Option<Way>| way.as_ref().is_none_or(|way| way.owner >= INSULATED);
        (0..self.ways.len()).filter(|tie| is_insulated(&self.ways[*tie])).collect()
    }

    /// Where wires cross at right angles or pass over strange joints; and all wire, in steps: where wires of a net lie in one another
    /// they count once.
    pub(super) fn measure(&self) -> [u32; 2] {
        let used = self.uses.iter().flatten().filter(|uses| **uses > 0).count();
        // One that goes straight across counts as crossing something at every step: it is no way to be sought.
        let across: usize = self.ways.iter().flatten().map(|way| self.straight_across(way)).sum();
        let across = u32::try_from(across).unwrap_or(u32::MAX);
        [self.crossings() + across, u32::try_from(used).unwrap_or(u32::MAX) + across]
    }

    fn straight_across(&self, way: &Way) -> usize {
        match way.nodes.as_slice() {
            [from, to] => {
                let apart = (from / self.columns).abs_diff(to / self.columns)
                    + (from % self.columns).abs_diff(to % self.columns);
                if apart > 1 { apart } else { 0 }
            }
            _ => 0,
        }
    }

    /// The next hole in a direction, and the step there: the hole that has it, and whether it leads down.
    fn step(&self, node: usize, way: usize) -> Option<(usize, (usize, usize))> {
        let column = node % self.columns;
        match way {
            0 => (column + 1 < self.columns).then(|| (node + 1, (node, 0))),
            1 => (node / self.columns + 1 < self.rows).then(|| (node + self.columns, (node, 1))),
            2 => (column > 0).then(|| (node - 1, (node - 1, 0))),
            _ => (node >= self.columns).then(|| (node - self.columns, (node - self.columns, 1))),
        }
    }

    /// Who owns the step from a hole in a direction.
    fn owner(&self, node: usize, way: usize) -> u16 {
        self.step(node, way).map_or(0, |(_, (at, down))| self.steps[at][down])
    }

    /// What it costs a wire to arrive at a hole beside the step itself; none where it may not come.
    fn arrival(&self, node: usize, way: usize, passage: Passage, target: usize) -> Option<u32> {
        if node == target {
            return Some(0);
        }
        let Passage { owner, through } = passage;
        let (pad, is_insulated) = (self.pads[node], owner >= INSULATED);
        if through > 0 {
            let is_free = pad == 0 || pad == owner;
            return is_free.then(|| if self.must_go_on(node, owner) { through } else { 0 });
        }
        let strange = |other: u16| other != 0 && other != owner;
        if strange(self.owner(node, way)) {
            return None;
        }
        if pad != 0 && (is_insulated || pad != owner) {
            return is_insulated.then_some(CROSSING + STEP);
        }
        let [one, other] = [(way + 1) % WAYS, (way + 3) % WAYS].map(|side| self.owner(node, side));
        if pad == 0 && (strange(one) || strange(other)) {
            let may_cross = one == other && (is_insulated || one >= INSULATED);
            return may_cross.then_some(CROSSING);
        }
        Some(0)
    }

    /// Whether a strange wire passes here, so that nothing may bend.
    fn must_go_on(&self, node: usize, owner: u16) -> bool {
        (0..WAYS).map(|way| self.owner(node, way)).any(|other| other != 0 && other != owner)
    }

    /// Finds the cheapest way of a tie and lays it. A bare wire finds none where only a crossing would do; an insulated one
    /// goes straight across.
    fn lay(&mut self, task: &Task, tie: usize, insulated: bool, seeker: &mut Seeker) -> bool {
        let [from, to] = task.ties[tie].pins;
        let owner = if insulated { INSULATED + u16::try_from(tie).unwrap_or(0) } else { task.nets[from] };
        let nodes = match seeker.find(self, self.pins[from], self.pins[to], Passage { owner, through: 0 }) {
            Some(nodes) => nodes,
            None if insulated => vec![self.pins[from], self.pins[to]],
            None => return false,
        };
        self.put(tie, Way { nodes, owner });
        true
    }

    fn put(&mut self, tie: usize, way: Way) {
        for (at, down) in self.steps_of(&way.nodes) {
            self.steps[at][down] = way.owner;
            self.uses[at][down] += 1;
        }
        self.ways[tie] = Some(way);
    }

    fn take_up(&mut self, tie: usize) {
        let Some(way) = self.ways[tie].take() else { return };
        for (at, down) in self.steps_of(&way.nodes) {
            self.uses[at][down] -= 1;
            if self.uses[at][down] == 0 {
                self.steps[at][down] = 0;
            }
        }
    }

    /// The steps of a way; none of one that goes straight across.
    fn steps_of(&self, nodes: &[usize]) -> Vec<(usize, usize)> {
        let step = |pair: &[usize]| {
            let (a, b) = (pair[0].min(pair[1]), pair[0].max(pair[1]));
            if b - a == self.columns {
                Some((a, 1))
            } else {
                (b - a == 1 && b % self.columns != 0).then_some((a, 0))
            }
        };
        nodes.windows(2).filter_map(step).collect()
    }

    /// Whether a wire that has come to a hole must leave it straight on: over a strange joint, or across a strange wire.
    fn straight_only(&self, node: usize, owner: u16) -> bool {
        let pad = self.pads[node];
        if pad != 0 { owner >= INSULATED || pad != owner } else { self.must_go_on(node, owner) }
    }

    /// All wires, hole by hole, in the order of the ties.
    pub(super) fn courses(&self, task: &Task) -> Vec<Course> {
        let hole = |node: &usize| self.hole(*node);
        let course = |(tie, way): (usize, &Option<Way>)| match way {
            Some(way) => {
                Course { holes: way.nodes.iter().map(hole).collect(), insulated: way.owner >= INSULATED }
            }
            None => Course {
                holes: task.ties[tie].pins.map(|pin| hole(&self.pins[pin])).to_vec(),
                insulated: true,
            },
        };
        self.ways.iter().enumerate().map(course).collect()
    }

    /// Where wires cross at right angles, or pass over a joint.
    fn crossings(&self) -> u32 {
        let at = |node: usize| {
            let [right, down, left, up] = [0, 1, 2, 3].map(|way| self.owner(node, way));
            let passes = [(left, right), (up, down)].map(|(one, other)| if one == other { one } else { 0 });
            if self.pads[node] == 0 {
                u32::from(passes[0] != 0 && passes[1] != 0 && passes[0] != passes[1])
            } else {
                passes.into_iter().map(|owner| u32::from(owner >= INSULATED)).sum()
            }
        };
        (0..self.pads.len()).map(at).sum()
    }
}

impl Seeker {
    /// The cheapest way between two holes.
    fn find(&mut self, wiring: &Wiring, from: usize, to: usize, passage: Passage) -> Option<Vec<usize>> {
        let columns = wiring.columns;
        let Passage { owner, through } = passage;
        self.make_room(wiring.pads.len() * WAYS);
        let still = move |node: usize| {
            let apart = (node / columns).abs_diff(to / columns) + (node % columns).abs_diff(to % columns);
            TOGETHER * u32::try_from(apart).unwrap_or(u32::MAX)
        };
        let mut open = 0_usize;
        let mut current = still(from);
        // From the first hole in every direction.
        for way in 0..WAYS {
            let state = from * WAYS + way;
            self.reach(state, 0, u32::MAX);
            let index = bucket(current);
            self.buckets[index].push((u32::try_from(state).unwrap_or(u32::MAX), 0));
            open += 1;
        }
        while open > 0 {
            let index = bucket(current);
            let Some((state, cost)) = self.buckets[index].pop() else {
                current += 1;
                continue;
            };
            open -= 1;
            let state = usize::try_from(state).unwrap_or(usize::MAX);
            let (node, came) = (state / WAYS, state % WAYS);
            if self.costs[state] < cost {
                continue;
            }
            if node == to {
                return Some(self.traced(state));
            }
            let is_first = node == from;
            let straight_only = !is_first && through == 0 && wiring.straight_only(node, owner);
            for way in 0..WAYS {
                let turns = !is_first && way != came;
                if (is_first && way != came) || (turns && (straight_only || (way + 2) % WAYS == came)) {
                    continue;
                }
                let Some((next, (at, down))) = wiring.step(node, way) else { continue };
                let there = wiring.steps[at][down];
                let is_taken = there != 0 && there != owner;
                if is_taken && through == 0 {
                    continue;
                }
                let Some(extra) = wiring.arrival(next, way, passage, to) else { continue };
                let step = if there == owner { TOGETHER } else { STEP };
                let cost = cost + step + extra + if turns { BEND } else { 0 };
                let reached = next * WAYS + way;
                if self.stamps[reached] != self.stamp || cost < self.costs[reached] {
                    self.reach(reached, cost, u32::try_from(state).unwrap_or(u32::MAX));
                    let index = bucket(cost + still(next));
                    self.buckets[index].push((u32::try_from(reached).unwrap_or(u32::MAX), cost));
                    open += 1;
                }
            }
        }
        None
    }

    fn reach(&mut self, state: usize, cost: u32, origin: u32) {
        self.costs[state] = cost;
        self.origins[state] = origin;
        self.stamps[state] = self.stamp;
    }

    fn traced(&self, last: usize) -> Vec<usize> {
        let mut nodes = vec![last / WAYS];
        let mut state = last;
        while let Some(origin) = self.origins.get(state).filter(|origin| **origin != u32::MAX) {
            state = usize::try_from(*origin).unwrap_or(usize::MAX);
            nodes.push(state / WAYS);
        }
        nodes.reverse();
        nodes
    }

    fn make_room(&mut self, states: usize) {
        if self.costs.len() < states {
            self.costs.resize(states, 0);
            self.origins.resize(states, 0);
            self.stamps.resize(states, 0);
        }
        self.buckets.resize(BUCKETS, Vec::new());
        for bucket in &mut self.buckets {
            bucket.clear();
        }
        self.stamp += 1;
    }
}

/// The bucket of a cost.
fn bucket(cost: u32) -> usize {
    usize::try_from(cost).unwrap_or(usize::MAX) % BUCKETS
}

//! The lead of wire with diodes and resistors.
//!
//! Parts are put in for a reason that a proof gives, and only there: diodes where a line reads that nobody
//! asked for, a resistor where a line that the machine drives meets a closed switch, a pull-up where nothing
//! holds an input. Which diode, and which value, is found by proving each.

use std::collections::BTreeSet;

use solderside_lead::{Allocation, Assembly, Body, EndId, Join, Leg, Part, PartId, Resistor, Unbuilt};
use solderside_profile::{ActiveLevel, Control};
use solderside_proof::{Code, Finding, Severity, Verdict};
use solderside_quantity::Ohms;
use solderside_trade::{DiodePart, E12, preferred_ohms};

use crate::plain::{Judged, Problem};

/// Where a lead has parts.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Plan {
    diodes: Option<(Lines, DiodePart)>,
    /// A resistor where the lead could short a line that the machine drives.
    resistor: Option<(Way, Ohms)>,
    /// From the supply to each input that nothing holds.
    pull_up: Option<Ohms>,
}

/// Which lines a diode stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lines {
    /// Those that a control with several actions shares with another control.
    Shared,
    /// All.
    All,
}

/// In the way of what a resistor stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Of the controller's common: one keeps all lines from the return.
    Common,
    /// Of each line that the machine also drives: these keep the lines from one another as well.
    Lines,
}

/// The value of a pull-up that holds a line firmly and asks little of a switch (common practice, no source).
pub(crate) const PULL_UP: Ohms = Ohms::literal(10e3);

impl Problem {
    /// Returns the sound leads with parts, the best of each kind of diode, the best first; none where no part
    /// mends what is wrong with wire alone.
    ///
    /// # Errors
    /// Says which value of a profile cannot be an element of a circuit.
    pub(crate) fn with_parts(&self) -> Result<Vec<Judged>, Unbuilt> {
        let mut found: Vec<(Option<DiodePart>, Judged)> = Vec::new();
        for problem in self.variants() {
            for way in problem.ways() {
                problem.with_parts_that_mend(way, &mut found)?;
            }
        }
        let mut found: Vec<Judged> = found.into_iter().map(|(_, judged)| judged).collect();
        found.sort_by_key(rank);
        Ok(found)
    }

    /// Adds the sound leads with the parts that mend what is wrong with a lead of wire.
    fn with_parts_that_mend(
        &self,
        [home, supply]: [Option<Leg>; 2],
        found: &mut Vec<(Option<DiodePart>, Judged)>,
    ) -> Result<(), Unbuilt> {
        let wire = self.joined(home, supply);
        // What no part mends ends it.
        let may_mend = |finding: &Finding| !is_wrong(finding) || is_mendable(finding.code);
        let Some(wire) = self.judge_while(wire, may_mend)? else { return Ok(()) };
        for plan in plans(self, &wire.judgement.findings, supply) {
            let kind = plan.diodes.map(|(_, diode)| diode);
            let Some(judged) = self.fitted(plan, [home, supply])? else { continue };
            let better = |other: &Judged| rank(&judged) < rank(other);
            match found.iter_mut().find(|(other, _)| *other == kind) {
                Some((_, other)) if better(other) => *other = judged,
                Some(_) => {}
                None => found.push((kind, judged)),
            }
        }
        Ok(())
    }

    /// The value of a pull-up: the usual one, or what the drawer has instead.
    pub(crate) fn pull_up(&self) -> Ohms {
        self.in_stock(PULL_UP)
    }

    /// A value that need not be exact, or where the drawer has none of these the one nearest to it, by ratio, within half a
    /// decade.
    pub(crate) fn in_stock(&self, wanted: Ohms) -> Ohms {
        let ratio = |ohms: Ohms| (ohms.get() / wanted.get()).max(wanted.get() / ohms.get());
        let stock = self.drawer.iter().filter_map(|drawer| drawer.resistors.as_ref()).flatten();
        let near = stock.filter(|(ohms, count)| *count > 0 && ratio(*ohms) <= 3.2).map(|(ohms, _)| *ohms);
        near.min_by(|one, other| ratio(*one).total_cmp(&ratio(*other))).unwrap_or(wanted)
    }

    /// Tries a plan; where limits are all that is exceeded, with the smallest resistor that keeps them.
    fn fitted(&self, plan: Plan, way: [Option<Leg>; 2]) -> Result<Option<Judged>, Unbuilt> {
        let Some(judged) = self.judged(plan, way)? else { return Ok(None) };
        if self.accepts_judged(&judged) {
            return Ok(Some(judged));
        }
        if !limits_alone(&judged.judgement.findings) {
            return Ok(None);
        }
        for place in [Way::Common, Way::Lines] {
            if let Some(judged) = self.resisted(plan, place, way)? {
                return Ok(Some(judged));
            }
        }
        Ok(None)
    }

    /// Tries a plan with the smallest resistor that keeps the limits.
    fn resisted(&self, plan: Plan, place: Way, way: [Option<Leg>; 2]) -> Result<Option<Judged>, Unbuilt> {
        // What flows falls as the resistor grows, so the smallest that keeps the limits is found by halving.
        let mut values = preferred_ohms(&E12.value, Ohms::literal(47.0), Ohms::literal(4700.0));
        values.retain(|ohms| self.has(&resistor(1, *ohms).body));
        let with = |ohms: Ohms| self.judged(Plan { resistor: Some((place, ohms)), ..plan }, way);
        let (mut low, mut high) = (0, values.len());
        while low < high {
            let middle = usize::midpoint(low, high);
            if with(values[middle])?.is_some_and(|judged| limits_alone(&judged.judgement.findings)) {
                low = middle + 1;
            } else {
                high = middle;
            }
        }
        let Some(ohms) = values.get(low) else { return Ok(None) };
        Ok(with(*ohms)?.filter(|judged| self.accepts_judged(judged)))
    }

    /// Judges the lead of a plan; none if something is wrong with it that no resistor mends.
    fn judged(&self, plan: Plan, [home, supply]: [Option<Leg>; 2]) -> Result<Option<Judged>, Unbuilt> {
        let assembly = self.built(plan, home, supply);
        self.judge_while(assembly, |finding| self.bears(finding) || is_limit(finding.code))
    }

    /// The lead of wire with a plan's parts put in, all in the hood of the port's end, or of the controller's
    /// where the port's is moulded on.
    fn built(&self, plan: Plan, home: Option<Leg>, supply: Option<Leg>) -> Assembly {
        let mut assembly = self.joined(home, supply);
        if let Some((lines, diode)) = plan.diodes {
            self.put_diodes(&mut assembly, lines, diode);
        }
        match (plan.resistor, home) {
            (Some((Way::Common, ohms)), Some(home)) => put_in_common(&mut assembly, home, ohms),
            (Some((Way::Lines, ohms)), _) => put_in_lines(&mut assembly, ohms),
            (Some((Way::Common, _)), None) | (None, _) => {}
        }
        if let (Some(ohms), Some(supply)) = (plan.pull_up, supply) {
            put_pull_ups(&mut assembly, supply, ohms);
        }
        sit_where_there_is_a_hood(&mut assembly);
        assembly.lead.settle();
        assembly
    }

    /// Puts a diode into lines: from the machine's contact to the switch, or where a high is active from the
    /// switch to the machine's contact. A control of several lines has one conductor, and its diodes part
    /// there.
    fn put_diodes(&self, assembly: &mut Assembly, lines: Lines, diode: DiodePart) {
        let shared = self.shared();
        let is_line = |join: &Join| {
            let acts = assembly.port_contact(join.to).is_some_and(|contact| contact.action().is_some());
            self.is_seen_at(join.from.contact) && acts && !self.joins.contains(join)
        };
        let replaced: Vec<Join> = (assembly.lead.joins.iter().copied())
            .filter(|join| is_line(join) && (lines == Lines::All || shared.contains(join)))
            .collect();
        // Where diodes of several lines meet, each is wired to the one before it: one conductor a cup. A control
        // that keeps a wire to one line has the diodes of its others at that wire's end in the hood.
        let mut meeting: Vec<(Leg, Leg)> = (assembly.lead.joins.iter())
            .filter(|join| is_line(join) && !replaced.contains(join))
            .map(|join| (join.from, join.to))
            .collect();
        for (number, join) in (1..).zip(replaced) {
            let id = PartId::Diode(number);
            let [anode, cathode] = [PartId::ANODE, PartId::CATHODE].map(|contact| Leg::part(id, contact));
            let [near_switch, near_machine] = match assembly.active_level(join.to) {
                ActiveLevel::Low => [cathode, anode],
                ActiveLevel::High => [anode, cathode],
            };
            assembly.lead.joins.retain(|other| *other != join);
            for (cup, leg) in [(join.from, near_switch), (join.to, near_machine)] {
                let before = meeting.iter().rev().find(|(other, _)| *other == cup).map(|(_, leg)| *leg);
                assembly.lead.joins.push(Join::new(before.unwrap_or(cup), leg));
                meeting.push((cup, leg));
            }
            assembly.lead.parts.push(Part { number, body: Body::Diode(diode), sits: EndId::Port });
        }
    }

    /// The lines of controls with several actions to actions with several controls: there wire would make two
    /// controls one.
    fn shared(&self) -> BTreeSet<Join> {
        let acts =
            |control: &Control| self.play.iter().filter(|part| part.controls.contains(control)).count();
        let mut shared = BTreeSet::new();
        for part in self.play.iter().filter(|part| part.controls.len() > 1) {
            let Some(to) = self.port.contact_of(&part.action).map(Leg::port) else { continue };
            let doubled = part.controls.iter().filter(|control| acts(control) > 1);
            let from = doubled.filter_map(|control| self.contact_of(control));
            shared.extend(from.map(|from| Join::new(Leg::controller(from), to)));
        }
        shared
    }
}

/// Puts all parts into the hood of the controller's end where the port's is moulded on.
pub(crate) fn sit_where_there_is_a_hood(assembly: &mut Assembly) {
    if Allocation::of(assembly).is_some_and(|cores| cores.moulded.contains_key(&EndId::Port)) {
        for part in &mut assembly.lead.parts {
            part.sits = EndId::Controller(0);
        }
    }
}

/// Puts a resistor between the controller's commons and where they go home.
fn put_in_common(assembly: &mut Assembly, home: Leg, ohms: Ohms) {
    let [first, second] = [PartId::ANODE, PartId::CATHODE].map(|leg| Leg::part(PartId::Resistor(1), leg));
    for join in &mut assembly.lead.joins {
        if join.to == home {
            *join = Join::new(join.from, first);
        }
    }
    assembly.lead.joins.push(Join::new(second, home));
    assembly.lead.parts.push(resistor(1, ohms));
}

/// Puts a resistor into each line that the machine also drives, at its contact: what met there meets behind it.
fn put_in_lines(assembly: &mut Assembly, ohms: Ohms) {
    let is_driven = |leg: &Leg| assembly.port_contact(*leg).is_some_and(|contact| contact.driven.is_some());
    let legs = assembly.lead.joins.iter().flat_map(|join| [join.from, join.to]);
    let lines: BTreeSet<Leg> = legs.filter(is_driven).collect();
    for (number, line) in (1..).zip(lines) {
        let [first, second] =
            [PartId::ANODE, PartId::CATHODE].map(|leg| Leg::part(PartId::Resistor(number), leg));
        let moved = |leg: Leg| if leg == line { first } else { leg };
        for join in &mut assembly.lead.joins {
            *join = Join::new(moved(join.from), moved(join.to));
        }
        assembly.lead.joins.push(Join::new(second, line));
        assembly.lead.parts.push(resistor(number, ohms));
    }
}

/// Puts a resistor from the supply to each input that is read and that nothing holds.
fn put_pull_ups(assembly: &mut Assembly, supply: Leg, ohms: Ohms) {
    let port = &assembly.port;
    let unheld = port.actions().into_iter().filter_map(|action| port.contact_of(action)).filter(|contact| {
        let input = port.input_of(*contact);
        input.is_some_and(|input| input.pull_up.is_none() && input.active_level() == ActiveLevel::Low)
    });
    let unheld: Vec<Leg> = unheld.map(Leg::port).collect();
    let taken = assembly.lead.parts.iter().filter(|part| matches!(part.body, Body::Resistor(_))).count();
    let mut before = supply;
    for (number, line) in (1..).zip(unheld) {
        let number = number + u8::try_from(taken).unwrap_or(u8::MAX);
        let [first, second] =
            [PartId::ANODE, PartId::CATHODE].map(|leg| Leg::part(PartId::Resistor(number), leg));
        assembly.lead.joins.extend([Join::new(before, first), Join::new(second, line)]);
        assembly.lead.parts.push(resistor(number, ohms));
        before = first;
    }
}

fn resistor(number: u8, ohms: Ohms) -> Part {
    let tolerance = Resistor::COMMON_TOLERANCE;
    Part { number, body: Body::Resistor(Resistor { ohms, tolerance }), sits: EndId::Port }
}

/// The parts that may mend what is wrong with a lead of wire; none if something is that no part mends.
fn plans(problem: &Problem, findings: &[Finding], supply: Option<Leg>) -> Vec<Plan> {
    let wrong: BTreeSet<Code> =
        findings.iter().filter(|finding| is_wrong(finding)).map(|it| it.code).collect();
    let is_floating = wrong.contains(&Code::ReadFloating);
    let ghosts = wrong.contains(&Code::ReadGhost);
    if wrong.is_empty() || !wrong.iter().all(|code| is_mendable(*code)) || (is_floating && supply.is_none()) {
        return Vec::new();
    }
    let pull_up = is_floating.then(|| problem.pull_up());
    let bare = Plan { diodes: None, resistor: None, pull_up };
    if !ghosts {
        return vec![bare];
    }
    let lines = if problem.shared().is_empty() { vec![Lines::All] } else { vec![Lines::Shared, Lines::All] };
    let with = |lines: Lines| DiodePart::ALL.map(|diode| Plan { diodes: Some((lines, diode)), ..bare });
    let is_there = |plan: &Plan| plan.diodes.is_none_or(|(_, diode)| problem.has(&Body::Diode(diode)));
    lines.into_iter().flat_map(with).filter(is_there).collect()
}

/// Whether a part may mend what a code says.
fn is_mendable(code: Code) -> bool {
    matches!(code, Code::ReadGhost | Code::ReadFloating | Code::ReadUnproved) || is_limit(code)
}

/// Whether a finding keeps a lead from being sound.
pub(crate) fn is_wrong(finding: &Finding) -> bool {
    finding.severity >= Severity::Fail || finding.is_open()
}

/// Whether a code says that a contact's limit is passed, or may be.
fn is_limit(code: Code) -> bool {
    matches!(code, Code::DriveOverload | Code::PowerOverload | Code::DriveUnproved)
}

/// Whether something is wrong, and nothing but limits.
fn limits_alone(findings: &[Finding]) -> bool {
    let mut wrong = findings.iter().filter(|finding| is_wrong(finding)).peekable();
    wrong.peek().is_some() && wrong.all(|finding| is_limit(finding.code))
}

/// The better lead first: its verdict, then its parts, then its joints.
pub(crate) fn rank(Judged { assembly, judgement }: &Judged) -> (Verdict, usize, usize) {
    let lead = &assembly.lead;
    (judgement.verdict, lead.parts.len(), lead.joins.len())
}

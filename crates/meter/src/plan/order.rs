//! The order of a plan: what is dangerous first, then with little movement of the probes.

use solderside_trade::Side;

use crate::bench::{Bench, Spot};
use crate::cover::Set;
use crate::reading::Range;

use super::{Danger, Probing};

/// For each chosen column those that may stand in its place, itself among them: they cover all that it covers. One that is
/// taken in any case is replaced by none.
pub(super) fn choices(rows: &[Set], columns: usize, chosen: &[usize], taken: &[usize]) -> Vec<Vec<usize>> {
    let mut covered = vec![Set::below(rows.len()); columns];
    for (at, row) in rows.iter().enumerate() {
        for column in row.iter() {
            covered[column].insert(at);
        }
    }
    let stand_in = |column: &usize| {
        if taken.contains(column) {
            return vec![*column];
        }
        (0..columns).filter(|other| covered[*column].is_within(&covered[*other])).collect()
    };
    chosen.iter().map(stand_in).collect()
}

/// Puts measurements in order, each taken from its choices: always the one next that moves the probes least.
pub(super) fn ordered(
    bench: &Bench<'_>,
    probings: &[Probing],
    choices: Vec<Vec<usize>>,
    danger: impl Fn(&Probing) -> Danger,
) -> Vec<Probing> {
    let mut open: Vec<(Danger, Vec<Probing>)> = choices
        .into_iter()
        .filter_map(|choices| {
            let choices: Vec<Probing> =
                choices.into_iter().filter_map(|at| probings.get(at).copied()).collect();
            let worst = choices.iter().map(&danger).min()?;
            Some((worst, choices))
        })
        .collect();
    let mut ordered: Vec<Probing> = Vec::new();
    let mut at: Option<[Spot; 2]> = None;
    while !open.is_empty() {
        let class = open.iter().map(|(danger, _)| *danger).min();
        let moves = open.iter().enumerate().filter(|(_, (danger, _))| Some(*danger) == class);
        let ways = moves.flat_map(|(place, (_, choices))| {
            choices.iter().flat_map(move |probing| ways(probing).map(move |way| (place, way)))
        });
        let way =
            ways.min_by(|(_, one), (_, other)| effort(bench, at, *one).total_cmp(&effort(bench, at, *other)));
        let Some((place, probing)) = way else { break };
        at = Some([probing.red, probing.black]);
        ordered.push(probing);
        open.remove(place);
    }
    ordered
}

/// The ways to hold the probes: either way round on the ohms range.
fn ways(probing: &Probing) -> impl Iterator<Item = Probing> {
    let turned = Probing { red: probing.black, black: probing.red, ..*probing };
    let other = (probing.range == Range::Ohms).then_some(turned);
    std::iter::once(*probing).chain(other)
}

/// How far the probes move from where they are: a probe that stays costs nothing, one that is lifted as much as going
/// twenty contacts along, and the other end as much again. (Judgement.)
fn effort(bench: &Bench<'_>, from: Option<[Spot; 2]>, to: Probing) -> f64 {
    let Some(from) = from else { return 0.0 };
    from.into_iter().zip([to.red, to.black]).map(|(from, to)| reach(bench, from, to)).sum()
}

fn reach(bench: &Bench<'_>, from: Spot, to: Spot) -> f64 {
    const LIFT: f64 = 20.0;
    if from == to {
        return 0.0;
    }
    let [one, other] = [from, to].map(|spot| bench.spots()[spot]);
    if one.end != other.end {
        return 2.0 * LIFT;
    }
    let connector = bench.assembly().lead.end(one.end).map(|end| end.connector);
    let along = connector.and_then(|connector| {
        let [a, b] = [one, other].map(|leg| connector.place(leg.contact, Side::Mating));
        let (a, b) = a.zip(b)?;
        let [x, y] = [a.x - b.x, a.y - b.y].map(|way| way.get() / connector.family.pitch().value.get());
        Some(libm::hypot(x, y))
    });
    LIFT + along.unwrap_or(LIFT / 2.0)
}

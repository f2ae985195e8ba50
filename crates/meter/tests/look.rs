mod shelf;
use solderside_meter::*;
#[test]
fn look() {
    let straight =
        |contacts: &str| contacts.split(' ').map(|at| format!("{at}-{at}")).collect::<Vec<_>>().join(" ");
    let all = [
        shelf::stick_to_plover(),
        shelf::lead("whimbrel-stick", "whimbrel", &straight("1 2 3 4 5 6 7 8 9 10 11 12 13 14 15")),
        shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]),
    ];
    for a in &all {
        let bench = Bench::new(a);
        let n = universe(&bench).len();
        let t = std::time::Instant::now();
        let plan = Plan::of(&bench);
        let t_plan = t.elapsed();
        let t = std::time::Instant::now();
        let d = plan.doubles(&bench);
        let t_doubles = t.elapsed();
        let t = std::time::Instant::now();
        let mut case = Case::new(&bench, &Weights::shipped());
        let t_new = t.elapsed();
        let t = std::time::Instant::now();
        let ev = plan
            .steps
            .iter()
            .take(20)
            .enumerate()
            .map(|(i, s)| {
                let v = if i == 19 {
                    1000.0
                } else if s.good.is_open() {
                    f64::INFINITY
                } else {
                    s.good.low()
                };
                Evidence { text: String::new(), clues: vec![Clue::Reading(s.measurement.clone(), v)] }
            })
            .collect();
        case.take(ev).unwrap();
        let t_take = t.elapsed();
        let t = std::time::Instant::now();
        let next = case.next_test().unwrap();
        let t_next = t.elapsed();
        let t = std::time::Instant::now();
        let ex = case.explanations().unwrap();
        let t_ex = t.elapsed();
        println!(
            "{} faults {n} {d:?} steps {} plan {t_plan:?} doubles {t_doubles:?} new {t_new:?} take {t_take:?} next {t_next:?} ex {t_ex:?} {:?} {}",
            a.lead.title,
            plan.steps.len(),
            next.map(|t| (t.kind, t.bits)),
            ex.len()
        );
    }
}

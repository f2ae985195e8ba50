mod shelf;
use solderside_meter::*;
#[test]
fn look() {
    let a = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let bench = Bench::new(&a);
    let mut case = Case::new(&bench, &Weights::shipped());
    for s in ["up does nothing", "down works", "left works"] {
        case.take(vec![Evidence::parse(s, &bench).unwrap()]).unwrap();
        println!("after {s}");
        for e in case.explanations().unwrap().iter().take(8) { println!("  {:.3} {}", e.share, e.either.iter().take(3).map(|l| l.iter().map(|f| f.told(&bench)).collect::<Vec<_>>().join(" AND ")).collect::<Vec<_>>().join(" | ")); }
    }
}

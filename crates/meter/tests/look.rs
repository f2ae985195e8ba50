mod shelf;
use solderside_meter::*;
#[test]
fn look() {
    let a = shelf::written("heron-stick-to-bittern", &["heron-stick", "bittern"]);
    let bench = Bench::new(&a);
    let faults = universe(&bench);
    let dead = faults.iter().find(|f| f.told(&bench).contains("contact 1")).unwrap();
    println!("{}", dead.told(&bench));
    for c in a.joined_controls() {
        let s = [c.clone()].into_iter().collect();
        println!("{c} good {:?}\n   dead {:?}", bench.deeds(&[], &s).unwrap().iter().filter(|(_,v)| **v != Some(false)).collect::<Vec<_>>(), bench.deeds(std::slice::from_ref(dead), &s).unwrap().iter().filter(|(_,v)| **v != Some(false)).collect::<Vec<_>>());
    }
}

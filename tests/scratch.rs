use crate::bodies::*;
#[test]
fn scratch() {
    let w = women().into_iter().find(|w| w.row == 930).unwrap();
    let t = w.order_of(Length::Ankle);
    for p in t.pieces() { for n in &p.notches { println!("{} {} {:?} {:?} {}", p.name, n.meets, n.sewn_at, n.nick, p.cut.distance_mm(n.nick[0])); }
    println!("{:?}", p.edge("side").unwrap().cut.iter().filter(|q| (q.y - p.notches[0].sewn_at.y).abs() < 60.0).collect::<Vec<_>>()); 
    println!("{:?}", p.edge("side").unwrap().sewn.corners().iter().filter(|q| (q.y - p.notches[0].sewn_at.y).abs() < 60.0).collect::<Vec<_>>()); }
    println!("{}", t.text());
}

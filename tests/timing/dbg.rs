#[path = "../tables/synthetic.rs"]
mod synthetic;
use chalklight::calibrate::*;
use synthetic::*;
fn main() {
    let mut chance = Chance(61);
    for _ in 0..3 {
        let projector = Projector::draw(&mut chance, 0.0);
        let manner = Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(6) };
        let mut readings = read(&projector, manner, &mut chance);
        if let chalklight::table::Kind::Distance { distance_mm, .. } = &mut readings.readings[2].kind {
            *distance_mm += 40.0;
        }
        println!("{:?}", readings.readings.iter().map(|r| (r.name(), r.kind.clone())).collect::<Vec<_>>());
        let net = network::Network::of(&readings);
                 let s = start::first_map(&readings, &net).unwrap();
                 let hy = slips::explore(&net, &hypotheses::LENS_MODELS, &s);
                 let w = hypotheses::weights(&hy);
                 for (h, w) in hy.iter().zip(&w) { println!("   {:?} {:?} {:.4} ev {:.2} k1 {:.3} c {:.3} {:.3} sd {:.3} {:.3} chi {:.1} {:.1} det {:.1}", h.model, h.left_out, w, h.log_evidence, h.fit.unknowns[8], h.fit.unknowns[10], h.fit.unknowns[11], h.fit.covariance[(8,8)].sqrt(), h.fit.covariance[(10,10)].sqrt(), h.fit.chi2, h.fit.prior_chi2, h.fit.log_det) }
    }
}

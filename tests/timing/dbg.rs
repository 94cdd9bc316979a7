#[path = "../tables/synthetic.rs"]
mod synthetic;
use chalklight::calibrate::*;
use synthetic::*;
fn main() {
    for (seed, manner) in [(4u64, Manner { columns: 5, rows: 3, sigma_mm: 1.0, distances: None }), (3, Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: None }), (10, Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(20) })] {
    let mut chance = Chance(seed);
    for i in 0..200 {
        let projector = Projector::blind(&mut chance);
        let readings = read(&projector, manner, &mut chance);
        let net = network::Network::of(&readings);
        match calibrate(&readings) {
            Ok(s) => { let f = s.value.fit.unwrap(); if f.bound95.largest_mm > 12.0 {println!("{i} k1 {:.3} k2 {:.3} c {:.2?} bound {:.2?} {} {:?}", projector.k1, projector.k2, projector.centre, f.bound95, f.model, f.suspects.iter().map(|s| s.reading.clone()).collect::<Vec<_>>());
                 let s = start::first_map(&readings, &net).unwrap();
                 let hy = slips::explore(&net, &hypotheses::LENS_MODELS, &s);
                 let w = hypotheses::weights(&hy);
                 for (h, w) in hy.iter().zip(&w) { println!("   {:?} {:?} {:.4} k1 {:.3} c {:.3} {:.3} sd {:.3} {:.3} chi {:.1} det {:.1}", h.model, h.left_out, w, h.fit.unknowns[8], h.fit.unknowns[10], h.fit.unknowns[11], h.fit.covariance[(8,8)].sqrt(), h.fit.covariance[(10,10)].sqrt(), h.fit.chi2, h.fit.log_det) }
                 println!("   cov {:?}", f.spread.covariance.diagonal().map(|v| v.sqrt()).transpose());
             } }
            Err(e) => {println!("{i} {e} {:?}", projector); 
                 let s = start::first_map(&readings, &net).unwrap();
                 println!("   start {:?}", s.transpose());
                 let hy = slips::explore(&net, &hypotheses::LENS_MODELS, &s);
                 let w = hypotheses::weights(&hy);
                 for (h, w) in hy.iter().zip(&w) { println!("   {:?} {:?} {:.4} k1 {:.3} c {:.3} {:.3} sd {:.3} {:.3} chi {:.1} det {:.1}", h.model, h.left_out, w, h.fit.unknowns[8], h.fit.unknowns[10], h.fit.unknowns[11], h.fit.covariance[(8,8)].sqrt(), h.fit.covariance[(10,10)].sqrt(), h.fit.chi2, h.fit.log_det) }
}
        }
    }
    }
}

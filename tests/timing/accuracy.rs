//! How good a calibration is, on tables whose truth is known: prints the README's accuracy table.
//!
//! `cargo bench --bench accuracy` draws 1,000 tables a class; `-- 200` draws fewer.

#[path = "../tables/synthetic.rs"]
mod synthetic;

use chalklight::calibrate::{Readings, calibrate};
use chalklight::geometry::{Pixel, Point};
use chalklight::table::sight::{CENTRE, Frame, K1, K2, MAP_UNKNOWNS, sight};
use chalklight::table::{KeptTable, Lens, Table};
use nalgebra::SMatrix;
use synthetic::{Chance, Manner, Projector, probes, read, truth};

const CLASSES: [(&str, Manner); 11] = [
    ("3x3 places, 0.5 mm", Manner { columns: 3, rows: 3, sigma_mm: 0.5, distances: None }),
    ("5x3 places, 0.3 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.3, distances: None }),
    ("5x3 places, 0.5 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: None }),
    ("5x3 places, 1 mm", Manner { columns: 5, rows: 3, sigma_mm: 1.0, distances: None }),
    ("7x5 places, 0.5 mm", Manner { columns: 7, rows: 5, sigma_mm: 0.5, distances: None }),
    ("9x6 places, 0.5 mm", Manner { columns: 9, rows: 6, sigma_mm: 0.5, distances: None }),
    ("5x3, 6 distances, 0.5 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(6) }),
    ("5x3, 12 distances, 0.5 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(12) }),
    ("5x3, 16 distances, 0.5 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(16) }),
    ("5x3, 20 distances, 0.5 mm", Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances: Some(20) }),
    ("5x3, 20 distances, 1 mm", Manner { columns: 5, rows: 3, sigma_mm: 1.0, distances: Some(20) }),
];

#[derive(Default)]
struct Tally {
    square: f64,
    largest: f64,
    limit_square: f64,
    covered: usize,
    probes: usize,
    bound: f64,
    accused: usize,
    failed: usize,
    seconds: f64,
    draws: usize,
}

fn main() {
    let draws = std::env::args().skip(1).find_map(|a| a.parse().ok()).unwrap_or(1000);
    println!("| readings | rms mm | limit mm | ratio | largest mm | in the bound | bound mm | accused | failed | ms |");
    println!("|---|---|---|---|---|---|---|---|---|---|");
    let only = std::env::args().skip(1).find(|a| a.contains("distances") || a.contains("places"));
    for (i, (name, manner)) in CLASSES.iter().enumerate() {
        if only.as_ref().is_some_and(|only| !name.contains(only.as_str())) {
            continue;
        }
        let mut tally = Tally::default();
        let mut chance = Chance(1 + i as u64);
        for _ in 0..draws {
            let projector = Projector::blind(&mut chance);
            let readings = read(&projector, *manner, &mut chance);
            tally.add(&projector, &readings);
        }
        tally.print(name);
    }
}

impl Tally {
    fn add(&mut self, projector: &Projector, readings: &Readings) {
        let began = std::time::Instant::now();
        let solved = calibrate(readings);
        self.seconds += began.elapsed().as_secs_f64();
        self.draws += 1;
        let Ok(solved) = solved else {
            self.failed += 1;
            return;
        };
        let kept = solved.value;
        let fit = kept.fit.as_ref().expect("a fit");
        self.accused += usize::from(!fit.suspects.is_empty());
        self.bound += fit.bound95.largest_mm;
        self.limit_square += limit_square(projector, readings);
        let probes = probes(projector.picture_px);
        for px in &probes {
            let off = (kept.table.mm_from_px(*px).expect("a point") - truth(projector, readings, *px)).length();
            self.square += off * off / probes.len() as f64;
            self.largest = self.largest.max(off);
            self.covered += usize::from(off <= bound(&kept, *px));
            self.probes += 1;
        }
    }

    fn print(&self, name: &str) {
        let solved = (self.draws - self.failed) as f64;
        let (rms, limit) = ((self.square / solved).sqrt(), (self.limit_square / solved).sqrt());
        println!(
            "| {name} | {rms:.3} | {limit:.3} | {:.3} | {:.2} | {:.1} % | {:.2} | {:.1} % | {} | {:.2} |",
            rms / limit,
            self.largest,
            100.0 * self.covered as f64 / self.probes as f64,
            self.bound / solved,
            100.0 * self.accused as f64 / solved,
            self.failed,
            1000.0 * self.seconds / self.draws as f64,
        );
    }
}

fn bound(kept: &KeptTable, px: Point<Pixel>) -> f64 {
    kept.fit.as_ref().and_then(|fit| fit.spread.bound95_mm(&kept.table, px)).expect("a bound")
}

/// The Cramer-Rao limit of the full model with its priors, at the truth: mean square error over the probes.
fn limit_square(projector: &Projector, readings: &Readings) -> f64 {
    use chalklight::calibrate::network::Network;
    let network = Network::of(readings);
    let frame = Frame::of(projector.picture_px);
    // The truth's unknowns, by fitting the model to a dense grid of true points: it is the same model, so nothing is left.
    let unknowns = {
        let mut exact = readings.clone();
        exact.grid = chalklight::calibrate::Grid::even(projector.picture_px, 9, 7, 0.0);
        exact.sigma_mm = 1e-3;
        exact.readings = exact
            .grid
            .marks
            .iter()
            .map(|(mark, px)| chalklight::table::Reading {
                kind: chalklight::table::Kind::Place { mark: *mark, at_mm: truth(projector, readings, *px) },
                height_mm: 0.0,
            })
            .collect();
        exact.lens.known = Some([projector.k1, projector.k2]);
        let s = f64::from(projector.picture_px[0]).hypot(f64::from(projector.picture_px[1])) / 2.0;
        let middle = projector.picture_px.map(|v| f64::from(v) / 2.0);
        exact.lens.centre_px =
            Some(Point::new(middle[0] + s * projector.centre[0], middle[1] + s * projector.centre[1]));
        let network = Network::of(&exact);
        let start = chalklight::calibrate::start::first_map(&exact, &network).expect("a start");
        let table = Table {
            picture_px: projector.picture_px,
            homography: frame.homography(&start).expect("a homography"),
            lens: Lens { k1: projector.k1, k2: projector.k2, centre_px: exact.lens.centre_px.expect("a centre") },
            stand: None,
        };
        frame.unknowns(&table).expect("unknowns")
    };
    type Square = SMatrix<f64, MAP_UNKNOWNS, MAP_UNKNOWNS>;
    let mut information = Square::zeros();
    let mut add = |rows: chalklight::calibrate::network::Rows| {
        for by in rows.by.iter().take(rows.count) {
            let by: SMatrix<f64, MAP_UNKNOWNS, 1> = by.fixed_rows::<MAP_UNKNOWNS>(0).into();
            information += by * by.transpose();
        }
    };
    network.observations.iter().for_each(|o| add(o.rows(&unknowns).expect("rows")));
    network.pins.iter().for_each(|p| add(p.rows(&unknowns).expect("rows")));
    for k in [K1, K2, CENTRE, CENTRE + 1] {
        information[(k, k)] += network.priors[k].map_or(0.0, |p| p.sd.powi(-2));
    }
    let covariance = information.try_inverse().expect("an inverse");
    let probes = probes(projector.picture_px);
    let variance = |px: &Point<Pixel>| {
        let sighted = sight(&unknowns, frame.q(*px)).expect("a sight");
        chalklight::table::bound::point_covariance(&covariance, &sighted.by).trace()
    };
    probes.iter().map(variance).sum::<f64>() / probes.len() as f64
}

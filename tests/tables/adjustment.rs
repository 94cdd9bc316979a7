//! The adjustment itself, against other adjustments.

use chalklight::calibrate::adjust::adjust;
use chalklight::calibrate::hypotheses::LensModel;
use chalklight::calibrate::network::{Network, Observation, What};
use chalklight::calibrate::readings_file;
use chalklight::calibrate::start::{first_map, homography};
use chalklight::table::sight::{Frame, UNKNOWNS, Unknowns, sight};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::{DMatrix, DVector, Dyn, Owned};
use serde_json::Value;

use super::synthetic::{Chance, Manner, Projector, read};

/// Trilateration: four points are a homography, so three known stations and three distances to the fourth are a table with
/// one reading to spare. Source: tests/oracles/trilateration.py (SciPy 1.17.1).
#[test]
fn a_point_from_three_stations_agrees_with_scipy() {
    let oracle: Value = serde_json::from_str(include_str!("../oracles/trilateration.json")).expect("the oracle's JSON");
    let number = |v: &Value| v.as_f64().expect("a number");
    let pair = |v: &Value| [number(&v[0]), number(&v[1])];
    let pixels = [[-0.8, -0.4], [0.8, -0.4], [0.8, 0.4], [-0.8, 0.4]];
    let stations: Vec<[f64; 2]> = oracle["stations"].as_array().expect("stations").iter().map(pair).collect();
    let mut observations = Vec::new();
    for (i, at_mm) in stations.iter().enumerate() {
        let what = What::Place { q: pixels[i], at_mm: *at_mm };
        observations.push(Observation { what, board_mm: 0.0, sigma_mm: 1e-2 });
        let what = What::Distance { q: [pixels[i], pixels[3]], mm: number(&oracle["distances"][i]) };
        observations.push(Observation { what, board_mm: 0.0, sigma_mm: 1.0 });
    }
    let network = Network { observations, pins: Vec::new(), hold: None, priors: [None; UNKNOWNS] };
    let near = [stations[0], stations[1], stations[2], [60.0, 800.0]];
    let map = homography(&pixels, &near).expect("a map");
    let mut start = Unknowns::zeros();
    (0..8).for_each(|i| start[i] = map[(i / 3, i % 3)] / map[(2, 2)]);
    let fit = adjust(&network, &[1.0; 6], start, &LensModel::Bare.free(&network)).expect("a fit");
    let point = sight(&fit.unknowns, pixels[3]).expect("a point");
    let expected = pair(&oracle["point"]);
    assert!((point.mm[0] - expected[0]).hypot(point.mm[1] - expected[1]) < 1e-3, "{:?}", point.mm);
    assert!((fit.chi2 - number(&oracle["sum_of_squares"])).abs() < 1e-6, "{}", fit.chi2);
    for i in 0..2 {
        for j in 0..2 {
            let ours = point.by[i].dot(&(fit.covariance * point.by[j]));
            let theirs = number(&oracle["cofactors"][i][j]);
            assert!((ours - theirs).abs() < 1e-3, "cofactor {i} {j}: {ours}, SciPy {theirs}");
        }
    }
}

/// A braced quadrilateral: four corner marks and the six distances among them, adjusted as a table and as what it is to a
/// surveyor, a free plane network of as many freedoms. Source: tests/oracles/braced.py (GTSAM 4.3.0).
#[test]
fn six_distances_are_adjusted_as_a_braced_quadrilateral() {
    let oracle: Value = serde_json::from_str(include_str!("../oracles/braced.json")).expect("the oracle's JSON");
    let number = |v: &Value| v.as_f64().expect("a number");
    let distances = oracle["distances"].as_array().expect("distances");
    let mut text = format!(
        "[projector]\nwidth = 1920\nheight = 1080\n[grid]\ncolumns = 5\nrows = 3\nmargin = 0.06\n[tape]\nsigma = \"{} mm\"\n",
        number(&oracle["sigma"])
    );
    for d in distances {
        let (from, to, mm) =
            (d["from"].as_str().expect("a mark"), d["to"].as_str().expect("a mark"), number(&d["read"]));
        text += &format!("[[reading]]\nfrom = \"{from}\"\nto = \"{to}\"\ndistance = \"{mm} mm\"\n");
    }
    let readings = readings_file::read(&text).expect("readings").value;
    assert_eq!(readings.noise_mm(), readings.sigma_mm, "distances to the hundredth are as good as not rounded");
    let network = Network::of(&readings);
    let start = first_map(&readings, &network).expect("a start");
    let fit = adjust(&network, &[1.0; 6], start, &LensModel::Bare.free(&network)).expect("a fit");
    assert!((fit.chi2 - number(&oracle["chi2"])).abs() < 1e-6, "{} and {}", fit.chi2, oracle["chi2"]);
    let frame = Frame::of(readings.picture_px);
    for d in distances {
        let sighted = |name: &Value| {
            let mark = name.as_str().expect("a mark").parse().expect("a mark");
            sight(&fit.unknowns, frame.q(readings.grid.px(mark).expect("its pixel"))).expect("a point")
        };
        let (a, b) = (sighted(&d["from"]), sighted(&d["to"]));
        let across = [b.mm[0] - a.mm[0], b.mm[1] - a.mm[1]];
        let adjusted_mm = across[0].hypot(across[1]);
        assert!((adjusted_mm - number(&d["adjusted"])).abs() < 1e-4, "{d}: {adjusted_mm}");
        let by = ((b.by[0] - a.by[0]) * across[0] + (b.by[1] - a.by[1]) * across[1]) / adjusted_mm;
        let sd_mm = by.dot(&(fit.covariance * by)).sqrt();
        assert!((sd_mm - number(&d["sd"])).abs() < 1e-4, "{d}: {sd_mm}");
    }
}

/// The same network for the `levenberg-marquardt` crate, which is MINPACK's algorithm to the last bit.
struct Peer<'a> {
    network: &'a Network,
    free: Vec<usize>,
    unknowns: Unknowns,
}

impl Peer<'_> {
    fn rows(&self) -> Option<(Vec<f64>, Vec<Unknowns>)> {
        let (mut off, mut by) = (Vec::new(), Vec::new());
        let observed = self.network.observations.iter().map(|o| o.rows(&self.unknowns));
        for rows in observed.chain(self.network.pins.iter().map(|p| p.rows(&self.unknowns))) {
            let rows = rows?;
            off.extend(&rows.off[..rows.count]);
            by.extend(&rows.by[..rows.count]);
        }
        for k in &self.free {
            if let Some(prior) = self.network.priors[*k] {
                off.push((self.unknowns[*k] - prior.mean) / prior.sd);
                let mut row = Unknowns::zeros();
                row[*k] = 1.0 / prior.sd;
                by.push(row);
            }
        }
        Some((off, by))
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Peer<'_> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, x: &DVector<f64>) {
        self.free.iter().zip(x.iter()).for_each(|(k, v)| self.unknowns[*k] = *v);
    }

    fn params(&self) -> DVector<f64> {
        DVector::from_iterator(self.free.len(), self.free.iter().map(|k| self.unknowns[*k]))
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        self.rows().map(|(off, _)| DVector::from_vec(off))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let (_, by) = self.rows()?;
        Some(DMatrix::from_fn(by.len(), self.free.len(), |i, j| by[i][self.free[j]]))
    }
}

#[test]
fn minpack_finds_nothing_better() {
    let mut chance = Chance(91);
    for i in 0..12 {
        let projector = Projector::blind(&mut chance);
        let distances = if i % 2 == 0 { None } else { Some(14) };
        let readings = read(&projector, Manner { columns: 5, rows: 3, sigma_mm: 0.5, distances }, &mut chance);
        let network = Network::of(&readings);
        let start = first_map(&readings, &network).expect("a start");
        for model in [LensModel::Bare, LensModel::One, LensModel::Full] {
            let free = model.free(&network);
            let weights = vec![1.0; network.observations.len()];
            let ours = adjust(&network, &weights, start, &free).expect("a fit");
            let peer = Peer { network: &network, free, unknowns: ours.unknowns };
            let (peer, report) = LevenbergMarquardt::new().minimize(peer);
            assert!(report.termination.was_successful());
            let theirs = 2.0 * report.objective_function;
            assert!(ours.total() - theirs < 1e-6 * theirs.max(1.0), "{i} {model:?}: {} and {theirs}", ours.total());
            drop(peer);
        }
    }
}

/// What the average loses: the table against each hypothesis's weighted mean, when one hypothesis holds nearly all weight.
#[test]
fn a_lone_hypothesis_is_its_own_average() {
    let mut chance = Chance(92);
    let projector = Projector::draw(&mut chance, 0.05);
    let manner = Manner { columns: 9, rows: 6, sigma_mm: 0.3, distances: None };
    let mut readings = read(&projector, manner, &mut chance);
    readings.lens.known = Some([0.05, 0.0]);
    let network = Network::of(&readings);
    let start = first_map(&readings, &network).expect("a start");
    let weights = vec![1.0; network.observations.len()];
    let lone = adjust(&network, &weights, start, &LensModel::Bare.free(&network)).expect("a fit");
    let table = chalklight::calibrate::calibrate(&readings).expect("a table").value.table;
    let frame = chalklight::table::sight::Frame::of(readings.picture_px);
    for px in super::synthetic::probes(readings.picture_px) {
        let one = sight(&lone.unknowns, frame.q(px)).expect("a point").mm;
        let kept = table.mm_from_px(px).expect("a point");
        assert!((kept.x - one[0]).hypot(kept.y - one[1]) < 1e-3, "at {px:?}");
    }
}

//! Reference pictures of everything that is thrown: each stage of the demo, each kind of line with its label, the proof,
//! the register crosses, and the lit shape.

use super::golden::compare;
use super::tables::Hang;
use super::thrower;
use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::geometry::{Outline, Point};
use chalklight::lay::{Wanted, lay};
use chalklight::order::read;
use chalklight::scene::{Marks, Room, Scene, Side, View, Way, compose, cross, proof_on};
use chalklight::stages::reach::Window;
use chalklight::stages::{Line, LineKind, Stage, Takes, stages};
use chalklight::table::Table;
use chalklight::throw::Bed;
use chalklight::units::System;

/// Half the size of a small projector's picture: lines of 1.5 mm are a pixel wide, and sentences can be read.
const FAR: Hang =
    Hang { picture_px: [800, 450], tilt_deg: [12.0, -5.0], roll_deg: 1.0, k1: -0.03, k2: 0.004, px_per_mm: 0.64 };
/// Near enough to see the forms: 1.6 px a mm over 400 x 225 mm.
const NEAR: Hang = Hang { picture_px: [640, 360], ..FAR };

fn kept(name: &str, scene: &Scene, view: &View, table: &Table) {
    let thrower = thrower().lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let projection = thrower.load(scene, Bed { table, stack_mm: 0.0 }).expect("a scene");
    compare(name, &thrower.picture(&projection, &view.cloth_room().pose()).expect("a picture"));
}

fn view(table: &Table, way: Way) -> View {
    let room = Room::in_lit_area(table.lit_corners_mm().expect("a lit area"));
    View::of(room, System::Metric, way)
}

#[test]
fn every_stage_of_the_demo() {
    let text = include_str!("../../src/command/demo/order.toml");
    let order = read(text).expect("an order").value;
    let pieces = finish(&draft(&order).expect("a draft").value).expect("pieces").value;
    let wanted = Wanted::of(&pieces, order.cloth.as_ref().expect("cloth"), order.system).asking(&order.lay);
    let laid = lay(&wanted).expect("a lay").value;
    let table = FAR.table();
    let view = view(&table, Way::LightOnDark);
    for (i, stage) in stages(&laid).iter().enumerate() {
        kept(&format!("stage-{}", i + 1), &compose(stage, i + 1, &view), &view, &table);
    }
}

const KINDS: [(LineKind, &str); 9] = [
    (LineKind::Cut, "cut"),
    (LineKind::CutLater, "cut later"),
    (LineKind::Sew, "sew"),
    (LineKind::Fold, "fold"),
    (LineKind::Selvedge, "selvedge"),
    (LineKind::ClothEnd, "cloth's end"),
    (LineKind::Grain, "grain"),
    (LineKind::Notch, "notch"),
    (LineKind::Level, "level"),
];

/// Every kind of line with its label, one below the other.
fn kinds() -> Stage {
    let line = |(i, (kind, label)): (usize, &(LineKind, &str))| {
        let y = 20.0 + 44.0 * i as f64;
        let to = if *kind == LineKind::Notch { Point::new(300.0, y + 8.0) } else { Point::new(640.0, y) };
        Line {
            kind: *kind,
            points: vec![Point::new(if *kind == LineKind::Notch { 300.0 } else { 20.0 }, y), to],
            label: Some((*label).into()),
        }
    };
    let corners = [(8.0, 8.0), (680.0, 8.0), (640.0, 420.0), (8.0, 420.0)];
    Stage {
        title: "kinds".into(),
        sentence: "Every kind of line.".into(),
        layers: 2,
        stack_mm: 0.0,
        lines: KINDS.iter().enumerate().map(line).collect(),
        whole: vec![Outline {
            corners: [(700.0, 20.0), (860.0, 40.0), (840.0, 400.0)].map(|(x, y)| Point::new(x, y)).to_vec(),
        }],
        shape: Outline { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec() },
        proof: false,
        takes: Takes::Nothing,
    }
}

#[test]
fn every_kind_of_line_every_way() {
    let table = NEAR.table();
    for way in Way::ALL {
        let view = view(&table, way);
        kept(&format!("kinds-{}", way.key()), &compose(&kinds(), 1, &view), &view, &table);
    }
}

#[test]
fn the_proof_and_the_crosses_from_another_side() {
    let table = NEAR.table();
    for system in [System::Metric, System::Inch] {
        let base = view(&table, Way::LightOnDark);
        let view = View { system, reads: Side::Right, light: [255, 255, 0], ..base };
        let lit = Window { low_mm: Point::origin(), high_mm: Point::new(600.0, 380.0) };
        let mut on_cloth = proof_on(lit, &view);
        for (name, x, y) in [("1", 40.0, 60.0), ("2", 560.0, 300.0)] {
            on_cloth.add(cross(Point::new(x, y), name, view.reads_cloth().right_hand(), (view.cap_mm, view.line())));
        }
        let scene = Scene { ground: view.ground(), on_cloth, on_table: Marks::default() };
        let name = if system == System::Metric { "proof-metric" } else { "proof-inch" };
        kept(name, &scene, &view, &table);
    }
}

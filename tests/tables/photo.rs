//! A photo in place of a tape: synthetic photos, drawn apart from the program with perspective, lens, blur, noise and JPEG.

use chalklight::calibrate::photo::card::{COLUMNS, HOLE_MM, Paper, RADIUS_MM, ROWS, STEP_MM};
use chalklight::calibrate::photo::{self, Thrown};
use chalklight::calibrate::{Grid, calibrate, picture};
use chalklight::geometry::{Pixel, Point, Table, Vector};
use chalklight::table::{Kind, MarkName};
use image::{DynamicImage, GrayImage, Luma};

use super::synthetic::{Chance, Projector};

/// Size of the photo, a quarter of what telephones take.
const PHOTO_PX: [u32; 2] = [2000, 1500];

/// What is seen: cards (their ring's place and their turn in radians) and the thrown grid.
struct View {
    projector: Projector,
    thrown: Thrown,
    cards: Vec<([f64; 2], f64)>,
    camera: Projector,
}

impl View {
    /// A projector above a table, a card between the four outermost dots of each corner, a hand-held camera above.
    fn draw(chance: &mut Chance, cards: usize, camera_k1: f64) -> Self {
        let (projector, thrown, cells) = loop {
            let projector = Projector::draw(chance, 0.0);
            let grid = Grid::even(projector.picture_px, 5, 3, 0.06);
            let thrown = Thrown { picture_px: projector.picture_px, counts: [5, 3], grid };
            let cells = [[0, 0], [1, 3], [0, 3], [1, 0]].map(|[row, column]| {
                [[0, 0], [0, 1], [1, 1], [1, 0]].map(|[down, right]| {
                    let mark = MarkName::new(row + down, column + right).expect("a mark");
                    projector.mm(thrown.grid.marks[&mark])
                })
            });
            // The card, with a little room around it, fits between the dots.
            let roomy = |[a, b, c, d]: &[Point<Table>; 4]| {
                let (low, high) = (a.x.max(d.x), b.x.min(c.x));
                high - low > 330.0 && a.y.min(b.y) - c.y.max(d.y) > 250.0
            };
            if projector.picture_px == [1920, 1080] && cells.iter().all(roomy) {
                break (projector, thrown, cells);
            }
        };
        let corners = thrown.grid.corners().into_iter().map(|mark| projector.mm(thrown.grid.marks[&mark]));
        let corners: Vec<Point<Table>> = corners.collect();
        let middle = corners.iter().fold(Vector::zero(), |sum: Vector<Table>, p| sum + p.to_vector()) / 4.0;
        let half = [COLUMNS, ROWS].map(|count| STEP_MM * (count - 1) as f64 / 2.0);
        let place = |cell: &[Point<Table>; 4], chance: &mut Chance| {
            let (low, high) = (cell[0].x.max(cell[3].x), cell[1].x.min(cell[2].x));
            let (near, far) = (cell[2].y.max(cell[3].y), cell[0].y.min(cell[1].y));
            let at = [f64::midpoint(low, high) - half[0], f64::midpoint(near, far) - half[1]];
            (at, chance.between(-0.03, 0.03))
        };
        let cards = cells.iter().take(cards).map(|cell| place(cell, chance)).collect();
        let around_mm = corners.iter().map(|p| (*p - middle.to_point()).length()).fold(0.0, f64::max);
        let camera = Projector { k1: camera_k1, ..Self::camera(chance, middle, around_mm) };
        Self { projector, thrown, cards, camera }
    }

    /// A camera tilted by up to 12 degrees that sees so much around the middle.
    fn camera(chance: &mut Chance, middle: Vector<Table>, around_mm: f64) -> Projector {
        let mut camera = loop {
            let drawn = Projector::tilted(chance, 0.0);
            if drawn.picture_px == [1920, 1080] {
                break drawn;
            }
        };
        let (tilt, toward) = (chance.between(0.0, 12.0_f64.to_radians()), chance.between(0.0, std::f64::consts::TAU));
        let ahead = [tilt.sin() * toward.cos(), tilt.sin() * toward.sin(), -tilt.cos()];
        let right = [ahead[2].hypot(ahead[0]).recip() * -ahead[2], 0.0, ahead[2].hypot(ahead[0]).recip() * ahead[0]];
        let down = [
            ahead[1] * right[2] - ahead[2] * right[1],
            ahead[2] * right[0] - ahead[0] * right[2],
            ahead[0] * right[1] - ahead[1] * right[0],
        ];
        let far_mm = 1900.0;
        camera.picture_px = PHOTO_PX;
        camera.axes = [right, down, ahead];
        camera.lens_mm = [0, 1, 2].map(|i| [middle.x, middle.y, 0.0][i] - far_mm * ahead[i]);
        camera.focal_px = 0.46 * f64::from(PHOTO_PX[1]) * far_mm / (around_mm * 0.8);
        camera.principal_px = PHOTO_PX.map(|side| f64::from(side) / 2.0);
        camera
    }

    /// How much light comes back from a point of the table, seen with a blur of half a pixel.
    fn light(&self, at: Point<Table>, discs: &[Disc], px_mm: f64) -> f64 {
        let edge = |inside_mm: f64| (inside_mm / px_mm + 0.5).clamp(0.0, 1.0);
        let mut albedo = 0.42 + 0.03 * (at.x / 37.0).sin() * (at.y / 53.0).cos();
        for (ring, turn) in &self.cards {
            let (sin, cos) = turn.sin_cos();
            let off = [at.x - ring[0], at.y - ring[1]];
            let [x, y] = [cos * off[0] + sin * off[1], -sin * off[0] + cos * off[1]];
            let [w, h] = [STEP_MM * (COLUMNS - 1) as f64, STEP_MM * (ROWS - 1) as f64];
            let paper = edge((x + 34.0).min(w + 34.0 - x)).min(edge((y + 28.0).min(h + 28.0 - y)));
            albedo += paper * (0.85 - albedo);
            let [i, j] = [(x / STEP_MM).round().clamp(0.0, 6.0), (y / STEP_MM).round().clamp(0.0, 4.0)];
            let far = (x - STEP_MM * i).hypot(y - STEP_MM * j);
            let hole = if i == 0.0 && j == 0.0 { edge(HOLE_MM - far) } else { 0.0 };
            albedo += edge(RADIUS_MM - far) * (1.0 - hole) * (0.06 - albedo);
        }
        let thrown = discs.iter().map(|disc| disc.covers(at, px_mm)).fold(0.0, f64::max);
        albedo * (0.45 + 0.75 * thrown)
    }

    fn photo(&self, chance: &mut Chance) -> GrayImage {
        let discs: Vec<Disc> = self
            .thrown
            .grid
            .marks
            .iter()
            .map(|(mark, px)| Disc::of(&self.projector, *px, [mark.row(), mark.column()]))
            .collect();
        let [w, h] = PHOTO_PX;
        let px_mm = (self.camera.mm(Point::new(1001.0, 750.0)) - self.camera.mm(Point::new(1000.0, 750.0))).length();
        let linear: Vec<f64> = (0..h)
            .flat_map(|y| (0..w).map(move |x| (x, y)))
            .map(|(x, y)| self.light(self.camera.mm(Point::new(f64::from(x) + 0.5, f64::from(y) + 0.5)), &discs, px_mm))
            .collect();
        let mut photo = GrayImage::from_fn(w, h, |x, y| Luma([encoded(linear[(y * w + x) as usize])]));
        photo = imageproc::filter::gaussian_blur_f32(&photo, 0.8);
        photo
            .pixels_mut()
            .for_each(|p| p.0[0] = (f64::from(p.0[0]) + 2.0 * chance.normal()).round().clamp(0.0, 255.0) as u8);
        let mut bytes = Vec::new();
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 85);
        photo.write_with_encoder(encoder).expect("a JPEG");
        image::load_from_memory(&bytes).map(DynamicImage::into_luma8).expect("the JPEG read again")
    }

    /// Where the program's frame says that a point lies: from the nearest card's ring, along that of the first.
    fn truth(&self, mark: Point<Pixel>) -> Point<Table> {
        self.projector.mm(mark)
    }
}

/// Light as a camera writes it.
fn encoded(light: f64) -> u8 {
    (255.0 * light.clamp(0.0, 1.0).powf(1.0 / 2.2)).round() as u8
}

/// A thrown disc on the table, by the projector's derivative at its middle.
struct Disc {
    middle: Point<Table>,
    by_px: [Vector<Table>; 2],
    ring: bool,
}

impl Disc {
    fn of(projector: &Projector, px: Point<Pixel>, [row, column]: [usize; 2]) -> Self {
        let step = |x: f64, y: f64| projector.mm(Point::new(px.x + x, px.y + y));
        let by_px = [(step(1.0, 0.0) - step(-1.0, 0.0)) / 2.0, (step(0.0, 1.0) - step(0.0, -1.0)) / 2.0];
        Self { middle: projector.mm(px), by_px, ring: row == 0 && column < 2 }
    }

    fn covers(&self, at: Point<Table>, px_mm: f64) -> f64 {
        let [a, b] = self.by_px;
        let off = at - self.middle;
        let det = a.cross(b);
        let [x, y] = [off.cross(b) / det, a.cross(off) / det];
        let scale = det.abs().sqrt();
        let [outer, hole] = picture::disc_radii_px([1920, 1080]);
        let edge = |inside_px: f64| (inside_px * scale / px_mm + 0.5).clamp(0.0, 1.0);
        let far = x.hypot(y);
        edge(outer - far) * if self.ring { 1.0 - edge(hole - far) } else { 1.0 }
    }
}

/// The best slide and turn of the found on to the true places, and what is left of it.
fn left_over_mm(found: &[(Point<Table>, Point<Table>)]) -> Vec<f64> {
    let middle = |points: &[Point<Table>]| {
        points.iter().fold(Vector::<Table>::zero(), |sum, p| sum + p.to_vector()) / points.len() as f64
    };
    let (from, to): (Vec<_>, Vec<_>) = found.iter().copied().unzip();
    let (from, to) = (middle(&from), middle(&to));
    let (mut along, mut across) = (0.0, 0.0);
    for (a, b) in found {
        let (a, b) = (a.to_vector() - from, b.to_vector() - to);
        along += a.dot(b);
        across += a.cross(b);
    }
    let (sin, cos) = across.atan2(along).sin_cos();
    let turned = |v: Vector<Table>| Vector::<Table>::new(cos * v.x - sin * v.y, sin * v.x + cos * v.y);
    found.iter().map(|(a, b)| (turned(a.to_vector() - from) + to - b.to_vector()).length()).collect()
}

/// The truth is the table that the photo was drawn from.
#[test]
fn a_photo_with_a_card_in_each_corner_is_as_good_as_a_mat() {
    let mut chance = Chance(2024);
    let (mut squares, mut count, mut within) = (0.0, 0.0, 0.0);
    for camera_k1 in [0.0, -0.02, 0.02] {
        let view = View::draw(&mut chance, 4, camera_k1);
        let photo = view.photo(&mut chance);
        let read = photo::readings(&photo, &view.thrown, &Paper::default());
        let read = read.unwrap_or_else(|no| {
            photo.save(concat!(env!("CARGO_TARGET_TMPDIR"), "/photo.png")).ok();
            panic!("{no}")
        });
        let readings = read.value;
        assert_eq!(readings.readings.len(), 15, "{:?}", read.remarks);
        let pairs: Vec<(Point<Table>, Point<Table>)> = readings
            .readings
            .iter()
            .map(|reading| match reading.kind {
                Kind::Place { mark, at_mm } => (at_mm, view.truth(view.thrown.grid.marks[&mark])),
                Kind::Distance { .. } => panic!("a photo reads places"),
            })
            .collect();
        let off = left_over_mm(&pairs);
        squares += off.iter().map(|mm| mm * mm).sum::<f64>();
        count += off.len() as f64;
        within += off.iter().filter(|mm| **mm <= readings.sigma_mm).count() as f64;
        let table = calibrate(&readings).expect("a table").value;
        assert!(table.fit.expect("a fit").trusted);
    }
    let rms_mm = f64::sqrt(squares / count);
    assert!(rms_mm < 0.3, "{rms_mm} mm rms");
    assert!(within >= 0.9 * count, "{within} of {count} within what is stated");
}

/// The grid for photos as it is thrown is the one that was found: the same radii, rings and places.
#[test]
fn the_thrown_dots_are_found_in_their_own_picture() {
    let size_px = [1920, 1080];
    let grid = Grid::even(size_px, 5, 3, 0.06);
    let drawn = picture::draw_discs(size_px, &grid);
    let photo = GrayImage::from_raw(size_px[0], size_px[1], drawn.light).expect("a picture");
    let found = photo::lattice::lattices(&photo::spots::light(&photo));
    let laid = found[0].laid_as([5, 3], true, &[[0, 0], [1, 0]]).expect("the grid");
    assert_eq!(laid.len(), 15);
    for ([column, row], px) in laid {
        let mark = MarkName::new(row, column).expect("a mark");
        assert!((px - grid.marks[&mark]).length() < 0.02, "{mark}: {px:?}");
    }
}

#[test]
fn a_photo_without_cards_or_dots_is_told_what_to_do() {
    let mut chance = Chance(7);
    let mut view = View::draw(&mut chance, 1, 0.0);
    let one = photo::readings(&view.photo(&mut chance), &view.thrown, &Paper::default()).expect("one card will do");
    assert!(one.remarks.iter().any(|remark| remark.sentence.contains("one check card")), "{:?}", one.remarks);
    assert!(one.value.sigma_mm > 0.3, "one card can't be as sure as four: {} mm", one.value.sigma_mm);
    view.cards.clear();
    let bare = photo::readings(&view.photo(&mut chance), &view.thrown, &Paper::default()).expect_err("no card");
    assert!(bare.to_string().contains("no check card"), "{bare}");
    let grey = GrayImage::from_pixel(400, 300, Luma([90]));
    assert!(photo::readings(&grey, &view.thrown, &Paper::default()).is_err());
    let view = View { thrown: Thrown { counts: [4, 4], ..view.thrown.clone() }, ..View::draw(&mut chance, 1, 0.0) };
    let other = photo::readings(&view.photo(&mut chance), &view.thrown, &Paper::default()).expect_err("another grid");
    assert!(other.to_string().contains("were found in order"), "{other}");
}

/// The printed cards that the project keeps are those that the program prints.
#[test]
fn the_kept_cards_are_the_printed_ones() {
    use chalklight::calibrate::photo::card::Format;
    for (format, name) in [(Format::A4, "a4"), (Format::Letter, "letter")] {
        let path = format!("{}/calibration/cards/{name}.pdf", env!("CARGO_MANIFEST_DIR"));
        assert!(
            std::fs::read(&path).expect("a card") == chalklight::sheet::check_card(format).expect("a card"),
            "{path}"
        );
    }
}

//! Motifs where they must lie, borders kept off, stripes, and pockets on their ground: by arithmetic of the test's own.
//!
//! Figures balance on the centre front (dressmaking books of the 1920s); large motifs lie on no bust point (*Threads*, 2021);
//! both as cited in our handbook. Where a repeat runs out, a place is looked for on the open cloth alone: from the cut end
//! and from the near selvedge.

use chalklight::entries::Placed as Entry;
use chalklight::finish::Piece;
use chalklight::geometry::Point;
use chalklight::lay::proof::{Fault, faults};
use chalklight::lay::{Effort, Fold, Lay, Placed, Wanted, plan, usual};
use chalklight::nest::{Forms, Moves};
use chalklight::order::{Asked, Cloth, FoldKind, Level, Matching, Motif, Print};
use chalklight::remark::{Refusal, Told};
use chalklight::units::System;

use super::matched::{body, notched_sleeve};
use super::pieces::{Chance, piece};
use super::planned::{SHORT, cloth};
use super::unfolded::off;

/// Motifs land within this, as promised.
const LANDS_MM: f64 = 0.5;

const WAIST: Option<Level> = Some(Level::Marked("waist"));

/// A front or a back with its waist marked across it.
fn marked(name: &'static str, size: [f64; 3], waist: f64) -> Piece {
    let mut piece = body(name, size, waist);
    piece.levels = vec![("waist", [Point::new(0.0, waist), Point::new(size[2], waist)])];
    piece
}

fn wish(on_centre: bool, level: Option<Level>, matching: Matching) -> Asked {
    Asked { matching, motifs: vec![Motif { on_centre, level }], ..Asked::default() }
}

fn printed(width_mm: f64, repeat_mm: [f64; 2], motif_mm: [f64; 2]) -> Cloth {
    Cloth { repeat_mm: repeat_mm.map(Some), motif_mm: Some(motif_mm), ..cloth(width_mm) }
}

fn laid(pieces: &[Piece], cloth: &Cloth, asked: &Asked, effort: &Effort<'_>) -> Told<Lay> {
    plan(&Wanted::of(pieces, cloth, System::Metric).asking(asked), effort, &mut Forms::default())
}

/// Where a place of a piece lies on the open cloth, in the layer that lies on the table.
fn open(lay: &Lay, placed: &Placed, (x, y): (f64, f64)) -> [f64; 2] {
    let first_mm = lay.fold.lines_mm(lay.cloth.width_mm).first().copied().unwrap_or(0.0);
    let at = placed.cloth_from_draft.transform_point(Point::new(x, y));
    [at.x, first_mm + at.y]
}

/// How far a place of the open cloth is off the nearest motif: level with its row, on its column, or both.
fn off_motif_mm(cloth: &Cloth, [x, y]: [f64; 2], [level, centre]: [bool; 2]) -> f64 {
    let [along, across] = cloth.repeat_mm.map(|mm| mm.expect("a repeat"));
    let [mx, my] = cloth.motif_mm.expect("a motif");
    // A motif, and the one that a half-drop puts into the middle of four.
    let (row, column) = if cloth.half_drop { (along / 2.0, across / 2.0) } else { (along, across) };
    match [level, centre] {
        [true, true] => {
            let first = off(x - mx, along).max(off(y - my, across));
            let second = off(x - mx - along / 2.0, along).max(off(y - my - across / 2.0, across));
            if cloth.half_drop { first.min(second) } else { first }
        }
        [true, false] => off(x - mx, row),
        [false, true] => off(y - my, column),
        [false, false] => 0.0,
    }
}

#[test]
fn motifs_land_within_half_a_millimetre() {
    let mut chance = Chance(41);
    let (mut found, mut folds) = (0, std::collections::BTreeSet::new());
    for i in 0_u32..160 {
        let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
        let waist = within(300.0, 420.0);
        let (front, back) = ([within(500.0, 900.0), within(250.0, 400.0), 240.0], [within(500.0, 900.0), 300.0, 230.0]);
        let mut pieces = vec![marked("front", front, waist), marked("back", back, waist + within(-15.0, 15.0))];
        if i % 3 == 0 {
            pieces.push(notched_sleeve([within(200.0, 500.0), within(250.0, 400.0)]));
        }
        let repeat_mm = [within(40.0, 500.0), within(40.0, 300.0)];
        let motif_mm = [within(0.0, repeat_mm[0]), within(0.0, 900.0)];
        let print = if i % 5 == 0 { Print::OneWay } else { Print::AllOver };
        let cloth = Cloth { half_drop: i % 2 == 0, print, ..printed(within(1000.0, 1600.0), repeat_mm, motif_mm) };
        let (on_centre, level) = [(true, None), (false, WAIST), (true, WAIST)][(i % 3) as usize];
        let matching = [Matching::None, Matching::Along, Matching::Across, Matching::Both][(i / 3 % 4) as usize];
        let told =
            laid(&pieces, &cloth, &wish(on_centre, level, matching), &Effort { tried: 2, pace: &Moves(2), from: None });
        let Ok(lay) = told.map(|told| told.value) else { continue };
        found += 1;
        folds.insert(lay.fold.says());
        assert_eq!(faults(&lay), [], "lay {i}");
        // Where the print meets along too, the front carries the level and the back follows by its seam.
        let carries = |of: usize| level.is_some() && (of == 0 || !matching.is_along());
        for placed in lay.placed.iter().filter(|placed| placed.of < 2) {
            let at = open(&lay, placed, (0.0, pieces[placed.of].levels[0].1[0].y));
            let off_mm = off_motif_mm(&cloth, at, [carries(placed.of), on_centre]);
            assert!(off_mm <= LANDS_MM, "lay {i}, {matching:?}, {}: {off_mm}", lay.fold.says());
        }
        assert!(lay.plain_mm() <= lay.used_mm);
        let best = lay.meets.best_start;
        assert!(best.is_none_or(|best| level.is_some() && best.used_mm < lay.used_mm), "lay {i}: {best:?}");
    }
    assert!(found >= 120 && folds.len() >= 2, "{found} lays, {folds:?}");
}

/// The bust points lie midway between two rows: as far from every motif as they can.
#[test]
fn motifs_are_kept_off_the_bust_points() {
    let pieces = [marked("front", [700.0, 300.0, 240.0], 380.0), marked("back", [700.0, 300.0, 240.0], 380.0)];
    for half_drop in [false, true] {
        let cloth = Cloth { half_drop, ..printed(1300.0, [320.0, 150.0], [70.0, 325.0]) };
        let level = Some(Level::Bust { down_mm: 250.0, kept_off: true });
        let lay = laid(&pieces, &cloth, &wish(true, level, Matching::Along), &SHORT).expect("a lay").value;
        let front = lay.placed.iter().find(|placed| placed.of == 0).expect("a front");
        let row = if half_drop { 160.0 } else { 320.0 };
        let [x, y] = open(&lay, front, (0.0, 250.0));
        assert!((off(x - 70.0, row) - row / 2.0).abs() <= LANDS_MM, "{x}");
        assert!(off(y - 325.0, if half_drop { 75.0 } else { 150.0 }) <= LANDS_MM, "{y}");
        assert_eq!(lay.landed().next().expect("it lands").1[0], "front");
    }
}

/// The proof finds a piece that is moved off its motif, and not one that is moved on to the next.
#[test]
fn a_piece_off_its_motif_is_found() {
    let pieces = [marked("front", [700.0, 300.0, 240.0], 380.0), marked("back", [700.0, 300.0, 240.0], 380.0)];
    let cloth = printed(1300.0, [320.0, 150.0], [70.0, 325.0]);
    let lay = laid(&pieces, &cloth, &wish(true, WAIST, Matching::None), &SHORT).expect("a lay").value;
    let is_off = |x: f64, y: f64| {
        let mut lay = lay.clone();
        let moved = lay.placed[0].cloth_from_draft.then_translate(chalklight::geometry::Vector::new(x, y));
        lay.placed[0].cloth_from_draft = moved;
        faults(&lay).iter().any(|fault| matches!(fault, Fault::OffMotif(..)))
    };
    assert!(!is_off(0.0, 0.0) && !is_off(320.0, 0.0) && !is_off(0.0, 150.0));
    assert!(is_off(2.0, 0.0) && is_off(0.0, 2.0) && is_off(160.0, 75.0));
}

/// Lengths folded on their centre: the middle of the cloth is on a motif, and cloth at their heads brings the level to one.
#[test]
fn lengths_on_their_centre_begin_where_the_motif_wants_it() {
    let pieces = [marked("front", [1080.0, 420.0, 280.0], 400.0), marked("back", [1075.0, 410.0, 275.0], 400.0)];
    let cloth = printed(1120.0, [320.0, 100.0], [50.0, 60.0]);
    let asked = wish(true, WAIST, Matching::None);
    let on = |cloth: &Cloth, asked: &Asked| {
        usual(&Wanted::of(&pieces, cloth, System::Metric).asking(asked), &Effort::FIRST, &mut Forms::default())
    };
    let fold = Some(Entry { value: FoldKind::Lengths, line: 9 });
    let lay = on(&cloth, &Asked { fold, ..asked.clone() }).expect("a lay").value;
    assert_eq!((lay.fold, lay.lengths), (Fold::LengthsOnTheirCentre, 2));
    let check = |lay: &Lay| {
        for (i, placed) in lay.placed.iter().enumerate() {
            let [x, y] = open(lay, placed, (0.0, 400.0));
            let x = x + lay.length_mm * i as f64;
            assert!(off_motif_mm(&cloth, [x, y], [true; 2]) <= LANDS_MM, "{x} {y}");
            assert!(placed.cut().bounds().0.x >= 0.0 && placed.cut().bounds().1.x <= lay.length_mm);
        }
    };
    check(&lay);
    // The waist lies 400 mm below the head; a motif at 50, 370, 690 ...: 290 mm of cloth at the head, and 290 + 1080 in repeats.
    assert!((lay.head_mm - 290.0).abs() < 1e-9 && (lay.length_mm - 5.0 * 320.0).abs() < 1e-9, "{}", lay.length_mm);
    let best = lay.meets.best_start.expect("a best start");
    assert!((best.used_mm - 2.0 * 4.0 * 320.0).abs() < 1e-9 && (best.motif_mm - 80.0).abs() < 1e-9, "{best:?}");
    // As the order leaves it, moved by a whole repeat, and moved off.
    check(&lay.as_asked(&asked).expect("as it lies").value);
    let moved = |mm: f64| {
        let shifts_mm = ["front", "back"].map(|name| (name.to_owned(), Entry { value: mm, line: 9 })).into();
        lay.as_asked(&Asked { shifts_mm, ..asked.clone() })
    };
    check(&moved(320.0).expect("a whole repeat on").value);
    let no = moved(30.0).expect_err("off its motif").to_string();
    assert!(no.contains("line 9") && no.contains("30 mm off it"), "{no}");
    // The middle of this cloth lies between two motifs: it is folded where one is.
    let beside = Cloth { motif_mm: Some([50.0, 90.0]), width_mm: 1500.0, ..cloth.clone() };
    let lay = on(&beside, &asked).expect("a lay").value;
    assert!(lay.fold != Fold::LengthsOnTheirCentre && faults(&lay).is_empty(), "{:?}", lay.fold);
}

#[test]
fn what_cannot_land_is_told() {
    let pieces = [marked("front", [700.0, 300.0, 240.0], 380.0), marked("back", [700.0, 300.0, 240.0], 380.0)];
    let no = |cloth: &Cloth, asked: &Asked| -> Refusal { laid(&pieces, cloth, asked, &SHORT).expect_err("refused") };
    let good = printed(1300.0, [320.0, 150.0], [70.0, 325.0]);
    let unknown = Cloth { motif_mm: None, ..good.clone() };
    assert!(no(&unknown, &wish(true, None, Matching::None)).to_string().contains("not known where one is"));
    let stripes = Cloth { repeat_mm: [None, Some(40.0)], ..good.clone() };
    assert!(no(&stripes, &wish(false, WAIST, Matching::None)).to_string().contains("no repeat along"));
    let lay = laid(&pieces, &stripes, &wish(true, None, Matching::None), &SHORT).expect("stripes on the centre").value;
    for placed in &lay.placed {
        assert!(off(open(&lay, placed, (0.0, 0.0))[1] - 325.0, 40.0) <= LANDS_MM);
    }
    let ankle = wish(false, Some(Level::Marked("hip")), Matching::None);
    assert!(no(&good, &ankle).to_string().contains("no piece of this garment has the level"));
    let short = Cloth { length_mm: Some(750.0), ..good.clone() };
    let says = no(&short, &wish(true, WAIST, Matching::None)).to_string();
    assert!(says.contains("whose motifs lie where they must") && says.contains("more)"), "{says}");
    // One column, near the selvedge: no fold there holds a piece, and open cloth as wide as this neither.
    let aside = Cloth { repeat_mm: [Some(320.0), Some(2000.0)], motif_mm: Some([70.0, 30.0]), ..cloth(700.0) };
    let says = no(&aside, &wish(true, None, Matching::None)).to_string();
    assert!(says.contains("no lay was found on which the motifs lie"), "{says}");
}

/// Stripes: what runs through one way meets the other way alone.
#[test]
fn stripes_meet_the_way_they_can() {
    let pieces = [marked("front", [700.0, 300.0, 240.0], 380.0), marked("back", [700.0, 310.0, 240.0], 384.0)];
    for (repeat_mm, can) in [([None, Some(45.0)], Matching::Across), ([Some(45.0), None], Matching::Along)] {
        let cloth = Cloth { repeat_mm, ..cloth(1300.0) };
        let told =
            laid(&pieces, &cloth, &Asked { matching: Matching::Both, ..Asked::default() }, &SHORT).expect("a lay");
        assert_eq!((told.value.meets.way, faults(&told.value)), (can, vec![]));
        assert!(told.remarks.iter().any(|remark| remark.sentence.contains("runs through")), "{:?}", told.remarks);
        let [front, back] =
            [0, 1].map(|of| told.value.placed.iter().find(|placed| placed.of == of).expect("it is laid"));
        let [a, b] = [open(&told.value, front, (0.0, 380.0)), open(&told.value, back, (0.0, 384.0))];
        let way = usize::from(can == Matching::Across);
        assert!(off(b[way] - a[way], 45.0) <= LANDS_MM, "{a:?} {b:?}");
        let other = if can == Matching::Across { Matching::Along } else { Matching::Across };
        let no = laid(&pieces, &cloth, &Asked { matching: other, ..Asked::default() }, &SHORT).expect_err("no print");
        assert!(no.to_string().contains("nothing of it to meet"), "{no}");
    }
}

/// A patch pocket whose head is sewn along the line that is marked on its front.
fn pocketed() -> Vec<Piece> {
    let mut front = marked("front", [700.0, 330.0, 260.0], 300.0);
    front.marks.push(("pocket", [Point::new(60.0, 380.0), Point::new(220.0, 380.0)]));
    let corners = [(0.0, 0.0), (0.0, 180.0), (60.0, 180.0), (80.0, 160.0), (80.0, 0.0)];
    let mut pocket = piece("pocket", &corners, (2, true, false));
    pocket.edges[4].name = "head";
    vec![front, marked("back", [700.0, 330.0, 260.0], 303.0), pocket]
}

/// The pieces of a draft, as they are finished, say where their pockets are sewn on.
#[test]
fn the_pocket_of_a_draft_lies_on_the_print_of_its_ground() {
    let text = include_str!("../../src/command/demo/order.toml").replace("fold = \"lengths\"", "match = \"both\"");
    let text = text.replace("[garment]", "[garment]\npockets = \"patch\"").replace("length = \"3 m\"\n", "");
    let order = chalklight::order::read(&text.replace("layer = ", "repeat = [\"32 cm\", \"24 cm\"]\nlayer = "))
        .unwrap_or_else(|no| panic!("{no}"))
        .value;
    let draft = chalklight::draft::draft(&order).unwrap_or_else(|no| panic!("{no}")).value;
    let pieces = chalklight::finish::finish(&draft).unwrap_or_else(|no| panic!("{no}")).value;
    let lay = laid(&pieces, order.cloth.as_ref().expect("a cloth"), &order.lay, &Effort::FIRST).expect("a lay").value;
    assert_eq!(faults(&lay), []);
    assert!(lay.meets.names().contains(&"pocket"), "{:?}", lay.meets.names());
}

#[test]
fn pockets_lie_on_the_print_of_their_ground() {
    let pieces = pocketed();
    let mut chance = Chance(9);
    let mut folds = std::collections::BTreeSet::new();
    for i in 0_u32..60 {
        let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
        let matching = [Matching::Along, Matching::Across, Matching::Both][(i % 3) as usize];
        let cloth = Cloth {
            half_drop: i % 2 == 0,
            ..printed(within(700.0, 1500.0), [within(40.0, 400.0), within(40.0, 300.0)], [0.0; 2])
        };
        let asked = Asked { matching, ..Asked::default() };
        let lay =
            laid(&pieces, &cloth, &asked, &Effort { tried: 2, pace: &Moves(2), from: None }).expect("a lay").value;
        folds.insert(lay.fold.says());
        assert_eq!(faults(&lay), [], "lay {i}");
        assert!(lay.meets.names().contains(&"pocket"));
        let front = lay.placed.iter().find(|placed| placed.of == 0).expect("a front");
        let line_mm = lay.fold.lines_mm(lay.cloth.width_mm).first().copied().unwrap_or(0.0);
        // Every pocket on the open cloth; what is cut through two layers comes twice, mirrored at the first fold.
        let mut pockets: Vec<[f64; 2]> = Vec::new();
        for placed in lay.placed.iter().filter(|placed| placed.of == 2) {
            let at = open(&lay, placed, (0.0, 0.0));
            pockets.push(at);
            if placed.gives == 2 && at[1] < 2.0 * line_mm {
                pockets.push([at[0], 2.0 * line_mm - at[1]]);
            } else if placed.gives == 2 {
                let far_mm = lay.fold.lines_mm(lay.cloth.width_mm)[1];
                pockets.push([at[0], 2.0 * far_mm - at[1]]);
            }
        }
        assert_eq!(pockets.len(), 2, "lay {i}");
        let [along, across] = cloth.repeat_mm.map(|mm| mm.expect("a repeat"));
        let off_side = |pocket: [f64; 2], side: f64| {
            let ground = open(&lay, front, (side * 140.0, 380.0));
            let (x, y) = (pocket[0] - ground[0], pocket[1] - ground[1]);
            match matching {
                Matching::Along => off(x, along),
                Matching::Across => off(y, across),
                _ if cloth.half_drop => {
                    let second = off(x - along / 2.0, along).max(off(y - across / 2.0, across));
                    off(x, along).max(off(y, across)).min(second)
                }
                _ => off(x, along).max(off(y, across)),
            }
        };
        // One for the right and one for the left, whichever of the two is which.
        let as_they_are = off_side(pockets[0], 1.0).max(off_side(pockets[1], -1.0));
        let exchanged = off_side(pockets[0], -1.0).max(off_side(pockets[1], 1.0));
        let worst = as_they_are.min(exchanged);
        assert!(worst <= LANDS_MM, "lay {i}, {matching:?}, {}: {worst}", lay.fold.says());
    }
    assert!(folds.len() >= 2, "{folds:?}");
}

/// A border along the near selvedge is no cloth for the pieces, in whichever layer it lies.
#[test]
fn no_piece_lies_on_the_border() {
    let mut chance = Chance(5);
    let mut folds = std::collections::BTreeSet::new();
    for i in 0..60 {
        let mut within = |low: f64, high: f64| low + (high - low) * chance.share();
        let size = [within(500.0, 900.0), within(250.0, 330.0), 240.0];
        let pieces = [marked("front", size, 380.0), marked("back", size, 380.0), notched_sleeve([400.0, 300.0])];
        let border_mm = within(20.0, 250.0);
        let cloth = Cloth { border_mm, ..cloth(within(1000.0, 1600.0)) };
        let lay = laid(&pieces, &cloth, &Asked::default(), &Effort { tried: 2, pace: &Moves(2), from: None })
            .expect("a lay")
            .value;
        assert_eq!(faults(&lay), [], "lay {i}");
        folds.insert(lay.fold.says());
        let line_mm = lay.fold.lines_mm(cloth.width_mm).first().copied().unwrap_or(0.0);
        for placed in &lay.placed {
            for corner in &placed.cut().corners {
                let lower_mm = line_mm + corner.y;
                let upper_mm = line_mm - corner.y;
                assert!(lower_mm >= border_mm - 1e-6, "lay {i}");
                // The selvedge is folded over as far as the fold is from it.
                let is_under_it = placed.layers == 2 && upper_mm >= 0.0;
                assert!(!is_under_it || upper_mm >= border_mm - 1e-6, "lay {i}: {upper_mm} of {border_mm}");
            }
        }
    }
    assert!(folds.len() >= 2, "{folds:?}");
    // Lengths folded on their centre hold the border at their outer edge, as long as the pieces leave it free.
    let pieces = [marked("front", [1080.0, 420.0, 280.0], 400.0), marked("back", [1075.0, 410.0, 275.0], 400.0)];
    let fold = |border_mm: f64| {
        let cloth = Cloth { border_mm, ..cloth(1120.0) };
        let wanted = Wanted::of(&pieces, &cloth, System::Metric);
        usual(&wanted, &SHORT, &mut Forms::default()).expect("a lay").value.fold
    };
    assert_eq!(fold(130.0), Fold::LengthsOnTheirCentre);
    assert_ne!(fold(150.0), Fold::LengthsOnTheirCentre);
}

/// The words of an order: what is read, and what is refused with a sentence.
#[test]
fn prints_are_read_as_they_are_written() {
    let order = |cloth: &str, lay: &str| {
        let body = "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\n";
        let garment = "[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n";
        let text = format!("{body}{garment}[cloth]\nwidth = \"114 cm\"\nlength = \"3 m\"\n{cloth}[lay]\n{lay}");
        chalklight::order::read(&text)
    };
    let told =
        order("repeat = [\"none\", \"4 cm\"]\nmotif = [\"12 cm\", \"30 cm\"]\n", "motif = [\"centre\", \"waist\"]\n");
    let order_read = told.expect("an order").value;
    let cloth = order_read.cloth.expect("a cloth");
    assert_eq!((cloth.repeat_mm, cloth.motif_mm), ([None, Some(40.0)], Some([120.0, 300.0])));
    assert_eq!(order_read.lay.motifs, [Motif { on_centre: true, level: WAIST }]);
    for (cloth, lay, says) in [
        ("repeat = [\"none\", \"none\"]\n", "", "two lengths above nought"),
        ("repeat = [\"nine\", \"4 cm\"]\n", "", "nine"),
        ("repeat = [\"none\", \"4 cm\"]\ndrop = \"half\"\n", "", "repeats both ways"),
        ("motif = [\"12 cm\"]\n", "", "motif needs two lengths"),
        ("border = \"60 cm\"\n", "", "more than half the cloth"),
        ("", "motif = \"center\"\n", "write motif = \"centre\""),
        ("", "motif = [\"hip\", \"waist\"]\n", "at two levels"),
        ("", "motif = \"off-bust\"\n", "bust_depth"),
    ] {
        let no = order(cloth, lay).expect_err(says).to_string();
        assert!(no.contains(says) && no.contains("line "), "{cloth}{lay}{no}");
    }
    for (cloth, says) in [
        ("repeat = [\"5 m\", \"4 cm\"]\n", "longer than the cloth"),
        ("repeat = [\"5 cm\", \"2 m\"]\n", "wider than the cloth"),
        ("repeat = [\"5 cm\", \"4 cm\"]\nmotif = [\"4 m\", \"3 cm\"]\n", "is not on the cloth"),
    ] {
        let told = order(cloth, "").expect("an order");
        assert!(told.remarks.iter().any(|remark| remark.sentence.contains(says)), "{cloth}: {:?}", told.remarks);
    }
}

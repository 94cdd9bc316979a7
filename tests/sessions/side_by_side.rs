//! Pieces side by side on cloth larger than the light: whether each that fits is cut whole in one reach, whether every
//! edge is thrown, and whether crosses stand in cloth that is still there.

use super::desk::{Chance, LONG, answer, laid, table, view};
use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::geometry::{Cloth, Outline, Point};
use chalklight::lay::{Effort, Lay, Wanted, cloth_of, usual};
use chalklight::nest::Forms;
use chalklight::scene::Side;
use chalklight::session::{Change, Doing, Event, Ground, Session, Work};
use chalklight::stages::LineKind;
use chalklight::stages::reach::{Plan, Window};
use chalklight::table::TrustedTable;
use std::collections::BTreeSet;

/// No cross stands nearer to a cutting line than this: a few millimetres, and the width of a blade's slip.
const OFF_LINES_MM: f64 = 10.0;

/// What two reaches have in common at least; a piece that leaves so much of the light free is always cut whole.
const OVERLAP_MM: f64 = 150.0;

/// Garments whose pieces are laid side by side, on cloth of several widths.
pub fn lays() -> Vec<Lay> {
    let with = |kind: &str, length: &str, chosen: &str, width: &str| {
        let order = LONG.replace("a-line-dress", kind).replace("130 cm", length).replace("length = \"4 m\"\n", "");
        let order = order.replace("head = ", "upper_arm = \"29 cm\"\narm_length = \"58 cm\"\nhead = ");
        let order = order.replace("[rules]\n", &format!("{chosen}[rules]\n")).replace("114 cm", width);
        let skirt = kind.ends_with("skirt");
        let order = order.replace("[lay]\nfold = \"lengths\"\n", "");
        laid(&if skirt { without_rules(&order) } else { order })
    };
    let facing = "sleeve = \"long\"\nedges = \"facing\"\n";
    vec![
        with("a-line-dress", "104 cm", facing, "140 cm"),
        with("a-line-dress", "130 cm", "sleeve = \"short\"\npockets = \"in-seam\"\n", "150 cm"),
        with("shift-top", "62 cm", "sleeve = \"flared\"\nedges = \"bias\"\n", "114 cm"),
        with("tunic", "85 cm", "sleeve = \"three-quarter\"\npockets = \"patch\"\ntie = \"belt\"\n", "140 cm"),
        with("a-line-skirt", "70 cm", "waist = \"band\"\n", "114 cm"),
        with("circle-skirt", "60 cm", "circle = \"half\"\n", "150 cm"),
        with("tiered-skirt", "80 cm", "", "140 cm"),
    ]
}

fn without_rules(order: &str) -> String {
    let (before, after) = order.split_once("[rules]").expect("rules");
    format!("{before}{}", &after[after.find("[cloth]").expect("cloth")..])
}

fn lights(chance: &mut Chance) -> [f64; 2] {
    [500.0 + 1100.0 * chance.share(), 420.0 + 480.0 * chance.share()]
}

/// Everything that is cut, in points much finer than its corners, with its stage.
fn edges(work: &Work) -> Vec<(usize, Point<Cloth>)> {
    let stages = work.stages.iter().enumerate();
    let sides = stages.flat_map(|(stage, it)| {
        let lines = it.lines.iter().filter(|line| line.kind == LineKind::Cut);
        lines.flat_map(move |line| line.points.windows(2).map(move |side| (stage, side)))
    });
    sides.flat_map(|(stage, side)| (0..=4).map(move |i| (stage, side[0].lerp(side[1], f64::from(i) / 4.0)))).collect()
}

fn wider(window: Window, by_mm: f64) -> Window {
    let by = euclid::Vector2D::new(by_mm, by_mm);
    Window { low_mm: window.low_mm - by, high_mm: window.high_mm + by }
}

fn size_of(outline: &Outline<Cloth>) -> [f64; 2] {
    let (low, high) = outline.bounds();
    [high.x - low.x, high.y - low.y]
}

/// In which reaches a piece is cut.
fn reaches_of(plan: &Plan, piece: usize) -> Vec<usize> {
    plan.shares.iter().filter(|share| share.piece == piece).map(|share| share.reach).collect()
}

/// What must hold of every plan, but for pieces that are as large as the light; those that are cut in several reaches
/// though they just fit are counted.
fn assert_sound(work: &Work, light_mm: [f64; 2]) -> usize {
    let (lay, plan) = (&work.lay, &work.plan);
    let cuts: Vec<Outline<Cloth>> = lay.placed.iter().map(|placed| placed.cut()).collect();
    for (stage, p) in edges(work) {
        let thrown = work.steps.iter().any(|step| {
            let lit = wider(plan.reaches[step.reach].lit, 1e-6);
            step.stage == stage && !step.passing && wider(step.own, 0.02).contains(p) && lit.contains(p)
        });
        assert!(thrown, "{}: {p:?} is never thrown in {light_mm:?}", work.stages[stage].title);
    }
    let mut cut_in_two = 0;
    for (piece, cut) in cuts.iter().enumerate() {
        let size = size_of(cut);
        let several = reaches_of(plan, piece).len() > 1;
        let fits = |room_mm: f64| (0..2).all(|i| size[i] <= light_mm[i] - room_mm);
        assert!(!several || !fits(OVERLAP_MM), "the {} fits and is cut in two", lay.placed[piece].piece.name);
        cut_in_two += usize::from(several && fits(0.0));
    }
    for (i, step) in plan.moves.iter().enumerate() {
        let (here, next) = (plan.reaches[i].lit, plan.reaches[i + 1].lit);
        for cross in step.crosses {
            assert!(here.contains(cross) && next.contains(cross) && work.cloth.contains(cross), "{cross:?} is dark");
            for (piece, cut) in cuts.iter().enumerate() {
                assert!(cut.distance_mm(cross) >= OFF_LINES_MM, "{cross:?} on a cutting line");
                let gone = reaches_of(plan, piece).into_iter().all(|reach| reach <= i);
                assert!(!gone || !cut.contains(cross), "{cross:?} lies in what was taken away");
            }
        }
        assert!(step.adds_mm > 0.0 && plan.reaches[i + 1].off_by_mm >= step.adds_mm - 1e-9);
    }
    for pair in work.steps.windows(2) {
        assert!(pair[0].reach.abs_diff(pair[1].reach) <= 1, "a move without crosses: {pair:?}");
    }
    cut_in_two
}

#[test]
fn pieces_that_fit_the_light_are_cut_whole_and_crosses_outlive_the_cut() {
    let mut chance = Chance::of(11);
    let (mut planned, mut refused, mut moves, mut in_two) = (0, 0, 0, 0);
    for lay in lays() {
        for _ in 0..10 {
            let light_mm = lights(&mut chance);
            // The band for the sentence and the margin come off the light.
            let view = view(light_mm.map(|mm| mm + 200.0), Side::Front);
            let room = view.cloth_room();
            match Work::of(&lay, &view) {
                Ok(work) => {
                    planned += 1;
                    moves += work.plan.moves.len();
                    in_two += assert_sound(&work, [room.width_mm(), room.depth_mm()]);
                }
                Err(no) => {
                    assert!(no.to_string().contains("projector higher"), "{no}");
                    refused += 1;
                }
            }
        }
    }
    assert!(planned > 60 && refused < 4 && moves > 60 && in_two < 8, "{planned} {refused} {moves} {in_two}");
}

#[test]
fn a_lay_within_the_light_is_cut_in_one_reach() {
    for lay in lays() {
        let work = Work::of(&lay, &view([lay.length_mm + 100.0, lay.folded_width_mm + 200.0], Side::Front)).unwrap();
        assert_eq!((work.plan.reaches.len(), work.plan.moves.len()), (1, 0));
        assert_eq!(work.steps.len(), work.stages.len());
        assert_eq!(work.stages, chalklight::stages::stages(&lay), "as the sheet prints them");
    }
}

#[test]
fn every_piece_is_cut_out_by_going_on_through_the_session() {
    let lit = [1200.0, 800.0];
    let mut seen = BTreeSet::new();
    for lay in lays() {
        let work = Work::of(&lay, &view(lit, Side::Front)).unwrap();
        let ground = Ground::Trusted(TrustedTable::by_her_yes(table(lit)));
        let mut session = Session::begin(ground, work, view(lit, Side::Front));
        let mut left: Vec<(usize, Point<Cloth>)> = edges(session.work());
        let mut says = Vec::new();
        for _ in 0..400 {
            if session.state().doing == Doing::Cutting {
                let (pose, step) = (session.pose(), session.work().steps[session.state().step]);
                left.retain(|(stage, p)| {
                    let at = pose.table_from_cloth().transform_point(*p);
                    let lit = (0.0..=lit[0]).contains(&at.x) && (0.0..=lit[1]).contains(&at.y);
                    !(lit && *stage == step.stage && wider(step.own, 0.02).contains(*p))
                });
            }
            let words: Vec<String> = session.scene().on_table.letters.iter().map(|it| it.text.clone()).collect();
            says.push(words.join(" "));
            if says.last().is_some_and(|words| words.contains("Before the cloth is moved")) {
                let (out, half) = cut_out(session.work(), &left);
                assert_eq!(says.last().unwrap().contains("Take nothing away"), !out);
                assert_eq!(says.last().unwrap().contains("what is half cut out stays"), out && half);
                seen.insert((out, half));
            }
            if session.answer(Event::Next) == Change::Nothing {
                break;
            }
        }
        assert!(left.is_empty(), "{} of {} were never lit", left[0].1.x, session.work().stages[left[0].0].title);
        assert_eq!(session.state().step + 1, session.work().steps.len());
        let moved = !session.work().plan.moves.is_empty();
        assert_eq!(says.iter().any(|words| words.contains("Before the cloth is moved")), moved);
        assert!(says.iter().all(|words| !words.contains("push a pin straight down at each cross and chalk it on the")));
        answer(&mut session, &[Event::Back]);
    }
    assert!(seen.contains(&(true, false)) && seen.contains(&(true, true)), "{seen:?}");
}

/// So many long dresses for a bust on cloth of a width, in one lay.
fn job(dresses: usize, [bust, length, width]: [&str; 3]) -> Lay {
    let order = LONG.replace("[lay]\nfold = \"lengths\"\n", "").replace("length = \"4 m\"\n", "");
    let order = order.replace("94 cm", bust).replace("130 cm", length).replace("114 cm", width);
    let order = chalklight::order::read(&order).unwrap().value;
    let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
    let wanted = Wanted::of(&pieces, cloth_of(order.cloth.as_ref()).unwrap(), order.system);
    usual(&Wanted { garments: vec![&pieces[..]; dresses], ..wanted }, &Effort::FIRST, &mut Forms::default())
        .unwrap()
        .value
}

/// How far off a place can be (95 in 100) that was laid by moves over pairs of crosses, each chalked and met within 0.35 mm
/// along and across: the middle of two is met within s / sqrt 2, and the turn between them within s sqrt 2 over their
/// distance, with s = 0.35 sqrt 2 mm; moves add by their squares.
fn off_by_mm(moves: &[[Point<Cloth>; 2]], at: Point<Cloth>) -> f64 {
    let s2 = 2.0 * 0.35 * 0.35;
    let variance = moves.iter().map(|[a, b]| {
        let (apart, off) = ((*b - *a).length(), (at - a.lerp(*b, 0.5)).length());
        s2 / 2.0 + (off / apart).powi(2) * 2.0 * s2
    });
    1.96 * variance.sum::<f64>().sqrt()
}

/// Lines stay within a centimetre wherever a way is found, a dress or a job; and what is told of every reach is so.
#[test]
fn long_lays_are_moved_by_crosses_far_apart() {
    let dress = |length, width| ["84 cm", length, width];
    let lays = [
        (job(2, dress("104 cm", "140 cm")), 10.0),
        (job(2, dress("130 cm", "140 cm")), 10.0),
        (job(2, dress("104 cm", "150 cm")), 10.0),
        (job(3, dress("104 cm", "150 cm")), 10.0),
    ];
    for (lay, least_mm) in &lays {
        let work = Work::of(lay, &view([1600.0, 900.0], Side::Front)).unwrap();
        let moves: Vec<[Point<Cloth>; 2]> = work.plan.moves.iter().map(|step| step.crosses).collect();
        let mut worst_mm: f64 = 0.0;
        for (i, reach) in work.plan.reaches.iter().enumerate() {
            let corners = reach.own.corners();
            let off_mm = corners.iter().map(|at| off_by_mm(&moves[..i], *at)).fold(0.0, f64::max);
            assert!((off_mm - reach.off_by_mm).abs() < 1e-9, "{off_mm}, and {} are told", reach.off_by_mm);
            worst_mm = worst_mm.max(off_mm);
        }
        assert!(worst_mm <= *least_mm, "{worst_mm} in {} reaches", work.plan.reaches.len());
    }
}

/// Whether a piece is cut out all round, and whether one is cut in part, by the places of their edges not cut yet.
fn cut_out(work: &Work, left: &[(usize, Point<Cloth>)]) -> (bool, bool) {
    let count = |places: &[(usize, Point<Cloth>)], stage| places.iter().filter(|(of, _)| *of == stage).count();
    let all = edges(work);
    let stages = 0..work.stages.len();
    let (mut out, mut half) = (false, false);
    for (before, now) in stages.map(|stage| (count(&all, stage), count(left, stage))) {
        out |= before > 0 && now == 0;
        half |= now > 0 && now < before;
    }
    (out, half)
}

#[test]
fn the_light_begins_at_the_corner_of_the_cloth_and_the_end_of_a_lay_is_no_edge_of_it() {
    let mut chance = Chance::of(12);
    let (mut at_the_corner, mut all) = (0, 0);
    for lay in lays() {
        for _ in 0..6 {
            let light_mm = lights(&mut chance);
            let view = view(light_mm.map(|mm| mm + 200.0), Side::Front);
            let Ok(work) = Work::of(&lay, &view) else { continue };
            at_the_corner += usize::from(work.plan.reaches[0].lit.low_mm == Point::origin());
            all += 1;
            let of = |kind| work.stages[0].lines.iter().filter(move |line| line.kind == kind);
            let ends = if lay.fold.ends_cloth() { 0 } else { 1 };
            assert_eq!(of(LineKind::LayEnd).count(), ends);
            assert!(of(LineKind::ClothEnd).all(|line| line.points.iter().all(|p| p.x == 0.0)), "the cloth goes on");
            let edges = work.rest(0).edges;
            assert!(edges.iter().all(|line| line.kind != LineKind::LayEnd), "she can't see it on the cloth");
        }
    }
    assert!(all > 30 && at_the_corner * 20 > all * 19, "{at_the_corner} of {all}");
}

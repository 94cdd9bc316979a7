//! Longer than the light: whether the plan of reaches covers the cloth, whether every line is thrown in the reach that
//! cuts it, and whether the error that is promised is the error that comes.

use super::desk::{Chance, LIT_MM, LONG, laid, long_of, session, view};
use crate::check::inside;
use chalklight::geometry::{Cloth, Outline, Point};
use chalklight::scene::Side;
use chalklight::session::{Change, Doing, Event, Session, Work};
use chalklight::stages::LineKind;
use chalklight::stages::reach::{Plan, Window};

/// Two crosses and a hand's breadth.
const LEAST_OVERLAP_MM: f64 = 150.0;

fn area_mm2(window: &Window) -> f64 {
    window.size_mm().x * window.size_mm().y
}

fn within(inner: &Window, outer: &Window) -> bool {
    outer.contains(inner.low_mm) && outer.contains(inner.high_mm)
}

/// What must hold of every plan: own parts tile the cloth, each is lit in its reach, neighbours overlap, crosses are lit
/// from both sides.
fn assert_sound(plan: &Plan, cloth: Window, light_mm: [f64; 2]) {
    let total: f64 = plan.reaches.iter().map(|reach| area_mm2(&reach.own)).sum();
    assert!((total - area_mm2(&cloth)).abs() < 1e-3, "{total} of {}", area_mm2(&cloth));
    for (i, reach) in plan.reaches.iter().enumerate() {
        assert!(within(&reach.own, &cloth));
        let lit = reach.lit.size_mm();
        assert!(lit.x <= light_mm[0] + 1e-9 && lit.y <= light_mm[1] + 1e-9);
        let seen = reach.lit;
        let spare = Window { low_mm: seen.low_mm, high_mm: seen.high_mm + euclid::Vector2D::new(1e-6, 1e-6) };
        assert!(within(&reach.own, &spare), "{reach:?}");
        for other in &plan.reaches[i + 1..] {
            let both = reach.own.shared(&other.own).size_mm();
            assert!(both.x < 1e-6 || both.y < 1e-6, "a part is cut twice");
        }
    }
    assert_eq!(plan.moves.len() + 1, plan.reaches.len());
    for (i, step) in plan.moves.iter().enumerate() {
        let overlap = plan.reaches[i].lit.shared(&plan.reaches[i + 1].lit);
        assert!(overlap.size_mm().x >= LEAST_OVERLAP_MM - 1e-9 && overlap.size_mm().y >= LEAST_OVERLAP_MM - 1e-9);
        assert!(step.crosses.iter().all(|cross| overlap.contains(*cross) && cloth.contains(*cross)), "{step:?}");
        assert!((step.crosses[1] - step.crosses[0]).length() >= 70.0, "{step:?}");
        assert!(step.adds_mm > 0.0 && plan.reaches[i + 1].off_by_mm >= step.adds_mm - 1e-9);
    }
}

fn cloth_of(length_mm: f64, width_mm: f64) -> Window {
    Window { low_mm: Point::new(0.0, 0.0), high_mm: Point::new(length_mm, width_mm) }
}

#[test]
fn plans_are_sound_in_every_light() {
    let mut chance = Chance::of(3);
    for length in ["104 cm", "118 cm", "130 cm", "150 cm"] {
        let lay = long_of(length);
        for _ in 0..12 {
            let light = [320.0 + 1400.0 * chance.share(), 310.0 + 600.0 * chance.share()];
            let plan = Plan::of(&lay, light).unwrap();
            assert_sound(&plan, cloth_of(lay.length_mm, lay.folded_width_mm), light);
        }
    }
    assert!(Plan::of(&laid(LONG), [1200.0, 250.0]).unwrap_err().to_string().contains("hang the projector higher"));
}

#[test]
fn a_dress_within_the_light_is_cut_in_one_reach() {
    let view = view([1600.0, 900.0], Side::Front);
    let work = Work::of(&laid(LONG), &view).unwrap();
    assert_eq!((work.plan.reaches.len(), work.plan.moves.len()), (1, 0));
    assert_eq!(work.steps.len(), work.stages.len());
}

#[test]
fn the_long_dress_is_cut_in_two_reaches_with_crosses_that_stay() {
    let lay = laid(LONG);
    let work = Work::of(&lay, &view(LIT_MM, Side::Front)).unwrap();
    assert_eq!(work.plan.reaches.len(), 2);
    // Every cross lies inside every piece, so that it is there when the waste has been cut away and a layer lifted.
    for cross in work.plan.moves[0].crosses {
        for placed in &lay.placed {
            let draft_from_cloth = placed.cloth_from_draft.inverse().unwrap();
            let p = draft_from_cloth.transform_point(cross);
            assert!(inside(&placed.piece.sewn, p.x, p.y), "{cross:?} is outside of the {}", placed.piece.name);
        }
    }
    let off_by = work.plan.off_by_mm();
    assert!(off_by > 0.5 && off_by < 2.0, "{off_by}");
}

/// The corners of a stage's work, much finer than they are kept.
fn worked(work: &Work, stage: usize, kinds: &[LineKind]) -> Vec<Point<Cloth>> {
    let lines = work.stages[stage].lines.iter().filter(|line| kinds.contains(&line.kind));
    let sides = lines.flat_map(|line| line.points.windows(2));
    sides.flat_map(|side| (0..=8).map(move |i| side[0].lerp(side[1], f64::from(i) / 8.0))).collect()
}

#[test]
fn every_line_is_thrown_in_the_reach_that_cuts_it() {
    for (lit, reaches) in [(LIT_MM, 2..=2), ([700.0, 560.0], 4..=6), ([520.0, 420.0], 6..=12)] {
        let view = view(lit, Side::Front);
        let lay = laid(LONG);
        let work = Work::of(&lay, &view).unwrap();
        assert!(reaches.contains(&work.plan.reaches.len()), "{lit:?}: {}", work.plan.reaches.len());
        for pair in work.steps.windows(2) {
            assert!(pair[0].reach.abs_diff(pair[1].reach) <= 1, "a move without crosses: {pair:?}");
        }
        for stage in 0..work.stages.len() {
            let cut = worked(&work, stage, &[LineKind::Cut]);
            let marks = worked(&work, stage, &[LineKind::Notch, LineKind::Level, LineKind::Sew]);
            let here: Vec<_> = work.steps.iter().filter(|step| step.stage == stage && !step.passing).collect();
            let marking = work.stages[stage].lines.iter().any(|line| line.kind == LineKind::Notch);
            for p in cut.into_iter().chain(marks.into_iter().filter(|_| marking)) {
                let owned = here.iter().any(|step| {
                    let own = work.plan.reaches[step.reach].own;
                    let spare = euclid::Vector2D::new(0.1, 0.1);
                    Window { low_mm: own.low_mm - spare, high_mm: own.high_mm + spare }.contains(p)
                });
                assert!(owned, "stage {} has work at {p:?} in no reach", stage + 1);
            }
        }
    }
}

#[test]
fn the_long_dress_can_be_cut_from_the_first_stage_to_the_last() {
    let mut session = session(true);
    let mut thrown = vec![Vec::new(); session.work().stages.len()];
    for _ in 0..100 {
        if session.state().doing == Doing::Cutting {
            let (pose, work) = (session.pose(), session.work());
            let own = work.reach(session.state().step).own;
            let stage = session.number() - 1;
            let lines = work.stages[stage].lines.iter().filter(|line| line.kind == LineKind::Cut);
            for p in lines.flat_map(|line| &line.points).filter(|p| own.contains(**p)) {
                let at = pose.table_from_cloth().transform_point(*p);
                assert!((0.0..=LIT_MM[0]).contains(&at.x) && (0.0..=LIT_MM[1]).contains(&at.y), "{p:?} is not lit");
                thrown[stage].push(*p);
            }
        }
        if session.answer(Event::Next) == Change::Nothing {
            break;
        }
    }
    assert_eq!(session.number(), session.work().stages.len(), "the last stage is reached by going on");
    for (stage, thrown) in session.work().stages.iter().zip(&thrown) {
        let lines = stage.lines.iter().filter(|line| line.kind == LineKind::Cut);
        for p in lines.flat_map(|line| &line.points) {
            // Points on the fold are cut off the cloth by rounding alone.
            assert!(thrown.contains(p) || p.y.abs() < 0.01 || p.x < 0.01, "{}: {p:?} was never lit", stage.title);
        }
    }
}

#[test]
fn the_error_that_is_promised_is_the_error_that_comes() {
    // Hands by chance: chalking and meeting, 0.35 mm each, along each axis; 20,000 moves.
    let mut chance = Chance::of(77);
    for (lit, length) in [(LIT_MM, "130 cm"), ([900.0, 675.0], "130 cm"), ([760.0, 675.0], "150 cm")] {
        let work = Work::of(&long_of(length), &view(lit, Side::Front)).unwrap();
        for (i, step) in work.plan.moves.iter().enumerate() {
            let [a, b] = step.crosses;
            let (middle, apart) = (a.lerp(b, 0.5), b - a);
            let far = work.plan.reaches[i + 1].own.corners().into_iter();
            let far = far.max_by(|p, q| (*p - middle).length().total_cmp(&(*q - middle).length())).unwrap();
            let lever = far - middle;
            let square = euclid::Vector2D::<f64, Cloth>::new(-lever.y, lever.x).normalize();
            let mut off: Vec<f64> = (0..20_000)
                .map(|_| {
                    let mut hand = || {
                        let mut axis = || 0.35 * (chance.normal() + chance.normal());
                        euclid::Vector2D::<f64, Cloth>::new(axis(), axis())
                    };
                    let (a, b) = (hand(), hand());
                    let turned = (apart + b - a).angle_from_x_axis() - apart.angle_from_x_axis();
                    let (sin, cos) = turned.radians.sin_cos();
                    let is = euclid::Vector2D::new(lever.x * cos - lever.y * sin, lever.x * sin + lever.y * cos);
                    ((is - lever) + (a + b) / 2.0).dot(square).abs()
                })
                .collect();
            off.sort_by(f64::total_cmp);
            let simulated = off[off.len() * 95 / 100];
            assert!((simulated / step.adds_mm - 1.0).abs() < 0.03, "{simulated} promised {}", step.adds_mm);
        }
    }
}

#[test]
fn errors_of_several_moves_add_by_their_squares() {
    let work = Work::of(&long_of("150 cm"), &view([700.0, 675.0], Side::Front)).unwrap();
    assert!(work.plan.moves.len() >= 2, "{:?}", work.plan.moves);
    let last = work.plan.reaches.last().unwrap();
    let largest = work.plan.moves.last().unwrap().adds_mm;
    let offs: Vec<f64> = work.plan.reaches.iter().map(|reach| reach.off_by_mm).collect();
    assert!(offs[0] == 0.0 && offs.windows(2).all(|pair| pair[0] < pair[1]), "{offs:?}");
    assert!(last.off_by_mm > largest);
}

#[test]
fn the_way_back_uses_the_crosses_that_are_there() {
    let mut session = session(true);
    while session.reach_number() == 1 {
        session.answer(Event::Next);
    }
    let chalked = session.state().chalked.clone();
    assert_eq!(chalked, [true]);
    session.answer(Event::Back);
    assert!(matches!(session.state().doing, Doing::Aligning(_)), "met again, not chalked again");
    session.answer(Event::Confirm);
    session.answer(Event::Confirm);
    assert_eq!(session.reach_number(), 1);
    let outline: Outline<Cloth> = session.stage().shape.clone();
    assert!(outline.area_mm2() > 0.0);
}

/// What is thrown at her side.
fn words(session: &Session) -> String {
    let lines: Vec<String> = session.scene().on_table.letters.iter().map(|letters| letters.text.clone()).collect();
    lines.join(" ")
}

#[test]
fn the_words_say_where_the_cut_of_a_reach_begins_and_ends() {
    let mut session = session(true);
    let mut told = Vec::new();
    for _ in 0..60 {
        if session.state().doing == Doing::Cutting {
            told.push((session.number(), session.reach_number(), words(&session)));
        }
        session.answer(if matches!(session.state().doing, Doing::Aligning(_)) { Event::Confirm } else { Event::Next });
    }
    told.dedup();
    let at = |stage, reach| told.iter().find(|(s, r, _)| (*s, *r) == (stage, reach)).map(|(.., says)| says.as_str());
    let (first, last) = (at(3, 1).expect("the first reach"), at(3, 2).expect("the last reach"));
    assert!(first.contains("go up to the line of dots and no farther"), "{first}");
    assert!(last.contains("begin at the dots where you stopped") && !last.contains("no farther"), "{last}");
    let lifting = told.iter().find(|(.., says)| says.contains("Lift the")).map(|(.., says)| says).expect("a lift");
    assert!(lifting.find("First push a pin") < lifting.find("Lift the"), "{lifting}");
    assert!(lifting.contains("First push a pin"), "{lifting}");
}

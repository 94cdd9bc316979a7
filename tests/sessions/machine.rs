//! Ten thousand events at random: nothing panics, nothing is thrown by a table that is not trusted before a yes, the
//! cloth's place is never lost, and undo gives back the exact earlier state. A model beside the machine says what must
//! come back.

use proptest::prelude::*;

use super::desk::{PROVING_MM, answer, measured_session, measures, session};
use chalklight::geometry::{Point, Table};
use chalklight::scene::Scene;
use chalklight::session::file::{self, Belongs};
use chalklight::session::{Alignment, Change, Doing, Event, Group, Session, State, Why, trace};

const EVENTS: usize = 10_000;

/// What a thing is larger by when it is measured at random: not at all, by a raised projector, by a lowered one.
const GROWN: [f64; 3] = [1.0, 1.01, 0.992];
const RUNS: u32 = 6;

/// A failure is told in two minutes, if not at its shortest.
const MOST_SHRINKING_MS: u32 = 120_000;

/// Scenes are composed at every so manieth event.
const SCENE_EVERY: usize = 23;

fn event() -> impl Strategy<Value = Event> {
    let step = prop_oneof![8 => -3..=3_i32, 1 => -2000..=2000_i32, 1 => any::<i32>()];
    let group = prop::sample::select(Group::ALL.to_vec());
    let words = [Event::SwapLight, Event::Colour, Event::Larger, Event::Smaller, Event::Side, Event::Prove];
    prop_oneof![
        6 => Just(Event::Next),
        2 => Just(Event::Back),
        5 => Just(Event::Confirm),
        6 => (step.clone(), step.clone(), any::<bool>())
            .prop_map(|(right, away, long)| Event::Nudge { right, away, long }),
        3 => step.prop_map(Event::Turn),
        2 => Just(Event::SetPlace),
        2 => Just(Event::MovePiece),
        1 => group.prop_map(Event::Hide),
        3 => prop::sample::select(words.to_vec()),
        1 => prop::sample::select(vec![Event::Pause, Event::Help, Event::Leave, Event::Yes]),
        1 => prop::sample::select(vec![Event::Measure, Event::Rub]),
        1 => (-100.0..1400.0, -100.0..800.0).prop_map(|(x, y)| Event::Point(Point::new(x, y))),
        1 => prop::sample::select("0123456789.+/".chars().collect::<Vec<_>>()).prop_map(Event::Type),
        2 => Just(Event::Undo),
    ]
}

/// One event, or a whole proof of the table: good, larger or smaller, or with one distance far off; then a yes or none.
fn group() -> impl Strategy<Value = Vec<Event>> {
    let proof = (prop::sample::select(GROWN.to_vec()), any::<bool>(), any::<bool>()).prop_map(|(grown, bad, yes)| {
        let mut read_mm = PROVING_MM.map(|mm| mm * grown);
        read_mm[1] += if bad { 40.0 } else { 0.0 };
        let mut events = measures(read_mm);
        events.extend(yes.then_some(Event::Yes));
        events
    });
    prop_oneof![60 => event().prop_map(|event| vec![event]), 1 => proof]
}

/// What is promised, kept beside the machine in the plainest way.
struct Model {
    past: Vec<State>,
    dark: bool,
    help: bool,
}

impl Model {
    /// Answers an event and holds the machine to its promises.
    fn answer(&mut self, session: &mut Session, event: Event) {
        let before = session.state().clone();
        let change = session.answer(event);
        let after = session.state().clone();
        let covered = self.dark || self.help;
        match event {
            Event::Pause => self.dark = !self.dark,
            _ if self.dark => {}
            _ if self.help || event == Event::Help => self.help = !self.help,
            Event::Undo => {
                let mut expected = before.clone();
                while expected == before
                    && let Some(past) = self.past.pop()
                {
                    expected = as_measured(past, &before);
                    // A place that a table corrected since leaves dark is not gone back to.
                    expected.pose = if is_lit(session, &expected) { expected.pose } else { after.pose };
                }
                assert_eq!(after, expected, "undo gives back another state");
            }
            _ if after != as_measured(before.clone(), &after) => self.past.push(before.clone()),
            _ => {}
        }
        assert_eq!(session.is_dark(), self.dark);
        if covered || matches!(event, Event::Pause | Event::Help) {
            assert_eq!(after, before, "{event} changed something behind darkness or help");
        }
        if change == Change::Nothing {
            assert_eq!(after, before, "{event} changed something in silence");
        }
        let places = matches!(event, Event::Nudge { .. } | Event::Turn(_) | Event::Next | Event::Confirm | Event::Undo);
        // A corrected table can leave the cloth in the dark; it is laid anew then.
        let corrected = event == Event::Yes && after.taken != before.taken;
        assert!(places || corrected || after.pose == before.pose, "{event} moved the cloth");
        let judged = matches!(event, Event::Next | Event::Confirm | Event::Yes);
        assert!(judged || after.knocked == before.knocked && after.taken == before.taken, "{event} judged the table");
    }
}

/// A state with what the tape said of the table as it is in another: undo does not take that back.
fn as_measured(state: State, now: &State) -> State {
    State { taken: now.taken.clone(), knocked: now.knocked, ..state }
}

/// Where the middle of what is cut in a state comes to lie, and the light that it must lie in.
fn middle_in_light(session: &Session, state: &State) -> (Point<Table>, [Point<Table>; 2]) {
    let (work, pose) = (session.work(), state.pose);
    let (lit, cloth) = (work.reach(state.step).lit, work.cloth.high_mm);
    let high = Point::new(lit.high_mm.x.min(cloth.x), lit.high_mm.y.min(cloth.y));
    let middle = pose.table_from_cloth().transform_point(lit.low_mm.lerp(high, 0.5));
    let corners = session.table().table.lit_corners_mm().unwrap();
    let light = corners.iter().fold([corners[0]; 2], |[low, high], p| [low.min(*p), high.max(*p)]);
    (middle, light)
}

fn is_lit(session: &Session, state: &State) -> bool {
    let (middle, [low, high]) = middle_in_light(session, state);
    (low.x..=high.x).contains(&middle.x) && (low.y..=high.y).contains(&middle.y)
}

/// The middle of what is cut now lies in the light.
fn assert_placed(session: &Session, after: Event) {
    let pose = session.state().pose;
    assert!(pose.at_mm.is_finite() && pose.turn_rad.is_finite(), "the place is lost: {pose:?}");
    let (middle, light) = middle_in_light(session, session.state());
    assert!(is_lit(session, session.state()), "{after} leaves the cloth in the dark: {middle:?} outside {light:?}");
}

fn throws_a_stage(scene: &Scene) -> bool {
    let cloth = &scene.on_cloth;
    !(cloth.fills.is_empty() && cloth.strokes.is_empty() && cloth.letters.is_empty())
}

fn assert_saved_and_read(session: &Session, belongs: &Belongs) {
    let text = file::write(session, belongs);
    let state = file::read(&text).unwrap().state(belongs, session.work()).unwrap();
    let kept = session.state();
    let doing = match &kept.doing {
        Doing::Measuring(measuring) => &measuring.then,
        doing => doing,
    };
    let doing = match doing {
        Doing::Aligning(Alignment { why: Why::Moved { .. }, .. }) => state.doing.clone(),
        _ => Doing::Cutting,
    };
    assert_eq!(state, State { said_yes: false, doing, ..kept.clone() }, "saved and read again\n{text}");
}

fn run(events: &[Event], trusted: bool) {
    let mut session = measured_session(trusted);
    let first = session.state().clone();
    let belongs = Belongs::of("an order", session.work(), session.table());
    let mut model = Model { past: Vec::new(), dark: false, help: false };
    for (i, event) in events.iter().enumerate() {
        model.answer(&mut session, *event);
        assert_placed(&session, *event);
        if i % SCENE_EVERY == 0 || !session.permitted() && i % 3 == 0 {
            let scene = session.scene();
            assert!(session.permitted() || !throws_a_stage(&scene), "a stage is thrown by a table without a yes");
            let lit = scene.ground != [0; 3] || throws_a_stage(&scene) || !scene.on_table.letters.is_empty();
            assert_eq!(lit, !session.is_dark());
            assert_saved_and_read(&session, &belongs);
        }
    }
    let told: Vec<String> = events.iter().map(Event::to_string).collect();
    let head = trace::head(&file::write(&measured_session(trusted), &belongs), false);
    let read = trace::read(&format!("{head}{}\n", told.join("\n"))).unwrap();
    assert_eq!(read.events, events, "a trace is read as it was written");
    if session.is_dark() {
        model.answer(&mut session, Event::Pause);
    }
    if model.help {
        model.answer(&mut session, Event::Help);
    }
    while session.answer(Event::Undo) != Change::Nothing {}
    let first = as_measured(first, session.state());
    let pose = if is_lit(&session, &first) { first.pose } else { session.state().pose };
    assert!(
        *session.state() == State { pose, ..first } || model.past.len() >= EVENTS,
        "undoing everything does not lead to the beginning"
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: RUNS,
        max_shrink_time: MOST_SHRINKING_MS,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn ten_thousand_events_keep_every_promise(
        groups in prop::collection::vec(group(), EVENTS),
        trusted in any::<bool>(),
    ) {
        run(&groups.concat(), trusted);
    }
}

#[test]
fn random_events_reach_everything() {
    // The property above is worth nothing if chance never gets anywhere.
    let mut chance = super::desk::Chance::of(5);
    let mut session = measured_session(true);
    let pick = [
        Event::Next,
        Event::Confirm,
        Event::Confirm,
        Event::SetPlace,
        Event::Nudge { right: 1, away: 1, long: false },
        Event::Turn(1),
        Event::Prove,
        Event::Measure,
        Event::Back,
        Event::MovePiece,
    ];
    let (mut steps, mut doings) = (vec![false; session.work().steps.len()], [false; 6]);
    steps[session.state().step] = true;
    for _ in 0..EVENTS {
        session.answer(pick[chance.below(pick.len() as u64) as usize]);
        steps[session.state().step] = true;
        doings[match session.state().doing {
            Doing::Cutting => 0,
            Doing::Proving => 1,
            Doing::Chalking { .. } => 2,
            Doing::Aligning(_) => 3,
            Doing::Placing { .. } => 4,
            Doing::Measuring(_) => 5,
        }] = true;
    }
    assert!(steps.iter().all(|is| *is) && doings.iter().all(|is| *is), "{steps:?} {doings:?}");
}

#[test]
fn nothing_is_thrown_by_an_untrusted_table_before_a_yes() {
    let mut session = session(false);
    answer(&mut session, &[Event::Next, Event::Prove, Event::SetPlace, Event::Confirm, Event::Next]);
    assert!(!session.permitted() && session.state().step == 0);
    let said: String = session.scene().on_table.letters.iter().map(|line| format!("{} ", line.text)).collect();
    assert!(said.contains("never measured") && said.contains("Y: yes"), "{said}");
    session.answer(Event::Yes);
    assert!(session.permitted() && throws_a_stage(&session.scene()));
    session.answer(Event::Undo);
    assert!(!session.permitted() && !throws_a_stage(&session.scene()), "the yes is taken back");
}

#[test]
fn darkness_comes_at_once_and_leaves_everything_as_it_was() {
    let mut session = session(true);
    answer(
        &mut session,
        &[Event::Next, Event::Next, Event::SwapLight, Event::Nudge { right: 7, away: -2, long: false }],
    );
    let (state, scene) = (session.state().clone(), session.scene());
    for cover in [vec![Event::Pause], vec![Event::Help, Event::Pause], vec![Event::SetPlace, Event::Pause]] {
        let mut session = session.clone();
        answer(&mut session, &cover);
        let dark = session.scene();
        assert!(dark.ground == [0; 3] && !throws_a_stage(&dark) && dark.on_table.letters.is_empty());
        answer(
            &mut session,
            &[Event::Next, Event::Nudge { right: 1, away: 0, long: true }, Event::Undo, Event::Confirm],
        );
        assert!(session.is_dark(), "a stray key lights the table");
    }
    answer(&mut session, &[Event::Pause, Event::Next, Event::Pause]);
    assert_eq!((session.state(), session.scene()), (&state, scene));
}

#[test]
fn a_session_of_something_else_is_not_taken_up() {
    let session = session(true);
    let belongs = Belongs::of("an order", session.work(), session.table());
    let saved = file::read(&file::write(&session, &belongs)).unwrap();
    assert!(saved.state(&belongs, session.work()).is_ok());
    let mut other_table = session.table().clone();
    other_table.table.homography[0][2] += 0.5;
    let lay = super::desk::laid(&super::desk::LONG.replace("130 cm", "129 cm"));
    let view = super::desk::view(super::desk::LIT_MM, chalklight::scene::Side::Front);
    let other_work = chalklight::session::Work::of(&lay, &view).unwrap();
    for (belongs, says) in [
        (Belongs::of("an order", session.work(), &other_table), "another table"),
        (Belongs::of("another order", session.work(), session.table()), "order was changed"),
        (Belongs::of("an order", &other_work, session.table()), "laid or lit otherwise"),
    ] {
        let no = saved.state(&belongs, session.work()).unwrap_err().to_string();
        assert!(no.contains(says) && no.contains("begin at the first stage"), "{no}");
    }
}

#[test]
fn broken_and_newer_sessions_end_in_a_sentence() {
    let session = session(true);
    let belongs = Belongs::of("an order", session.work(), session.table());
    let text = file::write(&session, &belongs);
    let newer = file::read(&text.replace("version = 4", "version = 5\nscent = 3")).unwrap_err().to_string();
    assert!(newer.contains("newer"), "{newer}");
    let mut chance = super::desk::Chance::of(9);
    for _ in 0..3000 {
        let mut bytes = text.clone().into_bytes();
        let at = chance.below(bytes.len() as u64) as usize;
        match chance.below(3) {
            0 => bytes.truncate(at),
            1 => bytes[at] = b"0123456789.-=[]\"x\n"[chance.below(18) as usize],
            _ => drop(bytes.drain(at..(at + 9).min(text.len()))),
        }
        let Ok(broken) = String::from_utf8(bytes) else { continue };
        match file::read(&broken).and_then(|saved| saved.state(&belongs, session.work())) {
            Ok(state) => {
                let ground = chalklight::session::Ground::Doubted(
                    session.table().clone(),
                    chalklight::remark::Remark::refusal("a test"),
                );
                let view = super::desk::view(super::desk::LIT_MM, chalklight::scene::Side::Front);
                let taken_up = Session::resume(ground, session.work().clone(), view, state);
                let _ = taken_up.scene();
            }
            Err(refusal) => assert!(refusal.remarks.iter().all(|remark| remark.remedy.is_some()), "{refusal}"),
        }
    }
}

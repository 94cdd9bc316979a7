//! Motifs on the bench: a piece dragged on the open cloth, and what holds it.

use chalklight::bench::model::{Step, Wish};
use chalklight::bench::motifs::Showing;
use chalklight::bench::paper::{Entry, Form};
use chalklight::bench::pinning::place_of;
use chalklight::bench::{Bench, Habits, look};
use chalklight::geometry::{Cloth, Point, Vector};
use chalklight::lay::{Lay, kept};
use chalklight::motif::Photograph;
use egui::{Modifiers, Vec2, accesskit::Role, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use super::{ORDER, bench_at, on_any_fold, type_into};

const BACK: Entry = Entry::text("lay", "back");

fn open_cloth(cloth_m: &str) -> Harness<'static, Bench> {
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("order.toml".as_ref(), &ORDER.replace("length = \"3 m\"", &format!("length = \"{cloth_m}\"")));
    bench.step = Step::Cloth;
    bench.motifs.showing = Showing::Open;
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness
}

/// Drags the piece that was cut first, and holds it.
fn drag(harness: &mut Harness<'static, Bench>, by: Vec2) {
    let rect = harness.get_by_label_contains("The open cloth").rect();
    let from = rect.left_center() + vec2(rect.width() * 0.3, 20.0);
    harness.hover_at(from);
    harness.run();
    harness.drag_at(from);
    harness.run();
    for share in [0.3, 0.6, 1.0] {
        harness.hover_at(from + by * share);
        harness.run();
    }
}

fn let_go(harness: &mut Harness<'static, Bench>, by: Vec2) {
    let rect = harness.get_by_label_contains("The open cloth").rect();
    harness.drop_at(rect.left_center() + vec2(rect.width() * 0.3, 20.0) + by);
    harness.run();
}

#[test]
fn a_piece_is_dragged_along_and_the_drag_is_one_step() {
    let mut harness = open_cloth("3 m");
    let before = harness.state().paper().text().to_owned();
    let (by, used_mm) = (vec2(30.0, 5.0), harness.state().work().laid.as_ref().expect("a lay").lay.used_mm);
    let wide = harness.get_by_label_contains("The open cloth").rect().width();
    drag(&mut harness, by);
    let_go(&mut harness, by);
    let lay = &harness.state().work().laid.as_ref().expect("a lay").lay;
    let back = lay.placed.iter().find(|placed| placed.piece.name == "back").expect("the back");
    // The sheet has a margin of 26 points; the drawing keeps its scale while she drags, though every length grows.
    let due_mm = 30.0 * used_mm / f64::from(wide - 52.0);
    assert!((back.shift_mm.x - due_mm).abs() < 3.0, "{} of {due_mm}", back.shift_mm.x);
    assert!(harness.state().paper().written(&BACK).ends_with(" cm"), "in the unit that she measures in");
    harness.state_mut().undo();
    assert_eq!(harness.state().paper().text(), before, "a drag is one step");
}

#[test]
fn what_holds_a_piece_is_said_while_it_is_held() {
    let mut harness = open_cloth("2.2 m");
    drag(&mut harness, vec2(200.0, 0.0));
    harness.get_by_label_contains("The back ends where its length ends");
    assert!(harness.state().work().laid.is_some(), "it goes no farther than the cloth");
    let_go(&mut harness, vec2(200.0, 0.0));
    assert!(harness.query_by_label_contains("The back ends where").is_none());
    let mut harness = open_cloth("3 m");
    drag(&mut harness, vec2(0.0, 90.0));
    harness.get_by_label_contains("lies on the fold");
    assert_eq!(harness.state().paper().written(&BACK), "");
}

#[test]
fn where_a_piece_lies_can_be_written_and_what_falls_is_said() {
    let mut harness = open_cloth("3 m");
    type_into(&mut harness, "Repeat along", "20 cm");
    type_into(&mut harness, "Repeat across", "30 cm");
    harness.get_by_label_contains("At the side seams the print of the front is");
    type_into(&mut harness, "Back lies", "3 cm");
    let lay = &harness.state().work().laid.as_ref().expect("a lay").lay;
    assert!(lay.placed.iter().any(|placed| placed.shift_mm.x == 30.0));
    type_into(&mut harness, "Room", "-3 cm");
    harness.get_by_label_contains("no place on a cloth");
    let fields: Vec<_> = harness.get_all_by_role(Role::TextInput).collect();
    assert!(fields.len() > 8);
}

#[test]
fn dragging_beside_the_pieces_moves_the_drawing_alone() {
    let mut harness = open_cloth("3 m");
    let before = harness.state().paper().text().to_owned();
    let rect = harness.get_by_label_contains("The open cloth").rect();
    let corner = rect.left_top() + vec2(8.0, 8.0);
    harness.hover_at(corner);
    harness.run();
    harness.drag_at(corner);
    harness.run();
    harness.hover_at(corner + vec2(40.0, 40.0));
    harness.run();
    harness.drop_at(corner + vec2(40.0, 40.0));
    harness.run();
    assert_eq!(harness.state().paper().text(), before);
    harness.key_press_modifiers(Modifiers::COMMAND, egui::Key::Num6);
    harness.run();
}

/// The dress with sleeves, laid by a search.
fn with_sleeves() -> Harness<'static, Bench> {
    let mut bench = Bench::new(Habits::default(), None);
    let order = on_any_fold().replace("[garment]", "[garment]\nsleeve = \"short\"").replace("length = \"3 m\"\n", "");
    bench.opened("order.toml".as_ref(), &order);
    bench.step = Step::Cloth;
    lay(&mut bench);
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    harness
}

/// Lays what the bench wishes to have laid.
pub fn lay(bench: &mut Bench) {
    for wish in bench.take_wishes() {
        if let Wish::Lay(to_lay) = wish {
            let lying = to_lay.lying();
            bench.take_lying(to_lay, lying);
        }
    }
    assert!(bench.work().laid.is_some(), "{:?}", bench.work().remarks);
}

fn shown(bench: &Bench) -> &Lay {
    &bench.work().laid.as_ref().expect("a lay").lay
}

/// Where a place of the folded cloth is seen: the whole lay fills its sheet but for a margin of 26 points.
fn seen(harness: &Harness<'static, Bench>, place: Point<Cloth>) -> egui::Pos2 {
    let rect = harness.get_by_label_contains("The lay:").rect();
    let lay = shown(harness.state());
    let size = [lay.length_mm, lay.folded_width_mm];
    let scale = (f64::from(rect.width() - 52.0) / size[0]).min(f64::from(rect.height() - 52.0) / size[1]);
    rect.center() + vec2(((place.x - size[0] / 2.0) * scale) as f32, ((size[1] / 2.0 - place.y) * scale) as f32)
}

/// Drags the first sleeve so far, and holds it; gives where it was taken hold of.
fn drag_sleeve(harness: &mut Harness<'static, Bench>, by_mm: Vector<Cloth>) -> egui::Pos2 {
    let sleeve = shown(harness.state()).placed.iter().find(|placed| placed.piece.name == "sleeve").expect("a sleeve");
    let (low, high) = sleeve.cut().bounds();
    let middle = low.lerp(high, 0.5);
    let [from, to] = [middle, middle + by_mm].map(|place| seen(harness, place));
    harness.hover_at(from);
    harness.run();
    harness.drag_at(from);
    harness.run();
    for share in [0.3, 0.6, 1.0] {
        harness.hover_at(from + (to - from) * share);
        harness.run();
    }
    to
}

const SLEEVE: Entry = place_of("sleeve");

#[test]
fn a_sleeve_is_kept_where_it_is_let_go_and_the_others_are_laid_around_it() {
    let mut harness = with_sleeves();
    let before = harness.state().paper().text().to_owned();
    // Beyond the last piece there is cloth.
    let due_mm = shown(harness.state()).length_mm + 150.0;
    let sleeve = shown(harness.state()).placed.iter().find(|placed| placed.piece.name == "sleeve").expect("a sleeve");
    let low = sleeve.cut().bounds().0;
    let to = drag_sleeve(&mut harness, Vector::new(due_mm - low.x, 0.0));
    assert_eq!(harness.state().paper().text(), before, "nothing is written while it is held");
    assert!(harness.state().motifs.held.as_ref().is_some_and(|held| held.broken.is_none()));
    harness.drop_at(to);
    harness.run();
    assert!(harness.state().paper().text().contains("sleeve = [\""), "{}", harness.state().paper().text());
    lay(harness.state_mut());
    let lay = shown(harness.state());
    let kept = lay.placed.iter().filter(|placed| placed.piece.name == "sleeve").map(|placed| placed.cut().bounds().0);
    let off_mm = kept.map(|at| (at.x - due_mm).hypot(at.y - low.y)).fold(f64::INFINITY, f64::min);
    // A point on screen is some millimetres of cloth.
    assert!(off_mm < 5.0, "{off_mm} mm off");
    assert_eq!(chalklight::lay::proof::faults(lay), []);
    harness.state_mut().undo();
    assert_eq!(harness.state().paper().text(), before, "a drag is one step");
}

#[test]
fn a_place_that_breaks_a_rule_is_told_while_it_is_held_and_not_written() {
    let mut harness = with_sleeves();
    let before = harness.state().paper().text().to_owned();
    let to = drag_sleeve(&mut harness, Vector::new(0.0, 3000.0));
    harness.get_by_label_contains("The sleeve would not be all on the cloth there");
    harness.drop_at(to);
    harness.run();
    assert_eq!(harness.state().paper().text(), before);
    assert!(harness.query_by_label_contains("would not be all on the cloth").is_none());
}

#[test]
fn a_piece_on_the_fold_is_dragged_along_it_and_no_other_way() {
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("order.toml".as_ref(), &on_any_fold());
    for (section, key, written) in [
        ("rules", "bust_ease", ""),
        ("rules", "waist_ease", ""),
        ("garment", "kind", "kaftan"),
        ("garment", "length", "130 cm"),
        ("garment", "tie", "belt"),
        ("cloth", "width", "150 cm"),
        ("cloth", "length", ""),
    ] {
        bench.write(&Entry::text(section, key), written);
    }
    bench.step = Step::Cloth;
    lay(&mut bench);
    let mut harness = bench_at(bench, [1280.0, 720.0]);
    harness.run();
    let piece =
        shown(harness.state()).placed.iter().position(|placed| placed.piece.on_fold).expect("a piece on the fold");
    harness.state_mut().hold_piece(piece, Vector::new(3000.0, 12.0));
    let held = harness.state().motifs.held.clone().expect("held");
    assert!(held.by_mm.y == 0.0 && held.broken.is_none(), "{held:?}");
    harness.state_mut().hold_piece(piece, Vector::new(0.0, 90.0));
    let held = harness.state().motifs.held.clone().expect("held");
    assert!(held.broken.expect("a rule").sentence.contains("would not lie on the fold"));
}

/// What is drawn in a colour with lines so wide.
fn drawn_in(harness: &Harness<'static, Bench>, colour: egui::Color32, width: f32) -> egui::Rect {
    let mut around = egui::Rect::NOTHING;
    for clipped in &harness.output().shapes {
        if let egui::Shape::Path(path) = &clipped.shape
            && path.stroke.width == width
            && path.stroke.color == egui::epaint::ColorMode::Solid(colour)
        {
            path.points.iter().for_each(|point| around.extend_with(*point));
        }
    }
    around
}

/// On the open cloth of pieces laid by a search the outline follows the hand in the same look, says whether it may lie there,
/// by which rule not, and what falls on it there.
#[test]
fn a_piece_follows_the_hand_on_the_open_cloth_and_what_falls_is_told() {
    let mut harness = with_sleeves();
    harness.state_mut().write(&Entry::text("body", "bust_depth"), "27 cm");
    for place in 0..2 {
        let repeat = Entry { section: "cloth", key: "repeat", form: Form::OfTwo(place) };
        harness.state_mut().write(&repeat, ["20 cm", "30 cm"][place]);
    }
    lay(harness.state_mut());
    harness.state_mut().motifs.showing = Showing::Open;
    harness.run();
    let lay = shown(harness.state()).clone();
    let rect = harness.get_by_label_contains("The open cloth").rect();
    let size = [lay.used_mm, lay.cloth.width_mm];
    let scale = (f64::from(rect.width() - 52.0) / size[0]).min(f64::from(rect.height() - 52.0) / size[1]);
    let spreads = chalklight::motif::open::spread(&lay);
    let front = spreads.iter().find(|spread| spread.name == "front").expect("a front");
    let (low, high) = front.sewn.bounds();
    let middle = low.lerp(high, 0.5);
    let at =
        rect.center() + vec2(((middle.x - size[0] / 2.0) * scale) as f32, ((size[1] / 2.0 - middle.y) * scale) as f32);
    let order = harness.state().paper().text().to_owned();
    harness.hover_at(at);
    harness.run();
    harness.drag_at(at);
    harness.run();
    // Over the others, as far as they lie.
    harness.hover_at(at + vec2(60.0, 0.0));
    harness.step();
    let ink = look::Ink::of(false);
    let refused = drawn_in(&harness, ink.refused, 1.8);
    let chalk = drawn_in(&harness, ink.chalk, 1.8);
    let first = if refused.is_positive() { refused } else { chalk };
    assert!(first.is_positive(), "its outline is drawn in the colour of what may be or may not");
    harness.hover_at(at + vec2(90.0, 0.0));
    harness.step();
    let next = drawn_in(&harness, ink.refused, 1.8).union(drawn_in(&harness, ink.chalk, 1.8));
    assert!((next.center().x - first.center().x - 30.0).abs() < 2.0, "{first:?} {next:?}: it follows in the same look");
    let told = |place: &str| harness.query_all_by_label_contains(place).next().is_some();
    for place in ["Front: bust ", "waist ", "hem ", "centre ", " into a repeat"] {
        assert!(told(place), "{place} is not told");
    }
    // Off the cloth no piece may lie, whatever else gives way.
    harness.hover_at(at + vec2(0.0, 2000.0));
    harness.run();
    harness.get_by_label_contains("there");
    assert!(drawn_in(&harness, ink.refused, 1.8).is_positive() && !drawn_in(&harness, ink.chalk, 1.8).is_positive());
    harness.drop_at(at + vec2(0.0, 2000.0));
    harness.run();
    assert_eq!(harness.state().paper().text(), order, "what may not be is not written");
    assert!(!drawn_in(&harness, ink.refused, 1.8).is_positive(), "let go, it lies where it lay");
}

/// While pieces are laid anew they are drawn as they are now, where they lay before, and it is said.
#[test]
fn until_a_lay_is_found_pieces_are_drawn_as_they_are_now_where_they_lay() {
    let mut harness = with_sleeves();
    harness.state_mut().take_wishes();
    let before = shown(harness.state()).clone();
    harness.state_mut().write(&Entry::text("body", "bust"), "104 cm");
    harness.run();
    harness.get_by_label_contains("Being laid anew");
    let (laid, of_now) = harness.state().laid().expect("what is shown meanwhile");
    assert!(!of_now && harness.state().work().laid.is_none(), "it is no lay that could be cut");
    assert_eq!(laid.lay.placed.len(), before.placed.len());
    let pieces = &harness.state().work().to_lay.as_ref().expect("pieces").pieces;
    for (placed, before) in laid.lay.placed.iter().zip(&before.placed) {
        let now = pieces.iter().find(|piece| piece.name == placed.piece.name).expect("the piece");
        let now = if placed.piece.on_fold { now.clone() } else { now.unfolded() };
        assert!(placed.piece == now && placed.cloth_from_draft == before.cloth_from_draft, "{}", now.name);
    }
    assert!(laid.lay.placed.iter().zip(&before.placed).any(|(now, before)| now.piece != before.piece));
    lay(harness.state_mut());
    harness.run();
    assert!(harness.query_by_label_contains("Being laid anew").is_none());
}

/// While a number is half typed the lay stays in sight, as it was by the last whole ones; it is none that could be cut.
#[test]
fn a_half_typed_number_leaves_the_lay_before_faintly() {
    for (showing, drawing) in [(Showing::Folded, "The lay:"), (Showing::Open, "The open cloth")] {
        let mut harness = open_cloth("3 m");
        harness.state_mut().motifs.showing = showing;
        let before = shown(harness.state()).clone();
        for (section, key) in [("body", "bust"), ("cloth", "width")] {
            let entry = Entry::text(section, key);
            let whole = harness.state().paper().written(&entry);
            harness.state_mut().write(&entry, "9");
            harness.run();
            let (laid, of_now) = harness.state().laid().expect("the lay before");
            assert!(!of_now && laid.lay == before && harness.state().work().laid.is_none(), "{key}");
            harness.get_by_label_contains("As it lay by the last whole numbers");
            harness.get_by_label_contains(drawing);
            harness.state_mut().write(&entry, &whole);
            harness.run();
            assert!(harness.query_by_label_contains("As it lay by").is_none());
        }
        // Of another order nothing is shown.
        harness.state_mut().begin_anew();
        assert!(harness.state().laid().is_none());
    }
}

/// More is reckoned for lengths that are bought anew than these, which lie on the cloth that there is, take of it.
#[test]
fn cloth_needed_beyond_what_there_is_says_why() {
    let order = ORDER.replace("[lay]", "[lay]\nmatch = \"along\"");
    let order = order.replace("[cloth]", "[cloth]\nrepeat = [\"64 cm\", \"30 cm\"]");
    for (length, says) in [
        (
            "3 m",
            "Cloth needed: 3.20 m when it is bought anew, for 2 lengths in whole repeats of 64 cm and one repeat more",
        ),
        ("3.5 m", "Cloth needed: 3.20 m."),
    ] {
        let mut bench = Bench::new(Habits::default(), None);
        bench.opened("order.toml".as_ref(), &order.replace("length = \"3 m\"", &format!("length = \"{length}\"")));
        bench.step = Step::Cloth;
        let mut harness = bench_at(bench, [1280.0, 720.0]);
        harness.run();
        harness.get_by_label_contains(says);
        let own =
            harness.query_by_label_contains("you have 3 m, and that is enough: as it lies, this takes 2.56 m of it");
        assert_eq!(own.is_some(), length == "3 m");
    }
}

#[test]
fn without_a_photo_the_grid_of_the_repeat_is_told_as_that() {
    let mut harness = open_cloth("3 m");
    harness.get_by_label_contains("no repeat is known: the cloth is drawn plain");
    type_into(&mut harness, "Repeat along", "20 cm");
    type_into(&mut harness, "Repeat across", "30 cm");
    harness.get_by_label_contains("the faint grid is the repeat only, 20 cm along, 30 cm across; begun at the corner");
    harness.state_mut().write(&Entry::text("cloth", "drop"), "half");
    type_into(&mut harness, "Motif along", "12 cm");
    type_into(&mut harness, "Motif across", "30 cm");
    harness.get_by_label_contains("dropped by half; a motif in the middle of each cell");
    harness.state_mut().motifs.showing = Showing::Folded;
    harness.run();
    assert!(harness.query_by_label_contains("the faint grid").is_none());
}

#[test]
fn each_corner_in_the_photo_has_a_field_of_its_own() {
    let order = ORDER.replace("[cloth]", "[cloth]\nphoto = \"print.png\"");
    let corners = "corners = [[100, 500], [700, 500], [700, 100], [100, 100]]";
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("order.toml".as_ref(), &format!("{order}\n[photo]\n{corners}\nsize = [\"120 cm\", \"80 cm\"]\n"));
    bench.step = Step::Cloth;
    let mut harness = bench_at(bench, [1280.0, 4000.0]);
    harness.run();
    const FIELD: &str = "Corner 3, upper right";
    let stands = |harness: &Harness<'static, Bench>| {
        harness.get_by_role_and_label(Role::TextInput, FIELD).accesskit_node().value()
    };
    assert_eq!(stands(&harness).as_deref(), Some("700, 100"));
    harness.get_by_role_and_label(Role::TextInput, FIELD).focus();
    harness.run();
    harness.key_press_modifiers(Modifiers::COMMAND, egui::Key::A);
    harness.get_by_role_and_label(Role::TextInput, FIELD).type_text("710, 90.5 px");
    harness.run();
    let moved = corners.replace("[700, 100]", "[710, 90.5]");
    assert!(harness.state().paper().text().contains(&moved), "{}", harness.state().paper().text());
    // What is no place is told, written nowhere, and gone when the field is left.
    harness.get_by_role_and_label(Role::TextInput, FIELD).type_text("x");
    harness.run();
    harness.get_by_label_contains("is no place in a photo");
    assert!(harness.state().paper().text().contains(&moved));
    harness.key_press(egui::Key::Tab);
    harness.run();
    assert_eq!(stands(&harness).as_deref(), Some("710, 90.5"));
    harness.state_mut().undo();
    harness.run();
    assert_eq!(stands(&harness).as_deref(), Some("700, 100"), "it is one step");
}

/// A photo that was read again is made flat again, also when the one before was still on its way.
#[test]
fn a_photo_that_changed_is_read_and_made_flat_again() {
    let order = ORDER.replace("[cloth]", "[cloth]\nphoto = \"print.png\"");
    let photo = "[photo]\nends = [[10, 10], [90, 10]]\nlength = \"30 cm\"\n";
    let mut bench = Bench::new(Habits::default(), None);
    bench.opened("order.toml".as_ref(), &format!("{order}\n{photo}"));
    bench.take_wishes();
    for colour in [[200, 10, 20], [10, 20, 200]] {
        bench.ask_for_print();
        let wishes = bench.take_wishes();
        let [Wish::Photo(path)] = &wishes[..] else { panic!("the photo is not asked for") };
        bench.take_photo(path.clone(), Ok(Photograph { size_px: [100, 60], rgb: vec![colour; 6000] }));
        bench.ask_for_print();
        let wishes = bench.take_wishes();
        assert!(matches!(&wishes[..], [Wish::Flatten(photograph, _)] if photograph.rgb[0] == colour), "{colour:?}");
        bench.read_photo_again();
    }
}

#[test]
fn where_a_piece_is_kept_can_be_written_and_taken_out_again() {
    let mut harness = with_sleeves();
    // As she would write it, comma by comma; it becomes a list when she leaves the field.
    harness.get_by_role_and_label(Role::TextInput, "Sleeve kept at").focus();
    harness.run();
    for text in ["9", "0 cm", ",", " 5 ", "cm"] {
        harness.get_by_role_and_label(Role::TextInput, "Sleeve kept at").type_text(text);
        harness.run();
    }
    assert_eq!(harness.state().paper().written(&SLEEVE), "90 cm, 5 cm");
    harness.key_press(egui::Key::Tab);
    harness.run();
    assert!(harness.state().paper().text().contains("sleeve = [\"90 cm\", \"5 cm\"]"));
    assert_eq!(harness.state().paper().written(&SLEEVE), "90 cm, 5 cm");
    harness.state_mut().write(&SLEEVE, "");
    harness.run();
    type_into(&mut harness, "Sleeve kept at", "[\"90 cm\", \"5 cm\"]");
    assert!(
        harness.state().paper().text().contains("sleeve = [\"90 cm\", \"5 cm\"]"),
        "{}",
        harness.state().paper().text()
    );
    let pins = &harness.state().work().order.as_ref().expect("an order").lay.pins_mm;
    assert_eq!(pins["sleeve"].value, [[900.0, 50.0]]);
    harness.state_mut().write(&SLEEVE, "");
    assert!(!harness.state().paper().text().contains("[lay]"));
}

/// In a lay that is kept a piece is moved by itself: no other moves, and nothing is written into the order.
#[test]
fn a_piece_of_a_kept_lay_is_dragged_and_the_others_stay() {
    let mut harness = with_sleeves();
    let bench = harness.state_mut();
    let to_lay = bench.work().to_lay.clone().expect("pieces and cloth");
    let text = kept::write(shown(bench), &to_lay.wanted()).expect("a lay to keep");
    bench.lay_opened(Some(text.clone()));
    lay(bench);
    harness.run();
    let before = shown(harness.state()).clone();
    let order = harness.state().paper().text().to_owned();
    assert!(harness.query_by_label("Sleeve kept at").is_none(), "no field asks for what does not rule");
    harness.get_by_label_contains("The pieces lie as they are kept");
    let is_sleeve = |placed: &&chalklight::lay::Placed| placed.piece.name == "sleeve";
    let low = before.placed.iter().find(is_sleeve).expect("a sleeve").cut().bounds().0;
    let due_mm = before.length_mm + 150.0;
    let to = drag_sleeve(&mut harness, Vector::new(due_mm - low.x, 0.0));
    harness.drop_at(to);
    harness.run();
    assert_ne!(harness.state().kept_lay(), Some(text.as_str()));
    assert_eq!(harness.state().paper().text(), order);
    lay(harness.state_mut());
    let moved = shown(harness.state()).clone();
    assert_eq!(chalklight::lay::proof::faults(&moved), []);
    let places = |lay: &Lay| -> Vec<(f64, f64)> {
        lay.placed.iter().map(|placed| placed.cut().bounds().0).map(|low| (low.x, low.y)).collect()
    };
    let stayed = places(&before).into_iter().filter(|place| places(&moved).contains(place)).count();
    assert_eq!(stayed + 1, before.placed.len(), "{:?} {:?}", places(&before), places(&moved));
    assert!(places(&moved).iter().any(|place| (place.0 - due_mm).abs() < 5.0), "{:?}", places(&moved));
    let ends_mm = moved.placed.iter().map(|placed| placed.cut().bounds().1.x).fold(0.0, f64::max);
    assert!((moved.length_mm - ends_mm).abs() < 1e-6, "it takes as much cloth as it reaches");
    harness.state_mut().undo();
    assert_eq!(harness.state().kept_lay(), Some(text.as_str()), "a drag is one step");
    lay(harness.state_mut());
    // Over another it does not go: none makes room.
    harness.run();
    let back = before.placed.iter().find(|placed| placed.piece.name == "back").expect("a back").cut().bounds();
    let to = drag_sleeve(&mut harness, back.0.lerp(back.1, 0.5) - low);
    harness.get_by_label_contains("would lie over the back");
    harness.drop_at(to);
    harness.run();
    assert_eq!(harness.state().kept_lay(), Some(text.as_str()));
}

//! The sewing plan of the A-line dress, against the order of the trade (shoulders, neck, sides, hem: common practice, no
//! source) and lengths worked from the outlines by their own arithmetic.

use chalklight::draft::draft;
use chalklight::finish::{Piece, finish};
use chalklight::order::{Kind, read};
use chalklight::sewing::{How, Step, plan};
use chalklight::units::System;

use crate::check::{OrderText, edge_mm};

fn steps(order: &OrderText) -> Vec<Step> {
    let pieces = order.pieces();
    plan(&pieces.iter().collect::<Vec<&Piece>>(), &order.draft().seams, System::Metric)
}

fn step<'s>(steps: &'s [Step], name: &str) -> &'s Step {
    steps.iter().find(|step| step.name == name).unwrap_or_else(|| panic!("no {name} in {steps:#?}"))
}

/// The same with a sleeve.
fn sleeved(sleeve: &'static str) -> OrderText {
    OrderText::everyday().body("arm_length", "58 cm").body("upper_arm", "29 cm").choose("sleeve", sleeve)
}

fn skirt(kind: &'static str, length: &str) -> OrderText {
    OrderText::of(length, &[("waist", "78 cm"), ("hip", "102 cm")]).kind(kind)
}

#[test]
fn the_dress_is_sewn_in_the_order_of_the_trade() {
    let steps = steps(&OrderText::everyday());
    let order: Vec<(&str, How)> = steps.iter().map(|step| (step.name, step.how)).collect();
    assert_eq!(
        order,
        [
            ("shoulder", How::Join),
            ("neck", How::Bind),
            ("fitting", How::Fit),
            ("side", How::Join),
            ("armhole", How::Bind),
            ("hanging", How::Hang),
            ("hem", How::Hem),
        ]
    );
}

/// Front and back are halves on the fold: neck and hem go once round, shoulder, side and armhole are there twice.
#[test]
fn lengths_and_turnings_are_those_of_the_pieces() {
    let (draft, steps) = (OrderText::everyday().draft(), steps(&OrderText::everyday()));
    let both = |edge: &str| draft.pieces.iter().map(|piece| edge_mm(piece, edge)).sum::<f64>();
    for (name, times, length_mm, turning_in) in [
        ("shoulder", 2, edge_mm(&draft.pieces[0], "shoulder"), 0.5),
        ("neck", 1, 2.0 * both("neck"), 0.0),
        ("side", 2, edge_mm(&draft.pieces[0], "side"), 1.5),
        ("armhole", 2, both("armhole"), 0.0),
        ("hem", 1, 2.0 * both("hem"), 1.0),
    ] {
        let step = step(&steps, name);
        assert_eq!((step.times, &step.pieces[..]), (times, &["front", "back"][..]), "{name}");
        assert!((step.length_mm - length_mm).abs() < 0.01, "{name}: {} and {length_mm}", step.length_mm);
        assert!((step.turning_mm - turning_in * 25.4).abs() < 1e-9, "{name}: {}", step.turning_mm);
        assert!(step.says.contains(&System::Metric.show(step.length_mm)), "{}", step.says);
    }
    assert!(step(&steps, "side").says.contains("the notches meet at hip and waist"));
    assert!(step(&steps, "fitting").says.contains("turning of 3.8 cm is there to let out"));
}

/// A hem of depth h is 2 pi h longer at its raw edge on a whole circle (*The New Dressmaker*, 1921, chapter 18, has it
/// gathered), and the line that it is sewn to, as far inside, as much shorter; here both are drawn point by point beside
/// the hem and measured.
#[test]
fn a_curved_hem_says_what_must_be_held_in() {
    let deep = OrderText::everyday().rule("hem_allowance", "\"6 cm\"");
    let draft = deep.draft();
    let beside_mm = |off_mm: f64| -> f64 {
        let hem = &draft.pieces[0].edge("hem").expect("a hem").curve;
        let out: Vec<_> = (0..=2000).map(|i| hem.at_length(hem.length_mm() * f64::from(i) / 2000.0)).collect();
        // The outside is to the right of the way, y down.
        let raw: Vec<(f64, f64)> = out.iter().map(|(p, way)| (p.x - off_mm * way.y, p.y + off_mm * way.x)).collect();
        raw.windows(2).map(|side| (side[1].0 - side[0].0).hypot(side[1].1 - side[0].1)).sum()
    };
    let expected_mm = 4.0 * (beside_mm(60.0) - beside_mm(-60.0));
    let steps = steps(&deep);
    let held_in_mm = step(&steps, "hem").held_in_mm;
    assert!(expected_mm > 20.0 && (held_in_mm - expected_mm).abs() < 0.1, "{held_in_mm}, {expected_mm}");
    assert!(step(&steps, "hem").says.contains("longer, to be eased in"), "{}", step(&steps, "hem").says);
}

#[test]
fn an_edge_with_a_turning_is_turned_in_and_a_straight_dress_is_not_hung() {
    let turned = steps(&OrderText::everyday().rule("neck_allowance", "\"1 cm\""));
    assert_eq!(step(&turned, "neck").how, How::TurnIn);
    let straight = OrderText::everyday().rule("fold_extra", "\"4 cm\"").rule("hip_ease", "\"1 cm\"");
    let steps = steps(&straight);
    assert!(steps.iter().all(|step| step.how != How::Hang), "{steps:#?}");
}

/// Whatever the garment, every seam that its draft names is sewn in some step, and nothing comes after the hems. Whether a
/// garment can be drafted is not asked here.
#[test]
fn every_garment_has_a_plan_with_all_its_seams() {
    let body = "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nhip_depth = \"20 cm\"\nshoulder = \"39 cm\"\n\
        waist_depth = \"40 cm\"\nhead = \"56 cm\"\nupper_arm = \"29 cm\"\narm_length = \"58 cm\"\nhand = \"19 cm\"\n";
    let mut planned = 0;
    for kind in Kind::ALL {
        let length = if kind.key().contains("skirt") { "70 cm" } else { "100 cm" };
        let text =
            format!("{body}[garment]\nkind = \"{}\"\nlength = \"{length}\"\n[cloth]\nwidth = \"150 cm\"\n", kind.key());
        let order = read(&text).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let Ok(drafted) = draft(&order) else { continue };
        let draft = drafted.value;
        planned += 1;
        let pieces = finish(&draft).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
        let steps = plan(&pieces.iter().collect::<Vec<&Piece>>(), &draft.seams, System::Metric);
        for part in draft.seams.iter().flat_map(|seam| seam.sides.iter().flatten()) {
            assert!(
                steps.iter().any(|step| step.length_mm > 0.0 && step.pieces.contains(&part.piece)),
                "{text}: {part:?}"
            );
        }
        assert_eq!(steps.last().map(|step| step.how), Some(How::Hem), "{text}: {steps:#?}");
        assert!(
            steps.iter().all(|step| !step.says.is_empty() && step.times >= 1 && step.held_in_mm >= 0.0),
            "{steps:#?}"
        );
    }
    assert!(planned >= 6, "only {planned} garments were planned");
}

/// A sleeve goes into the armhole before the sides are closed, on both arms, and is longer by its ease.
#[test]
fn a_sleeve_is_set_in_flat_with_its_ease() {
    let order = sleeved("long");
    let (draft, steps) = (order.draft(), steps(&order));
    let armhole = step(&steps, "armhole");
    let round_mm: f64 = draft.pieces.iter().map(|piece| piece.length_mm("armhole")).sum();
    assert_eq!((armhole.how, armhole.times), (How::Join, 2));
    // The house's ease of a crown is 1 in.
    assert!((armhole.length_mm - round_mm).abs() < 0.01 && (armhole.held_in_mm - 25.4).abs() < 0.1, "{armhole:?}");
    let place = |name: &str| steps.iter().position(|step| step.name == name).expect("a step");
    assert!(place("armhole") < place("side") && place("side") < place("underarm") && place("underarm") < place("hem"));
}

/// A back that opens: the centre seam is sewn below the opening alone, its zip is put in before the neck is finished, and
/// the neck is one run all round. The house's opening is 20 in long.
#[test]
fn a_back_that_opens_is_joined_below_its_opening() {
    let order = OrderText::everyday().choose("opening", "back");
    let (draft, steps) = (order.draft(), steps(&order));
    let centre = step(&steps, "centre back");
    let whole_mm = edge_mm(&draft.pieces[1], "centre back");
    assert_eq!((centre.how, centre.times, &centre.pieces[..]), (How::Join, 1, &["back"][..]));
    assert!((centre.length_mm - (whole_mm - 508.0)).abs() < 0.01, "{centre:?} of {whole_mm}");
    assert!(centre.says.starts_with("sew the edges of the back together"), "{}", centre.says);
    let opening = step(&steps, "back opening");
    assert!(opening.how == How::Open && (opening.length_mm - 508.0).abs() < 1e-9, "{opening:?}");
    let necks: Vec<&Step> = steps.iter().filter(|step| step.name == "neck").collect();
    let round_mm: f64 = draft.pieces.iter().map(|piece| 2.0 * edge_mm(piece, "neck")).sum();
    assert_eq!((necks.len(), necks[0].times, &necks[0].pieces[..]), (1, 1, &["front", "back"][..]));
    assert!((necks[0].length_mm - round_mm).abs() < 0.01, "{:?} for {round_mm}", necks[0]);
    let hems = steps.iter().filter(|step| step.how == How::Hem).collect::<Vec<_>>();
    assert!(hems.len() == 1 && hems[0].times == 1, "{hems:?}");
    let place = |name: &str| steps.iter().position(|step| step.name == name).expect("a step");
    assert!(place("centre back") < place("back opening") && place("back opening") < place("neck"));
    assert!(draft.checks.iter().any(|check| check.name == "centre back seam walks" && check.ok));
}

/// A kaftan's sides are stitched inside its edge, from under the arm to the hem: 78 cm from 26 cm down to 104 cm (a lesson
/// on a bubu gown, 2017: from 10 in, here 25.4 cm, below the shoulder).
#[test]
fn the_sides_of_a_kaftan_are_sewn() {
    let order = OrderText::of("104 cm", &[("bust", "94 cm"), ("hip", "102 cm"), ("head", "56 cm")]).kind("kaftan");
    let steps = steps(&order);
    let side = step(&steps, "side");
    assert_eq!((side.how, side.times, &side.pieces[..]), (How::Join, 2, &["front", "back"][..]));
    assert!((side.length_mm - (1040.0 - 254.0)).abs() < 1e-6, "{side:?}");
    // From the edge 21 in out to the seam a quarter of the hip and 2 in out, whatever turning the edge has besides.
    let off_mm = 21.0 * 25.4 - (1020.0 / 4.0 + 50.8);
    assert!((side.turning_mm - off_mm).abs() < 1e-6, "{side:?}");
    let hemmed = self::steps(&order.clone().rule("edge_allowance", "\"2 cm\""));
    assert!((step(&hemmed, "side").turning_mm - off_mm).abs() < 1e-6, "{hemmed:?}");
    // Its wings hang outside of the seam, right side out: it is no seam to be turned, nor its wings a turning to let out.
    let (off, says) = (System::Metric.show(off_mm), &side.says);
    for words in
        ["hem the outer edges first", "wrong sides facing", "along the chalked line", "hangs free", off.as_str()]
    {
        assert!(says.contains(words), "{words}: {says}");
    }
    assert!(!says.contains("right sides"), "{says}");
    let fitting = step(&steps, "fitting");
    assert!(fitting.says.contains("chalked line") && !fitting.says.contains("let out"), "{}", fitting.says);
    // Ties are sewn on that line; on a dress they are caught in the seam.
    let tied = self::steps(&order.choose("tie", "ties"));
    let tie = &step(&tied, "tie").says;
    assert!(tie.contains("on their line at the waist") && !tie.contains("caught"), "{tie}");
    assert!(tie.contains("turn it through its raw end") && !tie.contains("gap"), "{tie}");
    let dress = self::steps(&OrderText::everyday().choose("tie", "ties"));
    assert!(step(&dress, "tie").says.contains("caught in the side seam"), "{dress:#?}");
}

/// Every sleeve has notches for the armhole's, the flutter sleeve too; each meets the shoulder seam with its top.
#[test]
fn notches_are_said_to_meet() {
    for sleeve in ["long", "flutter"] {
        let steps = steps(&sleeved(sleeve));
        let says = &step(&steps, "armhole").says;
        assert!(says.contains("the notches meet at middle of the armhole"), "{sleeve}: {says}");
        assert!(says.contains("the notch of the crown meets the shoulder seam"), "{sleeve}: {says}");
    }
}

/// A tier of n panels is a ring of n seams; what is gathered to it and to the band is gathered, not eased, and the band's
/// lap stands over.
#[test]
fn tiers_are_rings_and_gathered() {
    let order = skirt("tiered-skirt", "75 cm");
    let (draft, steps) = (order.draft(), steps(&order));
    let rings: Vec<&Step> = steps.iter().filter(|step| step.name == "panels").collect();
    assert_eq!(rings.len(), 3);
    for ring in rings {
        let tier = draft.piece(ring.pieces[0]).expect("a tier");
        assert!(ring.times == tier.count && (ring.length_mm - 250.0).abs() < 1e-6 || ring.open_mm > 0.0, "{ring:?}");
    }
    for name in ["middle tier", "lower tier", "waist"] {
        let gathered = step(&steps, name);
        assert!(gathered.says.contains("to be gathered") && !gathered.says.contains("eased"), "{}", gathered.says);
    }
    // Its hem is one ring.
    let (hem, lower) = (step(&steps, "hem"), draft.piece("lower tier").expect("a tier"));
    let round_mm = f64::from(lower.count) * edge_mm(lower, "hem");
    assert!(lower.count > 1 && hem.times == 1 && (hem.length_mm - round_mm).abs() < 1e-6, "{hem:?} of {round_mm}");
    // Band: waist 78 cm and the house's ease of 1 in, and 1 in that laps.
    let waist = step(&steps, "waist");
    assert!((waist.length_mm - 805.4).abs() < 1e-6 && (waist.lap_mm - 25.4).abs() < 1e-9, "{waist:?}");
}

/// The lap of a band is not eased in; the left side stays open for a zip of 7 in, which is put in before the band.
#[test]
fn a_skirt_is_left_open_at_the_left_and_its_band_laps() {
    for kind in ["a-line-skirt", "circle-skirt"] {
        let steps = steps(&skirt(kind, "70 cm"));
        let waist = step(&steps, "waist");
        assert!(waist.held_in_mm < 0.1 && waist.says.contains("2.5 cm of the waistband stand over"), "{}", waist.says);
        assert!(!waist.says.contains("eased"), "{}", waist.says);
        assert!(waist.says.contains("the notches meet at centre back and centre front"), "{}", waist.says);
        let side = step(&steps, "side");
        assert!(side.times == 2 && side.says.contains("17.8 cm at the top of the left one stay open"), "{}", side.says);
        let place = |name: &str| steps.iter().position(|step| step.name == name).expect("a step");
        assert!((step(&steps, "side opening").length_mm - 177.8).abs() < 1e-9);
        assert!(place("side") < place("side opening") && place("side opening") < place("waist"), "{steps:#?}");
    }
    let cased = steps(&skirt("a-line-skirt", "70 cm").choose("waist", "casing"));
    assert!(cased.iter().all(|step| step.how != How::Open && step.open_mm == 0.0), "{cased:#?}");
    assert_eq!(step(&cased, "casing").how, How::Join);
}

/// Band and casing are stitched down over the seam that they are sewn on by, one closed where it laps, the other round its elastic
/// (common practice, no source).
#[test]
fn what_is_sewn_to_a_waist_is_closed_over_it() {
    for kind in ["a-line-skirt", "circle-skirt", "tiered-skirt"] {
        for (waist, name, words) in
            [("band", "waistband", ["sew its ends", "hook"]), ("casing", "casing", ["but for a gap", "draw elastic"])]
        {
            let order = skirt(kind, "75 cm").choose("waist", waist);
            let steps = steps(&order);
            let place = |how: How, name: &str| steps.iter().position(|step| step.how == how && step.name == name);
            let made = place(How::Make, name).unwrap_or_else(|| panic!("no {name} in {steps:#?}"));
            assert!(place(How::Join, "waist").is_some_and(|waist| waist < made), "{kind}: {steps:#?}");
            let (made, draft) = (&steps[made], order.draft());
            let along_mm = edge_mm(draft.piece(name).expect("a band"), "right");
            assert!(made.times == 1 && (made.length_mm - along_mm).abs() < 1e-6, "{kind}: {made:?}");
            for words in words.into_iter().chain(["stitch it down over the seam at the waist"]) {
                assert!(made.says.contains(words), "{kind}: {words}: {}", made.says);
            }
        }
    }
}

/// A dart is sewn before the seam that crosses it (common practice, no source), on both halves, its leg long.
#[test]
fn a_dart_is_sewn_before_the_sides() {
    let order = OrderText::everyday().choose("dart", "side");
    let (draft, steps) = (order.draft(), steps(&order));
    let dart = step(&steps, "dart");
    let (_, [from, to]) = draft.pieces[0].marks.iter().find(|(name, _)| *name == "dart").expect("a leg");
    assert!(dart.times == 2 && dart.pieces == ["front"] && (dart.length_mm - (*to - *from).length()).abs() < 1e-9);
    assert!(
        dart.says.contains("the dart is 2.5 cm wide") && dart.says.contains("press the dart down"),
        "{}",
        dart.says
    );
    let side = step(&steps, "side");
    assert!((side.length_mm - edge_mm(&draft.pieces[1], "side")).abs() < 0.01, "{side:?}");
    assert!(side.says.contains("the notches meet at hip and waist"), "{}", side.says);
    let place = |name: &str| steps.iter().position(|step| step.name == name).expect("a step");
    assert!(place("dart") < place("shoulder") && place("shoulder") < place("side"));
}

/// The side is sewn but for its pocket's opening: half a hand of 20 cm and 1 in.
#[test]
fn a_side_with_a_pocket_is_open_there() {
    let plain = OrderText::everyday().body("hand", "20 cm");
    let with = steps(&plain.clone().choose("pockets", "in-seam"));
    let over_mm = step(&steps(&plain), "side").length_mm - step(&with, "side").length_mm;
    assert!((over_mm - 125.4).abs() < 1e-6, "{over_mm}");
}

/// Faced in one, the armholes are sewn while the sides are open, and the sides of dress and facing after them; where the back
/// opens, a facing's or a strip's ends are turned in there.
#[test]
fn a_facing_in_one_comes_before_the_sides_and_ends_at_an_opening() {
    let in_one = steps(&OrderText::everyday().choose("edges", "all-in-one"));
    let place = |steps: &[Step], name: &str, facing: bool| {
        let is = |step: &Step| step.pieces.iter().all(|piece| piece.contains("facing"));
        steps.iter().position(|step| step.name == name && is(step) == facing).unwrap_or_else(|| panic!("no {name}"))
    };
    let order = [("shoulder", false), ("neck", false), ("armhole", false), ("side", false), ("hem", false)];
    let places: Vec<usize> = order.iter().map(|(name, facing)| place(&in_one, name, *facing)).collect();
    assert!(places.is_sorted(), "{in_one:#?}");
    assert!(place(&in_one, "armhole", false) < place(&in_one, "side", true), "{in_one:#?}");
    assert!(step(&in_one, "armhole").says.contains("with the sides still open"));
    for (edges, says) in
        [("facing", "at the opening turn its ends in"), ("bias", "at the opening turn the strip's ends in")]
    {
        let open = steps(&OrderText::everyday().choose("edges", edges).choose("opening", "back"));
        assert!(open.iter().any(|step| step.name == "neck" && step.says.contains(says)), "{open:#?}");
    }
}

/// The square becomes one strip before anything is bound: two seams as long as its side and 1/4 in off its edges, half of the
/// 1/2 in that they take of it (the published square). A neck with a slit is one run from slit to slit, the slit another.
#[test]
fn bias_strip_is_made_before_it_binds() {
    let order = OrderText::everyday().choose("edges", "bias").choose("neckline", "slit");
    let (draft, steps) = (order.draft(), steps(&order));
    let place = |name: &str| steps.iter().position(|step| step.name == name).unwrap_or_else(|| panic!("no {name}"));
    assert!(["neck", "slit", "armhole"].iter().all(|bound| place("bias square") < place(bound)), "{steps:#?}");
    let square = step(&steps, "bias square");
    let side_mm = crate::check::step_mm(&draft, "bias square");
    assert!(square.how == How::Make && square.times == 2 && (square.length_mm - side_mm).abs() < 1e-9, "{square:?}");
    assert!((square.turning_mm - 6.35).abs() < 1e-9, "{square:?}");
    let width = System::Metric.show(crate::check::step_mm(&draft, "bias width"));
    let needed = System::Metric.show(crate::check::step_mm(&draft, "bias strip"));
    for says in ["along its diagonal", "parallelogram", "shifted by one row", "tube", &width, &needed] {
        assert!(square.says.contains(says), "{says}: {}", square.says);
    }
    for (name, length_mm) in
        [("neck", crate::check::step_mm(&draft, "neckline")), ("slit", 2.0 * edge_mm(&draft.pieces[0], "slit"))]
    {
        let bound: Vec<&Step> = steps.iter().filter(|step| step.name == name).collect();
        assert!(bound.len() == 1 && bound[0].how == How::Bind && bound[0].times == 1, "{bound:?}");
        assert!((bound[0].length_mm - length_mm).abs() < 0.01, "{name}: {} and {length_mm}", bound[0].length_mm);
    }
    assert!(place("shoulder") < place("slit") && place("slit") < place("neck"), "{steps:#?}");
    let faced = self::steps(&OrderText::everyday().choose("edges", "facing").choose("neckline", "slit"));
    let slit = step(&faced, "slit");
    assert!(slit.how == How::Face && slit.says.contains("cut both layers open between the stitches"), "{slit:?}");
}

/// A slit is bound before the neck, whose strip encloses the ends of the slit's (common practice, no source); without a slit
/// nothing is said of one.
#[test]
fn a_slit_is_bound_before_its_neck() {
    let body = [("bust", "94 cm"), ("hip", "102 cm"), ("head", "56 cm")];
    for order in [OrderText::everyday(), OrderText::of("104 cm", &body).kind("kaftan")] {
        for edges in ["plain", "bias"] {
            let order = order.clone().choose("edges", edges);
            let slit = steps(&order.clone().choose("neckline", "slit"));
            let place = |name: &str| slit.iter().position(|step| step.name == name).expect("a step");
            assert!(place("slit") < place("neck") && slit[place("slit")].how == How::Bind, "{slit:#?}");
            let says = "at the slit enclose the ends of its binding too, and turn the strip's own in";
            assert!(slit[place("neck")].says.contains(says), "{}", slit[place("neck")].says);
            assert!(!step(&steps(&order), "neck").says.contains("slit"), "{edges}");
        }
    }
}

/// Pockets, belts and ties are pieces too: each is made up in a step.
#[test]
fn pockets_and_ties_are_made_up() {
    for (choice, word, name, times) in [
        ("pockets", "in-seam", "pocket", 2),
        ("pockets", "patch", "pocket", 2),
        ("tie", "belt", "belt", 1),
        ("tie", "ties", "tie", 2),
    ] {
        let steps = steps(&OrderText::everyday().choose(choice, word));
        let made = step(&steps, name);
        assert!(made.how == How::Make && made.times == times && made.length_mm > 100.0, "{made:?}");
        let before_side = steps.iter().position(|step| step.name == name) < steps.iter().position(|s| s.name == "side");
        assert_eq!(before_side, name != "belt", "{steps:#?}");
        assert_eq!(steps.last().map(|step| step.how), Some(How::Hem));
    }
}

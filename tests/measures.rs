//! Measurements, sizes and washing against outside figures: the measured women of ANSUR II (`tests/data/bodies.md`), the
//! published size tables, and ISO 5077's way of reckoning a change by washing.

use chalklight::draft::{Draft, draft};
use chalklight::finish::finish;
use chalklight::lay::{Wanted, lay};
use chalklight::order::{Kind, MEASURES, Measure, Order, TABLES, read};
use chalklight::remark::{Remark, Weight};

use crate::bodies::{Woman, women};
use crate::check::{faults, step_mm};

const INCH: f64 = 25.4;

fn order(text: &str) -> Order {
    read(text).unwrap_or_else(|no| panic!("{no}\n{text}")).value
}

fn drafted(text: &str) -> Draft {
    draft(&order(text)).unwrap_or_else(|no| panic!("{no}\n{text}")).value
}

fn said(text: &str) -> Vec<String> {
    let remarks = match read(text) {
        Ok(told) => told.remarks,
        Err(refusal) => refusal.remarks,
    };
    remarks.iter().map(Remark::to_string).collect()
}

const DRESS: &str = "[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\n";

fn body(lines: &str) -> String {
    format!("[body]\n{lines}\n{DRESS}")
}

/// Slope, value at nought and residual deviation of a least-squares line, by its textbook sums.
fn line(points: &[(f64, f64)]) -> [f64; 3] {
    let n = points.len() as f64;
    let mean = |pick: fn(&(f64, f64)) -> f64| points.iter().map(pick).sum::<f64>() / n;
    let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
    let sxy: f64 = points.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let sxx: f64 = points.iter().map(|(x, _)| (x - mx).powi(2)).sum();
    let slope = sxy / sxx;
    let at_zero = my - slope * mx;
    let rest: f64 = points.iter().map(|(x, y)| (y - at_zero - slope * x).powi(2)).sum();
    [slope, at_zero, (rest / (n - 2.0)).sqrt()]
}

/// For each pair the line is fitted anew, and who is off it by more than three deviations must be who is questioned: all
/// but a strip of 3 mm on either side, in which the rounding of the program's own line may decide.
#[test]
fn who_is_questioned_is_off_the_line_of_1986_women() {
    type Column = fn(&Woman) -> f64;
    let pairs: [(Measure, Column); 6] = [
        (Measure::Hip, |w| w.mm("buttockcircumference")),
        (Measure::Waist, |w| w.mm("waistcircumference")),
        (Measure::UpperArm, |w| w.mm("bicepscircumferenceflexed")),
        (Measure::Shoulder, |w| {
            2.0 * (w.mm("biacromialbreadth") / 2.0).hypot(w.mm("cervicaleheight") - w.mm("acromialheight"))
        }),
        (Measure::WaistDepth, |w| w.mm("waistbacklength")),
        (Measure::ArmLength, |w| w.mm("sleeveoutseam")),
    ];
    let women = women();
    let bust = |woman: &Woman| woman.mm("chestcircumference");
    let order = |woman: &Woman| woman.order().body("arm_length", &format!("{} mm", woman.mm("sleeveoutseam")));
    let remarks: Vec<Vec<String>> = women.iter().map(|woman| said(&order(woman).text())).collect();
    for (measure, value) in pairs {
        let points: Vec<(f64, f64)> = women.iter().map(|woman| (bust(woman), value(woman))).collect();
        let [slope, at_zero, sd] = line(&points);
        let name = measure.facts().name;
        let (mut questioned, mut near) = (0, 0);
        for ((x, y), said) in points.iter().zip(&remarks) {
            let off = y - at_zero - slope * x;
            let is = said
                .iter()
                .filter_map(|told| told.strip_prefix(name)?.strip_prefix(" "))
                .any(|told| told.starts_with(|c: char| c.is_ascii_digit()) && told.contains("than usual beside bust"));
            questioned += usize::from(is);
            if (off.abs() - 3.0 * sd).abs() < 3.0 {
                near += 1;
            } else {
                assert_eq!(is, off.abs() > 3.0 * sd, "{name} {y} beside bust {x}: {off} off, sd {sd}: {said:?}");
            }
        }
        println!("{name:<12} = {slope:.4} bust {at_zero:+.1}, sd {sd:.1}: {questioned} questioned, {near} on the edge");
        // Three deviations leave out 0.3 % of a normal population; these are a little wider in their tails.
        assert!((1..=20).contains(&questioned) && near <= 10, "{name}: {questioned} questioned, {near} near");
    }
}

/// The believed range of a girth is that of the survey, rounded outward: none of these women is unusual by herself.
#[test]
fn no_measured_woman_has_an_unusual_girth_or_head() {
    for woman in women() {
        for told in said(&woman.order().text()).iter().filter(|told| told.contains("is unusual")) {
            let derived = ["shoulder", "waist depth", "hip depth"].iter().any(|name| told.contains(name));
            assert!(derived, "row {}: {told}", woman.row);
        }
    }
}

/// Two slips that the pairs are for: a hip read off the wrong side of the tape, and a waist in place of a bust.
#[test]
fn a_slip_of_the_tape_is_questioned_and_taken() {
    let of = |bust: u32, waist: u32, hip: u32| {
        body(&format!(
            "bust = \"{bust} cm\"\nwaist = \"{waist} cm\"\nhip = \"{hip} cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\""
        ))
    };
    assert!(said(&of(94, 78, 102)).is_empty(), "{:?}", said(&of(94, 78, 102)));
    for (text, name) in [(of(94, 78, 130), "hip 130 cm"), (of(78, 97, 102), "waist 97 cm")] {
        let told = said(&text);
        assert!(read(&text).is_ok());
        assert!(told.iter().any(|told| told.contains(name) && told.contains("than usual beside")), "{told:?}");
    }
}

/// Values as printed in the sources that `src/order/sizes.rs` names, in the tables' own units.
#[test]
fn sizes_give_what_their_tables_print() {
    let mm =
        |text: &str, measure| order(&body(text)).body.get(measure).unwrap_or_else(|| panic!("{text}: {measure:?}"));
    let inches = |size: &str, measure| mm(&format!("from_size = \"{size}\""), measure) / INCH;
    for (size, bust, waist, hip) in [("6", 30.5, 23.0, 32.5), ("12", 34.0, 26.5, 36.0), ("20", 42.0, 34.0, 44.0)] {
        let of = |measure| inches(&format!("us-misses-1967 {size}"), measure);
        for (measure, value) in [(Measure::Bust, bust), (Measure::Waist, waist), (Measure::Hip, hip)] {
            assert!((of(measure) - value).abs() < 1e-9, "{size}: {measure:?}");
        }
    }
    for (size, measure, value) in [
        ("us-women-1967 44", Measure::Waist, 41.5),
        ("us-women-1967 50", Measure::Bust, 54.0),
        ("astm-d5585-11 8", Measure::Bust, 36.25),
        ("astm-d5585-11 20", Measure::Waist, 40.5),
        ("astm-d5585-11 00", Measure::Head, 21.25),
    ] {
        assert!((inches(size, measure) - value).abs() < 1e-9, "{size}: {measure:?}");
    }
    assert!((mm("from_size = \"en-13402-3 92\"", Measure::Hip) - 1000.0).abs() < 1e-9);
}

/// Every size of every table is a whole quick start: all that the dress needs is there, and none of it as measured.
#[test]
fn every_size_is_a_start_that_says_it_was_not_measured() {
    for table in &TABLES {
        for size in table.sizes {
            let text = body(&format!("from_size = \"{} {size}\"", table.key));
            let order = order(&text);
            let unmeasured: Vec<Measure> = order.body.unmeasured().map(|(measure, _)| measure).collect();
            assert!(Kind::ALineDress.needs().iter().all(|need| unmeasured.contains(need)), "{text}: {unmeasured:?}");
            let draft = draft(&order).unwrap_or_else(|no| panic!("{no}\n{text}")).value;
            let check = &draft.checks[0];
            assert!(!check.ok && check.severity == Weight::Doubt, "{check:?}");
            assert!(
                check.says.contains("not measured")
                    && check.remedy.as_deref().is_some_and(|r| r.contains("before anything is cut"))
            );
            assert!(draft.working[0].rule.contains("not measured: size"), "{:?}", draft.working[0]);
        }
    }
}

/// A long sleeve starts from a size too: its arm length is what is usual beside the bust (by the line of the women, 34 in = 863.6
/// mm: 536 mm), and the working says of every length where it is from.
#[test]
fn a_long_sleeve_starts_from_a_size() {
    let sized = |more: &str| {
        let body = format!("from_size = \"us-misses-1967 12\"\n{more}");
        drafted(&self::body(&body).replace("[garment]\n", "[garment]\nsleeve = \"long\"\n"))
    };
    let rule = |draft: &Draft, name: &str| {
        let step = draft.working.iter().find(|step| step.name == name).unwrap_or_else(|| panic!("no step {name}"));
        step.rule.clone()
    };
    let draft = sized("");
    assert!((step_mm(&draft, "sleeve length") - 536.0).abs() < 1.0, "{}", rule(&draft, "sleeve length"));
    assert!(rule(&draft, "sleeve length").contains("arm length from the size"), "{}", rule(&draft, "sleeve length"));
    assert!(rule(&draft, "waist line").contains("waist depth from the size"), "{}", rule(&draft, "waist line"));
    let draft = sized("arm_length = \"57 cm\"\nwaist_depth = \"41 cm\"");
    assert!(rule(&draft, "sleeve length").contains("arm length as measured"), "{}", rule(&draft, "sleeve length"));
    assert!(rule(&draft, "waist line").contains("waist depth as measured"), "{}", rule(&draft, "waist line"));
}

/// Depths of front and back that can't be one body's are questioned: much longer behind, or shorter than over any bust.
#[test]
fn a_back_that_does_not_go_with_its_front_is_questioned() {
    for (back, is_questioned) in [("38.5 cm", false), ("42 cm", false), ("46 cm", true), ("29 cm", true)] {
        let told = said(&body(&format!(
            "bust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"41 cm\"\nback_depth = \"{back}\""
        )));
        assert_eq!(told.iter().any(|told| told.contains("than waist depth 41 cm")), is_questioned, "{back}: {told:?}");
    }
}

#[test]
fn what_is_measured_goes_before_the_size() {
    let text =
        body("from_size = \"us-misses-1967 12\"\nbust = \"90 cm\"\nwaist_depth = \"40 cm\"\nshoulder = \"38 cm\"");
    let order = order(&text);
    assert_eq!(order.body.get(Measure::Bust), Some(900.0));
    assert_eq!(order.body.unmeasured().map(|(measure, _)| measure).collect::<Vec<_>>(), [Measure::Waist, Measure::Hip]);
    let whole = body(
        "from_size = \"us-misses-1967 12\"\nbust = \"90 cm\"\nwaist = \"70 cm\"\nhip = \"96 cm\"\nwaist_depth = \"40 cm\"\nshoulder = \"38 cm\"",
    );
    assert!(drafted(&whole).checks.iter().all(|check| check.name != "measured on the body"));
    // What can't be read is not filled from the size, but told.
    let bad = said(&body("from_size = \"us-misses-1967 12\"\nbust = \"90\""));
    assert!(bad.iter().any(|told| told.contains("bust = \"90\" has no unit")), "{bad:?}");
    // What a table lacks comes from what is usual beside the bust: 34 in = 863.6 mm, by the line of the women.
    let shoulder = drafted(&body("from_size = \"us-misses-1967 12\""))
        .working
        .iter()
        .find(|s| s.name == "shoulder")
        .unwrap()
        .clone();
    assert!(
        shoulder.rule.contains("usual beside such a bust") && (shoulder.value_mm - 382.0).abs() < 1.0,
        "{shoulder:?}"
    );
}

#[test]
fn a_size_that_is_none_is_refused_with_those_that_are() {
    for (value, says, write) in [
        ("12", "names no size table", "us-misses-1967"),
        ("us-mises-1967 12", "names no size table", "us-misses-1967 ..."),
        ("us-misses-1967 13", "is no size of the US misses table of 1967", "6, 8, 10"),
        ("us-misses-1967 13", "is no size of", "write \"us-misses-1967 12\" or \"us-misses-1967 14\";"),
        ("us-misses-1967 26", "is no size of", "write \"us-misses-1967 20\";"),
        ("en-13402-3 105", "is no size of", "write \"en-13402-3 104\";"),
        ("astm-d5585-11 1", "is no size of", "write \"astm-d5585-11 0\" or \"astm-d5585-11 2\";"),
        ("us-misses-1967", "is no size of", "us-misses-1967 6"),
        ("", "names no size table", "en-13402-3"),
    ] {
        let told = said(&body(&format!("from_size = \"{value}\"")));
        assert!(
            told.iter().any(|told| told.starts_with("line 2: ") && told.contains(says) && told.contains(write)),
            "{value}: {told:?}"
        );
        assert!(told.iter().all(|told| !told.contains("is missing")), "{value}: {told:?}");
    }
}

fn washed(lines: &str) -> String {
    let all = "bust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"";
    format!("{}[cloth]\nwidth = \"150 cm\"\n{lines}\n", body(all).replace("104 cm", "130 cm"))
}

/// ISO 5077: change = (after - before) / before; marks 500 mm apart that come out 485 mm apart are -3.0 %. A finished
/// length of 1300 mm is cut 1300 / 0.97 = 1340.2 mm long.
#[test]
fn cloth_cut_unwashed_comes_out_right_after_its_first_wash() {
    let shrinks = "shrinkage_along = [\"500 mm\", \"485 mm\"]\nshrinkage_across = [\"350 mm\", \"343 mm\"]\nwash = \"after-sewing\"";
    let (plain, larger) = (drafted(&washed("")), drafted(&washed(shrinks)));
    assert!((step_mm(&larger, "cut unwashed") - 1340.2).abs() < 0.05);
    assert!((larger.length_mm - 1340.2).abs() < 0.05);
    assert_eq!(plain.checks, larger.checks);
    for (piece, large) in plain.pieces.iter().zip(&larger.pieces) {
        // Washing leaves 0.97 of the length and 0.98 of the width.
        let (low, high) = piece.outline().bounds();
        let (large_low, large_high) = large.outline().bounds();
        assert!((large_high.y * 0.97 - high.y).abs() < 0.01 && (large_low.y * 0.97 - low.y).abs() < 0.01);
        assert!((large_high.x * 0.98 - high.x).abs() < 0.01);
        for (notch, far) in piece.notches.iter().zip(&large.notches) {
            let at = |piece: &chalklight::draft::SewnPiece, notch: &chalklight::draft::NotchPlace| {
                piece.edge(notch.edge).expect("its edge").curve.at_length(notch.along_mm).0
            };
            let (p, q) = (at(piece, notch), at(large, far));
            assert!((q.x * 0.98 - p.x).hypot(q.y * 0.97 - p.y) < 0.01, "{notch:?}: {p:?} {q:?}");
        }
    }
    let pieces = finish(&larger).unwrap_or_else(|no| panic!("{no}")).value;
    assert!(faults(&larger, &pieces).is_empty(), "{:?}", faults(&larger, &pieces));
}

/// Washed first, the pieces stay as they are, the cloth is narrower, and more of it is bought: 51 in at 3 % are 52.58.
#[test]
fn cloth_washed_first_is_bought_longer() {
    let shrinks =
        "length = \"3 m\"\nshrinkage_along = [\"500 mm\", \"485 mm\"]\nshrinkage_across = [\"50 cm\", \"49 cm\"]";
    let (plain, shrunk) = (order(&washed("length = \"3 m\"")), order(&washed(shrinks)));
    let (plain_draft, shrunk_draft) = (draft(&plain).unwrap().value, draft(&shrunk).unwrap().value);
    assert_eq!(plain_draft.pieces, shrunk_draft.pieces);
    let cloth = shrunk.cloth.as_ref().expect("cloth");
    assert!((cloth.width_mm - 1470.0).abs() < 1e-9 && (cloth.length_mm.expect("a length") - 2910.0).abs() < 1e-9);
    assert!((cloth.to_buy_mm(51.0 * INCH) / INCH - 52.58).abs() < 0.005);
    let pieces = finish(&shrunk_draft).unwrap().value;
    let laid = lay(&Wanted::of(&pieces, cloth, shrunk.system)).unwrap_or_else(|no| panic!("{no}")).value;
    assert!((laid.cloth.to_buy_mm(laid.used_mm) * 0.97 - laid.used_mm).abs() < 1e-9);
    assert!(
        said(&washed(shrinks))
            .iter()
            .any(|told| told.contains("150 cm of width become 147 cm, and 300 cm of length 291 cm"))
    );
}

/// Cut unwashed, edges are longer, and so is the strip that binds them: all of them and what the ends of its three runs take. Its
/// square stays a square of n w sqrt 2 and its seams, whose diagonal alone is true bias (geometry; *School Sewing*, pars. 143-144).
#[test]
fn bias_strip_is_as_long_as_unwashed_edges() {
    let shrinks = "shrinkage_along = [\"500 mm\", \"475 mm\"]\nshrinkage_across = [\"500 mm\", \"480 mm\"]\nwash = \"after-sewing\"";
    let bound = |lines: &str| drafted(&washed(lines).replace("[garment]\n", "[garment]\nedges = \"bias\"\n"));
    let (plain, larger) = (bound(""), bound(shrinks));
    let around_mm = |draft: &Draft| {
        let edges = |edge: &str| draft.pieces[..2].iter().map(|piece| 2.0 * piece.length_mm(edge)).sum::<f64>();
        edges("neck") + edges("armhole")
    };
    assert!(around_mm(&larger) > 1.03 * around_mm(&plain));
    for draft in [&plain, &larger] {
        let square = draft.piece("bias square").expect("a square");
        let strip = square.strip.expect("a strip");
        let needed_mm = around_mm(draft) + 3.0 * strip.width_mm;
        assert!((strip.length_mm - needed_mm).abs() < 1e-6 && (strip.width_mm - INCH).abs() < 1e-9, "{strip:?}");
        let gives_mm = |rows: f64| 2.0 * rows * rows * strip.width_mm;
        let rows = f64::from(strip.rows);
        assert!(gives_mm(rows) >= needed_mm - 1e-6 && gives_mm(rows - 1.0) < needed_mm, "{strip:?}");
        let side_mm = rows * strip.width_mm * 2.0_f64.sqrt() + 2.0 * strip.seam_mm;
        let (low, high) = square.outline().bounds();
        let size_mm = high - low;
        assert!((size_mm.x - side_mm).abs() < 1e-6 && (size_mm.y - side_mm).abs() < 1e-6, "{size_mm:?}, {side_mm}");
        let (_, [from, to]) = square.marks[0];
        assert!(((to - from).x + (to - from).y).abs() < 1e-9, "the diagonal is at 45 degrees");
    }
}

#[test]
fn a_wash_test_that_cannot_be_is_refused() {
    for (lines, says, write) in [
        ("shrinkage_along = [\"500 mm\"]", "needs two lengths", "[\"50 cm\", \"48.5 cm\"]"),
        ("shrinkage_along = [\"50 cm\", \"5 cm\"]", "a change by -90 %", "measure the marks again"),
        ("shrinkage_along = [\"0 cm\", \"5 cm\"]", "needs two lengths above nought", "write"),
        ("shrinkage_across = \"3 %\"", "is not a list", "write shrinkage_across"),
        ("shrinkage_across = [\"50 cm\", \"49 cm\"]\nwash = \"never\"", "no time of washing", "\"before-cutting\""),
        ("shrinkage_alog = [\"50 cm\", \"49 cm\"]", "not known in [cloth]", "did you mean shrinkage_along?"),
    ] {
        let told = said(&washed(lines));
        assert!(
            told.iter().any(|told| told.starts_with("line ") && told.contains(says) && told.contains(write)),
            "{lines}: {told:?}"
        );
    }
}

/// The README lists each measurement with its term in ISO 8559-1.
#[test]
fn every_measurement_is_in_the_readme_with_its_term() {
    let readme = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/README.md")).unwrap();
    for facts in &MEASURES {
        assert!(
            readme.contains(&format!("| `{}` | {} |", facts.key, facts.iso)),
            "README lacks {} ({})",
            facts.key,
            facts.iso
        );
    }
}

/// 2.10 m at 8.50 for a metre, and 2 3/8 yd (85.5 in) at 12 for a yard, by hand: the sheet's cost of what the shop cuts.
#[test]
fn cloth_costs_what_the_shop_cuts() {
    let costs = |price: &str, mm: f64| {
        let text = washed(&format!("price = \"{price}\""));
        order(&text).cloth.expect("cloth").price.expect("a price").of(mm)
    };
    assert_eq!(costs("8.50 EUR per m", 2100.0), "17.85 EUR");
    assert_eq!(costs("8,50 €/m", 2100.0), "17.85 €");
    assert_eq!(costs("$12 per yd", 85.5 * INCH), "$28.50");
    assert_eq!(chalklight::units::System::Metric.cut_from_bolt_mm(2146.0), 2200.0);
    assert!((chalklight::units::System::Inch.cut_from_bolt_mm(84.0 * INCH) / INCH - 85.5).abs() < 1e-9);
    for bad in [
        "8.50",
        "8.50 EUR",
        "EUR per m",
        "8.50 per ell",
        "-8 EUR per m",
        "8 or 9 EUR per m",
        "1e999 EUR per m",
        "8.5.0 per m",
    ] {
        let told = said(&washed(&format!("price = \"{bad}\"")));
        assert!(
            told.iter().any(|told| told.contains("no price that can be read") && told.contains("per yd")),
            "{bad}: {told:?}"
        );
    }
}

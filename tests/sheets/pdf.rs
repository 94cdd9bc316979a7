//! The cut sheet, read back with pypdf (tests/oracles/read_pdf.py).

use chalklight::calibrate::photo::card::Format;
use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::contours::contours;
use chalklight::units::INCH_MM;
use image::{Rgba, RgbaImage};
use serde_json::Value;

use super::{Job, ask, inches, joint, metric, number, opened, sleeved};

/// ISO 216.
const A4_MM: [f64; 2] = [210.0, 297.0];

/// What a pen can't draw finer.
const NEAR_MM: f64 = 0.01;

/// One painted path.
struct Path {
    points: Vec<[f64; 2]>,
    closed: bool,
    stroked: bool,
    width_mm: f64,
}

impl Path {
    fn of(value: &Value) -> Self {
        let point = |p: &Value| [number(&p[0]), number(&p[1])];
        Self {
            points: value["points"].as_array().expect("points").iter().map(point).collect(),
            closed: value["closed"].as_bool().expect("closed"),
            stroked: value["stroked"].as_bool().expect("stroked"),
            width_mm: number(&value["width"]),
        }
    }

    fn across_mm(&self, axis: usize) -> f64 {
        let all = || self.points.iter().map(|p| p[axis]);
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    }
}

/// The pages: text with single spaces, and paths.
struct Pages {
    read: Value,
    texts: Vec<String>,
}

impl Pages {
    fn of(pdf: &[u8]) -> Self {
        let read = ask("read_pdf.py", pdf);
        let text = |page: &Value| page["text"].as_str().expect("text").split_whitespace().collect::<Vec<_>>().join(" ");
        let texts = read["pages"].as_array().expect("pages").iter().map(text).collect();
        Self { read, texts }
    }

    fn paths(&self, page: usize) -> Vec<Path> {
        self.read["pages"][page]["paths"].as_array().expect("paths").iter().map(Path::of).collect()
    }

    /// The first page on which `text` stands.
    fn page_with(&self, text: &str) -> usize {
        self.texts.iter().position(|page| page.contains(text)).unwrap_or_else(|| panic!("no page says {text:?}"))
    }
}

fn pages(job: &Job) -> Pages {
    Pages::of(&job.sheet(&[], None))
}

#[test]
fn every_page_is_a4_and_numbered() {
    let pages = pages(&metric());
    let count = pages.texts.len();
    assert!(count >= 8, "{count} pages");
    for (i, text) in pages.texts.iter().enumerate() {
        for (axis, expected_mm) in A4_MM.into_iter().enumerate() {
            let mm = number(&pages.read["pages"][i]["size"][axis]);
            assert!((mm - expected_mm).abs() < NEAR_MM, "page {}: {mm} mm", i + 1);
        }
        assert!(text.contains(&format!("page {} of {count}", i + 1)), "{text}");
    }
}

#[test]
fn type_is_embedded_and_names_are_kept() {
    let pages = pages(&metric());
    let fonts = pages.read["fonts"].as_array().expect("fonts");
    assert!(!fonts.is_empty());
    for font in fonts {
        // A subset's name has six letters and a plus sign before it (PDF 32000-1, 9.6.4).
        let name = font.as_str().expect("a name").trim_start_matches('/');
        assert!(name.len() > 7 && &name[6..7] == "+" && name.contains("Hack"), "{name}");
    }
    assert_eq!(pages.read["title"], "Cut sheet, Second alto <& co>, A-line dress");
    for text in ["Second alto <& co>", "measured 2026-11-02", "A-line dress, 104 cm from the start line to the hem"] {
        assert!(pages.texts[0].contains(text), "{text} is not in {}", pages.texts[0]);
    }
}

/// A tape held to the first page must find what is written there.
#[test]
fn the_check_rule_measures_100_mm() {
    let pages = pages(&metric());
    let page = pages.page_with("This rule must measure 100 mm");
    let paths = pages.paths(page);
    let straight = |path: &&Path| path.stroked && !path.closed && path.points.len() == 2;
    let level = |path: &&Path| path.across_mm(1) < NEAR_MM && (80.0..120.0).contains(&path.across_mm(0));
    let rules: Vec<&Path> = paths.iter().filter(straight).filter(level).collect();
    assert_eq!(rules.len(), 1);
    let rule = rules[0];
    assert!((rule.across_mm(0) - 100.0).abs() < NEAR_MM, "{} mm", rule.across_mm(0));
    let [left, y] = rule.points[0];
    let foot = |path: &&Path| path.across_mm(0) < NEAR_MM && path.points.iter().any(|p| (p[1] - y).abs() < NEAR_MM);
    let mut ticks: Vec<f64> = paths.iter().filter(straight).filter(foot).map(|path| path.points[0][0] - left).collect();
    ticks.sort_by(f64::total_cmp);
    assert_eq!(ticks.len(), 11);
    for (i, tick) in ticks.iter().enumerate() {
        assert!((tick - 10.0 * i as f64).abs() < NEAR_MM, "tick {i} at {tick} mm");
    }
}

/// Results worked by hand from the rules as they are printed (inches of the rules put into centimetres).
#[test]
fn the_working_is_printed_as_it_is_done_by_hand() {
    let pages = pages(&metric());
    let text = &pages.texts[pages.page_with("Working")];
    for row in [
        "shoulder tip shoulder 39 cm / 2 19.5 cm",
        "chest line bust 94 cm / 6 + 3.8 cm 19.5 cm",
        "quarter waist waist 78 cm / 4 + 4.5 cm 24 cm",
        "hip line waist line 40 cm + hip depth 20.3 cm (set) 60.3 cm",
        "fold width largest girth 102 cm / 4 + 17.8 cm 43.3 cm",
        "front neck depth set 13 cm",
        "Set in this order front neck depth 13 cm waist ease 4.5 cm",
    ] {
        assert!(text.contains(row), "{row:?} is not in {text}");
    }
}

#[test]
fn every_step_and_every_edge_is_on_paper() {
    for job in [metric(), inches(), opened()] {
        let pages = pages(&job);
        let all = pages.texts.join(" ");
        for step in &job.draft.working {
            let (rule, result) = step.rule.rsplit_once(" = ").expect("a result");
            assert!(all.contains(&format!("{} {rule} {result}", step.name)), "{step:?} is not in {all}");
        }
        for piece in &job.pieces {
            let caption = format!("{}{}", piece.name[..1].to_uppercase(), &piece.caption()[1..]);
            let text = &pages.texts[pages.page_with(&format!("{caption} Drawn 1 :"))];
            for edge in &piece.edges {
                let row = format!("{} {}", edge.name, job.draft.system.show(edge.length_mm));
                assert!(text.contains(&row), "{row:?} of the {} is not in {text}", piece.name);
            }
        }
        for stage in &job.stages {
            let sentence: Vec<&str> = stage.sentence.split_whitespace().collect();
            assert!(all.contains(&sentence.join(" ")), "{} is not in {all}", stage.sentence);
        }
    }
}

/// The cutting line on the page, enlarged by the scale that the page states, is as large as the piece.
#[test]
fn a_piece_is_drawn_to_the_scale_that_is_stated() {
    for job in [metric(), inches()] {
        let pages = pages(&job);
        for piece in &job.pieces {
            let caption = piece.caption();
            let page = pages.page_with(&format!("{} Drawn 1 :", &caption[1..]));
            let stated = pages.texts[page].split("Drawn 1 : ").nth(1).and_then(|rest| rest.split('.').next());
            let scale: f64 = stated.and_then(|n| n.parse().ok()).expect("a scale");
            // A quarter of the light's 1.5 mm.
            let cut = pages.paths(page).into_iter().filter(|path| path.stroked && (path.width_mm - 0.375).abs() < 1e-3);
            let points: Vec<[f64; 2]> = cut.flat_map(|path| path.points).collect();
            let all = Path { points, closed: false, stroked: true, width_mm: 0.375 };
            let (low, high) = piece.cut.bounds();
            for (axis, expected_mm) in [high.x - low.x, high.y - low.y].into_iter().enumerate() {
                let mm = all.across_mm(axis) * scale;
                assert!((mm - expected_mm).abs() < NEAR_MM * scale, "{}: {mm} for {expected_mm} mm", piece.name);
            }
        }
    }
}

/// A sleeve is reduced as the front and the back are, and leaves room on its page.
#[test]
fn a_sleeve_has_no_page_by_itself() {
    let job = sleeved();
    let pages = pages(&job);
    let drawn = |caption: &str| {
        let begins = format!("{caption} Drawn 1 : ");
        let page = &pages.texts[pages.page_with(&begins)];
        let scale = page.split(&begins).nth(1).and_then(|rest| rest.split('.').next()).expect("a scale");
        (page, scale)
    };
    let ((_, front), (page, sleeve)) = (drawn("Front, cut 1 on the fold"), drawn("Sleeve, cut 2, left and right"));
    assert_eq!(front, sleeve);
    assert!(page.matches("Drawn 1 :").count() > 1, "{page}");
}

/// Two women's dresses on one length: the lay and its stages stand there once, and of each her working, every edge of her pieces
/// and her sewing, on pages that say whose they are.
#[test]
fn a_sheet_of_several_orders_says_on_every_page_whose_it_is() {
    const WOMEN: [(&str, &str); 2] = [("Ann", "94 cm"), ("Bea", "100 cm")];
    let (jobs, pdf) = joint(&WOMEN);
    let pages = Pages::of(&pdf);
    let feet = ["Cut sheet, Ann, A-line dress", "Cut sheet, Bea, A-line dress", "Cut sheet of 2 orders cut in one go"];
    for text in &pages.texts {
        assert_eq!(feet.iter().filter(|foot| text.contains(**foot)).count(), 1, "{text}");
    }
    assert_eq!(pages.read["title"], feet[2]);
    let of = |foot: &str| pages.texts.iter().filter(|text| text.contains(foot)).cloned().collect::<Vec<_>>().join(" ");
    let common = of(feet[2]);
    for once in ["How to read the lines", "This rule must measure 100 mm", "ask in the shop for"] {
        assert_eq!(pages.texts.join(" ").matches(once).count(), 1, "{once}");
        assert!(common.contains(once), "{once} is not in {common}");
    }
    assert!(common.contains("Ann: front") && common.contains("Bea: front"), "{common}");
    for ((job, (name, bust)), foot) in jobs.iter().zip(WOMEN).zip(feet) {
        let hers = of(foot);
        assert!(hers.contains(name) && hers.contains(&format!("bust {bust} / 6")), "{hers}");
        assert!(hers.contains("Sewing Lengths are of the sewn line"), "{hers}");
        for piece in &job.pieces {
            for edge in &piece.edges {
                let row = format!("{} {}", edge.name, job.draft.system.show(edge.length_mm));
                assert!(hers.contains(&row), "{row:?} of the {} is not in {hers}", piece.name);
            }
        }
    }
}

/// Word and shape of every verdict: ticks in rings, bars in diamonds, crosses in black squares.
#[test]
fn verdicts_are_told_by_word_and_shape() {
    for job in [metric(), inches()] {
        let pages = pages(&job);
        let count = |holds: &dyn Fn(&chalklight::draft::Check) -> bool| {
            job.draft.checks.iter().filter(|check| holds(check)).count()
        };
        let refusal = chalklight::remark::Weight::Refusal;
        let passed = count(&|check| check.ok);
        let failed = count(&|check| !check.ok && check.severity == refusal);
        let doubted = job.draft.checks.len() - passed - failed;
        let until = pages.page_with("Working");
        let paths: Vec<Path> = (0..until).flat_map(|page| pages.paths(page)).collect();
        let rings = paths.iter().filter(|path| path.stroked && path.closed && path.points.len() > 20).count();
        let diamonds = paths.iter().filter(|path| path.stroked && path.closed && path.points.len() == 4).count();
        let squares = paths.iter().filter(|path| !path.stroked && path.points.len() == 4).count();
        assert_eq!((rings, diamonds, squares), (passed, doubted, failed));
        let text = pages.texts[..until].join(" ");
        for check in &job.draft.checks {
            let word = match (check.ok, check.severity == refusal) {
                (true, _) => "passes",
                (false, true) => "fails",
                (false, false) => "look at this",
            };
            assert!(text.contains(&format!("{} {word}", check.name)), "{check:?} is not in {text}");
        }
    }
    assert!(inches().draft.checks.iter().any(|check| !check.ok), "the tight neck must fail");
}

#[test]
fn cloth_error_and_cautions_are_told() {
    let job = metric();
    let with = Pages::of(&job.sheet(&[], Some("Nineteen points of twenty lie within 1.4 mm.")));
    let last = with.texts.last().expect("a last page");
    for text in
        ["Nineteen points of twenty lie within 1.4 mm.", "never to ceiling", "manuals", "qualified", "IEC 62471-5"]
    {
        assert!(last.contains(text), "{text:?} is not in {last}");
    }
    let without = Pages::of(&job.sheet(&[], None));
    assert!(without.texts.last().expect("a last page").contains("without a calibrated table"));
    // 1040 + 25.4 of hem + 6.5..7 of shoulder turning above the start line, twice: 2.145 m, cut as 2.20 m.
    assert!(without.texts[0].contains("ask in the shop for 2.20 m"), "{}", without.texts[0]);
}

#[test]
fn pictures_stand_beside_their_stages() {
    let job = metric();
    let picture = |i: u8| (format!("thrown {i}"), RgbaImage::from_pixel(64, 36, Rgba([i, 0, 0, 255])));
    let pictures: Vec<_> = (1..=job.stages.len() as u8).map(picture).collect();
    let pages = Pages::of(&job.sheet(&pictures, None));
    let images: usize = pages.read["images"].as_array().expect("counts").iter().map(|n| number(n) as usize).sum();
    assert_eq!(images, job.stages.len());
    for (i, stage) in job.stages.iter().enumerate() {
        let page = pages.page_with(&format!("thrown {}", i + 1));
        assert!(pages.texts[page].to_lowercase().contains(&stage.title.to_lowercase()), "{}", stage.title);
    }
}

/// No clock and no chance: the same order gives the same bytes.
#[test]
fn the_same_order_gives_the_same_sheet() {
    assert_eq!(metric().sheet(&[], None), metric().sheet(&[], None));
}

/// The lit area of the demo's table at the stated scale, its marks, and a figure on each line of equal error.
#[test]
fn the_error_is_drawn_place_by_place() {
    let readings = readings_file::read(include_str!("../../calibration/readings/demo.toml")).unwrap();
    let kept = calibrate(&readings.value).unwrap().value;
    let pages = Pages::of(&metric().sheet_at(&[], Some("small"), Some(&kept)));
    let page = pages.page_with("your side of the table");
    let text = &pages.texts[page];
    for mark in kept.record.as_ref().unwrap().marks.keys() {
        assert!(text.split(' ').any(|word| word == mark.to_string()), "{mark} is not in {text}");
    }
    let contours = contours(&kept);
    let figures = contours.iter().filter(|contour| text.contains(&format!(" {} mm ", contour.bound_mm)));
    assert!(figures.count() >= 2, "{text}");
    let scale: f64 = text.split("1 : ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let corners = kept.table.lit_corners_mm().unwrap();
    let across = |axis: usize| {
        let all = || corners.iter().map(|p| p.to_array()[axis]);
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    };
    let drawn = pages
        .paths(page)
        .into_iter()
        .any(|path| path.closed && (0..2).all(|axis| (path.across_mm(axis) - across(axis) / scale).abs() < NEAR_MM));
    assert!(drawn, "the lit area is not drawn at 1 : {scale}");
}

/// Measured in the PDF by pypdf: seven columns of five dots, 9 in from the ring to the last dot of its row, on ISO 216 A4
/// and on Letter (ANSI/ASME Y14.1, size A).
#[test]
fn the_check_card_is_printed_at_true_size() {
    use chalklight::calibrate::photo::card::Format;
    for (format, page_mm) in [(Format::A4, [297.0, 210.0]), (Format::Letter, [279.4, 215.9])] {
        let pages = Pages::of(&chalklight::sheet::check_card(format).expect("a card"));
        let size = &pages.read["pages"][0]["size"];
        assert!((0..2).all(|i| (number(&size[i]) - page_mm[i]).abs() < NEAR_MM), "{size}");
        let dots: Vec<Path> = pages.paths(0).into_iter().filter(|path| path.across_mm(0) > 10.0).collect();
        assert_eq!(dots.len(), 35);
        let middle = |path: &Path, axis: usize| {
            let low = path.points.iter().map(|p| p[axis]).fold(f64::INFINITY, f64::min);
            low + path.across_mm(axis) / 2.0
        };
        let span = |axis: usize| {
            let all = || dots.iter().map(|dot| middle(dot, axis));
            all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
        };
        assert!(
            (span(0) - 9.0 * 25.4).abs() < NEAR_MM && (span(1) - 6.0 * 25.4).abs() < NEAR_MM,
            "{} {}",
            span(0),
            span(1)
        );
    }
}

/// On US Letter (ANSI/ASME Y14.1, size A: 8 1/2 by 11 in) everything lies in the middle and on the page, and the rule is as long.
#[test]
fn letter_paper_holds_every_page() {
    let job = inches();
    let [a4, letter] = [Format::A4, Format::Letter].map(|paper| Pages::of(&job.sheet_on(paper)));
    let size: Vec<f64> = letter.read["pages"][0]["size"].as_array().expect("a size").iter().map(number).collect();
    assert!((size[0] - 8.5 * INCH_MM).abs() < NEAR_MM && (size[1] - 11.0 * INCH_MM).abs() < NEAR_MM, "{size:?}");
    let is_rule = |path: &Path| path.points.len() == 2 && (path.across_mm(0) - 100.0).abs() < NEAR_MM;
    assert!(letter.paths(0).iter().any(is_rule) && a4.paths(0).iter().any(is_rule));
    for page in 0..letter.texts.len() {
        for path in letter.paths(page) {
            for [x, y] in path.points {
                let aside_mm = (size[0] - A4_MM[0]) / 2.0 + 10.0;
                assert!((aside_mm..=size[0] - aside_mm).contains(&x), "page {page}: {x}");
                assert!((10.0..=size[1] - 10.0).contains(&y), "page {page}: {y}");
            }
        }
    }
}

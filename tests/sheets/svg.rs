//! The drawings at true size, read back with svgpathtools (tests/oracles/read_svg.py) and with usvg.

use chalklight::finish::Piece;
use chalklight::geometry::Point;
use chalklight::motif::Ground;
use chalklight::sheet::svg;
use serde_json::Value;

use super::{Job, ask, inches, metric, number, open_behind};

/// What is promised: a hundredth of a millimetre.
const TRUE_MM: f64 = 0.01;

/// Width and height in mm, and the viewBox, as written.
fn frame(read: &Value) -> ([f64; 2], [f64; 4]) {
    let side = |key: &str| -> f64 {
        let text = read[key].as_str().expect("a size");
        text.strip_suffix("mm").and_then(|mm| mm.parse().ok()).unwrap_or_else(|| panic!("{text} is not in mm"))
    };
    let view: Vec<f64> =
        read["viewBox"].as_str().expect("a viewBox").split(' ').map(|text| text.parse().expect("a number")).collect();
    ([side("width"), side("height")], view.try_into().expect("four numbers"))
}

fn near(what: &str, found: f64, expected: f64) {
    assert!((found - expected).abs() <= TRUE_MM, "{what}: {found} for {expected} mm");
}

/// Edges that are drawn as seams: all but the fold.
fn seams(piece: &Piece) -> impl Iterator<Item = &chalklight::finish::Edge> {
    piece.edges.iter().filter(|edge| edge.name != "fold")
}

/// Left, top, right and bottom of points.
fn extents<F>(points: impl Iterator<Item = Point<F>>) -> [f64; 4] {
    let start = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
    points.fold(start, |[l, t, r, b], p| [l.min(p.x), t.min(p.y), r.max(p.x), b.max(p.y)])
}

fn polyline_mm<F>(points: &[Point<F>]) -> f64 {
    points.windows(2).map(|side| (side[1] - side[0]).length()).sum()
}

/// Lengths by svgpathtools' own integration of the Bézier curves, against the draft's arc lengths.
#[test]
fn the_draft_is_true_in_length_and_extent() {
    for job in [metric(), inches()] {
        let read = ask("read_svg.py", svg::draft(&job.draft, &job.pieces).as_bytes());
        let (size, view) = frame(&read);
        assert_eq!(size, [view[2], view[3]], "one user unit must be one millimetre");
        for piece in &job.pieces {
            let name = piece.name;
            let sewing = &read["paths"][format!("{name}-sewing")];
            near(name, number(&sewing["length"]), seams(piece).map(|edge| edge.length_mm).sum());
            assert!(sewing["kinds"].as_array().expect("kinds").contains(&"CubicBezier".into()), "{sewing}");
            let cutting = &read["paths"][format!("{name}-cutting")];
            near(name, number(&cutting["length"]), seams(piece).map(|edge| polyline_mm(&edge.cut)).sum());
            let sewn = extents(seams(piece).flat_map(|edge| edge.sewn.corners()));
            let cut = extents(seams(piece).flat_map(|edge| edge.cut.clone()));
            for (path, expected) in [(sewing, sewn), (cutting, cut)] {
                for (i, mm) in expected.into_iter().enumerate() {
                    near(name, number(&path["extents"][i]), mm);
                }
            }
            for (n, notch) in piece.notches.iter().enumerate() {
                let nick = &read["paths"][format!("{name}-notch-{}", n + 1)];
                near(name, number(&nick["length"]), (notch.nick[1] - notch.nick[0]).length());
            }
            for (level, ends) in &piece.levels {
                let line = &read["paths"][format!("{name}-level-{level}")];
                near(level, number(&line["length"]), (ends[1] - ends[0]).length());
            }
        }
        near("the rule", number(&read["paths"]["check-rule"]["length"]), 100.0);
    }
}

/// A sleeve and a back that opens have no fold: their cutting line goes all round, back to where it began.
#[test]
fn a_piece_without_a_fold_is_drawn_closed() {
    let job = open_behind();
    let read = ask("read_svg.py", svg::draft(&job.draft, &job.pieces).as_bytes());
    let whole: Vec<&Piece> = job.pieces.iter().filter(|piece| !piece.on_fold).collect();
    assert_eq!(whole.iter().map(|piece| piece.name).collect::<Vec<_>>(), ["back", "sleeve"]);
    for piece in whole {
        let round_mm = piece.cut.sides().map(|(from, to)| (to - from).length()).sum();
        near(piece.name, number(&read["paths"][format!("{}-cutting", piece.name)]["length"]), round_mm);
    }
}

/// CSS Values 3: an inch is 96 px and 25.4 mm. What a browser lays out is what usvg lays out.
const MM_PER_PX: f64 = 25.4 / 96.0;

fn laid_out(svg: &str) -> usvg::Tree {
    usvg::Tree::from_str(svg, &usvg::Options::default()).expect("an SVG")
}

fn paper_mm(tree: &usvg::Tree, id: &str) -> [f64; 2] {
    let node = tree.node_by_id(id).unwrap_or_else(|| panic!("no {id}"));
    let bounds = node.abs_bounding_box();
    [f64::from(bounds.width()) * MM_PER_PX, f64::from(bounds.height()) * MM_PER_PX]
}

#[test]
fn a_browser_lays_the_drawings_out_one_to_one() {
    for job in [metric(), inches()] {
        let draft = laid_out(&svg::draft(&job.draft, &job.pieces));
        let lay = laid_out(&svg::lay(&job.lay));
        for piece in &job.pieces {
            let [left, top, right, bottom] = extents(seams(piece).flat_map(|edge| edge.cut.clone()));
            let id = format!("{}-cutting", piece.name);
            let [across, along] = paper_mm(&draft, &id);
            near(&id, across, right - left);
            near(&id, along, bottom - top);
            // On the cloth the piece lies along the selvedge.
            let [along, across] = paper_mm(&lay, &id);
            near(&id, across, right - left);
            near(&id, along, bottom - top);
        }
        for tree in [&draft, &lay] {
            near("the rule", paper_mm(tree, "check-rule")[0], 100.0);
        }
    }
}

/// The cloth's print fills the cloth as it lies folded, from the cut end to its other end and from fold to selvedge.
#[test]
fn the_lay_lies_on_its_print() {
    let job = metric();
    let ground = Ground { size_px: [4, 2], rgb: vec![200; 24] };
    let drawn = svg::lay_on(&job.lay, Some(&ground), None).unwrap_or_else(|no| panic!("{no}"));
    let tree = laid_out(&drawn);
    let [along, across] = paper_mm(&tree, "print");
    near("along", along, job.lay.length_mm);
    near("across", across, 570.0);
    let corner = |id: &str| tree.node_by_id(id).expect("a node").abs_bounding_box();
    let (print, cloth) = (corner("print"), corner("cloth-1"));
    near("the cut end", f64::from(print.left() - cloth.left()) * MM_PER_PX, 0.0);
    near("the fold", f64::from(print.bottom() - cloth.bottom()) * MM_PER_PX, 0.0);
    assert_eq!(drawn.matches("<image").count(), 1);
    assert!(!svg::lay(&job.lay).contains("<image"));
}

#[test]
fn every_line_lies_on_the_paper() {
    for job in [metric(), inches()] {
        for svg in [svg::draft(&job.draft, &job.pieces), svg::lay(&job.lay)] {
            let read = ask("read_svg.py", svg.as_bytes());
            let (_, [x, y, width, height]) = frame(&read);
            let paths = read["paths"].as_object().expect("paths");
            assert!(paths.len() > 10);
            for (id, path) in paths {
                let [left, top, right, bottom] = std::array::from_fn(|i| number(&path["extents"][i]));
                assert!(left > x && top > y && right < x + width && bottom < y + height, "{id}: {path}");
            }
        }
    }
}

/// Of two pieces over one another, one is full and the other dashed and thinner: told apart without colour.
#[test]
fn pieces_over_one_another_differ_in_form() {
    let job = metric();
    for svg in [svg::draft(&job.draft, &job.pieces), svg::lay(&job.lay)] {
        let read = ask("read_svg.py", svg.as_bytes());
        let [front, back] = ["front-cutting", "back-cutting"].map(|id| &read["paths"][id]);
        assert_ne!(front["dashes"], back["dashes"]);
        assert_ne!(front["width"], back["width"]);
    }
}

/// The lay's cloth: fold to selvedge half the width; the strips and the rest as large as the lay says.
#[test]
fn the_lay_shows_the_cloth_and_what_is_left() {
    let job: Job = metric();
    let read = ask("read_svg.py", svg::lay(&job.lay).as_bytes());
    // Cloth 114 cm wide, folded along its centre.
    let end = (3..=4).map(|i| number(&read["paths"][format!("cloth-{i}")]["length"]));
    for mm in end {
        near("cut end", mm, 570.0);
    }
    near("fold", number(&read["paths"]["cloth-1"]["length"]), job.lay.length_mm);
    for (i, left) in job.lay.left_over.iter().enumerate() {
        let extents = &read["paths"][format!("left-over-{}", i + 1)]["extents"];
        let [x0, y0, x1, y1] = std::array::from_fn(|i| number(&extents[i]));
        near("left over, along", x1 - x0, left.along_mm);
        let folds = if left.across_mm > 570.0 { 2.0 } else { 1.0 };
        near("left over, across", (y1 - y0) * folds, left.across_mm);
    }
    assert!(job.lay.left_over.len() > 2 && job.lay.left_over[1].at.is_none());
    // Together with the pieces' lengths nothing of the 3 m is missing.
    near("all", 2.0 * job.lay.length_mm + job.lay.left_over[1].along_mm, 3000.0);
    assert!(job.piece("front").on_fold);
}

/// The type is Hack, of which every letter is 0.602 of its size wide (its `hmtx` table).
const LETTER: f64 = 0.602;

/// Every text of a drawing, with its size of type: left, right and baseline, and what is written.
fn texts(svg: &str) -> Vec<(f64, f64, f64, String)> {
    let after = |text: &str, name: &str| -> f64 {
        let begins = text.find(&format!("{name}=\"")).unwrap_or_else(|| panic!("no {name} in {text}")) + name.len() + 2;
        text[begins..].split('"').next().and_then(|mm| mm.parse().ok()).expect("a number")
    };
    let type_mm = after(svg, "font-size");
    let text = |part: &str| {
        let (head, rest) = part.split_once('>').expect("an element");
        let words = rest.split("</text>").next().unwrap_or_default().to_owned();
        let (x, y, mm) = (after(head, " x"), after(head, " y"), LETTER * type_mm * words.chars().count() as f64);
        let (left, right) = if head.contains("text-anchor=\"end\"") { (x - mm, x) } else { (x, x + mm) };
        (left, right, y, words)
    };
    svg.split("<text").skip(1).map(text).collect()
}

/// Captions stand below what lies beside the draft, and no words lie over others, with bias strips or without.
#[test]
fn words_keep_off_lines_and_off_one_another() {
    let text = "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nshoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\n\
        head = \"56 cm\"\nupper_arm = \"29 cm\"\n[garment]\nkind = \"a-line-dress\"\nlength = \"104 cm\"\nneckline = \"slit\"\n\
        edges = \"bias\"\nsleeve = \"cap\"\npockets = \"in-seam\"\n[rules]\nwaist_ease = \"4.5 cm\"\n\
        [cloth]\nwidth = \"150 cm\"\nlength = \"4 m\"\n";
    let job = Job::of(text);
    let draft = svg::draft(&job.draft, &job.pieces);
    let read = ask("read_svg.py", draft.as_bytes());
    // Every caption stands below its piece, as far to the right as the piece goes.
    for (id, row) in [
        ("sleeve", "sleeve, cut 2, left and right"),
        ("pocket", "pocket, cut 4, left and right"),
        ("bias-square", "bias square, cut 1"),
    ] {
        let cut = &read["paths"][format!("{id}-cutting")]["extents"];
        let [left_mm, right_mm, foot_mm] = [0, 2, 3].map(|i| number(&cut[i]));
        let all = texts(&draft);
        let (left, right, y, _) =
            all.iter().find(|(.., words)| words == row).unwrap_or_else(|| panic!("no {row}: {all:?}"));
        assert!(*left >= left_mm - TRUE_MM && *right <= right_mm && *y > foot_mm, "{row}: {left} to {right} at {y}");
    }
    let strip = chalklight::lay::Strip { width_mm: 32.0, length_mm: 600.0 };
    let drawings = [draft, svg::lay(&job.lay), svg::lay_on(&job.lay, None, Some(strip)).expect("a drawing")];
    for (drawing, type_mm) in drawings.iter().zip([7.0, 14.0, 14.0]) {
        let all = texts(drawing);
        assert!(all.len() > 8);
        for (i, (left, right, y, words)) in all.iter().enumerate() {
            for (l, r, other_y, other) in &all[i + 1..] {
                let over = left < r && l < right && (y - other_y).abs() < type_mm * 0.9;
                assert!(!over, "{words} lies over {other}");
            }
        }
    }
}

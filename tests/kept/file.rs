//! The file by itself: written, read, edited, and held against pieces and cloth that have changed.

use chalklight::finish::{Piece, finish};
use chalklight::lay::kept::{read, write};
use chalklight::lay::proof::faults;
use chalklight::lay::{Effort, Fold, Lay, Placed, Wanted, plan};
use chalklight::nest::{Forms, Moves};
use chalklight::order::{Asked, Cloth, Flaw, KINDS, Matching, Print};
use chalklight::units::System;

use crate::bodies::{Woman, women};
use crate::lays::{cloth, dress};
use crate::wardrobe::{Sequence, drawn};

/// A lay is wanted soon here, not short.
const SOON: Effort<'_> = Effort { tried: 2, pace: &Moves(2), from: None };

fn laid(wanted: &Wanted<'_>) -> Option<Lay> {
    plan(wanted, &SOON, &mut Forms::default()).ok().map(|told| told.value)
}

/// The lay of a text, of what is wanted now; or the sentences why not.
fn again(text: &str, wanted: &Wanted<'_>) -> Result<Lay, String> {
    let kept = read(text).map_err(|no| no.to_string())?;
    kept.lay(wanted).map(|told| told.value).map_err(|no| no.to_string())
}

/// Where two lays differ by more than rounding.
fn differ(one: &Lay, other: &Lay) -> Option<String> {
    let apart_mm = |a: &Placed, b: &Placed| {
        let corners = a.cut().corners.into_iter().zip(b.cut().corners);
        corners.map(|(p, q)| (p - q).length()).fold(0.0, f64::max)
    };
    let same = |a: &Placed, b: &Placed| {
        let how = |placed: &Placed| (placed.of, placed.layers, placed.turned, placed.mirrored, placed.piece.name);
        how(a) == how(b) && apart_mm(a, b) < 1e-9
    };
    let frame =
        |lay: &Lay| (lay.fold, lay.layers, lay.length_mm, lay.used_mm, lay.meets.clone(), lay.left_over.clone());
    if frame(one) != frame(other) || one.placed.len() != other.placed.len() {
        return Some(format!("{:?} is not {:?}", frame(one), frame(other)));
    }
    // Two that begin at one place along may change their order by rounding.
    let lost = one.placed.iter().find(|placed| !other.placed.iter().any(|found| same(placed, found)));
    lost.map(|placed| format!("the {} lies elsewhere", placed.piece.name))
}

/// The pieces of an order that is drawn for a woman, when they can be drawn.
fn pieces(woman: &Woman, sequence: &mut Sequence) -> Option<Vec<Piece>> {
    let facts = &KINDS[sequence.below(KINDS.len())];
    let (order, _) = drawn(facts, woman, sequence);
    let order = chalklight::order::read(&order.text()).ok()?.value;
    let draft = chalklight::draft::draft(&order).ok()?.value;
    finish(&draft).ok().map(|told| told.value)
}

/// Hundreds of the wardrobe's orders on cloth of any width, with flaws, one-way prints and prints that must meet.
#[test]
fn what_is_kept_is_laid_again() {
    let women = women();
    let counted = std::thread::scope(|scope| {
        let half = |from: usize| {
            let women = &women;
            move || {
                let (mut kept, mut folds, mut met) = (0, std::collections::BTreeSet::new(), 0);
                for (i, woman) in women.iter().enumerate().skip(from).step_by(10) {
                    let mut sequence = Sequence(0x5DEE_CE66 + 7919 * i as u64);
                    let Some(pieces) = pieces(woman, &mut sequence) else { continue };
                    let repeat_mm = [320.0, 240.0].map(|mm| (i % 4 < 2).then_some(mm));
                    let flaws = if i % 5 < 2 {
                        vec![Flaw { along_mm: 400.0, across_mm: 300.0, size_mm: 40.0 }]
                    } else {
                        vec![]
                    };
                    let print = if i % 3 == 0 { Print::OneWay } else { Print::AllOver };
                    let width_mm = 1100.0 + sequence.below(600) as f64 + 1.0 / 3.0;
                    let cloth = Cloth { repeat_mm, flaws, print, ..cloth(width_mm) };
                    let matching = [Matching::None, Matching::Along, Matching::Both][sequence.below(3)];
                    let asked = Asked { matching, ..Asked::default() };
                    let wanted = Wanted::of(&pieces, &cloth, System::Metric).asking(&asked);
                    let Some(lay) = laid(&wanted) else { continue };
                    let text = write(&lay, &wanted).expect("one length");
                    let laid_again =
                        again(&text, &wanted).unwrap_or_else(|no| panic!("row {}: {no}\n{text}", woman.row));
                    assert_eq!(differ(&lay, &laid_again), None, "row {}\n{text}", woman.row);
                    assert_eq!(faults(&laid_again), []);
                    kept += 1;
                    met += usize::from(lay.meets.way != Matching::None);
                    folds.insert(lay.fold.says());
                }
                (kept, folds, met)
            }
        };
        let threads = [0, 5].map(|from| scope.spawn(half(from)));
        threads.map(|thread| thread.join().expect("every lay comes back"))
    });
    let [one, other] = counted;
    let folds: std::collections::BTreeSet<_> = one.1.union(&other.1).collect();
    println!("{} lays came back, {} of them matched, on {folds:?}", one.0 + other.0, one.2 + other.2);
    assert!(one.0 + other.0 >= 200 && one.2 + other.2 >= 30 && folds.len() >= 3, "too few were tried");
}

/// A dress with sleeves, facings and pockets as it is kept.
fn kept_dress(width_mm: f64, print: Print) -> (Vec<Piece>, Cloth, Lay, String) {
    let (pieces, cloth) = (dress(), Cloth { print, ..cloth(width_mm) });
    let wanted = Wanted::of(&pieces, &cloth, System::Metric);
    let lay = laid(&wanted).expect("a lay");
    let text = write(&lay, &wanted).expect("one length");
    (pieces, cloth, lay, text)
}

/// The line of the place of a piece, the first of that name.
fn at_line(text: &str, piece: &str) -> usize {
    let lines: Vec<&str> = text.lines().collect();
    let from = lines.iter().position(|line| *line == format!("piece = \"{piece}\"")).expect("the piece");
    from + lines[from..].iter().position(|line| line.starts_with("at = ")).expect("its place")
}

fn with_line(text: &str, line: usize, written: &str) -> String {
    let lines = text.lines().enumerate().map(|(i, old)| if i == line { written } else { old });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn an_edited_file_is_refused_with_the_rule_and_the_line() {
    let (pieces, cloth, lay, text) = kept_dress(1120.0, Print::AllOver);
    let wanted = Wanted::of(&pieces, &cloth, System::Metric);
    let refused = |text: &str| again(text, &wanted).expect_err("it breaks a rule");
    let (front, sleeve) = (at_line(&text, "front"), at_line(&text, "sleeve"));
    let places: Vec<&str> = text.lines().collect();
    // Moved along the cloth beside or on to the front, one of the others lies over something.
    let front_mm = {
        let (low, high) = lay.placed.iter().find(|placed| placed.piece.name == "front").expect("one").cut().bounds();
        low.lerp(high, 0.4).x
    };
    let moved = ["back", "sleeve", "front facing", "pocket"].map(|name| {
        let placed = lay.placed.iter().find(|placed| placed.piece.name == name).expect("one");
        let at = format!("at = [\"{front_mm} mm\", \"{} mm\"]", placed.cut().bounds().0.y);
        again(&with_line(&text, at_line(&text, name), &at), &wanted)
    });
    let over = moved.iter().filter_map(|moved| moved.as_ref().err()).find(|says| says.contains("would lie over the"));
    // Either of the two may be the one that was moved: both are named, with their lines.
    assert!(over.is_some_and(|says| says.starts_with("line ") && says.contains(" of line ")), "{moved:?}");
    let off = |line: usize, at: &str| refused(&with_line(&text, line, &format!("at = {at}")));
    let says = off(sleeve, "[\"-2000 mm\", \"300 mm\"]");
    assert!(says.contains("would not be all on the cloth"), "{says}");
    let says = off(front, "[\"0 mm\", \"5 mm\"]");
    let fold =
        if lay.fold == Fold::Open { "would not be all on the cloth" } else { "centre of the front would not lie on" };
    assert!(says.contains(fold) || says.contains("would lie over"), "{says}");
    let says = off(sleeve, "[\"1 m\"]");
    assert!(says.contains("at needs two lengths") && says.contains(&format!("line {}", sleeve + 1)), "{says}");
    let says = off(sleeve, "[10, 20]");
    assert!(says.contains("has no unit"), "{says}");
    let length = places.iter().position(|line| line.starts_with("length = ")).expect("its length");
    let says = refused(&with_line(&text, length, "length = \"90 cm\""));
    assert!(says.contains("would not be all on the cloth"), "{says}");
    let bare: Vec<&str> = places.iter().copied().filter(|line| !line.starts_with("folded = ")).collect();
    let (fold, bare) = (bare.iter().position(|line| line.starts_with("fold = ")).expect("its fold"), bare.join("\n"));
    let says = refused(&with_line(&bare, fold, "fold = \"both-sides\"\nfolded = [\"50 cm\", \"40 cm\"]"));
    assert!(says.contains("can't be folded in by 90 cm"), "{says}");
    let says = refused(&with_line(&bare, fold, "fold = \"in-six\""));
    assert!(says.contains("is no fold that is known"), "{says}");
    let says = refused(&text.replacen("piece = \"sleeve\"", "piece = \"sleve\"", 1));
    let due = ["sleve", "not as many as are cut", "has come since"];
    assert!(due.iter().any(|due| says.contains(due)), "{says}");
    let twice = format!("{text}\n{}", text[text.rfind("[[order.piece]]").expect("a place")..].trim_end());
    assert!(refused(&twice).contains("not as many as are cut"), "{}", refused(&twice));
    let fewer = &text[..text.rfind("[[order.piece]]").expect("a place")];
    let says = refused(fewer);
    assert!(says.contains("not as many as are cut") || says.contains("has come since"), "{says}");
    for (from, to, due) in [
        ("[made_for]", "[made_by]", "made_by is not known"),
        ("[lay]", "[[lay]]", "lay"),
        ("width = ", "breadth = ", "breadth is not known"),
        ("\nat = ", "\nlies = \"askew\"\nat = ", "is no way in which a piece can lie"),
    ] {
        let says = refused(&text.replacen(from, to, 1));
        assert!(says.contains(due), "{from}: {says}");
    }
    for text in ["", "# nothing\n", "\u{0}", "lay = 3\n", "[lay]\nlength = \"1 m\"\n"] {
        assert!(!refused(text).is_empty());
    }
}

#[test]
fn nothing_stands_on_its_head_on_one_way_cloth() {
    let (pieces, cloth, _, text) = kept_dress(1120.0, Print::OneWay);
    let wanted = Wanted::of(&pieces, &cloth, System::Metric);
    let at = at_line(&text, "sleeve");
    let turned = text.lines().enumerate().filter(|(i, line)| *i != at + 1 || !line.starts_with("lies"));
    let turned: Vec<String> =
        turned.map(|(i, line)| if i == at { format!("{line}\nlies = \"turned\"") } else { line.to_owned() }).collect();
    let says = again(&turned.join("\n"), &wanted).expect_err("it stands on its head");
    assert!(says.contains("the grain of the sleeve"), "{says}");
}

/// Whatever is done to the file: it ends in a lay without a fault, or in a sentence.
#[test]
fn mutated_files_end_in_a_sound_lay_or_a_sentence() {
    let (pieces, cloth, _, text) = kept_dress(1400.0, Print::AllOver);
    let wanted = Wanted::of(&pieces, &cloth, System::Metric);
    let mut sequence = Sequence(0xC0FF_EE11);
    let (mut sound, mut refused) = (0, 0);
    for _ in 0..1500 {
        let mut bytes = text.clone().into_bytes();
        let from = text.find("[lay]").expect("a lay");
        for _ in 0..=sequence.below(2) {
            let at = from + sequence.below(bytes.len() - from);
            match sequence.below(4) {
                0 => bytes[at] = b"0123456789.-\"[]=m"[sequence.below(17)],
                1 => drop(bytes.remove(at)),
                2 => bytes.insert(at, b"0123456789.-"[sequence.below(12)]),
                _ => bytes.swap(at, from + (at - from) / 2),
            }
        }
        match again(&String::from_utf8_lossy(&bytes), &wanted) {
            Ok(lay) => {
                assert_eq!(faults(&lay), []);
                sound += 1;
            }
            Err(says) => {
                assert!(!says.trim().is_empty());
                refused += 1;
            }
        }
    }
    assert!(sound > 0 && refused > 500, "{sound} sound, {refused} refused");
}

#[test]
fn what_has_changed_since_is_said() {
    let (pieces, cloth, _, text) = kept_dress(1120.0, Print::AllOver);
    let says = |pieces: &[Piece], cloth: &Cloth, asked: &Asked| {
        again(&text, &Wanted::of(pieces, cloth, System::Metric).asking(asked)).expect_err("it is of something else")
    };
    let plain = Asked::default();
    let longer = crate::lays::half("front", [1081.0, 420.0, 280.0]);
    let changed = [&[longer], &pieces[1..]].concat();
    assert!(says(&changed, &cloth, &plain).contains("the front was drawn otherwise when this lay was made"));
    assert!(says(&pieces[1..], &cloth, &plain).contains("there is no front any more"));
    let more =
        [&pieces[..], &[crate::lays::piece("belt", &[(0.0, 0.0), (0.0, 90.0), (40.0, 90.0)], (1, false, false))]];
    assert!(says(&more.concat(), &cloth, &plain).contains("the belt has come since"));
    let narrower = says(&pieces, &Cloth { width_mm: 1100.0, ..cloth.clone() }, &plain);
    assert!(narrower.contains("the cloth's width was 1120 mm, and now it is 1100 mm"), "{narrower}");
    let one_way = says(&pieces, &Cloth { print: Print::OneWay, ..cloth.clone() }, &plain);
    assert!(one_way.contains("the way of the print was all-over, and now it is one-way"), "{one_way}");
    let flaws = vec![Flaw { along_mm: 500.0, across_mm: 500.0, size_mm: 50.0 }];
    assert!(says(&pieces, &Cloth { flaws, ..cloth.clone() }, &plain).contains("the list of flaws was none"));
    let pins_mm = [("sleeve".to_owned(), chalklight::entries::Placed { value: vec![[3.0, 7.0]], line: 9 })];
    let pinned = Asked { pins_mm: pins_mm.into(), ..Asked::default() };
    assert!(says(&pieces, &cloth, &pinned).contains("the order keeps the sleeve at a place"));
    let short = says(&pieces, &Cloth { length_mm: Some(500.0), ..cloth.clone() }, &plain);
    assert!(short.contains("the cloth is too short"), "{short}");
    let two = Wanted { garments: vec![&pieces, &pieces], ..Wanted::of(&pieces, &cloth, System::Metric) };
    assert!(again(&text, &two).expect_err("two orders").contains("this lay is of 1 orders, and not of 2"));
    // What a lay does not depend on may change: more cloth, its thickness, its price.
    let more = Cloth { length_mm: Some(50_000.0), layer_mm: 1.0, ..cloth };
    assert!(again(&text, &Wanted::of(&pieces, &more, System::Inch)).is_ok());
}

/// Two orders on one cloth keep their pieces apart, though they have the same names.
#[test]
fn several_orders_are_kept_in_one_lay() {
    let (one, cloth) = (dress(), cloth(1500.0));
    let other = vec![crate::lays::half("front", [800.0, 300.0, 250.0]), crate::lays::sleeve([400.0, 300.0])];
    let wanted = Wanted { garments: vec![&one, &other], ..Wanted::of(&one, &cloth, System::Metric) };
    let lay = laid(&wanted).expect("a lay");
    let text = write(&lay, &wanted).expect("one length");
    let laid_again = again(&text, &wanted).unwrap_or_else(|no| panic!("{no}\n{text}"));
    assert_eq!(differ(&lay, &laid_again), None);
    let exchanged = Wanted { garments: vec![&other, &one], ..wanted };
    assert!(again(&text, &exchanged).is_err());
}

/// A lay whose pins the order keeps is taken.
#[test]
fn pinned_pieces_lie_in_a_kept_lay_where_they_are_pinned() {
    let (pieces, cloth) = (dress(), cloth(1120.0));
    let pins_mm = [("sleeve".to_owned(), chalklight::entries::Placed { value: vec![[250.0, 120.0]], line: 9 })];
    let asked = Asked { pins_mm: pins_mm.into(), ..Asked::default() };
    let wanted = Wanted::of(&pieces, &cloth, System::Metric).asking(&asked);
    let lay = laid(&wanted).expect("a lay");
    let text = write(&lay, &wanted).expect("one length");
    assert_eq!(differ(&lay, &again(&text, &wanted).expect("the same")), None);
}

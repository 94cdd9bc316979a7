//! Text can be read: every sign, whichever way the picture is thrown and from whichever side it is read, is known again by
//! a reader that has only seen the font's own outlines, and stands out from what it lies on.

use super::tables::Hang;
use super::{on_cloth, square, thrown};
use chalklight::above::{View as Seen, seen};
use chalklight::geometry::{Cloth, Point, Vector};
use chalklight::scene::light::{COLOURS, linear};
use chalklight::scene::{Letters, Light, Marks, Room, Side, View, Way};
use chalklight::table::Table;
use chalklight::units::System;
use image::RgbaImage;
use skrifa::MetadataProvider;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};

/// Signs that labels and sentences are made of, in rows.
const ROWS: [&str; 4] = [
    "ABCDEFGHIJKLMNOPQRSTUVWX",
    "YZabcdefghijklmnopqrstuv",
    "wxyz0123456789\u{bd}\u{bc}\u{be}\u{215b}\u{215c}",
    "\u{215d}\u{215e}+:()/?\u{e9}\u{fc}\u{e8}&",
];
/// 40 px at the table's 1.6 px a mm.
const CAP_MM: f64 = 25.0;
/// From row to row.
const ROW_MM: f64 = 50.0;
/// How finely signs are looked at: points a mm; a cell lies about the middle of a sign, from 8 mm below the line to 32 mm
/// above it.
const FINE: f64 = 2.0;
const CELL_MM: [f64; 2] = [20.5, 40.0];
const BELOW_MM: f64 = 8.0;
const LEFT_MM: f64 = (ADVANCE_MM - CELL_MM[0]) / 2.0;

/// A sign as points of light, row by row from the top of its cell.
type Sign = Vec<f64>;

/// The sign as the font's designers drew it, filled by a general rasteriser.
fn drawn_by_others(sign: char) -> Sign {
    struct Path(tiny_skia::PathBuilder, f32);
    impl Path {
        fn x(&self, x: f32) -> f32 {
            x * self.1 - (LEFT_MM * FINE) as f32
        }
        fn y(&self, y: f32) -> f32 {
            ((CELL_MM[1] - BELOW_MM) * FINE) as f32 - y * self.1
        }
    }
    impl OutlinePen for Path {
        fn move_to(&mut self, x: f32, y: f32) {
            self.0.move_to(self.x(x), self.y(y));
        }
        fn line_to(&mut self, x: f32, y: f32) {
            self.0.line_to(self.x(x), self.y(y));
        }
        fn quad_to(&mut self, a: f32, b: f32, x: f32, y: f32) {
            self.0.quad_to(self.x(a), self.y(b), self.x(x), self.y(y));
        }
        fn curve_to(&mut self, a: f32, b: f32, c: f32, d: f32, x: f32, y: f32) {
            self.0.cubic_to(self.x(a), self.y(b), self.x(c), self.y(d), self.x(x), self.y(y));
        }
        fn close(&mut self) {
            self.0.close();
        }
    }
    let font = skrifa::FontRef::new(epaint_default_fonts::HACK_REGULAR).expect("the font");
    let cap = font.metrics(Size::unscaled(), LocationRef::default()).cap_height.expect("capitals");
    let glyph = font.charmap().map(sign).unwrap_or_else(|| panic!("the font lacks {sign}"));
    let mut path = Path(tiny_skia::PathBuilder::new(), (CAP_MM * FINE) as f32 / cap);
    let outline = font.outline_glyphs().get(glyph).expect("an outline");
    outline.draw(DrawSettings::unhinted(Size::unscaled(), LocationRef::default()), &mut path).expect("a whole outline");
    let [wide, high] = CELL_MM.map(|mm| (mm * FINE) as u32);
    let mut page = tiny_skia::Pixmap::new(wide, high).expect("a page");
    let paint = tiny_skia::Paint::default();
    let path = path.0.finish().expect("a path");
    page.fill_path(&path, &paint, tiny_skia::FillRule::Winding, tiny_skia::Transform::identity(), None);
    normalised(page.pixels().iter().map(|p| f64::from(p.alpha()) / 255.0).collect())
}

fn mirrored(sign: &Sign) -> Sign {
    let wide = (CELL_MM[0] * FINE) as usize;
    sign.chunks_exact(wide).flat_map(|row| row.iter().rev().copied()).collect()
}

/// Light about its mean, of length 1: two signs are then as alike as their product says (normalised correlation).
fn normalised(sign: Sign) -> Sign {
    let mean = sign.iter().sum::<f64>() / sign.len() as f64;
    let length = sign.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>().sqrt().max(1e-12);
    sign.iter().map(|v| (v - mean) / length).collect()
}

fn likeness(a: &Sign, b: &Sign) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// All rows as letters, read from a side, about the middle of the table.
fn rows(side: Side) -> Vec<Letters<Cloth>> {
    let (right, up) = axes(side);
    let long_mm = 24.0 * ADVANCE_MM;
    let row = |(i, text): (usize, &&str)| Letters {
        text: (*text).to_owned(),
        at: Point::new(600.0, 337.5) - right * (long_mm / 2.0) + up * (ROW_MM * (1.2 - i as f64)),
        along: right,
        cap_mm: CAP_MM,
        light: [255; 3],
    };
    ROWS.iter().enumerate().map(row).collect()
}

/// From one letter to the next: Hack is 1233 units wide where a capital is 1493 high (its own tables).
const ADVANCE_MM: f64 = CAP_MM * 1233.0 / 1493.0;

fn axes(side: Side) -> (Vector<Cloth>, Vector<Cloth>) {
    let right = side.right_hand::<Cloth>();
    (right, Vector::new(-right.y, right.x))
}

/// One sign out of what is seen from above.
fn cut_out(shown: &RgbaImage, view: Seen, row: &Letters<Cloth>, number: usize) -> Sign {
    let up = Vector::new(-row.along.y, row.along.x);
    let [wide, high] = CELL_MM.map(|mm| (mm * FINE) as u32);
    let points = (0..high).flat_map(|y| (0..wide).map(move |x| (x, y)));
    let light = |(x, y): (u32, u32)| {
        let along_mm = (f64::from(x) + 0.5) / FINE + LEFT_MM + ADVANCE_MM * number as f64;
        let up_mm = CELL_MM[1] - BELOW_MM - (f64::from(y) + 0.5) / FINE;
        let at = row.at + row.along * along_mm + up * up_mm - view.from_mm.cast_unit();
        let column = (at.x * view.px_per_mm) as u32;
        let line = ((view.size_mm[1] - at.y) * view.px_per_mm) as u32;
        linear(shown.get_pixel(column, line).0[1])
    };
    normalised(points.map(light).collect())
}

/// The hangs and mirrors under which text is read.
fn tables() -> Vec<(&'static str, Table)> {
    let hang = |roll_deg, tilt_deg| Hang { roll_deg, tilt_deg, ..Hang::PLAIN }.table();
    let mut mirrored = hang(0.0, [0.0; 2]);
    // A mirror in the light's way: columns counted from the other side.
    for i in 0..3 {
        mirrored.homography[0][i] = 1920.0 * mirrored.homography[2][i] - mirrored.homography[0][i];
    }
    vec![
        ("upright", hang(0.0, [0.0; 2])),
        ("turned", hang(180.0, [0.0; 2])),
        ("sideways", hang(90.0, [0.0; 2])),
        ("tilted", hang(3.0, [25.0, -12.0])),
        ("mirrored", mirrored),
    ]
}

/// A reader that knows every sign and its mirror image only from the font's outlines must take each thrown sign for
/// itself.
#[test]
fn every_sign_is_read_and_never_mirrored() {
    let signs: Vec<char> = ROWS.iter().flat_map(|row| row.chars()).collect();
    let known: Vec<(char, Sign)> = signs.iter().map(|&sign| (sign, drawn_by_others(sign))).collect();
    let view = Seen { from_mm: Point::new(300.0, 37.5), size_mm: [600.0, 600.0], px_per_mm: 2.0 };
    for side in Side::ALL {
        let letters = rows(side);
        let scene = on_cloth(Marks { letters: letters.clone(), ..Marks::default() });
        for (way, table) in tables() {
            let shown = seen(&thrown(&scene, &square(), &table).expect("a picture"), &table, None, view);
            for row in &letters {
                for (i, sign) in row.text.chars().enumerate() {
                    let found = cut_out(&shown, view, row, i);
                    let alike = known.iter().map(|(other, drawn)| (*other, likeness(&found, drawn)));
                    let best = alike.max_by(|a, b| a.1.total_cmp(&b.1)).expect("signs");
                    let own = &known[signs.iter().position(|s| *s == sign).expect("known")].1;
                    let (straight, back) = (likeness(&found, own), likeness(&found, &mirrored(own)));
                    assert_eq!(best.0, sign, "{way}, read from the {side:?}: {sign} looks like {}", best.0);
                    assert!(straight > 0.9, "{way}, read from the {side:?}: {sign} is only {straight} like itself");
                    let symmetric = likeness(own, &mirrored(own)) > 0.9;
                    assert!(symmetric || straight > back + 0.05, "{way}, read from the {side:?}: {sign} is mirrored");
                }
            }
        }
    }
}

/// Strokes of letters of 40 px are as heavy as ISO 9241-303 asks of Latin letters, 8 to 20 % of a capital's height
/// (figure from memory), and keep 2 px at least, so that each holds a fully lit pixel's worth.
#[test]
fn strokes_of_letters_are_heavy_enough() {
    let letters = rows(Side::Front);
    let scene = on_cloth(Marks { letters: letters.clone(), ..Marks::default() });
    let table = Hang::PLAIN.table();
    let picture = thrown(&scene, &square(), &table).expect("a picture");
    // The I's stem, half way up: the row's light adds up to its width.
    let at = letters[0].at + letters[0].along * (8.0 * ADVANCE_MM) + Vector::new(0.0, CAP_MM / 2.0);
    let px = table.px_from_mm(at.cast_unit()).expect("in the picture");
    let wide = (ADVANCE_MM * 1.6) as u32;
    let stem: f64 = (0..wide).map(|i| linear(picture.get_pixel(px.x as u32 + i, px.y as u32).0[1])).sum();
    assert!((3.2..=8.0).contains(&stem) && stem >= 2.0, "the stem is {stem} px wide");
}

/// Contrast ratio of two lights (W3C, Web Content Accessibility Guidelines 2.1, definition of contrast ratio).
fn ratio(a: Light, b: Light) -> f64 {
    let luminance = |light: Light| 0.2126 * linear(light[0]) + 0.7152 * linear(light[1]) + 0.0722 * linear(light[2]);
    let (a, b) = (luminance(a) + 0.05, luminance(b) + 0.05);
    (a / b).max(b / a)
}

/// In every colour and both ways text stands out from the ground, and from what must stay whole, by the 3 : 1 that W3C asks
/// of large text (Web Content Accessibility Guidelines 2.1, success criterion 1.4.3; large is from 24 px).
#[test]
fn text_stands_out_in_every_colour() {
    let room = Room { low_mm: Point::origin(), high_mm: Point::new(1200.0, 675.0) };
    for way in [Way::LightOnDark, Way::DarkOnLit] {
        for (name, light) in COLOURS {
            let view = View { light, ..View::of(room, System::Metric, way) };
            for under in [view.ground(), view.whole()] {
                let found = ratio(view.line(), under);
                assert!(found >= 3.0, "{name}, {}: {found}", way.key());
            }
        }
    }
}

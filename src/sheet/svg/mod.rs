//! Draft and lay as SVG at true size: width and height in mm, one user unit a millimetre.
//!
//! Printed from a browser at 100 % every line is as long as on the cloth; each drawing carries a rule by which that can
//! be measured. Sewing lines are the draft's own Bézier curves and not flattened; cutting lines are polylines within
//! 0.01 mm. Line forms are those of the light.

mod draft;
mod lay;

use std::fmt::Write;

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use image::ExtendedColorType;
use image::codecs::jpeg::JpegEncoder;
use kurbo::PathEl;

pub use draft::draft;
pub use lay::{lay, lay_on};

use crate::geometry::{Curve, Point, Vector};
use crate::motif::Ground;
use crate::remark::{Refusal, Remark};
use crate::scene::{Form, drawn, form};
use crate::stages::LineKind;

/// Paper left free round the drawing.
const MARGIN_MM: f64 = 40.0;

/// Length of the rule by which a print is checked.
const RULE_MM: f64 = 100.0;

/// An SVG as it is written.
struct Svg {
    type_mm: f64,
    body: String,
}

impl Svg {
    /// Nothing yet; text will be `type_mm` high.
    fn new(type_mm: f64) -> Self {
        Self { type_mm, body: String::new() }
    }

    fn open(&mut self, id: &str) {
        self.put(&format!("<g id=\"{}\">\n", escaped(id)));
    }

    fn close(&mut self) {
        self.put("</g>\n");
    }

    /// Path data in the form of a kind of line, named `id`.
    fn path(&mut self, id: &str, kind: LineKind, d: &str) {
        let form = form(kind);
        let dashes: Vec<String> = form.dash_mm.iter().map(|mm| number(*mm)).collect();
        let dashes = match dashes.is_empty() {
            true => String::new(),
            false => format!(" stroke-dasharray=\"{}\"", dashes.join(" ")),
        };
        let (id, width) = (escaped(id), number(form.width_mm));
        self.put(&format!("<path id=\"{id}\" stroke-width=\"{width}\"{dashes} d=\"{d}\"/>\n"));
    }

    /// A line through corners, with the second line and the arrows of its kind.
    fn line<F>(&mut self, id: &str, kind: LineKind, points: &[Point<F>]) {
        let undashed = Form { dash_mm: &[], ..form(kind) };
        let parts: Vec<String> = drawn(points, &undashed).iter().map(|part| corners(part)).collect();
        self.path(id, kind, &parts.join(" "));
    }

    /// Path data as plain lines, which are no line of the cloth.
    fn thin(&mut self, id: &str, width_mm: f64, d: &str) {
        self.put(&format!("<path id=\"{}\" stroke-width=\"{}\" d=\"{d}\"/>\n", escaped(id), number(width_mm)));
    }

    /// A filled area.
    fn area<F>(&mut self, id: &str, ring: &[Point<F>]) {
        let (id, d) = (escaped(id), corners(ring));
        self.put(&format!("<path id=\"{id}\" fill=\"#e4e4e4\" stroke=\"none\" d=\"{d} Z\"/>\n"));
    }

    /// A line of text from the left end of its baseline.
    fn words<F>(&mut self, text: &str, at: Point<F>) {
        self.words_beside(text, at, Vector::zero());
    }

    /// Lines of text from the left end of the first baseline down.
    fn rows<F>(&mut self, rows: &[&str], at: Point<F>) {
        for (i, row) in rows.iter().enumerate() {
            self.words(row, at + Vector::new(0.0, ROW * self.type_mm * i as f64));
        }
    }

    /// A line of text on a plate that hides what is drawn under it.
    fn plate<F>(&mut self, text: &str, at: Point<F>) {
        let (width, off) = (width_mm(text, self.type_mm), self.type_mm * 0.3);
        let corner = |x: f64, y: f64| at + Vector::new(x, y);
        let [left, right, top, foot] = [-off, width + off, -self.type_mm, off];
        let d = corners(&[corner(left, top), corner(right, top), corner(right, foot), corner(left, foot)]);
        self.put(&format!("<path fill=\"#e4e4e4\" stroke=\"none\" d=\"{d} Z\"/>\n"));
        self.words(text, at);
    }

    /// A line of text beside a place: it begins there, or ends there when `off` points to the left.
    fn words_beside<F>(&mut self, text: &str, at: Point<F>, off: Vector<F>) {
        let at = at + off;
        let anchor = if off.x < 0.0 { " text-anchor=\"end\"" } else { "" };
        let (x, y, text) = (number(at.x), number(at.y), escaped(text));
        self.put(&format!("<text x=\"{x}\" y=\"{y}\"{anchor} fill=\"#000\" stroke=\"none\">{text}</text>\n"));
    }

    /// The rule by which a print is checked.
    fn rule<F>(&mut self, at: Point<F>) {
        let (x, y) = (number(at.x), number(at.y));
        let ticks: String = (0..=10u32)
            .map(|i| {
                format!(" M{} {y} v{}", number(at.x + f64::from(i) * RULE_MM / 10.0), if i % 5 == 0 { -8 } else { -4 })
            })
            .collect();
        self.open("rule");
        self.put(&format!("<path id=\"check-rule\" stroke-width=\"0.5\" d=\"M{x} {y} h{RULE_MM}\"/>\n"));
        self.put(&format!("<path stroke-width=\"0.5\" d=\"{}\"/>\n", ticks.trim_start()));
        self.words::<F>(
            &format!("this rule must measure {RULE_MM} mm when printed: print at 100 %"),
            Point::new(at.x, at.y + 1.4 * self.type_mm),
        );
        self.close();
    }

    /// The whole file, showing the box from `low` to `high`.
    fn finish<F>(self, title: &str, low: Point<F>, high: Point<F>) -> String {
        let size = high - low;
        let (x, y, width, height) = (number(low.x), number(low.y), number(size.x), number(size.y));
        let title = escaped(title);
        format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
             <svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
             viewBox=\"{x} {y} {width} {height}\" fill=\"none\" stroke=\"#000\" \
             font-family=\"Hack, 'DejaVu Sans Mono', monospace\" font-size=\"{}\">\n\
             <title>{title}</title>\n\
             <style>@page {{ size: {width}mm {height}mm; margin: 0 }}</style>\n{}</svg>\n",
            number(self.type_mm),
            self.body
        )
    }

    fn put(&mut self, text: &str) {
        self.body.push_str(text);
    }
}

/// From row to row, in heights of the type.
const ROW: f64 = 1.4;

/// Width of text: every letter of the type is so wide in its heights.
fn width_mm(text: &str, type_mm: f64) -> f64 {
    const LETTER: f64 = 0.602;
    LETTER * type_mm * text.chars().count() as f64
}

/// A piece's caption in one row where there is so much room, or in a row for each of its parts.
fn in_rows(caption: &str, type_mm: f64, room_mm: f64) -> Vec<&str> {
    if width_mm(caption, type_mm) <= room_mm { vec![caption] } else { caption.split(", ").collect() }
}

/// How finely a print is packed, of 100.
const JPEG_QUALITY: u8 = 85;

/// A print as a picture within the drawing itself: left, top, width and height in mm.
fn picture(id: &str, [x, y, width, height]: [f64; 4], ground: &Ground) -> Result<String, Refusal> {
    let mut jpeg = Vec::new();
    let [columns, rows] = ground.size_px;
    let mut packing = JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY);
    packing.encode(&ground.rgb, columns, rows, ExtendedColorType::Rgb8).map_err(|error| {
        let remark = Remark::refusal(format!("the print can't be drawn under the lay: {error}"));
        Refusal::because(remark.remedy("take photo out of [cloth], and the lay is drawn without it"))
    })?;
    let [x, y, width, height] = [x, y, width, height].map(number);
    Ok(format!(
        "<image id=\"{id}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" preserveAspectRatio=\"none\" \
         href=\"data:image/jpeg;base64,{}\"/>\n",
        STANDARD.encode(jpeg)
    ))
}

/// Path data of a run of curves, each beginning where the one before it ends.
fn curves<F>(curves: &[&Curve<F>]) -> String {
    let mut d = String::new();
    for (i, curve) in curves.iter().enumerate() {
        if i == 0 {
            let start = curve.start();
            put(&mut d, 'M', &[start.x, start.y]);
        }
        for element in curve.elements() {
            match element {
                PathEl::MoveTo(p) => put(&mut d, 'M', &[p.x, p.y]),
                PathEl::LineTo(p) => put(&mut d, 'L', &[p.x, p.y]),
                PathEl::QuadTo(a, p) => put(&mut d, 'Q', &[a.x, a.y, p.x, p.y]),
                PathEl::CurveTo(a, b, p) => put(&mut d, 'C', &[a.x, a.y, b.x, b.y, p.x, p.y]),
                PathEl::ClosePath => d.push('Z'),
            }
        }
    }
    d
}

/// Path data of a polyline.
fn corners<F>(points: &[Point<F>]) -> String {
    let mut d = String::new();
    for (i, p) in points.iter().enumerate() {
        put(&mut d, if i == 0 { 'M' } else { 'L' }, &[p.x, p.y]);
    }
    d
}

fn put(d: &mut String, command: char, numbers: &[f64]) {
    d.push(command);
    for (i, n) in numbers.iter().enumerate() {
        // Writing to a String can't fail.
        let _ = write!(d, "{}{}", if i == 0 { "" } else { " " }, number(*n));
    }
}

/// A number to a tenth of a micron, without needless zeros.
fn number(mm: f64) -> String {
    let fixed = format!("{mm:.4}");
    let short = fixed.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".into() } else { short.into() }
}

/// Text that can stand in XML; signs that XML 1.0 has no way to write become the replacement sign.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_can_not_break_out() {
        assert_eq!(
            escaped("<a href=\"x\">R&D 'n'\u{1}</a>"),
            "&lt;a href=&quot;x&quot;&gt;R&amp;D &#39;n&#39;\u{fffd}&lt;/a&gt;"
        );
    }

    #[test]
    fn numbers_are_short_and_true() {
        for (mm, text) in [(0.0, "0"), (-0.000_01, "0"), (12.5, "12.5"), (66.800_04, "66.8"), (-3.000_1, "-3.0001")] {
            assert_eq!(number(mm), text);
        }
    }
}

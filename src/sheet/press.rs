//! The press: leaves to a PDF, by krilla.
//!
//! The one place of the sheet where millimetres become f32 in the library's own points: a page is at most 297 mm, so
//! that the loss is below a ten-thousandth of a millimetre. The font is embedded as the subset that is used. No date is
//! written into the file: the same order gives the same bytes.

use image::RgbaImage;
use krilla::Document;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point as PdfPoint, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke as PdfStroke};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};

use super::leaf::{At, Ink, Leaf, Mark, PAGE_MM};
use crate::remark::{Refusal, Remark};
use crate::units::INCH_MM;

/// One millimetre in points of 1/72 inch.
const POINTS_PER_MM: f64 = 72.0 / INCH_MM;

/// Prints leaves in the middle of upright pages; `pictures` are those that the leaves' pictures count from 0.
///
/// # Errors
/// When the PDF can't be made; a fault of the program, told rather than panicked over.
pub fn press(
    page_mm: [f64; 2],
    title: &str,
    leaves: &[Leaf],
    pictures: &[(String, RgbaImage)],
) -> Result<Vec<u8>, Refusal> {
    press_from((page_mm[0] - PAGE_MM[0]) / 2.0, page_mm, title, (leaves, pictures))
}

/// Prints leaves without pictures on pages of their own size.
///
/// # Errors
/// As [`press`].
pub fn press_as_they_are(page_mm: [f64; 2], title: &str, leaves: &[Leaf]) -> Result<Vec<u8>, Refusal> {
    press_from(0.0, page_mm, title, (leaves, &[]))
}

/// Prints leaves whose left edge lies so far from the page's.
fn press_from(
    left_mm: f64,
    page_mm: [f64; 2],
    title: &str,
    (leaves, pictures): (&[Leaf], &[(String, RgbaImage)]),
) -> Result<Vec<u8>, Refusal> {
    let font =
        Font::new(epaint_default_fonts::HACK_REGULAR.into(), 0).ok_or_else(|| fault("its font can't be read"))?;
    let images: Vec<Image> = pictures.iter().map(|(_, picture)| image(picture)).collect();
    let [width, height] = page_mm.map(|mm| (mm * POINTS_PER_MM) as f32);
    let mut document = Document::new();
    document.set_metadata(Metadata::new().title(title.to_owned()).language("en".into()).creator("Chalklight".into()));
    for leaf in leaves {
        let settings = PageSettings::from_wh(width, height).ok_or_else(|| fault("its page has no size"))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface.push_transform(&Transform::from_scale(POINTS_PER_MM as f32, POINTS_PER_MM as f32));
        surface.push_transform(&Transform::from_translate(left_mm as f32, 0.0));
        for mark in &leaf.marks {
            print(&mut surface, mark, &font, &images);
        }
        surface.pop();
        surface.pop();
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|why| fault(&format!("{why:?}")))
}

fn fault(why: &str) -> Refusal {
    Refusal::because(
        Remark::refusal(format!("the page can't be printed: {why}"))
            .remedy("this is a fault of the program, not of what was asked; say what was printed when you report it"),
    )
}

fn print(surface: &mut Surface<'_>, mark: &Mark, font: &Font, images: &[Image]) {
    surface.set_fill(None);
    surface.set_stroke(None);
    match mark {
        Mark::Words(words) => {
            surface.set_fill(Some(fill(words.ink)));
            let (size, direction) = (words.size_mm as f32, TextDirection::LeftToRight);
            surface.draw_text(pdf_point(words.at), font.clone(), size, &words.text, false, direction);
        }
        Mark::Stroke(stroke) => {
            surface.set_stroke(Some(PdfStroke {
                paint: luma::Color::new(grey(stroke.ink)).into(),
                width: stroke.width_mm as f32,
                line_cap: LineCap::Butt,
                line_join: LineJoin::Round,
                ..PdfStroke::default()
            }));
            if let Some(path) = path(&stroke.points, stroke.closed) {
                surface.draw_path(&path);
            }
        }
        Mark::Area(ring, ink) => {
            surface.set_fill(Some(fill(*ink)));
            if let Some(path) = path(ring, true) {
                surface.draw_path(&path);
            }
        }
        Mark::Picture(which, at, [width_mm, height_mm]) => {
            let size = Size::from_wh(*width_mm as f32, *height_mm as f32);
            if let (Some(image), Some(size)) = (images.get(*which), size) {
                surface.push_transform(&Transform::from_translate(at.x as f32, at.y as f32));
                surface.draw_image(image.clone(), size);
                surface.pop();
            }
        }
    }
}

fn image(picture: &RgbaImage) -> Image {
    Image::from_rgba8(picture.as_raw().clone(), picture.width(), picture.height())
}

fn grey(ink: Ink) -> u8 {
    match ink {
        Ink::Black => 20,
        Ink::Grey => 105,
        Ink::Pale => 226,
        Ink::White => 255,
    }
}

fn fill(ink: Ink) -> Fill {
    Fill { paint: luma::Color::new(grey(ink)).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn pdf_point(at: At) -> PdfPoint {
    PdfPoint::from_xy(at.x as f32, at.y as f32)
}

fn path(points: &[At], closed: bool) -> Option<Path> {
    let (first, rest) = points.split_first()?;
    let mut path = PathBuilder::new();
    path.move_to(first.x as f32, first.y as f32);
    for p in rest {
        path.line_to(p.x as f32, p.y as f32);
    }
    if closed {
        path.close();
    }
    path.finish()
}

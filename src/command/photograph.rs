//! A photo from the disc, the way up that it was taken.

use std::fs::File;
use std::io::{Cursor, Read};
use std::path::Path;

use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader};

use super::task;
use crate::lay::Lay;
use crate::motif::{Ground, Photograph, ground, straighten};
use crate::order::Order;
use crate::remark::{Refusal, Remark, Weight, why_not};

/// Photos of more than this many million pixels are not read: they need more memory than a dressmaker's computer has to
/// spare, and show nothing more of a cloth.
const MOST_MEGAPIXELS: f64 = 64.0;

/// Opens a photo, PNG or JPEG by what it is and not by what it is called.
///
/// # Errors
/// What is the matter with it, to follow on "this photo can't be read".
pub fn open(path: &Path) -> Result<DynamicImage, String> {
    let mut file = Vec::new();
    File::open(path).and_then(|mut opened| opened.read_to_end(&mut file)).map_err(|error| why_not(&error))?;
    let reader = ImageReader::new(Cursor::new(&file)).with_guessed_format();
    let reader = reader.ok().filter(|reader| reader.format().is_some());
    let reader = reader.ok_or("it is no picture, or an empty file")?;
    if reader.format() == Some(ImageFormat::Jpeg) && !ends(&file) {
        return Err("it is damaged: its end is missing".to_owned());
    }
    let mut decoder = reader.into_decoder().map_err(|error| error.to_string())?;
    let (width, height) = decoder.dimensions();
    let megapixels = f64::from(width) * f64::from(height) / 1e6;
    if megapixels > MOST_MEGAPIXELS {
        return Err(format!("it has {megapixels:.0} megapixels, and at most {MOST_MEGAPIXELS} are read"));
    }
    // A telephone writes down how it was held instead of turning the picture.
    let held = decoder.orientation().map_err(|error| error.to_string())?;
    let mut photo = DynamicImage::from_decoder(decoder).map_err(|error| error.to_string())?;
    photo.apply_orientation(held);
    Ok(photo)
}

/// Whether a JPEG has an end, which the decoder does not ask for: what is missing it leaves grey. Segments of a known length
/// come first, then the scans, in which the bytes of an end stand for nothing else (ISO/IEC 10918-1, annex B).
fn ends(jpeg: &[u8]) -> bool {
    const END: [u8; 2] = [0xff, 0xd9];
    const SCAN: u8 = 0xda;
    let mut at = 2;
    while let Some([0xff, marker, high, low]) = jpeg.get(at..at + 4) {
        at += match *marker {
            SCAN => break,
            // Bytes that fill up before a marker.
            0xff => 1,
            _ => 2 + usize::from(u16::from_be_bytes([*high, *low])),
        };
    }
    jpeg.get(at..).is_some_and(|scans| scans.windows(2).any(|pair| pair == END))
}

/// Opens a photo, or says what to do.
///
/// # Errors
/// As [`open`], as a sentence about that file.
pub fn opened(path: &Path) -> Result<DynamicImage, Refusal> {
    open(path).map_err(|error| {
        let remark = Remark::refusal(format!("this photo can't be read: {error}")).file(path.display().to_string());
        Refusal::because(
            remark.remedy("give a picture file that is there, PNG or JPEG, no larger than a camera makes it"),
        )
    })
}

/// Opens a photo of cloth.
///
/// # Errors
/// As [`opened`].
pub fn of_cloth(path: &Path) -> Result<Photograph, Refusal> {
    let picture = opened(path)?.into_rgb8();
    let rgb = picture.pixels().map(|pixel| pixel.0).collect();
    Ok(Photograph { size_px: [picture.width(), picture.height()], rgb })
}

/// The print under a lay, off the photo that the order names; none when it names none. What stands in the way is said, and
/// the lay is drawn without.
pub fn under(lay: &Lay, order: &Order, order_file: &Path) -> Option<Ground> {
    let name = order.cloth.as_ref()?.photo.as_ref()?;
    let file = order_file.display().to_string();
    let Some(photo) = &order.photo else {
        let remark =
            Remark::note("the lay is drawn without the print: nothing says how large anything in the photo is");
        let remedy = "write ends and length, or corners and size, under [photo]";
        task::say(remark.file(file).field("photo").remedy(remedy), "");
        return None;
    };
    let flat = of_cloth(&order_file.with_file_name(name))
        .and_then(|photograph| straighten(&photograph, photo, lay.cloth.repeat_mm));
    match flat {
        Ok(told) => Some(ground(lay, &task::spoken(told, &file))),
        Err(refusal) => {
            for remark in refusal.remarks {
                let sentence = format!("the lay is drawn without the print: {}", remark.sentence);
                task::say(Remark { weight: Weight::Doubt, sentence, ..remark }, &file);
            }
            None
        }
    }
}

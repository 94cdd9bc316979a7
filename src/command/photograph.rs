//! A photo from the disc, the way up that it was taken.

use std::path::Path;

use image::{DynamicImage, ImageDecoder, ImageError, ImageReader};

use crate::remark::{Refusal, Remark};

/// Opens a photo, PNG or JPEG by what it is and not by what it is called.
///
/// # Errors
/// When it can't be read.
pub fn open(path: &Path) -> Result<DynamicImage, ImageError> {
    let mut decoder = ImageReader::open(path)?.with_guessed_format()?.into_decoder()?;
    // A telephone writes down how it was held instead of turning the picture.
    let held = decoder.orientation()?;
    let mut photo = DynamicImage::from_decoder(decoder)?;
    photo.apply_orientation(held);
    Ok(photo)
}

/// Opens a photo, or says what to do.
///
/// # Errors
/// As [`open`], as a sentence about that file.
pub fn opened(path: &Path) -> Result<DynamicImage, Refusal> {
    open(path).map_err(|error| {
        let remark = Remark::refusal(format!("this photo can't be read: {error}")).file(path.display().to_string());
        Refusal::because(remark.remedy("give a picture file that is there, PNG or JPEG"))
    })
}

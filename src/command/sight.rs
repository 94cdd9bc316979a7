//! Which light shows best on the order's cloth, from the colours that the order names or the photo beside it.

use std::path::Path;

use serde_json::{Value, json};

use crate::order::{Lamps, Order};
use crate::remark::Remark;
use crate::scene::light::{Lighting, Showing, Swatch, showings};
use crate::scene::{View, Way};

/// A photo is brought down to this many pixels a side: threads vanish, the print stays.
const LONGEST_PX: u32 = 320;

/// Every light that was tried on the cloth, the best first; never empty.
#[derive(Clone, Debug)]
pub struct Sight(Vec<Showing>);

impl Sight {
    /// Weighs the lights for an order that was read from `order_file`; none when it says nothing of how the cloth looks.
    /// A photo that can't be read is told and left out.
    pub fn of(order: &Order, order_file: &Path) -> Option<Self> {
        let cloth = order.cloth.as_ref()?;
        let photo = cloth.photo.as_ref().and_then(|name| {
            let path = order_file.with_file_name(name);
            let read = photo(&path);
            if read.is_none() {
                eprintln!("{}", unreadable(name, order_file));
            }
            read
        });
        let swatch = photo.or_else(|| Swatch::of(cloth.colours.iter().copied()))?;
        Some(Self(showings(&swatch, lighting(order.lamps))))
    }

    /// The best.
    fn best(&self) -> &Showing {
        &self.0[0]
    }

    /// A view that begins with the best light.
    pub fn begins(&self, view: View) -> View {
        View { way: self.best().way, light: self.best().light, ..view }
    }

    /// The best, and the best the other way, with what they reach.
    pub fn says(&self) -> String {
        let best = self.best();
        let other = self.0.iter().find(|showing| showing.way != best.way);
        let other = other.map(|other| format!("; {}", told(other))).unwrap_or_default();
        format!("{}{other}", told(best))
    }

    /// Every figure.
    pub fn json(&self) -> Value {
        let one = |showing: &Showing| {
            json!({
                "way": showing.way.key(),
                "colour": showing.colour,
                "contrast_worst_tenth": showing.worst_tenth,
                "contrast_middle": showing.middle,
            })
        };
        self.0.iter().map(one).collect()
    }
}

fn told(showing: &Showing) -> String {
    let what = match showing.way {
        Way::DarkOnLit => format!("dark lines on {} light", showing.colour),
        _ => format!("{} lines on dark", showing.colour),
    };
    let percent = |contrast: f64| (100.0 * contrast).round();
    format!(
        "{what}: contrast {} % or more on nine tenths of the cloth, {} % on half",
        percent(showing.worst_tenth),
        percent(showing.middle)
    )
}

fn lighting(lamps: Lamps) -> Lighting {
    let usual = Lighting::default();
    Lighting {
        ambient_lux: lamps.room_lux.unwrap_or(usual.ambient_lux),
        projector_lux: lamps.projector_lux.unwrap_or(usual.projector_lux),
    }
}

fn photo(path: &Path) -> Option<Swatch> {
    let picture = image::ImageReader::open(path).ok()?.with_guessed_format().ok()?.decode().ok()?;
    let small = if picture.width().max(picture.height()) > LONGEST_PX {
        picture.thumbnail(LONGEST_PX, LONGEST_PX)
    } else {
        picture
    };
    Swatch::of(small.to_rgb8().pixels().map(|pixel| pixel.0))
}

fn unreadable(name: &str, order_file: &Path) -> Remark {
    Remark::doubt(format!("the photo {name} can't be read, so it is left out"))
        .file(order_file.display().to_string())
        .field("cloth.photo")
        .remedy("put a PNG or JPEG of the cloth, lying flat, beside the order, or write its colour instead")
}

//! How the cloth looks, and the light that falls on it: what is needed to tell which light shows best.

use super::{Hue, Lamps};
use crate::entries::{Entries, shown};

/// Darkest and brightest light on a table that is believed: from a dark cellar to the sun's.
const BELIEVED_LUX: [f64; 2] = [0.0, 120_000.0];

/// The cloth's colours, as written for screens: `#` and two digits of sixteen each for red, green and blue.
pub(super) fn colours(section: &mut Entries<'_, '_>) -> Vec<Hue> {
    let mut colours = Vec::new();
    for text in section.texts("colour") {
        match hue(&text.value) {
            Some(colour) => colours.push(colour),
            None => section.fault(
                "colour",
                text.line,
                format!("colour = \"{}\" is no colour that can be read", shown(&text.value)),
                "write # and six digits, as colour pickers show them: colour = \"#7a3b2e\"; \
                 or several: colour = [\"#7a3b2e\", \"#f4ead8\"]",
            ),
        }
    }
    colours
}

fn hue(text: &str) -> Option<Hue> {
    let digits = text.trim().strip_prefix('#')?;
    let value = u32::from_str_radix(digits, 16).ok().filter(|_| digits.len() == 6 && !digits.starts_with('+'))?;
    let [_, red, green, blue] = value.to_be_bytes();
    Some([red, green, blue])
}

/// The light that falls on the table.
pub(super) fn lamps(mut section: Entries<'_, '_>) -> Lamps {
    let lamps = Lamps { room_lux: lux(&mut section, "room"), projector_lux: lux(&mut section, "projector") };
    section.close();
    lamps
}

/// A light with its unit.
fn lux(section: &mut Entries<'_, '_>, key: &'static str) -> Option<f64> {
    let text = section.text(key)?;
    let number = text.value.trim().strip_suffix("lx").or_else(|| text.value.trim().strip_suffix("lux"));
    let lux = number.and_then(|number| number.trim().parse::<f64>().ok());
    let [least, most] = BELIEVED_LUX;
    match lux {
        Some(lux) if (least..=most).contains(&lux) => Some(lux),
        _ => {
            section.fault(
                key,
                text.line,
                format!("{key} = \"{}\" is no light that can be read", shown(&text.value)),
                format!(
                    "write a light from {least} to {most} lx, as a lux meter on the table shows it: {key} = \"100 lx\""
                ),
            );
            None
        }
    }
}

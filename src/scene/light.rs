//! Which light shows best on this cloth: light lines on dark, or dark lines on a lit ground, and in which colour.
//!
//! For every place of the cloth the luminance of a line there is compared with the luminance of the same place without
//! it, as Michelson's contrast (`(a - b)/(a + b)`, A. A. Michelson, *Studies in Optics*, 1927, ch. 4). To both a veil
//! is added: stray light in the eye from the whole lit cloth, without which even black cloth would show any line.
//! What counts is the 10th percentile over the cloth: the print's worst places, but not a single thread.
//!
//! Promised: an order among the candidates and the figures behind it. Not promised: a reading of any light meter; the
//! veil and the default light are plausible, not measured (common practice, no source).

use super::{Light, Way};

/// Light in the room and from the projector, on the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lighting {
    /// The room's light.
    pub ambient_lux: f64,
    /// The projector's own, where its picture is white.
    pub projector_lux: f64,
}

impl Default for Lighting {
    /// A dim room, and 1,600 lm on the 0.8 square metres of a picture 1.2 m wide.
    fn default() -> Self {
        Self { ambient_lux: 100.0, projector_lux: 2000.0 }
    }
}

/// What the cloth reflects, place by place.
#[derive(Clone, Debug, PartialEq)]
pub struct Swatch {
    /// Linear reflectance, 0 to 1 a channel; never empty.
    reflectance: Vec<[f64; 3]>,
}

/// How well lines can be seen one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Showing {
    /// Which of line and ground is lit.
    pub way: Way,
    /// The colour of what is lit: the lines, or the ground.
    pub light: Light,
    /// That colour's name among [`COLOURS`].
    pub colour: &'static str,
    /// Contrast, 0 to 1, that nine tenths of the cloth reach.
    pub worst_tenth: f64,
    /// Contrast, 0 to 1, that half of the cloth reaches.
    pub middle: f64,
}

/// Colours of light to choose from. Pure blue is left out: it gives a fourteenth of white's luminance.
pub const COLOURS: [(&str, Light); 6] = [
    ("white", [255, 255, 255]),
    ("yellow", [255, 255, 0]),
    ("green", [0, 255, 0]),
    ("cyan", [0, 255, 255]),
    ("magenta", [255, 0, 255]),
    ("red", [255, 0, 0]),
];

/// The share of the cloth's mean luminance that strays over everything seen.
const VEIL: f64 = 0.02;

/// Luminance weights of linear sRGB (IEC 61966-2-1, from Rec. ITU-R BT.709).
const WEIGHTS: [f64; 3] = [0.2126, 0.7152, 0.0722];

impl Swatch {
    /// A plain cloth of one colour, as it looks beside white paper.
    pub fn plain(colour: Light) -> Self {
        Self { reflectance: vec![colour.map(linear)] }
    }

    /// Colours that cover about as much of the cloth each, or a photo's pixels, white paper being 255; none of nothing.
    pub fn of(pixels: impl IntoIterator<Item = Light>) -> Option<Self> {
        let reflectance: Vec<_> = pixels.into_iter().map(|p| p.map(linear)).collect();
        (!reflectance.is_empty()).then_some(Self { reflectance })
    }

    /// Luminance of every place under the room's light and a projected one.
    fn luminances(&self, lighting: Lighting, projected: Light) -> Vec<f64> {
        let falling = projected.map(|c| lighting.ambient_lux + lighting.projector_lux * linear(c));
        let seen = |r: &[f64; 3]| (0..3).map(|c| WEIGHTS[c] * r[c] * falling[c]).sum();
        self.reflectance.iter().map(seen).collect()
    }
}

/// Every colour both ways, the best first.
pub fn showings(swatch: &Swatch, lighting: Lighting) -> Vec<Showing> {
    let dark = [0; 3];
    let ways = COLOURS
        .iter()
        .flat_map(|colour| [(Way::LightOnDark, colour, colour.1, dark), (Way::DarkOnLit, colour, dark, colour.1)]);
    let mut all: Vec<Showing> = ways
        .map(|(way, &(colour, light), line, ground)| {
            let (line, ground) = (swatch.luminances(lighting, line), swatch.luminances(lighting, ground));
            let mut contrasts = contrasts(&line, &ground);
            contrasts.sort_by(f64::total_cmp);
            Showing { way, light, colour, worst_tenth: quantile(&contrasts, 0.1), middle: quantile(&contrasts, 0.5) }
        })
        .collect();
    // A stable sort, so that of two equal candidates the one named first stays first.
    all.sort_by(|a, b| b.worst_tenth.total_cmp(&a.worst_tenth));
    all
}

/// Contrast of every place. The eye is veiled by the ground, which is nearly all it sees.
fn contrasts(line: &[f64], ground: &[f64]) -> Vec<f64> {
    let veil = VEIL * ground.iter().sum::<f64>() / ground.len() as f64;
    let contrast = |(a, b): (&f64, &f64)| {
        let sum = a + b + 2.0 * veil;
        if sum > 0.0 { (a - b).abs() / sum } else { 0.0 }
    };
    line.iter().zip(ground).map(contrast).collect()
}

/// The value that a share of the sorted values does not reach.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    sorted[((sorted.len() - 1) as f64 * share).round() as usize]
}

/// Relative luminance of a light, 0 to 1.
pub fn luminance(light: Light) -> f64 {
    (0..3).map(|c| WEIGHTS[c] * linear(light[c])).sum()
}

/// Linear light of an sRGB byte, 0 to 1 (IEC 61966-2-1).
pub fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIGHTING: Lighting = Lighting { ambient_lux: 100.0, projector_lux: 2000.0 };

    fn of(all: &[Showing], way: Way, light: Light) -> Showing {
        *all.iter().find(|s| s.way == way && s.light == light).expect("every candidate is weighed both ways")
    }

    /// By hand: sRGB 188 reflects 0.5029 (IEC 61966-2-1); with r for that, light on dark is
    /// 2000 r / (2100 r + 100 r + 2 * 0.02 * 100 r) = 2000/2204, dark on lit 2000 r / (2200 r + 2 * 0.02 * 2100 r).
    #[test]
    fn plain_cloth_by_hand() {
        let all = showings(&Swatch::plain([188; 3]), LIGHTING);
        let light = of(&all, Way::LightOnDark, [255; 3]);
        let dark = of(&all, Way::DarkOnLit, [255; 3]);
        assert!((light.worst_tenth - 2000.0 / 2204.0).abs() < 1e-12);
        assert!((dark.worst_tenth - 2000.0 / 2284.0).abs() < 1e-12);
        assert_eq!(all[0].light, [255; 3]);
    }

    /// Red cloth gives back little of a green light.
    #[test]
    fn red_cloth_wants_red_in_its_light() {
        let all = showings(&Swatch::plain([200, 12, 12]), LIGHTING);
        let contrast = |light| of(&all, Way::LightOnDark, light).worst_tenth;
        assert!(contrast([255, 0, 0]) > contrast([0, 255, 0]));
        assert!(contrast([255, 255, 255]) >= contrast([255, 0, 0]));
    }

    /// Nine tenths bright cloth and a tenth and a bit of near-black: the near-black decides.
    #[test]
    fn the_worst_tenth_decides() {
        let print =
            |dark: usize| Swatch::of((0..100).map(|i| if i < dark { [3; 3] } else { [230; 3] })).expect("a print");
        let worst = |dark| of(&showings(&print(dark), LIGHTING), Way::DarkOnLit, [255; 3]).worst_tenth;
        assert!(worst(5) > 0.8, "{}", worst(5));
        assert!(worst(15) < 0.1, "{}", worst(15));
    }

    #[test]
    fn brighter_rooms_show_less() {
        let bright = Lighting { ambient_lux: 1000.0, ..LIGHTING };
        let swatch = Swatch::plain([128; 3]);
        let best = |lighting| showings(&swatch, lighting)[0].worst_tenth;
        assert!(best(bright) < best(LIGHTING));
        assert!(Swatch::of([]).is_none());
    }
}

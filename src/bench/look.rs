//! How the bench looks: ink on paper by day, chalk on slate by night; and how large.
//!
//! Every colour that carries words stands in [`Ink`], so that its contrast can be computed. Colour never says anything
//! alone: a fault has its sign before it, a lit line is also thicker.

use egui::{
    Color32, Context, CornerRadius, FontDefinitions, FontFamily, FontId, Margin, Stroke, TextStyle, Theme, Visuals,
    vec2,
};

/// The colours of one look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink {
    /// What everything lies on.
    pub ground: Color32,
    /// The sheet that a drawing is on.
    pub sheet: Color32,
    /// Inside a field.
    pub field: Color32,
    /// A button.
    pub button: Color32,
    /// A button under the pointer, and the step that she is at.
    pub lifted: Color32,
    /// Edges of fields and buttons.
    pub edge: Color32,
    /// Words.
    pub words: Color32,
    /// Words that explain.
    pub aside: Color32,
    /// What is lit, and where the focus is.
    pub chalk: Color32,
    /// Behind what is chosen.
    pub chosen: Color32,
    /// What is well.
    pub good: Color32,
    /// What is questioned.
    pub doubt: Color32,
    /// What is refused.
    pub refused: Color32,
}

const DAY: Ink = Ink {
    ground: Color32::from_rgb(0xf4, 0xf1, 0xea),
    sheet: Color32::from_rgb(0xfd, 0xfc, 0xf9),
    field: Color32::from_rgb(0xff, 0xff, 0xff),
    button: Color32::from_rgb(0xe6, 0xe1, 0xd6),
    lifted: Color32::from_rgb(0xd8, 0xd2, 0xc4),
    edge: Color32::from_rgb(0x85, 0x7e, 0x70),
    words: Color32::from_rgb(0x24, 0x22, 0x1e),
    aside: Color32::from_rgb(0x55, 0x50, 0x47),
    chalk: Color32::from_rgb(0x0f, 0x55, 0x85),
    chosen: Color32::from_rgb(0xcf, 0xe3, 0xf2),
    good: Color32::from_rgb(0x1d, 0x5c, 0x33),
    doubt: Color32::from_rgb(0x75, 0x49, 0x00),
    refused: Color32::from_rgb(0x98, 0x1f, 0x12),
};

const NIGHT: Ink = Ink {
    ground: Color32::from_rgb(0x20, 0x23, 0x26),
    sheet: Color32::from_rgb(0x17, 0x19, 0x1b),
    field: Color32::from_rgb(0x13, 0x15, 0x17),
    button: Color32::from_rgb(0x34, 0x38, 0x3c),
    lifted: Color32::from_rgb(0x43, 0x48, 0x4d),
    edge: Color32::from_rgb(0x83, 0x8a, 0x90),
    words: Color32::from_rgb(0xee, 0xea, 0xe1),
    aside: Color32::from_rgb(0xc2, 0xbd, 0xb2),
    chalk: Color32::from_rgb(0x9c, 0xd1, 0xf5),
    chosen: Color32::from_rgb(0x1f, 0x44, 0x60),
    good: Color32::from_rgb(0xa3, 0xdc, 0xb0),
    doubt: Color32::from_rgb(0xf3, 0xc9, 0x77),
    refused: Color32::from_rgb(0xff, 0xb5, 0xa6),
};

/// Sizes of words, in points at 100 %.
const BODY: f32 = 15.0;
const SMALL: f32 = 13.0;
const TITLE: f32 = 19.0;

impl Ink {
    /// The colours of a look.
    pub const fn of(dark: bool) -> Self {
        if dark { NIGHT } else { DAY }
    }

    /// The colours that a part of the window is drawn in.
    pub fn here(ui: &egui::Ui) -> Self {
        Self::of(ui.visuals().dark_mode)
    }

    /// Every pair of words and what they stand on.
    pub fn pairs(&self) -> Vec<(&'static str, Color32, Color32)> {
        let mut pairs = Vec::new();
        for (name, words) in [
            ("words", self.words),
            ("aside", self.aside),
            ("chalk", self.chalk),
            ("good", self.good),
            ("doubt", self.doubt),
            ("refused", self.refused),
        ] {
            pairs.extend([self.ground, self.sheet, self.field].map(|under| (name, words, under)));
        }
        pairs.extend([self.button, self.lifted].map(|under| ("words", self.words, under)));
        pairs.extend([self.words, self.chalk].map(|words| ("what is chosen", words, self.chosen)));
        pairs
    }
}

/// Gives a context both looks; which of them is shown is [`follow`]'s.
pub fn prepare(context: &Context) {
    context.style_mut_of(Theme::Light, |style| dress(style, Visuals::light(), &DAY));
    context.style_mut_of(Theme::Dark, |style| dress(style, Visuals::dark(), &NIGHT));
    context.options_mut(|options| options.zoom_with_keyboard = false);
    // Inch marks and thirds are in the second font only.
    let mut fonts = FontDefinitions::default();
    fonts.families.entry(FontFamily::Proportional).or_default().push("Hack".to_owned());
    context.set_fonts(fonts);
}

/// Follows her habits.
pub fn follow(context: &Context, dark: bool, text_percent: u32) {
    context.set_theme(if dark { Theme::Dark } else { Theme::Light });
    let zoom = text_percent as f32 / 100.0;
    if context.zoom_factor() != zoom {
        context.set_zoom_factor(zoom);
    }
}

fn dress(style: &mut egui::Style, visuals: Visuals, ink: &Ink) {
    style.visuals = visuals;
    let visuals = &mut style.visuals;
    visuals.panel_fill = ink.ground;
    visuals.window_fill = ink.ground;
    visuals.extreme_bg_color = ink.field;
    visuals.text_edit_bg_color = Some(ink.field);
    visuals.faint_bg_color = ink.sheet;
    visuals.weak_text_color = Some(ink.aside);
    visuals.warn_fg_color = ink.doubt;
    visuals.error_fg_color = ink.refused;
    visuals.hyperlink_color = ink.chalk;
    visuals.selection.bg_fill = ink.chosen;
    visuals.selection.stroke = Stroke::new(2.0, ink.chalk);
    visuals.text_cursor.stroke = Stroke::new(2.0, ink.chalk);
    visuals.disabled_alpha = 0.5;
    let radius = CornerRadius::same(3);
    let parts = &mut visuals.widgets;
    for (part, fill, edge) in [
        (&mut parts.noninteractive, ink.ground, Stroke::new(1.0, ink.lifted)),
        (&mut parts.inactive, ink.button, Stroke::new(1.0, ink.edge)),
        (&mut parts.hovered, ink.lifted, Stroke::new(1.5, ink.words)),
        (&mut parts.active, ink.lifted, Stroke::new(2.0, ink.chalk)),
        (&mut parts.open, ink.lifted, Stroke::new(1.5, ink.edge)),
    ] {
        part.bg_fill = fill;
        part.weak_bg_fill = fill;
        part.bg_stroke = edge;
        part.fg_stroke = Stroke::new(1.0, ink.words);
        part.corner_radius = radius;
        part.expansion = 0.0;
    }
    let size = |size, family| FontId::new(size, family);
    style.text_styles = [
        (TextStyle::Small, size(SMALL, FontFamily::Proportional)),
        (TextStyle::Body, size(BODY, FontFamily::Proportional)),
        (TextStyle::Button, size(BODY, FontFamily::Proportional)),
        (TextStyle::Monospace, size(SMALL, FontFamily::Monospace)),
        (TextStyle::Heading, size(TITLE, FontFamily::Proportional)),
    ]
    .into();
    style.animation_time = 0.0;
    style.spacing.item_spacing = vec2(8.0, 6.0);
    style.spacing.button_padding = vec2(9.0, 4.0);
    style.spacing.interact_size.y = 26.0;
    style.spacing.window_margin = Margin::same(10);
    style.spacing.scroll = egui::style::ScrollStyle::solid();
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast ratio of two colours: Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio".
    fn contrast(a: Color32, b: Color32) -> f64 {
        let luminance = |colour: Color32| {
            let linear = [colour.r(), colour.g(), colour.b()].map(|channel| {
                let v = f64::from(channel) / 255.0;
                if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
            });
            0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        };
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn the_ratio_is_that_of_the_guidelines() {
        // Black on white is 21:1 by definition; #777777 on white is the guidelines' well known 4.48:1.
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
        assert!((contrast(Color32::from_gray(0x77), Color32::WHITE) - 4.48).abs() < 0.005);
    }

    #[test]
    fn words_have_contrast_in_both_looks() {
        for dark in [false, true] {
            let ink = Ink::of(dark);
            for (name, words, under) in ink.pairs() {
                let ratio = contrast(words, under);
                assert!(ratio >= 4.5, "{name} {words:?} on {under:?}: {ratio:.2}");
            }
            // Edges of fields are no words: 3:1 by success criterion 1.4.11.
            for under in [ink.ground, ink.field] {
                let ratio = contrast(ink.edge, under);
                assert!(ratio >= 3.0, "edge on {under:?}: {ratio:.2}");
            }
        }
    }
}

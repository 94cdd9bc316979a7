//! What the bench itself throws on other screens: a numeral to tell them apart, and the grid that is measured.
//!
//! The grid is drawn at the screen's own pixels, one for one, and only while the window has the size that the marks were
//! computed for.

use egui::{Align2, Color32, ColorImage, FontId, Rect, Stroke, TextureHandle, TextureOptions, Ui, pos2, vec2};
use winit::event_loop::ActiveEventLoop;
use winit::window::{Fullscreen, Window, WindowId};

use super::pane::Pane;
use crate::bench::model::Bench;
use crate::calibrate::{Grid, picture};
use crate::remark::Refusal;

/// What is thrown on a screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// The screen's number in the list.
    Numeral(usize),
    /// The grid to be measured.
    Grid,
}

/// A sign on its screen.
pub struct Thrown {
    sign: Sign,
    screen: usize,
    pane: Pane,
    grid: Option<Loaded>,
}

/// The picture of a grid, with what it is of.
type Loaded = (TextureHandle, ([u32; 2], Grid));

/// Brings the signs to what the bench wants: on the screen that the bench itself is on it shows the numeral in its own window.
/// Whether windows were opened.
///
/// # Errors
/// When nothing can draw on a screen.
pub fn follow(thrown: &mut Vec<Thrown>, bench: &Bench, event_loop: &ActiveEventLoop) -> Result<bool, Refusal> {
    let mut wanted = Vec::new();
    if bench.numbering {
        let others = (0..bench.screens.len()).filter(|i| Some(*i) != bench.own_screen);
        wanted.extend(others.map(|i| (i, Sign::Numeral(i + 1))));
    }
    let chosen = bench.screens.iter().position(|screen| Some(screen.title.as_str()) == bench.screen());
    if let Some(i) = chosen.filter(|_| bench.throwing_grid) {
        wanted.push((i, Sign::Grid));
    }
    if thrown.iter().map(|each| (each.screen, each.sign)).eq(wanted.iter().copied()) {
        return Ok(false);
    }
    thrown.clear();
    for (screen, sign) in wanted {
        thrown.push(open(screen, sign, event_loop)?);
    }
    Ok(!thrown.is_empty())
}

fn open(screen: usize, sign: Sign, event_loop: &ActiveEventLoop) -> Result<Thrown, Refusal> {
    let monitor = event_loop.available_monitors().nth(screen);
    let mut attributes = Window::default_attributes().with_title("Chalklight on the table");
    if let Some(monitor) = &monitor {
        attributes = attributes.with_position(monitor.position()).with_inner_size(monitor.size());
    }
    attributes = attributes.with_fullscreen(Some(Fullscreen::Borderless(monitor)));
    let window = event_loop.create_window(attributes).map_err(|_| super::no_window())?;
    let pane = Pane::new(event_loop, window)?;
    pane.window().request_redraw();
    Ok(Thrown { sign, screen, pane, grid: None })
}

impl Thrown {
    /// Whether it is shown in that window.
    pub fn is(&self, window: WindowId) -> bool {
        self.pane.window().id() == window
    }

    /// Its pane.
    pub fn pane(&mut self) -> &mut Pane {
        &mut self.pane
    }

    /// Draws it.
    ///
    /// # Errors
    /// When the graphics driver gave up.
    pub fn draw(&mut self, bench: &Bench) -> Result<(), Refusal> {
        let size_px = self.pane.size_px();
        let (sign, grid) = (self.sign, &mut self.grid);
        self.pane.draw(|ui| {
            let whole = ui.ctx().viewport_rect();
            ui.painter().rect_filled(whole, 0.0, Color32::BLACK);
            match sign {
                Sign::Numeral(number) => numeral(ui, whole, number, bench),
                Sign::Grid if size_px == bench.thrown_grid().0 => marks(ui, grid, bench),
                Sign::Grid => other_size(ui, whole, size_px, bench),
            }
        })
    }
}

fn numeral(ui: &Ui, whole: Rect, number: usize, bench: &Bench) {
    let font = FontId::proportional(whole.height() * 0.6);
    ui.painter().text(whole.center(), Align2::CENTER_CENTER, number.to_string(), font, Color32::WHITE);
    if let Some(screen) = bench.screens.get(number - 1) {
        let font = FontId::proportional(whole.height() * 0.04);
        let at = whole.center_bottom() - vec2(0.0, whole.height() * 0.06);
        ui.painter().text(at, Align2::CENTER_BOTTOM, &screen.title, font, Color32::WHITE);
    }
}

/// The grid, and a ring round what is to be measured next.
fn marks(ui: &Ui, loaded: &mut Option<Loaded>, bench: &Bench) {
    let thrown = bench.thrown_grid();
    let (size_px, grid) = &thrown;
    if loaded.as_ref().is_none_or(|(_, of)| *of != thrown) {
        let picture = picture::draw(*size_px, grid);
        let image = ColorImage::from_gray(size_px.map(|side| side as usize), &picture.light);
        *loaded = Some((ui.ctx().load_texture("grid", image, TextureOptions::NEAREST), thrown.clone()));
    }
    let per_point = ui.ctx().pixels_per_point();
    let point = |px: f32| px / per_point;
    if let Some((texture, _)) = loaded {
        let size = size_px.map(|side| point(side as f32));
        let rect = Rect::from_min_size(pos2(0.0, 0.0), vec2(size[0], size[1]));
        ui.painter().image(texture.id(), rect, Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0)), Color32::WHITE);
    }
    let next: Vec<_> = bench.measuring.into_iter().flat_map(|slot| slot.marks()).filter_map(|m| grid.px(m)).collect();
    let at: Vec<_> = next.iter().map(|px| pos2(point(px.x as f32), point(px.y as f32))).collect();
    let radius = point(picture::ring_px(*size_px) as f32);
    for middle in &at {
        ui.painter().circle_stroke(*middle, radius, Stroke::new(point(4.0), Color32::YELLOW));
    }
    if let [from, to] = at[..] {
        let along = (to - from).normalized() * radius;
        ui.painter().line_segment([from + along, to - along], Stroke::new(point(2.0), Color32::YELLOW));
    }
}

fn other_size(ui: &Ui, whole: Rect, size_px: [u32; 2], bench: &Bench) {
    let [width, height] = bench.thrown_grid().0;
    let text = format!(
        "This window has {} x {} pixels, and the grid is for {width} x {height}.\nSet the screen to that size, or choose it again.",
        size_px[0], size_px[1]
    );
    let font = FontId::proportional(24.0);
    ui.painter().text(whole.center(), Align2::CENTER_CENTER, text, font, Color32::WHITE);
}

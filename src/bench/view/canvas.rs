//! A drawing that can be looked at closely: the wheel and a pinch bring it nearer, dragging and two fingers move it,
//! and with the focus on it plus, minus, the arrows and nought do the same.
//!
//! It draws in millimetres with y down; whoever draws a frame with y up turns it over.

use egui::{
    Align2, Color32, Event, EventFilter, FontId, Key, MouseWheelUnit, Painter, Pos2, Rect, Response, Sense, Shape,
    Stroke, Ui, Vec2, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::super::look::Ink;

/// Nearest and farthest look, as a share of the whole drawing filling its sheet.
const NEAREST: f64 = 60.0;
const FARTHEST: f64 = 0.5;

/// How much nearer one step brings it.
const STEP: f64 = 1.25;

/// Margin round the whole drawing, in points.
const MARGIN: f32 = 26.0;

/// How a drawing is looked at: how much nearer than whole, and the middle's shift from its own middle, in mm.
#[derive(Clone, Copy, Debug)]
struct Look {
    nearer: f64,
    shift_mm: [f64; 2],
}

/// A drawing under way.
pub struct Canvas {
    /// What it is drawn with.
    pub painter: Painter,
    /// Its colours.
    pub ink: Ink,
    middle: Pos2,
    middle_mm: [f64; 2],
    points_per_mm: f64,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    /// Its colour.
    pub colour: Color32,
    /// Its width in points.
    pub width: f32,
    /// Dash and gap in points; none for a full line.
    pub dash: Option<[f32; 2]>,
}

impl Pen {
    /// A full line.
    pub fn full(colour: Color32, width: f32) -> Self {
        Self { colour, width, dash: None }
    }

    /// A dashed line.
    pub fn dashed(colour: Color32, width: f32, dash: [f32; 2]) -> Self {
        Self { colour, width, dash: Some(dash) }
    }
}

/// Shows a drawing that reaches from `low` to `high` in mm, under the name that a screen reader says.
pub fn canvas(ui: &mut Ui, name: &str, [low, high]: [[f64; 2]; 2], draw: impl FnOnce(&Canvas)) {
    let ink = Ink::here(ui);
    let (response, painter) = ui.allocate_painter(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    let id = response.id;
    let rect = response.rect;
    painter.rect_filled(rect, 3.0, ink.sheet);
    let edge = if response.has_focus() { Stroke::new(2.0, ink.chalk) } else { Stroke::new(1.0, ink.lifted) };
    painter.rect_stroke(rect, 3.0, edge, egui::StrokeKind::Inside);
    let size_mm = [0, 1].map(|i| (high[i] - low[i]).max(1.0));
    let room = rect.size() - Vec2::splat(2.0 * MARGIN);
    let whole = (f64::from(room.x.max(10.0)) / size_mm[0]).min(f64::from(room.y.max(10.0)) / size_mm[1]);
    let mut look = ui.data(|data| data.get_temp(id)).unwrap_or(Look { nearer: 1.0, shift_mm: [0.0; 2] });
    moved(ui, &response, &mut look, whole);
    ui.data_mut(|data| data.insert_temp(id, look));
    let middle_mm = [0, 1].map(|i| (low[i] + high[i]) / 2.0 + look.shift_mm[i]);
    draw(&Canvas { painter, ink, middle: rect.center(), middle_mm, points_per_mm: whole * look.nearer });
}

/// Follows mouse, touchpad and keys.
fn moved(ui: &Ui, response: &Response, look: &mut Look, whole: f64) {
    let rect = response.rect;
    let slide = |look: &mut Look, by: Vec2| {
        let points_per_mm = whole * look.nearer;
        look.shift_mm[0] -= f64::from(by.x) / points_per_mm;
        look.shift_mm[1] -= f64::from(by.y) / points_per_mm;
    };
    if response.dragged() {
        slide(look, response.drag_delta());
    }
    if response.double_clicked() {
        *look = Look { nearer: 1.0, shift_mm: [0.0; 2] };
    }
    if let Some(at) = response.hover_pos() {
        let (scrolled, factor) = wheel(ui);
        slide(look, scrolled);
        nearer(look, factor, at, rect, whole);
    }
    if response.has_focus() {
        let filter = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
        ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
        let step = 40.0;
        let pressed = |key| ui.input(|input| input.key_pressed(key));
        for (key, by) in [
            (Key::ArrowLeft, vec2(step, 0.0)),
            (Key::ArrowRight, vec2(-step, 0.0)),
            (Key::ArrowUp, vec2(0.0, step)),
            (Key::ArrowDown, vec2(0.0, -step)),
        ] {
            if pressed(key) {
                slide(look, by);
            }
        }
        if pressed(Key::Plus) || pressed(Key::Equals) {
            nearer(look, STEP, rect.center(), rect, whole);
        }
        if pressed(Key::Minus) {
            nearer(look, 1.0 / STEP, rect.center(), rect, whole);
        }
        if pressed(Key::Num0) {
            *look = Look { nearer: 1.0, shift_mm: [0.0; 2] };
        }
    }
}

/// What the wheel or two fingers ask for: by how much to slide, and how much nearer to come. A wheel that turns in
/// notches brings nearer; a touchpad slides.
fn wheel(ui: &Ui) -> (Vec2, f64) {
    ui.input(|input| {
        let mut slide = Vec2::ZERO;
        let mut factor = f64::from(input.zoom_delta());
        let pinched = input.modifiers.command || factor != 1.0;
        for event in &input.events {
            if let Event::MouseWheel { unit, delta, .. } = event
                && !pinched
            {
                match unit {
                    MouseWheelUnit::Point => slide += *delta,
                    MouseWheelUnit::Line | MouseWheelUnit::Page => factor *= STEP.powf(f64::from(delta.y)),
                }
            }
        }
        (slide, factor)
    })
}

/// Brings nearer so that what is under `at` stays there.
fn nearer(look: &mut Look, factor: f64, at: Pos2, rect: Rect, whole: f64) {
    let next = (look.nearer * factor).clamp(FARTHEST, NEAREST);
    let off = at - rect.center();
    let gain = 1.0 / (whole * look.nearer) - 1.0 / (whole * next);
    look.shift_mm[0] += f64::from(off.x) * gain;
    look.shift_mm[1] += f64::from(off.y) * gain;
    look.nearer = next;
}

impl Canvas {
    /// Where a point in mm is on screen.
    pub fn at(&self, x_mm: f64, y_mm: f64) -> Pos2 {
        let off = |mm: f64, middle_mm: f64| ((mm - middle_mm) * self.points_per_mm) as f32;
        pos2(self.middle.x + off(x_mm, self.middle_mm[0]), self.middle.y + off(y_mm, self.middle_mm[1]))
    }

    /// A line through points in mm.
    pub fn line(&self, points_mm: impl IntoIterator<Item = [f64; 2]>, pen: Pen) {
        let points: Vec<Pos2> = points_mm.into_iter().map(|[x, y]| self.at(x, y)).collect();
        let stroke = Stroke::new(pen.width, pen.colour);
        match pen.dash {
            None => drop(self.painter.add(Shape::line(points, stroke))),
            Some([dash, gap]) => self.painter.extend(Shape::dashed_line(&points, stroke, dash, gap)),
        }
    }

    /// Words beside a point in mm, `off` points from it: their middle, their left or their right end.
    pub fn words(&self, at_mm: [f64; 2], align: Align2, off: Vec2, text: &str) {
        let at = self.at(at_mm[0], at_mm[1]) + off;
        let galley = self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), self.ink.aside);
        let rect = align.anchor_size(at, galley.size());
        self.painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2.0, self.ink.sheet.gamma_multiply(0.85));
        self.painter.galley(rect.min, galley, self.ink.aside);
    }

    /// A sentence in the middle of a drawing with nothing on it.
    pub fn nothing(&self, text: &str) {
        let font = FontId::proportional(15.0);
        self.painter.text(self.middle, Align2::CENTER_CENTER, text, font, self.ink.aside);
    }
}

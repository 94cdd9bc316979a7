//! A drawing that can be looked at closely: the wheel and a pinch bring it nearer, dragging and two fingers move it,
//! and with the focus on it plus, minus, the arrows and nought do the same.
//!
//! It draws in millimetres with y down; whoever draws a frame with y up turns it over.

use std::cell::RefCell;
use std::sync::Arc;

use egui::{
    Align2, Color32, Event, EventFilter, FontId, Galley, Key, MouseWheelUnit, Painter, Pos2, Rect, Response, Sense,
    Shape, Stroke, Ui, Vec2, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::super::look::Ink;
use super::labels::{self, KEY_LINE, Label, Stands, Stood};

/// Nearest and farthest look, as a share of the whole drawing filling its sheet.
const NEAREST: f64 = 60.0;
const FARTHEST: f64 = 0.5;

/// How much nearer one step brings it.
const STEP: f64 = 1.25;

/// Margin round the whole drawing, in points.
const MARGIN: f32 = 26.0;

/// How many points a hand may miss a grip by.
const HAND: f64 = 9.0;

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
    /// What words must keep off, and the words; they are written last, so that no line covers them.
    lines: RefCell<Vec<([Pos2; 2], f32)>>,
    words: RefCell<Vec<(Label, Color32)>>,
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

/// What is held of a drawing, and how far it was dragged since it was taken hold of.
#[derive(Clone, Copy, Debug)]
pub struct Hold {
    /// Which of the grips.
    pub grip: usize,
    /// How far, in the drawing's mm.
    pub by_mm: [f64; 2],
    /// Whether it was taken hold of just now.
    pub taken: bool,
    /// Whether it was let go just now.
    pub let_go: bool,
}

/// Shows a drawing that reaches from `low` to `high` in mm, under the name that a screen reader says.
pub fn canvas(ui: &mut Ui, name: &str, extent: [[f64; 2]; 2], draw: impl FnOnce(&Canvas)) {
    canvas_with_grips(ui, name, extent, |_, _| None, |canvas, _| draw(canvas));
}

/// The same with something to be dragged on it: `grip` tells what lies at a point in mm, if anything, with the mm that a
/// hand may miss it by. What is held by now is known while it is drawn.
pub fn canvas_with_grips(
    ui: &mut Ui,
    name: &str,
    extent: [[f64; 2]; 2],
    grip: impl Fn([f64; 2], f64) -> Option<usize>,
    draw: impl FnOnce(&Canvas, Option<Hold>),
) -> Option<Hold> {
    let ink = Ink::here(ui);
    let (response, painter) = ui.allocate_painter(ui.available_size(), Sense::click_and_drag());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, name));
    let id = response.id;
    let rect = response.rect;
    let [low, high] = extent_of(ui, &response, extent);
    painter.rect_filled(rect, 3.0, ink.sheet);
    let edge = if response.has_focus() { Stroke::new(2.0, ink.chalk) } else { Stroke::new(1.0, ink.lifted) };
    painter.rect_stroke(rect, 3.0, edge, egui::StrokeKind::Inside);
    let size_mm = [0, 1].map(|i| (high[i] - low[i]).max(1.0));
    let room = rect.size() - Vec2::splat(2.0 * MARGIN);
    let whole = (f64::from(room.x.max(10.0)) / size_mm[0]).min(f64::from(room.y.max(10.0)) / size_mm[1]);
    let mut look = ui.data(|data| data.get_temp(id)).unwrap_or(Look { nearer: 1.0, shift_mm: [0.0; 2] });
    let middle_of = |look: &Look| [0, 1].map(|i| (low[i] + high[i]) / 2.0 + look.shift_mm[i]);
    let canvas = |look: &Look| Canvas {
        painter: painter.clone(),
        ink,
        middle: rect.center(),
        middle_mm: middle_of(look),
        points_per_mm: whole * look.nearer,
        lines: RefCell::default(),
        words: RefCell::default(),
    };
    let hold = held(ui, &response, (&canvas(&look), [low, high]), grip);
    moved(ui, &response, &mut look, (whole, hold.is_none()));
    ui.data_mut(|data| data.insert_temp(id, look));
    let canvas = canvas(&look);
    draw(&canvas, hold);
    let stood = id.with("words");
    let mut where_they_stood: Stood = ui.data(|data| data.get_temp(stood)).unwrap_or_default();
    canvas.write(rect.shrink(1.0), &mut where_they_stood);
    ui.data_mut(|data| data.insert_temp(stood, where_they_stood));
    hold
}

/// What is held: its grip, where in mm it was taken hold of, and how far the drawing reached then. Until it is let go the
/// drawing keeps its scale, or what follows the hand would run away from it.
#[derive(Clone, Copy, Debug)]
struct Holding {
    grip: usize,
    from_mm: [f64; 2],
    extent: [[f64; 2]; 2],
}

/// How far the drawing reaches: as when something was taken hold of, while it is held.
fn extent_of(ui: &Ui, response: &Response, extent: [[f64; 2]; 2]) -> [[f64; 2]; 2] {
    let id = response.id.with("held");
    if !response.dragged() && !response.drag_stopped() {
        ui.data_mut(|data| data.remove::<Option<Holding>>(id));
    }
    ui.data(|data| data.get_temp::<Option<Holding>>(id)).flatten().map_or(extent, |holding| holding.extent)
}

/// What is held: what lay under the pointer when the dragging began.
fn held(
    ui: &Ui,
    response: &Response,
    (canvas, extent): (&Canvas, [[f64; 2]; 2]),
    grip: impl Fn([f64; 2], f64) -> Option<usize>,
) -> Option<Hold> {
    let id = response.id.with("held");
    let pointer = response.interact_pointer_pos().or(response.hover_pos());
    let near_mm = HAND / canvas.points_per_mm;
    let taken = response.drag_started();
    if taken {
        let from = ui.input(|input| input.pointer.press_origin()).or(pointer).map(|at| canvas.mm(at));
        let holding = from.and_then(|from_mm| Some(Holding { grip: grip(from_mm, near_mm)?, from_mm, extent }));
        ui.data_mut(|data| data.insert_temp(id, holding));
    }
    let Some(holding) = ui.data(|data| data.get_temp::<Option<Holding>>(id)).flatten() else {
        if response.hover_pos().is_some_and(|at| grip(canvas.mm(at), near_mm).is_some()) {
            ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
        }
        return None;
    };
    ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
    let to = canvas.mm(pointer?);
    let by_mm = [0, 1].map(|i| to[i] - holding.from_mm[i]);
    Some(Hold { grip: holding.grip, by_mm, taken, let_go: response.drag_stopped() })
}

/// Follows mouse, touchpad and keys.
fn moved(ui: &Ui, response: &Response, look: &mut Look, (whole, free): (f64, bool)) {
    let rect = response.rect;
    let slide = |look: &mut Look, by: Vec2| {
        let points_per_mm = whole * look.nearer;
        look.shift_mm[0] -= f64::from(by.x) / points_per_mm;
        look.shift_mm[1] -= f64::from(by.y) / points_per_mm;
    };
    if response.dragged() && free {
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

    /// The mm under a place on screen.
    pub fn mm(&self, at: Pos2) -> [f64; 2] {
        let off = |points: f32| f64::from(points) / self.points_per_mm;
        [self.middle_mm[0] + off(at.x - self.middle.x), self.middle_mm[1] + off(at.y - self.middle.y)]
    }

    /// A line through points in mm.
    pub fn line(&self, points_mm: impl IntoIterator<Item = [f64; 2]>, pen: Pen) {
        let points: Vec<Pos2> = points_mm.into_iter().map(|[x, y]| self.at(x, y)).collect();
        self.lines.borrow_mut().extend(points.windows(2).map(|ends| ([ends[0], ends[1]], pen.width)));
        let stroke = Stroke::new(pen.width, pen.colour);
        match pen.dash {
            None => drop(self.painter.add(Shape::line(points, stroke))),
            Some([dash, gap]) => self.painter.extend(Shape::dashed_line(&points, stroke, dash, gap)),
        }
    }

    /// A dot on a point in mm.
    pub fn dot(&self, at_mm: [f64; 2], radius: f32, colour: Color32) {
        let at = self.at(at_mm[0], at_mm[1]);
        self.lines.borrow_mut().push(([at, at], 2.0 * radius));
        self.painter.circle_filled(at, radius, colour);
    }

    /// Words beside a point in mm, `off` points from it, if that place is free: their middle, their left or their right end.
    pub fn words(&self, at_mm: [f64; 2], align: Align2, off: Vec2, text: &str) {
        self.words_in(self.ink.aside, at_mm, (align, off), text);
    }

    /// The same in the colour of what they name.
    pub fn words_in(&self, colour: Color32, at_mm: [f64; 2], (align, off): (Align2, Vec2), text: &str) {
        let at = self.at(at_mm[0], at_mm[1]);
        let size = self.galley(text, colour).size();
        let sheet = self.painter.clip_rect();
        let wanted = align.anchor_size(at + off, size);
        let inwards = (sheet.left() - wanted.left()).max(0.0) + (sheet.right() - wanted.right()).min(0.0);
        let wanted = wanted.translate(vec2(inwards, 0.0));
        self.words.borrow_mut().push((Label { text: text.to_owned(), at, wanted }, colour));
    }

    fn galley(&self, text: &str, colour: Color32) -> Arc<Galley> {
        self.painter.layout_no_wrap(text.to_owned(), FontId::proportional(13.0), colour)
    }

    /// Writes all words, where there is room for them.
    fn write(&self, sheet: Rect, stood: &mut Stood) {
        let (labels, colours): (Vec<Label>, Vec<Color32>) = self.words.borrow().iter().cloned().unzip();
        let stands = labels::place(sheet, &self.lines.borrow(), &labels, stood);
        let mut key = Vec::new();
        for ((label, colour), stands) in labels.iter().zip(colours).zip(stands) {
            match stands {
                Stands::Here(rect) => self.word(rect, &label.text, colour),
                Stands::Led(rect, leader) => {
                    self.painter.line_segment(leader, Stroke::new(1.0, colour));
                    self.painter.circle_filled(leader[0], 2.0, colour);
                    self.word(rect, &label.text, colour);
                }
                Stands::Key(rect) => {
                    key.push((label.text.as_str(), colour));
                    self.painter.rect_filled(rect, 2.0, self.ink.sheet);
                    self.painter.rect_stroke(rect, 2.0, Stroke::new(1.0, colour), egui::StrokeKind::Inside);
                    let (at, font) = (rect.center(), FontId::proportional(13.0));
                    self.painter.text(at, Align2::CENTER_CENTER, key.len().to_string(), font, colour);
                }
                Stands::Away => {}
            }
        }
        self.key(sheet, &key);
    }

    fn word(&self, rect: Rect, text: &str, colour: Color32) {
        // What is seen of a print under them is faint.
        self.painter.rect_filled(rect.expand2(vec2(2.0, 0.0)), 2.0, self.ink.sheet.gamma_multiply(0.85));
        self.painter.galley(rect.min, self.galley(text, colour), colour);
    }

    /// What the numbers stand for, below.
    fn key(&self, sheet: Rect, key: &[(&str, Color32)]) {
        let top = sheet.max.y - KEY_LINE * key.len() as f32;
        if key.is_empty() {
            return;
        }
        self.painter.rect_filled(Rect::from_min_max(pos2(sheet.min.x, top), sheet.max), 0.0, self.ink.sheet);
        for (i, (text, colour)) in key.iter().enumerate() {
            let at = pos2(sheet.min.x + 10.0, top + KEY_LINE * (i as f32 + 0.5));
            let font = FontId::proportional(13.0);
            self.painter.text(at, Align2::LEFT_CENTER, format!("{}  {text}", i + 1), font, *colour);
        }
    }

    /// A sentence in the middle of a drawing with nothing on it.
    pub fn nothing(&self, text: &str) {
        let font = FontId::proportional(15.0);
        self.painter.text(self.middle, Align2::CENTER_CENTER, text, font, self.ink.aside);
    }
}

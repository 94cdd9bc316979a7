//! One full-screen window that shows a [`Show`].

use super::astray::{Placed, astray, sentence};
use super::screen::{Screen, event_loop, no_display};
use super::{Key, KeyName, Reaction, Show};
use crate::geometry::{Pixel, Point};
use crate::remark::{Refusal, Remark};
use crate::scene::{Pose, Scene};
use crate::table::Table;
use crate::throw::{Bed, Canvas, Projection, Shown};
use std::sync::Arc;
use std::time::{Duration, Instant};
use winit::application::ApplicationHandler;
use winit::event::{ElementState, MouseButton, MouseScrollDelta, WindowEvent};
use winit::event_loop::{ActiveEventLoop, ControlFlow};
use winit::keyboard::{Key as Pressed, KeyLocation, ModifiersState, NamedKey};
use winit::window::{CursorIcon, Fullscreen, Window, WindowId};

#[cfg(all(test, target_os = "linux"))]
mod lost;

/// Where a show takes place.
#[derive(Clone, Debug)]
pub struct Venue {
    /// The calibrated table.
    pub table: Table,
    /// Which screen: a name, a size, or both; the only one, or the last, when not given.
    pub screen: Option<String>,
}

/// Scenes kept loaded, so that going back to a stage loads nothing. More than the stages of any garment.
const KEPT_SCENES: usize = 16;
/// Times that a lost driver is replaced in one show before it is given up.
const REPLACEMENTS: u32 = 3;
/// How often the screens are asked after when nothing happens.
const ASKED_AGAIN: Duration = Duration::from_secs(1);
/// Pixels that make a notch of the wheel where a device counts in pixels.
const NOTCH_PX: f64 = 40.0;
/// Shows until the show leaves or the window is closed.
///
/// # Errors
/// When there is no such screen, no window system, or nothing to draw with.
pub fn run(show: &mut dyn Show, venue: Venue) -> Result<(), Refusal> {
    let event_loop = event_loop()?;
    let mut stage = Stage::new(show, venue);
    event_loop.run_app(&mut stage).map_err(|_| no_display())?;
    stage.outcome
}

struct Stage<'s> {
    show: &'s mut dyn Show,
    venue: Venue,
    window: Option<Arc<Window>>,
    /// The screen that the window was opened on.
    home: Option<Screen>,
    canvas: Option<Canvas>,
    /// Scenes in the device's memory, the latest last.
    loaded: Vec<(Scene, Projection)>,
    /// The scene to be drawn; none after a change.
    current: Option<Scene>,
    modifiers: ModifiersState,
    wheel: Wheel,
    /// Where the pointer is.
    pointer_px: Option<Point<Pixel>>,
    key_at: Option<Instant>,
    replaced: u32,
    /// Whether the show's own picture was ever thrown.
    begun: bool,
    /// Why nothing but a sentence is thrown now.
    why: Option<[String; 3]>,
    /// When the window was last sent to its screen.
    sent_home: Instant,
    outcome: Result<(), Refusal>,
}

impl ApplicationHandler for Stage<'_> {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        if self.window.is_none()
            && let Err(refusal) = self.open(event_loop)
        {
            self.leave(event_loop, Err(refusal));
        }
    }

    fn window_event(&mut self, event_loop: &ActiveEventLoop, _: WindowId, event: WindowEvent) {
        match event {
            WindowEvent::CloseRequested | WindowEvent::Destroyed => self.leave(event_loop, Ok(())),
            WindowEvent::ModifiersChanged(now) => self.modifiers = now.state(),
            WindowEvent::KeyboardInput { event, .. } => {
                if let Some(name) = key_name(&event.logical_key).filter(|_| event.state == ElementState::Pressed) {
                    let (pad, shift) = (event.location == KeyLocation::Numpad, self.modifiers.shift_key());
                    self.key(event_loop, Key { name, pad, shift, held: event.repeat });
                }
            }
            WindowEvent::MouseWheel { delta, .. } => {
                if let Some(notches) = self.wheel.notches(delta) {
                    let shift = self.modifiers.shift_key();
                    self.key(event_loop, Key { name: KeyName::Wheel(notches), pad: false, shift, held: false });
                }
            }
            WindowEvent::CursorMoved { position, .. } => self.pointer_px = Some(Point::new(position.x, position.y)),
            WindowEvent::MouseInput { state: ElementState::Pressed, button: MouseButton::Left, .. } => {
                self.point(event_loop);
            }
            WindowEvent::Resized(size) => {
                if let Some(canvas) = &mut self.canvas {
                    canvas.resize([size.width, size.height]);
                }
                self.redraw();
            }
            WindowEvent::Moved(_)
            | WindowEvent::ScaleFactorChanged { .. }
            | WindowEvent::Occluded(false)
            // A window manager may take the window over after its first frame, which is then lost.
            | WindowEvent::Focused(true) => {
                self.redraw()
            }
            WindowEvent::RedrawRequested => {
                if let Err(refusal) = self.draw(event_loop) {
                    self.leave(event_loop, Err(refusal));
                }
            }
            _ => {}
        }
    }

    /// A window is not always told that its screen was unplugged or set to another size.
    fn about_to_wait(&mut self, event_loop: &ActiveEventLoop) {
        event_loop.set_control_flow(ControlFlow::WaitUntil(Instant::now() + ASKED_AGAIN));
        let why = self.astray(event_loop);
        if why != self.why {
            self.redraw();
        }
        if why.is_some() && self.sent_home.elapsed() >= ASKED_AGAIN {
            self.sent_home = Instant::now();
            self.go_home(event_loop);
        }
    }
}

impl<'s> Stage<'s> {
    fn new(show: &'s mut dyn Show, venue: Venue) -> Self {
        Self {
            show,
            venue,
            window: None,
            home: None,
            canvas: None,
            loaded: Vec::new(),
            current: None,
            modifiers: ModifiersState::empty(),
            wheel: Wheel::default(),
            pointer_px: None,
            key_at: None,
            replaced: 0,
            begun: false,
            why: None,
            sent_home: Instant::now(),
            outcome: Ok(()),
        }
    }

    fn open(&mut self, event_loop: &ActiveEventLoop) -> Result<(), Refusal> {
        let monitors: Vec<_> = event_loop.available_monitors().collect();
        let wanted = self.venue.screen.as_deref();
        let found = match wanted {
            Some(name) => monitors.iter().find(|m| Screen::of(m).answers_to(name)),
            None => monitors.last(),
        };
        let Some(monitor) = found else {
            let there: Vec<String> = monitors.iter().map(|m| Screen::of(m).title()).collect();
            return Err(Refusal::because(
                Remark::refusal(format!("There is no screen {}", wanted.unwrap_or("at all")))
                    .remedy(format!("plug the projector in, or choose one of: {}", there.join(", "))),
            ));
        };
        let attributes = Window::default_attributes()
            .with_title("Chalklight table")
            .with_position(monitor.position())
            .with_inner_size(monitor.size())
            .with_fullscreen(Some(Fullscreen::Borderless(Some(monitor.clone()))));
        let window = Arc::new(event_loop.create_window(attributes).map_err(|_| no_display())?);
        window.set_cursor(CursorIcon::Crosshair);
        window.set_cursor_visible(self.show.asks_for_a_place());
        self.window = Some(window);
        self.home = Some(Screen::of(monitor));
        self.show.found();
        self.canvas = Some(self.new_canvas(event_loop)?);
        self.redraw();
        Ok(())
    }

    fn new_canvas(&self, event_loop: &ActiveEventLoop) -> Result<Canvas, Refusal> {
        let window = self.window.as_ref().ok_or_else(no_display)?;
        let size = window.inner_size();
        Canvas::new(Box::new(event_loop.owned_display_handle()), Arc::clone(window), [size.width, size.height])
    }

    fn key(&mut self, event_loop: &ActiveEventLoop, key: Key) {
        // What she can't see must not change: the lines come back where they were.
        if self.begun && self.why.is_some() && key.name != KeyName::Escape {
            return;
        }
        let came = Instant::now();
        let reaction = self.show.key(key);
        self.follow(event_loop, reaction, came);
    }

    /// Points at what the pointer's pixel lights.
    fn point(&mut self, event_loop: &ActiveEventLoop) {
        let came = Instant::now();
        let may_point = self.why.is_none() && self.show.asks_for_a_place();
        let Some(px) = self.pointer_px.filter(|_| may_point) else { return };
        if let Some(at) = self.venue.table.mm_from_px_at(px, self.show.stack_mm()) {
            let reaction = self.show.pointed(at);
            self.follow(event_loop, reaction, came);
        }
    }

    fn follow(&mut self, event_loop: &ActiveEventLoop, reaction: Reaction, came: Instant) {
        match reaction {
            Reaction::None => return,
            Reaction::Leave => return self.leave(event_loop, Ok(())),
            Reaction::Scene => self.current = None,
        }
        if let Some(table) = self.show.table().filter(|table| **table != self.venue.table) {
            self.venue.table = table.clone();
            self.loaded.clear();
            self.current = None;
        }
        if let Some(window) = &self.window {
            window.set_cursor_visible(self.show.asks_for_a_place());
        }
        self.key_at.get_or_insert(came);
        self.redraw();
    }

    fn redraw(&self) {
        if let Some(window) = &self.window {
            window.request_redraw();
        }
    }

    fn leave(&mut self, event_loop: &ActiveEventLoop, outcome: Result<(), Refusal>) {
        self.outcome = outcome;
        self.loaded.clear();
        self.canvas = None;
        event_loop.exit();
    }

    /// Why no line may be thrown here and now.
    fn astray(&self, event_loop: &ActiveEventLoop) -> Option<[String; 3]> {
        let (window, canvas, home) = (self.window.as_ref()?, self.canvas.as_ref()?, self.home.as_ref()?);
        let placed = Placed {
            size_px: canvas.size_px(),
            at_px: window.inner_position().ok().map(|at| [at.x, at.y]),
            on: window.current_monitor().map(|monitor| Screen::of(&monitor).name),
        };
        let screens: Vec<_> = event_loop.available_monitors().map(|monitor| Screen::of(&monitor)).collect();
        astray(&home.name, self.venue.table.picture_px, &placed, &screens)
    }

    /// Asks for the whole of its own screen again, once that is there at its size. A window that takes itself for full
    /// screen is not moved, so it must leave that first.
    fn go_home(&self, event_loop: &ActiveEventLoop) {
        let (Some(window), Some(home)) = (&self.window, &self.home) else { return };
        let size_px = self.venue.table.picture_px;
        let is_home = |screen: Screen| screen.name == home.name && screen.size_px == size_px;
        if let Some(monitor) = event_loop.available_monitors().find(|monitor| is_home(Screen::of(monitor))) {
            window.set_fullscreen(None);
            window.set_fullscreen(Some(Fullscreen::Borderless(Some(monitor))));
        }
    }

    fn draw(&mut self, event_loop: &ActiveEventLoop) -> Result<(), Refusal> {
        self.why = self.astray(event_loop);
        let (Some(window), Some(canvas)) = (self.window.clone(), &self.canvas) else { return Ok(()) };
        let before_present = || window.pre_present_notify();
        let shown = if canvas.lost() {
            Shown::Lost
        } else if let Some(why) = self.why.clone() {
            let (table, scene) = sentence(canvas.size_px(), why);
            let sentence = canvas.thrower().load(&scene, Bed { table: &table, stack_mm: 0.0 })?;
            canvas.show(&sentence, &Pose { at_mm: Point::origin(), turn_rad: 0.0 }, before_present)
        } else {
            let pose = self.show.pose();
            let projection = load(&mut self.loaded, &mut self.current, self.show, canvas, &self.venue)?;
            canvas.show(projection, &pose, before_present)
        };
        match shown {
            Shown::Yes => {
                let came = self.key_at.take();
                if self.why.is_none() {
                    if !std::mem::replace(&mut self.begun, true) {
                        self.show.begun();
                    }
                    if let Some(came) = came {
                        self.show.shown(came.elapsed());
                    }
                }
            }
            Shown::Later => self.redraw(),
            Shown::Lost => self.replace_canvas(event_loop)?,
        }
        Ok(())
    }

    /// Begins anew with the graphics driver, unless it let go too often.
    fn replace_canvas(&mut self, event_loop: &ActiveEventLoop) -> Result<(), Refusal> {
        if self.replaced == REPLACEMENTS {
            return Err(Refusal::because(
                Remark::refusal("The graphics driver stopped several times while throwing")
                    .remedy("restart the computer or update the driver; nothing on the table was changed"),
            ));
        }
        self.replaced += 1;
        self.loaded.clear();
        // A window has one surface at a time.
        self.canvas = None;
        self.canvas = Some(self.new_canvas(event_loop)?);
        self.redraw();
        Ok(())
    }
}

/// The projection of the show's scene: one that is already loaded, or a new one.
fn load<'l>(
    loaded: &'l mut Vec<(Scene, Projection)>,
    current: &mut Option<Scene>,
    show: &mut dyn Show,
    canvas: &Canvas,
    venue: &Venue,
) -> Result<&'l Projection, Refusal> {
    let scene = current.get_or_insert_with(|| show.scene());
    let stack_mm = show.stack_mm();
    let at = match loaded.iter().position(|(known, on)| known == scene && on.stack_mm() == stack_mm) {
        Some(at) => at,
        None => {
            let projection = canvas.thrower().load(scene, Bed { table: &venue.table, stack_mm })?;
            if loaded.len() == KEPT_SCENES {
                loaded.remove(0);
            }
            loaded.push((scene.clone(), projection));
            loaded.len() - 1
        }
    };
    Ok(&loaded[at].1)
}

/// Turns of the wheel that have not yet made a whole notch; fine wheels and touchpads send parts of one.
#[derive(Default)]
struct Wheel {
    left_share: f64,
}

impl Wheel {
    fn notches(&mut self, delta: MouseScrollDelta) -> Option<i32> {
        self.left_share += match delta {
            MouseScrollDelta::LineDelta(_, lines) => f64::from(lines),
            MouseScrollDelta::PixelDelta(by) => by.y / NOTCH_PX,
        };
        let notches = self.left_share.trunc();
        self.left_share -= notches;
        (notches != 0.0).then_some(notches as i32)
    }
}

fn key_name(key: &Pressed) -> Option<KeyName> {
    Some(match key {
        Pressed::Named(NamedKey::ArrowLeft) => KeyName::Left,
        Pressed::Named(NamedKey::ArrowRight) => KeyName::Right,
        Pressed::Named(NamedKey::ArrowUp) => KeyName::Up,
        Pressed::Named(NamedKey::ArrowDown) => KeyName::Down,
        Pressed::Named(NamedKey::PageUp) => KeyName::PageUp,
        Pressed::Named(NamedKey::PageDown) => KeyName::PageDown,
        Pressed::Named(NamedKey::Space) => KeyName::Space,
        Pressed::Named(NamedKey::Escape) => KeyName::Escape,
        Pressed::Named(NamedKey::Enter) => KeyName::Enter,
        Pressed::Named(NamedKey::Home) => KeyName::Home,
        Pressed::Named(NamedKey::End) => KeyName::End,
        Pressed::Named(NamedKey::Insert) => KeyName::Insert,
        Pressed::Named(NamedKey::Delete) => KeyName::Delete,
        Pressed::Named(NamedKey::Clear) => KeyName::Middle,
        Pressed::Named(NamedKey::Backspace) => KeyName::Backspace,
        Pressed::Named(NamedKey::F1) => KeyName::F1,
        Pressed::Character(text) => KeyName::Sign(text.chars().next()?),
        _ => return None,
    })
}

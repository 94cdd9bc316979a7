//! The window: events in, drawings out, and her wishes carried out at the [`Desk`].
//!
//! Unsaved work is kept half a second after the last change, and at once when the window is closed; nothing asks whether
//! she is sure, since nothing is lost.

mod around;
mod grant;
mod pane;
#[cfg(all(unix, not(any(target_os = "macos", target_os = "ios", target_os = "android"))))]
mod plugged;
mod signs;

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant, SystemTime};

use egui_winit::accesskit_winit;
use winit::application::ApplicationHandler;
use winit::dpi::LogicalSize;
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, ControlFlow, EventLoop, EventLoopProxy};
use winit::keyboard::{Key, NamedKey};
use winit::window::{Window, WindowId};

use super::desk::{Desk, Unsaved};
use super::laying::{Brought, Layer};
use super::model::{Bench, Wish};
use super::motifs::Recipe;
use super::{look, view};
use crate::motif::Print;
use crate::remark::{Refusal, Remark, Told};
use crate::session::keep::beside;
use crate::table::KeptTable;
use around::{leads_on, no_window, screens};
use pane::Pane;
use signs::Thrown;

/// How long after a change unsaved work is kept.
const KEPT_AFTER: Duration = Duration::from_millis(500);

/// How often the running session is looked at.
const LOOKED_ON: Duration = Duration::from_millis(400);

/// Size of the window when it is first opened, and the least it is good for.
const SIZE: LogicalSize<f64> = LogicalSize::new(1280.0, 720.0);
const LEAST_SIZE: LogicalSize<f64> = LogicalSize::new(640.0, 420.0);

/// What reaches the window from outside its own events.
#[derive(Debug)]
enum Call {
    /// A screen reader.
    Reader(accesskit_winit::Event),
    /// Readings that were solved, and what they gave.
    Solved(String, Box<Told<KeptTable>>),
    /// Pieces that were laid, and what came of it.
    Laid(Box<Brought>),
    /// A photo that was made flat.
    Flat(Recipe, Told<Arc<Print>>),
    /// The end of a cutting session: what it said, or why it failed.
    Ended(Result<String, String>),
    /// A screen was plugged in, taken off, or set to another size.
    Screens,
}

impl From<accesskit_winit::Event> for Call {
    fn from(event: accesskit_winit::Event) -> Self {
        Self::Reader(event)
    }
}

/// Opens the bench with files on it, until she closes the window.
///
/// # Errors
/// When there is no window system, or nothing to draw with.
pub fn open(desk: &dyn Desk, files: &[PathBuf]) -> Result<(), Refusal> {
    let event_loop = EventLoop::<Call>::with_user_event().build().map_err(|_| no_window())?;
    let mut bench = Bench::new(desk.habits(), desk.kept());
    bench.today = desk.today();
    files.iter().for_each(|file| bench.wish(Wish::Open(file.clone())));
    let mut host = Host {
        desk,
        bench,
        proxy: event_loop.create_proxy(),
        pane: None,
        signs: Vec::new(),
        layer: Layer::default(),
        ctrl: false,
        kept: None,
        keep_at: None,
        look_at: None,
        photo_seen: None,
        outcome: Ok(()),
    };
    event_loop.run_app(&mut host).map_err(|_| no_window())?;
    host.outcome
}

struct Host<'d> {
    desk: &'d dyn Desk,
    bench: Bench,
    proxy: EventLoopProxy<Call>,
    pane: Option<Pane>,
    signs: Vec<Thrown>,
    /// Lays the pieces.
    layer: Layer,
    /// Whether the control key is held.
    ctrl: bool,
    /// What was kept last.
    kept: Option<Unsaved>,
    keep_at: Option<Instant>,
    /// When the running session is looked at again.
    look_at: Option<Instant>,
    /// The photo that was read last, and when that was written.
    photo_seen: Option<(PathBuf, Option<SystemTime>)>,
    outcome: Result<(), Refusal>,
}

impl ApplicationHandler<Call> for Host<'_> {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        if self.pane.is_none()
            && let Err(refusal) = self.open(event_loop)
        {
            self.leave(event_loop, Err(refusal));
        }
    }

    fn user_event(&mut self, _: &ActiveEventLoop, call: Call) {
        let Some(pane) = &mut self.pane else { return };
        match call {
            Call::Reader(event) => match event.window_event {
                accesskit_winit::WindowEvent::InitialTreeRequested => pane.context().enable_accesskit(),
                accesskit_winit::WindowEvent::ActionRequested(request) => {
                    pane.state.on_accesskit_action_request(request);
                }
                accesskit_winit::WindowEvent::AccessibilityDeactivated => pane.context().disable_accesskit(),
            },
            Call::Solved(text, told) => self.bench.take_solved(text, *told),
            Call::Laid(brought) => {
                let (heard, next) = self.layer.ended();
                if heard {
                    self.bench.take_brought(*brought);
                }
                next.into_iter().for_each(|errand| self.send(errand));
            }
            Call::Flat(recipe, print) => self.bench.take_print(recipe, print),
            // They are asked for anew at every look.
            Call::Screens => {}
            Call::Ended(how) => {
                self.bench.cutting = false;
                self.bench.cutting_at = None;
                self.bench.said = vec![match how {
                    Ok(says) => Remark::note(says),
                    Err(says) => Remark::refusal(says),
                }];
            }
        }
        if let Some(pane) = &self.pane {
            pane.window().request_redraw();
        }
    }

    fn window_event(&mut self, event_loop: &ActiveEventLoop, id: WindowId, event: WindowEvent) {
        let done = match self.signs.iter().position(|sign| sign.is(id)) {
            Some(at) => self.sign_event(event_loop, at, &event),
            None => self.bench_event(event_loop, &event),
        };
        if let Err(refusal) = done {
            self.leave(event_loop, Err(refusal));
        }
    }

    fn about_to_wait(&mut self, event_loop: &ActiveEventLoop) {
        let now = Instant::now();
        if self.keep_at.is_some_and(|at| at <= now) {
            self.keep();
        }
        if self.look_at.is_some_and(|at| at <= now) {
            self.look_on();
        }
        let signs = self.signs.iter_mut().map(Thrown::pane);
        let mut next = self.keep_at.into_iter().chain(self.look_at).min();
        for pane in self.pane.iter_mut().chain(signs) {
            pane.remind(now);
            next = next.into_iter().chain(pane.due()).min();
        }
        event_loop.set_control_flow(next.map_or(ControlFlow::Wait, ControlFlow::WaitUntil));
    }
}

impl Host<'_> {
    fn open(&mut self, event_loop: &ActiveEventLoop) -> Result<(), Refusal> {
        let attributes = Window::default_attributes()
            .with_title("Chalklight")
            .with_inner_size(SIZE)
            .with_min_inner_size(LEAST_SIZE)
            .with_visible(false);
        let window = event_loop.create_window(attributes).map_err(|_| no_window())?;
        let mut pane = Pane::new(event_loop, window)?;
        #[cfg(all(unix, not(any(target_os = "macos", target_os = "ios", target_os = "android"))))]
        {
            let proxy = self.proxy.clone();
            plugged::watch(pane.window(), move || proxy.send_event(Call::Screens).is_ok());
        }
        look::prepare(pane.context());
        // A screen reader must be known before the window is first seen.
        pane.greet_reader(event_loop, self.proxy.clone());
        pane.window().set_visible(true);
        pane.window().request_redraw();
        self.pane = Some(pane);
        self.carry_out();
        Ok(())
    }

    fn bench_event(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) -> Result<(), Refusal> {
        match event {
            WindowEvent::CloseRequested => {
                // The last number of a proof counts, too, when its field was not left.
                self.bench.settle_proof();
                self.carry_out();
                self.keep();
                self.leave(event_loop, Ok(()));
            }
            WindowEvent::RedrawRequested => self.draw(event_loop)?,
            WindowEvent::Focused(true) => {
                self.look_at_photo();
                self.key_or_other(event_loop, event)?;
            }
            event => self.key_or_other(event_loop, event)?,
        }
        Ok(())
    }

    /// Hands an event on. A key that leads to another field is answered at once, and what was typed before it first: both
    /// are meant for the field they were typed in, however fast she types.
    fn key_or_other(&mut self, event_loop: &ActiveEventLoop, event: &WindowEvent) -> Result<(), Refusal> {
        if let WindowEvent::ModifiersChanged(now) = event {
            self.ctrl = now.state().control_key();
        }
        let leads = leads_on(event, self.ctrl);
        if leads {
            self.draw(event_loop)?;
        }
        if let Some(pane) = &mut self.pane {
            pane.event(event);
        }
        if leads {
            // The layout gives the focus away in one look and takes it up in the next.
            self.draw(event_loop)?;
            self.draw(event_loop)?;
        }
        Ok(())
    }

    /// A sign is drawn, and taken off with escape or when its window is closed. Other keys are meant for the bench: the
    /// window system may give the focus to the window that opened last.
    fn sign_event(&mut self, event_loop: &ActiveEventLoop, at: usize, event: &WindowEvent) -> Result<(), Refusal> {
        let sign = &mut self.signs[at];
        match event {
            WindowEvent::RedrawRequested => return sign.draw(&self.bench),
            WindowEvent::CloseRequested => self.take_signs_off(),
            WindowEvent::KeyboardInput { event: key, .. } if key.logical_key == Key::Named(NamedKey::Escape) => {
                self.take_signs_off();
            }
            WindowEvent::KeyboardInput { .. } | WindowEvent::ModifiersChanged(_) => {
                return self.key_or_other(event_loop, event);
            }
            event => sign.pane().event(event),
        }
        Ok(())
    }

    fn take_signs_off(&mut self) {
        self.signs.clear();
        self.bench.numbering = false;
        self.bench.throwing_grid = false;
        if let Some(pane) = &self.pane {
            pane.window().request_redraw();
        }
    }

    fn draw(&mut self, event_loop: &ActiveEventLoop) -> Result<(), Refusal> {
        let Some(pane) = &mut self.pane else { return Ok(()) };
        self.bench.screens = screens(event_loop);
        let own = pane.window().current_monitor();
        self.bench.own_screen = own.and_then(|own| event_loop.available_monitors().position(|it| it == own));
        let before = (self.bench.measuring, self.bench.measured);
        let bench = &mut self.bench;
        pane.draw(|ui| view::show(ui, bench))?;
        self.carry_out();
        if signs::follow(&mut self.signs, &self.bench, event_loop)?
            && let Some(pane) = &self.pane
        {
            pane.window().focus_window();
        }
        if (self.bench.measuring, self.bench.measured) != before {
            self.signs.iter_mut().for_each(|sign| sign.pane().window().request_redraw());
        }
        if self.bench.to_keep() != self.kept {
            self.keep_at.get_or_insert_with(|| Instant::now() + KEPT_AFTER);
        }
        Ok(())
    }

    /// Keeps unsaved work, or forgets what is in a file by now.
    fn keep(&mut self) {
        self.keep_at = None;
        let unsaved = self.bench.to_keep();
        if unsaved == self.kept {
            return;
        }
        match self.desk.keep(unsaved.as_ref()) {
            Ok(()) => self.kept = unsaved,
            Err(refusal) => self.bench.refused(refusal),
        }
    }

    /// Looks where the running session is, and how far a search for a shorter lay.
    fn look_on(&mut self) {
        let searching = self.bench.searching().is_some();
        self.look_at = (self.bench.cutting || searching).then(|| Instant::now() + LOOKED_ON);
        let before = self.bench.cutting_at;
        if let Some(search) = self.layer.running().filter(|_| searching) {
            self.bench.search_goes_on(search.seconds(), search.best_mm());
        }
        // Before its first picture a session has no place.
        let order = self.bench.place().filter(|_| self.bench.cutting);
        if let Some(text) = order.and_then(|order| self.desk.read(&beside(order)).ok()) {
            self.bench.session_kept(&text);
        }
        if let (true, Some(pane)) = (searching || self.bench.cutting_at != before, &self.pane) {
            pane.window().request_redraw();
        }
    }

    fn leave(&mut self, event_loop: &ActiveEventLoop, outcome: Result<(), Refusal>) {
        if outcome.is_err() {
            self.keep();
        }
        self.outcome = outcome;
        self.signs.clear();
        self.pane = None;
        event_loop.exit();
    }
}

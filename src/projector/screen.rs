//! The screens there are.

use crate::remark::{Refusal, Remark};
use winit::application::ApplicationHandler;
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, EventLoop};
use winit::monitor::MonitorHandle;
use winit::window::WindowId;

/// A screen as the window system describes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Screen {
    /// The connector's name, e.g. `HDMI-1`.
    pub name: String,
    /// Its size.
    pub size_px: [u32; 2],
    /// Where its top left corner lies among all screens.
    pub at_px: [i32; 2],
    /// Pictures a second, when known.
    pub rate_hz: Option<f64>,
}

impl Screen {
    /// Name and size, e.g. `HDMI-1 1920x1080`: what a table file keeps to know its screen again.
    pub fn title(&self) -> String {
        format!("{} {}x{}", self.name, self.size_px[0], self.size_px[1])
    }

    /// Whether `wanted` names this screen: its name, its title, or its size alone (`1920x1080`).
    pub fn answers_to(&self, wanted: &str) -> bool {
        let size = format!("{}x{}", self.size_px[0], self.size_px[1]);
        wanted == self.name || wanted == self.title() || wanted == size
    }

    /// The screen that a monitor is.
    pub fn of(monitor: &MonitorHandle) -> Self {
        let (size, at) = (monitor.size(), monitor.position());
        Self {
            name: monitor.name().unwrap_or_else(|| "unnamed".to_owned()),
            size_px: [size.width, size.height],
            at_px: [at.x, at.y],
            rate_hz: monitor.refresh_rate_millihertz().map(|r| f64::from(r) / 1000.0),
        }
    }
}

/// Lists the screens.
///
/// # Errors
/// When there is no window system to ask.
pub fn screens() -> Result<Vec<Screen>, Refusal> {
    let mut lister = Lister(Vec::new());
    event_loop()?.run_app(&mut lister).map_err(|_| no_display())?;
    Ok(lister.0)
}

pub(super) fn event_loop() -> Result<EventLoop<()>, Refusal> {
    EventLoop::new().map_err(|_| no_display())
}

pub(super) fn no_display() -> Refusal {
    Refusal::because(
        Remark::refusal("No screen can be reached from here")
            .remedy("start the program on the computer's own desktop, or write pictures with `chalklight frame`"),
    )
}

/// Asks once and leaves.
struct Lister(Vec<Screen>);

impl ApplicationHandler for Lister {
    fn resumed(&mut self, event_loop: &ActiveEventLoop) {
        self.0 = event_loop.available_monitors().map(|m| Screen::of(&m)).collect();
        event_loop.exit();
    }

    fn window_event(&mut self, _: &ActiveEventLoop, _: WindowId, _: WindowEvent) {}
}

//! Screens that are plugged in, taken off or set to another size while the bench is open.
//!
//! Under X11 the window library keeps the list of screens that it asked for first: the server's word of a change (RandR) comes
//! over a connection that has not been taught to read it. But it drops that list at a change of the resources, which it takes
//! any of our windows to have. So a connection of our own hears of the screens, and then touches our window's resources, which
//! say nothing. Other window systems tell it themselves, and are looked at again at the next event.

use std::time::Duration;

use winit::raw_window_handle::{HasWindowHandle, RawWindowHandle};
use winit::window::Window;
use x11rb::connection::Connection;
use x11rb::protocol::randr::{ConnectionExt as _, NotifyMask};
use x11rb::protocol::xproto::{AtomEnum, ConnectionExt as _, PropMode};

/// A desktop needs so long to set a new screen up, and a list of screens to be dropped.
const SETTLED: Duration = Duration::from_millis(300);

/// Calls `changed` on another thread whenever the screens have changed, until it says that nobody listens any more. Where
/// a window is none of an X server nothing is watched.
pub fn watch(window: &Window, changed: impl Fn() -> bool + Send + 'static) {
    let window = match window.window_handle().map(|handle| handle.as_raw()) {
        Ok(RawWindowHandle::Xlib(handle)) => u32::try_from(handle.window).ok(),
        Ok(RawWindowHandle::Xcb(handle)) => Some(handle.window.get()),
        _ => None,
    };
    if let Some(window) = window {
        // When the server goes, the list stays as it is.
        std::thread::spawn(move || drop(follow(window, &changed)));
    }
}

fn follow(window: u32, changed: &impl Fn() -> bool) -> Result<(), Box<dyn std::error::Error>> {
    let (server, number) = x11rb::connect(None)?;
    let root = server.setup().roots.get(number).ok_or("no screen of that number")?.root;
    server.randr_select_input(root, NotifyMask::SCREEN_CHANGE | NotifyMask::CRTC_CHANGE | NotifyMask::OUTPUT_CHANGE)?;
    server.flush()?;
    loop {
        server.wait_for_event()?;
        std::thread::sleep(SETTLED);
        while server.poll_for_event()?.is_some() {}
        server.change_property(PropMode::APPEND, window, AtomEnum::RESOURCE_MANAGER, AtomEnum::STRING, 8, 0, &[])?;
        server.flush()?;
        std::thread::sleep(SETTLED);
        if !changed() {
            return Ok(());
        }
    }
}

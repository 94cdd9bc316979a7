//! Screens that are plugged in, taken off or set to another size while the bench is open.
//!
//! Under X11 the window library keeps the list of screens that it asked for first: the server's word of a change (RandR) comes
//! over a connection that has not been taught to read it. So a connection of our own hears of it, and then touches the
//! server's resources without changing them, at whose change that list is dropped. Other window systems tell it themselves,
//! and are looked at again at the next event.

use std::time::Duration;

use x11rb::connection::Connection;
use x11rb::protocol::randr::{ConnectionExt as _, NotifyMask};
use x11rb::protocol::xproto::{AtomEnum, ConnectionExt as _, PropMode};

/// A desktop needs so long to set a new screen up, and a list of screens to be dropped.
const SETTLED: Duration = Duration::from_millis(300);

/// Calls `changed` on another thread whenever the screens have changed, until it says that nobody listens any more. Where
/// there is no X server nothing is watched.
pub fn watch(changed: impl Fn() -> bool + Send + 'static) {
    // Without one, or when it goes, the list stays as it is.
    std::thread::spawn(move || drop(follow(&changed)));
}

fn follow(changed: &impl Fn() -> bool) -> Result<(), Box<dyn std::error::Error>> {
    let (server, number) = x11rb::connect(None)?;
    let root = server.setup().roots.get(number).ok_or("no screen of that number")?.root;
    server.randr_select_input(root, NotifyMask::SCREEN_CHANGE | NotifyMask::CRTC_CHANGE | NotifyMask::OUTPUT_CHANGE)?;
    server.flush()?;
    loop {
        server.wait_for_event()?;
        std::thread::sleep(SETTLED);
        while server.poll_for_event()?.is_some() {}
        server.change_property(PropMode::APPEND, root, AtomEnum::RESOURCE_MANAGER, AtomEnum::STRING, 8, 0, &[])?;
        server.flush()?;
        std::thread::sleep(SETTLED);
        if !changed() {
            return Ok(());
        }
    }
}

//! What is around the window: the keys that come to it, and the screens that it can throw on.

use winit::event::WindowEvent;
use winit::event_loop::ActiveEventLoop;
use winit::keyboard::{Key, NamedKey};

use crate::bench::model::ScreenHere;
use crate::projector::Screen;
use crate::remark::{Refusal, Remark};

/// Whether an event is a key that leads to another field or step: one that writes no letter.
pub fn leads_on(event: &WindowEvent, ctrl: bool) -> bool {
    let WindowEvent::KeyboardInput { event, .. } = event else { return false };
    let leads = |key: &NamedKey| {
        [NamedKey::Tab, NamedKey::Enter, NamedKey::PageDown, NamedKey::PageUp, NamedKey::Escape].contains(key)
    };
    let written = !ctrl && event.text.as_ref().is_some_and(|text| text.chars().all(|c| !c.is_control()));
    event.state.is_pressed() && (!written || matches!(&event.logical_key, Key::Named(key) if leads(key)))
}

/// The screens there are.
pub fn screens(event_loop: &ActiveEventLoop) -> Vec<ScreenHere> {
    let here = |monitor: winit::monitor::MonitorHandle| {
        let screen = Screen::of(&monitor);
        let scale_percent = (monitor.scale_factor() * 100.0).round() as u32;
        ScreenHere { title: screen.title(), size_px: screen.size_px, scale_percent }
    };
    event_loop.available_monitors().map(here).collect()
}

/// Said when there is no window system.
pub fn no_window() -> Refusal {
    Refusal::because(
        Remark::refusal("no window can be opened from here")
            .remedy("start the program on the computer's own desktop, or see 'chalklight --help' for the commands"),
    )
}

//! The picture in a window: the same pipelines as in memory, on the window's own pixels.

use super::gpu::{Choice, Gpu};
use super::thrower::{Projection, Thrower};
use crate::remark::{Refusal, Remark};
use crate::scene::Pose;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// A window's surface and what draws on it.
#[derive(Debug)]
pub struct Canvas {
    thrower: Thrower,
    surface: wgpu::Surface<'static>,
    settings: wgpu::SurfaceConfiguration,
    lost: Arc<AtomicBool>,
}

/// What became of a frame.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// It was handed to the screen.
    Yes,
    /// The window is hidden or the screen busy; it is worth trying at the next occasion.
    Later,
    /// The graphics driver let go; a new canvas must be made.
    Lost,
}

impl Canvas {
    /// A canvas on a window that is `size_px` large.
    ///
    /// # Errors
    /// When no driver can draw on the window.
    pub fn new(
        display: Box<dyn wgpu::wgt::WgpuHasDisplayHandle>,
        window: impl Into<wgpu::SurfaceTarget<'static>>,
        size_px: [u32; 2],
    ) -> Result<Self, Refusal> {
        let mut wanted = wgpu::InstanceDescriptor::new_with_display_handle(display);
        wanted.backends = wgpu::Backends::VULKAN | wgpu::Backends::GL;
        let instance = wgpu::Instance::new(wanted);
        let surface = instance.create_surface(window).map_err(|_| Gpu::missing())?;
        let gpu = Gpu::open(instance, Some(&surface), Choice::Any)?;
        let offered = surface.get_capabilities(&gpu.adapter);
        let Some(&format) = offered.formats.iter().find(|f| f.is_srgb()) else {
            return Err(Refusal::because(
                Remark::refusal("The graphics driver offers no sRGB window, so lines would come out too thin")
                    .remedy("update the driver, or throw pictures made with `chalklight frame` instead"),
            ));
        };
        let mut settings =
            surface.get_default_config(&gpu.adapter, size_px[0].max(1), size_px[1].max(1)).ok_or_else(Gpu::missing)?;
        settings.format = format;
        settings.present_mode = wgpu::PresentMode::AutoVsync;
        settings.desired_maximum_frame_latency = 1;
        surface.configure(&gpu.device, &settings);
        let lost = Arc::new(AtomicBool::new(false));
        let (on_loss, on_error) = (Arc::clone(&lost), Arc::clone(&lost));
        gpu.device.set_device_lost_callback(move |_, _| on_loss.store(true, Ordering::Relaxed));
        // A driver out of memory or out of order is let go too: a cutting session never ends in a panic.
        gpu.device.on_uncaptured_error(Arc::new(move |_| on_error.store(true, Ordering::Relaxed)));
        Ok(Self { thrower: Thrower::new(gpu, format), surface, settings, lost })
    }

    /// What draws; needed to load scenes.
    pub fn thrower(&self) -> &Thrower {
        &self.thrower
    }

    /// The window's size as last told.
    pub fn size_px(&self) -> [u32; 2] {
        [self.settings.width, self.settings.height]
    }

    /// Whether the graphics driver let go: nothing can be loaded or shown any more.
    pub fn lost(&self) -> bool {
        self.lost.load(Ordering::Relaxed)
    }

    /// Follows the window to another size.
    pub fn resize(&mut self, size_px: [u32; 2]) {
        if size_px != self.size_px() && size_px.iter().all(|&n| n > 0) {
            [self.settings.width, self.settings.height] = size_px;
            self.surface.configure(&self.thrower.gpu().device, &self.settings);
        }
    }

    /// Shows a projection with the cloth at `pose`, and waits until the frame is finished, so that its latency can be told.
    /// `before_present` is called when the frame is about to be handed over (the window system wants to know).
    pub fn show(&self, projection: &Projection, pose: &Pose, before_present: impl FnOnce()) -> Shown {
        use wgpu::CurrentSurfaceTexture as Current;
        if self.lost() {
            return Shown::Lost;
        }
        let texture = match self.surface.get_current_texture() {
            Current::Success(texture) => texture,
            stale @ (Current::Suboptimal(_) | Current::Outdated) => {
                // A surface can't be set up anew while a picture of it is held.
                drop(stale);
                self.surface.configure(&self.thrower.gpu().device, &self.settings);
                match self.surface.get_current_texture() {
                    Current::Success(texture) | Current::Suboptimal(texture) => texture,
                    _ => return Shown::Later,
                }
            }
            Current::Timeout | Current::Occluded => return Shown::Later,
            Current::Lost | Current::Validation => return Shown::Lost,
        };
        projection.set_pose(&self.thrower, pose);
        self.thrower.draw(projection, &texture.texture.create_view(&wgpu::TextureViewDescriptor::default()));
        before_present();
        let gpu = self.thrower.gpu();
        gpu.queue.present(texture);
        let finished = gpu.device.poll(wgpu::PollType::wait_indefinitely());
        if finished.is_err() || self.lost() { Shown::Lost } else { Shown::Yes }
    }
}

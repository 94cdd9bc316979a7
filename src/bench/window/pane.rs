//! One window and what draws in it: its surface, its graphics device, and the library that lays out words and fields.
//!
//! Nothing is drawn but on need: after an event that changed something, or when the layout asks to be looked at again.

use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Context, Ui, ViewportId};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};
use winit::event::WindowEvent;
use winit::event_loop::{ActiveEventLoop, EventLoopProxy};
use winit::window::Window;

use crate::remark::{Refusal, Remark};
use crate::throw::{Choice, Gpu};

/// A window.
pub struct Pane {
    window: Arc<Window>,
    gpu: Gpu,
    surface: wgpu::Surface<'static>,
    settings: wgpu::SurfaceConfiguration,
    renderer: Renderer,
    /// The link between window events and the layout.
    pub state: egui_winit::State,
    /// When the layout wants to be looked at again.
    due: Option<Instant>,
}

impl Pane {
    /// A pane on a window.
    ///
    /// # Errors
    /// When nothing can draw on it.
    pub fn new(event_loop: &ActiveEventLoop, window: Window) -> Result<Self, Refusal> {
        let window = Arc::new(window);
        let mut wanted = wgpu::InstanceDescriptor::new_with_display_handle(Box::new(event_loop.owned_display_handle()));
        wanted.backends = wgpu::Backends::VULKAN | wgpu::Backends::GL;
        let instance = wgpu::Instance::new(wanted);
        let surface = instance.create_surface(Arc::clone(&window)).map_err(|_| Gpu::missing())?;
        let gpu = Gpu::open(instance, Some(&surface), Choice::Any)?;
        let size = window.inner_size();
        let mut settings =
            surface.get_default_config(&gpu.adapter, size.width.max(1), size.height.max(1)).ok_or_else(Gpu::missing)?;
        // The layout blends in the display's own encoding, so the window must not encode a second time.
        let offered = surface.get_capabilities(&gpu.adapter).formats;
        settings.format = offered.iter().copied().find(|format| !format.is_srgb()).unwrap_or(settings.format);
        // Drawn on need, so nothing races the screen; waiting for it would only make her keystroke late.
        settings.present_mode = wgpu::PresentMode::AutoNoVsync;
        settings.desired_maximum_frame_latency = 1;
        surface.configure(&gpu.device, &settings);
        let renderer = Renderer::new(&gpu.device, settings.format, RendererOptions::default());
        let context = Context::default();
        let side = gpu.device.limits().max_texture_dimension_2d as usize;
        let scale = window.scale_factor() as f32;
        let state = egui_winit::State::new(context, ViewportId::ROOT, event_loop, Some(scale), None, Some(side));
        Ok(Self { window, gpu, surface, settings, renderer, state, due: None })
    }

    /// Lets a screen reader know of the window; its requests come through `proxy`.
    pub fn greet_reader<T>(&mut self, event_loop: &ActiveEventLoop, proxy: EventLoopProxy<T>)
    where
        T: From<egui_winit::accesskit_winit::Event> + Send,
    {
        self.state.init_accesskit(event_loop, &self.window, proxy);
    }

    /// The window.
    pub fn window(&self) -> &Window {
        &self.window
    }

    /// The layout's context.
    pub fn context(&self) -> &Context {
        self.state.egui_ctx()
    }

    /// The window's size in pixels.
    pub fn size_px(&self) -> [u32; 2] {
        [self.settings.width, self.settings.height]
    }

    /// Follows a window event. Drawing itself is not one: see [`Pane::draw`].
    pub fn event(&mut self, event: &WindowEvent) {
        if let WindowEvent::Resized(size) = event
            && size.width > 0
            && size.height > 0
        {
            [self.settings.width, self.settings.height] = [size.width, size.height];
            self.surface.configure(&self.gpu.device, &self.settings);
        }
        if self.state.on_window_event(&self.window, event).repaint {
            self.window.request_redraw();
        }
    }

    /// When it must be drawn again without an event.
    pub fn due(&self) -> Option<Instant> {
        self.due
    }

    /// Asks for a drawing when one is due.
    pub fn remind(&mut self, now: Instant) {
        if self.due.is_some_and(|due| due <= now) {
            self.due = None;
            self.window.request_redraw();
        }
    }

    /// Draws.
    ///
    /// # Errors
    /// When the graphics driver gave up.
    pub fn draw(&mut self, show: impl FnMut(&mut Ui)) -> Result<(), Refusal> {
        let input = self.state.take_egui_input(&self.window);
        let context = self.context().clone();
        let mut output = context.run_ui(input, show);
        self.state.handle_platform_output(&self.window, output.platform_output);
        let delay = output.viewport_output.get(&ViewportId::ROOT).map_or(Duration::MAX, |root| root.repaint_delay);
        self.due = if delay.is_zero() { Some(Instant::now()) } else { Instant::now().checked_add(delay) };
        let Gpu { device, queue, .. } = &self.gpu;
        for (id, deltas) in &output.textures_delta.set {
            deltas.iter().for_each(|delta| self.renderer.update_texture(device, queue, *id, delta));
        }
        let jobs = context.tessellate(output.shapes, output.pixels_per_point);
        let screen = ScreenDescriptor { size_in_pixels: self.size_px(), pixels_per_point: output.pixels_per_point };
        let drawn = self.paint(&jobs, &screen);
        output.textures_delta.free.iter().for_each(|id| self.renderer.free_texture(id));
        output.textures_delta.clear();
        drawn
    }

    fn paint(&mut self, jobs: &[egui::ClippedPrimitive], screen: &ScreenDescriptor) -> Result<(), Refusal> {
        let Some(texture) = self.texture()? else { return Ok(()) };
        let Gpu { device, queue, .. } = &self.gpu;
        let view = texture.texture.create_view(&wgpu::TextureViewDescriptor::default());
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor { label: Some("bench") });
        let mut commands = self.renderer.update_buffers(device, queue, &mut encoder, jobs, screen);
        let load = wgpu::Operations { load: wgpu::LoadOp::Clear(wgpu::Color::BLACK), store: wgpu::StoreOp::Store };
        let target =
            wgpu::RenderPassColorAttachment { view: &view, depth_slice: None, resolve_target: None, ops: load };
        let pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            label: Some("bench"),
            color_attachments: &[Some(target)],
            ..Default::default()
        });
        self.renderer.render(&mut pass.forget_lifetime(), jobs, screen);
        commands.push(encoder.finish());
        queue.submit(commands);
        self.window.pre_present_notify();
        queue.present(texture);
        Ok(())
    }

    /// The next picture of the window; none while it is hidden.
    fn texture(&self) -> Result<Option<wgpu::SurfaceTexture>, Refusal> {
        use wgpu::CurrentSurfaceTexture as Current;
        match self.surface.get_current_texture() {
            Current::Success(texture) => Ok(Some(texture)),
            Current::Suboptimal(texture) => {
                // A surface can't be set up anew while a picture of it is held.
                drop(texture);
                Ok(self.anew())
            }
            Current::Outdated => Ok(self.anew()),
            Current::Timeout | Current::Occluded => Ok(None),
            Current::Lost | Current::Validation => Err(Refusal::because(
                Remark::refusal("The graphics driver stopped")
                    .remedy("start again: what was on the bench is kept and will be offered back"),
            )),
        }
    }

    /// A picture of the surface set up anew for the window as it is.
    fn anew(&self) -> Option<wgpu::SurfaceTexture> {
        use wgpu::CurrentSurfaceTexture as Current;
        self.surface.configure(&self.gpu.device, &self.settings);
        match self.surface.get_current_texture() {
            Current::Success(texture) | Current::Suboptimal(texture) => Some(texture),
            _ => None,
        }
    }
}

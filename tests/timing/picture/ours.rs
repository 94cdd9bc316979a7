//! Our own frames, and the floor under them.

use super::cost::{Cost, least};
use chalklight::geometry::Point;
use chalklight::scene::{Pose, Scene};
use chalklight::table::Table;
use chalklight::throw::{Bed, FORMAT, Thrower};
use std::time::Instant;

/// Frames without waiting, before those that count.
const BURST: usize = 200;

/// A target of the picture's size.
pub fn target(
    device: &wgpu::Device,
    [width, height]: [u32; 2],
    format: wgpu::TextureFormat,
    usage: wgpu::TextureUsages,
) -> wgpu::TextureView {
    let texture = device.create_texture(&wgpu::TextureDescriptor {
        label: None,
        size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
        mip_level_count: 1,
        sample_count: 1,
        dimension: wgpu::TextureDimension::D2,
        format,
        usage,
        view_formats: &[],
    });
    texture.create_view(&wgpu::TextureViewDescriptor::default())
}

/// One nudge and a frame, again and again.
pub fn cost(thrower: &Thrower, table: &Table, scene: &Scene) -> Cost {
    let begun = Instant::now();
    let projection = thrower.load(scene, Bed { table, stack_mm: 0.0 }).unwrap_or_else(|refusal| panic!("{refusal}"));
    let load_ms = begun.elapsed().as_secs_f64() * 1e3;
    let device = &thrower.gpu().device;
    let view = target(device, table.picture_px, FORMAT, wgpu::TextureUsages::RENDER_ATTACHMENT);
    let clock = Clock::new(thrower);
    let mut written = 0;
    // Frames that are waited for one by one leave a card so idle that it slows down; these are not.
    let card = thrower.gpu().adapter.get_info().device_type != wgpu::DeviceType::Cpu;
    for _ in 0..if card { BURST } else { 0 } {
        thrower.draw(&projection, &view);
    }
    device.poll(wgpu::PollType::wait_indefinitely()).expect("the burst is finished");
    let mut cost = least(|i| {
        let begun = Instant::now();
        let pose = Pose { at_mm: Point::new(0.1 * i as f64, 0.05 * i as f64), turn_rad: 1e-4 * i as f64 };
        written = projection.set_pose(thrower, &pose);
        thrower.draw_timed(&projection, &view, clock.as_ref().map(Clock::writes));
        let encode_ms = begun.elapsed().as_secs_f64() * 1e3;
        device.poll(wgpu::PollType::wait_indefinitely()).expect("the frame is finished");
        let finish_ms = begun.elapsed().as_secs_f64() * 1e3 - encode_ms;
        let mut parts = vec![("encode_ms", encode_ms), ("finish_ms", finish_ms)];
        parts.extend(clock.as_ref().map(|clock| ("gpu_ms", clock.read_ms(thrower))));
        parts
    });
    cost.more.push(("load_ms", load_ms));
    cost.more.push(("nudge_bytes", written as f64));
    cost
}

/// The device's own time of a pass.
struct Clock {
    stamps: wgpu::QuerySet,
    resolved: wgpu::Buffer,
    read: wgpu::Buffer,
}

impl Clock {
    /// None where the device has no clock.
    fn new(thrower: &Thrower) -> Option<Self> {
        let device = &thrower.gpu().device;
        if !device.features().contains(wgpu::Features::TIMESTAMP_QUERY) {
            return None;
        }
        let buffer = |usage| {
            device.create_buffer(&wgpu::BufferDescriptor { label: None, size: 16, usage, mapped_at_creation: false })
        };
        Some(Self {
            stamps: device.create_query_set(&wgpu::QuerySetDescriptor {
                label: None,
                ty: wgpu::QueryType::Timestamp,
                count: 2,
            }),
            resolved: buffer(wgpu::BufferUsages::QUERY_RESOLVE | wgpu::BufferUsages::COPY_SRC),
            read: buffer(wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ),
        })
    }

    fn writes(&self) -> wgpu::RenderPassTimestampWrites<'_> {
        wgpu::RenderPassTimestampWrites {
            query_set: &self.stamps,
            beginning_of_pass_write_index: Some(0),
            end_of_pass_write_index: Some(1),
        }
    }

    /// Between the last pass's two stamps.
    fn read_ms(&self, thrower: &Thrower) -> f64 {
        let (device, queue) = (&thrower.gpu().device, &thrower.gpu().queue);
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        encoder.resolve_query_set(&self.stamps, 0..2, &self.resolved, 0);
        encoder.copy_buffer_to_buffer(&self.resolved, 0, &self.read, 0, 16);
        queue.submit([encoder.finish()]);
        self.read.map_async(wgpu::MapMode::Read, .., |_| {});
        device.poll(wgpu::PollType::wait_indefinitely()).expect("the stamps are there");
        let ticks: Vec<u64> =
            bytemuck::pod_collect_to_vec(&self.read.get_mapped_range(..).expect("the stamps are mapped"));
        self.read.unmap();
        ticks[1].saturating_sub(ticks[0]) as f64 * f64::from(queue.get_timestamp_period()) / 1e6
    }
}

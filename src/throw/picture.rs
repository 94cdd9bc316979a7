//! A picture without a window: thrown into memory and read back.

use super::gpu::Gpu;
use super::thrower::{Projection, Thrower};
use super::{Bed, Choice};
use crate::remark::{Refusal, Remark};
use crate::scene::{Pose, Scene};
use image::RgbaImage;

/// The format of pictures in memory: sRGB bytes, mixed in linear light.
pub const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8UnormSrgb;

/// The picture of a scene at the projector's own size.
///
/// # Errors
/// When nothing is there to draw with, when the picture is too large for it, or when a stack's height is given for a
/// table that does not know where its lens stands.
pub fn picture(scene: &Scene, pose: &Pose, bed: Bed<'_>) -> Result<RgbaImage, Refusal> {
    let thrower = Thrower::new(Gpu::headless(Choice::Any)?, FORMAT);
    let projection = thrower.load(scene, bed)?;
    thrower.picture(&projection, pose)
}

impl Thrower {
    /// The picture of a loaded scene. The thrower must have been made for [`FORMAT`].
    ///
    /// # Errors
    /// When the device is lost or has no memory left.
    pub fn picture(&self, projection: &Projection, pose: &Pose) -> Result<RgbaImage, Refusal> {
        let [width, height] = projection.picture_px();
        let size = wgpu::Extent3d { width, height, depth_or_array_layers: 1 };
        let target = self.gpu().device.create_texture(&wgpu::TextureDescriptor {
            label: Some("picture"),
            size,
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: FORMAT,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        projection.set_pose(self, pose);
        self.draw(projection, &target.create_view(&wgpu::TextureViewDescriptor::default()));
        read(self.gpu(), &target, size)
    }
}

/// Copies a texture into memory. Rows are padded to 256 bytes in the copy, as WebGPU asks.
fn read(gpu: &Gpu, target: &wgpu::Texture, size: wgpu::Extent3d) -> Result<RgbaImage, Refusal> {
    let row = size.width * 4;
    let pitch = row.next_multiple_of(wgpu::COPY_BYTES_PER_ROW_ALIGNMENT);
    let buffer = gpu.device.create_buffer(&wgpu::BufferDescriptor {
        label: Some("picture in memory"),
        size: u64::from(pitch) * u64::from(size.height),
        usage: wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ,
        mapped_at_creation: false,
    });
    let mut encoder = gpu.device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
    let layout = wgpu::TexelCopyBufferLayout { offset: 0, bytes_per_row: Some(pitch), rows_per_image: None };
    encoder.copy_texture_to_buffer(target.as_image_copy(), wgpu::TexelCopyBufferInfo { buffer: &buffer, layout }, size);
    gpu.queue.submit([encoder.finish()]);
    buffer.map_async(wgpu::MapMode::Read, .., |_| {});
    gpu.device.poll(wgpu::PollType::wait_indefinitely()).map_err(|_| lost())?;
    let mapped = buffer.get_mapped_range(..).map_err(|_| lost())?;
    let mut bytes = Vec::with_capacity(row as usize * size.height as usize);
    for line in mapped.chunks_exact(pitch as usize) {
        bytes.extend_from_slice(&line[..row as usize]);
    }
    RgbaImage::from_raw(size.width, size.height, bytes).ok_or_else(lost)
}

fn lost() -> Refusal {
    Refusal::because(
        Remark::refusal("The graphics driver stopped while the picture was drawn")
            .remedy("try again; if it happens again, restart the computer or update the driver"),
    )
}

//! One kind of mark: its shaders for bright and for dark marks, and its marks in the device's memory.
//!
//! A mark is written once for each of its corners and its triangles are drawn by index. Drawn as instances the same marks
//! cost several times as much: a software driver begins anew for each instance, and a card leaves most of its lanes idle
//! where an instance has four corners.

use super::gpu::Gpu;

/// How a mark is made of triangles.
#[derive(Clone, Copy, Debug)]
pub struct Form {
    /// How many corners the shader is asked for; it tells them apart by the vertex's index modulo this.
    pub corners: u32,
    /// Corners of the triangles, three each.
    pub triangles: &'static [u32],
}

/// A kind of mark as its shader and its vertex buffer have it.
#[derive(Clone, Copy, Debug)]
pub struct Kind<'a> {
    /// The shader.
    pub source: &'a str,
    /// Where each field of a mark lies.
    pub attributes: &'a [wgpu::VertexAttribute],
    /// Bytes of a mark.
    pub stride: usize,
    /// Its triangles.
    pub form: Form,
    /// How bright marks are mixed with what is there, and dark ones.
    pub blends: [wgpu::BlendOperation; 2],
}

/// The same pipeline for bright and for dark marks.
#[derive(Debug)]
pub struct Pair {
    bright: wgpu::RenderPipeline,
    dark: wgpu::RenderPipeline,
    form: Form,
}

/// Bright marks followed by dark ones; no buffers when there are none.
#[derive(Debug)]
pub struct Load {
    buffers: Option<Buffers>,
    /// Indices of the bright marks, and of all.
    bright: u32,
    all: u32,
}

#[derive(Debug)]
struct Buffers {
    vertices: wgpu::Buffer,
    indices: wgpu::Buffer,
}

impl Pair {
    /// Builds both pipelines for a target's format.
    pub fn new(
        device: &wgpu::Device,
        layout: &wgpu::PipelineLayout,
        kind: &Kind<'_>,
        format: wgpu::TextureFormat,
    ) -> Self {
        let module = device.create_shader_module(wgpu::ShaderModuleDescriptor {
            label: None,
            source: wgpu::ShaderSource::Wgsl(kind.source.into()),
        });
        let pipeline = |operation: wgpu::BlendOperation, dark: bool| {
            device.create_render_pipeline(&wgpu::RenderPipelineDescriptor {
                label: None,
                layout: Some(layout),
                vertex: wgpu::VertexState {
                    module: &module,
                    entry_point: Some("vertex"),
                    compilation_options: wgpu::PipelineCompilationOptions::default(),
                    buffers: &[Some(wgpu::VertexBufferLayout {
                        array_stride: kind.stride as u64,
                        step_mode: wgpu::VertexStepMode::Vertex,
                        attributes: kind.attributes,
                    })],
                },
                primitive: wgpu::PrimitiveState::default(),
                depth_stencil: None,
                multisample: wgpu::MultisampleState::default(),
                fragment: Some(wgpu::FragmentState {
                    module: &module,
                    entry_point: Some("fragment"),
                    compilation_options: wgpu::PipelineCompilationOptions {
                        constants: &[("DARK", f64::from(u8::from(dark)))],
                        ..Default::default()
                    },
                    targets: &[Some(target(format, operation))],
                }),
                multiview_mask: None,
                cache: None,
            })
        };
        let [bright, dark] = kind.blends;
        Self { bright: pipeline(bright, false), dark: pipeline(dark, true), form: kind.form }
    }

    /// Copies marks into the device's memory.
    pub fn load<T: bytemuck::Pod>(&self, gpu: &Gpu, bright: &[T], dark: &[T]) -> Load {
        let Form { corners, triangles } = self.form;
        let vertices: Vec<T> =
            bright.iter().chain(dark).flat_map(|mark| std::iter::repeat_n(*mark, corners as usize)).collect();
        let count = (bright.len() + dark.len()) as u32;
        let indices: Vec<u32> = (0..count).flat_map(|i| triangles.iter().map(move |t| i * corners + t)).collect();
        let buffers = (count > 0).then(|| Buffers {
            vertices: gpu.buffer("marks", bytemuck::cast_slice(&vertices), wgpu::BufferUsages::VERTEX),
            indices: gpu.buffer("marks", bytemuck::cast_slice(&indices), wgpu::BufferUsages::INDEX),
        });
        Load { buffers, bright: (bright.len() * triangles.len()) as u32, all: indices.len() as u32 }
    }

    /// Draws marks; the pass has their uniform bound.
    pub fn draw(&self, pass: &mut wgpu::RenderPass<'_>, load: &Load) {
        let Some(Buffers { vertices, indices }) = &load.buffers else { return };
        pass.set_vertex_buffer(0, vertices.slice(..));
        pass.set_index_buffer(indices.slice(..), wgpu::IndexFormat::Uint32);
        for (pipeline, range) in [(&self.bright, 0..load.bright), (&self.dark, load.bright..load.all)] {
            if !range.is_empty() {
                pass.set_pipeline(pipeline);
                pass.draw_indexed(range, 0, 0..1);
            }
        }
    }
}

/// A target on which marks are mixed by `operation`; the picture's alpha stays 1 whatever is drawn.
fn target(format: wgpu::TextureFormat, operation: wgpu::BlendOperation) -> wgpu::ColorTargetState {
    let color =
        wgpu::BlendComponent { src_factor: wgpu::BlendFactor::One, dst_factor: wgpu::BlendFactor::One, operation };
    let blend = wgpu::BlendState { color, alpha: wgpu::BlendComponent::OVER };
    wgpu::ColorTargetState { format, blend: Some(blend), write_mask: wgpu::ColorWrites::ALL }
}

//! Pipelines, and a scene loaded for them.
//!
//! A [`Thrower`] lives as long as its device; a [`Projection`] as long as its scene. Drawing after a nudge
//! writes one uniform of 112 bytes and records one pass: nothing is tessellated and no GPU memory is taken.

use super::Bed;
use super::blend::Under;
use super::fill::Triangle;
use super::flatten::Fineness;
use super::gpu::Gpu;
use super::mesh::{Mesh, Sorted};
use super::pipeline::{Form, Kind, Load, Pair};
use super::stroke::{Body, End, Run};
use super::warp::Warp;
use crate::geometry::{Cloth, Map, Point, Table};
use crate::remark::{Refusal, Remark};
use crate::scene::light::linear;
use crate::scene::{Pose, Scene};

/// A pipeline's shader: what is common to all, and its own file.
macro_rules! shader {
    ($file:literal) => {
        concat!(
            include_str!("../../shaders/shared/stroke.wgsl"),
            include_str!("../../shaders/shared/throw.wgsl"),
            include_str!(concat!("../../shaders/", $file))
        )
    };
}

/// The corners of a quad along a segment: two at its beginning, two at its end.
const QUAD: Form = Form { corners: 4, triangles: &[0, 1, 2, 2, 1, 3] };
/// The triangle over an end or a run.
const TRIANGLE: Form = Form { corners: 3, triangles: &[0, 1, 2] };
/// A grown triangle: a strip of six corners.
const GROWN: Form = Form { corners: 6, triangles: &[0, 1, 2, 2, 1, 3, 2, 3, 4, 4, 3, 5] };

/// A device with everything that does not depend on the scene.
#[derive(Debug)]
pub struct Thrower {
    gpu: Gpu,
    uniform_layout: wgpu::BindGroupLayout,
    fills: Pair,
    bodies: Pair,
    runs: Pair,
    dashes: Pair,
    dots: Pair,
    caps: Pair,
    elbows: Pair,
    corners: Pair,
}

/// A scene on a table, in the device's memory.
#[derive(Debug)]
pub struct Projection {
    table: crate::table::Table,
    stack_mm: f64,
    under: Under,
    on_cloth: Group,
    on_table: Group,
    cloth_origin_mm: Point<Cloth>,
}

/// The marks of one frame, in the device's memory.
#[derive(Debug)]
struct Group {
    warp: wgpu::Buffer,
    bound: wgpu::BindGroup,
    fills: Load,
    bodies: Load,
    runs: Load,
    dashes: Load,
    dots: Load,
    caps: Load,
    elbows: Load,
    corners: Load,
}

impl Thrower {
    /// Prepares a device to draw on targets of `format`, which must be an sRGB one for light to be mixed rightly.
    pub fn new(gpu: Gpu, format: wgpu::TextureFormat) -> Self {
        let device = &gpu.device;
        let uniform_layout = device.create_bind_group_layout(&wgpu::BindGroupLayoutDescriptor {
            label: Some("warp"),
            entries: &[wgpu::BindGroupLayoutEntry {
                binding: 0,
                visibility: wgpu::ShaderStages::VERTEX_FRAGMENT,
                ty: wgpu::BindingType::Buffer {
                    ty: wgpu::BufferBindingType::Uniform,
                    has_dynamic_offset: false,
                    min_binding_size: wgpu::BufferSize::new(size_of::<Warp>() as u64),
                },
                count: None,
            }],
        });
        let layout = device.create_pipeline_layout(&wgpu::PipelineLayoutDescriptor {
            label: Some("marks"),
            bind_group_layouts: &[Some(&uniform_layout)],
            immediate_size: 0,
        });
        let sums = [wgpu::BlendOperation::Add, wgpu::BlendOperation::ReverseSubtract];
        let extremes = [wgpu::BlendOperation::Max, wgpu::BlendOperation::Min];
        let pair = |kind: Kind<'_>| Pair::new(device, &layout, &kind, format);
        let (attributes, stride) = (Triangle::ATTRIBUTES, size_of::<Triangle>());
        let fills = Kind { source: shader!("fill.wgsl"), attributes: &attributes, stride, form: GROWN, blends: sums };
        let (attributes, stride) = (Body::ATTRIBUTES, size_of::<Body>());
        let bodies =
            Kind { source: shader!("body.wgsl"), attributes: &attributes, stride, form: QUAD, blends: extremes };
        let (attributes, stride) = (Run::ATTRIBUTES, size_of::<Run>());
        let runs =
            Kind { source: shader!("run.wgsl"), attributes: &attributes, stride, form: TRIANGLE, blends: extremes };
        let (attributes, stride) = (End::ATTRIBUTES, size_of::<End>());
        let end = |source, form| pair(Kind { source, attributes: &attributes, stride, form, blends: extremes });
        Self {
            fills: pair(fills),
            bodies: pair(bodies),
            runs: pair(runs),
            dashes: end(shader!("dash.wgsl"), QUAD),
            dots: end(shader!("dot.wgsl"), TRIANGLE),
            caps: end(shader!("cap.wgsl"), TRIANGLE),
            elbows: end(shader!("elbow.wgsl"), TRIANGLE),
            corners: end(shader!("corner.wgsl"), TRIANGLE),
            gpu,
            uniform_layout,
        }
    }

    /// The device.
    pub fn gpu(&self) -> &Gpu {
        &self.gpu
    }

    /// Loads a scene for a table. Stages that are shown in turn are best loaded once each and kept.
    ///
    /// # Errors
    /// When a stack's height is given for a table that does not know where its lens stands, or when the picture is
    /// larger than the device can draw.
    pub fn load(&self, scene: &Scene, bed: Bed<'_>) -> Result<Projection, Refusal> {
        check(bed, self.gpu.device.limits().max_texture_dimension_2d)?;
        let (under, fineness) = (Under::of(scene), Fineness::of(bed));
        let cloth = Mesh::of(&scene.on_cloth, under, fineness);
        let table = Mesh::of(&scene.on_table, under, fineness);
        let resting = Warp::of(bed, Map::<Table, Table>::identity(), table.origin_mm, false, under);
        Ok(Projection {
            table: bed.table.clone(),
            stack_mm: bed.stack_mm,
            under,
            cloth_origin_mm: cloth.origin_mm,
            on_cloth: self.group(&cloth, bytemuck::Zeroable::zeroed()),
            on_table: self.group(&table, resting),
        })
    }

    fn group<F>(&self, mesh: &Mesh<F>, warp: Warp) -> Group {
        let gpu = &self.gpu;
        let usage = wgpu::BufferUsages::UNIFORM | wgpu::BufferUsages::COPY_DST;
        let warp = gpu.buffer("warp", bytemuck::bytes_of(&warp), usage);
        let bound = gpu.device.create_bind_group(&wgpu::BindGroupDescriptor {
            label: Some("warp"),
            layout: &self.uniform_layout,
            entries: &[wgpu::BindGroupEntry { binding: 0, resource: warp.as_entire_binding() }],
        });
        let Sorted { bright, dark } = &mesh.strokes;
        Group {
            warp,
            bound,
            fills: self.fills.load(gpu, &mesh.triangles.bright, &mesh.triangles.dark),
            bodies: self.bodies.load(gpu, &bright.bodies, &dark.bodies),
            runs: self.runs.load(gpu, &bright.runs, &dark.runs),
            caps: self.caps.load(gpu, &bright.caps, &dark.caps),
            dashes: self.dashes.load(gpu, &bright.dashes, &dark.dashes),
            dots: self.dots.load(gpu, &bright.dots, &dark.dots),
            elbows: self.elbows.load(gpu, &bright.elbows, &dark.elbows),
            corners: self.corners.load(gpu, &bright.corners, &dark.corners),
        }
    }

    /// Draws a projection on a whole target, with the pose it was last given.
    pub fn draw(&self, projection: &Projection, target: &wgpu::TextureView) {
        self.draw_timed(projection, target, None);
    }

    /// The same, with the device's clock read before and after.
    pub fn draw_timed(
        &self,
        projection: &Projection,
        target: &wgpu::TextureView,
        timestamp_writes: Option<wgpu::RenderPassTimestampWrites<'_>>,
    ) {
        let mut encoder = self.gpu.device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        {
            let [r, g, b] = projection.under.ground.map(linear);
            let mut pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
                label: Some("throw"),
                color_attachments: &[Some(wgpu::RenderPassColorAttachment {
                    view: target,
                    depth_slice: None,
                    resolve_target: None,
                    ops: wgpu::Operations {
                        load: wgpu::LoadOp::Clear(wgpu::Color { r, g, b, a: 1.0 }),
                        store: wgpu::StoreOp::Store,
                    },
                })],
                timestamp_writes,
                ..Default::default()
            });
            // Areas before lines: lines are compared with what is there, areas add to it.
            for group in [&projection.on_cloth, &projection.on_table] {
                pass.set_bind_group(0, &group.bound, &[]);
                self.fills.draw(&mut pass, &group.fills);
            }
            for group in [&projection.on_cloth, &projection.on_table] {
                pass.set_bind_group(0, &group.bound, &[]);
                self.bodies.draw(&mut pass, &group.bodies);
                self.runs.draw(&mut pass, &group.runs);
                self.caps.draw(&mut pass, &group.caps);
                self.dashes.draw(&mut pass, &group.dashes);
                self.dots.draw(&mut pass, &group.dots);
                self.elbows.draw(&mut pass, &group.elbows);
                self.corners.draw(&mut pass, &group.corners);
            }
        }
        self.gpu.queue.submit([encoder.finish()]);
    }
}

impl Projection {
    /// Width and height of the table's picture.
    pub fn picture_px(&self) -> [u32; 2] {
        self.table.picture_px
    }

    /// Height of the cloth's upper side above the table.
    pub fn stack_mm(&self) -> f64 {
        self.stack_mm
    }

    /// Moves the cloth: rewrites its uniform and nothing else. Gives the number of bytes written.
    pub fn set_pose(&self, thrower: &Thrower, pose: &Pose) -> usize {
        let bed = Bed { table: &self.table, stack_mm: self.stack_mm };
        let warp = Warp::of(bed, pose.table_from_cloth(), self.cloth_origin_mm, true, self.under);
        let bytes = bytemuck::bytes_of(&warp);
        thrower.gpu.queue.write_buffer(&self.on_cloth.warp, 0, bytes);
        bytes.len()
    }
}

fn check(bed: Bed<'_>, largest_px: u32) -> Result<(), Refusal> {
    let [width, height] = bed.table.picture_px;
    if width == 0 || height == 0 || width > largest_px || height > largest_px {
        return Err(Refusal::because(
            Remark::refusal(format!("A picture of {width} x {height} pixels cannot be drawn on this machine"))
                .remedy(format!("give a projector size from 1 to {largest_px} pixels a side")),
        ));
    }
    if bed.stack_mm != 0.0 && bed.table.stand.is_none_or(|s| s.height_mm <= bed.stack_mm) {
        return Err(Refusal::because(
            Remark::refusal(format!(
                "The cloth lies {:.1} mm above the table, but the table file does not say where the lens stands",
                bed.stack_mm
            ))
            .field("lens.height")
            .remedy("measure the lens's foot point and height with a plumb line and write them under [lens]"),
        ));
    }
    Ok(())
}

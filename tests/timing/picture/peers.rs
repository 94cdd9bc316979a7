//! The ways of others on the same scenes. Outlines are made and mapped to pixels beforehand: their own work would begin
//! with both.

use super::cost::{Cost, least};
use super::ours::target;
use super::outlines::{mapped_outline, page_map, svg};
use super::scenes::TABLE_MM;
use chalklight::scene::Scene;
use chalklight::table::Table;
use chalklight::throw::Thrower;
use std::time::Instant;
use vello_cpu::kurbo::BezPath;

/// Page resolution of the raster route.
const PAGE_PX_PER_MM: f64 = 1.6;
/// Threads for vello_cpu beside the one that calls it.
const WORKERS: u16 = 2;

fn outlines(table: &Table, scene: &Scene) -> Vec<tiny_skia::Path> {
    scene.on_cloth.strokes.iter().filter_map(|s| mapped_outline(table, s)).collect()
}

/// The same outlines as vello takes them.
fn paths(table: &Table, scene: &Scene) -> Vec<BezPath> {
    let point = |p: tiny_skia::Point| (f64::from(p.x), f64::from(p.y));
    let path = |outline: tiny_skia::Path| {
        let mut path = BezPath::new();
        for piece in outline.segments() {
            use tiny_skia::PathSegment as Piece;
            match piece {
                Piece::MoveTo(p) => path.move_to(point(p)),
                Piece::LineTo(p) => path.line_to(point(p)),
                Piece::QuadTo(a, p) => path.quad_to(point(a), point(p)),
                Piece::CubicTo(a, b, p) => path.curve_to(point(a), point(b), point(p)),
                Piece::Close => path.close_path(),
            }
        }
        path
    };
    outlines(table, scene).into_iter().map(path).collect()
}

/// tiny-skia fills the outlines, on one thread.
pub fn tiny_skia(table: &Table, scene: &Scene) -> Cost {
    let [width, height] = table.picture_px;
    let mut page = tiny_skia::Pixmap::new(width, height).expect("a page");
    let mut paint = tiny_skia::Paint::default();
    paint.set_color_rgba8(255, 255, 255, 255);
    let outlines = outlines(table, scene);
    least(|_| {
        page.fill(tiny_skia::Color::BLACK);
        for outline in &outlines {
            page.fill_path(outline, &paint, tiny_skia::FillRule::Winding, tiny_skia::Transform::identity(), None);
        }
        Vec::new()
    })
}

/// vello_cpu fills the outlines, on all cores.
pub fn vello_cpu(table: &Table, scene: &Scene) -> Cost {
    let [width, height] = table.picture_px.map(|n| n as u16);
    let settings = vello_cpu::RenderSettings { num_threads: WORKERS, ..Default::default() };
    let mut context = vello_cpu::RenderContext::new_with(width, height, settings);
    let mut resources = vello_cpu::Resources::new();
    let mut page = vello_cpu::Pixmap::new(width, height);
    let paths = paths(table, scene);
    least(|_| {
        context.reset();
        context.set_paint(vello_cpu::color::palette::css::BLACK);
        context.fill_rect(&vello_cpu::kurbo::Rect::new(0.0, 0.0, f64::from(width), f64::from(height)));
        context.set_paint(vello_cpu::color::palette::css::WHITE);
        for path in &paths {
            context.fill_path(path);
        }
        context.flush();
        context.render(&mut page, &mut resources);
        std::hint::black_box(&page);
        Vec::new()
    })
}

/// vello fills the outlines on the adapter.
pub fn vello(thrower: &Thrower, table: &Table, scene: &Scene) -> Result<Cost, vello::Error> {
    use vello::peniko::{Color, Fill};
    let gpu = thrower.gpu();
    let options = vello::RendererOptions {
        use_cpu: false,
        antialiasing_support: vello::AaSupport::area_only(),
        num_init_threads: None,
        pipeline_cache: None,
    };
    let mut renderer = vello::Renderer::new(&gpu.device, options)?;
    let [width, height] = table.picture_px;
    let usage = wgpu::TextureUsages::STORAGE_BINDING;
    let view = target(&gpu.device, table.picture_px, wgpu::TextureFormat::Rgba8Unorm, usage);
    let paths = paths(table, scene);
    let mut encoded = vello::Scene::new();
    let params =
        vello::RenderParams { base_color: Color::BLACK, width, height, antialiasing_method: vello::AaConfig::Area };
    let mut outcome = Ok(());
    let cost = least(|_| {
        let begun = Instant::now();
        encoded.reset();
        for path in &paths {
            encoded.fill(Fill::NonZero, vello::kurbo::Affine::IDENTITY, Color::WHITE, None, path);
        }
        let drawn = renderer.render_to_texture(&gpu.device, &gpu.queue, &encoded, &view, &params);
        let encode_ms = begun.elapsed().as_secs_f64() * 1e3;
        gpu.device.poll(wgpu::PollType::wait_indefinitely()).expect("the frame is finished");
        let finish_ms = begun.elapsed().as_secs_f64() * 1e3 - encode_ms;
        if drawn.is_err() {
            outcome = drawn;
        }
        vec![("encode_ms", encode_ms), ("finish_ms", finish_ms)]
    });
    outcome.map(|()| cost)
}

/// resvg draws the page and the page is warped.
pub fn raster(table: &Table, scene: &Scene) -> Cost {
    let size = TABLE_MM.map(|mm| (mm * PAGE_PX_PER_MM) as u32);
    let tree = usvg::Tree::from_str(&svg(scene, TABLE_MM), &usvg::Options::default()).expect("an SVG");
    let mut page = tiny_skia::Pixmap::new(size[0], size[1]).expect("a page");
    let map = page_map(table, PAGE_PX_PER_MM);
    let mut frame = vec![0u8; map.len() * 4];
    let scale = tiny_skia::Transform::from_scale(PAGE_PX_PER_MM as f32, PAGE_PX_PER_MM as f32);
    least(|_| {
        page.fill(tiny_skia::Color::BLACK);
        resvg::render(&tree, scale, &mut page.as_mut());
        let begun = Instant::now();
        warp(page.data(), size, &map, &mut frame);
        std::hint::black_box(&frame);
        vec![("warp_ms", begun.elapsed().as_secs_f64() * 1e3)]
    })
}

/// Looks every pixel up in the page (RGBA bytes), with linear filtering.
fn warp(page: &[u8], [width, height]: [u32; 2], map: &[[f32; 2]], frame: &mut [u8]) {
    for (to, [x, y]) in frame.chunks_exact_mut(4).zip(map) {
        let (x0, y0) = (x.floor(), y.floor());
        if x0 < 0.0 || y0 < 0.0 || x0 + 1.0 >= width as f32 || y0 + 1.0 >= height as f32 {
            to.copy_from_slice(&[0, 0, 0, 255]);
            continue;
        }
        let (fx, fy) = (x - x0, y - y0);
        let at = (y0 as usize * width as usize + x0 as usize) * 4;
        let below = at + width as usize * 4;
        for c in 0..4 {
            let above = f32::from(page[at + c]) * (1.0 - fx) + f32::from(page[at + 4 + c]) * fx;
            let under = f32::from(page[below + c]) * (1.0 - fx) + f32::from(page[below + 4 + c]) * fx;
            to[c] = (above * (1.0 - fy) + under * fy).round() as u8;
        }
    }
}

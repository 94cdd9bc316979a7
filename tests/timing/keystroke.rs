//! How long a keystroke in a measurement takes until draft, checks and lay are drawn anew: our own time, part by part.
//! For a dress with sleeves, whose lay is searched for on a thread of its own, until the draft is drawn anew with the
//! lay before; and how long the lay then takes. And what a nudge at the table takes until its scene is composed anew.
//!
//!     cargo bench --bench keystroke [-- COUNT]

use std::time::Instant;

use chalklight::bench::model::{Step, Wish};
use chalklight::bench::paper::Entry;
use chalklight::bench::work::Work;
use chalklight::bench::{Bench, Habits, look, view};
use chalklight::geometry::Point;
use chalklight::scene::{Room, View, Way};
use chalklight::session::{self, Change, Event, Ground, Session};
use chalklight::table::{KeptTable, Lens, Table, TrustedTable};
use chalklight::throw::{Choice, Gpu};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};

const BUST: Entry = Entry::text("body", "bust");
const SIZE: [u32; 2] = [1920, 1080];

/// The light of the table: all of a lay is lit at once.
const LIT_MM: [f64; 2] = [3000.0, 1400.0];

fn main() {
    let count: usize = std::env::args().filter_map(|word| word.parse().ok()).next().unwrap_or(300);
    let gpu = Gpu::headless(Choice::Any).expect("a driver");
    println!("{} at {} x {}, {count} keystrokes", gpu.name(), SIZE[0], SIZE[1]);
    let plain = include_str!("../../src/command/demo/order.toml");
    let sleeved = plain
        .replace("[garment]", "[garment]\nsleeve = \"long\"\nedges = \"facing\"")
        .replace("fold = \"lengths\"", "");
    let sleeved = sleeved.replace("[body]", "[body]\narm_length = \"58 cm\"");
    let cases = [("plain", plain), ("with sleeves and facings", &sleeved)];
    for ((dress, order), step) in
        cases.into_iter().flat_map(|case| [Step::Client, Step::Cloth].map(|step| (case, step)))
    {
        let mut parts = [const { Vec::new() }; 4];
        let mut desk = Desk::new(&gpu, step, order);
        desk.keystroke("94 cm");
        for i in 0..count {
            let took = desk.keystroke(["94 c", "94 cm", "95 cm", "95.5 cm"][i % 4]);
            parts.iter_mut().zip(took).for_each(|(all, one)| all.push(one));
        }
        println!("{step:?}, {dress}");
        let mut desk = Desk::new(&gpu, step, order);
        desk.answer("94 cm").1.textures_delta.clear();
        let before = spent_ms();
        for i in 0..count {
            desk.answer(["94 c", "94 cm", "95 cm", "95.5 cm"][i % 4]).1.textures_delta.clear();
        }
        let mean = (spent_ms() - before) / count as f64;
        println!("  our own    mean   {mean:6.2} ms of the processor, without the picture");
        for (name, mut all) in ["chain", "layout", "triangles", "picture"].into_iter().zip(parts) {
            all.sort_by(f64::total_cmp);
            let at = |share: f64| all[((all.len() - 1) as f64 * share) as usize];
            println!("  {name:<10} median {:6.2} ms  95 % {:6.2} ms  most {:6.2} ms", at(0.5), at(0.95), at(1.0));
        }
    }
    println!(
        "A nudge at a table of {} x {} mm: processor time for its scene, without the picture",
        LIT_MM[0], LIT_MM[1]
    );
    cases.iter().for_each(|(dress, order)| nudge(dress, order, count.min(100)));
}

/// Goes through a session and nudges the cloth, or a piece of it, at every stop.
fn nudge(dress: &str, order: &str, count: usize) {
    let laid = Work::of(order, None).to_lay.and_then(|to_lay| to_lay.lying().laid).expect("a lay");
    let room = Room { low_mm: Point::origin(), high_mm: Point::new(LIT_MM[0], LIT_MM[1]) };
    let view = View::of(room, laid.lay.system, Way::LightOnDark);
    let lens = Lens { centre_px: Point::origin(), k1: 0.0, k2: 0.0 };
    let homography = [[1.2, 0.0, 0.0], [0.0, -1.2, 1080.0], [0.0, 0.0, 1.0]];
    let table = Table { picture_px: SIZE, homography, lens, stand: None };
    let table = TrustedTable::by_her_yes(KeptTable { table, screen: None, fit: None, record: None });
    let work = session::Work::of(&laid.lay, &view).expect("room");
    let mut session = Session::begin(Ground::Trusted(table), work, view);
    let mean_ms = |session: &mut Session, begin: Option<Event>| {
        begin.map(|begin| session.answer(begin));
        let before = spent_ms();
        for i in 0..count {
            session.answer(Event::Nudge { right: if i % 2 == 0 { 1 } else { -1 }, away: 0, long: false });
            assert!(!session.scene().on_cloth.strokes.is_empty());
        }
        let mean = (spent_ms() - before) / count as f64;
        begin.map(|_| session.answer(Event::Leave));
        mean
    };
    let piece = mean_ms(&mut session, Some(Event::MovePiece));
    println!("  {dress}: a piece {piece:.2} ms");
    loop {
        let [lines, cross] = [None, Some(Event::SetPlace)].map(|begin| mean_ms(&mut session, begin));
        println!("  {dress}, {}: the lines {lines:.2} ms, a cross {cross:.2} ms", session.stage().title);
        if session.answer(Event::Next) == Change::Nothing {
            break;
        }
    }
}

/// What this thread has spent of the processor, in milliseconds; on a busy machine the clock says little.
fn spent_ms() -> f64 {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").expect("Linux");
    text.split(' ').next().and_then(|ns| ns.parse::<f64>().ok()).expect("nanoseconds") / 1e6
}

/// A bench drawn in memory.
struct Desk<'g> {
    gpu: &'g Gpu,
    bench: Bench,
    context: egui::Context,
    renderer: Renderer,
    target: wgpu::TextureView,
}

impl<'g> Desk<'g> {
    fn new(gpu: &'g Gpu, step: Step, order: &str) -> Self {
        let mut bench = Bench::new(Habits::default(), None);
        bench.opened("order.toml".as_ref(), order);
        bench.step = step;
        for wish in bench.take_wishes() {
            if let Wish::Lay(to_lay) = wish {
                let start = Instant::now();
                let lying = to_lay.lying();
                println!("  laid on a thread of its own in {:.0} ms", start.elapsed().as_secs_f64() * 1000.0);
                bench.take_lying(to_lay, lying);
            }
        }
        assert!(bench.work().laid.is_some(), "{:?}", bench.work().remarks);
        let context = egui::Context::default();
        look::prepare(&context);
        let format = wgpu::TextureFormat::Rgba8Unorm;
        let target = gpu.device.create_texture(&wgpu::TextureDescriptor {
            label: None,
            size: wgpu::Extent3d { width: SIZE[0], height: SIZE[1], depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT,
            view_formats: &[],
        });
        let renderer = Renderer::new(&gpu.device, format, RendererOptions::default());
        let target = target.create_view(&wgpu::TextureViewDescriptor::default());
        Self { gpu, bench, context, renderer, target }
    }

    /// A keystroke until what is to be drawn is known: when it came, and when chain, layout and triangles were done.
    fn answer(&mut self, text: &str) -> ([Instant; 4], egui::FullOutput, Vec<egui::ClippedPrimitive>) {
        let start = Instant::now();
        self.bench.write(&BUST, text);
        let chain = Instant::now();
        let size = egui::vec2(SIZE[0] as f32, SIZE[1] as f32);
        let input = egui::RawInput {
            screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, size)),
            ..Default::default()
        };
        let bench = &mut self.bench;
        let mut output = self.context.run_ui(input, |ui| view::show(ui, bench));
        let layout = Instant::now();
        let jobs = self.context.tessellate(std::mem::take(&mut output.shapes), output.pixels_per_point);
        ([start, chain, layout, Instant::now()], output, jobs)
    }

    /// Milliseconds for the chain, the layout, the triangles and the picture.
    fn keystroke(&mut self, text: &str) -> [f64; 4] {
        let ([start, chain, layout, triangles], mut output, jobs) = self.answer(text);
        let Gpu { device, queue, .. } = self.gpu;
        for (id, deltas) in &output.textures_delta.set {
            deltas.iter().for_each(|delta| self.renderer.update_texture(device, queue, *id, delta));
        }
        output.textures_delta.clear();
        let screen = ScreenDescriptor { size_in_pixels: SIZE, pixels_per_point: output.pixels_per_point };
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        let mut commands = self.renderer.update_buffers(device, queue, &mut encoder, &jobs, &screen);
        let ops = wgpu::Operations { load: wgpu::LoadOp::Clear(wgpu::Color::BLACK), store: wgpu::StoreOp::Store };
        let target =
            wgpu::RenderPassColorAttachment { view: &self.target, depth_slice: None, resolve_target: None, ops };
        let pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            color_attachments: &[Some(target)],
            ..Default::default()
        });
        self.renderer.render(&mut pass.forget_lifetime(), &jobs, &screen);
        commands.push(encoder.finish());
        queue.submit(commands);
        device.poll(wgpu::PollType::wait_indefinitely()).expect("the driver");
        let picture = Instant::now();
        let ms = |from: Instant, to: Instant| (to - from).as_secs_f64() * 1000.0;
        [ms(start, chain), ms(chain, layout), ms(layout, triangles), ms(triangles, picture)]
    }
}

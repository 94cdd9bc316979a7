//! Every page of the bench as it looks: light and dark, in a small and a large window, with usual and with larger text.
//! Pictures are written under `target/tmp/bench`; what can be held to account without an eye is: no words are cut off at
//! the side, and none lie over others.

use std::cell::RefCell;
use std::path::{Path, PathBuf};

use chalklight::bench::laying::{Lying, ToLay};
use chalklight::bench::model::{ScreenHere, Step, Wish};
use chalklight::bench::motifs::{Showing, flatten};
use chalklight::bench::paper::{Entry, Form};
use chalklight::bench::tables::solve;
use chalklight::bench::{Bench, Habits, Unsaved, look, view};
use chalklight::geometry::Vector;
use chalklight::motif::Photograph;
use chalklight::throw::{Choice, Gpu};
use egui::{Event, Key, Modifiers, Pos2, Rect, Shape, pos2, vec2};
use egui_wgpu::{Renderer, RendererOptions, ScreenDescriptor};

use super::ORDER;

/// Sizes of the window in pixels, and of text in percent.
const WINDOWS_PX: [[u32; 2]; 2] = [[1280, 720], [1920, 1080]];
const TEXTS_PERCENT: [u32; 2] = [100, 150];

/// Words may touch by so many points: the room that a letter's box has beyond its ink.
const TOUCH: f32 = 1.5;

/// A page: its name, the bench, keys pressed on it, and how far down it is looked at, in points.
struct Page {
    name: &'static str,
    bench: Bench,
    keys: Vec<(Modifiers, Key)>,
    down: f32,
}

impl Page {
    fn of(name: &'static str, bench: Bench) -> Self {
        Self { name, bench, keys: Vec::new(), down: 0.0 }
    }
}

/// The photo of a cloth with discs and stripes on it, drawn here.
fn photograph() -> Photograph {
    let size_px = [800, 600];
    let pixel = |i: u32| {
        let (x, y) = (f64::from(i % size_px[0]), f64::from(i / size_px[0]));
        let disc = ((x % 100.0) - 50.0).hypot((y % 100.0) - 50.0) < 32.0;
        if disc {
            [150, 40, 50]
        } else if x % 100.0 < 12.0 {
            [40, 70, 120]
        } else {
            [225, 205, 160]
        }
    };
    Photograph { size_px, rgb: (0..size_px[0] * size_px[1]).map(pixel).collect() }
}

/// A bench in the middle of the job: an order with a printed cloth, a table, readings, two screens.
fn busy() -> Bench {
    let mut bench = Bench::new(Habits::default(), None);
    let order = ORDER.replace("layer = ", "photo = \"print.png\"\nrepeat = [\"20 cm\", \"20 cm\"]\nlayer = ");
    let photo =
        "\n[photo]\ncorners = [[100, 500], [700, 500], [700, 100], [100, 100]]\nsize = [\"120 cm\", \"80 cm\"]\n";
    let order = order.replace("[lay]", "[lay]\nback = \"40 mm\"\nroom = \"6 cm\"");
    bench.opened("order.toml".as_ref(), &format!("{order}{photo}"));
    bench.today = "2026-11-25".into();
    let screen = |title: &str, size_px| ScreenHere { title: title.into(), size_px, scale_percent: 100 };
    bench.screens = vec![screen("eDP-1 1280x800", [1280, 800]), screen("HDMI-1 1920x1080", [1920, 1080])];
    bench.opened("readings.toml".as_ref(), include_str!("../../calibration/readings/demo.toml"));
    let kept = bench.table_to_save("2026-11-13".into()).expect("a table");
    bench.opened("table.toml".as_ref(), &chalklight::table::file::write(&kept));
    bench.choose_screen(&screen("HDMI-1 1920x1080", [1920, 1080]));
    bench.said.clear();
    bench
}

/// The dress with sleeves and facings, laid; or with the lay before while it is laid anew.
fn sleeves(laid: bool) -> Bench {
    let mut bench = busy();
    bench.step = Step::Cloth;
    for key in ["back", "room", "fold"] {
        bench.write(&Entry::text("lay", key), "");
    }
    bench.write(&Entry::text("body", "arm_length"), "58 cm");
    bench.write(&Entry::text("garment", "sleeve"), "long");
    grant(&mut bench);
    assert!(bench.laid().is_some_and(|(_, of_now)| of_now), "{:?}", bench.work().remarks);
    if !laid {
        bench.write(&Entry::text("garment", "edges"), "facing");
        bench.take_wishes();
    }
    bench
}

/// A piece that is held on the open cloth, where it may lie or not.
fn held(by_mm: [f64; 2]) -> Bench {
    let mut bench = sleeves(true);
    bench.write(&Entry::text("body", "bust_depth"), "27 cm");
    grant(&mut bench);
    bench.motifs.showing = Showing::Open;
    let placed = &bench.work().laid.as_ref().expect("a lay").lay.placed;
    let front = placed.iter().position(|placed| placed.piece.name == "front").expect("a front");
    bench.hold_piece(front, Vector::new(by_mm[0], by_mm[1]));
    bench
}

/// The open cloth of a print that is dropped by half and of which there is no photo.
fn without_photo() -> Bench {
    let mut bench = busy();
    bench.step = Step::Cloth;
    bench.motifs.showing = Showing::Open;
    let photo = |key, form| Entry { section: "photo", key, form };
    for entry in [
        Entry::text("cloth", "photo"),
        photo("corners", Form::List),
        photo("size", Form::OfTwo(0)),
        photo("size", Form::OfTwo(1)),
    ] {
        bench.write(&entry, "");
    }
    bench.write(&Entry::text("cloth", "drop"), "half");
    assert!(bench.work().laid.is_some() && bench.photo_path().is_none(), "{:?}", bench.work().remarks);
    bench
}

/// A number is half typed: the lay before is shown.
fn half_typed() -> Bench {
    let mut bench = busy();
    bench.step = Step::Cloth;
    bench.write(&Entry::text("cloth", "width"), "11");
    assert!(bench.laid().is_some_and(|(_, of_now)| !of_now));
    bench
}

/// A reading was changed, and what it gives is not worked out yet.
fn of_before() -> Bench {
    let mut bench = busy();
    bench.step = Step::Table;
    let slot = bench.notebook().slots()[0];
    bench.read_off(slot, "12 mm");
    assert!(bench.mapped().is_some_and(|(_, of_now)| !of_now));
    bench
}

/// A table whose proof failed.
fn broken() -> Bench {
    let mut bench = busy();
    bench.step = Step::Table;
    for (at, typed) in ["1400", "800", "1500"].into_iter().enumerate() {
        bench.prove_by(at, typed);
    }
    bench
}

/// The numbers are thrown on the screens.
fn numbered() -> Bench {
    let mut bench = busy();
    bench.step = Step::Table;
    (bench.own_screen, bench.numbering) = (Some(0), true);
    bench
}

/// A shorter lay is being searched for.
fn searching() -> Bench {
    let mut bench = sleeves(true);
    bench.search();
    bench.take_wishes();
    bench.search_goes_on(73, Some(1834.0));
    bench
}

fn stages_of_sleeves() -> Bench {
    let mut bench = sleeves(true);
    bench.step = Step::Cut;
    bench.stage = 3;
    bench
}

/// A garment: kind, length, what is chosen.
type Garment = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

/// Every kind of garment, the dress with all that can be chosen.
const GARMENTS: [Garment; 7] = [
    (
        "a-line-dress",
        "104 cm",
        &[
            ("neckline", "sweetheart"),
            ("sleeve", "long"),
            ("edges", "facing"),
            ("pockets", "patch"),
            ("tie", "belt"),
            ("dart", "side"),
            ("fit", "easy"),
        ],
    ),
    ("shift-top", "62 cm", &[("neckline", "boat"), ("sleeve", "flutter"), ("edges", "bias"), ("opening", "back")]),
    ("tunic", "85 cm", &[("sleeve", "three-quarter"), ("edges", "facing"), ("dart", "side"), ("pockets", "patch")]),
    ("kaftan", "130 cm", &[("neckline", "slit"), ("tie", "belt")]),
    ("a-line-skirt", "70 cm", &[("pockets", "in-seam"), ("waist", "casing")]),
    ("circle-skirt", "60 cm", &[("circle", "half")]),
    ("tiered-skirt", "80 cm", &[("waist", "band")]),
];

/// Lays that were looked for before.
type Known = RefCell<Vec<(ToLay, Lying)>>;

/// Every page on which a garment shows, with its lay.
fn pages_of((kind, length, chosen): Garment, known: &Known) -> Vec<Page> {
    let at = |step, showing| {
        let mut bench = busy();
        for (section, key) in
            [("lay", "back"), ("lay", "room"), ("lay", "fold"), ("rules", "bust_ease"), ("rules", "waist_ease")]
        {
            bench.write(&Entry::text(section, key), "");
        }
        bench.write(&Entry::text("rules", "front_neck_depth"), if kind.ends_with("skirt") { "" } else { "13 cm" });
        bench.write(&Entry::text("body", "arm_length"), "58 cm");
        bench.write(&Entry::text("garment", "kind"), kind);
        bench.write(&Entry::text("garment", "length"), length);
        chosen.iter().for_each(|(key, word)| bench.write(&Entry::text("garment", key), word));
        bench.write(&Entry::text("cloth", "width"), "150 cm");
        bench.step = step;
        bench.motifs.showing = showing;
        bench.stage = 2;
        bench.lit = bench.drawn().and_then(|(drawn, _)| drawn.draft.working.get(7)).map(|step| step.name);
        grant_with(&mut bench, known);
        assert!(bench.work().laid.is_some(), "{kind}: {:?}", bench.work().remarks);
        bench
    };
    let names = |page: &str| -> &'static str { Box::leak(format!("{kind}-{page}").into_boxed_str()) };
    vec![
        Page::of(names("client"), at(Step::Client, Showing::Folded)),
        Page::of(names("garment"), at(Step::Garment, Showing::Folded)),
        Page::of(names("draft"), at(Step::Draft, Showing::Folded)),
        Page::of(names("folded"), at(Step::Cloth, Showing::Folded)),
        Page { down: 9000.0, ..Page::of(names("open"), at(Step::Cloth, Showing::Open)) },
        Page::of(names("sewn"), at(Step::Cloth, Showing::Sewn)),
        Page::of(names("cut"), at(Step::Cut, Showing::Folded)),
        Page { down: 9000.0, ..Page::of(names("garment-end"), at(Step::Garment, Showing::Folded)) },
    ]
}

fn pages() -> Vec<Page> {
    let at = |step| {
        let mut bench = busy();
        bench.step = step;
        bench
    };
    let showing = |showing| {
        let mut bench = at(Step::Cloth);
        bench.motifs.showing = showing;
        bench
    };
    let mut unfit = at(Step::Cloth);
    unfit.lay_opened(Some("fold = 3\n".to_owned()));
    let mut lit = at(Step::Draft);
    lit.lit = Some("waist line");
    let mut stage = at(Step::Cut);
    stage.stage = 2;
    let mut scaled = at(Step::Cut);
    let large = ScreenHere { title: "HDMI-1 2560x1440".into(), size_px: [2560, 1440], scale_percent: 150 };
    scaled.choose_screen(&large);
    scaled.screens[1] = large;
    scaled.cutting = true;
    scaled.cutting_at = Some(3);
    let offered = Unsaved {
        order: ORDER.to_owned(),
        place: Some("/home/rosalind/second-act/order.toml".into()),
        on_disc: None,
        readings: None,
        table: None,
        lay: None,
        lay_on_disc: None,
    };
    let mut crashed = Bench::new(Habits::default(), Some(offered));
    crashed.step = Step::Client;
    let mut wrong = at(Step::Client);
    wrong.write(&Entry::text("body", "waist"), "780 cm");
    wrong.write(&Entry::text("body", "bust"), "94");
    let mut pages = vec![
        Page::of("client", at(Step::Client)),
        Page::of("client-wrong", wrong),
        Page::of("garment", at(Step::Garment)),
        Page { down: 700.0, ..Page::of("client-lower", at(Step::Client)) },
        Page { down: 600.0, ..Page::of("garment-lower", at(Step::Garment)) },
        Page { down: 9000.0, ..Page::of("garment-end", at(Step::Garment)) },
        Page::of("draft", lit),
        Page::of("cloth", at(Step::Cloth)),
        Page { down: 700.0, ..Page::of("cloth-lower", at(Step::Cloth)) },
        Page { down: 9000.0, ..Page::of("cloth-end", at(Step::Cloth)) },
        Page::of("cloth-sleeves", sleeves(true)),
        Page::of("cloth-laying", sleeves(false)),
        Page { down: 560.0, ..Page::of("cloth-searching", searching()) },
        Page { down: 560.0, ..Page::of("cloth-unfit", unfit) },
        Page::of("cut-sleeves", stages_of_sleeves()),
        Page::of("cloth-open", showing(Showing::Open)),
        Page::of("cloth-open-held", held([0.0, 0.0])),
        Page::of("cloth-open-refused", held([-2000.0, 0.0])),
        Page::of("cloth-open-cells", without_photo()),
        Page::of("cloth-half-typed", half_typed()),
        Page::of("cloth-sewn", showing(Showing::Sewn)),
        Page::of("cloth-photo", showing(Showing::Photo)),
        Page::of("table", at(Step::Table)),
        Page::of("table-before", of_before()),
        Page { down: 9000.0, ..Page::of("table-proof-failed", broken()) },
        Page::of("table-numbers", numbered()),
        Page::of("cut", stage),
        Page::of("screens", scaled),
        Page::of("new", Bench::new(Habits::default(), None)),
        Page::of("crash-offer", crashed),
        Page::of("open", at(Step::Client)),
        Page::of("save-as", at(Step::Client)),
    ];
    for page in &mut pages {
        match page.name {
            "open" => {
                page.bench.habits.recent =
                    vec!["/home/rosalind/first-act.toml".into(), "/home/rosalind/alto.toml".into()];
                page.keys = vec![(Modifiers::COMMAND, Key::O)];
            }
            "save-as" => page.keys = vec![(Modifiers::COMMAND | Modifiers::SHIFT, Key::S)],
            _ => {}
        }
    }
    pages
}

/// Grants what a bench asks of its computer.
fn grant(bench: &mut Bench) {
    grant_with(bench, &Known::default());
}

/// The same; what is known is not laid again.
fn grant_with(bench: &mut Bench, known: &Known) {
    for wish in bench.take_wishes() {
        match wish {
            Wish::Solve(text) => bench.take_solved(text.clone(), solve(&text)),
            Wish::Lay(to_lay) => {
                let found = known.borrow().iter().find(|(of, _)| *of == to_lay).map(|(_, lying)| lying.clone());
                let lying = found.unwrap_or_else(|| {
                    let lying = to_lay.lying();
                    known.borrow_mut().push((to_lay.clone(), lying.clone()));
                    lying
                });
                bench.take_lying(to_lay, lying);
            }
            Wish::Photo(path) => bench.take_photo(path, Ok(photograph())),
            Wish::Flatten(photograph, recipe) => {
                let print = flatten(&photograph, &recipe);
                bench.take_print(recipe, print);
            }
            _ => {}
        }
    }
}

/// What a look at the bench has, in the order in which it is painted.
#[derive(Default)]
struct Seen {
    /// Words, each with its place and what of it can be seen.
    words: Vec<(usize, String, Rect, Rect)>,
    /// Lines and dots, each with its width and what of it can be seen.
    lines: Vec<(usize, [Pos2; 2], f32, Rect)>,
    /// What covers all that was painted before.
    covers: Vec<(usize, Rect)>,
    count: usize,
}

impl Seen {
    fn of(shapes: &[egui::epaint::ClippedShape]) -> Self {
        let mut seen = Self::default();
        shapes.iter().for_each(|clipped| seen.gather(&clipped.shape, clipped.clip_rect));
        seen
    }

    fn gather(&mut self, shape: &Shape, clip: Rect) {
        self.count += 1;
        let at = self.count;
        match shape {
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| self.gather(shape, clip)),
            Shape::Text(text) if !text.galley.text().trim().is_empty() => {
                self.words.push((at, text.galley.text().to_owned(), text.visual_bounding_rect(), clip));
            }
            Shape::LineSegment { points, stroke } => self.lines.push((at, *points, stroke.width, clip)),
            Shape::Path(path) if path.stroke.width > 0.0 && !path.closed => {
                let sides = path.points.windows(2).map(|ends| (at, [ends[0], ends[1]], path.stroke.width, clip));
                self.lines.extend(sides);
            }
            Shape::Circle(dot) if dot.fill.a() == 255 => {
                self.lines.push((at, [dot.center; 2], 2.0 * dot.radius, clip));
            }
            Shape::Rect(rect) if rect.fill.a() == 255 => self.covers.push((at, rect.rect)),
            _ => {}
        }
    }
}

/// Whether a line comes into a rectangle: by the sides of the line on which the corners lie, and the box around it.
fn crosses(rect: Rect, [a, b]: [Pos2; 2], width: f32) -> bool {
    let rect = rect.expand(width / 2.0);
    let along = b - a;
    let side = |p: Pos2| along.x * (p.y - a.y) - along.y * (p.x - a.x);
    let sides = [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()].map(side);
    let apart = sides.iter().all(|side| *side > 0.0) || sides.iter().all(|side| *side < 0.0);
    !apart && Rect::from_two_pos(a, b).expand(1e-3).intersects(rect)
}

/// What is wrong with the words of a look at a page in a window of that size, in points.
fn faults(shapes: &[egui::epaint::ClippedShape], (page, step): (&str, Step), size: egui::Vec2) -> Vec<String> {
    let seen_all = Seen::of(shapes);
    let words = &seen_all.words;
    assert!(words.len() > 10, "{page} has only {} words", words.len());
    // What is asked is scrolled, and so are the checks below the draft: their last line may be cut.
    let is_scrolled = |clip: &Rect| clip.right() < 0.5 * size.x || (step <= Step::Garment && clip.top() > 0.6 * size.y);
    let mut faults = Vec::new();
    for (i, (at, text, rect, clip)) in words.iter().enumerate() {
        let seen = rect.intersect(*clip);
        if !seen.is_positive() {
            continue;
        }
        let is_cut = rect.left() < clip.left() - TOUCH || rect.right() > clip.right() + TOUCH;
        let is_cut_across = rect.top() < clip.top() - TOUCH || rect.bottom() > clip.bottom() + TOUCH;
        if is_cut || (is_cut_across && !is_scrolled(clip)) {
            faults.push(format!("{page}: \"{text}\" at {rect:?} is cut off at {clip:?}"));
        }
        for (_, other, their, their_clip) in &words[i + 1..] {
            let shared = seen.intersect(*their).intersect(*their_clip);
            if shared.width() > TOUCH && shared.height() > TOUCH {
                faults.push(format!("{page}: \"{text}\" lies over \"{other}\" at {shared:?}"));
            }
        }
        if is_scrolled(clip) {
            continue;
        }
        // What was painted before something opaque all round the words is not seen under them.
        let covered = seen_all.covers.iter().filter(|(cover, of)| cover < at && of.contains_rect(rect.expand(6.0)));
        let covered = covered.map(|(cover, _)| *cover).max().unwrap_or(0);
        let over = seen_all.lines.iter().find(|(line, ends, width, line_clip)| {
            *line > covered && line_clip == clip && crosses(rect.shrink(TOUCH), *ends, *width)
        });
        if let Some((_, ends, ..)) = over {
            faults.push(format!("{page}: \"{text}\" at {rect:?} and a line lie over one another: {ends:?}"));
        }
    }
    faults
}

#[test]
fn words_over_lines_and_words_that_are_cut_are_seen() {
    let context = egui::Context::default();
    look::prepare(&context);
    let size = vec2(1280.0, 720.0);
    let told = |draw: &dyn Fn(&egui::Painter)| {
        let input = egui::RawInput { screen_rect: Some(Rect::from_min_size(Pos2::ZERO, size)), ..Default::default() };
        context.run_ui(input.clone(), |_| ()).textures_delta.clear();
        let mut output = context.run_ui(input, |ui| {
            let clip = Rect::from_min_max(pos2(700.0, 100.0), pos2(1270.0, 700.0));
            let painter = ui.painter().with_clip_rect(clip);
            for row in 0..11 {
                let (at, font) = (pos2(750.0, 150.0 + 40.0 * row as f32), egui::FontId::proportional(13.0));
                painter.text(at, egui::Align2::LEFT_CENTER, "chest line", font, egui::Color32::BLACK);
            }
            draw(&painter);
        });
        output.textures_delta.clear();
        faults(&output.shapes, ("page", Step::Cloth), size).len()
    };
    let stroke = egui::Stroke::new(1.0, egui::Color32::BLACK);
    assert_eq!(told(&|_| ()), 0);
    let line = |ends: [[f32; 2]; 2]| {
        told(&move |painter| {
            painter.add(Shape::line(ends.map(|[x, y]| pos2(x, y)).to_vec(), stroke));
        })
    };
    assert_eq!(line([[760.0, 130.0], [780.0, 170.0]]), 1);
    assert_eq!(line([[740.0, 190.0], [900.0, 191.0]]), 1);
    assert_eq!(line([[700.0, 170.0], [900.0, 170.0]]), 0);
    let below = |painter: &egui::Painter| {
        painter.text(
            pos2(900.0, 699.0),
            egui::Align2::LEFT_CENTER,
            "hem",
            egui::FontId::proportional(13.0),
            stroke.color,
        );
    };
    assert_eq!(told(&below), 1);
}

/// A window in memory.
struct Glass<'g> {
    gpu: &'g Gpu,
    size_px: [u32; 2],
    percent: u32,
    context: egui::Context,
    renderer: Renderer,
    target: wgpu::Texture,
}

const FORMAT: wgpu::TextureFormat = wgpu::TextureFormat::Rgba8Unorm;

impl<'g> Glass<'g> {
    fn new(gpu: &'g Gpu, size_px: [u32; 2], percent: u32) -> Self {
        let context = egui::Context::default();
        look::prepare(&context);
        let [width, height] = size_px;
        let target = gpu.device.create_texture(&wgpu::TextureDescriptor {
            label: None,
            size: wgpu::Extent3d { width, height, depth_or_array_layers: 1 },
            mip_level_count: 1,
            sample_count: 1,
            dimension: wgpu::TextureDimension::D2,
            format: FORMAT,
            usage: wgpu::TextureUsages::RENDER_ATTACHMENT | wgpu::TextureUsages::COPY_SRC,
            view_formats: &[],
        });
        let renderer = Renderer::new(&gpu.device, FORMAT, RendererOptions::default());
        Self { gpu, size_px, percent, context, renderer, target }
    }

    /// One look at a bench.
    fn look(&mut self, bench: &mut Bench, events: Vec<Event>) -> egui::FullOutput {
        let points = self.size_px.map(|px| px as f32 * 100.0 / self.percent as f32);
        let screen = Rect::from_min_size(pos2(0.0, 0.0), vec2(points[0], points[1]));
        let input = egui::RawInput { screen_rect: Some(screen), events, ..Default::default() };
        let mut output = self.context.run_ui(input, |ui| view::show(ui, bench));
        let Gpu { device, queue, .. } = self.gpu;
        for (id, deltas) in &output.textures_delta.set {
            deltas.iter().for_each(|delta| self.renderer.update_texture(device, queue, *id, delta));
        }
        output.textures_delta.clear();
        output
    }

    /// A page as it settles, after its keys.
    fn settled(&mut self, page: &mut Page) -> egui::FullOutput {
        let mut output = self.look(&mut page.bench, Vec::new());
        for (modifiers, key) in page.keys.clone() {
            let press = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
            self.look(&mut page.bench, vec![press(true)]);
            self.look(&mut page.bench, vec![press(false)]);
        }
        if page.down > 0.0 {
            let over = Event::PointerMoved(pos2(120.0, 300.0));
            let delta = vec2(0.0, -page.down);
            let modifiers = Modifiers::NONE;
            let (phase, source) = (egui::TouchPhase::Move, egui::MouseWheelSource::Unknown);
            let wheel = Event::MouseWheel { unit: egui::MouseWheelUnit::Point, delta, modifiers, phase, source };
            self.look(&mut page.bench, vec![over.clone()]);
            self.look(&mut page.bench, vec![over, wheel]);
            // A wheel scrolls smoothly.
            for _ in 0..40 {
                self.look(&mut page.bench, Vec::new());
            }
        }
        for _ in 0..4 {
            grant(&mut page.bench);
            output = self.look(&mut page.bench, Vec::new());
        }
        output
    }

    /// The picture of a look.
    fn picture(&mut self, output: egui::FullOutput) -> image::RgbaImage {
        let Gpu { device, queue, .. } = self.gpu;
        let jobs = self.context.tessellate(output.shapes, output.pixels_per_point);
        let screen = ScreenDescriptor { size_in_pixels: self.size_px, pixels_per_point: output.pixels_per_point };
        let mut encoder = device.create_command_encoder(&wgpu::CommandEncoderDescriptor::default());
        let mut commands = self.renderer.update_buffers(device, queue, &mut encoder, &jobs, &screen);
        let ops = wgpu::Operations { load: wgpu::LoadOp::Clear(wgpu::Color::BLACK), store: wgpu::StoreOp::Store };
        let view = self.target.create_view(&wgpu::TextureViewDescriptor::default());
        let target = wgpu::RenderPassColorAttachment { view: &view, depth_slice: None, resolve_target: None, ops };
        let pass = encoder.begin_render_pass(&wgpu::RenderPassDescriptor {
            color_attachments: &[Some(target)],
            ..Default::default()
        });
        self.renderer.render(&mut pass.forget_lifetime(), &jobs, &screen);
        let [width, height] = self.size_px;
        let buffer = device.create_buffer(&wgpu::BufferDescriptor {
            label: None,
            size: u64::from(width) * 4 * u64::from(height),
            usage: wgpu::BufferUsages::COPY_DST | wgpu::BufferUsages::MAP_READ,
            mapped_at_creation: false,
        });
        let layout = wgpu::TexelCopyBufferLayout { offset: 0, bytes_per_row: Some(width * 4), rows_per_image: None };
        let size = wgpu::Extent3d { width, height, depth_or_array_layers: 1 };
        let copy = wgpu::TexelCopyBufferInfo { buffer: &buffer, layout };
        encoder.copy_texture_to_buffer(self.target.as_image_copy(), copy, size);
        commands.push(encoder.finish());
        queue.submit(commands);
        buffer.map_async(wgpu::MapMode::Read, .., |_| {});
        device.poll(wgpu::PollType::wait_indefinitely()).expect("the driver");
        let bytes = buffer.get_mapped_range(..).expect("the picture").to_vec();
        image::RgbaImage::from_raw(width, height, bytes).expect("a picture of that size")
    }
}

fn folder() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench");
    std::fs::create_dir_all(&folder).expect("a folder");
    folder
}

/// Looks at pages in every look, and writes their pictures.
fn assert_whole(pages: impl Fn() -> Vec<Page>) {
    let gpu = Gpu::headless(Choice::Any).expect("a driver");
    let folder = folder();
    let mut faults_found = Vec::new();
    for size_px in WINDOWS_PX {
        for percent in TEXTS_PERCENT {
            for dark in [false, true] {
                let mut glass = Glass::new(&gpu, size_px, percent);
                for mut page in pages() {
                    page.bench.habits = Habits { dark, text_percent: percent, ..page.bench.habits.clone() };
                    let look = if dark { "dark" } else { "light" };
                    let name = format!("{}-{look}-{}x{}-{percent}", page.name, size_px[0], size_px[1]);
                    // What a page before left open is forgotten.
                    glass.context.memory_mut(|memory| {
                        let options = memory.options.clone();
                        *memory = egui::Memory::default();
                        memory.options = options;
                    });
                    let output = glass.settled(&mut page);
                    let size = vec2(size_px[0] as f32, size_px[1] as f32) * 100.0 / percent as f32;
                    faults_found.extend(faults(&output.shapes, (&name, page.bench.step), size));
                    let picture = glass.picture(output);
                    picture.save(folder.join(format!("{name}.png"))).expect("a picture written");
                }
            }
        }
    }
    assert!(faults_found.is_empty(), "{} faults\n{}", faults_found.len(), faults_found.join("\n"));
}

#[test]
fn every_page_is_whole_in_every_look() {
    assert_whole(pages);
}

#[test]
fn every_garment_is_whole_in_every_look() {
    let known = Known::default();
    assert_whole(|| GARMENTS.into_iter().flat_map(|garment| pages_of(garment, &known)).collect());
}

//! Strokes as instances: a body for each segment, bent at its ends where the stroke goes on smoothly, a run for mild turns
//! among short segments, and an end for each place where a segment does not go on smoothly.
//!
//! How segments meet is decided here, in f64 and in millimetres: it depends on the table's finest pixel and not on the
//! pose, so a nudge never comes back to it. Each kind of piece has its own pipeline, so that no pixel pays for a question
//! that is not asked there (the software driver would compute every answer and throw the others away).

use super::blend::packed;
use crate::geometry::{Point, Vector};
use crate::scene::Light;
use crate::scene::light::linear;

/// One segment without its ends; the fields mirror `Body` in shaders/body.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Body {
    /// Beginning and end, mm from the marks' origin.
    pub ends_mm: [f32; 4],
    /// To where the left edge ends, from the beginning and from the end, in half widths.
    pub mitres: [f32; 4],
    /// Tangent of half the turn at the beginning and at the end, 0 at a free end, [`SMOOTH_ON`] where nothing is cut.
    pub backs: [f32; 2],
    /// Half the width, mm.
    pub half_mm: f32,
    /// The mark's light, linear.
    pub light: [u16; 4],
}

/// Up to three mild turns that follow one another; the fields mirror `Run` in shaders/run.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct Run {
    /// The corner before the first turn, the three turns, and the corner after the last, mm from the marks' origin. Where
    /// there are fewer turns, places on the way to the last corner stand for the others.
    pub points_mm: [[f32; 2]; 5],
    /// Half the width, mm.
    pub half_mm: f32,
    /// How many turns there are.
    pub turns: f32,
    /// How much of the first and of the last segment is covered from here, 0 to 1; 0 where a body takes it over.
    pub shared: [f32; 2],
    /// The mark's light, linear.
    pub light: [u16; 4],
}

/// One end of a segment, as seen from there; the fields mirror `End` in shaders/shared/stroke.wgsl.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, bytemuck::Pod, bytemuck::Zeroable)]
pub struct End {
    /// The end and the segment's other end, mm from the marks' origin.
    pub ends_mm: [f32; 4],
    /// The corner beyond the end, mm from the marks' origin; the end itself at a free end.
    pub beyond_mm: [f32; 2],
    /// Tangent of half the turn here, 0 at a free end.
    pub back: f32,
    /// How much of the segment is covered from here, 0 to 1; 0 where it has a body.
    pub shared: f32,
    /// Half the width, mm.
    pub half_mm: f32,
    /// As `shared`, for the segment before this one: an elbow covers part of both.
    pub before_shared: f32,
    /// The mark's light, linear.
    pub light: [u16; 4],
}

const _: () = assert!(size_of::<Body>() == 52, "shaders/body.wgsl reads 52 bytes");
const _: () = assert!(size_of::<Run>() == 64, "shaders/run.wgsl reads 64 bytes");
const _: () = assert!(size_of::<End>() == 48, "shaders/shared/stroke.wgsl reads 48 bytes");

impl Body {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 4] =
        wgpu::vertex_attr_array![0 => Float32x4, 1 => Float32x4, 2 => Float32x3, 3 => Unorm16x4];
}

impl Run {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 5] = wgpu::vertex_attr_array![
        0 => Float32x4, 1 => Float32x4, 2 => Float32x4, 3 => Float32x2, 4 => Unorm16x4
    ];
}

impl End {
    /// Where each field lies, in the order of the shader's locations.
    pub const ATTRIBUTES: [wgpu::VertexAttribute; 4] =
        wgpu::vertex_attr_array![0 => Float32x4, 1 => Float32x4, 2 => Float32x2, 3 => Unorm16x4];
}

/// A stroke's instances, by pipeline.
#[derive(Clone, Debug, Default)]
pub struct Pieces {
    /// Segments that are long enough and not drawn whole.
    pub bodies: Vec<Body>,
    /// Mild turns.
    pub runs: Vec<Run>,
    /// Free ends.
    pub caps: Vec<End>,
    /// Segments with two free ends, drawn whole.
    pub dashes: Vec<End>,
    /// The same, so short that a pixel can see both ends.
    pub dots: Vec<End>,
    /// Turns that have room for a mitre, one for the two ends that meet there.
    pub elbows: Vec<End>,
    /// Ends at other turns.
    pub corners: Vec<End>,
}

/// What the segments of one stroke share.
#[derive(Clone, Copy, Debug)]
pub struct Pen {
    /// Full width, mm.
    pub width_mm: f64,
    /// The picture's finest pixel, mm.
    pub pixel_mm: f64,
    /// The stroke's light.
    pub light: Light,
}

/// A dot is drawn as a segment of this length: a direction is needed, a length is not.
const DOT_MM: f64 = 1e-3;
/// Up to here a turn is mild and is mitred, if its segments are longer than the mitre.
const MILD_RAD: f64 = 0.35;
/// Up to here in any case: such a mitre is no longer than a pixel shows.
const SLIGHT_RAD: f64 = 0.05;
/// Up to here a turn is an elbow, mitred inside and round outside, if its segments are longer than the mitre.
const ELBOW_RAD: f64 = 2.0;
/// Turns of one run add up to no more, so that its edges climb gently over one axis.
const RUN_RAD: f64 = 0.6;
/// Turns of one run.
const RUN_TURNS: usize = 3;
/// A hairpin's inner corner is followed back this many times as far as it reaches sideways, no further.
const HAIRPIN: f64 = 16.0;
/// What stands for the tangent where a stroke goes on smoothly.
const SMOOTH_ON: f64 = -1.0;
/// How far an end's pixels reach, px, as in shaders/shared/throw.wgsl.
const PAD_PX: f64 = 0.75;
/// What a body must have left between its ends to be worth its triangles, px.
const SHORT_PX: f64 = 4.0;
/// A segment between two free ends is drawn whole up to this length, px: a body and two caps are more triangles, but fewer
/// pixels with round ends to ask for.
const DASH_PX: f64 = 40.0;
/// And up to this width, px: its round ends have few edges.
const NARROW_PX: f64 = 3.2;

/// How two segments meet, or that a stroke ends.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    Free,
    /// A mild turn between two bodies, which both bend there.
    Smooth,
    /// A mild turn beside a segment without a body: a turn of a run.
    Mild,
    Elbow,
    Corner,
}

/// A corner of the stroke's line.
#[derive(Clone, Copy, Debug)]
struct Joint {
    kind: Kind,
    turn_rad: f64,
    /// Tangent of half the turn.
    back: f64,
}

/// Appends the instances of a flattened stroke to `out`.
pub fn pieces<F>(points: &[Point<F>], closed: bool, pen: Pen, origin: Point<F>, out: &mut Pieces) {
    let mut corners: Vec<Vector<F>> = points.iter().map(|p| *p - origin).collect();
    corners.dedup_by(|b, a| (*b - *a).length() < DOT_MM);
    if closed && corners.len() > 1 && (corners[0] - corners[corners.len() - 1]).length() < DOT_MM {
        corners.pop();
    }
    if let [only] = corners[..] {
        corners.push(only + Vector::new(DOT_MM, 0.0));
    }
    let closed = closed && corners.len() > 2;
    let line = Line::of(corners, closed, pen);
    for i in 0..line.shared.len() {
        line.segment(i, out);
    }
    line.runs(out);
}

/// A stroke's line, from the marks' origin.
struct Line<F> {
    corners: Vec<Vector<F>>,
    closed: bool,
    pen: Pen,
    joints: Vec<Joint>,
    /// Of each segment that is too short for a body, how much of it is covered from its beginning, 0 to 1.
    shared: Vec<Option<f64>>,
}

impl<F> Line<F> {
    fn of(corners: Vec<Vector<F>>, closed: bool, pen: Pen) -> Self {
        let n = corners.len();
        let mut line = Self { corners, closed, pen, joints: Vec::new(), shared: Vec::new() };
        line.joints = (0..n).map(|i| line.joint(i)).collect();
        line.shared = (0..if closed { n } else { n.saturating_sub(1) }).map(|i| line.sharing(i)).collect();
        // What has no body is covered by the runs at its ends.
        for i in 0..n {
            let beside = [line.index(i, -1), Some(i)].into_iter();
            if line.joints[i].kind == Kind::Smooth && beside.flatten().any(|s| line.is_shared(s)) {
                line.joints[i].kind = Kind::Mild;
            }
        }
        line
    }

    /// The corner `step` after (or before) corner `i`, if the line goes on there.
    fn index(&self, i: usize, step: isize) -> Option<usize> {
        let n = self.corners.len() as isize;
        let at = i as isize + step;
        if self.closed { Some(at.rem_euclid(n) as usize) } else { (0..n).contains(&at).then_some(at as usize) }
    }

    /// Unit vector from corner `i` to the one after it.
    fn direction(&self, i: usize) -> Option<Vector<F>> {
        Some((self.corners[self.index(i, 1)?] - self.corners[i]).normalize())
    }

    fn joint(&self, i: usize) -> Joint {
        let before = self.index(i, -1).and_then(|b| self.direction(b));
        let (Some(before), Some(after)) = (before, self.direction(i)) else {
            return Joint { kind: Kind::Free, turn_rad: 0.0, back: 0.0 };
        };
        let turn_rad = before.angle_to(after).radians.abs();
        let back = (turn_rad / 2.0).tan().min(HAIRPIN);
        let room_mm = [-1, 1].map(|step| self.index(i, step).map(|k| (self.corners[k] - self.corners[i]).length()));
        let has_room = room_mm.iter().flatten().all(|mm| *mm >= back * self.pen.width_mm / 2.0);
        let kind = match turn_rad {
            turn if turn <= SLIGHT_RAD || turn <= MILD_RAD && has_room => Kind::Smooth,
            turn if turn <= ELBOW_RAD && has_room => Kind::Elbow,
            _ => Kind::Corner,
        };
        Joint { kind, turn_rad, back }
    }

    /// Of the segment from corner `i`, if its ends leave too little between them where pixels are finest, how much belongs to
    /// its beginning.
    fn sharing(&self, i: usize) -> Option<f64> {
        let j = self.index(i, 1)?;
        let pixel_mm = self.pen.pixel_mm;
        let reach_mm =
            |k: usize| PAD_PX * pixel_mm + self.joints[k].back * (self.pen.width_mm / 2.0 + PAD_PX * pixel_mm);
        let both_mm = reach_mm(i) + reach_mm(j);
        let short = (self.corners[j] - self.corners[i]).length() < both_mm + SHORT_PX * pixel_mm;
        short.then(|| reach_mm(i) / both_mm)
    }

    fn is_shared(&self, segment: usize) -> bool {
        self.shared.get(segment).is_some_and(Option::is_some)
    }

    /// How much of a segment is covered from its beginning, or from its end; 0 where it has a body.
    fn covered(&self, segment: usize, from_end: bool) -> f32 {
        let share = self.shared.get(segment).copied().flatten();
        share.map_or(0.0, |share| if from_end { 1.0 - share } else { share }) as f32
    }

    /// To where the left edge of the segment from corner `i` ends at corner `at`, in half widths.
    fn mitre(&self, i: usize, at: usize) -> Vector<F> {
        let own = self.direction(i).unwrap_or_default();
        let left = |d: Vector<F>| Vector::new(-d.y, d.x);
        let other = if at == i { self.index(i, -1).and_then(|b| self.direction(b)) } else { self.direction(at) };
        match (self.joints[at].kind, other) {
            (Kind::Smooth | Kind::Mild, Some(other)) => {
                let mean = left(own + other);
                mean / mean.dot(left(own))
            }
            _ => left(own),
        }
    }

    /// Appends the body of the segment from corner `i`, and its ends but for turns of a run.
    fn segment(&self, i: usize, out: &mut Pieces) {
        let Some(j) = self.index(i, 1) else { return };
        let light = packed(self.pen.light.map(linear));
        let half_mm = (self.pen.width_mm / 2.0) as f32;
        let ends = [i, j].map(|k| self.joints[k]);
        let length_mm = (self.corners[j] - self.corners[i]).length();
        let short_and_narrow =
            length_mm < DASH_PX * self.pen.pixel_mm && self.pen.width_mm < NARROW_PX * self.pen.pixel_mm;
        let whole = ends.iter().all(|e| e.kind == Kind::Free) && (self.is_shared(i) || short_and_narrow);
        if !self.is_shared(i) && !whole {
            out.bodies.push(Body {
                ends_mm: pair(self.corners[i], self.corners[j]),
                mitres: pair(self.mitre(i, i), self.mitre(i, j)),
                backs: ends.map(|e| if e.kind == Kind::Smooth { SMOOTH_ON } else { e.back } as f32),
                half_mm,
                light,
            });
        }
        let end = |at: usize, far: usize, beyond: Option<usize>| {
            let corner = self.corners[beyond.unwrap_or(at)];
            End {
                ends_mm: pair(self.corners[at], self.corners[far]),
                beyond_mm: [corner.x as f32, corner.y as f32],
                back: self.joints[at].back as f32,
                shared: self.covered(i, at == j),
                half_mm,
                before_shared: self.index(i, -1).map_or(0.0, |before| self.covered(before, true)),
                light,
            }
        };
        if whole {
            let list = if self.is_shared(i) { &mut out.dots } else { &mut out.dashes };
            list.push(end(i, j, None));
            return;
        }
        for (at, far, beyond) in [(i, j, self.index(i, -1)), (j, i, self.index(j, 1))] {
            match self.joints[at].kind {
                Kind::Smooth | Kind::Mild => {}
                // An elbow belongs to both segments; the later one's beginning stands for it.
                Kind::Elbow if at == j => {}
                Kind::Elbow => out.elbows.push(end(at, far, beyond)),
                Kind::Free => out.caps.push(end(at, far, beyond)),
                Kind::Corner => out.corners.push(end(at, far, beyond)),
            }
        }
    }

    /// Appends the runs: mild turns with nothing but short segments between them, a few at a time.
    fn runs(&self, out: &mut Pieces) {
        let mild = |i: usize| self.joints[i].kind == Kind::Mild;
        let mut at = 0;
        while at < self.corners.len() {
            if !mild(at) {
                at += 1;
                continue;
            }
            let (mut last, mut turned_rad) = (at, self.joints[at].turn_rad);
            while last + 1 < self.corners.len() && last + 1 < at + RUN_TURNS && self.is_shared(last) && mild(last + 1) {
                turned_rad += self.joints[last + 1].turn_rad;
                if turned_rad > RUN_RAD {
                    break;
                }
                last += 1;
            }
            out.runs.extend(self.run(at, last));
            at = last + 1;
        }
    }

    /// The run of the turns from corner `first` to corner `last`.
    fn run(&self, first: usize, last: usize) -> Option<Run> {
        let (before, after) = (self.index(first, -1)?, self.index(last, 1)?);
        let turns = last - first + 1;
        let (from, to) = (self.corners[last], self.corners[after]);
        let point = |k: usize| match k {
            0 => self.corners[before],
            k if k <= turns => self.corners[first + k - 1],
            k => from.lerp(to, (k - turns) as f64 / (RUN_TURNS + 1 - turns) as f64),
        };
        Some(Run {
            points_mm: [0, 1, 2, 3, 4].map(point).map(|p| [p.x as f32, p.y as f32]),
            half_mm: (self.pen.width_mm / 2.0) as f32,
            turns: turns as f32,
            shared: [self.covered(before, true), self.covered(last, false)],
            light: packed(self.pen.light.map(linear)),
        })
    }
}

/// The one place where a stroke's places become f32: after the origin, which keeps them small, was taken off.
fn pair<F>(a: Vector<F>, b: Vector<F>) -> [f32; 4] {
    [a.x as f32, a.y as f32, b.x as f32, b.y as f32]
}

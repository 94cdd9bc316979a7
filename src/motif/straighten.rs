//! A photo of the cloth made flat and true to size.
//!
//! A plane seen by a camera without lens error is a homography of its picture; four points whose places are known fix it
//! (R. Hartley and A. Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed., section 4.1). It is solved here
//! from the eight linear equations of four corners. A photo taken from straight above needs one known length alone.
//! Not promised: a wide lens bends straight lines, and nothing here takes that out.

use nalgebra::{Matrix3, SMatrix, SVector, Vector3};

use super::open::Open;
use crate::geometry::{Point, Vector};
use crate::order::{Known, Photo};
use crate::remark::{Refusal, Remark, Told, told};

/// Longest side of the flat picture.
const MOST_PX: f64 = 1024.0;

/// So many times the known rectangle's size, to each side of its middle, a photo is believed: towards the horizon a pixel
/// is worth more and more cloth.
const BELIEVED: f64 = 3.0;

/// Most samples along each side of a pixel of the flat picture.
const MOST_SAMPLES: usize = 4;

/// A photo in memory.
#[derive(Clone, Debug, PartialEq)]
pub struct Photograph {
    /// Its width and height.
    pub size_px: [u32; 2],
    /// Its pixels, row by row from the top: red, green, blue.
    pub rgb: Vec<[u8; 3]>,
}

/// The print of the cloth, flat and true to size.
#[derive(Clone, Debug, PartialEq)]
pub struct Print {
    /// Its corner nearest to the cloth's origin.
    pub low_mm: Point<Open>,
    /// Its size along and across.
    pub size_mm: Vector<Open>,
    /// Width and height of its pixels.
    pub size_px: [usize; 2],
    /// Its pixels, row by row from the far side: red, green, blue, and 0 where the photo shows nothing.
    pub rgba: Vec<u8>,
    /// Whether it is one repeat, to be carried on over all of the cloth.
    pub repeats: bool,
}

/// The way from the open cloth to the photo.
#[derive(Clone, Copy, Debug)]
struct Sight {
    px_from_mm: Matrix3<f64>,
    size_px: [f64; 2],
}

/// A known length in a photo is at least this share of its diagonal.
const LEAST_SHARE: f64 = 0.03;

/// Of a print that runs through one way, this share of the photo is carried on that way.
const RUN_SHARE: f64 = 0.5;

/// Makes a photo flat. With a repeat, one repeat is taken out of the middle of the photo, to be carried on.
///
/// # Errors
/// When the known size can't be that of what is marked in the photo.
pub fn straighten(photograph: &Photograph, photo: &Photo, repeat_mm: [Option<f64>; 2]) -> Told<Print> {
    let sight = Sight::of(photograph.size_px, photo)?;
    let mm_from_px = sight.px_from_mm.try_inverse().ok_or_else(flat)?;
    let (low, high) = extent(&mm_from_px, &sight, photo).ok_or_else(flat)?;
    let whole = (low, high - low);
    let mut remarks = Vec::new();
    let [along_mm, across_mm] = repeat_mm;
    let repeats = repeat_mm != [None; 2];
    let cell = repeats.then(|| {
        let run = (high - low) * RUN_SHARE;
        let size = Vector::new(along_mm.unwrap_or(run.x), across_mm.unwrap_or(run.y));
        (low.lerp(high, 0.5) - size / 2.0, size)
    });
    let cell = cell.filter(|(low, size)| sight.shows(*low, *size));
    if repeats && cell.is_none() {
        let remark = Remark::doubt("the photo shows less than one repeat of the print, so it is not carried on");
        remarks.push(remark.field("cloth.photo").remedy("take a photo of a larger part of the cloth"));
    }
    let ((low_mm, size_mm), repeats) = cell.map_or((whole, false), |cell| (cell, true));
    told(sight.print(photograph, low_mm, size_mm, repeats), remarks)
}

/// Where a place of a photo lies on the open cloth.
///
/// # Errors
/// When it is not in the photo, or the known size can't be that of what is marked there.
pub fn place_on_cloth(size_px: [u32; 2], photo: &Photo, [x, y]: [f64; 2]) -> Result<Point<Open>, Refusal> {
    let sight = Sight::of(size_px, photo)?;
    let mm_from_px = sight.px_from_mm.try_inverse().ok_or_else(flat)?;
    let at = mm_from_px * Vector3::new(x, y, 1.0);
    let at = Point::new(at.x / at.z, at.y / at.z);
    if sight.px(at).is_none() {
        let [width, height] = size_px;
        let remark = Remark::refusal(format!("{x}, {y} is not in the photo, which is {width} by {height} pixels"));
        return Err(Refusal::because(remark.remedy("read both numbers off the photo, in pixels from its top left")));
    }
    Ok(at)
}

/// Refuses marks that do not lie in the photo, and ends too near to each other to measure by.
fn seen(size_px: [f64; 2], photo: &Photo) -> Result<(), Refusal> {
    let (marks, field): (&[[f64; 2]], _) = match &photo.known {
        Known::Corners { at_px, .. } => (at_px, "photo.corners"),
        Known::Length { at_px, .. } => (at_px, "photo.ends"),
    };
    let [width, height] = size_px;
    let refuse = |says: String| {
        let remark = Remark::refusal(says).field(field);
        Err(Refusal::because(
            remark.remedy("read both numbers of each place off the photo, in pixels from its top left"),
        ))
    };
    if let Some([x, y]) = marks.iter().find(|[x, y]| !(0.0..=width).contains(x) || !(0.0..=height).contains(y)) {
        return refuse(format!("{x}, {y} is not in the photo, which is {width} by {height} pixels"));
    }
    if let Known::Length { at_px: [a, b], .. } = &photo.known
        && (b[0] - a[0]).hypot(b[1] - a[1]) < LEAST_SHARE * width.hypot(height)
    {
        return refuse("both ends lie so near to each other that nothing can be measured by them".to_owned());
    }
    Ok(())
}

fn flat() -> Refusal {
    let remark = Remark::refusal("the photo can't be made flat by these corners").field("photo.corners");
    Refusal::because(remark.remedy("mark the four corners of the rectangle, one after the other"))
}

impl Sight {
    fn of(size_px: [u32; 2], photo: &Photo) -> Result<Self, Refusal> {
        let size_px = size_px.map(f64::from);
        seen(size_px, photo)?;
        let [x_mm, y_mm] = photo.at_mm;
        let px_from_mm = match photo.known {
            Known::Corners { at_px, size_mm: [along, across] } => {
                // From the rectangle's own corner, so that the depth of what it shows is positive.
                let at_mm = [[0.0, 0.0], [along, 0.0], [along, across], [0.0, across]];
                let from_corner = homography(at_mm, at_px).ok_or_else(flat)?;
                from_corner * Matrix3::new(1.0, 0.0, -x_mm, 0.0, 1.0, -y_mm, 0.0, 0.0, 1.0)
            }
            Known::Length { at_px: [a, b], mm } => {
                let per_mm = (b[0] - a[0]).hypot(b[1] - a[1]) / mm;
                let height = size_px[1];
                Matrix3::new(per_mm, 0.0, -x_mm * per_mm, 0.0, -per_mm, height + y_mm * per_mm, 0.0, 0.0, 1.0)
            }
        };
        // The cloth is turned about the place from which it is measured.
        let (sin, cos) = photo.slant_deg.to_radians().sin_cos();
        let about = |x: f64, y: f64| Matrix3::new(1.0, 0.0, x, 0.0, 1.0, y, 0.0, 0.0, 1.0);
        let turn = Matrix3::new(cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0);
        let px_from_mm = px_from_mm * about(x_mm, y_mm) * turn * about(-x_mm, -y_mm);
        Ok(Self { px_from_mm, size_px })
    }

    /// Where a place of the cloth is in the photo; none when it is not in it.
    fn px(&self, at: Point<Open>) -> Option<[f64; 2]> {
        let seen = self.px_from_mm * Vector3::new(at.x, at.y, 1.0);
        let px = [seen.x / seen.z, seen.y / seen.z];
        let within = (0..2).all(|i| (0.0..=self.size_px[i]).contains(&px[i]));
        (seen.z > 0.0 && within).then_some(px)
    }

    /// Whether all of a rectangle is in the photo: it is, when its corners are.
    fn shows(&self, low: Point<Open>, size: Vector<Open>) -> bool {
        let corners = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        corners.iter().all(|[x, y]| self.px(low + Vector::new(size.x * x, size.y * y)).is_some())
    }

    /// The flat picture of a rectangle of the cloth.
    fn print(&self, photograph: &Photograph, low_mm: Point<Open>, size_mm: Vector<Open>, repeats: bool) -> Print {
        let middle = low_mm + size_mm / 2.0;
        let step = |by: Vector<Open>| match (self.px(middle), self.px(middle + by)) {
            (Some(a), Some(b)) => (b[0] - a[0]).hypot(b[1] - a[1]),
            _ => 1.0,
        };
        let photo_per_mm = step(Vector::new(1.0, 0.0)).max(step(Vector::new(0.0, 1.0)));
        let per_mm = photo_per_mm.min(MOST_PX / size_mm.x.max(size_mm.y));
        let samples = ((photo_per_mm / per_mm).ceil() as usize).clamp(1, MOST_SAMPLES);
        let size_px = [size_mm.x, size_mm.y].map(|mm| ((mm * per_mm).round() as usize).max(1));
        let mut rgba = Vec::with_capacity(4 * size_px[0] * size_px[1]);
        for row in 0..size_px[1] {
            for column in 0..size_px[0] {
                let share = |i: usize, k: usize, of: usize| (i as f64 + (k as f64 + 0.5) / samples as f64) / of as f64;
                let places = (0..samples * samples).map(|k| {
                    let x = share(column, k % samples, size_px[0]) * size_mm.x;
                    let y = (1.0 - share(row, k / samples, size_px[1])) * size_mm.y;
                    self.px(low_mm + Vector::new(x, y)).map(|px| photograph.at(px))
                });
                rgba.extend(mixed(places));
            }
        }
        Print { low_mm, size_mm, size_px, rgba, repeats }
    }
}

impl Photograph {
    /// The colour at a place, between pixels mixed from the four about it.
    fn at(&self, px: [f64; 2]) -> [f64; 3] {
        let [width, height] = self.size_px.map(|side| side as usize);
        let (x, y) = (px[0] - 0.5, px[1] - 0.5);
        let (left, top) = (x.floor(), y.floor());
        let pixel = |column: f64, row: f64| {
            let column = (column.max(0.0) as usize).min(width.saturating_sub(1));
            let row = (row.max(0.0) as usize).min(height.saturating_sub(1));
            self.rgb.get(row * width + column).copied().unwrap_or_default().map(f64::from)
        };
        let (u, v) = (x - left, y - top);
        let mix = |a: [f64; 3], b: [f64; 3], share: f64| [0, 1, 2].map(|i| a[i] + (b[i] - a[i]) * share);
        let upper = mix(pixel(left, top), pixel(left + 1.0, top), u);
        let lower = mix(pixel(left, top + 1.0), pixel(left + 1.0, top + 1.0), u);
        mix(upper, lower, v)
    }
}

/// The mean of what is seen; nothing where any part is not.
fn mixed(samples: impl Iterator<Item = Option<[f64; 3]>>) -> [u8; 4] {
    let (mut sum, mut count) = ([0.0; 3], 0.0);
    for sample in samples {
        let Some(colour) = sample else { return [0; 4] };
        (0..3).for_each(|i| sum[i] += colour[i]);
        count += 1.0;
    }
    let [red, green, blue] = sum.map(|channel| (channel / count).round() as u8);
    [red, green, blue, 255]
}

/// The rectangle of the cloth that a photo shows, as far as it is believed.
fn extent(mm_from_px: &Matrix3<f64>, sight: &Sight, photo: &Photo) -> Option<(Point<Open>, Point<Open>)> {
    let [x_mm, y_mm] = photo.at_mm;
    let [width, height] = sight.size_px;
    let (mut low, mut high) = match photo.known {
        Known::Length { .. } => ([f64::MIN; 2], [f64::MAX; 2]),
        Known::Corners { size_mm: [along, across], .. } => {
            let (middle, most) = ([x_mm + along / 2.0, y_mm + across / 2.0], BELIEVED * along.max(across));
            (middle.map(|mm| mm - most), middle.map(|mm| mm + most))
        }
    };
    let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]].map(|[x, y]| {
        let at = mm_from_px * Vector3::new(x, y, 1.0);
        [at.x / at.z, at.y / at.z]
    });
    // Beyond the horizon a corner is no place on the cloth; what is believed bounds it there.
    let horizon = corners.iter().any(|[x, y]| (sight.px_from_mm * Vector3::new(*x, *y, 1.0)).z <= 0.0);
    for i in (0..2).filter(|_| !horizon) {
        low[i] = corners.iter().map(|corner| corner[i]).fold(f64::MAX, f64::min).max(low[i]);
        high[i] = corners.iter().map(|corner| corner[i]).fold(f64::MIN, f64::max).min(high[i]);
    }
    let sound = (0..2).all(|i| low[i].is_finite() && high[i].is_finite() && high[i] - low[i] > 1.0);
    sound.then(|| (Point::new(low[0], low[1]), Point::new(high[0], high[1])))
}

/// The homography that takes four points to four others; none when three of them lie in line.
fn homography(from: [[f64; 2]; 4], to: [[f64; 2]; 4]) -> Option<Matrix3<f64>> {
    let mut equations = SMatrix::<f64, 8, 8>::zeros();
    let mut right = SVector::<f64, 8>::zeros();
    for (i, ([x, y], [u, v])) in from.into_iter().zip(to).enumerate() {
        for (k, (row, value)) in
            [([x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y], u), ([0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y], v)]
                .into_iter()
                .enumerate()
        {
            (0..8).for_each(|column| equations[(2 * i + k, column)] = row[column]);
            right[2 * i + k] = value;
        }
    }
    let h = equations.full_piv_lu().solve(&right)?;
    Some(Matrix3::new(h[0], h[1], h[2], h[3], h[4], h[5], h[6], h[7], 1.0))
}

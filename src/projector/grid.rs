//! The test grid thrown on a screen, to be measured: the same crosses and names as in the picture of it.

use super::{Key, KeyName, Reaction, Show};
use crate::calibrate::Grid;
use crate::calibrate::picture::{disc_radii_px, is_ring};
use crate::geometry::{Pixel, Point, Table as TableFrame, Vector};
use crate::scene::{Letters, Light, Marks, Pose, Scene, Stroke};
use crate::table::MarkName;

/// A cross's line, its arm as a share of the picture's height, and the names' height as a share of it.
const LINE_PX: f64 = 3.0;
const ARM_SHARE: f64 = 12.0 / 540.0;
const NAME_SHARE: f64 = 14.0 / 540.0;

/// Corners of a ring's middle line.
const RING_CORNERS: usize = 48;

/// The light of the grid.
const LIGHT: Light = [255; 3];

/// A grid that is shown until she leaves.
#[derive(Debug)]
pub struct ThrownGrid {
    scene: Scene,
}

impl ThrownGrid {
    /// The grid of dots for photos.
    pub fn discs(grid: &Grid, size_px: [u32; 2]) -> Self {
        let [radius, hole] = disc_radii_px(size_px);
        let disc = |(mark, at): (&MarkName, &Point<Pixel>)| {
            let middle = Point::<TableFrame>::new(at.x, f64::from(size_px[1]) - at.y);
            if !is_ring(*mark) {
                return Stroke { points: vec![middle], closed: false, width_mm: 2.0 * radius, light: LIGHT };
            }
            let corner = |i: usize| {
                let (sin, cos) = (std::f64::consts::TAU * i as f64 / RING_CORNERS as f64).sin_cos();
                middle + Vector::new(cos, sin) * f64::midpoint(radius, hole)
            };
            let points = (0..RING_CORNERS).map(corner).collect();
            Stroke { points, closed: true, width_mm: radius - hole, light: LIGHT }
        };
        let on_table = Marks { strokes: grid.marks.iter().map(disc).collect(), ..Marks::default() };
        Self { scene: Scene { ground: [0; 3], on_cloth: Marks::default(), on_table } }
    }

    /// The grid on a screen of this size. It is thrown through [`crate::table::Table::of_pixels`].
    pub fn new(grid: &Grid, size_px: [u32; 2]) -> Self {
        let height = f64::from(size_px[1]);
        let place = |at: Point<Pixel>| Point::<TableFrame>::new(at.x, height - at.y);
        let mut on_table = Marks::default();
        for (mark, at) in &grid.marks {
            let (at, arm) = (place(*at), height * ARM_SHARE);
            for reach in [Vector::new(arm, 0.0), Vector::new(0.0, arm)] {
                let points = vec![at - reach, at + reach];
                on_table.strokes.push(Stroke { points, closed: false, width_mm: LINE_PX, light: LIGHT });
            }
            // Names stand towards the middle, where there is always room.
            let text = mark.to_string();
            let cap_mm = height * NAME_SHARE;
            let left = at.x > f64::from(size_px[0]) / 2.0;
            let across = if left { -cap_mm * (0.85 * text.len() as f64 + 0.4) } else { 0.5 * cap_mm };
            let up = if at.y > height / 2.0 { -1.5 * cap_mm } else { 0.5 * cap_mm };
            let at = at + Vector::new(across, up);
            on_table.letters.push(Letters { text, at, along: Vector::new(1.0, 0.0), cap_mm, light: LIGHT });
        }
        Self { scene: Scene { ground: [0; 3], on_cloth: Marks::default(), on_table } }
    }
}

impl Show for ThrownGrid {
    fn scene(&mut self) -> Scene {
        self.scene.clone()
    }

    fn stack_mm(&self) -> f64 {
        0.0
    }

    fn pose(&mut self) -> Pose {
        Pose { at_mm: Point::origin(), turn_rad: 0.0 }
    }

    fn key(&mut self, key: Key) -> Reaction {
        if key.name == KeyName::Escape { Reaction::Leave } else { Reaction::None }
    }
}

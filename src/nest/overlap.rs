//! How much two outlines overlap, near enough to climb down by.
//!
//! After Gardeyn, Vanden Berghe and Wauters, *An open-source heuristic to reboot 2D nesting research*
//! (arXiv:2509.13329): every outline carries a few circles inside of it, and every pair of circles counts by how deep
//! they lie in one another. Below a hundredth of the outline's size the depth fades and never becomes nought, so that
//! there is always a way out.

use jagua_rs::geometry::primitives::{Circle, SPolygon};

/// Depths below this share of the larger outline fade.
const FADES_SHARE: f32 = 0.01;

/// So many circles are reckoned at once, as wide as a processor's vectors are.
const LANES: usize = 8;

/// The circles within an outline whose origin lies at nought.
#[derive(Clone, Debug)]
pub struct Circles {
    blocks: Vec<Block>,
    count: usize,
    diameter: f32,
    /// The fourth root of its hull's area.
    size: f32,
}

/// Circles side by side; those that fill the last block up have no radius, and count nothing.
#[derive(Clone, Debug, Default)]
struct Block {
    x: [f32; LANES],
    y: [f32; LANES],
    radius: [f32; LANES],
}

impl Circles {
    /// The circles of an outline as the engine knows it.
    pub fn of(polygon: &SPolygon) -> Self {
        let known = polygon.surrogate();
        let block = |poles: &[Circle]| {
            let mut block = Block::default();
            for (lane, pole) in poles.iter().enumerate() {
                (block.x[lane], block.y[lane], block.radius[lane]) = (pole.center.0, pole.center.1, pole.radius);
            }
            block
        };
        Self {
            blocks: known.poles.chunks(LANES).map(block).collect(),
            count: known.poles.len(),
            diameter: polygon.diameter(),
            size: known.convex_hull_area.sqrt().sqrt(),
        }
    }

    /// The overlap with another outline that collides, from which it lies so far along and across; more than nought.
    pub fn overlap(&self, other: &Self, apart: [f32; 2]) -> f64 {
        let fades = FADES_SHARE * self.diameter.max(other.diameter);
        let mut sums = [0.0_f32; LANES];
        for i in 0..self.count {
            let (own, lane) = (&self.blocks[i / LANES], i % LANES);
            let (x, y, radius) = (own.x[lane] + apart[0], own.y[lane] + apart[1], own.radius[lane]);
            for block in &other.blocks {
                for (lane, sum) in sums.iter_mut().enumerate() {
                    let (dx, dy, other) = (x - block.x[lane], y - block.y[lane], block.radius[lane]);
                    let depth = radius + other - (dx * dx + dy * dy).sqrt();
                    let faded = fades * fades / (2.0 * fades - depth);
                    let smaller = if radius < other { radius } else { other };
                    *sum += smaller * if depth >= fades { depth } else { faded };
                }
            }
        }
        f64::from((sums.iter().sum::<f32>() + fades * fades).sqrt() * self.size * other.size)
    }
}

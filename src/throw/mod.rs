//! Scene and table to pixels: every mark is sampled once, at the projector's own pixels.
//!
//! ```text
//! scene, table --flatten--> short straight segments (f64 mm) --mesh--> GPU buffers (f32 mm), once a scene
//! pose, table  --warp----->  one small uniform, once a nudge --throw.wgsl--> pixels --> window or PNG
//! ```
//! Why each part is done where it is:
//! - [`flatten`] runs on the CPU because only there is f64: it cuts what the lens would bow and merges corners that no
//!   pixel could tell apart. It depends on the table and not on the pose, so a nudge never comes back to it.
//! - [`stroke`] hands the GPU a line in pieces: straight bodies, runs of mild turns, ends and corners. A piece's edges are
//!   thrown in the vertex shader and its share of each pixel is taken in closed form in the fragment shader. A general stroke tessellator
//!   would give triangles whose vertices no longer know how far they lie from the line, which is what exact
//!   coverage needs at ends and corners.
//! - [`fill`] is where lyon works: turning rings with holes into triangles by the even-odd rule. Each triangle's
//!   exact share of each pixel is added up, so shared edges leave no seam.
//! - [`letters`] turns text into rings of glyph outlines, and is then a fill.
//! - [`warp`] folds pose, stack height and homography into one matrix in f64 and rounds it once.
//!
//! The perspective divide is made for each corner in the vertex shader and not by the rasteriser: the lens acts on
//! divided pixels, and what lies between two corners is straight in both frames.
//!
//! Light is mixed in linear light on an sRGB target. Lines brighter than the ground are blended by the larger value and
//! darker ones by the smaller, so crossings and lines drawn twice keep their width; areas add their shares.
//! Promised: shares of lines and of light areas within 0.015 of a pixel. Not promised: dark areas on a lit ground are taken
//! off it triangle by triangle and rounded to a byte each time, so that a pixel of a dark letter may be off by 0.03; areas
//! of one colour that overlap one another add up to no more than full light, but half-bright ones get brighter where they
//! overlap.

mod blend;
mod canvas;
mod fill;
mod flatten;
mod gpu;
mod letters;
mod mesh;
mod picture;
mod pipeline;
mod stroke;
mod thrower;
mod warp;

pub use canvas::{Canvas, Shown};
pub use gpu::{Choice, Gpu};
pub use picture::{FORMAT, picture};
pub use thrower::{Projection, Thrower};

/// How the cloth lies, besides its pose: what does not change while it is nudged.
#[derive(Clone, Copy, Debug)]
pub struct Bed<'a> {
    /// The calibrated table.
    pub table: &'a crate::table::Table,
    /// Height of the cloth's upper side above the table; 0 for a single layer.
    pub stack_mm: f64,
}

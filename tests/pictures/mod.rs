//! Where the light lands, in pixels.

mod look;
mod tables;

//! Where the light lands, in pixels.

mod tables;
mod look;

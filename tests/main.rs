//! All integration tests in one binary: one link of the graphics library.

mod pictures;
mod shaders;

//! The project's tests as one program, so that the renderer is linked once.

mod layers;
mod tables;

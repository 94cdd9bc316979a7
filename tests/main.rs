//! The project's tests as one program, so that the renderer is linked once.

mod bodies;
mod check;
mod layers;
mod orders;
mod tables;
mod workings;

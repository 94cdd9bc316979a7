//! Every test of the whole, in one binary: one link of the renderer instead of many.

mod bodies;
mod bench;
mod check;
mod layers;
mod pictures;
mod shaders;
mod tables;
mod workings;

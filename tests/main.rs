//! Every test of the whole, in one binary: one link of the renderer instead of many.

mod bodies;
mod check;
mod layers;
mod orders;
mod pictures;
mod shaders;
mod sheets;
mod tables;
mod workings;

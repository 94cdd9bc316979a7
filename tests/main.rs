//! Every test of the whole, in one binary: one link of the renderer instead of many.

mod bodies;
mod check;
mod commands;
mod layers;
mod orders;
mod pictures;
mod shaders;
mod tables;
mod workings;

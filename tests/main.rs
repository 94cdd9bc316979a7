//! Every test of the whole, in one binary: one link of the renderer instead of many.

mod bench;
mod bodies;
mod check;
mod commands;
mod layers;
mod lays;
mod lights;
mod metamorphic;
mod motifs;
mod newcomer;
mod oracle;
mod orders;
mod pictures;
mod pieces;
mod sessions;
mod shaders;
mod sheets;
mod tables;
mod workings;

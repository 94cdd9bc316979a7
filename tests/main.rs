//! Every test of the whole, in one binary: one link of the renderer instead of many.

mod bench;
mod bodies;
mod buying;
mod check;
mod clients;
mod commands;
mod kept;
mod layers;
mod lays;
mod lights;
mod measures;
mod metamorphic;
mod motifs;
mod newcomer;
mod oracle;
mod orders;
mod pictures;
mod pieces;
mod prints;
mod sessions;
mod sewing;
mod shaders;
mod sheets;
mod tables;
mod wardrobe;
mod workings;

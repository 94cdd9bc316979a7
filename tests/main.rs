<<<<<<< HEAD
//! The project's tests as one program, so that the renderer is linked once.
=======
//! Every test of the whole, in one binary: one link of the renderer instead of many.
>>>>>>> main

mod pictures;
mod shaders;
mod tables;

//! The nesting of one open instance of irregular strip packing, as one line of JSON that anyone can check.
//!
//! `cargo bench --bench nesting -- FILE.json SECONDS [SEED]`. The instances are those of
//! <https://github.com/JeroenGar/sparrow> (`data/input`). Time is processor time, twice the seconds: what two free cores
//! spend in them, so that a busy machine does not blur it.

mod strip;

use chalklight::{geometry, nest};

fn main() {
    // Cargo adds --bench to what is written after the dashes.
    strip::main_with(std::env::args().skip(1).filter(|word| word != "--bench").collect());
}

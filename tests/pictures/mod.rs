//! Where the light lands, in pixels.

mod above;
mod golden;
mod lines;
mod oracle;
mod others;
mod outlines;
mod reading;
mod session;
mod shapes;
mod stages;
mod tables;

use chalklight::remark::Refusal;
use chalklight::scene::{Marks, Pose, Scene};
use chalklight::table::Table;
use chalklight::throw::{Bed, Choice, FORMAT, Gpu, Thrower};
use image::RgbaImage;
use std::sync::{Mutex, OnceLock};

/// One thrower for all tests, on the software driver, so that every machine measures the same pixels. Tests take turns:
/// the driver draws on all cores anyway.
fn thrower() -> &'static Mutex<Thrower> {
    static THROWER: OnceLock<Mutex<Thrower>> = OnceLock::new();
    THROWER.get_or_init(|| {
        let gpu = Gpu::headless(Choice::Software).unwrap_or_else(|refusal| panic!("{refusal}"));
        Mutex::new(Thrower::new(gpu, FORMAT))
    })
}

/// The picture of a scene with the cloth at `pose`.
fn thrown(scene: &Scene, pose: &Pose, table: &Table) -> Result<RgbaImage, Refusal> {
    let thrower = thrower().lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    let projection = thrower.load(scene, Bed { table, stack_mm: 0.0 })?;
    thrower.picture(&projection, pose)
}

/// The cloth square to the table, its origin on the table's.
fn square() -> Pose {
    Pose { at_mm: chalklight::geometry::Point::origin(), turn_rad: 0.0 }
}

/// Marks on a dark table.
fn on_cloth(marks: Marks<chalklight::geometry::Cloth>) -> Scene {
    Scene { ground: [0; 3], on_cloth: marks, on_table: Marks::default() }
}

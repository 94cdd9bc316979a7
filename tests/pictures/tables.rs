//! Tables to draw on: a projector hung over a bench and tilted, built here from a pinhole camera and not by the
//! program's own solver.

use chalklight::geometry::{Pixel, Point};
use chalklight::table::{Lens, Table};

/// How the projector hangs.
#[derive(Clone, Copy, Debug)]
pub struct Hang {
    /// Picture size.
    pub picture_px: [u32; 2],
    /// Angle between the lens's axis and the plumb line, about the table's x axis then about its y axis.
    pub tilt_deg: [f64; 2],
    /// Turn of the picture about the axis.
    pub roll_deg: f64,
    /// Lens terms.
    pub k1: f64,
    /// Lens terms.
    pub k2: f64,
    /// Pixels a mm at the middle of the picture when there is no tilt.
    pub px_per_mm: f64,
}

impl Hang {
    /// Full HD, 1.6 px a mm, straight down, no lens terms.
    pub const PLAIN: Self =
        Self { picture_px: [1920, 1080], tilt_deg: [0.0; 2], roll_deg: 0.0, k1: 0.0, k2: 0.0, px_per_mm: 1.6 };

    /// The table: its point (600, 337.5) mm lies under the picture's middle; the lens hangs 1,600 mm over it.
    pub fn table(self) -> Table {
        let [w, h] = self.picture_px.map(f64::from);
        let (height, focal) = (1600.0, 1600.0 * self.px_per_mm);
        let rotation = product(
            turn_z(self.roll_deg.to_radians()),
            product(turn_x(self.tilt_deg[0].to_radians()), turn_y(self.tilt_deg[1].to_radians())),
        );
        // Camera looks down: its x is the table's x, its y (down in the picture) the table's -y, its z down.
        // The lens hangs where the axis still meets the table under the middle.
        let look = rotation[2];
        let axis = [look[0], -look[1], -look[2]];
        let lens = [600.0 - axis[0] / -axis[2] * height, 337.5 - axis[1] / -axis[2] * height, height];
        let columns = |p: [f64; 3]| {
            let d = [p[0], -p[1], -p[2]];
            let c = [0, 1, 2].map(|i| rotation[i][0] * d[0] + rotation[i][1] * d[1] + rotation[i][2] * d[2]);
            [focal * c[0] + w / 2.0 * c[2], focal * c[1] + h / 2.0 * c[2], c[2]]
        };
        let (x, y) = (columns([1.0, 0.0, 0.0]), columns([0.0, 1.0, 0.0]));
        let at = columns([-lens[0], -lens[1], -lens[2]]);
        let homography = [0, 1, 2].map(|i| [x[i] / at[2], y[i] / at[2], at[i] / at[2]]);
        let lens = Lens { centre_px: Point::<Pixel>::new(w / 2.0, h / 2.0), k1: self.k1, k2: self.k2 };
        Table { picture_px: self.picture_px, homography, lens, stand: None }
    }
}

type Rotation = [[f64; 3]; 3];

fn turn_x(a: f64) -> Rotation {
    let (s, c) = a.sin_cos();
    [[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]]
}

fn turn_y(a: f64) -> Rotation {
    let (s, c) = a.sin_cos();
    [[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]]
}

fn turn_z(a: f64) -> Rotation {
    let (s, c) = a.sin_cos();
    [[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]
}

fn product(a: Rotation, b: Rotation) -> Rotation {
    [0, 1, 2].map(|i| [0, 1, 2].map(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
}

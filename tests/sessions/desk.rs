//! What the tests of sessions have in common: a dress, a table, a session on it, and seeded chance.

use chalklight::calibrate::{calibrate, readings_file};
use chalklight::draft::draft;
use chalklight::finish::finish;
use chalklight::geometry::{Map, Pixel, Point, Table as TableFrame};
use chalklight::lay::{Lay, Wanted, cloth_of, lay};
use chalklight::order::read;
use chalklight::remark::Remark;
use chalklight::scene::{Room, Side, View, Way};
use chalklight::session::{Event, Ground, Session, Work};
use chalklight::table::{KeptTable, Lens, Table, TrustedTable};
use chalklight::units::System;

/// The lit area of the tests' table.
pub const LIT_MM: [f64; 2] = [1200.0, 675.0];

/// A long dress: longer than the light.
pub const LONG: &str = "[body]
bust = \"94 cm\"
waist = \"78 cm\"
hip = \"102 cm\"
hip_depth = \"20 cm\"
shoulder = \"39 cm\"
waist_depth = \"40 cm\"
head = \"56 cm\"
[garment]
kind = \"a-line-dress\"
length = \"130 cm\"
[rules]
bust_ease = \"1 cm\"
waist_ease = \"4.5 cm\"
front_neck_depth = \"13 cm\"
[lay]
fold = \"lengths\"
[cloth]
width = \"114 cm\"
length = \"4 m\"
layer = \"0.35 mm\"
";

/// A table file of 1.6 pixels a millimetre, its origin at the near left corner of the light.
pub const TABLE: &str = "[projector]
width = 1920
height = 1080
[table]
homography = [1.6, 0.0, 0.0, 0.0, -1.6, 1080.0, 0.0, 0.0, 1.0]
";

/// The lay of an order.
pub fn laid(order: &str) -> Lay {
    let order = read(order).unwrap().value;
    let pieces = finish(&draft(&order).unwrap().value).unwrap().value;
    let cloth = cloth_of(order.cloth.as_ref()).unwrap();
    let least = lay(&Wanted::of(&pieces, cloth, order.system).asking(&order.lay)).unwrap().value;
    least.as_asked(&order.lay).unwrap().value
}

/// The lay of the long dress made so long.
pub fn long_of(length: &str) -> Lay {
    laid(&LONG.replace("130 cm", length))
}

/// A table that lights so much, without a fit.
pub fn table(lit_mm: [f64; 2]) -> KeptTable {
    let picture_px = lit_mm.map(|mm| (mm * 1.6).round() as u32);
    let table = Table {
        picture_px,
        homography: [[1.6, 0.0, 0.0], [0.0, -1.6, f64::from(picture_px[1])], [0.0, 0.0, 1.0]],
        lens: Lens { centre_px: Point::<Pixel>::new(0.0, 0.0), k1: 0.0, k2: 0.0 },
        stand: None,
    };
    KeptTable { table, screen: None, fit: None, record: None }
}

/// The view of a table from a side.
pub fn view(lit_mm: [f64; 2], side: Side) -> View {
    let room = Room::in_lit_area(table(lit_mm).table.lit_corners_mm().unwrap());
    let system = laid(LONG).system;
    View { band: side, reads: side, ..View::of(room, system, Way::LightOnDark) }
}

/// A session of the long dress, with 3 cm of room for its pieces, on a table that is trusted, or not.
pub fn session(trusted: bool) -> Session {
    let view = view(LIT_MM, Side::Front);
    let work = Work::of(&laid(&LONG.replace("[lay]", "[lay]\nroom = \"3 cm\"")), &view).unwrap();
    let kept = table(LIT_MM);
    let ground = if trusted {
        Ground::Trusted(TrustedTable::by_her_yes(kept))
    } else {
        Ground::Doubted(kept, Remark::refusal("it was never measured"))
    };
    Session::begin(ground, work, view)
}

/// The same light, measured: fifteen places as a mat shows them, exactly.
pub fn measured_table() -> KeptTable {
    let mut text =
        String::from("[projector]\nwidth = 1920\nheight = 1080\n[grid]\ncolumns = 5\nrows = 3\nmargin = 0.06\n");
    text += "[tape]\nsigma = \"0.5 mm\"\n";
    for (i, row) in ["A", "B", "C"].into_iter().enumerate() {
        for column in 0..5 {
            let (x, y) = (72.0 + 264.0 * f64::from(column), 634.5 - 297.0 * i as f64);
            text += &format!("[[reading]]\nmark = \"{row}{}\"\nat = [\"{x} mm\", \"{y} mm\"]\n", column + 1);
        }
    }
    calibrate(&readings_file::read(&text).unwrap().value).unwrap().value
}

/// A session of the long dress on the measured table, trusted or not.
pub fn measured_session(trusted: bool) -> Session {
    measured_session_in(System::Metric, trusted)
}

/// The same for an order in inches or centimetres.
pub fn measured_session_in(system: System, trusted: bool) -> Session {
    let kept = measured_table();
    let room = Room::in_lit_area(kept.table.lit_corners_mm().unwrap());
    let view = View { room, system, ..view(LIT_MM, Side::Front) };
    let work = Work::of(&laid(LONG), &view).unwrap();
    let ground = if trusted {
        Ground::Trusted(TrustedTable::by_her_yes(kept))
    } else {
        Ground::Doubted(kept, Remark::refusal("it was never measured"))
    };
    Session::begin(ground, work, view)
}

/// What a tape says between the marks that prove the measured table: two sides and the diagonal, by Pythagoras.
pub const PROVING_MM: [f64; 3] = [1056.0, 594.0, 1211.605];

/// Measures three distances: everything that is typed, and enter after each.
pub fn measures(read_mm: [f64; 3]) -> Vec<Event> {
    let mut events = vec![Event::Measure];
    for mm in read_mm {
        events.extend(format!("{mm:.1}").chars().map(Event::Type));
        events.push(Event::Confirm);
    }
    events
}

/// Answers events one after the other.
pub fn answer(session: &mut Session, events: &[Event]) {
    for event in events {
        session.answer(*event);
    }
}

/// Steps the cross that is being met as near to a place as its half-millimetre steps allow.
pub fn step_to(session: &mut Session, cross: impl Fn(&Session) -> Point<TableFrame>, to: Point<TableFrame>) {
    for long in [true, false] {
        let step_mm = if long { 10.0 } else { 0.5 };
        let by = (to - cross(session)) / step_mm;
        let (right, away) = (by.x.round() as i32, by.y.round() as i32);
        session.answer(Event::Nudge { right, away, long });
    }
}

/// A rigid move of the table.
pub fn rigid(turn_deg: f64, x: f64, y: f64) -> Map<TableFrame, TableFrame> {
    Map::rotation(euclid::Angle::degrees(turn_deg)).then_translate(euclid::Vector2D::new(x, y))
}

/// Chance from a seed: xorshift64* (Vigna, ACM TOMS 42, 2016), from memory.
pub struct Chance(u64);

impl Chance {
    pub fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % n
    }

    /// Between 0 and 1.
    pub fn share(&mut self) -> f64 {
        (self.below(1 << 30) as f64 + 0.5) / f64::from(1 << 30)
    }

    /// A standard normal number (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        let (u, v) = (self.share(), self.share());
        (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

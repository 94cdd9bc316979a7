//! The bust: how much longer the front is than the back, and the dart that takes it up at the side.
//!
//! What is measured over the bust is the front's: the back is shorter by the dart's width. The front's side seam is the
//! back's, with the dart let in at the level of the bust point: above the dart it is the same line, below it the same line
//! farther down. So the dart is as wide as the front is longer, and closed, the seams walk.
//!
//! ```text
//!             U        underarm
//!             |
//!   A - - - - P.       upper leg; A the dart's point, short of the bust point
//!    ' - _      T      cap, so that the dart folded down ends with the turning
//!          ' - L'      lower leg
//!             |        the side goes on
//! ```

use super::rules::{BUST_PARTS, BUST_POINT_BELOW, DART_BELOW, DART_SHORT, DART_WIDTH};
use super::{Levels, Sheet, fitting};
use crate::draft::{at, fault};
use crate::geometry::{Curve, Draft as Frame, Map, Point, Vector, mirror};
use crate::order::{Dart, Measure};
use crate::remark::Remark;

/// A narrower dart can't be sewn.
const LEAST_WIDTH_MM: f64 = 6.0;

/// A shorter dart shapes nothing.
const LEAST_LEG_MM: f64 = 40.0;

/// As far the point of a dart may be moved: 1 to 1 1/2 in from where it was (Erwin, *Practical Dress Design*, 1954).
const ASTRAY_MM: f64 = 38.1;

/// How the front goes over the bust.
pub struct Bust {
    /// By how much the back is shorter than what is measured in front.
    pub back_lift_mm: f64,
    /// By how much the front is longer than that.
    pub front_drop_mm: f64,
    /// The dart.
    pub dart: Option<SideDart>,
}

/// A dart out of the side seam.
pub struct SideDart {
    /// Its width at the seam.
    pub width_mm: f64,
    /// The level of its middle.
    pub level_mm: f64,
    /// How far it lies below the bust point.
    astray_mm: f64,
    /// Where it runs out, from the centre.
    pub point_x_mm: f64,
}

/// Works out the bust with what the fitting found.
pub fn bust(s: &mut Sheet<'_>, levels: &Levels) -> Bust {
    if s.style().dart == Dart::None {
        return Bust { back_lift_mm: 0.0, front_drop_mm: fitting::front_length(s), dart: None };
    }
    let width_mm = match s.order.body.get(Measure::BackDepth) {
        Some(back_mm) => {
            let front_mm = s.body_mm(Measure::WaistDepth);
            let words = format!("waist depth {} - back depth {}", s.show(front_mm), s.show(back_mm));
            s.step("bust dart", words, front_mm - back_mm)
        }
        None => s.set("bust dart", "set; the back is as much shorter than the front", &DART_WIDTH),
    };
    let fitted_mm = fitting::bust_dart(s, width_mm);
    let (bust_y_mm, bust_x_mm) = bust_point(s, levels.underarm.y);
    let highest_mm = levels.underarm.y + s.rule(&DART_BELOW) + fitted_mm / 2.0;
    let words = "level with the bust point, and clear of the underarm".to_owned();
    let level_mm = s.step("dart's middle", words, bust_y_mm.max(highest_mm));
    let short_mm = s.rule(&DART_SHORT);
    let words = format!("{} to the bust point + {} short of it", s.show(bust_x_mm), s.show(short_mm));
    let point_x_mm = s.step("dart's point", words, bust_x_mm + short_mm);
    let dart = SideDart { width_mm: fitted_mm, level_mm, astray_mm: level_mm - bust_y_mm, point_x_mm };
    Bust { back_lift_mm: width_mm, front_drop_mm: fitted_mm - width_mm, dart: Some(dart) }
}

/// The bust point: down from the start line, and out from the centre.
fn bust_point(s: &mut Sheet<'_>, chest_y_mm: f64) -> (f64, f64) {
    let y_mm = match s.order.body.get(Measure::BustDepth) {
        Some(depth_mm) => s.step("bust point", "bust depth as measured".into(), depth_mm),
        None => {
            let below_mm = s.rule(&BUST_POINT_BELOW);
            let words = format!("chest line {} + {}", s.show(chest_y_mm), s.show(below_mm));
            s.step("bust point", words, chest_y_mm + below_mm)
        }
    };
    let x_mm = match s.order.body.get(Measure::BustSpan) {
        Some(span_mm) => s.step("half bust span", format!("bust span {} / 2", s.show(span_mm)), span_mm / 2.0),
        None => {
            let (bust_mm, parts) = (s.body_mm(Measure::Bust), s.rule(&BUST_PARTS));
            s.step("half bust span", format!("bust {} / {parts}", s.show(bust_mm)), bust_mm / parts)
        }
    };
    (y_mm, x_mm)
}

impl Bust {
    /// The levels of the back.
    pub fn back(&self, levels: &Levels) -> Levels {
        lowered(levels, -self.back_lift_mm)
    }

    /// The levels of the front; without a dart the sides stay alike, and only the hem's middle is lower.
    pub fn front(&self, levels: &Levels) -> Levels {
        lowered(levels, if self.dart.is_some() { self.front_drop_mm } else { 0.0 })
    }

    /// A dart that can't be drawn.
    pub fn fault(&self, levels: &Levels, s: &Sheet<'_>) -> Option<Remark> {
        let dart = self.dart.as_ref()?;
        let show = |mm: f64| s.show(mm);
        let half_mm = dart.width_mm / 2.0;
        let leg_mm = levels.underarm.x.min(levels.waist.x) - dart.point_x_mm;
        if dart.width_mm < LEAST_WIDTH_MM {
            let says = match dart.width_mm > 0.0 {
                true => format!("a bust dart {} wide can't be sewn", show(dart.width_mm)),
                false => "nothing is left of the bust dart to be sewn".to_owned(),
            };
            return Some(fault(
                "garment.dart",
                says,
                "measure waist_depth and back_depth again, or write dart = \"none\"",
            ));
        }
        if dart.astray_mm > ASTRAY_MM {
            let says = format!("the bust point lies too near the underarm for a dart {} wide", show(dart.width_mm));
            let remedy = "measure bust_depth again, raise the chest line (chest_extra), or write dart = \"none\"";
            return Some(fault("body.bust_depth", says, remedy));
        }
        if dart.level_mm + half_mm >= levels.waist.y {
            let says = format!("a dart at {} reaches below the waist", show(dart.level_mm));
            return Some(fault("body.bust_depth", says, "measure bust_depth and waist_depth again"));
        }
        let is_short = |leg_mm: f64| leg_mm < LEAST_LEG_MM || half_mm > leg_mm / 2.0;
        if is_short(leg_mm) && !is_short(levels.underarm.x - dart.point_x_mm) {
            let [quarter, point] = [levels.waist.x, dart.point_x_mm].map(show);
            let says = format!("a quarter waist of {quarter} leaves a dart no room to its point at {point}");
            return Some(fault("body.waist", says, "measure the waist again, or write dart = \"none\""));
        }
        is_short(leg_mm).then(|| {
            let says = format!("a dart {} wide and {} long can't be drawn", show(dart.width_mm), show(leg_mm.max(0.0)));
            fault("garment.dart", says, "measure bust_span again, make dart_short smaller, or write dart = \"none\"")
        })
    }
}

/// Everything below the underarm, farther down.
fn lowered(levels: &Levels, by_mm: f64) -> Levels {
    let down = |p: Point<Frame>| p + Vector::new(0.0, by_mm);
    Levels { underarm: levels.underarm, waist: down(levels.waist), hip: down(levels.hip), hem: down(levels.hem) }
}

/// A side seam, downwards, with the dart let in.
pub struct Darted {
    /// The seam, with the cap of the dart.
    pub side: Curve<Frame>,
    /// From where to where along it, downwards, the mouth reaches.
    pub mouth_mm: [f64; 2],
    /// The legs, each from the seam to the point.
    pub legs: [[Point<Frame>; 2]; 2],
}

impl SideDart {
    /// Lets the dart into the back's side seam; none where the seam ends in the mouth.
    ///
    /// Folded down (horizontal darts are: Erwin, 1954), the cloth of the dart lies on the piece below its lower leg. So the
    /// cap is the side below, mirrored about that leg, up to the fold; and from there its own mirror.
    pub fn let_into(&self, side: &Curve<Frame>) -> Option<Darted> {
        let point = at(self.point_x_mm, self.level_mm);
        let upper_mm = side.length_to_level(self.level_mm - self.width_mm / 2.0)?;
        let upper = side.until(upper_mm);
        let down: Map<Frame, Frame> = Map::translation(0.0, self.width_mm);
        let lower = side.part([upper_mm, side.length_mm()]).mapped(&down);
        let (high, low) = (upper.end(), lower.start());
        let folded = lower.mapped(&mirror(point, low - point));
        let half_mm = folded.length_to_level(self.level_mm)?;
        let below = folded.until(half_mm);
        let above = below.mapped(&mirror(point, Vector::new(1.0, 0.0)));
        let side = upper.then(above).then(below.reversed()).then(lower);
        let mouth_mm = [upper_mm, upper_mm + 2.0 * half_mm];
        Some(Darted { side, mouth_mm, legs: [[high, point], [low, point]] })
    }
}

//! The trial: what would be found in the fitting room, found before the cloth is cut.
//!
//! Each check gives its numbers in a sentence. A dress that can't be put on or buttoned round her is a refusal; what is
//! merely close is a doubt.

use super::halving::least;
use super::{Check, Seam, SewnPiece, neck, passed};
use crate::order::{Body, Measure, Opening, Style};
use crate::remark::Weight;
use crate::units::System;

/// What a measured curve may be off: less than a hair is neither too small nor to spare.
pub const NOISE_MM: f64 = 0.01;

/// How much longer an armhole becomes at least, front and back together, where the chest line is lowered by one.
const ARMHOLE_GAIN: f64 = 1.6;

/// A neck deeper than this is no longer a neckline.
const DEEPEST_NECK_MM: f64 = 600.0;

/// What the trial needs to know.
pub struct Trial<'d> {
    /// Her measurements.
    pub body: &'d Body,
    /// The unit system of the sentences.
    pub system: System,
    /// What it is, in one word.
    pub worn: &'static str,
    /// What was chosen.
    pub style: &'d Style,
    /// The front.
    pub front: &'d SewnPiece,
    /// The back.
    pub back: &'d SewnPiece,
    /// The level of the back's waist.
    pub waist_y_mm: f64,
    /// Least ease at bust, waist and hip, and how far below the bust the narrowest girth may be without an opening.
    pub least: Least,
}

/// The least that must be there.
pub struct Least {
    /// Ease at the bust.
    pub bust_ease_mm: f64,
    /// Ease at the waist.
    pub waist_ease_mm: f64,
    /// Ease at the hip.
    pub hip_ease_mm: f64,
    /// Ease at the upper arm.
    pub arm_ease_mm: f64,
    /// How far the narrowest girth may be below the bust.
    pub donning_mm: f64,
}

impl Trial<'_> {
    /// All checks, in the order in which a dress is put on.
    pub fn checks(&self, seams: &[Seam]) -> Vec<Check> {
        let mut checks = match self.style.opening {
            Opening::None => vec![self.head(), self.donning(None)],
            Opening::Back => self.opens(),
        };
        checks.extend(self.eases());
        let pieces = [self.front.clone(), self.back.clone()];
        checks.extend(seams.iter().map(|seam| seam.check(&pieces, self.system)));
        checks.extend(self.arm());
        checks.extend(deep_hem(&pieces, self.system));
        checks
    }

    /// Where it opens behind, it is stepped into or drawn over the head open.
    fn opens(&self) -> Vec<Check> {
        let opening = self.back.notches.iter().find(|notch| notch.edge == "centre back");
        let below_mm =
            opening.map_or(0.0, |end| end.along_mm + self.back.edge("neck").map_or(0.0, |e| e.curve.end().y));
        let says = format!("opens at the centre back down to {}", self.show(below_mm));
        let donning = if below_mm >= self.waist_y_mm {
            passed("over shoulders and bust", format!("{says}, below the waist: goes on"))
        } else {
            self.donning(Some(self.waist_y_mm - below_mm))
        };
        vec![passed("head through neckline", says), donning]
    }

    fn show(&self, mm: f64) -> String {
        self.system.show(mm)
    }

    /// Length of an edge of both pieces all round the body.
    fn girth_of_edges_mm(&self, name: &str) -> f64 {
        let length = |piece: &SewnPiece| piece.edge(name).map_or(0.0, |edge| edge.curve.length_mm());
        2.0 * (length(self.front) + length(self.back))
    }

    fn head(&self) -> Check {
        let neck_mm = self.girth_of_edges_mm("neck") + self.girth_of_edges_mm("slit");
        head(self.body, self.system, neck_mm, |head_mm| match self.deeper_mm(head_mm) {
            Some(deeper_mm) => format!(
                "deepen the front by {} (front_neck_depth), or widen the neck (neck_half_width)",
                self.system.show_at_least(deeper_mm)
            ),
            None => "widen the neck (neck_half_width), or leave an opening".to_owned(),
        })
    }

    /// How much deeper the front neck must be for the head to pass: the depth is halved in on, since the girth only
    /// grows with it.
    fn deeper_mm(&self, head_mm: f64) -> Option<f64> {
        let (neck, shoulder) = (&self.front.edge("neck")?.curve, &self.front.edge("shoulder")?.curve);
        let back_mm = self.back.length_mm("neck") + self.front.length_mm("slit");
        let passes = |depth_mm: f64| {
            let front = neck::front(self.style.neckline, neck.start(), -shoulder.end_direction(), depth_mm);
            2.0 * (front.length_mm() + back_mm) >= head_mm
        };
        let drafted_mm = neck.end().y;
        passes(DEEPEST_NECK_MM).then(|| least([drafted_mm, DEEPEST_NECK_MM], passes) - drafted_mm)
    }

    /// Whether it goes over shoulders and bust; where it opens, by how much the opening ends above the waist.
    fn donning(&self, above_waist_mm: Option<f64>) -> Check {
        let side = |piece: &SewnPiece| piece.edge("side").map(|edge| edge.curve.corners()).unwrap_or_default();
        let narrowest = |piece: &SewnPiece| side(piece).iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
        let girth_mm = 2.0 * (narrowest(self.front) + narrowest(self.back));
        let bust_mm = self.body.get(Measure::Bust).unwrap_or(0.0);
        let below_mm = bust_mm - girth_mm;
        let says = format!("narrowest girth of the {} {}, bust {}", self.worn, self.show(girth_mm), self.show(bust_mm));
        if below_mm <= NOISE_MM {
            return passed("over shoulders and bust", format!("{says}: goes over"));
        }
        let needed = below_mm > self.least.donning_mm + NOISE_MM;
        Check {
            name: "over shoulders and bust",
            ok: false,
            severity: if needed { Weight::Refusal } else { Weight::Doubt },
            says: format!(
                "{says}: {} below the bust, {}",
                self.show(below_mm),
                match (needed, above_waist_mm) {
                    (true, Some(_)) => "it needs a longer opening",
                    (true, None) => "it needs an opening",
                    (false, _) => "it goes over only with care",
                }
            ),
            remedy: Some(format!(
                "leave {} more in each quarter of the waist (waist_ease), or {}",
                self.system.show_at_least(below_mm / 4.0),
                match above_waist_mm {
                    Some(mm) => format!(
                        "make the opening {} longer, down to the waist (opening_length)",
                        self.system.show_at_least(mm)
                    ),
                    None => "write opening = \"back\"".to_owned(),
                }
            )),
        }
    }

    fn eases(&self) -> Vec<Check> {
        let levels = [
            ("ease at bust", Measure::Bust, "chest", self.least.bust_ease_mm, "bust_ease"),
            ("ease at waist", Measure::Waist, "waist", self.least.waist_ease_mm, "waist_ease"),
            ("ease at hip", Measure::Hip, "hip", self.least.hip_ease_mm, "hip_ease"),
        ];
        let width_mm = |piece: &SewnPiece, level: &str| piece.width_mm(piece.level_mm(level)?);
        let girth_mm = |level: &str| Some(2.0 * (width_mm(self.front, level)? + width_mm(self.back, level)?));
        let ease = |(name, measure, level, least_mm, rule): (_, Measure, &str, f64, _)| {
            let body_mm = self.body.get(measure)?;
            let Some(girth_mm) = girth_mm(level) else {
                let says = format!("the {} ends above the {}: nothing to try", self.worn, measure.facts().name);
                return Some(passed(name, says));
            };
            let ease = Ease { name, measure, worn: self.worn, girths_mm: [body_mm, girth_mm], least_mm };
            Some(ease.check(self.system, |more| format!("give {more} more in each quarter ({rule})")))
        };
        levels.into_iter().filter_map(ease).collect()
    }

    fn arm(&self) -> Option<Check> {
        let arm_mm = self.body.get(Measure::UpperArm)?;
        let armhole_mm = self.girth_of_edges_mm("armhole") / 2.0;
        let says = format!("armhole {} round, upper arm {}", self.show(armhole_mm), self.show(arm_mm));
        let short_mm = arm_mm + self.least.arm_ease_mm - armhole_mm;
        Some(if short_mm <= NOISE_MM {
            passed("armhole over upper arm", format!("{says}: {} of ease", self.show(armhole_mm - arm_mm)))
        } else {
            Check {
                name: "armhole over upper arm",
                ok: false,
                severity: if armhole_mm < arm_mm { Weight::Refusal } else { Weight::Doubt },
                says: format!("{says}: {} less than is wanted", self.show(short_mm)),
                remedy: Some(format!(
                    "lower the chest line by {} (chest_extra)",
                    self.system.show_at_least(short_mm / ARMHOLE_GAIN)
                )),
            }
        })
    }
}

/// Whether the head goes through a neckline of a girth; `remedy` says what to do for a head that does not.
pub fn head(body: &Body, system: System, neck_mm: f64, remedy: impl FnOnce(f64) -> String) -> Check {
    let name = "head through neckline";
    let show = |mm: f64| system.show(mm);
    let Some(head_mm) = body.get(Measure::Head) else {
        let says = format!("the neckline is {} round, and the head was not measured", show(neck_mm));
        let remedy = format!("measure it, {}, and write head = \"...\"", Measure::Head.facts().how);
        return Check { name, ok: false, severity: Weight::Doubt, says, remedy: Some(remedy) };
    };
    let over_mm = neck_mm - head_mm;
    let says = format!("neckline {} round, head {}", show(neck_mm), show(head_mm));
    if over_mm >= -NOISE_MM {
        return passed(name, format!("{says}: passes with {} to spare", show(over_mm)));
    }
    let says = format!("{says}: {} too small for the head", show(-over_mm));
    Check { name, ok: false, severity: Weight::Refusal, says, remedy: Some(remedy(head_mm)) }
}

/// The ease of what is worn over a girth of the body.
pub struct Ease {
    /// The name of the check.
    pub name: &'static str,
    /// The girth.
    pub measure: Measure,
    /// What is worn.
    pub worn: &'static str,
    /// The body's girth, and that of what is worn.
    pub girths_mm: [f64; 2],
    /// The least ease.
    pub least_mm: f64,
}

impl Ease {
    /// Whether there is enough; `remedy` says where to give what is wanting in each quarter.
    pub fn check(&self, system: System, remedy: impl FnOnce(String) -> String) -> Check {
        let show = |mm: f64| system.show(mm);
        let Self { name, measure, worn, girths_mm: [body_mm, girth_mm], least_mm } = *self;
        let ease_mm = girth_mm - body_mm;
        let says = format!("{} {}, {worn} {}", measure.facts().name, show(body_mm), show(girth_mm));
        if ease_mm >= least_mm - NOISE_MM {
            return passed(name, format!("{says}: {} of ease", show(ease_mm)));
        }
        let too_small = ease_mm < -NOISE_MM;
        let says = if too_small {
            format!("{says}: {} too small", show(-ease_mm))
        } else {
            format!("{says}: {} of ease, and woven cloth wants {}", show(ease_mm), show(least_mm))
        };
        let severity = if too_small { Weight::Refusal } else { Weight::Doubt };
        let remedy = remedy(system.show_at_least((least_mm - ease_mm) / 4.0));
        Check { name, ok: false, severity, says, remedy: Some(remedy) }
    }
}

/// The share by which the raw edge of a hem may be longer than the line it is sewn to: what an iron shrinks and a
/// needle eases in (common practice, no source).
const HEM_FULLNESS: f64 = 0.06;

/// A hem too deep for its curve. A hem that turns by an angle is, turned up by its depth, twice depth times angle too
/// long at the raw edge; none where no hem is.
pub fn deep_hem(pieces: &[SewnPiece], system: System) -> Option<Check> {
    let too_deep = |piece: &SewnPiece| {
        let hem = piece.edge("hem").filter(|hem| hem.allowance_mm > 0.0)?;
        let angle_rad = hem.curve.start_direction().angle_to(hem.curve.end_direction()).radians.abs();
        let over_mm = 2.0 * hem.allowance_mm * angle_rad;
        let most_mm = HEM_FULLNESS * hem.curve.length_mm();
        let in_one = !piece.on_fold && piece.count == 1;
        (over_mm > most_mm).then_some(([hem.allowance_mm, over_mm, hem.allowance_mm * most_mm / over_mm], in_one))
    };
    let ([depth_mm, over_mm, right_mm], in_one) = pieces.iter().find_map(too_deep)?;
    let says = format!(
        "a hem {} deep on this curve is {} too long at its raw edge{}: it would lie in folds",
        system.show(depth_mm),
        system.show(over_mm),
        if in_one { "" } else { ", in every quarter" }
    );
    Some(Check {
        name: "hem turns up",
        ok: false,
        severity: Weight::Refusal,
        says,
        remedy: Some(format!("turn up {} at most (hem_allowance), or face the hem", most(system, right_mm))),
    })
}

/// What may be turned up at most, in the unit of the order's lengths; a sixteenth of an inch is to be had at a narrow hem.
fn most(system: System, mm: f64) -> String {
    match system {
        System::Metric => system.show_at_most(mm),
        System::Inch => system.show_fine(mm),
    }
}

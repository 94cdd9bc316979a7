//! Which values are believed: each by itself, and in pairs that must go together.
//!
//! The pair rules are regressions over 1,986 women (ANSUR II, 2012; ours from that data): a value more than three
//! residual deviations off the line is questioned, never refused, since clients are not soldiers. Shoulder and waist
//! depth are not in that survey: they stand for two straight lines from nape to shoulder bones, and for the back's length
//! to the navel. Arm length is from shoulder bone to wrist; it hardly goes with the bust.

use super::Body;
use super::measures::{Facts, Measure};
use crate::entries::{Entries, Placed};
use crate::remark::Remark;
use crate::units::{Length, System};

/// `of = slope * from + at_zero`, with the residual's standard deviation, in mm.
struct Pair {
    of: Measure,
    from: Measure,
    slope: f64,
    at_zero_mm: f64,
    sd_mm: f64,
}

const PAIRS: [Pair; 6] = [
    Pair { of: Measure::Hip, from: Measure::Bust, slope: 0.682, at_zero_mm: 376.0, sd_mm: 51.0 },
    Pair { of: Measure::Waist, from: Measure::Bust, slope: 1.020, at_zero_mm: -105.0, sd_mm: 54.0 },
    Pair { of: Measure::UpperArm, from: Measure::Bust, slope: 0.278, at_zero_mm: 43.0, sd_mm: 20.0 },
    Pair { of: Measure::Shoulder, from: Measure::Bust, slope: 0.044, at_zero_mm: 344.0, sd_mm: 21.0 },
    Pair { of: Measure::WaistDepth, from: Measure::Bust, slope: 0.150, at_zero_mm: 283.0, sd_mm: 23.0 },
    Pair { of: Measure::ArmLength, from: Measure::Bust, slope: 0.086, at_zero_mm: 462.0, sd_mm: 29.0 },
];

/// How many residual deviations a pair may be apart before it is questioned.
const QUESTIONED_SD: f64 = 3.0;

impl Pair {
    /// What is usual beside the other, when that is known.
    fn usual_mm(&self, body: &Body) -> Option<f64> {
        Some(self.slope * body.get(self.from)? + self.at_zero_mm)
    }
}

/// What a measurement usually is beside those that are known, and beside which.
pub fn reckoned(body: &Body, measure: Measure) -> Option<(f64, Measure)> {
    let pair = PAIRS.iter().find(|pair| pair.of == measure)?;
    Some((pair.usual_mm(body)?, pair.from))
}

/// Takes a measurement from its section; refuses the impossible and remarks the unusual.
pub fn measured(facts: &Facts, section: &mut Entries<'_, '_>, remarks: &mut Vec<Remark>) -> Option<Placed<Length>> {
    let read = section.length_within(facts.key, facts.possible_mm)?;
    let (mm, system) = (read.value.mm, read.value.system);
    let [low, high] = facts.possible_mm;
    if !(low..=high).contains(&mm) {
        let article = if facts.name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        section.fault(
            facts.key,
            read.line,
            format!("{} = {} can't be {article} {}", facts.key, system.show(mm), facts.name),
            format!("measure again: {} ({} to {})", facts.how, system.show(low), system.show(high)),
        );
        return None;
    }
    let [low, high] = facts.usual_mm;
    if !(low..=high).contains(&mm) {
        remarks.push(
            Remark::doubt(format!(
                "{} {} is unusual: most are {} to {}",
                facts.name,
                system.show(mm),
                system.show(low),
                system.show(high)
            ))
            .line(read.line)
            .field(section.field(facts.key))
            .remedy(format!("look again: {}", facts.how)),
        );
    }
    Some(read)
}

/// Questions measurements that do not go together.
pub fn pairs(body: &Body, system: System) -> Vec<Remark> {
    let apart = |pair: &Pair| {
        let (of, from) = (body.get(pair.of)?, body.get(pair.from)?);
        let off_mm = of - pair.usual_mm(body)?;
        (off_mm.abs() > QUESTIONED_SD * pair.sd_mm).then(|| {
            let (of_name, from_name) = (pair.of.facts().name, pair.from.facts().name);
            Remark::doubt(format!(
                "{of_name} {} is {} {} than usual beside {from_name} {}",
                system.show(of),
                system.show(off_mm.abs()),
                if off_mm > 0.0 { "larger" } else { "smaller" },
                system.show(from)
            ))
            .field(format!("body.{}", pair.of.facts().key))
            .remedy("measure both once more")
        })
    };
    PAIRS.iter().filter_map(apart).chain(back_beside_front(body, system)).collect()
}

/// How much longer than the front the back may be, and how much shorter, before it is questioned: a stoop, and a full bust
/// (common practice, no source).
const BACK_LONGER_MM: f64 = 30.0;
const BACK_SHORTER_MM: f64 = 100.0;

/// Questions depths of front and back that do not go together.
fn back_beside_front(body: &Body, system: System) -> Option<Remark> {
    let [back_mm, front_mm] = [body.get(Measure::BackDepth)?, body.get(Measure::WaistDepth)?];
    let over_mm = back_mm - front_mm;
    (!(-BACK_SHORTER_MM..=BACK_LONGER_MM).contains(&over_mm)).then(|| {
        Remark::doubt(format!(
            "back depth {} is {} {} than waist depth {}, which is taken over the bust",
            system.show(back_mm),
            system.show(over_mm.abs()),
            if over_mm > 0.0 { "longer" } else { "shorter" },
            system.show(front_mm)
        ))
        .field(format!("body.{}", Measure::BackDepth.facts().key))
        .remedy("measure both once more, from the shoulder at the neck")
    })
}

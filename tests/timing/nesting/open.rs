//! Garments of our own on open cloth, single layer, beside the same outlines laid by spyrrow, a general packer of strips, in
//! the same minute and with the same processor time. `peer.py` runs it, by the Python that CHALKLIGHT_PYTHON names.

use std::io::Write;
use std::process::{Command, Stdio};

use chalklight::draft::draft;
use chalklight::entries::Placed;
use chalklight::finish::finish;
use chalklight::lay::{Effort, Lay, Wanted, plan};
use chalklight::nest::{Forms, Pace};
use chalklight::order::{Asked, FoldKind, Order};
use serde_json::{Value, json};

use super::garments::{BODIES, CLOTH, GARMENTS, order};

/// The kernel counts a program's processor time in hundredths of a second.
const TICKS: f64 = 100.0;

/// The processor time of all threads together.
struct Spent {
    before: f64,
    seconds: f64,
}

impl Spent {
    fn of(seconds: f64) -> Self {
        Self { before: processor_seconds(), seconds }
    }
}

impl Pace for Spent {
    fn gone_share(&self, _moves: u64) -> f64 {
        (processor_seconds() - self.before) / self.seconds
    }
}

/// User and system time of this program: the fields after its name, which may hold spaces, from the twelfth on.
fn processor_seconds() -> f64 {
    let text = std::fs::read_to_string("/proc/self/stat").expect("a Linux kernel");
    let fields = text.rsplit(')').next().unwrap_or_default().split_whitespace().skip(11).take(2);
    fields.filter_map(|ticks| ticks.parse::<f64>().ok()).sum::<f64>() / TICKS
}

/// Prints a line for each garment and size, both laid for so many seconds on two processors.
pub fn run(seconds: f64) {
    println!("| garment | size | pieces | ours mm | spyrrow mm | ours is longer by | processor s, ours / spyrrow |");
    println!("|{}", "---|".repeat(7));
    for (name, garment) in &GARMENTS[..3] {
        for (size, body) in BODIES {
            let pace = Spent::of(2.0 * seconds);
            let Some(lay) = laid(&order(garment, body, CLOTH), &pace) else { continue };
            let spent = processor_seconds() - pace.before;
            let Some(peer) = peer(&lay, seconds) else {
                return println!("spyrrow was not run: CHALKLIGHT_PYTHON must name a Python that has it");
            };
            let [peer_mm, peer_spent] = peer;
            println!(
                "| {name} | {size} | {} | {:.0} | {peer_mm:.0} | {:.1} % | {spent:.1} / {peer_spent:.1} |",
                lay.placed.len(),
                lay.length_mm,
                100.0 * (lay.length_mm / peer_mm - 1.0)
            );
        }
    }
}

/// The lay on open cloth.
fn laid(order: &Order, pace: &dyn Pace) -> Option<Lay> {
    let pieces = finish(&draft(order).ok()?.value).ok()?.value;
    let fold = Some(Placed { value: FoldKind::Open, line: 1 });
    let wanted = Wanted::of(&pieces, order.cloth.as_ref()?, order.system).asking(&Asked { fold, ..Asked::default() });
    plan(&wanted, &Effort::until(pace), &mut Forms::default()).ok().map(|told| told.value)
}

/// The length of the peer's lay of the same outlines, and its processor time.
fn peer(lay: &Lay, seconds: f64) -> Option<[f64; 2]> {
    let ring = |placed: &chalklight::lay::Placed| -> Value {
        placed.cut().corners.iter().map(|p| json!([p.x, p.y])).collect()
    };
    let rings: Vec<Value> = lay.placed.iter().map(ring).collect();
    let task = json!({"width": lay.cloth.width_mm, "seconds": seconds, "rings": rings});
    let python = std::env::var("CHALKLIGHT_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/timing/nesting/peer.py");
    let mut run = Command::new(python).arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().ok()?;
    run.stdin.take()?.write_all(task.to_string().as_bytes()).ok()?;
    let said: Value = serde_json::from_slice(&run.wait_with_output().ok()?.stdout).ok()?;
    Some([said["length"].as_f64()?, said["processor_seconds"].as_f64()?])
}

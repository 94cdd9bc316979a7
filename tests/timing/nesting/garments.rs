//! Garments of our own in three sizes on cloth of 112 cm: how long a first answer takes, and its length beside that of a
//! longer search; and the most memory that was ever taken.

use std::time::Instant;

use chalklight::draft::draft;
use chalklight::finish::{Piece, finish};
use chalklight::lay::{Effort, Wanted, plan};
use chalklight::nest::{Forms, Pace};
use chalklight::order::{Order, read};

/// The cloth that they are laid on.
pub const CLOTH: &str = "width = \"112 cm\"";

/// Bust, waist, hip, upper arm, in cm.
pub const BODIES: [(&str, [u32; 4]); 3] =
    [("small", [84, 66, 90, 26]), ("middle", [94, 78, 102, 29]), ("large", [116, 102, 124, 36])];

/// What is laid.
pub const GARMENTS: [(&str, &str); 3] = [
    ("dress, sleeves, facings", "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\""),
    ("tunic, pockets", "kind = \"tunic\"\nlength = \"90 cm\"\npockets = \"in-seam\""),
    ("kaftan", "kind = \"kaftan\"\nlength = \"130 cm\""),
];

/// Time by the clock on the wall.
struct Wall(Instant, f64);

impl Pace for Wall {
    fn gone_share(&self, _moves: u64) -> f64 {
        self.0.elapsed().as_secs_f64() / self.1
    }
}

/// Prints a line for each garment and size.
pub fn run(seconds: f64) {
    println!(
        "{:<26} {:<7} {:>8} {:>8} {:>9} {:>9} {:>6}",
        "garment", "size", "first ms", "again ms", "first mm", "longer mm", "over"
    );
    for (name, garment) in GARMENTS {
        for (size, body) in BODIES {
            one(name, size, &order(garment, body, CLOTH), seconds);
        }
    }
    println!("most memory taken: {}", most_memory());
}

/// What the kernel has counted as this program's largest size in memory.
pub fn most_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or("not known").trim();
    line.to_owned()
}

/// The order of a garment for a body on a cloth, whatever is wanted of it.
pub fn order(garment: &str, [bust, waist, hip, arm]: [u32; 4], cloth: &str) -> Order {
    let text = format!(
        "[body]\nbust = \"{bust} cm\"\nwaist = \"{waist} cm\"\nhip = \"{hip} cm\"\nhip_depth = \"20 cm\"\n\
         shoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\nhead = \"56 cm\"\nupper_arm = \"{arm} cm\"\n\
         arm_length = \"58 cm\"\nhand = \"20 cm\"\n[garment]\n{garment}\n[cloth]\n{cloth}\n"
    );
    read(&text).unwrap_or_else(|no| panic!("{no}")).value
}

fn one(name: &str, size: &str, order: &Order, seconds: f64) {
    let drafted = draft(order).unwrap_or_else(|no| panic!("{no}")).value;
    let pieces: Vec<Piece> = finish(&drafted).unwrap_or_else(|no| panic!("{no}")).value;
    let cloth = order.cloth.as_ref().expect("a cloth");
    let wanted = Wanted::of(&pieces, cloth, order.system);
    let mut forms = Forms::default();
    let mut laid_mm = |effort: &Effort<'_>| plan(&wanted, effort, &mut forms).map(|told| told.value.used_mm);
    let start = Instant::now();
    let first = laid_mm(&Effort::FIRST);
    let first_ms = 1000.0 * start.elapsed().as_secs_f64();
    // The same again, with the forms kept: what a keystroke that leaves the pieces alone waits for.
    let start = Instant::now();
    laid_mm(&Effort::FIRST).ok();
    let again_ms = 1000.0 * start.elapsed().as_secs_f64();
    match (first, laid_mm(&Effort::until(&Wall(Instant::now(), seconds)))) {
        (Ok(first_mm), Ok(longer_mm)) => println!(
            "{name:<26} {size:<7} {first_ms:>8.0} {again_ms:>8.0} {first_mm:>9.0} {longer_mm:>9.0} {:>5.1}%",
            100.0 * (first_mm / longer_mm - 1.0)
        ),
        (Err(no), _) | (_, Err(no)) => println!("{name:<26} {size:<7} {no}"),
    }
}

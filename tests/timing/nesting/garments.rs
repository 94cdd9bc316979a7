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

/// What is laid; the first three beside a general packer too.
pub const GARMENTS: [(&str, &str); 8] = [
    ("dress, sleeves, facings", "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\""),
    ("tunic, pockets", "kind = \"tunic\"\nlength = \"90 cm\"\npockets = \"in-seam\""),
    ("kaftan", "kind = \"kaftan\"\nlength = \"130 cm\""),
    (
        "dress, all of it",
        "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\"\ndart = \"side\"\n\
         pockets = \"in-seam\"\ntie = \"belt\"",
    ),
    (
        "dress, collar, pockets",
        "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\"\nopening = \"back\"\n\
         collar = \"stand\"\npockets = \"patch\"",
    ),
    (
        "dress, back opening",
        "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\"\nopening = \"back\"",
    ),
    (
        "tunic, sleeves, pockets",
        "kind = \"tunic\"\nlength = \"84 cm\"\nsleeve = \"three-quarter\"\nedges = \"facing\"\npockets = \"patch\"",
    ),
    ("A-line skirt, pockets", "kind = \"a-line-skirt\"\nlength = \"65 cm\"\npockets = \"in-seam\""),
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
        "| garment | size | pieces | first ms | again ms | first mm | longer mm | over by |\n|{}",
        "---|".repeat(8)
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
    let bust_points = "bust_depth = \"26 cm\"\nbust_span = \"18 cm\"\nback_depth = \"37 cm\"\n";
    let bust_points = if garment.contains("dart") { bust_points } else { "" };
    let text = format!(
        "[body]\nbust = \"{bust} cm\"\nwaist = \"{waist} cm\"\nhip = \"{hip} cm\"\nhip_depth = \"20 cm\"\n\
         shoulder = \"39 cm\"\nwaist_depth = \"40 cm\"\nhead = \"56 cm\"\nupper_arm = \"{arm} cm\"\n\
         arm_length = \"58 cm\"\nhand = \"20 cm\"\n{bust_points}[garment]\n{garment}\n[cloth]\n{cloth}\n"
    );
    read(&text).unwrap_or_else(|no| panic!("{no}")).value
}

fn one(name: &str, size: &str, order: &Order, seconds: f64) {
    let drafted = draft(order).unwrap_or_else(|no| panic!("{no}")).value;
    let pieces: Vec<Piece> = finish(&drafted).unwrap_or_else(|no| panic!("{no}")).value;
    let cloth = order.cloth.as_ref().expect("a cloth");
    let wanted = Wanted::of(&pieces, cloth, order.system);
    let mut forms = Forms::default();
    let mut laid = |effort: &Effort<'_>| plan(&wanted, effort, &mut forms).map(|told| told.value);
    let start = Instant::now();
    let first = laid(&Effort::FIRST);
    let first_ms = 1000.0 * start.elapsed().as_secs_f64();
    // The same again, with the forms kept: what a keystroke that leaves the pieces alone waits for.
    let start = Instant::now();
    laid(&Effort::FIRST).ok();
    let again_ms = 1000.0 * start.elapsed().as_secs_f64();
    match (first, laid(&Effort::until(&Wall(Instant::now(), seconds)))) {
        (Ok(first), Ok(longer)) => println!(
            "| {name} | {size} | {} | {first_ms:.0} | {again_ms:.0} | {:.0} | {:.0} | {:.1} % |",
            first.placed.len(),
            first.used_mm,
            longer.used_mm,
            100.0 * (first.used_mm / longer.used_mm - 1.0)
        ),
        (Err(no), _) | (_, Err(no)) => println!("| {name} | {size} | {no} |"),
    }
}

//! How well each kind of fold uses cloth of 150 cm for every garment of ours in three sizes: the share of the cloth spent that
//! is in the pieces, and beside it the most that there can be, by the lower bound of the length.

use chalklight::draft::draft;
use chalklight::entries::Placed;
use chalklight::finish::{Piece, finish};
use chalklight::lay::{Effort, Wanted, usual};
use chalklight::nest::{Forms, Moves, Pace};
use chalklight::order::{Asked, FoldKind, Matching, Order};

use super::garments::{BODIES, most_memory, order};

const WIDTH: &str = "width = \"150 cm\"";

const GARMENTS: [(&str, &str); 9] = [
    ("dress", "kind = \"a-line-dress\"\nlength = \"104 cm\""),
    ("dress, sleeves, facings", "kind = \"a-line-dress\"\nlength = \"104 cm\"\nsleeve = \"long\"\nedges = \"facing\""),
    ("shift top", "kind = \"shift-top\"\nlength = \"62 cm\""),
    ("tunic", "kind = \"tunic\"\nlength = \"85 cm\""),
    ("tunic, sleeves, pockets", "kind = \"tunic\"\nlength = \"85 cm\"\nsleeve = \"short\"\npockets = \"in-seam\""),
    ("kaftan", "kind = \"kaftan\"\nlength = \"130 cm\""),
    ("A-line skirt", "kind = \"a-line-skirt\"\nlength = \"60 cm\""),
    ("half-circle skirt", "kind = \"circle-skirt\"\nlength = \"60 cm\"\ncircle = \"half\""),
    ("tiered skirt", "kind = \"tiered-skirt\"\nlength = \"80 cm\""),
];

/// Prints a line for each garment and size. Each fold is searched with so many times a first answer's moves.
pub fn run(times: f64) {
    let kinds: Vec<&str> = FoldKind::WORDS.iter().map(|(word, _)| *word).collect();
    println!("| garment | size | bound | {} | one-way | repeat |", kinds.join(" | "));
    println!("|{}", "---|".repeat(kinds.len() + 5));
    for (name, garment) in GARMENTS {
        for (size, body) in BODIES {
            line(name, size, (garment, body), times);
        }
    }
    println!("most memory taken: {}", most_memory());
}

fn line(name: &str, size: &str, (garment, body): (&str, [u32; 4]), times: f64) {
    let plain = order(garment, body, WIDTH);
    let pieces = match draft(&plain).and_then(|drafted| finish(&drafted.value)) {
        Ok(told) => told.value,
        Err(no) => return println!("| {name} | {size} | {no} |"),
    };
    let effort = Moves((150.0 * times.max(1.0)) as u64);
    let share = |share: Option<f64>| share.map_or("-".to_owned(), |share| format!("{:.0}", 100.0 * share));
    let by_kind = FoldKind::WORDS.map(|(_, kind)| {
        let fold = Some(Placed { value: kind, line: 1 });
        share(laid(&pieces, &plain, &Asked { fold, ..Asked::default() }, &effort).map(|(share, _)| share))
    });
    let most = laid(&pieces, &plain, &Asked::default(), &effort).map(|(_, most)| most);
    let one_way = order(garment, body, &format!("{WIDTH}\nprint = \"one-way\""));
    let one_way = laid(&pieces, &one_way, &Asked::default(), &effort).map(|(share, _)| share);
    let printed = order(garment, body, &format!("{WIDTH}\nrepeat = [\"32 cm\", \"16 cm\"]"));
    let matched = Asked { matching: Matching::Along, ..Asked::default() };
    let printed = laid(&pieces, &printed, &matched, &effort).map(|(share, _)| share);
    println!(
        "| {name} | {size} | {} | {} | {} | {} |",
        share(most),
        by_kind.join(" | "),
        share(one_way),
        share(printed)
    );
}

/// The share of the cloth that is in the pieces, and the most that there can be; none where there is no lay.
fn laid(pieces: &[Piece], order: &Order, asked: &Asked, pace: &dyn Pace) -> Option<(f64, f64)> {
    let wanted = Wanted::of(pieces, order.cloth.as_ref()?, order.system).asking(asked);
    let lay = usual(&wanted, &Effort { pace, ..Effort::FIRST }, &mut Forms::default()).ok()?.value;
    let bound_mm = lay.weighed.iter().map(|weighed| weighed.bound_mm).fold(f64::INFINITY, f64::min);
    Some((lay.used_share(), lay.used_share() * lay.used_mm / bound_mm))
}

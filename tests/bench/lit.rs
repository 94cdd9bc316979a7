//! A line of the working that is tapped: it lights what it made, in every garment and with whatever is chosen.

use chalklight::bench::made::made;
use chalklight::bench::work::Work;

/// Measurements that every garment finds its own among.
const BODY: &str = "[body]\nbust = \"94 cm\"\nwaist = \"78 cm\"\nhip = \"102 cm\"\nhip_depth = \"20 cm\"\n\
                    shoulder = \"39 cm\"\nwaist_depth = \"42 cm\"\nback_depth = \"39.5 cm\"\nbust_depth = \"27 cm\"\n\
                    head = \"56 cm\"\nupper_arm = \"29 cm\"\narm_length = \"58 cm\"\nhand = \"21 cm\"\n";

/// Garments as they are ordered: kind, length, what is chosen, what the fitting found.
const ORDERS: [(&str, &str, &str, &str); 14] = [
    ("a-line-dress", "104 cm", "", ""),
    ("a-line-dress", "104 cm", "sleeve = \"long\"\nedges = \"facing\"\ndart = \"side\"\npockets = \"in-seam\"", ""),
    ("a-line-dress", "104 cm", "neckline = \"slit\"\nsleeve = \"flutter\"", "sloping_shoulder = \"1 cm\"\n"),
    ("shift-top", "62 cm", "sleeve = \"cap\"\nedges = \"bias\"", "let_out = \"2 cm\"\n"),
    ("shift-top", "62 cm", "edges = \"all-in-one\"", "low_hip = \"1 cm\"\n"),
    ("tunic", "85 cm", "sleeve = \"three-quarter\"\npockets = \"patch\"\ntie = \"belt\"", "round_back = \"1 cm\"\n"),
    ("tunic", "85 cm", "sleeve = \"flared\"\ntie = \"ties\"", ""),
    ("kaftan", "130 cm", "neckline = \"slit\"\nedges = \"facing\"", ""),
    ("kaftan", "130 cm", "tie = \"belt\"", ""),
    ("a-line-skirt", "70 cm", "waist = \"band\"\npockets = \"in-seam\"", ""),
    ("a-line-skirt", "70 cm", "waist = \"casing\"", ""),
    ("circle-skirt", "60 cm", "circle = \"half\"", ""),
    ("tiered-skirt", "80 cm", "", ""),
    ("tiered-skirt", "80 cm", "waist = \"casing\"", ""),
];

fn work((kind, length, chosen, fitting): (&str, &str, &str, &str)) -> Work {
    let fitting = if fitting.is_empty() { String::new() } else { format!("[fitting]\n{fitting}") };
    let text = format!(
        "{BODY}[garment]\nkind = \"{kind}\"\nlength = \"{length}\"\n{chosen}\n{fitting}[cloth]\nwidth = \"140 cm\"\n"
    );
    Work::of(&text, None)
}

#[test]
fn every_line_of_the_working_lights_what_it_made() {
    let mut faults = Vec::new();
    for order in ORDERS {
        let work = work(order);
        let Some(drawn) = &work.drawn else {
            faults.push(format!("{order:?}: {:?}", work.remarks));
            continue;
        };
        for step in &drawn.draft.working {
            let lit = made(drawn, step.name);
            if lit.lines.iter().flatten().count() < 2 {
                let pieces: Vec<_> = drawn
                    .pieces
                    .iter()
                    .map(|it| (it.name, it.edges.iter().map(|e| e.name).collect::<Vec<_>>()))
                    .collect();
                faults.push(format!("{}, {}: {} lights nothing of {pieces:?}", order.0, order.2, step.name));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn what_lights_is_as_long_as_the_working_says() {
    // Where a step measures a line, the line that lights is as long, on both halves or all round.
    let long = |lines: &[Vec<chalklight::geometry::Point<chalklight::geometry::Draft>>]| -> f64 {
        lines.iter().flat_map(|line| line.windows(2)).map(|side| (side[1] - side[0]).length()).sum()
    };
    let mut seen = 0;
    for order in ORDERS {
        let work = work(order);
        let drawn = work.drawn.as_ref().expect("a draft");
        for step in &drawn.draft.working {
            let times = match step.name {
                "front armhole" | "back armhole" | "sleeve width" | "crown's length" => 1.0,
                "sewn waist" => 2.0,
                _ => continue,
            };
            let lit_mm = times * long(&made(drawn, step.name).lines);
            assert!(
                (lit_mm - step.value_mm).abs() < 0.5,
                "{}: {} is {lit_mm}, not {}",
                order.0,
                step.name,
                step.value_mm
            );
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

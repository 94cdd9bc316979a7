//! How well misreadings are found, on tables whose truth is known: prints the README's table of them.
//!
//! `cargo bench --bench misreadings` draws 1,000 tables a class; `-- 200` draws fewer.

#[path = "../tables/synthetic.rs"]
mod synthetic;

use chalklight::calibrate::calibrate;
use synthetic::{Chance, Manner, Projector, misread, read};

const fn manner(columns: usize, rows: usize, sigma_mm: f64, distances: Option<usize>) -> Manner {
    Manner { columns, rows, sigma_mm, distances }
}

const CLASSES: [(&str, Manner); 8] = [
    ("5x3 places, 0.5 mm", manner(5, 3, 0.5, None)),
    ("5x3 places, 1 mm", manner(5, 3, 1.0, None)),
    ("7x5 places, 0.5 mm", manner(7, 5, 0.5, None)),
    ("9x6 places, 1 mm", manner(9, 6, 1.0, None)),
    ("5x3, 12 distances, 0.5 mm", manner(5, 3, 0.5, Some(12))),
    ("5x3, 16 distances, 0.5 mm", manner(5, 3, 0.5, Some(16))),
    ("5x3, 20 distances, 0.5 mm", manner(5, 3, 0.5, Some(20))),
    ("5x3, 20 distances, 1 mm", manner(5, 3, 1.0, Some(20))),
];

fn main() {
    let draws: usize = std::env::args().skip(1).find_map(|a| a.parse().ok()).unwrap_or(1000);
    println!("| readings | wrong | named exactly | noticed | accused a right one | not noticed and trusted | ms |");
    println!("|---|---|---|---|---|---|---|");
    let only = std::env::args().skip(1).find(|a| a.contains("distances") || a.contains("places"));
    for (i, (name, manner)) in CLASSES.iter().enumerate() {
        if only.as_ref().is_some_and(|only| !name.contains(only.as_str())) {
            continue;
        }
        for count in 0..=2 {
            run(name, *manner, count, draws, &mut Chance(100 + 10 * i as u64 + count as u64));
        }
    }
}

fn run(name: &str, manner: Manner, count: usize, draws: usize, chance: &mut Chance) {
    let (mut exact, mut noticed, mut accused, mut unnoticed_trusted, mut seconds) = (0, 0, 0, 0, 0.0);
    for _ in 0..draws {
        let projector = Projector::blind(chance);
        let mut readings = read(&projector, manner, chance);
        let wrong = misread(&mut readings, count, chance);
        let began = std::time::Instant::now();
        let solved = calibrate(&readings);
        seconds += began.elapsed().as_secs_f64();
        let Ok(solved) = solved else {
            noticed += 1;
            continue;
        };
        let fit = solved.value.fit.expect("a fit");
        let mut named: Vec<String> = fit.suspects.iter().map(|s| s.reading.clone()).collect();
        named.sort();
        let mut wrong = wrong;
        wrong.sort();
        exact += usize::from(named == wrong);
        let saw = !named.is_empty() || fit.noise > 1.0;
        noticed += usize::from(saw);
        accused += usize::from(named.iter().any(|n| !wrong.contains(n)));
        unnoticed_trusted += usize::from(count > 0 && !saw && fit.trusted);
        if std::env::var_os("SHOW").is_some() && named != wrong {
            println!(
                "   wrong {wrong:?} named {named:?} noise {:.1} bound {:.2} {}",
                fit.noise, fit.bound95.largest_mm, fit.model
            );
        }
    }
    let part = |n: usize| 100.0 * n as f64 / draws as f64;
    println!(
        "| {name} | {count} | {:.1} % | {:.2} % | {:.1} % | {unnoticed_trusted} | {:.2} |",
        part(exact),
        part(noticed),
        part(accused),
        1000.0 * seconds / draws as f64
    );
}

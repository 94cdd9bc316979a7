//! The proof of a table on its page: three distances typed, the verdict, and a corrected table to be taken.

use chalklight::bench::model::{Step, Wish};
use chalklight::calibrate::proof::{distances, expected};
use chalklight::calibrate::{calibrate, readings_file};
use chalklight::table::{KeptTable, file};
use egui_kittest::kittest::Queryable;

use super::{bench_at, type_into, with_order};

fn demo_table() -> KeptTable {
    let readings = readings_file::read(include_str!("../../calibration/readings/demo.toml")).unwrap();
    calibrate(&readings.value).unwrap().value
}

#[test]
fn three_distances_prove_the_table_or_correct_it() {
    let kept = demo_table();
    let cases =
        [(1.0, 0.0, "The table holds"), (1.01, 0.0, "The table was moved"), (1.0, 40.0, "The table no longer holds")];
    for (grown, slip_mm, says) in cases {
        let mut bench = with_order();
        bench.opened("table.toml".as_ref(), &file::write(&kept));
        bench.step = Step::Table;
        let mut harness = bench_at(bench, [1280.0, 4000.0]);
        harness.run();
        for (i, pair) in distances(&kept).into_iter().enumerate() {
            let [should_mm, _] = expected(&kept, pair, 3).unwrap();
            let read_mm = grown * should_mm + slip_mm * i as f64;
            type_into(&mut harness, &format!("{} to {}, as it is now", pair[0], pair[1]), &format!("{read_mm:.0}"));
        }
        harness.get_by_label_contains(says);
        harness.state_mut().take_wishes();
        let Some(button) = harness.query_by_label("Take the corrected table") else {
            assert!(grown != 1.01);
            continue;
        };
        button.click();
        harness.run();
        let wishes = harness.state_mut().take_wishes();
        let corrected =
            wishes.iter().find_map(|wish| if let Wish::KeepCorrected(kept) = wish { Some(kept) } else { None });
        let pair = distances(&kept)[2];
        let [old_mm, _] = expected(&kept, pair, 3).unwrap();
        let [new_mm, _] = expected(corrected.expect("a wish"), pair, 3).unwrap();
        assert!((new_mm / old_mm - 1.01).abs() < 5e-4, "{new_mm} from {old_mm}");
    }
}

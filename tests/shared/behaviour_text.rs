//! The behaviour of the examples and of a plan with charger and converter as text, every number in the shortest form that
//! reads back to the same bits.

use loomwright::behaviour::table;
use loomwright::plan::file;
use std::fmt::Write;

/// A plan: its name, its file, the behaviour expected.
pub const EXAMPLES: [(&str, &str, &str); 4] = [
    (
        "wagon-four-turn-lamps",
        include_str!("../fixtures/wagon-four-turn-lamps.json"),
        include_str!("../fixtures/behaviour/wagon-four-turn-lamps.txt"),
    ),
    (
        "tractor-shared-rear-lamps",
        include_str!("../fixtures/tractor-shared-rear-lamps.json"),
        include_str!("../fixtures/behaviour/tractor-shared-rear-lamps.txt"),
    ),
    (
        "float-shared-front-and-rear-lamps",
        include_str!("../fixtures/float-shared-front-and-rear-lamps.json"),
        include_str!("../fixtures/behaviour/float-shared-front-and-rear-lamps.txt"),
    ),
    (
        "cart-48-volts",
        include_str!("../fixtures/cart-48-volts.json"),
        include_str!("../fixtures/behaviour/cart-48-volts.txt"),
    ),
];

/// Behaviour of a plan file as text.
pub fn text(plan: &str) -> String {
    let plan = file::read(plan.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    let table = table(&plan, &[]);
    let mut out = String::new();
    for row in &table.rows {
        let _ = writeln!(out, "{:?}", row.state.0);
        for (cell, lamp) in row.cells.iter().zip(&table.lamps) {
            let _ = writeln!(
                out,
                "  {lamp} {} {}\n    on {:?} V {:?} A {:?}\n    off {:?} V {:?} A {:?}",
                cell.shows.text(),
                cell.verdict.text(),
                cell.on.volts,
                cell.on.amps,
                cell.on.level,
                cell.off.volts,
                cell.off.amps,
                cell.off.level,
            );
        }
    }
    out
}

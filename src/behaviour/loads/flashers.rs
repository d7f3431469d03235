//! The loads of flashers: the smallest and the largest, and what is left with a lamp out.

use crate::behaviour::{Analyser, Most, Path, Row, Shows, Table, Tick};
use crate::circuit::{Circuit, Origin};
use crate::units::order::OrdMap;

/// For each flasher that works anywhere its smallest and its largest load with their rows.
pub(super) fn rows(table: &Table) -> OrdMap<usize, (Most, Most)> {
    let mut found: OrdMap<usize, (Most, Most)> = OrdMap::new();
    for (row, of_row) in table.rows.iter().enumerate() {
        for run in of_row.flashers.iter().filter(|run| run.tick != Tick::Idle) {
            let here = Most {
                value: run.amps,
                row,
            };
            let (least, most) = found.entry(run.part).or_insert((here, here));
            if here.value < least.value {
                *least = here;
            }
            if here.value > most.value {
                *most = here;
            }
        }
    }
    found
}

/// The smallest load of a flasher with two lamp circuits or more, and what is left with the largest of them out.
pub(super) fn one_out(
    circuit: &Circuit,
    table: &Table,
    planned: &mut Analyser<'_>,
    part: usize,
) -> Option<(Most, f64)> {
    let flashing = |row: &Row| {
        let cells = row.cells.iter();
        cells.filter(|c| c.shows == Shows::Flashing).count()
    };
    let candidates = table.rows.iter().enumerate().filter_map(|(row, of_row)| {
        let run = of_row.flashers.iter().find(|run| run.part == part)?;
        let value = run.amps;
        (run.tick != Tick::Idle && flashing(of_row) > 1).then_some(Most { value, row })
    });
    let load = candidates.min_by(|a, b| a.value.total_cmp(&b.value).then(a.row.cmp(&b.row)))?;
    let row = table.rows.get(load.row)?;
    let outcome = planned.solve(&row.state);
    let mut amps: Vec<f64> = Vec::new();
    for (lamp, cell) in row.cells.iter().enumerate() {
        let swing = cell.on.amps - cell.off.amps;
        let fed = |path: Path| {
            path.steps
                .iter()
                .any(|step| matches!(step.origin, Origin::Part { part: p, .. } if p == part))
        };
        if swing > 0.0 && Path::trace(circuit, &outcome, 0, lamp).is_some_and(fed) {
            amps.push(swing);
        }
    }
    let largest = amps.iter().copied().fold(0.0, f64::max);
    (amps.len() > 1).then(|| (load, (load.value - largest).max(0.0)))
}

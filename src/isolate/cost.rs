//! What a cure costs, every figure solved: drop and heat of its diodes and the light each lamp loses, with silicon
//! diodes and with Schottky ones side by side.
//!
//! The other kind is tried by putting the smallest type of that kind that bears the same average current in the place
//! of every new diode and solving the states again in which the first kind shows its extremes: the largest current of
//! each diode, the least light of each circuit, and the controls moved alone and nearly all together.

use super::rows::bright_and_loaded;
use crate::behaviour::{Cell, Origin, Table, Verdict, table_of};
use crate::catalog::diode::{self, Kind as Junction, Row};
use crate::circuit::State;
use crate::plan::{Kind, LampId, PartId, Plan, Show};
use crate::text::say;
use crate::units::order::{OrdSet, Order};
use crate::units::{Amps, Volts, Watts, significant};
use serde::{Deserialize, Serialize};

/// States with the least light of a circuit that are solved again with the other kind of diode.
const LOWEST: usize = 3;
/// Loss of light below this share of what the lamp gave is not listed.
const NOTABLE_LOSS: f64 = 0.005;

/// A table of costs, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Costs {
    /// Heads of the columns after the first.
    pub heads: Vec<String>,
    /// What is counted, and a figure for every head.
    pub rows: Vec<(String, Vec<String>)>,
}

/// A diode at work.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Working {
    pub id: PartId,
    pub model: String,
    pub wire: String,
    /// Its largest current in any state.
    pub amps: Amps,
    /// Its voltage at that current.
    pub drop: Volts,
}

impl Working {
    fn heat(&self) -> Watts {
        Watts::of(self.drop.get() * self.amps.get())
    }
}

/// The diodes that `after` has and `plan` has not, each at its largest current.
pub(super) fn new_diodes(plan: &Plan, after: &Plan, table: &Table) -> Vec<Working> {
    let fresh = |id: &PartId| plan.part(id).is_none();
    let found: Vec<(usize, &PartId, &str)> = after
        .parts
        .iter()
        .enumerate()
        .filter_map(|(index, part)| match &part.kind {
            Kind::Diode(spec) if fresh(&part.id) => Some((index, &part.id, spec.model.as_str())),
            _ => None,
        })
        .collect();
    let mut worst = vec![0.0_f64; after.parts.len()];
    for peaks in &table.peaks {
        if let Origin::Part { part, .. } = peaks.origin {
            worst[part] = worst[part].max(peaks.forward.amps);
        }
    }
    let working = |(index, id, model): (usize, &PartId, &str)| {
        let amps = Amps::of(worst[index]);
        let ends_here = |wire: &&crate::plan::Wire| wire.from.part == *id || wire.to.part == *id;
        let wire = after.wires.iter().find(ends_here);
        Working {
            id: id.clone(),
            model: model.to_owned(),
            wire: wire.map_or_else(String::new, |wire| wire.id.to_string()),
            amps,
            drop: diode::find(model).map_or(Volts::ZERO, |row| row.drop_at(amps)),
        }
    };
    found.into_iter().map(working).collect()
}

/// The costs of an edit that leads from `plan` (with the table `now`) to `after` (with the table `then`).
pub(super) fn costs(plan: &Plan, now: &Table, after: &Plan, then: &Table) -> Costs {
    let diodes = new_diodes(plan, after, then);
    let mut heads = vec![say!("Now").to_owned(), say!("With it").to_owned()];
    let mut tables = vec![now, then];
    let twin = diodes.first().and_then(|diode| counterpart(&diode.model));
    let other = twin.map(|row| {
        let changed = with_model(after, &diodes, row);
        let solved = table_of(&changed, extremes(plan, &diodes, after, then));
        let working = new_diodes(plan, &changed, &solved);
        (row, solved, working)
    });
    if let (Some(first), Some((row, solved, _))) = (diodes.first(), &other) {
        heads[1] = diode::find(&first.model).map_or_else(|| first.model.clone(), head);
        heads.push(head(row));
        tables.push(solved);
    }
    let others = other.as_ref().map(|(_, _, working)| working.as_slice());
    let mut rows = Vec::new();
    let mut figures = |what: String, index: usize, figure: &dyn Fn(&Working) -> String| {
        let own = [diodes.get(index), others.and_then(|list| list.get(index))];
        let cells = own.into_iter().flatten().map(figure);
        rows.push((
            what,
            core::iter::once("–".to_owned()).chain(cells).collect(),
        ));
    };
    for (index, diode) in diodes.iter().enumerate() {
        figures(say!("Drop and heat of {}", diode.id), index, &|d| {
            format!("{}, {}", kept(d.drop.get(), "V"), kept(d.heat().get(), "W"))
        });
    }
    rows.extend(light(plan, &tables));
    Costs { heads, rows }
}

/// States in which a table shows the least light of a circuit or the most current of a diode, and the plainest ones.
fn extremes(plan: &Plan, diodes: &[Working], after: &Plan, table: &Table) -> Vec<State> {
    let mut rows: OrdSet<usize> = bright_and_loaded(table).into_iter().collect();
    for circuit in plan.lamp_circuits() {
        let Some(lamp) = table.lamps.iter().position(|known| *known == circuit.id) else {
            continue;
        };
        let lit = |row: &usize| Some((level(table.rows[*row].cells.get(lamp)?)?, *row));
        let mut levels: Vec<(f64, usize)> =
            (0..table.rows.len()).filter_map(|row| lit(&row)).collect();
        levels.order_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        rows.extend(levels.iter().take(LOWEST).map(|&(_, row)| row));
    }
    for peaks in &table.peaks {
        if let Origin::Part { part, .. } = peaks.origin
            && diodes.iter().any(|diode| after.parts[part].id == diode.id)
        {
            rows.insert(peaks.forward.row);
        }
    }
    let state = |row: usize| table.rows.get(row).map(|row| row.state.clone());
    rows.into_iter().filter_map(state).collect()
}

fn head(row: &Row) -> String {
    let kind = match row.kind {
        Junction::Silicon => say!("Silicon"),
        Junction::Schottky => say!("Schottky"),
    };
    format!("{kind} {}", row.key)
}

/// The smallest type of the other kind that bears the average current of `model`, else the largest there is.
fn counterpart(model: &str) -> Option<&'static Row> {
    let own = diode::find(model)?;
    let others = || diode::ROWS.iter().filter(|row| row.kind != own.kind);
    let bears = others().filter(|row| row.if_av_amps >= own.if_av_amps);
    let by_size = |a: &&Row, b: &&Row| a.if_av_amps.total_cmp(&b.if_av_amps);
    bears
        .min_by(|a, b| by_size(a, b).then(b.vrrm_volts.total_cmp(&a.vrrm_volts)))
        .or_else(|| {
            others().max_by(|a, b| by_size(a, b).then(a.vrrm_volts.total_cmp(&b.vrrm_volts)))
        })
}

fn with_model(after: &Plan, diodes: &[Working], row: &Row) -> Plan {
    let mut plan = after.clone();
    for part in &mut plan.parts {
        if let Kind::Diode(spec) = &mut part.kind
            && diodes.iter().any(|diode| diode.id == part.id)
        {
            spec.model = row.key.into();
        }
    }
    plan
}

/// The light of every lamp circuit that loses some: its lowest where it is wished lit and is.
fn light(plan: &Plan, tables: &[&Table]) -> Vec<(String, Vec<String>)> {
    let mut rows = Vec::new();
    let mut spared = 0;
    for circuit in plan.lamp_circuits() {
        let levels: Vec<Option<f64>> = tables
            .iter()
            .map(|table| lowest(table, &circuit.id))
            .collect();
        let Some(&Some(now)) = levels.first() else {
            continue;
        };
        let keeps = |level: &Option<f64>| level.is_some_and(|l| l >= now * (1.0 - NOTABLE_LOSS));
        if levels.iter().all(keeps) {
            spared += 1;
            continue;
        }
        let words = levels.iter().map(|level| match level {
            Some(level) => percent(*level),
            None => say!("dark").into(),
        });
        rows.push((say!("Light of {}", circuit.id), words.collect()));
    }
    if spared > 0 {
        let what = if rows.is_empty() {
            say!("Light of every lamp")
        } else {
            say!("Light of all others")
        };
        let kept = (1..tables.len()).map(|_| say!("the same").to_owned());
        rows.push((
            what.into(),
            core::iter::once("–".to_owned()).chain(kept).collect(),
        ));
    }
    rows
}

fn lowest(table: &Table, lamp: &LampId) -> Option<f64> {
    let index = table.lamps.iter().position(|known| known == lamp)?;
    let cells = table
        .rows
        .iter()
        .filter_map(|row| level(row.cells.get(index)?));
    cells.min_by(f64::total_cmp)
}

/// Light of a cell that is wished lit and is.
fn level(cell: &Cell) -> Option<f64> {
    match (cell.wish, cell.verdict) {
        (_, Verdict::Dead | Verdict::BackFed) => None,
        (Show::Steady, _) => Some(cell.dark().level),
        (Show::Flashing, _) => Some(cell.bright().level),
        _ => None,
    }
}

fn percent(level: f64) -> String {
    format!("{}\u{a0}%", significant((level * 1000.0).round() / 10.0))
}

/// A figure to hundredths that is not torn from its unit at the end of a line.
fn kept(figure: f64, unit: &str) -> String {
    format!(
        "{}\u{a0}{unit}",
        significant((figure * 100.0).round() / 100.0)
    )
}

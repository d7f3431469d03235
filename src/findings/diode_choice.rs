//! Silicon or Schottky: light lost in the drop against current leaked in the other direction.
//!
//! A silicon diode takes some 0.8 V from its lamps, a Schottky diode about 0.5 V. Hot, a Schottky diode leaks milliamperes
//! where silicon leaks microamperes: no filament shows that, but an LED lamp may glow.
//! Light follows the re-rating law of filaments; the drop of the other kind is that of its sheet at the same current.

use super::{Check, Evidence, Finding, Remedy, Severity, diode, listed};
use crate::behaviour::Load;
use crate::catalog::diode::{self as table, Kind as Junction, Row};
use crate::catalog::lamp::FLUX_EXPONENT;
use crate::plan::{Diode, Edit, Kind, Plan};
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::{Amps, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("diode choice"),
    what: mark!(
        "Silicon diodes cost no more light than they must, and Schottky diodes do not make an LED lamp glow."
    ),
    run,
};

const SHEETS: &str =
    mark!("drop and hot leakage of the data sheets; light with the 3.4th power of volts");
/// Gain of light from which on a Schottky diode is spoken of: what an eye just sees side by side.
const WORTH: f64 = 0.10;
/// Share of its rated current at which an LED lamp is seen to glow in the dark, common practice.
const GLOWS: f64 = 1e-3;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    lost_light(evidence, out);
    leaks(evidence, out);
}

fn row_of(plan: &Plan, part: usize) -> Option<&'static Row> {
    match &plan.parts.get(part)?.kind {
        Kind::Diode(diode) => table::find(&diode.model),
        _ => None,
    }
}

/// The first type of this kind that bears the load of a diode with the margins of practice.
fn other(evidence: &Evidence, load: &Load, kind: Junction) -> Option<&'static Row> {
    let ambient = evidence.plan.settings.sizing.part_ambient().get();
    let volts = evidence.loads.volts[0];
    let mut rows = table::ROWS.iter().filter(|row| row.kind == kind);
    rows.find(|row| diode::bears(row, load, ambient, volts))
}

fn swap(plan: &Plan, part: usize, row: &Row) -> Option<Edit> {
    let Kind::Diode(now) = &plan.parts.get(part)?.kind else {
        return None;
    };
    let kind = Kind::Diode(Diode {
        model: row.key.into(),
        ..now.clone()
    });
    Some(super::remedy::part(plan, part, String::new(), kind)?.edit)
}

/// Silicon diodes that cost their lamps a tenth of the light they would give behind a Schottky diode.
fn lost_light(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    // By diode the Schottky type and the largest gain of light.
    let mut gains: OrdMap<usize, (&'static Row, f64)> = OrdMap::new();
    let mut lamps: Vec<String> = Vec::new();
    for load in &evidence.loads.lamps {
        let Some(id) = evidence.table.lamps.get(load.lamp) else {
            continue;
        };
        let is_filament = plan
            .part(&id.part)
            .is_some_and(|part| matches!(part.kind, Kind::Lamp(_)));
        for (row, drop) in load.drops.iter().filter(|_| is_filament) {
            let cells = evidence.table.rows.get(*row).map(|row| &row.cells);
            let lit = cells.and_then(|cells| cells.get(load.lamp));
            let own = lit.map_or(f64::INFINITY, |cell| cell.bright().amps.abs());
            // Where another feed lights it as well, less drop in this one gives next to nothing.
            let alone = |amps: f64| amps >= 0.95 * own;
            for &(part, volts, amps) in &drop.through {
                let silicon =
                    row_of(plan, part).filter(|row| row.kind == Junction::Silicon && alone(amps));
                let (Some(_), Some(bears)) = (silicon, evidence.loads.part(part).next()) else {
                    continue;
                };
                let Some(schottky) = other(evidence, bears, Junction::Schottky) else {
                    continue;
                };
                let less = volts - schottky.drop_at(Amps::of(amps)).get();
                let gain =
                    libm::pow(1.0 + less.max(0.0) / drop.lamp.max(1e-9), FLUX_EXPONENT) - 1.0;
                if gain < WORTH {
                    continue;
                }
                if !lamps.contains(&id.to_string()) {
                    lamps.push(id.to_string());
                }
                let entry = gains.entry(part).or_insert((schottky, gain));
                entry.1 = entry.1.max(gain);
            }
        }
    }
    let Some((schottky, most)) = gains.values().copied().max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return;
    };
    let ids: Vec<String> = gains
        .keys()
        .map(|&part| plan.parts[part].id.to_string())
        .collect();
    let leak = schottky.ir_hot_amps.unwrap_or(schottky.ir_amps);
    let text = say!(
        "{} cost {} light: a Schottky diode ({}) would give up to {:.0} % more. It leaks up to {} mA backwards when hot, \
         which no filament shows but an LED lamp may.",
        listed(&ids),
        listed(&lamps),
        schottky.key,
        100.0 * most,
        significant(1e3 * leak),
    );
    let edits: Vec<Edit> = gains
        .iter()
        .filter_map(|(&part, &(row, _))| swap(plan, part, row))
        .collect();
    let remedy = (!edits.is_empty()).then(|| Remedy {
        title: say!("Take Schottky diodes for {}", listed(&ids)),
        edit: Edit::All(edits),
    });
    let mut about = ids;
    about.extend(lamps);
    out.push(
        Finding::new(&CHECK, Severity::Note, about, text, SHEETS)
            .measured(
                say!("{:.0} % of the light", 100.0 * most / (1.0 + most)),
                format!("{:.0} %", 100.0 * WORTH / (1.0 + WORTH)),
            )
            .cured_by([remedy]),
    );
}

/// Schottky diodes that block in some state, in a plan with LED lamps that their hot leak could light.
fn leaks(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let least = plan
        .parts
        .iter()
        .filter_map(|part| match &part.kind {
            Kind::LedLamp(lamp) => Some(lamp.circuits.iter().map(|circuit| circuit.rated_a.get())),
            _ => None,
        })
        .flatten()
        .fold(f64::INFINITY, f64::min);
    let glow = GLOWS * least;
    for (i, part) in plan.parts.iter().enumerate() {
        let schottky = row_of(plan, i).filter(|row| row.kind == Junction::Schottky);
        let (Some(row), Some(load)) = (schottky, evidence.loads.part(i).next()) else {
            continue;
        };
        // The sheet's leak is that at the largest reverse voltage; it goes down with the voltage.
        let leak =
            row.ir_hot_amps.unwrap_or(row.ir_amps) * (load.blocked.value / row.vrrm_volts).min(1.0);
        if leak <= glow {
            continue;
        }
        let id = part.id.to_string();
        let text = say!(
            "{id} ({}) leaks up to {} mA backwards when hot: an LED lamp behind it may glow though it is off, from {} mA on.",
            row.key,
            significant(1e3 * leak),
            significant(1e3 * glow),
        );
        let silicon = other(evidence, load, Junction::Silicon);
        let remedy = silicon.and_then(|row| {
            Some(Remedy {
                title: say!("Take a {} for {id}", row.key),
                edit: swap(plan, i, row)?,
            })
        });
        out.push(
            Finding::new(&CHECK, Severity::Note, vec![id], text, SHEETS)
                .measured(
                    format!("{} mA", significant(1e3 * leak)),
                    format!("{} mA", significant(1e3 * glow)),
                )
                .cured_by([remedy]),
        );
    }
}

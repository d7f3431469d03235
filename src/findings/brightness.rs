//! Light beyond the planned battery: lamps at low and charging volts, and what over-voltage does to their life.

use super::{Check, Evidence, Finding, Remedy, Severity, listed, remedy};
use crate::catalog::conductor;
use crate::catalog::lamp::{self, FLUX_EXPONENT, LIFE_EXPONENT};
use crate::plan::{Kind, LampId};
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::significant;

pub(super) const CHECK: Check = Check {
    name: mark!("brightness"),
    what: mark!("Lamps are neither weak with a low battery nor overdriven while it is charged."),
    run,
};

const RERATING: &str =
    mark!("lamp re-rating law (flux 3.4, life −12), valid from 0.8 to 1.2 of rated volts");
/// Share of its rated life below which a filament is spoken of.
const SHORT_LIFE: f64 = 0.25;

/// Rated volts of a filament, and its rated life in hours where the catalogue has it.
fn rated(evidence: &Evidence, id: &LampId) -> Option<(f64, Option<f64>)> {
    let Kind::Lamp(lamp) = &evidence.plan.part(&id.part)?.kind else {
        return None;
    };
    let at = lamp.filaments.iter().position(|f| f.id == id.circuit)?;
    let row = lamp.model.as_deref().and_then(lamp::find);
    let life = row.and_then(|row| row.filaments.get(at)?.life_hours);
    Some((lamp.filaments[at].rated_v.get(), life))
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, loads) = (evidence.plan, &evidence.loads);
    let settings = &plan.settings;
    let (mut weak, mut over, mut worn) = (Vec::new(), Vec::new(), Vec::new());
    let (mut dimmest, mut brightest, mut shortest) = (f64::MAX, 0.0_f64, f64::MAX);
    let mut hours = f64::MAX;
    for load in &loads.lamps {
        let Some(id) = evidence.table.lamps.get(load.lamp) else {
            continue;
        };
        let full = settings.full.get();
        let planned = load.drops.first().and_then(|(row, _)| {
            let cell = evidence.table.rows.get(*row)?.cells.get(load.lamp)?;
            Some(cell.bright().level)
        });
        if planned.is_some_and(|level| level >= full) && load.low.level < full {
            weak.push(load.lamp);
            dimmest = dimmest.min(load.low.level);
        }
        let (_, charging) = &load.charging;
        if charging.level > settings.overdriven.get() {
            over.push(id.to_string());
            brightest = brightest.max(charging.level);
        } else if let Some((rated, life)) =
            rated(evidence, id).filter(|&(v, _)| v > 0.0 && charging.volts > 0.0)
        {
            let share = libm::pow(charging.volts / rated, LIFE_EXPONENT);
            if share < SHORT_LIFE {
                worn.push(id.to_string());
                shortest = shortest.min(share);
                hours = life.map_or(hours, |life| hours.min(share * life));
            }
        }
    }
    let percent = |share: f64| format!("{} %", significant(100.0 * share));
    let mut push = |severity, ids: Vec<String>, text: String, found: f64, limit: f64, cure| {
        if !ids.is_empty() {
            let finding = Finding::new(&CHECK, severity, ids, text, RERATING);
            out.push(
                finding
                    .measured(percent(found), percent(limit))
                    .cured_by([cure]),
            );
        }
    };
    let [_, low, charging] = loads.volts.map(significant);
    let weak_ids: Vec<String> = weak
        .iter()
        .filter_map(|&lamp| evidence.table.lamps.get(lamp))
        .map(ToString::to_string)
        .collect();
    let text = say!(
        "With a low battery ({low} V) {} give {} of their light or a little more. Thicker wire, cleaner joints or lamps that take \
         less leave them more volts.",
        listed(&weak_ids),
        percent(dimmest)
    );
    let cure = thicker(evidence, &weak);
    push(
        Severity::Note,
        weak_ids,
        text,
        dimmest,
        settings.full.get(),
        cure,
    );
    let text = say!(
        "While the battery is charged ({charging} V) {} give up to {} of their light: they burn out soon. Check what charges it, \
         or take lamps rated for these volts.",
        listed(&over),
        percent(brightest)
    );
    let limit = settings.overdriven.get();
    push(Severity::Caution, over, text, brightest, limit, None);
    let lasts = if hours < f64::MAX {
        say!(", some {} h", significant(hours))
    } else {
        String::new()
    };
    let text = say!(
        "While the battery is charged ({charging} V) the filaments of {} last as little as {} of their rated life{lasts}: keep \
         spare lamps, or take lamps rated for these volts.",
        listed(&worn),
        percent(shortest)
    );
    push(Severity::Note, worn, text, shortest, SHORT_LIFE, None);
}

/// Thicker wires to all of these lamps, so that each has its light with a low battery; `None` where wires alone do not do it.
fn thicker(evidence: &Evidence, lamps: &[usize]) -> Option<Remedy> {
    /// Room for currents that rise with the light.
    const ROOM: f64 = 1.25;
    let plan = evidence.plan;
    let mut sizes: OrdMap<usize, &conductor::Row> = OrdMap::new();
    for load in evidence
        .loads
        .lamps
        .iter()
        .filter(|l| lamps.contains(&l.lamp))
    {
        let (_, drop) = load.drops.first()?;
        let wanted = plan.settings.full.get() / load.low.level.max(1e-6);
        let more = load.low.volts * (libm::pow(wanted, 1.0 / FLUX_EXPONENT) - 1.0);
        let limit = drop.along_wires() - ROOM * more;
        let on_way: Vec<(usize, f64)> = drop.wires.iter().map(|&(w, v, _)| (w, v)).collect();
        for (wire, row) in remedy::thicker(plan, &on_way, limit).filter(|_| limit > 0.0)? {
            let entry = sizes.entry(wire).or_insert(row);
            if row.area_mm2 > entry.area_mm2 {
                *entry = row;
            }
        }
    }
    let sizes: Vec<(usize, &conductor::Row)> = sizes.into_iter().collect();
    remedy::wires(plan, &sizes)
}

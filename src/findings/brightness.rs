//! Light beyond the planned battery: stop against tail, lamps at low and charging volts, and their life.

use super::{Check, Evidence, Finding, Severity, listed};
use crate::behaviour::Table;
use crate::catalog::lamp::{self, LIFE_EXPONENT};
use crate::catalog::law::{STOP_TO_TAIL, STOP_TO_TAIL_ON_AXIS};
use crate::plan::{Duty, Kind, Lamp, LampId, Part, Rules, Show};
use crate::units::significant;

pub(super) const CHECK: Check = Check {
    name: "brightness",
    what: "Stop outshines tail, and lamps are neither weak with a low battery nor overdriven while it is charged.",
    run,
};

const RATIO: &str =
    "SAE J586 in FMVSS 108: stop at least 3 times, on axis 5 times as bright as tail";
const RERATING: &str =
    "lamp re-rating law (flux 3.4, life −12), valid from 0.8 to 1.2 of rated volts";
/// Share of its rated life below which a filament is spoken of.
const SHORT_LIFE: f64 = 0.25;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    for part in &evidence.plan.parts {
        if let Kind::Lamp(lamp) = &part.kind {
            stop_to_tail(evidence, part, lamp, out);
        }
    }
    levels(evidence, out);
}

/// Light of a filament as a share of its rating where it is wished: the lowest and the highest of all rows.
fn lit(table: &Table, id: &LampId) -> Option<(f64, f64)> {
    let lamp = table.lamps.iter().position(|l| l == id)?;
    let levels = table.rows.iter().filter_map(|row| {
        let cell = row.cells.get(lamp)?;
        let level = cell.bright().level;
        (matches!(cell.wish, Show::Steady | Show::Flashing) && level > 0.0).then_some(level)
    });
    levels.fold(None, |range, level| match range {
        None => Some((level, level)),
        Some((low, high)) => Some((f64::min(low, level), f64::max(high, level))),
    })
}

fn stop_to_tail(evidence: &Evidence, part: &Part, lamp: &Lamp, out: &mut Vec<Finding>) {
    let Some(row) = lamp.model.as_deref().and_then(lamp::find) else {
        return;
    };
    let lumens = |index: usize| row.filaments.get(index)?.light.lumens();
    let with = |duty: Duty, without: Duty| {
        let mut filaments = lamp.filaments.iter().enumerate();
        filaments.find(|(_, f)| f.duties.contains(&duty) && !f.duties.contains(&without))
    };
    let (Some((s, stop)), Some((t, tail))) =
        (with(Duty::Stop, Duty::Tail), with(Duty::Tail, Duty::Stop))
    else {
        return;
    };
    let (Some(stop_lm), Some(tail_lm)) = (lumens(s), lumens(t)) else {
        return;
    };
    let of = |name: &str| lit(evidence.table, &LampId::new(&part.id, name));
    let (Some((stop_low, _)), Some((_, tail_high))) = (of(&stop.id), of(&tail.id)) else {
        return;
    };
    let ratio = stop_low * stop_lm.get() / (tail_high * tail_lm.get()).max(1e-9);
    if ratio >= STOP_TO_TAIL_ON_AXIS {
        return;
    }
    let road = evidence.plan.settings.sizing.rules == Rules::UsRoad;
    let severity = if ratio < STOP_TO_TAIL && road {
        Severity::Fault
    } else {
        Severity::Caution
    };
    let text = format!(
        "The stop light of {} is only {} times as bright as its tail light: who follows may not see the difference.",
        part.id,
        significant(ratio)
    );
    out.push(
        Finding::new(&CHECK, severity, vec![part.id.to_string()], text, RATIO).measured(
            format!("{} : 1", significant(ratio)),
            format!("{STOP_TO_TAIL_ON_AXIS} : 1"),
        ),
    );
}

fn levels(evidence: &Evidence, out: &mut Vec<Finding>) {
    let (plan, loads) = (evidence.plan, &evidence.loads);
    let settings = &plan.settings;
    let rated = |id: &LampId| {
        let part = plan.part(&id.part)?;
        match &part.kind {
            Kind::Lamp(lamp) => lamp
                .filaments
                .iter()
                .find(|f| f.id == id.circuit)
                .map(|f| f.rated_v.get()),
            _ => None,
        }
    };
    let (mut weak, mut over, mut worn) = (Vec::new(), Vec::new(), Vec::new());
    let (mut dimmest, mut brightest, mut shortest) = (f64::MAX, 0.0_f64, f64::MAX);
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
            weak.push(id.to_string());
            dimmest = dimmest.min(load.low.level);
        }
        let (_, charging) = &load.charging;
        if charging.level > settings.overdriven.get() {
            over.push(id.to_string());
            brightest = brightest.max(charging.level);
        } else if let Some(rated) = rated(id).filter(|&v| v > 0.0 && charging.volts > 0.0) {
            let life = libm::pow(charging.volts / rated, LIFE_EXPONENT);
            if life < SHORT_LIFE {
                worn.push(id.to_string());
                shortest = shortest.min(life);
            }
        }
    }
    let percent = |share: f64| format!("{} %", significant(100.0 * share));
    let mut push = |severity, ids: Vec<String>, text: String, found: f64, limit: f64| {
        if !ids.is_empty() {
            let finding = Finding::new(&CHECK, severity, ids, text, RERATING);
            out.push(finding.measured(percent(found), percent(limit)));
        }
    };
    let [_, low, charging] = loads.volts.map(significant);
    let text = format!(
        "With a low battery ({low} V) {} give {} of their light or a little more.",
        listed(&weak),
        percent(dimmest)
    );
    push(Severity::Note, weak, text, dimmest, settings.full.get());
    let text = format!(
        "While the battery is charged ({charging} V) {} give up to {} of their light: they burn out soon.",
        listed(&over),
        percent(brightest)
    );
    let limit = settings.overdriven.get();
    push(Severity::Caution, over, text, brightest, limit);
    let text = format!(
        "While the battery is charged ({charging} V) the filaments of {} last as little as {} of their rated life.",
        listed(&worn),
        percent(shortest)
    );
    push(Severity::Note, worn, text, shortest, SHORT_LIFE);
}

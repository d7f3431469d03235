//! Diodes: average current, surge of cold filaments, junction temperature, reverse voltage.
//!
//! The junction stands above its surroundings by its power times the thermal resistance of the sheet. Sheets print a range
//! (8 to 20 K/W, 125 to 150 °C for the 10 A types), of which the worst is used: a caution, no fault.
//! In a flashing circuit the power is that of half the time.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, row_words};
use crate::behaviour::Load;
use crate::catalog::{diode, transient};
use crate::plan::{Diode, Kind};
use crate::text::{self, mark, say};
use crate::units::{Amps, Celsius, Volts, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("diode"),
    what: mark!("No diode carries, surges, heats or blocks beyond its data sheet."),
    run,
};

const SHEET: &str = mark!("maximum ratings of the diode's data sheet");
const LOOM: &str =
    mark!("common practice: 50 to 70 % of the average rating in a closed loom (from memory)");
const JUMP: &str =
    mark!("ISO 16750-2: jump start, reversed battery and clamped load dump (from memory)");

/// What one diode bears, and what of it is too much.
struct Strain {
    average: f64,
    surge: f64,
    junction_c: Option<f64>,
    blocked: f64,
}

fn strain(row: &diode::Row, load: &Load, ambient_c: f64) -> Strain {
    let peak = load.worst();
    // On for half the time where the heating current is that of a flashing load, else all the time.
    let share = if peak > 0.0 {
        (load.worst_heat() / peak).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let average = peak * share * share;
    let watts = average * row.drop_at(Amps::of(peak)).get();
    Strain {
        average,
        surge: load.inrush,
        junction_c: row.rth_ja_k_per_w.map(|rth| ambient_c + rth * watts),
        blocked: load.blocked.value,
    }
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let ambient = plan.settings.sizing.part_ambient().get();
    let supply = transient::at(evidence.loads.volts[0]);
    for (i, part) in plan.parts.iter().enumerate() {
        let Kind::Diode(model) = &part.kind else {
            continue;
        };
        let (Some(row), Some(load)) = (diode::find(&model.model), evidence.loads.part(i).next())
        else {
            continue;
        };
        let has = strain(row, load, ambient);
        let state = row_words(evidence, load.peak.row);
        let id = &part.id;
        let mut push = |severity, text: String, source, found: String, limit: String| {
            out.push(
                Finding::new(&CHECK, severity, vec![id.to_string()], text, source)
                    .measured(found, limit)
                    .cured_by([better(evidence, i, load)]),
            );
        };
        let amps = |value: f64| Amps::of(value).to_string();
        if has.average > row.if_av_amps {
            let text = say!(
                "{id} ({}) carries {} on average with {state}, more than its {}: it burns out.",
                row.key,
                amps(has.average),
                amps(row.if_av_amps)
            );
            push(
                Severity::Fault,
                text,
                SHEET,
                amps(has.average),
                amps(row.if_av_amps),
            );
        } else if has.average > diode::LOOM_SHARE * row.if_av_amps {
            let limit = amps(diode::LOOM_SHARE * row.if_av_amps);
            let text = say!(
                "{id} ({}) carries {} on average with {state}: wrapped into a loom it should bear {limit} at most. Give it \
                 air and long leads, or take a larger one.",
                row.key,
                amps(has.average)
            );
            push(Severity::Caution, text, LOOM, amps(has.average), limit);
        }
        if has.surge > row.ifsm_amps {
            let text = say!(
                "Cold filaments draw {} through {id} ({}) with {state}, more than the {} it bears for 8.3 ms.",
                amps(has.surge),
                row.key,
                amps(row.ifsm_amps)
            );
            push(
                Severity::Fault,
                text,
                SHEET,
                amps(has.surge),
                amps(row.ifsm_amps),
            );
        }
        if let (Some(junction), Some(most)) = (has.junction_c, row.tj_max_c)
            && junction > most
        {
            let (found, limit) = (Celsius::of(junction), Celsius::of(most));
            let text = say!(
                "The junction of {id} ({}) reaches {found} in still air of {ambient} °C with {state}, above its {limit}, by the \
                 worst figures of its sheet. Give it long leads or a plate of metal, or take a larger one.",
                row.key,
                ambient = text::number(ambient.to_string()),
            );
            push(
                Severity::Caution,
                text,
                SHEET,
                found.to_string(),
                limit.to_string(),
            );
        }
        let volts = |value: f64| Volts::of(value).to_string();
        if has.blocked > row.vrrm_volts {
            let text = say!(
                "{id} ({}) has to block {} and stands {}.",
                row.key,
                volts(has.blocked),
                volts(row.vrrm_volts)
            );
            push(
                Severity::Fault,
                text,
                SHEET,
                volts(has.blocked),
                volts(row.vrrm_volts),
            );
        } else if row.vrrm_volts < supply.clamped_dump_volts {
            let text = say!(
                "{id} ({}) stands {} in reverse: a jump start brings {}, a load dump behind an alternator {} \
                 and more. Take one of {} or more.",
                row.key,
                volts(row.vrrm_volts),
                volts(supply.jump_volts),
                volts(supply.clamped_dump_volts),
                volts(supply.practice_volts)
            );
            push(
                Severity::Caution,
                text,
                JUMP,
                volts(row.vrrm_volts),
                volts(supply.clamped_dump_volts),
            );
        }
    }
}

/// Whether a type bears a load with the margins of practice.
pub fn bears(row: &diode::Row, load: &Load, ambient_c: f64, battery_volts: f64) -> bool {
    let has = strain(row, load, ambient_c);
    let cool = match (has.junction_c, row.tj_max_c) {
        (Some(junction), Some(most)) => junction <= most,
        _ => true,
    };
    cool && has.average <= diode::LOOM_SHARE * row.if_av_amps
        && has.surge <= row.ifsm_amps
        && has.blocked <= row.vrrm_volts
        && row.vrrm_volts >= transient::at(battery_volts).clamped_dump_volts
}

/// The first type of the same kind that bears the load with the margins of practice.
fn better(evidence: &Evidence, index: usize, load: &Load) -> Option<Remedy> {
    let plan = evidence.plan;
    let Kind::Diode(now) = &plan.parts.get(index)?.kind else {
        return None;
    };
    let kind = diode::find(&now.model)?.kind;
    let ambient = plan.settings.sizing.part_ambient().get();
    let row = diode::ROWS
        .iter()
        .find(|row| row.kind == kind && bears(row, load, ambient, evidence.loads.volts[0]));
    // Silicon stands more volts and has the larger types: it steps in where no Schottky does.
    let row = row.or_else(|| {
        diode::ROWS
            .iter()
            .find(|row| bears(row, load, ambient, evidence.loads.volts[0]))
    })?;
    let title = say!(
        "Take a {} ({} A, {} V)",
        row.key,
        significant(row.if_av_amps),
        significant(row.vrrm_volts)
    );
    let kind = Kind::Diode(Diode {
        model: row.key.into(),
        ..now.clone()
    });
    remedy::part(plan, index, title, kind)
}

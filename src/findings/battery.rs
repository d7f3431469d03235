//! The battery: how long it lasts with everything on and as it is used, what drains it at rest, how full its planned volts
//! say it is.
//!
//! Run time after Peukert on the 20 h convention (LiFePO4 with an exponent next to 1), less in the cold, down to the depth
//! that the chemistry bears.

use super::duty::{draws, mean, used_share};
use super::{Check, Evidence, Finding, Remedy, Severity, listed, remedy, row_words};
use crate::catalog::battery::{self, Row};
use crate::plan::{Battery, Kind, position_word};
use crate::text::{self, mark, say};
use crate::units::{AmpHours, Amps, Volts, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("battery"),
    what: mark!(
        "The battery is not drained at rest, is full enough as planned, and lasts as long as it is told."
    ),
    run,
};

const TIME: &str = mark!("Peukert's relation, 20 h convention, with usual exponents (from memory)");
const REST: &str = mark!("common practice: a vehicle that stands two weeks still starts");
const CHARGE: &str = mark!("resting volts of lead-acid and LiFePO4 batteries, ±15 % of charge");
/// Hours a vehicle may stand: two weeks.
const STAND_HOURS: f64 = 14.0 * 24.0;
/// Share of charge below which a lead-acid battery should not be left.
const HALF: f64 = 0.5;
/// Capacities that batteries are made in, in ampere-hours, common practice.
const CAPACITIES: [f64; 13] = [
    7.0, 12.0, 18.0, 26.0, 33.0, 44.0, 60.0, 74.0, 100.0, 120.0, 150.0, 200.0, 280.0,
];
/// Less than this many amperes at rest is leakage.
const LEAKAGE_AMPS: f64 = 1e-3;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let Some(cells) = plan.battery() else { return };
    let Some(row) = battery::find(cells.chemistry.key()) else {
        return;
    };
    let id: Vec<String> = plan
        .parts
        .iter()
        .find(|part| matches!(part.kind, Kind::Battery(_)))
        .map(|part| part.id.to_string())
        .into_iter()
        .collect();
    let capacity = cells.capacity_ah.get();
    let celsius = plan.settings.sizing.ambient_c.get();
    let hours = |amps: f64| row.depth * row.hours(capacity, amps, celsius);
    let draw = draws(evidence);

    let charge = row.charge(cells.open_circuit_v.get());
    if charge < HALF {
        let text = say!(
            "{} at rest means that the battery is about {:.0} % full: a lead-acid battery left below half ages fast. Charge it, and \
             plan with a full one.",
            cells.open_circuit_v,
            100.0 * charge
        );
        out.push(
            Finding::new(&CHECK, Severity::Caution, id.clone(), text, CHARGE)
                .measured(format!("{:.0} %", 100.0 * charge), "50 %".into())
                .cured_by([full(evidence, cells, row)]),
        );
    }
    let rest = draw.first().copied().unwrap_or(0.0);
    if rest > LEAKAGE_AMPS && hours(rest) < STAND_HOURS {
        let text = say!(
            "With everything at rest {} still run: the battery is at {:.0} % after {}. A master switch cuts that off; a larger battery \
             bears it longer.",
            Amps::of(rest),
            100.0 * (1.0 - row.depth),
            time(hours(rest))
        );
        out.push(
            Finding::new(&CHECK, Severity::Caution, id.clone(), text, REST)
                .measured(time(hours(rest)), time(STAND_HOURS))
                .cured_by([larger(
                    evidence,
                    cells,
                    capacity * STAND_HOURS / hours(rest),
                )]),
        );
    }
    let most = draw
        .iter()
        .copied()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
    if let Some((at, amps)) = most.filter(|&(_, amps)| amps > LEAKAGE_AMPS && capacity > 0.0) {
        let text = say!(
            "From full, {} Ah last {} with {} ({}), without charging and down to {:.0} %.{}",
            significant(capacity),
            time(hours(amps)),
            row_words(evidence, at),
            Amps::of(amps),
            100.0 * (1.0 - row.depth),
            cold(row, celsius)
        );
        out.push(Finding::new(&CHECK, Severity::Note, id.clone(), text, TIME));
    }
    used(evidence, row, capacity, &draw, id, out);
}

/// Run time as the vehicle is used: each state takes its share of the charge, by its own current.
fn used(
    evidence: &Evidence,
    row: &Row,
    capacity: f64,
    draw: &[f64],
    id: Vec<String>,
    out: &mut Vec<Finding>,
) {
    let plan = evidence.plan;
    let celsius = plan.settings.sizing.ambient_c.get();
    let per_hour = |i: usize| match draw.get(i) {
        Some(&amps) if amps > LEAKAGE_AMPS => 1.0 / row.hours(capacity, amps, celsius),
        _ => 0.0,
    };
    let rate = mean(evidence, per_hour).filter(|&rate| rate > 0.0 && capacity > 0.0);
    let Some(rate) = rate else { return };
    let mut profile: Vec<String> = Vec::new();
    for (c, control) in plan.controls.iter().enumerate() {
        for (p, position) in control.positions.iter().enumerate().skip(1) {
            let share = used_share(plan, c, p);
            if share > 0.0 {
                profile.push(format!(
                    "{} {} {:.0} %",
                    control.label,
                    position_word(position),
                    100.0 * share
                ));
            }
        }
    }
    let text = say!(
        "As it is used, from full {} Ah last {} without charging and down to {:.0} %: {} of the time (see the settings).",
        significant(capacity),
        time(row.depth / rate),
        100.0 * (1.0 - row.depth),
        listed(&profile)
    );
    out.push(Finding::new(&CHECK, Severity::Note, id, text, TIME));
}

/// What the cold takes, where it takes something.
fn cold(row: &Row, celsius: f64) -> String {
    let share = row.hours(1.0, 1e-6, celsius) / row.hours(1.0, 1e-6, battery::WARM_C);
    if share < 1.0 {
        say!(
            " At {celsius} °C it holds {:.0} % of its capacity.",
            100.0 * share,
            celsius = text::number(celsius.to_string())
        )
    } else {
        String::new()
    }
}

/// Hours as people say them.
fn time(hours: f64) -> String {
    if hours < 1.0 {
        say!("{:.0} min", 60.0 * hours)
    } else if hours < 48.0 {
        format!("{} h", significant(hours))
    } else {
        say!("{:.0} days", hours / 24.0)
    }
}

/// The plan with a battery of these ratings in the place of the first.
fn with(evidence: &Evidence, title: String, battery: Battery) -> Option<Remedy> {
    let parts = &evidence.plan.parts;
    let index = parts
        .iter()
        .position(|part| matches!(part.kind, Kind::Battery(_)))?;
    remedy::part(evidence.plan, index, title, Kind::Battery(battery))
}

/// The battery fully charged.
fn full(evidence: &Evidence, now: &Battery, row: &Row) -> Option<Remedy> {
    let &(_, cell) = row.rest.last()?;
    let open_circuit_v = Volts::of(cell * row.cells(now.open_circuit_v.get()));
    let battery = Battery {
        open_circuit_v,
        ..now.clone()
    };
    with(
        evidence,
        say!("Plan with a full battery, {open_circuit_v}"),
        battery,
    )
}

/// A battery of the next usual capacity from this one on.
fn larger(evidence: &Evidence, now: &Battery, ampere_hours: f64) -> Option<Remedy> {
    /// Room for the rounding of run times.
    const ROOM: f64 = 1.02;
    let usual = CAPACITIES.into_iter().find(|&c| c >= ROOM * ampere_hours)?;
    let capacity_ah = AmpHours::of(usual);
    let battery = Battery {
        capacity_ah,
        ..now.clone()
    };
    with(evidence, say!("Take a battery of {capacity_ah}"), battery)
}

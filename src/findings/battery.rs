//! The battery: how long it lasts, what drains it at rest, how full its planned volts say it is. Of a battery that feeds a
//! converter the last only.

use super::{Check, Evidence, Finding, Severity, row_words};
use crate::catalog::battery::{self, Row};
use crate::plan::{Kind, Part};
use crate::units::{Amps, significant};

pub(super) const CHECK: Check = Check {
    name: "battery",
    what: "The battery is not drained at rest, is full enough as planned, and lasts as long as it is told.",
    run,
};

const TIME: &str = "Peukert's relation, 20 h convention, with usual exponents (from memory)";
const REST: &str = "common practice: a vehicle that stands two weeks still starts";
const CHARGE: &str = "resting volts of lead-acid and LiFePO4 batteries, ±15 % of charge";
/// Hours a vehicle may stand: two weeks.
const STAND_HOURS: f64 = 14.0 * 24.0;
/// Share of charge below which a lead-acid battery should not be left.
const HALF: f64 = 0.5;
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
    let draw = &evidence.table.tally.draw;

    let charge = row.charge(cells.open_circuit_v.get());
    if charge < HALF {
        let text = format!(
            "{} at rest means that the battery is about {:.0} % full: a lead-acid battery left below half ages fast.",
            cells.open_circuit_v,
            100.0 * charge
        );
        out.push(
            Finding::new(&CHECK, Severity::Caution, id.clone(), text, CHARGE)
                .measured(format!("{:.0} %", 100.0 * charge), "50 %".into()),
        );
    }
    // A converter is solved as if it gave its rated output all the time, so what it takes says nothing of run time.
    let converters = |part: &Part| matches!(part.kind, Kind::Converter(_));
    if plan.parts.iter().any(converters) {
        return;
    }
    let rest = draw.first().copied().unwrap_or(0.0);
    if rest > LEAKAGE_AMPS && hours(rest) < STAND_HOURS {
        let text = format!(
            "With everything at rest {} still run: the battery is at {:.0} % after {}.",
            Amps::of(rest),
            100.0 * (1.0 - row.depth),
            time(hours(rest))
        );
        out.push(
            Finding::new(&CHECK, Severity::Caution, id.clone(), text, REST)
                .measured(time(hours(rest)), time(STAND_HOURS)),
        );
    }
    let most = draw
        .iter()
        .copied()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
    if let Some((at, amps)) = most.filter(|&(_, amps)| amps > LEAKAGE_AMPS && capacity > 0.0) {
        let text = format!(
            "From full, {} Ah last {} with {} ({}), without charging and down to {:.0} %.{}",
            significant(capacity),
            time(hours(amps)),
            row_words(evidence, at),
            Amps::of(amps),
            100.0 * (1.0 - row.depth),
            cold(row, celsius)
        );
        out.push(Finding::new(&CHECK, Severity::Note, id, text, TIME));
    }
}

/// What the cold takes, where it takes something.
fn cold(row: &Row, celsius: f64) -> String {
    let share = row.hours(1.0, 1e-6, celsius) / row.hours(1.0, 1e-6, battery::WARM_C);
    if share < 1.0 {
        format!(
            " At {celsius} °C it holds {:.0} % of its capacity.",
            100.0 * share
        )
    } else {
        String::new()
    }
}

/// Hours as people say them.
fn time(hours: f64) -> String {
    if hours < 1.0 {
        format!("{:.0} min", 60.0 * hours)
    } else if hours < 48.0 {
        format!("{} h", significant(hours))
    } else {
        format!("{:.0} days", hours / 24.0)
    }
}

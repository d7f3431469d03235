//! Charge balance: whether an alternator, a mains charger or a converter gives what the lamps take, and what it leaves for
//! the battery.
//!
//! In each state in which a charger runs the battery either gives or takes; that is read from the table. A converter is
//! loaded to what its output gives. Charging ends slowly, so the time to refill is told for half of the usable charge at a
//! fifth of the capacity at most.

use super::duty::{draws, mean};
use super::words::row_words;
use super::{Check, Evidence, Finding, Severity, remedy};
use crate::behaviour::State;
use crate::catalog::battery;
use crate::plan::{Charger, Converter, Kind, Plan};
use crate::text::{mark, say};
use crate::units::{Amps, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("charge balance"),
    what: mark!(
        "What charges gives more than the lamps take, and no converter is loaded to its limit."
    ),
    run,
};

const BALANCE: &str = mark!(
    "sum of currents in every state in which the charger runs; charge with a fifth of the capacity at most, common practice"
);
const RATED: &str =
    mark!("rated output of the converter; common practice: load it to 80 % at most");
/// Less than this many amperes is no drain.
const DRAIN_AMPS: f64 = 0.05;
/// Share of its rating that a converter is loaded to at most, common practice.
const CONVERTER_LOAD: f64 = 0.8;
/// Largest charging current as a share of the capacity, in amperes per ampere-hour, common practice.
const FASTEST: f64 = 0.2;
/// Ratings that chargers, alternators and converters are made in, in amperes, common practice.
const RATINGS: [f64; 15] = [
    2.0, 3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 55.0, 70.0, 90.0, 120.0, 150.0,
];

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    for (i, part) in evidence.plan.parts.iter().enumerate() {
        match &part.kind {
            Kind::Charger(charger) => charges(evidence, i, charger, out),
            Kind::Converter(converter) => converts(evidence, i, converter, out),
            _ => {}
        }
    }
}

/// Whether a charger runs in a state.
fn runs(plan: &Plan, charger: &Charger, state: &State) -> bool {
    let Some(runs) = &charger.runs else {
        return true;
    };
    let control = plan
        .controls
        .iter()
        .position(|control| control.id == runs.control);
    let position = control.and_then(|c| plan.controls[c].positions.get(state.position(c)));
    position.is_some_and(|position| runs.positions.contains(position))
}

fn charges(evidence: &Evidence, index: usize, charger: &Charger, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    let Some(cells) = plan.battery() else { return };
    let draws = draws(evidence);
    let running = |row: &usize| {
        table
            .rows
            .get(*row)
            .is_some_and(|r| runs(plan, charger, &r.state))
    };
    let rows: Vec<usize> = (0..draws.len()).filter(running).collect();
    let Some(&worst) = rows
        .iter()
        .max_by(|&&a, &&b| draws[a].total_cmp(&draws[b]).then(b.cmp(&a)))
    else {
        return;
    };
    let id = plan.parts[index].id.to_string();
    let capacity = cells.capacity_ah.get();
    let state = row_words(plan, table, worst, 0);
    if draws[worst] > DRAIN_AMPS {
        let need = charger.rated_a.get() + draws[worst];
        let text = say!(
            "With {state} the lamps take more than {id} gives: {} come from the battery, which runs down though it is charged. \
             Take a larger one, or lamps that take less.",
            Amps::of(draws[worst]),
        );
        let larger = RATINGS
            .into_iter()
            .find(|&amps| amps > 1.1 * need)
            .and_then(|amps| {
                let rated_a = Amps::of(amps);
                let kind = Kind::Charger(Charger {
                    rated_a,
                    ..charger.clone()
                });
                remedy::part(plan, index, say!("Take {rated_a} for {id}"), kind)
            });
        out.push(
            Finding::new(&CHECK, Severity::Caution, vec![id], text, BALANCE)
                .measured(Amps::of(need).to_string(), charger.rated_a.to_string())
                .cured_by([larger]),
        );
        return;
    }
    let left = -draws[worst];
    let depth = battery::find(cells.chemistry.key()).map_or(0.5, |row| row.depth);
    let amps = left.min(FASTEST * capacity);
    if amps > DRAIN_AMPS {
        let text = say!(
            "With {state} {id} leaves {} for the battery, the least of all states in which it runs: {} Ah come back in {} h.",
            Amps::of(left),
            significant(depth * capacity),
            significant(depth * capacity / amps),
        );
        out.push(Finding::new(
            &CHECK,
            Severity::Note,
            vec![id],
            text,
            BALANCE,
        ));
    }
}

fn converts(evidence: &Evidence, index: usize, converter: &Converter, out: &mut Vec<Finding>) {
    let (plan, table) = (evidence.plan, evidence.table);
    let Some(given) = table.tally.converters.iter().find(|c| c.part == index) else {
        return;
    };
    let most = given.output.iter().copied().enumerate();
    let Some((row, amps)) = most.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))) else {
        return;
    };
    let rated = converter.rated_a.get();
    let id = plan.parts[index].id.to_string();
    let usual = mean(evidence, |row| {
        given.output.get(row).copied().unwrap_or(0.0)
    });
    if amps > CONVERTER_LOAD * rated {
        let text = say!(
            "{id} gives {} with {}, {:.0} % of its rating: it gets hot, and above its rating the lamps dim. Take a larger one.",
            Amps::of(amps),
            row_words(plan, table, row, 0),
            100.0 * amps / rated.max(1e-9),
        );
        let larger = RATINGS
            .into_iter()
            .find(|&r| CONVERTER_LOAD * r >= 1.05 * amps && r > rated);
        let larger = larger.and_then(|amps| {
            let rated_a = Amps::of(amps);
            let kind = Kind::Converter(Converter {
                rated_a,
                ..converter.clone()
            });
            remedy::part(plan, index, say!("Take {rated_a} for {id}"), kind)
        });
        out.push(
            Finding::new(&CHECK, Severity::Caution, vec![id], text, RATED)
                .measured(
                    Amps::of(amps).to_string(),
                    Amps::of(CONVERTER_LOAD * rated).to_string(),
                )
                .cured_by([larger]),
        );
    } else if amps > DRAIN_AMPS {
        let usual = usual.map_or_else(String::new, |amps| {
            say!(", {} as it is used", Amps::of(amps))
        });
        let text = say!(
            "{id} gives {} at most, with {}{usual}.",
            Amps::of(amps),
            row_words(plan, table, row, 0)
        );
        out.push(
            Finding::new(&CHECK, Severity::Note, vec![id], text, RATED).measured(
                Amps::of(amps).to_string(),
                Amps::of(CONVERTER_LOAD * rated).to_string(),
            ),
        );
    }
}

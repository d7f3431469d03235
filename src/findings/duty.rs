//! How a vehicle is used, and what its battery gives for that.
//!
//! Each control stands in each of its positions for a share of the time, independent of the others; so a state has the
//! product of the shares of its positions. Over time the battery loses the mean of what each state takes of it, each by
//! Peukert's relation: 1/t = Σ p/t(I). Shares are set by hand, else they are those of practice: what stays where it is
//! put and burns steadily is on all the time, a pedal and what flashes a tenth of it.

use super::Evidence;
use crate::plan::{Action, Kind, Plan, Show, Wish};

/// Share of the time for a pedal or anything that flashes, common practice.
const SELDOM: f64 = 0.1;
/// A converter's least efficiency; below that its figures mean nothing.
const LEAST_EFFICIENCY: f64 = 0.01;

/// Share of the time, from 0 to 1, that a control (by index) stands in a position (by index).
pub fn used_share(plan: &Plan, control: usize, position: usize) -> f64 {
    let Some(control) = plan.controls.get(control) else {
        return 0.0;
    };
    let set = |position: usize| {
        let name = control.positions.get(position)?;
        Some(plan.settings.sizing.used.get(&control.id)?.get(name)?.get())
    };
    // What most wishes need is a master or ignition switch, and on while the vehicle is used.
    let flashes = |position: usize| {
        let name = control.positions.get(position);
        let lit = plan
            .wishes
            .iter()
            .filter(|wish| matches!(wish.show, Show::Steady | Show::Flashing));
        let named = |wish: &&Wish| {
            wish.when
                .get(&control.id)
                .is_some_and(|at| Some(at) == name)
        };
        let (all, needed) = (lit.clone().count(), lit.clone().filter(named).count());
        2 * needed <= all
            && lit
                .clone()
                .filter(named)
                .any(|wish| wish.show == Show::Flashing)
    };
    // A mains plug is out while the vehicle is used.
    let charges_only = plan.parts.iter().any(|part| {
        matches!(&part.kind, Kind::Charger(c) if c.runs.as_ref().is_some_and(|runs| runs.control == control.id))
    }) && !plan
        .parts
        .iter()
        .any(|part| matches!(&part.kind, Kind::Switch(switch) if switch.control == control.id));
    let moved = control.positions.len().saturating_sub(1).max(1);
    let usual = |position: usize| {
        let seldom = control.action == Action::Momentary || flashes(position);
        let share = match (charges_only, seldom) {
            (true, _) => 0.0,
            (false, true) => SELDOM,
            (false, false) => 1.0,
        };
        share / moved as f64
    };
    let share = |position: usize| {
        set(position)
            .unwrap_or_else(|| usual(position))
            .clamp(0.0, 1.0)
    };
    let all: f64 = (1..control.positions.len()).map(share).sum();
    let rest = (1.0 - all).max(0.0);
    // Shares that were set to more than the whole are taken in proportion.
    let scale = if all > 1.0 { 1.0 / all } else { 1.0 };
    if position == 0 {
        rest
    } else {
        scale * share(position)
    }
}

/// Amperes out of the first battery in each row of the table. A converter is solved as if it gave its rated output all the
/// time; here it takes what its output gives, by its efficiency.
pub(super) fn draws(evidence: &Evidence) -> Vec<f64> {
    let tally = &evidence.table.tally;
    let mut draws = tally.draw.clone();
    for converted in &tally.converters {
        let part = evidence.plan.parts.get(converted.part);
        let Some(Kind::Converter(converter)) = part.map(|part| &part.kind) else {
            continue;
        };
        let efficiency = converter.efficiency.get().max(LEAST_EFFICIENCY);
        // At rated volts the input is solved as taking the power of the rated output; so it tells the volts it stands at.
        let volts = converter.input_v.get();
        let rated =
            converter.output_v.get() * converter.rated_a.get() / efficiency / volts.max(1e-3);
        let flows = converted.input.iter().zip(&converted.output);
        for (draw, (taken, given)) in draws.iter_mut().zip(flows) {
            if *taken > 0.0 && rated > 0.0 {
                let stands = volts * taken / rated;
                *draw += converter.output_v.get() * given.max(0.0) / efficiency / stands - taken;
            }
        }
    }
    draws
}

/// Mean over the states of `of_row` as the vehicle is used; `None` where the table does not hold every state.
pub(super) fn mean(evidence: &Evidence, of_row: impl Fn(usize) -> f64) -> Option<f64> {
    let (plan, table) = (evidence.plan, evidence.table);
    let states: f64 = plan
        .controls
        .iter()
        .map(|c| c.positions.len() as f64)
        .product();
    if table.rows.len() as f64 != states {
        return None;
    }
    let shares: Vec<Vec<f64>> = plan
        .controls
        .iter()
        .enumerate()
        .map(|(c, control)| {
            (0..control.positions.len())
                .map(|p| used_share(plan, c, p))
                .collect()
        })
        .collect();
    let weight = |row: usize| -> f64 {
        let state = &table.rows[row].state;
        let of =
            |(c, shares): (usize, &Vec<f64>)| shares.get(state.position(c)).copied().unwrap_or(0.0);
        shares.iter().enumerate().map(of).product()
    };
    let terms = (0..table.rows.len()).map(|row| (weight(row), row));
    let terms = terms.filter(|&(weight, _)| weight > 0.0);
    Some(terms.map(|(weight, row)| weight * of_row(row)).sum())
}

//! Types of diodes, and the contacts of relays against their load.

use super::Choice;
use crate::behaviour::{Load, Loads};
use crate::catalog::{diode, relay};
use crate::findings::diode_bears;
use crate::plan::{Kind, Plan};
use crate::text::{self, say};
use crate::units::order::Order;
use crate::units::{Amps, significant};

fn bears(plan: &Plan, loads: &Loads, row: &diode::Row, load: &Load) -> bool {
    let ambient = plan.settings.sizing.part_ambient().get();
    diode_bears(row, load, ambient, loads.volts[0])
}

/// Types of a kind from the smallest current up.
fn types(kind: diode::Kind) -> Vec<&'static diode::Row> {
    let mut rows: Vec<_> = diode::ROWS.iter().filter(|row| row.kind == kind).collect();
    rows.order_by(|a, b| a.if_av_amps.total_cmp(&b.if_av_amps));
    rows
}

/// The smallest type of the same kind that bears the load with the margins of practice.
fn smallest(plan: &Plan, loads: &Loads, index: usize) -> Option<&'static diode::Row> {
    let Kind::Diode(now) = &plan.parts.get(index)?.kind else {
        return None;
    };
    let load = loads.part(index).next()?;
    let kind = diode::find(&now.model)?.kind;
    types(kind)
        .into_iter()
        .find(|row| bears(plan, loads, row, load))
}

/// Sets every diode that does not bear its load to the smallest type of its kind that does.
pub(super) fn choose(plan: &mut Plan, loads: &Loads) {
    for i in 0..plan.parts.len() {
        let Kind::Diode(now) = &plan.parts[i].kind else {
            continue;
        };
        let (Some(row), Some(load)) = (diode::find(&now.model), loads.part(i).next()) else {
            continue;
        };
        if bears(plan, loads, row, load) {
            continue;
        }
        if let Some(row) = smallest(plan, loads, i)
            && let Kind::Diode(diode) = &mut plan.parts[i].kind
        {
            diode.model = row.key.into();
        }
    }
}

/// Every diode and relay before and after.
pub(super) fn list(before: &Plan, after: &Plan, loads: &Loads) -> Vec<Choice> {
    let mut list = Vec::new();
    for (i, (old, new)) in before.parts.iter().zip(&after.parts).enumerate() {
        let choice = match (&old.kind, &new.kind) {
            (Kind::Diode(old), Kind::Diode(next)) => {
                let Some(load) = loads.part(i).next() else {
                    continue;
                };
                let amps = load.worst_heat();
                let rated = diode::find(&next.model).map(|row| row.if_av_amps);
                let least = smallest(after, loads, i);
                Choice {
                    id: new.id.to_string(),
                    kind: say!("diode"),
                    now: old.model.clone(),
                    smallest: least
                        .map_or_else(|| say!("size" => "none").into(), |row| row.key.into()),
                    largest: None,
                    recommended: next.model.clone(),
                    margin: rated.filter(|_| amps > 0.0).map(|rated| rated / amps - 1.0),
                    reason: say!(
                        "carries {}, at most {} of its average rating in a closed loom",
                        Amps::of(amps),
                        significant(diode::LOOM_SHARE)
                    ),
                }
            }
            (Kind::Relay(_), Kind::Relay(next)) => {
                let Some(row) = next.model.as_deref().and_then(relay::find) else {
                    continue;
                };
                // The first branch is the coil.
                let amps = loads.part(i).skip(1).map(Load::worst).fold(0.0, f64::max);
                let rated = row.make.amps_85c.unwrap_or(row.make.amps_23c);
                let does = |row: &&relay::Row| {
                    let rated = row.make.amps_85c.unwrap_or(row.make.amps_23c);
                    rated >= amps
                };
                let same_coil = |r: &&relay::Row| r.coil_volts == row.coil_volts;
                let least = relay::ROWS
                    .iter()
                    .filter(same_coil)
                    .filter(does)
                    .min_by(|a, b| a.make.amps_23c.total_cmp(&b.make.amps_23c));
                Choice {
                    id: new.id.to_string(),
                    kind: say!("relay"),
                    now: text::of(row.label).into(),
                    smallest: least
                        .map_or(say!("size" => "none"), |row| text::of(row.label))
                        .into(),
                    largest: None,
                    recommended: text::of(row.label).into(),
                    margin: (amps > 0.0).then(|| rated / amps - 1.0),
                    reason: say!(
                        "its contact carries {} of {}",
                        Amps::of(amps),
                        Amps::of(rated)
                    ),
                }
            }
            _ => continue,
        };
        list.push(choice);
    }
    list
}

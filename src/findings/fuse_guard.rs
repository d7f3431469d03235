//! Whether a fuse stands in front of every wire, near the battery and small enough for the wire.

use super::{Check, Evidence, Finding, Remedy, Severity, listed, remedy, wire_limit};
use crate::behaviour::Guard;
use crate::catalog::fuse_rule::{self, MOST_OF_AMPACITY, NEAR, SHEATHED, SHEATHED_BATTERY};
use crate::catalog::{conductor, fuse, wire_choice};
use crate::plan::{Change, Edit, Extra, Fuse, FuseBody, Kind, Part, Plan, TerminalId};
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::{Amps, Millimetres};

pub(super) const CHECK: Check = Check {
    name: mark!("fuse in front"),
    what: mark!(
        "Every wire has a fuse in front of it, near the battery, that opens before the wire is hurt."
    ),
    run,
};

const PLACE: &str = mark!(
    "33 CFR 183.455: at the source, within 7 in of it, or within 40 in in a sheath (72 in from a battery terminal, from memory)"
);
const SIZE: &str = mark!("33 CFR 183.455: at most 150 % of the wire's ampacity below 50 V");
const STRICT: &str = mark!("FAA AC 43.13-1B 11-48: the wire is rated above its protector");

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    placed(evidence, out);
    small_enough(evidence, out);
}

/// Wires that no fuse stands before, by how far they reach.
fn placed(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let length = |mm: f64| plan.settings.sizing.length(Millimetres::of(mm));
    let (mut bare, mut sheathed): (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    let (mut bare_mm, mut sheathed_mm) = (0.0_f64, 0.0_f64);
    for (i, guard) in evidence.loads.guards.wires.iter().enumerate() {
        let (Guard::None { reach_mm }, Some(wire)) = (guard, plan.wires.get(i)) else {
            continue;
        };
        let at_battery = [&wire.from, &wire.to].into_iter().any(|end| {
            let part = plan.part(&end.part);
            part.is_some_and(|part| matches!(part.kind, Kind::Battery(_)))
        });
        let far = if at_battery {
            SHEATHED_BATTERY
        } else {
            SHEATHED
        };
        if *reach_mm > far.get() {
            bare.push(i);
            bare_mm = bare_mm.max(*reach_mm);
        } else if *reach_mm > NEAR.get() {
            sheathed.push(i);
            sheathed_mm = sheathed_mm.max(*reach_mm);
        }
    }
    for (wires, reach, severity, words) in [
        (
            bare,
            bare_mm,
            Severity::Fault,
            say!("A short circuit there burns the wire: put a fuse at the battery."),
        ),
        (
            sheathed,
            sheathed_mm,
            Severity::Caution,
            say!(
                "That is allowed in a sheath or conduit all the way; better move the fuse to the battery."
            ),
        ),
    ] {
        if wires.is_empty() {
            continue;
        }
        let ids: Vec<String> = wires
            .iter()
            .map(|&w| plan.wires[w].id.to_string())
            .collect();
        let text = say!(
            "No fuse stands between the battery and {} for {} of wire. {words}",
            listed(&ids),
            length(reach)
        );
        let added = wires
            .iter()
            .map(|&wire| fuse_at_battery(evidence, wire))
            .find(Option::is_some);
        out.push(
            Finding::new(&CHECK, severity, ids, text, PLACE)
                .measured(length(reach), length(NEAR.get()))
                .cured_by([added.flatten()]),
        );
    }
}

/// Fuses that are too large for wires behind them.
fn small_enough(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let strict = plan.settings.sizing.strict_fuses;
    // By fuse: wires over the rule with the largest fuse it allows, wires over the strict practice with what they bear.
    let mut over: OrdMap<(usize, bool), Vec<(usize, f64)>> = OrdMap::new();
    let mut ratings: OrdMap<usize, f64> = OrdMap::new();
    for (i, guard) in evidence.loads.guards.wires.iter().enumerate() {
        let Some(limit) = wire_limit::of(plan, i) else {
            continue;
        };
        let (part, amps) = match guard {
            Guard::Fuse { part, amps } => (part, amps),
            // Up to a fuse beside it, what a charger or converter gives need not be borne.
            Guard::Limited {
                part,
                amps,
                reach_mm,
            } if *reach_mm > NEAR.get() => (part, amps),
            _ => continue,
        };
        ratings.insert(*part, *amps);
        if *amps > limit.fuse {
            over.entry((*part, true)).or_default().push((i, limit.fuse));
        } else if *amps > limit.practice {
            over.entry((*part, false))
                .or_default()
                .push((i, limit.practice));
        }
    }
    for ((part, broken), wires) in over {
        let rating = ratings.get(&part).copied().map_or(Amps::ZERO, Amps::of);
        let least = wires.iter().map(|&(_, amps)| amps).fold(f64::MAX, f64::min);
        let most = least;
        // What the wires bear for good, beside what the rule allows in front of them.
        let bears = if broken && !strict {
            least / MOST_OF_AMPACITY
        } else {
            least
        };
        let ids: Vec<String> = wires
            .iter()
            .map(|&(w, _)| plan.wires[w].id.to_string())
            .collect();
        let id = &plan.parts[part].id;
        let (severity, source, words) = if broken {
            let words = say!("the wire burns before it opens");
            (Severity::Fault, if strict { STRICT } else { SIZE }, words)
        } else {
            let words =
                say!("the rule allows it up to 150 %, but a lasting overload heats the wire first");
            (Severity::Caution, STRICT, words)
        };
        let text = say!(
            "{id} ({}) is larger than {} can bear for good ({} at least): {words}.",
            rating,
            listed(&ids),
            Amps::of(bears)
        );
        let mut about = vec![id.to_string()];
        about.extend(ids);
        out.push(
            Finding::new(&CHECK, severity, about, text, source)
                .measured(rating.to_string(), Amps::of(most).to_string())
                .cured_by([
                    smaller_fuse(evidence, part, bears),
                    thicker_wires(plan, &wires, rating.get()),
                ]),
        );
    }
}

/// The largest rating within a wire's ampacity, if it still carries what runs through the fuse.
fn smaller_fuse(evidence: &Evidence, part: usize, ampacity: f64) -> Option<Remedy> {
    let row = fuse_rule::fuse_for_wire(Amps::of(ampacity))?;
    let load = evidence.loads.part(part).next()?.worst();
    (load <= fuse_rule::MOST_LOAD * row.rating_amps)
        .then(|| remedy::fuse(evidence.plan, part, row.rating_amps))
        .flatten()
}

/// Each wire in the smallest size that bears the fuse's rating.
fn thicker_wires(plan: &Plan, wires: &[(usize, f64)], rating: f64) -> Option<Remedy> {
    let sizes: Vec<(usize, &conductor::Row)> = wires
        .iter()
        .filter_map(|&(i, _)| {
            let wire = plan.wires.get(i)?;
            let system = conductor::find(&wire.size)?.system;
            let bears = |row: &&conductor::Row| {
                wire_limit::of_size(plan, wire.insulation_c, row)
                    .is_some_and(|limit| limit.practice >= rating)
            };
            Some((i, wire_choice::sizes(system).find(bears)?))
        })
        .collect();
    (sizes.len() == wires.len())
        .then(|| remedy::wires(plan, &sizes))
        .flatten()
}

/// A fuse put into a wire that starts at a battery, 7 in from it.
fn fuse_at_battery(evidence: &Evidence, index: usize) -> Option<Remedy> {
    let plan = evidence.plan;
    let wire = plan.wires.get(index)?;
    let battery = plan.part(&wire.from.part)?;
    if !matches!(battery.kind, Kind::Battery(_)) || wire.length_mm <= NEAR {
        return None;
    }
    let load = Amps::of(evidence.loads.wire(index)?.worst());
    let rating_a = Amps::of(
        fuse_rule::fuse_for_load(load)
            .or(fuse::ROWS.last())?
            .rating_amps,
    );
    let id = plan.free_part_id("F");
    let part = Part {
        id: id.clone(),
        label: say!("Fuse of {}", wire.id),
        place: battery.place.clone(),
        why: say!("opens before {} and what is behind it burns", wire.id),
        kind: Kind::Fuse(Fuse {
            rating_a,
            body: FuseBody::Blade,
            extra: Extra::new(),
        }),
        extra: Extra::new(),
    };
    // Kept a little under the limit, so that a file's rounding cannot break it.
    let near = Millimetres::of(150.0);
    let mut lead = wire.clone();
    lead.id = plan.free_wire_id();
    lead.to = TerminalId::new(&id, "1");
    lead.length_mm = near;
    lead.why = say!("battery to fuse, kept short").into();
    let mut rest = wire.clone();
    rest.from = TerminalId::new(&id, "2");
    rest.length_mm = Millimetres::of(wire.length_mm.get() - near.get());
    Some(Remedy {
        title: say!(
            "Put a fuse of {rating_a} into {}, {} from the battery",
            wire.id,
            plan.settings.sizing.length(near)
        ),
        edit: Edit::All(vec![
            Edit::add_part(part),
            Edit::Wire(Change::Replace {
                id: wire.id.clone(),
                item: rest,
            }),
            Edit::add_wire(lead),
        ]),
    })
}

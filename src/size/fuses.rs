//! Ratings of fuses: from the load, the inrush and the fuses behind them; the largest that the wires bear.

use super::{Choice, Watch};
use crate::behaviour::{Guard, Loads};
use crate::catalog::{conductor, fuse, fuse_rule};
use crate::findings::wire_limit;
use crate::plan::{Kind, Plan};
use crate::text::say;
use crate::units::{Amps, significant};

/// A fuse nearer to the battery has at least this multiple of the one behind it.
const SELECTIVE: f64 = 2.0;
/// A fuse must open from this multiple of its rating on.
const MUST_OPEN: f64 = 1.35;

/// Current through a fuse (by index of the part) in the bright phase of a flasher. A unit may be closed for three quarters
/// of the time (49 CFR 571.108, figure 2) or stick, so its pauses are not counted on.
fn load(loads: &Loads, part: usize) -> f64 {
    loads.part(part).next().map_or(0.0, |load| load.worst())
}

/// Current that heats a fuse, pauses counted.
fn heat(loads: &Loads, part: usize) -> f64 {
    loads
        .part(part)
        .next()
        .map_or(0.0, |load| load.worst_heat())
}

fn rating(plan: &Plan, part: usize) -> Option<f64> {
    match &plan.parts.get(part)?.kind {
        Kind::Fuse(fuse) => Some(fuse.rating_a.get()),
        _ => None,
    }
}

/// Sets every fuse that carries something to the rating its load asks for, and fuses before others to twice theirs.
pub(super) fn choose(plan: &mut Plan, loads: &Loads) {
    for part in 0..plan.parts.len() {
        let amps = load(loads, part);
        let row = fuse_rule::fuse_for_load(Amps::of(amps));
        if let (true, Some(row)) = (amps > 0.0, row) {
            set(plan, part, row.rating_amps);
        }
    }
    // Each round settles one more step of a chain of fuses.
    for _ in 0..loads.guards.series.len() {
        for &(upper, lower) in &loads.guards.series {
            let (Some(up), Some(down)) = (rating(plan, upper), rating(plan, lower)) else {
                continue;
            };
            let enough = fuse::ROWS
                .iter()
                .find(|row| row.rating_amps >= SELECTIVE * down)
                .or(fuse::ROWS.last());
            if let Some(row) = enough.filter(|row| row.rating_amps > up) {
                set(plan, upper, row.rating_amps);
            }
        }
    }
}

fn set(plan: &mut Plan, part: usize, amps: f64) {
    if let Some(Kind::Fuse(fuse)) = plan.parts.get_mut(part).map(|part| &mut part.kind) {
        fuse.rating_a = Amps::of(amps);
    }
}

/// The most that the wires a fuse guards allow: by their ampacity, and by the short circuits that must open it; infinite
/// where it guards none.
fn bounds(plan: &Plan, loads: &Loads, part: usize) -> (f64, f64) {
    let (mut by_rule, mut by_short) = (f64::INFINITY, f64::INFINITY);
    for (i, guard) in loads.guards.wires.iter().enumerate() {
        let guards = matches!(guard, Guard::Fuse { part: p, .. } if *p == part);
        let Some(wire) = plan.wires.get(i).filter(|_| guards) else {
            continue;
        };
        let row = conductor::find(&wire.size);
        let Some(limit) = row.and_then(|row| wire_limit(plan, wire.insulation_c, row)) else {
            continue;
        };
        by_rule = by_rule.min(limit.fuse);
        let short = loads.shorts.get(i).and_then(Option::as_ref);
        if let Some(short) = short.filter(|short| short.amps > limit.practice) {
            let through = short.fuses.iter().find(|&&(p, _)| p == part);
            by_short = through.map_or(by_short, |&(_, amps)| by_short.min(amps / MUST_OPEN));
        }
    }
    (by_rule, by_short)
}

/// The largest rating that breaks no rule, with all else as it is. A larger fuse lets a little more through, so what is near
/// the bound by short circuits is tried.
fn largest(
    plan: &Plan,
    loads: &Loads,
    part: usize,
    is_faultless: &dyn Fn(&Plan) -> bool,
) -> Option<&'static fuse::Row> {
    /// The bound by short circuits is trusted outside of this much around it.
    const NEAR: f64 = 0.2;
    let (by_rule, by_short) = bounds(plan, loads, part);
    // A smaller fuse or a limited source nearer to the battery may guard the wires of one that is too large.
    let most = fuse::ROWS.last()?;
    let mut tried = plan.clone();
    set(&mut tried, part, most.rating_amps);
    if is_faultless(&tried) {
        return Some(most);
    }
    fuse::ROWS.iter().rfind(|row| {
        let amps = row.rating_amps;
        if amps > by_rule || amps > (1.0 + NEAR) * by_short {
            return false;
        }
        amps <= (1.0 - NEAR) * by_short || {
            let mut tried = plan.clone();
            set(&mut tried, part, amps);
            is_faultless(&tried)
        }
    })
}

/// The smallest rating that carries the load without opening, with all else as it is. A small fuse has so much
/// resistance that it takes a little off its load, so what is near the bound is tried.
fn smallest(
    plan: &Plan,
    part: usize,
    amps: f64,
    is_faultless: &dyn Fn(&Plan) -> bool,
) -> Option<&'static fuse::Row> {
    /// The bound is trusted outside of this much around it.
    const NEAR: f64 = 0.05;
    fuse::ROWS.iter().find(|row| {
        if row.rating_amps < (1.0 - NEAR) * amps {
            return false;
        }
        row.rating_amps >= (1.0 + NEAR) * amps || {
            let mut tried = plan.clone();
            set(&mut tried, part, row.rating_amps);
            is_faultless(&tried)
        }
    })
}

/// Every fuse before and after.
pub(super) fn list(
    before: &Plan,
    after: &Plan,
    loads: &Loads,
    is_faultless: &dyn Fn(&Plan) -> bool,
    watch: &mut Watch,
) -> Vec<Choice> {
    let mut list = Vec::new();
    for (i, part) in after.parts.iter().enumerate() {
        let (Some(now), Some(next)) = (rating(before, i), rating(after, i)) else {
            continue;
        };
        watch.tried();
        let amps = load(loads, i);
        let smallest = smallest(after, i, heat(loads, i), is_faultless);
        let largest = largest(after, loads, i, is_faultless);
        // None of the list is too large where the largest of it is not.
        let largest = largest.filter(|row| fuse::ROWS.last() != Some(row));
        let named = |amps: f64| Amps::of(amps).to_string();
        let upper = loads.guards.series.iter().any(|&(up, down)| {
            up == i && rating(after, down).is_some_and(|down| SELECTIVE * down >= next)
        });
        let why = if amps <= 0.0 {
            say!("carries nothing in any state").to_owned()
        } else if upper {
            say!("twice the largest fuse behind it, so that that one opens first").to_owned()
        } else {
            say!(
                "{} for good, at most {:.0} % of the rating",
                named(amps),
                100.0 * fuse::CONTINUOUS_SHARE
            )
        };
        list.push(Choice {
            id: part.id.to_string(),
            kind: say!("fuse"),
            now: named(now),
            smallest: smallest.map_or_else(|| significant(amps), |row| named(row.rating_amps)),
            largest: largest.map(|row| named(row.rating_amps)),
            recommended: named(next),
            margin: (amps > 0.0).then(|| next / amps - 1.0),
            reason: why,
        });
    }
    list
}

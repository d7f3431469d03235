//! Fuses in series: whether the one nearer to the fault opens first.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, wire_limit};
use crate::behaviour::Guard;
use crate::catalog::fuse;
use crate::catalog::fuse_rule::MOST_LOAD;
use crate::plan::Kind;
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("fuses in series"),
    what: mark!("Of two fuses in series the one nearer to the fault opens first."),
    run,
};

const SOURCE: &str =
    mark!("common practice: the fuse nearer to the battery at least twice the one behind it");
/// Ratio of ratings from which on fuses of one kind open one after the other.
const SELECTIVE: f64 = 2.0;
/// From this multiple of its rating on a fuse opens within 5 s.
const QUICK: f64 = 2.0;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let rating = |part: usize| match &plan.parts.get(part)?.kind {
        Kind::Fuse(fuse) => Some((&plan.parts[part].id, fuse.rating_a)),
        _ => None,
    };
    for &(upper, lower) in &evidence.loads.guards.series {
        let (Some((up, first)), Some((down, second))) = (rating(upper), rating(lower)) else {
            continue;
        };
        if first.get() >= SELECTIVE * second.get() {
            continue;
        }
        let (severity, words) = if first <= second {
            let words = say!("a fault behind the second opens the first as well, or instead");
            (Severity::Caution, words)
        } else {
            (Severity::Note, say!("a hard short circuit may open both"))
        };
        let text = say!(
            "{up} ({first}) stands before {down} ({second}): {words}, and darkens everything behind {up}. Take a larger one for {up} \
             where its wires bear it, or a smaller one for {down}."
        );
        let about = vec![up.to_string(), down.to_string()];
        let least = crate::units::Amps::of(SELECTIVE * second.get());
        out.push(
            Finding::new(&CHECK, severity, about, text, SOURCE)
                .measured(first.to_string(), least.to_string())
                .cured_by([
                    larger(evidence, upper, second.get()),
                    smaller(evidence, lower, first.get()),
                ]),
        );
    }
}

/// The fuse nearer to the battery at twice the other, where all wires it guards bear that.
fn larger(evidence: &Evidence, upper: usize, second: f64) -> Option<Remedy> {
    let plan = evidence.plan;
    let row = fuse::ROWS
        .iter()
        .find(|row| row.rating_amps >= SELECTIVE * second)?;
    let guards = evidence.loads.guards.wires.iter().enumerate();
    let mut guarded =
        guards.filter(|(_, guard)| matches!(guard, Guard::Fuse { part, .. } if *part == upper));
    // A larger fuse must also still open on a short circuit at the far end.
    let bears = guarded.all(|(i, _)| {
        let opens = evidence.loads.shorts.get(i).and_then(Option::as_ref);
        let opens = opens.is_none_or(|short| short.amps >= QUICK * row.rating_amps);
        opens && wire_limit::of(plan, i).is_some_and(|limit| limit.practice >= row.rating_amps)
    });
    bears
        .then(|| remedy::fuse(plan, upper, row.rating_amps))
        .flatten()
}

/// The fuse behind at half of the other, where it still carries its load.
fn smaller(evidence: &Evidence, lower: usize, first: f64) -> Option<Remedy> {
    let load = evidence.loads.part(lower).next()?.worst();
    let row = fuse::ROWS
        .iter()
        .rfind(|row| SELECTIVE * row.rating_amps <= first)?;
    (load <= MOST_LOAD * row.rating_amps)
        .then(|| remedy::fuse(evidence.plan, lower, row.rating_amps))
        .flatten()
}

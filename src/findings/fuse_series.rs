//! Fuses in series: whether the one nearer to the fault opens first.

use super::{Check, Evidence, Finding, Severity};
use crate::plan::Kind;

pub(super) const CHECK: Check = Check {
    name: "fuses in series",
    what: "Of two fuses in series the one nearer to the fault opens first.",
    run,
};

const SOURCE: &str =
    "common practice: the fuse nearer to the battery at least twice the one behind it";
/// Ratio of ratings from which on fuses of one kind open one after the other.
const SELECTIVE: f64 = 2.0;

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
            let words = "a fault behind the second opens the first as well, or instead";
            (Severity::Caution, words)
        } else {
            (Severity::Note, "a hard short circuit may open both")
        };
        let text = format!(
            "{up} ({first}) stands before {down} ({second}): {words}, and darkens everything behind {up}."
        );
        let about = vec![up.to_string(), down.to_string()];
        let least = crate::units::Amps::of(SELECTIVE * second.get());
        out.push(
            Finding::new(&CHECK, severity, about, text, SOURCE)
                .measured(first.to_string(), least.to_string()),
        );
    }
}

//! A short circuit at the far end of each wire: whether a fuse opens, and how fast.

use super::{Check, Evidence, Finding, Severity, listed, remedy, wire_limit};
use crate::catalog::fuse::BREAKING_AMPS;
use crate::catalog::fuse_rule::{self, MOST_LOAD};
use crate::catalog::fuse_time::{Body, opens_within_s};
use crate::plan::{Kind, Plan};
use crate::units::{Amps, significant};
use std::collections::BTreeMap;

pub(super) const CHECK: Check = Check {
    name: "short circuit",
    what: "A short circuit at the far end of any wire opens a fuse before the wire is hurt.",
    run,
};

const SOURCE: &str =
    "ISO 8820-3: a blade fuse must open from 135 % of its rating on, within 5 s at 200 %";
/// From this multiple of its rating on a fuse must open.
const MUST_OPEN: f64 = 1.35;
/// From this multiple on it opens within 5 s.
const QUICK: f64 = 2.0;
/// A fuse with at least this share of the short-circuit current can end it.
const MIN_SHARE: f64 = 0.5;

fn rating(plan: &Plan, part: usize) -> Option<f64> {
    match &plan.parts.get(part)?.kind {
        Kind::Fuse(fuse) => Some(fuse.rating_a.get()).filter(|&amps| amps > 0.0),
        _ => None,
    }
}

/// Wires by the fuse that is to end their short circuit, each with its current and its multiple of the rating.
type Wires = Vec<(usize, f64, f64)>;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let mut never: BTreeMap<usize, Wires> = BTreeMap::new();
    let mut slow: BTreeMap<usize, Wires> = BTreeMap::new();
    let mut above: BTreeMap<usize, f64> = BTreeMap::new();
    for (i, short) in evidence.loads.shorts.iter().enumerate() {
        let (Some(short), Some(limit)) = (short, wire_limit::of(plan, i)) else {
            continue;
        };
        // The fuse that is furthest above its rating opens first.
        let first = short
            .fuses
            .iter()
            .filter(|&&(_, amps)| amps >= MIN_SHARE * short.amps)
            .filter_map(|&(part, amps)| Some((part, amps, amps / rating(plan, part)?)))
            .max_by(|a, b| a.2.total_cmp(&b.2));
        // A wire without any fuse is the matter of another check.
        let Some((part, amps, ratio)) = first else {
            continue;
        };
        if amps > BREAKING_AMPS {
            let most = above.entry(part).or_insert(0.0);
            *most = most.max(amps);
        }
        if ratio < MUST_OPEN && short.amps > limit.practice {
            never.entry(part).or_default().push((i, amps, ratio));
        } else if ratio < QUICK && short.amps > limit.practice {
            slow.entry(part).or_default().push((i, amps, ratio));
        }
    }
    for (part, wires) in never {
        out.push(finding(evidence, part, &wires, Severity::Fault, MUST_OPEN));
    }
    for (part, wires) in slow {
        out.push(finding(evidence, part, &wires, Severity::Caution, QUICK));
    }
    for (part, amps) in above {
        let id = &plan.parts[part].id;
        let text = format!(
            "A short circuit right behind {id} draws {}, more than a blade fuse is made to break.",
            Amps::of(amps)
        );
        let source = "ISO 8820-3: breaking capacity 1000 A";
        let about = vec![id.to_string()];
        out.push(
            Finding::new(&CHECK, Severity::Caution, about, text, source).measured(
                Amps::of(amps).to_string(),
                Amps::of(BREAKING_AMPS).to_string(),
            ),
        );
    }
}

fn finding(
    evidence: &Evidence,
    part: usize,
    wires: &Wires,
    severity: Severity,
    multiple: f64,
) -> Finding {
    let plan = evidence.plan;
    let rated = rating(plan, part).unwrap_or(0.0);
    let ids: Vec<String> = wires
        .iter()
        .filter_map(|&(w, ..)| Some(plan.wires.get(w)?.id.to_string()))
        .collect();
    let least = wires
        .iter()
        .map(|&(_, amps, _)| amps)
        .fold(f64::MAX, f64::min);
    let ratio = wires.iter().map(|&(.., r)| r).fold(f64::MAX, f64::min);
    let id = &plan.parts[part].id;
    let time = match opens_within_s(Body::Blade, ratio) {
        Some(seconds) => format!(
            "it may take {} s to open, while the wire heats",
            significant(seconds)
        ),
        None => "it need never open, and the wire burns".to_owned(),
    };
    let text = format!(
        "A short circuit at the far end of {} draws only {}, {} times the rating of {id}: {time}. Take a smaller fuse \
         or thicker wire.",
        listed(&ids),
        Amps::of(least),
        significant(ratio),
    );
    let load = evidence
        .loads
        .part(part)
        .next()
        .map_or(0.0, |l| l.worst_heat());
    let smaller = crate::catalog::fuse::ROWS
        .iter()
        .rfind(|row| row.rating_amps * QUICK <= least && load <= MOST_LOAD * row.rating_amps);
    let smaller = smaller.or_else(|| {
        fuse_rule::fuse_for_load(Amps::of(load)).filter(|row| row.rating_amps * multiple <= least)
    });
    let mut about = vec![id.to_string()];
    about.extend(ids);
    Finding::new(&CHECK, severity, about, text, SOURCE)
        .measured(
            Amps::of(least).to_string(),
            Amps::of(multiple * rated).to_string(),
        )
        .cured_by([smaller.and_then(|row| remedy::fuse(plan, part, row.rating_amps))])
}

//! A short circuit at the far end of each wire: whether a fuse opens, and how fast.

use super::{Check, Evidence, Finding, Severity, listed, remedy, wire_limit};
use crate::catalog::fuse::BREAKING_AMPS;
use crate::catalog::fuse_rule::{self, MOST_LOAD};
use crate::catalog::fuse_time::{Body, HEAT_K, opens_within_s};
use crate::catalog::{conductor, wire_choice};
use crate::plan::{Fuse, FuseBody, Kind, Plan};
use crate::text::{mark, say};
use crate::units::order::OrdMap;
use crate::units::{Amps, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("short circuit"),
    what: mark!("A short circuit at the far end of any wire opens a fuse before the wire is hurt."),
    run,
};

const SOURCE: &str =
    mark!("ISO 8820-3: a blade fuse must open from 135 % of its rating on, within 5 s at 200 %");
const BREAKER: &str =
    mark!("SAE J553 trip times and IEC 60364-4-43, I²·t at most (115·S)²: from memory");
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

/// Whether a part is a breaker that closes again by itself.
fn is_breaker(plan: &Plan, part: usize) -> bool {
    let kind = plan.parts.get(part).map(|part| &part.kind);
    matches!(kind, Some(Kind::Fuse(fuse)) if fuse.body == FuseBody::Breaker)
}

/// The largest breaker that opens before its short circuit hurts a wire of this area: its I²·t from twice its rating on is
/// the same at any current.
fn largest_breaker(area_mm2: f64) -> f64 {
    let heat = QUICK * QUICK * opens_within_s(Body::Breaker, QUICK).unwrap_or(f64::INFINITY);
    HEAT_K * area_mm2 / libm::sqrt(heat)
}

/// A wire (by index) whose short circuit hurts it, its current, its multiple of the rating, the wire's area.
struct Hurt {
    wire: usize,
    amps: f64,
    ratio: f64,
    area_mm2: f64,
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let mut never: OrdMap<usize, Vec<Hurt>> = OrdMap::new();
    let mut slow: OrdMap<usize, Vec<Hurt>> = OrdMap::new();
    let mut above: OrdMap<usize, f64> = OrdMap::new();
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
        if short.amps <= limit.practice {
            continue;
        }
        let row = plan
            .wires
            .get(i)
            .and_then(|wire| conductor::find(&wire.size));
        let hurt = Hurt {
            wire: i,
            amps,
            ratio,
            area_mm2: row.map_or(0.0, |row| row.area_mm2),
        };
        let rated = rating(plan, part).unwrap_or(0.0);
        let trips_late = is_breaker(plan, part) && rated > largest_breaker(hurt.area_mm2);
        if ratio < MUST_OPEN {
            never.entry(part).or_default().push(hurt);
        } else if ratio < QUICK || trips_late {
            slow.entry(part).or_default().push(hurt);
        }
    }
    for (part, wires) in never {
        out.push(finding(evidence, part, &wires, Severity::Fault, MUST_OPEN));
    }
    for (part, wires) in slow {
        let quick = wires.iter().all(|hurt| hurt.ratio >= QUICK);
        out.push(if quick {
            breaker(evidence, part, &wires)
        } else {
            finding(evidence, part, &wires, Severity::Caution, QUICK)
        });
    }
    for (part, amps) in above {
        let id = &plan.parts[part].id;
        let text = say!(
            "A short circuit right behind {id} draws {}, more than a blade fuse is made to break. Take a fuse body made for \
             it, or longer or thinner battery leads.",
            Amps::of(amps)
        );
        let source = mark!("ISO 8820-3: breaking capacity 1000 A");
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
    wires: &[Hurt],
    severity: Severity,
    multiple: f64,
) -> Finding {
    let plan = evidence.plan;
    let rated = rating(plan, part).unwrap_or(0.0);
    let ids = ids(plan, wires);
    let least = wires.iter().map(|hurt| hurt.amps).fold(f64::MAX, f64::min);
    let ratio = wires.iter().map(|hurt| hurt.ratio).fold(f64::MAX, f64::min);
    let id = &plan.parts[part].id;
    let body = if is_breaker(plan, part) {
        Body::Breaker
    } else {
        Body::Blade
    };
    let time = match opens_within_s(body, ratio) {
        Some(seconds) => say!(
            "it may take {} s to open, while the wire heats",
            significant(seconds)
        ),
        None => say!("it need never open, and the wire burns").to_owned(),
    };
    let text = say!(
        "A short circuit at the far end of {} draws only {}, {} times the rating of {id}: {time}. Take a smaller fuse \
         or thicker wire.",
        listed(&ids),
        Amps::of(least),
        significant(ratio),
    );
    let load = evidence.loads.part(part).next().map_or(0.0, |l| l.worst());
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

fn ids(plan: &Plan, wires: &[Hurt]) -> Vec<String> {
    let wires = wires.iter().filter_map(|hurt| plan.wires.get(hurt.wire));
    wires.map(|wire| wire.id.to_string()).collect()
}

/// A breaker that trips, but after more heat than the wires stand.
fn breaker(evidence: &Evidence, part: usize, wires: &[Hurt]) -> Finding {
    let plan = evidence.plan;
    let rated = rating(plan, part).unwrap_or(0.0);
    let thinnest = wires
        .iter()
        .map(|hurt| hurt.area_mm2)
        .fold(f64::MAX, f64::min);
    let most = largest_breaker(thinnest);
    let least = wires.iter().min_by(|a, b| a.ratio.total_cmp(&b.ratio));
    let (amps, ratio) = least.map_or((0.0, 0.0), |hurt| (hurt.amps, hurt.ratio));
    let id = &plan.parts[part].id;
    let ids = ids(plan, wires);
    let text = say!(
        "The breaker {id} ({}) may take {} s to trip on a short circuit of {} at the far end of {}: the wire gets hotter than its \
         insulation stands, and again each time it closes. Take a blade fuse, a smaller breaker or thicker wire.",
        Amps::of(rated),
        significant(opens_within_s(Body::Breaker, ratio).unwrap_or(f64::INFINITY)),
        Amps::of(amps),
        listed(&ids),
    );
    let blade = match &plan.parts[part].kind {
        Kind::Fuse(fuse) => {
            let kind = Kind::Fuse(Fuse {
                body: FuseBody::Blade,
                ..fuse.clone()
            });
            let title = say!("Take a blade fuse of {} for {id}", fuse.rating_a);
            remedy::part(plan, part, title, kind)
        }
        _ => None,
    };
    let sizes: Vec<(usize, &conductor::Row)> = wires
        .iter()
        .filter_map(|hurt| {
            let system = conductor::find(&plan.wires.get(hurt.wire)?.size)?.system;
            let bears = |row: &&conductor::Row| rated <= largest_breaker(row.area_mm2);
            Some((hurt.wire, wire_choice::sizes(system).find(bears)?))
        })
        .collect();
    let thicker = (sizes.len() == wires.len()).then(|| remedy::wires(plan, &sizes));
    let mut about = vec![id.to_string()];
    about.extend(ids);
    Finding::new(&CHECK, Severity::Caution, about, text, BREAKER)
        .measured(Amps::of(rated).to_string(), Amps::of(most).to_string())
        .cured_by([blade, thicker.flatten()])
}

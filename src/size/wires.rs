//! Sizes of wires: from their current, the fuse in front, their share of the allowed drop, and the smallest a hand can use.
//!
//! Each lamp's allowed drop is shared out over the wires on its way in proportion to their lengths; a wire on several ways
//! takes the smallest of its shares. So the sum stays within the limit on every way.

use super::{Choice, Watch};
use crate::behaviour::{Drop, Guard, Loads, Short};
use crate::catalog::conductor::{self, Row};
use crate::catalog::fuse_rule::NEAR;
use crate::catalog::{drop_rule, transient, wire_choice};
use crate::findings::{WireLimit, wire_limit};
use crate::plan::{Kind, Plan, Rules, Wire};
use crate::text::say;
use crate::units::{Amps, Volts};

/// A fuse must open from this multiple of its rating on.
const MUST_OPEN: f64 = 1.35;
/// From this multiple on it opens within 5 s.
const QUICK: f64 = 2.0;

/// What a wire has to do.
#[derive(Debug, Clone, Copy)]
struct Need {
    /// Largest current.
    amps: f64,
    /// Rating of the fuse in front; 0 for none.
    fuse: f64,
    /// Largest resistance at 20 °C in ohms per kilometre that keeps the drop.
    ohms_per_km: f64,
    /// Smallest area by rule and practice.
    area_mm2: f64,
}

/// Smallest area that is recommended, and the one below which a rule is broken.
const fn smallest_area(rules: Rules) -> (f64, f64) {
    match rules {
        Rules::UsBoat => (1.309, 0.823),
        Rules::IsoBoat => (1.0, 0.75),
        // Common practice in vehicles: 0.75 mm², since thinner wire breaks at the crimp.
        Rules::None | Rules::UsRoad | Rules::UnRoad => (0.75, 0.0),
    }
}

/// Nominal volts of what feeds a lamp.
fn nominal(drop: &Drop) -> f64 {
    transient::at(drop.supply).nominal_volts
}

/// Resistance at the copper temperature of the plan over the one at 20 °C.
fn warmth(plan: &Plan) -> f64 {
    let one = crate::units::Ohms::of(1.0);
    conductor::ohms_at(one, plan.settings.conductor_c).get()
}

fn need(plan: &Plan, loads: &Loads, index: usize, wire: &Wire) -> Need {
    let share = plan.settings.sizing.allowed_drop.get();
    let share = share.min(drop_rule::ROAD_SHARE);
    let mut ohms_per_km = f64::INFINITY;
    for (_, drop) in loads.lamps.iter().flat_map(|lamp| &lamp.drops) {
        let Some(&(_, _, amps)) = drop.wires.iter().find(|&&(w, ..)| w == index) else {
            continue;
        };
        let length = |w: usize| {
            plan.wires
                .get(w)
                .map_or(0.0, |w| w.length_mm.get().max(0.0))
        };
        let whole: f64 = drop.wires.iter().map(|&(w, ..)| length(w)).sum();
        // The share of this wire is the limit · length/whole; over current and length that is a resistance per length.
        if whole > 0.0 && amps > 0.0 {
            ohms_per_km =
                ohms_per_km.min(share * nominal(drop) / whole / amps * 1e6 / warmth(plan));
        }
    }
    let fuse = match loads.guards.wires.get(index) {
        Some(&Guard::Fuse { part, .. }) => match plan.parts.get(part).map(|p| &p.kind) {
            // The rating just chosen, not the one the loads were worked out with.
            Some(Kind::Fuse(fuse)) => fuse.rating_a.get(),
            _ => 0.0,
        },
        Some(&Guard::Limited { amps, reach_mm, .. }) if reach_mm > NEAR.get() => amps,
        _ => 0.0,
    };
    let amps = loads.wire(index).map_or(0.0, |load| load.worst());
    debug_assert_eq!(plan.wires.get(index).map(|w| &w.id), Some(&wire.id));
    Need {
        amps,
        fuse,
        ohms_per_km,
        area_mm2: smallest_area(plan.settings.sizing.rules).0,
    }
}

/// Sets every wire of a known size to the smallest of its system that does what is needed; the thickest where none does.
pub(super) fn choose(plan: &mut Plan, loads: &Loads) {
    for i in 0..plan.wires.len() {
        let wire = &plan.wires[i];
        let Some(now) = conductor::find(&wire.size) else {
            continue;
        };
        let need = need(plan, loads, i, wire);
        let does = |row: &&Row| {
            let limit = wire_limit(plan, wire.insulation_c, row);
            row.area_mm2 >= need.area_mm2
                && row.ohms_per_km_20c <= need.ohms_per_km
                && limit.is_some_and(|l| l.practice >= need.amps.max(need.fuse))
                && multiple(plan, loads, i, wire, row, now) >= QUICK
        };
        let system = plan.settings.sizing.gauge.system(now.system);
        let sizes = || wire_choice::sizes(system);
        // A class without a figure leaves the wire as it is.
        if sizes().all(|row| wire_limit(plan, wire.insulation_c, row).is_none()) {
            continue;
        }
        if let Some(row) = sizes().find(does).or_else(|| sizes().next_back()) {
            plan.wires[i].size = row.key.into();
        }
    }
}

/// The least multiple of the rating of the fuse in front that any short circuit through this wire draws, with the wire in
/// another size; infinite where the current hurts no wire, or no short circuit runs through it.
fn multiple(plan: &Plan, loads: &Loads, index: usize, wire: &Wire, row: &Row, now: &Row) -> f64 {
    let copper = plan.settings.conductor_c;
    let ohms = |row: &Row| row.resistance(wire.length_mm, copper).get();
    let more = ohms(row) - ohms(now);
    let through = |(i, short): (usize, &Option<Short>)| {
        let short = short.as_ref().filter(|s| s.wires.contains(&index))?;
        let Some(&Guard::Fuse { part, .. }) = loads.guards.wires.get(i) else {
            return None;
        };
        let Kind::Fuse(fuse) = &plan.parts.get(part)?.kind else {
            return None;
        };
        let amps = loads.volts[0] / (loads.volts[0] / short.amps.max(1e-9) + more).max(1e-9);
        let shorted = plan.wires.get(i)?;
        let size = if i == index {
            row
        } else {
            conductor::find(&shorted.size)?
        };
        let bears = wire_limit(plan, shorted.insulation_c, size)?.practice >= amps;
        (!bears).then(|| amps / fuse.rating_a.get().max(1e-9))
    };
    let shorts = loads.shorts.iter().enumerate();
    shorts.filter_map(through).fold(f64::INFINITY, f64::min)
}

/// How sure it is from the loads that a size breaks no rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Does {
    No,
    /// Too near to a bound that depends on currents which the size itself changes.
    Perhaps,
    Yes,
}

fn breaks_no_rule(
    plan: &Plan,
    loads: &Loads,
    index: usize,
    wire: &Wire,
    row: &Row,
    now: &Row,
) -> Does {
    /// Bounds that depend on changed currents are trusted outside of this much around them.
    const NEAR: f64 = 0.15;
    let need = need(plan, loads, index, wire);
    let allowed = plan.settings.sizing.allowed_drop.get();
    let (_, least) = smallest_area(plan.settings.sizing.rules);
    let Some(limit) = wire_limit(plan, wire.insulation_c, row) else {
        return Does::No;
    };
    if row.area_mm2 < least || limit.fuse < need.fuse || limit.rule < (1.0 - NEAR) * need.amps {
        return Does::No;
    }
    let drops = loads.lamps.iter().flat_map(|lamp| &lamp.drops);
    let then = drops.filter_map(|(_, drop)| {
        let &(_, own, _) = drop.wires.iter().find(|&&(w, ..)| w == index)?;
        let ratio = row.ohms_per_km_20c / now.ohms_per_km_20c;
        Some((drop.along_wires() + own * (ratio - 1.0)) / nominal(drop))
    });
    let drop = then.fold(0.0, f64::max) / allowed;
    let short = MUST_OPEN / multiple(plan, loads, index, wire, row, now);
    let current = need.amps / limit.rule;
    let worst = drop.max(short).max(current);
    if worst <= 1.0 - NEAR {
        Does::Yes
    } else if worst > 1.0 + 2.0 * NEAR {
        Does::No
    } else {
        Does::Perhaps
    }
}

/// The smallest size that breaks no rule, with all other wires as they are. What the loads do not settle is tried.
fn smallest(
    plan: &Plan,
    loads: &Loads,
    index: usize,
    now: &Row,
    is_faultless: &dyn Fn(&Plan) -> bool,
) -> Option<&'static Row> {
    let wire = plan.wires.get(index)?;
    wire_choice::sizes(now.system).find(|row| {
        match breaks_no_rule(plan, loads, index, wire, row, now) {
            Does::No => false,
            Does::Yes => true,
            Does::Perhaps => {
                let mut tried = plan.clone();
                tried.wires[index].size = row.key.into();
                is_faultless(&tried)
            }
        }
    })
}

/// Every wire before and after.
pub(super) fn list(
    before: &Plan,
    after: &Plan,
    loads: &Loads,
    is_faultless: &dyn Fn(&Plan) -> bool,
    watch: &mut Watch,
) -> Vec<Choice> {
    let mut list = Vec::new();
    for (i, (old, new)) in before.wires.iter().zip(&after.wires).enumerate() {
        watch.tried();
        let (Some(now), Some(next)) = (conductor::find(&old.size), conductor::find(&new.size))
        else {
            continue;
        };
        let need = need(after, loads, i, new);
        let limit = wire_limit(after, new.insulation_c, next);
        let least = smallest(after, loads, i, next, is_faultless);
        list.push(Choice {
            id: new.id.to_string(),
            kind: say!("wire"),
            now: now.name(),
            smallest: least.map_or_else(|| say!("size" => "none").into(), Row::name),
            largest: None,
            recommended: next.name(),
            margin: limit.and_then(|limit| margin(&need, next, limit)),
            reason: reason(&need, next, limit),
        });
    }
    list
}

/// How much more the wire bears than the tightest of its demands.
fn margin(need: &Need, row: &Row, limit: WireLimit) -> Option<f64> {
    let by_current = limit.practice / need.amps.max(need.fuse) - 1.0;
    let by_drop = need.ohms_per_km / row.ohms_per_km_20c - 1.0;
    let least = by_current.min(by_drop);
    least.is_finite().then_some(least)
}

/// What decides: the demand that the next thinner size does not meet.
fn reason(need: &Need, row: &Row, limit: Option<WireLimit>) -> String {
    let carries = say!("carries {}", Amps::of(need.amps));
    let bears = limit.map_or_else(String::new, |l| say!(" of {}", Amps::of(l.practice)));
    let thinner = wire_choice::thinner(row);
    let by_drop = thinner.is_some_and(|row| row.ohms_per_km_20c > need.ohms_per_km);
    let by_hand = thinner.is_some_and(|row| row.area_mm2 < need.area_mm2);
    let decides = if by_drop {
        let per_metre = Volts::of(need.amps * row.ohms_per_km_20c / 1000.0);
        say!("the drop decides, {per_metre} a metre")
    } else if by_hand {
        say!("thinner wire breaks at the crimp").to_owned()
    } else if need.fuse > need.amps {
        say!("the fuse of {} in front decides", Amps::of(need.fuse))
    } else {
        say!("its current decides").to_owned()
    };
    format!("{carries}{bears}; {decides}")
}

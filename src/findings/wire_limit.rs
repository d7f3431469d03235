//! Ampacity of a plan's wires, shared by the checks on current, fuse and short circuit.
//!
//! The bundle factor is law from 50 V on only (33 CFR 183.435); below, breaking it alone is a matter of practice.

use crate::catalog::ampacity::{Surroundings, ampacity};
use crate::catalog::conductor;
use crate::catalog::fuse_rule::MOST_OF_AMPACITY;
use crate::plan::{Level, Plan};
use crate::units::Amps;

/// From this many volts on the bundle factor is law.
const BUNDLE_LAW_VOLTS: f64 = 50.0;

/// Ampacity of one wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What the rule sets, in amperes.
    pub rule: f64,
    /// What practice sets, in amperes: with the bundle factor at any voltage.
    pub practice: f64,
    /// The largest fuse in front that the rule allows, in amperes.
    pub fuse: f64,
}

/// The ampacity of a wire (by index); `None` where its size or its insulation class is in no table.
pub(super) fn of(plan: &Plan, wire: usize) -> Option<Limit> {
    let wire = plan.wires.get(wire)?;
    of_size(plan, wire.insulation_c, conductor::find(&wire.size)?)
}

/// The ampacity of a size with an insulation class, in the surroundings of the plan.
pub fn of_size(
    plan: &Plan,
    insulation: crate::units::Celsius,
    row: &conductor::Row,
) -> Option<Limit> {
    let around = plan.settings.sizing.surroundings();
    let practice = ampacity(row, insulation, &around).map(Amps::get)?;
    let strict = plan.settings.sizing.strict_fuses;
    let limit = |rule: f64| Limit {
        rule,
        practice,
        fuse: if strict {
            rule
        } else {
            MOST_OF_AMPACITY * rule
        },
    };
    if plan.volts_at(Level::Planned).get() >= BUNDLE_LAW_VOLTS {
        return Some(limit(practice));
    }
    let alone = Surroundings {
        bundle: 1,
        ..around
    };
    let rule = ampacity(row, insulation, &alone).map(Amps::get)?;
    Some(limit(rule))
}

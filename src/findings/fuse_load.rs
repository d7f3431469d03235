//! Steady load of each fuse against its rating, and the inrush of cold filaments against its time limits.
//!
//! The rule of practice is held against the current of the bright phase: a flasher may be closed for three quarters of the
//! time (49 CFR 571.108, figure 2) or stick closed. What opens the fuse in use is its heat, where a flashing load
//! counts with its root mean square. The inrush
//! of a cold filament falls off within about 50 ms; as an exponential with a third of that as time constant it
//! carries peak² · τ/2 of A²s beyond the steady current. The least A²s at which a fuse may open
//! follows from the times it must hold at the listed multiples of its rating.

use super::{Check, Evidence, Finding, Severity, remedy, row_words};
use crate::catalog::fuse_rule::{self, MOST_LOAD};
use crate::catalog::fuse_time::{self, Body};
use crate::plan::Kind;
use crate::text::{mark, say};
use crate::units::{Amps, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("fuse load"),
    what: mark!(
        "A fuse carries its steady load with room to spare and outlasts the inrush of cold filaments."
    ),
    run,
};

const SOURCE: &str = mark!("common practice: steady load at most 75 to 80 % of the rating");
const INRUSH: &str =
    mark!("ISO 8820-3 time limits (from memory); inrush of 5 to 50 ms (from memory)");
/// Time constant of the inrush in seconds: it is over after three of them, 50 ms.
const INRUSH_SECONDS: f64 = 0.05 / 3.0;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        let (Kind::Fuse(fuse), Some(load)) = (&part.kind, evidence.loads.part(i).next()) else {
            continue;
        };
        let rated = fuse.rating_a.get();
        let (amps, heat) = (load.worst(), load.worst_heat());
        if rated <= 0.0 || amps <= 0.0 {
            continue;
        }
        let id = &part.id;
        let about = vec![id.to_string()];
        if amps > MOST_LOAD * rated {
            let severity = if heat > rated {
                Severity::Fault
            } else {
                Severity::Caution
            };
            let text = say!(
                "{id} ({}) carries {} with {}, {} % of its rating: {}",
                fuse.rating_a,
                Amps::of(amps),
                row_words(evidence, load.peak.row),
                significant(100.0 * amps / rated),
                if heat > rated {
                    say!("it opens in use.")
                } else {
                    say!("it ages and opens some day for no reason.")
                }
            );
            let larger = fuse_rule::fuse_for_load(Amps::of(amps));
            out.push(
                Finding::new(&CHECK, severity, about, text, SOURCE)
                    .measured(
                        Amps::of(amps).to_string(),
                        Amps::of(MOST_LOAD * rated).to_string(),
                    )
                    .cured_by([larger.and_then(|row| remedy::fuse(plan, i, row.rating_amps))]),
            );
            continue;
        }
        let inrush = load.inrush * load.inrush * INRUSH_SECONDS / 2.0;
        let holds = least_a2s(rated);
        if inrush > holds {
            let text = say!(
                "Cold filaments draw up to {} through {id} ({}) when they are switched on together with {}: that may \
                 open it now and then.",
                Amps::of(load.inrush),
                fuse.rating_a,
                row_words(evidence, load.peak.row),
            );
            let a2s = |value: f64| format!("{} A²s", significant(value));
            let enough = crate::catalog::fuse::ROWS
                .iter()
                .find(|row| row.rating_amps > rated && least_a2s(row.rating_amps) >= inrush);
            out.push(
                Finding::new(&CHECK, Severity::Caution, about, text, INRUSH)
                    .measured(a2s(inrush), a2s(holds))
                    .cured_by([enough.and_then(|row| remedy::fuse(plan, i, row.rating_amps))]),
            );
        }
    }
}

/// The least A²s, among the listed short overloads, that a fuse is sure to hold.
fn least_a2s(rated: f64) -> f64 {
    fuse_time::ROWS
        .iter()
        .filter(|row| row.body == Body::Blade && row.percent_of_rating >= 200.0)
        .filter_map(|row| {
            let amps = rated * row.percent_of_rating / 100.0;
            Some(amps * amps * row.holds_s?)
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// At 350 % a blade fuse holds 0.04 s: 0.49 A²s for each A² of rating, the least of the listed overloads.
    #[test]
    fn the_least_energy_is_that_at_three_and_a_half_times_the_rating() {
        assert!((least_a2s(10.0) - 35.0 * 35.0 * 0.04).abs() < 1e-9);
    }
}

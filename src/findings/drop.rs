//! Volts lost along the wires to each lamp circuit and back, and the light that costs.

use super::{Check, Evidence, Finding, Severity, remedy, row_words};
use crate::behaviour::Drop;
use crate::catalog::{drop_rule, lamp, transient};
use crate::text::{mark, say};
use crate::units::{Volts, significant};

pub(super) const CHECK: Check = Check {
    name: mark!("voltage drop"),
    what: mark!(
        "The wires to a lamp and back take no more than the allowed share of the battery's volts."
    ),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let allowed = plan.settings.sizing.allowed_drop.get();
    for load in &evidence.loads.lamps {
        let worst = load
            .drops
            .iter()
            .max_by(|a, b| a.1.along_wires().total_cmp(&b.1.along_wires()));
        let (Some((row, drop)), Some(id)) = (worst, evidence.table.lamps.get(load.lamp)) else {
            continue;
        };
        // The share is one of the nominal volts of what feeds the lamp: 3 % of 12 V is 0.36 V.
        let nominal = transient::at(drop.supply).nominal_volts;
        let lost = drop.along_wires();
        let (limit, severity, source) = if lost > allowed * nominal {
            let source = mark!(
                "ABYC E-11: 3 % for main feeders and navigation lights, 10 % for general lighting"
            );
            (allowed * nominal, Severity::Fault, source)
        } else if lost > drop_rule::ROAD_SHARE * nominal {
            let source = mark!("common practice for road lamps: 3 to 5 % (from memory)");
            (drop_rule::ROAD_SHARE * nominal, Severity::Caution, source)
        } else {
            continue;
        };
        let on_way: Vec<(usize, f64)> = drop.wires.iter().map(|&(w, v, _)| (w, v)).collect();
        let thicker = remedy::thicker(plan, &on_way, limit);
        let mut about = vec![id.to_string()];
        let worst = drop.wires.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        about.extend(worst.and_then(|&(w, ..)| Some(plan.wires.get(w)?.id.to_string())));
        let text = say!(
            "The wires of {id} take {} ({} % of {} V) with {}. {}",
            Volts::of(lost),
            significant(100.0 * lost / nominal),
            significant(nominal),
            row_words(evidence, *row),
            split(drop),
        );
        out.push(
            Finding::new(&CHECK, severity, about, text, source)
                .measured(Volts::of(lost).to_string(), Volts::of(limit).to_string())
                .cured_by([thicker.and_then(|sizes| remedy::wires(plan, &sizes))]),
        );
    }
}

/// Where the volts go and what the wires cost in light, in a sentence.
fn split(drop: &Drop) -> String {
    let mut parts = vec![
        say!("feed {}", Volts::of(drop.feed)),
        say!("contacts and joints {}", Volts::of(drop.joints)),
    ];
    if drop.diodes > 0.0 {
        parts.push(say!("diodes {}", Volts::of(drop.diodes)));
    }
    if drop.resistors > 0.0 {
        parts.push(say!("resistors {}", Volts::of(drop.resistors)));
    }
    parts.push(say!("return {}", Volts::of(drop.back)));
    let with = drop.lamp.max(0.0);
    let without = (drop.lamp + drop.along_wires()).max(1e-9);
    let light = 100.0 * (1.0 - libm::pow(with / without, lamp::FLUX_EXPONENT));
    say!(
        "Of {}: {}; {} are left for the lamp. The wires cost {light:.0} % of a filament's light.",
        Volts::of(drop.supply),
        parts.join(", "),
        Volts::of(drop.lamp),
    )
}

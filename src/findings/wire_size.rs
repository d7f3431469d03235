//! Wires thinner than rules and hands allow, and sizes of two systems that are easily mistaken for each other.

use super::{Check, Evidence, Finding, Severity, listed, remedy, wire_limit};
use crate::behaviour::Guard;
use crate::catalog::conductor::{self, System};
use crate::catalog::wire_choice;
use crate::plan::Rules;
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("wire size"),
    what: mark!(
        "No wire is thinner than the chosen rules or a crimp allows, and AWG, SAE and metric sizes are not mixed up."
    ),
    run,
};

/// Smallest sizes: below the first a rule or practice is broken, below the second it needs a sheath.
struct Smallest {
    never_mm2: f64,
    sheathed_mm2: f64,
    severity: Severity,
    source: &'static str,
}

const fn smallest(rules: Rules) -> Smallest {
    match rules {
        Rules::UsBoat => Smallest {
            never_mm2: 0.823,
            sheathed_mm2: 1.309,
            severity: Severity::Fault,
            source: mark!("33 CFR 183.425: 18 AWG in a sheath, 16 AWG alone"),
        },
        Rules::IsoBoat => Smallest {
            never_mm2: 0.75,
            sheathed_mm2: 1.0,
            severity: Severity::Fault,
            source: mark!("ISO 10133: 0.75 mm² in a sheath, 1 mm² alone"),
        },
        // 20 AWG and 0.5 mm² are the same wire to a hand.
        Rules::None | Rules::UsRoad | Rules::UnRoad => Smallest {
            never_mm2: 0.5,
            sheathed_mm2: 0.5,
            severity: Severity::Caution,
            source: mark!("common practice: thinner wire breaks at the crimp"),
        },
    }
}

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let rule = smallest(plan.settings.sizing.rules);
    let sized: Vec<(usize, &conductor::Row)> = plan
        .wires
        .iter()
        .enumerate()
        .filter_map(|(i, wire)| Some((i, conductor::find(&wire.size)?)))
        .collect();
    for (i, row) in &sized {
        let wire = &plan.wires[*i];
        let never = row.area_mm2 < rule.never_mm2;
        let (limit, severity) = if never {
            (rule.never_mm2, rule.severity)
        } else if row.area_mm2 < rule.sheathed_mm2 {
            (rule.sheathed_mm2, Severity::Caution)
        } else {
            continue;
        };
        let enough = wire_choice::at_least(row.system, limit);
        let least = enough.map_or_else(|| say!("a thicker size").into(), conductor::Row::name);
        let (id, size) = (&wire.id, plan.settings.sizing.size(row));
        let text = if never {
            say!("{id} ({size}) is too thin: take {least}.")
        } else {
            say!("{id} ({size}) may only be used as a core of a sheathed cable: take {least}.")
        };
        out.push(
            Finding::new(
                &CHECK,
                severity,
                vec![wire.id.to_string()],
                text,
                rule.source,
            )
            .measured(row.name(), least)
            .cured_by([enough.and_then(|row| remedy::wires(plan, &[(*i, row)]))]),
        );
    }
    mixed(evidence, &sized, out);
    taken_for_awg(evidence, &sized, out);
}

const SOURCE: &str = mark!(
    "SAE J1128 and AWG areas as tabled in ABYC E-11 (from memory; 12 SAE seen): SAE is 5 to 11 % smaller"
);

/// Wires of both gauges in one plan.
fn mixed(evidence: &Evidence, sized: &[(usize, &conductor::Row)], out: &mut Vec<Finding>) {
    let of = |system: System| -> Vec<String> {
        let here = sized.iter().filter(|(_, row)| row.system == system);
        here.map(|&(i, _)| evidence.plan.wires[i].id.to_string())
            .collect()
    };
    let (awg, sae) = (of(System::Awg), of(System::Sae));
    if !awg.is_empty() && !sae.is_empty() {
        let text = say!(
            "AWG ({}) and SAE ({}) sizes are both used: wire of the same number is 5 to 11 % thinner in SAE, so keep \
             the reels apart.",
            listed(&awg),
            listed(&sae)
        );
        let about = [awg, sae].concat();
        out.push(Finding::new(&CHECK, Severity::Note, about, text, SOURCE));
    }
}

/// AWG wires that would no longer do if the reel held SAE wire of that number.
fn taken_for_awg(evidence: &Evidence, sized: &[(usize, &conductor::Row)], out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let short: Vec<String> = sized
        .iter()
        .filter(|(i, row)| {
            let sae = row.key.replace("AWG", "SAE");
            let Some(sae) = conductor::find(&sae).filter(|_| row.system == System::Awg) else {
                return false;
            };
            let insulation = plan.wires[*i].insulation_c;
            let Some(limit) = wire_limit::of_size(plan, insulation, sae) else {
                return false;
            };
            let amps = evidence.loads.wire(*i).map_or(0.0, |load| load.worst());
            let fuse = match evidence.loads.guards.wires.get(*i) {
                Some(Guard::Fuse { amps, .. }) => *amps,
                _ => 0.0,
            };
            let sae_fails = amps > limit.rule || fuse > limit.fuse;
            let awg_does =
                wire_limit::of(plan, *i).is_some_and(|l| amps <= l.rule && fuse <= l.fuse);
            sae_fails && awg_does
        })
        .map(|&(i, _)| plan.wires[i].id.to_string())
        .collect();
    if !short.is_empty() {
        let text = say!(
            "{}: AWG wire of this size just does, SAE wire of the same number would not. Where the reel says SAE J1128 \
             (GPT, TXL, GXL), take the next number.",
            listed(&short)
        );
        out.push(Finding::new(&CHECK, Severity::Note, short, text, SOURCE));
    }
}

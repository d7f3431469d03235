//! Generated plans in which switches feed shared lamps over lanes of their own, without any diode.
#![allow(dead_code, reason = "each test uses some of these")]

use crate::build;
use crate::random::Random;
use loomwright::plan::Plan;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// How a plan of lanes is laid out.
#[derive(Debug, Clone, Copy)]
pub struct Lanes {
    /// Two-way controls, each with one switch.
    pub controls: usize,
    /// Lamps of one filament.
    pub lamps: usize,
    /// Wires from switches to lamps.
    pub feeds: usize,
    /// Every how many-th switch stands behind a flasher; 0 for none.
    pub flashing: usize,
}

/// A plan in which each switch feeds some of the lamps over a wire each, and lights just those: each lamp is fed by one
/// switch at least and each switch feeds one lamp at least, the rest is drawn.
pub fn plan(random: &mut Random, lanes: Lanes) -> Plan {
    let Lanes {
        controls,
        lamps,
        feeds,
        flashing,
    } = lanes;
    let mut pairs: BTreeSet<(usize, usize)> = BTreeSet::new();
    (0..controls.max(lamps)).for_each(|i| _ = pairs.insert((i % controls, i % lamps)));
    while pairs.len() < feeds.min(controls * lamps) {
        pairs.insert((random.below(controls), random.below(lamps)));
    }
    let flashes = |switch: usize| flashing > 0 && switch.is_multiple_of(flashing);
    let mut parts = vec![build::battery()];
    let mut wires: Vec<(String, String)> = Vec::new();
    if (0..controls).any(flashes) {
        parts.push(build::flasher("K1", "electronic"));
        wires.push(("G1:+".into(), "K1:49".into()));
    }
    for lamp in 0..lamps {
        let amps = if random.below(3) == 0 { 0.4 } else { 1.8 };
        parts.push(build::lamp(&format!("E{lamp}"), amps));
        wires.push((format!("E{lamp}:31"), "G1:-".into()));
    }
    let mut wishes: Vec<Value> = Vec::new();
    for switch in 0..controls {
        parts.push(build::switch(&format!("S{switch}"), &format!("c{switch}")));
        let rail = if flashes(switch) { "K1:49a" } else { "G1:+" };
        wires.push((rail.into(), format!("S{switch}:82")));
        let lit = pairs.iter().filter(|(s, _)| *s == switch);
        let names: Vec<String> = lit.map(|(_, lamp)| format!("E{lamp}.main")).collect();
        let show = if flashes(switch) {
            "flashing"
        } else {
            "steady"
        };
        let when = json!({format!("c{switch}"): "on"});
        wishes
            .push(json!({"id": format!("w{switch}"), "when": when, "lamps": names, "show": show}));
    }
    for (switch, lamp) in pairs {
        wires.push((format!("S{switch}:82a"), format!("E{lamp}:1")));
    }
    // Flashing wishes come first: turn before stop.
    wishes.sort_by_key(|wish| wish["show"] != "flashing");
    let controls: Vec<Value> = (0..controls)
        .map(|i| build::control(&format!("c{i}")))
        .collect();
    let ends: Vec<(&str, &str)> = wires
        .iter()
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect();
    build::plan(json!(controls), json!(parts), &ends, json!(wishes))
}

/// Sizes that are measured: places are feeds and one run to each switch.
pub const SIZES: [Lanes; 7] = [
    Lanes {
        controls: 4,
        lamps: 4,
        feeds: 8,
        flashing: 0,
    },
    Lanes {
        controls: 6,
        lamps: 6,
        feeds: 14,
        flashing: 0,
    },
    Lanes {
        controls: 8,
        lamps: 8,
        feeds: 24,
        flashing: 0,
    },
    Lanes {
        controls: 8,
        lamps: 8,
        feeds: 24,
        flashing: 3,
    },
    Lanes {
        controls: 12,
        lamps: 12,
        feeds: 28,
        flashing: 0,
    },
    Lanes {
        controls: 12,
        lamps: 10,
        feeds: 28,
        flashing: 3,
    },
    Lanes {
        controls: 12,
        lamps: 12,
        feeds: 28,
        flashing: 4,
    },
];

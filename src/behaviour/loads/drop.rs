//! The volts lost on the way to a lamp circuit and back, split by what takes them.

use crate::behaviour::{Outcome, Path};
use crate::circuit::{Circuit, Origin};
use crate::plan::{Kind, Plan};

/// Volts lost between the terminals of the battery, charger or converter and a lamp circuit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Drop {
    /// Volts at the terminals of the source.
    pub supply: f64,
    /// Along the wires that lead to the lamp.
    pub feed: f64,
    /// In contacts, fuses, flashers, plugs and ground points.
    pub joints: f64,
    /// In diodes.
    pub diodes: f64,
    /// In resistors, which are there to take volts.
    pub resistors: f64,
    /// Along the wires that lead back.
    pub back: f64,
    /// Left for the lamp.
    pub lamp: f64,
    /// Diodes on the way (parts by index), with their volts and amperes.
    pub through: Vec<(usize, f64, f64)>,
    /// Wires on the way (by index), with their volts and amperes.
    pub wires: Vec<(usize, f64, f64)>,
}

impl Drop {
    /// Along all wires, there and back.
    pub fn along_wires(&self) -> f64 {
        self.feed + self.back
    }

    /// The drop of a lamp circuit (by index) in one phase of a solved state; `None` while it carries next to nothing.
    pub(super) fn of(
        plan: &Plan,
        circuit: &Circuit,
        outcome: &Outcome,
        phase: usize,
        lamp: usize,
    ) -> Option<Drop> {
        let path = Path::trace(circuit, outcome, phase, lamp)?;
        let point = if phase == 0 {
            &outcome.on
        } else {
            &outcome.off
        };
        let mut drop = Drop::default();
        for (i, step) in path.steps.iter().enumerate() {
            let branch = circuit.branches.iter().find(|b| b.origin == step.origin)?;
            let volts = point.across(branch.from, branch.to).abs();
            match step.origin {
                Origin::Wire(wire) => {
                    drop.wires.push((wire, volts, step.amps));
                    if i < path.lamp {
                        drop.feed += volts;
                    } else {
                        drop.back += volts;
                    }
                }
                // The path starts and ends at a battery, charger or converter; its volts count once.
                Origin::Part { .. } if branch.is_source() => drop.supply = volts,
                Origin::Part { part, .. } => match plan.parts.get(part).map(|p| &p.kind) {
                    Some(Kind::Diode(_)) => {
                        drop.diodes += volts;
                        drop.through.push((part, volts, step.amps));
                    }
                    Some(Kind::Resistor(_)) => drop.resistors += volts,
                    _ if i == path.lamp => drop.lamp = volts,
                    _ => drop.joints += volts,
                },
            }
        }
        Some(drop)
    }
}

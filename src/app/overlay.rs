//! The classes laid over the drawing: which wires carry current, which contacts are closed, how bright lamps are,
//! and what is picked.

use super::live::{LampNow, named};
use crate::behaviour::{Flow, Origin, Outcome, Shows, Verdict};
use crate::circuit::Circuit;
use crate::plan::{Action, Kind, Plan, position_word};
use crate::text::say;
use crate::units::order::OrdSet;

pub use crate::drawing::Overlay;

/// Currents below this are leakage: they light nothing and are not shown as live.
pub const LIVE_AMPS: f64 = 2e-3;

/// Classes over the drawing in one phase (0: flashers closed, 1: open).
pub fn overlay(
    plan: &Plan,
    circuit: &Circuit,
    outcome: &Outcome,
    flows: &[Flow],
    lamps: &[LampNow],
    phase: usize,
) -> Overlay {
    let mut overlay = Overlay::new();
    let on_path = |wanted: &dyn Fn(Verdict) -> bool| -> OrdSet<usize> {
        let paths = lamps
            .iter()
            .filter(|lamp| lamp.cell.shows != Shows::Off && wanted(lamp.cell.verdict));
        let wires = paths
            .filter_map(|lamp| lamp.paths[phase].as_ref())
            .flat_map(|path| &path.steps);
        wires
            .filter_map(|step| match step.origin {
                Origin::Wire(wire) => Some(wire),
                Origin::Part { .. } => None,
            })
            .collect()
    };
    let wished = on_path(&|verdict| verdict != Verdict::BackFed);
    let unwished = on_path(&|verdict| verdict == Verdict::BackFed);
    for (i, (wire, flow)) in plan.wires.iter().zip(flows).enumerate() {
        let amps = if phase == 0 { flow.on } else { flow.off };
        if amps.abs() < LIVE_AMPS {
            continue;
        }
        let class = match (unwished.contains(&i) && !wished.contains(&i), amps < 0.0) {
            (true, true) => "back-fed reverse",
            (true, false) => "back-fed",
            (false, true) => "live reverse",
            (false, false) => "live",
        };
        overlay.insert(format!("wire-{}", wire.id), class.into());
    }
    for (i, branch) in circuit.branches.iter().enumerate() {
        let Origin::Part { part, branch } = branch.origin else {
            continue;
        };
        let Some(part) = plan.parts.get(part) else {
            continue;
        };
        let conducts = outcome.conducting[phase].get(i).copied().unwrap_or(false);
        if matches!(part.kind, Kind::Switch(_)) && conducts {
            overlay.insert(format!("contact-{}.{branch}", part.id), "closed".into());
        }
    }
    for relay in outcome.relays.iter().filter(|relay| relay.pulled[phase]) {
        let part = plan.parts.get(relay.part);
        if let Some(part) = part.filter(|part| matches!(part.kind, Kind::Relay(_))) {
            overlay.insert(format!("contact-{}.0", part.id), "closed".into());
        }
    }
    for lamp in lamps {
        let reading = if phase == 0 {
            lamp.cell.on
        } else {
            lamp.cell.off
        };
        // The glow follows the phase, so the drawing's own blinking is not asked for.
        let class = format!("level-{}", tenth(reading.level));
        overlay.insert(format!("lamp-{}", lamp.id), class);
    }
    overlay
}

/// A symbol of the drawing that moves a control when it is tapped.
#[derive(Debug, Clone, PartialEq)]
pub struct Handle {
    /// Group of the drawing.
    pub group: String,
    /// The control, by index.
    pub control: usize,
    /// Its name for who hears it: control, part, position, and what a tap does.
    pub name: String,
}

/// The handles of a plan with its controls at `positions`.
pub fn handles(plan: &Plan, positions: &[u8]) -> Vec<Handle> {
    let handle = |part: &crate::plan::Part| {
        let Kind::Switch(switch) = &part.kind else {
            return None;
        };
        let at = plan.controls.iter().position(|c| c.id == switch.control)?;
        let control = plan.controls.get(at)?;
        let now = usize::from(positions.get(at).copied().unwrap_or(0));
        let name = |index: usize| {
            control
                .positions
                .get(index)
                .map_or("", |p| position_word(p))
        };
        let next = name((now + 1) % control.positions.len().max(1));
        let does = match control.action {
            Action::Momentary if now == 0 => say!("Holds it {next}."),
            Action::Momentary => say!("Lets it go.").to_owned(),
            Action::Latching => say!("Moves it to {next}."),
        };
        Some(Handle {
            group: format!("part-{}", part.id),
            control: at,
            name: format!("{} {}: {}. {does}", part.id, control.label, name(now)),
        })
    };
    plan.parts.iter().filter_map(handle).collect()
}

/// Light in tenths for the glow; the faintest glow still counts as one.
fn tenth(level: f64) -> u8 {
    if level < 0.001 {
        0
    } else {
        (level * 10.0).round().clamp(1.0, 10.0) as u8
    }
}

/// `overlay` with the pick marked: the parts and wires of a lamp's path traced, the picked thing selected. Where the
/// lamp is explained, the steady feed that hides its flash is marked instead, and every wire in which the path of a
/// back-fed lamp runs backwards, also one that other lamps use as wished. `here` is the group at which a reader who
/// follows the path stands.
pub fn with_pick(
    overlay: &Overlay,
    plan: &Plan,
    picked: Option<&str>,
    lamp: Option<&LampNow>,
    explain: bool,
    here: Option<&str>,
) -> Overlay {
    let mut overlay = overlay.clone();
    let mut add = |group: String, class: &str| {
        let classes: &mut String = overlay.entry(group).or_default();
        if !classes.split(' ').any(|c| c == class) {
            if !classes.is_empty() {
                classes.push(' ');
            }
            classes.push_str(class);
        }
    };
    let hiding = lamp.and_then(LampNow::hiding_path).filter(|_| explain);
    let path = hiding.or(lamp.and_then(LampNow::path));
    let back_fed = explain && lamp.is_some_and(|lamp| lamp.cell.verdict == Verdict::BackFed);
    for step in path.iter().flat_map(|path| &path.steps) {
        if let Some((_, group)) = named(plan, step) {
            if back_fed && step.reversed {
                add(group.clone(), "back-fed");
                add(group.clone(), "reverse");
            }
            add(group, if hiding.is_some() { "hiding" } else { "traced" });
        }
    }
    if let Some(here) = here {
        add(here.to_owned(), "here");
        // Of a lamp, the circuit that the path runs through.
        let part = here.strip_prefix("part-");
        if let Some(lamp) = lamp.filter(|lamp| lamp.id.split('.').next() == part) {
            add(format!("lamp-{}", lamp.id), "here");
        }
    }
    if let Some(picked) = picked {
        add(picked.to_owned(), "selected");
        // A splice is drawn as a joint.
        if let Some(part) = picked.strip_prefix("part-") {
            add(format!("joint-{part}"), "selected");
        }
    }
    overlay
}

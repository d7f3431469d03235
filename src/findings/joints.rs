//! Volts lost in single joints: ground points, switch contacts, flashers, plugs; and the ghost volts of a shared ground.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, row_words};
use crate::catalog::drop_rule::{CONNECTION_VOLTS, CONTACT_VOLTS, GROUND_VOLTS};
use crate::catalog::lamp::FLUX_EXPONENT;
use crate::catalog::relay;
use crate::plan::{Change, Edit, Kind, Part, Plan, TerminalId, Wire};
use crate::text::{mark, say};
use crate::units::{Milliohms, Volts};

pub(super) const CHECK: Check = Check {
    name: mark!("joints"),
    what: mark!("No ground point, contact or plug takes more volts than a sound one does."),
    run,
};

const SOURCE: &str = mark!(
    "vehicle service manuals, quoting SAE: ground 0.1 V, connection 0.1 V, switch contact 0.3 V"
);
const FLASHER: &str = mark!("SAE J590: 0.80 V across a 12 V flasher (from memory)");
/// Largest drop of a flasher in volts.
const FLASHER_VOLTS: f64 = 0.8;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        let (ohms, limit, source) = match &part.kind {
            Kind::Ground(ground) => (ground.joint_mohm.ohms(), GROUND_VOLTS, SOURCE),
            Kind::Switch(switch) => (switch.contact_mohm.ohms(), CONTACT_VOLTS, SOURCE),
            Kind::Flasher(unit) => (unit.closed_mohm.ohms(), FLASHER_VOLTS, FLASHER),
            Kind::Connector(plug) => (plug.contact_mohm.ohms(), CONNECTION_VOLTS, SOURCE),
            Kind::Relay(relay) => (relay.contact_mohm.ohms(), CONTACT_VOLTS, SOURCE),
            _ => continue,
        };
        // The first branch of a relay is its coil.
        let skipped = usize::from(matches!(part.kind, Kind::Relay(_)));
        let loads = evidence.loads.part(i).skip(skipped);
        let Some(load) = loads.max_by(|a, b| a.worst().total_cmp(&b.worst())) else {
            continue;
        };
        let volts = ohms * load.worst();
        if volts <= limit {
            continue;
        }
        let cure = sound(plan, i, load.worst(), limit);
        let sharing = plan
            .wires
            .iter()
            .filter(|wire| wire.from.part == part.id || wire.to.part == part.id)
            .count();
        let is_ground = matches!(part.kind, Kind::Ground(_));
        let ghost = if is_ground && sharing > 1 {
            say!(
                " {sharing} wires share it: what is off then stands on {} of the others, which {}.",
                Volts::of(volts),
                ghost_words(plan, evidence.loads.volts[0], volts)
            )
        } else {
            String::new()
        };
        let split = if is_ground { part_load(plan, i) } else { None };
        let (id, taken) = (&part.id, Volts::of(volts));
        let state = row_words(evidence, load.peak.row);
        let mut text = match part.kind {
            Kind::Ground(_) => say!(
                "The ground of {id} takes {taken} with {state}: clean it to bare metal, or part the load."
            ),
            Kind::Connector(_) => say!(
                "The way of {id} takes {taken} with {state}: clean it to bare metal, or part the load."
            ),
            _ => say!(
                "The contact of {id} takes {taken} with {state}: clean it to bare metal, or part the load."
            ),
        };
        text.push_str(&ghost);
        out.push(
            Finding::new(
                &CHECK,
                Severity::Caution,
                vec![part.id.to_string()],
                text,
                source,
            )
            .measured(Volts::of(volts).to_string(), Volts::of(limit).to_string())
            .cured_by([cure.or(split)]),
        );
    }
}

/// What so many ghost volts do to lamps that are off.
fn ghost_words(plan: &Plan, supply: f64, volts: f64) -> &'static str {
    let faint = libm::pow(plan.settings.faint.get(), 1.0 / FLUX_EXPONENT);
    if volts < faint * supply {
        say!("no filament shows, though an electronic flasher or an LED lamp may")
    } else {
        say!("makes their filaments glow")
    }
}

/// Resistances of sound joints in milliohms: bolted ground, switch, plug, flasher; common practice.
const SOUND_MOHM: [f64; 4] = [5.0, 10.0, 5.0, 30.0];

/// The joint as a sound one, where that takes no more than the limit with this current.
fn sound(plan: &Plan, index: usize, amps: f64, limit: f64) -> Option<Remedy> {
    let [ground, switch, plug, flasher] = SOUND_MOHM.map(Milliohms::of);
    let part = plan.parts.get(index)?;
    let mut kind = part.kind.clone();
    let (slot, good) = match &mut kind {
        Kind::Ground(now) => (&mut now.joint_mohm, ground),
        Kind::Switch(now) => (&mut now.contact_mohm, switch),
        Kind::Connector(now) => (&mut now.contact_mohm, plug),
        Kind::Flasher(now) => (&mut now.closed_mohm, flasher),
        Kind::Relay(now) => {
            let row = now.model.as_deref().and_then(relay::find)?;
            (
                &mut now.contact_mohm,
                Milliohms::of(row.make.typical_milliohms),
            )
        }
        _ => return None,
    };
    *slot = good;
    let id = &part.id;
    let title = match kind {
        Kind::Ground(_) | Kind::Connector(_) => say!("Clean {id}, to {good}"),
        Kind::Switch(_) => say!("Replace or clean {id}, to {good}"),
        _ => say!("Replace {id}, to {good}"),
    };
    // Less resistance lets a little more through.
    (1.1 * good.ohms() * amps <= limit)
        .then(|| remedy::part(plan, index, title, kind))
        .flatten()
}

/// A ground point of its own for half of the wires of a shared one.
fn part_load(plan: &Plan, index: usize) -> Option<Remedy> {
    let part = plan.parts.get(index)?;
    let Kind::Ground(now) = &part.kind else {
        return None;
    };
    let on = TerminalId::new(&part.id, "31");
    let wires: Vec<&Wire> = plan
        .wires
        .iter()
        .filter(|w| w.from == on || w.to == on)
        .collect();
    let moved = wires
        .get(..wires.len() / 2)
        .filter(|moved| !moved.is_empty())?;
    let id = plan.free_part_id("XG");
    let mut edits = vec![Edit::add_part(Part {
        id: id.clone(),
        label: say!("Ground beside {}", part.id),
        why: say!("takes a part of the load of {}", part.id),
        kind: Kind::Ground(now.clone()),
        ..part.clone()
    })];
    for wire in moved {
        let mut item = (*wire).clone();
        let end = if item.to == on {
            &mut item.to
        } else {
            &mut item.from
        };
        *end = TerminalId::new(&id, "31");
        edits.push(Edit::Wire(Change::Replace {
            id: wire.id.clone(),
            item,
        }));
    }
    Some(Remedy {
        title: say!("A second ground point beside {}", part.id),
        edit: Edit::All(edits),
    })
}

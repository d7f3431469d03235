//! Volts lost in single joints: ground points, switch contacts, flashers, plugs; and the ghost volts of a shared ground.

use super::{Check, Evidence, Finding, Severity, row_words};
use crate::catalog::drop_rule::{CONNECTION_VOLTS, CONTACT_VOLTS, GROUND_VOLTS};
use crate::plan::Kind;
use crate::units::Volts;

pub(super) const CHECK: Check = Check {
    name: "joints",
    what: "No ground point, contact or plug takes more volts than a sound one does.",
    run,
};

const SOURCE: &str =
    "vehicle service manuals, quoting SAE: ground 0.1 V, connection 0.1 V, switch contact 0.3 V";
const FLASHER: &str = "SAE J590: 0.80 V across a 12 V flasher (from memory)";
/// Largest drop of a flasher in volts.
const FLASHER_VOLTS: f64 = 0.8;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        let (ohms, limit, what, source) = match &part.kind {
            Kind::Ground(ground) => (ground.joint_mohm.ohms(), GROUND_VOLTS, "ground", SOURCE),
            Kind::Switch(switch) => (switch.contact_mohm.ohms(), CONTACT_VOLTS, "contact", SOURCE),
            Kind::Flasher(unit) => (unit.closed_mohm.ohms(), FLASHER_VOLTS, "contact", FLASHER),
            Kind::Connector(plug) => (plug.contact_mohm.ohms(), CONNECTION_VOLTS, "way", SOURCE),
            Kind::Relay(relay) => (relay.contact_mohm.ohms(), CONTACT_VOLTS, "contact", SOURCE),
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
        let sharing = plan
            .wires
            .iter()
            .filter(|wire| wire.from.part == part.id || wire.to.part == part.id)
            .count();
        let ghost = if matches!(part.kind, Kind::Ground(_)) && sharing > 1 {
            format!(
                " {sharing} wires share it: what is off then stands on {} of the others.",
                Volts::of(volts)
            )
        } else {
            String::new()
        };
        let text = format!(
            "The {what} of {} takes {} with {}: clean it to bare metal, or part the load.{ghost}",
            part.id,
            Volts::of(volts),
            row_words(evidence, load.peak.row),
        );
        out.push(
            Finding::new(
                &CHECK,
                Severity::Caution,
                vec![part.id.to_string()],
                text,
                source,
            )
            .measured(Volts::of(volts).to_string(), Volts::of(limit).to_string()),
        );
    }
}

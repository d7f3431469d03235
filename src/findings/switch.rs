//! Contacts of switches against their rating, with the factors for lamps and coils.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, row_words};
use crate::behaviour::Load;
use crate::catalog::{relay, switch_derating};
use crate::plan::{Change, Edit, Extra, Ground, Kind, Part, Plan, Switch, TerminalId, Wire};
use crate::text::{self, mark, say};
use crate::units::{Amps, Millimetres, Milliohms};

pub(super) const CHECK: Check = Check {
    name: mark!("switch rating"),
    what: mark!(
        "Each contact of a switch is rated for its current times the factor for lamps and coils."
    ),
    run,
};

const SOURCE: &str =
    mark!("FAA AC 43.13-1B Table 11-4: lamp 5, inductive 2, resistive 1 at 12 V; 8, 4, 2 at 28 V");
const PLAIN: &str = mark!("rating of the switch");
/// Ratings that switches are made in, in amperes.
const RATINGS: [f64; 12] = [
    1.0, 2.0, 3.0, 5.0, 6.0, 10.0, 15.0, 16.0, 20.0, 25.0, 30.0, 50.0,
];
/// Wires added with a relay are so long, in millimetres: it sits beside its switch.
const BESIDE_MM: f64 = 200.0;

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let system = evidence.loads.volts[0];
    for (i, part) in plan.parts.iter().enumerate() {
        let Kind::Switch(switch) = &part.kind else {
            continue;
        };
        let Some(rating) = switch.rating_a else {
            continue;
        };
        // The contact that needs most speaks for the switch.
        let needed = |load: &Load| {
            switch_derating::needed_amps(system, load.worst(), load.mix.lamp, load.mix.coil)
        };
        let loads = evidence.loads.part(i).zip(&switch.contacts);
        let Some((load, contact)) = loads.max_by(|a, b| needed(a.0).total_cmp(&needed(b.0))) else {
            continue;
        };
        let (amps, need) = (load.worst(), needed(load));
        let (severity, source, limit) = if amps > rating.get() {
            (Severity::Fault, PLAIN, amps)
        } else if need > rating.get() {
            (Severity::Caution, SOURCE, need)
        } else {
            continue;
        };
        let id = &part.id;
        let text = say!(
            "{id} ({rating}) switches {} from {} to {} with {}, of which filaments take {:.0} % and coils {:.0} %: it \
             needs a rating of {}, or a relay.",
            Amps::of(amps),
            contact.from,
            contact.to,
            row_words(evidence, load.peak.row),
            100.0 * load.mix.lamp,
            100.0 * load.mix.coil,
            Amps::of(need),
        );
        let stronger = RATINGS.into_iter().find(|&r| r >= need).and_then(|rating| {
            let rating_a = Some(Amps::of(rating));
            let kind = Kind::Switch(Switch {
                rating_a,
                ..switch.clone()
            });
            let title = say!("Take a switch rated {}", Amps::of(rating));
            remedy::part(plan, i, title, kind)
        });
        out.push(
            Finding::new(&CHECK, severity, vec![id.to_string()], text, source)
                .measured(rating.to_string(), Amps::of(limit).to_string())
                .cured_by([
                    stronger,
                    relay_between(plan, part, &contact.from, &contact.to, system),
                ]),
        );
    }
}

/// The relay row for a system voltage.
fn relay_row(system: f64) -> Option<&'static relay::Row> {
    let near = |row: &&relay::Row| (system / row.coil_volts - 1.0).abs() < 0.25;
    relay::ROWS.iter().find(near)
}

/// A relay whose contact takes over what leaves `to`, with the switch left to feed its coil.
fn relay_between(plan: &Plan, part: &Part, from: &str, to: &str, system: f64) -> Option<Remedy> {
    let row = relay_row(system)?;
    let at = |name: &str| TerminalId::new(&part.id, name);
    let (feed, load) = (at(from), at(to));
    let moved: Vec<&Wire> = plan.wires.iter().filter(|w| w.from == load).collect();
    // A wire that ends at `to` would feed the contact from behind; several contacts may share `to`.
    let fed_behind = plan.wires.iter().any(|w| w.to == load);
    let model = plan.wires.iter().find(|w| w.to == feed || w.from == feed)?;
    if moved.is_empty() || fed_behind {
        return None;
    }
    let relay = plan.free_part_id("K");
    let ground = plan.free_part_id("XG");
    let end = |name: &str| TerminalId::new(&relay, name);
    let new_part = |id, label: String, why: String, kind| Part {
        id,
        label,
        place: part.place.clone(),
        why,
        kind,
        extra: Extra::new(),
    };
    let kind = Kind::Relay(remedy::relay_of(row));
    let mut edits = vec![
        Edit::add_part(new_part(
            relay.clone(),
            say!("Relay of {}", part.id),
            say!(
                "switches the lamps, so that {} carries a coil only",
                part.id
            ),
            kind,
        )),
        Edit::add_part(new_part(
            ground.clone(),
            say!("Ground {relay}"),
            say!("takes the coil current of {relay} to the chassis"),
            Kind::Ground(Ground {
                joint_mohm: Milliohms::of(5.0),
                extra: Extra::new(),
            }),
        )),
    ];
    for wire in moved {
        let item = Wire {
            from: end("87"),
            ..wire.clone()
        };
        let id = wire.id.clone();
        edits.push(Edit::Wire(Change::Replace { id, item }));
    }
    let grounded = TerminalId::new(&ground, "31");
    let new_wires = [
        (feed, end("30"), say!("feeds the relay's contact")),
        (load, end("86"), say!("pulls the relay in")),
        (end("85"), grounded, say!("return of the coil")),
    ];
    let mut numbered = plan.clone();
    for (from, to, why) in new_wires {
        let wire = Wire {
            id: numbered.free_wire_id(),
            from,
            to,
            length_mm: Millimetres::of(BESIDE_MM),
            why: why.into(),
            ..model.clone()
        };
        numbered.wires.push(wire.clone());
        edits.push(Edit::add_wire(wire));
    }
    Some(Remedy {
        title: say!(
            "Let a relay ({}) switch the load of {}",
            text::of(row.label),
            part.id
        ),
        edit: Edit::All(edits),
    })
}

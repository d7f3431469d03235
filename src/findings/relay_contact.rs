//! Relay contacts: current and inrush against the data sheet of the relay's type.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, row_words};
use crate::behaviour::Load;
use crate::catalog::relay::{self, Contact};
use crate::plan::Kind;
use crate::text::{self, mark, say};
use crate::units::Amps;

pub(super) const CHECK: Check = Check {
    name: mark!("relay contact"),
    what: mark!("No relay contact carries or closes on more than its data sheet allows."),
    run,
};

const SOURCE: &str = mark!("contact ratings of the relay's data sheet, at 23 and 85 °C");

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        let Kind::Relay(relay) = &part.kind else {
            continue;
        };
        let Some(row) = relay.model.as_deref().and_then(relay::find) else {
            continue;
        };
        // Inner branches: coil, break contact, make contact.
        let contacts = [("87a", row.break_), ("87", Some(row.make))];
        for (load, (name, contact)) in evidence.loads.part(i).skip(1).zip(contacts) {
            let amps = load.worst();
            let Some(contact) = contact.filter(|_| amps > 0.0) else {
                continue;
            };
            let warm = contact.amps_85c.unwrap_or(contact.amps_23c);
            let found = if amps > contact.amps_23c {
                Some((Severity::Fault, amps, contact.amps_23c, say!("for good")))
            } else if amps > warm {
                Some((
                    Severity::Caution,
                    amps,
                    warm,
                    say!("in the heat of an engine space"),
                ))
            } else {
                row.making_amps
                    .filter(|&most| load.inrush > most)
                    .map(|most| {
                        (
                            Severity::Caution,
                            load.inrush,
                            most,
                            say!("as it closes on cold filaments"),
                        )
                    })
            };
            let Some((severity, amps, limit, when)) = found else {
                continue;
            };
            let text = say!(
                "Contact {name} of {} ({}) carries {} with {}: more than the {} it bears {when}. Take a stronger relay, or part the \
                 load over two.",
                part.id,
                text::of(row.label),
                Amps::of(amps),
                row_words(evidence, load.peak.row),
                Amps::of(limit),
            );
            out.push(
                Finding::new(&CHECK, severity, vec![part.id.to_string()], text, SOURCE)
                    .measured(Amps::of(amps).to_string(), Amps::of(limit).to_string())
                    .cured_by([stronger(evidence, i, row)]),
            );
        }
    }
}

/// A relay for the same volts whose contacts bear the load, hot and as they close.
fn stronger(evidence: &Evidence, index: usize, now: &relay::Row) -> Option<Remedy> {
    let loads: Vec<&Load> = evidence.loads.part(index).skip(1).collect();
    let bears = |load: &Load, contact: Option<Contact>, making: Option<f64>| {
        load.worst() <= 0.0
            || contact.is_some_and(|contact| {
                load.worst() <= contact.amps_85c.unwrap_or(contact.amps_23c)
                    && making.is_none_or(|most| load.inrush <= most)
            })
    };
    let row = relay::ROWS.iter().find(|row| {
        let contacts = [row.break_, Some(row.make)];
        row.coil_volts == now.coil_volts
            && row.key != now.key
            && loads
                .iter()
                .zip(contacts)
                .all(|(load, contact)| bears(load, contact, row.making_amps))
    })?;
    let title = say!(
        "Take a {} for {}",
        text::of(row.label),
        evidence.plan.parts.get(index)?.id
    );
    remedy::part(
        evidence.plan,
        index,
        title,
        Kind::Relay(remedy::relay_of(row)),
    )
}

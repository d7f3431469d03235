//! Lamps switched between them and ground beside lamps switched in their feed.
//!
//! It is a caution where the open contact couples circuits: current leaves one lamp through another, against its
//! direction, and finds ground elsewhere. Where lamps of one plan are only switched in different places, nothing
//! can creep: a note, since the feed of a lamp switched in its return stays live while it is dark.

use super::words::{and, lamp_ids, part_id, part_name};
use super::{Check, Evidence, Finding, Severity};
use crate::behaviour::survey::{Detour, SwitchedLamps};
use crate::text::{mark, say};
use crate::units::order::OrdSet;

pub(super) const CHECK: Check = Check {
    name: mark!("switched ground"),
    what: mark!("Lamps are switched in their feed, or all in their return."),
    run,
};

const SOURCE: &str = mark!(
    "Sneak Circuit Analysis Handbook D2-118341-1 (1970), clues ground-side switching mixed with \
                      power-side switching, loads parallel with a switched ground: from memory"
);

fn run(evidence: &Evidence<'_>, out: &mut Vec<Finding>) {
    let switching = &evidence.survey.switching;
    for lamps in &switching.in_return {
        if let Some(detour) = lamps.detour {
            out.push(coupled(evidence, lamps, detour));
        }
    }
    // The rest in one note, where both ways of switching meet in the plan.
    let rest: Vec<&SwitchedLamps> = switching
        .in_return
        .iter()
        .filter(|lamps| lamps.detour.is_none())
        .collect();
    if !rest.is_empty() && !switching.in_feed.is_empty() {
        out.push(mixed(evidence, &rest));
    }
}

fn names(evidence: &Evidence<'_>, parts: impl IntoIterator<Item = usize>) -> String {
    let parts: OrdSet<usize> = parts.into_iter().collect();
    let names: Vec<String> = parts
        .into_iter()
        .map(|p| part_name(evidence.plan, p))
        .collect();
    and(&names)
}

fn coupled(evidence: &Evidence<'_>, lamps: &SwitchedLamps, detour: Detour) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let contacts = names(evidence, lamps.contacts.iter().copied());
    let [enters, leaves, ends] =
        [detour.enters, detour.leaves, detour.ends].map(|part| part_name(plan, part));
    let text = say!(
        "{} reach ground by way of {contacts}, and their feeds are switched too. While that contact is open, \
         current can run through {enters} to the common point, backwards through {leaves} and through {ends} to \
         ground. Switch these lamps in their feeds only and take the common point to ground, or give \
         each lamp a contact of its own.",
        and(&lamp_ids(table, &lamps.lamps))
    );
    let mut about = lamp_ids(table, &lamps.lamps);
    about.extend(lamps.contacts.iter().map(|&part| part_id(plan, part)));
    Finding::new(&CHECK, Severity::Caution, about, text, SOURCE)
}

fn mixed(evidence: &Evidence<'_>, rest: &[&SwitchedLamps]) -> Finding {
    let (plan, table) = (evidence.plan, evidence.table);
    let in_feed = &evidence.survey.switching.in_feed;
    let lamps: Vec<usize> = rest.iter().flat_map(|l| l.lamps.iter().copied()).collect();
    let contacts = || rest.iter().flat_map(|l| l.contacts.iter().copied());
    let (both, others): (Vec<usize>, Vec<usize>) = in_feed
        .iter()
        .map(|(lamp, _)| *lamp)
        .partition(|lamp| lamps.contains(lamp));
    let (ids, by) = (and(&lamp_ids(table, &lamps)), names(evidence, contacts()));
    let mut text = if lamps.len() == 1 {
        say!("{ids} is switched between lamp and ground, by {by}")
    } else {
        say!("{ids} are switched between lamp and ground, by {by}")
    };
    if !both.is_empty() {
        let by = in_feed.iter().filter(|(lamp, _)| both.contains(lamp));
        text.push_str(&say!(
            "; {} also in the feed, by {}",
            and(&lamp_ids(table, &both)),
            names(evidence, by.flat_map(|(_, parts)| parts.iter().copied()))
        ));
    }
    if !others.is_empty() {
        text.push_str(&say!("; {} in the feed", and(&lamp_ids(table, &others))));
    }
    text.push_str(say!(
        ". No current can creep from one to the other, but a lamp switched to ground keeps a live feed while it is \
         dark, and a chafed return lights it: say so on its label."
    ));
    let mut about = lamp_ids(table, &lamps);
    about.extend(contacts().map(|part| part_id(plan, part)));
    Finding::new(&CHECK, Severity::Note, about, text, SOURCE)
}

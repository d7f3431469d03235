//! References of a plan that lead nowhere, and identities that stand twice: found, told in sentences, and mended.
//!
//! Analysis bears all of it; this is for a plan that comes from outside, when its owner asks. Mending takes nothing out
//! that still means something: a missing place or control is made, a second bearer of an identity gets a free one, a
//! wire or wish that leads nowhere goes. No item refers to one of its own kind, so references cannot run in a circle.

use super::{Action, Control, Item, Kind, LampId, Part, Place, Plan, TerminalId, free};
use std::collections::{BTreeMap, BTreeSet};

/// The plan with every reference sound, and a sentence for each thing that was not.
pub fn mend(plan: &Plan) -> (Plan, Vec<String>) {
    let mut plan = plan.clone();
    let mut told = Vec::new();
    twice::<Place>(&mut plan, &mut told, |place, id| place.id = id);
    twice::<Control>(&mut plan, &mut told, |control, id| control.id = id);
    twice::<Part>(&mut plan, &mut told, |part, id| part.id = id);
    twice::<super::Wire>(&mut plan, &mut told, |wire, id| wire.id = id);
    twice::<super::Wish>(&mut plan, &mut told, |wish, id| wish.id = id);
    places(&mut plan, &mut told);
    controls(&mut plan, &mut told);
    wires(&mut plan, &mut told);
    wishes(&mut plan, &mut told);
    (plan, told)
}

/// Gives later bearers of an identity a free one; references mean the first.
fn twice<T: Item>(plan: &mut Plan, told: &mut Vec<String>, rename: fn(&mut T, T::Id))
where
    T::Id: core::str::FromStr + Ord,
{
    let mut taken: BTreeSet<T::Id> = T::list(plan).iter().map(|item| item.id().clone()).collect();
    let mut seen = BTreeSet::new();
    for item in T::list_mut(plan) {
        let id = item.id().clone();
        if seen.insert(id.clone()) {
            continue;
        }
        let new: T::Id = free(&format!("{id}-"), |id| taken.contains(id));
        told.push(format!(
            "Two {}s carry the identity {id}: the second becomes {new}.",
            T::WORD
        ));
        taken.insert(new.clone());
        seen.insert(new.clone());
        rename(item, new);
    }
}

fn places(plan: &mut Plan, told: &mut Vec<String>) {
    let known: BTreeSet<_> = plan.places.iter().map(|place| place.id.clone()).collect();
    let mut missing = BTreeMap::new();
    for part in &plan.parts {
        if let Some(id) = part.place.as_ref().filter(|id| !known.contains(*id)) {
            missing.entry(id.clone()).or_insert(part.id.clone());
        }
    }
    for (id, part) in missing {
        told.push(format!(
            "Part {part} lies at the place {id}, which the plan does not have: the place is added."
        ));
        plan.places.push(Place {
            label: id.to_string(),
            id,
            extra: super::Extra::new(),
        });
    }
}

/// Controls and positions that parts speak of.
fn controls(plan: &mut Plan, told: &mut Vec<String>) {
    for control in &mut plan.controls {
        if control.positions.is_empty() {
            told.push(format!(
                "Control {} has no position: one at rest is added.",
                control.id
            ));
            control.positions.push("off".into());
        }
    }
    let mut spoken = Vec::new();
    for part in &plan.parts {
        match &part.kind {
            Kind::Switch(switch) => {
                let positions = switch
                    .contacts
                    .iter()
                    .flat_map(|contact| &contact.closed_in);
                spoken.push((
                    part.id.clone(),
                    switch.control.clone(),
                    positions.cloned().collect(),
                ));
            }
            Kind::Charger(charger) => {
                if let Some(runs) = &charger.runs {
                    spoken.push((
                        part.id.clone(),
                        runs.control.clone(),
                        runs.positions.clone(),
                    ));
                }
            }
            _ => {}
        }
    }
    for (part, id, positions) in spoken {
        if plan.control(&id).is_none() {
            told.push(format!(
                "Part {part} is moved by the control {id}, which the plan does not have: the control is added."
            ));
            plan.controls.push(Control {
                label: id.to_string(),
                id: id.clone(),
                action: Action::Latching,
                positions: vec!["off".into()],
                extra: super::Extra::new(),
            });
        }
        let control = plan.controls.iter_mut().find(|control| control.id == id);
        let Some(control) = control else { continue };
        for position in positions {
            if !control.positions.contains(&position) {
                // The control was just made: its positions are no news.
                if control.positions.len() > 1 || control.label != control.id.as_str() {
                    told.push(format!(
                        "Part {part} speaks of the position {position} of control {id}, which has none such: it is added."
                    ));
                }
                control.positions.push(position);
            }
        }
    }
}

fn wires(plan: &mut Plan, told: &mut Vec<String>) {
    let terminals: BTreeMap<_, Vec<String>> = plan
        .parts
        .iter()
        .map(|part| (part.id.clone(), part.terminals()))
        .collect();
    let is_there = |end: &TerminalId| {
        let names = terminals.get(&end.part);
        names.is_some_and(|names| names.contains(&end.terminal))
    };
    plan.wires.retain(|wire| {
        let lost = [&wire.from, &wire.to]
            .into_iter()
            .find(|end| !is_there(end));
        if let Some(end) = lost {
            told.push(format!(
                "Wire {} ends at {end}, which the plan does not have: the wire is taken out.",
                wire.id
            ));
        }
        lost.is_none()
    });
}

fn wishes(plan: &mut Plan, told: &mut Vec<String>) {
    let lamps: BTreeSet<LampId> = plan
        .lamp_circuits()
        .into_iter()
        .map(|lamp| lamp.id)
        .collect();
    let controls = &plan.controls;
    plan.wishes.retain_mut(|wish| {
        let lost = wish.when.iter().find(|(id, position)| {
            let control = controls.iter().find(|control| control.id == **id);
            !control.is_some_and(|control| control.positions.contains(position))
        });
        if let Some((id, position)) = lost {
            told.push(format!(
                "Wish {} speaks of control {id} at {position}, which the plan does not have: the wish is taken out.",
                wish.id
            ));
            return false;
        }
        let before = wish.lamps.len();
        wish.lamps.retain(|lamp| lamps.contains(lamp));
        let gone = before - wish.lamps.len();
        if gone > 0 {
            let left = if wish.lamps.is_empty() {
                "the wish is taken out"
            } else {
                "they are left out of it"
            };
            told.push(format!(
                "Wish {} names {gone} lamp circuits that the plan does not have: {left}.",
                wish.id
            ));
        }
        gone == 0 || !wish.lamps.is_empty()
    });
}

//! References of a plan that lead nowhere, and identities that stand twice: found, told in sentences, and mended.
//!
//! Analysis bears all of it; this is for a plan that comes from outside, when its owner asks. Mending takes nothing out
//! that still means something: a missing place or control is made, a second bearer of an identity gets a free one, a
//! wire or wish that leads nowhere goes. No item refers to one of its own kind, so references cannot run in a circle.

use super::{Action, Control, Item, Kind, LampId, MAX_ID, Part, Place, Plan, TerminalId};
use crate::text::{self, say};
use crate::units::order::{OrdMap, OrdSet};

/// The plan with every reference sound, and a sentence for each thing that was not.
pub fn mend(plan: &Plan) -> (Plan, Vec<String>) {
    let mut plan = plan.clone();
    let mut told = Vec::new();
    twice::<Place>(&mut plan, &mut told, |place, id| set(&mut place.id, id));
    twice::<Control>(&mut plan, &mut told, |control, id| set(&mut control.id, id));
    twice::<Part>(&mut plan, &mut told, |part, id| set(&mut part.id, id));
    twice::<super::Wire>(&mut plan, &mut told, |wire, id| set(&mut wire.id, id));
    twice::<super::Wish>(&mut plan, &mut told, |wish, id| set(&mut wish.id, id));
    places(&mut plan, &mut told);
    controls(&mut plan, &mut told);
    wires(&mut plan, &mut told);
    wishes(&mut plan, &mut told);
    (plan, told)
}

/// Gives later bearers of an identity a free one; references mean the first.
fn twice<T: Item>(plan: &mut Plan, told: &mut Vec<String>, rename: fn(&mut T, &str)) {
    let ids = T::list(plan).iter().map(|item| item.id().to_string());
    for (at, new) in second_names(ids.collect(), text::of(T::WORD), told) {
        rename(&mut T::list_mut(plan)[at], &new);
    }
}

/// Places in a list whose identity stands before, with free ones. Texts rather than identities: one function for all.
fn second_names(ids: Vec<String>, word: &str, told: &mut Vec<String>) -> Vec<(usize, String)> {
    let mut taken: OrdSet<String> = ids.iter().cloned().collect();
    let mut seen = OrdSet::new();
    let mut new_names = Vec::new();
    for (at, id) in ids.into_iter().enumerate() {
        if seen.insert(id.clone()) {
            continue;
        }
        let stem: String = id.chars().take(MAX_ID - 6).collect();
        let free = (1..)
            .map(|n| format!("{stem}-{n}"))
            .find(|name| !taken.contains(name));
        let new = free.unwrap_or_default();
        told.push(say!(
            "Two {word}s carry the identity {id}: the second becomes {new}."
        ));
        taken.insert(new.clone());
        seen.insert(new.clone());
        new_names.push((at, new));
    }
    new_names
}

/// A free name is made of an identity, a hyphen and digits, so it is one.
fn set<Id: core::str::FromStr>(id: &mut Id, name: &str) {
    if let Ok(new) = name.parse() {
        *id = new;
    }
}

fn places(plan: &mut Plan, told: &mut Vec<String>) {
    let known: OrdSet<_> = plan.places.iter().map(|place| place.id.clone()).collect();
    let mut missing = OrdMap::new();
    for part in &plan.parts {
        if let Some(id) = part.place.as_ref().filter(|id| !known.contains(*id)) {
            missing.entry(id.clone()).or_insert(part.id.clone());
        }
    }
    for (id, part) in missing {
        told.push(say!(
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
            told.push(say!(
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
            told.push(say!(
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
                    told.push(say!(
                        "Part {part} speaks of the position {position} of control {id}, which has none such: it is added."
                    ));
                }
                control.positions.push(position);
            }
        }
    }
}

fn wires(plan: &mut Plan, told: &mut Vec<String>) {
    let terminals: OrdMap<_, Vec<String>> = plan
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
            told.push(say!(
                "Wire {} ends at {end}, which the plan does not have: the wire is taken out.",
                wire.id
            ));
        }
        lost.is_none()
    });
}

fn wishes(plan: &mut Plan, told: &mut Vec<String>) {
    let lamps: OrdSet<LampId> = plan
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
            told.push(say!(
                "Wish {} speaks of control {id} at {position}, which the plan does not have: the wish is taken out.",
                wish.id
            ));
            return false;
        }
        let (there, gone): (Vec<LampId>, Vec<LampId>) = core::mem::take(&mut wish.lamps)
            .into_iter()
            .partition(|lamp| lamps.contains(lamp));
        wish.lamps = there;
        if gone.is_empty() {
            return true;
        }
        let gone: Vec<String> = gone.iter().map(LampId::to_string).collect();
        let left = if wish.lamps.is_empty() {
            say!("the wish is taken out")
        } else {
            say!("left out of it")
        };
        told.push(say!(
            "Wish {} names {}, which the plan does not have: {left}.",
            wish.id,
            gone.join(", ")
        ));
        !wish.lamps.is_empty()
    });
}

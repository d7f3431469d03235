//! What the owner wishes, as the answers say it: for each lamp circuit what it shows in which positions.
//!
//! The first wish that fits decides, so they are listed by priority: flash before stop (or after it, where the owner
//! wants no priority), strong signals before weak ones. Circuits with the same list share their wishes.

use super::fitting::DIM_LEAST;
use super::nets::Draft;
use super::place::Side;
use super::resolve::{Bus, Circuit, Feed, Lamp, Resolved, Way};
use super::{Brief, ControlAnswer};
use crate::plan::{ControlId, Extra, LampId, Show, Wish, WishId};
use crate::units::Share;
use crate::units::order::OrdMap;

/// One wish without its lamps.
#[derive(Debug, Clone, PartialEq)]
struct Rule {
    when: OrdMap<ControlId, String>,
    show: Show,
    at_least: Option<Share>,
}

impl Rule {
    /// What the wish is for.
    fn role(&self) -> String {
        let when: Vec<String> = self
            .when
            .iter()
            .map(|(control, position)| format!("{control} {position}"))
            .collect();
        let low = if self.at_least.is_some() { " low" } else { "" };
        format!("wish:{}{low}:{}", self.show.key(), when.join(", "))
    }
}

/// Lists the wishes of a plan with these lamp circuits: identity, index of the lamp, index of the circuit.
pub(super) fn wish(
    draft: &mut Draft,
    brief: &Brief,
    want: &Resolved,
    lamps: &[(LampId, usize, usize)],
) {
    let mut roles: Vec<String> = Vec::new();
    let mut left: Vec<(LampId, Vec<Rule>)> = lamps
        .iter()
        .map(|(id, lamp, circuit)| {
            let lamp = &want.lamps[*lamp];
            let mut rules = rules(brief, want, lamp, &lamp.circuits[*circuit]);
            // The last comes off first.
            rules.reverse();
            (id.clone(), rules)
        })
        .collect();
    // The next wish is one that is next for a circuit and, if there is such a one, comes later for none, so that
    // circuits share as many wishes as their orders allow.
    loop {
        let heads = || left.iter().filter_map(|(_, rules)| rules.last());
        let later = |rule: &Rule| {
            left.iter()
                .any(|(_, rules)| rules.iter().rev().skip(1).any(|r| r == rule))
        };
        let next = heads().find(|rule| !later(rule)).or(heads().next());
        let Some(rule) = next.cloned() else { break };
        let mut own = Vec::new();
        for (id, rules) in &mut left {
            if rules.last() == Some(&rule) {
                rules.pop();
                own.push(id.clone());
            }
        }
        let mut role = rule.role();
        while roles.contains(&role) {
            role.push_str(" again");
        }
        roles.push(role.clone());
        let id: WishId = draft.identity(&role, "wish");
        draft.plan.wishes.push(Wish {
            id,
            when: rule.when,
            lamps: own,
            show: rule.show,
            at_least: rule.at_least,
            extra: Extra::new(),
        });
    }
}

fn rules(brief: &Brief, want: &Resolved, lamp: &Lamp, circuit: &Circuit) -> Vec<Rule> {
    let full = |way: &&Way| !way.dim;
    let dim = |way: &&Way| way.dim;
    let flash = flashing(brief, want, lamp.side, circuit);
    let strong: Vec<Rule> = circuit
        .ways
        .iter()
        .filter(full)
        .flat_map(|way| steady(brief, want, way))
        .collect();
    let weak = circuit
        .ways
        .iter()
        .filter(dim)
        .flat_map(|way| steady(brief, want, way));
    let hides = circuit
        .ways
        .iter()
        .any(|way| !way.dim && matches!(way.feed, Feed::Steady(_)));
    let mut rules = if hides {
        [strong, flash].concat()
    } else {
        [flash, strong].concat()
    };
    rules.extend(weak);
    rules
}

/// Rules of the flashing ways: hazard first.
fn flashing(brief: &Brief, want: &Resolved, side: Side, circuit: &Circuit) -> Vec<Rule> {
    let has = |test: fn(Feed) -> bool| circuit.ways.iter().any(|way| test(way.feed));
    let turns = has(|feed| matches!(feed, Feed::Flash(_) | Feed::StopOrFlash(_)));
    let flashes = turns || has(|feed| feed == Feed::FlashHazard);
    let mut rules = Vec::new();
    let mut add = |control: usize, position: &str, bus: Bus| {
        let at = (
            want.controls[control].control.id.clone(),
            position.to_owned(),
        );
        for gate in gates(brief, want, bus) {
            rules.push(Rule {
                when: gate.into_iter().chain([at.clone()]).collect(),
                show: Show::Flashing,
                at_least: None,
            });
        }
    };
    if let Some(hazard) = want.hazard(brief).filter(|_| flashes) {
        add(hazard, "on", want.hazard_bus);
    }
    if let Some(when) = want.turning(brief, side).filter(|_| turns) {
        add(when.control, &when.position, want.turn_bus);
    }
    rules
}

/// Rules of a steady way, and of the stop signal that gives way to a flash.
fn steady(brief: &Brief, want: &Resolved, way: &Way) -> Vec<Rule> {
    let group = match way.feed {
        Feed::Steady(group) => Some(group),
        Feed::StopOrFlash(_) => want.group_of(super::Signal::Stop),
        _ => None,
    };
    let Some(group) = group.map(|group| &want.groups[group]) else {
        return Vec::new();
    };
    let at_least = way.dim.then(|| Share::of(DIM_LEAST));
    let mut rules = Vec::new();
    for gate in gates(brief, want, group.bus) {
        let rule = |when| Rule {
            when,
            show: Show::Steady,
            at_least,
        };
        if group.lit.is_empty() {
            rules.push(rule(gate.clone().into_iter().collect()));
        }
        for when in &group.lit {
            let id = want.controls[when.control].control.id.clone();
            let all = gate
                .clone()
                .into_iter()
                .chain([(id, when.position.clone())]);
            rules.push(rule(all.collect()));
        }
    }
    rules
}

/// Positions of the master or ignition switch in which a bus is live; a single `None` where it always is.
fn gates(brief: &Brief, want: &Resolved, bus: Bus) -> Vec<Option<(ControlId, String)>> {
    let Some(gate) = want.gate(brief).filter(|_| bus != Bus::Always) else {
        return vec![None];
    };
    let moved = &want.controls[gate];
    let positions: &[&str] = match (&brief.controls[moved.answer], bus) {
        (ControlAnswer::Ignition { .. }, Bus::Accessory) => &["accessory", "run"],
        (ControlAnswer::Ignition { .. }, _) => &["run"],
        _ => &["on"],
    };
    let at = |&position: &&str| Some((moved.control.id.clone(), position.to_owned()));
    positions.iter().map(at).collect()
}

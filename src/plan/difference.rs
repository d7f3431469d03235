//! What differs between a plan and the plan after an edit: parts and wires that are new, gone or changed.
//!
//! Read off the two documents, so it holds for any edit, whoever made it.

use super::{Item, Part, PartId, Plan, Wire, WireId};
use crate::text::say;

/// What an edit does to parts and wires.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Difference {
    /// Parts only the later plan has.
    pub new_parts: Vec<PartId>,
    /// Parts only the earlier plan has.
    pub gone_parts: Vec<PartId>,
    /// Parts both have that differ.
    pub changed_parts: Vec<PartId>,
    /// Wires only the later plan has.
    pub new_wires: Vec<WireId>,
    /// Wires only the earlier plan has.
    pub gone_wires: Vec<WireId>,
    /// Wires that end somewhere else, each with its new ends.
    pub moved_wires: Vec<(WireId, String)>,
    /// Wires that keep their ends but differ otherwise.
    pub changed_wires: Vec<WireId>,
    /// Places, controls, wishes and settings that differ, in words.
    pub others: Vec<&'static str>,
}

/// What differs from `before` to `after`.
pub fn difference(before: &Plan, after: &Plan) -> Difference {
    let moved = |old: &Wire, new: &Wire| (&old.from, &old.to) != (&new.from, &new.to);
    let pairs: Vec<(&Wire, &Wire)> = before
        .wires
        .iter()
        .filter_map(|old| Some((old, after.wire(&old.id)?)))
        .collect();
    let differs = |same: bool, word| (!same).then_some(word);
    Difference {
        new_parts: missing::<Part>(after, before),
        gone_parts: missing::<Part>(before, after),
        changed_parts: before
            .parts
            .iter()
            .filter(|old| after.part(&old.id).is_some_and(|new| new != *old))
            .map(|old| old.id.clone())
            .collect(),
        new_wires: missing::<Wire>(after, before),
        gone_wires: missing::<Wire>(before, after),
        moved_wires: pairs
            .iter()
            .filter(|(old, new)| moved(old, new))
            .map(|(_, new)| (new.id.clone(), say!("{} to {}", new.from, new.to)))
            .collect(),
        changed_wires: pairs
            .iter()
            .filter(|(old, new)| old != new && !moved(old, new))
            .map(|(_, new)| new.id.clone())
            .collect(),
        others: [
            differs(before.places == after.places, say!("places")),
            differs(before.controls == after.controls, say!("controls")),
            differs(before.wishes == after.wishes, say!("wishes")),
            differs(before.settings == after.settings, say!("settings")),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

/// Identities of items that `of` has and `other` has not.
fn missing<T: Item>(of: &Plan, other: &Plan) -> Vec<T::Id> {
    T::list(of)
        .iter()
        .map(T::id)
        .filter(|id| T::list(other).iter().all(|item| item.id() != *id))
        .cloned()
        .collect()
}

impl Difference {
    /// In sentences; `after` is the later plan. One of them for an edit that changes neither parts nor wires.
    pub fn lines(&self, after: &Plan) -> Vec<String> {
        let mut lines = Vec::new();
        let names = |ids: &[PartId]| {
            let named = ids.iter().map(|id| match after.part(id) {
                Some(part) => format!("{id} ({})", part.kind.text()),
                None => id.to_string(),
            });
            named.collect::<Vec<_>>()
        };
        let ids = |ids: &[WireId]| ids.iter().map(WireId::to_string).collect::<Vec<_>>();
        let mut say = |one: &str, many: &str, list: Vec<String>| match list.len() {
            0 => {}
            1 => lines.push(format!("{one}: {}.", list[0])),
            n => lines.push(say!("{n} {many}: {}.", list.join(", "))),
        };
        say(say!("New part"), say!("new parts"), names(&self.new_parts));
        say(
            say!("Part taken out"),
            say!("parts taken out"),
            names(&self.gone_parts),
        );
        say(
            say!("Changed part"),
            say!("changed parts"),
            names(&self.changed_parts),
        );
        say(say!("New wire"), say!("new wires"), ids(&self.new_wires));
        let moved = self.moved_wires.iter();
        let moved = moved.map(|(id, ends)| say!("{id} now runs {ends}"));
        say(say!("Moved wire"), say!("moved wires"), moved.collect());
        say(
            say!("Changed wire"),
            say!("changed wires"),
            ids(&self.changed_wires),
        );
        say(
            say!("Wire taken out"),
            say!("wires taken out"),
            ids(&self.gone_wires),
        );
        if !self.others.is_empty() {
            lines.push(say!("Changed too: {}.", self.others.join(", ")));
        }
        if lines.is_empty() {
            lines.push(say!("No part and no wire changes.").into());
        }
        lines
    }

    /// Groups of the drawing of `after` that are new or changed.
    pub fn groups(&self) -> Vec<String> {
        let parts = self.new_parts.iter().chain(&self.changed_parts);
        let moved = self.moved_wires.iter().map(|(id, _)| id);
        let wires = self
            .new_wires
            .iter()
            .chain(moved)
            .chain(&self.changed_wires);
        parts
            .map(|id| format!("part-{id}"))
            .chain(wires.map(|id| format!("wire-{id}")))
            .collect()
    }
}

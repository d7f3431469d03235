//! What differs between a plan and the plan after an edit: parts and wires that are new, gone or changed.
//!
//! Read off the two documents, so it holds for any edit, whoever made it.

use super::{Item, Part, PartId, Plan, Wire, WireId};

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
            .map(|(_, new)| (new.id.clone(), format!("{} to {}", new.from, new.to)))
            .collect(),
        changed_wires: pairs
            .iter()
            .filter(|(old, new)| old != new && !moved(old, new))
            .map(|(_, new)| new.id.clone())
            .collect(),
        others: [
            differs(before.places == after.places, "places"),
            differs(before.controls == after.controls, "controls"),
            differs(before.wishes == after.wishes, "wishes"),
            differs(before.settings == after.settings, "settings"),
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
            n => lines.push(format!("{n} {many}: {}.", list.join(", "))),
        };
        say("New part", "new parts", names(&self.new_parts));
        say("Part taken out", "parts taken out", names(&self.gone_parts));
        say("Changed part", "changed parts", names(&self.changed_parts));
        say("New wire", "new wires", ids(&self.new_wires));
        let moved = self.moved_wires.iter();
        let moved = moved.map(|(id, ends)| format!("{id} now runs {ends}"));
        say("Moved wire", "moved wires", moved.collect());
        say("Changed wire", "changed wires", ids(&self.changed_wires));
        say("Wire taken out", "wires taken out", ids(&self.gone_wires));
        if !self.others.is_empty() {
            lines.push(format!("Changed too: {}.", self.others.join(", ")));
        }
        if lines.is_empty() {
            lines.push("No part and no wire changes.".into());
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

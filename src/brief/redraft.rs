//! A plan drafted anew after a change of an answer, with what was changed by hand kept where it still fits.
//!
//! Method: a three-way merge. The old answers give the plan as it was drafted, with the identities it has; what differs
//! from it in the present plan was changed by hand. The new answers give a new draft in which everything that serves
//! the same purpose has its old identity. Item by item and field by field, what only one side changed is taken
//! from that side; where both did, the new draft is taken and the loss is listed.

use super::{Brief, answers, build, remember};
use crate::plan::file::tree;
use crate::plan::{Edit, Extra, Plan, TerminalId, Wire};
use crate::text::{self, say};
use crate::units::order::{OrdMap, OrdSet};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// A plan drafted anew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Redraft {
    /// The edit that puts it in the place of the present one.
    pub edit: Edit,
    /// The plan after it.
    pub plan: Plan,
    /// Changes by hand that were kept, a sentence each.
    pub kept: Vec<String>,
    /// Changes by hand that no longer fit, a sentence each.
    pub lost: Vec<String>,
}

/// Drafts a plan anew from other answers. A plan that was not drafted has no answers to differ from: all its parts
/// count as added by hand.
pub fn redraft(plan: &Plan, brief: &Brief) -> Redraft {
    let drafted = plan.drafted.clone().unwrap_or_default();
    let mut base =
        answers(plan).map_or_else(Plan::default, |old| build::build(&old, &drafted.ids, &[]).0);
    let mut merge = Merge::default();
    if drafted.language.as_deref().unwrap_or("en") != text::language() && plan.drafted.is_some() {
        with_words_of(&mut base, plan);
        merge.lost.push(
            say!(
                "The plan was drafted in another language: its names and reasons are written anew."
            )
            .into(),
        );
    }
    let taken: Vec<String> = identities(plan);
    let (new, mut ids) = build::build(brief, &drafted.ids, &taken);
    // Roles of old drafts stay known, so that an answer changed back finds its identities again.
    for (role, id) in &drafted.ids {
        ids.entry(role.clone()).or_insert_with(|| id.clone());
    }
    let mut after = Plan {
        title: merge.field(say!("the title"), &base.title, &plan.title, &new.title),
        notes: merge.field(say!("the notes"), &base.notes, &plan.notes, &new.notes),
        settings: merge.item(
            say!("settings"),
            &base.settings,
            &plan.settings,
            &new.settings,
        ),
        places: merge.list(say!("place"), &base.places, &plan.places, &new.places),
        controls: merge.list(
            say!("control"),
            &base.controls,
            &plan.controls,
            &new.controls,
        ),
        parts: merge.list(say!("part"), &base.parts, &plan.parts, &new.parts),
        wires: merge.list(say!("wire"), &base.wires, &plan.wires, &new.wires),
        wishes: merge.list(say!("wish"), &base.wishes, &plan.wishes, &new.wishes),
        drafted: Some(remember(brief, ids, &drafted.answers)),
        extra: plan.extra.clone(),
    };
    merge.drop_loose_wires(&mut after, &new);
    merge.drop_unknown_lamps(&mut after);
    Redraft {
        edit: Edit::Whole(Box::new(after.clone())),
        plan: after,
        kept: merge.kept,
        lost: merge.lost,
    }
}

/// Takes over the words of a plan that was drafted in another language, so that they do not count as changed by hand.
/// Which of them the user wrote cannot be told: the language of a run is one.
fn with_words_of(base: &mut Plan, plan: &Plan) {
    base.notes.clone_from(&plan.notes);
    for place in &mut base.places {
        if let Some(known) = plan.place(&place.id) {
            place.label.clone_from(&known.label);
        }
    }
    for control in &mut base.controls {
        if let Some(known) = plan.control(&control.id) {
            control.label.clone_from(&known.label);
        }
    }
    for part in &mut base.parts {
        if let Some(known) = plan.part(&part.id) {
            part.label.clone_from(&known.label);
            part.why.clone_from(&known.why);
        }
    }
    for wire in &mut base.wires {
        if let Some(known) = plan.wire(&wire.id) {
            wire.why.clone_from(&known.why);
        }
    }
}

/// Every identity of parts, wires and wishes.
fn identities(plan: &Plan) -> Vec<String> {
    let parts = plan.parts.iter().map(|part| part.id.to_string());
    let wires = plan.wires.iter().map(|wire| wire.id.to_string());
    let wishes = plan.wishes.iter().map(|wish| wish.id.to_string());
    parts.chain(wires).chain(wishes).collect()
}

/// A merge in progress.
#[derive(Default)]
struct Merge {
    kept: Vec<String>,
    lost: Vec<String>,
}

impl Merge {
    /// A plain value.
    fn field<T: PartialEq + Clone>(&mut self, what: &str, base: &T, mine: &T, new: &T) -> T {
        if mine == base || mine == new {
            return new.clone();
        }
        if new == base {
            self.kept.push(say!("Changed by hand, kept: {what}."));
            return mine.clone();
        }
        self.lost.push(say!(
            "Changed by hand and by the answers: {what}; the answers are taken."
        ));
        new.clone()
    }

    /// An item that all three have, field by field.
    fn item<T: Serialize + DeserializeOwned + Clone + PartialEq>(
        &mut self,
        what: &str,
        base: &T,
        mine: &T,
        new: &T,
    ) -> T {
        if mine == base || mine == new {
            return new.clone();
        }
        if new == base {
            self.kept.push(say!("Changed by hand, kept: {what}."));
            return mine.clone();
        }
        let value = |item: &T| tree(item);
        let mut clashes = Vec::new();
        let (base, theirs) = (value(base), value(new));
        let mixed = mix(&base, &value(mine), &theirs, "", &mut clashes);
        if clashes.is_empty() {
            self.kept.push(say!("Changed by hand, kept: {what}."));
        } else {
            self.lost.push(say!(
                "Changed by hand and by the answers: {what} ({}); the answers are taken.",
                clashes.join(", ")
            ));
        }
        serde_json::from_value(mixed).unwrap_or_else(|_| new.clone())
    }

    /// A list of items with identities: in the order of the new draft, then what was added by hand.
    fn list<T: Keyed>(&mut self, word: &str, base: &[T], mine: &[T], new: &[T]) -> Vec<T> {
        fn find<'a, T: Keyed>(list: &'a [T], key: &str) -> Option<&'a T> {
            list.iter().find(|item| item.key() == key)
        }
        let mut merged = Vec::with_capacity(new.len());
        for item in new {
            let key = item.key();
            let what = format!("{word} {key}");
            match (find(base, &key), find(mine, &key)) {
                (Some(base), Some(mine)) => merged.push(self.item(&what, base, mine, item)),
                (Some(base), None) if base == item => {
                    self.kept.push(say!("Taken out by hand, left out: {what}."));
                }
                (Some(_), None) => {
                    self.lost.push(say!(
                        "Taken out by hand, but the answers change it: {what} is back."
                    ));
                    merged.push(item.clone());
                }
                (None, _) => merged.push(item.clone()),
            }
        }
        // What was put in front of everything drafted stays in front: wishes decide by their order.
        let mut front = 0;
        let mut in_front = true;
        for item in mine {
            let key = item.key();
            if find(new, &key).is_some() {
                in_front = false;
                continue;
            }
            let what = format!("{word} {key}");
            match find(base, &key) {
                None => {
                    self.kept.push(say!("Added by hand, kept: {what}."));
                    if in_front {
                        merged.insert(front, item.clone());
                        front += 1;
                    } else {
                        merged.push(item.clone());
                    }
                }
                Some(base) if base != item => {
                    self.lost
                        .push(say!("Changed by hand, but no longer there: {what}."));
                }
                Some(_) => {}
            }
        }
        merged
    }

    /// Wires kept by hand whose ends the new draft no longer has.
    fn drop_loose_wires(&mut self, plan: &mut Plan, new: &Plan) {
        let known: OrdSet<TerminalId> = plan
            .parts
            .iter()
            .flat_map(|part| {
                let names = part.terminals();
                names
                    .into_iter()
                    .map(|name| TerminalId::new(&part.id, name))
            })
            .collect();
        let drawn: OrdMap<&str, &Wire> = new
            .wires
            .iter()
            .map(|wire| (wire.id.as_str(), wire))
            .collect();
        let mut lost = Vec::new();
        for wire in &mut plan.wires {
            let fits = |wire: &Wire| known.contains(&wire.from) && known.contains(&wire.to);
            if fits(wire) {
                continue;
            }
            // Where the draft has the wire too, its own ends are taken.
            if let Some(drawn) = drawn.get(wire.id.as_str()).filter(|drawn| fits(drawn)) {
                wire.from = drawn.from.clone();
                wire.to = drawn.to.clone();
            }
            lost.push(say!(
                "Wire {} ended on a terminal that is no longer there.",
                wire.id
            ));
        }
        plan.wires
            .retain(|wire| known.contains(&wire.from) && known.contains(&wire.to));
        self.lost.extend(lost);
    }

    /// Lamps that wishes name and the plan no longer has.
    fn drop_unknown_lamps(&mut self, plan: &mut Plan) {
        let known: Vec<_> = plan
            .lamp_circuits()
            .into_iter()
            .map(|lamp| lamp.id)
            .collect();
        let mut lost = Vec::new();
        for wish in &mut plan.wishes {
            let before = wish.lamps.len();
            wish.lamps.retain(|lamp| known.contains(lamp));
            if wish.lamps.len() < before {
                lost.push(say!(
                    "Wish {} named a lamp that is no longer there.",
                    wish.id
                ));
            }
        }
        plan.wishes.retain(|wish| !wish.lamps.is_empty());
        self.lost.extend(lost);
    }
}

/// Three-way merge of JSON values; objects field by field, everything else whole. Fields that both sides changed
/// differently are named in `clashes`.
fn mix(base: &Value, mine: &Value, new: &Value, at: &str, clashes: &mut Vec<String>) -> Value {
    if mine == base || mine == new {
        return new.clone();
    }
    if new == base {
        return mine.clone();
    }
    let (Value::Object(base), Value::Object(mine), Value::Object(theirs)) = (base, mine, new)
    else {
        clashes.push(at.replace('_', " "));
        return new.clone();
    };
    let keys: OrdSet<&String> = mine.keys().chain(theirs.keys()).collect();
    let none = Value::Null;
    let get = |map: &'_ Extra, key: &str| map.get(key).cloned().unwrap_or(Value::Null);
    let mut mixed = Extra::new();
    for key in keys {
        let value = mix(
            &get(base, key),
            &get(mine, key),
            &get(theirs, key),
            key,
            clashes,
        );
        if value != none {
            mixed.insert(key.clone(), value);
        }
    }
    Value::Object(mixed)
}

/// An item with an identity.
trait Keyed: Serialize + DeserializeOwned + Clone + PartialEq {
    fn key(&self) -> String;
}

macro_rules! keyed {
    ($($item:ty),*) => {
        $(impl Keyed for $item {
            fn key(&self) -> String {
                self.id.to_string()
            }
        })*
    };
}

keyed!(
    crate::plan::Place,
    crate::plan::Control,
    crate::plan::Part,
    Wire,
    crate::plan::Wish
);

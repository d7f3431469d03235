//! Edits: the only way a plan changes, each with its inverse.
//!
//! `apply` returns the edit that takes the change back, so undo, redo, remedies and previews are all the
//! same mechanism. An edit that names something the plan does not hold changes nothing and says so.

use super::{Control, Place, Plan, Settings, Wire, Wish, part::Part};
use super::{ControlId, PartId, PlaceId, WireId, WishId};
use crate::text::{self, mark, say};
use core::fmt;
use serde::{Deserialize, Serialize};

/// A thing a plan keeps a list of.
pub trait Item: Clone {
    /// Its identity.
    type Id: Clone + Eq + fmt::Display;
    /// The word for it, to be said by `text::of`.
    const WORD: &'static str;
    /// Identity of this one.
    fn id(&self) -> &Self::Id;
    /// The plan's list of them.
    fn list(plan: &Plan) -> &Vec<Self>;
    /// The plan's list of them, to change.
    fn list_mut(plan: &mut Plan) -> &mut Vec<Self>;
}

macro_rules! item {
    ($item:ty, $id:ty, $list:ident, $word:expr) => {
        impl Item for $item {
            type Id = $id;
            const WORD: &'static str = $word;
            fn id(&self) -> &$id {
                &self.id
            }
            fn list(plan: &Plan) -> &Vec<Self> {
                &plan.$list
            }
            fn list_mut(plan: &mut Plan) -> &mut Vec<Self> {
                &mut plan.$list
            }
        }
    };
}

item!(Part, PartId, parts, mark!("part"));
item!(Wire, WireId, wires, mark!("wire"));
item!(Control, ControlId, controls, mark!("control"));
item!(Wish, WishId, wishes, mark!("wish"));
item!(Place, PlaceId, places, mark!("place"));

/// A change of one item of a list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[serde(bound(serialize = "T: Serialize, T::Id: Serialize"))]
#[serde(bound(deserialize = "T: Deserialize<'de>, T::Id: Deserialize<'de>"))]
pub enum Change<T: Item> {
    /// Puts an item in front of place `at` (at the end when `at` is beyond it).
    Insert {
        /// Place in the list.
        at: usize,
        /// What is put there.
        item: T,
    },
    /// Takes an item out.
    Remove {
        /// Which one.
        id: T::Id,
    },
    /// Puts another item in the place of one; the identity may change.
    Replace {
        /// Which one.
        id: T::Id,
        /// What takes its place.
        item: T,
    },
    /// Moves an item to another place in the list.
    Move {
        /// Which one.
        id: T::Id,
        /// Its new place, counted after taking it out.
        to: usize,
    },
}

/// One change of a plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edit {
    /// New title.
    Title(String),
    /// New notes.
    Notes(String),
    /// New settings.
    Settings(Settings),
    /// Change of a part.
    Part(Change<Part>),
    /// Change of a wire.
    Wire(Change<Wire>),
    /// Change of a control.
    Control(Change<Control>),
    /// Change of a wish.
    Wish(Change<Wish>),
    /// Change of a place.
    Place(Change<Place>),
    /// Several edits as one, applied in order; all or none.
    All(Vec<Edit>),
    /// Another document in the place of this one.
    Whole(Box<Plan>),
}

/// Why an edit could not be applied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EditError {
    /// The plan holds no such item.
    Missing {
        /// The word for it.
        word: &'static str,
        /// Its identity.
        id: String,
    },
    /// The identity is taken.
    Taken {
        /// The word for it.
        word: &'static str,
        /// Its identity.
        id: String,
    },
}

impl fmt::Display for EditError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EditError::Missing { word, id } => {
                f.write_str(&say!("the plan has no {word} {id}", word = text::of(word)))
            }
            EditError::Taken { word, id } => f.write_str(&say!(
                "the plan already has a {word} {id}; choose another name",
                word = text::of(word)
            )),
        }
    }
}

impl core::error::Error for EditError {}

fn change<T: Item>(plan: &mut Plan, change: Change<T>) -> Result<Change<T>, EditError> {
    let list = T::list_mut(plan);
    let find = |list: &[T], id: &T::Id| list.iter().position(|item| item.id() == id);
    let place = |list: &[T], id: &T::Id| {
        find(list, id).ok_or_else(|| EditError::Missing {
            word: T::WORD,
            id: id.to_string(),
        })
    };
    let taken = |id: &T::Id| EditError::Taken {
        word: T::WORD,
        id: id.to_string(),
    };
    match change {
        Change::Insert { at, item } => {
            if find(list, item.id()).is_some() {
                return Err(taken(item.id()));
            }
            let id = item.id().clone();
            list.insert(at.min(list.len()), item);
            Ok(Change::Remove { id })
        }
        Change::Remove { id } => {
            let at = place(list, &id)?;
            Ok(Change::Insert {
                at,
                item: list.remove(at),
            })
        }
        Change::Replace { id, item } => {
            let at = place(list, &id)?;
            if *item.id() != id && find(list, item.id()).is_some() {
                return Err(taken(item.id()));
            }
            let now = item.id().clone();
            let before = core::mem::replace(&mut list[at], item);
            Ok(Change::Replace {
                id: now,
                item: before,
            })
        }
        Change::Move { id, to } => {
            let at = place(list, &id)?;
            let item = list.remove(at);
            list.insert(to.min(list.len()), item);
            Ok(Change::Move { id, to: at })
        }
    }
}

impl Edit {
    /// Applies the edit and returns its inverse; on error the plan is as it was.
    pub fn apply(self, plan: &mut Plan) -> Result<Edit, EditError> {
        Ok(match self {
            Edit::Title(title) => Edit::Title(core::mem::replace(&mut plan.title, title)),
            Edit::Notes(notes) => Edit::Notes(core::mem::replace(&mut plan.notes, notes)),
            Edit::Settings(settings) => {
                Edit::Settings(core::mem::replace(&mut plan.settings, settings))
            }
            Edit::Part(part) => Edit::Part(change(plan, part)?),
            Edit::Wire(wire) => Edit::Wire(change(plan, wire)?),
            Edit::Control(control) => Edit::Control(change(plan, control)?),
            Edit::Wish(wish) => Edit::Wish(change(plan, wish)?),
            Edit::Place(place) => Edit::Place(change(plan, place)?),
            Edit::All(edits) => {
                let mut inverses = Vec::with_capacity(edits.len());
                for edit in edits {
                    match edit.apply(plan) {
                        Ok(inverse) => inverses.push(inverse),
                        Err(error) => {
                            // Each inverse undoes an edit that was just applied, so it applies.
                            for inverse in inverses.into_iter().rev() {
                                let undone = inverse.apply(plan);
                                debug_assert!(undone.is_ok());
                            }
                            return Err(error);
                        }
                    }
                }
                inverses.reverse();
                Edit::All(inverses)
            }
            Edit::Whole(other) => Edit::Whole(Box::new(core::mem::replace(plan, *other))),
        })
    }

    /// The edit that adds a part at the end.
    pub fn add_part(part: Part) -> Edit {
        Edit::Part(Change::Insert {
            at: usize::MAX,
            item: part,
        })
    }

    /// The edit that adds a wire at the end.
    pub fn add_wire(wire: Wire) -> Edit {
        Edit::Wire(Change::Insert {
            at: usize::MAX,
            item: wire,
        })
    }

    /// The edit that takes a part out together with the wires that end on it and its place in wishes.
    pub fn remove_part(plan: &Plan, id: &PartId) -> Edit {
        let mut edits: Vec<Edit> = plan
            .wires
            .iter()
            .filter(|wire| wire.from.part == *id || wire.to.part == *id)
            .map(|wire| {
                Edit::Wire(Change::Remove {
                    id: wire.id.clone(),
                })
            })
            .collect();
        for wish in &plan.wishes {
            if wish.lamps.iter().any(|lamp| lamp.part == *id) {
                let mut rest = wish.clone();
                rest.lamps.retain(|lamp| lamp.part != *id);
                edits.push(Edit::Wish(if rest.lamps.is_empty() {
                    Change::Remove {
                        id: wish.id.clone(),
                    }
                } else {
                    Change::Replace {
                        id: wish.id.clone(),
                        item: rest,
                    }
                }));
            }
        }
        edits.push(Edit::Part(Change::Remove { id: id.clone() }));
        Edit::All(edits)
    }
}

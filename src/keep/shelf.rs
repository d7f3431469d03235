//! The plans in a store: list, open, save, take out and put back.

use super::slot::{Slot, Stamp, decode, encode};
use super::{Store, Trouble};
use crate::plan::file::{self, FileError};
use crate::plan::{History, Plan};
use crate::text::say;
use crate::units::order::Order;
use serde::Deserialize;
use std::rc::Rc;

/// Every key begins so; the number is the version of this scheme.
pub(super) const PREFIX: &str = "loomwright.1.";
/// Key of the plan that was open last.
const OPEN: &str = "loomwright.1.open";
/// Key of the answers to the form that are not a plan yet.
const DRAFT: &str = "loomwright.1.draft";
const SLOTS: [&str; 2] = ["a", "b"];

/// Keys with their texts, to put back what was taken out.
pub type Entries = Vec<(String, String)>;

/// Whether a kept plan can be opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// It can.
    Readable,
    /// A newer build wrote it.
    Newer,
    /// It does not check or does not read.
    Damaged,
}

/// A plan in the list of kept plans.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its key.
    pub key: Rc<str>,
    /// Its title; of an unreadable one, its key.
    pub title: String,
    /// When it was saved, in milliseconds since 1970; 0 where it is not known.
    pub saved_ms: u64,
    /// Whether it can be opened.
    pub state: State,
}

/// A plan as it was opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loaded {
    /// The plan.
    pub plan: Plan,
    /// What can be undone; empty if that was not kept or does not read.
    pub history: History,
    /// The save it was read from.
    pub stamp: Stamp,
}

/// What another tab did to a plan that is open here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clash {
    /// It went on from what was last saved here.
    WentOn,
    /// It saved at the same moment, so that what was saved last here is no longer in the store.
    Overwrote,
    /// The plan was deleted.
    Deleted,
}

/// Kept plans in a store.
#[derive(Debug)]
pub struct Shelf<S>(pub S);

impl<S: Store> Shelf<S> {
    /// Keys of all plans.
    pub(super) fn plan_keys(&self) -> Vec<String> {
        let mut keys: Vec<String> = self
            .0
            .keys()
            .iter()
            .filter_map(|key| key.strip_prefix(PREFIX)?.split_once('.'))
            .map(|(plan, _)| plan.to_owned())
            .collect();
        keys.order();
        keys.dedup();
        keys
    }

    fn slot(&self, key: &str, name: &str) -> Option<Result<Slot, ()>> {
        let text = self.0.get(&format!("{PREFIX}{key}.{name}"))?;
        Some(decode(&text).ok_or(()))
    }

    /// The newest slot that checks, with its place; the pointer decides between equals.
    pub(super) fn newest(&self, key: &str) -> Option<(usize, Slot)> {
        let good = |i: usize| Some((i, self.slot(key, SLOTS[i])?.ok()?));
        let at = self.0.get(&format!("{PREFIX}{key}.at"));
        match (good(0), good(1)) {
            (Some(a), Some(b)) if a.1.stamp.seq == b.1.stamp.seq => {
                Some(if at.as_deref() == Some("b") { b } else { a })
            }
            (Some(a), Some(b)) => Some(if a.1.stamp.seq > b.1.stamp.seq { a } else { b }),
            (a, b) => a.or(b),
        }
    }

    /// Whether something of the plan is there that does not check.
    fn is_damaged(&self, key: &str) -> bool {
        SLOTS
            .iter()
            .any(|name| matches!(self.slot(key, name), Some(Err(()))))
    }

    /// All kept plans, the last saved first.
    pub fn list(&self) -> Vec<Kept> {
        let mut list: Vec<Kept> = self
            .plan_keys()
            .into_iter()
            .map(|key| {
                let slot = self.newest(&key).map(|(_, slot)| slot);
                let saved_ms = slot.as_ref().map_or(0, |slot| slot.saved_ms);
                let read = slot.map(|slot| file::read(slot.plan.as_bytes()));
                let (title, state) = match read {
                    Some(Ok(plan)) => (plan.title, State::Readable),
                    Some(Err(FileError::TooNew { .. })) => {
                        (say!("Plan {key} of a newer Loomwright"), State::Newer)
                    }
                    _ => (say!("Unreadable plan {key}"), State::Damaged),
                };
                Kept {
                    key: key.into(),
                    title,
                    saved_ms,
                    state,
                }
            })
            .collect();
        list.order_by(|a, b| b.saved_ms.cmp(&a.saved_ms).then(a.key.cmp(&b.key)));
        list
    }

    /// Opens a kept plan with its history, if the history still reads.
    pub fn load(&self, key: &str) -> Option<Loaded> {
        let (_, slot) = self.newest(key)?;
        let plan = file::read(slot.plan.as_bytes()).ok()?;
        // By way of a JSON tree, as plan files are read: one reader in the program instead of two.
        let tree = serde_json::from_str::<serde_json::Value>(&slot.history).ok();
        let history = tree
            .and_then(|tree| History::deserialize(tree).ok())
            .unwrap_or_default();
        Some(Loaded {
            plan,
            history,
            stamp: slot.stamp,
        })
    }

    /// Saves a plan that was at `seen` when this page last read or wrote it; `now_ms` is the time in milliseconds
    /// since 1970. Returns the new stamp.
    pub fn save(
        &self,
        key: &str,
        seen: Stamp,
        plan: &Plan,
        history: &History,
        now_ms: u64,
    ) -> Result<Stamp, Trouble> {
        if self.is_damaged(key) {
            return Err(Trouble::Damaged);
        }
        let before = self.newest(key);
        let stamp = before.as_ref().map(|(_, slot)| slot.stamp);
        if stamp.unwrap_or_default() != seen {
            return Err(Trouble::Elsewhere);
        }
        let idle = SLOTS[before.as_ref().map_or(0, |(at, _)| 1 - at)];
        let plan = file::write_small(plan);
        let seq = seen.seq + 1;
        let slot = format!("{PREFIX}{key}.{idle}");
        let write = |history: &str| {
            let (text, sum) = encode(seq, now_ms, &plan, history);
            let whole = self.0.set(&slot, &text) && self.0.get(&slot).as_deref() == Some(&*text);
            // The pointer only decides between slots of the same number: without it the newer one is taken all the same.
            let _ = whole && self.0.set(&format!("{PREFIX}{key}.at"), idle);
            whole.then_some(Stamp { seq, sum })
        };
        let text = history.text();
        // A full store gives up what is worth least first: earlier versions, then steps to undo.
        let saved = write(&text).or_else(|| {
            while self.forget_oldest_version() {
                if let Some(stamp) = write(&text) {
                    return Some(stamp);
                }
            }
            let fewer = |steps| write(&history.newest(steps).text());
            fewer(200).or_else(|| fewer(20)).or_else(|| write(""))
        });
        if saved.is_some()
            && let Some((_, slot)) = before
        {
            self.note_version(key, &slot, now_ms);
        }
        saved.ok_or(Trouble::Full)
    }

    /// What another tab did to the plan since it was at `seen`; nothing if it is as it was.
    pub fn clash(&self, key: &str, seen: Stamp) -> Option<Clash> {
        match self.newest(key) {
            None if seen.seq == 0 || self.is_damaged(key) => None,
            None => Some(Clash::Deleted),
            Some((_, slot)) if slot.stamp == seen => None,
            Some((_, slot)) if slot.stamp.seq > seen.seq => Some(Clash::WentOn),
            Some(_) => Some(Clash::Overwrote),
        }
    }

    /// The stamp a plan has now.
    pub fn stamp(&self, key: &str) -> Stamp {
        self.newest(key)
            .map_or_else(Stamp::default, |(_, slot)| slot.stamp)
    }

    /// A key that no plan has.
    pub fn fresh_key(&self) -> Rc<str> {
        let taken = self.plan_keys();
        let free = (1..)
            .map(|n| format!("p{n}"))
            .find(|key| !taken.contains(key));
        free.unwrap_or_default().into()
    }

    /// Takes a readable plan out with its versions and returns what is needed to put it back.
    pub fn delete(&self, key: &str) -> Entries {
        let start = format!("{PREFIX}{key}.");
        let mut keys = self.0.keys();
        keys.retain(|key| key.starts_with(&start));
        keys.order();
        keys.into_iter()
            .filter_map(|key| {
                let name = key.strip_prefix(&start)?;
                let text = self.0.get(&key)?;
                if name != "at" && decode(&text).is_none() {
                    return None;
                }
                self.0.remove(&key).then_some((key, text))
            })
            .collect()
    }

    /// Puts back what [`Shelf::delete`] took out.
    pub fn restore(&self, entries: &[(String, String)]) -> Result<(), Trouble> {
        for (key, text) in entries {
            if !self.0.set(key, text) {
                return Err(Trouble::Full);
            }
        }
        Ok(())
    }

    /// The raw text behind a plan that does not read.
    pub fn raw(&self, key: &str) -> String {
        if let Some((_, slot)) = self.newest(key) {
            return slot.plan;
        }
        let slot = |name: &&str| self.0.get(&format!("{PREFIX}{key}.{name}"));
        SLOTS.iter().filter_map(slot).collect::<Vec<_>>().join("\n")
    }

    /// Key of the plan that was open last.
    pub fn last_open(&self) -> Option<Rc<str>> {
        let key = self.0.get(OPEN).filter(|key| !key.is_empty());
        key.map(Into::into)
    }

    /// Remembers which plan is open; `None` for the start screen.
    pub fn set_open(&self, key: Option<&str>) {
        // Forgetting which plan was open loses no work.
        let _ = self.0.set(OPEN, key.unwrap_or(""));
    }

    /// The text of the plan that was open last.
    pub fn last_text(&self) -> Option<String> {
        let key = self.last_open()?;
        Some(self.newest(&key)?.1.plan)
    }

    /// The answers to the form that are not a plan yet.
    pub fn draft(&self) -> Option<String> {
        self.0.get(DRAFT)
    }

    /// Keeps the answers to the form; `None` once they have become a plan or were left.
    pub fn set_draft(&self, text: Option<&str>) {
        match text {
            Some(text) => self.0.set(DRAFT, text),
            None => self.0.remove(DRAFT),
        };
    }
}

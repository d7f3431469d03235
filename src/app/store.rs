//! Plans kept in the browser: two slots and a pointer per plan.
//!
//! A save writes the slot that is not in use, with lengths and checksum, reads it back and only then moves the
//! pointer, so that an interrupted save leaves the one before. Opening takes the newest slot that checks.
//! Nothing that fails to check is deleted or overwritten: a plan with such a slot is saved under a new key.

use crate::plan::{History, Plan, file};
use serde::Deserialize;
use std::rc::Rc;
use web_sys::Storage;

/// Every key begins so; the number is the version of this scheme.
const PREFIX: &str = "loomwright.1.";
/// Key of the plan that was open last.
const OPEN: &str = "loomwright.1.open";
const SLOTS: [&str; 2] = ["a", "b"];

/// A plan in the list of kept plans.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its key.
    pub key: Rc<str>,
    /// Its title; of an unreadable one, its key.
    pub title: String,
    /// Rises with every save of any plan.
    pub seq: u64,
    /// Whether it can be opened.
    pub readable: bool,
}

/// Why a plan could not be kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// The browser gives the page no storage.
    NoStorage,
    /// Storage is full, or what was written did not read back.
    Full,
    /// Another tab saved the plan since.
    Elsewhere,
    /// A slot does not check; it is left as it is.
    Damaged,
}

impl Trouble {
    /// What happened and what to do, in a sentence.
    pub const fn text(self) -> &'static str {
        match self {
            Trouble::NoStorage => {
                "This browser keeps nothing for this page (private window?). Download the plan before you close it."
            }
            Trouble::Full => {
                "The browser's storage is full, so the last change is not kept. Download the plan, or delete an old one."
            }
            Trouble::Elsewhere => {
                "The plan was changed in another tab. Your work here goes on as a second copy in the list."
            }
            Trouble::Damaged => {
                "What was kept of this plan is partly damaged and is left as it is. Your work here goes on as a second copy in the list."
            }
        }
    }
}

/// One slot that checks.
struct Slot {
    seq: u64,
    plan: String,
    history: String,
}

/// The browser's storage.
#[derive(Debug)]
pub struct Shelf(Storage);

impl Shelf {
    /// The page's storage, if the browser gives it any.
    pub fn open() -> Option<Self> {
        gloo::utils::window().local_storage().ok()?.map(Self)
    }

    fn get(&self, key: &str) -> Option<String> {
        self.0.get_item(key).ok()?
    }

    fn keys(&self) -> Vec<String> {
        let count = self.0.length().unwrap_or(0);
        (0..count).filter_map(|i| self.0.key(i).ok()?).collect()
    }

    /// Keys of all plans.
    fn plan_keys(&self) -> Vec<String> {
        let mut keys: Vec<String> = self
            .keys()
            .iter()
            .filter_map(|key| key.strip_prefix(PREFIX)?.split_once('.'))
            .map(|(plan, _)| plan.to_owned())
            .collect();
        keys.sort_unstable();
        keys.dedup();
        keys
    }

    fn slot(&self, key: &str, name: &str) -> Option<Result<Slot, ()>> {
        self.get(&format!("{PREFIX}{key}.{name}"))
            .map(|text| decode(&text).ok_or(()))
    }

    /// The newest slot that checks, with its place; the pointer decides between equals.
    fn newest(&self, key: &str) -> Option<(usize, Slot)> {
        let good = |i: usize| Some((i, self.slot(key, SLOTS[i])?.ok()?));
        let at = self.get(&format!("{PREFIX}{key}.at"));
        match (good(0), good(1)) {
            (Some(a), Some(b)) if a.1.seq == b.1.seq => {
                Some(if at.as_deref() == Some("b") { b } else { a })
            }
            (Some(a), Some(b)) => Some(if a.1.seq > b.1.seq { a } else { b }),
            (a, b) => a.or(b),
        }
    }

    /// All kept plans, the last saved first.
    pub fn list(&self) -> Vec<Kept> {
        let mut list: Vec<Kept> = self
            .plan_keys()
            .into_iter()
            .map(|key| {
                let slot = self.newest(&key);
                let seq = slot.as_ref().map_or(0, |(_, slot)| slot.seq);
                let plan = slot.and_then(|(_, slot)| file::read(slot.plan.as_bytes()).ok());
                Kept {
                    readable: plan.is_some(),
                    title: plan.map_or_else(|| format!("Unreadable plan {key}"), |plan| plan.title),
                    seq,
                    key: key.into(),
                }
            })
            .collect();
        list.sort_by(|a, b| b.seq.cmp(&a.seq).then(a.key.cmp(&b.key)));
        list
    }

    /// Opens a kept plan with its history, if the history still reads.
    pub fn load(&self, key: &str) -> Option<(Plan, History, u64)> {
        let (_, slot) = self.newest(key)?;
        let plan = file::read(slot.plan.as_bytes()).ok()?;
        // By way of a JSON tree, as plan files are read: one reader in the program instead of two.
        let tree = serde_json::from_str::<serde_json::Value>(&slot.history).ok();
        let history = tree
            .and_then(|tree| History::deserialize(tree).ok())
            .unwrap_or_default();
        Some((plan, history, slot.seq))
    }

    /// Saves a plan that was at `seen` when this page last read or wrote it; returns its new number.
    pub fn save(
        &self,
        key: &str,
        seen: u64,
        plan: &Plan,
        history: &History,
    ) -> Result<u64, Trouble> {
        let newest = self.newest(key);
        let now = newest.as_ref().map_or(0, |(_, slot)| slot.seq);
        let damaged = SLOTS
            .iter()
            .any(|name| matches!(self.slot(key, name), Some(Err(()))));
        if damaged {
            return Err(Trouble::Damaged);
        }
        if now != seen {
            return Err(Trouble::Elsewhere);
        }
        let idle = newest.map_or(0, |(i, _)| 1 - i);
        let seq = 1 + self.list_seq().max(now);
        let plan = file::write(plan);
        let history = serde_json::to_string_pretty(history).unwrap_or_default();
        let write = |history: &str| {
            let text = encode(seq, &plan, history);
            let slot = format!("{PREFIX}{key}.{}", SLOTS[idle]);
            self.0.set_item(&slot, &text).ok()?;
            (self.get(&slot)? == text).then_some(())?;
            self.0
                .set_item(&format!("{PREFIX}{key}.at"), SLOTS[idle])
                .ok()
        };
        // A full store keeps the plan at least: first with its history, then without.
        write(&history).or_else(|| write("")).ok_or(Trouble::Full)?;
        Ok(seq)
    }

    /// The highest number of any slot.
    fn list_seq(&self) -> u64 {
        let seq = |key: &String| self.newest(key).map_or(0, |(_, slot)| slot.seq);
        self.plan_keys().iter().map(seq).max().unwrap_or(0)
    }

    /// A key that no plan has.
    pub fn fresh_key(&self) -> Rc<str> {
        let taken = self.plan_keys();
        let free = (1..)
            .map(|n| format!("p{n}"))
            .find(|key| !taken.contains(key));
        free.unwrap_or_default().into()
    }

    /// Takes a readable plan out and returns what is needed to put it back.
    pub fn delete(&self, key: &str) -> Vec<(String, String)> {
        let whole = |name: &&&str| !matches!(self.slot(key, name), Some(Err(())));
        let names = SLOTS.iter().filter(whole).copied().chain(["at"]);
        names
            .filter_map(|name| {
                let key = format!("{PREFIX}{key}.{name}");
                let value = self.get(&key)?;
                self.0.remove_item(&key).ok()?;
                Some((key, value))
            })
            .collect()
    }

    /// Puts back what [`Shelf::delete`] took out.
    pub fn restore(&self, entries: &[(String, String)]) -> Result<(), Trouble> {
        for (key, value) in entries {
            self.0.set_item(key, value).map_err(|_| Trouble::Full)?;
        }
        Ok(())
    }

    /// The raw text behind a plan that does not read.
    pub fn raw(&self, key: &str) -> String {
        let slot = |name: &&str| self.get(&format!("{PREFIX}{key}.{name}"));
        SLOTS.iter().filter_map(slot).collect::<Vec<_>>().join("\n")
    }

    /// Key of the plan that was open last.
    pub fn last_open(&self) -> Option<Rc<str>> {
        self.get(OPEN).filter(|key| !key.is_empty()).map(Into::into)
    }

    /// Remembers which plan is open; `None` for the start screen.
    pub fn set_open(&self, key: Option<&str>) {
        // Forgetting which plan was open loses no work.
        let _ = self.0.set_item(OPEN, key.unwrap_or(""));
    }

    /// The text of the plan that was open last.
    pub fn last_text(&self) -> Option<String> {
        let key = self.last_open()?;
        Some(self.newest(&key)?.1.plan)
    }
}

/// `number lengths checksum`, then the plan, then its history.
fn encode(seq: u64, plan: &str, history: &str) -> String {
    let sum = checksum(&[plan, history]);
    format!(
        "{seq} {} {} {sum:016x}\n{plan}{history}",
        plan.len(),
        history.len()
    )
}

fn decode(text: &str) -> Option<Slot> {
    let (head, body) = text.split_once('\n')?;
    let mut words = head.split(' ');
    let seq = words.next()?.parse().ok()?;
    let plan_len: usize = words.next()?.parse().ok()?;
    let history_len: usize = words.next()?.parse().ok()?;
    let sum = u64::from_str_radix(words.next()?, 16).ok()?;
    let (plan, history) = body.split_at_checked(plan_len)?;
    let whole = history.len() == history_len && checksum(&[plan, history]) == sum;
    whole.then(|| Slot {
        seq,
        plan: plan.to_owned(),
        history: history.to_owned(),
    })
}

/// FNV-1a, 64 bits: finds a slot that was cut off or changed, nothing more.
fn checksum(texts: &[&str]) -> u64 {
    texts
        .iter()
        .flat_map(|text| text.bytes())
        .fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
}

//! All plans in one file, and back. A plan that does not read here goes into it as it lies in the store.

use super::shelf::State;
use super::{Shelf, Stamp, Store};
use crate::plan::file::{self, FileError};
use crate::plan::{History, Plan};
use crate::text::say;
use core::fmt;
use serde_json::Value;

/// Value of the `format` field.
const FORMAT: &str = "loomwright-backup";
const VERSION: u64 = 1;
/// Largest backup read, in bytes.
pub const MAX_BYTES: usize = 64 << 20;

/// Why a backup was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BackupError {
    /// Not a backup, or damaged.
    NotABackup,
    /// Larger than any backup.
    TooLarge,
    /// Written by a newer build.
    TooNew,
}

impl fmt::Display for BackupError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            BackupError::NotABackup => {
                say!("the file is damaged or no backup of Loomwright: choose a file that Loomwright saved")
            }
            BackupError::TooLarge => say!("the file is larger than any backup: choose another file"),
            BackupError::TooNew => {
                say!("the backup was made by a newer Loomwright: reload the page for the newest one and try again")
            }
        })
    }
}

/// What came back from a backup.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Restored {
    /// Plans that are kept now.
    pub plans: usize,
    /// Plans that were kept here already, to the letter.
    pub known: usize,
    /// Plans that do not read here.
    pub unread: usize,
    /// Plans that found no room.
    pub no_room: usize,
}

impl Restored {
    /// What happened, in a sentence or more.
    pub fn text(&self) -> String {
        let plans = |n: usize| match n {
            1 => say!("1 plan").to_owned(),
            n => say!("{n} plans"),
        };
        let mut text = say!("{} brought back.", plans(self.plans));
        let mut say = |n: usize, what: &str| {
            if n > 0 {
                text.push_str(&say!(" {} {what}.", plans(n)));
            }
        };
        say(self.known, say!("here already"));
        say(
            self.unread,
            say!("left in the file, since this Loomwright cannot read them"),
        );
        say(
            self.no_room,
            say!("left in the file, since the browser's storage is full"),
        );
        text
    }
}

/// Whether a file says that it is a backup.
fn is_backup(value: &Value) -> bool {
    value.get("format").and_then(Value::as_str) == Some(FORMAT)
}

impl<S: Store> Shelf<S> {
    /// The text of a backup of every plan.
    pub fn backup(&self) -> String {
        let mut plans: Vec<String> = Vec::new();
        let mut unread: Vec<String> = Vec::new();
        for kept in self.list() {
            let text = self.raw(&kept.key);
            match kept.state {
                State::Damaged => unread.push(text),
                // A slot's text has been checked and read, so it is JSON.
                State::Readable | State::Newer => plans.push(text),
            }
        }
        let unread = Value::from(unread);
        let plans: Vec<&str> = plans.iter().map(|text| text.trim_end()).collect();
        format!(
            "{{\"format\":\"{FORMAT}\",\"version\":{VERSION},\"plans\":[\n{}\n],\"unread\":{unread}}}\n",
            plans.join(",\n")
        )
    }

    /// Brings back every plan of a backup that is not here to the letter; overwrites none.
    pub fn bring_back(&self, bytes: &[u8], now_ms: u64) -> Result<Restored, BackupError> {
        if bytes.len() > MAX_BYTES {
            return Err(BackupError::TooLarge);
        }
        let text = core::str::from_utf8(bytes).map_err(|_| BackupError::NotABackup)?;
        let value: Value = serde_json::from_str(text).map_err(|_| BackupError::NotABackup)?;
        if !is_backup(&value) {
            return Err(BackupError::NotABackup);
        }
        if value.get("version").and_then(Value::as_u64) != Some(VERSION) {
            return Err(BackupError::TooNew);
        }
        let list = |name: &str| value.get(name).and_then(Value::as_array);
        let mut restored = Restored {
            unread: list("unread").map_or(0, Vec::len),
            ..Restored::default()
        };
        let mut here: Vec<Plan> = self
            .plan_keys()
            .iter()
            .filter_map(|key| Some(self.load(key)?.plan))
            .collect();
        // The backup lists the newest first; the last saved here is listed first.
        for plan in list("plans").into_iter().flatten().rev() {
            let read: Result<Plan, FileError> = file::from_value(plan.clone());
            let Ok(plan) = read else {
                restored.unread += 1;
                continue;
            };
            if here.contains(&plan) {
                restored.known += 1;
                continue;
            }
            let key = self.fresh_key();
            match self.save(&key, Stamp::default(), &plan, &History::default(), now_ms) {
                Ok(_) => {
                    restored.plans += 1;
                    here.push(plan);
                }
                Err(_) => restored.no_room += 1,
            }
        }
        Ok(restored)
    }
}

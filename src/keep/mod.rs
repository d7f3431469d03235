//! Keeping plans in a store of texts under keys: two slots and a pointer per plan, earlier versions, a backup of all.
//!
//! A save writes the slot that is not in use, with lengths and checksum, reads it back and only then moves the
//! pointer, so that an interrupted save leaves the one before. Opening takes the newest slot that checks. Nothing
//! that fails to check or to read is ever overwritten or deleted. The store and the clock belong to the caller, so
//! that every step can be made to fail in a test.

use crate::text::say;
mod backup;
mod shelf;
mod slot;
mod start;
mod versions;

pub use backup::{BackupError, MAX_BYTES as MAX_BACKUP_BYTES, Restored};
pub use shelf::{Clash, Entries, Kept, Loaded, Shelf, State};
pub use slot::Stamp;
pub use versions::{MOST_VERSIONS, VERSION_EVERY_MS, Version};

/// Texts under keys, as a browser keeps them. A write may fail at any time and then changes nothing.
pub trait Store {
    /// The text under a key.
    fn get(&self, key: &str) -> Option<String>;
    /// Puts a text under a key; whether that went well.
    fn set(&self, key: &str, text: &str) -> bool;
    /// Takes a key out; whether that went well.
    fn remove(&self, key: &str) -> bool;
    /// All keys, in any order.
    fn keys(&self) -> Vec<String>;
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
    pub fn text(self) -> &'static str {
        match self {
            Trouble::NoStorage => {
                say!(
                    "This browser keeps nothing for this page (private window?). Download the plan before you close it."
                )
            }
            Trouble::Full => {
                say!(
                    "The browser's storage is full, so the last change is not kept. Download the plan, or delete an old one."
                )
            }
            Trouble::Elsewhere => {
                say!(
                    "This plan was changed in another tab. Until you choose, your changes here are kept as a second plan."
                )
            }
            Trouble::Damaged => {
                say!(
                    "What was kept of this plan is partly damaged and is left as it is. Your work here goes on as a second copy in the list."
                )
            }
        }
    }
}

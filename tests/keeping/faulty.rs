//! A store that fails or stops on order.

use loomwright::keep::Store;
use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;

/// What goes wrong, at the write that comes `after` so many others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// Nothing.
    None,
    /// The tab is killed before it: this and every later write is lost.
    Killed {
        /// Writes that still succeed.
        after: usize,
    },
    /// Killed in the middle of it: only its first bytes arrive. Browsers do not do this; a worse store might.
    Torn {
        /// Writes that still succeed.
        after: usize,
        /// Bytes that arrive.
        keep: usize,
    },
    /// It is refused, and those after it succeed.
    Refused {
        /// Writes that still succeed.
        after: usize,
    },
    /// It claims success and writes something else.
    Changed {
        /// Writes that still succeed.
        after: usize,
    },
}

/// The store.
#[derive(Debug)]
pub struct Faulty {
    texts: RefCell<BTreeMap<String, String>>,
    fault: Cell<Fault>,
    writes: Cell<usize>,
    limit: Cell<usize>,
}

impl Faulty {
    /// An empty store without faults.
    pub fn new() -> Self {
        Self {
            texts: RefCell::default(),
            fault: Cell::new(Fault::None),
            writes: Cell::new(0),
            limit: Cell::new(usize::MAX),
        }
    }

    /// Orders a fault and counts writes from here.
    pub fn next(&self, fault: Fault) {
        self.fault.set(fault);
        self.writes.set(0);
    }

    /// Writes since the last order.
    pub fn writes(&self) -> usize {
        self.writes.get()
    }

    /// Sets the largest size, in bytes of keys and texts.
    pub fn limit(&self, bytes: usize) {
        self.limit.set(bytes);
    }

    /// Its size, in bytes of keys and texts.
    pub fn size(&self) -> usize {
        self.texts
            .borrow()
            .iter()
            .map(|(key, text)| key.len() + text.len())
            .sum()
    }

    /// The text under a key.
    pub fn text(&self, key: &str) -> Option<String> {
        self.texts.borrow().get(key).cloned()
    }

    /// Changes one letter in the middle of a text.
    pub fn spoil(&self, key: &str) {
        let mut texts = self.texts.borrow_mut();
        let text = texts.get_mut(key).expect("a text to spoil");
        let mut at = text.len() / 2;
        while !text.is_char_boundary(at) || !text.is_char_boundary(at + 1) {
            at += 1;
        }
        let new = if &text[at..=at] == "#" { "?" } else { "#" };
        text.replace_range(at..=at, new);
    }

    /// Puts a slot in the form of the first builds.
    pub fn plant(&self, key: &str, plan: &str, seq: u64) {
        let sum = plan.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        let text = format!("{seq} {} 0 {sum:016x}\n{plan}", plan.len());
        self.texts.borrow_mut().insert(key.into(), text);
    }

    /// The store as a new tab finds it: the fault is gone, what arrived is there.
    pub fn reopened(&self) -> Self {
        let new = Self::new();
        *new.texts.borrow_mut() = self.texts.borrow().clone();
        new
    }
}

impl Store for Faulty {
    fn get(&self, key: &str) -> Option<String> {
        self.text(key)
    }

    fn set(&self, key: &str, text: &str) -> bool {
        let before = self.writes.get();
        self.writes.set(before + 1);
        let mut texts = self.texts.borrow_mut();
        match self.fault.get() {
            Fault::Killed { after } if before >= after => return false,
            Fault::Torn { after, .. } if before > after => return false,
            Fault::Torn { after, keep } if before == after => {
                let mut keep = keep.min(text.len());
                while !text.is_char_boundary(keep) {
                    keep -= 1;
                }
                texts.insert(key.into(), text[..keep].into());
                return false;
            }
            Fault::Refused { after } if before == after => return false,
            Fault::Changed { after } if before == after => {
                texts.insert(key.into(), text.replacen(':', ";", 1));
                return true;
            }
            _ => {}
        }
        let old = texts.get(key).map_or(0, |old| key.len() + old.len());
        let size: usize = texts.iter().map(|(key, text)| key.len() + text.len()).sum();
        if size - old + key.len() + text.len() > self.limit.get() {
            return false;
        }
        texts.insert(key.into(), text.into());
        true
    }

    fn remove(&self, key: &str) -> bool {
        // A write like any other: a killed tab removes nothing.
        let before = self.writes.get();
        self.writes.set(before + 1);
        match self.fault.get() {
            Fault::Killed { after } if before >= after => return false,
            Fault::Torn { after, .. } if before >= after => return false,
            _ => {}
        }
        self.texts.borrow_mut().remove(key);
        true
    }

    fn keys(&self) -> Vec<String> {
        self.texts.borrow().keys().cloned().collect()
    }
}

//! The switch of every mutant, compiled into the rewritten core: which one is on is read once from the environment.
//!
//! `LW_MUTANT=7` turns number 7 on. `LW_REACHED=file` turns none on and appends the number of every mutant that is
//! reached to the file, four bytes each, once per process; programs that a test starts append to the same file.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU8, AtomicU32, Ordering::Relaxed};

/// Nothing is on, nothing is recorded.
const OFF: u32 = u32::MAX - 2;
/// What is reached is recorded.
const RECORDING: u32 = u32::MAX - 1;
/// The environment has not been read.
const UNREAD: u32 = u32::MAX;

static ACTIVE: AtomicU32 = AtomicU32::new(UNREAD);
static SEEN: [AtomicU8; 1 << 16] = [const { AtomicU8::new(0) }; 1 << 16];
static LOG: OnceLock<Option<File>> = OnceLock::new();

/// Whether the mutant of this number is on.
#[inline(always)]
pub fn on(number: u32) -> bool {
    let active = ACTIVE.load(Relaxed);
    active == number || (active > OFF && slow(number))
}

#[cold]
#[inline(never)]
fn slow(number: u32) -> bool {
    if ACTIVE.load(Relaxed) == UNREAD {
        let asked = std::env::var("LW_MUTANT").ok().and_then(|n| n.parse().ok());
        let log = std::env::var_os("LW_REACHED")
            .and_then(|path| OpenOptions::new().append(true).create(true).open(path).ok());
        let state = asked.unwrap_or(if log.is_some() { RECORDING } else { OFF });
        let _ = LOG.set(log);
        ACTIVE.store(state, Relaxed);
    }
    if ACTIVE.load(Relaxed) == RECORDING {
        let first = SEEN
            .get(number as usize)
            .is_some_and(|seen| seen.swap(1, Relaxed) == 0);
        if let (true, Some(Some(log))) = (first, LOG.get()) {
            let mut log = log;
            let _ = log.write_all(&number.to_le_bytes());
        }
    }
    ACTIVE.load(Relaxed) == number
}

//! Starting after a crash: what stopped the program last time is not opened again by itself.
//!
//! A start is counted until the page has lived for a while or was left in order; an error of the program marks it at
//! once.

use super::{Shelf, Store};

const START: &str = "loomwright.1.start";
/// Starts in a row that may end early before the page no longer opens the last plan by itself.
const MOST: u32 = 3;
/// What an error of the program leaves.
const STOPPED: &str = "stopped";

impl<S: Store> Shelf<S> {
    /// Whether the last plan may be opened; counts this start.
    pub fn begin(&self) -> bool {
        if self.was_stopped() {
            self.stopped();
            return false;
        }
        let before = self.0.get(START).unwrap_or_default();
        let count: u32 = before.parse().unwrap_or(0);
        self.0.set(START, &(count + 1).to_string());
        true
    }

    /// Whether the last plan was not opened because of how the page ended before.
    pub fn was_stopped(&self) -> bool {
        let before = self.0.get(START).unwrap_or_default();
        let count: u32 = before.parse().unwrap_or(0);
        (before == STOPPED || count >= MOST) && self.last_open().is_some()
    }

    /// The page lives, or is left in order.
    pub fn came_through(&self) {
        if self.0.get(START).is_some_and(|text| text != STOPPED) {
            self.0.remove(START);
        }
    }

    /// The program met an error of its own.
    pub fn stopped(&self) {
        self.0.set(START, STOPPED);
    }

    /// The user has been told; from now on plans open again.
    pub fn told(&self) {
        self.0.remove(START);
    }
}

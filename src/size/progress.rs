//! How far the sizing has come, for whoever waits for it.

use crate::text::say;

/// A step of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The plan was worked out with sizes chosen, this many times.
    Chosen(usize),
    /// So many of all wires, fuses, diodes and relays were tried for their smallest size.
    Tried(usize, usize),
}

impl Step {
    /// In words, e.g. `trying the smallest sizes: 12 of 61`.
    pub fn words(self) -> String {
        match self {
            Step::Chosen(rounds) => say!("choosing sizes and solving with them: {rounds}"),
            Step::Tried(done, of) => say!("trying the smallest sizes: {done} of {of}"),
        }
    }
}

/// Counts the steps and tells each.
pub(super) struct Watch<'a> {
    told: &'a mut dyn FnMut(Step),
    chosen: usize,
    tried: usize,
    of: usize,
}

impl<'a> Watch<'a> {
    /// Of so many things to size.
    pub fn new(of: usize, told: &'a mut dyn FnMut(Step)) -> Self {
        Self {
            told,
            chosen: 0,
            tried: 0,
            of,
        }
    }

    /// The plan was worked out once more.
    pub fn chosen(&mut self) {
        self.chosen += 1;
        (self.told)(Step::Chosen(self.chosen));
    }

    /// One more thing was tried.
    pub fn tried(&mut self) {
        self.tried += 1;
        (self.told)(Step::Tried(self.tried, self.of));
    }
}

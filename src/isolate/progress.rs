//! How far the work has come, for whoever waits for it.

use crate::text::say;

/// What is being worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// The behaviour as it is, in every state.
    Behaviour,
    /// The least set of diodes, one trial after the other.
    Diodes,
    /// Priority by a second pole, wire by wire.
    SecondPole,
    /// Priority by relays, wire by wire.
    Relay,
    /// What a cure costs.
    Costs,
}

impl Doing {
    /// In a few words, e.g. `looking for the fewest diodes`.
    pub fn text(self) -> &'static str {
        match self {
            Doing::Behaviour => say!("working out every state"),
            Doing::Diodes => say!("looking for the fewest diodes"),
            Doing::SecondPole => say!("trying a second pole on the turn switch"),
            Doing::Relay => say!("trying relays"),
            Doing::Costs => say!("working out what it costs"),
        }
    }
}

/// A step of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is being worked out.
    pub doing: Doing,
    /// Trials, tables or wires done of it.
    pub done: usize,
    /// How many there are; `None` where that is not known beforehand.
    pub of: Option<usize>,
}

impl Progress {
    /// In words, e.g. `looking for the fewest diodes: 12`.
    pub fn words(&self) -> String {
        let (doing, done) = (self.doing.text(), self.done);
        match self.of {
            Some(of) => say!("{doing}: {done} of {of}"),
            None => format!("{doing}: {done}"),
        }
    }
}

/// Counts the steps and tells each.
pub(super) struct Watch<'a> {
    told: &'a mut dyn FnMut(&Progress),
    now: Progress,
}

impl<'a> Watch<'a> {
    pub fn new(told: &'a mut dyn FnMut(&Progress)) -> Self {
        let now = Progress {
            doing: Doing::Behaviour,
            done: 0,
            of: None,
        };
        Self { told, now }
    }

    /// Something else is begun.
    pub fn begin(&mut self, doing: Doing, of: Option<usize>) {
        let done = 0;
        self.now = Progress { doing, done, of };
        (self.told)(&self.now);
    }

    /// One more is done.
    pub fn step(&mut self) {
        self.now.done += 1;
        (self.told)(&self.now);
    }
}

//! How far a search for cures is, told to whoever waits for it.

/// What the search is at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Looks for diodes.
    Diodes,
    /// Looks for a contact or relay that gives turn priority.
    Priority,
    /// Works out what the cures cost.
    Costs,
}

/// How far a search is. Steps only grow while the same thing is being done; how many there will be is not known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is being done.
    pub doing: Doing,
    /// Sets, places or proposals tried so far.
    pub tried: usize,
    /// Paths known that have to be cut.
    pub paths: usize,
}

impl Progress {
    /// In words.
    pub fn words(&self) -> String {
        let Self { tried, paths, .. } = self;
        match self.doing {
            Doing::Diodes => format!("Diodes: {tried} sets tried, {paths} paths to cut."),
            Doing::Priority => format!("Turn before stop: {tried} places tried."),
            Doing::Costs => "What the cures cost.".into(),
        }
    }
}

/// Hears how far the work is, about once for each trial.
pub type Watch<'a> = dyn FnMut(&Progress) + 'a;

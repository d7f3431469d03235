//! Answers that contradict each other, each named with the changes that mend it.
//!
//! A brief without contradictions drafts to a plan that is as wished in every state; every mend is a whole brief with one
//! answer changed, so that taking one is a single step.

mod controls;
mod lamps;
mod limits;

use super::{Brief, Signal, System};

/// Answers that cannot all hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// What contradicts what.
    pub text: String,
    /// Changes that mend it, the likeliest first; never empty.
    pub mends: Vec<Mend>,
}

/// A change of one answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mend {
    /// What it changes.
    pub title: String,
    /// The answers after it.
    pub brief: Brief,
}

/// Everything that contradicts in the answers; empty if a plan can be drafted.
pub fn contradictions(brief: &Brief) -> Vec<Contradiction> {
    let mut found = Found {
        brief,
        list: Vec::new(),
    };
    limits::numbers(&mut found);
    lamps::check(&mut found);
    controls::check(&mut found);
    // What follows reads resolved answers, which make sense only once these agree.
    if found.list.is_empty() {
        limits::trailer(&mut found);
    }
    if found.list.is_empty() {
        limits::loads(&mut found);
    }
    found.list
}

/// Contradictions found so far.
struct Found<'a> {
    brief: &'a Brief,
    list: Vec<Contradiction>,
}

impl Found<'_> {
    fn say(&mut self, text: String, mends: Vec<Mend>) {
        // The same thing may be wrong with both lamps of a pair.
        if !self.list.iter().any(|known| known.text == text) {
            self.list.push(Contradiction { text, mends });
        }
    }

    fn mend(&self, title: impl Into<String>, change: impl FnOnce(&mut Brief)) -> Mend {
        let mut brief = self.brief.clone();
        change(&mut brief);
        Mend {
            title: title.into(),
            brief,
        }
    }
}

/// Takes a signal off all lamps and removes lamps that are left with none.
fn drop_signal(brief: &mut Brief, signal: Signal) {
    for lamps in &mut brief.lamps {
        lamps.strong.retain(|&s| s != signal);
        lamps.weak.retain(|&s| s != signal);
    }
    brief
        .lamps
        .retain(|lamps| !lamps.strong.is_empty() || !lamps.weak.is_empty());
}

/// Whether any lamp shows a signal.
fn shows(brief: &Brief, signal: Signal) -> bool {
    brief
        .lamps
        .iter()
        .any(|lamps| lamps.strong.contains(&signal) || lamps.weak.contains(&signal))
}

/// A system in words.
pub(super) const fn volts_word(system: System) -> &'static str {
    match system {
        System::V6 => "6 V",
        System::V12 => "12 V",
        System::V24 => "24 V",
        System::V48 => "48 V",
    }
}

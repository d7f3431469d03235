//! Long work off the main thread: a web worker runs the same program on a copy of the plan.
//!
//! A job lives as long as its [`Job`] handle: dropping that ends the worker at once, wherever it is in its work. Plans
//! travel as plan files, answers as JSON, and in between come short lines on how far the work is.

mod page;
mod serve;

pub use page::{Job, News, start};
pub use serve::serve;

use crate::isolate::{Advice, advise};
use crate::plan::Plan;
use crate::size::Sizes;
use serde::{Deserialize, Serialize};

/// Kind of a message that says how far the work is.
const HOW_FAR: &str = "how far";
/// Kind of a message that carries the answer.
const DONE: &str = "done";
/// Kind of a message that says why there is none.
const FAILED: &str = "failed";

/// What takes long.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Task {
    /// The cures of a plan, with diodes of a catalogue type.
    Cure(String),
    /// Every wire, fuse, diode and relay in its recommended size.
    Size,
}

/// What came of it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub enum Answer {
    /// Of [`Task::Cure`].
    Cures(Advice),
    /// Of [`Task::Size`].
    Sizes(Sizes),
}

impl Task {
    /// Does the work where it is called; each step is told in words.
    pub fn run(&self, plan: &Plan, tell: &mut dyn FnMut(&dyn Fn() -> String)) -> Answer {
        match self {
            Task::Cure(model) => {
                Answer::Cures(advise(plan, model, &mut |step| tell(&|| step.words())))
            }
            Task::Size => Answer::Sizes(Sizes::of(plan, &mut |step| tell(&|| step.words()))),
        }
    }
}

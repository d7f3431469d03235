//! Long work off the main thread: a web worker runs the same program on a copy of the plan.
//!
//! A job lives as long as its [`Job`] handle: dropping that ends the worker at once, wherever it is in its work. Plans
//! travel as plan files, answers as JSON, and in between come short lines on how far the work is.

mod page;
mod serve;

pub use page::{Job, News, cure};
pub use serve::serve;

/// Kind of a message that says how far the work is.
const HOW_FAR: &str = "how far";
/// Kind of a message that carries the answer.
const DONE: &str = "done";
/// Kind of a message that says why there is none.
const FAILED: &str = "failed";

//! The screens that read: the behaviour table and the checks.

mod behaviour;
mod checks;
mod cure;
mod preview;
mod sizes;
mod work;

pub use behaviour::Behaviour;
pub use checks::Checks;
pub use preview::{Effect, Preview, PreviewBar, Sides};

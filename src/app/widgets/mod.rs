//! Small pieces that several screens use.

mod field;
mod problems;
mod select;
mod undo;

pub use field::{Field, Problems, Report};
pub use problems::ProblemList;
pub use select::Select;
pub use undo::UndoBar;

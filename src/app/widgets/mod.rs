//! Small pieces that several screens use.

mod field;
mod press;
mod problems;
mod select;
mod theme;
mod undo;

pub use field::{Field, Problems, Report};
pub use press::EndButton;
pub use problems::ProblemList;
pub use select::Select;
pub use theme::ThemeChoice;
pub use undo::UndoBar;

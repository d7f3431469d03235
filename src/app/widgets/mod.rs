//! Small pieces that several screens use.

mod field;
mod select;
mod undo;

pub use field::{Field, FieldProps, Problems, Report};
pub use select::Select;
pub use undo::UndoBar;

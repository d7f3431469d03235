//! From a plan to a current-path drawing: graph → columns → order → lanes → routes → coordinates → labels →
//! scene → SVG, and a verifier for the result.
//!
//! Pure, deterministic and total: the same plan gives the same bytes, and every plan, however unfinished,
//! gives a drawing. Rows run from the supply on the left to the chassis on the right (current-flow style of
//! IEC 61082-1, rows instead of columns for narrow screens); symbols follow IEC 60617.

mod block;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod checks;
mod compose;
mod glyph;
mod graph;
mod grid;
mod header;
mod hit;
mod ink;
mod label;
mod layers;
mod nets;
mod route;
mod scene;
mod survey;
mod svg;
mod symbol;
mod terminals;
mod tree;
mod verify;
mod wire;

use crate::plan::Plan;

pub use scene::{
    Anchor, Bounds, Group, Leaves, Point, Role, Scene, Shape, Step, Terminal, text_bounds,
    text_width,
};
pub use survey::{Figures, figures};
pub use svg::{Overlay, Style, svg};
pub use verify::verify;

/// How wires cross that do not join.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Crossings {
    /// Plain crosses, as IEC 61082-1 has them.
    #[default]
    Plain,
    /// The level wire hops over the upright one.
    Hopped,
}

/// The set of graphical symbols.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Symbols {
    /// After IEC 60617.
    #[default]
    Iec,
}

/// Choices that change the drawing but not what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Options {
    /// How wires cross that do not join.
    pub crossings: Crossings,
    /// The set of graphical symbols.
    pub symbols: Symbols,
}

/// Draws a plan.
pub fn draw(plan: &Plan, options: &Options) -> Scene {
    compose::compose(plan, options)
}

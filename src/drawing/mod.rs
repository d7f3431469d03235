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
mod export;
mod glyph;
mod graph;
mod grid;
mod header;
mod hint;
mod hit;
mod ieee;
mod ink;
mod label;
mod layers;
mod layout;
mod nets;
mod pages;
mod pins;
mod route;
mod scene;
mod sheet;
mod survey;
mod svg;
mod symbol;
mod terminals;
mod tree;
mod verify;
mod wire;

use crate::plan::Plan;

pub use crate::plan::Symbols;
pub use export::{export, plan_of};
pub use pages::{Paper, Sheet, pages};
pub use scene::{
    Anchor, Bounds, Group, Hint, Leaves, Point, Role, Scene, Shape, Step, Terminal, text_bounds,
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

/// Choices that change the drawing but not what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Options {
    /// How wires cross that do not join.
    pub crossings: Crossings,
    /// The set of graphical symbols; that of the plan's settings where not given.
    pub symbols: Option<Symbols>,
}

impl Options {
    /// The set of symbols a plan is drawn in.
    pub(crate) fn set(&self, plan: &Plan) -> Symbols {
        self.symbols.unwrap_or(plan.settings.symbols)
    }
}

/// Draws a plan from nothing: also what "tidy up" does.
pub fn draw(plan: &Plan, options: &Options) -> Scene {
    compose::compose(plan, options, None)
}

/// Draws a plan after an edit: what was in the earlier drawing keeps its order, and what is new goes where it costs
/// least. The same plan and the same hint give the same drawing.
pub fn draw_near(plan: &Plan, options: &Options, previous: &Hint) -> Scene {
    compose::compose(plan, options, Some(previous))
}

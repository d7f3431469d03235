//! From a plan to a current-path drawing, phase by phase, each with its published method at the head of its file:
//!
//! | phase | file | method |
//! |---|---|---|
//! | graph, header | `graph`, `header` | parts as boxes with fixed terminals, chassis symbols at each wire |
//! | columns | `layers` | greedy cycle removal, longest path, loads in one column where that costs no crossing |
//! | nets | `nets` | what is joined inside one channel becomes one tree |
//! | lanes | `block`, `lanes` of the kernel | barycentre starts, sifting descent on real crossings, kicks |
//! | routes | `route`, `tree` | left-edge channel routing with doglegs, trunks shared by joined wires |
//! | coordinates | `grid` | widths of zones and rows from symbols and texts |
//! | labels | `label`, `pins` | candidates in order of preference, room made where none fits |
//! | couplings | `coupling` | the cheapest of a few shapes, few crossings first |
//! | scene | `compose`, `hit`, `terminals` | primitives by group, tap areas, terminals |
//!
//! `verify` reads the finished scene back. `checks` holds the postconditions of the phases, `hint` what a drawing
//! remembers for the next. `svg`, `export` and `pages` write it.
//!
//! Pure, deterministic and total: the same plan gives the same bytes, and every plan, however unfinished,
//! gives a drawing. Rows run from the supply on the left to the chassis on the right (current-flow style of
//! IEC 61082-1, rows instead of columns for narrow screens); symbols follow IEC 60617 or, where the plan says so, the
//! shapes of IEEE 315.

mod block;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod checks;
mod compose;
mod coupled;
mod coupling;
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
pub use svg::{Overlay, Style, escaped, svg};
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

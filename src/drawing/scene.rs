//! The scene: a drawing as plain primitives, grouped by what they stand for.
//!
//! Print, export and the live view share it. A shape says what it is (its role), never how it looks:
//! looks are in `static/style/drawing.css`. Coordinates are in units of one CSS pixel at 1:1.

pub use super::hint::Hint;

/// A finished drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// Width of the view box.
    pub width: f64,
    /// Height of the view box.
    pub height: f64,
    /// Title of the plan.
    pub title: String,
    /// What the drawing shows, as sentences.
    pub desc: String,
    /// Groups in painting order.
    pub groups: Vec<Group>,
    /// Where wires end, in the order of the symbols.
    pub terminals: Vec<Terminal>,
    /// What `draw_near` needs to stay close to this drawing.
    pub hint: Hint,
}

/// A place where wires end. A ground point has one for each of its chassis symbols.
#[derive(Debug, Clone, PartialEq)]
pub struct Terminal {
    /// Part and terminal as in the plan; for an open end, what was meant.
    pub name: String,
    /// Group of the symbol or joint.
    pub group: String,
    /// Where.
    pub at: Point,
    /// Side of the symbol its wires leave on; none for a joint.
    pub leaves: Option<Leaves>,
    /// Groups of the wires that end here, in the order of the plan.
    pub wires: Vec<String>,
}

/// Side of a symbol.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaves {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

/// Everything drawn for one thing of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// `part-E1`, `wire-W3`, `lamp-E3.major`, `contact-S1.0` (index of the contact), `joint-X1` (a splice)
    /// or `joint-S2:82` (a terminal with several wires).
    pub id: String,
    /// CSS classes every such group has.
    pub class: &'static str,
    /// Accessible name.
    pub label: String,
    /// Shapes in painting order.
    pub shapes: Vec<Shape>,
}

/// A point.
pub type Point = (f64, f64);

/// What a shape is; decides its CSS class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Light under a wire that carries current.
    Halo,
    /// Dark edge of a wire.
    Edge,
    /// Base colour of a wire.
    Colour,
    /// Stripe of a wire with two colours.
    Stripe,
    /// Arrows along the intended direction of a wire.
    Forward,
    /// Arrows against the intended direction of a wire.
    Reverse,
    /// Outline of a symbol, filled with paper.
    Outline,
    /// Line of a symbol.
    Line,
    /// Heavy line of a symbol.
    Heavy,
    /// Mechanical link or envelope.
    Link,
    /// Moving part of a contact at rest open.
    BladeOpen,
    /// Moving part of a contact when closed.
    BladeClosed,
    /// Light of a lamp circuit.
    Glow,
    /// Dot of a joint.
    Dot,
    /// Invisible area that takes taps.
    Hit,
    /// Designation and label of a part.
    Name,
    /// Colour code and size of a wire.
    Code,
    /// Secondary text.
    Note,
}

impl Role {
    /// CSS class.
    pub const fn class(self) -> &'static str {
        match self {
            Role::Halo => "halo",
            Role::Edge => "edge",
            Role::Colour => "colour",
            Role::Stripe => "stripe",
            Role::Forward => "chevrons forward",
            Role::Reverse => "chevrons backward",
            Role::Outline => "outline",
            Role::Line => "line",
            Role::Heavy => "heavy",
            Role::Link => "link",
            Role::BladeOpen => "blade blade-open",
            Role::BladeClosed => "blade blade-closed",
            Role::Glow => "glow",
            Role::Dot => "dot",
            Role::Hit => "hit",
            Role::Name => "name",
            Role::Code => "code",
            Role::Note => "note",
        }
    }
}

/// One step of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// Lifts the pen to a point.
    Move(Point),
    /// Draws a straight line to a point.
    Line(Point),
    /// Draws a half circle to a point: the hop over a crossing wire. It bulges to the left of its course where `true`.
    Hop(Point, bool),
}

impl Step {
    /// Where the step ends.
    pub const fn end(self) -> Point {
        match self {
            Step::Move(p) | Step::Line(p) | Step::Hop(p, _) => p,
        }
    }
}

/// Where a text is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// At its left end.
    Start,
    /// In its middle.
    Middle,
    /// At its right end.
    End,
}

/// A primitive.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Lines and hops; `paint` is the stroke where the role leaves it open.
    Path {
        /// What it is.
        role: Role,
        /// The course.
        steps: Vec<Step>,
        /// Stroke colour, for wires.
        paint: Option<&'static str>,
    },
    /// Upright rectangle.
    Rect {
        /// What it is.
        role: Role,
        /// Upper left corner.
        at: Point,
        /// Width and height.
        size: Point,
    },
    /// Circle.
    Circle {
        /// What it is.
        role: Role,
        /// Centre.
        at: Point,
        /// Radius.
        r: f64,
    },
    /// One line of text.
    Text {
        /// What it is.
        role: Role,
        /// Point on the base line.
        at: Point,
        /// Where the point holds the text.
        anchor: Anchor,
        /// The text, not escaped.
        text: String,
    },
}

impl Shape {
    /// A polyline.
    pub fn lines(role: Role, points: &[Point]) -> Self {
        let steps = points
            .iter()
            .enumerate()
            .map(|(i, &p)| if i == 0 { Step::Move(p) } else { Step::Line(p) })
            .collect();
        Shape::Path {
            role,
            steps,
            paint: None,
        }
    }

    /// What it is.
    pub const fn role(&self) -> Role {
        match self {
            Shape::Path { role, .. }
            | Shape::Rect { role, .. }
            | Shape::Circle { role, .. }
            | Shape::Text { role, .. } => *role,
        }
    }

    /// Smallest upright rectangle around it, strokes left out; `None` for an empty path.
    pub fn bounds(&self) -> Option<Bounds> {
        match self {
            Shape::Path { steps, .. } => {
                let mut at = steps.first()?.end();
                let mut bounds = Bounds::point(at);
                for step in steps {
                    if let Step::Hop(end, left) = *step {
                        let side = if left { 0.5 } else { -0.5 };
                        let (dx, dy) = (end.0 - at.0, end.1 - at.1);
                        let middle = ((at.0 + end.0) / 2.0, (at.1 + end.1) / 2.0);
                        let top = (middle.0 + dy * side, middle.1 - dx * side);
                        bounds = bounds.joined(Bounds::point(top));
                    }
                    at = step.end();
                    bounds = bounds.joined(Bounds::point(at));
                }
                Some(bounds)
            }
            Shape::Rect { at, size, .. } => Some(Bounds {
                x0: at.0,
                y0: at.1,
                x1: at.0 + size.0,
                y1: at.1 + size.1,
            }),
            Shape::Circle { at, r, .. } => Some(Bounds {
                x0: at.0 - r,
                y0: at.1 - r,
                x1: at.0 + r,
                y1: at.1 + r,
            }),
            Shape::Text {
                role,
                at,
                anchor,
                text,
            } => Some(text_bounds(*at, *anchor, text, *role == Role::Name)),
        }
    }
}

/// Upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Left.
    pub x0: f64,
    /// Top.
    pub y0: f64,
    /// Right.
    pub x1: f64,
    /// Bottom.
    pub y1: f64,
}

impl Bounds {
    /// The rectangle that is one point.
    pub const fn point(p: Point) -> Self {
        Self {
            x0: p.0,
            y0: p.1,
            x1: p.0,
            y1: p.1,
        }
    }

    /// Smallest rectangle around both.
    pub const fn joined(self, other: Self) -> Self {
        Self {
            x0: self.x0.min(other.x0),
            y0: self.y0.min(other.y0),
            x1: self.x1.max(other.x1),
            y1: self.y1.max(other.y1),
        }
    }

    /// Grown by `by` on every side.
    pub const fn grown(self, by: f64) -> Self {
        Self {
            x0: self.x0 - by,
            y0: self.y0 - by,
            x1: self.x1 + by,
            y1: self.y1 + by,
        }
    }

    /// Whether the interiors share a point; touching edges do not count.
    pub const fn overlaps(self, other: Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
}

/// Height of the upper-case letters and digits of drawing text, above the base line.
pub const TEXT_RISE: i32 = 9;
/// Depth of descenders below the base line.
pub const TEXT_DROP: i32 = 2;

/// Width of a text at 11 units, rounded up: what a wide sans-serif face needs, so that narrower ones fit too.
pub fn text_width(text: &str, bold: bool) -> i32 {
    let tenths: i32 = text
        .chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' | '·' => 38,
            'f' | 't' | 'r' | '-' | '(' | ')' | '/' => 46,
            'm' | 'w' | 'M' | 'W' | '%' | '@' => 108,
            'A'..='Z' | '_' | '<' | '>' | '=' | '&' | '"' | '+' => 82,
            '0'..='9' => 70,
            c if c.is_ascii() => 69,
            c if (c as u32) < 0x0250 => 84,
            _ => 120,
        })
        .sum();
    let tenths = if bold { tenths * 112 / 100 } else { tenths };
    (tenths + 9) / 10
}

/// Rectangle a text needs.
pub fn text_bounds(at: Point, anchor: Anchor, text: &str, bold: bool) -> Bounds {
    let width = f64::from(text_width(text, bold));
    let x0 = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - width / 2.0,
        Anchor::End => at.0 - width,
    };
    Bounds {
        x0,
        y0: at.1 - f64::from(TEXT_RISE),
        x1: x0 + width,
        y1: at.1 + f64::from(TEXT_DROP),
    }
}

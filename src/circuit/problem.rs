//! What a plan leaves unsaid or contradicts, found while lowering it.

use crate::plan::{ControlId, LampId, PartId, TerminalId, WireId, WishId};

/// Something that could not be lowered as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// Neither battery nor charger: nothing can be lit.
    NoBattery,
    /// Two parts share an identity; the second is left out.
    PartTwice(PartId),
    /// Two wires share an identity.
    WireTwice(WireId),
    /// Two controls share an identity; the second is left out.
    ControlTwice(ControlId),
    /// A wire ends on a terminal that does not exist; it is left hanging.
    LooseEnd {
        /// The wire.
        wire: WireId,
        /// Where it should end.
        terminal: TerminalId,
    },
    /// A wire joins a terminal with itself.
    WireToItself(WireId),
    /// The size of a wire is not in the catalogue; 1 mm² is used.
    UnknownSize {
        /// The wire.
        wire: WireId,
        /// Its size as written.
        size: String,
    },
    /// A switch or charger names a control the plan does not have; it stays open, or off.
    UnknownControl {
        /// The switch or charger.
        part: PartId,
        /// The control.
        control: ControlId,
    },
    /// A contact closes in a position its control does not have.
    UnknownPosition {
        /// The switch or wish.
        subject: String,
        /// The control.
        control: ControlId,
        /// The position.
        position: String,
    },
    /// A control has fewer than two or more than 60 positions.
    Positions {
        /// The control.
        control: ControlId,
        /// How many it has.
        count: usize,
    },
    /// A diode type the catalogue does not have; the first silicon type is used.
    UnknownDiode {
        /// The diode.
        part: PartId,
        /// The type as written.
        model: String,
    },
    /// A rating that no such part can have; the nearest possible one is used.
    BadRating {
        /// The part or wire.
        subject: String,
        /// Which rating, in words.
        rating: &'static str,
    },
    /// A part names a terminal or circuit twice.
    NameTwice {
        /// The part.
        part: PartId,
        /// The name.
        name: String,
    },
    /// A wish speaks of a lamp circuit the plan does not have.
    UnknownLamp {
        /// The wish.
        wish: WishId,
        /// The lamp circuit.
        lamp: LampId,
    },
    /// A wish names a control the plan does not have, so it never holds.
    WishUnknownControl {
        /// The wish.
        wish: WishId,
        /// The control.
        control: ControlId,
    },
}

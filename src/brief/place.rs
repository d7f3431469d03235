//! Places on the vehicle and the lengths of wire between them.
//!
//! Method: every place has coordinates on the floor plan (front to rear, left to right); looms follow the frame, so
//! the length is the sum of both distances (common practice) and some slack. Measured distances go before.

use super::{Brief, End};
use crate::text::say;
use crate::units::Millimetres;

/// Slack at both ends of a wire together, in millimetres.
const SLACK_MM: f64 = 150.0;
/// Lengths are rounded up to this, in millimetres.
const STEP_MM: f64 = 50.0;
/// Cable between the socket and the front of the trailer, in millimetres.
const CABLE_MM: f64 = 1000.0;

/// Left, right or in the middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Left,
    Right,
    Centre,
}

impl Side {
    /// In identities, whatever the language.
    pub const fn key(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
            Side::Centre => "centre",
        }
    }

    pub fn text(self) -> &'static str {
        match self {
            Side::Left => say!("left"),
            Side::Right => say!("right"),
            Side::Centre => say!("centre"),
        }
    }
}

/// A place where parts sit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Spot {
    BatteryBox,
    Dash,
    Pedal,
    Socket,
    Plug,
    Lamps(End, Side),
}

impl Spot {
    /// Every place, in the order in which a plan lists them.
    pub fn all() -> Vec<Spot> {
        let mut all = Vec::new();
        for end in End::ALL {
            for side in [Side::Left, Side::Centre, Side::Right] {
                all.push(Spot::Lamps(end, side));
            }
        }
        all.extend([
            Spot::Dash,
            Spot::Pedal,
            Spot::BatteryBox,
            Spot::Socket,
            Spot::Plug,
        ]);
        all
    }

    /// Identity in the plan.
    pub fn id(self) -> String {
        match self {
            Spot::BatteryBox => "battery-box".into(),
            Spot::Dash => "dash".into(),
            Spot::Pedal => "pedal".into(),
            Spot::Socket => "socket".into(),
            Spot::Plug => "trailer-plug".into(),
            Spot::Lamps(end, side) => format!("{}-{}", end_key(end), side.key()),
        }
    }

    /// As people call it.
    pub fn label(self) -> String {
        match self {
            Spot::BatteryBox => say!("Battery box").into(),
            Spot::Dash => say!("Dash").into(),
            Spot::Pedal => say!("Pedal").into(),
            Spot::Socket => say!("Socket").into(),
            Spot::Plug => say!("Trailer plug").into(),
            Spot::Lamps(end, side) => {
                super::resolve::capital(&format!("{} {}", end_word(end), side.text()))
            }
        }
    }

    /// Millimetres from the front and from the left.
    fn at(self, brief: &Brief) -> (f64, f64) {
        let (length, width) = (brief.size.length_mm.get(), brief.size.width_mm.get());
        let across = |side| match side {
            Side::Left => 0.0,
            Side::Centre => 0.5 * width,
            Side::Right => width,
        };
        let trailer = length + CABLE_MM;
        match self {
            Spot::Dash => (0.3 * length, across(Side::Centre)),
            Spot::Pedal => (0.25 * length, across(Side::Centre)),
            Spot::BatteryBox => (0.5 * length, across(Side::Centre)),
            Spot::Socket => (length, across(Side::Centre)),
            Spot::Plug => (trailer, across(Side::Centre)),
            Spot::Lamps(End::Front, side) => (0.0, across(side)),
            Spot::Lamps(End::Side, side) => (0.5 * length, across(side)),
            Spot::Lamps(End::Rear, side) => (length, across(side)),
            Spot::Lamps(End::Trailer, side) => {
                (trailer + brief.size.trailer_mm.get(), across(side))
            }
        }
    }
}

/// An end in identities, whatever the language.
pub(super) const fn end_key(end: End) -> &'static str {
    match end {
        End::Front => "front",
        End::Side => "side",
        End::Rear => "rear",
        End::Trailer => "trailer",
    }
}

pub(super) fn end_word(end: End) -> &'static str {
    match end {
        End::Front => say!("front"),
        End::Side => say!("side"),
        End::Rear => say!("rear"),
        End::Trailer => say!("trailer"),
    }
}

/// Length of a wire between two places.
pub(super) fn length(brief: &Brief, a: Spot, b: Spot) -> Millimetres {
    let measured = match (a.min(b), a.max(b)) {
        (Spot::BatteryBox, Spot::Dash) => brief.size.battery_to_dash_mm,
        (Spot::Dash, Spot::Lamps(End::Front, _)) => brief.size.dash_to_front_mm,
        (Spot::Dash, Spot::Lamps(End::Rear, _)) => brief.size.dash_to_rear_mm,
        _ => None,
    };
    measured.unwrap_or_else(|| {
        let ((ax, ay), (bx, by)) = (a.at(brief), b.at(brief));
        let along = (ax - bx).abs() + (ay - by).abs() + SLACK_MM;
        Millimetres::of(libm::ceil(along / STEP_MM) * STEP_MM)
    })
}

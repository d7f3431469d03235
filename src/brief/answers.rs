//! The answers of the form, each with the default of the trade, as they are kept with a plan.
//!
//! Lamps are answered in groups (a pair is one answer), duties as signals (turn is left or right by where the lamp
//! sits), controls by what they do. Nothing here decides how anything is wired.

use crate::plan::{Chemistry, Duty, FlasherAction, Light};
use crate::text::say;
use crate::units::{AmpHours, Millimetres};
use serde::{Deserialize, Serialize};

/// Nominal voltage of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// 6 V.
    V6,
    /// 12 V.
    V12,
    /// 24 V.
    V24,
    /// 48 V drive battery; the lamps run on 12 V from a converter.
    V48,
}

impl System {
    /// All of them, the usual one first.
    pub const ALL: [System; 4] = [System::V12, System::V6, System::V24, System::V48];

    /// Nominal volts of the battery.
    pub const fn volts(self) -> f64 {
        match self {
            System::V6 => 6.0,
            System::V12 => 12.0,
            System::V24 => 24.0,
            System::V48 => 48.0,
        }
    }

    /// Nominal volts of the lamps.
    pub const fn lamp_volts(self) -> f64 {
        match self {
            System::V48 => 12.0,
            other => other.volts(),
        }
    }
}

/// What keeps the battery charged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Charging {
    /// Taken out and charged elsewhere.
    Elsewhere,
    /// An alternator while the engine runs.
    Engine,
    /// A mains charger that is plugged in.
    Mains,
}

/// Where on the vehicle, from front to rear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// Front.
    Front,
    /// Along the sides.
    Side,
    /// Rear.
    Rear,
    /// On the trailer, behind its socket.
    Trailer,
}

impl End {
    /// All of them.
    pub const ALL: [End; 4] = [End::Front, End::Side, End::Rear, End::Trailer];
}

/// Where on the vehicle, from left to right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Across {
    /// One left and one right.
    Pair,
    /// Left only.
    Left,
    /// Right only.
    Right,
    /// In the middle.
    Centre,
}

impl Across {
    /// All of them.
    pub const ALL: [Across; 4] = [Across::Pair, Across::Left, Across::Right, Across::Centre];
}

/// What a lamp gives light with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fitting {
    /// One filament.
    Filament,
    /// A strong and a weak filament with a common ground.
    TwoFilaments,
    /// LEDs with series resistors, one circuit.
    Led,
    /// LEDs with series resistors, a strong and a weak circuit.
    TwoLeds,
    /// LEDs with a regulator, one circuit: they cannot be dimmed.
    RegulatedLed,
}

impl Fitting {
    /// All of them.
    pub const ALL: [Fitting; 5] = [
        Fitting::Filament,
        Fitting::TwoFilaments,
        Fitting::Led,
        Fitting::TwoLeds,
        Fitting::RegulatedLed,
    ];

    /// Number of lamp circuits.
    pub const fn circuits(self) -> usize {
        match self {
            Fitting::TwoFilaments | Fitting::TwoLeds => 2,
            _ => 1,
        }
    }

    /// Whether it has filaments.
    pub const fn has_filaments(self) -> bool {
        matches!(self, Fitting::Filament | Fitting::TwoFilaments)
    }
}

/// What a lamp circuit tells, before left and right are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Signal {
    /// Tail lamp.
    Tail,
    /// Stop lamp.
    Stop,
    /// Turn signal of the side the lamp sits on; it also flashes as hazard signal.
    Turn,
    /// Flashes as hazard signal only.
    Hazard,
    /// Running lamp, front position lamp.
    Running,
    /// Reversing lamp.
    Reverse,
    /// Licence plate lamp.
    Licence,
    /// Work lamp.
    Work,
    /// Side marker or outline marker.
    Marker,
    /// Fog lamp.
    Fog,
    /// Headlamp.
    Head,
    /// Anything else.
    Other,
}

impl Signal {
    /// All of them, in the order of the form.
    pub const ALL: [Signal; 12] = [
        Signal::Tail,
        Signal::Stop,
        Signal::Turn,
        Signal::Hazard,
        Signal::Running,
        Signal::Reverse,
        Signal::Licence,
        Signal::Work,
        Signal::Marker,
        Signal::Fog,
        Signal::Head,
        Signal::Other,
    ];

    /// As one word.
    pub fn text(self) -> &'static str {
        match self {
            Signal::Turn => say!("turn"),
            other => other.duty(false).text(),
        }
    }

    /// In identities, whatever the language.
    pub const fn key(self) -> &'static str {
        match self {
            Signal::Turn => "turn",
            other => other.duty(false).key(),
        }
    }

    /// The duty of a lamp circuit that shows it.
    pub const fn duty(self, right: bool) -> Duty {
        match self {
            Signal::Tail => Duty::Tail,
            Signal::Stop => Duty::Stop,
            Signal::Turn if right => Duty::TurnRight,
            Signal::Turn => Duty::TurnLeft,
            Signal::Hazard => Duty::Hazard,
            Signal::Running => Duty::Running,
            Signal::Reverse => Duty::Reverse,
            Signal::Licence => Duty::Licence,
            Signal::Work => Duty::Work,
            Signal::Marker => Duty::Marker,
            Signal::Fog => Duty::Fog,
            Signal::Head => Duty::Head,
            Signal::Other => Duty::Other,
        }
    }

    /// Whether the flasher makes it.
    pub const fn flashes(self) -> bool {
        matches!(self, Signal::Turn | Signal::Hazard)
    }

    /// Whether it burns low where it shares a filament with a stronger one.
    pub const fn is_weak(self) -> bool {
        matches!(
            self,
            Signal::Tail | Signal::Running | Signal::Licence | Signal::Marker
        )
    }
}

/// Lamps of one kind: one, or a pair.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lamps {
    /// Front, side, rear or trailer.
    pub end: End,
    /// Pair, left, right or centre.
    pub across: Across,
    /// Filaments or LEDs.
    pub fitting: Fitting,
    /// Colour of the light.
    pub light: Light,
    /// What the only or the strong circuit tells.
    pub strong: Vec<Signal>,
    /// What the weak circuit tells; empty for a lamp with one circuit.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weak: Vec<Signal>,
    /// Catalogue key of the filament lamp; the usual one where not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
}

/// A position of a control with several, and what it lights.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lit {
    /// Name of the position.
    pub name: String,
    /// What it lights.
    pub signals: Vec<Signal>,
}

/// A control and what it does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum ControlAnswer {
    /// Latching switch, off and on.
    Switch {
        /// What it lights.
        signals: Vec<Signal>,
    },
    /// Push button, lit while pressed.
    Push {
        /// What it lights.
        signals: Vec<Signal>,
    },
    /// Pedal, lit while pressed.
    Pedal {
        /// What it lights.
        signals: Vec<Signal>,
    },
    /// Latching switch with several positions after `off`.
    Selector {
        /// The positions after `off`.
        positions: Vec<Lit>,
    },
    /// Turn switch: off, left, right.
    Turn,
    /// A latching switch for each side.
    TurnPair,
    /// Hazard switch: both sides flash.
    Hazard,
    /// Master switch: what it does not exempt works only with it on.
    Master {
        /// What works without it.
        always: Vec<Signal>,
        /// What it lights by itself.
        lights: Vec<Signal>,
    },
    /// Ignition-style switch: off, accessory, run.
    Ignition {
        /// What works in every position.
        always: Vec<Signal>,
        /// What works from `accessory` on; the rest works in `run` only.
        accessory: Vec<Signal>,
        /// What `run` lights by itself.
        lights: Vec<Signal>,
    },
}

/// How a turn signal gets past a steady stop feed on the same filament.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TurnPriority {
    /// Changeover contacts in the turn and hazard switches.
    Contacts,
    /// A relay for each side.
    Relays,
    /// It does not: the stop signal hides the flash.
    None,
}

/// How the current gets back to the battery.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Return {
    /// Through the chassis.
    Chassis,
    /// Through wires of its own: wood, fibre, aluminium, boats.
    Wired,
}

/// Size of the vehicle; the lengths of all wires follow from it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Size {
    /// Front to rear.
    pub length_mm: Millimetres,
    /// Left to right.
    pub width_mm: Millimetres,
    /// Front to rear of the trailer.
    pub trailer_mm: Millimetres,
    /// Battery to dash, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery_to_dash_mm: Option<Millimetres>,
    /// Dash to the front lamps, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dash_to_front_mm: Option<Millimetres>,
    /// Dash to the rear lamps, where it was measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dash_to_rear_mm: Option<Millimetres>,
}

/// Connector between vehicle and trailer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Socket {
    /// 4-way flat, SAE J1239: stop and turn share a way for each side.
    FourWay,
    /// 7-way blade, SAE J2863: stop and turn share a way for each side.
    SevenBlade,
    /// 7-pin round, ISO 1724: stop, left and right apart.
    SevenPin,
    /// 13-pin round, ISO 11446: stop, left and right apart.
    ThirteenPin,
}

impl Socket {
    /// All of them.
    pub const ALL: [Socket; 4] = [
        Socket::FourWay,
        Socket::SevenBlade,
        Socket::SevenPin,
        Socket::ThirteenPin,
    ];
}

/// The answers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Brief {
    /// What the plan is called.
    pub title: String,
    /// Remarks that go into the plan.
    pub notes: String,
    /// Nominal voltage.
    pub system: System,
    /// Chemistry of the battery.
    pub chemistry: Chemistry,
    /// Capacity of the battery.
    pub capacity_ah: AmpHours,
    /// What charges it.
    pub charging: Charging,
    /// The lamps.
    pub lamps: Vec<Lamps>,
    /// The controls.
    pub controls: Vec<ControlAnswer>,
    /// Principle of the flasher.
    pub flasher: FlasherAction,
    /// How turn gets past stop where they share a filament.
    pub priority: TurnPriority,
    /// How the current gets back.
    pub wiring: Return,
    /// Size of the vehicle.
    pub size: Size,
    /// Connector to the trailer, if lamps sit on one.
    pub socket: Option<Socket>,
    /// Thinnest wire wanted, a catalogue key; 0.75 mm² where not given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub least_size: Option<String>,
}

//! The kinds of parts, one struct each with the ratings it is solved with.
//!
//! Ratings are kept in the plan itself, so a plan means the same under any later catalogue; `model`
//! remembers the catalogue row they were taken from. Terminal names follow DIN 72552 where it has one.

use super::ControlId;
use super::part::Extra;
use crate::text::{self, mark};
use crate::units::{AmpHours, Amps, Milliohms, Ohms, Share, Volts, Watts};
use serde::{Deserialize, Serialize};

/// Chemistry of a battery; it decides charge state, charging volts and run time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Chemistry {
    /// Lead-acid with liquid electrolyte.
    Flooded,
    /// Lead-acid, absorbent glass mat.
    Agm,
    /// Lead-acid, gelled electrolyte.
    Gel,
    /// Lithium iron phosphate.
    Lifepo4,
}

impl Chemistry {
    /// Key of its row in the catalogue.
    pub const fn key(self) -> &'static str {
        match self {
            Chemistry::Flooded => "flooded",
            Chemistry::Agm => "agm",
            Chemistry::Gel => "gel",
            Chemistry::Lifepo4 => "lifepo4",
        }
    }
}

/// Battery. Terminals `+` and `-`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Battery {
    /// Chemistry.
    pub chemistry: Chemistry,
    /// Open-circuit voltage at the charge planned for.
    pub open_circuit_v: Volts,
    /// Internal resistance.
    pub internal_mohm: Milliohms,
    /// Rated capacity at the 20 h rate.
    pub capacity_ah: AmpHours,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Control positions in which a charger runs: engine on, mains plugged in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Runs {
    /// The control.
    pub control: ControlId,
    /// Its positions in which the charger feeds.
    pub positions: Vec<String>,
}

/// Alternator with its regulator, or mains charger. Terminals `+` and `-` (B+ and D− of an alternator).
///
/// It holds its output voltage behind the internal resistance up to the rated current, gives that current and no
/// more below, and takes none back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Charger {
    /// Regulated voltage without load.
    pub output_v: Volts,
    /// Internal resistance.
    pub internal_mohm: Milliohms,
    /// Largest current it gives.
    pub rated_a: Amps,
    /// When it runs; `None`: always.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub runs: Option<Runs>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Isolated DC/DC converter. Terminals `in+`, `in-`, `out+`, `out-`.
///
/// Its output is limited as a charger's is, and live while the input has at least `starts_v`. Its input then
/// takes the power of the rated output, whatever the output gives, so that wires and fuse before it are judged by
/// the worst case.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Converter {
    /// Rated input voltage, at which the rated output needs its rated input power.
    pub input_v: Volts,
    /// Regulated output voltage without load.
    pub output_v: Volts,
    /// Largest output current.
    pub rated_a: Amps,
    /// Internal resistance of the output.
    pub internal_mohm: Milliohms,
    /// Output power over input power at rated output, above 0 to 1.
    pub efficiency: Share,
    /// Input voltage from which it works.
    pub starts_v: Volts,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// How a fuse is made.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FuseBody {
    /// Blade fuse: melts once.
    #[default]
    Blade,
    /// Circuit breaker of the same rating that closes again by itself once it has cooled.
    Breaker,
}

impl FuseBody {
    /// Whether it is the ordinary blade, which files leave unsaid.
    pub const fn is_blade(&self) -> bool {
        matches!(self, FuseBody::Blade)
    }
}

/// Blade fuse or automatic circuit breaker. Terminals `1` (supply side) and `2`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fuse {
    /// Rated current; the cold resistance follows from the catalogue.
    pub rating_a: Amps,
    /// How it is made; both are solved alike.
    #[serde(default, skip_serializing_if = "FuseBody::is_blade")]
    pub body: FuseBody,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// One contact of a switch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Contact {
    /// Terminal on the supply side.
    pub from: String,
    /// Terminal on the load side.
    pub to: String,
    /// Control positions in which the contact is closed.
    pub closed_in: Vec<String>,
}

/// Switch moved by a control; several switches may share one control. Terminals are those its contacts name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Switch {
    /// The control that moves it.
    pub control: ControlId,
    /// Contacts, any number.
    pub contacts: Vec<Contact>,
    /// Resistance of one closed contact.
    pub contact_mohm: Milliohms,
    /// Contact rating on resistive load, if known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<Amps>,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What makes a two-terminal flasher tick.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FlasherAction {
    /// Bimetal heated by the lamp current: below its smallest load it stays closed.
    Thermal,
    /// Electronic, current-sensing: below its smallest load it flashes at twice the rate.
    Electronic,
}

/// Two-terminal flasher unit. Terminals `49` (supply) and `49a` (lamps).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Flasher {
    /// Working principle.
    pub action: FlasherAction,
    /// Flashes per minute inside the load window.
    pub per_minute: u16,
    /// Smallest load current of the window.
    pub min_a: Amps,
    /// Largest load current of the window.
    pub max_a: Amps,
    /// Resistance while closed.
    pub closed_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Diode. Terminals `A` (anode) and `K` (cathode).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Diode {
    /// Catalogue type.
    pub model: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// What a lamp circuit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Duty {
    Tail,
    Stop,
    TurnLeft,
    TurnRight,
    Hazard,
    Running,
    Reverse,
    Licence,
    Work,
    Marker,
    Fog,
    Head,
    Other,
}

impl Duty {
    /// Every duty, in the order forms list them.
    pub const ALL: [Duty; 13] = [
        Duty::Tail,
        Duty::Stop,
        Duty::TurnLeft,
        Duty::TurnRight,
        Duty::Hazard,
        Duty::Running,
        Duty::Reverse,
        Duty::Licence,
        Duty::Work,
        Duty::Marker,
        Duty::Fog,
        Duty::Head,
        Duty::Other,
    ];

    /// The duty as words.
    pub fn text(self) -> &'static str {
        text::of(self.key())
    }

    /// The duty in identities, whatever the language.
    pub const fn key(self) -> &'static str {
        match self {
            Duty::Tail => mark!("tail"),
            Duty::Stop => mark!("stop"),
            Duty::TurnLeft => mark!("turn left"),
            Duty::TurnRight => mark!("turn right"),
            Duty::Hazard => mark!("hazard"),
            Duty::Running => mark!("running"),
            Duty::Reverse => mark!("reverse"),
            Duty::Licence => mark!("licence"),
            Duty::Work => mark!("work"),
            Duty::Marker => mark!("marker"),
            Duty::Fog => mark!("fog"),
            Duty::Head => mark!("headlamp"),
            Duty::Other => mark!("other"),
        }
    }
}

/// Colour of the light a lamp gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Light {
    Amber,
    Red,
    White,
}

/// One filament.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Filament {
    /// Name within the lamp: `major`, `minor` or `main`.
    pub id: String,
    /// Its own terminal; the other end is the lamp's common terminal.
    pub terminal: String,
    /// Voltage at which current and light are rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// What it is for.
    #[serde(default)]
    pub duties: Vec<Duty>,
}

/// Filament lamp. Terminals: one per filament, and the common one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lamp {
    /// Catalogue category or trade number the ratings came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Colour of the light.
    pub light: Light,
    /// Filaments, one or two.
    pub filaments: Vec<Filament>,
    /// Terminal shared by all filaments.
    pub common: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// How an LED circuit limits its current.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LedDrive {
    /// Series resistor: current rises with voltage above the knee.
    Resistor,
    /// Regulated: constant current above the voltage where regulation starts.
    Regulated,
}

/// One group of LEDs with its own terminal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LedCircuit {
    /// Name within the lamp.
    pub id: String,
    /// Its positive terminal; the negative end is the lamp's common terminal.
    pub terminal: String,
    /// Voltage at which current and light are rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// With a resistor: forward voltage of the string at its rated current, below which there is next to no
    /// light. Regulated: voltage from which the current is constant.
    pub knee_v: Volts,
    /// Current limiter.
    pub drive: LedDrive,
    /// What it is for.
    #[serde(default)]
    pub duties: Vec<Duty>,
}

/// LED lamp. Terminals: one per circuit, and the common (negative) one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LedLamp {
    /// Colour of the light.
    pub light: Light,
    /// Circuits, one or more.
    pub circuits: Vec<LedCircuit>,
    /// Negative terminal shared by all circuits.
    pub common: String,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Resistor. Terminals `1` and `2`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Resistor {
    /// Resistance.
    pub ohms: Ohms,
    /// Power rating.
    pub rating_w: Watts,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// General load. Terminals `+` and `-`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Load {
    /// Voltage at which the current is rated.
    pub rated_v: Volts,
    /// Current at the rated voltage.
    pub rated_a: Amps,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Joint of any number of wires. Terminal `1`.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Splice {
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Plug and socket. Terminals: way name + `a` (supply side) and way name + `b` (load side).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Connector {
    /// Names of the ways.
    pub ways: Vec<String>,
    /// Resistance of one mated way.
    pub contact_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Ground point. Terminal `31`; its other side is the chassis.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ground {
    /// Resistance between terminal and chassis.
    pub joint_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Relay after ISO 7588: coil `85`/`86`, common `30`, working contact `87`, rest contact `87a`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Relay {
    /// Catalogue row the ratings came from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub model: Option<String>,
    /// Coil resistance.
    pub coil_ohm: Ohms,
    /// Coil voltage at which it pulls in.
    pub pull_in_v: Volts,
    /// Coil voltage at which it lets go.
    pub drop_out_v: Volts,
    /// Resistance of a closed contact.
    pub contact_mohm: Milliohms,
    /// Unknown fields.
    #[serde(flatten)]
    pub extra: Extra,
}

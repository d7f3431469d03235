//! Filament lamps: voltage, current, light and life of each filament, and how they change with voltage.
//!
//! Two tables, one file each: categories of UN Regulation 37 (`P21W`, `P21/5W`) and North American trade numbers
//! (`1156`, `1157`). [`Filament::amps`] is what a plan is solved with: for UN categories the largest allowed power at the
//! test voltage (a worst case for wires and fuses), for trade numbers the rated current (±10 %).
//! The cold resistance is the hot one over [`COLD_RATIO`].

mod r37;
mod trade;

use super::{Mark, Source, by_key};
use crate::text::mark;
use crate::units::{Amps, Lumens};

/// UN Regulation 37.
pub const SOURCE_R37: Source = Source {
    title: "UN Regulation 37 Filament lamps",
    edition: mark!(
        "category sheets recalled; PY21/5W read in proposal GRE/2012/34; H1 and H3 flux read"
    ),
    place: mark!("maximum power and flux at test voltage, cap"),
    range: mark!("at 13.5 V (headlamps 13.2 V) or 28 V; power law from 0.8 to 1.2 of that"),
    mark: Mark::FromMemory,
};
/// SAE J573.
pub const SOURCE_TRADE: Source = Source {
    title: "SAE J573 / ANSI C78.390 Miniature lamps, trade numbers",
    edition: mark!("SAE J573d, December 1968, first rows read (51, 55); the rest recalled"),
    place: mark!("design volts, amperes, mean spherical candela, life"),
    range: mark!("at design volts, current ±10 %; power law from 0.8 to 1.2 of that"),
    mark: Mark::FromMemory,
};
/// Re-rating.
pub const SOURCE_RERATING: Source = Source {
    title: "Standard Handbook for Electrical Engineers, 11th edition, and a lamp maker's note of 2007",
    edition: mark!("1978, as cited in a public article"),
    place: mark!("p. 22-8, lamp re-rating exponents"),
    range: mark!("voltage from 0.8 to 1.2 of design; the exponents drift outside"),
    mark: Mark::Seen,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[SOURCE_R37, SOURCE_TRADE, SOURCE_RERATING];

/// Hot over cold resistance: tungsten at 2565 K, a signal lamp's filament, over 300 K in the [`tungsten`](super::tungsten) table.
/// The range 12 to 15 belongs to 2330 to 2800 K.
pub const COLD_RATIO: f64 = 13.5;
/// Filament temperature that belongs to [`COLD_RATIO`], in kelvin.
pub const HOT_KELVIN: f64 = 2565.0;

/// Current grows with voltage to this power (seen).
pub const CURRENT_EXPONENT: f64 = 0.55;
/// Power: one more than the current (1.6 in print, rounded).
pub const POWER_EXPONENT: f64 = 1.0 + CURRENT_EXPONENT;
/// Flux and candela: 3.4 to 3.5 in print, here the lower (seen).
pub const FLUX_EXPONENT: f64 = 3.4;
/// Life: −12 to −16 in print, here the trade's (seen).
pub const LIFE_EXPONENT: f64 = -12.0;
/// Range of voltage over design voltage in which the exponents hold.
pub const RERATING_RANGE: (f64, f64) = (0.8, 1.2);

/// Which naming a lamp belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Category of UN Regulation 37.
    UnR37,
    /// North American trade number.
    TradeNumber,
}

/// Colour of the bulb glass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glass {
    /// Clear.
    Clear,
    /// Amber.
    Amber,
    /// Red.
    Red,
}

/// How a source states the light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Light {
    /// Luminous flux in lumens (UN R37).
    Lumens(f64),
    /// Mean spherical candela (trade numbers).
    Candela(f64),
    /// Not given.
    NotGiven,
}

impl Light {
    /// The flux; one mean spherical candela gives 4π lumens.
    pub fn lumens(self) -> Option<Lumens> {
        match self {
            Light::Lumens(lumens) => Some(Lumens::of(lumens)),
            Light::Candela(candela) => Some(Lumens::of(4.0 * core::f64::consts::PI * candela)),
            Light::NotGiven => None,
        }
    }
}

/// One filament: a lamp circuit of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filament {
    /// `main` where there is one, else `major` (stop, turn, high beam) and `minor` (tail, low beam).
    pub name: &'static str,
    /// Voltage at which the figures hold: test voltage (UN R37) or design voltage (trade number).
    pub design_volts: f64,
    /// Current at that voltage, used for solving.
    pub amps: f64,
    /// Nominal power printed on the lamp (UN R37).
    pub rated_watts: Option<f64>,
    /// Light at that voltage.
    pub light: Light,
    /// Rated life in hours at that voltage, where given; the shorter where a range is given.
    pub life_hours: Option<f64>,
}

impl Filament {
    /// Power at the design voltage in watts.
    pub const fn watts(&self) -> f64 {
        self.design_volts * self.amps
    }

    /// Hot resistance in ohms.
    pub const fn hot_ohms(&self) -> f64 {
        self.design_volts / self.amps
    }

    /// Resistance at room temperature in ohms.
    pub const fn cold_ohms(&self) -> f64 {
        self.hot_ohms() / COLD_RATIO
    }

    /// Current at the design voltage.
    pub const fn current(&self) -> Amps {
        Amps::of(self.amps)
    }
}

/// One lamp type.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans and name on screen.
    pub key: &'static str,
    /// Naming.
    pub system: System,
    /// Nominal system voltage: 6, 12 or 24 V.
    pub nominal_volts: f64,
    /// Cap or base, where known.
    pub cap: Option<&'static str>,
    /// Colour of the glass.
    pub glass: Glass,
    /// One filament, or two.
    pub filaments: &'static [Filament],
    /// How far the row was checked.
    pub mark: Mark,
    /// Where the figures come from.
    pub source: &'static Source,
}

/// All lamps: UN categories, then trade numbers.
pub fn rows() -> impl Iterator<Item = &'static Row> {
    r37::ROWS.iter().chain(trade::ROWS)
}

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(r37::ROWS, |row| row.key, key).or_else(|| by_key(trade::ROWS, |row| row.key, key))
}

#[cfg(test)]
mod tests;

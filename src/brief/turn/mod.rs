//! The short form's answers and the plan drafted from them: turn lamps, one or two switches, one flasher, one fuse.
//!
//! Method: one supply path (battery, fuse, flasher, switch), then a path per side to its lamps, each grounded where it
//! sits. Ratings come from the catalogue, the fuse from the worst load, the flasher's window from the load of
//! a side, so that a drafted plan behaves as wished in every state.

mod draft;

pub use draft::draft;

use crate::catalog::{fuse, lamp};
use crate::plan::FlasherAction;
use crate::units::{Amps, Millimetres, significant};

/// Nominal voltage of the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// 6 V.
    V6,
    /// 12 V.
    V12,
    /// 24 V.
    V24,
}

impl System {
    /// All of them, the usual one first.
    pub const ALL: [System; 3] = [System::V12, System::V6, System::V24];

    /// Nominal volts.
    pub const fn volts(self) -> f64 {
        match self {
            System::V6 => 6.0,
            System::V12 => 12.0,
            System::V24 => 24.0,
        }
    }

    /// As printed.
    pub const fn text(self) -> &'static str {
        match self {
            System::V6 => "6 V",
            System::V12 => "12 V",
            System::V24 => "24 V",
        }
    }

    /// The lamp a form starts with: an amber or plain 21 W class signal lamp of this voltage.
    pub const fn usual_lamp(self) -> &'static str {
        match self {
            System::V6 => "1129",
            System::V12 => "PY21W",
            System::V24 => "PY21W 24V",
        }
    }

    /// The lamps a form offers: one filament, of this voltage.
    pub fn lamps(self) -> impl Iterator<Item = &'static lamp::Row> {
        lamp::rows()
            .filter(move |row| row.nominal_volts == self.volts() && row.filaments.len() == 1)
    }
}

/// How the sides are switched.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Switching {
    /// A latching switch per side; both on make a hazard signal.
    TwoSwitches,
    /// One control: left, off, right.
    OneControl,
}

/// The answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TurnBrief {
    /// What the plan is called.
    pub title: String,
    /// Nominal voltage.
    pub system: System,
    /// A lamp front left.
    pub front_left: bool,
    /// A lamp front right.
    pub front_right: bool,
    /// A lamp rear left.
    pub rear_left: bool,
    /// A lamp rear right.
    pub rear_right: bool,
    /// Catalogue key of the lamps.
    pub lamp: String,
    /// How the sides are switched.
    pub switching: Switching,
    /// Principle of the flasher.
    pub flasher: FlasherAction,
    /// Rating of the fuse; worked out from the load where not given.
    pub fuse: Option<Amps>,
    /// Battery to dash, along the loom.
    pub battery_to_dash: Millimetres,
    /// Dash to each front lamp.
    pub dash_to_front: Millimetres,
    /// Dash to each rear lamp.
    pub dash_to_rear: Millimetres,
    /// Catalogue key of the conductor size.
    pub size: String,
}

impl Default for TurnBrief {
    /// Four lamps on 12 V with two switches: a usable plan without a single answer.
    fn default() -> Self {
        Self {
            title: "My turn lamps".into(),
            system: System::V12,
            front_left: true,
            front_right: true,
            rear_left: true,
            rear_right: true,
            lamp: System::V12.usual_lamp().into(),
            switching: Switching::TwoSwitches,
            flasher: FlasherAction::Electronic,
            fuse: None,
            battery_to_dash: Millimetres::of(1200.0),
            dash_to_front: Millimetres::of(1500.0),
            dash_to_rear: Millimetres::of(3000.0),
            size: "1.5 mm2".into(),
        }
    }
}

impl TurnBrief {
    /// The catalogue row of the lamps; the usual one where the key is unknown or of another voltage.
    pub fn lamp_row(&self) -> Option<&'static lamp::Row> {
        let fits = |row: &&lamp::Row| row.nominal_volts == self.system.volts();
        lamp::find(&self.lamp)
            .filter(fits)
            .or_else(|| lamp::find(self.system.usual_lamp()))
            .or_else(|| self.system.lamps().next())
    }

    /// Rated current of one lamp; 0 when the catalogue has none.
    fn lamp_amps(&self) -> f64 {
        let filament = self.lamp_row().and_then(|row| row.filaments.first());
        filament.map_or(0.0, |filament| filament.amps)
    }

    /// Number of lamps on the left and on the right.
    pub const fn sides(&self) -> (usize, usize) {
        (
            self.front_left as usize + self.rear_left as usize,
            self.front_right as usize + self.rear_right as usize,
        )
    }

    /// The largest current that lamps can draw at once: all of them with two switches, one side with one control.
    pub fn worst_load(&self) -> Amps {
        let (left, right) = self.sides();
        let most = match self.switching {
            Switching::TwoSwitches => left + right,
            Switching::OneControl => left.max(right),
        };
        Amps::of(most as f64 * self.lamp_amps())
    }

    /// The smallest load of a side that has lamps.
    fn least_load(&self) -> Amps {
        let (left, right) = self.sides();
        let least = [left, right]
            .into_iter()
            .filter(|&n| n > 0)
            .min()
            .unwrap_or(0);
        Amps::of(least as f64 * self.lamp_amps())
    }

    /// The fuse that the load asks for: the next blade rating of which the load is at most the continuous share.
    pub fn fuse_for_load(&self) -> Amps {
        let needed = self.worst_load().get() / fuse::CONTINUOUS_SHARE;
        let row = fuse::ROWS.iter().find(|row| row.rating_amps >= needed);
        Amps::of(row.or(fuse::ROWS.last()).map_or(0.0, |row| row.rating_amps))
    }

    /// The rating of the fuse: as answered, else as the load asks.
    pub fn fuse_rating(&self) -> Amps {
        self.fuse.unwrap_or_else(|| self.fuse_for_load())
    }

    /// Why the load asks for that fuse, in a sentence.
    pub fn fuse_reason(&self) -> String {
        let load = self.worst_load();
        let share = 100.0 * fuse::CONTINUOUS_SHARE;
        format!(
            "{load} with all lamps lit that can be lit at once; a blade fuse carries {share:.0} % of its rating for long, \
             so {} A at least: the next rating is {}.",
            significant(load.get() / fuse::CONTINUOUS_SHARE),
            self.fuse_for_load()
        )
    }
}

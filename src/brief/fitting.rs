//! Standard parts for a load: lamps by voltage and duty, diodes by current, dropping resistors by light, fuses.
//!
//! Every figure is a catalogue row, or follows from one by the law the solver uses for that part.

use super::resolve::Lamp;
use super::{Brief, Fitting, Lamps, Signal, System};
use crate::catalog::{diode, fuse, fuse_rule, lamp, led};
use crate::plan::{Duty, Filament, Kind, LedCircuit, LedDrive, LedLamp, Light};
use crate::units::{Amps, Ohms, Volts, Watts, plain};

use super::place::Side;
use crate::plan::Extra;

/// Light of a weak signal on a strong circuit, as a share of rated light: a strong signal over it is five times as
/// bright through a diode (SAE J588 asks for three times, UN R7 categories stand 5:1 and more apart).
const DIM_LEVEL: f64 = 0.11;
/// The same at 6 V, where diodes and contacts take more of a strong signal.
const DIM_LEVEL_6V: f64 = 0.085;
/// Least light at which a dimmed signal counts as given: what is aimed at, less what a full load of the battery takes.
pub(super) const DIM_LEAST: f64 = 0.04;
/// Drop of an isolating diode at lamp current, for the choice of a resistor: typical of silicon, and of Schottky types.
const DIODE_VOLTS: (f64, f64) = (0.8, 0.4);
/// Open-circuit volts over nominal of a full lead-acid battery (2.1 V a cell).
const FULL_SHARE: f64 = 1.05;
/// Volts while charging over nominal (2.4 V a cell), for the heat of a resistor.
const CHARGING_SHARE: f64 = 1.2;
/// Resistances that resistors are sold in, per decade (IEC 60063, E24).
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6,
    6.2, 6.8, 7.5, 8.2, 9.1,
];
/// Power ratings that resistors are sold in, in watts (common practice).
const WATTS: [f64; 9] = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0];

/// The catalogue row of filament lamps: the one answered, if it fits, else the usual one of the trade.
pub(super) fn lamp_row(brief: &Brief, lamps: &Lamps) -> Option<&'static lamp::Row> {
    let volts = brief.system.lamp_volts();
    let fits = |row: &&lamp::Row| {
        row.nominal_volts == volts && row.filaments.len() == lamps.fitting.circuits()
    };
    let answered = lamps.model.as_deref().and_then(lamp::find).filter(fits);
    answered.or_else(|| lamp::find(usual(brief.system, lamps)).filter(fits))
}

/// Key of the usual filament lamp.
fn usual(system: System, lamps: &Lamps) -> &'static str {
    let amber = lamps.light == Light::Amber;
    let long_range = |s: &Signal| matches!(s, Signal::Head | Signal::Work | Signal::Fog);
    let bright = lamps.strong.iter().any(long_range) && lamps.light != Light::Red;
    let weak = lamps.strong.iter().all(|s| s.is_weak());
    let licence = lamps.strong == [Signal::Licence];
    match (system, lamps.fitting.circuits()) {
        (System::V6, 2) => "1154",
        (System::V6, _) if weak => "63",
        (System::V6, _) => "1129",
        (System::V24, 2) => "P21/5W 24V",
        (System::V24, _) if licence => "C5W 24V",
        (System::V24, _) if weak => "R5W 24V",
        (System::V24, _) if bright => "H3 24V",
        (System::V24, _) if amber => "PY21W 24V",
        (System::V24, _) => "P21W 24V",
        (_, 2) if amber => "PY21/5W",
        (_, 2) => "P21/5W",
        _ if licence => "C5W",
        _ if weak => "R5W",
        _ if bright => "H3",
        _ if amber => "PY21W",
        _ => "P21W",
    }
}

/// The catalogue row of an LED circuit.
pub(super) fn led_row(
    system: System,
    fitting: Fitting,
    signals: &[Signal],
) -> Option<&'static led::Row> {
    let has = |signal| signals.contains(&signal);
    let turn = has(Signal::Turn) || has(Signal::Hazard);
    let strong = signals.iter().any(|s| !s.is_weak());
    let key = match (system, fitting) {
        (System::V12 | System::V48, Fitting::RegulatedLed) if turn => "LED turn 12 V driver",
        (System::V12 | System::V48, Fitting::RegulatedLed) if has(Signal::Stop) => {
            "LED stop 12 V driver"
        }
        (System::V12 | System::V48 | System::V24, Fitting::RegulatedLed) => "LED multi-volt 9-33 V",
        (System::V12 | System::V48, _) if turn => "LED turn 12 V",
        (System::V12 | System::V48, _) if has(Signal::Stop) => "LED stop 12 V",
        (System::V12 | System::V48, _) if strong => "LED reverse 12 V",
        (System::V12 | System::V48, _) if has(Signal::Tail) => "LED tail 12 V",
        (System::V12 | System::V48, _) if signals == [Signal::Licence] => "LED licence 12 V",
        (System::V12 | System::V48, _) => "LED marker 12 V",
        _ => return None,
    };
    led::find(key)
}

/// Rated volts and amperes of a circuit of a lamp, and the volts at which its LEDs begin; `None` where the
/// catalogue has no such lamp.
pub(super) fn rating(brief: &Brief, lamp: &Lamp, circuit: usize) -> Option<Rating> {
    let answer = brief.lamps.get(lamp.group)?;
    if lamp.fitting.has_filaments() {
        let filament = lamp_row(brief, answer)?.filaments.get(circuit)?;
        Some(Rating {
            volts: filament.design_volts,
            amps: filament.amps,
            knee: None,
        })
    } else {
        let row = led_row(
            brief.system,
            lamp.fitting,
            &lamp.circuits.get(circuit)?.signals,
        )?;
        Some(Rating {
            volts: row.test_volts,
            amps: row.amps,
            knee: Some(row.knee_volts),
        })
    }
}

/// Ratings of a lamp circuit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rating {
    pub volts: f64,
    pub amps: f64,
    /// Forward volts of the LEDs; `None` for a filament.
    pub knee: Option<f64>,
}

impl Rating {
    /// Volts and amperes at a share of rated light: the re-rating law of filaments, the string law of LEDs.
    fn at(&self, level: f64) -> (f64, f64) {
        match self.knee {
            None => {
                let share = libm::pow(level, 1.0 / lamp::FLUX_EXPONENT);
                let amps = self.amps * libm::pow(share, lamp::CURRENT_EXPONENT);
                (self.volts * share, amps)
            }
            Some(knee) => {
                let emission = led::emission_volts(knee);
                let volts = knee + emission * libm::log(level) + level * (self.volts - knee);
                (volts, level * self.amps)
            }
        }
    }
}

/// Resistor in front of circuits that burn low, with its power rating.
pub(super) fn dropper(brief: &Brief, ratings: &[Rating]) -> (Ohms, Watts) {
    let nominal = brief.system.lamp_volts();
    let level = match brief.system {
        System::V6 => DIM_LEVEL_6V,
        _ => DIM_LEVEL,
    };
    let points = || ratings.iter().map(|rating| rating.at(level));
    let amps: f64 = points().map(|(_, amps)| amps).sum::<f64>().max(1e-6);
    // Circuits in parallel burn at one voltage: the mean, weighted by current, where they differ.
    let volts = points().map(|(volts, amps)| volts * amps).sum::<f64>() / amps;
    let diode = match brief.system {
        System::V6 => DIODE_VOLTS.1,
        _ => DIODE_VOLTS.0,
    };
    let supply = FULL_SHARE * nominal - diode;
    let ohms = standard((supply - volts).max(0.1) / amps);
    // Worst: charging, and the lamps cold or one of them shorted to half their volts.
    let across = (CHARGING_SHARE * nominal - 0.5 * volts).max(0.0);
    let heat = across * across / ohms;
    let rated = WATTS.iter().find(|&&w| w >= heat).or(WATTS.last());
    (Ohms::of(ohms), Watts::of(rated.copied().unwrap_or(heat)))
}

/// The nearest resistance of the E24 series.
fn standard(ohms: f64) -> f64 {
    let decade = libm::floor(libm::log10(ohms));
    let scale = libm::pow(10.0, decade);
    let near = |&&a: &&f64, &&b: &&f64| {
        let off = |x: f64| (libm::log(x * scale / ohms)).abs();
        off(a).total_cmp(&off(b))
    };
    let above = [10.0];
    let best = E24.iter().chain(&above).min_by(near).copied();
    let value = best.unwrap_or(1.0) * scale;
    plain(value).parse().unwrap_or(value)
}

/// The diode for a current. Schottky types cost less light, which counts at 6 V always and at 12 V where the current is
/// large; but what they leak is enough to make an LED glow, so that silicon is taken where there are any.
pub(super) fn diode_for(brief: &Brief, amps: f64) -> &'static str {
    let led = brief
        .lamps
        .iter()
        .any(|lamps| !lamps.fitting.has_filaments());
    let types: &[&str] = match brief.system {
        System::V6 => &["1N5819", "MBR1045"],
        System::V24 => &["1N4004", "1N5404", "6A4", "10A04"],
        _ if led => &["1N4004", "10A04"],
        _ => &["1N4004", "SB560", "MBR1045"],
    };
    let bears = |key: &&&str| {
        diode::find(key).is_some_and(|row| amps <= diode::LOOM_SHARE * row.if_av_amps)
    };
    types.iter().find(bears).or(types.last()).map_or("", |k| k)
}

/// The largest current that the types of [`diode_for`] bear in a loom.
pub(super) fn most_diode_amps() -> f64 {
    diode::find("10A04").map_or(0.0, |row| diode::LOOM_SHARE * row.if_av_amps)
}

/// The blade fuse for a load, the largest where none is large enough.
pub(super) fn fuse_for(amps: f64) -> Amps {
    let row = fuse_rule::fuse_for_load(Amps::of(amps)).or(fuse::ROWS.last());
    Amps::of(row.map_or(0.0, |row| row.rating_amps))
}

/// The lamp as a part; `None` where the catalogue has no such lamp.
pub(super) fn lamp_kind(brief: &Brief, lamp: &Lamp) -> Option<Kind> {
    let answer = brief.lamps.get(lamp.group)?;
    let duties = |circuit: usize| -> Vec<Duty> {
        let signals = lamp.circuits.get(circuit).map_or(&[][..], |c| &c.signals);
        let right = lamp.side == Side::Right;
        signals.iter().map(|signal| signal.duty(right)).collect()
    };
    let terminal = |circuit: usize| terminal_of(lamp, circuit).to_owned();
    let round = |value: f64| plain(value).parse().unwrap_or(value);
    Some(if lamp.fitting.has_filaments() {
        let row = lamp_row(brief, answer)?;
        let filament = |(i, filament): (usize, &lamp::Filament)| Filament {
            id: filament.name.into(),
            terminal: terminal(i),
            rated_v: Volts::of(filament.design_volts),
            rated_a: Amps::of(round(filament.amps)),
            duties: duties(i),
        };
        Kind::Lamp(crate::plan::Lamp {
            model: Some(row.key.into()),
            light: lamp.light,
            filaments: row.filaments.iter().enumerate().map(filament).collect(),
            common: "31".into(),
            extra: Extra::new(),
        })
    } else {
        let circuit = |(i, circuit): (usize, &super::resolve::Circuit)| {
            let row = led_row(brief.system, lamp.fitting, &circuit.signals)?;
            Some(LedCircuit {
                id: if lamp.circuits.len() == 1 {
                    "main".into()
                } else if i == 0 {
                    "strong".into()
                } else {
                    "weak".into()
                },
                terminal: terminal(i),
                rated_v: Volts::of(row.test_volts),
                rated_a: Amps::of(row.amps),
                knee_v: Volts::of(row.knee_volts),
                drive: match row.drive {
                    led::Drive::Resistor => LedDrive::Resistor,
                    led::Drive::ConstantCurrent => LedDrive::Regulated,
                },
                duties: duties(i),
            })
        };
        Kind::LedLamp(LedLamp {
            light: lamp.light,
            circuits: lamp
                .circuits
                .iter()
                .enumerate()
                .map(circuit)
                .collect::<Option<_>>()?,
            common: "31".into(),
            extra: Extra::new(),
        })
    })
}

/// Terminal of a lamp circuit after DIN 72552: 54 stop, 58 tail and markers, L and R turn; 1 and 2 where several
/// duties or none of these meet.
pub(super) fn terminal_of(lamp: &Lamp, circuit: usize) -> &'static str {
    let signals = lamp.circuits.get(circuit).map_or(&[][..], |c| &c.signals);
    if lamp.circuits.len() == 1 {
        return "1";
    }
    if circuit == 1 {
        "58"
    } else if signals.contains(&Signal::Stop) {
        "54"
    } else if signals.contains(&Signal::Turn) {
        match lamp.side {
            Side::Right => "R",
            _ => "L",
        }
    } else {
        "1"
    }
}

/// Identity of a lamp circuit within its part, as [`lamp_kind`] names it.
pub(super) fn circuit_name(kind: &Kind, circuit: usize) -> Option<&str> {
    match kind {
        Kind::Lamp(lamp) => lamp.filaments.get(circuit).map(|f| f.id.as_str()),
        Kind::LedLamp(lamp) => lamp.circuits.get(circuit).map(|c| c.id.as_str()),
        _ => None,
    }
}

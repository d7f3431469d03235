//! Copper conductors: cross-section and resistance at 20 °C of metric, AWG and SAE sizes.
//!
//! - Metric: IEC 60228 class 5 (fine-stranded, plain copper) maximum resistance where that standard has the
//!   size; ISO 6722-1:2011 maximum for the vehicle sizes in between (from memory). Class 5 lies 4–6 % above
//!   ISO 6722-1 for a size in both (14 % at 0.22 mm²), so the choice errs towards more drop.
//! - AWG: ASTM B258 diameter, 100 % IACS copper, times 1.02 for stranding, the relation between the solid and
//!   stranded columns of NEC chapter 9 Table 8. AC 43.13-1B Table 11-9 is not used: its aircraft strandings
//!   have other areas than the gauge number (18 AWG 1900 cmil instead of 1624, 10 AWG 9354 instead of 10 380)
//!   and two-digit resistances from 8 AWG up. Both tables stand as bounds in the tests.
//! - SAE: SAE J1128 minimum areas, 5–11 % below AWG, with the same copper and stranding.
//!
//! Range: −50 to 250 °C. A size outside the tables is `None`; nothing is extrapolated.

use super::{Mark, Source, by_key};
use crate::text::{mark, number};
use crate::units::parse::{ParseError, WireSize, clip, wire_size};
use crate::units::{Celsius, Millimetres, Ohms};

/// Resistivity of annealed copper (100 % IACS) at 20 °C in Ω·mm²/m; NBS Handbook 100, seen quoted.
pub const RHO20_COPPER: f64 = 0.017241;
/// Temperature coefficient of annealed copper at 20 °C per kelvin; IEC 60028, from memory.
pub const ALPHA20: f64 = 0.00393;
/// Stranded over solid resistance at equal gauge: 2–3 % in NEC chapter 9 Table 8, from memory.
pub const STRANDING: f64 = 1.02;

/// IEC 60228 class 5.
pub const SOURCE_IEC_60228: Source = Source {
    title: "IEC 60228 Conductors of insulated cables, as printed with DIN VDE 0295",
    edition: mark!("current class 5 figures; 0.22 mm² after VDE 0295 and HD 383"),
    place: mark!("maximum resistance of class 5, plain copper, at 20 °C"),
    range: mark!("Ω/km at 20 °C; 0.22 to 35 mm²; no other sizes"),
    mark: Mark::Seen,
};
/// ISO 6722-1.
pub const SOURCE_ISO_6722: Source = Source {
    title: "ISO 6722-1 Road vehicles, 60 V and 600 V single-core cables",
    edition: "2011",
    place: mark!("maximum resistance of bare copper at 20 °C"),
    range: mark!("mΩ/m at 20 °C; sizes that IEC 60228 does not have"),
    mark: Mark::FromMemory,
};
/// ASTM B258 with IACS copper.
pub const SOURCE_AWG: Source = Source {
    title: "ASTM B258 diameters, 100 % IACS copper, stranding factor 1.02 after NEC chapter 9 Table 8",
    edition: mark!("worked out; areas agree with a printed wire table for solid copper"),
    place: "d = 0.127 mm · 92^((36−n)/39); R = 1.02 · 0.017241/A",
    range: mark!("Ω/km at 20 °C; 24 AWG to 4/0 AWG; no other sizes"),
    mark: Mark::Derived,
};
/// SAE J1128.
pub const SOURCE_SAE: Source = Source {
    title: "SAE J1128 Low voltage primary cable",
    edition: mark!("areas as tabled beside AWG in ABYC E-11"),
    place: mark!("conductor area in circular mils (12 SAE seen); R = 1.02 · 0.017241/A"),
    range: mark!("Ω/km at 20 °C; 18 SAE to 2 SAE; no other sizes"),
    mark: Mark::FromMemory,
};
/// Copper.
pub const SOURCE_COPPER: Source = Source {
    title: "NBS Handbook 100 Copper wire tables; IEC 60028",
    edition: "1966; 1925",
    place: mark!("volume resistivity at 20 °C; R(T) = R20·(1 + 0.00393·(T − 20))"),
    range: mark!("−50 to 250 °C; a temperature outside is held at the nearer end"),
    mark: Mark::FromMemory,
};
/// All sources of this table.
pub const SOURCES: &[Source] = &[
    SOURCE_IEC_60228,
    SOURCE_ISO_6722,
    SOURCE_AWG,
    SOURCE_SAE,
    SOURCE_COPPER,
];

/// The system a size name belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    /// Nominal cross-section in mm².
    Metric,
    /// American wire gauge.
    Awg,
    /// SAE gauge of vehicle primary wire, smaller than the AWG of the same number.
    Sae,
}

/// One conductor size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Key in saved plans.
    pub key: &'static str,
    /// Name on paper, with a decimal point; what people read takes [`Row::name`].
    pub label: &'static str,
    /// Cross-section of the copper; nominal for metric sizes.
    pub area_mm2: f64,
    /// Resistance at 20 °C in Ω/km, which is mΩ/m; maximum of the standard for metric sizes.
    pub ohms_per_km_20c: f64,
    /// System of the name.
    pub system: System,
    /// Where the figures come from.
    pub source: &'static Source,
    /// How far they were checked.
    pub mark: Mark,
}

impl Row {
    /// The label with the decimal mark chosen.
    pub fn name(&self) -> String {
        number(self.label.into())
    }

    /// Resistance of one conductor of this size, `length` long, at a copper temperature.
    pub fn resistance(&self, length: Millimetres, copper: Celsius) -> Ohms {
        ohms_at(Ohms::of(length.get() / 1e6 * self.ohms_per_km_20c), copper)
    }
}

/// A resistance known at 20 °C, at another copper temperature (IEC 60028 form; −50 to 250 °C, held outside).
pub fn ohms_at(at_20c: Ohms, copper: Celsius) -> Ohms {
    let rise = copper.get().clamp(-50.0, 250.0) - 20.0;
    // Clamped so that a resistance near the end of the float range does not overflow to a refused value.
    Ohms::of((at_20c.get() * (1.0 + ALPHA20 * rise)).clamp(f64::MIN, f64::MAX))
}

const fn class5(
    key: &'static str,
    label: &'static str,
    area_mm2: f64,
    ohms_per_km_20c: f64,
) -> Row {
    let source = &SOURCE_IEC_60228;
    Row {
        key,
        label,
        area_mm2,
        ohms_per_km_20c,
        system: System::Metric,
        source,
        mark: Mark::Seen,
    }
}

const fn vehicle(
    key: &'static str,
    label: &'static str,
    area_mm2: f64,
    ohms_per_km_20c: f64,
) -> Row {
    let source = &SOURCE_ISO_6722;
    Row {
        key,
        label,
        area_mm2,
        ohms_per_km_20c,
        system: System::Metric,
        source,
        mark: Mark::FromMemory,
    }
}

/// AWG by its ASTM B258 area.
const fn awg(key: &'static str, area_mm2: f64) -> Row {
    let ohms_per_km_20c = 1000.0 * RHO20_COPPER / area_mm2 * STRANDING;
    Row {
        key,
        label: key,
        area_mm2,
        ohms_per_km_20c,
        system: System::Awg,
        source: &SOURCE_AWG,
        mark: Mark::Derived,
    }
}

/// SAE gauge by its area; the mark is that of the area.
const fn sae(key: &'static str, area_mm2: f64, mark: Mark) -> Row {
    let ohms_per_km_20c = 1000.0 * RHO20_COPPER / area_mm2 * STRANDING;
    Row {
        key,
        label: key,
        area_mm2,
        ohms_per_km_20c,
        system: System::Sae,
        source: &SOURCE_SAE,
        mark,
    }
}

/// All sizes: each system from thin to thick.
pub const ROWS: &[Row] = &[
    class5("0.22 mm2", "0.22 mm²", 0.22, 96.0),
    vehicle("0.35 mm2", "0.35 mm²", 0.35, 54.4),
    class5("0.5 mm2", "0.5 mm²", 0.5, 39.0),
    class5("0.75 mm2", "0.75 mm²", 0.75, 26.0),
    class5("1 mm2", "1 mm²", 1.0, 19.5),
    vehicle("1.25 mm2", "1.25 mm²", 1.25, 14.9),
    class5("1.5 mm2", "1.5 mm²", 1.5, 13.3),
    vehicle("2 mm2", "2 mm²", 2.0, 9.42),
    class5("2.5 mm2", "2.5 mm²", 2.5, 7.98),
    vehicle("3 mm2", "3 mm²", 3.0, 6.15),
    class5("4 mm2", "4 mm²", 4.0, 4.95),
    vehicle("5 mm2", "5 mm²", 5.0, 3.94),
    class5("6 mm2", "6 mm²", 6.0, 3.30),
    vehicle("8 mm2", "8 mm²", 8.0, 2.38),
    class5("10 mm2", "10 mm²", 10.0, 1.91),
    vehicle("12 mm2", "12 mm²", 12.0, 1.52),
    class5("16 mm2", "16 mm²", 16.0, 1.21),
    vehicle("20 mm2", "20 mm²", 20.0, 0.955),
    class5("25 mm2", "25 mm²", 25.0, 0.780),
    class5("35 mm2", "35 mm²", 35.0, 0.554),
    awg("24 AWG", 0.2047),
    awg("22 AWG", 0.3255),
    awg("20 AWG", 0.5176),
    awg("18 AWG", 0.8230),
    awg("16 AWG", 1.309),
    awg("14 AWG", 2.081),
    awg("12 AWG", 3.309),
    awg("10 AWG", 5.261),
    awg("8 AWG", 8.366),
    awg("6 AWG", 13.30),
    awg("4 AWG", 21.15),
    awg("3 AWG", 26.67),
    awg("2 AWG", 33.63),
    awg("1 AWG", 42.41),
    awg("1/0 AWG", 53.48),
    awg("2/0 AWG", 67.43),
    awg("3/0 AWG", 85.03),
    awg("4/0 AWG", 107.2),
    sae("18 SAE", 0.779, Mark::FromMemory),
    sae("16 SAE", 1.184, Mark::FromMemory),
    sae("14 SAE", 1.876, Mark::FromMemory),
    sae("12 SAE", 2.956, Mark::Derived),
    sae("10 SAE", 4.734, Mark::FromMemory),
    sae("8 SAE", 7.504, Mark::FromMemory),
    sae("6 SAE", 12.43, Mark::FromMemory),
    sae("4 SAE", 18.93, Mark::FromMemory),
    sae("2 SAE", 31.64, Mark::FromMemory),
];

/// The row of a key.
pub fn find(key: &str) -> Option<&'static Row> {
    by_key(ROWS, |row| row.key, key)
}

/// The key of a size as people write it: `0,75 mm²`, `#18`, `AWG 18`, `12 SAE`, `2/0`, `1.5`.
///
/// A bare number is taken when only one system has it; `4` could be 4 mm² or 4 AWG and is asked back.
/// Plain gauge numbers are AWG; SAE sizes must say so.
pub fn conductor_key(text: &str) -> Result<&'static str, ParseError> {
    match wire_size(text)? {
        WireSize::Area(area) => metric(area.get()).map(|row| row.key).ok_or_else(|| {
            let near = neighbours(System::Metric, area.get());
            ParseError::NoSuchSize {
                text: clip(text),
                near,
            }
        }),
        WireSize::Gauge { number, sae } => gauge(number, sae).map(|row| row.key).ok_or_else(|| {
            let system = if sae { System::Sae } else { System::Awg };
            ParseError::NoSuchSize {
                text: clip(text),
                near: neighbours(system, awg_area(f64::from(number))),
            }
        }),
        WireSize::Bare(number) => {
            let number = number.get();
            // Float to int casts saturate, so any number is safe; a fraction is no gauge number.
            let by_gauge = if number == number.trunc() {
                gauge(number as i8, false)
            } else {
                None
            };
            match (metric(number), by_gauge) {
                (Some(row), None) | (None, Some(row)) => Ok(row.key),
                (Some(area), Some(gauge)) => Err(ParseError::WhichSize {
                    text: clip(text),
                    choices: vec![area.label, gauge.label],
                }),
                (None, None) => Err(ParseError::NoSuchSize {
                    text: clip(text),
                    near: neighbours(System::Metric, number),
                }),
            }
        }
    }
}

fn metric(area_mm2: f64) -> Option<&'static Row> {
    ROWS.iter()
        .find(|row| row.system == System::Metric && row.area_mm2 == area_mm2)
}

fn gauge(number: i8, sae: bool) -> Option<&'static Row> {
    let system = if sae { "SAE" } else { "AWG" };
    if number > 0 {
        find(&format!("{number} {system}"))
    } else {
        find(&format!("{}/0 {system}", 1 - i16::from(number)))
    }
}

/// Cross-section in mm² of gauge `number` after ASTM B258.
fn awg_area(number: f64) -> f64 {
    let diameter_mm = 0.127 * libm::pow(92.0, (36.0 - number) / 39.0);
    core::f64::consts::PI / 4.0 * diameter_mm * diameter_mm
}

/// The labels of the next thinner and the next thicker size of a system; one of them at its ends.
fn neighbours(system: System, area_mm2: f64) -> Vec<&'static str> {
    let rows = || ROWS.iter().filter(move |row| row.system == system);
    let thinner = rows().rfind(|row| row.area_mm2 < area_mm2);
    let thicker = rows().find(|row| row.area_mm2 > area_mm2);
    thinner
        .into_iter()
        .chain(thicker)
        .map(|row| row.label)
        .collect()
}

#[cfg(test)]
mod tests;

//! The units people write, in all their spellings.

use super::Kind;

/// One way to write a unit: the spelling, what it measures, and how to get to the base unit.
pub(super) struct Unit {
    pub spelling: &'static str,
    pub kind: Kind,
    /// Base units in one of this unit.
    pub scale: f64,
    /// Added before scaling: where the scale's zero lies.
    pub offset: f64,
}

const fn unit(spelling: &'static str, kind: Kind, scale: f64) -> Unit {
    Unit {
        spelling,
        kind,
        scale,
        offset: 0.0,
    }
}

const fn fahrenheit(spelling: &'static str) -> Unit {
    Unit {
        spelling,
        kind: Kind::Temperature,
        scale: 5.0 / 9.0,
        offset: -32.0,
    }
}

/// Length of an inch in millimetres, exact by definition since 1959.
pub(super) const INCH_MM: f64 = 25.4;
/// Length of a foot in millimetres.
pub(super) const FOOT_MM: f64 = 304.8;

/// Every spelling, in small letters without blanks; base units are mm, V, A, Ω, W, mm², °C, Ah, lm.
const UNITS: &[Unit] = &[
    unit("mm", Kind::Length, 1.0),
    unit("millimetre", Kind::Length, 1.0),
    unit("millimeter", Kind::Length, 1.0),
    unit("cm", Kind::Length, 10.0),
    unit("centimetre", Kind::Length, 10.0),
    unit("centimeter", Kind::Length, 10.0),
    unit("m", Kind::Length, 1000.0),
    unit("metre", Kind::Length, 1000.0),
    unit("meter", Kind::Length, 1000.0),
    unit("in", Kind::Length, INCH_MM),
    unit("inch", Kind::Length, INCH_MM),
    unit("inche", Kind::Length, INCH_MM),
    unit("\"", Kind::Length, INCH_MM),
    unit("″", Kind::Length, INCH_MM),
    unit("”", Kind::Length, INCH_MM),
    unit("''", Kind::Length, INCH_MM),
    unit("ft", Kind::Length, FOOT_MM),
    unit("foot", Kind::Length, FOOT_MM),
    unit("feet", Kind::Length, FOOT_MM),
    unit("'", Kind::Length, FOOT_MM),
    unit("′", Kind::Length, FOOT_MM),
    unit("’", Kind::Length, FOOT_MM),
    unit("v", Kind::Voltage, 1.0),
    unit("volt", Kind::Voltage, 1.0),
    unit("mv", Kind::Voltage, 1e-3),
    unit("millivolt", Kind::Voltage, 1e-3),
    unit("a", Kind::Current, 1.0),
    unit("amp", Kind::Current, 1.0),
    unit("ampere", Kind::Current, 1.0),
    unit("ma", Kind::Current, 1e-3),
    unit("milliamp", Kind::Current, 1e-3),
    unit("ω", Kind::Resistance, 1.0),
    unit("ohm", Kind::Resistance, 1.0),
    unit("mω", Kind::Resistance, 1e-3),
    unit("mohm", Kind::Resistance, 1e-3),
    unit("milliohm", Kind::Resistance, 1e-3),
    unit("kω", Kind::Resistance, 1e3),
    unit("kohm", Kind::Resistance, 1e3),
    unit("megohm", Kind::Resistance, 1e6),
    unit("w", Kind::Power, 1.0),
    unit("watt", Kind::Power, 1.0),
    unit("mw", Kind::Power, 1e-3),
    unit("kw", Kind::Power, 1e3),
    unit("mm2", Kind::Area, 1.0),
    unit("mm²", Kind::Area, 1.0),
    unit("mm^2", Kind::Area, 1.0),
    unit("sqmm", Kind::Area, 1.0),
    unit("qmm", Kind::Area, 1.0),
    unit("°c", Kind::Temperature, 1.0),
    unit("c", Kind::Temperature, 1.0),
    unit("degc", Kind::Temperature, 1.0),
    unit("celsiu", Kind::Temperature, 1.0),
    fahrenheit("°f"),
    fahrenheit("f"),
    unit("ah", Kind::Charge, 1.0),
    unit("a·h", Kind::Charge, 1.0),
    unit("mah", Kind::Charge, 1e-3),
    unit("lm", Kind::Light, 1.0),
    unit("lumen", Kind::Light, 1.0),
    unit("awg", Kind::WireSize, 1.0),
    unit("sae", Kind::WireSize, 1.0),
    unit("ga", Kind::WireSize, 1.0),
    unit("gauge", Kind::WireSize, 1.0),
];

/// The unit written as `text`, if it is one.
pub(super) fn find(text: &str) -> Option<&'static Unit> {
    let compact: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    // Both code points of the ohm sign lower to the same letter; a plural s and a full stop go.
    let plain = compact.to_lowercase();
    // A capital M before an ohm sign is the one place where a capital changes the meaning.
    if compact.starts_with('M') && matches!(plain.as_str(), "mω" | "mohm" | "mohms") {
        return UNITS.iter().find(|unit| unit.spelling == "megohm");
    }
    let stem = plain.strip_suffix('.').unwrap_or(&plain);
    let stem = if stem.chars().count() > 2 {
        stem.strip_suffix('s').unwrap_or(stem)
    } else {
        stem
    };
    UNITS.iter().find(|unit| unit.spelling == stem)
}

//! Branch laws: current, slope and co-content of each kind of two-terminal element.
//!
//! For a voltage u from the `from` node to the `to` node a law gives the current i(u), its slope di/du ≥ 0
//! and its co-content ∫₀ᵘ i dv, all in closed form, odd or even as the physics asks and free of overflow
//! for any u. Values that are no physical law (a resistance of zero or less, NaN) are clamped to the
//! nearest one by the constructors, so that the network stays solvable; `findings` names them.

use super::limited::Limited;
use super::omega::wright_omega;

/// Smallest resistance used, in ohms. At 48 V the rounding of a voltage then moves a current by no more than
/// 1 nA, the bound on Kirchhoff's residual. A perfect joint is one node instead.
pub const MIN_OHMS: f64 = 1e-5;
/// Largest resistance used, in ohms.
pub const MAX_OHMS: f64 = 1e12;

/// A two-terminal law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Element {
    /// No branch at all: an open contact.
    Absent,
    /// i = g·u.
    Conductor {
        /// Conductance in siemens.
        siemens: f64,
    },
    /// Source of `emf` volts (its positive pole at `from`) behind a resistance: i = g·(u − emf).
    Source {
        /// Open-circuit volts.
        emf: f64,
        /// Reciprocal of the internal resistance.
        siemens: f64,
    },
    /// Rectifying source that gives no more than its rated current.
    Limited(Limited),
    /// Tungsten filament.
    Filament(Filament),
    /// PN or Schottky junction, or a string of LEDs, with series resistance.
    Junction(Junction),
    /// Electronically regulated LED circuit.
    Regulated(Regulated),
}

/// Tungsten filament: i = g·u·((u/Vn)² + δ²)^−0.225.
///
/// Near rating this is the re-rating law I ∝ V^0.55 (Fink & Beaty, Standard Handbook for Electrical
/// Engineers, 11th ed., p. 22-8). Towards 0 V it bends smoothly into the cold resistance, δ being chosen
/// so that the conductance at 0 V is `cold` times the one at rating. It is odd, analytic and rising.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Filament {
    rated_volts: f64,
    siemens: f64,
    delta2: f64,
}

/// Half of 1 − 0.55, the exponent of the current law.
const FILAMENT_EXPONENT: f64 = 0.225;

/// Junction with series resistance R and leakage g: u = nVt·ln(i/Is + 1) + R·i, plus g·u beside it.
///
/// Solved for i by the Wright omega function, so no exponential can overflow: far above the knee the
/// current grows as u/R.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Junction {
    saturation_amps: f64,
    thermal_volts: f64,
    ohms: f64,
    leak_siemens: f64,
    /// ln(Is·R/nVt) + Is·R/nVt, constant of the omega form.
    offset: f64,
}

/// Regulated LED circuit: nothing below `start`, constant current above `full`, a smooth rise between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulated {
    amps: f64,
    start: f64,
    full: f64,
    leak_siemens: f64,
}

pub(super) fn positive(value: f64, low: f64, high: f64) -> f64 {
    if value.is_nan() {
        low
    } else {
        value.clamp(low, high)
    }
}

/// A voltage that is a number, within what any network is solved for.
pub(super) fn bounded(volts: f64) -> f64 {
    if volts.is_finite() {
        volts.clamp(-1e6, 1e6)
    } else {
        0.0
    }
}

impl Element {
    /// A resistance of `ohms`.
    pub fn resistor(ohms: f64) -> Self {
        Element::Conductor {
            siemens: 1.0 / positive(ohms, MIN_OHMS, MAX_OHMS),
        }
    }

    /// A source of `emf` volts behind `ohms`.
    pub fn source(emf: f64, ohms: f64) -> Self {
        Element::Source {
            emf: bounded(emf),
            siemens: 1.0 / positive(ohms, MIN_OHMS, MAX_OHMS),
        }
    }

    /// A source of `emf` volts behind `ohms` that gives at most `amps` and takes only leakage.
    pub fn limited(emf: f64, ohms: f64, amps: f64, leak_siemens: f64) -> Self {
        Element::Limited(Limited::new(emf, ohms, amps, leak_siemens))
    }

    /// A filament rated `amps` at `volts`, `cold` times as conductive at 0 V (12 to 15 for tungsten).
    pub fn filament(volts: f64, amps: f64, cold: f64) -> Self {
        let volts = positive(volts, 1e-3, 1e6);
        let amps = positive(amps, 1e-9, 1e6);
        let cold = positive(cold, 1.001, 1e3);
        // k = ((1 + δ²)/δ²)^0.225 makes the ratio of the two conductances exactly `cold`.
        let k = libm::pow(cold, 1.0 / FILAMENT_EXPONENT);
        let delta2 = 1.0 / (k - 1.0);
        let siemens = amps / volts * libm::pow(1.0 + delta2, FILAMENT_EXPONENT);
        Element::Filament(Filament {
            rated_volts: volts,
            siemens,
            delta2,
        })
    }

    /// A junction: saturation current, emission coefficient × thermal voltage, series resistance, leakage.
    pub fn junction(
        saturation_amps: f64,
        thermal_volts: f64,
        ohms: f64,
        leak_siemens: f64,
    ) -> Self {
        let is = positive(saturation_amps, 1e-40, 1.0);
        let vt = positive(thermal_volts, 1e-3, 1e3);
        let ohms = positive(ohms, MIN_OHMS, MAX_OHMS);
        let x = is * ohms / vt;
        Element::Junction(Junction {
            saturation_amps: is,
            thermal_volts: vt,
            ohms,
            leak_siemens: positive(leak_siemens, 1e-12, 1.0),
            offset: libm::log(x) + x,
        })
    }

    /// A string of LEDs with a series resistor: `amps` at `volts`, of which `knee` volts fall on the string.
    ///
    /// `string_volts` is the emission voltage of the whole string, which sets how sharp the knee is.
    pub fn led_string(
        volts: f64,
        amps: f64,
        knee: f64,
        string_volts: f64,
        leak_siemens: f64,
    ) -> Self {
        let volts = positive(volts, 1e-3, 1e6);
        let amps = positive(amps, 1e-9, 1e6);
        let vt = positive(string_volts, 1e-3, 1e3);
        let knee = positive(knee, 1e-6, 0.999 * volts);
        let ohms = (volts - knee) / amps;
        // i(volts) = amps: Is = amps/(exp(knee/nVt) − 1).
        Element::junction(
            amps / libm::expm1((knee / vt).min(600.0)),
            vt,
            ohms,
            leak_siemens,
        )
    }

    /// A regulated circuit: dark up to `start` volts, `amps` from `full` volts on.
    pub fn regulated(amps: f64, start: f64, full: f64, leak_siemens: f64) -> Self {
        let start = positive(start, 0.0, 1e6);
        Element::Regulated(Regulated {
            amps: positive(amps, 1e-9, 1e6),
            start,
            full: positive(full, start + 0.1, 2e6),
            leak_siemens: positive(leak_siemens, 1e-12, 1.0),
        })
    }

    /// Whether there is a branch at all.
    pub fn is_present(&self) -> bool {
        !matches!(self, Element::Absent)
    }

    /// Volts without load of a source; `None` for what is none.
    pub fn open_volts(&self) -> Option<f64> {
        match self {
            Element::Source { emf, .. } => Some(*emf),
            Element::Limited(source) => Some(source.emf()),
            _ => None,
        }
    }

    /// Current in amperes and its slope in siemens at `u` volts.
    pub fn current(&self, u: f64) -> (f64, f64) {
        match self {
            Element::Absent => (0.0, 0.0),
            Element::Conductor { siemens } => (siemens * u, *siemens),
            Element::Source { emf, siemens } => (siemens * (u - emf), *siemens),
            Element::Limited(source) => source.current(u),
            Element::Filament(f) => {
                let x = u / f.rated_volts;
                let x2 = x * x;
                let y = x2 + f.delta2;
                // A power by way of the logarithm, in two thirds of the time: y lies between δ² ≈ 1e-5 and a little
                // over 1, so that no more than two bits are lost.
                let g = f.siemens * libm::exp(-FILAMENT_EXPONENT * libm::log(y));
                (g * u, g * (1.0 - 2.0 * FILAMENT_EXPONENT * x2 / y))
            }
            Element::Junction(j) => {
                let w = wright_omega(j.offset + u / j.thermal_volts);
                let i = j.thermal_volts / j.ohms * w - j.saturation_amps;
                (
                    i + j.leak_siemens * u,
                    w / ((1.0 + w) * j.ohms) + j.leak_siemens,
                )
            }
            Element::Regulated(r) => {
                let width = r.full - r.start;
                let t = ((u - r.start) / width).clamp(0.0, 1.0);
                let i = r.amps * t * t * (3.0 - 2.0 * t);
                let g = r.amps * 6.0 * t * (1.0 - t) / width;
                (i + r.leak_siemens * u, g + r.leak_siemens)
            }
        }
    }

    /// Co-content ∫₀ᵘ i dv in watts, up to a constant of the element.
    pub fn co_content(&self, u: f64) -> f64 {
        match self {
            Element::Absent => 0.0,
            Element::Conductor { siemens } => 0.5 * siemens * u * u,
            Element::Source { emf, siemens } => 0.5 * siemens * (u - emf) * (u - emf),
            Element::Limited(source) => source.co_content(u),
            Element::Filament(f) => {
                let x = u / f.rated_volts;
                let p = 1.0 - FILAMENT_EXPONENT;
                let at = |y: f64| libm::pow(y, p);
                f.siemens * f.rated_volts * f.rated_volts / (2.0 * p)
                    * (at(x * x + f.delta2) - at(f.delta2))
            }
            Element::Junction(j) => {
                let i = j.thermal_volts / j.ohms * wright_omega(j.offset + u / j.thermal_volts)
                    - j.saturation_amps;
                // With u = nVt·ln(1 + i/Is) + R·i: ∫ i du = nVt·(i − Is·ln(1 + i/Is)) + R·i²/2.
                let ln = (u - j.ohms * i) / j.thermal_volts;
                j.thermal_volts * (i - j.saturation_amps * ln)
                    + 0.5 * j.ohms * i * i
                    + 0.5 * j.leak_siemens * u * u
            }
            Element::Regulated(r) => {
                let width = r.full - r.start;
                let s = (u - r.start) / width;
                let t = s.clamp(0.0, 1.0);
                let ramp = t * t * t * (1.0 - 0.5 * t) + (s - 1.0).max(0.0);
                r.amps * width * ramp + 0.5 * r.leak_siemens * u * u
            }
        }
    }
}

impl Junction {
    /// Emission coefficient × thermal voltage, in volts: over this the current grows e-fold.
    pub fn thermal_volts(&self) -> f64 {
        self.thermal_volts
    }

    /// Leakage at `u` volts, in amperes.
    pub fn leak_amps(&self, u: f64) -> f64 {
        self.leak_siemens * u
    }

    /// Volts at which the junction carries `amps` besides its leakage, if they run forward; else those of `near` that
    /// are below zero.
    pub fn volts_at(&self, amps: f64, near: f64) -> f64 {
        if amps > 0.0 {
            self.thermal_volts * libm::log1p(amps / self.saturation_amps) + self.ohms * amps
        } else {
            near.min(0.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn samples() -> Vec<Element> {
        vec![
            Element::resistor(4.7),
            Element::source(12.6, 0.01),
            Element::limited(14.42, 0.04, 10.0, 1e-7),
            Element::limited(-3.0, 2.0, 0.5, 1e-6),
            Element::filament(12.8, 2.1, 13.5),
            Element::filament(28.0, 0.1, 12.0),
            Element::junction(76.9e-9, 1.45 * 0.02585, 0.0422, 1e-8),
            Element::junction(18.8e-9, 2.0 * 0.02585, 0.0, 1e-8),
            Element::led_string(13.5, 0.35, 8.0, 0.2, 1e-7),
            Element::regulated(0.3, 6.0, 9.0, 1e-6),
        ]
    }

    /// Slope is the derivative of the current and current that of the co-content, by central differences.
    #[test]
    fn slope_and_co_content_belong_to_the_current() {
        for element in samples() {
            for step in -120..=160 {
                let u = f64::from(step) * 0.1 + 0.003;
                let h = 1e-5;
                let (i, g) = element.current(u);
                let di = (element.current(u + h).0 - element.current(u - h).0) / (2.0 * h);
                assert!(
                    (di - g).abs() <= 1e-3 * g.abs() + 1e-6,
                    "{element:?} at {u}: {di} and {g}"
                );
                let dc = (element.co_content(u + h) - element.co_content(u - h)) / (2.0 * h);
                assert!(
                    (dc - i).abs() <= 1e-4 * i.abs() + 1e-5,
                    "{element:?} at {u}: {dc} and {i}"
                );
                assert!(g > 0.0, "{element:?} falls at {u}");
            }
        }
    }

    /// Where a junction carries a current forward, its law gives that current.
    #[test]
    fn volts_of_a_current_are_where_the_law_has_it() {
        for element in samples() {
            let Element::Junction(junction) = element else {
                continue;
            };
            for power in -12..3 {
                let amps = libm::pow(10.0, f64::from(power));
                let volts = junction.volts_at(amps, 0.0);
                let found = element.current(volts).0 - junction.leak_amps(volts);
                assert!(
                    (found - amps).abs() <= 1e-9 * amps + 1e-18,
                    "{amps}: {found}"
                );
            }
            assert_eq!(junction.volts_at(-1.0, 0.3), 0.0);
            assert_eq!(junction.volts_at(0.0, -4.0), -4.0);
        }
    }

    /// Co-content is counted from where no current flows: at no volts for a load, at its emf for a source.
    #[test]
    fn co_content_is_zero_without_current() {
        for element in samples() {
            let rest = match element {
                Element::Source { emf, .. } => emf,
                Element::Limited(source) => source.emf(),
                _ => 0.0,
            };
            let (at_rest, beside) = (element.co_content(rest), element.co_content(rest + 0.5));
            assert!(
                at_rest.abs() <= 1e-9 * beside,
                "{element:?}: {at_rest} and {beside}"
            );
        }
    }

    /// Any number as a rating or voltage gives a finite law.
    #[test]
    fn laws_are_finite_for_any_number() {
        let wild = [0.0, -1.0, 1e308, -1e308, 1e-308, f64::NAN, f64::INFINITY];
        for a in wild {
            for b in wild {
                for element in [
                    Element::resistor(a),
                    Element::source(a, b),
                    Element::limited(a, b, a, b),
                    Element::filament(a, b, a),
                    Element::junction(a, b, a, b),
                    Element::led_string(a, b, a, b, a),
                    Element::regulated(a, b, a, b),
                ] {
                    for u in [-1e4, -1.0, 0.0, 1e-9, 1.0, 1e4] {
                        let (i, g) = element.current(u);
                        assert!(
                            i.is_finite() && g.is_finite() && g > 0.0,
                            "{element:?} at {u}"
                        );
                    }
                }
            }
        }
    }

    /// Between rating and 80 % of it the exponent of the current is 0.55; cold it conducts 13.5 times better.
    #[test]
    fn filament_follows_the_rerating_law_and_the_cold_resistance() {
        let lamp = Element::filament(12.8, 2.1, 13.5);
        let (i, _) = lamp.current(12.8);
        assert!((i - 2.1).abs() < 1e-12);
        let slope = libm::log(lamp.current(12.8).0 / lamp.current(10.24).0) / libm::log(1.25);
        assert!((slope - 0.55).abs() < 1e-4, "{slope}");
        let (_, cold) = lamp.current(0.0);
        assert!((cold / (2.1 / 12.8) - 13.5).abs() < 1e-9);
        assert_eq!(lamp.current(-7.0).0, -lamp.current(7.0).0);
    }

    /// An LED string passes its rated point and next to nothing in reverse.
    #[test]
    fn led_string_passes_its_rating() {
        let led = Element::led_string(13.5, 0.35, 8.0, 0.2, 1e-9);
        assert!((led.current(13.5).0 - 0.35).abs() < 1e-7);
        assert!(led.current(-13.5).0.abs() < 1e-7);
        assert!(led.current(6.0).0 < 0.01);
    }
}

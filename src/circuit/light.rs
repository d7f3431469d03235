//! Light of a lamp circuit from its volts and amperes.
//!
//! Flux of a filament goes with the 3.4th power of volts over rated volts (re-rating law, valid from about
//! 0.8 to 1.2 of rating; below, a real filament gives even less, so a ghost light is never missed). Flux of
//! an LED goes with its current.

use crate::catalog::lamp;

/// How the light of a lamp circuit follows from its operating point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LightLaw {
    /// Flux as a power of volts over rated volts.
    Filament {
        /// Rated volts.
        volts: f64,
    },
    /// Flux in proportion to current over rated current.
    Led {
        /// Rated amperes.
        amps: f64,
    },
}

impl LightLaw {
    /// Light as a share of rated light.
    pub fn level(self, volts: f64, amps: f64) -> f64 {
        match self {
            LightLaw::Filament { volts: rated } => {
                libm::pow((volts / rated).abs(), lamp::FLUX_EXPONENT)
            }
            LightLaw::Led { amps: rated } => (amps / rated).max(0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No. 1156: 32 cd at 12.8 V; 16.32 cd at 10.5 V and 48.90 cd at 14.5 V by the published exponent 3.4.
    #[test]
    fn light_follows_the_published_exponent() {
        let law = LightLaw::Filament { volts: 12.8 };
        for (volts, candela) in [(10.5, 16.32), (12.0, 25.70), (13.5, 38.35), (14.5, 48.90)] {
            assert!(
                (32.0 * law.level(volts, 0.0) - candela).abs() < 0.01,
                "{volts} V"
            );
        }
    }
}

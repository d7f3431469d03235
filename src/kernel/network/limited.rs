//! The law of chargers and converters: a regulated source behind a rectifier, with a limit.

use super::Element;
use super::element::{MAX_OHMS, MIN_OHMS, bounded, positive};

/// Regulated source behind a rectifier: volts behind a resistance up to the rated current, that current and no
/// more below, and no current back above.
///
/// With x = u − emf: i = g·x held within −I … 0, plus leakage gl·x, which also keeps the slope above zero. Without
/// load it stands at its emf exactly. The law is piecewise linear: volts and amps of a regulated supply as
/// "constant voltage, constant current" draws them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limited {
    emf: f64,
    siemens: f64,
    amps: f64,
    leak_siemens: f64,
}

/// The straight pieces of the law of a limited source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Piece {
    /// Above its emf: leakage only.
    Off,
    /// A plain source.
    Source,
    /// At its limit: a source of current.
    Limit,
}

impl Limited {
    /// `emf` volts behind `ohms`, at most `amps`, `leak_siemens` of leakage.
    pub fn new(emf: f64, ohms: f64, amps: f64, leak_siemens: f64) -> Self {
        Self {
            emf: bounded(emf),
            siemens: 1.0 / positive(ohms, MIN_OHMS, MAX_OHMS),
            amps: positive(amps, 1e-9, 1e6),
            leak_siemens: positive(leak_siemens, 1e-12, 1.0),
        }
    }

    /// Volts without load.
    pub fn emf(&self) -> f64 {
        self.emf
    }

    /// Current in amperes and its slope in siemens at `u` volts.
    pub fn current(&self, u: f64) -> (f64, f64) {
        let x = u - self.emf;
        let (leak, i) = (self.leak_siemens * x, self.siemens * x);
        if i > 0.0 {
            (leak, self.leak_siemens)
        } else if i < -self.amps {
            (leak - self.amps, self.leak_siemens)
        } else {
            (leak + i, self.leak_siemens + self.siemens)
        }
    }

    /// Co-content in watts, from the emf on.
    pub fn co_content(&self, u: f64) -> f64 {
        let x = u - self.emf;
        // The part of x over which the current changes, and the part beyond the limit.
        let ramp = x.clamp(-self.amps / self.siemens, 0.0);
        let beyond = (x - ramp).min(0.0);
        0.5 * self.siemens * ramp * ramp - self.amps * beyond + 0.5 * self.leak_siemens * x * x
    }

    /// A piece of the law drawn out to all voltages.
    pub fn piece(&self, piece: Piece) -> Element {
        let (emf, siemens) = match piece {
            Piece::Off => (self.emf, self.leak_siemens),
            Piece::Source => (self.emf, self.siemens + self.leak_siemens),
            Piece::Limit => (self.emf + self.amps / self.leak_siemens, self.leak_siemens),
        };
        Element::Source { emf, siemens }
    }

    /// The piece itself, if `u` volts lie on it, else the one next to it. A flat piece may be left by `slack` volts: the
    /// current hardly changes; on the steep one as many would be a current that does not flow.
    pub fn next(&self, piece: Piece, u: f64, slack: f64) -> Piece {
        let x = u - self.emf;
        let limit = -self.amps / self.siemens;
        match piece {
            Piece::Off if x < -slack => Piece::Source,
            Piece::Limit if x > limit + slack => Piece::Source,
            Piece::Source if x > 0.0 => Piece::Off,
            Piece::Source if x < limit => Piece::Limit,
            fits => fits,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 14.4 V behind 50 mΩ and at most 10 A: half current at 14.15 V, the limit from 13.9 V down to a dead short,
    /// and nothing but leakage into it from a battery at 15 V.
    #[test]
    fn limited_source_keeps_to_its_limit_and_takes_nothing_back() {
        let source = Element::limited(14.4, 0.05, 10.0, 1e-7);
        assert!((source.current(14.15).0 + 5.0).abs() < 1e-6);
        for volts in [13.9, 12.0, 0.0] {
            assert!((source.current(volts).0 + 10.0).abs() < 2e-6, "{volts}");
        }
        assert_eq!(source.current(14.4).0, 0.0);
        // Each piece is the law itself where it lies, and hands over to the next beyond.
        let Element::Limited(law) = source else {
            panic!("{source:?}")
        };
        for (piece, inside, beyond, next) in [
            (Piece::Off, 14.5, 14.3, Piece::Source),
            (Piece::Source, 14.2, 14.5, Piece::Off),
            (Piece::Source, 14.2, 13.8, Piece::Limit),
            (Piece::Limit, 13.0, 14.0, Piece::Source),
        ] {
            let (i, _) = law.piece(piece).current(inside);
            assert!((i - source.current(inside).0).abs() < 1e-9, "{piece:?}");
            assert_eq!(law.next(piece, inside, 1e-9), piece);
            assert_eq!(law.next(piece, beyond, 1e-9), next);
        }
        assert!((0.0..1e-7).contains(&source.current(15.0).0));
    }
}

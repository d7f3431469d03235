//! Limited sources, piece by piece: each is held on one straight piece of its law while the network is solved, and
//! moved to the next where it turns out to lie beyond the end of its piece.
//!
//! Newton's method would zigzag about corners where the slope changes a billionfold. Held to pieces, a limited
//! source is a plain source, and which piece each lies on is a complementarity problem. All that do not fit are
//! moved at once; if that has not settled, one at a time and always the first, which cannot return to where it was
//! (Murty 1974; Habetler and Kostreva 1978 where the rest is not linear).

use super::{OperatingPoint, Solver};
use crate::network::Piece;

/// Rounds in which all sources that do not fit move at once.
const TOGETHER: usize = 12;
/// Rounds after which a solve is given up.
const MAX_ROUNDS: usize = 400;
/// A source may lie this many volts beyond the end of a flat piece: twice what Newton leaves.
const SLACK_VOLTS: f64 = 1e-9;

impl Solver {
    /// Solves the rows chosen, whatever sources there are.
    pub(super) fn solve_pieces(&mut self, point: &mut OperatingPoint) {
        if self.limited.is_empty() {
            self.gather();
            self.newton(point);
            return;
        }
        let limited = core::mem::take(&mut self.limited);
        let mut now = vec![Piece::Source; limited.len()];
        let mut iterations = 0;
        let mut settled = false;
        for round in 0..MAX_ROUNDS {
            for (&(run, source), &piece) in limited.iter().zip(&now) {
                self.elements[run] = source.piece(piece);
            }
            self.gather();
            self.newton(point);
            iterations += point.iterations;
            point.iterations = iterations;
            // Two limits that contradict each other give millions of volts, at which rounding alone exceeds the
            // residual bound. They still tell which way to go.
            if point.converged {
                self.remember_drops();
            }
            let mut moved = false;
            for (&(run, source), piece) in limited.iter().zip(&mut now) {
                let place = self.places[run];
                let volts = self.volts[place.from as usize] - self.volts[place.to as usize];
                let next = source.next(*piece, volts, SLACK_VOLTS);
                if next != *piece {
                    *piece = next;
                    moved = true;
                    if round >= TOGETHER {
                        break;
                    }
                }
            }
            if !moved {
                settled = true;
                break;
            }
        }
        point.converged &= settled;
        self.limited = limited;
    }
}

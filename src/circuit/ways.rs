//! What a diode in a wire would make of it, as branches that lie open beside the wire until they are tried.

use super::lower::DEFAULT_DIODE;
use super::{Circuit, Gate, Lowered};
use crate::catalog::diode;
use crate::network::Element;

impl Circuit {
    /// Adds to a wire (by branch) what diodes of a catalogue type would make of it, all open: leading from its supply
    /// end to its load end, back, and, with two against each other, neither way. The wire's resistance lies in series.
    ///
    /// Returns the branches in that order, the wire itself first. A way keeps the wire's origin, but one that leads back
    /// starts at the load end, so that a current along it counts positive.
    pub fn add_ways(&mut self, wire: usize, model: &str) -> [usize; 4] {
        let known = diode::find(model).or_else(|| diode::find(DEFAULT_DIODE));
        let (Some(&plain), Some(row)) = (self.branches.get(wire), known) else {
            return [wire; 4];
        };
        let ohms = match plain.element {
            Element::Conductor { siemens } => 1.0 / siemens,
            _ => 0.0,
        };
        let leak = row.leakage_siemens();
        let thermal = row.n * diode::VT_VOLTS;
        let one_way = Element::junction(row.is_amps, thermal, row.rs_ohms + ohms, leak);
        let first = self.branches.len();
        for (from, to, element) in [
            (plain.from, plain.to, one_way),
            (plain.to, plain.from, one_way),
            (plain.from, plain.to, Element::resistor(1.0 / leak)),
        ] {
            self.branches.push(Lowered {
                from,
                to,
                element,
                gate: Gate::Never,
                origin: plain.origin,
            });
        }
        [wire, first, first + 1, first + 2]
    }
}

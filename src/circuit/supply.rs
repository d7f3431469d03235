//! Chargers and converters: regulated sources with a current limit, lowered to branches.

use super::lower::{JOINT_OHMS, Lowering};
use super::{Gate, Origin, Problem, RelayCoil};
use crate::network::Element;
use crate::plan::{Charger, Converter, Part};
use crate::text::mark;
use crate::units::{Amps, Milliohms, Volts};

/// Leakage of an output in siemens: 1.4 µA from a battery at 14 V, common practice.
const OUTPUT_LEAK: f64 = 1e-7;
/// What the under-voltage circuit of a converter takes at its input, in ohms, common practice.
const SENSE_OHMS: f64 = 1e6;
/// Insulation between the two sides of a converter in ohms, so that neither floats.
const ISOLATION_OHMS: f64 = 1e7;
/// Share of its starting voltage at which a converter stops, common practice: 5 to 10 % of hysteresis.
const STOPS_AT: f64 = 0.9;

impl Lowering<'_> {
    /// A charger: one source, gated as a switch contact is.
    pub fn charger(&mut self, index: usize, part: &Part, charger: &Charger) {
        let (plus, minus) = (self.terminal(part, "+"), self.terminal(part, "-"));
        self.charger = self.charger.or(Some(minus));
        let element = self.output(
            part,
            charger.output_v,
            charger.internal_mohm,
            charger.rated_a,
        );
        let gate = match &charger.runs {
            None => Gate::Always,
            Some(runs) => self.contact_gate(part, &runs.control, &runs.positions),
        };
        let origin = Origin::Part {
            part: index,
            branch: 0,
        };
        self.branch(plus, minus, element, gate, origin);
    }

    /// A converter: a measuring branch that stands for its coil, and three that follow it or lie still.
    pub fn converter(&mut self, index: usize, part: &Part, converter: &Converter) {
        let [in_plus, in_minus, out_plus, out_minus] =
            ["in+", "in-", "out+", "out-"].map(|name| self.terminal(part, name));
        let volts = self.above_zero(part, converter.input_v.get(), mark!("input voltage"));
        let starts = self.above_zero(part, converter.starts_v.get(), mark!("starting voltage"));
        let share = converter.efficiency.get();
        if !(share > 0.0 && share <= 1.0) {
            self.problem(Problem::BadRating {
                subject: part.id.to_string(),
                rating: mark!("efficiency, which must be above 0 and not above 1"),
            });
        }
        let output = self.output(
            part,
            converter.output_v,
            converter.internal_mohm,
            converter.rated_a,
        );
        let watts = converter.output_v.get() * converter.rated_a.get() / share.clamp(0.01, 1.0);
        let input = Element::resistor(volts.max(1e-3) * volts.max(1e-3) / watts.max(1e-9));

        let works = Gate::Relay {
            relay: self.out.relays.len(),
            pulled: true,
        };
        self.out.relays.push(RelayCoil {
            part: index,
            branch: self.out.branches.len(),
            pull_in: starts,
            drop_out: STOPS_AT * starts,
            either_way: false,
        });
        let branches = [
            (
                in_plus,
                in_minus,
                Element::resistor(SENSE_OHMS),
                Gate::Always,
            ),
            (in_plus, in_minus, input, works),
            (out_plus, out_minus, output, works),
            (
                in_minus,
                out_minus,
                Element::resistor(ISOLATION_OHMS),
                Gate::Always,
            ),
        ];
        for (branch, (from, to, element, gate)) in branches.into_iter().enumerate() {
            let origin = Origin::Part {
                part: index,
                branch,
            };
            self.branch(from, to, element, gate, origin);
        }
    }

    fn output(&mut self, part: &Part, volts: Volts, internal: Milliohms, limit: Amps) -> Element {
        let volts = self.above_zero(part, volts.get(), mark!("output voltage"));
        let amps = self.above_zero(part, limit.get(), mark!("rated current"));
        if internal.get() < 0.0 {
            self.problem(Problem::BadRating {
                subject: part.id.to_string(),
                rating: mark!("internal resistance below zero"),
            });
        }
        Element::limited(volts, internal.ohms().max(JOINT_OHMS), amps, OUTPUT_LEAK)
    }
}

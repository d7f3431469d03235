//! Single faults as changes of the lowered network.

use super::{Circuit, Gate, Origin};
use crate::network::Element;
use crate::plan::{PartId, Plan, WireId};

/// What a fault sits on.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Subject {
    /// A wire.
    Wire(WireId),
    /// All inner branches of a part.
    Part(PartId),
}

/// A defect of one wire or part.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// Broken, loose or blown: no current.
    Open(Subject),
    /// Bridged by next to no resistance; switches and relays are welded in every position.
    Short(Subject),
    /// Corroded: so many ohms more. Only for branches that are resistances.
    Ohms(Subject, f64),
}

/// Resistance of a bridged branch in ohms.
const SHORT_OHMS: f64 = 1e-3;

impl Circuit {
    /// Works `faults` into the lowered branches; a subject the plan does not have changes nothing.
    pub(super) fn apply_faults(&mut self, plan: &Plan, faults: &[Fault]) {
        for fault in faults {
            let (Fault::Open(subject) | Fault::Short(subject) | Fault::Ohms(subject, _)) = fault;
            for branch in &mut self.branches {
                let hit = match (subject, branch.origin) {
                    (Subject::Wire(id), Origin::Wire(i)) => {
                        plan.wires.get(i).is_some_and(|wire| wire.id == *id)
                    }
                    (Subject::Part(id), Origin::Part { part, .. }) => {
                        plan.parts.get(part).is_some_and(|part| part.id == *id)
                    }
                    _ => false,
                };
                if !hit {
                    continue;
                }
                match fault {
                    Fault::Open(_) => branch.gate = Gate::Never,
                    Fault::Short(_) => {
                        branch.gate = Gate::Always;
                        branch.element = Element::resistor(SHORT_OHMS);
                    }
                    Fault::Ohms(_, more) => {
                        if let Element::Conductor { siemens } = branch.element {
                            branch.element = Element::resistor(1.0 / siemens + more.max(0.0));
                        }
                    }
                }
            }
        }
    }
}

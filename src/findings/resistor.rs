//! Heat of resistors against their rating.

use super::{Check, Evidence, Finding, Severity, remedy, row_words};
use crate::plan::{Kind, Resistor};
use crate::text::{mark, say};
use crate::units::Watts;

pub(super) const CHECK: Check = Check {
    name: mark!("resistor heat"),
    what: mark!("No resistor turns more power into heat than it is made for."),
    run,
};

const SOURCE: &str = mark!("P = I²·R; common practice: half of the rating where air is still");
/// Share of the rating that a resistor bears in still air.
const STILL_AIR: f64 = 0.5;
/// Ratings that resistors are made in, in watts.
const RATINGS: [f64; 10] = [0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0, 50.0, 100.0, 200.0];

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        let (Kind::Resistor(resistor), Some(load)) = (&part.kind, evidence.loads.part(i).next())
        else {
            continue;
        };
        let amps = load.worst_heat();
        let watts = amps * amps * resistor.ohms.get();
        let rated = resistor.rating_w.get();
        let (severity, limit, words) = if watts > rated {
            (Severity::Fault, rated, say!("it burns"))
        } else if watts > STILL_AIR * rated {
            (
                Severity::Caution,
                STILL_AIR * rated,
                say!("it gets very hot"),
            )
        } else {
            continue;
        };
        let text = say!(
            "{} turns {} into heat with {}: {words}. Mount it on metal, away from wires and plastics.",
            part.id,
            Watts::of(watts),
            row_words(evidence, load.heat.row),
        );
        let larger = RATINGS.into_iter().find(|w| STILL_AIR * w >= watts);
        let cure = larger.and_then(|watts| {
            let rating_w = Watts::of(watts);
            let kind = Kind::Resistor(Resistor {
                rating_w,
                ..resistor.clone()
            });
            remedy::part(plan, i, say!("Take a resistor of {rating_w}"), kind)
        });
        out.push(
            Finding::new(&CHECK, severity, vec![part.id.to_string()], text, SOURCE)
                .measured(Watts::of(watts).to_string(), Watts::of(limit).to_string())
                .cured_by([cure]),
        );
    }
}

//! Flashers beyond the planned battery: low and charging, one lamp out, and the rate the law asks for.

use super::{Check, Evidence, Finding, Remedy, Severity, remedy, row_words};
use crate::catalog::flasher::USUAL_PER_MINUTE;
use crate::plan::{Flasher, FlasherAction, Kind, Rules};
use crate::text::{mark, say};
use crate::units::{Amps, plain};

pub(super) const CHECK: Check = Check {
    name: mark!("flasher window"),
    what: mark!(
        "A flasher keeps its rate with a low and a charging battery, shows a lamp that is out, and flashes 60 to 120 times a minute."
    ),
    run,
};

const TYPES: &str =
    mark!("fixed-load behaviour of flashers (from memory); doubling of the rate seen");
const RATE: &str = mark!("60 to 120 per minute: SAE J945, UN R48, MOT manual");

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    for (i, part) in plan.parts.iter().enumerate() {
        if let Kind::Flasher(flasher) = &part.kind {
            rate(evidence, i, flasher, out);
        }
    }
    for load in &evidence.loads.flashers {
        let Some(part) = plan.parts.get(load.part) else {
            continue;
        };
        let Kind::Flasher(flasher) = &part.kind else {
            continue;
        };
        let (id, min, max) = (&part.id, flasher.min_a.get(), flasher.max_a.get());
        let thermal = flasher.action == FlasherAction::Thermal;
        let about = || vec![id.to_string()];
        // Outside the window with the battery as planned is the matter of another check.
        if load.least.value >= min && load.least_low < min {
            let amps = Amps::of(load.least_low);
            let state = row_words(evidence, load.least.row);
            let least = flasher.min_a;
            let text = if thermal {
                say!(
                    "With a low battery {id} carries {amps} with {state}, below its {least}: it stays closed and the \
                     lamps burn steadily."
                )
            } else {
                say!(
                    "With a low battery {id} carries {amps} with {state}, below its {least}: it flashes at twice the \
                     rate as if a lamp were out."
                )
            };
            let lower = 0.9 * load.least_low;
            out.push(
                Finding::new(&CHECK, Severity::Caution, about(), text, TYPES)
                    .measured(
                        Amps::of(load.least_low).to_string(),
                        flasher.min_a.to_string(),
                    )
                    .cured_by([unit(evidence, load.part, flasher, lower, max)]),
            );
        }
        if load.most_charging.value > max && load.least.value <= max {
            let over = load.most_charging;
            let text = say!(
                "While the battery is charged {id} carries {} with {}, above its {}.",
                Amps::of(over.value),
                row_words(evidence, over.row),
                flasher.max_a,
            );
            out.push(
                Finding::new(&CHECK, Severity::Caution, about(), text, TYPES)
                    .measured(Amps::of(over.value).to_string(), flasher.max_a.to_string())
                    .cured_by([unit(evidence, load.part, flasher, min, 1.1 * over.value)]),
            );
        }
        if let Some((all, left)) = load.one_out.filter(|&(_, left)| left >= min) {
            let text = say!(
                "With one lamp out {id} still carries {} of {} with {}, inside its window: it keeps its rate and does not \
                 tell. Look at the lamps now and then.",
                Amps::of(left),
                Amps::of(all.value),
                row_words(evidence, all.row),
            );
            out.push(
                Finding::new(&CHECK, Severity::Note, about(), text, TYPES)
                    .measured(Amps::of(left).to_string(), flasher.min_a.to_string()),
            );
        }
    }
}

/// A unit of the same principle made for another window.
fn unit(
    evidence: &Evidence,
    index: usize,
    flasher: &Flasher,
    min: f64,
    max: f64,
) -> Option<Remedy> {
    let round = |value: f64| Amps::of(plain(value).parse().unwrap_or(value));
    let (min_a, max_a) = (round(min), round(max));
    let title = say!("Take a unit made for {min_a} to {max_a}");
    let kind = Kind::Flasher(Flasher {
        min_a,
        max_a,
        ..flasher.clone()
    });
    remedy::part(evidence.plan, index, title, kind)
}

fn rate(evidence: &Evidence, index: usize, flasher: &Flasher, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let (least, most) = USUAL_PER_MINUTE;
    let per_minute = f64::from(flasher.per_minute);
    if (least..=most).contains(&per_minute) {
        return;
    }
    let road = matches!(plan.settings.sizing.rules, Rules::UsRoad | Rules::UnRoad);
    let severity = if road {
        Severity::Fault
    } else {
        Severity::Caution
    };
    let id = &plan.parts[index].id;
    let text = say!("{id} flashes {per_minute} times a minute; every code asks for 60 to 120.");
    let kind = Kind::Flasher(Flasher {
        per_minute: 90,
        ..flasher.clone()
    });
    let unit = remedy::part(
        plan,
        index,
        say!("Take a unit for 90 per minute").into(),
        kind,
    );
    out.push(
        Finding::new(&CHECK, severity, vec![id.to_string()], text, RATE)
            .measured(
                say!("{per_minute} per minute"),
                say!("{least} to {most} per minute"),
            )
            .cured_by([unit]),
    );
}

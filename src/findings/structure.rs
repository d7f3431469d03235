//! Broken references, doubled names and impossible ratings.

use super::{Check, Evidence, Finding, Severity};
use crate::behaviour::Problem;
use crate::text::{self, mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("structure"),
    what: mark!(
        "Every wire ends on a terminal, every name is used once, every rating is possible."
    ),
    run,
};

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let table = evidence.table;
    for problem in &table.problems {
        let (about, text) = say(problem);
        let source = mark!("how a plan is read");
        out.push(Finding::new(&CHECK, Severity::Fault, about, text, source));
    }
}

fn say(problem: &Problem) -> (Vec<String>, String) {
    let one = |id: &dyn ToString| vec![id.to_string()];
    match problem {
        Problem::NoBattery => (
            Vec::new(),
            say!("The plan has no battery and no charger, so nothing can be lit: add one.").into(),
        ),
        Problem::PartTwice(id) => (
            one(id),
            say!("Two parts are called {id}; the second is left out: give it another name."),
        ),
        Problem::WireTwice(id) => (
            one(id),
            say!("Two wires are called {id}: give one another name."),
        ),
        Problem::ControlTwice(id) => (
            one(id),
            say!("Two controls are called {id}: give one another name."),
        ),
        Problem::LooseEnd { wire, terminal } => (
            vec![wire.to_string(), terminal.part.to_string()],
            say!("Wire {wire} should end on {terminal}, which does not exist: choose a terminal."),
        ),
        Problem::WireToItself(id) => (
            one(id),
            say!("Wire {id} starts and ends on the same terminal: choose another end."),
        ),
        Problem::UnknownSize { wire, size } => (
            one(wire),
            say!(
                "Wire {wire} has the size \"{size}\", which the tables do not have; \
                 1 mm² is used: choose a size."
            ),
        ),
        Problem::UnknownControl { part, control } => (
            vec![part.to_string(), control.to_string()],
            say!(
                "{part} is moved by {control}, which does not exist, so it stays off: choose a control."
            ),
        ),
        Problem::UnknownPosition {
            subject,
            control,
            position,
        } => (
            vec![subject.clone(), control.to_string()],
            say!("{subject} names the position \"{position}\", which {control} does not have."),
        ),
        Problem::Positions { control, count } => (
            one(control),
            say!("Control {control} has {count} positions: it needs 2 to 60."),
        ),
        Problem::UnknownDiode { part, model } => (
            one(part),
            say!(
                "Diode {part} is of type \"{model}\", which the tables do not have; \
                 1N4004 is used: choose a type."
            ),
        ),
        Problem::BadRating { subject, rating } => (
            vec![subject.clone()],
            say!(
                "{subject} has an impossible {}: correct it.",
                text::of(rating)
            ),
        ),
        Problem::NameTwice { part, name } => (
            one(part),
            say!("{part} uses the name {name} twice: give one another name."),
        ),
        Problem::UnknownLamp { wish, lamp } => (
            vec![wish.to_string(), lamp.to_string()],
            say!("Wish {wish} speaks of {lamp}, which does not exist: choose a lamp circuit."),
        ),
        Problem::WishUnknownControl { wish, control } => (
            vec![wish.to_string(), control.to_string()],
            say!(
                "Wish {wish} names the control {control}, which does not exist, so it never holds."
            ),
        ),
    }
}

//! Hints on lighting law where a jurisdiction is chosen: colours, turn before stop, hazard, slow vehicles.
//!
//! Hints, no verdicts: each names its edition and defers to the local code and its inspection.

use super::words::or;
use super::{Check, Evidence, Finding, Remedy, Severity, remedy};
use crate::behaviour::Verdict;
use crate::catalog::law;
use crate::plan::{Duty, Kind, LampCircuit, Light, Plan, Rules, Show};
use crate::text::{mark, say};

pub(super) const CHECK: Check = Check {
    name: mark!("lighting law"),
    what: mark!(
        "Hints on colours, turn before stop, hazard and slow vehicles for the chosen jurisdiction."
    ),
    run,
};

const US: &str = mark!("49 CFR 571.108 table I (from memory); local code and inspection decide");
const UN: &str = mark!("UN R48, R53, R86 (from memory); local code and inspection decide");
const SHARED: &str = mark!(
    "SAE J586 and J588 5.4.2 in FMVSS 108, as quoted in letters; local code and inspection decide"
);
const SLOW: &str =
    mark!("49 CFR 562 with ANSI/ASAE S279 and S276; UN R86; local code and inspection decide");

fn run(evidence: &Evidence, out: &mut Vec<Finding>) {
    let plan = evidence.plan;
    let (us, source) = match plan.settings.sizing.rules {
        Rules::UsRoad => (true, US),
        Rules::UnRoad => (false, UN),
        Rules::None | Rules::UsBoat | Rules::IsoBoat => return,
    };
    let circuits = plan.lamp_circuits();
    for circuit in &circuits {
        colour(plan, circuit, us, source, out);
    }
    shared(evidence, out);
    let turns = |duty: Duty| circuits.iter().filter(move |c| c.duties.contains(&duty));
    let both = turns(Duty::TurnLeft).count() > 0 && turns(Duty::TurnRight).count() > 0;
    if both && !hazard(evidence, &circuits) {
        let text = say!(
            "No position of the controls makes left and right turn lamps flash together: a hazard signal is \
                    asked for on most road vehicles. Add a hazard switch in the answers of the form, or a wish for both sides."
        );
        out.push(Finding::new(
            &CHECK,
            Severity::Note,
            Vec::new(),
            text.into(),
            source,
        ));
    }
    let text = say!(
        "A slow vehicle (tractor, cart) needs its own marking on the road: the slow-moving vehicle emblem or its \
                like, and warning lamps by local code."
    );
    out.push(Finding::new(
        &CHECK,
        Severity::Note,
        Vec::new(),
        text.into(),
        SLOW,
    ));
}

/// Duties by the rows of the table that may hold for them; a lamp's end is not known.
fn rows(duty: Duty) -> &'static [&'static str] {
    match duty {
        Duty::Tail => &["tail"],
        Duty::Stop => &["stop"],
        Duty::TurnLeft | Duty::TurnRight => &["front turn", "rear turn"],
        Duty::Hazard => &["hazard"],
        Duty::Running => &["front position"],
        Duty::Reverse => &["reversing"],
        Duty::Licence => &["licence"],
        Duty::Marker => &["side marker"],
        Duty::Head => &["headlamp"],
        Duty::Fog | Duty::Work | Duty::Other => &[],
    }
}

/// The lamp of a circuit in another colour.
fn recoloured(plan: &Plan, circuit: &LampCircuit<'_>, colour: Option<Light>) -> Option<Remedy> {
    let colour = colour?;
    let index = plan
        .parts
        .iter()
        .position(|part| part.id == circuit.id.part)?;
    let mut kind = plan.parts[index].kind.clone();
    match &mut kind {
        Kind::Lamp(lamp) => lamp.light = colour,
        Kind::LedLamp(lamp) => lamp.light = colour,
        _ => return None,
    }
    let id = &circuit.id.part;
    let title = match colour {
        Light::Amber => say!("Take amber light for {id}"),
        Light::Red => say!("Take red light for {id}"),
        Light::White => say!("Take white light for {id}"),
    };
    remedy::part(plan, index, title, kind)
}

/// A colour after "in" or "be".
fn colour_word(colour: Light) -> &'static str {
    match colour {
        Light::Amber => say!("colour of light" => "amber"),
        Light::Red => say!("colour of light" => "red"),
        Light::White => say!("colour of light" => "white"),
    }
}

fn colour(
    plan: &Plan,
    circuit: &LampCircuit<'_>,
    us: bool,
    source: &'static str,
    out: &mut Vec<Finding>,
) {
    let letter = match circuit.light {
        Light::Amber => 'A',
        Light::Red => 'R',
        Light::White => 'W',
    };
    for &duty in circuit.duties {
        let allowed: Vec<&str> = rows(duty)
            .iter()
            .filter_map(|key| law::find(key))
            .map(|row| if us { row.us } else { row.un })
            .collect();
        if allowed.is_empty() || allowed.iter().any(|text| text.contains(letter)) {
            continue;
        }
        let colours: Vec<Light> = [('A', Light::Amber), ('R', Light::Red), ('W', Light::White)]
            .into_iter()
            .filter(|(letter, _)| allowed.iter().any(|text| text.contains(*letter)))
            .map(|(_, colour)| colour)
            .collect();
        let names: Vec<String> = colours
            .iter()
            .map(|&colour| colour_word(colour).to_owned())
            .collect();
        let shows = colour_word(circuit.light);
        let cure = recoloured(plan, circuit, colours.first().copied());
        let text = say!(
            "{} ({}) shows {} in {shows}; on the road it should be {}.",
            circuit.id,
            circuit.label,
            duty.text(),
            or(&names)
        );
        out.push(
            Finding::new(
                &CHECK,
                Severity::Caution,
                vec![circuit.id.to_string()],
                text,
                source,
            )
            .measured(shows.into(), or(&names))
            .cured_by([cure]),
        );
    }
}

/// Lamp circuits whose turn signal is hidden by the stop signal.
fn shared(evidence: &Evidence, out: &mut Vec<Finding>) {
    let table = evidence.table;
    for (lamp, id) in table.lamps.iter().enumerate() {
        let masked = table.rows.iter().any(|row| {
            row.cells
                .get(lamp)
                .is_some_and(|c| c.verdict == Verdict::Masked)
        });
        if masked {
            let text = say!(
                "Where stop and turn share a lamp, the stop signal must not come on while the turn signal flashes: in {id} \
                 it does. A relay or a second contact gives turn priority: ‘Work out a cure’ on this page finds it."
            );
            let about = vec![id.to_string()];
            out.push(Finding::new(&CHECK, Severity::Caution, about, text, SHARED));
        }
    }
}

/// Whether in some state a left and a right turn lamp are wished to flash together.
fn hazard(evidence: &Evidence, circuits: &[LampCircuit<'_>]) -> bool {
    let table = evidence.table;
    let flashes = |row: &crate::behaviour::Row, duty: Duty| {
        circuits
            .iter()
            .zip(&row.cells)
            .any(|(circuit, cell)| circuit.duties.contains(&duty) && cell.wish == Show::Flashing)
    };
    table
        .rows
        .iter()
        .any(|row| flashes(row, Duty::TurnLeft) && flashes(row, Duty::TurnRight))
}

//! The rows of a lamp's form: type from the catalogue, colour of its light, and each circuit's ratings.

use super::row::{Row, options, plain, set, value};
use crate::app::words;
use crate::catalog::{lamp, led};
use crate::plan::{Duty, Filament, Kind, LedDrive, Light, Part};
use crate::text::{self, mark, say};
use crate::units::{Amps, Volts, parse, significant};

const LIGHTS: [(Light, &str); 3] = [
    (Light::Amber, mark!("amber")),
    (Light::Red, mark!("red")),
    (Light::White, mark!("white")),
];

/// The rows of a filament or LED lamp.
pub fn rows(part: &Part) -> Vec<Row> {
    let (light, circuits) = match &part.kind {
        Kind::Lamp(lamp) => (lamp.light, lamp.filaments.len()),
        Kind::LedLamp(lamp) => (lamp.light, lamp.circuits.len()),
        _ => return Vec::new(),
    };
    let word = LIGHTS
        .iter()
        .find(|(known, _)| *known == light)
        .map_or("", |(_, word)| word);
    let mut rows = vec![type_row(part)];
    if matches!(part.kind, Kind::Lamp(_)) {
        rows.insert(0, Row::Caution(say!("Filament lamps get hot: keep wire and plastic away and let them cool before you touch them.")));
    }
    rows.push(Row::Choice(
        value(
            "light",
            say!("Colour of the light"),
            "",
            word,
            set(part, |part, text| {
                let chosen = LIGHTS.iter().find(|(_, word)| *word == text);
                match (&mut part.kind, chosen) {
                    (Kind::Lamp(lamp), Some((light, _))) => lamp.light = *light,
                    (Kind::LedLamp(lamp), Some((light, _))) => lamp.light = *light,
                    _ => {}
                }
                Ok(())
            }),
        ),
        plain(LIGHTS.map(|(_, word)| word)),
    ));
    for i in 0..circuits {
        circuit_rows(part, i, circuits > 1, &mut rows);
    }
    rows
}

fn type_row(part: &Part) -> Row {
    match &part.kind {
        Kind::Lamp(spec) => Row::Choice(
            value(
                "model",
                say!("Type"),
                say!("Choosing one fills the ratings."),
                spec.model.clone().unwrap_or_default(),
                set(part, fill_lamp),
            ),
            options(lamp::rows().map(|row| (row.key, lamp_words(row)))),
        ),
        _ => Row::Choice(
            value(
                "catalogue",
                say!("Fill from the catalogue"),
                say!("Sets the ratings of every circuit; then enter the maker's figures."),
                "",
                set(part, fill_led),
            ),
            options(led::ROWS.iter().map(|row| (row.key, text::of(row.label)))),
        ),
    }
}

/// A lamp type in words: `P21/5W: 12 V, 21/5 W, BAY15d`.
pub fn lamp_words(row: &lamp::Row) -> String {
    let power = |f: &lamp::Filament| match f.rated_watts {
        Some(watts) => significant(watts),
        None => format!("{:.0}", f.watts()),
    };
    let watts: Vec<String> = row.filaments.iter().map(power).collect();
    let cap = row
        .cap
        .map_or_else(String::new, |cap| format!(", {}", text::of(cap)));
    format!(
        "{}: {} V, {} W{cap}",
        row.key,
        significant(row.nominal_volts),
        watts.join("/")
    )
}

/// Ratings from the catalogue; names, terminals and duties stay where the filaments match.
fn fill_lamp(part: &mut Part, key: &str) -> Result<(), String> {
    let (Kind::Lamp(lamp), Some(row)) = (&mut part.kind, lamp::find(key)) else {
        return Ok(());
    };
    let before = core::mem::take(&mut lamp.filaments);
    let one = row.filaments.len() == 1;
    lamp.filaments = row
        .filaments
        .iter()
        .enumerate()
        .map(|(i, filament)| {
            let known = before.get(i);
            let same = before.len() == row.filaments.len();
            let terminal = if one {
                "1"
            } else if i == 0 {
                "54"
            } else {
                "58"
            };
            Filament {
                id: known
                    .filter(|_| same)
                    .map_or_else(|| filament.name.into(), |f| f.id.clone()),
                terminal: known
                    .filter(|_| same)
                    .map_or_else(|| terminal.into(), |f| f.terminal.clone()),
                rated_v: Volts::of(filament.design_volts),
                rated_a: Amps::of((filament.amps * 1000.0).round() / 1000.0),
                duties: known.map(|f| f.duties.clone()).unwrap_or_default(),
            }
        })
        .collect();
    lamp.model = Some(row.key.into());
    Ok(())
}

fn fill_led(part: &mut Part, key: &str) -> Result<(), String> {
    if let (Kind::LedLamp(lamp), Some(row)) = (&mut part.kind, led::find(key)) {
        for circuit in &mut lamp.circuits {
            circuit.rated_v = Volts::of(row.test_volts);
            circuit.rated_a = Amps::of(row.amps);
            circuit.knee_v = Volts::of(row.knee_volts);
            circuit.drive = match row.drive {
                led::Drive::Resistor => LedDrive::Resistor,
                led::Drive::ConstantCurrent => LedDrive::Regulated,
            };
        }
    }
    Ok(())
}

/// One figure of a circuit, whichever kind of lamp it belongs to.
fn figure(part: &mut Part, i: usize) -> Option<(&mut Volts, &mut Amps, &mut Vec<Duty>)> {
    match &mut part.kind {
        Kind::Lamp(lamp) => {
            let f = lamp.filaments.get_mut(i)?;
            Some((&mut f.rated_v, &mut f.rated_a, &mut f.duties))
        }
        Kind::LedLamp(lamp) => {
            let c = lamp.circuits.get_mut(i)?;
            Some((&mut c.rated_v, &mut c.rated_a, &mut c.duties))
        }
        _ => None,
    }
}

fn circuit_rows(part: &Part, i: usize, several: bool, rows: &mut Vec<Row>) {
    let mut copy = part.clone();
    let Some((rated_v, rated_a, duties)) = figure(&mut copy, i) else {
        return;
    };
    if several {
        let names = part.lamp_circuits();
        let name = names
            .get(i)
            .map_or_else(String::new, |lamp| lamp.id.circuit.clone());
        rows.push(Row::Heading(say!("Circuit {name}")));
    }
    rows.push(Row::Text(
        value(
            &format!("rated_v{i}"),
            say!("Rated volts"),
            say!("Voltage at which the current holds"),
            rated_v.to_string(),
            set(part, move |part, text| {
                let volts = parse::volts(text).map_err(|error| error.to_string())?;
                figure(part, i).into_iter().for_each(|(v, ..)| *v = volts);
                Ok(())
            }),
        ),
        "decimal",
    ));
    rows.push(Row::Text(
        value(
            &format!("rated_a{i}"),
            say!("Current at that voltage"),
            say!("For example 1.96 A"),
            rated_a.to_string(),
            set(part, move |part, text| {
                let amps = parse::amps(text).map_err(|error| error.to_string())?;
                figure(part, i).into_iter().for_each(|(_, a, _)| *a = amps);
                Ok(())
            }),
        ),
        "decimal",
    ));
    if let Kind::LedLamp(lamp) = &part.kind
        && let Some(circuit) = lamp.circuits.get(i)
    {
        rows.push(Row::Text(
            value(
                &format!("knee{i}"),
                say!("Light begins at"),
                say!("For example 8.4 V"),
                circuit.knee_v.to_string(),
                set(part, move |part, text| {
                    let volts = parse::volts(text).map_err(|error| error.to_string())?;
                    if let Kind::LedLamp(lamp) = &mut part.kind {
                        lamp.circuits
                            .get_mut(i)
                            .into_iter()
                            .for_each(|c| c.knee_v = volts);
                    }
                    Ok(())
                }),
            ),
            "decimal",
        ));
    }
    let ticked = duties.clone();
    rows.push(Row::Checks(
        value(
            &format!("duties{i}"),
            say!("Duties"),
            "",
            "",
            set(part, move |part, text| {
                let duty = Duty::ALL.into_iter().find(|duty| duty.key() == text);
                if let (Some((.., duties)), Some(duty)) = (figure(part, i), duty) {
                    match duties.iter().position(|known| *known == duty) {
                        Some(at) => drop(duties.remove(at)),
                        None => duties.push(duty),
                    }
                }
                Ok(())
            }),
        ),
        Duty::ALL
            .into_iter()
            .map(|duty| {
                (
                    duty.key().to_owned(),
                    words::capital(duty.text()),
                    ticked.contains(&duty),
                )
            })
            .collect(),
    ));
}

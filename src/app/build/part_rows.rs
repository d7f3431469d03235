//! The rows of a part's form: what all parts share, then the ratings of its kind.

use super::row::{Row, number, options, plain, rating, set, value};
use super::{lamp_rows, supply_rows, switch_rows};
use crate::catalog::{diode, flasher, relay};
use crate::plan::{FlasherAction, Kind, Part, Plan};
use crate::text::{self, mark, say};
use crate::units::{Amps, Milliohms, Ohms, Volts, parse, significant};

/// The rows of `part`.
pub fn rows(plan: &Plan, part: &Part) -> Vec<Row> {
    let place = part.place.as_ref().map_or("", |place| place.as_str());
    let places = plan
        .places
        .iter()
        .map(|p| (p.id.to_string(), p.label.clone()));
    let mut rows = vec![Row::Text(
        value(
            "label",
            say!("Name"),
            "",
            &part.label,
            set(part, |part, text| {
                part.label = text.trim().into();
                Ok(())
            }),
        ),
        "text",
    )];
    rows.extend(kind_rows(plan, part));
    rows.extend([
        Row::Choice(
            value(
                "place",
                say!("Place"),
                say!("Where on the vehicle it sits."),
                place,
                set(part, |part, text| {
                    part.place = text.parse().ok();
                    Ok(())
                }),
            ),
            options(
                [(String::new(), say!("not said").to_owned())]
                    .into_iter()
                    .chain(places),
            ),
        ),
        Row::Text(
            value(
                "why",
                say!("Why it is there"),
                "",
                &part.why,
                set(part, |part, text| {
                    part.why = text.trim().into();
                    Ok(())
                }),
            ),
            "text",
        ),
    ]);
    rows
}

fn kind_rows(plan: &Plan, part: &Part) -> Vec<Row> {
    match &part.kind {
        Kind::Battery(_) | Kind::Charger(_) | Kind::Converter(_) | Kind::Fuse(_) => {
            supply_rows::rows(plan, part)
        }
        Kind::Switch(_) => switch_rows::rows(plan, part),
        Kind::Flasher(flasher) => vec![
            Row::Choice(
                value(
                    "catalogue",
                    say!("Fill from the catalogue"),
                    say!("Sets principle, rate, smallest load and resistance."),
                    "",
                    set(part, fill_flasher),
                ),
                options(
                    flasher::ROWS
                        .iter()
                        .filter(|row| row.terminals.len() == 2)
                        .map(|row| (row.key, text::of(row.label))),
                ),
            ),
            Row::Choice(
                value(
                    "action",
                    say!("Principle"),
                    "",
                    action(flasher.action),
                    set(part, |part, text| {
                        if let Kind::Flasher(flasher) = &mut part.kind {
                            flasher.action = if text == "thermal" {
                                FlasherAction::Thermal
                            } else {
                                FlasherAction::Electronic
                            };
                        }
                        Ok(())
                    }),
                ),
                plain([mark!("thermal"), mark!("electronic")]),
            ),
            Row::Text(
                value(
                    "rate",
                    say!("Flashes per minute"),
                    say!("60 to 120 is usual"),
                    flasher.per_minute.to_string(),
                    set(part, |part, text| {
                        let rate = number(text, say!("a rate such as 90"))?;
                        if let Kind::Flasher(flasher) = &mut part.kind {
                            flasher.per_minute = rate.clamp(1.0, 600.0) as u16;
                        }
                        Ok(())
                    }),
                ),
                "numeric",
            ),
            rating!(
                part,
                Flasher,
                min_a,
                say!("Smallest load"),
                say!("Below it a thermal unit stays lit"),
                parse::amps
            ),
            rating!(
                part,
                Flasher,
                max_a,
                say!("Largest load"),
                say!("For example 12 A"),
                parse::amps
            ),
            rating!(
                part,
                Flasher,
                closed_mohm,
                say!("Resistance while closed"),
                say!("For example 20 mΩ"),
                parse::milliohms
            ),
        ],
        Kind::Diode(diode) => vec![Row::Choice(
            value(
                "model",
                say!("Type"),
                "",
                &diode.model,
                set(part, |part, text| {
                    if let Kind::Diode(diode) = &mut part.kind {
                        diode.model = text.into();
                    }
                    Ok(())
                }),
            ),
            options(diode::ROWS.iter().map(|row| {
                let kind = if row.kind == diode::Kind::Schottky {
                    "Schottky"
                } else {
                    say!("silicon")
                };
                (
                    row.key,
                    format!(
                        "{}: {kind}, {} A, {} V",
                        row.key,
                        significant(row.if_av_amps),
                        significant(row.vrrm_volts)
                    ),
                )
            })),
        )],
        Kind::Lamp(_) | Kind::LedLamp(_) => lamp_rows::rows(part),
        Kind::Resistor(_) => vec![
            rating!(
                part,
                Resistor,
                ohms,
                say!("Resistance"),
                say!("For example 6 Ω"),
                parse::ohms
            ),
            rating!(
                part,
                Resistor,
                rating_w,
                say!("Power rating"),
                say!("For example 50 W"),
                parse::watts
            ),
        ],
        Kind::Load(_) => vec![
            rating!(
                part,
                Load,
                rated_v,
                say!("Rated volts"),
                say!("For example 12 V"),
                parse::volts
            ),
            rating!(
                part,
                Load,
                rated_a,
                say!("Current at that voltage"),
                say!("For example 2 A"),
                parse::amps
            ),
        ],
        Kind::Splice(_) => vec![Row::Note(
            say!("A joint of wires, terminal 1. Cover it: no bare joints.").into(),
        )],
        Kind::Connector(connector) => vec![
            Row::Text(
                value(
                    "ways",
                    say!("Ways"),
                    say!("Names with commas, for example 1, 2, 3"),
                    connector.ways.join(", "),
                    set(part, |part, text| {
                        let ways: Vec<String> = text
                            .split(',')
                            .map(|w| w.trim().to_owned())
                            .filter(|w| !w.is_empty())
                            .collect();
                        if ways.is_empty() {
                            return Err(say!(
                                "A connector needs at least one way; enter a name such as 1."
                            )
                            .into());
                        }
                        if let Kind::Connector(connector) = &mut part.kind {
                            connector.ways = ways;
                        }
                        Ok(())
                    }),
                ),
                "text",
            ),
            rating!(
                part,
                Connector,
                contact_mohm,
                say!("Resistance of one way"),
                say!("For example 5 mΩ"),
                parse::milliohms
            ),
        ],
        Kind::Ground(_) => vec![rating!(
            part,
            Ground,
            joint_mohm,
            say!("Resistance to the chassis"),
            say!("A clean bolt: 2 to 10 mΩ"),
            parse::milliohms
        )],
        Kind::Relay(spec) => vec![
            Row::Choice(
                value(
                    "model",
                    say!("Type"),
                    say!("Choosing one fills the ratings."),
                    spec.model.clone().unwrap_or_default(),
                    set(part, fill_relay),
                ),
                options(relay::ROWS.iter().map(|row| (row.key, text::of(row.label)))),
            ),
            rating!(
                part,
                Relay,
                coil_ohm,
                say!("Coil resistance"),
                say!("For example 85 Ω"),
                parse::ohms
            ),
            rating!(
                part,
                Relay,
                pull_in_v,
                say!("Pulls in at"),
                say!("For example 8 V"),
                parse::volts
            ),
            rating!(
                part,
                Relay,
                drop_out_v,
                say!("Lets go at"),
                say!("For example 1.5 V"),
                parse::volts
            ),
            rating!(
                part,
                Relay,
                contact_mohm,
                say!("Resistance of a closed contact"),
                say!("For example 5 mΩ"),
                parse::milliohms
            ),
        ],
    }
}

const fn action(action: FlasherAction) -> &'static str {
    match action {
        FlasherAction::Thermal => "thermal",
        FlasherAction::Electronic => "electronic",
    }
}

fn fill_flasher(part: &mut Part, key: &str) -> Result<(), String> {
    if let (Kind::Flasher(flasher), Some(row)) = (&mut part.kind, flasher::find(key)) {
        flasher.action = if row.thermal {
            FlasherAction::Thermal
        } else {
            FlasherAction::Electronic
        };
        flasher.per_minute = row.per_minute as u16;
        // The catalogue states loads in watts at 12 V.
        flasher.min_a = Amps::of(row.min_load_watts / 12.0);
        if let Some(load) = row.load_watts {
            flasher.closed_mohm = Milliohms::of((1000.0 * row.drop_volts / (load / 12.0)).round());
        }
    }
    Ok(())
}

fn fill_relay(part: &mut Part, key: &str) -> Result<(), String> {
    if let (Kind::Relay(relay), Some(row)) = (&mut part.kind, relay::find(key)) {
        relay.model = Some(row.key.into());
        relay.coil_ohm = Ohms::of(row.coil_ohms);
        relay.pull_in_v = Volts::of(row.operate_volts);
        relay.drop_out_v = Volts::of(row.release_volts);
        relay.contact_mohm = Milliohms::of(row.make.typical_milliohms);
    }
    Ok(())
}

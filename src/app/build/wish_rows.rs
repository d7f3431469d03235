//! The rows of a wish's form: when, which lamp circuits, what they show, and its place in the order.

use super::row::{Row, options, plain, set, share, value};
use crate::app::words;
use crate::plan::{Change, Edit, Plan, Show, Wish, position_word};
use crate::text::say;
use crate::units::Share;

const SHOWS: [Show; 4] = [Show::Off, Show::Steady, Show::Flashing, Show::Any];

/// The rows of `wish`.
pub fn rows(plan: &Plan, wish: &Wish) -> Vec<Row> {
    let mut rows = vec![
        Row::Note(
            say!("The first wish that fits a state decides. What no wish names is to stay off.")
                .into(),
        ),
        Row::Choice(
            value(
                "show",
                say!("Show"),
                "",
                wish.show.key(),
                set(wish, |wish, text| {
                    wish.show = SHOWS
                        .into_iter()
                        .find(|show| show.key() == text)
                        .unwrap_or(wish.show);
                    Ok(())
                }),
            ),
            plain(SHOWS.map(Show::key)),
        ),
        Row::Checks(
            value(
                "lamps",
                say!("Lamp circuits"),
                "",
                "",
                set(wish, |wish, text| {
                    if let Ok(lamp) = text.parse() {
                        match wish.lamps.iter().position(|known| *known == lamp) {
                            Some(at) => drop(wish.lamps.remove(at)),
                            None => wish.lamps.push(lamp),
                        }
                    }
                    Ok(())
                }),
            ),
            plan.lamp_circuits()
                .into_iter()
                .map(|lamp| {
                    (
                        lamp.id.to_string(),
                        words::lamp_name(&lamp.label),
                        wish.lamps.contains(&lamp.id),
                    )
                })
                .collect(),
        ),
        Row::Heading(say!("When").into()),
    ];
    for control in &plan.controls {
        let id = control.id.clone();
        let now = wish.when.get(&control.id).cloned().unwrap_or_default();
        rows.push(Row::Choice(
            value(
                &format!("when-{id}"),
                &control.label,
                "",
                now,
                set(wish, move |wish, text| {
                    if text.is_empty() {
                        wish.when.remove(&id);
                    } else {
                        wish.when.insert(id.clone(), text.into());
                    }
                    Ok(())
                }),
            ),
            options(
                [(String::new(), say!("any position").to_owned())]
                    .into_iter()
                    .chain(
                        control
                            .positions
                            .iter()
                            .map(|p| (p.clone(), position_word(p).to_owned())),
                    ),
            ),
        ));
    }
    let least = wish
        .at_least
        .map_or_else(String::new, |share| words::percent(share.get()));
    rows.push(Row::Text(
        value(
            "least",
            say!("Least light"),
            say!("In percent of rated; empty takes the plan's own threshold"),
            least,
            set(wish, |wish, text| {
                wish.at_least = if text.trim().is_empty() {
                    None
                } else {
                    Some(Share::of(share(text)?))
                };
                Ok(())
            }),
        ),
        "decimal",
    ));
    let at = plan
        .wishes
        .iter()
        .position(|known| known.id == wish.id)
        .unwrap_or(0);
    let to = |to: usize| {
        Edit::Wish(Change::Move {
            id: wish.id.clone(),
            to,
        })
    };
    if at > 0 {
        rows.push(Row::Button(say!("Move up").into(), to(at - 1)));
    }
    if at + 1 < plan.wishes.len() {
        rows.push(Row::Button(say!("Move down").into(), to(at + 1)));
    }
    let mut twin = wish.clone();
    twin.id = crate::app::build::fresh::wish_id(plan);
    rows.push(Row::Button(
        say!("Copy this wish").into(),
        Edit::Wish(Change::Insert {
            at: at + 1,
            item: twin,
        }),
    ));
    rows
}

/// A wish in words: `Master on, Brake pressed: Rear left major and Rear right major steady`.
pub fn words_of(plan: &Plan, wish: &Wish) -> String {
    let when: Vec<String> = wish
        .when
        .iter()
        .map(|(id, position)| {
            let label = plan
                .control(id)
                .map_or(id.as_str(), |control| &control.label);
            format!("{label} {}", position_word(position))
        })
        .collect();
    let circuits = plan.lamp_circuits();
    let lamps: Vec<String> = wish
        .lamps
        .iter()
        .map(|id| {
            let known = circuits.iter().find(|lamp| lamp.id == *id);
            known.map_or_else(|| id.to_string(), |lamp| words::lamp_name(&lamp.label))
        })
        .collect();
    let when = if when.is_empty() {
        say!("always").into()
    } else {
        when.join(", ")
    };
    let lamps = if lamps.is_empty() {
        say!("no lamp yet").into()
    } else {
        words::list(&lamps)
    };
    format!("{}: {lamps} {}", words::capital(&when), wish.show.text())
}

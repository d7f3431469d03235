//! The rows of a control's form. A renamed position is renamed wherever switches and wishes name it.

use super::row::{Row, Set, name, plain, replace, set, value};
use crate::plan::{Action, Charger, Control, Edit, Kind, Plan, position_word};
use crate::text::{mark, say};
use std::rc::Rc;

/// The rows of `control`.
pub fn rows(plan: &Plan, control: &Control) -> Vec<Row> {
    let momentary = control.action == Action::Momentary;
    let mut rows = vec![
        Row::Text(
            value(
                "label",
                say!("Name"),
                "",
                &control.label,
                set(control, |control, text| {
                    control.label = name(text, say!("a name such as Brake"))?;
                    Ok(())
                }),
            ),
            "text",
        ),
        Row::Choice(
            value(
                "action",
                say!("When let go"),
                "",
                if momentary {
                    "goes back to rest"
                } else {
                    "stays where it is put"
                },
                set(control, |control, text| {
                    control.action = if text == "goes back to rest" {
                        Action::Momentary
                    } else {
                        Action::Latching
                    };
                    Ok(())
                }),
            ),
            plain([mark!("stays where it is put"), mark!("goes back to rest")]),
        ),
        Row::Heading(say!("Positions").into()),
        Row::Note(say!("The first is the position at rest.").into()),
    ];
    for (i, position) in control.positions.iter().enumerate() {
        let label = if i == 0 {
            say!("Position 1, at rest").to_owned()
        } else {
            say!("Position {}", i + 1)
        };
        rows.push(Row::Text(
            value(
                &format!("position{i}"),
                &label,
                "",
                position_word(position),
                renamed(plan, control, i),
            ),
            "text",
        ));
        if control.positions.len() > 2 {
            let mut less = control.clone();
            less.positions.remove(i);
            rows.push(Row::Button(
                say!("Take out “{}”", position_word(position)),
                replace(less),
            ));
        }
    }
    let mut more = control.clone();
    let fresh = (more.positions.len() + 1..)
        .map(|n| say!("position {n}"))
        .find(|p| !more.positions.contains(p));
    more.positions.extend(fresh);
    rows.push(Row::Button(say!("Add a position").into(), replace(more)));
    rows
}

/// Renames a position in the control, in the switches it moves and in the wishes that name it.
fn renamed(plan: &Plan, control: &Control, i: usize) -> Set {
    let (plan, control) = (plan.clone(), control.clone());
    Rc::new(move |text| {
        let new = name(text, say!("a name such as on"))?;
        if control
            .positions
            .iter()
            .enumerate()
            .any(|(at, p)| at != i && (*p == new || position_word(p) == new))
        {
            return Err(say!(
                "Another position is called ‘{new}’; enter another name."
            ));
        }
        let mut control = control.clone();
        let old = match control.positions.get_mut(i) {
            Some(position) => core::mem::replace(position, new.clone()),
            None => return Ok(Edit::All(Vec::new())),
        };
        let mut edits = vec![replace(control.clone())];
        for part in &plan.parts {
            let mut part = part.clone();
            let named: Vec<&mut String> = match &mut part.kind {
                Kind::Switch(switch) if switch.control == control.id => switch
                    .contacts
                    .iter_mut()
                    .flat_map(|contact| &mut contact.closed_in)
                    .collect(),
                Kind::Charger(Charger {
                    runs: Some(runs), ..
                }) if runs.control == control.id => runs.positions.iter_mut().collect(),
                _ => continue,
            };
            for name in named {
                if *name == old {
                    name.clone_from(&new);
                }
            }
            edits.push(replace(part));
        }
        for wish in &plan.wishes {
            if wish.when.get(&control.id) == Some(&old) {
                let mut wish = wish.clone();
                wish.when.insert(control.id.clone(), new.clone());
                edits.push(replace(wish));
            }
        }
        Ok(Edit::All(edits))
    })
}

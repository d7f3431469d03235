//! The rows of a switch's form: what moves it, and each contact with the positions it is closed in.

use super::row::{Row, name, options, rating, replace, set, value};
use crate::app::words;
use crate::plan::{Contact, Kind, Part, Plan, position_word};
use crate::text::say;
use crate::units::parse;

/// The rows of a switch.
pub fn rows(plan: &Plan, part: &Part) -> Vec<Row> {
    let Kind::Switch(switch) = &part.kind else {
        return Vec::new();
    };
    let mut rows = vec![
        Row::Choice(
            value(
                "control",
                say!("Moved by"),
                say!("The control under hand or foot."),
                switch.control.as_str(),
                set(part, |part, text| {
                    if let (Kind::Switch(switch), Ok(id)) = (&mut part.kind, text.parse()) {
                        switch.control = id;
                    }
                    Ok(())
                }),
            ),
            options(
                plan.controls
                    .iter()
                    .map(|c| (c.id.to_string(), c.label.clone())),
            ),
        ),
        rating!(
            part,
            Switch,
            contact_mohm,
            say!("Resistance of a closed contact"),
            say!("For example 10 mΩ"),
            parse::milliohms
        ),
    ];
    let positions = plan
        .control(&switch.control)
        .map_or(&[][..], |c| &c.positions[..]);
    for (i, contact) in switch.contacts.iter().enumerate() {
        rows.push(Row::Heading(say!("Contact {}", words::count(i + 1))));
        let end = |to: bool, label: &str, now: &str| {
            Row::Text(
                value(
                    &format!("contact{i}{to}"),
                    label,
                    say!("Terminal number, for example 82"),
                    now,
                    set(part, move |part, text| {
                        let text = name(text, say!("a terminal such as 82"))?;
                        if let Kind::Switch(switch) = &mut part.kind
                            && let Some(contact) = switch.contacts.get_mut(i)
                        {
                            *(if to {
                                &mut contact.to
                            } else {
                                &mut contact.from
                            }) = text;
                        }
                        Ok(())
                    }),
                ),
                "text",
            )
        };
        rows.push(end(false, say!("Supply side"), &contact.from));
        rows.push(end(true, say!("Load side"), &contact.to));
        rows.push(Row::Checks(
            value(
                &format!("closed{i}"),
                say!("Closed in"),
                "",
                "",
                set(part, move |part, text| {
                    if let Kind::Switch(switch) = &mut part.kind
                        && let Some(contact) = switch.contacts.get_mut(i)
                    {
                        match contact.closed_in.iter().position(|p| p == text) {
                            Some(at) => drop(contact.closed_in.remove(at)),
                            None => contact.closed_in.push(text.into()),
                        }
                    }
                    Ok(())
                }),
            ),
            positions
                .iter()
                .map(|p| {
                    let word = position_word(p).to_owned();
                    (p.clone(), word, contact.closed_in.contains(p))
                })
                .collect(),
        ));
        if switch.contacts.len() > 1 {
            let mut less = part.clone();
            if let Kind::Switch(switch) = &mut less.kind {
                switch.contacts.remove(i);
            }
            rows.push(Row::Button(
                say!("Take out contact {}", i + 1),
                replace(less),
            ));
        }
    }
    let mut more = part.clone();
    if let Kind::Switch(switch) = &mut more.kind {
        let n = switch.contacts.len() + 1;
        let common = switch
            .contacts
            .first()
            .map_or_else(|| "82".to_owned(), |c| c.from.clone());
        switch.contacts.push(Contact {
            from: common,
            to: format!("82{}", char::from(b'a' + (n as u8 - 1) % 26)),
            closed_in: positions.last().cloned().into_iter().collect(),
        });
    }
    rows.push(Row::Button(say!("Add a contact").into(), replace(more)));
    rows
}

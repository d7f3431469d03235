//! The catalogue: every table that stands behind a finding, with its sources, its range and how far each figure was checked.
//!
//! A list leads to one table at a time, so that only what is looked at is drawn.

use crate::app::{Dispatch, screen_to_top};
use crate::catalog::{Sheet, Source, tables};
use crate::session::{Action, Screen};
use crate::text::{self, say};
use yew::prelude::*;

/// The screen.
#[component]
pub fn Catalogue() -> Html {
    let open = use_state(|| None::<usize>);
    let dispatch = use_context::<Dispatch>();
    let act = use_callback(
        (open.setter(), dispatch, open.is_some()),
        |event: MouseEvent, (open, dispatch, is_open)| {
            let name = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|target| target.closest("[data-table]").ok()?)
                .and_then(|button| button.get_attribute("data-table"));
            match name.as_deref().map(str::parse::<usize>) {
                Some(Ok(table)) => open.set(Some(table)),
                Some(Err(_)) if *is_open => open.set(None),
                Some(Err(_)) => dispatch
                    .iter()
                    .for_each(|d| d.dispatch(Action::Show(Screen::Checks))),
                None => return,
            }
            screen_to_top();
        },
    );
    let shown = open.and_then(|at| tables().get(at));
    html! {
        <div class="catalogue" onclick={act}>
            <div class="form-head">
                <button type="button" class="head-back" data-table="back"
                    aria-label={if shown.is_some() { say!("Back to the tables") } else { say!("Back to the checks") }}>
                    <span aria-hidden="true">{ "‹" }</span>
                </button>
                <h2>{ shown.map_or(say!("Tables and sources"), |table| text::of(table.name)) }</h2>
            </div>
            if let Some(table) = shown {
                <ul class="sources">{ for table.sources.iter().map(source) }</ul>
                { for (table.print)().iter().enumerate().map(|(i, sheet)| printed(text::of(table.name), i, sheet)) }
            } else {
                <p>{ say!("Every figure that a finding rests on. ‘Seen’ was read in a public copy of its source, ‘from memory’ was not, \
                      ‘worked out’ follows from other figures, and ‘common practice’ has no published source.") }</p>
                <ul class="build-list">{ for tables().iter().enumerate().map(|(i, table)| html! {
                    <li key={i}>
                        <button type="button" class="build-item" data-plain="true" data-table={i.to_string()}>
                            <span>{ text::of(table.name) }<span class="build-item-more">{ text::of(table.sources[0].title) }</span></span>
                            <span aria-hidden="true">{ "›" }</span>
                        </button>
                    </li>
                }) }</ul>
            }
        </div>
    }
}

fn source(source: &Source) -> Html {
    html! {
        <li>
            <strong>{ text::of(source.title) }</strong>
            <dl class="effect">
                <dt>{ say!("Edition") }</dt><dd>{ text::of(source.edition) }</dd>
                <dt>{ say!("source" => "Place") }</dt><dd>{ text::of(source.place) }</dd>
                <dt>{ say!("Range") }</dt><dd>{ text::of(source.range) }</dd>
                <dt>{ say!("Mark") }</dt><dd>{ text::of(source.mark.word()) }</dd>
            </dl>
        </li>
    }
}

fn printed(name: &'static str, i: usize, sheet: &Sheet) -> Html {
    html! {
        <div class="table-pane" tabindex="0" role="region" aria-label={say!("{name}, table {}", i + 1)}>
            <table class="figures">
                <thead><tr>{ for sheet.heads.iter().map(|head| html! { <th scope="col">{ text::of(head) }</th> }) }</tr></thead>
                <tbody>{ for sheet.rows.iter().map(|row| html! {
                    <tr>{ for row.iter().map(|cell| html! { <td>{ cell }</td> }) }</tr>
                }) }</tbody>
            </table>
        </div>
    }
}

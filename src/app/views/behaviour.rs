//! The behaviour table: one row per state, one column per lamp circuit; the drawing's twin in words.
//!
//! A real table with a fixed first column; tap a cell to see its state on the drawing. Rows are shown in
//! pages, so that thousands of states do not hold up the screen, and a page is drawn some rows at a time, so that the
//! first ones are there at once.

use crate::app::later::use_after_paint;
use crate::app::plan::Analysis;
use crate::app::{Dispatch, terms, words};
use crate::behaviour::{Cell, Row, Shows, Verdict};
use crate::findings::state_words;
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Pick};
use crate::text::say;
use gloo::timers::callback::Timeout;
use std::rc::Rc;
use yew::prelude::*;

/// Rows of a page.
const PAGE: usize = 64;
/// Rows drawn in one go: as many as a phone shows.
const BAND: usize = 8;
/// Milliseconds after which the next ones are drawn: long enough for the browser to paint in between, and to answer.
const REST_MS: u32 = 20;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct BehaviourProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Its analysis, `None` while it is being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
}

/// Lamp circuits whose columns fit across a printed page.
const FIT: usize = 6;

/// The screen.
#[component]
pub fn Behaviour(props: &BehaviourProps) -> Html {
    let only = use_state(|| false);
    let shown = use_state(|| PAGE);
    let toggle = use_callback(only.clone(), |_: MouseEvent, only| only.set(!**only));
    let more = use_callback(shown.clone(), |_: MouseEvent, shown| {
        shown.set(**shown + PAGE)
    });
    // The button answers before the table does.
    let (only_off, rows) = use_after_paint(&(*only, *shown));
    let Some(analysis) = &props.analysis else {
        return html! { <><h2>{ say!("Behaviour") }</h2><p role="status">{ say!("Working it out…") }</p></> };
    };
    let table = &analysis.table;
    let wrong = table.rows.iter().filter(|row| off(row)).count();
    let chosen = if only_off { wrong } else { table.rows.len() };
    let count = table.coverage_words();
    let summary = match wrong {
        0 => say!("Every lamp does what was wished in each.").to_owned(),
        1 => say!("In one state something is not as wished.").to_owned(),
        n => say!("In {n} states something is not as wished."),
    };
    let left = chosen.saturating_sub(rows);
    html! {
        <div class="behaviour">
            <h2>{ say!("Behaviour") }</h2>
            <p>{ format!("{count} {summary}") }</p>
            if table.lamps.is_empty() {
                <p class="mute">{ say!("No lamps yet: add one under Build, Parts.") }</p>
            } else {
                <div class="row">
                    <button type="button" class="toggle" aria-pressed={only.to_string()} onclick={toggle}>
                        { say!("Only what is not as wished") }
                    </button>
                </div>
                if chosen == 0 {
                    <p class="fine"><strong>{ "✓ " }</strong>{ say!("Nothing to show: all as wished.") }</p>
                } else {
                    <StateTable plan={props.plan.clone()} analysis={analysis.clone()} only={only_off} shown={rows} />
                    if left > 0 {
                        <button type="button" onclick={more}>{ say!("Show more ({left} left)") }</button>
                    }
                }
                <p class="mute tip">{ say!("Tap a cell to see its state on the drawing, and why it is so where it is not as wished. Thresholds are under Build, Settings.") }</p>
                { terms::terms(terms::BEHAVIOUR) }
            }
        </div>
    }
}

/// Whether something in a row is not as wished.
fn off(row: &Row) -> bool {
    row.cells
        .iter()
        .any(|cell| cell.verdict != Verdict::AsWished)
}

#[derive(Properties, PartialEq)]
struct StateTableProps {
    plan: ByPtr<Plan>,
    analysis: ByPtr<Analysis>,
    only: bool,
    shown: usize,
}

/// How many bands to draw now, of so many: one more each time after a rest.
#[hook]
fn use_bands(all: usize) -> usize {
    let drawn = use_state(|| 1);
    use_effect_with((drawn.clone(), all), |(drawn, all)| {
        let drawn = drawn.clone();
        let next = (*drawn < *all).then(|| Timeout::new(REST_MS, move || drawn.set(*drawn + 1)));
        move || drop(next)
    });
    *drawn
}

#[component]
fn StateTable(props: &StateTableProps) -> Html {
    let StateTableProps {
        plan,
        analysis,
        only,
        shown,
    } = props;
    let dispatch = use_context::<Dispatch>();
    let look = use_callback(
        (dispatch, analysis.clone()),
        |event: MouseEvent, (dispatch, analysis)| {
            let button = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|target| target.closest("[data-cell]").ok()?);
            let at = button
                .and_then(|button| button.get_attribute("data-cell"))
                .and_then(|text| {
                    let (row, lamp) = text.split_once(' ')?;
                    Some((row.parse::<usize>().ok()?, lamp.parse::<usize>().ok()?))
                });
            let table = &analysis.table;
            let found = at
                .and_then(|(row, lamp)| Some((table.rows.get(row)?, table.lamps.get(lamp)?, lamp)));
            if let (Some((row, lamp, index)), Some(dispatch)) = (found, dispatch) {
                let explain = row
                    .cells
                    .get(index)
                    .is_some_and(|cell| cell.verdict != Verdict::AsWished);
                dispatch.dispatch(Action::Look {
                    positions: row.state.0.clone(),
                    pick: Pick::Lamp(lamp.to_string()),
                    explain,
                });
            }
        },
    );
    let table = &analysis.table;
    let circuits = plan.lamp_circuits();
    let label = |id: &crate::plan::LampId| {
        let known = circuits.iter().find(|lamp| lamp.id == *id);
        known.map_or_else(|| id.to_string(), |lamp| words::lamp_name(&lamp.label))
    };
    let names: Rc<[AttrValue]> = table.lamps.iter().map(|id| label(id).into()).collect();
    let rows: Vec<usize> = table
        .rows
        .iter()
        .enumerate()
        .filter(|(_, row)| !only || off(row))
        .map(|(at, _)| at)
        .take(*shown)
        .collect();
    let bands = use_bands(rows.len().div_ceil(BAND));
    let bands = rows.chunks(BAND).take(bands).enumerate();
    html! {
        <div class="table-pane" tabindex="0" role="region" aria-label={say!("Behaviour table, scrolls sideways")}
            data-wide={(table.lamps.len() > FIT).then_some("")} onclick={look}>
            <table>
                <caption class="hidden">{ say!("What every lamp circuit does in every state") }</caption>
                <thead>
                    <tr>
                        <th scope="col">{ say!("State") }</th>
                        { for table.lamps.iter().zip(&*names).map(|(id, name)| html! {
                            <th scope="col" key={id.to_string()}>{ name }<span class="mute">{ id.to_string() }</span></th>
                        }) }
                    </tr>
                </thead>
                <tbody>
                    { for bands.map(|(band, rows)| html! {
                        <Band key={band} plan={plan.clone()} analysis={analysis.clone()} rows={rows.to_vec()}
                            names={names.clone()} />
                    }) }
                </tbody>
            </table>
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct BandProps {
    plan: ByPtr<Plan>,
    analysis: ByPtr<Analysis>,
    rows: Vec<usize>,
    names: Rc<[AttrValue]>,
}

/// Some rows of the table, by index.
#[component]
fn Band(props: &BandProps) -> Html {
    let rows = &props.analysis.table.rows;
    let rows = props
        .rows
        .iter()
        .filter_map(|&at| Some((at, rows.get(at)?)));
    rows.map(|(at, row)| {
        html! {
            <StateRow key={at} index={at} state={words::capital(&state_words(&props.plan, &row.state))}
                cells={cells_of(row)} names={props.names.clone()} />
        }
    })
    .collect()
}

/// What a cell of the table shows, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Shown {
    seen: String,
    shows: Shows,
    verdict: Verdict,
}

fn cells_of(row: &Row) -> Rc<[Shown]> {
    let cell = |cell: &Cell| Shown {
        seen: if row.solved {
            words::seen(cell)
        } else {
            say!("not solved").into()
        },
        shows: cell.shows,
        verdict: cell.verdict,
    };
    row.cells.iter().map(cell).collect()
}

#[derive(Properties, PartialEq)]
struct StateRowProps {
    index: usize,
    state: AttrValue,
    cells: Rc<[Shown]>,
    names: Rc<[AttrValue]>,
}

/// One state, drawn again only when what it shows is something else.
#[component]
fn StateRow(props: &StateRowProps) -> Html {
    #[cfg(test)]
    crate::app::renders::note(&props.state);
    let cells = props.cells.iter().zip(&*props.names).enumerate();
    html! {
        <tr>
            <th scope="row">{ &props.state }</th>
            { for cells.map(|(lamp, (cell, name))| data(props.index, lamp, cell, name)) }
        </tr>
    }
}

fn data(row: usize, lamp: usize, cell: &Shown, name: &AttrValue) -> Html {
    let trouble = cell.verdict != Verdict::AsWished;
    html! {
        <td key={lamp} data-lamp={name.clone()}>
            <button type="button" class="cell" data-cell={format!("{row} {lamp}")} data-shows={cell.shows.text()}
                data-verdict={cell.verdict.text()}>
                <span class="cell-state">{ &cell.seen }</span>
                <span class="cell-verdict" data-trouble={trouble.then_some("true")}>
                    <span aria-hidden="true">{ words::verdict_mark(cell.verdict) }{ " " }</span>
                    { cell.verdict.word() }
                </span>
            </button>
        </td>
    }
}

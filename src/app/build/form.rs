//! One form: draws the rows of a thing, hands their edits to the session, and sums up what does not read.

use super::row::{Row, Value};
use super::{Open, Tab, control_rows, part_rows, plan_rows, wire_rows, wish_rows};
use crate::app::widgets::{EndButton, Field, ProblemList, Problems, Report, Select};
use crate::app::{Dispatch, settings, words};
use crate::plan::{Change, Edit, Plan};
use crate::session::{Action, ByPtr};
use crate::text::say;
use web_sys::HtmlElement;
use yew::prelude::*;

/// What the form needs.
#[derive(Properties, PartialEq)]
pub struct FormProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Kind of thing.
    pub tab: Tab,
    /// Its identity.
    pub id: AttrValue,
    /// Goes back to the list.
    pub go: Callback<Open>,
}

/// Takes the text of a row, or says what is wrong with it.
type Take = Callback<String, Result<(), String>>;

/// Rows, name and the edit that deletes, of the thing with this identity; `None` when it is gone.
fn content(plan: &Plan, tab: Tab, id: &str) -> Option<(String, Vec<Row>, Option<Edit>)> {
    Some(match tab {
        Tab::Parts => {
            let part = plan.parts.iter().find(|part| part.id.as_str() == id)?;
            let title = format!("{} {}", words::capital(part.kind.text()), part.id);
            (
                title,
                part_rows::rows(plan, part),
                Some(Edit::remove_part(plan, &part.id)),
            )
        }
        Tab::Wires => {
            let wire = plan.wires.iter().find(|wire| wire.id.as_str() == id)?;
            let remove = Edit::Wire(Change::Remove {
                id: wire.id.clone(),
            });
            (
                say!("Wire {}", wire.id),
                wire_rows::rows(plan, wire),
                Some(remove),
            )
        }
        Tab::Controls => {
            let control = plan
                .controls
                .iter()
                .find(|control| control.id.as_str() == id)?;
            let remove = Edit::Control(Change::Remove {
                id: control.id.clone(),
            });
            (
                say!("Control {}", control.label),
                control_rows::rows(plan, control),
                Some(remove),
            )
        }
        Tab::Wishes => {
            let at = plan.wishes.iter().position(|wish| wish.id.as_str() == id)?;
            let wish = &plan.wishes[at];
            let remove = Edit::Wish(Change::Remove {
                id: wish.id.clone(),
            });
            (
                say!("Wish {}", at + 1),
                wish_rows::rows(plan, wish),
                Some(remove),
            )
        }
        Tab::Places => {
            let place = plan.places.iter().find(|place| place.id.as_str() == id)?;
            let remove = Edit::Place(Change::Remove {
                id: place.id.clone(),
            });
            (
                say!("Place {}", place.label),
                plan_rows::place_rows(place),
                Some(remove),
            )
        }
        Tab::Plan => (say!("Settings").into(), plan_rows::rows(plan), None),
        Tab::Sizing => (
            say!("Rules, surroundings, units").into(),
            settings::rows(plan),
            None,
        ),
    })
}

/// The form.
#[component]
pub fn Form(props: &FormProps) -> Html {
    let FormProps { plan, tab, id, go } = props;
    let dispatch = use_context::<Dispatch>();
    let problems = use_reducer(Problems::default);
    let tried = use_state(|| false);
    let head = use_node_ref();
    {
        let head = head.clone();
        use_effect_with(id.clone(), move |_| {
            // The keyboard and the screen reader start at the form's name.
            head.cast::<HtmlElement>()
                .into_iter()
                .for_each(|head| drop(head.focus()));
        });
    }
    let report = {
        let problems = problems.dispatcher();
        use_callback((), move |report: Report, ()| problems.dispatch(report))
    };
    let leave = use_callback(go.clone(), |_: MouseEvent, go| go.emit(Open::List));
    let Some((title, rows, remove)) = content(plan, *tab, id) else {
        return html! {
            <div class="form">
                <p>{ say!("This is no longer in the plan.") }</p>
                <button type="button" onclick={leave}>{ say!("Back to the list") }</button>
            </div>
        };
    };
    let done = {
        let (problems, tried, go) = (problems.clone(), tried.clone(), go.clone());
        Callback::from(move |()| {
            if problems.0.is_empty() {
                go.emit(Open::List);
            } else {
                tried.set(true);
            }
        })
    };
    let delete = remove.map(|edit| {
        let (act, title, go) = (dispatch.clone(), title.clone(), go.clone());
        Callback::from(move |_: MouseEvent| {
            let label = say!("Delete {}", words::small(&title));
            act.iter().for_each(|d| {
                d.dispatch(Action::Edit {
                    edit: Box::new(edit.clone()),
                    label: label.clone(),
                    key: String::new(),
                });
            });
            go.emit(Open::List);
        })
    });
    let take = |row: &Value| {
        let (set, dispatch) = (row.set.clone(), dispatch.clone());
        let label = say!("{} of {}", row.label, words::small(&title));
        let key = format!("{}/{id}/{}", tab.text(), row.name);
        Callback::from(move |text: String| -> Result<(), String> {
            let edit = set(&text)?;
            if let Some(dispatch) = &dispatch {
                let (label, key) = (label.clone(), key.clone());
                dispatch.dispatch(Action::Edit {
                    edit: Box::new(edit),
                    label,
                    key,
                });
            }
            Ok(())
        })
    };
    let own = *tab == Tab::Plan;
    html! {
        <div class="form">
            if own {
                <h3>{ say!("Title and notes") }</h3>
            } else {
                <div class="form-head">
                    <button type="button" class="head-back" aria-label={say!("Back to the list")} onclick={done.reform(|_| ())}>
                        <span aria-hidden="true">{ "‹" }</span>
                    </button>
                    <h2 tabindex="-1" ref={head}>{ &title }</h2>
                </div>
            }
            if *tried && !problems.0.is_empty() {
                <ProblemList problems={(*problems).clone()} />
                <button type="button" onclick={leave}>{ say!("Leave these as they were") }</button>
            }
            { for rows.into_iter().enumerate().map(|(i, row)| view(i, row, &take, &report, &dispatch)) }
            if !own {
                <div class="form-end">
                    <EndButton text={say!("Done")} onend={done.clone()} />
                    if let Some(delete) = delete {
                        <button type="button" class="danger" onclick={delete}>{ say!("Delete") }</button>
                    }
                </div>
            }
        </div>
    }
}

fn view(
    i: usize,
    row: Row,
    take: &dyn Fn(&Value) -> Take,
    report: &Callback<Report>,
    dispatch: &Option<Dispatch>,
) -> Html {
    match row {
        Row::Heading(text) => html! { <h3 key={i}>{ text }</h3> },
        Row::Caution(text) => html! { <p key={i} class="caution">{ text }</p> },
        Row::Note(text) => html! { <p key={i} class="mute field">{ text }</p> },
        Row::Text(value, mode) => html! {
            <Field key={value.name.clone()} id={format!("f-{}", value.name)} take={take(&value)} label={value.label}
                value={value.value} hint={value.hint} inputmode={mode} report={report.clone()} />
        },
        Row::Long(value) => html! {
            <Field key={value.name.clone()} id={format!("f-{}", value.name)} take={take(&value)} label={value.label}
                value={value.value} hint={value.hint} long=true report={report.clone()} />
        },
        Row::Choice(value, options) => {
            let take = take(&value);
            let onchoose = Callback::from(move |text: String| drop(take.emit(text)));
            html! {
                <Select key={value.name.clone()} id={format!("f-{}", value.name)} label={value.label} hint={value.hint}
                    value={value.value} {options} {onchoose} />
            }
        }
        Row::Checks(value, options) => {
            let take = take(&value);
            let onchange = Callback::from(move |event: Event| {
                if let Some(input) = event.target_dyn_into::<web_sys::HtmlInputElement>() {
                    drop(take.emit(input.value()));
                }
            });
            html! {
                <fieldset key={value.name.clone()} class="checks-set" {onchange}>
                    <legend>{ value.label }</legend>
                    { for options.into_iter().map(|(option, text, checked)| html! {
                        <label key={option.clone()} class="check">
                            <input type="checkbox" value={option} {checked} />
                            <span>{ text }</span>
                        </label>
                    }) }
                </fieldset>
            }
        }
        Row::Button(words, edit) => {
            let (dispatch, label) = (dispatch.clone(), words.clone());
            let onclick = Callback::from(move |_: MouseEvent| {
                let edit = Box::new(edit.clone());
                dispatch.iter().for_each(|d| {
                    d.dispatch(Action::Edit {
                        edit: edit.clone(),
                        label: label.clone(),
                        key: String::new(),
                    });
                });
            });
            html! { <div class="field" key={format!("button{i}")}><button type="button" {onclick}>{ words }</button></div> }
        }
    }
}

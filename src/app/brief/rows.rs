//! The rows of a page: choices as large cards, lists as ticks, numbers as fields.

use crate::app::widgets::{Field, Report, Select};
use crate::brief::form::{Form, Page, Row, Step};
use crate::text::say;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// Choices beyond this number stand in a list that opens.
const CARDS: usize = 6;
/// Things to add beyond this number stand in a list that opens.
const BUTTONS: usize = 2;

/// A row.
pub fn view(row: Row, form: &Form, step: &Callback<Step>, report: &Callback<Report>) -> Html {
    match row {
        Row::One {
            name,
            label,
            value,
            choices,
        } => {
            let words = |usual: bool, words: String| {
                if usual {
                    say!("{words} (usual)")
                } else {
                    words
                }
            };
            if choices.len() > CARDS {
                let options: Vec<(AttrValue, AttrValue)> = choices
                    .into_iter()
                    .map(|c| (c.value.into(), words(c.usual, c.words).into()))
                    .collect();
                let onchoose = setter(step, &name);
                return html! {
                    <Select key={name.clone()} id={format!("brief-{name}")} {label} {value} {options} {onchoose} />
                };
            }
            html! {
                <fieldset class="choices" key={name.clone()} onchange={ticked(step, &name)}>
                    <legend class={label.is_empty().then_some("hidden")}>
                        { if label.is_empty() { form.title() } else { label } }
                    </legend>
                    { for choices.into_iter().map(|choice| html! {
                        <label class="choice" key={choice.value.clone()}>
                            <input type="radio" name={name.clone()} value={choice.value.clone()} checked={choice.value == value} />
                            <span>{ words(choice.usual, choice.words) }</span>
                        </label>
                    }) }
                </fieldset>
            }
        }
        Row::Many {
            name,
            label,
            options,
        } => html! {
            <fieldset class="checks-set" key={name.clone()} onchange={ticked(step, &name)}>
                <legend>{ label }</legend>
                { for options.into_iter().map(|(value, words, on)| html! {
                    <label class="check" key={value.clone()}>
                        <input type="checkbox" value={value.clone()} checked={on} />
                        <span>{ words }</span>
                    </label>
                }) }
            </fieldset>
        },
        Row::Field {
            name,
            label,
            hint,
            value,
            is_text,
        } => {
            let take = {
                let (form, set, name) = (form.clone(), setter(step, &name), name.clone());
                Callback::from(move |text: String| -> Result<(), String> {
                    form.with(&name, &text)?;
                    set.emit(text);
                    Ok(())
                })
            };
            let inputmode = if is_text { "text" } else { "decimal" };
            html! {
                <Field key={name.clone()} id={format!("brief-{name}")} {label} {hint} {value} {inputmode} {take}
                    report={report.clone()} />
            }
        }
        Row::Item { page, words } => item(page, words, step),
        Row::Add {
            name,
            label,
            options,
        } => add(name, label, options, form, step),
    }
}

fn item(page: Page, words: String, step: &Callback<Step>) -> Html {
    let to = |next: Step| {
        let step = step.clone();
        Callback::from(move |_: MouseEvent| step.emit(next.clone()))
    };
    html! {
        <div class="flow-item" key={words.clone()}>
            <p>{ &words }</p>
            <div class="row">
                <button type="button" onclick={to(Step::Open(page))} aria-label={say!("Change {words}")}>{ say!("Change") }</button>
                <button type="button" onclick={to(Step::Drop(page))} aria-label={say!("Take out {words}")}>{ say!("Take out") }</button>
            </div>
        </div>
    }
}

fn add(
    name: String,
    label: String,
    options: Vec<(String, String)>,
    form: &Form,
    step: &Callback<Step>,
) -> Html {
    let set = setter(step, &name);
    if options.len() <= BUTTONS {
        return html! {
            <div class="row" role="group" aria-label={label} key={name}>
                { for options.into_iter().map(|(value, words)| {
                    let set = set.clone();
                    html! {
                        <button type="button" key={value.clone()}
                            onclick={Callback::from(move |_: MouseEvent| set.emit(value.clone()))}>{ words }</button>
                    }
                }) }
            </div>
        };
    }
    // With each thing added the list is a new one, so that it stands at its first line again.
    let key = format!("{name}-{}", form.rows().len());
    let options: Vec<(AttrValue, AttrValue)> = options
        .into_iter()
        .map(|(value, words)| (value.into(), words.into()))
        .collect();
    html! { <Select {key} id={format!("brief-{name}")} {label} value="" {options} onchoose={set} /> }
}

fn setter(step: &Callback<Step>, name: &str) -> Callback<String> {
    let (step, name) = (step.clone(), name.to_owned());
    Callback::from(move |text: String| {
        step.emit(Step::Set {
            name: name.clone(),
            text,
        });
    })
}

/// Hears a tick or a choice within a set.
fn ticked(step: &Callback<Step>, name: &str) -> Callback<Event> {
    let set = setter(step, name);
    Callback::from(move |event: Event| {
        if let Some(input) = event.target_dyn_into::<HtmlInputElement>() {
            set.emit(input.value());
        }
    })
}

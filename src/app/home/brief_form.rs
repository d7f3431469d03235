//! The short form: a few answers, each with an ordinary value, and a plan is drafted from them.

use super::GoProps;
use super::brief_rows::{self, Answer};
use crate::app::root::{Opened, Place};
use crate::app::widgets::{EndButton, Field, ProblemList, Problems, Report, Select};
use crate::brief::turn::{TurnBrief, draft};
use crate::session::ByPtr;
use std::rc::Rc;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// A change of the answers.
enum Change {
    /// A text or choice by the name of its row.
    Answer(&'static str, String),
    /// A lamp is there or not.
    Lamp(usize),
}

/// The answers as they stand.
#[derive(Default, PartialEq)]
struct Answers(TurnBrief);

impl Reducible for Answers {
    type Action = Change;
    fn reduce(self: Rc<Self>, change: Change) -> Rc<Self> {
        let mut brief = self.0.clone();
        match change {
            Change::Answer(name, text) => {
                // The field has read it already; what does not read changes nothing.
                let _ = brief_rows::answer(&mut brief, name, &text);
            }
            Change::Lamp(i) => {
                let lamps = brief_rows::lamps(&mut brief);
                if let Some((_, has)) = lamps.into_iter().nth(i) {
                    *has = !*has;
                }
            }
        }
        Rc::new(Self(brief))
    }
}

/// The form.
#[component]
pub fn BriefForm(props: &GoProps) -> Html {
    let answers = use_reducer(Answers::default);
    let problems = use_reducer(Problems::default);
    let tried = use_state(|| false);
    let report = {
        let problems = problems.dispatcher();
        use_callback((), move |report: Report, ()| problems.dispatch(report))
    };
    let back = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Home));
    let brief = &answers.0;
    let no_lamps = brief.sides() == (0, 0);
    let make = {
        let (answers, problems, tried, go) = (
            answers.clone(),
            problems.clone(),
            tried.clone(),
            props.go.clone(),
        );
        Callback::from(move |()| {
            if problems.0.is_empty() && answers.0.sides() != (0, 0) {
                go.emit(Place::Plan(ByPtr::new(Opened::fresh(draft(&answers.0)))));
            } else {
                tried.set(true);
                gloo::utils::window().scroll_to_with_x_and_y(0.0, 0.0);
            }
        })
    };
    let tick = {
        let answers = answers.dispatcher();
        use_callback((), move |event: Event, ()| {
            let which = event
                .target_dyn_into::<HtmlInputElement>()
                .and_then(|input| input.value().parse().ok());
            which
                .into_iter()
                .for_each(|i| answers.dispatch(Change::Lamp(i)));
        })
    };
    let mut all = (*problems).clone();
    if no_lamps {
        all.0.insert(
            0,
            (
                "lamp-0".into(),
                "Lamps".into(),
                "tick at least one lamp.".into(),
            ),
        );
    }
    let mut copy = brief.clone();
    let lamps: Vec<(&str, bool)> = brief_rows::lamps(&mut copy)
        .into_iter()
        .map(|(word, has)| (word, *has))
        .collect();
    html! {
        <div class="home">
            <header class="home-head form-head">
                <button type="button" class="head-back" aria-label="Back to all plans" onclick={back}>
                    <span aria-hidden="true">{ "‹" }</span>
                </button>
                <h1>{ "Plan my own" }</h1>
            </header>
            <main class="form brief">
                <p class="field">{ "Turn lamps with a flasher. Every answer below is ready to use: tap “Draft the plan” now, or change \
                    what differs. Everything can be changed later." }</p>
                if *tried && !all.0.is_empty() {
                    <ProblemList problems={all} />
                }
                <EndButton text="Draft the plan" onend={make.clone()} />
                <h2>{ "Lamps" }</h2>
                <fieldset class="checks-set brief-lamps" onchange={tick}>
                    <legend>{ "Where lamps are" }</legend>
                    { for lamps.into_iter().enumerate().map(|(i, (word, has))| html! {
                        <label key={word} class="check">
                            <input id={format!("lamp-{i}")} type="checkbox" value={i.to_string()} checked={has} />
                            <span>{ word }</span>
                        </label>
                    }) }
                </fieldset>
                { for brief_rows::rows(brief).into_iter().map(|row| view(row, &answers, &report)) }
                <p class="caution field">{ "Fuse at the source: the fuse sits at the battery. Disconnect the battery before you wire." }</p>
                <EndButton text="Draft the plan" onend={make} />
            </main>
        </div>
    }
}

fn view(row: Answer, answers: &UseReducerHandle<Answers>, report: &Callback<Report>) -> Html {
    let dispatcher = answers.dispatcher();
    match row {
        Answer::Heading(text) => html! { <h2 key={text}>{ text }</h2> },
        Answer::Choice {
            name,
            label,
            hint,
            value,
            options,
        } => {
            let onchoose =
                Callback::from(move |text: String| dispatcher.dispatch(Change::Answer(name, text)));
            html! { <Select key={name} id={format!("brief-{name}")} {label} {hint} {value} {options} {onchoose} /> }
        }
        Answer::Text {
            name,
            label,
            hint,
            value,
        } => {
            let brief = answers.0.clone();
            let take = Callback::from(move |text: String| -> Result<(), String> {
                brief_rows::answer(&mut brief.clone(), name, &text)?;
                dispatcher.dispatch(Change::Answer(name, text));
                Ok(())
            });
            html! { <Field key={name} id={format!("brief-{name}")} {label} {hint} {value} {take} report={report.clone()} /> }
        }
    }
}

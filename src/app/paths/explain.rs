//! Why the picked lamp is not as wished: the wish that is broken, the way the current comes, and the same way marked on
//! the drawing above.

use super::trace::steps;
use crate::app::live::{LampNow, Live};
use crate::app::{Dispatch, words};
use crate::behaviour::Verdict;
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Screen};
use crate::text::say;
use gloo::timers::callback::Timeout;
use web_sys::{HtmlElement, ScrollIntoViewOptions, ScrollLogicalPosition};
use yew::prelude::*;

/// What is worth seeing, the most important first: brought into view last. With large text the screen scrolls.
const PLACES: [&str; 3] = [
    "#explain-title",
    ".drawing .traced.reverse",
    ".drawing .selected",
];

fn bring(place: &str) {
    let found = gloo::utils::document().query_selector(place).ok().flatten();
    if let Some(found) = found {
        let how = ScrollIntoViewOptions::new();
        how.set_block(ScrollLogicalPosition::Nearest);
        found.scroll_into_view_with_scroll_into_view_options(&how);
    }
}

/// What the explanation needs.
#[derive(Properties, PartialEq)]
pub struct ExplainProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// The state shown.
    pub live: ByPtr<Live>,
    /// The lamp circuit.
    pub lamp: LampNow,
}

/// The explanation.
#[component]
pub fn Explain(props: &ExplainProps) -> Html {
    let ExplainProps { plan, live, lamp } = props;
    let dispatch = use_context::<Dispatch>();
    let title = use_node_ref();
    {
        let title = title.clone();
        // Who comes here by a tap elsewhere starts reading at the heading, and sees the place on the drawing.
        use_effect_with(lamp.id.clone(), move |_| {
            if let Some(title) = title.cast::<HtmlElement>() {
                let _ = title.focus();
            }
            let timer = Timeout::new(0, || PLACES.iter().rev().for_each(|place| bring(place)));
            move || drop(timer)
        });
    }
    let close = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Explain(false)));
    });
    let cure = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Checks)));
    });
    let verdict = lamp.cell.verdict;
    let curable = matches!(verdict, Verdict::BackFed | Verdict::Masked);
    let back: Vec<String> = lamp.why.backwards.iter().map(ToString::to_string).collect();
    let path = lamp.hiding_path().or(lamp.path());
    html! {
        <section class="explain" aria-labelledby="explain-title">
            <div class="explain-text" tabindex="0" role="group" aria-labelledby="explain-title">
                <h3 id="explain-title" ref={title} tabindex="-1">
                    <span aria-hidden="true">{ words::verdict_mark(verdict) }{ " " }</span>
                    { say!("Why {} is {}", lamp.label, verdict.word()) }
                </h3>
                <p><strong>{ format!("{}: ", live.head) }</strong>{ lamp.sentence(say!("it")) }</p>
                <p>{ &lamp.why.wish }</p>
                if !lamp.why.cause.is_empty() {
                    <p>{ &lamp.why.cause }</p>
                }
                if !back.is_empty() {
                    <p class="explain-key" data-key="back"><strong>{ "◀◀ " }</strong>
                        { say!("Backwards, on the drawing with arrows against the feed: {}.", words::list(&back)) }</p>
                }
                if let Some(path) = path {
                    if lamp.hiding_path().is_some() {
                        <p class="explain-key" data-key="hiding"><strong>{ "▣ " }</strong>
                            { say!("The steady feed, dashed on the drawing:") }</p>
                    } else {
                        <p>{ say!("From the battery through the lamp and back:") }</p>
                    }
                    { steps(plan, path, false) }
                }
            </div>
            <div class="end-bar">
                <button type="button" class="main-button" data-plain="true" onclick={close}>{ say!("Close") }</button>
                if curable {
                    <button type="button" class="main-button" onclick={cure}>{ say!("See the cures") }</button>
                }
            </div>
        </section>
    }
}

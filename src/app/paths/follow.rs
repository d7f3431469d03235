//! Following a path: one part after the other, each shown on the drawing above, with the whole way as a list beside it.

use crate::app::Dispatch;
use crate::app::live::{LampNow, StepLine};
use crate::session::{Action, ByPtr};
use crate::text::say;
use web_sys::{Element, HtmlElement, ScrollIntoViewOptions, ScrollLogicalPosition};
use yew::prelude::*;

/// What following needs.
#[derive(Properties, PartialEq)]
pub struct FollowProps {
    /// The lamp circuit.
    pub lamp: LampNow,
    /// Its path, part by part; empty where no current reaches it.
    pub lines: ByPtr<Vec<StepLine>>,
    /// Where the reader stands, always a place of `lines` if there is one.
    pub at: usize,
}

/// Heading, the step in words, the list, and the way on and back.
#[component]
pub fn Follow(props: &FollowProps) -> Html {
    let FollowProps { lamp, lines, at } = props;
    let dispatch = use_context::<Dispatch>();
    let (title, list) = (use_node_ref(), use_node_ref());
    {
        let title = title.clone();
        use_effect_with((), move |()| {
            if let Some(title) = title.cast::<HtmlElement>() {
                let _ = title.focus();
            }
        });
    }
    {
        let list = list.clone();
        use_effect_with((*at, lines.clone()), move |_| {
            let list = list.cast::<Element>();
            let here = list.and_then(|list| list.query_selector("[aria-current]").ok()?);
            if let Some(here) = here {
                let how = ScrollIntoViewOptions::new();
                how.set_block(ScrollLogicalPosition::Nearest);
                here.scroll_into_view_with_scroll_into_view_options(&how);
            }
        });
    }
    let to = use_callback(
        (dispatch.clone(), lamp.id.clone(), lines.len()),
        |step: usize, (dispatch, lamp, len)| {
            let step = step.min(len.saturating_sub(1));
            let follow = Action::Follow(Some((lamp.clone(), step)));
            dispatch.iter().for_each(|d| d.dispatch(follow.clone()));
        },
    );
    let close = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Follow(None)));
    });
    let go = |step: usize| to.reform(move |_: MouseEvent| step);
    let key = {
        let (to, at, last) = (to.clone(), *at, lines.len().saturating_sub(1));
        Callback::from(move |event: KeyboardEvent| {
            let step = match event.key().as_str() {
                "ArrowRight" | "ArrowDown" => at + 1,
                "ArrowLeft" | "ArrowUp" => at.saturating_sub(1),
                "Home" => 0,
                "End" => last,
                _ => return,
            };
            event.prevent_default();
            to.emit(step);
        })
    };
    let tap = {
        let to = to.clone();
        Callback::from(move |event: MouseEvent| {
            let row = event
                .target_dyn_into::<Element>()
                .and_then(|target| target.closest("[data-step]").ok()?);
            let step = row.and_then(|row| row.get_attribute("data-step")?.parse().ok());
            step.into_iter().for_each(|step| to.emit(step));
        })
    };
    let here = lines.get(*at);
    html! {
        <section class="follow" aria-labelledby="follow-title">
            <div class="follow-head">
                <h3 id="follow-title" ref={title} tabindex="-1">{ say!("Path of {}", lamp.label) }</h3>
                <button type="button" class="small" onclick={close}>{ say!("Close") }</button>
            </div>
            if let Some(here) = here {
                <p class="follow-here" role="status" aria-atomic="true">
                    <strong>{ say!("{} of {}: {} ", at + 1, lines.len(), here.id) }</strong>
                    { format!("{}, {}", here.what, here.amps) }
                    if here.reversed {
                        <strong class="step-back">{ say!(" ◀ runs backwards") }</strong>
                    }
                </p>
            } else {
                <p>{ say!("No current reaches it in this state. Move a control; the path appears.") }</p>
            }
            <ol class="steps follow-list" ref={list} aria-label={say!("The whole path")} onclick={tap} onkeydown={key}>
                { for lines.iter().enumerate().map(|(i, line)| row(i, line, i == *at)) }
            </ol>
            <div class="end-bar">
                <button type="button" class="main-button" data-plain="true" disabled={*at == 0 || here.is_none()}
                    onclick={go(at.saturating_sub(1))}>{ say!("Previous") }</button>
                <button type="button" class="main-button" disabled={at + 1 >= lines.len()}
                    onclick={go(at + 1)}>{ say!("Next") }</button>
            </div>
        </section>
    }
}

fn row(i: usize, line: &StepLine, here: bool) -> Html {
    html! {
        <li key={i} data-reversed={line.reversed.then_some("true")}>
            <button type="button" class="step" data-step={i.to_string()} aria-current={here.then_some("step")}>
                <span class="step-id">{ &line.id }</span>
                <span class="step-what">
                    { &line.what }
                    if line.reversed {
                        <strong class="step-back">{ say!("◀ runs backwards") }</strong>
                    }
                </span>
                <span class="step-amps">{ &line.amps }</span>
            </button>
        </li>
    }
}

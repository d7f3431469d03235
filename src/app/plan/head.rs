//! The head of an open plan: the way back, the title, and how much there is to look at.

use crate::app::Dispatch;
use crate::app::root::Place;
use crate::findings::Count;
use crate::session::{Action, Screen};
use crate::text::say;
use yew::prelude::*;

/// What the head needs.
#[derive(Properties, PartialEq)]
pub struct HeadProps {
    /// The plan's title.
    pub title: AttrValue,
    /// Number of findings; `None` while they are being worked out.
    pub found: Option<Count>,
    /// Leaves for another place.
    pub go: Callback<Place>,
}

/// The head.
#[component]
pub fn Head(props: &HeadProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let back = use_callback(props.go.clone(), |_: MouseEvent, go| go.emit(Place::Home));
    let share = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Share)));
    });
    let checks = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Checks)));
    });
    let quiet = props.found.is_none_or(|count| count.to_look_at == 0);
    let text = match props.found {
        None => say!("checking…").to_owned(),
        Some(count) => say!("{} to look at", count.to_look_at),
    };
    let notes = props.found.map(Count::note_words).unwrap_or_default();
    let title = if props.title.trim().is_empty() {
        AttrValue::Static(say!("Plan without a title"))
    } else {
        props.title.clone()
    };
    html! {
        <header class="head">
            <button type="button" class="head-back" aria-label={say!("Back to all plans")} onclick={back}>
                <span aria-hidden="true">{ "‹" }</span>
            </button>
            <h1 class="head-title">{ title }</h1>
            <button type="button" class="head-share" aria-label={say!("Keep and share")} onclick={share}>
                <svg viewBox="0 0 24 24" aria-hidden="true">
                    <path d="M12 15V3m-5 5 5-5 5 5M6 12H4v9h16v-9h-2" />
                </svg>
            </button>
            <button type="button" class="pill" data-quiet={quiet.then_some("true")} onclick={checks}>
                { text }
                if !notes.is_empty() {
                    <span class="hidden">{ ", " }</span><span class="pill-notes">{ notes }</span>
                }
            </button>
        </header>
    }
}

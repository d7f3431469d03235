//! Undo and redo, each saying what it takes back or does again.

use crate::app::Dispatch;
use crate::plan::History;
use crate::session::{Action, ByPtr};
use crate::text::say;
use yew::prelude::*;

/// What the bar needs.
#[derive(Properties, PartialEq)]
pub struct UndoBarProps {
    /// The open plan's history.
    pub history: ByPtr<History>,
    /// Signs only, with the words kept for screen readers.
    #[prop_or_default]
    pub compact: bool,
}

/// The bar.
#[component]
pub fn UndoBar(props: &UndoBarProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let undo = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(Action::Undo));
    });
    let redo = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(Action::Redo));
    });
    let button = |onclick: Callback<MouseEvent>,
                  sign: &'static str,
                  word: &'static str,
                  nothing: &'static str,
                  step: Option<&str>| {
        let label = step.map_or_else(|| nothing.to_owned(), |step| format!("{word}: {step}"));
        html! {
            <button type="button" class="undo-button" {onclick} aria-label={label.clone()} disabled={step.is_none()}>
                <span class="undo-sign" aria-hidden="true">{ sign }</span>
                if !props.compact {
                    <span class="undo-word">{ label }</span>
                }
            </button>
        }
    };
    html! {
        <div class="undo" role="group" aria-label={say!("Undo and redo")} data-compact={props.compact.then_some("true")}>
            { button(undo, "↶", say!("Undo"), say!("Nothing to undo"), props.history.undo_label()) }
            { button(redo, "↷", say!("Redo"), say!("Nothing to redo"), props.history.redo_label()) }
        </div>
    }
}

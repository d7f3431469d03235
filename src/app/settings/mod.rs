//! What the plan is held against: surroundings, rules, units, and how the vehicle is used. One form, every change an edit.

mod rows;

pub use rows::rows;

use crate::app::Dispatch;
use crate::app::build::{Form, Open, Tab};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Screen};
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct SettingsProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The screen.
#[component]
pub fn Settings(props: &SettingsProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let go = use_callback(dispatch, |_: Open, dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Checks)));
    });
    html! { <Form plan={props.plan.clone()} tab={Tab::Sizing} id="sizing" {go} /> }
}

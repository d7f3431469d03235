//! The forms: parts, wires, controls, wishes, places, settings.

use crate::plan::Plan;
use crate::session::{ByPtr, Ui};
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct BuildProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Screen state.
    pub ui: ByPtr<Ui>,
}

/// The screen.
#[component]
pub fn Build(_: &BuildProps) -> Html {
    html! { <h2>{ "Build" }</h2> }
}

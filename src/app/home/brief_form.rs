//! The way to a new plan: the form from its first page, then the plan drafted from its answers.

use super::GoProps;
use crate::app::brief::BriefFlow;
use crate::app::root::{Opened, Place};
use crate::brief::form::Form;
use crate::brief::{Brief, draft};
use crate::session::ByPtr;
use yew::prelude::*;

/// The form.
#[component]
pub fn BriefForm(props: &GoProps) -> Html {
    let onleave = use_callback(props.go.clone(), |(), go| go.emit(Place::Home));
    let onend = use_callback(props.go.clone(), |brief: Brief, go| {
        go.emit(Place::Plan(ByPtr::new(Opened::fresh(draft(&brief)))));
    });
    html! {
        <main class="flow-host">
            <h1 class="hidden">{ "Plan my own" }</h1>
            <BriefFlow form={Form::new(Brief::default())} end="Draft the plan" {onend} {onleave} />
        </main>
    }
}

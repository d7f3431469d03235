//! The way to a new plan: the form from its first page, then the plan drafted from its answers. Answers are kept as they
//! are given, so that a reload or an update of the page does not ask them again.

use super::GoProps;
use crate::app::brief::BriefFlow;
use crate::app::root::{Opened, Place};
use crate::app::store;
use crate::brief::form::Form;
use crate::brief::{Brief, draft, from_text, text};
use crate::session::ByPtr;
use crate::text::say;
use yew::prelude::*;

/// The form.
#[component]
pub fn BriefForm(props: &GoProps) -> Html {
    let onleave = use_callback(props.go.clone(), |(), go| go.emit(Place::Home));
    let onend = use_callback(props.go.clone(), |brief: Brief, go| {
        if let Some(shelf) = store::shelf() {
            shelf.set_draft(None);
        }
        go.emit(Place::Plan(ByPtr::new(Opened::fresh(draft(&brief)))));
    });
    let onchange = use_callback((), |brief: Brief, ()| {
        if let Some(shelf) = store::shelf() {
            shelf.set_draft(Some(&text(&brief)));
        }
    });
    let kept = store::shelf().and_then(|shelf| from_text(&shelf.draft()?));
    let form = kept.map_or_else(|| Form::new(Brief::default()), Form::checking);
    html! {
        <main class="flow-host">
            <h1 class="hidden">{ say!("Plan my own") }</h1>
            <BriefFlow {form} end={say!("Draft the plan")} {onend} {onleave} {onchange} />
        </main>
    }
}

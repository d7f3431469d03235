//! The summary of what does not read in a form, each line leading to its field.

use super::Problems;
use crate::text::say;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};
use yew::prelude::*;

/// What the summary needs.
#[derive(Properties, PartialEq)]
pub struct ProblemListProps {
    /// What is wrong.
    pub problems: Problems,
}

/// The summary.
#[component]
pub fn ProblemList(props: &ProblemListProps) -> Html {
    // A link into the page would become an entry of its history: the field is given the focus instead.
    let jump = use_callback((), |event: MouseEvent, ()| {
        let id = event
            .target_dyn_into::<Element>()
            .and_then(|target| target.closest("[data-field]").ok()?)
            .and_then(|link| link.get_attribute("data-field"));
        let field = id.and_then(|id| gloo::utils::document().get_element_by_id(&id));
        if let Some(field) = field.and_then(|field| field.dyn_into::<HtmlElement>().ok()) {
            event.prevent_default();
            field.scroll_into_view();
            let _ = field.focus();
        }
    });
    let count = props.problems.0.len();
    html! {
        <div class="problems" role="alert" onclick={jump}>
            <p><strong>{ if count == 1 { say!("One field needs mending:").to_owned() } else { say!("{count} fields need mending:") } }</strong></p>
            <ul>
                { for props.problems.0.iter().map(|(id, label, text)| html! {
                    <li key={id.to_string()}>
                        <a href={format!("#{id}")} data-field={id.clone()}>{ label }</a>
                        { format!(": {text}") }
                    </li>
                }) }
            </ul>
        </div>
    }
}

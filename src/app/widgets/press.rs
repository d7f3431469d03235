//! The button that ends a form.
//!
//! A tap on it must not take the focus first: the field left behind would show its complaint, push the button
//! away from under the finger, and the tap would be lost. So the focus stays, and the field is left on the click.

use wasm_bindgen::JsCast;
use web_sys::HtmlElement;
use yew::prelude::*;

/// What the button needs.
#[derive(Properties, PartialEq)]
pub struct EndButtonProps {
    /// What is written on it.
    pub text: AttrValue,
    /// Called once the field that was being written in has been read.
    pub onend: Callback<()>,
}

/// The button.
#[component]
pub fn EndButton(props: &EndButtonProps) -> Html {
    let stay = use_callback((), |event: MouseEvent, ()| event.prevent_default());
    let onclick = use_callback(props.onend.clone(), |_: MouseEvent, onend| {
        let active = gloo::utils::document().active_element();
        if let Some(active) = active.and_then(|active| active.dyn_into::<HtmlElement>().ok()) {
            let _ = active.blur();
        }
        onend.emit(());
    });
    html! {
        <button type="button" class="main-button" onmousedown={stay} {onclick}>{ &props.text }</button>
    }
}

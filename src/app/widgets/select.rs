//! A choice from a list.

use crate::text::say;
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// What a choice needs.
#[derive(Properties, PartialEq)]
pub struct SelectProps {
    /// Identity in the page.
    pub id: AttrValue,
    /// Its name.
    pub label: AttrValue,
    /// What to know when choosing.
    #[prop_or_default]
    pub hint: AttrValue,
    /// Value chosen; one that is not in the list shows as it is.
    pub value: AttrValue,
    /// Values and what is shown of them.
    pub options: Vec<(AttrValue, AttrValue)>,
    /// Takes the new value.
    pub onchoose: Callback<String>,
    /// A sentence the form has about this choice.
    #[prop_or_default]
    pub complaint: Option<AttrValue>,
}

/// The choice.
#[component]
pub fn Select(props: &SelectProps) -> Html {
    let onchange = use_callback(props.onchoose.clone(), |event: Event, onchoose| {
        if let Some(select) = event.target_dyn_into::<HtmlSelectElement>() {
            onchoose.emit(select.value());
        }
    });
    let known = props.options.iter().any(|(value, _)| *value == props.value);
    let (hint_id, wrong_id) = (format!("{}-hint", props.id), format!("{}-wrong", props.id));
    let described = match (&props.complaint, props.hint.is_empty()) {
        (Some(_), _) => Some(wrong_id.clone()),
        (None, false) => Some(hint_id.clone()),
        (None, true) => None,
    };
    let option = |(value, text): &(AttrValue, AttrValue)| {
        html! {
            <option key={value.to_string()} value={value.clone()} selected={*value == props.value}>{ text }</option>
        }
    };
    html! {
        <div class="field" data-wrong={props.complaint.is_some().then_some("true")}>
            <label for={props.id.clone()}>{ &props.label }</label>
            if !props.hint.is_empty() {
                <span class="field-hint" id={hint_id}>{ &props.hint }</span>
            }
            <select id={props.id.clone()} {onchange} aria-describedby={described}
                aria-invalid={props.complaint.is_some().then_some("true")}>
                if !known {
                    <option key="?" value={props.value.clone()} selected=true>
                        { if props.value.is_empty() { say!("choose…").into() } else { props.value.clone() } }
                    </option>
                }
                { for props.options.iter().map(option) }
            </select>
            if let Some(said) = &props.complaint {
                <span class="field-wrong" id={wrong_id}><strong>{ say!("Mend: ") }</strong>{ said }</span>
            }
        </div>
    }
}

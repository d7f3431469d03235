//! The one text field: label, hint, draft, and the sentence that says what is wrong with it.
//!
//! The half-typed text stays in the field; only what reads is handed on, on Enter or when the field is left.

use crate::text::say;
use std::rc::Rc;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// What is wrong in a form's fields: identity of the field, its label, the sentence.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Problems(pub Vec<(AttrValue, AttrValue, AttrValue)>);

/// A field's report to its form.
#[derive(Debug, Clone, PartialEq)]
pub enum Report {
    /// The field reads.
    Fine(AttrValue),
    /// The field does not: identity, label, sentence.
    Wrong(AttrValue, AttrValue, AttrValue),
}

impl Reducible for Problems {
    type Action = Report;
    fn reduce(self: Rc<Self>, report: Report) -> Rc<Self> {
        let mut list = self.0.clone();
        match report {
            Report::Fine(id) => list.retain(|(known, ..)| *known != id),
            Report::Wrong(id, label, text) => {
                match list.iter_mut().find(|(known, ..)| *known == id) {
                    Some(entry) => *entry = (id, label, text),
                    None => list.push((id, label, text)),
                }
            }
        }
        if list == self.0 {
            self
        } else {
            Rc::new(Self(list))
        }
    }
}

/// What a field needs.
#[derive(Properties, PartialEq)]
pub struct FieldProps {
    /// Identity in the page.
    pub id: AttrValue,
    /// Its name.
    pub label: AttrValue,
    /// Value as text.
    pub value: AttrValue,
    /// What may be written.
    #[prop_or_default]
    pub hint: AttrValue,
    /// Which keyboard a phone shows.
    #[prop_or(AttrValue::Static("text"))]
    pub inputmode: AttrValue,
    /// More than one line.
    #[prop_or_default]
    pub long: bool,
    /// Takes the text; answers with a sentence when it does not read.
    pub take: Callback<String, Result<(), String>>,
    /// Hears whether the field reads.
    #[prop_or_default]
    pub report: Callback<Report>,
    /// A sentence the form itself has about this field.
    #[prop_or_default]
    pub complaint: Option<AttrValue>,
}

/// The field.
#[component]
pub fn Field(props: &FieldProps) -> Html {
    let draft = use_state(|| props.value.clone());
    let wrong = use_state(|| None::<AttrValue>);
    {
        // A new value from outside (undo, a choice that fills it) replaces the draft.
        let (draft, wrong, report) = (draft.clone(), wrong.clone(), props.report.clone());
        use_effect_with(
            (props.value.clone(), props.id.clone()),
            move |(value, id)| {
                draft.set(value.clone());
                wrong.set(None);
                report.emit(Report::Fine(id.clone()));
            },
        );
    }
    let commit = {
        let (draft, wrong) = (draft.clone(), wrong.clone());
        let (take, report) = (props.take.clone(), props.report.clone());
        let (id, label, value) = (props.id.clone(), props.label.clone(), props.value.clone());
        move |text: String| {
            if text == *value && wrong.is_none() {
                return;
            }
            match take.emit(text) {
                Ok(()) => {
                    wrong.set(None);
                    // What was taken may read the same as before (`1,5 m`): show it as it is kept.
                    draft.set(value.clone());
                    report.emit(Report::Fine(id.clone()));
                }
                Err(sentence) => {
                    let sentence = AttrValue::from(sentence);
                    wrong.set(Some(sentence.clone()));
                    report.emit(Report::Wrong(id.clone(), label.clone(), sentence));
                }
            }
        }
    };
    let oninput = {
        let draft = draft.clone();
        Callback::from(move |event: InputEvent| {
            let text = event
                .target_dyn_into::<HtmlInputElement>()
                .map(|input| input.value());
            let long = event
                .target_dyn_into::<web_sys::HtmlTextAreaElement>()
                .map(|input| input.value());
            if let Some(text) = text.or(long) {
                draft.set(text.into());
            }
        })
    };
    let onblur = {
        let (commit, draft) = (commit.clone(), draft.clone());
        Callback::from(move |_: FocusEvent| commit(draft.to_string()))
    };
    let onkeydown = {
        let draft = draft.clone();
        Callback::from(move |event: KeyboardEvent| {
            if event.key() == "Enter" {
                event.prevent_default();
                commit(draft.to_string());
            }
        })
    };
    let said = (*wrong).clone().or_else(|| props.complaint.clone());
    let (hint_id, wrong_id) = (format!("{}-hint", props.id), format!("{}-wrong", props.id));
    let described = match (props.hint.is_empty(), &said) {
        (true, None) => None,
        (true, Some(_)) => Some(wrong_id.clone()),
        (false, None) => Some(hint_id.clone()),
        (false, Some(_)) => Some(format!("{wrong_id} {hint_id}")),
    };
    let invalid = said.is_some().then_some("true");
    html! {
        <div class="field" data-wrong={said.is_some().then_some("true")}>
            <label for={props.id.clone()}>{ &props.label }</label>
            if !props.hint.is_empty() {
                <span class="field-hint" id={hint_id}>{ &props.hint }</span>
            }
            if props.long {
                <textarea id={props.id.clone()} rows="4" value={(*draft).clone()} {oninput} {onblur}
                    aria-invalid={invalid} aria-describedby={described} />
            } else {
                <input id={props.id.clone()} type="text" inputmode={props.inputmode.clone()} value={(*draft).clone()}
                    autocomplete="off" autocapitalize="off" spellcheck="false"
                    {oninput} {onblur} {onkeydown} aria-invalid={invalid} aria-describedby={described} />
            }
            if let Some(said) = said {
                <span class="field-wrong" id={wrong_id}><strong>{ say!("Mend: ") }</strong>{ said }</span>
            }
        </div>
    }
}

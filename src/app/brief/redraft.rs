//! The answers of an open plan, changed later: the plan is drafted anew as one edit, looked at before it is taken, with
//! what of the changes by hand stays and what no longer fits.

use super::BriefFlow;
use crate::app::Dispatch;
use crate::brief::form::Form;
use crate::brief::{Brief, answers, redraft};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Proposed, Screen};
use crate::text::say;
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct AnswersProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The screen.
#[component]
pub fn Answers(props: &AnswersProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let onleave = use_callback(dispatch.clone(), |(), dispatch| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Show(Screen::Build)));
    });
    let onend = use_callback(
        (dispatch, props.plan.clone()),
        |brief: Brief, (dispatch, plan)| {
            let drafted = redraft(plan, &brief);
            let lost = drafted.lost.into_iter();
            let proposed = Box::new(Proposed {
                title: say!("Draft from other answers").into(),
                edit: drafted.edit,
                lines: lost
                    .map(|line| say!("Does not fit: {line}"))
                    .chain(drafted.kept)
                    .collect(),
                heads: Vec::new(),
                costs: Vec::new(),
            });
            dispatch
                .iter()
                .for_each(|d| d.dispatch(Action::Propose(proposed.clone())));
        },
    );
    let form = Form::checking(answers(&props.plan).unwrap_or_default())
        .in_units_of(&props.plan.settings.sizing);
    html! { <BriefFlow {form} end={say!("Look at the new draft")} {onend} {onleave} /> }
}

//! Cures for back-feed and hidden flashes: worked out on request, each with what it adds, costs and changes,
//! looked at before it is taken and undone like any edit.

use super::work::{Work, use_work};
use crate::app::Dispatch;
use crate::app::widgets::Select;
use crate::app::worker::{Answer, Task};
use crate::catalog::diode;
use crate::isolate::{Advice, Proposal};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Proposed};
use crate::text::say;
use yew::prelude::*;

/// Type of diode offered first: carries a 21 W lamp with room to spare.
const USUAL: &str = "10A04";

/// What the section needs.
#[derive(Properties, PartialEq)]
pub struct CureProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The section.
#[component]
pub fn Cure(props: &CureProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let model = use_state(|| AttrValue::from(USUAL));
    let choose = use_callback(model.setter(), |value: String, model| {
        model.set(value.into())
    });
    let work = use_work(&props.plan, &Task::Cure(model.to_string()));
    let answer = match &work.work {
        Work::Done(answer) => Some(answer.clone()),
        _ => None,
    };
    let advice = answer.as_deref().and_then(cures);
    let look = use_callback(
        (dispatch, answer.clone()),
        |event: MouseEvent, (dispatch, answer)| {
            let chosen = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|button| button.get_attribute("data-cure")?.parse::<usize>().ok());
            let found = chosen
                .zip(answer.as_deref().and_then(cures))
                .and_then(|(i, advice)| advice.proposals.get(i));
            if let (Some(dispatch), Some(proposal)) = (dispatch, found) {
                dispatch.dispatch(Action::Propose(Box::new(Proposed {
                    title: say!("Cure: {}", proposal.title),
                    edit: proposal.edit.clone(),
                    lines: proposal.lines.clone(),
                    heads: proposal.costs.heads.clone(),
                    costs: proposal.costs.rows.clone(),
                })));
            }
        },
    );
    let models: Vec<(AttrValue, AttrValue)> = diode::ROWS
        .iter()
        .map(|row| (row.key.into(), row.key.into()))
        .collect();
    html! {
        <section class="cure" aria-labelledby="cure-title">
            <h3 id="cure-title">{ say!("Cure") }</h3>
            <p>{ say!("Finds the fewest diodes, and the contact or relay that gives turn priority over stop. Each \
                  proposal is solved in every state before it is shown.") }</p>
            <Select id="cure-model" label={say!("Type of diode")} value={(*model).clone()} options={models}
                onchoose={choose} hint={say!("A Schottky type takes less light, a silicon type leaks less.")} />
            { work.buttons(say!("Work out a cure"), false) }
            <div aria-live="polite">
                <p class="said">{ work.said() }</p>
                if let Some(advice) = advice {
                    if advice.proposals.is_empty() {
                        <p>{ say!("No cure was found.") }</p>
                    }
                    <ol class="cure-list" onclick={look}>
                        { for advice.proposals.iter().enumerate().map(|(i, p)| proposal(i, p)) }
                    </ol>
                    { for advice.remarks.iter().map(|remark| html! { <p class="mute">{ remark }</p> }) }
                }
            </div>
        </section>
    }
}

fn cures(answer: &Answer) -> Option<&Advice> {
    match answer {
        Answer::Cures(advice) => Some(advice),
        Answer::Sizes(_) => None,
    }
}

fn proposal(i: usize, proposal: &Proposal) -> Html {
    html! {
        <li key={i} class="cure-item">
            <h4>{ &proposal.title }</h4>
            <p><strong>{ say!("Now: ") }</strong>{ proposal.before.words() }<br />
                <strong>{ say!("With it: ") }</strong>{ proposal.after.words() }</p>
            <ul>{ for proposal.lines.iter().map(|line| html! { <li>{ line }</li> }) }</ul>
            <button type="button" class="main-button" data-cure={i.to_string()}>{ say!("Preview this") }</button>
        </li>
    }
}

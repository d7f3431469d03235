//! Cures for back-feed and hidden flashes: worked out on request, each with what it adds, costs and changes,
//! looked at before it is taken and undone like any edit.

use crate::app::Dispatch;
use crate::app::widgets::Select;
use crate::catalog::diode;
use crate::isolate::{Advice, Proposal, advise};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Proposed};
use gloo::timers::callback::Timeout;
use yew::prelude::*;

/// Type of diode offered first: carries a 21 W lamp with room to spare.
const USUAL: &str = "10A04";

/// What the section needs.
#[derive(Properties, PartialEq)]
pub struct CureProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// How far the work has come.
#[derive(Clone)]
enum Work {
    Idle,
    Busy,
    Done(ByPtr<Plan>, ByPtr<Advice>),
}

/// The section.
#[component]
pub fn Cure(props: &CureProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let model = use_state(|| AttrValue::from(USUAL));
    let work = use_state(|| Work::Idle);
    let choose = use_callback(
        (model.setter(), work.setter()),
        |value: String, (model, work)| {
            model.set(value.into());
            work.set(Work::Idle);
        },
    );
    let start = {
        let deps = (props.plan.clone(), model.clone(), work.setter());
        use_callback(deps, |_: MouseEvent, (plan, model, work)| {
            work.set(Work::Busy);
            let (plan, model, work) = (plan.clone(), (**model).clone(), work.clone());
            // After the next frame, so that the page says it is at work first.
            Timeout::new(50, move || {
                let advice = ByPtr::new(advise(&plan, &model, &mut |_| {}));
                work.set(Work::Done(plan, advice));
            })
            .forget();
        })
    };
    let advice = match &*work {
        Work::Done(of, advice) if *of == props.plan => Some(advice.clone()),
        _ => None,
    };
    let look = use_callback(
        (dispatch, advice.clone()),
        |event: MouseEvent, (dispatch, advice)| {
            let chosen = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|button| button.get_attribute("data-cure")?.parse::<usize>().ok());
            let found = chosen
                .zip(advice.as_ref())
                .and_then(|(i, advice)| advice.proposals.get(i));
            if let (Some(dispatch), Some(proposal)) = (dispatch, found) {
                dispatch.dispatch(Action::Propose(Box::new(Proposed {
                    title: format!("Cure: {}", proposal.title),
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
    let busy = matches!(*work, Work::Busy);
    html! {
        <section class="cure" aria-labelledby="cure-title">
            <h3 id="cure-title">{ "Cure" }</h3>
            <p>{ "Finds the fewest diodes, and the contact or relay that gives turn priority over stop. Each \
                  proposal is solved in every state before it is shown." }</p>
            <Select id="cure-model" label="Type of diode" value={(*model).clone()} options={models}
                onchoose={choose} hint="A Schottky type takes less light, a silicon type leaks less." />
            <button type="button" class="main-button" onclick={start} disabled={busy}>
                { if busy { "Working it out…" } else { "Work out a cure" } }
            </button>
            <div aria-live="polite">
                if let Some(advice) = advice {
                    if advice.proposals.is_empty() {
                        <p>{ "No cure was found." }</p>
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

fn proposal(i: usize, proposal: &Proposal) -> Html {
    html! {
        <li key={i} class="cure-item">
            <h4>{ &proposal.title }</h4>
            <p><strong>{ "Now: " }</strong>{ proposal.before.words() }<br />
                <strong>{ "With it: " }</strong>{ proposal.after.words() }</p>
            <ul>{ for proposal.lines.iter().map(|line| html! { <li>{ line }</li> }) }</ul>
            <button type="button" class="main-button" data-cure={i.to_string()}>{ "Preview this" }</button>
        </li>
    }
}

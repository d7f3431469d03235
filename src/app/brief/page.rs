//! One page of the form: what is asked, how far one is, the rows, and Back and Next under the thumb.

use super::check::Check;
use super::rows::view;
use crate::app::widgets::{EndButton, ProblemList, Problems, Report};
use crate::brief::form::{Form, Page, Step};
use crate::brief::{Brief, contradictions};
use crate::text::say;
use web_sys::HtmlElement;
use yew::prelude::*;

/// What a page needs.
#[derive(Properties, PartialEq)]
pub struct PageViewProps {
    /// The form as it stands.
    pub form: Form,
    /// Does something with it.
    pub step: Callback<Step>,
    /// What the last button says.
    pub end: AttrValue,
    /// Takes the answers at the end.
    pub onend: Callback<Brief>,
    /// Leaves the form.
    pub onleave: Callback<()>,
}

/// The page.
#[component]
pub fn PageView(props: &PageViewProps) -> Html {
    let PageViewProps { form, step, .. } = props;
    let problems = use_reducer(Problems::default);
    let tried = use_state(|| false);
    let title = use_node_ref();
    {
        let title = title.clone();
        use_effect_with((), move |()| {
            if let Some(title) = title.cast::<HtmlElement>() {
                let _ = title.focus();
            }
        });
    }
    let report = {
        let problems = problems.dispatcher();
        use_callback((), move |report: Report, ()| problems.dispatch(report))
    };
    let leave = use_callback(props.onleave.clone(), |_: MouseEvent, leave| leave.emit(()));
    let back = {
        let deps = (step.clone(), props.onleave.clone(), form.is_first());
        use_callback(deps, |_: MouseEvent, (step, leave, first)| {
            if *first {
                leave.emit(());
            } else {
                step.emit(Step::Back);
            }
        })
    };
    let next = {
        let (problems, tried, step) = (problems.clone(), tried.clone(), step.clone());
        Callback::from(move |()| {
            if problems.0.is_empty() {
                step.emit(Step::Next);
            } else {
                tried.set(true);
            }
        })
    };
    let end = use_callback(
        (form.brief.clone(), props.onend.clone()),
        |_: MouseEvent, (brief, end)| end.emit(brief.clone()),
    );
    let usual = use_callback(step.clone(), |_: MouseEvent, step| step.emit(Step::Check));
    let checking = form.page == Page::Check;
    let found = use_memo((checking, form.brief.clone()), |(checking, brief)| {
        if *checking {
            contradictions(brief)
        } else {
            Vec::new()
        }
    });
    let (number, all) = form.progress();
    html! {
        <div class="flow">
            <div class="flow-head">
                <div class="form-head">
                    <button type="button" class="head-back" aria-label={say!("Leave the form")} onclick={leave}>
                        <span aria-hidden="true">{ "✕" }</span>
                    </button>
                    <p class="flow-step">{ say!("Step {number} of {all}") }</p>
                </div>
                <progress max={all.to_string()} value={number.to_string()} aria-label={say!("How far the form is")}></progress>
            </div>
            <div class="flow-page">
                <h2 ref={title} tabindex="-1">{ form.title() }</h2>
                if !form.hint().is_empty() {
                    <p class="mute">{ form.hint() }</p>
                }
                if form.is_first() {
                    <button type="button" class="main-button" data-plain="true" onclick={usual}>{ say!("Take all usual answers") }</button>
                }
                if *tried && !problems.0.is_empty() {
                    <ProblemList problems={(*problems).clone()} />
                }
                if checking {
                    <Check form={form.clone()} found={found.clone()} step={step.clone()} />
                } else {
                    { for form.rows().into_iter().map(|row| view(row, form, step, &report)) }
                }
            </div>
            <div class="end-bar" role="group" aria-label={say!("Pages of the form")}>
                <button type="button" class="main-button" data-plain="true" onclick={back}>{ say!("Back") }</button>
                if checking {
                    <button type="button" class="main-button" onclick={end} disabled={!found.is_empty()}>{ &props.end }</button>
                } else {
                    <EndButton text={say!("Next")} onend={next} />
                }
            </div>
        </div>
    }
}

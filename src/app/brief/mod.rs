//! The form of the brief on the screen: one decision on each page, then all answers to be checked. Used for a new plan
//! and, from inside a plan, to change its answers later.

mod check;
mod page;
mod redraft;
mod rows;

pub use redraft::Answers;

use crate::app::whole::{State, use_whole};
use crate::brief::Brief;
use crate::brief::form::{Form, Page, Step};
use crate::text::say;
use page::PageView;
use std::rc::Rc;
use yew::prelude::*;

/// What the form needs.
#[derive(Properties, PartialEq)]
pub struct BriefFlowProps {
    /// The form at its start.
    pub form: Form,
    /// What the last button says.
    pub end: AttrValue,
    /// Takes the answers at the end.
    pub onend: Callback<Brief>,
    /// Leaves the form.
    pub onleave: Callback<()>,
    /// Takes the answers whenever they change.
    #[prop_or_default]
    pub onchange: Callback<Brief>,
}

/// The form as reducer state.
#[derive(PartialEq)]
struct Flow(Form);

impl Reducible for Flow {
    type Action = Step;
    fn reduce(self: Rc<Self>, step: Step) -> Rc<Self> {
        let form = self.0.after(&step);
        if form == self.0 {
            self
        } else {
            Rc::new(Self(form))
        }
    }
}

/// The form.
#[component]
pub fn BriefFlow(props: &BriefFlowProps) -> Html {
    let flow = use_reducer(|| Flow(props.form.clone()));
    let step = {
        let dispatcher = flow.dispatcher();
        use_callback((), move |step: Step, ()| dispatcher.dispatch(step))
    };
    let form = flow.0.clone();
    let first = use_mut_ref(|| form.brief.clone());
    use_effect_with(
        (form.brief.clone(), props.onchange.clone()),
        move |(brief, onchange)| {
            // Opened, the form has nothing to tell yet.
            if *first.borrow() != *brief {
                onchange.emit(brief.clone());
            }
            first.replace(brief.clone());
        },
    );
    // What the answers lead to, and whether they can all hold, only the whole program knows.
    let whole = use_whole();
    let reload = use_callback((), |_: MouseEvent, ()| {
        let _ = gloo::utils::window().location().reload();
    });
    if form.page == Page::Check && whole != State::Here {
        return html! {
            <div class="flow-wait" role="status">
                <h2>{ form.title() }</h2>
                if let State::Missing(why) = whole {
                    <p>{ why }</p>
                    // The answers are kept: the form opens again at this page.
                    <button type="button" class="main-button" onclick={reload}>{ say!("Load the page again") }</button>
                } else {
                    <p>{ say!("Loading the rest of Loomwright…") }</p>
                }
            </div>
        };
    }
    // A page of its own for each question: it opens at its top, with no complaints.
    let key = match form.page {
        Page::Topic(topic) => topic.title().to_owned(),
        Page::Lamp(at) => format!("lamp-{at}"),
        Page::Control(at) => format!("control-{at}"),
        Page::Check => "check".to_owned(),
    };
    html! {
        <PageView {key} {form} {step} end={props.end.clone()} onend={props.onend.clone()} onleave={props.onleave.clone()} />
    }
}

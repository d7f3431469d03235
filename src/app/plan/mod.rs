//! An open plan: its session, the shell around the four screens, and the keeping of every change.

mod analysis;
mod head;
mod keep;
mod nav;
mod notice;

pub use analysis::{Analysis, Known, use_analysis};

use super::brief::Answers;
use super::build::Build;
use super::catalogue::Catalogue;
use super::later::{use_after_paint, use_painted};
use super::paths::{DrawingMemory, Paths};
use super::root::{Opened, Place};
use super::settings::Settings;
use super::share::Share;
use super::update::UpdateLine;
use super::views::{Behaviour, Checks, Preview, PreviewBar};
use super::widgets::UndoBar;
use super::{Dispatch, screen_to_top};
use crate::findings::Count;
use crate::session::{Action, ByPtr, Screen, Session};
use crate::text::say;
use gloo::events::EventListener;
use head::Head;
use nav::Nav;
use notice::KeepNotice;
use wasm_bindgen::JsCast;
use web_sys::KeyboardEvent;
use yew::prelude::*;

/// What the open plan needs.
#[derive(Clone, Properties, PartialEq)]
pub struct PlanHostProps {
    /// The plan as it was opened.
    pub opened: ByPtr<Opened>,
    /// Leaves for another place.
    pub go: Callback<Place>,
}

/// The open plan: its title at once, in the next frame all of it.
#[component]
pub fn PlanHost(props: &PlanHostProps) -> Html {
    if use_painted() {
        return html! { <Whole ..props.clone() /> };
    }
    html! {
        <div class="app" data-screen="paths">
            <Head title={props.opened.plan.title.clone()} found={None::<Count>} go={props.go.clone()} />
            <main class="screen" id="screen"><p class="home" role="status">{ say!("Working it out…") }</p></main>
        </div>
    }
}

#[component]
fn Whole(props: &PlanHostProps) -> Html {
    let session = use_reducer(|| {
        let opened = &props.opened;
        Session::resume(opened.plan.clone(), opened.history.clone())
    });
    let dispatch: Dispatch = session.dispatcher();
    let keeping = keep::use_keeping(&props.opened, &session.plan, &session.history, &dispatch);
    let key_of = keeping.key.clone();
    // A tap is answered by the frame below: what is pressed, what undo says, the form that was typed into. The screens,
    // the drawing and the table follow in the next, all of one moment.
    let now = (session.plan.clone(), session.ui.clone());
    let (plan, ui) = use_after_paint(&now);
    let Known { analysis, far } = use_analysis(&plan);
    use_shortcuts(&dispatch);
    let memory = use_memo((), |()| DrawingMemory::default());
    let found = analysis
        .as_ref()
        .map(|analysis| Count::of(&analysis.findings));
    let screen = ui.screen;
    let has_steps = session
        .history
        .undo_label()
        .or(session.history.redo_label())
        .is_some();
    let proposed = ui.proposed.clone();
    let previewed = proposed.is_some();
    use_effect_with((previewed, screen), |_| {
        // Every screen starts at its top: what is looked at, and the one with the offer to undo it.
        screen_to_top();
    });
    html! {
        <ContextProvider<Dispatch> context={dispatch}>
        <ContextProvider<DrawingMemory> context={(*memory).clone()}>
            <div class="app" data-screen={if previewed { "preview" } else { nav::name(screen) }}>
                <Head title={session.plan.title.clone()} {found} go={props.go.clone()} />
                <main class="screen" id="screen" tabindex="-1">
                    <UpdateLine />
                    <KeepNotice {keeping} plan={plan.clone()} />
                    if let Some((done, all)) = far {
                        <progress class="far" aria-label={say!("States worked out")} value={done.to_string()}
                            max={all.to_string()}></progress>
                    }
                    if let Some(proposed) = proposed {
                        <Preview plan={plan.clone()} analysis={analysis.clone()} {proposed} />
                    }
                    // It stays as it is below a preview, so that Back leads to where one was.
                    <div class="below" hidden={previewed}>
                        if !matches!(screen, Screen::Paths | Screen::Answers) && has_steps {
                            <UndoBar history={session.history.clone()} />
                        }
                        { match screen {
                            Screen::Paths => html! {
                                <Paths {plan} {ui} {analysis} history={session.history.clone()} now={session.ui.clone()} />
                            },
                            Screen::Behaviour => html! { <Behaviour {plan} {analysis} /> },
                            Screen::Checks => html! { <Checks {plan} {analysis} {previewed} /> },
                            Screen::Build => html! { <Build plan={session.plan.clone()} /> },
                            Screen::Answers => html! { <Answers plan={session.plan.clone()} /> },
                            Screen::Share => html! { <Share {plan} {analysis} {key_of} /> },
                            Screen::Settings => html! { <Settings plan={session.plan.clone()} /> },
                            Screen::Catalogue => html! { <Catalogue /> },
                        } }
                    </div>
                </main>
                if previewed {
                    <PreviewBar />
                } else if screen != Screen::Answers {
                    <Nav screen={session.ui.screen} />
                }
                <p class="hidden" role="status">{ &session.ui.message }</p>
            </div>
        </ContextProvider<DrawingMemory>>
        </ContextProvider<Dispatch>>
    }
}

/// Ctrl+Z takes back, Ctrl+Shift+Z (or Ctrl+Y) does again, except while a text is being typed.
#[hook]
fn use_shortcuts(dispatch: &Dispatch) {
    use_effect_with(dispatch.clone(), |dispatch| {
        let dispatch = dispatch.clone();
        let listener = EventListener::new(&gloo::utils::document(), "keydown", move |event| {
            let Some(event) = event.dyn_ref::<KeyboardEvent>() else {
                return;
            };
            let typing = event
                .target()
                .and_then(|target| target.dyn_into::<web_sys::Element>().ok())
                .is_some_and(|target| matches!(target.tag_name().as_str(), "INPUT" | "TEXTAREA"));
            if typing || !(event.ctrl_key() || event.meta_key()) {
                return;
            }
            match (event.key().to_lowercase().as_str(), event.shift_key()) {
                ("z", false) => dispatch.dispatch(Action::Undo),
                ("z", true) | ("y", false) => dispatch.dispatch(Action::Redo),
                _ => {}
            }
        });
        move || drop(listener)
    });
}

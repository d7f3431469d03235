//! Sizing everything: worked out on request off the main thread, then shown as a change to look at before it is taken.

use super::work::{Work, use_work};
use crate::app::worker::{Answer, Task};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Proposed};
use crate::text::say;
use yew::prelude::*;

/// What the section needs.
#[derive(Properties, PartialEq)]
pub struct SizesProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Whether something else is being looked at: then what is worked out here is no longer waited for.
    pub elsewhere: bool,
    /// Takes what is to be done.
    pub act: Callback<Action>,
}

/// The section.
#[component]
pub fn SizeAll(props: &SizesProps) -> Html {
    let work = use_work(&props.plan, &Task::Size);
    let busy = matches!(work.work, Work::Busy(_));
    let sizes = match &work.work {
        Work::Done(answer) => Some(answer.clone()),
        _ => None,
    };
    {
        let forget = work.forget.clone();
        use_effect_with(props.elsewhere && busy, move |leave| {
            if *leave {
                forget.emit(());
            }
        });
    }
    let (act, forget) = (props.act.clone(), work.forget.clone());
    use_effect_with(sizes, move |sizes| {
        if let Some(Answer::Sizes(sizes)) = sizes.as_deref() {
            act.emit(Action::Propose(Box::new(Proposed {
                title: say!("Size everything").into(),
                edit: sizes.edit.clone(),
                lines: sizes.lines.clone(),
                heads: Vec::new(),
                costs: Vec::new(),
            })));
            // Looked at once; after Back it is to be asked for again.
            forget.emit(());
        }
    });
    html! {
        <section class="size-all" data-busy={busy.then_some("true")} aria-label={say!("Size everything")}>
            { work.buttons(say!("Size everything"), true) }
            <p class="said" aria-live="polite">{ work.said() }</p>
        </section>
    }
}

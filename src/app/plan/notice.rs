//! What stands in the way of keeping the open plan, with what can be done about it.

use super::keep::{Choice, Keeping};
use crate::app::files;
use crate::keep::Clash;
use crate::plan::Plan;
use crate::session::ByPtr;
use crate::text::say;
use yew::prelude::*;

/// What the notice needs.
#[derive(Properties, PartialEq)]
pub struct KeepNoticeProps {
    /// How the keeping stands.
    pub keeping: Keeping,
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The notice; nothing while all is well.
#[component]
pub fn KeepNotice(props: &KeepNoticeProps) -> Html {
    let Keeping {
        trouble,
        clash,
        choose,
        ..
    } = &props.keeping;
    let download = use_callback(props.plan.clone(), |_: MouseEvent, plan| {
        files::download_plan(plan);
    });
    let button = |choice: Choice, text: &'static str| {
        let choose = choose.clone();
        let onclick = Callback::from(move |_: MouseEvent| choose.emit(choice));
        html! { <button type="button" {onclick}>{ text }</button> }
    };
    html! {
        <>
            if let Some(trouble) = trouble {
                <div class="notice" role="alert">
                    <span>{ trouble.text() }</span>
                    <button type="button" onclick={download}>{ say!("Download") }</button>
                </div>
            }
            if let Some(clash) = clash {
                <div class="notice" role="alert">
                    <span>{ match clash {
                        Clash::Deleted => say!("This plan was deleted in another tab. It is still open here."),
                        Clash::WentOn | Clash::Overwrote =>
                            say!("This plan was changed in another tab. Until you choose, your changes here are kept as a second plan."),
                    } }</span>
                    { button(Choice::Mine, say!("Keep mine")) }
                    if *clash != Clash::Deleted {
                        { button(Choice::Theirs, say!("Take theirs")) }
                        { button(Choice::Both, say!("Keep both")) }
                    }
                </div>
            }
        </>
    }
}

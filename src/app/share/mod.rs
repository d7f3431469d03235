//! The screen that gives a plan away and goes back to earlier versions of it.

mod link;
mod sheet;
mod versions;

use crate::app::files;
use crate::app::plan::Analysis;
use crate::drawing::{self, Options, Overlay};
use crate::plan::{Plan, file};
use crate::session::ByPtr;
use crate::share::page;
use crate::text::say;
use link::LinkCard;
use std::rc::Rc;
use versions::Versions;
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct ShareProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Its analysis, `None` while it is being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
    /// Key it is kept under, once it is.
    pub key_of: Option<Rc<str>>,
}

/// The screen.
#[component]
pub fn Share(props: &ShareProps) -> Html {
    let ShareProps {
        plan,
        analysis,
        key_of,
    } = props;
    let said = use_state(String::new);
    let download = use_callback(plan.clone(), |_: MouseEvent, plan| {
        files::download_plan(plan)
    });
    let drawing = use_callback(plan.clone(), |_: MouseEvent, plan| {
        let (name, text) = drawing_file(plan);
        files::download(&name, SVG, &text);
    });
    let read = use_callback(
        (plan.clone(), analysis.clone()),
        |_: MouseEvent, (plan, analysis)| {
            if let Some(analysis) = analysis {
                let name = file::name(&plan.title, "html");
                files::download(
                    &name,
                    "text/html",
                    &page(plan, &analysis.table, &analysis.findings),
                );
            }
        },
    );
    let send = use_callback(
        (plan.clone(), said.setter()),
        |_: MouseEvent, (plan, said)| {
            // A browser hands over kinds of files it knows; the drawing carries the plan as well.
            let own = (file::name(&plan.title, file::EXTENSION), file::write(plan));
            let sent = sheet::send_file(&plan.title, &own.0, file::MEDIA_TYPE, &own.1) || {
                let (name, text) = drawing_file(plan);
                sheet::send_file(&plan.title, &name, SVG, &text)
            };
            said.set(if sent {
                String::new()
            } else {
                say!("This browser hands over no files: download it instead.").into()
            });
        },
    );
    html! {
        <div class="share">
            <section aria-labelledby="share-file">
                <h2 id="share-file">{ say!("As a file") }</h2>
                <div class="stack">
                    <button type="button" class="main-button" onclick={download}>{ say!("Download the plan") }</button>
                    if sheet::is_there() {
                        <button type="button" class="main-button" data-plain="true" onclick={send}>{ say!("Send the plan…") }</button>
                    }
                    <button type="button" class="main-button" data-plain="true" onclick={drawing}>{ say!("Download the drawing") }</button>
                    <button type="button" class="main-button" data-plain="true" onclick={read} disabled={analysis.is_none()}>
                        { say!("Download a page to read") }
                    </button>
                </div>
                <p class="wrong" role="alert" hidden={said.is_empty()}>{ &*said }</p>
                <p class="mute">
                    { say!("Plan and drawing open here again. The page shows drawing, behaviour, notes and lists to somebody without \
                       Loomwright; it runs no script and needs nothing else.") }
                </p>
            </section>
            <LinkCard plan={plan.clone()} />
            <Versions {key_of} plan={plan.clone()} />
        </div>
    }
}

const SVG: &str = "image/svg+xml";

/// Name and text of the drawing with the plan inside.
fn drawing_file(plan: &Plan) -> (String, String) {
    let scene = drawing::draw(plan, &Options::default());
    let text = drawing::export(plan, &scene, &Overlay::new());
    (file::name(&plan.title, "svg"), text)
}

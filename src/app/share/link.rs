//! The plan as a link and as a QR code of a link.

use super::sheet;
use crate::app::zip;
use crate::plan::{Plan, file};
use crate::session::ByPtr;
use crate::share::{Code, SHORT_LINK, link, qr};
use crate::text::say;
use std::rc::Rc;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// What the card needs.
#[derive(Properties, PartialEq)]
pub struct LinkCardProps {
    /// The document.
    pub plan: ByPtr<Plan>,
}

/// The link and the code, or why there are none.
#[derive(Debug)]
struct Made {
    link: Result<String, String>,
    code: Result<Code, String>,
}

/// The page's own address, without what comes after it.
fn address() -> String {
    let location = gloo::utils::window().location();
    let part = |part: Result<String, wasm_bindgen::JsValue>| part.unwrap_or_default();
    part(location.origin()) + &part(location.pathname())
}

async fn made(plan: &Plan) -> Made {
    let Some(packed) = zip::pack(file::write_small(plan).as_bytes()).await else {
        let why = say!("This browser cannot pack a plan into a link: send the plan as a file.")
            .to_owned();
        return Made {
            link: Err(why.clone()),
            code: Err(why),
        };
    };
    let address = address();
    Made {
        link: link(&address, &packed).map_err(|error| error.to_string()),
        code: qr(&address, &packed).map_err(|error| error.to_string()),
    }
}

/// The card.
#[component]
pub fn LinkCard(props: &LinkCardProps) -> Html {
    let state = use_state(|| None::<Rc<Made>>);
    let said = use_state(|| "");
    let shown = use_state(|| false);
    {
        let (state, said) = (state.setter(), said.setter());
        use_effect_with(props.plan.clone(), move |plan| {
            let plan = plan.clone();
            said.set("");
            spawn_local(async move {
                let made = made(&plan).await;
                state.set(Some(Rc::new(made)));
            });
        });
    }
    let area = use_node_ref();
    let copy = use_callback(said.setter(), {
        let area = area.clone();
        move |_: MouseEvent, said| {
            let Some(area) = area.cast::<HtmlTextAreaElement>() else {
                return;
            };
            area.select();
            let copied = gloo::utils::window()
                .navigator()
                .clipboard()
                .write_text(&area.value());
            let said = said.clone();
            spawn_local(async move {
                said.set(match JsFuture::from(copied).await {
                    Ok(_) => say!("Copied."),
                    Err(_) => say!("The link is marked: copy it from there."),
                });
            });
        }
    });
    let toggle = use_callback(shown.clone(), |_: MouseEvent, shown| shown.set(!**shown));
    let send = {
        let (title, area, said) = (props.plan.title.clone(), area.clone(), said.setter());
        Callback::from(move |_: MouseEvent| {
            let link = area.cast::<HtmlTextAreaElement>().map(|area| area.value());
            if !link.is_some_and(|link| sheet::send_link(&title, &link)) {
                said.set(say!(
                    "This browser does not hand the link over: copy it instead."
                ));
            }
        })
    };
    html! {
        <section aria-labelledby="share-link" class="link-card">
            <h2 id="share-link">{ say!("As a link") }</h2>
            <p class="mute">{ say!("The whole plan is in the link itself, behind the #: no server sees it.") }</p>
            { match state.as_deref() {
                None => html! { <p role="status">{ say!("Packing…") }</p> },
                Some(Made { link: Err(why), .. }) => html! { <p>{ why }</p> },
                Some(Made { link: Ok(link), code }) => html! {
                    <>
                        <label for="share-link-text">{ say!("{} characters", link.len()) }</label>
                        <textarea id="share-link-text" class="link-text" ref={area} readonly={true} rows="2" value={link.clone()} />
                        if link.len() > SHORT_LINK {
                            <p class="mute">{ say!("Some messengers cut links above {SHORT_LINK} characters; a file is never cut.") }</p>
                        }
                        <div class="row">
                            <button type="button" onclick={copy}>{ say!("Copy the link") }</button>
                            if sheet::is_there() {
                                <button type="button" onclick={send}>{ say!("Send the link…") }</button>
                            }
                            if code.is_ok() {
                                <button type="button" aria-pressed={shown.to_string()} onclick={toggle}>{ say!("QR code") }</button>
                            }
                        </div>
                        <p role="status">{ *said }</p>
                        { match code {
                            Ok(code) if *shown => square(code),
                            Ok(_) => html! {},
                            Err(why) => html! { <p class="mute">{ why }</p> },
                        } }
                    </>
                },
            } }
        </section>
    }
}

fn square(code: &Code) -> Html {
    html! {
        <svg class="qr" viewBox={format!("0 0 {0} {0}", code.side)} role="img" aria-label={say!("QR code of the link to this plan")}
            shape-rendering="crispEdges">
            <path class="qr-ground" d={format!("M0 0h{0}v{0}h-{0}z", code.side)} />
            <path class="qr-ink" d={code.path.clone()} />
        </svg>
    }
}

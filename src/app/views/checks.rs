//! What the checks say, by severity; every name leads to the drawing.

use super::cure::Cure;
use super::sizes::SizeAll;
use crate::app::plan::Analysis;
use crate::app::{Dispatch, terms};
use crate::findings::{Finding, Severity};
use crate::plan::Plan;
use crate::session::{Action, ByPtr, Pick, Proposed, Screen};
use crate::text::{self, mark, say};
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct ChecksProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Its analysis, `None` while it is being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
    /// Whether a change is being looked at in place of this screen.
    pub previewed: bool,
}

const GROUPS: [(Severity, &str, &str); 3] = [
    (Severity::Fault, mark!("Faults"), "✕"),
    (Severity::Caution, mark!("Cautions"), "!"),
    (Severity::Note, mark!("Notes"), "i"),
];

/// The screen.
#[component]
pub fn Checks(props: &ChecksProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let open = use_callback(
        (dispatch.clone(), props.plan.clone()),
        |event: MouseEvent, (dispatch, plan)| {
            let Some(target) = event.target_dyn_into::<web_sys::Element>() else {
                return;
            };
            let id = target.get_attribute("data-about");
            if let (Some(pick), Some(dispatch)) = (id.and_then(|id| pick_of(plan, &id)), dispatch) {
                dispatch.dispatch(Action::Pick(pick));
                dispatch.dispatch(Action::Show(Screen::Paths));
            }
            let screen = match target.get_attribute("data-go").as_deref() {
                Some("settings") => Screen::Settings,
                Some("catalogue") => Screen::Catalogue,
                Some(_) => {
                    let _ = gloo::utils::window().print();
                    return;
                }
                None => return,
            };
            dispatch
                .iter()
                .for_each(|d| d.dispatch(Action::Show(screen)));
        },
    );
    let act = use_callback(dispatch, |action: Action, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(action.clone()))
    });
    let Some(analysis) = &props.analysis else {
        return html! { <><h2>{ say!("Checks") }</h2><p role="status">{ say!("Working it out…") }</p></> };
    };
    html! {
        <div class="checks" onclick={open}>
            <h2>{ say!("Checks") }</h2>
            if analysis.findings.is_empty() {
                <p class="fine"><strong>{ "✓ " }</strong>
                    { say!("Nothing found: every lamp does what was wished in every state. Build it, then prove it with a meter.") }</p>
            }
            if analysis.table.is_curable() {
                <Cure plan={props.plan.clone()} />
            }
            <div class="checks-tools">
                <SizeAll plan={props.plan.clone()} elsewhere={props.previewed} act={act.clone()} />
                { for [("settings", say!("Rules and units")), ("catalogue", say!("Tables and sources")), ("print", say!("Print this list"))]
                    .into_iter().map(|(go, words)| html! {
                        <button type="button" key={go} class="main-button" data-plain="true" data-go={go}>{ words }</button>
                    }) }
            </div>
            { for GROUPS.iter().map(|(severity, title, mark)| {
                let own: Vec<&Finding> = analysis.findings.iter().filter(|f| f.severity == *severity).collect();
                if own.is_empty() { Html::default() } else { html! {
                    <section key={*title} class="finding-group" data-severity={severity.text()}>
                        <h3>{ format!("{} ({})", text::of(title), own.len()) }</h3>
                        <ul>{ for own.iter().enumerate().map(|(i, finding)| {
                            html! { <Row key={i} finding={ByPtr::new((*finding).clone())} {mark} plan={props.plan.clone()} act={act.clone()} /> }
                        }) }</ul>
                    </section>
                } }
            }) }
            { terms::terms(terms::CHECKS) }
            <p class="caution"><strong>{ say!("Loomwright advises and does not certify. ") }</strong>
                { say!("Road use needs the local code and, where required, an inspection.") }</p>
        </div>
    }
}

#[derive(Properties)]
struct RowProps {
    finding: ByPtr<Finding>,
    mark: &'static str,
    plan: ByPtr<Plan>,
    act: Callback<Action>,
}

impl PartialEq for RowProps {
    fn eq(&self, other: &Self) -> bool {
        // The same plan gives the same findings.
        self.plan == other.plan && *self.finding == *other.finding && self.act == other.act
    }
}

/// One finding: what is found, number and limit, the way to its explanation, its remedies.
#[component]
fn Row(props: &RowProps) -> Html {
    let RowProps {
        finding,
        mark,
        plan,
        act,
    } = props;
    let explain = use_callback(
        (finding.clone(), act.clone()),
        |_: MouseEvent, (finding, act)| {
            if let (Some(state), Some(lamp)) = (&finding.seen_in, finding.about.first()) {
                act.emit(Action::Look {
                    positions: state.0.clone(),
                    pick: Pick::Lamp(lamp.clone()),
                    explain: true,
                });
            }
        },
    );
    let remedy = use_callback(
        (finding.clone(), act.clone()),
        |event: MouseEvent, (finding, act)| {
            let chosen = event
                .target_dyn_into::<web_sys::Element>()
                .and_then(|target| target.closest("[data-remedy]").ok()?)
                .and_then(|button| button.get_attribute("data-remedy")?.parse::<usize>().ok());
            if let Some(remedy) = chosen.and_then(|i| finding.remedies.get(i)) {
                act.emit(Action::Propose(Box::new(Proposed {
                    title: remedy.title.clone(),
                    edit: remedy.edit.clone(),
                    lines: vec![finding.text.clone()],
                    heads: Vec::new(),
                    costs: Vec::new(),
                })));
            }
        },
    );
    html! {
        <li class="finding">
            <p class="finding-text">
                <span class="finding-mark" aria-hidden="true">{ *mark }</span>
                <span class="hidden">{ format!("{}: ", finding.severity.word()) }</span>
                { &finding.text }
            </p>
            if let Some(measure) = &finding.measure {
                <p class="measure">
                    <span>{ say!("Found ") }<strong>{ &measure.found }</strong></span>
                    <span>{ say!("Limit ") }<strong>{ &measure.limit }</strong></span>
                </p>
            }
            if finding.seen_in.is_some() {
                <button type="button" class="main-button" data-plain="true" onclick={explain}>{ say!("Explain on the drawing") }</button>
            }
            if !finding.remedies.is_empty() {
                <ul class="remedies" onclick={remedy}>
                    { for finding.remedies.iter().enumerate().map(|(i, remedy)| html! {
                        <li key={i}><button type="button" class="main-button" data-remedy={i.to_string()}>
                            <span><span class="on-screen">{ say!("Preview: ") }</span>{ &remedy.title }</span>
                        </button></li>
                    }) }
                </ul>
            }
            <div class="finding-about">
                { for finding.about.iter().map(|id| match pick_of(plan, id) {
                    Some(_) => html! {
                        <button type="button" key={id.clone()} class="link" data-about={id.clone()}
                            aria-label={say!("Show {id} on the drawing")}>{ id }</button>
                    },
                    None => html! { <span key={id.clone()} class="tag">{ id }</span> },
                }) }
            </div>
            <p class="finding-source">{ format!("{} · {}", finding.check_name(), finding.source) }</p>
        </li>
    }
}

/// What an identity names on the drawing.
fn pick_of(plan: &Plan, id: &str) -> Option<Pick> {
    if plan
        .lamp_circuits()
        .iter()
        .any(|lamp| lamp.id.to_string() == id)
    {
        Some(Pick::Lamp(id.into()))
    } else if plan.parts.iter().any(|part| part.id.as_str() == id) {
        Some(Pick::Part(id.into()))
    } else if plan.wires.iter().any(|wire| wire.id.as_str() == id) {
        Some(Pick::Wire(id.into()))
    } else {
        None
    }
}

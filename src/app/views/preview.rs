//! An edit before it is taken: what it changes, what it costs, the drawing with the new marked, and the behaviour table
//! before and after side by side.

use crate::app::paths::DrawingPane;
use crate::app::plan::{Analysis, use_analysis};
use crate::app::{Dispatch, words};
use crate::behaviour::{Cell, CellPair, Pair, compare};
use crate::drawing::Overlay;
use crate::findings::{Count, news, state_words};
use crate::isolate::Tally;
use crate::plan::{Plan, difference};
use crate::session::{Action, ByPtr, Proposed};
use crate::text::{self, mark, say};
use yew::prelude::*;

/// States shown at once.
const PAGE: usize = 24;

/// What the preview needs.
#[derive(Properties, PartialEq)]
pub struct PreviewProps {
    /// The document as it is.
    pub plan: ByPtr<Plan>,
    /// Its analysis, `None` while it is being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
    /// The edit.
    pub proposed: Box<Proposed>,
}

/// The plan after the edit, with what is new in it.
struct Built {
    plan: ByPtr<Plan>,
    lines: Vec<String>,
    marks: ByPtr<Overlay>,
}

/// The preview.
#[component]
pub fn Preview(props: &PreviewProps) -> Html {
    let Proposed {
        title,
        lines,
        heads,
        costs,
        ..
    } = &*props.proposed;
    let built = use_memo(
        (props.plan.clone(), props.proposed.clone()),
        |(plan, proposed)| {
            let mut after = (*plan.0).clone();
            // The session only keeps an edit that fits.
            let _ = proposed.edit.clone().apply(&mut after);
            let difference = difference(plan, &after);
            let mark = |group: String| (group, "marked".to_owned());
            Built {
                lines: difference.lines(&after),
                marks: ByPtr::new(difference.groups().into_iter().map(mark).collect()),
                plan: ByPtr::new(after),
            }
        },
    );
    let then = use_analysis(&built.plan).analysis;
    html! {
        <div class="preview">
            <h2 tabindex="-1">{ title }</h2>
            <p class="mute">{ say!("Nothing is changed yet.") }</p>
            if let (Some(now), Some(then)) = (&props.analysis, &then) {
                <Effect now={now.clone()} then={then.clone()} />
            } else {
                <p role="status">{ say!("Working it out…") }</p>
            }
            <DrawingPane plan={built.plan.clone()} overlay={built.marks.clone()} />
            if !built.marks.is_empty() {
                <p class="explain-key" data-key="marked">{ say!("Underlined, and green below: new or changed.") }</p>
            }
            <ul class="bullets">{ for lines.iter().chain(&built.lines).map(|line| html! { <li>{ line }</li> }) }</ul>
            if !costs.is_empty() {
                { cost_table(heads, costs) }
            }
            if let (Some(now), Some(then)) = (&props.analysis, &then) {
                <Sides plan={built.plan.clone()} now={now.clone()} then={then.clone()} />
            }
        </div>
    }
}

fn cost_table(heads: &[String], costs: &[(String, Vec<String>)]) -> Html {
    html! {
        <div class="table-pane" tabindex="0" role="region" aria-label={say!("Costs, scrolls sideways")}>
            <table class="costs">
                <caption>{ say!("What it costs") }</caption>
                <thead><tr>
                    <td></td>
                    { for heads.iter().map(|head| html! { <th scope="col">{ head }</th> }) }
                </tr></thead>
                <tbody>{ for costs.iter().map(|(what, figures)| html! {
                    <tr key={what.clone()}>
                        <th scope="row">{ what }</th>
                        { for figures.iter().map(|figure| html! { <td>{ figure }</td> }) }
                    </tr>
                }) }</tbody>
            </table>
        </div>
    }
}

/// What stands before the two sides of a preview.
const HEADS: [&str; 2] = [mark!("Now"), mark!("With it")];

/// What the effect is of.
#[derive(Properties, PartialEq)]
pub struct EffectProps {
    /// Before.
    pub now: ByPtr<Analysis>,
    /// After.
    pub then: ByPtr<Analysis>,
    /// What the two sides are called, in English.
    #[prop_or(HEADS)]
    pub heads: [&'static str; 2],
}

/// Cells not as wished and findings, before and after.
#[component]
pub fn Effect(props: &EffectProps) -> Html {
    let EffectProps { now, then, heads } = props;
    let new = news(&now.findings, &then.findings);
    let [was, is] = [now, then].map(|side| Count::of(&side.findings).words());
    html! {
        <>
            <dl class="effect">
                <dt>{ text::of(heads[0]) }</dt>
                <dd>{ format!("{}; {was}.", Tally::of(&now.table).words()) }</dd>
                <dt>{ text::of(heads[1]) }</dt>
                <dd>{ format!("{}; {is}.", Tally::of(&then.table).words()) }</dd>
            </dl>
            if !new.is_empty() {
                <div class="caution">
                    <p><strong>{ say!("New among them:") }</strong></p>
                    <ul class="bullets">{ for new.iter().map(|finding| html! { <li>{ &finding.text }</li> }) }</ul>
                </div>
            }
        </>
    }
}

/// What the two tables are of.
#[derive(Properties, PartialEq)]
pub struct SidesProps {
    /// The later plan.
    pub plan: ByPtr<Plan>,
    /// Before.
    pub now: ByPtr<Analysis>,
    /// After.
    pub then: ByPtr<Analysis>,
    /// What the two sides are called, in English.
    #[prop_or(HEADS)]
    pub heads: [&'static str; 2],
}

/// The two tables side by side.
#[component]
pub fn Sides(props: &SidesProps) -> Html {
    let SidesProps {
        plan,
        now,
        then,
        heads,
    } = props;
    let all = use_state(|| false);
    let shown = use_state(|| PAGE);
    let toggle = use_callback(all.clone(), |_: MouseEvent, all| all.set(!**all));
    let more = use_callback(shown.clone(), |_: MouseEvent, shown| {
        shown.set(**shown + PAGE)
    });
    let pairs = use_memo((now.clone(), then.clone()), |(now, then)| {
        compare(&now.table, &then.table)
    });
    let chosen: Vec<&Pair> = pairs.iter().filter(|pair| *all || pair.differs()).collect();
    let left = chosen.len().saturating_sub(*shown);
    let circuits = plan.lamp_circuits();
    let label = |cells: &CellPair| {
        let known = circuits.iter().find(|lamp| lamp.id == cells.lamp);
        let label = known.map(|lamp| words::lamp_name(&lamp.label));
        label.unwrap_or_else(|| cells.lamp.to_string())
    };
    html! {
        <section class="sides" aria-labelledby="sides-title">
            <h3 id="sides-title">{ say!("Behaviour side by side") }</h3>
            <button type="button" class="toggle" aria-pressed={all.to_string()} onclick={toggle}>
                { say!("Show every state and lamp") }
            </button>
            if chosen.is_empty() {
                <p>{ say!("No lamp changes what it does in any state; only shades of light may.") }</p>
            }
            { for chosen.iter().take(*shown).map(|pair| {
                let state = words::capital(&state_words(plan, &pair.state));
                let cells = pair.cells.iter().filter(|cells| *all || cells.differs());
                html! {
                    <table class="side" key={state.clone()}>
                        <caption>{ &state }</caption>
                        <thead><tr>
                            <th scope="col">{ say!("Lamp") }</th><th scope="col">{ text::of(heads[0]) }</th><th scope="col">{ text::of(heads[1]) }</th>
                        </tr></thead>
                        <tbody>{ for cells.map(|cells| html! {
                            <tr key={cells.lamp.to_string()}>
                                <th scope="row">{ label(cells) }</th>
                                { side(cells.before.as_ref()) }
                                { side(cells.after.as_ref()) }
                            </tr>
                        }) }</tbody>
                    </table>
                }
            }) }
            if left > 0 {
                <button type="button" onclick={more}>{ say!("Show more ({left} left)") }</button>
            }
        </section>
    }
}

fn side(cell: Option<&Cell>) -> Html {
    let Some(cell) = cell else {
        return html! { <td>{ "–" }</td> };
    };
    html! {
        <td data-verdict={cell.verdict.text()}>
            <span class="cell-state">{ words::seen(cell) }</span>
            <span class="cell-verdict">
                <span aria-hidden="true">{ words::verdict_mark(cell.verdict) }{ " " }</span>
                { cell.verdict.word() }
            </span>
        </td>
    }
}

/// Back and Apply, in the place of the navigation.
#[component]
pub fn PreviewBar() -> Html {
    let dispatch = use_context::<Dispatch>();
    let leave = use_callback(dispatch.clone(), |_: MouseEvent, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(Action::Leave));
    });
    let take = use_callback(dispatch, |_: MouseEvent, dispatch| {
        dispatch.iter().for_each(|d| d.dispatch(Action::Take));
    });
    html! {
        <section class="end-bar" aria-label={say!("This change")}>
            <button type="button" class="main-button" data-plain="true" onclick={leave}>{ say!("Back") }</button>
            <button type="button" class="main-button" onclick={take}>{ say!("Apply") }</button>
        </section>
    }
}

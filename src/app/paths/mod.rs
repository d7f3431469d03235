//! The live screen: the drawing with the current in it, the controls, and what the lamps do in words.

mod controls;
mod drawing;
mod drawn;
mod explain;
mod follow;
mod laid;
mod lamps;
mod more;
mod phase;
mod picked;
mod save;
mod sentence;
mod trace;
mod zoom;

use super::live::{Live, lines};
use super::overlay::{handles, with_pick};
use super::plan::Analysis;
use crate::plan::{History, Plan};
use crate::session::{ByPtr, Pick, Ui};
use crate::text::say;
use controls::Controls;
pub use drawing::DrawingPane;
pub use drawn::DrawingMemory;
use explain::Explain;
use follow::Follow;
use lamps::Lamps;
use phase::use_phase;
use picked::{Details, PickedLine, lamp_of};
use sentence::{Sentence, SentenceProps};
use trace::Trace;
use yew::prelude::*;

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct PathsProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Screen state.
    pub ui: ByPtr<Ui>,
    /// Screen state of the very moment, for what shows that it was pressed; `ui` may be a frame behind.
    pub now: ByPtr<Ui>,
    /// For undo and redo beside the drawing.
    pub history: ByPtr<History>,
    /// Whole behaviour and findings, `None` while they are being worked out.
    pub analysis: Option<ByPtr<Analysis>>,
}

/// The live screen.
#[component]
pub fn Paths(props: &PathsProps) -> Html {
    let PathsProps {
        plan,
        ui,
        now,
        history,
        analysis,
    } = props;
    let live = use_memo((plan.clone(), ui.positions.clone()), |(plan, positions)| {
        ByPtr::new(Live::new(plan, positions))
    });
    let live = (*live).clone();
    let handles = use_memo((plan.clone(), ui.positions.clone()), |(plan, positions)| {
        ByPtr::new(handles(plan, positions))
    });
    let paused = use_state(|| false);
    let phase = use_phase(live.per_minute, *paused);
    // The path that is followed, and the place on it.
    let path = use_memo(
        (live.clone(), ui.pick.clone(), plan.clone()),
        |(live, pick, plan)| {
            let path = lamp_of(live, pick).and_then(|lamp| lamp.path());
            ByPtr::new(path.map_or_else(Vec::new, |path| lines(plan, path)))
        },
    );
    let step = ui.step.map(|step| step.min(path.len().saturating_sub(1)));
    let here = step.and_then(|step| Some(path.get(step)?.group.clone()));
    let overlays = use_memo(
        (
            live.clone(),
            ui.pick.clone(),
            ui.explain,
            here.clone(),
            plan.clone(),
        ),
        |(live, pick, explain, here, plan)| {
            let lamp = lamp_of(live, pick);
            let group = group_of(pick).filter(|_| here.is_none());
            let (group, here) = (group.as_deref(), here.as_deref());
            let marked = |i: usize| with_pick(&live.overlays[i], plan, group, lamp, *explain, here);
            [0, 1].map(|i| ByPtr::new(marked(i)))
        },
    );
    let pause = use_callback(paused.clone(), |_: MouseEvent, paused| {
        paused.set(!**paused)
    });
    let lamp = lamp_of(&live, &ui.pick);
    let drawing = html! {
        <DrawingPane plan={plan.clone()} overlay={overlays[phase.index()].clone()} handles={(*handles).clone()}
            history={history.clone()} show={here} />
    };
    let beside = match (lamp, step, ui.explain) {
        (Some(lamp), Some(at), _) => {
            // Keys may come faster than frames: each goes on from where the last one led.
            let at = now
                .step
                .map_or(at, |step| step.min(path.len().saturating_sub(1)));
            Some(html! {
                <Follow key={lamp.id.clone()} lamp={lamp.clone()} lines={(*path).clone()} {at} />
            })
        }
        (Some(lamp), None, true) => Some(html! {
            <Explain plan={plan.clone()} live={live.clone()} lamp={lamp.clone()} />
        }),
        _ => None,
    };
    if let Some(beside) = beside {
        return html! {
            <div class="paths" data-beside="true">
                <h2 class="hidden">{ say!("Paths") }</h2>
                <div class="paths-main">
                    { drawing }
                    <div class="paths-dock">{ beside }</div>
                </div>
            </div>
        };
    }
    let (pick, analysis) = (ui.pick.clone(), analysis.clone());
    html! {
        <div class="paths">
            <h2 class="hidden">{ say!("Paths") }</h2>
            <div class="paths-main">
                { drawing }
                <div class="paths-dock">
                    <Sentence ..SentenceProps::new(live.clone(), phase, *paused, pause) />
                    <PickedLine plan={plan.clone()} live={live.clone()} pick={pick.clone()} />
                    <Controls plan={plan.clone()} ui={now.clone()} />
                </div>
            </div>
            <div class="paths-more">
                if let Some(lamp) = lamp {
                    <Trace plan={plan.clone()} lamp={lamp.clone()} />
                }
                <Details plan={plan.clone()} live={live.clone()} pick={pick.clone()} {analysis} />
                <Lamps {live} {pick} />
            </div>
        </div>
    }
}

/// Group of the drawing that is picked.
fn group_of(pick: &Pick) -> Option<String> {
    match pick {
        Pick::Nothing => None,
        Pick::Part(id) => Some(format!("part-{id}")),
        Pick::Wire(id) => Some(format!("wire-{id}")),
        Pick::Lamp(id) => Some(format!("lamp-{id}")),
    }
}

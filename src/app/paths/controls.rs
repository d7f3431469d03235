//! The plan's controls as large switches for the thumb.

use crate::app::Dispatch;
use crate::plan::{Action as ControlAction, Control, Plan, position_word};
use crate::session::{Action, ByPtr, Ui};
use crate::text::say;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

/// What the switches need.
#[derive(Properties, PartialEq)]
pub struct ControlsProps {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Screen state.
    pub ui: ByPtr<Ui>,
}

/// The switches.
#[component]
pub fn Controls(props: &ControlsProps) -> Html {
    let ControlsProps { plan, ui } = props;
    html! {
        <div class="controls" role="group" aria-label={say!("Controls")}>
            if plan.controls.is_empty() {
                <p class="mute">{ say!("No controls yet: add one under Build, Controls.") }</p>
            }
            { for plan.controls.iter().enumerate().map(|(index, control)| html! {
                <Switch key={control.id.as_str()} {index} control={ByPtr::new(control.clone())}
                    position={ui.positions.get(index).copied().unwrap_or(0)}
                    latched={ui.latched.contains(&index)} />
            }) }
        </div>
    }
}

#[derive(Properties)]
struct SwitchProps {
    index: usize,
    control: ByPtr<Control>,
    position: u8,
    latched: bool,
}

impl PartialEq for SwitchProps {
    fn eq(&self, other: &Self) -> bool {
        // A control is small: comparing it beats drawing its switch again.
        (self.index, self.position, self.latched) == (other.index, other.position, other.latched)
            && *self.control == *other.control
    }
}

#[component]
fn Switch(props: &SwitchProps) -> Html {
    let SwitchProps {
        index,
        control,
        position,
        latched,
    } = props;
    match (control.action, control.positions.len()) {
        (ControlAction::Momentary, _) => {
            html! { <Momentary index={*index} control={control.clone()} position={*position} latched={*latched} /> }
        }
        (ControlAction::Latching, 2) => {
            html! { <Toggle index={*index} control={control.clone()} position={*position} latched=false /> }
        }
        _ => {
            html! { <Positions index={*index} control={control.clone()} position={*position} latched=false /> }
        }
    }
}

/// Two positions: on and off by a tap.
#[component]
fn Toggle(props: &SwitchProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let (control, position) = (props.index, usize::from(props.position == 0));
    let onclick = use_callback(
        (dispatch, control, position),
        |_: MouseEvent, (dispatch, control, position)| {
            let (control, position) = (*control, *position);
            dispatch
                .iter()
                .for_each(|d| d.dispatch(Action::Move { control, position }));
        },
    );
    html! {
        <button type="button" class="switch" aria-pressed={(props.position != 0).to_string()} {onclick}
            data-control={props.control.id.to_string()}>
            { face(props) }
        </button>
    }
}

/// Goes back when let go: held by finger or key, or latched with the small button beside it.
#[component]
fn Momentary(props: &SwitchProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let control = props.index;
    let deps = (dispatch.clone(), control);
    let down = use_callback(deps.clone(), |event: PointerEvent, (dispatch, control)| {
        if event.button() != 0 {
            return;
        }
        // The finger may slide a little without letting go of the pedal.
        if let Some(target) = event.target_dyn_into::<Element>() {
            let _ = target.set_pointer_capture(event.pointer_id());
        }
        let press = Action::Move {
            control: *control,
            position: 1,
        };
        dispatch.iter().for_each(|d| d.dispatch(press.clone()));
    });
    let up = use_callback(deps.clone(), |_: PointerEvent, (dispatch, control)| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::LetGo(*control)));
    });
    let key = use_callback(deps.clone(), |event: KeyboardEvent, (dispatch, control)| {
        if !matches!(event.key().as_str(), " " | "Enter") {
            return;
        }
        event.prevent_default();
        let action = if event.type_() == "keydown" {
            Action::Move {
                control: *control,
                position: 1,
            }
        } else {
            Action::LetGo(*control)
        };
        dispatch.iter().for_each(|d| d.dispatch(action.clone()));
    });
    let blur = use_callback(deps.clone(), |_: FocusEvent, (dispatch, control)| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::LetGo(*control)));
    });
    let menu = use_callback((), |event: MouseEvent, ()| event.prevent_default());
    let latch = use_callback(deps, |_: MouseEvent, (dispatch, control)| {
        dispatch
            .iter()
            .for_each(|d| d.dispatch(Action::Latch(*control)));
    });
    let name = &props.control.label;
    html! {
        <div class="momentary">
            <button type="button" class="switch" aria-pressed={(props.position != 0).to_string()}
                data-control={props.control.id.to_string()}
                onpointerdown={down} onpointerup={up.clone()} onpointercancel={up.clone()} onpointerleave={up}
                onkeydown={key.clone()} onkeyup={key} onblur={blur} oncontextmenu={menu}>
                { face(props) }
            </button>
            <button type="button" class="hold" aria-pressed={props.latched.to_string()} onclick={latch}
                aria-label={say!("Hold {name}")}>
                { say!("Hold") }
            </button>
        </div>
    }
}

/// Three and more positions: one of them is chosen.
#[component]
fn Positions(props: &SwitchProps) -> Html {
    let dispatch = use_context::<Dispatch>();
    let control = props.index;
    let onchange = use_callback((dispatch, control), |event: Event, (dispatch, control)| {
        let chosen = event
            .target_dyn_into::<web_sys::HtmlInputElement>()
            .map(|input| input.value());
        if let (Some(Ok(position)), Some(dispatch)) = (chosen.map(|text| text.parse()), dispatch) {
            dispatch.dispatch(Action::Move {
                control: *control,
                position,
            });
        }
    });
    let name = format!("control-{}", props.control.id);
    html! {
        <fieldset class="positions" {onchange}>
            <legend>{ &props.control.label }</legend>
            { for props.control.positions.iter().enumerate().map(|(i, position)| html! {
                <label key={i} class="position">
                    <input type="radio" name={name.clone()} value={i.to_string()} checked={i == usize::from(props.position)}
                        data-control={props.control.id.to_string()} data-position={position.clone()} />
                    <span>{ position_word(position) }</span>
                </label>
            }) }
        </fieldset>
    }
}

/// Name and position on the face of a switch.
fn face(props: &SwitchProps) -> Html {
    let position = props.control.positions.get(usize::from(props.position));
    html! {
        <>
            <span class="switch-name">{ &props.control.label }</span>
            <span class="switch-position">{ position.map_or("", |position| position_word(position)) }</span>
        </>
    }
}

//! The state of one open plan on one screen, and the pure function that changes it.
//!
//! Document and screen state are apart: undo changes the document and never moves the screen. The reducer
//! reads no clock and touches no storage; saving is an effect of a new document pointer. Where an action
//! changes nothing the same pointers come back, so that nothing is drawn again.

use crate::plan::{Action as ControlAction, Edit, History, Plan};
use crate::text::say;
use crate::units::order::OrdSet;
use std::rc::Rc;

/// A shared value compared by address: equal means the very same value.
#[derive(Debug)]
pub struct ByPtr<T>(pub Rc<T>);

impl<T> ByPtr<T> {
    /// Shares a value.
    pub fn new(value: T) -> Self {
        Self(Rc::new(value))
    }
}

impl<T> Clone for ByPtr<T> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<T> PartialEq for ByPtr<T> {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl<T> core::ops::Deref for ByPtr<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.0
    }
}

/// Which of the plan's screens is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// The drawing, alive, with the controls.
    #[default]
    Paths,
    /// The behaviour table.
    Behaviour,
    /// What the checks say.
    Checks,
    /// Parts, wires, controls, wishes: the forms.
    Build,
    /// The answers the plan was drafted from.
    Answers,
    /// Files, links and earlier versions.
    Share,
    /// Conditions the plan is judged under, and units.
    Settings,
    /// The tables behind the findings.
    Catalogue,
}

/// What is picked on the screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Pick {
    /// Nothing.
    #[default]
    Nothing,
    /// A part by its identity.
    Part(String),
    /// A wire by its identity.
    Wire(String),
    /// A lamp circuit, written `E3.major`.
    Lamp(String),
}

/// An edit that is looked at before it is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposed {
    /// What it does, in a few words; the name of the step once it is taken.
    pub title: String,
    /// The edit.
    pub edit: Edit,
    /// What is to be known of it, a sentence each.
    pub lines: Vec<String>,
    /// Heads of its table of costs; empty where it has none.
    pub heads: Vec<String>,
    /// What is counted, with a figure for every head.
    pub costs: Vec<(String, Vec<String>)>,
}

/// Screen state of an open plan.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ui {
    /// Screen shown.
    pub screen: Screen,
    /// Position of each control, by index.
    pub positions: Vec<u8>,
    /// Momentary controls that are latched down for looking, by index.
    pub latched: OrdSet<usize>,
    /// What is picked.
    pub pick: Pick,
    /// The picked lamp circuit is being explained.
    pub explain: bool,
    /// Place on the path of the picked lamp circuit that is being followed, from 0.
    pub step: Option<usize>,
    /// An edit looked at in place of the screen; always one that fits the document.
    pub proposed: Option<Box<Proposed>>,
    /// What the last action did or why it could not be done, to be read out.
    pub message: String,
}

/// An open plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Session {
    /// The document.
    pub plan: ByPtr<Plan>,
    /// Undo and redo.
    pub history: ByPtr<History>,
    /// Screen state.
    pub ui: ByPtr<Ui>,
}

/// Anything that changes a session.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Changes the document.
    Edit {
        /// The change.
        edit: Box<Edit>,
        /// What it does, in words.
        label: String,
        /// Key under which successive changes of the same field merge; empty for none.
        key: String,
    },
    /// Takes the last change back.
    Undo,
    /// Does the last undone change again.
    Redo,
    /// Shows a screen.
    Show(Screen),
    /// Moves a control (by index) to a position.
    Move {
        /// The control.
        control: usize,
        /// Its new position.
        position: usize,
    },
    /// A hand lets go of a control: a momentary one that is not latched goes back to rest.
    LetGo(usize),
    /// Latches a momentary control down, or frees it and lets go of it.
    Latch(usize),
    /// Moves a control as one tap does: to its next position; a momentary one is latched down or freed.
    Operate(usize),
    /// Puts every control to rest.
    Rest,
    /// Puts the controls in a state, picks a lamp circuit and shows the drawing.
    Look {
        /// Position of each control, by index; beyond its positions a control goes to rest.
        positions: Vec<u8>,
        /// What to pick.
        pick: Pick,
        /// Whether to explain the picked lamp circuit at once.
        explain: bool,
    },
    /// Picks something.
    Pick(Pick),
    /// Explains the picked lamp circuit, or stops doing so.
    Explain(bool),
    /// Follows the path of a lamp circuit from a place on it, or stops doing so.
    Follow(Option<(String, usize)>),
    /// Looks at an edit before it is taken; one that does not fit says why.
    Propose(Box<Proposed>),
    /// Takes the edit that is looked at.
    Take,
    /// Leaves the edit that is looked at.
    Leave,
}

impl Session {
    /// Opens a plan with an empty history.
    pub fn open(plan: Plan) -> Self {
        Self::resume(plan, History::default())
    }

    /// Opens a plan with the history it was left with.
    pub fn resume(plan: Plan, history: History) -> Self {
        let positions = vec![0; plan.controls.len()];
        Self {
            plan: ByPtr::new(plan),
            history: ByPtr::new(history),
            ui: ByPtr::new(Ui {
                positions,
                ..Ui::default()
            }),
        }
    }

    /// The session after an action.
    pub fn reduce(&self, action: Action) -> Self {
        match action {
            Action::Edit { edit, label, key } => self.changed(|history, plan| {
                history
                    .apply(plan, *edit, label.clone(), key)
                    .map(|()| label)
                    .map_err(|error| sentence(&error.to_string()))
            }),
            Action::Undo => self.changed(|history, plan| match history.undo(plan) {
                Some(label) => Ok(say!("Undone: {label}")),
                None => Err(say!("Nothing to undo.").into()),
            }),
            Action::Redo => self.changed(|history, plan| match history.redo(plan) {
                Some(label) => Ok(say!("Done again: {label}")),
                None => Err(say!("Nothing to redo.").into()),
            }),
            Action::Show(screen) => self.with_ui(|ui| {
                ui.screen = screen;
                ui.explain = false;
                ui.step = None;
                ui.proposed = None;
            }),
            Action::Move { control, position } => {
                let limit = self
                    .plan
                    .controls
                    .get(control)
                    .map_or(0, |c| c.positions.len());
                self.with_ui(|ui| {
                    if let Some(slot) = ui.positions.get_mut(control)
                        && position < limit
                    {
                        *slot = position.min(u8::MAX as usize) as u8;
                    }
                })
            }
            Action::LetGo(control) => {
                let momentary = self.is_momentary(control);
                self.with_ui(|ui| {
                    if momentary && !ui.latched.contains(&control) {
                        ui.positions[control] = 0;
                    }
                })
            }
            Action::Latch(control) => {
                let momentary = self.is_momentary(control);
                self.with_ui(|ui| {
                    if !momentary {
                    } else if ui.latched.remove(&control) {
                        ui.positions[control] = 0;
                    } else {
                        ui.latched.insert(control);
                        if ui.positions[control] == 0 {
                            ui.positions[control] = 1;
                        }
                    }
                })
            }
            Action::Operate(control) if self.is_momentary(control) => {
                self.reduce(Action::Latch(control))
            }
            Action::Operate(control) => {
                let count = self.plan.controls.get(control);
                let count = count.map_or(1, |c| c.positions.len().max(1));
                let now = self.ui.positions.get(control).copied().unwrap_or(0);
                let position = (usize::from(now) + 1) % count;
                self.reduce(Action::Move { control, position })
            }
            Action::Rest => self.with_ui(|ui| {
                ui.positions.fill(0);
                ui.latched.clear();
            }),
            Action::Look {
                positions,
                pick,
                explain,
            } => {
                let controls = &self.plan.controls;
                self.with_ui(|ui| {
                    // A momentary control that a hand does not hold must be latched to stay down.
                    ui.latched.clear();
                    for (i, (slot, control)) in ui.positions.iter_mut().zip(controls).enumerate() {
                        let wanted = positions.get(i).copied().unwrap_or(0);
                        let known = usize::from(wanted) < control.positions.len();
                        *slot = if known { wanted } else { 0 };
                        if *slot != 0 && control.action == ControlAction::Momentary {
                            ui.latched.insert(i);
                        }
                    }
                    ui.explain = explain && matches!(pick, Pick::Lamp(_));
                    ui.step = None;
                    ui.pick = pick;
                    ui.screen = Screen::Paths;
                    ui.proposed = None;
                })
            }
            Action::Pick(pick) => self.with_ui(|ui| {
                ui.explain &= matches!(pick, Pick::Lamp(_));
                ui.step = None;
                ui.pick = pick;
            }),
            Action::Explain(on) => self.with_ui(|ui| {
                ui.explain = on;
                ui.step = None;
            }),
            Action::Follow(place) => self.with_ui(|ui| {
                ui.explain = false;
                ui.step = place.as_ref().map(|(_, step)| *step);
                if let Some((lamp, _)) = place {
                    ui.pick = Pick::Lamp(lamp);
                }
            }),
            Action::Propose(proposed) => {
                let fits = proposed.edit.clone().apply(&mut (*self.plan.0).clone());
                self.with_ui(|ui| match fits {
                    Ok(_) => ui.proposed = Some(proposed),
                    Err(error) => ui.message = sentence(&error.to_string()),
                })
            }
            Action::Take => match &self.ui.proposed {
                Some(proposed) => {
                    let taken = self.reduce(Action::Edit {
                        edit: Box::new(proposed.edit.clone()),
                        label: proposed.title.clone(),
                        key: String::new(),
                    });
                    // Answers that are taken need no more answering.
                    taken.with_ui(|ui| {
                        if ui.screen == Screen::Answers {
                            ui.screen = Screen::Build;
                        }
                    })
                }
                None => self.clone(),
            },
            Action::Leave => self.with_ui(|ui| ui.proposed = None),
        }
    }

    /// Whether another session shares every pointer with this one: nothing has changed.
    pub fn same(&self, other: &Self) -> bool {
        self.plan == other.plan && self.history == other.history && self.ui == other.ui
    }

    fn is_momentary(&self, control: usize) -> bool {
        let known = self.plan.controls.get(control);
        control < self.ui.positions.len()
            && known.is_some_and(|c| c.action == ControlAction::Momentary)
    }

    fn with_ui(&self, change: impl FnOnce(&mut Ui)) -> Self {
        let mut ui = (*self.ui.0).clone();
        change(&mut ui);
        if ui == *self.ui.0 {
            self.clone()
        } else {
            Self {
                ui: ByPtr::new(ui),
                ..self.clone()
            }
        }
    }

    fn changed(
        &self,
        change: impl FnOnce(&mut History, &mut Plan) -> Result<String, String>,
    ) -> Self {
        let mut plan = (*self.plan.0).clone();
        let mut history = (*self.history.0).clone();
        match change(&mut history, &mut plan) {
            Err(message) => self.with_ui(|ui| ui.message = message),
            Ok(message) => {
                let mut ui = (*self.ui.0).clone();
                ui.message = message;
                // It was made for the document as it was.
                ui.proposed = None;
                // Positions keep their controls: by identity, at rest where the control is new or shorter.
                let position = |control: &crate::plan::Control| {
                    let before = self.plan.controls.iter().position(|c| c.id == control.id);
                    let at = before
                        .and_then(|i| ui.positions.get(i).copied())
                        .unwrap_or(0);
                    if (at as usize) < control.positions.len() {
                        at
                    } else {
                        0
                    }
                };
                ui.positions = plan.controls.iter().map(position).collect();
                ui.latched.retain(|&control| control < plan.controls.len());
                Self {
                    plan: ByPtr::new(plan),
                    history: ByPtr::new(history),
                    ui: ByPtr::new(ui),
                }
            }
        }
    }
}

/// An error as a sentence.
fn sentence(error: &str) -> String {
    let mut letters = error.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

//! Undo and redo: a bounded stack of inverses beside the document.
//!
//! Steps with the same key (same field of the same item) that follow one another merge into one, so that
//! correcting a number twice is one step; no clock is read.

use super::{Edit, EditError, Plan};
use serde::{Deserialize, Serialize};

/// Steps kept; the oldest is dropped beyond it.
const MAX_STEPS: usize = 500;

/// One step that can be taken back or done again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// What it did, in words, e.g. `Delete diode V2`.
    pub label: String,
    /// Key under which successive steps merge; empty never merges.
    pub key: String,
    /// The edit that takes it back (in the undo stack) or does it again (in the redo stack).
    pub edit: Edit,
}

/// Steps that can be undone and redone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct History {
    undo: Vec<Step>,
    redo: Vec<Step>,
}

impl History {
    /// Applies `edit` to `plan` and remembers how to take it back.
    pub fn apply(
        &mut self,
        plan: &mut Plan,
        edit: Edit,
        label: impl Into<String>,
        key: impl Into<String>,
    ) -> Result<(), EditError> {
        let inverse = edit.apply(plan)?;
        let key = key.into();
        self.redo.clear();
        let merges = !key.is_empty() && self.undo.last().is_some_and(|last| last.key == key);
        if !merges {
            if self.undo.len() == MAX_STEPS {
                self.undo.remove(0);
            }
            self.undo.push(Step {
                label: label.into(),
                key,
                edit: inverse,
            });
        } else if let Some(last) = self.undo.last_mut() {
            // Undo runs the new inverse first, then the one that was there.
            let before = core::mem::replace(&mut last.edit, Edit::All(Vec::new()));
            last.edit = Edit::All(match before {
                Edit::All(mut edits) => {
                    edits.insert(0, inverse);
                    edits
                }
                single => vec![inverse, single],
            });
            last.label = label.into();
        }
        Ok(())
    }

    /// Takes the last step back; the label of that step, or `None` when there is none.
    pub fn undo(&mut self, plan: &mut Plan) -> Option<String> {
        shift(&mut self.undo, &mut self.redo, plan)
    }

    /// Does the last undone step again; its label, or `None` when there is none.
    pub fn redo(&mut self, plan: &mut Plan) -> Option<String> {
        shift(&mut self.redo, &mut self.undo, plan)
    }

    /// Label of the step that undo would take back.
    pub fn undo_label(&self) -> Option<&str> {
        self.undo.last().map(|step| step.label.as_str())
    }

    /// Label of the step that redo would do again.
    pub fn redo_label(&self) -> Option<&str> {
        self.redo.last().map(|step| step.label.as_str())
    }

    /// The history as JSON without blanks.
    pub fn text(&self) -> String {
        // Steps are made of strings, finite numbers and lists: all of it is JSON.
        super::file::small(&serde_json::to_string_pretty(self).unwrap_or_default())
    }

    /// The newest steps of it, for a store without room for all.
    pub fn newest(&self, steps: usize) -> Self {
        let end = |list: &[Step]| list[list.len().saturating_sub(steps)..].to_vec();
        Self {
            undo: end(&self.undo),
            redo: end(&self.redo),
        }
    }

    /// Number of steps that can be taken back.
    pub fn len(&self) -> usize {
        self.undo.len()
    }

    /// Whether nothing can be taken back.
    pub fn is_empty(&self) -> bool {
        self.undo.is_empty()
    }
}

fn shift(from: &mut Vec<Step>, to: &mut Vec<Step>, plan: &mut Plan) -> Option<String> {
    let step = from.pop()?;
    // A stored history may not fit its plan (edited file): such a step is dropped, the plan unchanged.
    let inverse = step.edit.apply(plan).ok()?;
    to.push(Step {
        label: step.label.clone(),
        key: String::new(),
        edit: inverse,
    });
    Some(step.label)
}

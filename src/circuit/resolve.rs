//! Resolves what a plan refers to by name: controls, their positions, lamp circuits.

use super::lower::Lowering;
use super::{Gate, Problem};
use crate::plan::{Control, ControlId, Part};
use crate::units::order::OrdSet;

/// Most positions a control may have.
const MAX_POSITIONS: usize = 60;

impl Lowering<'_> {
    /// Counts the positions of every control.
    pub fn controls(&mut self) {
        let mut seen = OrdSet::new();
        for control in &self.plan.controls {
            let count = control.positions.len();
            if !(2..=MAX_POSITIONS).contains(&count) {
                self.problem(Problem::Positions {
                    control: control.id.clone(),
                    count,
                });
            }
            if !seen.insert(&control.id) {
                self.problem(Problem::ControlTwice(control.id.clone()));
            }
            self.out.positions.push(count.clamp(1, MAX_POSITIONS));
        }
    }

    fn control(&self, id: &ControlId) -> Option<(usize, &Control)> {
        self.plan
            .controls
            .iter()
            .enumerate()
            .find(|(_, control)| control.id == *id)
    }

    /// The condition under which a contact of a switch conducts.
    pub fn contact_gate(&mut self, part: &Part, id: &ControlId, closed_in: &[String]) -> Gate {
        let Some((control, found)) = self.control(id) else {
            let control = id.clone();
            self.problem(Problem::UnknownControl {
                part: part.id.clone(),
                control,
            });
            return Gate::Never;
        };
        let names = found.positions.clone();
        let mut positions = 0_u64;
        for position in closed_in {
            match names
                .iter()
                .take(MAX_POSITIONS)
                .position(|name| name == position)
            {
                Some(i) => positions |= 1 << i,
                None => self.problem(Problem::UnknownPosition {
                    subject: part.id.to_string(),
                    control: id.clone(),
                    position: position.clone(),
                }),
            }
        }
        Gate::Control { control, positions }
    }

    /// Finds wishes that speak of what the plan does not have.
    pub fn wishes(&mut self) {
        for wish in &self.plan.wishes {
            for lamp in &wish.lamps {
                if !self.out.lamps.iter().any(|known| known.id == *lamp) {
                    let (wish, lamp) = (wish.id.clone(), lamp.clone());
                    self.problem(Problem::UnknownLamp { wish, lamp });
                }
            }
            for (id, position) in &wish.when {
                match self.control(id) {
                    None => {
                        let (wish, control) = (wish.id.clone(), id.clone());
                        self.problem(Problem::WishUnknownControl { wish, control });
                    }
                    Some((_, control)) if !control.positions.contains(position) => {
                        self.problem(Problem::UnknownPosition {
                            subject: wish.id.to_string(),
                            control: id.clone(),
                            position: position.clone(),
                        });
                    }
                    Some(_) => {}
                }
            }
        }
    }
}

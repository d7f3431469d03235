//! From light to what is seen, from what is seen to a verdict. Thresholds are the plan's settings.

use super::{Cell, Reading, Shows, Verdict};
use crate::circuit::{Circuit, State};
use crate::plan::{Plan, Settings, Show};

/// What is seen of a circuit with these shares of light in the two phases.
pub(super) fn seen(settings: &Settings, on: f64, off: f64) -> Shows {
    let (bright, dark) = (on.max(off), on.min(off));
    let reaches = |level: f64, threshold: crate::units::Share| level >= threshold.get();
    if !reaches(bright, settings.faint) {
        Shows::Off
    } else if !reaches(bright, settings.dim) {
        Shows::Faint
    } else if bright >= dark * settings.flash_ratio.get().max(1.0 + 1e-6) {
        Shows::Flashing
    } else if !reaches(dark, settings.full) {
        Shows::Dim
    } else {
        Shows::Steady
    }
}

fn verdict(settings: &Settings, on: f64, off: f64, wished: &Wished) -> Verdict {
    let (bright, dark) = (on.max(off), on.min(off));
    let lit = bright >= settings.faint.get();
    let enough = wished.at_least.unwrap_or(settings.full.get());
    let flashes = seen(settings, on, off) == Shows::Flashing;
    match wished.show {
        Show::Off if lit => Verdict::BackFed,
        _ if bright > settings.overdriven.get() => Verdict::Overdriven,
        Show::Off | Show::Any => Verdict::AsWished,
        Show::Steady | Show::Flashing if !lit => Verdict::Dead,
        Show::Steady if dark < settings.faint.get() => Verdict::Dead,
        Show::Steady if dark < enough => Verdict::Weak,
        Show::Flashing if !flashes => Verdict::Masked,
        Show::Flashing if bright < enough => Verdict::Weak,
        Show::Steady | Show::Flashing => Verdict::AsWished,
    }
}

/// The cell of a lamp circuit from its two readings and its wish.
pub(super) fn cell(settings: &Settings, on: Reading, off: Reading, wished: &Wished) -> Cell {
    Cell {
        on,
        off,
        shows: seen(settings, on.level, off.level),
        wish: wished.show,
        ruled_by: wished.ruled_by,
        verdict: verdict(settings, on.level, off.level, wished),
    }
}

/// What is wished of a lamp circuit in one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wished {
    pub show: Show,
    pub at_least: Option<f64>,
    /// Index of the wish.
    pub ruled_by: Option<usize>,
}

/// What is wished where no wish speaks.
const DARK: Wished = Wished {
    show: Show::Off,
    at_least: None,
    ruled_by: None,
};

/// The wishes of a plan by index: for each lamp circuit those that name it, in their order.
#[derive(Debug, Clone)]
pub(super) struct Wishes {
    of_lamp: Vec<Vec<(Condition, Wished, usize)>>,
}

/// Controls and the positions they must stand in, by index.
type Condition = Vec<(usize, usize)>;

impl Wishes {
    pub fn new(plan: &Plan, circuit: &Circuit) -> Self {
        let conditions = |wish: &crate::plan::Wish| -> Option<Condition> {
            let resolve = |(id, name): (&crate::plan::ControlId, &String)| {
                let control = plan.controls.iter().position(|control| control.id == *id)?;
                let at = plan.controls[control]
                    .positions
                    .iter()
                    .position(|p| p == name)?;
                Some((control, at))
            };
            wish.when.iter().map(resolve).collect()
        };
        let mut of_lamp = vec![Vec::new(); circuit.lamps.len()];
        for (index, wish) in plan.wishes.iter().enumerate() {
            // A wish under a condition that cannot come true never holds.
            let Some(when) = conditions(wish) else {
                continue;
            };
            let wished = Wished {
                show: wish.show,
                at_least: wish.at_least.map(|s| s.get()),
                ruled_by: Some(index),
            };
            for (lamp, wishes) in circuit.lamps.iter().zip(&mut of_lamp) {
                if wish.lamps.contains(&lamp.id) {
                    wishes.push((when.clone(), wished, index));
                }
            }
        }
        Self { of_lamp }
    }

    /// What is wished of a lamp circuit (by index): the first wish that fits decides.
    pub fn at(&self, lamp: usize, state: &State) -> Wished {
        self.first(lamp, state)
            .map_or(DARK, |(_, wished, _)| *wished)
    }

    /// The wish (by index) that decides a lamp circuit (by index) in a state; `None` where none speaks.
    pub fn deciding(&self, lamp: usize, state: &State) -> Option<usize> {
        self.first(lamp, state).map(|&(_, _, wish)| wish)
    }

    fn first(&self, lamp: usize, state: &State) -> Option<&(Condition, Wished, usize)> {
        let fits = |when: &[(usize, usize)]| when.iter().all(|&(c, p)| state.position(c) == p);
        self.of_lamp.get(lamp)?.iter().find(|(when, ..)| fits(when))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(show: Show, on: f64, off: f64) -> Verdict {
        verdict(
            &Settings::default(),
            on,
            off,
            &Wished {
                show,
                at_least: None,
                ruled_by: None,
            },
        )
    }

    #[test]
    fn verdicts_on_both_sides_of_every_threshold() {
        assert_eq!(of(Show::Off, 0.0009, 0.0009), Verdict::AsWished);
        assert_eq!(of(Show::Off, 0.0011, 0.0), Verdict::BackFed);
        assert_eq!(of(Show::Steady, 0.0009, 0.0009), Verdict::Dead);
        assert_eq!(of(Show::Steady, 0.39, 0.39), Verdict::Weak);
        assert_eq!(of(Show::Steady, 0.4, 0.4), Verdict::AsWished);
        assert_eq!(of(Show::Steady, 1.8, 1.8), Verdict::AsWished);
        assert_eq!(of(Show::Steady, 1.81, 1.81), Verdict::Overdriven);
        assert_eq!(of(Show::Steady, 0.9, 0.0), Verdict::Dead);
        assert_eq!(of(Show::Flashing, 0.9, 0.0), Verdict::AsWished);
        assert_eq!(of(Show::Flashing, 0.9, 0.31), Verdict::Masked);
        assert_eq!(of(Show::Flashing, 0.9, 0.3), Verdict::AsWished);
        assert_eq!(of(Show::Flashing, 0.3, 0.0), Verdict::Weak);
        assert_eq!(of(Show::Any, 0.9, 0.0), Verdict::AsWished);
        let dim = Wished {
            show: Show::Steady,
            at_least: Some(0.1),
            ruled_by: None,
        };
        assert_eq!(
            verdict(&Settings::default(), 0.15, 0.15, &dim),
            Verdict::AsWished
        );
    }

    #[test]
    fn what_the_eye_sees() {
        let seen = |on, off| seen(&Settings::default(), on, off);
        assert_eq!(seen(0.0, 0.0), Shows::Off);
        assert_eq!(seen(0.002, 0.0), Shows::Faint);
        assert_eq!(seen(0.2, 0.2), Shows::Dim);
        assert_eq!(seen(0.8, 0.8), Shows::Steady);
        assert_eq!(seen(0.8, 0.1), Shows::Flashing);
    }
}

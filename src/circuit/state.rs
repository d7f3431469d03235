//! One position of every control, and the enumeration of all of them.

/// One position of every control, by index; a control that is left out stands at rest.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State(pub Vec<u8>);

impl State {
    /// Every control at rest.
    pub fn at_rest(controls: usize) -> Self {
        State(vec![0; controls])
    }

    /// Position of a control.
    pub fn position(&self, control: usize) -> usize {
        self.0.get(control).copied().unwrap_or(0) as usize
    }

    /// The same state with one control moved.
    pub fn with(&self, control: usize, position: usize) -> Self {
        let mut state = self.clone();
        if state.0.len() <= control {
            state.0.resize(control + 1, 0);
        }
        state.0[control] = position.min(u8::MAX as usize) as u8;
        state
    }

    /// Number of controls away from rest.
    pub fn moved(&self) -> usize {
        self.0.iter().filter(|&&position| position != 0).count()
    }
}

/// Every state of some controls: at rest first, then by the number of controls moved, then in order of
/// position, the last control fastest.
#[derive(Debug, Clone)]
pub struct States {
    states: std::vec::IntoIter<State>,
}

impl States {
    /// All states of controls with these numbers of positions; `None` when there are more than `limit`.
    pub fn all(positions: &[usize], limit: usize) -> Option<States> {
        let count = States::count(positions);
        if count > limit as u128 {
            return None;
        }
        let mut states = Vec::with_capacity(count as usize);
        let mut state = State::at_rest(positions.len());
        'next: loop {
            states.push(state.clone());
            for control in (0..positions.len()).rev() {
                if (state.0[control] as usize) + 1 < positions[control] {
                    state.0[control] += 1;
                    continue 'next;
                }
                state.0[control] = 0;
            }
            break;
        }
        states.sort_by_key(State::moved);
        Some(States {
            states: states.into_iter(),
        })
    }

    /// How many states there are.
    pub fn count(positions: &[usize]) -> u128 {
        positions.iter().fold(1_u128, |count, &n| {
            count.saturating_mul(n.clamp(1, 255) as u128)
        })
    }
}

impl Iterator for States {
    type Item = State;
    fn next(&mut self) -> Option<State> {
        self.states.next()
    }
    fn size_hint(&self) -> (usize, Option<usize>) {
        self.states.size_hint()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_start_at_rest_and_move_one_control_first() {
        let states: Vec<Vec<u8>> = States::all(&[2, 3], 10).unwrap().map(|s| s.0).collect();
        assert_eq!(
            states,
            [
                vec![0, 0],
                vec![0, 1],
                vec![0, 2],
                vec![1, 0],
                vec![1, 1],
                vec![1, 2]
            ]
        );
        assert!(States::all(&[2; 20], 4096).is_none());
        assert_eq!(States::count(&[2; 130]), u128::MAX);
    }
}

//! One position of every control, and the orders in which all of them are gone through.

use crate::units::order::Order;

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

/// All states of controls with these numbers of positions: at rest first, then by the number of controls
/// moved, then in order of position, the last control fastest. `None` when there are more than `limit`.
pub fn all_states(positions: &[usize], limit: usize) -> Option<Vec<State>> {
    let count = state_count(positions);
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
    states.order_by_key(State::moved);
    Some(states)
}

/// How many states controls with these numbers of positions have.
pub fn state_count(positions: &[usize]) -> u128 {
    positions.iter().fold(1_u128, |count, &n| {
        count.saturating_mul(n.clamp(1, 255) as u128)
    })
}

/// Place of a state in the reflected Gray code of these numbers of positions (Knuth, The Art of Computer
/// Programming 4A, 7.2.1.1): neighbours in that order differ in one control by one position.
pub fn gray_rank(state: &State, positions: &[usize]) -> u128 {
    positions
        .iter()
        .enumerate()
        .fold(0_u128, |rank, (control, &n)| {
            let (n, at) = (n.max(1) as u128, state.position(control) as u128);
            let digit = if rank % 2 == 1 {
                (n - 1).saturating_sub(at)
            } else {
                at
            };
            rank.saturating_mul(n).saturating_add(digit)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn states_start_at_rest_and_move_one_control_first() {
        let states = all_states(&[2, 3], 10).unwrap();
        let states: Vec<Vec<u8>> = states.into_iter().map(|s| s.0).collect();
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
        assert!(all_states(&[2; 20], 4096).is_none());
        assert_eq!(state_count(&[2; 130]), u128::MAX);
    }

    #[test]
    fn gray_neighbours_differ_in_one_control_by_one_position() {
        let positions = [2, 3, 4, 2];
        let mut states = all_states(&positions, 100).unwrap();
        states.order_by_key(|state| gray_rank(state, &positions));
        for pair in states.windows(2) {
            let steps = pair[0]
                .0
                .iter()
                .zip(&pair[1].0)
                .map(|(a, b)| a.abs_diff(*b) as usize);
            assert_eq!(steps.sum::<usize>(), 1, "{pair:?}");
        }
        assert_eq!(states.len(), 48);
    }
}

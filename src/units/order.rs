//! Sorting, and maps and sets kept in order, made small: one sort for the whole program.
//!
//! The standard library's sorts and trees are compiled anew for every type they meet, which came to a sixth of the page.
//! Here a list of indices is sorted by one shared routine and the items then follow it; maps and sets are sorted vectors
//! with binary search. Everything is stable and deterministic. An insertion moves what lies behind it, so these are for
//! hundreds of entries, not for hundreds of thousands; the numeric kernel keeps the standard ones.

mod map;
mod set;

pub use map::{Entry, OrdMap};
pub use set::OrdSet;

use core::cmp::Ordering;

/// Indices `0..len` in the order that `compare` says; equal ones keep their order.
fn indices(len: usize, compare: &mut dyn FnMut(usize, usize) -> Ordering) -> Vec<usize> {
    let mut order: Vec<usize> = (0..len).collect();
    order.sort_by(|&a, &b| compare(a, b));
    order
}

/// Stable sorting by the shared routine.
pub trait Order<T> {
    /// Sorts by a comparison.
    fn order_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// Sorts by a key, worked out at each comparison.
    fn order_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.order_by(|a, b| key(a).cmp(&key(b)));
    }

    /// Sorts.
    fn order(&mut self)
    where
        T: Ord,
    {
        self.order_by(T::cmp);
    }
}

impl<T> Order<T> for [T] {
    fn order_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let mut order = indices(self.len(), &mut |a, b| compare(&self[a], &self[b]));
        // Follow each cycle of the permutation, swapping every item into its place.
        for start in 0..order.len() {
            let mut at = start;
            while order[at] != start {
                let from = order[at];
                self.swap(at, from);
                order[at] = at;
                at = from;
            }
            order[at] = at;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::{BTreeMap, BTreeSet};

    /// Numbers that come in no order, from a linear congruence.
    fn numbers(count: usize) -> Vec<u32> {
        let mut x = 7_u32;
        let mut next = || {
            x = x.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            x >> 25
        };
        (0..count).map(|_| next()).collect()
    }

    #[test]
    fn sorting_agrees_with_the_standard_library_and_keeps_equal_ones_in_order() {
        for count in 0..70 {
            let pairs: Vec<(u32, usize)> = numbers(count).into_iter().zip(0..).collect();
            let (mut ours, mut theirs) = (pairs.clone(), pairs.clone());
            ours.order_by_key(|pair| pair.0);
            theirs.sort_by_key(|pair| pair.0);
            assert_eq!(ours, theirs);
            let (mut ours, mut theirs) = (pairs.clone(), pairs);
            ours.order_by(|a, b| b.cmp(a));
            theirs.sort_by(|a, b| b.cmp(a));
            assert_eq!(ours, theirs);
        }
    }

    #[test]
    fn maps_and_sets_agree_with_the_standard_library() {
        let (mut map, mut tree) = (OrdMap::new(), BTreeMap::new());
        let (mut set, mut members) = (OrdSet::new(), BTreeSet::new());
        for (turn, number) in numbers(400).into_iter().enumerate() {
            match turn % 4 {
                0 | 1 => {
                    assert_eq!(map.insert(number, turn), tree.insert(number, turn));
                    assert_eq!(set.insert(number), members.insert(number));
                }
                2 => {
                    *map.entry(number).or_default() += 1;
                    *tree.entry(number).or_default() += 1;
                    assert_eq!(set.contains(&number), members.contains(&number));
                }
                _ => {
                    assert_eq!(map.remove(&number), tree.remove(&number));
                    assert_eq!(set.remove(&number), members.remove(&number));
                }
            }
            assert!(map.iter().eq(tree.iter()) && set.iter().eq(members.iter()));
            assert_eq!(map.get(&number), tree.get(&number));
            assert_eq!(map.last_key_value(), tree.last_key_value());
        }
        let text = serde_json::to_string(&map).expect("plain data");
        assert_eq!(text, serde_json::to_string(&tree).expect("plain data"));
        let back: OrdMap<u32, usize> = serde_json::from_str(&text).expect("its own text");
        assert_eq!(back, map);
    }
}

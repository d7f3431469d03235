//! Sorting, and maps and sets kept in order, made small: one sort for the whole program.
//!
//! The standard library's sorts and trees are compiled anew for every type they meet, which came to a sixth of the page.
//! Here a list of indices is sorted by one shared routine and the items then follow it; maps and sets are sorted vectors
//! with binary search. Everything is stable and deterministic. An insertion moves what lies behind it, so these are for
//! hundreds of entries, not for hundreds of thousands; the numeric kernel keeps the standard ones.

use core::borrow::Borrow;
use core::cmp::Ordering;
use core::fmt;
use core::ops::Index;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

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

/// A map in the order of its keys.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OrdMap<K, V> {
    items: Vec<(K, V)>,
}

impl<K, V> Default for OrdMap<K, V> {
    fn default() -> Self {
        Self::new()
    }
}

impl<K: fmt::Debug, V: fmt::Debug> fmt::Debug for OrdMap<K, V> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_map().entries(self.iter()).finish()
    }
}

impl<K, V> OrdMap<K, V> {
    /// An empty map.
    pub const fn new() -> Self {
        Self { items: Vec::new() }
    }

    /// Number of entries.
    pub const fn len(&self) -> usize {
        self.items.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// Takes everything out.
    pub fn clear(&mut self) {
        self.items.clear();
    }

    /// Entries in order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = (&K, &V)> + ExactSizeIterator + Clone {
        self.items.iter().map(|(key, value)| (key, value))
    }

    /// Entries in order, their values to be changed.
    pub fn iter_mut(&mut self) -> impl DoubleEndedIterator<Item = (&K, &mut V)> {
        self.items.iter_mut().map(|(key, value)| (&*key, value))
    }

    /// Keys in order.
    pub fn keys(&self) -> impl DoubleEndedIterator<Item = &K> + ExactSizeIterator + Clone {
        self.items.iter().map(|(key, _)| key)
    }

    /// Values in the order of their keys.
    pub fn values(&self) -> impl DoubleEndedIterator<Item = &V> + ExactSizeIterator + Clone {
        self.items.iter().map(|(_, value)| value)
    }

    /// Values in the order of their keys, to be changed.
    pub fn values_mut(&mut self) -> impl DoubleEndedIterator<Item = &mut V> {
        self.items.iter_mut().map(|(_, value)| value)
    }

    /// Values in the order of their keys.
    pub fn into_values(self) -> impl DoubleEndedIterator<Item = V> {
        self.items.into_iter().map(|(_, value)| value)
    }

    /// Keys in order.
    pub fn into_keys(self) -> impl DoubleEndedIterator<Item = K> {
        self.items.into_iter().map(|(key, _)| key)
    }

    /// The first entry.
    pub fn first_key_value(&self) -> Option<(&K, &V)> {
        self.items.first().map(|(key, value)| (key, value))
    }

    /// The last entry.
    pub fn last_key_value(&self) -> Option<(&K, &V)> {
        self.items.last().map(|(key, value)| (key, value))
    }

    /// Keeps the entries that `keep` says.
    pub fn retain(&mut self, mut keep: impl FnMut(&K, &mut V) -> bool) {
        self.items.retain_mut(|(key, value)| keep(key, value));
    }
}

impl<K: Ord, V> OrdMap<K, V> {
    fn find<Q: Ord + ?Sized>(&self, key: &Q) -> Result<usize, usize>
    where
        K: Borrow<Q>,
    {
        self.items
            .binary_search_by(|(other, _)| other.borrow().cmp(key))
    }

    /// Puts a value in; what was there before comes out.
    pub fn insert(&mut self, key: K, value: V) -> Option<V> {
        match self.find(&key) {
            Ok(at) => Some(core::mem::replace(&mut self.items[at].1, value)),
            Err(at) => {
                self.items.insert(at, (key, value));
                None
            }
        }
    }

    /// The value of a key.
    pub fn get<Q: Ord + ?Sized>(&self, key: &Q) -> Option<&V>
    where
        K: Borrow<Q>,
    {
        Some(&self.items[self.find(key).ok()?].1)
    }

    /// The value of a key, to be changed.
    pub fn get_mut<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<&mut V>
    where
        K: Borrow<Q>,
    {
        let at = self.find(key).ok()?;
        Some(&mut self.items[at].1)
    }

    /// Whether there is a value for a key.
    pub fn contains_key<Q: Ord + ?Sized>(&self, key: &Q) -> bool
    where
        K: Borrow<Q>,
    {
        self.find(key).is_ok()
    }

    /// Takes the value of a key out.
    pub fn remove<Q: Ord + ?Sized>(&mut self, key: &Q) -> Option<V>
    where
        K: Borrow<Q>,
    {
        let at = self.find(key).ok()?;
        Some(self.items.remove(at).1)
    }

    /// The place of a key, filled or still empty.
    pub fn entry(&mut self, key: K) -> Entry<'_, K, V> {
        Entry { map: self, key }
    }
}

/// The place of a key in a map.
#[derive(Debug)]
pub struct Entry<'a, K, V> {
    map: &'a mut OrdMap<K, V>,
    key: K,
}

impl<'a, K: Ord, V> Entry<'a, K, V> {
    /// The value there; where there is none, what `make` gives is put there.
    pub fn or_insert_with(self, make: impl FnOnce() -> V) -> &'a mut V {
        let at = match self.map.find(&self.key) {
            Ok(at) => at,
            Err(at) => {
                self.map.items.insert(at, (self.key, make()));
                at
            }
        };
        &mut self.map.items[at].1
    }

    /// The value there; where there is none, `value` is put there.
    pub fn or_insert(self, value: V) -> &'a mut V {
        self.or_insert_with(|| value)
    }

    /// The value there; where there is none, the default is put there.
    pub fn or_default(self) -> &'a mut V
    where
        V: Default,
    {
        self.or_insert_with(V::default)
    }

    /// Changes the value there, if there is one.
    pub fn and_modify(self, change: impl FnOnce(&mut V)) -> Self {
        if let Some(value) = self.map.get_mut(&self.key) {
            change(value);
        }
        self
    }
}

impl<K: Ord, V> Extend<(K, V)> for OrdMap<K, V> {
    fn extend<I: IntoIterator<Item = (K, V)>>(&mut self, items: I) {
        for (key, value) in items {
            self.insert(key, value);
        }
    }
}

impl<K: Ord, V> FromIterator<(K, V)> for OrdMap<K, V> {
    fn from_iter<I: IntoIterator<Item = (K, V)>>(items: I) -> Self {
        let mut map = Self::new();
        map.extend(items);
        map
    }
}

impl<K: Ord, V, const N: usize> From<[(K, V); N]> for OrdMap<K, V> {
    fn from(items: [(K, V); N]) -> Self {
        items.into_iter().collect()
    }
}

impl<K, V> IntoIterator for OrdMap<K, V> {
    type Item = (K, V);
    type IntoIter = std::vec::IntoIter<(K, V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.items.into_iter()
    }
}

impl<'a, K, V> IntoIterator for &'a OrdMap<K, V> {
    type Item = (&'a K, &'a V);
    type IntoIter =
        core::iter::Map<core::slice::Iter<'a, (K, V)>, fn(&'a (K, V)) -> (&'a K, &'a V)>;

    fn into_iter(self) -> Self::IntoIter {
        self.items.iter().map(|(key, value)| (key, value))
    }
}

impl<K: Ord + Borrow<Q>, V, Q: Ord + ?Sized> Index<&Q> for OrdMap<K, V> {
    type Output = V;

    /// The value of a key that is known to be there.
    fn index(&self, key: &Q) -> &V {
        match self.find(key) {
            Ok(at) | Err(at) => &self.items[at].1,
        }
    }
}

impl<K: Serialize, V: Serialize> Serialize for OrdMap<K, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.iter())
    }
}

impl<'de, K: Deserialize<'de> + Ord, V: Deserialize<'de>> Deserialize<'de> for OrdMap<K, V> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries<K, V>(core::marker::PhantomData<(K, V)>);
        impl<'de, K: Deserialize<'de> + Ord, V: Deserialize<'de>> Visitor<'de> for Entries<K, V> {
            type Value = OrdMap<K, V>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a map")
            }

            fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Self::Value, A::Error> {
                let mut map = OrdMap::new();
                while let Some((key, value)) = access.next_entry()? {
                    map.insert(key, value);
                }
                Ok(map)
            }
        }
        deserializer.deserialize_map(Entries(core::marker::PhantomData))
    }
}

/// A set in order.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OrdSet<T> {
    items: Vec<T>,
}

impl<T> Default for OrdSet<T> {
    fn default() -> Self {
        Self::new()
    }
}

impl<T: fmt::Debug> fmt::Debug for OrdSet<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(&self.items).finish()
    }
}

impl<T> OrdSet<T> {
    /// An empty set.
    pub const fn new() -> Self {
        Self { items: Vec::new() }
    }

    /// Number of members.
    pub const fn len(&self) -> usize {
        self.items.len()
    }

    /// Whether there are none.
    pub const fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    /// Takes everything out.
    pub fn clear(&mut self) {
        self.items.clear();
    }

    /// Members in order.
    pub fn iter(&self) -> core::slice::Iter<'_, T> {
        self.items.iter()
    }

    /// The first member.
    pub fn first(&self) -> Option<&T> {
        self.items.first()
    }

    /// The last member.
    pub fn last(&self) -> Option<&T> {
        self.items.last()
    }

    /// Takes the first member out.
    pub fn pop_first(&mut self) -> Option<T> {
        (!self.items.is_empty()).then(|| self.items.remove(0))
    }

    /// Keeps the members that `keep` says.
    pub fn retain(&mut self, keep: impl FnMut(&T) -> bool) {
        self.items.retain(keep);
    }
}

impl<T: Ord> OrdSet<T> {
    fn find<Q: Ord + ?Sized>(&self, member: &Q) -> Result<usize, usize>
    where
        T: Borrow<Q>,
    {
        self.items
            .binary_search_by(|other| other.borrow().cmp(member))
    }

    /// Puts a member in; whether it is new.
    pub fn insert(&mut self, member: T) -> bool {
        match self.find(&member) {
            Ok(_) => false,
            Err(at) => {
                self.items.insert(at, member);
                true
            }
        }
    }

    /// Takes a member out; whether it was there.
    pub fn remove<Q: Ord + ?Sized>(&mut self, member: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        match self.find(member) {
            Ok(at) => {
                self.items.remove(at);
                true
            }
            Err(_) => false,
        }
    }

    /// Whether something is a member.
    pub fn contains<Q: Ord + ?Sized>(&self, member: &Q) -> bool
    where
        T: Borrow<Q>,
    {
        self.find(member).is_ok()
    }

    /// Whether every member is one of another set.
    pub fn is_subset(&self, other: &Self) -> bool {
        self.items.iter().all(|member| other.contains(member))
    }

    /// Whether no member is one of another set.
    pub fn is_disjoint(&self, other: &Self) -> bool {
        !self.items.iter().any(|member| other.contains(member))
    }

    /// Members that another set does not have.
    pub fn difference<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = &'a T> {
        self.items.iter().filter(|member| !other.contains(*member))
    }

    /// Members that another set has too.
    pub fn intersection<'a>(&'a self, other: &'a Self) -> impl Iterator<Item = &'a T> {
        self.items.iter().filter(|member| other.contains(*member))
    }
}

impl<T: Ord> Extend<T> for OrdSet<T> {
    fn extend<I: IntoIterator<Item = T>>(&mut self, members: I) {
        for member in members {
            self.insert(member);
        }
    }
}

impl<'a, T: Ord + Copy + 'a> Extend<&'a T> for OrdSet<T> {
    fn extend<I: IntoIterator<Item = &'a T>>(&mut self, members: I) {
        for &member in members {
            self.insert(member);
        }
    }
}

impl<T: Ord> FromIterator<T> for OrdSet<T> {
    fn from_iter<I: IntoIterator<Item = T>>(members: I) -> Self {
        let mut set = Self::new();
        set.extend(members);
        set
    }
}

impl<T: Ord, const N: usize> From<[T; N]> for OrdSet<T> {
    fn from(members: [T; N]) -> Self {
        members.into_iter().collect()
    }
}

impl<T> IntoIterator for OrdSet<T> {
    type Item = T;
    type IntoIter = std::vec::IntoIter<T>;

    fn into_iter(self) -> Self::IntoIter {
        self.items.into_iter()
    }
}

impl<'a, T> IntoIterator for &'a OrdSet<T> {
    type Item = &'a T;
    type IntoIter = core::slice::Iter<'a, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.items.iter()
    }
}

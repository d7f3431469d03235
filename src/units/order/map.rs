//! A map as a vector sorted by key.

use core::borrow::Borrow;
use core::fmt;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

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

//! A set as a sorted vector.

use core::borrow::Borrow;
use core::fmt;

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

//! Earlier versions of a plan: what it was at the end of each stretch of work, thinned out with age.

use super::shelf::PREFIX;
use super::slot::{Slot, decode, encode};
use super::{Shelf, Store};
use crate::plan::{Plan, file};

/// Most versions kept of one plan.
pub const MOST_VERSIONS: usize = 12;
/// While work goes on a version is kept this often, in milliseconds.
pub const VERSION_EVERY_MS: u64 = 10 * 60 * 1000;

/// An earlier version of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// Its key in the store.
    pub key: String,
    /// When it was saved, in milliseconds since 1970; 0 where it is not known.
    pub saved_ms: u64,
    /// The plan as it was.
    pub plan: Plan,
}

impl<S: Store> Shelf<S> {
    /// Keys, times and numbers of a plan's versions that check, the oldest first.
    fn version_keys(&self, key: &str) -> Vec<(u64, u64, String)> {
        let start = version_start(key);
        let mut found: Vec<(u64, u64, String)> = self
            .0
            .keys()
            .into_iter()
            .filter(|key| key.starts_with(&start))
            .filter_map(|key| {
                let slot = decode(&self.0.get(&key)?)?;
                Some((slot.saved_ms, slot.stamp.seq, key))
            })
            .collect();
        found.sort_unstable();
        found
    }

    /// The versions of a plan that read, the newest first.
    pub fn versions(&self, key: &str) -> Vec<Version> {
        let read = |(saved_ms, _, key): (u64, u64, String)| {
            let slot = decode(&self.0.get(&key)?)?;
            let plan = file::read(slot.plan.as_bytes()).ok()?;
            Some(Version {
                key,
                saved_ms,
                plan,
            })
        };
        self.version_keys(key)
            .into_iter()
            .rev()
            .filter_map(read)
            .collect()
    }

    /// Keeps what a plan was before a save, if the last version is old enough.
    pub(super) fn note_version(&self, key: &str, before: &Slot, now_ms: u64) {
        let start = version_start(key);
        let keys = self.0.keys();
        let noted = keys.iter().filter_map(|key| {
            let (_, noted) = key.strip_prefix(&start)?.split_once('-')?;
            noted.parse::<u64>().ok()
        });
        let last = noted.max().unwrap_or(before.saved_ms);
        if now_ms.saturating_sub(last) >= VERSION_EVERY_MS {
            self.keep_version(key, before, now_ms);
        }
    }

    /// Keeps a plan as it is now as a version, for a step that puts something else in its place.
    pub fn remember(&self, key: &str, now_ms: u64) {
        if let Some((_, slot)) = self.newest(key) {
            self.keep_version(key, &slot, now_ms);
        }
    }

    fn keep_version(&self, key: &str, slot: &Slot, now_ms: u64) {
        // A version that finds no room is missed by nobody: the plan itself is saved.
        let (text, _) = encode(slot.stamp.seq, slot.saved_ms, &slot.plan, "");
        let name = format!("{}{}-{now_ms}", version_start(key), slot.stamp.seq);
        if !self.0.set(&name, &text) {
            return;
        }
        let mut kept = self.version_keys(key);
        while kept.len() > MOST_VERSIONS {
            let times: Vec<u64> = kept.iter().map(|version| version.0).collect();
            let (_, _, key) = kept.remove(least_missed(&times, now_ms));
            self.0.remove(&key);
        }
    }

    /// Takes out the oldest version of any plan; whether there was one.
    pub(super) fn forget_oldest_version(&self) -> bool {
        let all = self.plan_keys();
        let oldest = all.iter().flat_map(|key| self.version_keys(key)).min();
        oldest.is_some_and(|(_, _, key)| self.0.remove(&key))
    }
}

/// How the keys of a plan's versions begin; the number of the save and the time at which it was noted follow.
fn version_start(key: &str) -> String {
    format!("{PREFIX}{key}.v")
}

/// The version to drop of some at these times (oldest first): the one whose neighbours lie closest together for its
/// age, so that versions thin out towards the past. The first and the last stay.
fn least_missed(times: &[u64], now_ms: u64) -> usize {
    let gap = |at: usize| {
        let age = now_ms.saturating_sub(times[at]) + VERSION_EVERY_MS;
        let gap = times[at + 1].saturating_sub(times[at - 1]);
        // Compared as shares of the age; both are far below 2^53.
        gap as f64 / age as f64
    };
    (1..times.len().saturating_sub(1))
        .min_by(|&a, &b| gap(a).total_cmp(&gap(b)))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_thin_out_towards_the_past() {
        let mut times: Vec<u64> = Vec::new();
        // Work of ten hours on each of thirty days.
        for step in 0..30 * 60 {
            let now = (step / 60) * 86_400_000 + (step % 60) * VERSION_EVERY_MS;
            times.push(now);
            while times.len() > MOST_VERSIONS {
                times.remove(least_missed(&times, now));
            }
        }
        assert_eq!(times.len(), MOST_VERSIONS);
        assert_eq!(times[0], 0);
        let now = *times.last().expect("there are some");
        let gaps: Vec<u64> = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert_eq!(gaps.last(), Some(&VERSION_EVERY_MS));
        // Some of today, some of this week, some older.
        let since = |ms: u64| times.iter().filter(|&&t| now - t <= ms).count();
        assert!(since(86_400_000 / 2) >= 3, "{times:?}");
        assert!(since(7 * 86_400_000) > since(86_400_000 / 2), "{times:?}");
        assert!(times.len() > since(7 * 86_400_000), "{times:?}");
    }
}

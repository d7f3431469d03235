//! Least sets that hit every clause and hold no exclusion whole.
//!
//! Clauses fall into components that share no spot; each is searched by itself, one size after the other, by branching
//! on the clause with the fewest spots left. A branch is cut where the clauses still open need more spots than may be
//! added: so many as have nothing in common, or as many as fractions of clauses of which no spot is given more than
//! one (the dual of the linear relaxation). A spot is passed over where another, of which no exclusion speaks, hits all that
//! it hits. Spots tried in a branch are barred in its later ones, so that no set comes twice.

mod bits;
mod dive;
mod mask;

pub use bits::Bits;
use core::ops::RangeInclusive;
use dive::{Dive, MAX_SPOTS};
use mask::Mask;

/// What was asked for is not there, or not within the work allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Failed {
    /// No set hits every clause.
    None,
    /// Broken off; no set has fewer spots than this.
    Broken(usize),
}

/// Clauses (one spot of each must be taken) and exclusions (not all of one may be).
#[derive(Debug, Clone)]
pub struct Hitting {
    spots: usize,
    clauses: Vec<Bits>,
    exclusions: Vec<Bits>,
    /// Spots in the order in which they are tried.
    order: Vec<usize>,
}

impl Hitting {
    /// Nothing to hit yet, and nothing excluded, among spots numbered from 0.
    pub fn new(spots: usize) -> Self {
        Self {
            spots,
            clauses: Vec::new(),
            exclusions: Vec::new(),
            order: (0..spots).collect(),
        }
    }

    /// From now on spots are tried in this order.
    pub fn set_order(&mut self, order: Vec<usize>) {
        self.order = order;
    }

    /// Takes in a clause, and drops those that hitting it hits too.
    pub fn demand(&mut self, clause: Bits) {
        if !self.clauses.iter().any(|known| known.is_subset(&clause)) {
            self.clauses.retain(|known| !clause.is_subset(known));
            self.clauses.push(clause);
        }
    }

    /// Drops a clause.
    pub fn release(&mut self, clause: &Bits) {
        self.clauses.retain(|known| known != clause);
    }

    /// Takes in an exclusion, and drops those that hold it whole.
    pub fn exclude(&mut self, set: Bits) {
        if !self.exclusions.iter().any(|known| known.is_subset(&set)) {
            self.exclusions.retain(|known| !set.is_subset(known));
            self.exclusions.push(set);
        }
    }

    /// A least set of `allowed` spots that holds none of `barred` whole and hits the clauses that `which` picks; of a
    /// size in `sizes`, of which the smaller ones are known not to do. `work` is lowered by the branches looked at.
    pub fn least(
        &self,
        which: impl Fn(&Bits) -> bool,
        allowed: &Bits,
        barred: &[Bits],
        sizes: RangeInclusive<usize>,
        work: &mut usize,
    ) -> Result<Bits, Failed> {
        let mut dives = self.parts(which, allowed, barred)?;
        let mut total: usize = dives.iter().map(|dive| dive.bound).sum();
        // The largest comes last: what the others do not need of the least size known is left for it.
        dives.sort_by_key(|dive| dive.open.len());
        let last = dives.len().saturating_sub(1);
        let mut set = Bits::new(self.spots);
        for (at, mut dive) in dives.into_iter().enumerate() {
            let mut size = dive.bound;
            if at == last && total < *sizes.start() {
                size += sizes.start() - total;
                total = *sizes.start();
            }
            loop {
                if total > *sizes.end() {
                    return Err(Failed::None);
                }
                match dive.run(size, work) {
                    None => return Err(Failed::Broken(total)),
                    Some(true) => break,
                    // Nothing was cut for want of size: a larger set would not do either.
                    Some(false) if !dive.short => return Err(Failed::None),
                    Some(false) => {
                        size += 1;
                        total += 1;
                    }
                }
            }
            dive.chosen_spots().for_each(|spot| set.insert(spot));
        }
        Ok(set)
    }

    /// The components, each with what is to be hit and what is excluded in it.
    fn parts(
        &self,
        which: impl Fn(&Bits) -> bool,
        allowed: &Bits,
        barred: &[Bits],
    ) -> Result<Vec<Dive>, Failed> {
        let clauses: Vec<&Bits> = self.clauses.iter().filter(|c| which(c)).collect();
        // What holds a spot that may not be taken is never taken whole.
        let exclusions = self.exclusions.iter().chain(barred);
        let exclusions: Vec<&Bits> = exclusions.filter(|e| e.is_subset(allowed)).collect();
        // Spots that some set joins, of all that may be taken.
        let mut joined: Vec<Bits> = Vec::new();
        for set in clauses.iter().chain(&exclusions) {
            let mut all = set.within(allowed);
            joined.retain(|known| {
                let apart = !known.meets(&all);
                if !apart {
                    all.add(known);
                }
                apart
            });
            joined.push(all);
        }
        if clauses.iter().any(|clause| !clause.meets(allowed)) {
            return Err(Failed::None);
        }
        // In the order of their first spots.
        joined.sort_by_key(|part| part.iter().next());
        let mut dives: Vec<Dive> = Vec::new();
        for part in joined {
            let spots = self.order.iter().copied();
            let spots: Vec<usize> = spots.filter(|&spot| part.contains(spot)).collect();
            if !clauses.iter().any(|clause| clause.meets(&part)) {
                continue;
            }
            if spots.len() > MAX_SPOTS {
                return Err(Failed::Broken(1));
            }
            let masks = |sets: &[&Bits]| -> Vec<Mask> {
                let inside = sets.iter().filter(|set| set.meets(&part));
                let taken =
                    |set: &&Bits| Mask::of((0..spots.len()).filter(|&at| set.contains(spots[at])));
                inside.map(taken).collect()
            };
            let (open, exclusions) = (masks(&clauses), masks(&exclusions));
            dives.push(Dive::new(spots, open, exclusions));
        }
        Ok(dives)
    }

    /// Some set of `allowed` spots that hits every clause, no spot of which can be left out.
    pub fn some(&self, allowed: &Bits, work: &mut usize) -> Result<Bits, Failed> {
        let mut set = Bits::new(self.spots);
        for mut dive in self.parts(|_| true, allowed, &[])? {
            match dive.run(MAX_SPOTS, work) {
                Some(true) => dive.chosen_spots().for_each(|spot| set.insert(spot)),
                Some(false) => return Err(Failed::None),
                None => return Err(Failed::Broken(1)),
            }
        }
        for &spot in self.order.iter().rev() {
            if set.contains(spot) {
                set.remove(spot);
                if !self.clauses.iter().all(|clause| clause.meets(&set)) {
                    set.insert(spot);
                }
            }
        }
        Ok(set)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers that look thrown, the same each time: Steele and Vigna's SplitMix64.
    struct Thrown(u64);

    impl Thrown {
        fn below(&mut self, bound: usize) -> usize {
            self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            ((z ^ (z >> 31)) % bound as u64) as usize
        }

        fn set(&mut self, spots: usize, size: usize) -> Bits {
            let mut set = Bits::new(spots);
            (0..size).for_each(|_| set.insert(self.below(spots)));
            set
        }
    }

    /// The least size of any set that does, by trying all.
    fn tried(spots: usize, clauses: &[Bits], exclusions: &[Bits]) -> Option<usize> {
        let sets = (0..1_u32 << spots).map(|bits| {
            let mut set = Bits::new(spots);
            (0..spots)
                .filter(|at| bits >> at & 1 == 1)
                .for_each(|at| set.insert(at));
            set
        });
        let does = |set: &Bits| {
            clauses.iter().all(|clause| clause.meets(set))
                && !exclusions.iter().any(|whole| whole.is_subset(set))
        };
        sets.filter(does).map(|set| set.len()).min()
    }

    #[test]
    fn sizes_equal_those_found_by_trying_every_set() {
        let mut thrown = Thrown(7);
        for round in 0..600 {
            let spots = 4 + thrown.below(8);
            let mut hitting = Hitting::new(spots);
            let (mut clauses, mut exclusions) = (Vec::new(), Vec::new());
            for _ in 0..1 + thrown.below(9) {
                let size = 1 + thrown.below(4);
                clauses.push(thrown.set(spots, size));
            }
            for _ in 0..thrown.below(7) {
                let size = 1 + thrown.below(3);
                exclusions.push(thrown.set(spots, size));
            }
            clauses
                .iter()
                .for_each(|clause| hitting.demand(clause.clone()));
            exclusions
                .iter()
                .for_each(|whole| hitting.exclude(whole.clone()));
            let mut all = Bits::new(spots);
            (0..spots).for_each(|at| all.insert(at));
            let mut work = usize::MAX;
            let found = hitting.least(|_| true, &all, &[], 0..=usize::MAX, &mut work);
            match tried(spots, &clauses, &exclusions) {
                None => assert_eq!(found, Err(Failed::None), "round {round}"),
                Some(size) => {
                    let set = found.expect("a set is there");
                    assert_eq!(set.len(), size, "round {round}");
                    assert!(clauses.iter().all(|clause| clause.meets(&set)));
                    assert!(!exclusions.iter().any(|whole| whole.is_subset(&set)));
                    // The same set barred, another as small is found, or none is.
                    let other = hitting.least(
                        |_| true,
                        &all,
                        core::slice::from_ref(&set),
                        size..=size,
                        &mut work,
                    );
                    assert!(
                        other.is_err()
                            || other.is_ok_and(|other| other.len() == size && other != set)
                    );
                }
            }
        }
    }

    #[test]
    fn spots_beyond_the_first_word_count_too() {
        let mut hitting = Hitting::new(120);
        for first in [0, 40, 80] {
            let mut clause = Bits::new(120);
            (first..first + 40).for_each(|at| clause.insert(at));
            hitting.demand(clause);
        }
        let mut late = Bits::new(120);
        [39, 119].iter().for_each(|&at| late.insert(at));
        hitting.demand(late);
        let mut all = Bits::new(120);
        (0..120).for_each(|at| all.insert(at));
        let mut work = usize::MAX;
        let set = hitting
            .least(|_| true, &all, &[], 0..=usize::MAX, &mut work)
            .expect("a set");
        assert_eq!(set.len(), 3);
        assert!(set.contains(39) || set.contains(119));
    }

    #[test]
    fn work_that_is_not_enough_is_told() {
        let mut hitting = Hitting::new(4);
        let mut clause = Bits::new(4);
        clause.insert(1);
        hitting.demand(clause.clone());
        let mut work = 0;
        let found = hitting.least(|_| true, &clause, &[], 0..=usize::MAX, &mut work);
        assert_eq!(found, Err(Failed::Broken(1)));
    }
}

//! Least sets that hit every clause and hold no exclusion whole.
//!
//! Clauses fall into components that share no spot; each is searched by itself, one size after the other, by branching
//! on the clause with the fewest spots left. A branch is cut where the clauses still open need more spots than may be
//! added: so many as have nothing in common, or as many as fractions of clauses of which no spot is given more than
//! one (the dual of the linear relaxation). A spot is passed over where another, of which no exclusion speaks, hits all that
//! it hits. Spots tried in a branch are barred in its later ones, so that no set comes twice.

use super::bits::Bits;
use core::ops::RangeInclusive;
use petgraph::unionfind::UnionFind;

/// What was asked for is not there, or not within the work allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Failed {
    /// No set hits every clause.
    None,
    /// Broken off; no set has fewer spots than this.
    Broken(usize),
}

/// Clauses (one spot of each must be taken) and exclusions (not all of one may be).
#[derive(Debug, Clone)]
pub(super) struct Hitting {
    spots: usize,
    clauses: Vec<Bits>,
    exclusions: Vec<Bits>,
    /// Spots in the order in which they are tried.
    order: Vec<usize>,
}

/// Spots of a component that are told apart; a larger one is not searched.
const MAX_SPOTS: usize = 128;

impl Hitting {
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
                dive.short = false;
                let open = dive.open.clone();
                match dive.dive(open, 0, 0, size, work) {
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
        let mut joined = UnionFind::<usize>::new(self.spots + 1);
        for set in clauses.iter().chain(&exclusions) {
            let mut spots = set.iter().filter(|&spot| allowed.contains(spot));
            if let Some(first) = spots.next() {
                spots.for_each(|spot| _ = joined.union(first, spot));
            }
        }
        let root = |set: &Bits| {
            let mut spots = set.iter().filter(|&spot| allowed.contains(spot));
            spots.next().map(|spot| joined.find(spot))
        };
        let mut roots: Vec<usize> = Vec::new();
        for clause in &clauses {
            roots.push(root(clause).ok_or(Failed::None)?);
        }
        roots.sort_unstable();
        roots.dedup();
        let mut dives: Vec<Dive> = Vec::new();
        for part in roots {
            let inside = |set: &&&Bits| root(set) == Some(part);
            let spots = self.order.iter().copied();
            let spots: Vec<usize> = spots
                .filter(|&spot| allowed.contains(spot) && joined.find(spot) == part)
                .collect();
            if spots.len() > MAX_SPOTS {
                return Err(Failed::Broken(1));
            }
            let mask = |set: &&Bits| {
                let bits = spots
                    .iter()
                    .enumerate()
                    .filter(|(_, spot)| set.contains(**spot));
                bits.fold(0_u128, |mask, (bit, _)| mask | 1 << bit)
            };
            let masks = |sets: &[&Bits]| sets.iter().filter(inside).map(mask).collect();
            let open: Vec<u128> = masks(&clauses);
            dives.push(Dive {
                bound: bound(&open),
                open,
                exclusions: masks(&exclusions),
                chosen: 0,
                short: false,
                spots,
            });
        }
        Ok(dives)
    }

    /// Some set of `allowed` spots that hits every clause, no spot of which can be left out.
    pub fn some(&self, allowed: &Bits, work: &mut usize) -> Result<Bits, Failed> {
        let mut set = Bits::new(self.spots);
        for mut dive in self.parts(|_| true, allowed, &[])? {
            let open = dive.open.clone();
            match dive.dive(open, 0, 0, MAX_SPOTS, work) {
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

fn bits(mut mask: u128) -> impl Iterator<Item = usize> {
    core::iter::from_fn(move || {
        let bit = mask.trailing_zeros() as usize;
        (mask != 0).then(|| {
            mask &= mask - 1;
            bit
        })
    })
}

/// One whole in the fractions of [`bound`]: any number of clauses up to ten divides it.
const WHOLE: u32 = 2520;

/// How many spots it takes at least to hit all of these.
fn bound(open: &[u128]) -> usize {
    let mut by_size: Vec<(u32, u128)> = open.iter().map(|&c| (c.count_ones(), c)).collect();
    by_size.sort_unstable();
    let (mut used, mut apart) = (0_u128, 0);
    let mut degree = [0_u32; MAX_SPOTS];
    for &(_, clause) in &by_size {
        if clause & used == 0 {
            used |= clause;
            apart += 1;
        }
        bits(clause).for_each(|spot| degree[spot] += 1);
    }
    // Every clause gets the fraction that its most asked spot can give each, then what is left over.
    let mut left = [WHOLE; MAX_SPOTS];
    let mut sum = 0;
    for share in [true, false] {
        for &(_, clause) in &by_size {
            let give = |spot: usize| {
                if share {
                    WHOLE / degree[spot].max(1)
                } else {
                    left[spot]
                }
            };
            let part = bits(clause).map(give).min().unwrap_or(0);
            bits(clause).for_each(|spot| left[spot] -= part);
            sum += part;
        }
    }
    apart.max(sum.div_ceil(WHOLE) as usize)
}

/// The search of one component. Spots are bits, first those to be tried first.
#[derive(Debug)]
struct Dive {
    open: Vec<u128>,
    exclusions: Vec<u128>,
    bound: usize,
    chosen: u128,
    /// Whether a branch was cut for want of size.
    short: bool,
    spots: Vec<usize>,
}

impl Dive {
    fn chosen_spots(&self) -> impl Iterator<Item = usize> + '_ {
        bits(self.chosen).filter_map(|bit| self.spots.get(bit).copied())
    }

    /// Looks for a set that has `chosen`, no spot of `shut` and at most `left` spots more, which hits all that is open;
    /// `None` when the work allowed is done.
    fn dive(
        &mut self,
        mut open: Vec<u128>,
        mut chosen: u128,
        mut shut: u128,
        mut left: usize,
        work: &mut usize,
    ) -> Option<bool> {
        *work = work.checked_sub(1)?;
        loop {
            for exclusion in &self.exclusions {
                let missing = exclusion & !chosen;
                if missing.is_power_of_two() {
                    shut |= missing;
                }
            }
            open.iter_mut().for_each(|clause| *clause &= !shut);
            if open.contains(&0) {
                return Some(false);
            }
            // What is the last spot of a clause has to be taken.
            let single = open.iter().find(|clause| clause.is_power_of_two());
            if let Some(&single) = single {
                if left == 0 {
                    self.short = true;
                    return Some(false);
                }
                left -= 1;
                chosen |= single;
                open.retain(|clause| clause & single == 0);
                continue;
            }
            match self.outdone(&open, chosen) {
                0 => break,
                outdone => shut |= outdone,
            }
        }
        if open.is_empty() {
            self.chosen = chosen;
            return Some(true);
        }
        if bound(&open) > left {
            self.short = true;
            return Some(false);
        }
        let tightest = open
            .iter()
            .copied()
            .min_by_key(|clause| clause.count_ones())?;
        for spot in bits(tightest) {
            let taken = 1_u128 << spot;
            let rest = open.iter().copied().filter(|clause| clause & taken == 0);
            if self.dive(rest.collect(), chosen | taken, shut, left - 1, work)? {
                return Some(true);
            }
            shut |= taken;
        }
        Some(false)
    }

    /// Spots to pass over: another hits all that they hit, and no exclusion that can still be completed speaks of it.
    fn outdone(&self, open: &[u128], chosen: u128) -> u128 {
        let all = open.iter().fold(0, |all, clause| all | clause);
        let spoken = self.exclusions.iter().fold(0, |all, e| all | e) & !chosen;
        let mut outdone = 0_u128;
        for spot in bits(all) {
            let taken = 1_u128 << spot;
            let hit = open.iter().filter(|clause| *clause & taken != 0);
            let common = hit.fold(u128::MAX, |common, clause| common & clause);
            let others = common & !taken & !spoken & !outdone;
            if others == 0 {
                continue;
            }
            // Of two that hit the same, the one to be tried first stays.
            let better = bits(others).any(|other| {
                let also = 1_u128 << other;
                other < spot || open.iter().any(|c| c & also != 0 && c & taken == 0)
            });
            if better {
                outdone |= taken;
            }
        }
        outdone
    }
}

//! The search of one component of a hitting-set problem: depth first, cut by bounds and by spots that others outdo.

use super::mask::Mask;

/// Spots of a component that are told apart; a larger one is not searched.
pub const MAX_SPOTS: usize = 128;

/// One whole in the fractions of [`bound`]: any number of clauses up to ten divides it.
const WHOLE: u32 = 2520;

/// How many spots it takes at least to hit all of these. With more than `enough` that is all that is known.
fn bound(open: &[Mask], enough: usize) -> usize {
    let mut by_size: Vec<(u32, Mask)> = open.iter().map(|&clause| (clause.len(), clause)).collect();
    by_size.sort_unstable();
    let (mut used, mut apart) = (Mask::NONE, 0);
    for &(_, clause) in &by_size {
        if !clause.meets(used) {
            used = used | clause;
            apart += 1;
        }
    }
    if apart > enough {
        return apart;
    }
    let mut degree = [0_u32; MAX_SPOTS];
    for &(_, clause) in &by_size {
        clause.iter().for_each(|spot| degree[spot] += 1);
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
            let part = clause.iter().map(give).min().unwrap_or(0);
            clause.iter().for_each(|spot| left[spot] -= part);
            sum += part;
        }
    }
    apart.max(sum.div_ceil(WHOLE) as usize)
}

/// The search of one component. Spots are numbered anew, first those to be tried first.
#[derive(Debug)]
pub struct Dive {
    /// What is to be hit.
    pub open: Vec<Mask>,
    /// So many spots it takes at least.
    pub bound: usize,
    /// Whether a branch was cut for want of size.
    pub short: bool,
    exclusions: Vec<Mask>,
    chosen: Mask,
    spots: Vec<usize>,
}

impl Dive {
    /// Clauses and exclusions over these spots.
    pub fn new(spots: Vec<usize>, open: Vec<Mask>, exclusions: Vec<Mask>) -> Self {
        Self {
            bound: bound(&open, usize::MAX),
            open,
            short: false,
            exclusions,
            chosen: Mask::NONE,
            spots,
        }
    }

    /// What was found.
    pub fn chosen_spots(&self) -> impl Iterator<Item = usize> + '_ {
        self.chosen
            .iter()
            .filter_map(|at| self.spots.get(at).copied())
    }

    /// Looks for a set of at most `size` spots that hits all clauses; `None` when the work allowed is done.
    pub fn run(&mut self, size: usize, work: &mut usize) -> Option<bool> {
        self.short = false;
        let (open, exclusions) = (self.open.clone(), self.exclusions.clone());
        self.dive(open, &exclusions, Mask::NONE, Mask::NONE, size, work)
    }

    /// Looks for a set that has `chosen`, no spot of `shut` and at most `left` spots more, which hits all that is open.
    fn dive(
        &mut self,
        mut open: Vec<Mask>,
        exclusions: &[Mask],
        mut chosen: Mask,
        mut shut: Mask,
        mut left: usize,
        work: &mut usize,
    ) -> Option<bool> {
        *work = work.checked_sub(1)?;
        // What holds a spot that is shut is never taken whole.
        let live = exclusions.iter().copied().filter(|e| !e.meets(shut));
        let exclusions: Vec<Mask> = live.collect();
        loop {
            for &exclusion in &exclusions {
                let missing = exclusion & !chosen;
                if missing.is_single() {
                    shut = shut | missing;
                }
            }
            open.iter_mut().for_each(|clause| *clause = *clause & !shut);
            if open.contains(&Mask::NONE) {
                return Some(false);
            }
            // What is the last spot of a clause has to be taken.
            let single = open.iter().find(|clause| clause.is_single());
            if let Some(&single) = single {
                if left == 0 {
                    self.short = true;
                    return Some(false);
                }
                left -= 1;
                chosen = chosen | single;
                open.retain(|clause| !clause.meets(single));
                continue;
            }
            let outdone = outdone(&open, &exclusions, chosen);
            if outdone.is_empty() {
                break;
            }
            shut = shut | outdone;
        }
        if open.is_empty() {
            self.chosen = chosen;
            return Some(true);
        }
        if bound(&open, left) > left {
            self.short = true;
            return Some(false);
        }
        let tightest = open.iter().copied().min_by_key(|clause| clause.len())?;
        for spot in tightest.iter() {
            let taken = Mask::one(spot);
            let rest = open.iter().copied().filter(|clause| !clause.meets(taken));
            let rest = rest.collect();
            if self.dive(rest, &exclusions, chosen | taken, shut, left - 1, work)? {
                return Some(true);
            }
            shut = shut | taken;
        }
        Some(false)
    }
}

/// Spots to pass over: another hits all that they hit, and no exclusion that can still be completed speaks of it.
fn outdone(open: &[Mask], exclusions: &[Mask], chosen: Mask) -> Mask {
    let all = open.iter().fold(Mask::NONE, |all, &clause| all | clause);
    let spoken = exclusions.iter().fold(Mask::NONE, |all, &e| all | e) & !chosen;
    let mut outdone = Mask::NONE;
    for spot in all.iter() {
        let taken = Mask::one(spot);
        let mut others = !taken & !spoken & !outdone;
        for &clause in open.iter().filter(|clause| clause.meets(taken)) {
            others = others & clause;
            if others.is_empty() {
                break;
            }
        }
        // Of two that hit the same, the one to be tried first stays.
        let better = others.iter().any(|other| {
            let also = Mask::one(other);
            other < spot || open.iter().any(|c| c.meets(also) && !c.meets(taken))
        });
        if better {
            outdone = outdone | taken;
        }
    }
    outdone
}

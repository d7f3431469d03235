//! Lanes after an edit: what was there keeps its place, what is new goes where it costs least.
//!
//! Precondition: the old lanes come from a placement, so no two old nodes of one column share one; where they do, all
//! the same, the later one counts as new. Postcondition: as `place`; old nodes keep their order in every column.

use super::body::Body;
use super::descent::Descent;
use super::moves;

/// As `place`, from the lanes of an earlier drawing; nodes that are new have none.
pub fn place_near(body: &Body, before: &[Option<usize>], work: u64) -> Vec<usize> {
    let feed = body.feed();
    let mut rows: Vec<Option<usize>> = before.iter().copied().take(feed).collect();
    rows.resize(feed, None);
    for nodes in &body.columns {
        let mut old: Vec<usize> = nodes
            .iter()
            .copied()
            .filter(|&n| rows[n].is_some())
            .collect();
        old.sort_by_key(|&node| (rows[node], node));
        let mut next = 1;
        for node in old {
            match rows[node] {
                Some(row) if row >= next => next = row + body.slots[node],
                _ => rows[node] = None,
            }
        }
    }
    let mut fresh: Vec<bool> = rows.iter().map(Option::is_none).collect();
    rows.push(Some(0));
    fresh.push(false);
    // What hangs on something placed comes first.
    while let Some((node, wanted)) = next(body, &rows) {
        insert(body, &mut rows, node, wanted);
    }
    let rows = rows.into_iter().map(|row| row.unwrap_or(0)).collect();
    let mut descent = Descent::new(body, work);
    descent.reset(rows);
    descent.run_only(&moves::fresh(body, &fresh));
    descent.rows()[..feed].to_vec()
}

/// A node without a lane, and the lane of something it is joined to.
fn next(body: &Body, rows: &[Option<usize>]) -> Option<(usize, usize)> {
    for net in body.channels.iter().flatten() {
        let known = net
            .all()
            .filter(|tap| tap.0 != body.feed())
            .find_map(|tap| rows[tap.0].map(|row| row + tap.1));
        let open = net.all().find(|tap| rows[tap.0].is_none());
        if let (Some(row), Some(&(node, slot))) = (known, open) {
            return Some((node, row.saturating_sub(slot).max(1)));
        }
    }
    let node = rows.iter().position(Option::is_none)?;
    let ends = rows.iter().zip(&body.slots);
    let end = ends
        .filter_map(|(row, slots)| row.map(|row| row + slots))
        .max();
    Some((node, end.unwrap_or(1).max(1)))
}

/// Puts a node on a lane, or on lanes inserted below what lies there.
fn insert(body: &Body, rows: &mut [Option<usize>], node: usize, wanted: usize) {
    let slots = body.slots[node];
    let in_the_way = body.columns[body.column[node]].iter().find_map(|&other| {
        let row = rows[other]?;
        (row < wanted + slots && wanted < row + body.slots[other])
            .then_some(row + body.slots[other])
    });
    let Some(mut at) = in_the_way else {
        rows[node] = Some(wanted);
        return;
    };
    let cut = |at: usize, rows: &[Option<usize>]| {
        rows.iter()
            .zip(&body.slots)
            .any(|(row, slots)| row.is_some_and(|row| row < at && at < row + slots))
    };
    while cut(at, rows) {
        at += 1;
    }
    for row in rows.iter_mut().flatten().filter(|row| **row >= at) {
        *row += slots;
    }
    rows[node] = Some(at);
}

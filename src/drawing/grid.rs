//! From lanes and tracks to coordinates: widths of columns and channels, heights of rows.
//!
//! Zones are the parts of a channel next to a column, where no trunk runs; labels that find no room widen
//! them. Postcondition: names and symbols of neighbours do not touch, lanes with symbols are 44 units apart
//! or more, tracks are `TRACK` apart or more.

use super::graph::{Graph, Side};
use super::layers::Layered;
use super::route::{Key, ROW, Routes};
use super::symbol::{Extent, extent};
use crate::plan::Plan;

/// Distance of tracks: a halo and some white.
const TRACK: i32 = 14;
/// Shortest stub between a symbol and a trunk.
const STUB: i32 = 8;
/// Distance of lanes with symbols.
const PITCH: i32 = 44;
/// Distance of lanes put in between.
const EXTRA: i32 = 16;
/// White around the drawing.
pub(super) const MARGIN: i32 = 10;
/// Room below a lane for the second line of a wire label.
const UNDER: i32 = 19;

/// Coordinates and the widths they follow from.
#[derive(Debug, Clone, Default)]
pub(super) struct Grid {
    /// Extents of all nodes.
    pub extents: Vec<Extent>,
    /// Zone left and right of each column.
    pub zones: Vec<(i32, i32)>,
    /// Room right of each track of each channel.
    pub gaps: Vec<Vec<i32>>,
    /// Middle line of each column.
    pub columns: Vec<i32>,
    /// Left and right edge of each column.
    pub edges: Vec<(i32, i32)>,
    /// Tracks of each channel.
    pub tracks: Vec<Vec<i32>>,
    /// Right end of the body.
    pub right: i32,
    rows: Vec<i32>,
}

impl Grid {
    /// Grid with the narrowest zones.
    pub fn new(
        plan: &Plan,
        graph: &Graph,
        layered: &Layered,
        routes: &Routes,
        rows: &[usize],
        top: i32,
    ) -> Self {
        let extents: Vec<Extent> = graph
            .nodes
            .iter()
            .map(|node| extent(plan, &node.what, node.mirrored))
            .collect();
        let mut grid = Self {
            extents,
            gaps: routes.tracks.iter().map(|&n| vec![TRACK; n]).collect(),
            ..Self::default()
        };
        for nodes in &layered.columns {
            let (mut left, mut right, mut text) = (0, 0, 0);
            for &node in nodes {
                let e = grid.extents[node];
                left = left.max(e.left);
                right = right.max(e.right);
                text = text.max(e.text + 3);
            }
            grid.edges.push((left, right));
            let stub = if left + right == 0 { 0 } else { STUB };
            grid.zones
                .push((stub.max(text - left), stub.max(text - right)));
        }
        grid.heights(graph, layered, routes, rows, top);
        grid.widths();
        grid
    }

    /// Works out all `x` again, after zones or gaps were widened.
    pub fn widths(&mut self) {
        self.columns.clear();
        self.tracks.clear();
        let mut x = MARGIN;
        for channel in 0..self.gaps.len() {
            let start = x;
            if channel > 0 {
                x += self.zones.get(channel - 1).map_or(0, |zone| zone.1);
            }
            let mut tracks = Vec::new();
            for (i, gap) in self.gaps[channel].iter().enumerate() {
                // The first and the last track keep half a distance to the zones.
                x += if i == 0 { 7 } else { 0 };
                tracks.push(x);
                x += if i + 1 == self.gaps[channel].len() {
                    (gap - TRACK) + 7
                } else {
                    *gap
                };
            }
            self.tracks.push(tracks);
            x += self.zones.get(channel).map_or(0, |zone| zone.0);
            if channel > 0 && channel < self.zones.len() {
                x = x.max(start + 2 * STUB);
            }
            if let Some(&(left, right)) = self.edges.get(channel) {
                self.columns.push(x + left);
                x += left + right;
            }
        }
        self.right = x;
    }

    fn heights(
        &mut self,
        graph: &Graph,
        layered: &Layered,
        routes: &Routes,
        rows: &[usize],
        top: i32,
    ) {
        let count = layered
            .columns
            .iter()
            .flatten()
            .map(|&node| rows[node] + graph.nodes[node].slots)
            .max()
            .unwrap_or(1);
        let fed = graph.degree.contains_key(&super::graph::Pin::Feed);
        // Room each row needs above and below its lane.
        let mut up = vec![16; count];
        let mut down = vec![UNDER; count];
        for &node in layered.columns.iter().flatten() {
            let (e, row, slots) = (self.extents[node], rows[node], graph.nodes[node].slots);
            up[row] = up[row].max(e.up);
            let last = (row + slots - 1).min(count - 1);
            down[last] = down[last].max(e.down);
            for row in up.iter_mut().take(last + 1).skip(row + 1) {
                *row = (*row).max(super::symbol::NAME_RISE + super::scene::TEXT_RISE);
            }
        }
        self.rows = vec![top; count.max(1)];
        for row in 1..count {
            let extra = routes.extra.get(&(row - 1)).copied().unwrap_or(0) as i32;
            let pitch = match (row, fed) {
                (1, false) => up[row],
                (1, true) => down[0] + up[1],
                _ => (down[row - 1] + up[row]).max(PITCH),
            };
            self.rows[row] = self.rows[row - 1] + pitch.max((extra + 1) * EXTRA + 16);
        }
    }

    /// Height of a lane.
    pub fn y(&self, key: Key) -> i32 {
        let row = self.rows.get(key / ROW).or(self.rows.last());
        row.copied().unwrap_or(0) + (key % ROW) as i32 * EXTRA
    }

    /// Where a pin of a node lies, given the node's column.
    pub fn pin(&self, node: usize, column: usize, side: Side) -> i32 {
        let x = self.columns.get(column).copied().unwrap_or(0);
        match side {
            Side::Left => x - self.extents[node].left,
            Side::Right => x + self.extents[node].right,
        }
    }
}

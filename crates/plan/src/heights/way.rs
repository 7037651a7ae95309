//! Ways from one open end to the next fitting: straight into the hub, with a piece, with what changes the size.

use super::column::{Column, Connector, Tip};

/// How far apart two stops come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reach {
    /// Nothing can be varied: spigots sit in hubs.
    Exact(f64),
    /// A piece is in it: so far with hubs pushed face to face, and any farther.
    AtLeast(f64),
}

impl Reach {
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Exact(a), Self::Exact(b)) => Self::Exact(a + b),
            (Self::Exact(a) | Self::AtLeast(a), Self::Exact(b) | Self::AtLeast(b)) => Self::AtLeast(a + b),
        }
    }

    /// The least distance, inches.
    pub fn least_in(self) -> f64 {
        match self {
            Self::Exact(d) | Self::AtLeast(d) => d,
        }
    }
}

/// One way from an open end to another: what is put between, and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// Connectors of the column, from the base up.
    pub links: Vec<usize>,
    /// By part joined on, connectors first: whether a piece is before it.
    pub pieces: Vec<bool>,
    /// From stop to stop.
    pub reach: Reach,
    /// Joints made.
    pub joints: u32,
    /// Price of the connectors in cents.
    pub cents: u64,
    /// How many of them have no price in the user's file.
    pub unpriced: u32,
}

/// Joins two ends of one size: whether a piece goes between, and how far apart their stops come.
fn joined(low: Tip, high: Tip) -> Option<(bool, Reach)> {
    match (low.size == high.size, low.hub, high.hub) {
        (false, ..) | (true, false, false) => None,
        (true, true, true) => Some((true, Reach::AtLeast(low.socket_in + high.socket_in))),
        (true, ..) => Some((false, Reach::Exact(0.0))),
    }
}

impl Way {
    fn none() -> Self {
        Self {
            links: Vec::new(),
            pieces: Vec::new(),
            reach: Reach::Exact(0.0),
            joints: 0,
            cents: 0,
            unpriced: 0,
        }
    }

    fn onto(&self, low: Tip, high: Tip) -> Option<Self> {
        let (piece, reach) = joined(low, high)?;
        let mut way = self.clone();
        way.pieces.push(piece);
        way.reach = way.reach.and(reach);
        way.joints += if piece { 2 } else { 1 };
        Some(way)
    }

    fn through(&self, low: Tip, index: usize, link: &Connector) -> Option<Self> {
        let mut way = self.onto(low, link.below)?;
        way.links.push(index);
        way.reach = way.reach.and(Reach::Exact(link.length_in));
        way.cents += link.cents;
        way.unpriced += link.unpriced;
        Some(way)
    }
}

impl Column {
    /// All ends that connectors make of an end, itself first. They only ever go to a smaller size upward, so this ends.
    pub(super) fn opened(&self, from: Tip) -> Vec<(Way, Tip)> {
        let mut all = vec![(Way::none(), from)];
        let mut at = 0;
        while at < all.len() {
            let (way, tip) = all[at].clone();
            for (i, link) in self.connectors.iter().enumerate() {
                if link.above.size < tip.size
                    && let Some(longer) = way.through(tip, i, link)
                {
                    all.push((longer, link.above));
                }
            }
            at += 1;
        }
        all
    }

    /// All ways from an end to another.
    pub(super) fn ways(&self, from: Tip, to: Tip) -> Vec<Way> {
        self.opened(from).iter().filter_map(|(way, tip)| way.onto(*tip, to)).collect()
    }
}

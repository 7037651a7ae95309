//! Sets of heights: closed spans apart from each other, in order. All reasoning on heights is exact on these; nothing is
//! laid on a grid.

use truefall_model::tolerance::SLACK;

/// A set of heights as closed spans `(least, greatest)` in inches, in order and apart. A span may be a single point, and may
/// reach without end either way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spans(Vec<(f64, f64)>);

impl Spans {
    /// Every height.
    pub fn all() -> Self {
        Self(vec![(f64::NEG_INFINITY, f64::INFINITY)])
    }

    /// From one height to another, both with it; none where they are the wrong way round.
    pub fn one(least_in: f64, greatest_in: f64) -> Self {
        Self::default().or(&Self(kept(least_in, greatest_in).into_iter().collect()))
    }

    /// The spans in order.
    pub fn list(&self) -> &[(f64, f64)] {
        &self.0
    }

    /// Whether it holds no height at all.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The least height.
    pub fn least(&self) -> Option<f64> {
        self.0.first().map(|s| s.0)
    }

    /// The greatest height.
    pub fn greatest(&self) -> Option<f64> {
        self.0.last().map(|s| s.1)
    }

    /// All of it moved up.
    pub fn shifted(&self, by_in: f64) -> Self {
        Self(self.0.iter().map(|(a, b)| (a + by_in, b + by_in)).collect())
    }

    /// What two sets share.
    pub fn and(&self, other: &Self) -> Self {
        let mut out = Vec::new();
        for (a, b) in &self.0 {
            out.extend(other.0.iter().filter_map(|(c, d)| kept(a.max(*c), b.min(*d))));
        }
        Self(out)
    }

    /// All that either holds.
    pub fn or(&self, other: &Self) -> Self {
        let mut all: Vec<(f64, f64)> = self.0.iter().chain(&other.0).copied().collect();
        all.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.total_cmp(&y.1)));
        let mut out: Vec<(f64, f64)> = Vec::with_capacity(all.len());
        for span in all {
            match out.last_mut() {
                Some(last) if span.0 <= last.1 + SLACK => last.1 = last.1.max(span.1),
                _ => out.push(span),
            }
        }
        Self(out)
    }

    /// Without what lies strictly inside a band: its edges stay, for touching is no fault.
    pub fn without_inside(&self, from_in: f64, to_in: f64) -> Self {
        let below = Self(vec![(f64::NEG_INFINITY, from_in)]);
        let above = Self(vec![(to_in, f64::INFINITY)]);
        if from_in >= to_in { self.clone() } else { self.and(&below).or(&self.and(&above)) }
    }

    /// Without what another set holds but for its edges; a point or span that lies wholly in it goes.
    pub fn less(&self, other: &Self) -> Self {
        let mut rest = self.clone();
        for (a, b) in &other.0 {
            rest = rest.without_inside(*a, *b);
        }
        let inside = |s: &(f64, f64)| other.0.iter().any(|o| s.0 >= o.0 - SLACK && s.1 <= o.1 + SLACK);
        rest.0.retain(|s| !inside(s));
        rest
    }

    /// Whether it holds a height.
    pub fn holds(&self, at_in: f64) -> bool {
        self.0.iter().any(|(a, b)| at_in >= a - SLACK && at_in <= b + SLACK)
    }

    /// The height of it that is nearest.
    pub fn nearest(&self, to_in: f64) -> Option<f64> {
        let near = |s: &(f64, f64)| to_in.max(s.0).min(s.1);
        self.0.iter().map(near).min_by(|x, y| (x - to_in).abs().total_cmp(&(y - to_in).abs()))
    }

    /// Each span drawn in at both ends by so much, to its middle at most.
    pub fn drawn_in(&self, by_in: f64) -> Self {
        let drawn = |(a, b): &(f64, f64)| {
            let by = by_in.min(0.5 * (b - a));
            (a + by, b - by)
        };
        Self(self.0.iter().map(drawn).collect())
    }

    /// How far a height it holds is from the edges of its span: above the lower one, below the upper one.
    pub fn slack(&self, at_in: f64) -> Option<(f64, f64)> {
        let span = self.0.iter().find(|(a, b)| at_in >= a - SLACK && at_in <= b + SLACK)?;
        Some(((at_in - span.0).max(0.0), (span.1 - at_in).max(0.0)))
    }
}

/// A span, where its ends are not the wrong way round by more than the arithmetic.
fn kept(a: f64, b: f64) -> Option<(f64, f64)> {
    if a <= b {
        Some((a, b))
    } else if a <= b + SLACK {
        Some((b, b))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_keep_their_edges() {
        let window = Spans::one(0.0, 10.0).without_inside(4.0, 6.0);
        assert_eq!(window.list(), [(0.0, 4.0), (6.0, 10.0)]);
        assert!(window.holds(4.0) && window.holds(6.0) && !window.holds(5.0));
        assert_eq!(window.and(&Spans::one(4.0, 6.0)).list(), [(4.0, 4.0), (6.0, 6.0)]);
        assert_eq!(window.nearest(4.9), Some(4.0));
        assert_eq!(window.slack(7.0), Some((1.0, 3.0)));
        assert!(Spans::one(1.0, 0.0).is_empty());
    }

    #[test]
    fn what_a_cheaper_way_reaches_is_taken_off() {
        let dear = Spans::one(0.0, 10.0);
        assert_eq!(dear.less(&Spans::one(2.0, 10.0)).list(), [(0.0, 2.0)]);
        assert!(dear.less(&Spans::all()).is_empty());
        assert!(Spans::one(3.0, 3.0).less(&Spans::one(2.0, 4.0)).is_empty());
    }
}

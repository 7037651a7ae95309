//! Stretches of a line, and what is left of them when pieces are taken out.

use crate::tolerance::TOUCH;

/// From where to where, inches.
pub(super) type Span = (f64, f64);

/// Whether two stretches share more than a touch.
pub(super) fn overlap(a: Span, b: Span) -> bool {
    a.1.min(b.1) - a.0.max(b.0) > TOUCH.to_inches()
}

/// What is left of a stretch without the given ones, in order; slivers thinner than a touch are dropped.
pub(super) fn without(whole: Span, taken: &[Span]) -> Vec<Span> {
    let mut taken = taken.to_vec();
    taken.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut left = Vec::new();
    let mut at = whole.0;
    for (from, to) in taken {
        left.push((at, from.min(whole.1)));
        at = at.max(to);
    }
    left.push((at, whole.1));
    left.retain(|(from, to)| to - from > TOUCH.to_inches());
    left
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_of_a_plate_cut_at_two_doors() {
        assert_eq!(
            without((0.0, 120.0), &[(70.0, 100.0), (10.0, 40.0)]),
            [(0.0, 10.0), (40.0, 70.0), (100.0, 120.0)]
        );
        assert_eq!(without((0.0, 120.0), &[(-5.0, 40.0), (30.0, 130.0)]), []);
    }

    #[test]
    fn a_touch_is_no_overlap() {
        assert!(!overlap((0.0, 1.5), (1.5, 3.0)));
        assert!(overlap((0.0, 1.5), (1.25, 3.0)));
    }
}

//! Good plans without a search: bars filled one after the other as full as they get, and the longest piece where it fits best.

use super::plan::{RawBar, Yard};

/// Steps in filling one bar; beyond, the fullest found so far is taken.
const MOST_STEPS: usize = 20_000;

/// The better of the quick plans: least bought, then fewest lengths.
pub fn best(sizes: &[f64], yard: &Yard<'_>) -> Vec<RawBar> {
    let mut plans: Vec<Vec<RawBar>> = Vec::new();
    for length in yard.lengths {
        if sizes.first().is_some_and(|longest| *longest > yard.room(*length)) {
            continue;
        }
        plans.push(snug(sizes, yard, *length));
        plans.push(fullest(sizes, yard, *length));
    }
    let worth = |bars: &Vec<RawBar>| (yard.bought(bars), bars.len());
    let first = plans.into_iter().min_by(|a, b| {
        let (a, b) = (worth(a), worth(b));
        a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))
    });
    first.unwrap_or_default()
}

/// Longest piece first, into the bar it leaves least of; each bar then bought as short as it may be.
fn snug(sizes: &[f64], yard: &Yard<'_>, length: f64) -> Vec<RawBar> {
    let mut loads: Vec<(f64, Vec<usize>)> = Vec::new();
    for (i, size) in sizes.iter().enumerate() {
        let fits = loads.iter_mut().filter(|(load, _)| load + size <= yard.room(length));
        match fits.max_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((load, places)) => {
                *load += size;
                places.push(i);
            }
            None => loads.push((*size, vec![i])),
        }
    }
    shortened(loads, yard)
}

/// Bar after bar with the longest piece left and what fills the rest of it best.
fn fullest(sizes: &[f64], yard: &Yard<'_>, length: f64) -> Vec<RawBar> {
    let mut left: Vec<usize> = (0..sizes.len()).collect();
    let mut loads = Vec::new();
    while let Some(first) = left.first().copied() {
        let mut filling = Filling { sizes, left: &left[1..], best: 0.0, chosen: Vec::new(), steps: 0 };
        filling.go(0, yard.room(length) - sizes[first], 0.0, &mut Vec::new());
        let mut places = vec![first];
        places.extend(&filling.chosen);
        let load = places.iter().map(|i| sizes[*i]).sum();
        left.retain(|i| !places.contains(i));
        loads.push((load, places));
    }
    shortened(loads, yard)
}

fn shortened(loads: Vec<(f64, Vec<usize>)>, yard: &Yard<'_>) -> Vec<RawBar> {
    loads.into_iter().filter_map(|(load, places)| Some((yard.shortest(load)?, places))).collect()
}

struct Filling<'a> {
    sizes: &'a [f64],
    left: &'a [usize],
    best: f64,
    chosen: Vec<usize>,
    steps: usize,
}

impl Filling<'_> {
    fn go(&mut self, from: usize, room: f64, load: f64, taken: &mut Vec<usize>) {
        self.steps += 1;
        if load > self.best {
            self.best = load;
            self.chosen.clone_from(taken);
        }
        let mut last = f64::NAN;
        for at in from..self.left.len() {
            let size = self.sizes[self.left[at]];
            if self.steps >= MOST_STEPS {
                return;
            }
            // A piece as long as the one just left out fills no better.
            if load + size > room || size == last {
                continue;
            }
            last = size;
            taken.push(self.left[at]);
            self.go(at + 1, room, load + size, taken);
            taken.pop();
        }
    }
}

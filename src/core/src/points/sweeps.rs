//! Where the first column turns back.

use core::ops::Range;

/// How far it may step back, as a share of its span, before it counts as turning: what is itself measured jitters, and a
/// second sweep goes back over most of the span.
const JITTER: f64 = 0.05;

/// The stretches between turns, in order; together they are all positions. A jump back to where the last sweep began is no
/// sweep of its own.
pub(crate) fn stretches(x: &[f64]) -> Vec<Range<usize>> {
    let lowest = x.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = x.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let tolerated = JITTER * (highest - lowest);
    let turns = turns(x, tolerated);
    let mut stretches: Vec<Range<usize>> = Vec::with_capacity(turns.len() + 1);
    let mut start = 0;
    for end in turns.into_iter().map(|turn| turn + 1).chain([x.len()]) {
        // One point between two turns is where a jump arrives: it begins the next sweep.
        if end - start > 1 || end == x.len() {
            stretches.push(start..end);
            start = end;
        }
    }
    stretches
}

/// The positions of the furthest points before each turn.
fn turns(x: &[f64], tolerated: f64) -> Vec<usize> {
    let mut turns = Vec::new();
    let mut rising = None;
    let (mut low, mut high) = (0, 0);
    for (place, value) in x.iter().enumerate() {
        match rising {
            None => {
                if *value < x[low] {
                    low = place;
                }
                if *value > x[high] {
                    high = place;
                }
                if value - x[low] > tolerated {
                    (rising, high) = (Some(true), place);
                } else if x[high] - value > tolerated {
                    (rising, low) = (Some(false), place);
                }
            }
            Some(true) if *value > x[high] => high = place,
            Some(true) if x[high] - value > tolerated => {
                turns.push(high);
                (rising, low) = (Some(false), place);
            }
            Some(false) if *value < x[low] => low = place,
            Some(false) if value - x[low] > tolerated => {
                turns.push(low);
                (rising, high) = (Some(true), place);
            }
            Some(_) => {}
        }
    }
    turns
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Stretches end before these positions.
    #[track_caller]
    fn check(x: &[f64], ends: &[usize]) {
        let found = stretches(x);
        let starts = [0].into_iter().chain(ends.iter().copied());
        let expected: Vec<Range<usize>> =
            starts.zip(ends).map(|(start, end)| start..*end).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn sweeps_end_where_the_voltage_turns() {
        check(&[0.0, 1.0, 2.0, 3.0], &[4]);
        check(&[3.0, 2.0, 1.0], &[3]);
        check(&[0.0, 1.0, 2.0, 1.0, 0.0], &[3, 5]);
        check(&[0.0, 1.0, 2.0, 2.0, 1.0, 0.0], &[3, 6]);
        // Back in one jump: two sweeps, not three.
        check(&[0.0, 1.0, 2.0, 0.0, 1.0, 2.0], &[3, 6]);
        // From zero up, down below it, and back: three.
        check(&[0.0, 1.0, 2.0, 1.0, 0.0, -1.0, -0.5, 0.0], &[3, 6, 8]);
        check(&[1.0, 1.0, 1.0], &[3]);
        check(&[], &[0]);
    }

    #[test]
    fn jitter_is_no_turn() {
        let jittered: Vec<f64> = (0..100)
            .map(|k| f64::from(k) + if k % 7 == 0 { -2.0 } else { 0.0 })
            .collect();
        check(&jittered, &[100]);
    }
}

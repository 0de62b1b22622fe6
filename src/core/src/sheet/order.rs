//! The order of evaluation: every card after those it takes from; cards in a ring are told apart.

/// Cards in an order in which each comes after those it depends on, and the rings among them.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Order {
    /// Positions of the cards outside rings, and of those that wait for a ring.
    pub(super) sequence: Vec<usize>,
    /// Rings: positions in the order of the links.
    pub(super) rings: Vec<Vec<usize>>,
}

/// Orders cards by their links; `sources[i]` are the positions that card `i` takes from. The order of the page is
/// kept where links leave it open.
pub(super) fn order(sources: &[Vec<usize>]) -> Order {
    #[derive(Clone, Copy, PartialEq)]
    enum Mark {
        New,
        Open,
        Done,
    }
    let mut marks = vec![Mark::New; sources.len()];
    let mut sequence = Vec::with_capacity(sources.len());
    let mut rings: Vec<Vec<usize>> = Vec::new();
    // Depth first with an own stack: a long chain must not exhaust the program's.
    for start in 0..sources.len() {
        if marks[start] != Mark::New {
            continue;
        }
        let mut path = vec![(start, 0)];
        marks[start] = Mark::Open;
        while let Some((card, next)) = path.pop() {
            let Some(&source) = sources[card].get(next) else {
                marks[card] = Mark::Done;
                sequence.push(card);
                continue;
            };
            path.push((card, next + 1));
            match marks[source] {
                Mark::New => {
                    marks[source] = Mark::Open;
                    path.push((source, 0));
                }
                Mark::Open => {
                    let from = path.iter().position(|(c, _)| *c == source).unwrap_or(0);
                    rings.push(path[from..].iter().map(|(c, _)| *c).collect());
                }
                Mark::Done => {}
            }
        }
    }
    let in_ring = |card: &usize| rings.iter().any(|ring| ring.contains(card));
    sequence.retain(|card| !in_ring(card));
    Order { sequence, rings }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cards_come_after_those_they_take_from() {
        let found = order(&[vec![2], vec![], vec![1]]);
        assert_eq!(found.sequence, [1, 2, 0]);
        assert_eq!(found.rings, Vec::<Vec<usize>>::new());
    }

    #[test]
    fn a_ring_is_named_and_the_others_go_on() {
        let found = order(&[vec![1], vec![2], vec![0], vec![], vec![0]]);
        assert_eq!(found.sequence, [3, 4]);
        assert_eq!(found.rings, [[0, 1, 2]]);
    }

    #[test]
    fn a_card_that_takes_from_itself_is_a_ring_of_one() {
        assert_eq!(order(&[vec![0]]).rings, [[0]]);
    }

    #[test]
    fn a_chain_of_many_thousand_cards_is_no_trouble() {
        let cards = 100_000;
        let sources: Vec<Vec<usize>> = (0..cards)
            .map(|i| if i + 1 < cards { vec![i + 1] } else { vec![] })
            .collect();
        assert_eq!(order(&sources).sequence.first(), Some(&(cards - 1)));
    }
}

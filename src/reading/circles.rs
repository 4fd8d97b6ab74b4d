//! Chains of states that name each other, by `like` or `after`.

/// For each item the one it names. Returns the items that lie on a circle, one
/// list a circle, each beginning with its first item.
pub(super) fn circles(next: &[Option<usize>]) -> Vec<Vec<usize>> {
    let mut seen = vec![usize::MAX; next.len()];
    let mut found = Vec::new();
    for start in 0..next.len() {
        let mut at = start;
        while seen[at] == usize::MAX {
            seen[at] = start;
            match next[at] {
                Some(named) => at = named,
                None => break,
            }
        }
        if seen[at] == start
            && next[at].is_some()
            && let Some(circle) = around(next, at)
        {
            found.push(circle);
        }
    }
    found
}

/// The circle through an item, if it lies on one.
fn around(next: &[Option<usize>], start: usize) -> Option<Vec<usize>> {
    let mut circle = vec![start];
    let mut at = next[start]?;
    while at != start {
        circle.push(at);
        if circle.len() > next.len() {
            return None;
        }
        at = next[at]?;
    }
    let first = circle
        .iter()
        .enumerate()
        .min_by_key(|(_, item)| **item)
        .map_or(0, |(place, _)| place);
    circle.rotate_left(first);
    Some(circle)
}

#[cfg(test)]
mod tests {
    use super::circles;

    #[test]
    fn a_circle_is_found_once_and_its_tail_is_not_on_it() {
        assert_eq!(
            circles(&[Some(1), Some(2), Some(1), None]),
            vec![vec![1, 2]]
        );
    }

    #[test]
    fn an_item_that_names_itself_is_a_circle() {
        assert_eq!(circles(&[Some(0), Some(0)]), vec![vec![0]]);
    }

    #[test]
    fn chains_that_end_are_no_circles() {
        assert!(circles(&[Some(1), Some(2), None]).is_empty());
    }
}

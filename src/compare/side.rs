//! Two plans' rows side by side.

use itertools::{EitherOrBoth, Itertools};

/// Rows in order of their keys, each key once: what else has the same key is added to the first of them, in order.
pub fn by_key<K: Ord, V: Copy>(rows: impl Iterator<Item = (K, V)>, add: impl Fn(&mut V, V)) -> Vec<(K, V)> {
    let mut rows = rows.collect_vec();
    rows.sort_by(|one, other| one.0.cmp(&other.0));
    rows.dedup_by(|later, first| {
        let same = later.0 == first.0;
        if same {
            add(&mut first.1, later.1);
        }
        same
    });
    rows
}

/// What stands under each key in the old plan and in the new one, in order of the keys; each side is in that order, and has
/// each key once.
pub fn by_side<K: Ord, V>(
    old: impl IntoIterator<Item = (K, V)>,
    new: impl IntoIterator<Item = (K, V)>,
) -> impl Iterator<Item = (K, Option<V>, Option<V>)> {
    let pairs = old.into_iter().merge_join_by(new, |old, new| old.0.cmp(&new.0));
    pairs.map(|pair| match pair {
        EitherOrBoth::Left((key, old)) => (key, Some(old), None),
        EitherOrBoth::Right((key, new)) => (key, None, Some(new)),
        EitherOrBoth::Both((_, old), (key, new)) => (key, Some(old), Some(new)),
    })
}

//! Two plans' rows side by side.

use itertools::{EitherOrBoth, Itertools};
use std::collections::BTreeMap;

/// What stands under each key in the old plan and in the new one, in order of the keys.
pub fn by_side<K: Ord, V>(old: BTreeMap<K, V>, new: BTreeMap<K, V>) -> Vec<(K, Option<V>, Option<V>)> {
    let pairs = old.into_iter().merge_join_by(new, |old, new| old.0.cmp(&new.0));
    let pairs = pairs.map(|pair| match pair {
        EitherOrBoth::Left((key, old)) => (key, Some(old), None),
        EitherOrBoth::Right((key, new)) => (key, None, Some(new)),
        EitherOrBoth::Both((_, old), (key, new)) => (key, Some(old), Some(new)),
    });
    pairs.collect()
}

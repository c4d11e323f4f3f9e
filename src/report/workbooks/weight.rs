//! Kilograms: of pulls and kits, and the words for what one person does not lift here; and quantities as they can be taken.

use crate::base::{Quantity, Total};
use crate::check::{Issue, Part, Plant};
use crate::report::table::Value;

/// The kilograms of a quantity of a part, where the book knows its weight.
pub fn kilograms(part: &Part, qty: Quantity) -> Option<Total> {
    Some(Total::at(part.weight?, qty))
}

/// Kilograms of several lines together.
#[derive(Clone, Copy, Debug, Default)]
pub struct Load {
    /// The sum of the lines whose weight is known.
    pub known: Total,
    /// How many lines have a weight.
    pub lines: usize,
    /// How many lines have none.
    pub unknown: usize,
}

impl Load {
    /// Adds a line.
    pub fn add(&mut self, part: &Part, qty: Quantity) {
        match kilograms(part, qty) {
            Some(kg) => {
                self.known += kg;
                self.lines += 1;
            }
            None => self.unknown += 1,
        }
    }

    /// Adds another load.
    pub fn add_load(&mut self, other: &Self) {
        self.known += other.known;
        self.lines += other.lines;
        self.unknown += other.unknown;
    }

    /// `116 kg`, `116 kg and 2 lines with weight not known`, `weight not known`.
    pub fn words(&self) -> String {
        match (self.lines, self.unknown) {
            (0, 0) => "nothing to carry".to_owned(),
            (_, 0) => format!("{} kg", tenths(self.known)),
            (0, _) => "weight not known".to_owned(),
            (_, 1) => format!("{} kg and 1 line with weight not known", tenths(self.known)),
            (_, lines) => format!("{} kg and {lines} lines with weight not known", tenths(self.known)),
        }
    }

    /// `116 kg`, `116 kg and more`, `weight not known`: where there is little room.
    pub fn short_words(&self) -> String {
        match (self.lines, self.unknown) {
            (1.., 1..) => format!("{} kg and more", tenths(self.known)),
            _ => self.words(),
        }
    }

    /// The kilograms as a cell, or that they are not known; blank where there is nothing.
    pub fn cell(&self) -> Value<'static> {
        match (self.lines, self.unknown) {
            (0, 0) => Value::Blank,
            (0, _) => "not known".into(),
            _ => self.known.into(),
        }
    }
}

/// The kilograms of one line as a cell, or that they are not known.
pub fn cell(part: &Part, qty: Quantity) -> Value<'static> {
    kilograms(part, qty).map_or_else(|| "not known".into(), Value::from)
}

/// So much of a part as can be taken or measured: rounded up to the decimals of its unit of measure.
pub fn measured(part: &Part, qty: Quantity) -> Quantity {
    qty.round_up(part.decimals)
}

/// Rounded up to tenths, as kilograms are told in words.
pub fn tenths(kg: Total) -> Total {
    kg.up_to_tenths()
}

/// The words by which a piece is marked that one person does not lift here.
pub const ABOVE: &str = "above one person's";
/// The words for a weight that the book does not have.
pub const NOT_KNOWN: &str = "weight not known";

/// Whether a piece is above what the plant lets one person lift.
pub fn is_heavy(plant: &Plant, part: &Part, most: Quantity) -> bool {
    warning(plant, part, most).is_some_and(|words| words.contains(ABOVE))
}

/// What to say of a line's pieces: that one weighs more than the plant lets one person lift, or that nobody knows.
///
/// A piece is one of a counted unit, a pack of what goes out in packs, and otherwise all that is taken for one kit.
pub fn warning(plant: &Plant, part: &Part, most: Quantity) -> Option<String> {
    let counted = part.decimals == 0;
    let one = Quantity::whole(1);
    let (piece, words) = match (part.issue, part.pack) {
        (Issue::Bulk, Some(pack)) => (pack.min(most), "pack "),
        (Issue::Kit | Issue::Sequence, _) if counted && most > one => (one, "each "),
        (Issue::Kit | Issue::Sequence, _) if counted => (one, ""),
        _ => (most, "together "),
    };
    let Some(kg) = kilograms(part, piece) else { return Some(NOT_KNOWN.to_owned()) };
    let limit = plant.one_person_lifts.filter(|limit| kg > Total::from(*limit))?;
    Some(format!("{words}{ABOVE} {limit} kg"))
}

/// The word for a piece that one person does not lift here.
pub const HEAVY: &str = "heavy";

/// In a word: `heavy` for a piece above what the plant lets one person lift, `weight not known` where nobody can tell. Where the plant has no
/// limit, nothing is marked.
pub fn mark(plant: &Plant, part: &Part, most: Quantity) -> Option<&'static str> {
    plant.one_person_lifts?;
    match warning(plant, part, most) {
        Some(words) if words.contains(ABOVE) => Some(HEAVY),
        Some(_) => Some(NOT_KNOWN),
        None => None,
    }
}

/// A part's description with that word behind it.
pub fn marked(plant: &Plant, part: &Part, most: Quantity) -> String {
    let words = [Some(part.description.as_str()).filter(|words| !words.is_empty()), mark(plant, part, most)];
    words.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// A part's description, marked where a piece is heavy: for lists of what shops build, of which the book seldom has a weight, below
/// [`told_of`].
pub fn heavy_only(plant: &Plant, part: &Part, most: Quantity) -> String {
    if is_heavy(plant, part, most) { marked(plant, part, most) } else { part.description.clone() }
}

/// What the marks of a list of pieces say, and of how many the weight is not known; `None` where the plant has no limit, or the list is
/// empty.
pub fn told_of<'p>(plant: &Plant, pieces: impl Iterator<Item = (&'p Part, Quantity)>) -> Option<String> {
    let limit = plant.one_person_lifts?;
    let (mut all, mut unknown) = (0, 0);
    for (part, qty) in pieces {
        all += 1;
        unknown += usize::from(mark(plant, part, qty) == Some(NOT_KNOWN));
    }
    let of = match unknown {
        0 => String::new(),
        _ if unknown == all => "; the weight of none of these is known".to_owned(),
        _ => format!("; of {unknown} of these {all} the weight is not known"),
    };
    (all > 0).then(|| format!("'heavy': above the {limit} kg that this plant lets one person lift{of}."))
}

/// What a reader of weights must know.
pub const CAUTION: &str = "Weights are the book's and may be wrong. A sheet is not a lifting assessment: follow the site's \
    rules and local law. For reference, the revised NIOSH lifting equation (NIOSH publication 94-110) starts from 23 kg \
    (51 lb) under ideal conditions and multiplies it down: a best case, never a permission. No figure is offered for two \
    persons. No heights or ratings are given for hoists, racks or stacking: the rack plate, rated gear and a competent \
    person decide.";

/// The same in a line.
pub const SHORT_CAUTION: &str =
    "Weights are the book's and may be wrong; this is not a lifting assessment: follow the site's rules and local law.";

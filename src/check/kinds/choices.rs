//! Kinds about the order of units and what is ordered for each.

use crate::base::kinds;

kinds! {
    CHOICES:
    Error TWO_STANDARDS "two-standards"
        "A floorplan has two standard options of a group of which a unit has one at most."
        "Every unit of the floorplan would have both, which can't be built."
        "Make one of the two optional in Offers.";
    Error SEQ_TWICE "seq-twice"
        "Two units of a line have the same place in its order."
        "It is not known which of them comes first."
        "Give one of them another seq.";
    Error OUT_OF_PLACE "out-of-place"
        "A unit that is on the line stands at a place that its order does not allow."
        "Material would be sent to a station where another unit stands."
        "Units on the line come first by seq, the furthest first, each at a position of its own. Correct at or seq, or mark units that have left as done.";
    Error NOT_OFFERED "not-offered"
        "A unit has an option ordered that its floorplan does not offer."
        "There is no bill to build it by."
        "Correct the unit's options, or offer the option in Offers.";
    Error NOT_STANDARD "not-standard"
        "A unit has an option taken away that is not standard on its floorplan."
        "Whoever wrote the order believed that the unit would have it."
        "Remove the -CODE from the unit's options, or correct it.";
    Error TWO_CHOSEN "two-chosen"
        "A unit has two options of a group of which it has one at most."
        "Both would be sent to the line, and only one fits."
        "Take one of them out of the unit's options; one that came with a package, a standard or a rule is taken away with -CODE.";
    Error NONE_CHOSEN "none-chosen"
        "A unit has no option of a group of which it has exactly one."
        "Something that every unit must have would be missing."
        "Add one option of the group to the unit's options.";
    Error CAME_BACK "came-back"
        "An option that was taken away came back with a package, a standard or a rule."
        "The customer asked for a unit without it and would get it all the same."
        "Take the package out of the order too, or leave the option in.";
    Error MUST_BROKEN "must-broken"
        "A rule says what must be true for a unit, and it is not."
        "The unit can't be built as it is ordered."
        "Correct the unit's options; the finding says which rule is broken.";
    Error RULE_UNDONE "rule-undone"
        "A rule added options, and what was added makes the rule's own condition false."
        "It is not known whether the unit should have the options or not."
        "Take what the rule adds out of its when.";
    Error OTHER_LINE "other-line"
        "A unit needs a part at a station of another line."
        "The part would go where the unit never comes."
        "Correct the bill line's station, put a line's name in its when, or move the unit to the other line.";
}

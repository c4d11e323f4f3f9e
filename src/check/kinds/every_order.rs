//! Kinds about what a unit is made of, and about orders that could be placed.

use crate::base::kinds;

kinds! {
    EVERY_ORDER:
    Error UNKNOWN_KIND "unknown-kind"
        "Content speaks of a kind that no part is of."
        "Nothing would be counted, and every unit would seem to lack it."
        "Correct the spelling, or fill in the column kind of the parts that are meant.";
    Error BAD_CONTENT "bad-content"
        "A row of Content asks for more at least than it allows at most."
        "No unit could ever be right."
        "Correct least or most; a blank one is 1.";
    Warning MIXED_KIND "mixed-kind"
        "The parts of a kind that Content counts are in different units of measure."
        "Pieces and lengths are added up to a number that means nothing."
        "Give each unit of measure a kind of its own, or correct the parts' kind or uom.";
    Warning CONTENT_BROKEN "content-broken"
        "A unit has more or fewer pieces of a kind than Content says."
        "It will be built with two where one fits, or without what it needs, and somebody finds out at the line."
        "Correct the unit's options, the bill lines that the finding names, or the row of Content.";
    Warning CONTENT_CAN_BREAK "content-can-break"
        "An order that could be placed has more or fewer pieces of a kind than Content says."
        "The mistake waits in the bills until a dealer orders it."
        "Correct the conditions of the bill lines that the finding names, forbid the order by a rule, or correct the row of Content.";
    Warning LINE_NEVER_USED "line-never-used"
        "A bill line counts for no order that could be placed."
        "Either the line is left over, or its condition says something else than was meant and its part is missing at the line."
        "Look at the rows that the finding names: correct the condition, or remove the line.";
    Warning OFFER_NEVER_ORDERED "offer-never-ordered"
        "An option is offered, but no order that could be placed has it."
        "A dealer who orders it is refused, whatever else he orders."
        "Look at the rows that the finding names: correct them, or say not offered.";
    Warning RULE_NEVER_APPLIES "rule-never-applies"
        "The condition of a rule holds for no order that could be placed."
        "Either the rule is left over, or it says something else than was meant."
        "Look at the rows that the finding names: correct the rule's when, or remove the rule.";
    Warning MUST_NEVER_TRUE "must-never-true"
        "What a rule asks for is true for no order that could be placed."
        "Whatever the rule is about can't be ordered at all."
        "Look at the rows that the finding names: correct the rule's must, or say not offered.";
    Error NOBODY_CAN_ORDER "nobody-can-order"
        "No order of a floorplan can be placed: each breaks something."
        "Nothing can be sold of it, and all else that is proved of it is empty."
        "Look at the rows that the finding names: they exclude each other.";
    Note PART_TWICE "part-twice"
        "In some builds two lines of a bill bring the same part to the same station."
        "Where they were meant to exclude each other, such a unit gets both."
        "Nothing, if the unit takes both; else correct the conditions of the lines that the finding names.";
    Warning NOT_PROVED "not-proved"
        "Something could not be proved for every order within the work that is allowed for it."
        "A mistake may be there and was not looked for to the end."
        "Simplify the rules or conditions that the finding names; what was proved until then stands.";
}

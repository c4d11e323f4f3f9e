//! The kinds of findings that reading a plant out of its tables can give, each with a fixed readable name.

use crate::base::{Kind, Level};

macro_rules! kinds {
    ($($level:ident { $($name:ident $text:literal $about:literal;)* })*) => {
        $($(#[doc = $about]
        pub static $name: Kind = Kind { name: $text, level: Level::$level, about: $about };)*)*
    };
}

kinds! {
    Error {
        MISSING_TABLE "missing-table" "The book lacks a table it can't do without.";
        CODE_TWICE "code-twice" "A code is defined on two rows, or two kinds of things that share a list of codes have the same one.";
        NAME_CLASH "name-clash" "An option, a floorplan, a series and a line must have different names, for a condition could mean either.";
        BAD_CODE "bad-code" "An option code holds a space, comma or semicolon, or begins with '-': it could not be ordered.";
        UNKNOWN_PART "unknown-part" "A part is named that the table Parts does not define.";
        UNKNOWN_STATION "unknown-station" "A station is named that the table Stations does not define, or one of another line.";
        UNKNOWN_DESTINATION "unknown-destination" "A station or shop is named that neither Stations nor Shops defines.";
        UNKNOWN_SHOP "unknown-shop" "A shop is named that the table Shops does not define.";
        UNKNOWN_LINE "unknown-line" "A line is named that the table Lines does not define.";
        UNKNOWN_CALENDAR "unknown-calendar" "A calendar is named that the table Calendar does not define.";
        UNKNOWN_OPTION "unknown-option" "An option is named that the table Options does not define.";
        UNKNOWN_GROUP "unknown-group" "An option group is named that the table Groups does not define.";
        UNKNOWN_FLOORPLAN "unknown-floorplan" "A floorplan is named that the table Floorplans does not define.";
        UNKNOWN_CHANGE "unknown-change" "A change is named that the table Changes does not define.";
        UNKNOWN_UNIT "unknown-unit" "A unit is named that is not in the build sequence.";
        UNKNOWN_NAME "unknown-name" "A condition names something that is neither an option nor a floorplan, a series or a line.";
        BAD_EXPRESSION "bad-expression" "A condition can't be read. It is made of names, and, or, not and parentheses.";
        NOT_A_DAY "not-a-day" "A calendar's day is none of Mon, Mon-Fri, 2027-12-24 or 2027-12-24 to 2028-01-02.";
        HALF_HOURS "half-hours" "A calendar row has a start without an end, an end without a start, or is open without either.";
        OPEN_AND_CLOSED "open-and-closed" "A day has both opening hours and a row that closes it.";
        IDLE_CALENDAR "idle-calendar" "A calendar has no working time at all.";
        SHORT_CALENDAR "short-calendar" "A calendar does not reach as far as the plan does. Add days, or rows for weekdays, which repeat for ever.";
        LINE_WITHOUT_TAKT "line-without-takt" "A line has no row in Takt.";
        LINE_WITHOUT_STATION "line-without-station" "A line has no station.";
        TAKT_NOT_POSITIVE "takt-not-positive" "A takt is not above zero.";
        LAST_MOVE_AHEAD "last-move-ahead" "A line's last move lies after the moment the plan is made for.";
        NO_SHOP "no-shop" "A part that is made names no shop.";
        SCRAP_TOO_LARGE "scrap-too-large" "A scrap of 1 or more would need endless material. 5 % is written 0.05 or 5%.";
        NOT_A_BY_PRODUCT "not-a-by-product" "Only a part whose source is by-product may have a negative quantity.";
        NO_CONVERSION "no-conversion" "There is no way from one unit of measure to the other.";
        TOO_LARGE "too-large" "A quantity, multiplied out, is larger than it can sensibly be.";
        BILL_CYCLE "bill-cycle" "A part is, through its bill, a component of itself.";
        TOO_DEEP "too-deep" "Bills nest deeper than any real product does.";
        TOO_MANY_PATHS "too-many-paths" "Bills lead to the same parts in so many ways that a unit would need millions of lines. Put each part on a bill once, with its whole quantity.";
        NO_STATION "no-station" "A bill line of a floorplan has no station, and no phantom above it has one.";
        SHOP_CIRCLE "shop-circle" "Shops feed each other in a circle, so that none can be planned first. Enter the benches as two shops.";
        TWO_STANDARDS "two-standards" "A floorplan has two standard options of a group of which a unit has one at most.";
        EMPTY_CHANGE "empty-change" "A change has neither a date nor a unit that is in the sequence.";
        SEQ_TWICE "seq-twice" "Two units of a line have the same place in its order.";
        OUT_OF_PLACE "out-of-place" "Units that are on the line come first in its order, the furthest first, each at a position of its own.";
        BAD_EXTRA "bad-extra" "An extra asks for something that can't be planned.";
        NO_USABLE_WAVE "no-usable-wave" "No delivery run lies in the stores' working time.";
        NOT_OFFERED "not-offered" "A unit has an option ordered that its floorplan does not offer.";
        NOT_STANDARD "not-standard" "A unit has an option taken away that is not standard on its floorplan.";
        TWO_CHOSEN "two-chosen" "A unit has two options of a group of which it has one at most.";
        NONE_CHOSEN "none-chosen" "A unit has no option of a group of which it has exactly one.";
        CAME_BACK "came-back" "An option that was taken away came back with a package, a standard or a rule.";
        MUST_BROKEN "must-broken" "A rule says what must be true for a unit, and it is not.";
        RULE_UNDONE "rule-undone" "A rule added options, and what was added makes the rule's own condition false.";
        OTHER_LINE "other-line" "A unit needs a part at a station of another line.";
    }
    Warning {
        UNKNOWN_SETTING "unknown-setting" "A setting that does not exist is ignored. If it is a mistyped name, the default counts.";
        BOUGHT_WITH_BILL "bought-with-bill" "A part that is bought, or comes off as a by-product, has a bill of its own, which is ignored.";
        MADE_WITHOUT_BILL "made-without-bill" "A part that is made has no bill, so it needs no material.";
        MISREAD_CODE "misread-code" "Stock or a receipt of an unknown part, whose code a spreadsheet seems to have taken for a number or a date. Format the column as text.";
        CODE_IS_A_DATE "code-is-a-date" "A part's code is a date: a spreadsheet makes one of a code such as 3-12. Format the column as text and enter the code again.";
        NEGATIVE_STOCK "negative-stock" "A stock is negative, which counts as 0.";
        RESERVED_FOR_NOBODY "reserved-for-nobody" "Stock is reserved for a unit that is not in the sequence; it counts for nothing.";
        FRACTION_OF_A_PIECE "fraction-of-a-piece" "A part counted in whole pieces and put into kits is needed in fractions.";
        SCRAP_LEFT_OUT "scrap-left-out" "A scrap on a part that is counted in pieces is left out: cover breakage with safety stock.";
        STOCK_NOT_USED "stock-not-used" "Stock of a part that is only built inside jobs of its own shop is not used.";
        RECEIPT_NOT_USED "receipt-not-used" "A receipt of a part that is not bought counts for nothing.";
        WAVE_OUTSIDE "wave-outside" "A delivery run never lies in the stores' working time, so it never leaves.";
        NO_SUCH_JOB "no-such-job" "A job is entered as started that the plan does not have.";
        HELD_ORDER "held-order" "The order of a unit on hold is wrong; it must be right before the unit is released.";
    }
    Note {
        STOCK_OF_UNKNOWN_PARTS "stock-of-unknown-parts" "Stock of parts that the table Parts does not define is left out.";
        RECEIPTS_OF_UNKNOWN_PARTS "receipts-of-unknown-parts" "Receipts of parts that the table Parts does not define are left out.";
        BILLS_OF_UNKNOWN_PARENTS "bills-of-unknown-parents" "Bill lines of parents that are neither floorplan nor part are left out.";
    }
}

//! Kinds about calendars, lines, shops, bills and supplies as a whole.

use crate::base::kinds;

kinds! {
    STRUCTURE:
    Error NOT_A_DAY "not-a-day"
        "A calendar's day can't be read as weekdays or dates."
        "The plan would have the wrong working days."
        "Write Mon, Mon-Fri, 2027-12-24 or 2027-12-24 to 2028-01-02.";
    Error HALF_HOURS "half-hours"
        "A calendar row has a start without an end, an end without a start, or is open without either."
        "It is not known how long the line or shop works on that day."
        "Fill in both start and end, or neither and no in the column open to close the day.";
    Error OPEN_AND_CLOSED "open-and-closed"
        "A day has both opening hours and a row that closes it."
        "Half the plan could fall on a day on which nobody is there."
        "Remove the row that is wrong.";
    Error IDLE_CALENDAR "idle-calendar"
        "A calendar has no working time at all."
        "Whatever works by it would never be finished."
        "Add rows with start and end, or remove the calendar.";
    Error SHORT_CALENDAR "short-calendar"
        "A calendar does not reach as far as the plan does."
        "Behind its last day there is no time to build or deliver in."
        "Add days, or rows for weekdays, which repeat for ever.";
    Error LINE_WITHOUT_TAKT "line-without-takt"
        "A line has no row in Takt."
        "Without a takt it is not known when a unit reaches a station."
        "Add a row to Takt with the line, the date from which it counts and the minutes.";
    Error LINE_WITHOUT_STATION "line-without-station"
        "A line has no station."
        "Its units would have nowhere to be built."
        "Add its stations to Stations, or remove the line.";
    Error TAKT_NOT_POSITIVE "takt-not-positive"
        "A takt is not above zero."
        "All units would be at all stations at once."
        "Write the minutes between two moves of the line.";
    Error LAST_MOVE_AHEAD "last-move-ahead"
        "A line's last move lies after the moment the plan is made for."
        "The line would count as having moved before it did, and all times would be off."
        "Correct the last move, or plan for a later moment.";
    Error NO_SHOP "no-shop"
        "A part that is made names no shop."
        "Nobody would get the order to build it."
        "Name the shop, or say buy in source where the part is bought.";
    Error SCRAP_TOO_LARGE "scrap-too-large"
        "A scrap is 1 or more."
        "So much of the part would be lost that no amount is enough."
        "Write 5 % as 0.05 or 5%.";
    Error NOT_A_BY_PRODUCT "not-a-by-product"
        "A negative quantity stands on a part that is not a by-product."
        "The part would count as coming out of a build that in truth uses it up."
        "Correct the sign, or say by-product in the part's source.";
    Error NO_CONVERSION "no-conversion"
        "There is no way from one unit of measure to the other."
        "It is not known how much of the part is needed or there."
        "Write the quantity in the part's own unit of measure, or add a row to Conversions.";
    Error TOO_LARGE "too-large"
        "A quantity, a time or a list, multiplied out, is larger than it can sensibly be."
        "No store, shop or plan could hold it: a quantity, a unit of measure or a bill on the way is wrong."
        "Look at what the finding names: the bill lines down to the part, or the tables whose rows multiply.";
    Error TOO_MUCH "too-much"
        "All that the book has of a part and asks of it comes to a million millions or more."
        "No plant stocks so much: a quantity or unit of measure is wrong, and all that is planned of the part would be."
        "Look at the rows that the finding names; those with the most stand first.";
    Error BILL_CYCLE "bill-cycle"
        "A part is, through its bill, a component of itself."
        "Its material would never end."
        "Remove the bill line that leads back; the finding shows the path of parts.";
    Error TOO_DEEP "too-deep"
        "Bills nest deeper than any real product does."
        "Somewhere a part stands under one that it should not."
        "Look at the bills on the path that the finding shows.";
    Error TOO_MANY_PATHS "too-many-paths"
        "Bills lead to the same parts in so many ways that a unit would need millions of lines."
        "No kit and no pick list could hold them: parts stand on bills again and again."
        "Put each part on a bill once, with its whole quantity.";
    Error NO_STATION "no-station"
        "A bill line of a floorplan has no station, and no phantom above it has one."
        "The pickers would not know where on the line the part goes."
        "Fill in the station of the bill line, or that of the phantom.";
    Error SHOP_CIRCLE "shop-circle"
        "Shops feed each other in a circle."
        "None of them can be planned first, for each waits for another."
        "Enter the benches that work one behind the other as two shops.";
    Error EMPTY_CHANGE "empty-change"
        "A change has neither a date nor a unit that is in the sequence."
        "It is not known from which unit on its bill lines count."
        "Give it a date, or a unit that is in the sequence.";
    Error BAD_EXTRA "bad-extra"
        "An extra asks for something that can't be planned."
        "It would be promised and never come."
        "Do what the finding says: name a time or a unit, another part, or another place.";
    Error NO_USABLE_WAVE "no-usable-wave"
        "No delivery run lies in the stores' working time."
        "Nothing would ever leave the stores."
        "Correct the times in Waves, or the hours of the stores' calendar.";
}

//! Kinds that do not stop a plan: warnings, at which someone should look, and notes.

use crate::base::kinds;

kinds! {
    LOOKS:
    Warning UNKNOWN_SETTING "unknown-setting"
        "A setting that does not exist is ignored."
        "If its name is mistyped, the default counts instead of what was meant."
        "Correct the spelling, or remove the row.";
    Warning BOUGHT_WITH_BILL "bought-with-bill"
        "A part that is bought, or comes off as a by-product, has a bill of its own."
        "The bill is ignored: no material for it leaves the stores."
        "Say make in the part's source if a shop builds it; else remove the bill.";
    Warning MADE_WITHOUT_BILL "made-without-bill"
        "A part that is made has no bill."
        "Its shop is told to build it, but gets no material for it."
        "Add its bill, or say buy in its source.";
    Warning MISREAD_CODE "misread-code"
        "Stock, a receipt or a bill names an unknown part or floorplan, whose code a spreadsheet seems to have taken for a number or a date."
        "The row is left out, so that a part that is there, or on its way, looks short, or a bill lacks what it needs."
        "Format the column as text and enter the code again; or accept it in a manifest, by name (codes) or by its digits (code width).";
    Warning MISTYPED_CODE "mistyped-code"
        "Stock, a receipt or a bill names an unknown part or floorplan whose code is nearly that of a known one."
        "The row is left out, so that a part that is there, or on its way, looks short, or a bill lacks what it needs."
        "Correct the code; or, if it is another part, add it to Parts.";
    Warning CODE_IS_A_DATE "code-is-a-date"
        "A part's code is a date: a spreadsheet makes one of a code such as 3-12."
        "The part's bills, stock and receipts, which have the right code, would not be found."
        "Format the column as text and enter the code again.";
    Warning MADE_WITHOUT_MINUTES "made-without-minutes"
        "A part that is made has no minutes, while others have."
        "Its jobs take no time of their shop, so the shop looks freer than it is."
        "Fill in the minutes that one takes; write 0 if it is made in no time.";
    Warning HIGH_SCRAP "high-scrap"
        "A scrap without a percent sign is a fifth or more, or one with it more than a half."
        "A percent written as a number asks for many times what is lost: 0.5 is a half, not half of a percent."
        "Write 0.5 % as 0.005 or 0.5%; write 50% if a half is meant.";
    Warning BILL_LINE_TWICE "bill-line-twice"
        "A bill has two lines for the same part, station, condition, changes, unit of measure and note."
        "If one of them is a copy or an old line, each unit gets too much."
        "Remove one, or put the whole quantity on one; if both are meant, say what each is for in their notes.";
    Warning RECEIPT_TWICE "receipt-twice"
        "A purchase order has two rows for the same part, quantity and due date."
        "If one of them is a copy, the plan counts on material that nobody sends, and hides a shortage."
        "Remove one, or, if both are open, put the whole quantity on one.";
    Warning LONG_OVERDUE "long-overdue"
        "A receipt was due more than a year before the moment the plan is made for."
        "It is taken to come soon, like any overdue receipt, though most likely it never will, and hides a shortage."
        "Close the order, or correct its due date.";
    Warning DONE_AHEAD "done-ahead"
        "A unit is marked as done on a day that has not come yet."
        "It counts as done and gets nothing, though most likely that is the day for which it is planned."
        "Clear the cell until the unit has left the line; plans belong in the column start.";
    Warning STANDS_STILL "stands-still"
        "A line, a shop or the stores work no minute for more than two weeks."
        "Everything behind that moves back by so long; most often a closing ends in the wrong year."
        "Correct the dates of the calendar's row; nothing, if the plant does close for so long.";
    Warning LONG_WAIT "long-wait"
        "A unit enters its line more than two weeks after the one before it, or stands as long at each position."
        "It and all units behind it wait, and their material comes as late; most often a date or a number is mistyped."
        "Correct the start, the gap or the takt; nothing, if it is meant.";
    Warning NEGATIVE_STOCK "negative-stock"
        "A stock is negative."
        "It counts as 0, and more may be short than is known."
        "Count the shelf and correct the stock.";
    Warning RESERVED_FOR_NOBODY "reserved-for-nobody"
        "Stock is reserved for a unit that is not in the sequence."
        "It counts for nothing, while others may be short of it."
        "Correct the unit's code, or clear it to set the stock free.";
    Warning FRACTION_OF_A_PIECE "fraction-of-a-piece"
        "A part counted in whole pieces is needed in kits, or is in stock or on order, in fractions."
        "Nobody can pick half a piece; and 1.200 in a file that means a thousand and more is read as little more than one."
        "Correct the quantity, say in a manifest how thousands are written, or choose a unit of measure that can be divided.";
    Warning SCRAP_LEFT_OUT "scrap-left-out"
        "A scrap stands on a part that is counted in pieces."
        "It is left out, for a kit holds whole pieces."
        "Cover breakage with safety stock, and clear the scrap.";
    Warning STOCK_NOT_USED "stock-not-used"
        "There is stock of a part that is only built inside jobs of its own shop."
        "The stock is not used: the shop builds the part anew inside each job."
        "Use it up by hand, or make the part one that the shop builds by its own order.";
    Warning RECEIPT_NOT_USED "receipt-not-used"
        "There is an open order of a part that is not bought."
        "It counts for nothing: the shop builds what is needed."
        "Say buy in the part's source, or close the purchase order.";
    Warning WAVE_OUTSIDE "wave-outside"
        "A delivery run never lies in the stores' working time."
        "It never leaves, and what it would carry goes with an earlier run."
        "Correct its time, or the hours of the stores' calendar.";
    Warning NO_SUCH_JOB "no-such-job"
        "A job is entered as started that the plan does not have."
        "The crew's time on it does not count, so the shop looks freer than it is."
        "Correct the unit or the part, or remove the row when the job is done.";
    Warning NEEDS_ITS_OWN_BY_PRODUCT "needs-its-own-by-product"
        "A part needs a by-product that comes off only when what the part goes into is built."
        "It would have to be there before it is: the part is always late, and the line waits for it."
        "Take the by-product from elsewhere, or correct the bill line on which it is needed or comes off.";
    Warning HELD_ORDER "held-order"
        "The order of a unit on hold is wrong."
        "It does not matter now, but the unit can't be planned once it is released."
        "Correct the order before the hold is lifted.";
    Warning CHANGE_BY_DATE_ALONE "change-by-date-alone"
        "A change with a date begins with a unit that is not in the sequence, too."
        "If its code is mistyped, the change begins on its date and not with that unit."
        "Correct the unit; clear it where it has left the sequence.";
    Warning UNREACHED_CHANGE "unreached-change"
        "A change begins with a unit on hold, and every unit behind that one on its line is on hold or done as well."
        "Units of other lines are built as before the change, however late they enter, and get its old parts."
        "Give the change a date, or another unit to begin with, or lift the hold.";
    Warning UNKNOWN_UOM "unknown-uom"
        "A part is kept in a unit of measure that nothing else knows."
        "If it is mistyped, quantities in the right one can't be converted; it counts as one with three decimals."
        "Correct it; where it is meant, add a row to Uoms that says how many decimals it has.";
    Warning ROW_TWICE "row-twice"
        "A row of stock, or of what no bill asks for, stands twice in the table."
        "Both count: what is there once would be used twice, or what is owed once would be delivered twice."
        "Remove one of them; where both are meant, add their quantities up in one row.";
    Warning NOT_A_CURRENCY "not-a-currency"
        "A currency has digits in it, or more than twelve letters."
        "It is left out: money is told without one, and a number here was most likely meant for another setting."
        "Write its code or its sign; or clear the cell, and money is told without one.";
    Note BLANK_SETTING "blank-setting"
        "A setting has no value."
        "The default counts; if its value was lost, it is not what was meant."
        "Nothing, where the default is meant; else write the value.";
    Note UNUSED_CONVERSION "unused-conversion"
        "A conversion has a unit of measure in which the book counts nothing."
        "If it is mistyped, the conversion that was meant is missing, or a general one counts in its place."
        "Nothing, unless it should count: then correct the unit of measure.";
    Note UNUSED_CALENDAR "unused-calendar"
        "Nothing works by a calendar of the book."
        "If its code is mistyped on some of its rows, these hours count for nobody."
        "Nothing, unless it should count: then correct its code.";
    Note EMPTY_TABLE "empty-table"
        "The file of a table that a plant may do without has headings, but no rows."
        "If its rows were lost in an export, the plan is made without them."
        "Nothing, where there are none; without the file it is not told any more.";
    Note STOCK_OF_UNKNOWN_PARTS "stock-of-unknown-parts"
        "Stock of parts that the table Parts does not define is left out."
        "A stock list often holds more than this line uses; but a mistyped code is lost too."
        "Nothing, unless the part should be known: then correct its code or add it to Parts.";
    Note RECEIPTS_OF_UNKNOWN_PARTS "receipts-of-unknown-parts"
        "Receipts of parts that the table Parts does not define are left out."
        "Purchasing buys more than this line uses; but a mistyped code is lost too."
        "Nothing, unless the part should be known: then correct its code or add it to Parts.";
    Note BILLS_OF_UNKNOWN_PARENTS "bills-of-unknown-parents"
        "Bill lines of parents that are neither floorplan nor part are left out."
        "An export often holds bills of products that are no longer built; but a mistyped parent is lost too."
        "Nothing, unless the parent should be known: then correct its code or add it.";
}

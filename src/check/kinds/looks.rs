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
        "Format the column as text and enter the code again.";
    Warning CODE_IS_A_DATE "code-is-a-date"
        "A part's code is a date: a spreadsheet makes one of a code such as 3-12."
        "The part's bills, stock and receipts, which have the right code, would not be found."
        "Format the column as text and enter the code again.";
    Warning NEGATIVE_STOCK "negative-stock"
        "A stock is negative."
        "It counts as 0, and more may be short than is known."
        "Count the shelf and correct the stock.";
    Warning RESERVED_FOR_NOBODY "reserved-for-nobody"
        "Stock is reserved for a unit that is not in the sequence."
        "It counts for nothing, while others may be short of it."
        "Correct the unit's code, or clear it to set the stock free.";
    Warning FRACTION_OF_A_PIECE "fraction-of-a-piece"
        "A part counted in whole pieces and put into kits is needed in fractions."
        "Nobody can pick half a piece."
        "Correct the quantity, or choose a unit of measure that can be divided.";
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
    Warning UNREACHED_CHANGE "unreached-change"
        "A change begins with a unit on hold, and every unit behind that one on its line is on hold or done as well."
        "Units of other lines are built as before the change, however late they enter, and get its old parts."
        "Give the change a date, or another unit to begin with, or lift the hold.";
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

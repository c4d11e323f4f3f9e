//! The kinds of findings that reading a book's files can give, each with a fixed readable name.

use crate::base::kinds;

kinds! {
    ALL:
    Error MISSING_VALUE "missing-value"
        "A cell that must not be blank is blank."
        "The row says too little to be planned."
        "Fill in the cell, or remove the row.";
    Error NOT_A_NUMBER "not-a-number"
        "A cell that holds a number holds something else."
        "A quantity or a time would have to be guessed."
        "Write a plain decimal such as 12.5, without thousands separators; for other forms say so in a manifest.";
    Error OUT_OF_RANGE "out-of-range"
        "A number is negative, not whole, or larger than it can sensibly be."
        "With it the plan would ask for nonsense."
        "Correct the number; the finding says what is expected.";
    Error NOT_A_DATE "not-a-date"
        "A cell that holds a date, or a date and time, holds something else."
        "Day and month would have to be guessed."
        "Write 2027-09-14 or 2027-09-14 06:00; for other forms say so in a manifest.";
    Error TWO_DATES "two-dates"
        "A date can be read in two of the forms that the manifest names, as two different days."
        "One of them would be wrong by weeks."
        "Write it as 2027-09-14, or name one form for this table in the manifest.";
    Error NOT_A_TIME "not-a-time"
        "A cell that holds a time of day holds something else."
        "The hour would have to be guessed."
        "Write 06:00.";
    Error NOT_IN_LIST "not-in-list"
        "A cell that takes one of a few words holds another."
        "It is not known which of them was meant."
        "Write one of the words that the finding lists.";
    Error TOO_LONG "too-long"
        "A code is longer than a code can sensibly be."
        "Most likely a note slipped into the column of the code."
        "Write the code alone.";
    Error COLUMN_TWICE "column-twice"
        "Two columns of a table have the same heading."
        "It is not clear which of the two counts."
        "Rename or remove one.";
    Error MISSING_COLUMN "missing-column"
        "A table lacks a column it can't do without."
        "None of its rows can be read."
        "Add the column, correct its heading, or say in a manifest what your file calls it.";
    Note UNKNOWN_COLUMN "unknown-column"
        "A column that this table does not have is ignored."
        "If its heading is mistyped, its values are not read."
        "Nothing, unless it should be read: then correct the heading.";
    Note UNKNOWN_TABLE "unknown-table"
        "A sheet or file that is no table of the book is ignored."
        "If its name is mistyped, nothing in it is read."
        "Nothing, unless it should be read: then correct the name.";
    Error NO_MANIFEST "no-manifest"
        "A folder holds files, but no table of a book, and no manifest that says what they are."
        "It is not known which file holds what."
        "Let 'lineward new --manifest FOLDER' write a manifest that fits, as far as that can be seen, and look through it.";
    Note HIDDEN_SHEET "hidden-sheet"
        "A table's sheet is hidden in its workbook."
        "It is read like any other, but nobody may have looked at it."
        "Show the sheet and look at it; remove it if it is old.";
    Error TABLE_TWICE "table-twice"
        "The book has a table twice."
        "It is not clear which of the two counts."
        "Keep one, and move the other out of the book.";
    Error OPEN_MARK "open-mark"
        "A quotation mark opens a cell, and none closes it."
        "The cell would swallow all rows below it."
        "Take the mark away, or close the cell with another.";
    Error STRAY_MARK "stray-mark"
        "A quotation mark closes a cell, and the cell goes on behind it."
        "Where the cell ends would have to be guessed, and rows may have been swallowed."
        "Take the marks away, or write each mark within a quoted cell twice.";
    Warning MARK_WITHIN "mark-within"
        "A quotation mark stands within a cell that is not in quotation marks."
        "It is read as a part of the text; where it was typed by mistake, a code or a name is another."
        "Take it away; where it is meant, put the cell into quotation marks and write it twice.";
    Error ROWS_IN_A_CELL "rows-in-a-cell"
        "A quoted cell holds line ends and separators in the shape of rows."
        "Most likely a quotation mark was opened by mistake, and these rows would be lost."
        "Take the quotation marks away; where it is a text for people, take its line ends away.";
    Warning MANY_LINES "many-lines"
        "A quoted cell runs over many lines."
        "A quotation mark that was opened by mistake swallows rows."
        "Look at the cell; where it is a text for people, make it shorter.";
    Error CELLS_BEYOND "cells-beyond-headings"
        "A row of a text file has more cells than there are headings, and something stands in them."
        "Most likely a separator stands in a text without quotation marks, and all cells behind it stand under a wrong heading."
        "Put the text into quotation marks, or take the separator away.";
    Warning UNEVEN_ROW "uneven-row"
        "A row of a text file has another number of cells than the headings."
        "Where a separator is missing or stands twice, cells stand under a wrong heading."
        "Look at the row; write as many separators as in the row of the headings.";
    Note BEYOND_HEADINGS "beyond-headings"
        "Cells of a sheet that stand under no heading are ignored."
        "What they say is not read."
        "Nothing, unless it should be read: then write a heading above them.";
    Error HEADINGS_AGAIN "headings-again"
        "A row in the middle of a table holds headings."
        "It is not known whether another table begins there."
        "Remove the row; move what belongs to another table to a file or sheet of its own, or say 'end at' in a manifest.";
    Error OTHER_SEPARATOR "other-separator"
        "The cells of a text file are separated by another sign than its name says."
        "All of a row would be read as one cell, and what its numbers look like is not known."
        "Let 'lineward new --manifest FOLDER' write a manifest that says how the files are written.";
    Warning NO_ROWS "no-rows"
        "A table has headings, but no rows."
        "Most likely an export was cut off, and the plan leaves out what should stand there."
        "Export it again; where nothing is to stand there, remove the table.";
    Note NO_LAST_LINE_END "no-last-line-end"
        "The last row of a text file does not end with a line end, as those of other files do."
        "A file that was cut off while it was written looks so."
        "Nothing, where the last row is whole.";
    Error BAD_LEVEL "bad-level"
        "The level of a row in an indented bill is no level, or skips one."
        "It is not known what the part goes into."
        "Write whole numbers, with or without dots in front, each at most one more than in the row above.";
    Error TWO_BILLS "two-bills"
        "An indented bill shows what a part is made of in two places, and not the same."
        "It is not known which of them counts."
        "Correct the one that is wrong; where the part differs by options, say so with conditions in one of them.";
    Error UNREADABLE_FILE "unreadable-file"
        "A file of the book can't be read."
        "What stands in it is not known."
        "The finding says why it can't be read.";
    Error NOT_UTF_8 "not-utf-8"
        "The letters of a text file are not kept as its name or the manifest says."
        "Letters beyond plain English would be misread, and codes that hold them not found."
        "Save it again as 'CSV UTF-8', or say encoding = \"windows-1252\" or \"utf-16\" in a manifest.";
    Warning ERROR_SIGN "error-sign"
        "A cell holds what a spreadsheet shows where it can't work out or show a value."
        "What was meant is not known, and what others look for by it is not found."
        "Mend the formula, widen the column, or type the value; then export again.";
    Warning MISREAD_LETTERS "misread-letters"
        "Letters of a cell seem to have been written in one way and read in another."
        "A code or a name with such letters is not found, and people read nonsense."
        "Export the file as UTF-8, or say in a manifest how its letters are kept; the finding says what seems to be meant.";
    Warning UNSEEN_SIGN "unseen-sign"
        "A cell holds a sign that takes no room and is not seen."
        "It looks like a code or a name that others have, and is another."
        "Type the cell anew; such signs come along when a text is copied from a page.";
    Error NO_LETTER "no-letter"
        "A cell holds a sign that no workbook can hold."
        "It is not seen, and with it a workbook could not be opened."
        "Type the cell anew.";
    Error UNKNOWN_KEY "unknown-key"
        "The manifest has a key that means nothing there."
        "What was meant by it is not done."
        "Correct its spelling or remove it.";
    Error BAD_MANIFEST "bad-manifest"
        "The manifest can't be read here, or a value is of the wrong kind."
        "It is not known where the book's tables are."
        "Correct the line that the finding names.";
    Error OUTSIDE_FOLDER "outside-folder"
        "A file of the manifest lies outside its folder."
        "A book that is passed on would leave the file behind."
        "Move the file into the folder; or, if it is meant, write outside = true at the top of the manifest.";
}

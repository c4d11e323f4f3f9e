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
    Note HIDDEN_SHEET "hidden-sheet"
        "A table's sheet is hidden in its workbook."
        "It is read like any other, but nobody may have looked at it."
        "Show the sheet and look at it; remove it if it is old.";
    Error TABLE_TWICE "table-twice"
        "The book has a table twice."
        "It is not clear which of the two counts."
        "Keep one, and move the other out of the book.";
    Error NOT_UTF_8 "not-utf-8"
        "A text file is not in UTF-8."
        "Letters beyond plain English would be misread, and codes that hold them not found."
        "Save it again as 'CSV UTF-8', or say encoding = \"windows-1252\" in a manifest.";
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

//! Kinds about a list of misses: what was not there on the walks of a pull list.

use crate::base::kinds;

kinds! {
    MISSES:
    Error OTHER_LIST "other-list"
        "A list of misses is of another book or plan than the one that it is read with."
        "Its numbers would mean other stops, and other parts would be owed than were missed."
        "Give the book as it was when the pull list was written; what was missed on an older list is entered in Extras by hand.";
    Error NO_SUCH_STOP "no-such-stop"
        "A miss names a run, a walk or a stop that the pull list does not have."
        "Nobody knows what was not there, and it would be in no later plan."
        "Enter the run, the walk and the number of the stop as they stand on the slip and on the walk.";
    Error MORE_THAN_TAKEN "more-than-taken"
        "At a stop more was not there than is taken at it."
        "The number is another stop's, or is not in the part's unit of measure; too much would be owed."
        "Correct the stop, or the number that was not there.";
}

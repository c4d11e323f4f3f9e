//! Kinds about what finished units weigh.

use crate::base::kinds;

kinds! {
    SCALE:
    Warning WEIGHED_TWICE "weighed-twice"
        "Two rows of Scale have the same unit and the same moment."
        "Nothing tells which of two weights is right: neither is compared with the bill."
        "Remove one of them, or say when each was weighed: the last counts.";
    Warning WEIGHED_UNFINISHED "weighed-unfinished"
        "A weight stands for a unit that is neither done nor at the last position of its line."
        "It is not compared with the bill: the code is another unit's, or the sequence is behind what stands on the floor."
        "Correct the unit's code, or enter in the sequence that it is done.";
    Warning WEIGHED_AHEAD "weighed-ahead"
        "A unit was weighed after the moment the plan is made for."
        "Most likely the date is mistyped, and of two weights of the unit the wrong one counts."
        "Correct the moment; nothing, if the plan is made for an earlier moment on purpose.";
    Note WEIGHTS_OF_UNKNOWN_UNITS "weights-of-unknown-units"
        "Weights of units that are not in the sequence are left out."
        "A list of weights goes back further than the sequence does; but a mistyped unit is lost too."
        "Nothing, unless the unit should be known: then correct its code, or keep finished units in the sequence as done.";
}

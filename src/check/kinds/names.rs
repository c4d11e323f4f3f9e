//! Kinds about codes and the names that refer to them.

use crate::base::kinds;

kinds! {
    NAMES:
    Error MISSING_TABLE "missing-table"
        "The book lacks a table it can't do without."
        "Without its calendar, line, parts, bills or build sequence there is nothing to plan from."
        "Add the file or sheet, or correct its name; the finding says which table.";
    Error CODE_TWICE "code-twice"
        "A code is defined on two rows, or by two kinds of things that share a list of codes."
        "A row that names the code could mean either, so material might go to the wrong one."
        "Remove the row that is no longer right, or give one of the two another code.";
    Error NAME_CLASH "name-clash"
        "An option, a floorplan, a series or a line has the name of another of these."
        "A condition on a bill line or rule could mean either, and would take the wrong parts to the line."
        "Rename one of the two, wherever it is written.";
    Error BAD_CODE "bad-code"
        "An option's code holds a space, comma or semicolon, or begins with '-'."
        "In a unit's list of options it would be read as two options, or as one taken away."
        "Give the option a code without these letters, here and wherever it is ordered.";
    Error UNKNOWN_PART "unknown-part"
        "A part is named that the table Parts does not define."
        "Nobody knows where it lies, who makes it or how it is counted, so it would be missing at the line."
        "Correct the spelling, or add the part to Parts.";
    Error UNKNOWN_STATION "unknown-station"
        "A station is named that the table Stations does not define, or one of another line."
        "The material would have nowhere to go, or a unit would stand where it can't."
        "Correct the spelling, or add the station to Stations. Where material goes on a bill is a station, not a shop.";
    Error UNKNOWN_DESTINATION "unknown-destination"
        "A station or shop is named that neither Stations nor Shops defines."
        "The material would have nowhere to go."
        "Correct the spelling, or add it to Stations or Shops.";
    Error UNKNOWN_SHOP "unknown-shop"
        "A shop is named that the table Shops does not define."
        "Nobody would get the order to build the part."
        "Correct the spelling, or add the shop to Shops.";
    Error UNKNOWN_LINE "unknown-line"
        "A line is named that the table Lines does not define."
        "What the row says could not be put on any line."
        "Correct the spelling, or add the line to Lines.";
    Error UNKNOWN_CALENDAR "unknown-calendar"
        "A calendar is named that the table Calendar does not define."
        "Without working hours no time on the line or in the shop can be worked out."
        "Correct the spelling, or add rows for the calendar to Calendar.";
    Error UNKNOWN_OPTION "unknown-option"
        "An option is named that the table Options does not define."
        "No bill line can ask for it, so the unit would be built without it."
        "Correct the spelling, or add the option to Options.";
    Error UNKNOWN_GROUP "unknown-group"
        "An option group is named that the table Groups does not define."
        "It is not known how many options of the group a unit may have."
        "Correct the spelling, or add the group to Groups.";
    Error UNKNOWN_FLOORPLAN "unknown-floorplan"
        "A floorplan is named that the table Floorplans does not define."
        "A unit of it would have no bill and get no material."
        "Correct the spelling, or add the floorplan to Floorplans.";
    Error UNKNOWN_CHANGE "unknown-change"
        "A change is named that the table Changes does not define."
        "It is not known from which unit on the bill line counts."
        "Correct the spelling, or add the change to Changes.";
    Error UNKNOWN_NAME "unknown-name"
        "A condition names something that is neither an option nor a floorplan, a series or a line."
        "The condition would never hold, and its parts would be missing at the line."
        "Correct the spelling, or define the name. A name with a space is written in double quotes.";
    Error BAD_EXPRESSION "bad-expression"
        "A condition can't be read."
        "It is not known which units the bill line or rule is for."
        "Write names with and, or, not and parentheses, such as AC and not (TV1 or TV2). The finding says at which letter it stops making sense.";
}

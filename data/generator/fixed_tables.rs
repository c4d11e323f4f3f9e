//! The tables of what does not change from day to day: the plant's layout and what can be ordered.

use crate::layout::{CALENDAR, LAST_MOVE, LINE, LINE_NAME, SETTINGS, STATIONS, TAKT_FROM};
use crate::model::PLANS;
use crate::options::{GROUPS, OPTIONS, PACKAGES, RULES, offers};
use crate::tables::{Table, number, table, texts};
use crate::tune::{SHOPS, STATION_AHEAD, TAKT};

/// Settings, calendars, the line, stations, shops and floorplans.
pub fn layout() -> Vec<Table> {
    let ahead = |text: &str| {
        if text.is_empty() { number(STATION_AHEAD) } else { text.to_string() }
    };
    let stations = STATIONS.iter().map(|s| texts([LINE, s.0, &s.1.to_string(), s.2, &ahead(s.3)]));
    let shops = SHOPS
        .iter()
        .map(|s| texts([s.shop, s.name, s.calendar, &number(s.crews), &number(s.transit), &number(s.ahead)]));
    let line = std::iter::once(texts([LINE, LINE_NAME, "MAIN", LAST_MOVE]));
    let takt = std::iter::once(texts([LINE, TAKT_FROM, &number(TAKT)]));
    vec![
        table("Settings", "key,value", SETTINGS.iter().map(|s| texts([s.0, s.1]))),
        table("Calendar", "calendar,day,start,end,open", CALENDAR.iter().map(|c| texts(*c))),
        table("Lines", "line,name,calendar,last move", line),
        table("Takt", "line,from,minutes", takt),
        table("Stations", "line,station,position,name,deliver ahead", stations),
        table("Shops", "shop,name,calendar,crews,transit,deliver ahead", shops),
        table("Floorplans", "floorplan,name,series", PLANS.iter().map(|p| texts([p.0, p.1, p.2]))),
    ]
}

/// Options, groups, offers, packages and rules.
pub fn ordering() -> Vec<Table> {
    vec![
        table("Options", "option,name,group", OPTIONS.iter().map(|o| texts([o.0, o.1, o.2]))),
        table("Groups", "group,choose", GROUPS.iter().map(|g| texts([g.0, g.1]))),
        table("Offers", "floorplan,option,offer", offers().into_iter().map(|o| texts([o.0, o.1, o.2]))),
        table("Packages", "option,includes", PACKAGES.iter().map(|p| texts([p.0, p.1]))),
        table("Rules", "when,adds,must,message", RULES.iter().map(|r| texts(*r))),
    ]
}

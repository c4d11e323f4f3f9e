//! One crew less in a shop for a while, as it is said on the command line.

use super::super::{Failure, find};
use crate::base::{Moment, ShopId};
use crate::book::Forms;
use crate::check::{CrewLess, Plant};

/// What was given: `CABSHOP 2027-09-14`, for the whole of the date, or `CABSHOP 2027-09-14 09:00`, from then on to its end. A shop's
/// code may hold spaces; the date stands last.
///
/// # Errors
/// Where a shop or a date can't be understood, a shop is given twice, or nothing would change: the time is past, or the shop does not
/// work then.
pub(super) fn of(given: &[String], plant: &Plant, forms: &Forms) -> Result<Vec<CrewLess>, Failure> {
    let mut found: Vec<CrewLess> = Vec::new();
    for text in given {
        let told = |why: String| Failure::Words(format!("--crew-less '{text}': {why}"));
        let less = one(text, plant, forms).map_err(told)?;
        if found.iter().any(|known| known.shop == less.shop) {
            return Err(told("the shop is given twice; one stretch of time a shop can be tried".to_owned()));
        }
        found.push(less);
    }
    Ok(found)
}

fn one(text: &str, plant: &Plant, forms: &Forms) -> Result<CrewLess, String> {
    let (shop, at) = split(text.trim(), forms).ok_or_else(|| {
        format!("expected a shop and a date, or a date and time, such as 'CABSHOP {}'", forms.date_example())
    })?;
    let codes = || (0..plant.shops.len()).map(|shop| plant.shop_dest(ShopId::of(shop)).code.as_str());
    let shop = find(codes(), shop.trim_matches(['"', '\'']), "shop").map(ShopId::of).map_err(|why| match why {
        Failure::Words(words) => words,
        _ => format!("no shop '{shop}'"),
    })?;
    let until = at.date().plus(1).midnight();
    let less = CrewLess { shop, from: at.max(plant.as_of), until };
    let calendar = plant.calendar(plant.shop(shop).calendar);
    if less.from >= until {
        return Err(format!("{} is past at the as-of moment, {}", at.date().short(), plant.as_of.short()));
    }
    if calendar.worked(until) == calendar.worked(less.from) {
        return Err(format!("the shop does not work between {} and {}", less.from.short(), until.short()));
    }
    Ok(less)
}

/// The shop and the moment: of the words the last one or two are the moment.
fn split<'t>(text: &'t str, forms: &Forms) -> Option<(&'t str, Moment)> {
    let blanks: Vec<usize> = text.match_indices(char::is_whitespace).map(|(at, _)| at).collect();
    let last_two = blanks.iter().rev().take(2).rev();
    last_two
        .filter_map(|at| Some((text[..*at].trim(), forms.moment(text[*at..].trim())?.0)))
        .find(|(shop, _)| !shop.is_empty())
}

/// What is tried, in words.
pub(super) fn words(plant: &Plant) -> Vec<String> {
    let words = |less: &CrewLess| {
        let code = &plant.shop_dest(less.shop).code;
        format!("one crew less in {code}, {} to {}", less.from.short(), less.until.short())
    };
    plant.crews_less.iter().map(words).collect()
}

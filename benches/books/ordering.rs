//! The tables of what can be ordered.

use crate::folder::{Table, table, texts};
use crate::model::Book;
use crate::names::{FREE, FREE_STANDARD, GROUPS, PACKAGES, RULES};

pub fn tables(book: &Book) -> Vec<Table> {
    let full = book.wanted.full;
    let packages = PACKAGES.iter().filter(|_| full);
    let includes = packages.flat_map(|p| p.1.map(|name| texts([p.0, name])));
    let rules = RULES.iter().filter(|_| full).map(|r| texts([&r.0.join(" and "), r.1, &r.2.join(" "), r.3]));
    vec![
        options(book),
        table("Groups", "group,choose", GROUPS.iter().map(|group| texts([group.0, "one"]))),
        offers(book),
        table("Packages", "option,includes", includes),
        table("Rules", "when,adds,must,message", rules),
    ]
}

fn options(book: &Book) -> Table {
    let mut rows = Vec::new();
    for ((group, _), numbers) in GROUPS.iter().zip(&book.catalogue.groups) {
        rows.extend(numbers.iter().map(|n| texts([&book.catalogue.names[*n], group])));
    }
    let packages = PACKAGES.iter().filter(|_| book.wanted.full).map(|package| package.0);
    rows.extend(FREE.into_iter().chain(packages).map(|name| texts([name, ""])));
    table("Options", "option,group", rows.into_iter())
}

fn offers(book: &Book) -> Table {
    let full = book.wanted.full;
    let catalogue = &book.catalogue;
    let mut rows = Vec::new();
    for numbers in &catalogue.groups {
        let offer = |n: &usize| if *n == numbers[0] { "standard" } else { "optional" };
        rows.extend(numbers.iter().map(|n| texts(["*", &catalogue.names[*n], offer(n)])));
    }
    let packages = PACKAGES.iter().filter(|_| full).map(|package| package.0);
    rows.extend(FREE.into_iter().chain(packages).map(|name| {
        let standard = full && FREE_STANDARD.contains(&name);
        texts(["*", name, if standard { "standard" } else { "optional" }])
    }));
    for (f, floorplan) in book.floorplans.iter().enumerate().filter(|_| full) {
        let own = (0..GROUPS.len()).filter(|group| catalogue.own_standard(*group, f));
        rows.extend(own.map(|g| texts([&floorplan.code, &catalogue.names[catalogue.standard(g, f)], "standard"])));
        rows.push(texts([&floorplan.code, &catalogue.names[catalogue.not_offered(f)], "not offered"]));
    }
    table("Offers", "floorplan,option,offer", rows.into_iter())
}

//! A shop's build order on paper: the jobs of the day and of the next working day, a column a crew.

use super::super::weight;
use super::columns::{broken, pages};
use super::cover::material_need;
use super::facts::{Facts, ShopFacts, minutes_up, on, whole_minute_up};
use super::standing::Standing;
use super::words;
use crate::base::Date;
use crate::check::Source;
use crate::netting::Cover;
use crate::plan::{Late, There};
use crate::report::names::job_name;
use crate::report::pages::room_at;
use crate::report::sheet::{Cell, Look, Paper, Row, Sheet, Show};
use crate::report::table::Value;
use crate::shops::Job;
use itertools::Itertools;

/// The percent at which it is printed, and how many crews stand side by side there.
const SCALE: u16 = 85;
const CREWS: usize = 4;
/// The characters of a crew's columns together, of minutes and of the box among them, and between two crews.
const COLUMN: u16 = 37;
const COLUMNS: u16 = 4;
const MINUTES: u16 = 5;
const BOX: u16 = 4;
const GAP: u16 = 1;
/// By how much bold text is wider, in hundredths.
const BOLD: usize = 106;
/// The height of a line.
const LINE: u16 = 14;
/// Lines of the head of a page, headings of the columns with them.
const HEAD: usize = 5;

/// What stands below a job's first line.
struct Below {
    look: Look,
    text: String,
}

/// A job on paper.
struct Block {
    number: usize,
    what: Vec<String>,
    minutes: i64,
    wrong: bool,
    below: Vec<Below>,
}

impl Block {
    fn lines(&self) -> usize {
        self.what.len() + self.below.len()
    }
}

pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String) -> Sheet<'p> {
    let crews = (shop.shop.crews as usize).max(1);
    let side_by_side = crews.min(CREWS);
    let number = shop.jobs.len().to_string().len() as u16 + 2;
    let column = [number, COLUMN - number - MINUTES - BOX, MINUTES, BOX];
    let widths = (0..side_by_side).flat_map(|_| column.into_iter().chain([GAP])).collect_vec();
    let mut sheet = Sheet::new(name, &widths[..widths.len() - 1]);
    sheet.paper = Paper::Scale(SCALE);
    sheet.of_a_day = true;
    for day in shop.days(facts) {
        put_day(facts, shop, day, side_by_side, &mut sheet);
    }
    sheet
}

/// The pages of a day: those of the first crews, then those of the others.
fn put_day<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, day: Date, side_by_side: usize, sheet: &mut Sheet<'p>) {
    let of_day = |at: &usize| shop.day_of(facts, *at) == day;
    let jobs = (1..).zip(&shop.jobs).filter(|(_, at)| of_day(at)).collect_vec();
    let room = usize::from(room_at(SCALE) as u16 / LINE) - HEAD;
    let all = (0..(shop.shop.crews as usize).max(1)).collect_vec();
    for crews in all.chunks(side_by_side) {
        let of_crew = |crew: &usize| {
            let own = jobs.iter().filter(|(_, at)| facts.job(**at).slot.crew as usize == *crew);
            own.map(|(number, at)| block(facts, shop, *number, **at, day)).collect_vec()
        };
        let columns = crews.iter().map(of_crew).collect_vec();
        let heights = columns.iter().map(|column| column.iter().map(Block::lines).collect()).collect_vec();
        let pages = pages(&heights, room, room);
        let count = pages.len().max(1);
        if pages.is_empty() {
            head(facts, shop, day, (1, 1), sheet);
            sheet.text(Look::Plain, "Nothing is to be begun.");
        }
        for (number, page) in (1..).zip(pages) {
            head(facts, shop, day, (number, count), sheet);
            put_page(crews, &columns, &page, sheet);
        }
    }
}

/// What stands above the columns, on a page of its own.
fn head<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, day: Date, (page, pages): (usize, usize), sheet: &mut Sheet<'p>) {
    if sheet.next_row() > 0 {
        sheet.page_break();
    }
    let of = if pages > 1 { format!(", page {page} of {pages}") } else { String::new() };
    sheet.text(Look::Title, format!("{}: build order, {}{of}", shop.dest.name, day.long()));
    sheet.text(Look::Plain, format!("{}; {}", super::foot(facts.plan), words::shop(shop)));
    sheet.text(Look::Strong, words::TAKE_THE_LOWEST);
}

/// The columns of a page, line beside line.
fn put_page<'p>(crews: &[usize], columns: &[Vec<Block>], page: &[std::ops::Range<usize>], sheet: &mut Sheet<'p>) {
    let step = COLUMNS + 1;
    let headings = (0_u16..).zip(crews).flat_map(|(at, crew)| {
        let crew = format!("crew {}", crew + 1);
        let words = ["no.".to_owned(), crew, "min".to_owned(), "done".to_owned()];
        let heading = move |(column, word)| Cell::new(at * step + column, word, Show::Text, Look::Heading).ruled();
        (0_u16..).zip(words).map(heading).collect_vec()
    });
    sheet.row(Some(LINE + 2), headings.collect());
    let lines = (0_u16..).zip(columns).zip(page).map(|((at, column), blocks)| {
        column[blocks.clone()].iter().flat_map(|block| lines(block, at * step)).collect_vec()
    });
    let mut lines = lines.map(Vec::into_iter).collect_vec();
    loop {
        let cells = lines.iter_mut().filter_map(Iterator::next).collect_vec();
        if cells.is_empty() {
            return;
        }
        sheet.rows.push(Row { cells: cells.into_iter().flatten().collect(), height: Some(LINE) });
    }
}

/// The cells of a job's lines, from a column on.
fn lines<'p>(block: &Block, from: u16) -> Vec<Vec<Cell<'p>>> {
    let look = if block.wrong { Look::Wrong } else { Look::Strong };
    let mut what = block.what.iter();
    let first = vec![
        Cell::new(from, block.number as i64, Show::Whole, look).ruled(),
        Cell::new(from + 1, what.next().cloned().unwrap_or_default(), Show::Text, look).ruled(),
        Cell::new(from + 2, block.minutes, Show::Whole, look).ruled(),
        Cell::new(from + 3, Value::Blank, Show::Box, Look::Plain).ruled(),
    ];
    let more = what.map(|line| (Look::Strong, line.clone()));
    let below = block.below.iter().map(|below| (below.look, below.text.clone()));
    let text = more.chain(below).map(|(look, line)| vec![Cell::new(from + 1, line, Show::Text, look).over(3)]);
    std::iter::once(first).chain(text).collect()
}

/// A job: what, when and with what; then what is not there, and what comes from another shop.
fn block(facts: &Facts<'_>, shop: &ShopFacts<'_>, number: usize, at: usize, day: Date) -> Block {
    let job = facts.job(at);
    let standing = Standing::of(facts, shop, at);
    let mut below = Vec::new();
    // What stands below the number is as wide as what, minutes and box.
    let number_wide = shop.jobs.len().to_string().len() + 2;
    let wide = usize::from(COLUMN) - number_wide - 1;
    let mut add = |look: Look, text: &str| {
        let wide = if look == Look::Plain { wide } else { wide * 100 / BOLD };
        below.extend(broken(text, wide).into_iter().map(|text| Below { look, text }));
    };
    add(Look::Plain, &when(facts, shop, job, &standing, day));
    if let Some(reason) = facts.extra(job) {
        add(Look::Strong, &format!("beyond the bills: {reason}"));
    }
    let need = format!("needed {}", on(job.need, day));
    let late = match standing.late {
        Late::InTime => None,
        Late::By(_) => Some(format!("{}: {need}", standing.late.words())),
        Late::NotKnown => Some("no time known".to_owned()),
    };
    let not_there = Some(standing.not_there.clone()).filter(|words| !words.is_empty());
    let start = standing.earliest.filter(|_| not_there.is_some());
    let start = start.map(|start| format!("no start before {}", on(whole_minute_up(start), day)));
    add(Look::Strong, &not_there.into_iter().chain(start).chain(late).join("; "));
    from_other_shops(facts, job, day).iter().for_each(|line| add(Look::Plain, line));
    Block {
        number,
        what: broken(&job_name(facts.plan, job), (wide + 1 - usize::from(MINUTES + BOX)) * 100 / BOLD),
        minutes: minutes_up(job.times.length),
        wrong: super::standing::wrong(facts, at),
        below,
    }
}

/// The latest start, the run that brings its material, and what decides how it is built.
fn when(facts: &Facts<'_>, shop: &ShopFacts<'_>, job: &Job, standing: &Standing, day: Date) -> String {
    let start = if job.started { "begun".to_owned() } else { format!("by {}", on(shop.starts(job), day)) };
    let run = standing.run.map(|run| format!("{} run", on(run, day)));
    let options = Some(facts.options(job)).filter(|options| !options.is_empty());
    let part = facts.plan.plant.part(job.part);
    let heavy = weight::is_heavy(facts.plan.plant, part, job.qty).then(|| weight::HEAVY.to_owned());
    std::iter::once(start).chain(run).chain(options).chain(heavy).join("; ")
}

/// `LOF-CUT from WALLSHOP: free 09:22, here 09:47, at the last 10:40`: what other shops bring, whenever it comes.
fn from_other_shops(facts: &Facts<'_>, job: &Job, day: Date) -> Vec<String> {
    let plan = facts.plan;
    let last = on(material_need(plan, job), day);
    let pieces = facts.of_day.of_job(plan, job).into_iter();
    let made =
        pieces.filter(|piece| matches!(plan.plant.part(piece.demand.part).source, Source::Make(_) | Source::ByProduct));
    let told = made.filter_map(|piece| {
        // Of several the last; what is bought of it, or short, stands above.
        let given = piece.pegs.iter().filter(|peg| matches!(peg.cover, Cover::Job(_) | Cover::ByProduct));
        let there = given.filter_map(|peg| Some((plan.piece_there(&piece.demand, peg.cover, peg.available)?, peg)));
        let (there, last_peg) = there.max_by_key(|(there, _)| *there)?;
        if there <= There::At(plan.plant.as_of) {
            return None;
        }
        let part = &plan.plant.part(piece.demand.part).code;
        let from = facts.giver(&piece.demand, last_peg).map(|(shop, free)| {
            let free = free.map(|free| format!("free {}, ", on(whole_minute_up(free), day))).unwrap_or_default();
            (format!(" from {}", plan.plant.shop_dest(shop).code), free)
        });
        let (from, free) = from.unwrap_or_default();
        let here = there
            .moment()
            .map_or("no time known".to_owned(), |here| format!("here {}", on(whole_minute_up(here), day)));
        Some(format!("{part}{from}: {free}{here}, at the last {last}"))
    });
    told.collect()
}

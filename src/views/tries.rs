//! Trials: cells of the book given other values in memory, each trial planned whole, told beside the plan as it is. Nothing is written.

use super::{Looked, View, tell};
use crate::base::{Moment, Total};
use crate::book::Book;
use crate::check;
use crate::compare::{self, Codes, CompareTerms, PlanRows};
use crate::plan::{self, Plan, Request};
use crate::report::line_words;
use crate::trial::{self, Changed, Edit, Measure};
use itertools::Itertools;
use maud::{Markup, PreEscaped, html};

/// So many trials are told side by side.
pub const MOST_TRIALS: usize = 4;
/// So many edits a trial may have.
const MOST_EDITS: usize = 200;
/// So many lines of each section of a notice are told.
const MOST_OF_A_NOTICE: usize = 10;
/// Jobs whose start is another by more than so many seconds count as moved, as in `try`.
const MOVED: i64 = 1_800;

/// How a plan stands.
pub struct Standing {
    /// What the line loses, in words.
    pub the_line: String,
    /// How the units stand, in words.
    pub units: String,
    /// The same as numbers.
    pub measure: Measure,
}

/// A trial.
pub struct Tried {
    /// Its edits, one a line.
    pub edits: String,
    /// What comes of it, or why it can't be tried.
    pub outcome: Result<Outcome, String>,
}

/// What comes of a trial.
pub struct Outcome {
    changed: Vec<Changed>,
    standing: Standing,
    notice: String,
}

fn standing(plan: &Plan<'_>, last: &[Option<Moment>]) -> Standing {
    let (the_line, units) = (line_words::line(plan), line_words::units(plan));
    Standing { the_line, units, measure: Measure::of(plan, last, Total::ZERO) }
}

/// The edits of a box, in the order in which the command makes them that stands below what comes of them.
///
/// # Errors
/// What can't be understood, with its line.
pub fn edits_of(text: &str) -> Result<Vec<Edit>, String> {
    let mut edits = trial::from_file(text)?;
    edits.sort_by_key(|edit| edit.act);
    Ok(edits)
}

/// Tries some edits.
pub fn tried(looked: Looked<'_>, edits: &str) -> Tried {
    Tried { edits: edits.to_owned(), outcome: outcome(looked, edits) }
}

fn outcome(looked: Looked<'_>, text: &str) -> Result<Outcome, String> {
    let Looked { plan, book, .. } = looked;
    let edits = edits_of(text)?;
    if edits.is_empty() {
        return Err("there is no edit in it".to_owned());
    }
    if edits.len() > MOST_EDITS {
        return Err(format!("{} edits; a trial here has at most {MOST_EDITS}", edits.len()));
    }
    let (changed_book, changed) = trial::apply(book, &edits)?;
    let as_of = plan.plant.as_of;
    let own = |book: &Book| check::plant(book, None, as_of).0.as_of;
    if own(book) != own(&changed_book) {
        return Err("an edit changes the book's 'as of': another moment is looked at with --as-of".to_owned());
    }
    let (plant, mut findings) = check::plant(&changed_book, Some(as_of), as_of);
    let request = Request { set_aside: looked.set_aside, ..Request::default() };
    let planned = if findings.any_error() { None } else { Some(plan::plan(&plant, &request)) };
    let Some((Some(new), _)) = planned else {
        let more = match planned {
            Some((_, more)) => more,
            None => plan::more_findings(&plant, &findings),
        };
        findings.extend(more);
        trial::note(&changed, &mut findings);
        findings.sort();
        let errors = findings.iter().filter(|finding| finding.kind.level == crate::base::Level::Error);
        let told = errors.clone().take(MOST_OF_A_NOTICE).map(ToString::to_string).join("\n");
        return Err(format!("such a book can't be planned, for {} errors:\n{told}", errors.count()));
    };
    let rows = |plan: &Plan<'_>| {
        PlanRows::of_plan(plan, &mut Codes::default())
            .map_err(|wrong| format!("column {}: expected {}", wrong.column, wrong.expected))
    };
    let asked = CompareTerms { jobs_moved: MOVED, picked_through: None, as_of: Some(as_of) };
    let notice = compare::notice(&rows(plan)?, &rows(&new)?, &asked);
    let notice = compare::text(&notice, MOST_OF_A_NOTICE);
    Ok(Outcome { changed, standing: standing(&new, &trial::last_entries(plan)), notice })
}

/// The page on which edits are written.
pub fn form(looked: Looked<'_>, edits: &[String]) -> View {
    let body = html! {
        p {
            "Each box is a trial of its own: one edit a line, in the words of 'lineward try': a table, a row by its codes, then columns with \
             their values. 'add' or 'drop' may stand before the table; rows are dropped, then added, then set. A cell can be chosen from the book \
             as well. Nothing is written to the book."
        }
        pre .example { "Receipts 52103 F14-01 due=2027-09-14 05:00\nadd Calendar calendar=MAIN, day=2027-09-18, start=06:00, end=14:00\ndrop Receipts 8001 WN-20" }
        (boxes(looked, edits))
    };
    View::new("Try a change", body)
}

/// The boxes of the trials; each can be added to by a cell that is chosen. What a trial must carry goes with it alone.
pub fn boxes(looked: Looked<'_>, edits: &[String]) -> Markup {
    let written = edits.iter().rposition(|edits| !edits.trim().is_empty()).map_or(0, |last| last + 1);
    let shown = (written + 1).clamp(2, MOST_TRIALS);
    html! {
        form .tries action="/try" method="post" {
            div .side-by-side {
                @for number in 0..shown {
                    div {
                        label for=(format!("edits{number}")) { "Trial " (number + 1) }
                        textarea id=(format!("edits{number}")) name="edits" rows="4" spellcheck="false" {
                            // A newline right behind the beginning is not part of the text.
                            (PreEscaped("\n")) (edits.get(number).map_or("", String::as_str))
                        }
                        button name="into" value=(number) formaction="/cell" formmethod="get" { "choose a cell for trial " (number + 1) }
                    }
                }
            }
            button .try name="token" value=(looked.token) { "Try" }
        }
    }
}

/// What comes of some trials, beside the plan as it is.
pub fn results(looked: Looked<'_>, edits: &[String]) -> View {
    let all = edits.iter().filter(|edits| !edits.trim().is_empty()).take(MOST_TRIALS).collect_vec();
    let tried = all.iter().map(|edits| self::tried(looked, edits)).collect_vec();
    let as_it_is = standing(looked.plan, &trial::last_entries(looked.plan));
    let body = html! {
        p .verdict { "Tried, not the plan: nothing of this stands in the book." }
        @if edits.iter().filter(|edits| !edits.trim().is_empty()).count() > MOST_TRIALS { p { "Only the first " (MOST_TRIALS) " are tried at once." } }
        @if tried.is_empty() { p { "There is no edit in any box." } }
        (side_by_side(&as_it_is, &tried))
        @for (number, tried) in tried.iter().enumerate() { (one(looked, number, tried)) }
        h2 { "Try again" }
        (boxes(looked, &all.into_iter().cloned().collect_vec()))
    };
    View::new("What would be", body)
}

fn side_by_side(as_it_is: &Standing, tried: &[Tried]) -> Markup {
    let planned =
        tried.iter().enumerate().filter_map(|(number, tried)| Some((number, &tried.outcome.as_ref().ok()?.standing)));
    let columns = std::iter::once(("as it is".to_owned(), as_it_is))
        .chain(planned.map(|(number, standing)| (format!("trial {}", number + 1), standing)));
    let columns = columns.collect_vec();
    let row = |label: &str, value: &dyn Fn(&Standing) -> String| {
        html! { tr { th scope="row" { (label) } @for (_, standing) in &columns { td { (value(standing)) } } } }
    };
    html! {
        div .scroll tabindex="0" role="region" aria-label="Side by side" {
            table {
                caption { "Side by side" }
                thead { tr { td {} @for (name, _) in &columns { th scope="col" { (name) } } } }
                tbody {
                    (row("the line", &|standing| standing.the_line.clone()))
                    (row("minutes the line loses, each day begun on its times", &|standing| standing.measure.lost_minutes.to_string()))
                    (row("if nothing is made up", &|standing| standing.measure.lost_if_nothing_is_made_up.to_string()))
                    (row("units that stop", &|standing| standing.measure.units_that_stop.to_string()))
                    (row("of them with no known end", &|standing| standing.measure.not_known_how_long.to_string()))
                    (row("minutes by which the last unit enters later", &|standing| standing.measure.gap_minutes.to_string()))
                    (row("late jobs", &|standing| standing.measure.late_jobs.to_string()))
                    (row("units", &|standing| standing.units.clone()))
                }
            }
        }
        p .small { (line_words::NOT_A_FORECAST) }
    }
}

fn one(looked: Looked<'_>, number: usize, tried: &Tried) -> Markup {
    html! {
        section {
            h2 { "Trial " (number + 1) }
            @match &tried.outcome {
                Err(why) => { p { (tell::shape("stops the line")) " It can't be tried: " } pre .answer { (why) } },
                Ok(outcome) => {
                    ul { @for changed in outcome.changed.iter().take(20) { li { (changed) } } }
                    @if outcome.changed.len() > 20 { p .more { (outcome.changed.len() - 20) " cells more" } }
                    h3 { "What changes" }
                    pre .answer { (outcome.notice) }
                    h3 { "The same on a terminal" }
                    pre .answer #(format!("command{number}")) { (command(looked, &tried.edits)) }
                    button .copy type="button" data-copy=(format!("command{number}")) hidden { "copy" }
                }
            }
        }
    }
}

/// The command that does the same: each edit in quotes for a shell.
fn command(looked: Looked<'_>, edits: &str) -> String {
    let quoted = |text: &str| format!("'{}'", text.replace('\'', "'\\''"));
    let lines = edits.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'));
    let edits = lines.map(|line| {
        let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        match first.to_lowercase().as_str() {
            "add" => format!("--add {}", quoted(rest.trim())),
            "drop" => format!("--drop {}", quoted(rest.trim())),
            "set" => format!("--set {}", quoted(rest.trim())),
            _ => format!("--set {}", quoted(line)),
        }
    });
    let as_of = format!("--as-of {}", quoted(&looked.plan.plant.as_of.to_string()));
    let words = ["lineward try".to_owned(), quoted(looked.path), as_of].into_iter().chain(edits);
    words.chain(looked.set_aside.then(|| "--set-aside".to_owned())).join(" ")
}

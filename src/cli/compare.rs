//! `lineward compare`: what changed between two plans, as a change notice.

use super::given::Given;
use super::noticing::Noticing;
use super::output::{self, Output, Over, Wanted};
use super::{Failure, planned, tell, warn};
use crate::base::{Moment, Shown};
use crate::compare::{self, Codes, CompareTerms, Notice, PlanRows, Side};
use crate::{book, plan};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Tell what changed between two plans: units, kits, jobs, shortages and receipts.
///
/// Each plan is a folder that 'lineward plan' has written, or a book, which is planned for this alone. The notice is printed
/// and written as change-notice.xlsx to the output folder.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The plan as it was: the folder of a plan, or a book
    old: PathBuf,
    /// The plan as it is: the folder of a plan, or a book
    new: PathBuf,
    #[command(flatten)]
    noticing: Noticing,
    /// The moment to plan books for; what the carts held for needs before it counts as used
    #[arg(long, value_parser = Given::take)]
    as_of: Option<Given>,
    /// The folder to write to; by default 'reports', and with --json none
    #[arg(long)]
    out: Option<PathBuf>,
    /// Print the whole notice as JSON, for programs
    #[arg(long)]
    json: bool,
    /// Keep units of a book whose order is wrong on the line, without material, instead of stopping
    #[arg(long)]
    set_aside: bool,
}

/// So many lines of a section are printed unless all are asked for.
const SHOWN: usize = 10;

#[derive(Serialize)]
struct Report<'n> {
    old: &'n Side,
    new: &'n Side,
    #[serde(flatten)]
    notice: &'n Notice,
}

/// What was read for both plans.
#[derive(Default)]
struct Read {
    files: Vec<PathBuf>,
    /// How the books write dates.
    forms: book::Forms,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let mut codes = Codes::default();
    let mut read = Read::default();
    let (old, old_rows) = side(&args.old, args, &mut codes, &mut read)?;
    let (new, new_rows) = side(&args.new, args, &mut codes, &mut read)?;
    let forms = &read.forms;
    let as_of = args.as_of.as_ref().map(|given| given.moment(forms)).transpose()?;
    let asked = args.noticing.asked(as_of.or(new.as_of), forms)?;
    let notice = compare::notice(&old_rows, &new_rows, &asked);
    let default = (!args.json).then(|| PathBuf::from("reports"));
    let out = args.out.clone().or(default);
    if let Some(out) = &out {
        write(&notice, [&old, &new], &asked, out, &read.files)?;
    }
    let text = if args.json {
        as_json(&notice, &old, &new)?
    } else {
        told(&notice, [&old, &new], &args.noticing, out.as_deref())
    };
    tell(&text)?;
    Ok(())
}

/// Reads or makes one of the two plans; what was read is added to the list.
fn side(path: &Path, args: &Args, codes: &mut Codes, read: &mut Read) -> Result<(Side, PlanRows), Failure> {
    output::mend(path)?;
    let name = path.shown();
    if path.is_dir() {
        if let Some(folder) = compare::tables_of(path) {
            let list = compare::list_of(&folder)?;
            if list.is_none() {
                let why = "has no contents.json: whether its tables are whole can't be seen";
                warn(&format!("lineward: {name} {why}\n"));
            }
            let as_of =
                list.and_then(|list| list.plan).and_then(|plan| Moment::parse(&plan.as_of)).map(|(moment, _)| moment);
            return Ok((Side { name, as_of }, compare::read(&folder, codes)?));
        }
        if path.join("pull-list.xlsx").is_file() {
            let why = "a plan was written there without its tables; plan again with --tables csv or parquet";
            return Err(Failure::File(format!("can't read {name}: {why}")));
        }
    }
    let book = book::open(path)?;
    read.files.extend(planned::files_of(&book, path));
    read.forms.dates.extend(book.date_forms().dates);
    if book.is_empty() {
        let why = "it is neither a plan's folder (there is no tables/units.csv or the like in it) nor a book";
        return Err(Failure::File(format!("can't read {name}: {why}")));
    }
    of_book(&book, name, args, codes)
}

/// Plans a book, as `plan` does, and takes the rows that its tables would hold.
fn of_book(book: &book::Book, name: String, args: &Args, codes: &mut Codes) -> Result<(Side, PlanRows), Failure> {
    let (plant, mut findings) = planned::checked(book, args.as_of.as_ref())?;
    let request = plan::Request { set_aside: args.set_aside, ..Default::default() };
    let plan = planned::plan(&plant, &request, &mut findings)?;
    let rows = PlanRows::of_plan(&plan, codes)
        .map_err(|wrong| Failure::File(format!("{name}: column {}: expected {}", wrong.column, wrong.expected)))?;
    Ok((Side { name, as_of: Some(plant.as_of) }, rows))
}

fn write(
    notice: &Notice,
    sides: [&Side; 2],
    asked: &CompareTerms,
    out: &Path,
    read: &[PathBuf],
) -> Result<(), Failure> {
    let workbook = compare::workbook(notice, sides, asked);
    let over = Over::Listed { by: "compare", plan: None };
    let mut output =
        Output::to(Wanted { folder: out, names: vec![workbook.file.into()], gone: Vec::new(), over, read })?;
    output.add_workbook(&workbook)?;
    output.finish()
}

fn told(notice: &Notice, [old, new]: [&Side; 2], noticing: &Noticing, out: Option<&Path>) -> String {
    let mut text = format!("from {old}\nto   {new}\n{}", compare::text(notice, noticing.most(SHOWN)));
    text += noticing.hint(&text);
    if let Some(out) = out {
        text += &format!("written to {}\n", out.join("change-notice.xlsx").shown());
    }
    text
}

fn as_json(notice: &Notice, old: &Side, new: &Side) -> Result<String, Failure> {
    let json = serde_json::to_string(&Report { old, new, notice });
    json.map(|json| super::for_programs(&json)).map_err(|why| Failure::File(why.to_string()))
}

//! The plan that is shown, and the next one: the book's files are looked at twice a second; when they have changed and stand still, the
//! book is planned again beside the plan that is shown, which stays until the new one is made.
//!
//! A plan lives on a thread of its own with all that it borrows; what is asked of it comes through a channel. When its successor is
//! there, the channel is dropped, the last questions are answered, and the thread ends.

use crate::base::{Findings, Moment, Shown as _};
use crate::book::{self, Book};
use crate::check;
use crate::cli::given::Given;
use crate::cli::{Failure, now, planned};
use crate::plan::{self, Plan, Request};
use crate::report;
use crate::uses;
use crate::views::{Around, Looked};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::thread;
use std::time::{Duration, SystemTime};

/// So many questions are answered at once.
const WORKERS: usize = 4;
/// How often the book's files are looked at.
const EVERY: Duration = Duration::from_millis(500);
/// How often a book is tried that could not be read at all: another program may hold it open, and let it go without a change.
const AGAIN: Duration = Duration::from_secs(2);

/// What is asked of a plan: it hands its answer over itself.
pub type Question = Box<dyn FnOnce(Looked<'_>) + Send>;

/// What is looked at, and how.
#[derive(Clone, Debug)]
pub struct LookRequest {
    /// Where the book lies.
    pub path: PathBuf,
    /// The moment to plan for.
    pub as_of: Option<Given>,
    /// Whether units whose order is wrong are set aside.
    pub set_aside: bool,
    /// What a trial must carry.
    pub token: String,
}

/// The plan that is shown.
#[derive(Clone)]
struct Shown {
    questions: Sender<Question>,
    around: Around,
}

/// The plan that is shown, and what is wrong with the book since.
#[derive(Default)]
struct State {
    shown: Option<Shown>,
    wrong: Option<(Moment, Arc<Findings>)>,
    number: u64,
}

/// What everybody shares who serves a plan.
#[derive(Clone, Default)]
pub struct Plans(Arc<Mutex<State>>);

/// A book that was opened and planned, or why it was not.
enum Made {
    Plan(Shown),
    Wrong(Findings),
}

/// Which files a book was read from, and how each looks from outside.
type Stamp = Vec<(PathBuf, Option<(u64, SystemTime)>)>;

impl State {
    fn around(&self) -> Around {
        let around = self.shown.as_ref().map(|shown| shown.around.clone()).unwrap_or_default();
        let wrong_since = self.wrong.as_ref().map(|(since, _)| since.clock());
        Around { number: self.number, wrong_since, ..around }
    }
}

impl Plans {
    fn state(&self) -> MutexGuard<'_, State> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What is said around each view.
    pub fn around(&self) -> Around {
        self.state().around()
    }

    /// What is wrong with the book, where it can't be planned as it is.
    pub fn wrong(&self) -> Option<Arc<Findings>> {
        self.state().wrong.as_ref().map(|(_, findings)| Arc::clone(findings))
    }

    /// Asks the plan that is shown, and says what stands around its answer; nothing where there is none any more.
    pub fn ask(&self, question: Question) -> Option<Around> {
        let state = self.state();
        let sent = state.shown.as_ref().is_some_and(|shown| shown.questions.send(question).is_ok());
        sent.then(|| state.around())
    }

    /// Plans the book for the first time, and from then on whenever its files have changed.
    ///
    /// # Errors
    /// Where it can't be planned; what is wrong has been told.
    pub fn begin(&self, asked: &LookRequest) -> Result<(), Failure> {
        let book = planned::open(&asked.path)?;
        let mut stamp = stamp(&book, &asked.path);
        let moment = crate::cli::given::moment_for(asked.as_of.as_ref(), &book)?;
        match self.make(asked, book, moment) {
            Made::Plan(shown) => self.show(shown),
            Made::Wrong(findings) => return Err(planned::refuse(&asked.path.shown(), findings)),
        }
        let (plans, asked) = (self.clone(), asked.clone());
        thread::spawn(move || {
            let mut unread = false;
            loop {
                thread::sleep(if unread { AGAIN } else { EVERY });
                let new = again(&stamp);
                if unread || new != stamp {
                    unread = plans.follow(&asked, &mut stamp, new);
                }
            }
        });
        Ok(())
    }

    fn show(&self, shown: Shown) {
        let mut state = self.state();
        state.number += 1;
        state.shown = Some(shown);
        state.wrong = None;
    }

    /// Plans the book again when its files stand still; whether it could not be read at all.
    fn follow(&self, asked: &LookRequest, known: &mut Stamp, mut new: Stamp) -> bool {
        loop {
            thread::sleep(EVERY);
            let later = again(&new);
            if later == new {
                break;
            }
            new = later;
        }
        *known = new;
        let (wrong, unread) = match book::open(&asked.path) {
            Ok(book) => {
                *known = stamp(&book, &asked.path);
                // A moment that the changed book's form of dates no longer reads must not become another.
                let made = match crate::cli::given::moment_for(asked.as_of.as_ref(), &book) {
                    Ok(moment) => self.make(asked, book, moment),
                    Err(Failure::Words(why) | Failure::File(why)) => Made::Wrong(unread(&asked.path, &why)),
                    Err(_) => Made::Wrong(unread(&asked.path, "--as-of can't be read in this book's form of dates")),
                };
                match made {
                    Made::Plan(shown) => {
                        self.show(shown);
                        return false;
                    }
                    Made::Wrong(findings) => (findings, false),
                }
            }
            Err(why) => (unread(&asked.path, &why.to_string()), true),
        };
        let mut state = self.state();
        let same = |known: &Findings| known.iter().map(ToString::to_string).eq(wrong.iter().map(ToString::to_string));
        if !state.wrong.as_ref().is_some_and(|(_, known)| same(known)) {
            state.number += 1;
            let since = state.wrong.as_ref().map_or_else(now, |(since, _)| *since);
            state.wrong = Some((since, Arc::new(wrong)));
        }
        unread
    }

    /// Plans a book on a thread of its own.
    fn make(&self, asked: &LookRequest, book: Book, as_of: Option<Moment>) -> Made {
        let (asked, (told, made)) = (asked.clone(), channel());
        thread::spawn(move || live(&asked, &book, as_of, &told));
        made.recv().unwrap_or_else(|_| Made::Wrong(unread(Path::new("the book"), "planning it was given up")))
    }
}

/// A finding for a file that can't be read at all.
fn unread(path: &Path, why: &str) -> Findings {
    let mut findings = Findings::default();
    let place = crate::base::Place { file: book::file_name(path), ..Default::default() };
    findings.add(crate::base::Finding::new(&book::UNREADABLE_FILE, place, "", why));
    findings
}

/// A plan's life: made, told, asked until nobody asks any more.
fn live(asked: &LookRequest, book: &Book, as_of: Option<Moment>, told: &Sender<Made>) {
    let (plant, mut findings) = check::plant(book, as_of, now());
    let request = Request { set_aside: asked.set_aside, ..Request::default() };
    let plan = if findings.any_error() {
        Err(plan::more_findings(&plant, &findings))
    } else {
        let (plan, more) = plan::plan(&plant, &request);
        plan.ok_or(more)
    };
    let plan = match plan {
        Ok(plan) => plan,
        Err(more) => {
            findings.extend(more);
            findings.sort();
            // Where nobody waits any more, nobody need be told.
            let _ = told.send(Made::Wrong(findings));
            return;
        }
    };
    let (questions, asking) = channel();
    if told.send(Made::Plan(Shown { questions, around: around(&plan) })).is_ok() {
        answer_all(asked, &plan, book, asking);
    }
}

fn around(plan: &Plan<'_>) -> Around {
    Around {
        plant: report::plant_name(plan).to_owned(),
        as_of: plan.plant.as_of.short(),
        planned: now().short(),
        shops: plan.plant.shops.iter().map(|shop| plan.plant.dest(shop.dest).code.clone()).collect(),
        ..Around::default()
    }
}

/// Answers what is asked, several at a time, until the channel is dropped; the workbooks are made meanwhile.
fn answer_all(asked: &LookRequest, plan: &Plan<'_>, book: &Book, questions: Receiver<Question>) {
    let (workbooks, calls) = (OnceLock::new(), OnceLock::new());
    let path = asked.path.to_string_lossy();
    let looked = Looked {
        plan,
        book,
        workbooks: &workbooks,
        calls: &calls,
        path: &path,
        set_aside: asked.set_aside,
        token: &asked.token,
    };
    let questions = Mutex::new(questions);
    let next = || questions.lock().unwrap_or_else(PoisonError::into_inner).recv();
    thread::scope(|scope| {
        for _ in 0..WORKERS {
            scope.spawn(|| {
                while let Ok(question) = next() {
                    // What breaks breaks one answer, not the others.
                    let _ = catch_unwind(AssertUnwindSafe(|| question(looked)));
                }
            });
        }
        let _ = catch_unwind(AssertUnwindSafe(|| calls.get_or_init(|| uses::calls(plan))));
        let _ = catch_unwind(AssertUnwindSafe(|| workbooks.get_or_init(|| report::workbooks(plan))));
    });
}

/// How the files of a book look from outside: their lengths and when they were written, and which files a folder has.
fn stamp(book: &Book, path: &Path) -> Stamp {
    let mut files = planned::files_of(book, path);
    files.sort();
    files.dedup();
    files.into_iter().map(|file| (file.clone(), look(&file))).collect()
}

fn again(stamp: &Stamp) -> Stamp {
    stamp.iter().map(|(file, _)| (file.clone(), look(file))).collect()
}

fn look(file: &Path) -> Option<(u64, SystemTime)> {
    let facts = file.metadata().ok()?;
    Some((facts.len(), facts.modified().ok()?))
}

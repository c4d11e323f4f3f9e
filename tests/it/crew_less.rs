//! One crew less: catches a begun job that is lost, done twice or waits behind others, a job placed on a crew that is away, and a loss that
//! is not the whole plan's.

use super::random_books::Dice;
use super::support::{Sheets, rounds};
use lineward::base::{Moment, ShopId};
use lineward::check::{self, CrewLess};
use lineward::crew_less::crew_less;
use lineward::plan::{self, Request};
use lineward::shops::{Slot, Times, schedule};
use std::process::Command;

fn job(length: i64, release: i64, due: i64) -> Times {
    Times { length, release, due }
}

/// Two crews take a job of 10 each; the second goes away at 5 and is back at 15. What is left of its job, 5, goes on with the first, which
/// is free at 10, before the third job, though that is due sooner. Then both are free at 15.
#[test]
fn a_begun_job_goes_on_with_the_crew_that_is_free_first() {
    let jobs = [job(10, 0, 1), job(10, 0, 2), job(10, 0, 3), job(10, 0, 4)];
    let slots = schedule(&jobs, 0, 2, 0, Some((5, 15)));
    let times: Vec<_> = slots.iter().map(|slot| (slot.crew, slot.start, slot.finish)).collect();
    assert_eq!(times, [(0, 0, 10), (1, 0, 15), (0, 15, 25), (1, 15, 25)]);
}

/// Both jobs have begun, and the second crew is away until 8: the first crew goes on with the first, the second with the other when it is
/// back. Where it is away longer than the first job takes, the first crew takes both.
#[test]
fn jobs_that_have_begun_come_first_with_the_crews_that_are_there() {
    let jobs = [job(10, 0, 1), job(10, 0, 2), job(10, 0, 0)];
    let starts = |slots: Vec<Slot>| slots.iter().map(|slot| (slot.crew, slot.start)).collect::<Vec<_>>();
    assert_eq!(starts(schedule(&jobs, 2, 2, 0, Some((0, 8)))), [(0, 0), (1, 8), (0, 10)]);
    assert_eq!(starts(schedule(&jobs, 2, 2, 0, Some((-5, 30)))), [(0, 0), (0, 10), (0, 20)]);
}

/// The only crew goes on when it is back; and where there are more crews than jobs, the one that is away would only stand by.
#[test]
fn the_only_crew_goes_on_when_it_is_back() {
    let one = schedule(&[job(10, 0, 1)], 0, 1, 0, Some((4, 9)));
    assert_eq!((one[0].start, one[0].finish), (0, 15));
    let two = schedule(&[job(10, 0, 1)], 0, 2, 0, Some((0, 9)));
    assert_eq!((two[0].start, two[0].finish), (0, 10));
}

/// A crew in the second implementation: since when it is free, and what it works on, with what is left of it.
struct Crew {
    free_since: i64,
    works: Option<(usize, i64)>,
}

/// Second by second: when each job is begun and when it is done.
pub fn watched(jobs: &[Times], started: usize, crews: usize, (from, until): (i64, i64)) -> Vec<(i64, i64)> {
    let mut shop: Vec<Crew> = (0..crews).map(|_| Crew { free_since: 0, works: None }).collect();
    let mut times = vec![(i64::MIN, i64::MIN); jobs.len()];
    let mut left: Option<(usize, i64)> = None;
    for now in 0.. {
        let away = |crew: usize| crew + 1 == crews && (from..until).contains(&now);
        for (_, crew) in shop.iter_mut().enumerate().filter(|(crew, _)| away(*crew)) {
            left = crew.works.take().or(left);
            crew.free_since = until;
        }
        let mut free: Vec<usize> = (0..crews).filter(|crew| !away(*crew) && shop[*crew].works.is_none()).collect();
        free.sort_by_key(|crew| (shop[*crew].free_since, *crew));
        for crew in free {
            let open = |job: &usize| times[*job].0 == i64::MIN;
            let begun = (0..started).find(open);
            let next = || (started..jobs.len()).filter(open).filter(|job| jobs[*job].release <= now);
            let work = left.take().or_else(|| {
                let job = begun.or_else(|| next().min_by_key(|job| (jobs[*job].due, *job)))?;
                Some((job, jobs[job].length))
            });
            if let Some((job, _)) = work {
                times[job].0 = times[job].0.max(if times[job].0 == i64::MIN { now } else { times[job].0 });
            }
            shop[crew].works = work;
        }
        for crew in &mut shop {
            if let Some((job, left)) = &mut crew.works {
                *left -= 1;
                if *left == 0 {
                    times[*job].1 = now + 1;
                    crew.free_since = now + 1;
                    crew.works = None;
                }
            }
        }
        if times.iter().all(|(_, done)| *done > i64::MIN) {
            return times;
        }
    }
    times
}

#[test]
fn a_shop_that_is_watched_second_by_second_does_the_same() {
    let (mut cut, mut late) = (0, 0);
    for seed in 0..rounds(2_000) {
        let dice = &mut Dice::new(900_000 + seed);
        let (crews, count) = (dice.between(1, 3), dice.between(3, 9) as usize);
        let started = (dice.between(0, 3) as usize).min(count);
        let jobs: Vec<Times> = (0..count)
            .map(|i| job(dice.between(1, 12), if i < started { 0 } else { dice.between(0, 25) }, dice.between(5, 60)))
            .collect();
        let from = dice.between(0, 30);
        let away = (from, from + dice.between(1, 25));
        let slots = schedule(&jobs, started, crews as u32, 0, Some(away));
        let watched = watched(&jobs, started, crews as usize, away);
        for (i, (slot, (begun, done))) in slots.iter().zip(&watched).enumerate() {
            assert_eq!(slot.earliest, *begun, "seed {seed}: job {i} of {jobs:?}, away {away:?}");
            let whole = done - begun == jobs[i].length;
            cut += usize::from(!whole);
            late += usize::from(*done > jobs[i].due);
            // Only what is in time may be done later, up to its due.
            let in_time = slot.finish >= *done && slot.finish <= jobs[i].due;
            assert!(slot.finish == *done || whole && i >= started && in_time, "seed {seed}: job {i} {slot:?}");
            // Of the crew that goes away only what it has begun is done while it is away: by another.
            let there = slot.finish <= away.0 || slot.start >= away.1;
            let begun_before = (slot.start, slot.finish) == (*begun, *done) && *begun < away.0;
            assert!(
                slot.crew + 1 != crews as u32 || there || begun_before,
                "seed {seed}: {slot:?} while away {away:?}"
            );
        }
    }
    assert!(cut > 200 && late > 500, "{cut}, {late}");
}

/// Boxes of 400 min for U1 and U2, from two crews; a break from 10:00 to 10:30, so 450 min a day. Moves follow each other by 60 from Monday
/// 06:00 on: the first of Tuesday is at 480, 06:30, so that U1 comes to S1 then and U2 at 07:30. As it is both are done on Monday after 400.
fn boxes() -> Sheets {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Calendar", "calendar,day,start,end,open\nDAY,Mon-Fri,06:00,14:00,\nDAY,Mon-Fri,10:00,10:30,no");
    sheets.set("Shops", "shop,calendar,crews\nCAB,DAY,2");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,CAB,400");
    sheets.add("Bills", "TEAL,BOX,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,2027-09-14");
    sheets
}

/// All of Monday with one crew: U2's follows U1's, 400 to 800, 350 into Tuesday, with the break 12:20: 290 min late on the clock, handed over
/// 12:30, 270 min of the line's after 07:30. From Monday 10:30 on: U2's, begun, has 160 left of 400 at 240, goes on at 400, is done at 560:
/// Tue 07:50, 20 late; the line loses 30. On Tuesday nothing is left to build.
#[test]
fn what_comes_late_and_what_the_line_loses() {
    let (plant, _) = check::plant(&boxes().book(), None, Moment::default());
    let plan = plan::plan(&plant, &Request::default()).0.expect("a plan");
    let all = crew_less(&plan).expect("a small plan");
    let told: Vec<_> =
        all.iter()
            .map(|less| {
                let late = less.late.iter().map(|(job, late)| {
                    format!("{} {}", plan.pace.owners[plan.jobs[*job].owner.at()].code, late.words())
                });
                let late = late.collect::<Vec<_>>().join(", ");
                format!("{} {}: {late}; {}", less.when.from.short(), less.all_day, less.worth.loss.by_dates() / 60)
            })
            .collect();
    assert_eq!(
        told,
        [
            "Mon 13 Sep 06:00 true: U2 late 290 min; 270",
            "Mon 13 Sep 10:30 false: U2 late 20 min; 30",
            "Tue 14 Sep 00:00 true: ; 0",
            "Tue 14 Sep 10:30 false: ; 0",
        ]
    );
}

/// In a plan that has one crew less from Monday 10:30 on already: U2's comes 20 late as it is. Another time of the same shop stands instead of it: all
/// of Monday it is 290 late, the same time changes nothing, and on Tuesday alone nothing is late. Catches two times of one shop, or the first.
#[test]
fn another_time_stands_instead_of_the_plans_own() {
    let (mut plant, _) = check::plant(&boxes().book(), None, Moment::default());
    let [from, until] = ["2027-09-13 10:30", "2027-09-14 00:00"].map(|text| Moment::parse(text).expect("a moment").0);
    plant.crews_less.push(CrewLess { shop: ShopId::of(0), from, until });
    let plan = plan::plan(&plant, &Request::default()).0.expect("a plan");
    let all = crew_less(&plan).expect("a small plan");
    let told = all.iter().map(|less| {
        let late = less.late.iter().map(|(_, late)| late.words()).collect::<Vec<_>>().join(", ");
        format!("{}: {late}; {}", less.when.from.short(), less.worth.loss.by_dates() / 60)
    });
    let expected = [
        "Mon 13 Sep 06:00: late 290 min; 270",
        "Mon 13 Sep 10:30: ; 30",
        "Tue 14 Sep 00:00: ; 0",
        "Tue 14 Sep 10:30: ; 0",
    ];
    assert_eq!(told.collect::<Vec<_>>(), expected);
}

/// 25 bolts for each of 200 units are 5,000 demands, and 1,500 shops two days and their halves are 6,000 plans: 30 million demands, more than
/// is planned anew for this. Catches a plan of any size made anew for each.
#[test]
fn a_large_plan_is_not_made_anew_for_each_shop() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Calendar", "calendar,day,start,end,open\nDAY,Mon-Fri,06:00,14:00,\nDAY,Mon-Fri,10:00,10:30,no");
    sheets.set("Shops", "shop,calendar");
    (0..1_500).for_each(|shop| _ = sheets.add("Shops", &format!("W{shop},DAY")));
    for part in 0..25 {
        sheets.add("Parts", &format!("B{part},ea")).add("Bills", &format!("TEAL,B{part},1,S1"));
    }
    (0..200).for_each(|unit| _ = sheets.add("Sequence", &format!("L1,{unit},U{unit},TEAL")));
    assert!(sheets.look(None, false, |plan| crew_less(plan).is_none()).expect("a plan"));
}

/// The same through the command; what can't be understood is said.
#[test]
fn a_crew_less_is_tried() {
    let folder = tempfile::tempdir().expect("a folder");
    for (table, text) in &boxes().0 {
        std::fs::write(folder.path().join(format!("{table}.csv")), text).expect("a table");
    }
    let run = |less: &[&str]| {
        let words = less.iter().flat_map(|less| ["--crew-less", less]);
        let mut command = Command::new(env!("CARGO_BIN_EXE_lineward"));
        let out = command.arg("try").arg(folder.path()).args(words).args(["--trials", "0"]).output().expect("it runs");
        let text = if out.status.success() { out.stdout } else { out.stderr };
        (out.status.code(), String::from_utf8(text).expect("UTF-8"))
    };
    let (status, text) = run(&["cab 2027-09-13 10:30"]);
    assert_eq!(status, Some(0), "{text}");
    assert!(text.contains("tried: one crew less in CAB, Mon 13 Sep 10:30 to Tue 14 Sep 00:00\n"), "{text}");
    assert!(text.contains("the line: 1 unit stops; the line loses Tue 30 min"), "{text}");
    assert!(run(&["CAB 2027-09-13"]).1.contains("the line loses Tue 270 min"));
    for (less, why) in [
        (&["CUB 2027-09-13"][..], "the book has no shop 'CUB' (did you mean CAB?)"),
        (&["CAB"], "expected a shop and a date"),
        (&["CAB 2027-09-10"], "is past at the as-of moment"),
        (&["CAB 2027-09-18"], "the shop does not work"),
        (&["CAB 2027-09-13", "CAB 2027-09-14"], "the shop is given twice"),
    ] {
        let (status, text) = run(less);
        assert_eq!(status, Some(2), "{less:?}: {text}");
        assert!(text.contains(why), "{less:?}: {text}");
    }
}

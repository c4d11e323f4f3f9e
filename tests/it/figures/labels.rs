//! The labels of a run's kits.

use super::notes::reserved;
use super::pull_list::{by_name, of_nobody};
use super::takes::{self, Kilograms, Lift, Missing, Take, lift, line_order, missing};
use super::walks::{Walk, walks};
use crate::oracle::clock::print;
use crate::oracle::numbers::{self, Millionths};
use crate::questions::asked::{Asked, Row, clock, short, text};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A label as it stands on its sheet: unit, station, then its five lines.
fn labels_of(asked: &Asked<'_>, sheet: &str) -> Vec<[String; 7]> {
    let rows: Vec<BTreeMap<u16, String>> = asked
        .sheet(sheet)
        .rows
        .iter()
        .map(|row| row.cells.iter().map(|cell| (cell.column, text(&cell.value))).collect())
        .collect();
    let mut labels = Vec::new();
    let full: Vec<&BTreeMap<u16, String>> = rows.iter().filter(|row| !row.is_empty()).collect();
    for block in full.chunks(6).filter(|block| block.len() == 6) {
        for from in block[0].keys().filter(|from| **from % 3 == 0) {
            let below = |at: usize| block[at][from].clone();
            let head = [block[0][from].clone(), block[0][&(from + 1)].clone()];
            let [unit, station] = head;
            labels.push([unit, station, below(1), below(2), below(3), below(4), below(5)]);
        }
    }
    labels
}

/// One label for each kit and walk, walk by walk: place on the cart, need and arrival, lines, pieces and kilograms here and in all, which part of how many;
/// what is not in it, or that it is planned whole.
pub fn labels(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["labels ".len()..];
    let Some(walks) = walks(asked, tab) else { return 0 };
    let run = takes::run_of(tab);
    let told = labels_of(asked, sheet);
    let by_name = by_name(asked);
    let pulls = by_name.get(&run).map_or(&[][..], Vec::as_slice);
    let mut kits: BTreeMap<(&str, &str), Vec<&Row>> = BTreeMap::new();
    for pull in pulls.iter().filter(|pull| pull["issue"] != *"bulk") {
        kits.entry((&pull["to"], &pull["unit"])).or_default().push(pull);
    }
    let of_walks: Vec<BTreeSet<(&str, &str)>> = walks.iter().map(Walk::kits).collect();
    let parts = |kit: (&str, &str)| of_walks.iter().filter(|kits| kits.contains(&kit)).count();
    let order = |(to, unit): &(&str, &str)| (line_order(asked, to), asked.tables.rank(unit));
    let mut expected: Vec<((&str, &str), Option<usize>)> = Vec::new();
    for (at, own) in of_walks.iter().enumerate() {
        let mut own: Vec<(&str, &str)> = own.iter().copied().collect();
        own.sort_by_key(order);
        expected.extend(own.into_iter().map(|kit| (kit, Some(at))));
    }
    let mut empty: Vec<(&str, &str)> = kits.keys().copied().filter(|kit| parts(*kit) == 0).collect();
    empty.sort_by_key(order);
    expected.extend(empty.into_iter().map(|kit| (kit, None)));
    assert_eq!(told.len(), expected.len(), "{sheet}: {told:#?}");
    let mut of_kits: HashMap<(&str, &str), Vec<&Take>> = HashMap::new();
    for take in walks.iter().flat_map(|walk| walk.takes.iter().flatten()) {
        if let Some(unit) = &take.unit {
            of_kits.entry((&take.to, unit)).or_default().push(take);
        }
    }
    for ([unit, station, walk, needed, here, in_all, whole], (kit, at)) in told.iter().zip(&expected) {
        assert_eq!((&**station, of_nobody(unit)), *kit, "{sheet}");
        let own = &kits[kit];
        let need = own.iter().map(|pull| pull["need"].to_owned()).min().expect("a pull");
        assert!(needed.starts_with(&format!("needed {}", short(&need))), "{needed}");
        if let Some(arrives) = asked.tables.arrives(kit.1, kit.0).map(print).filter(|_| needed.contains("arrives")) {
            let same = need[..10] == arrives[..10];
            let told = if same { clock(&arrives) } else { short(&arrives) };
            let in_short = format!("{} {}", &short(&arrives)[..3], clock(&arrives));
            let ends = [told, in_short].iter().any(|told| needed.ends_with(&format!("arrives {told}")));
            assert!(ends, "{sheet}: {needed}: {kit:?} {arrives}");
        }
        let counted = |takes: &[&Take]| {
            let lines: BTreeSet<&str> = takes.iter().map(|take| &*take.part).collect();
            let pieces = takes.iter().filter(|take| takes::part(asked, &take.part).decimals == 0);
            let pieces: Millionths = pieces.map(|take| take.qty).sum();
            let pieces = if pieces == 0 { String::new() } else { format!(", {} pc", numbers::print(pieces)) };
            format!("{} {}{pieces}", lines.len(), if lines.len() == 1 { "line" } else { "lines" })
        };
        let of_kit = |take: &&Take| (&*take.to, take.unit.as_deref()) == (kit.0, Some(kit.1));
        let all = of_kits.get(kit).map_or(&[][..], Vec::as_slice);
        let Some(at) = at else {
            assert_eq!((&**walk, &**here, &**in_all), (&*run, "", "nothing of it is there"), "{sheet}: {kit:?}");
            continue;
        };
        let mut on_walk: Vec<(&str, &str)> = of_walks[*at].iter().copied().collect();
        on_walk.sort_by_key(order);
        let place = on_walk.iter().position(|other| other == kit).expect("a place") + 1;
        let begins = format!("{run}, walk {}, place {place}", at + 1);
        assert!(walk == &begins || walk.starts_with(&format!("{begins}: ")), "{walk}: {begins}");
        let takes: Vec<&Take> = walks[*at].takes.iter().flatten().filter(of_kit).collect();
        let mut load = Kilograms::default();
        takes.iter().for_each(|take| load.add(asked, &take.part, take.qty));
        let (pieces, kilograms) = (counted(&takes), load.words());
        let heavy = takes.iter().any(|take| lift(asked, &take.part, take.qty) == Lift::Two);
        // What is reserved and what is not of one kit are two takes of one bin.
        let split = takes.iter().any(|take| reserved(asked, &[(*take).clone()]) > 0);
        let told = here.strip_suffix("; heavy").unwrap_or(here);
        assert!(split || (told != here) == heavy, "{sheet}: {here}: {takes:?}");
        let known = |words: &String| told == format!("{pieces}; {words}") || told == words;
        assert!(split || kilograms.iter().any(known), "{sheet}: {here}: {pieces} {kilograms:?}");
        let which = of_walks[..=*at].iter().filter(|kits| kits.contains(kit)).count();
        let in_all_told = match parts(*kit) {
            1 => "the whole kit".to_owned(),
            many => format!("part {which} of {many}; in all {}", counted(all)),
        };
        assert_eq!(*in_all, in_all_told, "{sheet}: {kit:?}");
        let lacks: Vec<(&str, Missing)> = own
            .iter()
            .flat_map(|pull| missing(asked, pull).into_iter().map(|missing| (&pull["part"], missing)))
            .collect();
        match lacks.as_slice() {
            [] => assert!(whole.starts_with("planned whole"), "{sheet}: {kit:?}: {whole}"),
            [(part, only)] => {
                let named =
                    whole.starts_with(&format!("not in it: {part}, ")) || whole.starts_with("1 piece not in it: ");
                let when = only.there.map_or("nothing covers it".to_owned(), |at| short(&print(at)));
                assert!(named && whole.ends_with(&when), "{sheet}: {kit:?}: {whole}");
            }
            many => assert!(whole.starts_with(&format!("{} pieces not in it: see ", many.len())), "{sheet}: {whole}"),
        }
    }
    told.len()
}

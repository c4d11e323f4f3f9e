//! Bills against the scale on random books: finished units weighed at random, some far off. Catches a bill of a finished unit that is another's, an odd
//! unit passed over or made up, an option that is not what the odd ones share, and a figure of the command or of its workbook that is not the other's.
//!
//! Rules `scale`, `bill-weight`, `odd-weights`.

use super::oracle::numbers::{Millionths, print};
use super::oracle::sheets::{Key, key};
use super::oracle::weights::{Whole, whole};
use super::questions::asked::{Told, told_rows};
use super::random_books::{Dice, Size, further_book};
use super::support::{Sheets, rounds};
use lineward::plan::Plan;
use lineward::report::{weighed, weight_facts};
use lineward::weigh::Weights;
use std::collections::{BTreeMap, BTreeSet};

/// A weight that counts.
struct Weight<'w> {
    of: &'w Whole,
    kg: Millionths,
}

/// A book of which the first two thirds of each line's units are finished, but for those that something else names, and weighed.
fn book(seed: u64) -> Sheets {
    let mut sheets = Sheets(further_book(seed, Size::Large));
    let extras = sheets.0.get("Extras").cloned().unwrap_or_default();
    let mut reader = csv::Reader::from_reader(sheets.0["Sequence"].as_bytes());
    let headings = reader.headers().expect("headings").clone();
    let at = |name: &str| headings.iter().position(|heading| heading == name).expect("a column");
    let rows: Vec<csv::StringRecord> = reader.records().map(|row| row.expect("a row")).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&headings).expect("memory");
    for (number, row) in rows.iter().enumerate() {
        let named = extras.to_lowercase().contains(&key(&row[at("unit")]));
        let finished = !named && number * 3 < rows.len() * 2 && row[at("hold")].trim().is_empty();
        let cells = row.iter().enumerate().map(|(column, cell)| match column == at("done") && finished {
            true => "yes",
            false => cell,
        });
        writer.write_record(cells).expect("memory");
    }
    let sequence = String::from_utf8(writer.into_inner().expect("memory")).expect("text");
    sheets.set("Sequence", &sequence);
    let dice = &mut Dice::new(seed ^ 0x5CA1E);
    let mut scale = "unit,kg,when".to_owned();
    let all = whole(&sheets.0);
    let weighed: Vec<&Whole> = all.iter().filter(|of| of.done || of.last).collect();
    for of in &weighed {
        // By the bill and 120 kg, a little off; far off with the first option that only a few of its floorplan have, and others now and then.
        let own: Vec<&&Whole> = weighed.iter().filter(|other| other.floorplan == of.floorplan).collect();
        let have = |option: &Key| own.iter().filter(|of| of.options.contains(option)).count();
        let options: BTreeSet<&Key> = own.iter().flat_map(|of| &of.options).collect();
        let rare = options.into_iter().find(|option| (1..=own.len() / 4).contains(&have(option)));
        let off = match rare.is_some_and(|rare| of.options.contains(rare)) {
            true => 500 + dice.between(0, 90),
            false if seed.is_multiple_of(2) && dice.chance(12) => dice.between(-400, 900),
            false => dice.between(-3, 3),
        };
        let kg = of.weight + i128::from(120 + off) * 1_000_000;
        if (10_000_000..=100_000_000_000).contains(&kg) {
            scale += &format!("\n{},{},", of.unit, print(kg));
        }
    }
    sheets.set("Scale", &scale);
    sheets
}

/// Twice the median.
fn twice_median(mut values: Vec<i128>) -> i128 {
    values.sort_unstable();
    values[(values.len() - 1) / 2] + values[values.len() / 2]
}

/// Of a floorplan with eight weights or more: twice the median difference and four times the median distance from it, in millionths.
fn spread(weights: &[Weight<'_>]) -> Option<(i128, i128)> {
    let differences: Vec<i128> = weights.iter().map(|weight| weight.kg - weight.of.weight).collect();
    (differences.len() >= 8).then(|| {
        let median = twice_median(differences.clone());
        (median, twice_median(differences.iter().map(|difference| (2 * difference - median).abs()).collect()))
    })
}

/// Options that all of the one have, and none of the others.
fn only_of(these: &[&Whole], others: &[&Whole]) -> BTreeSet<Key> {
    let Some(first) = these.first().filter(|_| !others.is_empty()) else { return BTreeSet::new() };
    let all = |option: &&Key| these.iter().all(|of| of.options.contains(*option));
    first
        .options
        .iter()
        .filter(all)
        .filter(|option| !others.iter().any(|of| of.options.contains(*option)))
        .cloned()
        .collect()
}

fn near(told: &str, millionths: i128) -> bool {
    let told: f64 = told.parse().unwrap_or_else(|_| panic!("a number: '{told}'"));
    (told * 1e6 - millionths as f64).abs() < 2.0
}

/// The rows below a heading of the workbook.
fn rows(plan: &Plan<'_>, weights: &Weights, heading: &str) -> BTreeMap<String, Told> {
    let workbook = weighed::workbook(plan, weights);
    let rows = workbook.sheets.iter().flat_map(|sheet| told_rows(&sheet.rows, heading));
    rows.filter(|row| row.contains_key(heading) && row["unit"] != "unit")
        .map(|row| (row["unit"].clone(), row))
        .collect()
}

/// How much was compared: weights, odd units, what odd ones share, and what the scale should show.
#[derive(Default)]
struct Seen([usize; 4]);

fn compare(plan: &Plan<'_>, sheets: &Sheets, seen: &mut Seen) {
    let all = whole(&sheets.0);
    let found = Weights::of(plan);
    let facts = serde_json::to_value(weight_facts::facts(plan, &found)).expect("facts");
    let scale: BTreeMap<Key, Millionths> = super::oracle::sheets::rows(&sheets.0, "Scale")
        .iter()
        .map(|row| (row.key("unit"), super::oracle::numbers::millionths(row.number("kg").expect("a weight"))))
        .collect();
    let mut of_floorplans: BTreeMap<Key, Vec<Weight<'_>>> = BTreeMap::new();
    for of in &all {
        if let Some(kg) = scale.get(&key(&of.unit)) {
            of_floorplans.entry(of.floorplan.clone()).or_default().push(Weight { of, kg: *kg });
        }
    }
    let list = |name: &str| facts[name].as_array().expect("a list").clone();
    let told = |value: &serde_json::Value| value.as_str().unwrap_or_default().to_owned();
    let [units, next] = [list("units"), list("next")];
    assert_eq!(units.len(), scale.len());
    let on_sheet = rows(plan, &found, "difference, kg");
    let explained = rows(plan, &found, "what could explain it");
    for (floorplan, weights) in &of_floorplans {
        let spread = spread(weights);
        let mut sides: [Vec<&Whole>; 3] = Default::default();
        for weight in weights {
            let fact = units.iter().find(|unit| told(&unit["unit"]) == weight.of.unit).expect("a unit");
            let difference = weight.kg - weight.of.weight;
            assert_eq!(told(&fact["bill"]["kilograms"]), print(weight.of.weight), "{fact}");
            assert_eq!(told(&fact["scale"]), print(weight.kg), "{fact}");
            assert_eq!(told(&fact["difference"]), print(difference), "{fact}");
            let (parts, unknown) = (weight.of.parts.len(), weight.of.unknown.len());
            assert_eq!(fact["bill"]["parts"], parts, "{fact}");
            assert_eq!(fact["bill"]["weight_not_known"].as_array().expect("parts").len(), unknown, "{fact}");
            // 3.5 × 1.4826 of the median distance.
            let off = spread.map(|(median, _)| 2 * difference - median);
            let odd = spread.zip(off).is_some_and(|((_, four), off)| off.abs() * 20_000 > four * 51_891);
            assert_eq!(fact["odd"], odd, "{fact}");
            let score = spread.zip(off).filter(|((_, four), _)| *four > 0);
            let score = score.map(|((_, four), off)| off * 2_000_000 / (four * 14_826));
            let score = score.map(|score| {
                format!("{}{}.{:02}", if score < 0 { "-" } else { "" }, score.abs() / 100, score.abs() % 100)
            });
            assert_eq!(told(&fact["score"]), score.clone().unwrap_or_default(), "{fact}");
            assert!(off.is_none_or(|off| near(&told(&fact["off"]), off / 2)), "{fact}");
            // The workbook says the same.
            let row = &on_sheet[&weight.of.unit];
            let cells = ["bill, kg", "scale, kg", "difference, kg", "bought parts", "of them without weight"];
            let right =
                [print(weight.of.weight), print(weight.kg), print(difference), parts.to_string(), unknown.to_string()];
            assert_eq!(cells.map(|cell| row[cell].clone()), right, "{row:?}");
            assert_eq!(row["word"].contains("odd"), odd, "{row:?}");
            assert_eq!(explained.contains_key(&weight.of.unit), odd, "{row:?}");
            if let (true, Some(score)) = (odd, &score) {
                assert_eq!((&row["score"], &explained[&weight.of.unit]["score"]), (score, score), "{row:?}");
            }
            let side = if !odd {
                0
            } else if off.is_some_and(|off| off > 0) {
                1
            } else {
                2
            };
            sides[side].push(weight.of);
            seen.0[0] += 1;
            seen.0[1] += usize::from(odd);
        }
        let fact =
            list("floorplans").into_iter().find(|of| key(&told(&of["floorplan"])) == *floorplan).expect("a floorplan");
        assert_eq!(fact["weighed"], weights.len(), "{fact}");
        assert_eq!(fact["median_difference"].is_null(), spread.is_none(), "{fact}");
        if let Some((median, four)) = spread {
            assert!(near(&told(&fact["median_difference"]), median / 2), "{fact}: {median}");
            assert!(near(&told(&fact["odd_beyond"]), four * 51_891 / 40_000), "{fact}: {four}");
        }
        for (name, these) in [("heavy", &sides[1]), ("light", &sides[2])] {
            let codes = |at: usize| -> BTreeSet<Key> {
                fact[name][at].as_array().expect("options").iter().map(|code| key(&told(code))).collect()
            };
            let others = &sides[0];
            let lack = if these.is_empty() { BTreeSet::new() } else { only_of(others, these) };
            assert_eq!([codes(0), codes(1)], [only_of(these, others), lack], "{fact}");
            seen.0[2] += codes(0).len() + codes(1).len();
        }
    }
    // The next units by rank, the first forty, those weighed left out.
    let to_come: Vec<&Whole> = all.iter().filter(|of| !of.done && !scale.contains_key(&key(&of.unit))).collect();
    let on_sheet = rows(plan, &found, "should show, kg");
    assert_eq!(
        next.iter().map(|next| told(&next["unit"])).collect::<Vec<_>>(),
        to_come.iter().take(40).map(|of| of.unit.clone()).collect::<Vec<_>>()
    );
    for (fact, of) in next.iter().zip(to_come) {
        assert_eq!(told(&fact["bill"]["kilograms"]), print(of.weight), "{fact}");
        let spread = of_floorplans.get(&of.floorplan).and_then(|weights| spread(weights));
        let row = &on_sheet[&of.unit];
        assert_eq!(row["bill, kg"], print(of.weight), "{row:?}");
        assert_eq!(row["should show, kg"].is_empty(), spread.is_none(), "{row:?}");
        let Some((median, four)) = spread else { continue };
        let (middle, limit) = (of.weight + median / 2, four * 51_891 / 40_000);
        for (name, cell, right) in [
            ("scale_should_show", "should show, kg", middle),
            ("from", "from, kg", middle - limit),
            ("to", "to, kg", middle + limit),
        ] {
            assert!(near(&row[cell], right) && near(&told(&fact[name]), right), "{row:?} {fact}: {right}");
        }
        seen.0[3] += 1;
    }
}

#[test]
fn random_books_are_weighed_as_their_bills_and_scales_say() {
    let mut seen = Seen::default();
    for seed in 0..rounds(12) {
        let sheets = book(820_000 + seed);
        let look = |plan: &Plan<'_>| compare(plan, &sheets, &mut seen);
        sheets.look(None, true, look).unwrap_or_else(|found| {
            panic!("seed {seed}: {:?}", found.iter().map(ToString::to_string).collect::<Vec<_>>())
        });
    }
    let [weights, odd, shared, next] = seen.0;
    assert!(weights > 100 && odd > 10 && shared > 3 && next > 50, "{weights} {odd} {shared} {next}");
}

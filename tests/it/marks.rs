//! What stands with a figure so that it can be used: the currency with money, the unit's decimals with a quantity, and a word with a piece
//! that one person does not lift here. Catches a sheet of the paper that leaves it out, and one that invents it.

use super::support::Sheets;
use lineward::plan::Plan;
use lineward::report::{self, sheet::Show, value::Value};

fn text(value: &Value<'_>) -> String {
    match value {
        Value::Text(text) => text.to_string(),
        Value::Quantity(qty) => qty.to_string(),
        _ => String::new(),
    }
}

/// The texts of all cells of a plan's sheets that are printed or looked at, with the names of their sheets.
fn cells(plan: &Plan<'_>, paper_alone: bool) -> Vec<(String, String)> {
    let workbooks = report::workbooks(plan);
    let sheets = workbooks.iter().flat_map(|workbook| &workbook.sheets);
    let sheets = sheets.filter(|sheet| !(paper_alone && sheet.for_the_screen));
    let of_sheet = sheets.flat_map(|sheet| {
        let cells = sheet.rows.iter().flat_map(|row| &row.cells);
        cells.map(|cell| (sheet.name.clone(), text(&cell.value))).collect::<Vec<_>>()
    });
    of_sheet.collect()
}

/// Bolts come in time, too many of them; panels and doors are short and change; a door is made. U1 comes to S1 on Tuesday at 06:00.
fn book() -> Sheets {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set("Settings", "key,value\nas of,2027-09-13 12:00\nreceipts at,06:00\none person lifts,25");
    sheets.set("Shops", "shop,calendar\nDOORS,DAY");
    sheets.set(
        "Parts",
        "part,uom,source,shop,minutes,supplier,cost,weight,lead days,safety stock,location\nBOLT,ea,,,,Reed,2,0.1,3,4,A-1\n\
         PANEL,ea,,,,Reed,30,40,3,,A-2\nTAPE,ft,,,,Reed,0.5,,3,,A-3\nDOOR,ea,make,DOORS,10,,,30,,,\nHINGE,ea,,,,Reed,1.25,26,3,,A-4",
    );
    sheets.set(
        "Bills",
        "parent,part,qty,station,until change\nTEAL,BOLT,3,S1,\nTEAL,PANEL,1,S1,\nTEAL,TAPE,1.23411,S1,\nTEAL,DOOR,1,S2,\n\
         TEAL,HINGE,2,S2,C1\nDOOR,HINGE,1,,",
    );
    sheets.set("Changes", "change,from unit\nC1,U2");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,");
    sheets.set("Stock", "part,qty,location\nHINGE,9,A-4");
    sheets.set("Extras", "part,qty,to,needed,unit,reason\nPANEL,1,S1,2027-09-14 06:00,U1,owed");
    sheets.set("Receipts", "purchase order,part,qty,due\n1,BOLT,90,2027-09-14\n2,BOLT,50,2027-09-20");
    sheets
}

/// Columns of money by their headings, and amounts in words.
fn money(sheets: &Sheets) -> (Vec<String>, Vec<String>) {
    let look = |plan: &Plan<'_>| {
        let workbooks = report::workbooks(plan);
        let sheets: Vec<_> = workbooks.iter().flat_map(|workbook| &workbook.sheets).collect();
        let headings = sheets.iter().flat_map(|sheet| {
            let of_table = |table: &lineward::report::sheet::TableSpan| {
                let first = &sheet.rows[table.heading as usize + 1];
                let money = first.cells.iter().filter(|cell| cell.show == Show::Money);
                money.map(|cell| table.headings[usize::from(cell.column)].clone()).collect::<Vec<_>>()
            };
            sheet.tables.iter().flat_map(of_table).collect::<Vec<_>>()
        });
        // Two decimals behind a point, and nothing of a time or a row: an amount.
        let amount = |word: &str| {
            let word = word.trim_matches(['(', ')', ',', ';', '.']);
            word.split_once('.').is_some_and(|(whole, cents)| {
                let digits = |text: &str| text.chars().all(|sign| sign.is_ascii_digit() || sign == ',');
                cents.len() == 2 && digits(cents) && digits(whole) && !whole.is_empty()
            })
        };
        let cells = cells(plan, false);
        let words = cells.iter().flat_map(|(_, text)| {
            let words: Vec<&str> = text.split(' ').collect();
            let with_next = |at: usize| format!("{} {}", words[at], words.get(at + 1).copied().unwrap_or_default());
            (0..words.len()).filter(|at| amount(words[*at])).map(with_next).collect::<Vec<_>>()
        });
        (headings.collect(), words.collect())
    };
    sheets.look(None, false, look).expect("a plan")
}

#[test]
fn every_amount_of_money_says_its_currency_where_the_book_has_one() {
    let mut sheets = book();
    let (without, words) = money(&sheets);
    assert!(without.len() >= 5 && without.iter().all(|heading| !heading.contains(',')), "{without:?}");
    assert!(words.len() >= 4 && words.iter().all(|words| !words.contains("EUR")), "{words:?}");
    sheets.add("Settings", "currency,EUR");
    let (with, words) = money(&sheets);
    assert_eq!(with, without.iter().map(|heading| format!("{heading}, EUR")).collect::<Vec<_>>());
    assert!(words.iter().all(|words| words.contains(" EUR")), "{words:?}");
}

/// PANEL, 40 kg, DOOR, 30, and HINGE, 26, are above 25 kg; TAPE has no weight. Wherever a line of the paper says what is to be taken, brought,
/// loaded or waited for, it says so.
#[test]
fn a_heavy_piece_is_marked_on_all_paper() {
    let sheets = book();
    let marked = |sheet: &str, part: &str, word: &str| {
        let look = |plan: &Plan<'_>| {
            let workbooks = report::workbooks(plan);
            let sheets = workbooks.iter().flat_map(|workbook| &workbook.sheets);
            let rows = sheets
                .filter(|other| other.name == sheet && !other.for_the_screen)
                .flat_map(|sheet| sheet.rows.clone())
                .map(|row| row.cells.iter().map(|cell| text(&cell.value)).collect::<Vec<_>>().join(" | "));
            rows.filter(|row| row.split([' ', ';']).any(|word| word == part)).collect::<Vec<_>>()
        };
        let rows = sheets.look(None, false, look).expect("a plan");
        assert!(!rows.is_empty() && rows.iter().all(|row| row.contains(word)), "'{sheet}': {part} {word}: {rows:#?}");
    };
    for (sheet, part) in [
        ("front", "PANEL"),
        ("overdue and owed", "PANEL"),
        ("not pulled", "PANEL"),
        ("the line", "PANEL"),
        ("walks 06.00", "HINGE"),
        ("from the shops", "DOOR"),
        ("driver 06.00", "DOOR"),
        ("DOORS out", "DOOR"),
    ] {
        marked(sheet, part, "heavy");
    }
    for sheet in ["front", "not pulled", "the line"] {
        marked(sheet, "TAPE", "weight not known");
    }
    let unlimited = |plan: &Plan<'_>| cells(plan, true);
    let mut sheets = sheets.clone();
    sheets.set("Settings", "key,value\nas of,2027-09-13 12:00\nreceipts at,06:00");
    let cells = sheets.look(None, false, unlimited).expect("a plan");
    let heavy: Vec<_> = cells.iter().filter(|(_, text)| text.split([' ', ';']).any(|word| word == "heavy")).collect();
    // The contents of the first sheet, and a column of the driver's that counts them.
    assert!(
        heavy
            .iter()
            .all(|(_, text)| ["stops, kits, kg, pickers; heavy parts; empty bins", "heavy lines"].contains(&&**text)),
        "{heavy:?}"
    );
}

/// 1.23411 ft of tape is asked for as 1.235, as a foot has three decimals here.
#[test]
fn a_quantity_on_paper_has_the_decimals_of_its_unit() {
    let cells = book().look(None, false, |plan| cells(plan, true)).expect("a plan");
    for sheet in ["front", "not pulled", "the line"] {
        assert!(cells.iter().any(|(name, text)| name == sheet && text.contains("1.235")), "{sheet}");
    }
    let exact: Vec<_> = cells.iter().filter(|(_, text)| text.contains("1.23411")).collect();
    assert!(exact.is_empty(), "{exact:?}");
}

//! A manifest for what lies in a folder: what could be seen is said, what could not stands beside it as a comment.

use super::guess::{Guess, Seen};
use crate::base::nearest;
use crate::book::spec::{Table, plain_name};
use crate::book::text::Letters;
use itertools::Itertools;
use std::fmt::Write;

/// The text of a manifest for files that were looked at.
pub fn manifest(seen: &[Seen]) -> String {
    let mut text = String::from(
        "# How the tables of this book lie in the plant's own files. Written from what could be seen in them: look through it,\n\
         # decide what stands behind '?', and let 'lineward check --read' tell how each table is read.\n",
    );
    let (chosen, others) = chosen(seen);
    let whole = whole_book(&chosen);
    if let Some(file) = whole {
        let (own, left): (Chosen<'_>, Chosen<'_>) = chosen.iter().partition(|(seen, _)| &*seen.file == file);
        text += &rest(file, &own);
        text += &measures(&chosen);
        text += &left.iter().map(|(seen, guess)| section(seen, guess)).collect::<String>();
    } else {
        text += &measures(&chosen);
        text += &chosen.iter().map(|(seen, guess)| section(seen, guess)).collect::<String>();
    }
    text += &left_over(&others, &chosen);
    text
}

/// A workbook of which several sheets are tables of the book as they are.
fn whole_book<'s>(chosen: &Chosen<'s>) -> Option<&'s str> {
    let mut files: Vec<(&str, usize)> = Vec::new();
    for (seen, _) in chosen {
        match files.iter_mut().find(|(file, _)| *file == &*seen.file) {
            Some((_, count)) => *count += 1,
            None => files.push((&seen.file, 1)),
        }
    }
    let plain = |(file, count): &(&str, usize)| {
        *count > 2 && chosen.iter().filter(|(seen, _)| &*seen.file == *file).all(|(seen, guess)| guess.is_plain(seen))
    };
    files.into_iter().filter(plain).max_by_key(|(_, count)| *count).map(|(file, _)| file)
}

/// A book that holds tables as they are, and how it writes dates and a few words.
fn rest(file: &str, own: &Chosen<'_>) -> String {
    let mut text = format!("\nrest = {}\n", quoted(file));
    let of =
        |words: fn(&Guess) -> Vec<&str>| own.iter().flat_map(|(_, guess)| words(guess)).unique().map(quoted).join(", ");
    let lists = [
        ("dates", of(|guess| guess.dates.clone())),
        ("yes", of(|guess| guess.truths[0].iter().map(String::as_str).collect())),
        ("no", of(|guess| guess.truths[1].iter().map(String::as_str).collect())),
        ("blank", of(|guess| guess.blank.iter().map(String::as_str).collect())),
    ];
    for (key, words) in lists.into_iter().filter(|(_, words)| !words.is_empty()) {
        // Writing to a string can't fail.
        let _ = writeln!(text, "{key} = [{words}]");
    }
    text
}

type Chosen<'s> = Vec<(&'s Seen, &'s Guess)>;

/// For each table the file that looks most like it; and all others.
fn chosen(seen: &[Seen]) -> (Chosen<'_>, Vec<&Seen>) {
    let mut chosen: Chosen<'_> = Vec::new();
    let mut others = Vec::new();
    let like = |guess: &Guess| (guess.missing.is_empty(), guess.columns.len(), guess.rows);
    for one in seen {
        let Some(guess) = &one.guess else {
            others.push(one);
            continue;
        };
        match chosen.iter_mut().find(|(_, known)| known.spec.table == guess.spec.table) {
            Some(known) if like(guess) > like(known.1) => {
                others.push(known.0);
                *known = (one, guess);
            }
            Some(_) => others.push(one),
            None => chosen.push((one, guess)),
        }
    }
    chosen.sort_by_key(|(_, guess)| guess.spec.table);
    (chosen, others)
}

/// The plant's units of measure, of all tables.
fn measures(chosen: &Chosen<'_>) -> String {
    let mut words: Vec<&(String, Option<&'static str>)> = Vec::new();
    for word in chosen.iter().flat_map(|(_, guess)| &guess.measures) {
        if !words.iter().any(|known| known.0.eq_ignore_ascii_case(&word.0)) {
            words.push(word);
        }
    }
    if words.is_empty() {
        return String::new();
    }
    let mut text = "\n[measures]\n".to_owned();
    for (own, meant) in words {
        // Writing to a string can't fail.
        let _ = match meant {
            Some(meant) => writeln!(text, "{} = \"{meant}\"", quoted(own)),
            None => writeln!(text, "# {} = \"?\"        a unit of its own needs no line here", quoted(own)),
        };
    }
    text
}

fn section(seen: &Seen, guess: &Guess) -> String {
    let mut text = format!("\n[{}]\nfile = {}\n", guess.spec.name, quoted(&seen.file));
    let mut line = |line: String| {
        text += &line;
        text.push('\n');
    };
    if let Some(sheet) = &seen.sheet {
        line(format!("sheet = {}", quoted(sheet)));
    }
    if let Some((separator, letters)) = seen.text {
        let usual = if seen.file.to_lowercase().ends_with(".tsv") { b'\t' } else { b',' };
        if separator != usual {
            let shown = if separator == b'\t' { "tab".to_owned() } else { char::from(separator).to_string() };
            line(format!("separator = {}", quoted(&shown)));
        }
        match letters {
            Letters::Utf8 => {}
            Letters::Utf16 => line("encoding = \"utf-16\"".to_owned()),
            Letters::Windows1252 => line("encoding = \"windows-1252\"".to_owned()),
        }
    }
    if !guess.headings.1 {
        line(format!("headings = {}", guess.headings.0));
    }
    if let Some(mark) = guess.decimal {
        line(format!("decimal = \"{mark}\""));
    }
    if let Some(mark) = guess.thousands {
        line(format!("thousands = \"{mark}\""));
    }
    match guess.dates.as_slice() {
        [] => {}
        [form] => line(format!("dates = \"{form}\"")),
        forms => line(format!("dates = [{}]", forms.iter().map(|form| quoted(form)).join(", "))),
    }
    for form in &guess.doubtful_dates {
        line(format!("# ? the same dates could be read as \"{form}\""));
    }
    for (key, words) in ["yes", "no"].iter().zip(&guess.truths) {
        if !words.is_empty() {
            line(format!("{key} = [{}]", words.iter().map(|word| quoted(word)).join(", ")));
        }
    }
    if !guess.blank.is_empty() {
        line(format!("blank = [{}]", guess.blank.iter().map(|word| quoted(word)).join(", ")));
    }
    if let Some(level) = &guess.level {
        line(format!("level = {}", quoted(level)));
    }
    if !guess.as_above.is_empty() {
        let headings: Vec<String> = guess.as_above.iter().map(|heading| quoted(heading)).collect();
        line(format!("\"as above\" = [{}]", headings.join(", ")));
    }
    if guess.percent {
        line("percent = true".to_owned());
    }
    if !guess.leave_out.is_empty() {
        let patterns: Vec<String> = guess.leave_out.iter().map(|(_, pattern)| quoted(pattern)).collect();
        line(format!("\"leave out\" = {{ {} = [{}] }}", quoted(&guess.leave_out[0].0), patterns.join(", ")));
    }
    for (column, words) in &guess.words {
        line(format!("\n[{}.codes.{}]", guess.spec.name, key(column)));
        for (own, meant) in words {
            line(match meant {
                Some(meant) => format!("{} = \"{meant}\"", quoted(own)),
                None => format!("# {} = \"?\"", quoted(own)),
            });
        }
    }
    let renamed = guess.columns.iter().filter(|(name, heading)| plain_name(name) != plain_name(heading));
    let renamed: Vec<String> = renamed.map(|(name, heading)| format!("{} = {}", key(name), quoted(heading))).collect();
    let undecided = undecided(guess);
    if !renamed.is_empty() || guess.missing.iter().any(|_| true) {
        line(format!("\n[{}.columns]", guess.spec.name));
        renamed.into_iter().for_each(&mut line);
    }
    undecided.into_iter().for_each(line);
    text
}

/// What could not be decided about a table's columns.
fn undecided(guess: &Guess) -> Vec<String> {
    let needed = guess.missing.iter().map(|name| {
        let near = nearest(name, guess.others.iter().map(String::as_str));
        format!("# {} = {}        needed: which heading is it?", key(name), quoted(near.unwrap_or("?")))
    });
    let others = (!guess.others.is_empty()).then(|| format!("# not read: {}", guess.others.join(", ")));
    needed.chain(others).collect()
}

/// What is no table, and which tables are not there.
fn left_over(others: &[&Seen], chosen: &Chosen<'_>) -> String {
    let mut text = String::new();
    for seen in others {
        let sheet = seen.sheet.as_ref().map(|sheet| format!(", sheet {sheet},")).unwrap_or_default();
        let why = match &seen.guess {
            Some(guess) => format!("looks like {}, too", guess.spec.name),
            None => "looks like no table".to_owned(),
        };
        let _ = write!(text, "\n# {}{sheet} {why}", seen.file);
    }
    let missing =
        Table::all().filter(|spec| spec.needed && chosen.iter().all(|(_, guess)| guess.spec.table != spec.table));
    let missing: Vec<&str> = missing.map(|spec| spec.name).collect();
    if !missing.is_empty() {
        let _ = write!(
            text,
            "\n# Needed, and not found: {}. They may stand in a book of their own, named at the top: rest = \"basic.xlsx\"",
            missing.join(", ")
        );
    }
    if text.is_empty() { text } else { format!("{text}\n") }
}

/// A text as TOML writes it.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// A column as a key.
fn key(name: &str) -> String {
    if name.contains(' ') { quoted(name) } else { name.to_owned() }
}

//! The page of rules (`src/RULES.md`) and the code: catches a rule that nothing carries out, one that no test holds, and a name that is
//! none.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// The names that the comments below a folder cite: of a line that begins with `Rule` or `Rules` all that stand between backquotes.
fn cited(folder: &str) -> BTreeSet<String> {
    let mut files = Vec::new();
    sources(&root().join(folder), &mut files);
    let mut names = BTreeSet::new();
    for file in files {
        let text = std::fs::read_to_string(&file).expect("a source");
        for line in text.lines().map(str::trim) {
            let told = line.strip_prefix("//!").or(line.strip_prefix("///")).map(str::trim).unwrap_or_default();
            if told.starts_with("Rule `") || told.starts_with("Rules `") {
                names.extend(told.split('`').skip(1).step_by(2).map(str::to_owned));
            }
        }
    }
    names
}

#[test]
fn each_rule_is_carried_out_and_held() {
    let page = std::fs::read_to_string(root().join("src/RULES.md")).expect("the page");
    let rules: Vec<String> = page.lines().filter_map(|line| line.strip_prefix("### ")).map(str::to_owned).collect();
    let known: BTreeSet<String> = rules.iter().cloned().collect();
    assert!(rules.len() > 40 && known.len() == rules.len(), "each rule has a name of its own: {rules:?}");
    for folder in ["src", "tests"] {
        let cited = cited(folder);
        let missing: Vec<_> = known.difference(&cited).collect();
        let unknown: Vec<_> = cited.difference(&known).collect();
        assert!(
            missing.is_empty() && unknown.is_empty(),
            "{folder}: nobody cites {missing:?}; no rules are {unknown:?}"
        );
    }
}

//! Conditions read and judged.

use super::*;

const NAMES: [&str; 4] = ["A", "B", "C", "DUNLIN 15"];

fn id(name: &str) -> Option<NameId> {
    NAMES.iter().position(|known| known.eq_ignore_ascii_case(name)).map(NameId::of)
}

fn holds(text: &str, names: &str) -> bool {
    let mut set = NameSet::new(NAMES.len());
    names.split_whitespace().filter_map(id).for_each(|name| {
        set.insert(name);
    });
    Expression::parse(text, id).unwrap().holds(&set)
}

/// All rows of the truth table at once, a bit each, against the rows one by one.
#[test]
fn many_at_once_are_each_by_itself() {
    let columns: [u64; 4] = [0xAAAA, 0xCCCC, 0xF0F0, 0xFF00];
    for text in ["a", "not a", "a and b", "a or b", "a or b and not c", "not (a or 'dunlin 15') and not (b and not c)"]
    {
        let expression = Expression::parse(text, id).unwrap();
        let all = expression.holds_for(|name| columns[name.at()], &mut vec![1]);
        for row in 0..16 {
            let mut set = NameSet::new(NAMES.len());
            let names = (0..NAMES.len()).filter(|name| columns[*name] >> row & 1 == 1).map(NameId::of);
            names.clone().for_each(|name| _ = set.insert(name));
            assert!(set.iter().eq(names), "{text}");
            assert_eq!(all >> row & 1 == 1, expression.holds(&set), "{text}, row {row}");
        }
    }
    assert_eq!(Expression::default().holds_for(|_| 0, &mut Vec::new()), u64::MAX, "no condition always holds");
}

/// Every row of the truth table, against the same condition written in Rust.
#[test]
fn not_binds_tightest_then_and() {
    for bits in 0..8_u32 {
        let (a, b, c) = (bits & 1 > 0, bits & 2 > 0, bits & 4 > 0);
        let names = format!("{} {} {}", if a { "A" } else { "" }, if b { "B" } else { "" }, if c { "C" } else { "" });
        assert_eq!(holds("a or b and not c", &names), a || (b && !c));
        assert_eq!(holds("not (a or b) AND c", &names), !(a || b) && c);
        assert_eq!(holds("not not a and (b or c) or not a", &names), if a { b || c } else { true });
        let long = vec!["(a or b and not c)"; 40].join(" and ");
        assert_eq!(holds(&long, &names), a || (b && !c));
    }
}

#[test]
fn names_with_spaces_are_quoted() {
    let mut set = NameSet::new(NAMES.len());
    set.insert(NameId(3));
    assert!(Expression::parse("\"dunlin 15\" and not A", id).unwrap().holds(&set));
}

/// `DUNLIN 15` is a name; its words alone are none, and another space between them is still a space.
#[test]
fn a_name_with_spaces_that_lacks_its_marks_is_told() {
    let quote = |text: &str| Expression::parse(text, id).unwrap_err()[0].quote.clone();
    for text in ["dunlin 15", "A and DUNLIN  15", "not Dunlin 15 and B", "(DUNLIN 15) or A", "A or (B and dunlin 15)"] {
        assert_eq!(quote(text).map(|name| name.to_uppercase()).as_deref(), Some("DUNLIN 15"), "{text}");
    }
    assert_eq!(Expression::parse("A and dunlin 15", id).unwrap_err()[0].span, (6, 15));
    for text in ["A B", "DUNLIN", "DUNLIN and 15", "DUNLIN (15)", "A and"] {
        assert_eq!(quote(text), None, "{text}");
    }
}

#[test]
fn mistakes_are_told_with_their_span() {
    let told = |text: &str| Expression::parse(text, id).unwrap_err();
    assert_eq!(
        told("A and X or Y").iter().map(|m| (m.span, m.unknown_name)).collect::<Vec<_>>(),
        [((6, 7), true), ((11, 12), true)]
    );
    assert_eq!(told("A B")[0].span, (2, 3));
    assert_eq!(told("A and")[0].span, (5, 5));
    assert_eq!(told("(A")[0].message, "expected ')'");
    assert_eq!(told("\"A")[0].span, (0, 2));
    assert_eq!(told(&"(".repeat(5000))[0].message, "this is nested too deeply");
}

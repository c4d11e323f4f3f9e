//! Feature models of software whose numbers of configurations are published, rebuilt as options, groups, packages and rules.

use super::super::support::Sheets;
use super::{builds, groups, plant};

/// Options that can be there or not.
fn free(sheets: &mut Sheets, options: &[&str]) {
    options.iter().for_each(|option| _ = sheets.add("Options", option));
}

/// C. Kaltenecker et al., Distance-based sampling of software configuration spaces (ICSE 2019), their repository
/// `Distance-Based_Data`: 7z, one of five methods, eleven numbers of files, thirteen sizes of blocks and six levels, and four
/// switches, without constraints: 68,640 configurations.
#[test]
fn seven_zip() {
    let mut sheets = groups(&[5, 11, 13, 6]);
    free(&mut sheets, &["filter-off", "header-off", "threads-off", "times-off"]);
    assert_eq!(builds(&sheets), "68640");
}

/// The same repository: VP9, two qualities, four modes, three usages, three lags, five bit rates, five numbers of threads, five
/// speeds and three numbers of columns, and three switches, without constraints: 216,000 configurations.
#[test]
fn vp9() {
    let mut sheets = groups(&[2, 4, 3, 3, 5, 5, 5, 3]);
    free(&mut sheets, &["auto-alt-ref", "lossless", "frame-boost"]);
    assert_eq!(builds(&sheets), "216000");
}

/// N. Siegmund et al., Predicting performance via automated feature-interaction detection (ICSE 2012): X264, three look-aheads
/// and three numbers of references, `no_asm` always there, and seven switches: 1,152 configurations.
#[test]
fn x264() {
    let mut sheets = groups(&[3, 3]);
    sheets.add("Groups", "root,one");
    sheets.add("Options", "no-asm,root");
    let off = ["8x8dct", "cabac", "deblock", "fast-pskip", "mbtree", "mixed-refs", "weightb"];
    free(&mut sheets, &off.map(|off| format!("no-{off}")).each_ref().map(String::as_str));
    assert_eq!(builds(&sheets), "1152");
}

/// A. Halin et al., Test them all, is it worth it? (Empirical Software Engineering 24, 2019): 26,256 configurations of `JHipster`
/// 3.6.1, its model in the repository `diverso-lab/fm_montecarlo`. By hand: a database of SQL comes in 54 ways (three in
/// production, each with two kinds of H2 or its own in development, three caches, search or not), besides two others or none. A
/// microservice has 2 · 57 ways, a UAA server 56, a gateway 2 · 56 · 8, a monolith (55 + 2 · (55 + 56)) · 8, in all 3,282; build
/// tool, languages and containers make it eight times as many.
#[test]
fn jhipster() {
    let mut sheets = plant();
    sheets.set(
        "Groups",
        "group,choose\ngenerator,one\nlogin,one\nbuild,one\ndatabase,at most one\ndevelopment,at most one\n\
         production,at most one\ncache,at most one",
    );
    sheets.set("Options", "option,group");
    for (group, options) in [
        ("generator", "microservice uaa-server gateway monolith"),
        ("login", "session oauth2 uaa jwt"),
        ("build", "gradle maven"),
        ("database", "sql cassandra mongodb"),
        ("development", "h2-disk h2-memory postgresql-dev mariadb-dev mysql-dev"),
        ("production", "mysql mariadb postgresql"),
        ("cache", "hazelcast ehcache"),
        ("", "social search websockets libsass clustered languages docker protractor"),
    ] {
        options.split(' ').for_each(|option| _ = sheets.add("Options", &format!("{option},{group}")));
    }
    sheets.set("Rules", "when,must");
    let server = "microservice or uaa-server";
    let development = "h2-disk or h2-memory or postgresql-dev or mariadb-dev or mysql-dev";
    let production = "mysql or mariadb or postgresql";
    for (when, must) in [
        // What belongs to a database of SQL.
        ("sql", &format!("({development}) and ({production})")[..]),
        (&format!("{development} or {production} or hazelcast or ehcache or search"), "sql"),
        ("oauth2 and not social and not microservice", "sql or mongodb"),
        ("social", "(session or jwt) and monolith and (sql or mongodb)"),
        ("uaa-server", "uaa"),
        ("not oauth2 and not social and not microservice", "sql or mongodb or cassandra"),
        (server, "not protractor"),
        (&format!("not ({server})"), "protractor"),
        ("mysql", "h2-disk or h2-memory or mysql-dev"),
        ("mariadb", "h2-disk or h2-memory or mariadb-dev"),
        ("postgresql", "h2-disk or h2-memory or postgresql-dev"),
        ("microservice or gateway", "jwt or uaa"),
        ("monolith", "jwt or session or oauth2"),
        ("websockets or clustered or libsass", "gateway or monolith"),
    ] {
        sheets.add("Rules", &format!("{when},{must}"));
    }
    assert_eq!(3_282 * 8, 26_256);
    assert_eq!(builds(&sheets), "26256");
}

/// What each optional piece of the next model stands below.
const BELOW: [(&str, &str); 14] = [
    ("db", "flogging persistency fstatistics memory latch fsync transaction locking checkleaks delete truncate btree"),
    ("flogging", "logging"),
    ("logging", "file console dblog finest finer fine info config severe"),
    ("persistency", "nio chunked io checksum handles disc envlock checkpointer cleaner"),
    ("(nio or chunked)", "direct"),
    ("io", "syncio"),
    ("checkpointer", "cptime cpbytes cpdaemon"),
    ("cleaner", "lookahead cleanerdaemon"),
    ("fstatistics", "statistics"),
    ("statistics", "env database lock preload sequence transactions"),
    ("env", "elog ecompressor efsync eevictor ecleaner echeckpointer ecaching"),
    ("btree", "verifier visitor compressor fevictor"),
    ("fevictor", "evictor"),
    ("evictor", "critical evictordaemon"),
];

/// What a piece needs besides.
const NEEDS: [(&str, &str); 22] = [
    ("persistency", "nio or chunked or io"),
    ("statistics", "env or database or lock or preload or sequence or transactions"),
    ("evictor or evictordaemon or lookahead or ecaching", "memory"),
    ("checkleaks", "lock"),
    ("critical", "compressor"),
    ("cpbytes", "cptime"),
    ("delete", "locking and evictor and compressor and memory"),
    ("latch", "locking and checkleaks and delete and evictor and handles and fsync and compressor and memory"),
    ("latch", "lock and visitor and truncate and verifier"),
    ("severe", "envlock"),
    ("fine", "locking and evictor and compressor"),
    ("info", "checksum and memory"),
    ("logging or finest", "transaction"),
    ("memory", "evictor and latch"),
    ("lock or transactions", "locking"),
    ("eevictor", "evictor"),
    ("efsync", "fsync"),
    ("ecompressor", "compressor"),
    ("transactions", "transaction"),
    ("database", "visitor"),
    ("transaction", "locking and delete and truncate"),
    ("truncate", "delete"),
];

/// What can't be ordered: it comes with a package, or a rule brings it where some of others are there.
const BROUGHT: [(&str, &str, &str); 9] = [
    ("db", "base", ""),
    ("logging", "lbase", ""),
    ("statistics", "sbase", ""),
    ("env", "ebase", ""),
    ("evictor", "evbase", ""),
    ("io", "iobase", ""),
    ("", "concurrency", "latch or fsync or transaction or locking or checkleaks"),
    ("", "operation", "delete or truncate"),
    ("", "features", "checksum or handles or disc or envlock or checkpointer or cleaner"),
];

/// Berkeley DB in 76 features and 141 clauses, its model in the repository `OBDDimal/OBDDimal`, 4,080,389,785 configurations (so
/// the tests of several counters in public repositories). By hand: without the whole 1. With `memory` nearly all is fixed: disc 2,
/// checkpointer 7, cleaner 5, input and output 6, statistics of the environment 129, of the rest 8, eviction 4, and with
/// transactions 1,160 logs times 2, without 8: 4,036,193,280. Without memory no logs, 2 ways; files 2,017; trees, locks and
/// statistics 10,956: 44,196,504.
#[test]
fn berkeley_db() {
    let mut sheets = plant();
    sheets.set("Groups", "group,choose\naccess,at most one").set("Options", "option,group\ndb,");
    sheets.set("Offers", "floorplan,option,offer\n*,db,optional");
    sheets.set("Packages", "option,includes").set("Rules", "when,adds,must");
    for (above, pieces) in BELOW {
        for piece in pieces.split(' ') {
            let group = if ["nio", "chunked", "io"].contains(&piece) { "access" } else { "" };
            sheets.add("Options", &format!("{piece},{group}")).add("Offers", &format!("*,{piece},optional"));
            sheets.add("Rules", &format!("{piece},,{above}"));
        }
    }
    NEEDS.iter().for_each(|(piece, other)| _ = sheets.add("Rules", &format!("{piece},,{other}")));
    sheets.add("Rules", "verifier,,compressor and visitor");
    for (package, piece, when) in BROUGHT {
        sheets.add("Options", &format!("{piece},"));
        match when {
            "" => _ = sheets.add("Packages", &format!("{package},{piece}")),
            _ => _ = sheets.add("Rules", &format!("{when},{piece},")),
        }
    }
    assert_eq!(1 + 1_733_760_u64 * (1_160 * 2 + 8) + 2 * 2_017 * 10_956, 4_080_389_785);
    assert_eq!(2_u64 * 7 * 5 * 6 * 129 * 8 * 4, 1_733_760);
    assert_eq!(builds(&sheets), "4080389785");
}

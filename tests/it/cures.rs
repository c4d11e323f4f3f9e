//! Cures.
use lineward::base::Moment;
use lineward::cures::Cures;
use lineward::{book, check, plan};
use std::path::Path;

#[test]
fn show() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let book = book::open(&folder).expect("book");
    let (plant, _) = check::plant(&book, None, Moment::default());
    let t = std::time::Instant::now();
    let plan = plan::plan(&plant, &plan::Request::default()).0.expect("plan");
    println!("plan {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let cures = Cures::of(&plan);
    println!("cures {:?}", t.elapsed());
    for (piece, advice) in &cures.pieces {
        println!(
            "{} {} {} by {:?}: {advice:?}",
            plan.pace.owners[piece.owner.at()].code,
            plant.part(piece.part).code,
            plant.dest(piece.to).code,
            piece.by.map(|b| b.short())
        );
    }
    println!("{} {} {}", cures.stopped.len(), cures.moving.len(), cures.inside_lead_time.len());
}

//! Packing that is looked on: it counts, it can be stopped within a pass, and being looked on changes no plan.

use jiff::civil::date;
use keeping::Desk;
use trade::{Job, TradeError, Watch, pack_all, pack_all_watched};

/// Times the usual effort that no machine gets through.
const ENDLESS: u32 = 1 << 24;
/// Layouts after which the packing is surely under way.
const UNDER_WAY: u64 = 400;
/// Layouts that may still be begun while the word to stop gets there, on a machine that does much else (judgement).
const STILL_BEGUN: u64 = 5_000;

fn job(desk: &Desk, count: u32) -> Job {
    let find =
        format!("[[find]]\nname = \"cups\"\nform = \"consomme_cup\"\ncount = {count}\nper_lot = {count}\n");
    desk.read(&(sheet::usual().to_owned() + &find), date(2026, 11, 25)).expect("a right sheet")
}

#[test]
fn what_was_stopped_before_it_began_tries_nothing() {
    let (desk, watch) = (Desk::published(), Watch::default());
    watch.stop();
    assert_eq!(pack_all_watched(&job(&desk, 5), &desk.library, 1, &watch).unwrap_err(), TradeError::Stopped);
    assert_eq!(watch.tried(), 0);
}

#[test]
fn being_looked_on_changes_no_plan_and_is_counted() {
    let (desk, watch) = (Desk::published(), Watch::default());
    let job = job(&desk, 5);
    let alone = pack_all(&job, &desk.library, 1).expect("five cups are packed");
    let watched = pack_all_watched(&job, &desk.library, 1, &watch).expect("five cups are packed");
    let plans = |plan: &trade::OrderPlan| -> Vec<plan::Parcel> {
        plan.parcels.iter().map(|parcel| parcel.plan.clone()).collect()
    };
    assert_eq!(plans(&alone), plans(&watched));
    assert!(watch.tried() > 0);
}

#[test]
fn a_stop_ends_a_pass_that_would_last_for_ever() {
    let (desk, watch) = (Desk::published(), Watch::default());
    let job = job(&desk, 11);
    std::thread::scope(|scope| {
        let work = scope.spawn(|| pack_all_watched(&job, &desk.library, ENDLESS, &watch));
        while watch.tried() < UNDER_WAY {
            std::thread::yield_now();
        }
        watch.stop();
        let at = watch.tried();
        assert_eq!(work.join().expect("it ends").unwrap_err(), TradeError::Stopped);
        let more = watch.tried() - at;
        assert!(more < STILL_BEGUN, "{more} layouts were begun after it was told to stop");
    });
}

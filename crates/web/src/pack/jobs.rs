//! Plans that are worked on and plans that are done.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;
use measure::{Money, Units};
use trade::{Job, OrderPlan, Watch, pack_all_watched};

use crate::desk::Desk;
use crate::form::Filled;
use crate::said::count;

/// Plans kept.
const KEPT: usize = 30;
/// Plans that may wait or be worked on at once.
const UNFINISHED: usize = 6;

/// A plan that was found.
#[derive(Debug)]
pub(crate) struct Planned {
    /// What is packed, in words.
    pub title: String,
    /// The day it was asked.
    pub day: Date,
    /// Units that figures are written in.
    pub units: Units,
    /// The parcels.
    pub plan: OrderPlan,
    /// What of the pieces was not measured.
    pub not_measured: Vec<String>,
    /// Times the usual effort that was spent.
    pub effort: u32,
    /// Whether nothing listed can be cheaper.
    pub proved: bool,
}

impl Planned {
    /// Postage, materials and work of all parcels.
    pub(crate) fn cost(&self) -> Money {
        self.plan.parcels.iter().map(|parcel| parcel.cost).sum()
    }
}

/// How far a job is.
#[derive(Debug, Clone)]
pub(crate) enum Stage {
    /// Others are worked on first.
    Waiting,
    /// It is worked on.
    Working,
    /// There is a plan.
    Done(Arc<Planned>),
    /// There is none, for this reason.
    Refused(String),
    /// It was stopped before there was one.
    Stopped,
}

#[derive(Debug)]
struct State {
    stage: Stage,
    best: Option<Arc<Planned>>,
    effort: u32,
}

#[derive(Debug)]
struct Inner {
    number: u64,
    filled: Filled,
    day: Date,
    watch: Watch,
    state: Mutex<State>,
}

/// A job; cloning shares it.
#[derive(Debug, Clone)]
pub(crate) struct Running(Arc<Inner>);

/// Too many jobs are unfinished.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TooMany;

/// All jobs by their numbers.
#[derive(Debug, Default)]
pub(crate) struct Jobs {
    all: Mutex<(u64, BTreeMap<u64, Running>)>,
}

impl Jobs {
    /// A new job, not yet worked on.
    pub(crate) fn begin(&self, filled: Filled, day: Date) -> Result<Running, TooMany> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        if all.1.values().filter(|job| !job.is_done()).count() >= UNFINISHED {
            return Err(TooMany);
        }
        all.0 += 1;
        let number = all.0;
        let state = State { stage: Stage::Waiting, best: None, effort: 1 };
        let job = Running(Arc::new(Inner {
            number,
            filled,
            day,
            watch: Watch::default(),
            state: Mutex::new(state),
        }));
        if all.1.len() >= KEPT {
            let oldest = all.1.iter().find(|(_, job)| job.is_done()).map(|(number, _)| *number);
            if let Some(oldest) = oldest {
                all.1.remove(&oldest);
            }
        }
        all.1.insert(number, job.clone());
        Ok(job)
    }

    /// The job with this number.
    pub(crate) fn find(&self, number: u64) -> Option<Running> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.1.get(&number).cloned()
    }
}

impl Running {
    /// Its number.
    pub(crate) fn number(&self) -> u64 {
        self.0.number
    }

    /// The form it was asked with.
    pub(crate) fn filled(&self) -> &Filled {
        &self.0.filled
    }

    /// How far it is.
    pub(crate) fn stage(&self) -> Stage {
        self.state().stage.clone()
    }

    /// Whether there is nothing more to wait for.
    pub(crate) fn is_done(&self) -> bool {
        match self.state().stage {
            Stage::Waiting | Stage::Working => false,
            Stage::Done(_) | Stage::Refused(_) | Stage::Stopped => true,
        }
    }

    /// Stops it: the best so far is taken, and where there is none yet the answer is no longer waited for.
    pub(crate) fn stop(&self) {
        self.0.watch.stop();
        let mut state = self.state();
        if matches!(state.stage, Stage::Waiting | Stage::Working) {
            state.stage = state.best.clone().map_or(Stage::Stopped, Stage::Done);
        }
    }

    /// How far it is, in words.
    pub(crate) fn how_far(&self) -> String {
        let state = self.state();
        let best = state.best.as_ref().map(|best| {
            let cost = best.cost();
            format!(" Best so far: {} for {cost} in all.", count(best.plan.parcels.len() as u32, "parcel"))
        });
        let best = best.unwrap_or_default();
        let tried = tried(&self.0.watch);
        match &state.stage {
            Stage::Waiting => String::from("Waiting for another plan to be done."),
            Stage::Working if state.effort > 1 => {
                format!("Looking {} times as long as usual.{tried}{best}", state.effort)
            }
            Stage::Working => format!("Trying cartons and laying the pieces out in them.{tried}"),
            Stage::Done(_) => format!("Done.{best}"),
            Stage::Refused(_) => String::from("There is no plan."),
            Stage::Stopped => String::from("Stopped."),
        }
    }

    /// Works on it until the effort is spent, nothing can be cheaper, or it is stopped.
    ///
    /// Stopping takes effect within a few layouts; what a pass had found by then is dropped.
    pub(crate) fn work(&self, desk: &Desk, job: &Job, most_effort: u32) {
        let mut next = Some(1);
        while let Some(effort) = next {
            next = self
                .begins(effort)
                .then(|| pack_all_watched(job, &desk.library, effort, &self.0.watch))
                .and_then(|packed| {
                    let best = self.ends(packed.map(|plan| self.planned(job, plan, effort)))?;
                    (!best.proved && effort < most_effort).then(|| effort.saturating_mul(2).min(most_effort))
                });
        }
        let mut state = self.state();
        if let (Stage::Working, Some(best)) = (&state.stage, state.best.clone()) {
            state.stage = Stage::Done(best);
        }
    }

    /// Begins a pass, unless it was stopped.
    fn begins(&self, effort: u32) -> bool {
        let mut state = self.state();
        let goes_on = matches!(state.stage, Stage::Waiting | Stage::Working);
        if goes_on {
            state.effort = effort;
            state.stage = Stage::Working;
        }
        goes_on
    }

    /// Takes up what a pass found, unless it was stopped meanwhile; gives the best so far.
    fn ends(&self, found: Result<Planned, trade::TradeError>) -> Option<Arc<Planned>> {
        let mut state = self.state();
        if !matches!(state.stage, Stage::Working) {
            return None;
        }
        match found {
            Err(why) if state.best.is_none() => state.stage = Stage::Refused(why.to_string()),
            // What was found before stands.
            Err(_) => {}
            Ok(planned) => {
                if state.best.as_ref().is_none_or(|best| planned.cost() < best.cost()) {
                    state.best = Some(Arc::new(planned));
                }
            }
        }
        state.best.clone()
    }

    /// Notes that the work ended without an answer.
    pub(crate) fn broke(&self) {
        let mut state = self.state();
        state.stage = state.best.clone().map_or_else(
            || {
                Stage::Refused(String::from(
                    "it could not be worked out; that is a fault of the program, not yours",
                ))
            },
            Stage::Done,
        );
    }

    fn planned(&self, job: &Job, plan: OrderPlan, effort: u32) -> Planned {
        let rows = job.finds.iter().flat_map(|find| &find.rows);
        let title: Vec<String> = rows.map(|row| count(row.usable(), &row.what)).collect();
        let proved = matches!(plan.parcels.as_slice(), [one] if one.bound == one.cost);
        Planned {
            title: title.join(", "),
            day: self.0.day,
            units: job.units,
            not_measured: job.finds.iter().flat_map(crate::said::not_measured).collect(),
            plan,
            effort,
            proved,
        }
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.0.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// How many layouts were tried, as a sentence; nothing before the first.
pub(crate) fn tried(watch: &Watch) -> String {
    match watch.tried() {
        0 => String::new(),
        1 => String::from(" 1 layout tried so far."),
        many => format!(" {} layouts tried so far.", grouped(many)),
    }
}

/// A count with commas between its thousands.
fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Jobs, Stage, UNFINISHED, grouped};
    use crate::desk::Desk;
    use crate::form::Filled;
    use jiff::civil::date;

    #[test]
    fn a_job_that_is_stopped_before_its_first_plan_has_none_even_when_the_work_goes_on() {
        let (jobs, desk) = (Jobs::default(), Desk::published());
        let running = jobs.begin(Filled::default(), date(2026, 3, 2)).expect("the first");
        running.stop();
        let job = desk.read(sheet::example(), date(2026, 3, 2)).expect("the example");
        running.work(&desk, &job, 1);
        assert!(matches!(running.stage(), Stage::Stopped) && running.is_done());
    }

    #[test]
    fn a_pass_that_ends_after_the_stop_changes_nothing() {
        let (jobs, desk) = (Jobs::default(), Desk::published());
        let running = jobs.begin(Filled::default(), date(2026, 3, 2)).expect("the first");
        let sheet = sheet::usual().to_owned()
            + "[[find]]\nname = \"mugs\"\nform = \"diner_mug\"\ncount = 1\nper_lot = 1\n";
        let job = desk.read(&sheet, date(2026, 11, 25)).expect("a right sheet");
        assert!(running.begins(1));
        let plan = trade::pack_all(&job, &desk.library, 1).expect("one mug is packed");
        running.stop();
        assert!(running.ends(Ok(running.planned(&job, plan.clone(), 1))).is_none() && !running.begins(2));
        assert!(matches!(running.stage(), Stage::Stopped));
        // Stopped after a first plan, that plan is taken, and a later one is not.
        let other = jobs.begin(Filled::default(), date(2026, 3, 2)).expect("room");
        assert!(other.begins(1) && other.ends(Ok(other.planned(&job, plan.clone(), 1))).is_some());
        assert!(other.begins(2));
        other.stop();
        assert!(other.ends(Ok(other.planned(&job, plan, 2))).is_none());
        assert!(matches!(other.stage(), Stage::Done(planned) if planned.effort == 1));
    }

    #[test]
    fn a_stop_ends_a_pass_that_would_take_hours_and_the_count_moves_before() {
        let (jobs, desk) = (Jobs::default(), Desk::published());
        let running = jobs.begin(Filled::default(), date(2026, 3, 2)).expect("the first");
        let sheet = sheet::usual().to_owned()
            + "[[find]]\nname = \"cups\"\nform = \"consomme_cup\"\ncount = 11\nper_lot = 11\n";
        let job = desk.read(&sheet, date(2026, 11, 25)).expect("a right sheet");
        std::thread::scope(|scope| {
            let worker = running.clone();
            let work = scope.spawn(move || worker.work(&Desk::published(), &job, 1 << 20));
            while running.0.watch.tried() < 200 {
                std::thread::yield_now();
            }
            assert!(running.how_far().contains("layouts tried so far."), "{}", running.how_far());
            running.stop();
            // Were it not stopped within a pass, this would wait for a million times the usual effort.
            work.join().expect("it ends");
        });
        assert!(running.is_done());
    }

    #[test]
    fn thousands_are_told_apart() {
        let told = [0, 999, 1000, 1_234_567].map(grouped);
        assert_eq!(told, ["0", "999", "1,000", "1,234,567"]);
    }

    #[test]
    fn only_so_many_jobs_are_unfinished_at_once() {
        let jobs = Jobs::default();
        for _ in 0..UNFINISHED {
            jobs.begin(Filled::default(), date(2026, 3, 2)).expect("room");
        }
        assert!(jobs.begin(Filled::default(), date(2026, 3, 2)).is_err());
        jobs.find(1).expect("kept").stop();
        assert!(jobs.begin(Filled::default(), date(2026, 3, 2)).is_ok());
    }
}

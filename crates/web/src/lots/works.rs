//! What takes long about lots: prices, splits and ladders that are worked out while a page waits, kept for a while.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};
use axum::routing::{get, post};
use keeping::{Desk, RecordJob};
use maud::{Markup, html};
use trade::{Ladder, Listing, Outcome, TradeError, Worth};

use crate::App;
use crate::form::once_field;
use crate::refusal::nowhere;

/// Answers kept.
const KEPT: usize = 24;
/// Questions that may be worked on or wait at once.
const UNFINISHED: usize = 6;
/// An answer that is found within this time is shown at once.
const SHORT_WAIT: Duration = Duration::from_millis(1500);
/// How often that is looked at.
const LOOK: Duration = Duration::from_millis(50);

pub(super) fn routes() -> Router<App> {
    Router::new()
        .route("/works/{number}/progress", get(progress))
        .route("/works/{number}/stop", post(stop))
        .route("/works/{number}/again", post(again))
}

/// What is asked of a job.
#[derive(Debug, Clone)]
pub(crate) enum Kind {
    /// What its find is worth and how it is split.
    Worth,
    /// The order ladder of one listing of it.
    Ladder(Listing),
    /// Everything, with its lots as they are stated.
    Whole,
}

/// What was worked out.
#[derive(Debug)]
pub(crate) enum Answer {
    Worth(Box<Worth>),
    Ladder(Box<Ladder>),
    Whole(Box<Outcome>),
}

/// How far a question is.
#[derive(Debug, Clone)]
pub(crate) enum Stage {
    /// It is worked on, or waits for its turn.
    Working,
    /// There is an answer.
    Done(Arc<Answer>),
    /// There is none, for this reason.
    Refused(String),
    /// It was stopped.
    Stopped,
}

#[derive(Debug)]
struct Inner {
    number: u64,
    key: String,
    back: String,
    state: Mutex<(Stage, String)>,
}

/// A question; cloning shares it.
#[derive(Debug, Clone)]
pub(crate) struct Work(Arc<Inner>);

/// All questions, the oldest first.
#[derive(Debug, Default)]
pub(crate) struct Works {
    all: Mutex<(u64, VecDeque<Work>)>,
}

/// Too many questions are unfinished.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TooMany;

impl Works {
    /// The question with this key, and whether it is new and still to be worked on.
    fn ask(&self, key: &str, back: &str) -> Result<(Work, bool), TooMany> {
        let mut all = self.lock();
        if let Some(known) = all.1.iter().find(|work| work.0.key == key) {
            return Ok((known.clone(), false));
        }
        if all.1.iter().filter(|work| !work.is_done()).count() >= UNFINISHED {
            return Err(TooMany);
        }
        all.0 += 1;
        let state = Mutex::new((Stage::Working, String::from("Waiting for its turn.")));
        let work = Work(Arc::new(Inner { number: all.0, key: key.to_owned(), back: back.to_owned(), state }));
        if all.1.len() >= KEPT
            && let Some(oldest) = all.1.iter().position(Work::is_done)
        {
            all.1.remove(oldest);
        }
        all.1.push_back(work.clone());
        Ok((work, true))
    }

    fn find(&self, number: u64) -> Option<Work> {
        self.lock().1.iter().find(|work| work.0.number == number).cloned()
    }

    /// The answer to a question that was asked before.
    pub(crate) fn answer(&self, key: &str) -> Option<Arc<Answer>> {
        let work = self.lock().1.iter().find(|work| work.0.key == key).cloned()?;
        match work.stage() {
            Stage::Done(answer) => Some(answer),
            Stage::Working | Stage::Refused(_) | Stage::Stopped => None,
        }
    }

    fn forget(&self, number: u64) {
        self.lock().1.retain(|work| work.0.number != number);
    }

    fn lock(&self) -> MutexGuard<'_, (u64, VecDeque<Work>)> {
        self.all.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Kind {
    /// What tells this question of a job from others of it.
    fn key(&self, of: &str) -> String {
        match self {
            Self::Worth => format!("worth\n{of}"),
            Self::Ladder(listing) => {
                format!("ladder of {} x {:?} at {:?}\n{of}", listing.lots, listing.per_lot, listing.price)
            }
            Self::Whole => format!("all\n{of}"),
        }
    }

    fn work(
        self,
        desk: &Desk,
        asked: &RecordJob,
        said: &(dyn Fn(&str) + Sync),
    ) -> Result<Answer, TradeError> {
        let (job, library) = (&asked.job, &desk.library);
        match self {
            Self::Worth => trade::appraise(job, library, 0, said).map(|worth| Answer::Worth(Box::new(worth))),
            Self::Ladder(listing) => trade::order_ladder(job, library, listing, said)
                .map(|ladder| Answer::Ladder(Box::new(ladder))),
            Self::Whole => {
                trade::work_out(job, library, None, said).map(|outcome| Answer::Whole(Box::new(outcome)))
            }
        }
    }
}

impl Work {
    /// How far it is.
    pub(crate) fn stage(&self) -> Stage {
        self.lock().0.clone()
    }

    fn is_done(&self) -> bool {
        match self.lock().0 {
            Stage::Working => false,
            Stage::Done(_) | Stage::Refused(_) | Stage::Stopped => true,
        }
    }

    fn says(&self, words: &str) {
        words.clone_into(&mut self.lock().1);
    }

    /// Takes up what was found, unless it was stopped meanwhile.
    fn ends(&self, stage: Stage) {
        let mut state = self.lock();
        if matches!(state.0, Stage::Working) {
            state.0 = stage;
        }
    }

    fn how_far(&self) -> Markup {
        let (done, words) = (self.is_done(), self.lock().1.clone());
        html! { p.progress data-done[done] { (words) } }
    }

    fn lock(&self) -> MutexGuard<'_, (Stage, String)> {
        self.0.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl App {
    /// Asks a question, waits a moment for its answer, and gives how far it is. The same question is worked on
    /// once; `back` is the page that shows it. `None` when too many are unfinished.
    pub(crate) async fn asks(&self, kind: Kind, asked: &Arc<RecordJob>, back: &str) -> Option<Work> {
        let (work, is_new) = self.works().ask(&kind.key(&asked.key), back).ok()?;
        if is_new {
            let (app, worker, asked) = (self.clone(), work.clone(), Arc::clone(asked));
            tokio::spawn(async move {
                let inner = worker.clone();
                let found = app
                    .work(move |desk| {
                        // Stopped while it waited for its turn: nothing is worked on.
                        if inner.is_done() {
                            return Stage::Stopped;
                        }
                        match kind.work(desk, &asked, &|words| inner.says(&format!("Working on {words}."))) {
                            Ok(answer) => Stage::Done(Arc::new(answer)),
                            Err(why) => Stage::Refused(why.to_string()),
                        }
                    })
                    .await;
                let broke = || {
                    Stage::Refused(String::from(
                        "it could not be worked out; that is a fault of the program, not yours",
                    ))
                };
                worker.ends(found.unwrap_or_else(broke));
            });
        }
        let mut waited = Duration::ZERO;
        while waited < SHORT_WAIT && !work.is_done() {
            tokio::time::sleep(LOOK).await;
            waited += LOOK;
        }
        Some(work)
    }

    /// The answer about a job, where it was worked out before.
    pub(crate) fn answered(&self, kind: &Kind, asked: &RecordJob) -> Option<Arc<Answer>> {
        self.works().answer(&kind.key(&asked.key))
    }

    /// What stands for an answer while there is none: how far it is with a button to stop, or why there is none.
    pub(crate) fn waits(&self, work: Option<&Work>) -> Markup {
        let Some(work) = work else {
            return html! {
                p.caution { "Too much is being worked out at once. Open this page again when something is done." }
            };
        };
        let number = work.0.number;
        let key = self.form_key().unwrap_or_default();
        match work.stage() {
            Stage::Working | Stage::Done(_) => html! {
                section data-watch={ "/works/" (number) "/progress" } aria-live="polite" { (work.how_far()) }
                form method="post" action={ "/works/" (number) "/stop" } {
                    (once_field(&key))
                    div.actions {
                        button.quiet type="submit" { "Stop" }
                        a.quiet href=(work.0.back) { "See how far it is" }
                    }
                }
            },
            Stage::Refused(why) => html! { p.caution { "It can't be worked out: " (why) "." } },
            Stage::Stopped => html! {
                form method="post" action={ "/works/" (number) "/again" } {
                    (once_field(&key))
                    p { "It was stopped." }
                    div.actions { button type="submit" { "Work it out" } }
                }
            },
        }
    }
}

async fn progress(State(app): State<App>, Path(number): Path<u64>) -> Response {
    match app.works().find(number) {
        Some(work) => work.how_far().into_response(),
        None => nowhere().await,
    }
}

async fn stop(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let Some(work) = app.works().find(number) else { return nowhere().await };
    work.ends(Stage::Stopped);
    Redirect::to(&work.0.back).into_response()
}

/// Forgets a question, so that the page that shows it asks anew.
async fn again(State(app): State<App>, Path(number): Path<u64>) -> Response {
    let Some(work) = app.works().find(number) else { return nowhere().await };
    if work.is_done() {
        app.works().forget(number);
    }
    Redirect::to(&work.0.back).into_response()
}

#[cfg(test)]
mod tests {
    use super::{Stage, TooMany, UNFINISHED, Works};

    #[test]
    fn the_same_question_is_asked_once_and_only_so_many_are_unfinished() {
        let works = Works::default();
        let (first, is_new) = works.ask("a", "/a").expect("room");
        let (same, again) = works.ask("a", "/a").expect("known");
        assert!(is_new && !again && first.0.number == same.0.number);
        for k in 1..UNFINISHED {
            assert!(works.ask(&k.to_string(), "/").is_ok());
        }
        assert!(matches!(works.ask("one too many", "/"), Err(TooMany)));
        first.ends(Stage::Stopped);
        assert!(works.ask("one too many", "/").is_ok());
    }

    #[test]
    fn what_is_found_after_the_stop_changes_nothing_and_a_forgotten_question_is_new() {
        let works = Works::default();
        let (work, _) = works.ask("a", "/a").expect("room");
        work.ends(Stage::Stopped);
        work.ends(Stage::Refused(String::from("late")));
        assert!(matches!(work.stage(), Stage::Stopped));
        works.forget(work.0.number);
        assert!(works.ask("a", "/a").is_ok_and(|(_, is_new)| is_new));
    }
}

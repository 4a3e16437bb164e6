//! Answers that took work, kept until something happens.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use books::{By, DayBook, Earned, Key, OrderId, TaxTables, YearWorksheet};
use jiff::civil::Date;
use parking_lot::Mutex;

use crate::open_orders::OpenOrders;
use crate::work_done::WorkDone;
use crate::{EventId, ShopError, StockReport, SupplyState, Tuned};

/// Answers to one kind of question that are kept (judgement: a person looks at a few years and groupings).
const MOST: usize = 6;

/// What is kept for all handles of one program. What can be read on is read on; the rest holds until the next event.
#[derive(Debug, Default)]
pub(crate) struct Answers {
    pub(crate) day_book: Mutex<DayBook>,
    pub(crate) work_done: Mutex<WorkDone>,
    pub(crate) open_orders: Mutex<OpenOrders>,
    pub(crate) stock: KeptAnswer<Date, StockReport>,
    pub(crate) supplies: KeptAnswer<(Date, u32), Vec<SupplyState>>,
    pub(crate) earned: KeptAnswer<(By, Date, Date), BTreeMap<Key, Earned>>,
    pub(crate) tuned: KeptAnswer<(), Vec<Tuned>>,
    pub(crate) worksheet: KeptAnswer<(i16, TaxTables), YearWorksheet>,
    pub(crate) counts: KeptAnswer<&'static str, u32>,
}

/// Answers to one kind of question, each with the event after which it was given.
#[derive(Debug)]
pub(crate) struct KeptAnswer<Q, A>(Mutex<Vec<(Q, EventId, Arc<A>)>>);

impl<Q, A> Default for KeptAnswer<Q, A> {
    fn default() -> Self {
        Self(Mutex::new(Vec::new()))
    }
}

impl<Q: PartialEq, A> KeptAnswer<Q, A> {
    /// The answer after an event: the one that is kept, or what `work` finds. Who asks meanwhile waits for that.
    pub(crate) fn get(
        &self,
        question: Q,
        at: EventId,
        work: impl FnOnce() -> Result<A, ShopError>,
    ) -> Result<Arc<A>, ShopError> {
        let mut known = self.0.lock();
        if let Some((.., answer)) = known.iter().find(|(asked, of, _)| *of == at && *asked == question) {
            return Ok(Arc::clone(answer));
        }
        let answer = Arc::new(work()?);
        // One who still sees the shop as it was before the last event leaves what is newer.
        if known.iter().all(|(_, of, _)| *of <= at) {
            known.retain(|(_, of, _)| *of == at);
            if known.len() >= MOST {
                known.remove(0);
            }
            known.push((question, at, Arc::clone(&answer)));
        }
        Ok(answer)
    }
}

/// The numbers of records of a kind that anything happened to after an event.
pub(crate) fn touched(
    conn: &rusqlite::Connection,
    record: crate::Record,
    after: EventId,
) -> Result<BTreeSet<u64>, ShopError> {
    let sql = "SELECT number FROM event_record WHERE event > ?1 AND record = ?2";
    let mut statement = conn.prepare_cached(sql)?;
    let rows = statement.query_map(rusqlite::params![after.0, record.table()], |row| row.get::<_, i64>(0))?;
    rows.map(|number| Ok(number?.unsigned_abs())).collect()
}

/// Which order a piece of work was for, on which day, and its minutes.
pub(crate) type OneWork = (OrderId, Date, u32);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_holds_until_the_next_event_and_no_longer() {
        let answers = KeptAnswer::<u8, u32>::default();
        let ask = |at, found| *answers.get(1, EventId(at), || Ok(found)).unwrap();
        assert_eq!(ask(5, 50), 50);
        assert_eq!(ask(5, 51), 50, "kept");
        assert_eq!(ask(6, 60), 60, "something happened");
        assert_eq!(ask(5, 52), 52, "as it was before, worked out anew");
        assert_eq!(ask(6, 61), 60, "what is newer stayed");
    }

    #[test]
    fn what_fails_is_asked_again_and_another_question_is_another_answer() {
        let answers = KeptAnswer::<u8, u32>::default();
        assert!(answers.get(1, EventId(1), || Err(ShopError::Busy)).is_err());
        assert_eq!(*answers.get(1, EventId(1), || Ok(7)).unwrap(), 7);
        assert_eq!(*answers.get(2, EventId(1), || Ok(8)).unwrap(), 8);
        for question in 3..20 {
            answers.get(question, EventId(1), || Ok(9)).unwrap();
        }
        assert!(answers.0.lock().len() <= MOST);
    }

    #[test]
    fn many_who_ask_at_once_make_the_work_be_done_once() {
        let (answers, done) = (KeptAnswer::<u8, u32>::default(), Mutex::new(0));
        std::thread::scope(|scope| {
            for _ in 0..8 {
                scope.spawn(|| {
                    answers
                        .get(1, EventId(1), || {
                            *done.lock() += 1;
                            std::thread::yield_now();
                            Ok(1)
                        })
                        .unwrap()
                });
            }
        });
        assert_eq!(*done.lock(), 1);
    }
}

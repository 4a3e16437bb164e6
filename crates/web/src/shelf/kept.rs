//! Checks that phones made without a network and sent home.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::WebError;
use crate::form::{Filled, Mistakes};
use crate::outside::Keeper;

/// Fields of the shelf check, which are kept word for word.
const FIELDS: [&str; 8] = ["form", "count", "flawed", "asking", "comps", "grade", "wage", "from"];
/// Most checks kept at once (judgement: a year of shops).
const MOST: usize = 500;
/// Longest key, in characters; the phone makes keys of 36.
const LONGEST_KEY: usize = 64;
/// Longest verdict, in characters.
const LONGEST_VERDICT: usize = 200;
/// Most bytes of one check's fields: a hundred lines of comps of two hundred characters.
const MOST_BYTES: usize = 24_000;

/// One check as the phone sent it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct KeptCheck {
    /// Made by the phone; the same key is the same check.
    pub key: String,
    /// The day on which it was made, where the phone was.
    pub day: Date,
    /// What the phone answered, in a sentence.
    pub said: String,
    /// The form's fields as they were typed: name and words.
    pub fields: Vec<(String, String)>,
}

impl KeptCheck {
    /// Reads one as a phone sends it: `key`, `day`, `said` and the form's fields.
    pub(crate) fn read(sent: &Filled) -> Result<Self, Mistakes> {
        let mut mistakes = Mistakes::default();
        let key = sent.text("key").unwrap_or("");
        let keyed = (8..=LONGEST_KEY).contains(&key.len())
            && key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-');
        if !keyed {
            mistakes.add("key", "A check needs a key of 8 to 64 letters and figures");
        }
        let day = sent.text("day").and_then(|text| text.parse::<Date>().ok());
        if day.is_none() {
            mistakes.add("day", "A check needs its day; right would be, for example: 2026-11-25");
        }
        let said = sent.text("said").unwrap_or("").chars().filter(|letter| !letter.is_control());
        let said: String = said.take(LONGEST_VERDICT).collect();
        let fields: Vec<(String, String)> = FIELDS
            .iter()
            .filter(|name| sent.text(name).is_some())
            .map(|name| ((*name).to_owned(), sent.typed(name).to_owned()))
            .collect();
        let bytes: usize = fields.iter().map(|(_, words)| words.len()).sum();
        if fields.is_empty() {
            mistakes.add("form", "A check needs what was typed");
        } else if bytes > MOST_BYTES {
            mistakes.add("comps", format!("{bytes} bytes were typed; {MOST_BYTES} are kept"));
        }
        match (day, mistakes.is_empty()) {
            (Some(day), true) => Ok(Self { key: key.to_owned(), day, said, fields }),
            (Some(_) | None, _) => Err(mistakes),
        }
    }

    /// What was typed.
    pub(crate) fn filled(&self) -> Filled {
        Filled::from_pairs(self.fields.iter().cloned())
    }

    /// What they are, how many and what is asked, in a few words.
    pub(crate) fn named(&self) -> String {
        let filled = self.filled();
        let count = filled.text("count").map(|count| format!("{count} x "));
        let asked = filled.text("asking").map(|asking| format!(", asked {asking}"));
        [count, filled.text("form").map(ToOwned::to_owned), asked].into_iter().flatten().collect()
    }
}

/// Kept checks, the latest last, and where they are kept.
pub struct KeptChecks {
    checks: Mutex<Vec<KeptCheck>>,
    keep: Keeper,
}

impl Default for KeptChecks {
    /// None yet, and kept nowhere but here.
    fn default() -> Self {
        Self { checks: Mutex::default(), keep: Arc::new(|_| Ok(())) }
    }
}

impl KeptChecks {
    /// From the record (JSON) as `keep` was given it last; an empty text is none yet.
    ///
    /// # Errors
    /// When the record can't be read.
    pub fn read(record: &str, keep: Keeper) -> Result<Self, WebError> {
        let read = if record.trim().is_empty() { Ok(Vec::new()) } else { serde_json::from_str(record) };
        let checks = read.map_err(|e| WebError::KeptChecks { reason: e.to_string() })?;
        Ok(Self { checks: Mutex::new(checks), keep })
    }

    /// All of them, the latest first.
    pub(crate) fn all(&self) -> Vec<KeptCheck> {
        self.checks().iter().rev().cloned().collect()
    }

    /// The check with this key.
    pub(crate) fn find(&self, key: &str) -> Option<KeptCheck> {
        self.checks().iter().find(|check| check.key == key).cloned()
    }

    /// Keeps a check; one whose key is known is kept already, so that sending twice keeps once.
    pub(crate) fn add(&self, check: KeptCheck) -> Result<(), String> {
        let mut checks = self.checks();
        if checks.iter().any(|known| known.key == check.key) {
            return Ok(());
        }
        if checks.len() >= MOST {
            return Err(format!("{MOST} checks are kept; right would be to remove some on the shelf check"));
        }
        checks.push(check);
        self.write(&checks).inspect_err(|_| {
            checks.pop();
        })
    }

    /// Removes the check with this key; there may be none.
    pub(crate) fn remove(&self, key: &str) -> Result<(), String> {
        let mut checks = self.checks();
        let fewer: Vec<KeptCheck> = checks.iter().filter(|check| check.key != key).cloned().collect();
        self.write(&fewer)?;
        *checks = fewer;
        Ok(())
    }

    fn write(&self, checks: &[KeptCheck]) -> Result<(), String> {
        let text = serde_json::to_string_pretty(checks).map_err(|e| e.to_string())?;
        (self.keep)(&text)
    }

    /// Nothing is left half done when a thread ends early, so a poisoned lock is still good.
    fn checks(&self) -> MutexGuard<'_, Vec<KeptCheck>> {
        self.checks.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::{KeptCheck, KeptChecks, MOST, MOST_BYTES};
    use crate::form::Filled;
    use std::sync::{Arc, Mutex};

    fn sent(key: &str) -> Filled {
        Filled::default()
            .with("key", key)
            .with("day", "2026-11-25")
            .with("said", "Leave it.")
            .with("form", " diner mug ")
            .with("count", "8")
    }

    fn check(key: &str) -> KeptCheck {
        KeptCheck::read(&sent(key)).expect("a right one")
    }

    #[test]
    fn what_was_kept_is_there_in_the_next_run_word_for_word_and_once() {
        let record = Arc::new(Mutex::new(String::new()));
        let shelf = Arc::clone(&record);
        let keep = Arc::new(move |text: &str| {
            text.clone_into(&mut shelf.lock().expect("no test panics with it"));
            Ok(())
        });
        let kept = KeptChecks::read("", keep.clone()).expect("none yet");
        for key in ["first-key", "other-key", "first-key"] {
            kept.add(check(key)).expect("room");
        }
        let text = record.lock().expect("not poisoned").clone();
        let again = KeptChecks::read(&text, keep).expect("our own record");
        assert_eq!(again.all(), [check("other-key"), check("first-key")]);
        assert_eq!(again.find("first-key").expect("kept").filled().typed("form"), " diner mug ");
        again.remove("first-key").expect("kept");
        again.remove("no-such-key").expect("nothing to do");
        assert_eq!(again.all(), [check("other-key")]);
    }

    #[test]
    fn what_can_not_be_written_is_not_kept_and_is_said() {
        let kept = KeptChecks::read("", Arc::new(|_| Err(String::from("disk full")))).expect("none yet");
        assert_eq!(kept.add(check("first-key")), Err(String::from("disk full")));
        assert!(kept.all().is_empty());
        assert!(KeptChecks::read("{", Arc::new(|_| Ok(()))).is_err());
    }

    #[test]
    fn there_is_an_end_to_what_is_kept() {
        let kept = KeptChecks::default();
        for number in 0..MOST {
            kept.add(check(&format!("key-{number:06}"))).expect("room");
        }
        assert!(kept.add(check("one-too-many")).is_err_and(|why| why.contains("remove some")));
        assert!(kept.add(check("key-000000")).is_ok(), "it is kept already");
        assert_eq!(kept.all().len(), MOST);
    }

    #[test]
    fn a_check_without_its_key_day_or_words_is_refused_at_what_is_wrong() {
        let long = "x".repeat(MOST_BYTES + 1);
        for (name, words, wrong) in [
            ("key", "short", "key"),
            ("key", "../../etc/passwd", "key"),
            ("key", "", "key"),
            ("day", "2026-13-01", "day"),
            ("day", "", "day"),
            ("comps", long.as_str(), "comps"),
        ] {
            let mistakes = KeptCheck::read(&sent("first-key").with(name, words)).expect_err(name);
            assert!(mistakes.of(wrong).is_some(), "{name}: {mistakes:?}");
        }
        let nothing = Filled::default().with("key", "first-key").with("day", "2026-11-25");
        assert!(KeptCheck::read(&nothing).expect_err("nothing typed").of("form").is_some());
    }
}

//! The shelf check as a WebAssembly module for a phone's browser: four exports over plain memory.
//!
//! The caller asks for room ([`allocate`]), writes a coded form into it (`form=diner+mug&count=2`), and calls
//! [`answer`], which takes that room back. The reply is four bytes of length, little end first, and as many of
//! UTF-8; [`release`] takes it back when it was read. Before that, [`usual`] takes the person's own settings in the
//! same way. The module imports nothing: it can reach no clock, no disk
//! and no network, so the day is told to it.
//!
//! When the reckoning breaks, the module stops; its caller then drops it and says so.

use std::sync::{LazyLock, Mutex, PoisonError};

use jiff::civil::Date;
use shelfcheck::{Desk, Usual, Way, reply};

static DESK: LazyLock<Desk> = LazyLock::new(Desk::published);
/// What holds where nothing is typed.
static USUAL: Mutex<Option<Usual>> = Mutex::new(None);

/// Room for a question of this many bytes.
#[unsafe(no_mangle)]
pub extern "C" fn allocate(bytes: usize) -> *mut u8 {
    given_away(vec![0; bytes])
}

/// Takes room back that [`allocate`] or [`answer`] gave.
///
/// # Safety
/// `at` must be what one of them gave, with as many bytes, and not be used afterwards.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn release(at: *mut u8, bytes: usize) {
    // SAFETY: both are as they were given away below: a boxed slice of this length.
    drop(unsafe { taken_back(at, bytes) });
}

/// Takes what is usual at home from this room, for all questions from then on. Gives 1 where it can be read; else 0, and
/// what comes with the program holds.
///
/// # Safety
/// `at` must be what [`allocate`] gave for as many bytes; the room is taken back.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn usual(at: *mut u8, bytes: usize) -> i32 {
    // SAFETY: as above.
    let text = unsafe { taken_back(at, bytes) };
    let told = Usual::read(&String::from_utf8_lossy(&text)).ok();
    let known = i32::from(told.is_some());
    *USUAL.lock().unwrap_or_else(PoisonError::into_inner) = told;
    known
}

/// The reply to the question in this room for a day; `checked` is 0 while typing and 1 once the button was pressed.
///
/// # Safety
/// `at` must be what [`allocate`] gave for as many bytes; the room is taken back.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn answer(
    at: *mut u8,
    bytes: usize,
    year: i32,
    month: i32,
    day: i32,
    checked: i32,
) -> *mut u8 {
    // SAFETY: as above.
    let question = unsafe { taken_back(at, bytes) };
    let way = if checked == 0 { Way::Typing } else { Way::Checked };
    given_away(framed(&replied(&question, [year, month, day], way)))
}

fn replied(question: &[u8], [year, month, day]: [i32; 3], way: Way) -> String {
    let date = i16::try_from(year).ok().zip(i8::try_from(month).ok()).zip(i8::try_from(day).ok());
    match date.and_then(|((year, month), day)| Date::new(year, month, day).ok()) {
        Some(date) => {
            let usual = USUAL.lock().unwrap_or_else(PoisonError::into_inner).clone().unwrap_or_default();
            reply(&DESK, &usual, &String::from_utf8_lossy(question), date, way)
        }
        None => format!("<p>{year}-{month}-{day} is no day; right would be, for example: 2026-11-25</p>"),
    }
}

/// The text behind its length.
fn framed(text: &str) -> Vec<u8> {
    let length = u32::try_from(text.len()).unwrap_or(u32::MAX);
    let mut bytes = Vec::with_capacity(4 + text.len());
    bytes.extend(length.to_le_bytes());
    bytes.extend(text.as_bytes());
    bytes
}

/// Hands bytes out until they are taken back.
fn given_away(bytes: Vec<u8>) -> *mut u8 {
    Box::into_raw(bytes.into_boxed_slice()).cast()
}

/// Bytes that were handed out.
///
/// # Safety
/// `at` must come from [`given_away`] with as many bytes, and not be used afterwards.
unsafe fn taken_back(at: *mut u8, bytes: usize) -> Box<[u8]> {
    // SAFETY: promised by the caller.
    unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(at, bytes)) }
}

#[cfg(test)]
mod tests {
    use super::{allocate, answer, release};
    use std::slice::{from_raw_parts, from_raw_parts_mut};

    fn asked(question: &str, day: [i32; 3], checked: i32) -> String {
        let room = allocate(question.len());
        // SAFETY: as the page's script does it: room of this length, taken back by `answer`; the reply is as long
        // as it says and is released once.
        unsafe {
            from_raw_parts_mut(room, question.len()).copy_from_slice(question.as_bytes());
            let reply = answer(room, question.len(), day[0], day[1], day[2], checked);
            let length =
                u32::from_le_bytes(from_raw_parts(reply, 4).try_into().expect("four bytes")) as usize;
            let text = std::str::from_utf8(from_raw_parts(reply.add(4), length)).expect("UTF-8").to_owned();
            release(reply, length + 4);
            text
        }
    }

    #[test]
    fn a_question_goes_in_and_its_answer_comes_out() {
        let answer = asked("form=diner+mug&count=2", [2026, 11, 25], 0);
        assert!(answer.contains("Not enough is known to say what to pay."), "{answer}");
        assert!(asked("form=diner+mugg&count=2", [2026, 11, 25], 1).contains("There is a problem"));
        assert!(asked("", [2026, 11, 25], 0).contains("Not yet"));
    }

    #[test]
    fn what_is_no_day_and_what_is_no_form_break_nothing() {
        for day in [[0, 0, 0], [2026, 13, 1], [i32::MAX, i32::MIN, -1]] {
            assert!(asked("form=diner+mug&count=2", day, 0).contains("is no day"));
        }
        for question in ["&&&===", "form=%FF%FE&count=%00", "count=2&count=3&form=%"] {
            assert!(asked(question, [2026, 11, 25], 1).contains("There is a problem"), "{question}");
        }
    }
}

//! Flaws: typed in one line, held to their words' sizes, said with count, size and place.

use listing::{Conditions, Flaw, ListingError, Place, SizeFit};
use measure::{Length, Units};
use proptest::prelude::*;

fn line(text: &str, count: u32) -> String {
    let conditions = Conditions::published();
    let flaw = conditions.read_flaw(text, count).unwrap_or_else(|error| panic!("{text}: {error}"));
    conditions.line(&flaw, count, "", Units::UsCustomary).expect("a right one")
}

#[test]
fn what_a_person_types_becomes_a_line_with_count_size_and_place() {
    for (typed, right) in [
        ("1 hairline 1.5 in rim", "1 of 4: hairline, 1 1/2 in, at the rim"),
        ("2 flea bite foot", "2 of 4: flea bite, on the foot"),
        ("2 flea bites on the foot", "2 of 4: flea bite, on the foot"),
        ("crazing all over", "4 of 4: crazing, all over"),
        ("all shelf wear", "4 of 4: shelf wear"),
        ("1 of 4 chip 1/4\" at the spout", "1 of 4: chip, 1/4 in, at the spout"),
        ("1 CHIP, 8mm, rim", "1 of 4: chip, 3/8 in, at the rim"),
        ("1 chip 1 1/2 in rim; under the glaze", "1 of 4: chip, 1 1/2 in, at the rim; under the glaze"),
        ("3 utensil marks well: light", "3 of 4: utensil marks, in the well; light"),
        ("1 hairline crack 3/4 in the handle", "1 of 4: hairline, 3/4 in, on the handle"),
        ("1 re-glued handle", "1 of 4: re-glued, on the handle"),
        ("4 backstamp underside; green, clear", "4 of 4: backstamp, on the base; green, clear"),
        ("unmarked", "4 of 4: unmarked"),
    ] {
        assert_eq!(line(typed, 4), right, "{typed}");
    }
}

#[test]
fn a_mistake_is_shown_where_it_is() {
    for (typed, wrong, right) in [
        ("1 hairlin 1.5 in rim", "hairlin", "hairline"),
        ("1 hairline 1.5 in rimm", "rimm", "rim"),
        ("1 hairline 1.5 inn rim", "1.5 inn", "1 hairline 1.5 in rim"),
        ("9 hairline 1.5 in rim", "9", "from 1 to 4"),
        ("0 hairline 1.5 in rim", "0", "from 1 to 4"),
        ("1 of 5 hairline 1.5 in rim", "5", "1 of 4"),
        ("1.5 hairline 1 in rim", "1.5", "1 hairline 1.5 in rim"),
        ("1 flea bite 1/4 in rim", "flea bite", "chip"),
        ("1 flea bite 3 mm rim", "flea bite", "flake"),
        ("1 flake 8 mm rim", "flake", "chip"),
        ("1 chip 0 in rim", "0 in", "1 hairline 1.5 in rim"),
        ("1 hairline rim", "", "1 hairline 1/2 in rim"),
        ("1 hairline 1.5 in", "", "1 hairline 1/2 in rim"),
        ("1 1/2 in hairline rim", "1/2", "1 hairline 1.5 in rim"),
        ("", "", "1 hairline 1.5 in rim"),
        ("1", "", "1 hairline 1.5 in rim"),
    ] {
        let error = Conditions::published().read_flaw(typed, 4).expect_err(typed);
        let ListingError::FlawText { text, span, right: said, .. } = &error else {
            panic!("{typed}: {error}");
        };
        assert_eq!((text.get(span.clone()), said.as_str()), (Some(wrong), right), "{typed}: {error}");
    }
    let error = Conditions::published().read_flaw("1 hairlin 1.5 in rim", 4).unwrap_err();
    assert_eq!(
        error.caret().unwrap(),
        "1 hairlin 1.5 in rim\n  ^^^^^^^ no condition term is called this; right would be, for example, \"hairline\""
    );
}

#[test]
fn a_word_is_held_to_its_size_and_a_stronger_word_may_stand() {
    let conditions = Conditions::published();
    let right = |word: &str, mm: f64| match conditions
        .size_fit(conditions.find(word).unwrap(), Length::from_mm(mm))
    {
        SizeFit::Right => "right".to_owned(),
        SizeFit::Understated(term) => format!("under: {}", term.name),
        SizeFit::Overstated(term) => format!("over: {}", term.name),
    };
    for (word, mm, fit) in [
        ("flea bite", 1.9, "right"),
        ("flea bite", 2.0, "under: flake"),
        ("flea bite", 5.1, "under: chip"),
        ("flake", 5.0, "right"),
        ("flake", 5.1, "under: chip"),
        ("flake", 1.0, "over: flea bite"),
        ("chip", 5.1, "right"),
        ("chip", 3.0, "over: flake"),
        ("hairline", 80.0, "right"),
    ] {
        assert_eq!(right(word, mm), fit, "{word} of {mm} mm");
    }
    let quarter = Flaw {
        term: "flea bite".to_owned(),
        place: Some(Place::Rim),
        size: Some(Length::from_inches(0.25)),
        pieces: 1,
        note: String::new(),
    };
    let error = conditions.line(&quarter, 4, "", Units::UsCustomary).unwrap_err().to_string();
    assert_eq!(error, "1/4 in is more than a flea bite, which is under 2 mm; right would be chip");
    assert_eq!(
        conditions.line(&Flaw { pieces: 5, size: None, ..quarter.clone() }, 4, "", Units::Metric),
        Err(ListingError::FlawCount { term: "flea bite".to_owned(), pieces: 5, count: 4 })
    );
    for mm in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let odd = Flaw { size: Some(Length::from_mm(mm)), ..quarter.clone() };
        assert!(conditions.line(&odd, 4, "", Units::Metric).is_err(), "{mm}");
    }
}

proptest! {
    /// Nothing that can be typed makes the reader panic, and every mistake lies within the text.
    #[test]
    fn any_flaw_text_is_read_or_refused_in_its_place(text in "\\PC{0,60}", count in any::<u32>()) {
        if let Err(ListingError::FlawText { text: shown, span, .. }) = Conditions::published().read_flaw(&text, count) {
            prop_assert_eq!(&shown, &text);
            prop_assert!(text.get(span).is_some());
        }
    }

    #[test]
    fn any_row_of_words_is_read_or_refused_in_its_place(
        words in proptest::collection::vec(
            prop_oneof![
                Just("1"), Just("of"), Just("4"), Just("hairline"), Just("flea"), Just("bite"), Just("1/2"), Just("in"),
                Just("rim"), Just("all"), Just("over"), Just(";"), Just("½"), Just("é"), Just("99999999999"), Just("."),
            ],
            0..9,
        ),
    ) {
        let text = words.join(" ");
        match Conditions::published().read_flaw(&text, 4) {
            Ok(flaw) => prop_assert!((1..=4).contains(&flaw.pieces)),
            Err(error) => {
                if let ListingError::FlawText { span, .. } = &error {
                    prop_assert!(text.get(span.clone()).is_some());
                }
                let _ = error.caret();
            }
        }
    }

    /// A size said in a line is never smaller than the flaw, and at most one step larger.
    #[test]
    fn a_flaw_is_never_said_smaller_than_it_is(mm in 6.0f64..300.0) {
        let flaw = Flaw {
            term: "chip".to_owned(),
            place: Some(Place::Rim),
            size: Some(Length::from_mm(mm)),
            pieces: 1,
            note: String::new(),
        };
        for units in [Units::UsCustomary, Units::Metric] {
            let line = Conditions::published().line(&flaw, 1, "", units).unwrap();
            let said = Length::read(line.split(", ").nth(1).unwrap(), None).unwrap();
            prop_assert!(said.mm() >= mm - 1e-4 && said.mm() < mm + 1.6, "{mm}: {line}");
        }
    }
}

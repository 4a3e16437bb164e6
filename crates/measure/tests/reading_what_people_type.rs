//! Every spelling a person uses is read; nothing else is, and nothing panics.

use measure::{Length, LengthUnit, Mass, MassUnit, Money, ReadError, Volume};
use proptest::prelude::*;

fn inches(text: &str) -> f64 {
    Length::read(text, None).unwrap_or_else(|error| panic!("{text}: {error}")).inches()
}

#[test]
fn lengths_are_read_in_every_spelling() {
    for (text, expected) in [
        ("3 1/4 in", 3.25),
        ("3-1/4\"", 3.25),
        ("3.25 in", 3.25),
        ("3.25\"", 3.25),
        ("3¼″", 3.25),
        ("8.3cm", 8.3 / 2.54),
        ("83 mm", 8.3 / 2.54),
        ("1 ft 2 in", 14.0),
        ("1' 2 1/2\"", 14.5),
        ("1ft2in", 14.0),
        ("1/2 in", 0.5),
        ("½ in.", 0.5),
        ("  12 INCHES ", 12.0),
        ("0 in", 0.0),
        ("1.2 m", 120.0 / 2.54),
    ] {
        assert!((inches(text) - expected).abs() < 1e-9, "{text}");
    }
    for (text, eighths) in [("¼", 2), ("½", 4), ("¾", 6), ("⅛", 1), ("⅜", 3), ("⅝", 5), ("⅞", 7)] {
        assert_eq!(inches(&format!("2{text}\"")), 2.0 + f64::from(eighths) / 8.0);
    }
}

#[test]
fn a_bare_number_takes_the_sheets_unit_and_never_a_silent_one() {
    assert!(matches!(Length::read("3 1/4", None), Err(ReadError::MissingUnit { .. })));
    assert_eq!(Length::read("3 1/4", Some(LengthUnit::Inches)), Ok(Length::from_inches(3.25)));
    assert_eq!(Length::read("8.3", Some(LengthUnit::Centimetres)), Ok(Length::from_mm(83.0)));
    assert_eq!(Length::read("83 mm", Some(LengthUnit::Inches)), Ok(Length::from_mm(83.0)));
    assert!(matches!(Mass::read("12", None), Err(ReadError::MissingUnit { .. })));
    assert_eq!(Mass::read("12", Some(MassUnit::Ounces)), Ok(Mass::from_ounces(12.0)));
    assert!(matches!(Volume::read("3"), Err(ReadError::MissingUnit { .. })));
    // The sheet's unit fills in for a lone figure, not for the rest of a longer one.
    assert!(matches!(Length::read("1 ft 2", Some(LengthUnit::Inches)), Err(ReadError::MissingUnit { .. })));
}

#[test]
fn masses_and_volumes_are_read_in_every_spelling() {
    for (text, ounces) in [
        ("1 lb 3.5 oz", 19.5),
        ("1lb", 16.0),
        ("15 1/2 oz", 15.5),
        ("2 lbs. 1 ounce", 33.0),
        ("1lb3oz", 19.0),
    ] {
        assert!((Mass::read(text, None).expect(text).ounces() - ounces).abs() < 1e-9, "{text}");
    }
    assert_eq!(Mass::read("540 g", None), Ok(Mass::from_grams(540.0)));
    assert_eq!(Mass::read("0.54 kg", None), Ok(Mass::from_grams(540.0)));
    for (text, in3) in [
        ("0.75 ft3", 1296.0),
        ("3/4 cu ft", 1296.0),
        ("¾ cu. ft.", 1296.0),
        ("1 ft³", 1728.0),
        ("120 in3", 120.0),
        ("120 cubic inches", 120.0),
    ] {
        assert!((Volume::read(text).expect(text).cubic_inches() - in3).abs() < 1e-9, "{text}");
    }
    assert_eq!(Volume::read("21.2 L").map(Volume::mm3), Ok(21.2e6));
}

#[test]
fn money_is_read_to_the_cent() {
    for (text, cents) in [
        ("$7", 700),
        ("7.00", 700),
        ("7", 700),
        ("7.5", 750),
        (".50", 50),
        ("1,234.50", 123_450),
        ("-2.00", -200),
        ("-$2", -200),
        ("$-2", -200),
        ("10,000,000.00", 1_000_000_000),
    ] {
        assert_eq!(Money::read(text).expect(text).cents(), cents, "{text}");
    }
    for text in [
        "",
        "$",
        ".",
        "7.005",
        "1,23",
        "1,2345",
        ",123",
        "7.0.0",
        "--2",
        "7 dollars",
        "NaN",
        "1e5",
        "10,000,000.01",
        "99999999999999999999",
    ] {
        assert!(Money::read(text).is_err(), "{text}");
    }
}

#[test]
fn what_is_not_a_measure_is_refused_with_a_right_example() {
    for text in [
        "",
        "  ",
        "NaN",
        "inf",
        "1e300 in",
        "in",
        "3 4 in",
        "3-4 in",
        "8,3 cm",
        "3 1/0 in",
        "3 lb",
        "1 in 2 ft",
        "1 ft 12 in",
        "1.5 ft 2 in",
        "1 in 3 mm",
        "5 km",
        "1000001 mm",
        "3 in in",
        "3 in x 4 in",
        "३ in",
    ] {
        let error = Length::read(text, None).expect_err(text).to_string();
        assert!(error.contains("3 1/4 in"), "{text}: {error}");
        assert!(error.contains(text.trim()), "{text}: {error}");
    }
    assert!(matches!(Length::read("-3 in", None), Err(ReadError::Negative { .. })));
    assert!(Length::read("-3 in", None).expect_err("negative").to_string().contains("can't be negative"));
    assert!(matches!(Mass::read("−2 oz", None), Err(ReadError::Negative { .. })));
    for text in ["1 lb 16 oz", "1 lb 3 g", "1 fl oz", "1 kg 2 lb", "2 in"] {
        assert!(Mass::read(text, None).is_err(), "{text}");
    }
    let long = format!("{} in", "9".repeat(5000));
    let error = Length::read(&long, None).expect_err("too long").to_string();
    assert!(error.len() < 300, "a long text is quoted short: {error}");
}

#[test]
fn zero_is_read_but_is_not_positive() {
    assert_eq!(Length::read("0 in", None), Ok(Length::ZERO));
    assert!(matches!(Length::read_positive("0 in", None), Err(ReadError::Zero { .. })));
    assert!(matches!(Mass::read_positive("0 lb 0 oz", None), Err(ReadError::Zero { .. })));
    assert!(matches!(Volume::read_positive("0 L"), Err(ReadError::Zero { .. })));
    assert_eq!(Mass::read_positive("1 oz", None), Ok(Mass::from_ounces(1.0)));
}

fn near_misses() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "1",
        "3",
        "0",
        "12",
        "999999999999",
        ".",
        "/",
        "⁄",
        "-",
        "–",
        "¼",
        "⅞",
        " ",
        ",",
        "in",
        "ft",
        "'",
        "\"",
        "″",
        "cm",
        "lb",
        "oz",
        "kg",
        "g",
        "ft3",
        "cu",
        "L",
        "$",
        "e300",
        "NaN",
        "inf",
        "³",
        "é",
        "\u{0}",
        "\u{202e}",
    ]);
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

fn all_readings(text: &str) {
    for bare in [None, Some(LengthUnit::Inches), Some(LengthUnit::Millimetres)] {
        if let Ok(length) = Length::read(text, bare) {
            assert!(length >= Length::ZERO && length.mm() <= 1e6);
        }
    }
    for bare in [None, Some(MassUnit::Pounds)] {
        if let Ok(mass) = Mass::read(text, bare) {
            assert!(mass >= Mass::ZERO && mass.grams() <= 1e7);
        }
    }
    if let Ok(volume) = Volume::read(text) {
        assert!(volume >= Volume::ZERO && volume.mm3() <= 1e12);
    }
    if let Ok(money) = Money::read(text) {
        assert!(money.cents().abs() <= measure::LARGEST_MONEY.cents());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_text_panics(text in any::<String>()) {
        all_readings(&text);
    }

    #[test]
    fn no_near_miss_panics(text in near_misses()) {
        all_readings(&text);
    }
}

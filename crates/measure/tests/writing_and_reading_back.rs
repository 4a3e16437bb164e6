//! What is written is read back as the same figure, within the precision it is written in.

use measure::{Length, Mass, Money, Units, Volume};
use proptest::prelude::*;

#[test]
fn figures_are_written_as_people_write_them() {
    let us = Units::UsCustomary;
    for (inches, text) in [
        (3.25, "3 1/4 in"),
        (0.5, "1/2 in"),
        (12.0, "12 in"),
        (3.0625, "3 1/16 in"),
        (3.27, "3.27 in"),
        (3.996, "4 in"),
        (0.0, "0 in"),
        (-3.25, "-3 1/4 in"),
        (-0.001, "0 in"),
    ] {
        assert_eq!(Length::from_inches(inches).write(us), text);
    }
    assert_eq!(Length::from_mm(83.0).write(Units::Metric), "83 mm");
    assert_eq!(Length::from_mm(6.5).write(Units::Metric), "6.5 mm");
    assert_eq!(Length::from_mm(241.0).write(Units::Metric), "24.1 cm");
    assert_eq!(Length::from_mm(f64::NAN).write(us), "unknown");
    assert_eq!(Length::from_mm(f64::INFINITY).write(Units::Metric), "unknown");
    for (ounces, text) in [
        (19.5, "1 lb 3.5 oz"),
        (16.0, "1 lb"),
        (15.97, "1 lb"),
        (3.0, "3 oz"),
        (0.0, "0 oz"),
        (1120.0, "70 lb"),
    ] {
        assert_eq!(Mass::from_ounces(ounces).write(us), text);
    }
    for (grams, text) in [(540.0, "540 g"), (1234.0, "1.23 kg"), (999.7, "1 kg"), (2.5, "2.5 g")] {
        assert_eq!(Mass::from_grams(grams).write(Units::Metric), text);
    }
    assert_eq!(Volume::from_cubic_feet(0.75).write(us), "0.75 ft3");
    assert_eq!(Volume::from_cubic_inches(96.5).write(us), "96.5 in3");
    assert_eq!(Volume::from_mm3(21.24e6).write(Units::Metric), "21.2 L");
    for (cents, text) in
        [(700, "7.00"), (-123_450, "-1,234.50"), (5, "0.05"), (-5, "-0.05"), (100_000_000, "1,000,000.00")]
    {
        assert_eq!(Money::from_cents(cents).write(), text);
        assert_eq!(Money::from_cents(cents).to_string(), text);
    }
    assert_eq!(format!("{:>8}", Money::from_cents(700)), "    7.00");
    assert_eq!(Money::from_cents(i64::MIN).write(), "-92,233,720,368,547,758.08");
}

proptest! {
    #[test]
    fn sixteenths_of_an_inch_come_back_exactly(count in 0_u32..20_000) {
        let length = Length::from_inches(f64::from(count) / 16.0);
        let back = Length::read(&length.write(Units::UsCustomary), None).expect("written");
        prop_assert_eq!(back, length);
    }

    #[test]
    fn lengths_come_back_within_the_written_precision(mm in 0.0..20_000.0_f64) {
        let length = Length::from_mm(mm);
        let back = Length::read(&length.write(Units::UsCustomary), None).expect("written");
        prop_assert!((back.inches() - length.inches()).abs() <= 0.005 + 1e-9);
        let back = Length::read(&length.write(Units::Metric), None).expect("written");
        let precision = if mm < 100.0 { 0.05 } else { 0.5 };
        prop_assert!((back.mm() - mm).abs() <= precision + 1e-9);
    }

    #[test]
    fn masses_come_back_within_the_written_precision(grams in 0.0..40_000.0_f64) {
        let mass = Mass::from_grams(grams);
        let back = Mass::read(&mass.write(Units::UsCustomary), None).expect("written");
        prop_assert!((back.ounces() - mass.ounces()).abs() <= 0.05 + 1e-9);
        let back = Mass::read(&mass.write(Units::Metric), None).expect("written");
        let precision = if grams < 9.95 { 0.05 } else if grams < 999.5 { 0.5 } else { 5.0 };
        prop_assert!((back.grams() - grams).abs() <= precision + 1e-6);
    }

    #[test]
    fn volumes_come_back_within_the_written_precision(mm3 in 0.0..1e9_f64) {
        let volume = Volume::from_mm3(mm3);
        let back = Volume::read(&volume.write(Units::UsCustomary)).expect("written");
        let precision = if volume.cubic_inches() < 172.8 { 0.05 } else { 0.005 * 1728.0 };
        prop_assert!((back.cubic_inches() - volume.cubic_inches()).abs() <= precision + 1e-6);
        let back = Volume::read(&volume.write(Units::Metric)).expect("written");
        let precision = if mm3 < 999_500.0 { 500.0 } else { 50_000.0 };
        prop_assert!((back.mm3() - mm3).abs() <= precision + 1e-3);
    }

    #[test]
    fn money_comes_back_to_the_cent(cents in -1_000_000_000_i64..=1_000_000_000) {
        let money = Money::from_cents(cents);
        prop_assert_eq!(Money::read(&money.write()), Ok(money));
    }

    #[test]
    fn writing_never_panics(bits in any::<u64>(), cents in any::<i64>()) {
        let value = f64::from_bits(bits);
        for units in [Units::UsCustomary, Units::Metric] {
            let _ = Length::from_mm(value).write(units);
            let _ = Mass::from_grams(value).write(units);
            let _ = Volume::from_mm3(value).write(units);
        }
        let _ = Money::from_cents(cents).write();
    }
}

//! A person's own card is read, or refused with the place and what would be right.

use postage::{CardError, RateCard};
use proptest::prelude::*;

const RULES: &str = include_str!("data/invented_carrier.toml");
const PRICES: &str =
    "weight_not_over,unit,z1,z2,z3\n15.999,oz,5.00,5.10,5.20\n1,lb,5.50,5.60,5.70\n2,lb,6.00,6.10,\n";
const ADDITIONS: &str = "zone_from,zone_to,lb_from,lb_to,add_usd,in_force_from,in_force_to\n\
    1,4,0,3,0.40,2026-10-04,2027-01-17\n5,9,0,3,0.55,2026-10-04,2027-01-17\n";

#[test]
fn published_cards_are_read_without_warnings_but_for_blank_cells() {
    let cards = RateCard::published();
    assert_eq!(cards.len(), 3);
    for card in &cards {
        assert_eq!(RateCard::by_id(card.id()).as_ref(), Some(card));
        assert!(card.check_line().is_some() && card.source().contains("Notice 123"));
        assert_eq!(card.currency(), "USD");
        for warning in card.warnings() {
            assert!(
                card.id() == "expedited_commercial" && warning.contains("no price for 1 of 9"),
                "{warning}"
            );
        }
    }
    assert_eq!(RateCard::by_id("nothing"), None);
}

#[test]
fn a_card_survives_a_byte_order_mark_blank_lines_and_spaces() {
    let prices = format!("\u{feff}{}", PRICES.replace(',', " , ").replace("\n1 ", "\n\n1 "));
    let rules = format!("\u{feff}{RULES}");
    let plain = RateCard::read(RULES, PRICES, None).expect("plain");
    assert_eq!(RateCard::read(&rules, &prices, None), Ok(plain.clone()));
    assert_eq!(
        RateCard::read_bytes(RULES.as_bytes(), PRICES.replace('\n', "\r\n").as_bytes(), None),
        Ok(plain)
    );
}

#[test]
fn broken_prices_are_refused_with_row_and_column() {
    for (prices, words) in [
        ("", "prices, row 1, column 1"),
        ("weight_not_over,unit,z1\n", "no rows"),
        ("weight_not_over;unit;z1\n1;lb;5\n", "row 1, column 1"),
        ("weight_not_over,unit\n1,lb\n", "row 1, column 3: `` stands where `z1`"),
        ("weight_not_over,unit,z1,z3\n1,lb,5,6\n", "row 1, column 4: `z3` stands where `z2`"),
        ("weight_not_over,unit,z1,z2,z3,z4,z5,z6,z7,z8,z9,z10\n1,lb,1,1,1,1,1,1,1,1,1,1\n", "z10"),
        ("weight_not_over,unit,z1\n1,lb,5.00\n2,stone,6.00\n", "row 3, column `unit`: `stone`"),
        ("weight_not_over,unit,z1\n1,lb,5.00\nx,lb,6.00\n", "row 3, column `weight_not_over`: `x`"),
        ("weight_not_over,unit,z1\n0,lb,5.00\n", "row 2, column `weight_not_over`: `0`"),
        ("weight_not_over,unit,z1\n1,lb,free\n", "row 2, column `z1`: `free`"),
        ("weight_not_over,unit,z1\n1,lb,5.005\n", "row 2, column `z1`: `5.005`"),
        ("weight_not_over,unit,z1\n1,lb,0\n", "row 2, column `z1`: `0`"),
        ("weight_not_over,unit,z1\n1,lb,-3\n", "row 2, column `z1`: `-3`"),
        ("weight_not_over,unit,z1\n1,lb\n", "row 2: 2 cells stand where 3"),
        ("weight_not_over,unit,z1\n1,lb,5\n16,oz,6\n", "row 3: a row for 16 oz stands already in row 2"),
        ("weight_not_over,unit,z1\n2,lb,5\n1,lb,4\n", "row 3: 1 lb follows 2 lb"),
    ] {
        let error = RateCard::read(RULES, prices, None).expect_err(prices).to_string();
        assert!(error.contains(words), "{prices:?}: {error}");
    }
}

#[test]
fn falling_prices_are_told_and_not_refused() {
    let prices = "weight_not_over,unit,z1,z2\n1,lb,5.00,4.00\n2,lb,4.50,6.00\n";
    let card = RateCard::read(RULES, prices, None).expect("odd but right");
    assert_eq!(card.warnings().len(), 2, "{:?}", card.warnings());
    assert!(card.warnings()[0].contains("zone 2 (4.00) is cheaper than zone 1 (5.00)"));
    assert!(card.warnings()[1].contains("2 lb (4.50) is cheaper than 1 lb (5.00)"));
}

#[test]
fn broken_rules_are_refused_with_line_or_field() {
    for (from, to, words) in [
        ("id = ", "id : ", "rules, line 2"),
        ("service = \"Invented Freight\"", "", "service"),
        ("[limits]\n", "[limits]\nheight_in = 3\n", "height_in"),
        ("rounding = \"up\"", "rounding = \"down\"", "down"),
        ("divisor_in3_per_lb = 139", "divisor_in3_per_lb = 0", "dimensional.divisor_in3_per_lb"),
        ("divisor_in3_per_lb = 139", "divisor_in3_per_lb = nan", "dimensional.divisor_in3_per_lb"),
        ("weight_lb = 150", "weight_lb = inf", "limits.weight_lb"),
        ("effective_from = \"2026-01-01\"", "effective_from = \"2026-13-01\"", "effective_from"),
        ("amount = \"44.00\"", "amount = \"44.001\"", "fees, number 5, amount"),
        ("over = 50", "over = -1", "fees, number 5, over"),
        ("rounding = \"up\"", "rounding = \"up\"\ntolerance_in = 0.7", "sides.tolerance_in"),
        (
            "effective_from = \"2026-01-01\"",
            "effective_from = \"2026-01-01\"\neffective_to = \"2025-01-01\"",
            "effective_to",
        ),
    ] {
        let rules = RULES.replace(from, to);
        assert_ne!(rules, RULES, "{from}");
        let error = RateCard::read(&rules, PRICES, None).expect_err(to).to_string();
        assert!(error.contains(words), "{to}: {error}");
    }
}

#[test]
fn broken_additions_are_refused_with_row_and_column() {
    assert!(RateCard::read(RULES, PRICES, Some(ADDITIONS)).is_ok());
    for (from, to, words) in [
        ("lb_to", "to_lb", "row 1, column 4: `to_lb`"),
        ("\n5,9,", "\n4,9,", "row 3: it covers zones, weights and days that row 2 covers already"),
        ("\n5,9,", "\n9,5,", "row 3, column `zone_to`"),
        ("\n5,9,", "\n5,10,", "row 3, column `zone_to`: `10`"),
        ("0.55", "-0.55", "row 3, column `add_usd`"),
        ("0.55", "0.555", "row 3, column `add_usd`"),
        ("0,3,0.55", "3,0,0.55", "row 3, column `lb_to`"),
        ("0.55,2026-10-04", "0.55,10/04/2026", "row 3, column `in_force_from`: `10/04/2026`"),
        ("0.55,2026-10-04", "0.55,2028-10-04", "row 3, column `in_force_to`"),
    ] {
        let additions = ADDITIONS.replace(from, to);
        let error = RateCard::read(RULES, PRICES, Some(&additions)).expect_err(to).to_string();
        assert!(error.contains(words), "{to}: {error}");
    }
}

#[test]
fn a_row_between_whole_pounds_takes_the_addition_of_the_pound_it_reaches() {
    use measure::{Length, Mass};
    let prices = "weight_not_over,unit,z1\n3,lb,5.00\n3.5,lb,5.50\n4,lb,6.00\n";
    let additions = ADDITIONS.replace("\n5,9,0,3,0.55", "\n1,4,4,10,0.65");
    let card = RateCard::read(RULES, prices, Some(&additions)).expect("a card");
    for (pounds, addition) in [(3.0, "0.40"), (3.2, "0.65"), (4.0, "0.65")] {
        let facts = postage::ParcelFacts {
            outside: [Length::from_inches(5.0); 3],
            gross: Mass::from_pounds(pounds),
            rectangular: true,
        };
        let quote =
            card.quote(&facts, postage::Zone::NEAREST, jiff::civil::date(2026, 11, 25)).expect("priced");
        assert_eq!(quote.additions[0].1.write(), addition, "{pounds} lb");
    }
}

#[test]
fn bytes_that_are_not_text_are_refused_with_their_place() {
    let error = RateCard::read_bytes(RULES.as_bytes(), b"weight\xff", None).expect_err("not UTF-8");
    assert!(matches!(error, CardError::NotUtf8 { byte: 6, .. }));
    assert!(error.to_string().contains("UTF-8"));
}

proptest! {
    #[test]
    fn no_text_panics(rules in any::<String>(), prices in any::<String>(), bytes in any::<Vec<u8>>()) {
        let _ = RateCard::read(&rules, PRICES, None);
        let _ = RateCard::read(RULES, &prices, Some(&rules));
        let _ = RateCard::read(RULES, &format!("weight_not_over,unit,z1\n{prices}"), None);
        let _ = RateCard::read(RULES, PRICES, Some(&format!("{}\n{prices}", ADDITIONS.lines().next().expect("heading"))));
        let _ = RateCard::read_bytes(&bytes, PRICES.as_bytes(), None);
        let _ = RateCard::read_bytes(RULES.as_bytes(), &bytes, Some(&bytes));
    }
}

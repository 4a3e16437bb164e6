//! Check values from published postal rules and price lists.
//!
//! Sources: US Postal Service, Domestic Mail Manual (P013 of 2003, 423 of 2008, 123 and 283 as of
//! 2026-07-12), Quick Service Guide 201e (2016), advisories of 2006-10-30 and 2010-12-03, Notice 123
//! effective 2026-07-12, news release of 2026-08-25, official zone charts of 2026. Each test names
//! its own. Values 19 and 20 are zones; the rest are sizes, weights and prices.

use jiff::civil::{Date, date};
use measure::{Length, Mass, Money};
use postage::{
    CubicTier, NotCubic, ParcelFacts, RateCard, Refusal, SideRounding, Zone, ZoneFinder, cubic_tier, girth,
    girth_of_section, length_plus_girth, round_down_to, round_off_to, round_up_to, soft_pack_tier,
};

const ADDITIONS_IN_FORCE: Date = date(2026, 11, 25);
const NO_ADDITIONS: Date = date(2026, 9, 1);

fn inches(sides: [f64; 3]) -> [Length; 3] {
    sides.map(Length::from_inches)
}

fn parcel(sides: [f64; 3], gross: Mass) -> ParcelFacts {
    ParcelFacts { outside: inches(sides), gross, rectangular: true }
}

fn card(id: &str) -> RateCard {
    RateCard::by_id(id).expect(id)
}

fn ground() -> RateCard {
    card("ground_advantage_commercial")
}

fn zone(number: u8) -> Zone {
    Zone::new(number).expect("1 to 9")
}

/// The published card under the rules before 2026-07-12.
fn old_rules(divisor: &str) -> RateCard {
    let rules = include_str!("../data/ground_advantage_commercial_2026-07-12.toml")
        .replace("divisor_in3_per_lb = 139", &format!("divisor_in3_per_lb = {divisor}"))
        .replace("rounding = \"up\"", "rounding = \"nearest\"");
    RateCard::read(&rules, include_str!("../data/ground_advantage_commercial_2026-07-12.csv"), None)
        .expect("old rules")
}

fn billed_lb(card: &RateCard, facts: &ParcelFacts) -> f64 {
    let quote = card.quote(facts, zone(1), NO_ADDITIONS).expect("priced");
    (quote.billable.pounds() * 1e6).round() / 1e6
}

fn dimensional_lb(card: &RateCard, facts: &ParcelFacts) -> Option<f64> {
    card.billable_weight(facts).expect("weighed").dimensional.map(|by_size| by_size.pounds().round())
}

fn small(gross: Mass) -> ParcelFacts {
    parcel([10.0, 8.0, 5.0], gross)
}

fn base(card: &RateCard, gross: Mass, number: u8) -> String {
    card.quote(&small(gross), zone(number), NO_ADDITIONS).expect("priced").base.write()
}

fn total(card: &RateCard, pounds: f64, number: u8) -> String {
    let facts = small(Mass::from_pounds(pounds));
    card.quote(&facts, zone(number), ADDITIONS_IN_FORCE).expect("priced").total.write()
}

/// 1. Quick Service Guide 201e.
#[test]
fn girth_of_a_box() {
    let sides = inches([8.0, 10.0, 5.0]);
    assert!((girth(sides).inches() - 26.0).abs() < 1e-9);
    assert!((length_plus_girth(sides).inches() - 36.0).abs() < 1e-9);
}

/// 2. Quick Service Guide 201e.
#[test]
fn girth_of_a_three_sided_tube() {
    let around = girth_of_section(&[Length::from_inches(6.0); 3]);
    assert!((around.inches() - 18.0).abs() < 1e-9);
    assert!(((Length::from_inches(20.0) + around).inches() - 38.0).abs() < 1e-9);
}

/// 3. Domestic Mail Manual P013 (604.7.1).
#[test]
fn rounding_up_and_off() {
    assert_eq!(round_up_to(3.3701, 100), 3.38);
    assert_eq!(round_up_to(3.379, 100), 3.38);
    assert_eq!(round_up_to(3.38, 100), 3.38);
    assert_eq!(round_off_to(3.376, 100), 3.38);
    assert_eq!(round_off_to(3.374, 100), 3.37);
}

/// 4. Domestic Mail Manual 423.1.1 (2008).
#[test]
fn a_fraction_of_a_pound_pays_the_next_pound() {
    assert_eq!(billed_lb(&card("expedited_commercial"), &small(Mass::from_pounds(1.2))), 2.0);
}

/// 5. Domestic Mail Manual 123 as of 2026-07-12: the threshold must be exceeded.
#[test]
fn exactly_a_cubic_foot_pays_by_weight() {
    let facts = parcel([12.0; 3], Mass::from_pounds(3.0));
    assert_eq!(dimensional_lb(&ground(), &facts), None);
    assert_eq!(billed_lb(&ground(), &facts), 3.0);
}

/// 6. Domestic Mail Manual 123 as of 2026-07-12, and before.
#[test]
fn a_tenth_of_an_inch_over_a_cubic_foot() {
    let facts = parcel([12.1, 12.0, 12.0], Mass::from_pounds(3.0));
    let quote = ground().quote(&facts, zone(1), NO_ADDITIONS).expect("priced");
    assert_eq!(quote.rounded_sides_in, [13.0, 12.0, 12.0]);
    assert_eq!(quote.billed_row, "14 lb");
    assert_eq!(billed_lb(&old_rules("166"), &facts), 3.0);
}

/// 7. Published example of the 2026-07-12 rule.
#[test]
fn seventeen_by_fifteen_by_ten() {
    let facts = parcel([17.0, 15.0, 10.0], Mass::from_pounds(2.0));
    assert_eq!(dimensional_lb(&ground(), &facts), Some(19.0));
    assert_eq!(billed_lb(&ground(), &facts), 19.0);
}

/// 8. The same example before and after 2026-07-12.
#[test]
fn the_same_parcel_under_old_and_new_rules() {
    let facts = parcel([16.25, 14.5, 9.75], Mass::from_pounds(2.0));
    let old = old_rules("166").billable_weight(&facts).expect("weighed");
    assert_eq!(old.rounded_sides_in, [16.0, 15.0, 10.0]);
    assert_eq!(billed_lb(&old_rules("166"), &facts), 15.0);
    assert_eq!(billed_lb(&ground(), &facts), 19.0);
}

/// 9. Published explanation of the 2019 rule.
#[test]
fn divisor_166() {
    let facts = parcel([15.0, 15.0, 22.0], Mass::from_pounds(2.0));
    assert_eq!(billed_lb(&old_rules("166"), &facts), 30.0);
}

/// 10. Advisory of 2006-10-30; trade notice of the 2026-07-12 rule.
#[test]
fn sides_round_to_the_nearest_inch_before_and_up_since() {
    assert_eq!(SideRounding::Nearest.whole_inches(20.25, 0.001), 20.0);
    assert_eq!(SideRounding::Nearest.whole_inches(20.75, 0.001), 21.0);
    assert_eq!(SideRounding::Up.whole_inches(12.2, 0.001), 13.0);
}

/// 11. Domestic Mail Manual 123.1.4: the factor comes before the threshold.
#[test]
fn shapes_that_are_no_box() {
    let facts = |sides| ParcelFacts { rectangular: false, ..parcel(sides, Mass::from_pounds(2.0)) };
    assert_eq!(dimensional_lb(&ground(), &facts([14.0, 13.0, 12.0])), None);
    assert_eq!(dimensional_lb(&ground(), &facts([18.0, 14.0, 14.0])), Some(20.0));
}

/// 12. Trade example of 2025 for carriers without a threshold; the card is invented.
#[test]
fn without_a_threshold_small_parcels_pay_by_size() {
    let carrier = RateCard::read(
        include_str!("data/invented_carrier.toml"),
        include_str!("data/invented_carrier.csv"),
        None,
    )
    .expect("invented");
    let facts = parcel([11.1, 8.1, 4.1], Mass::from_pounds(1.0));
    let quote = carrier.quote(&facts, zone(2), NO_ADDITIONS).expect("priced");
    assert_eq!(quote.rounded_sides_in, [12.0, 9.0, 5.0]);
    assert_eq!(quote.billed_row, "4 lb");
    assert_eq!(dimensional_lb(&ground(), &facts), None);
}

/// 13. Help page of a postage partner; rounding down to quarters is from the advisory of December 3, 2010.
#[test]
fn soft_pack_tiers() {
    assert_eq!(round_down_to(10.125, 4), 10.0);
    let tier = |sum: f64| {
        soft_pack_tier(Length::from_inches(11.0), Length::from_inches(sum - 11.0)).map(CubicTier::upper_ft3)
    };
    assert_eq!(tier(21.0), Ok(0.1));
    assert_eq!(tier(21.125), Ok(0.1));
    assert_eq!(tier(21.25), Ok(0.2));
    assert_eq!(tier(36.0), Ok(0.5));
    assert_eq!(tier(36.25), Err(NotCubic::SoftPackTooLarge { inches: 36.25, limit_in: 36.0 }));
}

/// 14. Notice 123 (nonstandard fees); structure as in a partner's page of 2022-03-31.
#[test]
fn fees_for_length_and_volume() {
    for (sides, cents) in [
        ([16.0, 15.0, 15.0], 2100),
        ([25.0, 12.0, 12.0], 2550),
        ([35.0, 10.0, 10.0], 3100),
        ([22.0, 10.0, 10.0], 0),
        ([24.0, 12.0, 12.0], 450),
    ] {
        let facts = parcel(sides, Mass::from_pounds(2.0));
        let quote = ground().quote(&facts, zone(1), NO_ADDITIONS).expect("priced");
        let fees: Money = quote.additions.iter().map(|(_, amount)| *amount).sum();
        assert_eq!(fees.cents(), cents, "{sides:?}");
        assert_eq!(quote.total, quote.base + fees);
    }
}

/// 15. Notice 123, effective 2026-07-12.
#[test]
fn prices_by_weight_and_zone() {
    assert_eq!(base(&ground(), Mass::from_ounces(15.999), 5), "7.69");
    for (pounds, number, price) in
        [(3.0, 8, "15.75"), (10.0, 1, "11.91"), (20.0, 8, "40.39"), (70.0, 8, "191.31")]
    {
        assert_eq!(base(&ground(), Mass::from_pounds(pounds), number), price);
    }
}

/// 16. Notice 123, effective 2026-07-12.
#[test]
fn the_steps_around_a_pound() {
    for (ounces, price) in [(15.999, "6.93"), (16.0, "7.61"), (16.1, "7.99")] {
        assert_eq!(base(&ground(), Mass::from_ounces(ounces), 1), price, "{ounces} oz");
    }
}

/// 17. Transcription of the commercial list with the additions of 2026-10-04.
#[test]
fn two_pounds_to_every_zone_with_additions() {
    let totals: Vec<String> = (1..=9).map(|number| total(&ground(), 2.0, number)).collect();
    assert_eq!(totals, ["8.39", "8.48", "8.66", "8.91", "10.50", "12.13", "12.55", "13.42", "13.42"]);
}

/// 18. Transcription of the retail list with the additions of 2026-10-04.
#[test]
fn retail_to_zone_8_with_additions() {
    let retail = card("ground_advantage_retail");
    let totals: Vec<String> =
        [1.0, 2.0, 3.0, 5.0, 10.0, 20.0].map(|pounds| total(&retail, pounds, 8)).to_vec();
    assert_eq!(totals, ["13.65", "19.80", "23.15", "27.45", "40.85", "72.15"]);
}

fn zones(origin: &str, dests: &[&str]) -> Vec<u8> {
    let finder = ZoneFinder::published();
    dests.iter().map(|dest| finder.zone(origin, dest).expect(dest).zone.number()).collect()
}

/// 19. Official zone chart of 320, effective 2026-09-01.
#[test]
fn zones_from_320() {
    let dests = ["303", "331", "100", "021", "606", "752", "802", "850", "900", "981"];
    assert_eq!(zones("320", &dests), [3, 4, 5, 6, 5, 5, 7, 7, 8, 8]);
}

/// 20. Official zone page, 2026-08-16, and charts of 394 and 132, 2026.
#[test]
fn zones_from_490_394_and_132() {
    assert_eq!(zones("49079", &["98282", "98357"]), [7, 8]);
    assert_eq!(zones("394", &["005", "044", "325", "394", "895"]), [6, 7, 2, 1, 8]);
    assert_eq!(zones("132", &["206", "284", "598"]), [4, 5, 8]);
}

// Hostile cases: the corners of the same rules.

#[test]
fn a_light_thirteen_inch_cube_pays_sixteen_pounds() {
    assert_eq!(billed_lb(&ground(), &parcel([13.0; 3], Mass::from_pounds(1.0))), 16.0);
}

#[test]
fn a_weight_of_zero_is_refused() {
    let refused = ground().quote(&small(Mass::ZERO), zone(1), NO_ADDITIONS);
    assert_eq!(refused, Err(Refusal::NothingToWeigh));
}

#[test]
fn the_last_digit_of_a_conversion_costs_no_inch() {
    let facts = parcel([12.000_000_001, 12.0, 12.0], Mass::from_pounds(3.0));
    assert_eq!(billed_lb(&ground(), &facts), 3.0);
    let facts = parcel([12.0009, 12.0, 12.0], Mass::from_pounds(3.0));
    assert_eq!(billed_lb(&ground(), &facts), 3.0, "within the tolerance of 0.001 in");
    let facts = parcel([12.002, 12.0, 12.0], Mass::from_pounds(3.0));
    assert_eq!(billed_lb(&ground(), &facts), 14.0);
}

#[test]
fn over_seventy_pounds_is_refused_and_not_brought_down() {
    let quote = |pounds| ground().quote(&small(Mass::from_pounds(pounds)), zone(1), NO_ADDITIONS);
    assert_eq!(quote(70.0).expect("priced").billed_row, "70 lb");
    let refused = quote(70.1).expect_err("too heavy");
    assert!(matches!(refused, Refusal::TooHeavy { .. }));
    assert!(refused.to_string().contains("70.1 lb") && refused.to_string().contains("at most 70 lb"));
}

#[test]
fn length_plus_girth_at_and_past_its_limits() {
    let expedited = card("expedited_commercial");
    let quote = |card: &RateCard, longest: f64| {
        card.quote(&parcel([longest, 12.0, 12.0], Mass::from_pounds(5.0)), zone(1), NO_ADDITIONS)
    };
    assert!(quote(&expedited, 60.0).is_ok(), "exactly 108");
    assert!(matches!(quote(&expedited, 60.1), Err(Refusal::TooBig { .. })));
    assert!(quote(&ground(), 60.0).is_ok(), "exactly 108");
    assert!(matches!(quote(&ground(), 60.1), Err(Refusal::OversizePriceUnknown { .. })));
    assert!(matches!(quote(&ground(), 82.0), Err(Refusal::OversizePriceUnknown { .. })), "exactly 130");
    let refused = quote(&ground(), 82.1).expect_err("too big");
    assert!(matches!(refused, Refusal::TooBig { .. }));
    assert!(refused.to_string().contains("130.1 in") && refused.to_string().contains("at most 130 in"));
}

#[test]
fn a_limit_that_only_the_rounded_sides_pass_is_told() {
    let facts = parcel([59.5, 11.9, 11.9], Mass::from_pounds(5.0));
    let quote = ground().quote(&facts, zone(1), NO_ADDITIONS).expect("priced");
    assert!(!quote.cautions.iter().any(|line| line.contains("rounds first")), "108 from rounded sides");
    let facts = parcel([59.5, 12.0, 12.1], Mass::from_pounds(5.0));
    let quote = ground().quote(&facts, zone(1), NO_ADDITIONS).expect("priced");
    assert!(quote.cautions.iter().any(|line| line.contains("107.7 in") && line.contains("110 in")));
}

#[test]
fn a_huge_light_box_pays_the_seventy_pound_price() {
    let facts = parcel([36.0, 18.0, 18.0], Mass::from_pounds(5.0));
    assert_eq!(dimensional_lb(&ground(), &facts), Some(70.0));
    assert_eq!(billed_lb(&ground(), &facts), 70.0);
}

#[test]
fn cubic_tiers_of_boxes() {
    use postage::CubicProgram::{Expedited, GroundAdvantage};
    let tier =
        |sides, program| cubic_tier(&parcel(sides, Mass::from_pounds(5.0)), program).map(CubicTier::number);
    // 8 x 6 x 3.6 in is exactly 0.1 ft3 before, and 8 x 6 x 3.5 in after rounding down.
    assert_eq!(tier([8.2, 6.2, 3.6], Expedited), Ok(1));
    assert_eq!(tier([12.0, 12.0, 6.0], Expedited), Ok(5));
    assert!(matches!(tier([12.0, 12.0, 6.25], Expedited), Err(NotCubic::TooLarge { .. })));
    assert_eq!(tier([12.0, 12.0, 6.25], GroundAdvantage), Ok(6));
    assert!(matches!(tier([22.1, 4.0, 4.0], Expedited), Err(NotCubic::TooLong { .. })));
    let heavy = parcel([6.0; 3], Mass::from_pounds(20.1));
    assert!(matches!(cubic_tier(&heavy, Expedited), Err(NotCubic::TooHeavy { .. })));
}

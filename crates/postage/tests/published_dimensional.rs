//! Dimensional weight by the divisor in force.
//!
//! Source: a retailer's help page (published, high): 18 x 16 x 16 in over 139 are 33.15 lb.

use measure::{Length, Mass};
use postage::{ParcelFacts, RateCard, length_plus_girth};

#[test]
fn a_published_parcel_over_one_hundred_and_thirty_nine() {
    let outside = [18.0, 16.0, 16.0].map(Length::from_inches);
    let facts = ParcelFacts { outside, gross: Mass::from_pounds(5.0), rectangular: true };
    let card = RateCard::by_id("ground_advantage_commercial").expect("card");
    let weighed = card.billable_weight(&facts).expect("weighed");
    assert!(weighed.steps.iter().any(|step| step.contains("/ 139 = 33.15,")), "{:?}", weighed.steps);
    let by_size = weighed.dimensional.expect("over a cubic foot");
    assert!((by_size.pounds() - 34.0).abs() < 1e-9, "the card rounds up to whole pounds");
}

/// Help pages of posts and carriers (published, high).
#[test]
fn length_and_girth_of_a_published_parcel() {
    let sides = [30.0, 10.0, 15.0].map(Length::from_inches);
    assert!((length_plus_girth(sides).inches() - 80.0).abs() < 1e-9);
}

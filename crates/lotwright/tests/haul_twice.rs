//! A haul that may have been entered twice is pointed out, and entered all the same.

mod till;

use till::Till;

#[test]
fn the_second_haul_of_a_day_place_and_sum_names_the_first() {
    let till = Till::empty();
    let first = till.says(&till::HAUL);
    assert!(!first.contains("same day"), "{first}");
    let second = till.says(&till::HAUL);
    assert!(second.contains("haul 1 has the same day, place and money"), "{second}");
    assert!(second.contains("haul --amend 2"), "{second}");
    let third = till.json(&till::HAUL);
    assert_eq!(third["like"], serde_json::json!([1, 2]));
}

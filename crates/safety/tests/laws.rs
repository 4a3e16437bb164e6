//! Laws of lifting and of cautions.

use std::sync::LazyLock;

use measure::{Length, Mass};
use proptest::prelude::*;
use safety::{Coupling, Facts, Lift, Safety, Situation, Work, carry, lifting, multipliers};

static SAFETY: LazyLock<Safety> = LazyLock::new(Safety::published);

fn any_lift() -> impl Strategy<Value = Lift> {
    let work = prop::sample::select(vec![Work::Short, Work::Moderate, Work::Long]);
    let coupling = prop::sample::select(vec![Coupling::Good, Coupling::Fair, Coupling::Poor]);
    (0.0..30.0f64, 0.0..80.0f64, 0.0..80.0f64, 0.0..150.0f64, 0.0..16.0f64, work, coupling).prop_map(
        |(horizontal, vertical, travel, asymmetry_deg, per_minute, work, coupling)| Lift {
            horizontal: Length::from_inches(horizontal),
            vertical: Length::from_inches(vertical),
            travel: Length::from_inches(travel),
            asymmetry_deg,
            per_minute,
            work,
            coupling,
        },
    )
}

fn limit(lift: &Lift) -> f64 {
    multipliers(lift).expect("a lift").weight_limit().pounds()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn a_worse_lift_never_has_a_higher_limit(lift in any_lift(), more in 0.0..20.0f64) {
        let further = Length::from_inches(more);
        let worse = [
            Lift { horizontal: lift.horizontal + further, ..lift },
            Lift { travel: lift.travel + further, ..lift },
            Lift { asymmetry_deg: lift.asymmetry_deg + more, ..lift },
            Lift { per_minute: lift.per_minute + more, ..lift },
            Lift { coupling: lift.coupling.max(Coupling::Fair), ..lift },
            Lift { coupling: Coupling::Poor, ..lift },
            Lift { work: lift.work.max(Work::Moderate), ..lift },
            Lift { work: Work::Long, ..lift },
        ];
        for one in worse {
            prop_assert!(limit(&one) <= limit(&lift), "{one:?}");
        }
        prop_assert!((0.0..=51.0 + 1e-9).contains(&limit(&lift)));
    }

    #[test]
    fn hands_farther_from_the_waist_never_have_a_higher_limit(lift in any_lift(), more in 0.0..30.0f64) {
        let waist = Length::from_inches(30.0);
        let further = Length::from_inches(more);
        // Up from the waist the columns for high lifts hold throughout; down from under it the low ones.
        let up = Lift { vertical: lift.vertical.max(waist), ..lift };
        let higher = Lift { vertical: up.vertical + further, ..up };
        prop_assert!(limit(&higher) <= limit(&up));
        let down = Lift { vertical: lift.vertical.min(Length::from_inches(29.9)), ..lift };
        let lower = Lift { vertical: (down.vertical - further).max(Length::ZERO), ..down };
        prop_assert!(limit(&lower) <= limit(&down));
    }

    #[test]
    fn the_index_never_falls_with_the_load(lift in any_lift(), load in 0.0..100.0f64, more in 0.0..100.0f64) {
        let of = |pounds| lifting(&lift, Mass::from_pounds(pounds)).expect("a lift");
        let (light, heavy) = (of(load), of(load + more));
        prop_assert!(heavy.index >= light.index && heavy.band >= light.band);
        prop_assert_eq!(heavy.limit, light.limit);
    }

    #[test]
    fn a_larger_parcel_is_never_better_to_lift(
        sides in prop::array::uniform3(2.0..40.0f64), side in 0usize..3, more in 0.0..10.0f64,
    ) {
        let mut larger = sides;
        larger[side] += more;
        let of = |sides: [f64; 3]| carry(sides.map(Length::from_inches), Mass::from_pounds(20.0)).expect("a parcel");
        let (small, large) = (of(sides), of(larger));
        prop_assert!(large.table.limit <= small.table.limit && large.floor.limit <= small.floor.limit);
        prop_assert!(small.floor.limit <= small.table.limit, "the floor is never better than the table");
    }

    #[test]
    fn more_weight_never_presses_less(
        pounds in 0.0..100.0f64, more in 0.0..60.0f64, sides in prop::array::uniform3(2.0..40.0f64),
    ) {
        let most = |pounds| {
            let facts = Facts {
                gross: Some(Mass::from_pounds(pounds)),
                outside: Some(sides.map(Length::from_inches)),
                ..Facts::default()
            };
            // Most pressing first; nothing at all presses least.
            SAFETY.cautions(&facts).first().map_or(3, |one| one.urgency as u8)
        };
        prop_assert!(most(pounds + more) <= most(pounds));
    }

    #[test]
    fn no_figure_however_odd_makes_it_fall_over_or_looks_light(
        odd in prop::num::f64::ANY, sides in prop::array::uniform3(prop::num::f64::ANY),
    ) {
        let length = Length::from_inches(odd);
        let lift = Lift {
            horizontal: length, vertical: length, travel: length, asymmetry_deg: odd, per_minute: odd,
            work: Work::Short, coupling: Coupling::Good,
        };
        if let Ok(found) = lifting(&lift, Mass::from_pounds(odd)) {
            prop_assert!(found.limit.pounds() >= 0.0 && found.index.is_none_or(|index| index >= 0.0));
        }
        let facts = Facts {
            gross: Some(Mass::from_pounds(odd)),
            outside: Some(sides.map(Length::from_inches)),
            made_in: Some(i32::MIN),
            situations: Situation::ALL.iter().copied().collect(),
            ..Facts::default()
        };
        let said = SAFETY.cautions(&facts);
        prop_assert!(said.iter().all(|one| !one.full_text().is_empty()));
        if odd.is_nan() {
            prop_assert!(said.iter().any(|one| one.key == "lift_strong"));
        }
        let light = Facts { gross: Some(Mass::from_pounds(1.0)), ..facts };
        if sides.iter().any(|side| !side.is_finite()) {
            prop_assert!(SAFETY.cautions(&light).iter().any(|one| one.key == "lift_reach"));
        }
    }

    #[test]
    fn each_caution_is_said_once_and_in_order_of_urgency(
        chosen in prop::collection::btree_set(prop::sample::select(Situation::ALL.to_vec()), 0..8),
        pounds in prop::option::of(0.0..80.0f64),
    ) {
        let facts = Facts { situations: chosen, gross: pounds.map(Mass::from_pounds), ..Facts::default() };
        let said = SAFETY.cautions(&facts);
        prop_assert!(said.windows(2).all(|pair| pair[0].urgency <= pair[1].urgency));
        let mut keys: Vec<&str> = said.iter().map(|one| one.key.as_str()).collect();
        keys.sort_unstable();
        keys.dedup();
        prop_assert_eq!(keys.len(), said.len());
        prop_assert_eq!(&said, &SAFETY.cautions(&facts));
    }

    #[test]
    fn any_title_can_be_searched(title in ".{0,60}") {
        let _ = SAFETY.hazards.in_text(&title);
    }
}

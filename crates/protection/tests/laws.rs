//! Laws of wrapping and of cartons.

mod pieces;

use measure::{Length, Volume};
use pieces::{mm, recipe, round, with_arm, with_hollow_and_lid, wrap};
use proptest::prelude::*;
use protection::{Grades, LoadClass, Recipe, carton, cost, fill_needed, tare};
use shape::{PartKind, Piece};

fn any_piece() -> impl Strategy<Value = Piece> {
    (1.0..14.0f64, 0.5..12.0f64, 1.0..90.0f64, 0.3..3.0f64, 0.2..0.9f64, any::<bool>(), any::<bool>())
        .prop_map(|(diameter, height, oz, reach, pitch, handled, lidded)| {
            let mut piece = round(diameter, height, oz);
            piece.pitch_mm = Some(mm(height * pitch));
            if handled {
                piece = with_arm(piece, PartKind::Handle, reach, 0.0);
                piece = with_arm(piece, PartKind::Spout, reach, std::f64::consts::PI);
            }
            if lidded { with_hollow_and_lid(piece) } else { piece }
        })
}

fn any_recipe() -> impl Strategy<Value = Recipe> {
    let names = ["mug", "plate", "bowl", "teapot", "book", "iron", "stemware", "tray", "disc", "platter"];
    prop::sample::select(names.to_vec()).prop_map(recipe)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn more_layers_are_never_smaller_lighter_or_cheaper(
        piece in any_piece(), thin in any_recipe(), course in 0usize..2, count in 1u32..9,
    ) {
        let mut thick = thin.clone();
        let course = course.min(thick.wrap.len() - 1);
        thick.wrap[course].layers += 1;
        let (thin, thick) = (wrap(&piece, &thin, count), wrap(&piece, &thick, count));
        prop_assert_eq!(thin.len(), thick.len());
        for (a, b) in thin.iter().zip(&thick) {
            prop_assert!(b.bundle.mass_g >= a.bundle.mass_g);
            prop_assert!(b.bundle.wrapped_volume_mm3 >= a.bundle.wrapped_volume_mm3);
            prop_assert!(a.bundle.parts.iter().zip(&b.bundle.parts).all(|(a, b)| b.wrap_mm > a.wrap_mm));
            let cents = |one: &protection::WrappedBundle| one.uses.iter().map(|used| used.cost_cents).sum::<i64>();
            prop_assert!(cents(b) >= cents(a));
        }
    }

    #[test]
    fn no_piece_is_lost_and_no_gram(piece in any_piece(), recipe in any_recipe(), count in 1u32..30) {
        let wrapped = wrap(&piece, &recipe, count);
        let of = |what: &str| -> u32 {
            wrapped.iter().flat_map(|one| &one.bundle.contents).filter(|row| row.what == what).map(|row| row.count).sum()
        };
        prop_assert_eq!(of("piece"), count);
        prop_assert_eq!(of("lid of piece"), count * piece.apart.len() as u32);
        let bare: f64 = wrapped
            .iter()
            .map(|one| one.bundle.mass_g - one.uses.iter().map(|used| used.mass_g).sum::<f64>())
            .sum();
        prop_assert!((bare - piece.mass_g * f64::from(count)).abs() < 1e-6 * bare);
        let sizes: Vec<u32> = wrapped
            .iter()
            .flat_map(|one| &one.bundle.contents)
            .filter(|row| row.what == "piece")
            .map(|row| row.count)
            .collect();
        let (least, most) = (sizes.iter().min().copied(), sizes.iter().max().copied());
        prop_assert!(most <= least.map(|least| least + 1));
        prop_assert!(sizes.iter().all(|&size| size <= recipe.bundle.most()));
        prop_assert_eq!(&wrapped, &wrap(&piece, &recipe, count));
    }

    #[test]
    fn sheets_are_whole(piece in any_piece(), recipe in any_recipe(), count in 1u32..9) {
        for used in wrap(&piece, &recipe, count).iter().flat_map(|one| &one.uses) {
            prop_assert!(used.unit != "sheet" || (used.quantity >= 1.0 && used.quantity.fract() == 0.0));
        }
    }

    #[test]
    fn wrapped_volume_lies_between_the_grown_body_and_the_outline(
        piece in any_piece(), recipe in any_recipe(), count in 1u32..9,
    ) {
        for one in wrap(&piece, &recipe, count) {
            let bundle = &one.bundle;
            let outline: f64 = pieces::sides(bundle).iter().map(|side| mm(*side)).product();
            prop_assert!(bundle.wrapped_volume_mm3 <= outline * (1.0 + 1e-9));
            let body = bundle.parts[0];
            prop_assert!(bundle.wrapped_volume_mm3 >= body.solid.grown(body.wrap_mm).volume_mm3() * (1.0 - 1e-9));
        }
    }

    #[test]
    fn a_larger_carton_is_never_lighter_or_cheaper(
        size in prop::array::uniform3(4.0..20.0f64), more in 0.0..4.0f64, side in 0usize..3,
    ) {
        let grades = Grades::published();
        let (small, mut large) = (size.map(Length::from_inches), size.map(Length::from_inches));
        large[side] += Length::from_inches(more);
        let mass = |inside| tare(inside, grades.usual(), grades.rules()).grams();
        let cents = |inside| cost(inside, grades.usual(), grades.rules()).cents();
        prop_assert!(mass(large) >= mass(small));
        prop_assert!(cents(large) >= cents(small));
    }

    #[test]
    fn a_carton_cut_down_keeps_its_tare_and_gets_no_taller(height in 5.0..20.0f64, cut in 0.2..0.95f64) {
        let grades = Grades::published();
        let inside = [12.0, 10.0, height].map(Length::from_inches);
        let make = |cut| carton("c", inside, cut, grades.usual(), &grades, LoadClass::Difficult).expect("carton");
        let (whole, low) = (make(None), make(Some(Length::from_inches(height * cut))));
        prop_assert_eq!(whole.tare_g, low.tare_g);
        prop_assert!((low.inside_mm[2] - mm(height * cut)).abs() < 1e-9);
        prop_assert_eq!(low.cut_down_from_mm, Some(whole.inside_mm[2]));
        prop_assert!((low.outside_mm[2] - low.inside_mm[2]) > (whole.outside_mm[2] - whole.inside_mm[2]));
        prop_assert_eq!(&low.outside_mm[..2], &whole.outside_mm[..2]);
    }

    #[test]
    fn fill_never_falls_when_less_is_wrapped(inside in 0.0..4.0f64, wrapped in 0.0..4.0f64, less in 0.0..1.0f64) {
        let ft3 = Volume::from_cubic_feet;
        let more = fill_needed(ft3(inside), [ft3(wrapped * less)], 0.1);
        prop_assert!(more >= fill_needed(ft3(inside), [ft3(wrapped)], 0.1));
    }
}

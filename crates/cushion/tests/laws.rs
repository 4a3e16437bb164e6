//! Laws of drops, cushions and fragility.

use cushion::{
    Cushions, DamageBoundary, Drops, Fall, Fragilities, Hits, Impact, Layer, Material, Method, Packed,
    Rebound, Speed, Spring, Stiffness, Stress, StressEnergy, factor_thickness, needed_behind,
    needed_thickness, peak_g, series_g,
};
use measure::{Area, Length, Mass};
use proptest::prelude::*;

fn inches(value: f64) -> Length {
    Length::from_inches(value)
}

fn area(in2: f64) -> Area {
    Area::from_square_feet(in2 / 144.0)
}

fn fall(pounds: f64, height: f64) -> Fall {
    Fall::new(Mass::from_pounds(pounds), inches(height)).expect("fall")
}

fn impact(load: f64, height: f64) -> Impact {
    Impact::new(Mass::from_pounds(load * 12.0), area(12.0), inches(height)).expect("impact")
}

fn shock(impact: &Impact, thickness: f64, material: &Material) -> Option<f64> {
    peak_g(impact, inches(thickness), material, Hits::Repeated).ok().map(|found| found.peak_g)
}

fn any_material() -> impl Strategy<Value = Material> {
    let all: Vec<Material> = Cushions::published().iter().cloned().collect();
    prop::sample::select(all)
}

fn any_law() -> impl Strategy<Value = StressEnergy> {
    (0.5..40.0f64, 0.02..1.5f64).prop_map(|(a, b)| StressEnergy::new(Stress::from_psi(a), b).expect("law"))
}

fn any_layers() -> impl Strategy<Value = Vec<(Material, f64, f64)>> {
    prop::collection::vec((any_material(), 0.2..4.0f64, 5.0..60.0f64), 1..5)
}

fn layers(rows: &[(Material, f64, f64)]) -> Vec<Layer<'_>> {
    rows.iter()
        .map(|(material, thickness, in2)| Layer { material, thickness: inches(*thickness), area: area(*in2) })
        .collect()
}

fn near(found: f64, expected: f64, share: f64) -> bool {
    (found / expected - 1.0).abs() <= share
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn shock_falls_as_thickness_rises_up_to_the_best_load(
        law in any_law(), share in 0.01..1.0f64, height in 6.0..48.0f64, thickness in 1.0..6.0f64, more in 0.05..4.0f64,
    ) {
        let load = Stress::from_psi(share * law.best_load(inches(height), inches(thickness)).expect("load").psi());
        let thin = law.peak_g(load, inches(height), inches(thickness)).expect("G");
        let thick = law.peak_g(load, inches(height), inches(thickness + more)).expect("G");
        prop_assert!(thick < thin);
    }

    #[test]
    fn more_of_any_material_never_raises_the_shock(
        material in any_material(), load in 0.005..4.0f64, height in 6.0..48.0f64, thickness in 0.1..6.0f64,
        more in 0.0..4.0f64,
    ) {
        let impact = impact(load, height);
        if let Some(thin) = shock(&impact, thickness, &material) {
            let thick = shock(&impact, thickness + more, &material);
            prop_assert!(thick.is_some_and(|thick| thick <= thin * (1.0 + 1e-12)), "{thin} {thick:?}");
        }
    }

    #[test]
    fn shock_has_one_minimum_over_load_at_the_best_load(
        law in any_law(), height in 6.0..48.0f64, thickness in 1.0..6.0f64, near_share in 0.02..0.98f64,
        far_share in 0.02..0.98f64,
    ) {
        let (height, thickness) = (inches(height), inches(thickness));
        let best = law.best_load(height, thickness).expect("load").psi();
        prop_assert!(near(best, thickness.inches() / (law.b_per_psi() * height.inches()), 1e-12));
        let at = |load: f64| law.peak_g(Stress::from_psi(load), height, thickness).expect("G");
        let least = law.least_g(height, thickness).expect("G");
        prop_assert!(near(at(best), least, 1e-12));
        let (inner, outer) = (near_share.max(far_share), near_share.min(far_share));
        prop_assume!(inner - outer > 1e-3);
        prop_assert!(least < at(best * inner) && at(best * inner) < at(best * outer));
        prop_assert!(least < at(best / inner) && at(best / inner) < at(best / outer));
    }

    #[test]
    fn shock_over_load_falls_to_the_best_loads_and_rises_after_them(
        material in any_material(), height in 6.0..48.0f64, thickness in 0.2..4.0f64, first in 0.003..4.0f64,
        second in 0.003..4.0f64, third in 0.003..4.0f64,
    ) {
        let mut loads = [first, second, third];
        loads.sort_by(f64::total_cmp);
        let found: Vec<Option<f64>> =
            loads.iter().map(|load| shock(&impact(*load, height), thickness, &material)).collect();
        if let [Some(light), Some(middle), Some(heavy)] = found[..] {
            prop_assert!(middle <= light.max(heavy) * (1.0 + 1e-9), "{light} {middle} {heavy}");
        }
    }

    #[test]
    fn factor_thickness_is_linear_in_height_and_in_the_inverse_of_shock(
        factor in 1.0..9.0f64, height in 1.0..48.0f64, allowed in 15.0..150.0f64, times in 0.1..6.0f64,
    ) {
        let thickness = |height, allowed| factor_thickness(factor, inches(height), allowed).expect("t").inches();
        let one = thickness(height, allowed);
        prop_assert!(near(thickness(height * times, allowed), one * times, 1e-12));
        prop_assert!(near(thickness(height, allowed * 6.0), one / 6.0, 1e-12));
    }

    #[test]
    fn thickness_needed_is_linear_in_height(
        material in any_material(), load in 0.02..2.0f64, height in 12.0..24.0f64, allowed in 20.0..150.0f64,
        times in 1.0..2.0f64,
    ) {
        let needed = |height| needed_thickness(&impact(load, height), allowed, &material, Hits::First);
        if let (Ok(low), Ok(high)) = (needed(height), needed(height * times)) {
            // Under an inch the stress-energy law gives way to the factor, which is another line.
            prop_assume!(material.stress_energy().is_none() || low.thickness.inches() > 1.0 + 1e-6);
            prop_assert!(near(high.thickness.inches(), low.thickness.inches() * times, 1e-9));
        }
    }

    #[test]
    fn thickness_needed_just_keeps_the_shock_and_less_does_not(
        material in any_material(), load in 0.01..3.0f64, height in 6.0..48.0f64, allowed in 15.0..300.0f64,
    ) {
        let impact = impact(load, height);
        match needed_thickness(&impact, allowed, &material, Hits::Repeated) {
            Ok(needed) => {
                let at = |inches: f64| shock(&impact, inches, &material);
                let inches = needed.thickness.inches();
                prop_assert!(at(inches).is_some_and(|found| found <= allowed * (1.0 + 1e-9)), "{:?}", at(inches));
                prop_assert!(at(inches * 0.999).is_none_or(|found| found > allowed));
                prop_assert!(needed.rounded_up.inches() >= inches - 1e-9);
                prop_assert!(needed.rounded_up.inches() < inches + 0.25);
                if let Some(layers) = needed.layers {
                    prop_assert!(material.layers(layers).expect("layers").inches() >= inches - 1e-9);
                }
            }
            Err(_) => prop_assert!(shock(&impact, 100.0, &material).is_none_or(|found| found > allowed)),
        }
    }

    #[test]
    fn later_drops_are_never_milder_and_the_range_holds_the_figure(
        material in any_material(), load in 0.02..2.0f64, height in 6.0..48.0f64, thickness in 0.5..4.0f64,
    ) {
        let impact = impact(load, height);
        let found = |hits| peak_g(&impact, inches(thickness), &material, hits);
        if let (Ok(first), Ok(later)) = (found(Hits::First), found(Hits::Repeated)) {
            prop_assert!(first.peak_g <= later.peak_g);
            prop_assert!(later.range_g.0 <= later.peak_g && later.peak_g <= later.range_g.1);
            prop_assert!(near(later.peak_g * load, later.peak_stress.psi(), 1e-9));
            prop_assert_eq!(later.outside.is_empty(), later.method == Method::StressEnergy);
        }
    }

    #[test]
    fn one_layer_in_series_is_the_layer_alone(
        material in any_material(), load in 0.02..2.0f64, height in 6.0..48.0f64, thickness in 0.2..4.0f64,
    ) {
        let impact = impact(load, height);
        if let Some(alone) = shock(&impact, thickness, &material) {
            let layer = Layer { material: &material, thickness: inches(thickness), area: area(12.0) };
            let row = series_g(impact.fall(), &[layer], Hits::Repeated).expect("series");
            prop_assert!(near(row.peak_g, alone, 1e-9), "{} {alone}", row.peak_g);
        }
    }

    #[test]
    fn cutting_a_layer_in_two_changes_nothing(
        rows in any_layers(), cut in 0.1..0.9f64, pounds in 0.2..20.0f64, height in 6.0..48.0f64,
    ) {
        let fall = fall(pounds, height);
        if let Ok(whole) = series_g(&fall, &layers(&rows), Hits::Repeated) {
            let mut halves = rows.clone();
            let (material, thickness, in2) = halves.remove(0);
            halves.push((material.clone(), thickness * cut, in2));
            halves.push((material, thickness * (1.0 - cut), in2));
            let found = series_g(&fall, &layers(&halves), Hits::Repeated).expect("series");
            prop_assert!(near(found.peak_g, whole.peak_g, 1e-9), "{} {}", found.peak_g, whole.peak_g);
        }
    }

    #[test]
    fn layers_share_out_the_whole_energy_and_carry_one_force(
        rows in any_layers(), pounds in 0.2..20.0f64, height in 6.0..48.0f64,
    ) {
        let fall = fall(pounds, height);
        if let Ok(found) = series_g(&fall, &layers(&rows), Hits::Repeated) {
            let total: f64 = found.layers.iter().map(|layer| layer.energy_share).sum();
            prop_assert!((total - 1.0).abs() < 1e-9, "{total}");
            for (layer, (_, _, in2)) in found.layers.iter().zip(&rows) {
                prop_assert!(near(layer.peak_stress.psi() * in2, found.peak_g * pounds, 1e-9));
            }
        }
    }

    #[test]
    fn a_further_layer_never_raises_the_shock_and_order_does_not_matter(
        rows in any_layers(), further in any_layers(), pounds in 0.2..20.0f64, height in 6.0..48.0f64,
    ) {
        let fall = fall(pounds, height);
        if let Ok(before) = series_g(&fall, &layers(&rows), Hits::Repeated) {
            let mut all = rows;
            all.extend(further);
            let after = series_g(&fall, &layers(&all), Hits::Repeated).expect("series").peak_g;
            prop_assert!(after <= before.peak_g * (1.0 + 1e-12), "{after} {}", before.peak_g);
            all.reverse();
            let turned = series_g(&fall, &layers(&all), Hits::Repeated).expect("series").peak_g;
            prop_assert!(near(turned, after, 1e-9));
        }
    }

    #[test]
    fn a_spring_stops_a_fall_by_its_energy(
        rate in 1.0..500.0f64, pounds in 0.2..40.0f64, height in 1.0..48.0f64,
    ) {
        let spring = Spring::new(Stiffness::from_pounds_per_inch(rate)).expect("spring");
        let fall = fall(pounds, height);
        let bare = spring.deflection(&fall).inches();
        prop_assert!(near(0.5 * rate * bare * bare, pounds * height, 1e-9));
        prop_assert!(near(spring.peak_g(&fall) * bare, 2.0 * height, 1e-9));
        let full = spring.deflection_with_gravity(&fall).inches();
        prop_assert!(near(0.5 * rate * full * full, pounds * (height + full), 1e-9));
        prop_assert!(near(rate * full, pounds * (spring.peak_g_with_gravity(&fall) + 1.0), 1e-9));
    }

    #[test]
    fn springs_in_series_add_deflections_and_in_parallel_forces(
        rates in prop::collection::vec(1.0..500.0f64, 1..6), pounds in 0.2..40.0f64,
    ) {
        let springs: Vec<Spring> =
            rates.iter().map(|rate| Spring::new(Stiffness::from_pounds_per_inch(*rate)).expect("spring")).collect();
        let fall = fall(pounds, 10.0);
        let each: f64 = springs.iter().map(|spring| spring.static_deflection(&fall).inches()).sum();
        let row = Spring::series(&springs).expect("series");
        prop_assert!(near(row.static_deflection(&fall).inches(), each, 1e-9));
        let side = Spring::parallel(&springs).expect("parallel").rate().pounds_per_inch();
        prop_assert!(near(side, rates.iter().sum::<f64>(), 1e-9));
    }

    #[test]
    fn halving_a_pad_doubles_its_rate(modulus in 1.0..100.0f64, in2 in 1.0..100.0f64, thickness in 0.5..6.0f64) {
        let pad = |thickness| Spring::pad(Stress::from_psi(modulus), area(in2), inches(thickness)).expect("pad");
        let (whole, half) = (pad(thickness), pad(thickness / 2.0));
        prop_assert!(near(half.rate().pounds_per_inch(), 2.0 * whole.rate().pounds_per_inch(), 1e-9));
        let again = Spring::series(&[half, half]).expect("series").rate().pounds_per_inch();
        prop_assert!(near(again, whole.rate().pounds_per_inch(), 1e-9));
    }

    #[test]
    fn a_spring_bottoms_out_only_when_thin(
        rate in 1.0..500.0f64, pounds in 0.2..40.0f64, height in 1.0..48.0f64, thickness in 0.1..9.0f64,
    ) {
        let spring = Spring::new(Stiffness::from_pounds_per_inch(rate)).expect("spring");
        let fall = fall(pounds, height);
        let hard = spring.bottoms_out(&fall, inches(thickness), 0.6).expect("strain");
        prop_assert_eq!(hard, spring.deflection_with_gravity(&fall).inches() > 0.6 * thickness);
    }

    #[test]
    fn rebound_and_its_equivalent_height_are_inverse(bounce in 0.0..1.0f64, height in 0.5..60.0f64) {
        let rebound = Rebound::new(bounce).expect("rebound");
        let change = rebound.velocity_change(&fall(1.0, height));
        prop_assert!(change.inches_per_second() >= fall(1.0, height).speed().inches_per_second());
        prop_assert!(near(rebound.equivalent_height(change).expect("height").inches(), height, 1e-9));
    }

    #[test]
    fn damage_takes_both_speed_and_shock(
        critical in 10.0..300.0f64, limit in 15.0..150.0f64, change in 1.0..400.0f64, peak in 5.0..300.0f64,
    ) {
        let boundary = DamageBoundary::new(Speed::from_inches_per_second(critical), limit).expect("boundary");
        let found = boundary.damages(Speed::from_inches_per_second(change), peak).expect("pulse");
        prop_assert_eq!(found, change > critical && peak > limit);
    }

    #[test]
    fn drops_never_rise_with_weight_and_careful_is_never_under_usual(
        light in 0.01..150.0f64, more in 0.0..100.0f64,
    ) {
        let drops = Drops::published();
        for schedule in drops.schedules() {
            let height = |pounds: f64| schedule.drop(Mass::from_pounds(pounds), None).map(|drop| drop.height.inches());
            if let (Ok(low), Ok(high)) = (height(light), height(light + more)) {
                prop_assert!(high <= low, "{}", schedule.key);
            }
        }
        let design = |profile| {
            let profile = drops.profile(profile).expect("profile");
            drops.design(profile, Mass::from_pounds(light), None).expect("drop").design_height()
        };
        prop_assert!(design("light") <= design("usual") && design("usual") <= design("careful"));
    }

    #[test]
    fn a_worse_record_never_raises_a_class_and_a_longer_clean_one_never_lowers_it(
        sent in 0u32..2000, broken_share in 0.0..1.0f64, more in 0u32..500, at in 0usize..6,
    ) {
        let table = Fragilities::published();
        let class = table.iter().nth(at).expect("class");
        let broken = (f64::from(sent) * broken_share) as u32;
        let g = |broken, sent| {
            let tuned = class.tuned(broken, sent, Packed::Single, table.tuning()).expect("record");
            let bounds = table.tuning().least.value..=table.tuning().most.value;
            assert!(bounds.contains(&tuned.factor) && tuned.rate > 0.0 && tuned.rate < 1.0);
            tuned.fragility.g.value
        };
        let now = g(broken, sent);
        prop_assert!(g(broken, sent + more) >= now * (1.0 - 1e-12) || sent == 0);
        prop_assert!(g(broken + more, sent + more) <= now.max(class.g.value) * (1.0 + 1e-12));
        if broken < sent {
            prop_assert!(g(broken + 1, sent) <= now);
        }
    }

    #[test]
    fn a_layer_behind_a_wrap_is_just_enough(
        wrap in any_material(), fill in any_material(), pounds in 0.3..5.0f64, height in 12.0..36.0f64,
        allowed in 25.0..120.0f64, thickness in 0.2..1.5f64,
    ) {
        let fall = fall(pounds, height);
        let before = Layer { material: &wrap, thickness: inches(thickness), area: area(10.0) };
        if let Ok(needed) = needed_behind(&fall, allowed, &[before], &fill, area(30.0), Hits::Repeated) {
            let with = |inches_more: f64| {
                let last = Layer { material: &fill, thickness: inches(inches_more), area: area(30.0) };
                series_g(&fall, &[before, last], Hits::Repeated).ok().map(|found| found.peak_g)
            };
            if needed > Length::ZERO {
                let found = with(needed.inches());
                prop_assert!(found.is_some_and(|found| found <= allowed * (1.0 + 1e-9)), "{found:?} {needed:?}");
                prop_assert!(needed.inches() < 0.0011 || with(needed.inches() * 0.999).is_none_or(|found| found > allowed));
            } else {
                let alone = series_g(&fall, &[before], Hits::Repeated).expect("series").peak_g;
                prop_assert!(alone <= allowed);
            }
        }
    }
}

static DROPS: std::sync::OnceLock<Drops> = std::sync::OnceLock::new();

fn any_bits() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<u64>().prop_map(f64::from_bits),
        prop::sample::select(vec![
            0.0,
            -0.0,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            1e-300,
            1e300,
            -1.0
        ]),
        1e-6..1e4f64,
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_figure_makes_it_panic_or_answer_with_no_number(
        material in any_material(), figures in prop::array::uniform5(any_bits()),
    ) {
        let [pounds, in2, height, thickness, allowed] = figures;
        let mass = Mass::from_pounds(pounds);
        if let Ok(impact) = Impact::new(mass, area(in2), inches(height)) {
            if let Ok(found) = peak_g(&impact, inches(thickness), &material, Hits::Repeated) {
                prop_assert!(found.peak_g.is_finite() && found.peak_g > 0.0, "{}", found.peak_g);
            }
            if let Ok(needed) = needed_thickness(&impact, allowed, &material, Hits::Repeated) {
                prop_assert!(needed.thickness.inches() > 0.0 && needed.thickness.inches() <= 100.0);
            }
            let layer = Layer { material: &material, thickness: inches(thickness), area: area(in2) };
            let wide = Layer { area: area(allowed), ..layer };
            if let Ok(found) = series_g(impact.fall(), &[layer, wide], Hits::First) {
                prop_assert!(found.peak_g.is_finite() && found.peak_g > 0.0);
                let shown = found.working.to_string();
                prop_assert!(!shown.contains("NaN"), "{shown}");
            }
        }
        let _ = StressEnergy::through(
            (Stress::from_psi(pounds), allowed), (Stress::from_psi(in2), height), inches(thickness), inches(height),
        );
        let _ = Spring::new(Stiffness::from_pounds_per_inch(pounds)).map(|spring| spring.natural_frequency_hz(mass));
        let _ = cushion::PackageType::of([inches(in2), inches(height), inches(thickness)], mass);
        let drops = DROPS.get_or_init(Drops::published);
        for schedule in drops.schedules() {
            let _ = schedule.drop(mass, None);
        }
    }
}

//! What is refused, and what the message says would be right.

use cushion::{
    Caution, CushionError, Cushions, DamageBoundary, Drops, Fragilities, Hits, Impact, Layer, Method,
    Outside, Packed, Rebound, Speed, Spring, Stiffness, Stress, StressEnergy, factor_thickness,
    needed_behind, needed_thickness, peak_g, series_g,
};
use measure::{Area, Length, Mass};

fn inches(value: f64) -> Length {
    Length::from_inches(value)
}

fn area(in2: f64) -> Area {
    Area::from_square_feet(in2 / 144.0)
}

fn impact(pounds: f64, in2: f64, height: f64) -> Impact {
    Impact::new(Mass::from_pounds(pounds), area(in2), inches(height)).expect("impact")
}

#[track_caller]
fn refuses<T: std::fmt::Debug>(result: Result<T, CushionError>, says: &[&str]) {
    let message = result.expect_err("must be refused").to_string();
    for part in says {
        assert!(message.contains(part), "\"{message}\" should say \"{part}\"");
    }
}

#[test]
fn figures_that_are_no_measure_are_refused_by_name() {
    let pound = Mass::from_pounds(1.0);
    refuses(Impact::new(Mass::from_pounds(f64::NAN), area(9.0), inches(30.0)), &["weight can't be NaN lb"]);
    refuses(Impact::new(pound, area(0.0), inches(30.0)), &["bearing area can't be 0 in2", "right would be"]);
    refuses(Impact::new(pound, area(9.0), inches(-1.0)), &["drop height can't be -1 in"]);
    refuses(Impact::new(pound, area(9.0), inches(f64::INFINITY)), &["drop height can't be inf in"]);
    let cushions = Cushions::published();
    let foam = cushions.find("pe_plank").expect("foam");
    refuses(peak_g(&impact(1.0, 9.0, 30.0), Length::ZERO, foam, Hits::First), &["thickness can't be 0 in"]);
    refuses(
        needed_thickness(&impact(1.0, 9.0, 30.0), f64::NAN, foam, Hits::First),
        &["shock can't be NaN G"],
    );
    refuses(needed_thickness(&impact(1.0, 9.0, 30.0), 0.5, foam, Hits::First), &["1 to 10000 G"]);
    refuses(factor_thickness(0.9, inches(30.0), 50.0), &["cushion factor can't be 0.9"]);
    refuses(Rebound::new(1.01), &["restitution can't be 1.01"]);
    refuses(Spring::new(Stiffness::from_pounds_per_inch(0.0)), &["spring rate can't be 0 lb/in"]);
    refuses(Spring::series(&[]), &["no springs given"]);
    refuses(
        DamageBoundary::new(Speed::from_inches_per_second(-3.0), 50.0),
        &["critical velocity can't be -3"],
    );
    let class = Fragilities::published().find("fine").expect("class").clone();
    refuses(class.design_g(0.5), &["safety factor can't be 0.5"]);
}

#[test]
fn unknown_names_are_answered_with_the_nearest() {
    refuses(
        Cushions::published().find("buble_smal"),
        &["no cushion is called \"buble_smal\"", "bubble_small"],
    );
    refuses(Drops::published().schedule("ista_1b"), &["no drop schedule", "ista_1a"]);
    refuses(Drops::published().profile("carefull"), &["no drop profile", "careful"]);
    refuses(Fragilities::published().find("compct"), &["no fragility class", "compact"]);
    assert_eq!(
        Cushions::published().find("EPS loose fill, confined and overfilled").expect("name").key,
        "eps_fill"
    );
}

#[test]
fn a_parcel_over_the_schedule_is_refused_with_where_it_ends() {
    let drops = Drops::published();
    let usual = drops.profile(Drops::USUAL).expect("usual");
    refuses(drops.design(usual, Mass::from_pounds(151.0), None), &["ends at 150 lb", "151.0 lb"]);
    refuses(drops.design(usual, Mass::from_pounds(0.0), None), &["weight can't be 0 lb"]);
}

#[test]
fn profiles_hold_the_height_between_their_limits() {
    let drops = Drops::published();
    for (name, pounds, expected) in [
        ("usual", 9.0, 30.0),
        ("careful", 9.0, 36.0),
        ("careful", 69.9, 36.0),
        ("careful", 70.0, 12.0),
        ("light", 9.0, 18.0),
        ("light", 61.0, 12.0),
    ] {
        let profile = drops.profile(name).expect(name);
        let drop = drops.design(profile, Mass::from_pounds(pounds), None).expect("drop");
        assert_eq!(drop.design_height().inches().round(), expected, "{name} at {pounds} lb");
        assert!(drop.sequence.iter().all(|planned| planned.height <= drop.design_height()));
    }
    let own = drops.with_overrides("[profiles.usual]\nschedule = \"d4169_ii\"").expect("override");
    let drop = own.design(own.profile("usual").expect("usual"), Mass::from_pounds(9.0), None).expect("drop");
    assert_eq!(drop.design_height().inches().round(), 30.0, "twice 15 in, once");
}

#[test]
fn outside_its_validity_the_law_is_refused_and_the_door_names_the_factor_instead() {
    let cushions = Cushions::published();
    let bubble = cushions.find("bubble_large").expect("bubble");
    let load = Stress::from_psi(0.1);
    refuses(
        bubble.stress_energy_at(load, inches(0.45)),
        &["stress-energy method does not hold", "thinner than the 1 in"],
    );
    refuses(bubble.stress_energy_at(Stress::from_psi(0.01), inches(2.0)), &["outside the 0.03 to 0.25 psi"]);
    refuses(bubble.stress_energy_at(load, inches(5.0)), &["outside the 1 to 4 in"]);
    refuses(
        cushions.find("eps_fill").expect("fill").stress_energy_at(load, inches(2.0)),
        &["no stress-energy figures"],
    );
    assert!(bubble.stress_energy_at(load, inches(2.0)).is_ok());
    assert!(bubble.stress_energy_at(load, inches(1.0)).is_ok(), "an inch is enough");

    let thin = peak_g(&impact(1.2, 12.0, 30.0), inches(0.9), bubble, Hits::First).expect("G");
    assert_eq!(thin.method, Method::CushionFactor);
    assert!(matches!(thin.outside[..], [Outside::Thin { .. }]));
    let said = "cushion factor of bubble 1/2 in, built up, because 0.90 in is thinner than the 1 in";
    assert!(thin.working.to_string().contains(said), "{}", thin.working);
    // The high end of the factor is taken there: 5 instead of e a b = 4.51.
    let law = bubble.stress_energy().expect("pair").peak_g(load, inches(30.0), inches(0.9)).expect("G");
    assert!((thin.peak_g / law - 5.0 / bubble.stress_energy().expect("pair").cushion_factor()).abs() < 1e-9);

    let own = "[cushions.pe_plank]\ndensity_lb_ft3 = { value = 4 }";
    let dense = cushions.with_overrides(own).expect("override");
    let found =
        peak_g(&impact(7.0, 10.0, 30.0), inches(2.0), dense.find("pe_plank").expect("foam"), Hits::First);
    assert!(matches!(found.expect("G").outside[..], [Outside::Dense { .. }]));
}

#[test]
fn a_stiff_cushion_under_a_light_piece_is_never_enough_and_says_so() {
    let cushions = Cushions::published();
    let foam = cushions.find("pe_plank").expect("foam");
    let mug = impact(0.8, 10.0, 30.0);
    refuses(
        needed_thickness(&mug, 60.0, foam, Hits::First),
        &["no thickness of polyethylene", "0.080 psi", "softer"],
    );
    let feather = peak_g(&impact(0.2, 12.0, 30.0), inches(3.0), foam, Hits::First).expect("G");
    assert!(feather.cautions.iter().any(|caution| matches!(caution, Caution::TooStiff { .. })));
    let light = peak_g(&mug, inches(2.0), foam, Hits::First).expect("G");
    assert!(
        light.cautions.iter().any(|caution| matches!(caution, Caution::LightLoad { .. })),
        "{:?}",
        light.cautions
    );
}

#[test]
fn bottoming_out_is_flagged_and_hard_contact_is_refused() {
    let cushions = Cushions::published();
    let fill = cushions.find("eps_fill").expect("fill");
    let heavy = peak_g(&impact(6.0, 12.0, 30.0), inches(2.0), fill, Hits::First).expect("G");
    assert!(
        heavy.cautions.iter().any(|caution| matches!(caution, Caution::BottomsOut { .. })),
        "{:?}",
        heavy.cautions
    );
    refuses(peak_g(&impact(60.0, 1.0, 30.0), inches(0.5), fill, Hits::First), &["bottoms out", "10000 G"]);
    let layer = Layer { material: fill, thickness: inches(0.01), area: area(1.0) };
    let fall = *impact(60.0, 1.0, 30.0).fall();
    refuses(series_g(&fall, &[layer, layer], Hits::First), &["EPS loose fill", "bottoms out"]);
    refuses(series_g(&fall, &[], Hits::First), &["no layers given"]);
}

#[test]
fn slender_pads_paper_and_unknown_loads_carry_a_caution() {
    let cushions = Cushions::published();
    let cautions = |key: &str, in2: f64, thickness: f64| {
        let material = cushions.find(key).expect(key);
        peak_g(&impact(0.1 * in2, in2, 18.0), inches(thickness), material, Hits::Repeated)
            .expect("G")
            .cautions
    };
    let slender = |cautions: &[Caution]| cautions.iter().any(|one| matches!(one, Caution::Buckles { .. }));
    assert!(slender(&cautions("bubble_large", 7.0, 2.0)) && !slender(&cautions("bubble_large", 7.1, 2.0)));
    assert!(cautions("kraft", 20.0, 2.0).iter().any(|one| matches!(one, Caution::OneDrop { .. })));
    assert!(cautions("air_column", 20.0, 2.0).contains(&Caution::LoadUnknown));
}

#[test]
fn later_drops_on_paper_are_harder_by_the_stated_factor() {
    let cushions = Cushions::published();
    for (key, times) in [("kraft", 1.3), ("pad", 1.5), ("eps_moulded", 1.4), ("pe_plank", 1.0)] {
        let material = cushions.find(key).expect(key);
        let g = |hits| peak_g(&impact(6.0, 12.0, 18.0), inches(2.5), material, hits).expect("G").peak_g;
        assert!((g(Hits::Repeated) / g(Hits::First) - times).abs() < 1e-9, "{key}");
    }
}

#[test]
fn the_thinnest_sheet_is_reckoned_with() {
    let cushions = Cushions::published();
    let foam = cushions.find("foam_16").expect("foam");
    let found = peak_g(&impact(0.01, 12.0, 1.0), inches(0.003), foam, Hits::First).expect("G");
    assert!(found.peak_g > 100.0, "{}", found.peak_g);
}

#[test]
fn figures_at_odds_are_refused_with_both() {
    let cushions = Cushions::published();
    let own = |text: &str| cushions.with_overrides(text);
    refuses(
        own("[cushions.pe_plank]\na_psi = { value = 20 }"),
        &["cushion pe_plank", "give a cushion factor of 6.22"],
    );
    refuses(own("[cushions.pe_plank]\nbest_load_psi = { value = 0.5 }"), &["best load of 0.728 psi"]);
    refuses(own("[cushions.eps_fill]\na_psi = { value = 2 }"), &["one of a_psi and b_per_psi is missing"]);
    refuses(
        own("[cushions.eps_fill]\nfactor = { value = 4, low = 5 }"),
        &["factor is 4 but its range is 5 to 4"],
    );
    let classes = Fragilities::published();
    refuses(
        classes.with_overrides("[classes.fine]\ng = { value = 60 }"),
        &["class fine", "weakest part stands 45"],
    );
    let drops = Drops::published();
    let rising = "[schedules.mine]\nname = \"mine\"\nbound = \"from\"\nsteps = [{ lb = 0, height_in = 9 }, { lb = 5, height_in = 12 }]";
    refuses(drops.with_overrides(rising), &["schedule mine", "never rise"]);
    refuses(drops.with_overrides("[profiles.light]\nleast_in = 20"), &["least_in is over most_in"]);
    refuses(
        drops.with_overrides("[profiles.light]\nschedule = \"ista_1\""),
        &["no drop schedule", "ista_1a"],
    );
}

#[test]
fn slips_in_data_files_are_never_passed_over() {
    let cushions = Cushions::published();
    let own = |text: &str| cushions.with_overrides(text);
    refuses(own("[cushions.mine"), &["cushions file can't be read"]);
    refuses(own("[cushion.mine]"), &["\"cushion\" is not known here", "cushions"]);
    refuses(own("[cushions.mine]\nname = \"mine\""), &["cushion mine", "factor"]);
    refuses(own("[cushions.eps_fill]\nfactr = { value = 4 }"), &["cushion eps_fill", "factr", "factor"]);
    refuses(own("[cushions.eps_fill]\nfactor = { value = nan }"), &["factor can't be NaN", "1 to 100"]);
    refuses(own("[cushions.eps_fill]\nfactor = { value = 0 }"), &["factor can't be 0"]);
    refuses(own("[cushions.eps_fill]\nfactor = { low = 3 }"), &["cushion eps_fill", "value"]);
    refuses(own("[cushions.eps_fill]\nfactor = \"4\""), &["cushion eps_fill", "invalid type"]);
    refuses(own("[cushions.eps_fill]\nfactor = { value = 4, flag = \"sure\" }"), &["\"sure\"", "judgement"]);
    refuses(Fragilities::read("[classes]"), &["[rules] is missing"]);
    refuses(
        Fragilities::published().with_overrides("[classes.fine.parts]\near = { value = 50 }"),
        &["\"ear\"", "handle"],
    );
    refuses(
        Drops::published().with_overrides("[schedules.ista_1a]\nbound = \"at\""),
        &["\"at\"", "\"over\""],
    );
}

#[test]
fn what_a_person_states_replaces_the_figure_and_its_source() {
    let own = Cushions::published()
        .with_overrides(
            "[cushions.eps_fill]\nfactor = { value = 3.8 }\n[cushions.my_foam]\nfactor = { value = 3 }",
        )
        .expect("override");
    let fill = own.find("eps_fill").expect("fill");
    assert_eq!((fill.factor.value, fill.factor.high), (3.8, None));
    assert_eq!(fill.factor.origin.flag, protection::Flag::Own);
    assert!(fill.best_load_psi.is_some(), "what is not restated stays");
    assert_eq!(own.find("my_foam").expect("foam").name, "my_foam");
}

#[test]
fn a_table_of_steps_with_an_end_knows_nothing_at_its_end() {
    let step = "[[steps]]\nname = \"only\"\nalso = \"only\"\nfrom_g = 20\nto_g = 100\nexamples = \"none\"\n";
    let own = Fragilities::published().with_overrides(step).expect("override");
    assert_eq!(own.classic(99.9).map(|step| step.name.as_str()), Some("only"));
    assert_eq!(own.classic(100.0), None);
    refuses(Fragilities::published().with_overrides(&step.repeat(2)), &["step only", "without gaps"]);
}

#[test]
fn nothing_is_needed_behind_a_wrap_that_is_enough() {
    let cushions = Cushions::published();
    let fill = cushions.find("eps_fill").expect("fill");
    let wrap = Layer { material: fill, thickness: inches(5.0), area: area(8.0) };
    let fall = *impact(0.8, 8.0, 30.0).fall();
    let needed =
        |allowed| needed_behind(&fall, allowed, &[wrap], fill, area(8.0), Hits::First).expect("thickness");
    assert_eq!(needed(60.0), Length::ZERO);
    // 25 G is 2.5 psi: e = 1.2 ln(1 + (2.5 / 5.4)2 x 3.9213) / 1.59362 = 0.45937 psi, so 0.1 x 30 / e is the whole.
    assert!((needed(25.0).inches() - 1.531).abs() < 1e-3, "{:?}", needed(25.0));
    let foam = cushions.find("pe_plank").expect("foam");
    let stiff = needed_behind(&fall, 20.0, &[], foam, area(20.0), Hits::First);
    refuses(stiff, &["no thickness of polyethylene"]);
}

#[test]
fn no_law_goes_through_points_that_do_not_rise() {
    let through = |s1: f64, g1: f64, s2: f64, g2: f64| {
        let point = |s, g| (Stress::from_psi(s), g);
        StressEnergy::through(point(s1, g1), point(s2, g2), inches(24.0), inches(2.0))
    };
    assert!(through(0.4, 40.0, 1.2, 40.0).is_ok());
    refuses(through(0.4, 40.0, 0.4, 40.0), &["no stress-energy law goes through"]);
    refuses(through(0.4, 40.0, 1.2, 10.0), &["10 G at 1.2 psi", "rises"]);
}

#[test]
fn a_record_moves_a_class_by_the_stated_method() {
    let table = Fragilities::published();
    let compact = table.find("compact").expect("class");
    let tuned = |broken, sent| compact.tuned(broken, sent, Packed::Single, table.tuning());
    refuses(tuned(3, 2), &["3 of 2 can't be broken"]);
    assert_eq!(tuned(0, 0).expect("nothing").fragility, *compact);
    // A record just as expected moves nothing: 1 of 50 at a planning rate of 2 %.
    assert!((tuned(1, 50).expect("record").factor - 1.0).abs() < 1e-12);
    // 5 of 50: rate (0.02 x 50 + 5) / 100 = 0.06; logits -2.7515 and -3.8918; exp(-1.1403 / 4) = 0.7520.
    let worse = tuned(5, 50).expect("record");
    assert!((worse.rate - 0.06).abs() < 1e-12 && (worse.factor - 0.7520).abs() < 5e-5, "{}", worse.factor);
    assert!((worse.fragility.g.value - 75.0 * worse.factor).abs() < 1e-9);
    assert_eq!(worse.fragility.g.origin.flag, protection::Flag::Own);
    assert!(worse.working.to_string().contains("(0.02 x 50 + 5) / (50 + 50) = 0.06"), "{}", worse.working);
    assert_eq!(tuned(50, 50).expect("record").factor, table.tuning().least.value);
    assert_eq!(tuned(0, 5000).expect("record").factor, table.tuning().most.value);
    let double = compact.tuned(1, 50, Packed::Double, table.tuning()).expect("record");
    assert!(double.factor < 1.0, "one in fifty is worse than planned for a box in a box");
}

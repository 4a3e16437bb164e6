//! Laws of board limits, stacking and double boxes.

use std::sync::LazyLock;

use measure::{Length, Mass, Money};
use proptest::prelude::*;
use protection::{
    AppliesTo, Board, BoardFacts, BoardRules, BoxStyle, CartonGrade, CushionRules, DoubleBoxReason, Flag,
    Grades, Limit, LimitRule, LoadAbove, LoadClass, Mckee, Pattern, Reach, Stacking, Storage, Wall, binding,
    board_check, double_box_reasons, max_gross, mckee, stacking,
};

static GRADES: LazyLock<Grades> = LazyLock::new(Grades::published);
static RULES: LazyLock<BoardRules> = LazyLock::new(BoardRules::published);
static CUSHION: LazyLock<CushionRules> = LazyLock::new(CushionRules::published);

const LOADS: [LoadClass; 3] = [LoadClass::Easy, LoadClass::Average, LoadClass::Difficult];

fn check(
    grade: &CartonGrade,
    sides: [f64; 3],
    pounds: f64,
    load: LoadClass,
    reused: bool,
    dense: bool,
) -> Vec<Limit> {
    let inside = sides.map(Length::from_inches);
    let facts = BoardFacts {
        board: Board::Corrugated(grade),
        inside,
        outside: inside.map(|side| side + Length::from_inches(0.5)),
        gross: Mass::from_pounds(pounds),
        contents: Mass::from_pounds(pounds * 0.9),
        load,
        dense,
        reused,
        stacking: None,
    };
    board_check(&facts, &RULES).expect("checked")
}

fn stack(ect: f64, load: f64, storage: &Storage) -> Stacking {
    let carton = [16.0, 12.0, 12.0].map(Length::from_inches);
    let strength = mckee(Mckee::Simplified, ect, Length::from_inches(0.16), carton, BoxStyle::RegularSlotted)
        .expect("strength");
    let load = LoadAbove::Mass(Mass::from_pounds(load));
    stacking(strength, carton[2], load, storage, &RULES).expect("stacked")
}

fn any_storage() -> impl Strategy<Value = Storage> {
    let pattern = prop_oneof![
        Just(Pattern::Column),
        Just(Pattern::ColumnMisaligned),
        Just(Pattern::Interlocked),
        (0.0..39.0f64).prop_map(|percent| Pattern::ColumnOffset { percent }),
    ];
    (0.0..400.0f64, 0.0..100.0f64, pattern, prop::array::uniform5(any::<bool>())).prop_map(
        |(days, humidity_percent, pattern, [cycles, overhang, gaps, rough, reused])| Storage {
            days,
            humidity_percent,
            humidity_cycles: cycles,
            pattern,
            overhang,
            deck_gaps: gaps,
            rough_handling: rough,
            reused,
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn within_a_wall_a_stronger_board_never_allows_less(
        wall in prop::sample::select(Wall::ALL.to_vec()), sides in prop::array::uniform3(2.0..40.0f64),
        pounds in 0.1..200.0f64, load in prop::sample::select(LOADS.to_vec()), reused: bool, dense: bool,
    ) {
        let grades = &*GRADES;
        let mut rows: Vec<&CartonGrade> = grades.iter().filter(|grade| grade.wall == wall).collect();
        rows.sort_by_key(|grade| grade.burst_psi);
        for pair in rows.windows(2) {
            let used = |grade| {
                binding(&check(grade, sides, pounds, load, reused, dense)).map(|limit| limit.reach.share())
            };
            prop_assert!(used(pair[1]) <= used(pair[0]), "{} {}", pair[0].name, pair[1].name);
        }
    }

    #[test]
    fn the_first_limit_binds_and_the_others_follow_in_order(
        sides in prop::array::uniform3(2.0..40.0f64), pounds in 0.1..200.0f64,
        load in prop::sample::select(LOADS.to_vec()), reused: bool, dense: bool,
    ) {
        for grade in GRADES.iter() {
            let limits = check(grade, sides, pounds, load, reused, dense);
            prop_assert_eq!(binding(&limits), limits.first());
            prop_assert!(limits.windows(2).all(|pair| pair[0].reach.share() >= pair[1].reach.share()));
            let mut backwards = limits.clone();
            backwards.reverse();
            prop_assert_eq!(binding(&backwards), limits.first());
        }
    }

    #[test]
    fn the_lowest_gross_limit_is_that_of_the_carton(
        pounds in 0.1..200.0f64, load in prop::sample::select(LOADS.to_vec()),
    ) {
        let sides = [8.0, 8.0, 8.0];
        for grade in GRADES.iter() {
            let outside = sides.map(|side| Length::from_inches(side + 0.5));
            let Ok(most) = max_gross(grade, outside, load) else { continue };
            let lowest = check(grade, sides, pounds, load, false, false)
                .iter()
                .filter_map(|limit| match limit.reach {
                    Reach::Gross { most, .. } => Some(most.pounds()),
                    Reach::Size { .. } | Reach::Pressure { .. } | Reach::Load { .. } | Reach::Never => None,
                })
                .fold(f64::INFINITY, f64::min);
            prop_assert!((lowest - most.mass.pounds()).abs() < 1e-9);
        }
    }

    #[test]
    fn a_carton_used_before_never_allows_more(
        sides in prop::array::uniform3(2.0..20.0f64), pounds in 0.1..100.0f64,
        load in prop::sample::select(LOADS.to_vec()),
    ) {
        for grade in GRADES.iter() {
            let used = |reused| {
                binding(&check(grade, sides, pounds, load, reused, false)).map(|limit| limit.reach.share())
            };
            prop_assert!(used(true) >= used(false));
        }
    }

    #[test]
    fn what_is_needed_and_what_is_borne_agree(
        ect in 20.0..112.0f64, load in 0.1..2000.0f64, storage in any_storage(),
    ) {
        let one = stack(ect, load, &storage);
        prop_assert_eq!(one.stands(), one.load_lbf <= one.bears_lbf);
        prop_assert!((one.needed_lbf / one.strength.lbf * one.margin - 1.0).abs() < 1e-9);
        prop_assert!(one.left_lbf <= one.strength.lbf && one.needed_lbf >= load * one.safety_factor * (1.0 - 1e-12));
        prop_assert!(one.shares.iter().all(|one| (0.0..=1.0).contains(&one.share)));
    }

    #[test]
    fn worse_keeping_never_bears_more(
        storage in any_storage(), more_days in 0.0..200.0f64, damper in 0.0..50.0f64, heavier in 1.0..3.0f64,
    ) {
        let one = stack(32.0, 50.0, &storage);
        let longer = Storage { days: storage.days + more_days, ..storage };
        let damp = Storage { humidity_percent: (storage.humidity_percent + damper).min(100.0), ..storage };
        let cycles = Storage { humidity_cycles: true, ..storage };
        let rough = Storage { rough_handling: true, ..storage };
        let hung = Storage { overhang: true, ..storage };
        let gaps = Storage { deck_gaps: true, ..storage };
        let used = Storage { reused: true, ..storage };
        for worse in [longer, damp, cycles, rough, hung, gaps, used] {
            prop_assert!(stack(32.0, 50.0, &worse).bears_lbf <= one.bears_lbf, "{worse:?}");
        }
        prop_assert!(stack(32.0, 50.0 * heavier, &storage).margin <= one.margin);
        prop_assert!(stack(32.0 * heavier, 50.0, &storage).margin >= one.margin);
    }

    #[test]
    fn no_figure_however_odd_makes_it_fall_over(
        ect in prop::num::f64::ANY, sides in prop::array::uniform3(prop::num::f64::ANY),
        pounds in prop::num::f64::ANY, days in prop::num::f64::ANY, percent in prop::num::f64::ANY,
    ) {
        let rules = &*RULES;
        let carton = sides.map(Length::from_inches);
        let full = Mckee::Full { along_lb_in: days, across_lb_in: percent };
        for formula in [Mckee::Simplified, Mckee::Exponent, full] {
            let made = mckee(formula, ect, Length::from_inches(0.16), carton, BoxStyle::RegularSlotted);
            let strength = made.unwrap_or(protection::CompressionStrength {
                lbf: 562.0, formula, shallow_under: None,
            });
            let pattern = Pattern::ColumnOffset { percent };
            let storage = Storage { days, humidity_percent: percent, pattern, ..Storage::DRY_COLUMN };
            let gross_each = Mass::from_pounds(pounds);
            for load in [
                LoadAbove::Mass(gross_each),
                LoadAbove::Boxes { count: u32::MAX, gross_each },
                LoadAbove::StackHeight { height: carton[0], gross_each },
            ] {
                if let Ok(one) = stacking(strength, carton[2], load, &storage, rules) {
                    prop_assert!(one.margin >= 0.0 && one.load_lbf >= 0.0 && !one.needed_lbf.is_nan());
                }
            }
        }
        let grades = &*GRADES;
        let gross = Mass::from_pounds(pounds);
        let facts = BoardFacts {
            board: Board::Corrugated(grades.usual()), inside: carton, outside: carton, gross, contents: gross,
            load: LoadClass::Difficult, dense: true, reused: true, stacking: None,
        };
        if let Ok(limits) = board_check(&facts, rules) {
            prop_assert!(limits.iter().all(|limit| !limit.text().is_empty()));
        }
        let _ = rules.size_notes(carton, gross);
        let cushion = &*CUSHION;
        let _ = double_box_reasons(Some(percent), None, false, cushion);
        for rule in cushion.walls() {
            prop_assert!(rule.beside(carton[0]).used >= rule.least);
        }
    }

    #[test]
    fn the_stricter_of_rule_and_computation_is_used(computed in 0.0..6.0f64) {
        for rule in CUSHION.walls() {
            let beside = rule.beside(Length::from_inches(computed));
            prop_assert!(beside.used >= beside.computed && beside.used >= rule.least);
            prop_assert_eq!(beside.rule_binds, beside.used > beside.computed);
        }
    }
}

#[test]
fn a_stack_counts_only_the_boxes_above() {
    let load = |stack_in: f64| {
        let carton = [16.0, 12.0, 12.0].map(Length::from_inches);
        let strength =
            mckee(Mckee::Simplified, 32.0, Length::from_inches(0.16), carton, BoxStyle::RegularSlotted)
                .expect("strength");
        let height = Length::from_inches(stack_in);
        let load = LoadAbove::StackHeight { height, gross_each: Mass::from_pounds(20.0) };
        stacking(strength, carton[2], load, &Storage::DRY_COLUMN, &BoardRules::published()).expect("stacked")
    };
    assert!((load(96.0).load_lbf - 140.0).abs() < 1e-9, "eight boxes, seven of them above");
    assert!((load(95.9).load_lbf - 120.0).abs() < 1e-9);
    assert_eq!(load(3.0).load_lbf, 0.0);
    assert_eq!((load(3.0).margin, load(3.0).needed_lbf), (f64::INFINITY, 0.0));
}

#[test]
fn a_stack_that_is_too_heavy_is_among_the_limits_and_names_what_weakens_it() {
    let storage = Storage { pattern: Pattern::Interlocked, humidity_percent: 80.0, ..Storage::DRY_COLUMN };
    let stacked = stack(32.0, 200.0, &storage);
    assert!(!stacked.stands());
    assert_eq!(stacked.weakest().map(|one| one.what.as_str()), Some("stacked like bricks"));
    let grades = Grades::published();
    let inside = [12.0; 3].map(Length::from_inches);
    let facts = BoardFacts {
        board: Board::Corrugated(grades.usual()),
        inside,
        outside: inside,
        gross: Mass::from_pounds(20.0),
        contents: Mass::from_pounds(19.0),
        load: LoadClass::Difficult,
        dense: false,
        reused: false,
        stacking: Some(&stacked),
    };
    let limits = board_check(&facts, &BoardRules::published()).expect("checked");
    let first = binding(&limits).expect("a limit");
    assert_eq!(first.rule, LimitRule::Stacking);
    assert!(first.note.as_ref().is_some_and(|note| note.contains("stacked like bricks")));
}

#[test]
fn a_used_carton_keeps_a_share_of_the_limit_that_binds_a_new_one() {
    let grades = Grades::published();
    let limits = check(grades.usual(), [12.0; 3], 20.0, LoadClass::Difficult, true, false);
    let first = binding(&limits).expect("a limit");
    assert_eq!(first.rule, LimitRule::Reuse);
    let Reach::Gross { most, .. } = first.reach else { panic!("a gross limit") };
    assert!((most.pounds() - 21.0).abs() < 1e-9, "70 % of 30 lb");
    assert!(first.note.as_ref().is_some_and(|note| note.contains("parcel practice")));
    let own = BoardRules::published().with_overrides("[reuse]\nshare = { value = 0.5 }\n").expect("read");
    assert_eq!((own.reused.value, own.reused.origin.flag), (0.5, Flag::Own));
}

#[test]
fn every_check_of_a_used_carton_is_there_in_order() {
    let rules = BoardRules::published();
    let keys: Vec<&str> = rules.reuse_checks().map(|check| check.key.as_str()).collect();
    assert_eq!(keys, ["rigid", "flaps", "punctures", "labels", "hazard_marks", "kind"]);
}

#[test]
fn size_notes_come_when_their_bound_is_passed_and_not_at_it() {
    let rules = BoardRules::published();
    let notes = |sides: [f64; 3], pounds: f64| -> Vec<String> {
        let sides = sides.map(Length::from_inches);
        rules.size_notes(sides, Mass::from_pounds(pounds)).iter().map(|note| note.key.clone()).collect()
    };
    assert!(notes([12.0; 3], 20.0).is_empty());
    assert!(notes([28.0, 20.0, 20.0], 70.0).is_empty(), "108 in of length and girth, 68 united");
    assert_eq!(notes([28.1, 20.0, 20.0], 20.0), ["postal_usual"]);
    assert_eq!(notes([12.0; 3], 70.1), ["heavy_label", "postal_most"]);
    assert_eq!(notes([40.0, 25.0, 25.0], 20.0), ["certificate", "postal_most", "postal_usual"]);
    assert_eq!(notes([108.0, 2.0, 2.0], 20.0), ["certificate", "postal_usual"], "108 in long are taken");
    assert_eq!(notes([108.1, 2.0, 2.0], 20.0), ["carrier_most", "certificate", "postal_usual"]);
    assert_eq!(notes([66.0, 25.0, 25.0], 20.0).len(), 4, "166 in of length and girth");
    assert_eq!(notes([12.0; 3], 150.1), ["carrier_most", "heavy_label", "postal_most"]);
    assert_eq!(notes([f64::NAN; 3], 20.0).len(), 4, "a size that is no number is not hoped to be small");
}

#[test]
fn a_second_box_is_advised_for_weak_pieces_high_value_or_a_used_carton() {
    let rules = CushionRules::published();
    let why = |g, cents: i64, reused| double_box_reasons(g, Some(Money::from_cents(cents)), reused, &rules);
    assert!(why(Some(40.1), 9_999, false).is_empty() && why(None, 0, false).is_empty());
    assert!(matches!(why(Some(40.0), 0, false)[..], [DoubleBoxReason::Fragile { .. }]));
    assert!(matches!(why(None, 10_000, false)[..], [DoubleBoxReason::HighValue { .. }]));
    assert_eq!(why(None, 0, true), [DoubleBoxReason::Reused]);
    let all = why(Some(35.0), 20_000, true);
    assert_eq!(all.len(), 3);
    assert!(all[0].text().contains("35 G") && all[1].text().contains("200.00"), "{all:?}");
    assert_eq!(double_box_reasons(Some(f64::NAN), None, false, &rules).len(), 1);
}

#[test]
fn rules_about_the_same_goods_come_strictest_first() {
    let rules = CushionRules::published();
    let names: Vec<&str> =
        rules.walls_for(AppliesTo::Fragile).iter().map(|rule| rule.name.as_str()).collect();
    assert_eq!(names, ["rule_of_three", "carrier", "insurer", "pack_and_ship", "association"]);
}

#[test]
fn a_parcel_limit_of_the_persons_own_goes_before_both_sources() {
    let grades = Grades::published()
        .with_overrides("[grades.\"44 ECT\"]\nparcel_lb = { value = 45, flag = \"own\" }\n")
        .expect("read");
    let figure = grades.find("44 ECT").expect("grade").parcel_limit().expect("derated");
    assert_eq!((figure.value, figure.origin.flag), (45.0, Flag::Own));
}

#[test]
fn files_of_board_and_cushion_rules_are_read_strictly() {
    let board = BoardRules::published();
    let cushion = CushionRules::published();
    let says = |message: String, part: &str| assert!(message.contains(part), "\"{message}\": \"{part}\"");
    let board_says = |text: &str, part: &str| {
        says(board.with_overrides(text).expect_err("refused").to_string(), part);
    };
    board_says("[reuse]\nshare = { value = 0 }\n", "0.01");
    board_says("[stacking]\noverhung = { value = 0.5 }\n", "did you mean overhang?");
    board_says("[stacking]\nsafety_factor = { value = 0.5 }\n", "from 1");
    board_says("[size_notes.mine]\nwords = \"long\"\n", "length_girth_in");
    board_says("[postal]\ndense_upper_lb = { value = 10 }\n", "at least the lower step");
    board_says("[reuse_checks.mine]\norder = 9\n", "words is missing");
    says(BoardRules::read("").expect_err("refused").to_string(), "stacking is missing");
    let cushion_says = |text: &str, part: &str| {
        says(cushion.with_overrides(text).expect_err("refused").to_string(), part);
    };
    cushion_says("[walls.mine]\nin_low = 2\n", "applies_to");
    cushion_says("[walls.mine]\nin_low = 3\nin_high = 2\napplies_to = \"fragile\"\n", "at least in_low");
    cushion_says("[walls.mine]\nin_low = 3\napplies_to = \"fragil\"\n", "fragile");
    cushion_says("[double_boxes.mine]\nin_low = 3\nprofiles = \"careful\"\n", "a list of names");
    cushion_says("[advice]\nusual = \"carier\"\n", "carrier");
    says(cushion.wall("carier").expect_err("refused").to_string(), "carrier");
}

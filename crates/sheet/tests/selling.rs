//! What the keys of selling and buying become in a job.

mod desk;

use desk::{TODAY, library, read};
use listing::{Belonging, Maker, Period};
use measure::Money;
use pricing::{Assumptions, ErrorLaw, Grade};
use sheet::Problem;
use trade::{Buying, Cost, Find, Job, LotsBy, Market};

const HEAD: &str =
    "title = \"t\"\n[post]\nfrom = \"453\"\nto = [\"100\"]\ncard = \"ground_advantage_commercial\"\n";
const MUGS: &str = "[[find]]\nname = \"mugs\"\nform = \"diner_mug\"\ncount = 6\n";

const VENUES: &str = r#"
[venues.open_market]
fee_on_item_percent = 10
[venues.barn_door]
name = "barn door"
fee_on_item_percent = 0
fee_on_shipping_percent = 0
fee_on_tax_percent = 0
fixed_fee_per_order = 0
title_limit = 60
photo_limit = 4
offers = true
sales_tax_by = "seller"
source = "a board at the door"
flag = "published"
"#;

fn files(name: &str) -> Result<Vec<u8>, String> {
    match name {
        "venues.toml" => Ok(VENUES.into()),
        "misspelt.toml" => Ok("[venues.open_market]\ntitel_limit = 80\n".into()),
        "torn.toml" => Ok("[venues.open_market\n".into()),
        "latin.toml" => Ok(vec![b'#', 0xff]),
        "comps.csv" => Ok("kind,price,shipping,pieces\nsold,17.50,8.25,2\nsold,12,,1\n".into()),
        "lines.csv" => Ok("comp\n2 for 17.50 + 8.25\n\"unsold 35, 90d\"\n".into()),
        "torn.csv" => Ok("kind,price,pieces\nsold,17.50,2\nsodl,12,1\nsold,0,1\n".into()),
        "hopeless.csv" => Ok(format!("price\n{}", "x\n".repeat(30)).into()),
        "empty.csv" => Ok("price\n".into()),
        "many.csv" => Ok(format!("price\n{}", "17.50\n".repeat(1000)).into()),
        other => Err(format!("nothing is called {other}")),
    }
}

fn with_files(text: &str) -> Result<Job, Vec<Problem>> {
    sheet::read(text, &library(&files), TODAY)
}

fn right(text: &str) -> Job {
    with_files(text).unwrap_or_else(|problems| panic!("{text}\n{}", problems[0]))
}

fn only(read: Result<Job, Vec<Problem>>) -> Problem {
    let mut problems = read.expect_err("the sheet is refused");
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.remove(0)
}

fn market(keys: &str) -> Market {
    right(&format!("{HEAD}[market]\n{keys}\n{MUGS}per_lot = 2\n")).market
}

fn find(keys: &str) -> Find {
    right(&format!("{HEAD}{MUGS}{keys}\n")).finds.remove(0)
}

#[test]
fn without_market_and_buying_everything_is_as_usual() {
    let told = right(&format!("{HEAD}{MUGS}per_lot = 2\n")).market;
    assert_eq!(told, Market::usual(told.venue.clone()));
    assert_eq!(told, market(""), "an empty table changes nothing");
    let buying = right(&format!("{HEAD}[buying]\n{MUGS}per_lot = 2\n")).market.buying;
    assert_eq!(buying, Buying::default());
}

#[test]
fn every_key_of_the_market_changes_its_own_figure_and_no_other() {
    let usual = market("");
    type Change = fn(&mut Market);
    let cases: [(&str, Change); 21] = [
        ("buyers_tax = \"7 %\"", |m| m.buyers_tax = 0.07),
        ("damage = 0.03", |m| m.damage = 0.03),
        ("ask = 1.2", |m| m.ask_ratio = 1.2),
        ("listing_minutes = 20", |m| m.listing_minutes = 20.0),
        ("holding = 0.02", |m| m.holding = 0.02),
        ("most_sizes = 3", |m| m.most_sizes = Some(3)),
        ("spare = 2", |m| m.spare = 2),
        ("half_life = 90", |m| m.assumptions.half_life_days = 90.0),
        ("offer_floor = \"70 %\"", |m| m.assumptions.offer_floor = 0.7),
        ("days_at_median = 30", |m| m.assumptions.mean_days_at_median = 30.0),
        ("price_fall = 0.3", |m| m.assumptions.prior.beta_mean = -0.3),
        ("price_fall_spread = 0.1", |m| m.assumptions.prior.beta_sd = 0.1),
        ("spread = 0.5", |m| m.assumptions.prior.ln_sigma_mean = 0.5_f64.ln()),
        ("errors = \"normal\"", |m| m.assumptions.error_law = ErrorLaw::Normal),
        ("unstated_shipping = \"8 – 12.50\"", |m| {
            m.assumptions.unstated_shipping = (Money::from_cents(800), Money::from_cents(1250));
        }),
        ("ask_exponent = 4", |m| m.time.ask_exponent = 4.0),
        ("prior_sales = 2", |m| m.time.prior_sales = 2.0),
        ("prior_days = 100", |m| m.time.prior_days = 100.0),
        ("size_falloff = 0.5", |m| m.demand.gamma = 0.5),
        ("odd_sizes = \"50 %\"", |m| m.demand.odd = 0.5),
        ("horizon = 120", |m| m.demand.horizon_days = 120.0),
    ];
    for (key, change) in cases {
        let mut wanted = usual.clone();
        change(&mut wanted);
        assert_ne!(wanted, usual, "{key} is no change");
        assert_eq!(market(key), wanted, "{key}");
    }
    let counted = market("sell_through = { sold = 18, days = 90, on_offer = 12 }").sell_through;
    assert_eq!(counted.map(|counted| (counted.sold(), counted.ratio())), Some((18, 1.5)));
    let grades = market("grades = { A = 0.3, D = -0.1 }").assumptions.grades;
    let before = Assumptions::default().grades;
    assert_eq!((grades.a, grades.b, grades.c, grades.d, grades.e), (0.3, before.b, before.c, -0.1, before.e));
    assert_eq!(market("natural_sizes = [3, 1, 3]").demand.natural, [1, 3].into());
}

#[test]
fn every_key_of_buying_changes_its_own_figure_and_no_other() {
    type Change = fn(&mut Buying);
    let cases: [(&str, Change); 7] = [
        ("return = \"150 %\"", |b| b.return_wanted = 1.5),
        ("return = 0.25", |b| b.return_wanted = 0.25),
        ("least_profit = \"$20\"", |b| b.least_profit = 20.0),
        ("loss_risk = \"5 %\"", |b| b.loss_risk = 0.05),
        ("guard = \"30 %\"", |b| b.guard = 0.3),
        ("shop_tax = \"8 %\"", |b| b.shop_tax = 0.08),
        ("horizon = 180", |b| b.horizon_days = 180.0),
    ];
    for (key, change) in cases {
        let mut wanted = Buying::default();
        change(&mut wanted);
        let text = format!("{HEAD}[buying]\n{key}\n{MUGS}per_lot = 2\n");
        assert_eq!(right(&text).market.buying, wanted, "{key}");
    }
}

#[test]
fn thirds_typed_short_are_orders_and_add_up_afterwards() {
    let mix = market("takes = [\"33.3 %\", 0.333, \"33.4%\"]").demand.mix;
    assert!((mix.shares().map(|(_, share)| share).sum::<f64>() - 1.0).abs() < 1e-12);
    let mix = market("takes = [\"33.3 %\", \"33.3 %\", \"33.3 %\"]").demand.mix;
    assert!(mix.shares().all(|(_, share)| (share - 1.0 / 3.0).abs() < 1e-12));
}

#[test]
fn venues_of_ones_own_are_read_and_named_in_any_spelling() {
    let barn = market("venues = \"venues.toml\"\nvenue = \"Barn-Door\"");
    assert_eq!((barn.venue.id.as_str(), barn.venue.title_limit), ("barn_door", 60));
    let usual = market("venues = \"venues.toml\"");
    assert_eq!(usual.venue.id, "open_market");
    assert!((usual.fees().share_of_item - 0.10).abs() < 1e-12, "the file changes the fee it states");
    assert!((usual.fees().share_of_shipping - 0.125).abs() < 1e-12, "and no other");
    let text = format!("{HEAD}[market]\nvenues = \"venues.toml\"\nvenue = \"barn dor\"\n{MUGS}per_lot = 2\n");
    let problem = only(with_files(&text));
    assert_eq!((problem.field.as_str(), problem.right.as_str()), ("market.venue", "\"barn_door\""));
}

#[test]
fn a_venues_file_that_fails_is_told_once_where_it_is_named() {
    for (file, says, wanted) in [
        ("misspelt.toml", "titel_limit", "title_limit"),
        ("torn.toml", "line 1", "docs/venues.md"),
        ("latin.toml", "not UTF-8", "venues = "),
        ("none.toml", "nothing is called none.toml", "venues = "),
    ] {
        let keys = format!("venues = \"{file}\"\nvenue = \"barn door\"");
        let problem = only(with_files(&format!("{HEAD}[market]\n{keys}\n{MUGS}per_lot = 2\n")));
        assert_eq!((problem.field.as_str(), problem.line), ("market.venues", 7));
        assert!(problem.message.contains(says) && problem.right.contains(wanted), "{problem}");
        assert!(!problem.message.contains("right would be") && !problem.message.contains(['\n', '|']));
    }
}

#[test]
fn a_table_of_comps_stands_in_a_file_and_beside_lines() {
    let filed = find("comps_file = \"comps.csv\"");
    assert_eq!((filed.comps.len(), filed.comps[0].pieces), (2, 2));
    assert_eq!(filed.lots_by, LotsBy::Split);
    let both = find("comps = [\"14 shipped\"]\ncomps_file = \"lines.csv\"");
    assert_eq!(both.comps.len(), 3);
    assert_eq!(find("comps = [\"14 shipped\"]\nper_lot = 2").lots_by, LotsBy::Sheet, "per_lot wins");
}

#[test]
fn each_broken_row_of_a_table_of_comps_is_told_with_what_would_be_right() {
    let told = |file: &str| {
        let read = with_files(&format!("{HEAD}{MUGS}comps_file = \"{file}\"\n"));
        let problems = read.expect_err("the sheet is refused");
        assert!(problems.iter().all(|problem| problem.field == "find[1].comps_file" && problem.line == 10));
        assert!(problems.iter().all(|problem| !problem.message.contains("right would be")), "{problems:?}");
        problems
    };
    let torn = told("torn.csv");
    assert_eq!(torn.len(), 2);
    assert!(torn[0].message.contains("\"torn.csv\": row 3, column `kind`"), "{}", torn[0]);
    assert!(torn[1].message.contains("row 4, column `price`"), "{}", torn[1]);
    assert!(torn[1].message.contains("more than 0"), "{}", torn[1]);
    let hopeless = told("hopeless.csv");
    assert_eq!(hopeless.len(), 21);
    assert!(hopeless.iter().any(|problem| problem.message.contains("10 more")), "the rest is counted");
    assert!(told("empty.csv")[0].message.contains("no comps below the heading"));
    assert!(told("none.csv")[0].message.contains("nothing is called none.csv"));
}

#[test]
fn a_thousand_comps_are_read_and_one_more_is_refused() {
    let comps = |count: usize| format!("{HEAD}{MUGS}comps = [{}]\n", "\"14 shipped\",".repeat(count));
    assert_eq!(right(&comps(1000)).finds[0].comps.len(), 1000);
    let problem = only(read(&comps(1001)));
    assert_eq!(problem.field, "find[1].comps");
    assert!(problem.message.contains("1001") && problem.right.contains("at most 1000"), "{problem}");
    let with_file = format!("{HEAD}{MUGS}comps = [\"14 shipped\"]\ncomps_file = \"many.csv\"\n");
    let problem = only(with_files(&with_file));
    assert_eq!(problem.field, "find[1].comps_file");
    assert!(problem.message.contains("1001") && problem.right.contains("at most 1000"), "{problem}");
}

#[test]
fn what_a_find_costs_is_asked_or_paid_or_not_told() {
    assert_eq!(find("per_lot = 2").cost, Cost::Unknown);
    assert_eq!(find("per_lot = 2\nasking = 7").cost, Cost::Asked(Money::from_cents(700)));
    assert_eq!(find("per_lot = 2\npaid = \"$6.50\"").cost, Cost::Paid(Money::from_cents(650)));
    assert_eq!(find("per_lot = 2\npaid = 0").cost, Cost::Paid(Money::ZERO), "some finds are free");
}

#[test]
fn grades_are_read_in_either_case_and_have_their_defaults() {
    let usual = find("per_lot = 2");
    assert_eq!((usual.grade, usual.rows[0].flawed_grade), (Grade::C, Grade::E));
    let told = find("per_lot = 2\ngrade = \"b\"\nflawed_grade = \"D\"");
    assert_eq!((told.grade, told.rows[0].flawed_grade), (Grade::B, Grade::D));
    assert_eq!(find("per_lot = 2\nlargest_lot = 4").largest_lot, Some(4));
}

#[test]
fn a_piece_is_worth_a_share_of_its_set_and_all_of_it_where_it_is_the_set() {
    let alone = |rows: &[&str]| -> Vec<f64> {
        let pieces: String = rows
            .iter()
            .map(|keys| format!("[[find.piece]]\nform = \"diner_mug\"\ncount = 6\n{keys}\n"))
            .collect();
        let text = format!("{HEAD}[[find]]\nname = \"n\"\ncomps = [\"14 shipped\"]\n{pieces}");
        right(&text).finds[0].rows.iter().map(|row| row.alone).collect()
    };
    assert_eq!(alone(&[""]), [1.0]);
    assert_eq!(alone(&["", ""]), [0.4, 0.4], "the usual share");
    assert_eq!(alone(&["alone = \"60 %\"", "alone = 0"]), [0.6, 0.0]);
    assert_eq!(alone(&["per_lot = 3", "per_lot = 0"]), [1.0, 0.4], "one kind is the set, the other is apart");
    assert_eq!(alone(&["per_set = 2\nalone = 0.2", "per_set = 1"]), [0.2, 0.4]);
    assert_eq!(alone(&["per_lot = 2\nalone = 0.2", "per_lot = 2"]), [0.2, 0.4], "two sets in a lot");
}

#[test]
fn words_become_what_the_listing_says() {
    let words = |words: &str| find(&format!("per_lot = 2\nwords = {{ {words} }}")).words;
    assert_eq!(words(""), trade::Words::default());
    assert_eq!(words("maker = \"Unmarked\"").maker, Maker::Unmarked);
    assert_eq!(words("maker = \"A. Potter\"").maker, Maker::Marked("A. Potter".to_owned()));
    assert_eq!(words("attributed_to = \"A. Potter\"").maker, Maker::AttributedTo("A. Potter".to_owned()));
    assert_eq!(words("period = \"Vintage\"").period, Period::Vintage);
    let dated = |proof: &str| Period::Dated { words: "1950s".to_owned(), proof: proof.to_owned() };
    assert_eq!(words("period = \"1950s\"").period, dated(""));
    assert_eq!(words("period = \"1950s\", proof = \"a bill\"").period, dated("a bill"));
    let told = words(
        "pattern = \"p\", size = \"s\", colour = \"c\", decoration = \"d\", material = \"m\", country = \"k\"",
    );
    let texts = [&told.pattern, &told.size, &told.colour, &told.decoration, &told.material, &told.country];
    assert_eq!(texts, ["p", "s", "c", "d", "m", "k"]);
    let told = words("synonyms = [\"a\", \"b\"], not_included = [\"lids\"]");
    assert_eq!((told.synonyms, told.not_included), (vec!["a".into(), "b".into()], vec!["lids".to_owned()]));
    for (word, belonging) in [
        ("alike", Belonging::Alike),
        ("set", Belonging::MadeAsSet),
        ("lot", Belonging::MerelyTogether),
        ("service for 4", Belonging::PlaceSettings(4)),
    ] {
        assert_eq!(words(&format!("sold_as = \"{word}\"")).belonging, Some(belonging));
    }
}

//! What a typed line means, what it is refused for and where, and that nothing on it is passed over.

use jiff::civil::{Date, date};
use measure::Money;
use pricing::{Bids, Comp, CompError, CompFault, CompPart, Evidence, Grade, Shipping, read_lines};
use proptest::prelude::*;

const TODAY: Date = date(2026, 11, 25);

fn read(line: &str) -> Comp {
    Comp::read(line, TODAY).unwrap_or_else(|error| panic!("{line}: {error}"))
}

fn refused(line: &str) -> CompError {
    Comp::read(line, TODAY).expect_err(line)
}

fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

fn sold(price: i64, shipping: Shipping, pieces: u32) -> Comp {
    Comp {
        evidence: Evidence::Sold { price: cents(price) },
        shipping,
        pieces,
        grade: Grade::C,
        age_days: 0.0,
        days_to_sell: None,
        likeness: 1.0,
    }
}

fn of(evidence: Evidence) -> Comp {
    Comp { evidence, ..sold(1, Shipping::Unknown, 1) }
}

#[test]
fn what_people_type_is_read_as_they_mean_it() {
    let charged = |amount| Shipping::Charged(cents(amount));
    let offer = Evidence::AcceptedOffer { ask: cents(2400) };
    let unsold = Evidence::Unsold { ask: cents(3500), days: 90.0 };
    let auction = |price, bids, days| Evidence::Auction { price: cents(price), bids, days };
    for (line, comp) in [
        ("2 for 17.50 + 8.25", sold(1750, charged(825), 2)),
        ("  2 FOR $17.50+$ 8.25 ", sold(1750, charged(825), 2)),
        ("2 for 17.50 + 8 ship", sold(1750, charged(800), 2)),
        ("2 for 17.50, 8 ship", sold(1750, charged(800), 2)),
        ("2 for 17.50 ship 8", sold(1750, charged(800), 2)),
        ("4 @ 36 free ship, 60d ago", Comp { age_days: 60.0, ..sold(3600, Shipping::Free, 4) }),
        ("offer under 24 x2", Comp { pieces: 2, ..of(offer) }),
        ("offer under 24 x 2", Comp { pieces: 2, ..of(offer) }),
        ("offer <24", of(offer)),
        ("accepted offer, ask $24", of(offer)),
        ("unsold 35 for 90d", of(unsold)),
        ("unsold 35 90d", of(unsold)),
        ("still unsold at 35 after 90 days", of(unsold)),
        ("unsold ask 35 for 3 months 10d ago", Comp { age_days: 10.0, ..of(unsold) }),
        ("sold 14 + 7.90", sold(1400, charged(790), 1)),
        ("14", sold(1400, Shipping::Unknown, 1)),
        ("17.50 + 8.25", sold(1750, charged(825), 1)),
        ("lot of 6 for 49 + 14.25", sold(4900, charged(1425), 6)),
        ("set of 4 32 shipped", sold(3200, Shipping::Free, 4)),
        ("set of 4 32 delivered", sold(3200, Shipping::Free, 4)),
        ("4 for 32 incl ship", sold(3200, Shipping::Free, 4)),
        ("4 for 32 + 0", sold(3200, Shipping::Free, 4)),
        ("pair 28", sold(2800, Shipping::Unknown, 2)),
        ("3 each 9", sold(2700, Shipping::Unknown, 3)),
        ("9 each x3", sold(2700, Shipping::Unknown, 3)),
        ("x3 9 each 8 ship", sold(2700, charged(800), 3)),
        ("9 each 3 pcs", sold(2700, Shipping::Unknown, 3)),
        ("9 each 70% alike x3", Comp { likeness: 0.7, ..sold(2700, Shipping::Unknown, 3) }),
        ("sold 49 ship 14.25", sold(4900, charged(1425), 1)),
        ("4 at 9 each + 12", sold(3600, charged(1200), 4)),
        ("12.50 + 7-12", sold(1250, Shipping::Between(cents(700), cents(1200)), 1)),
        ("12.50 + 7 to 12", sold(1250, Shipping::Between(cents(700), cents(1200)), 1)),
        ("12.50 ship 7 – 12", sold(1250, Shipping::Between(cents(700), cents(1200)), 1)),
        ("30 + ?", sold(3000, Shipping::Unknown, 1)),
        ("x6 49 + 14.25", sold(4900, charged(1425), 6)),
        ("×6 49 + 14.25", sold(4900, charged(1425), 6)),
        ("1,234.50 + 1,000", sold(123_450, charged(100_000), 1)),
        ("auction 18 (1 bid) + 8.40", Comp { shipping: charged(840), ..of(auction(1800, Bids::One, 0.0)) }),
        (
            "auction 9.99 one bid x2 + 8.40 150d",
            Comp { pieces: 2, shipping: charged(840), age_days: 150.0, ..of(auction(999, Bids::One, 0.0)) },
        ),
        ("auction 31, 7 bids", of(auction(3100, Bids::Several, 0.0))),
        ("31, 7 bids", of(auction(3100, Bids::Several, 0.0))),
        ("9 each 7 bids x3", Comp { pieces: 3, ..of(auction(2700, Bids::Several, 0.0)) }),
        ("auction 31 several bids ran for 7 days", of(auction(3100, Bids::Several, 7.0))),
        ("auction 5 no bids 7d", of(auction(500, Bids::None, 7.0))),
        ("sold 22 of 30", sold(2200, Shipping::Unknown, 1)),
        ("sold 22, ask 30", sold(2200, Shipping::Unknown, 1)),
        ("sold 22 of 22", sold(2200, Shipping::Unknown, 1)),
        ("2 for 17.50 # two mugs, x9 + 99", sold(1750, Shipping::Unknown, 2)),
        ("10000000", sold(1_000_000_000, Shipping::Unknown, 1)),
    ] {
        assert_eq!(read(line), comp, "{line}");
    }
}

#[test]
fn ages_are_counted_back_from_today() {
    for (told, days) in [
        ("60d ago", 60.0),
        ("60d", 60.0),
        ("2 weeks ago", 14.0),
        ("2.5w ago", 17.5),
        ("3 months ago", 90.0),
        ("1y ago", 365.0),
        ("on 2026-10-01", 55.0),
        ("2026-11-24", 1.0),
        ("on 2026-11-25", 0.0),
        ("today", 0.0),
        ("yesterday", 1.0),
        ("100 y", 36_500.0),
    ] {
        assert_eq!(read(&format!("sold 14 {told}")).age_days, days, "{told}");
        assert_eq!(read(&format!("{told}, sold 14")).age_days, days, "{told}");
    }
}

#[test]
fn days_on_offer_and_age_are_kept_apart() {
    for line in ["sold 14 in 12d, 60d ago", "14 after 12 days 60d", "60d ago took 12d 14"] {
        let comp = read(line);
        assert_eq!((comp.days_to_sell, comp.age_days), (Some(12.0), 60.0), "{line}");
    }
    assert_eq!(read("offer <24 in 20d").days_to_sell, Some(20.0));
    assert_eq!(read("unsold 35 90d").days_to_sell, None);
    // With a bid a bare time is the age, without one the days it ran.
    assert_eq!(read("auction 5 one bid 7d").age_days, 7.0);
    assert_eq!(read("auction 5 no bids 7d").age_days, 0.0);
}

#[test]
fn grades_and_likeness_are_read_in_words_and_figures() {
    for (words, grade) in [
        ("grade a", Grade::A),
        ("mint", Grade::A),
        ("as new", Grade::A),
        ("like new", Grade::A),
        ("Light wear", Grade::B),
        ("used", Grade::C),
        ("flawed", Grade::D),
        ("chip", Grade::D),
        ("grade D", Grade::D),
        ("damaged", Grade::E),
        ("cracked", Grade::E),
    ] {
        assert_eq!(read(&format!("14 {words}")).grade, grade, "{words}");
    }
    for (words, likeness) in
        [("like 0.5", 0.5), ("alike 70 %", 0.7), ("70% alike", 0.7), ("alike 1", 1.0), ("like .0001", 0.0001)]
    {
        assert_eq!(read(&format!("14 {words}")).likeness, likeness, "{words}");
    }
}

#[test]
fn the_echo_says_how_a_line_was_understood() {
    for (line, echo) in [
        ("2 for 17.50 + 8.25", "a lot of 2, sold for 17.50 plus 8.25 shipping (25.75 delivered)"),
        ("4 @ 36 free ship, 60d ago", "a lot of 4, sold for 36.00 with free shipping, 60 days ago"),
        ("4 at 9 each, yesterday", "a lot of 4, sold for 36.00, shipping not stated, 1 day ago"),
        ("offer under 24 x2", "a lot of 2, sold by an accepted offer; ask 24.00, shipping not stated"),
        (
            "offer <24 + 8",
            "1 piece, sold by an accepted offer; ask 24.00 plus 8.00 shipping (less than 32.00 delivered)",
        ),
        ("unsold 35 90d", "1 piece, still unsold at 35.00 after 90 days, shipping not stated"),
        (
            "unsold 35 90d + 8",
            "1 piece, still unsold at 35.00 plus 8.00 shipping (43.00 delivered) after 90 days",
        ),
        ("12.50 + 7-12", "1 piece, sold for 12.50 plus 7.00 to 12.00 shipping (19.50 to 24.50 delivered)"),
        (
            "auction 18 (1 bid) + 8.40",
            "1 piece, sold to the only bidder in an auction for 18.00 plus 8.40 shipping (at least 26.40 delivered)",
        ),
        ("31, 7 bids", "1 piece, sold in an auction with several bids for 31.00, shipping not stated"),
        (
            "auction 5 no bids 7d",
            "1 piece, without a bid in an auction from 5.00 that ran 7 days, shipping not stated",
        ),
        (
            "14 + 8 chip alike 55 % in 12d",
            "1 piece, sold for 14.00 plus 8.00 shipping (22.00 delivered), grade D (small flaws), 55 % alike, \
             after 12 days on offer",
        ),
    ] {
        assert_eq!(read(line).understood(), echo, "{line}");
    }
}

#[test]
fn a_refusal_points_at_what_is_wrong() {
    for (line, part, pointed) in [
        // Amounts
        ("0", CompPart::Price, "0"),
        ("sold -5", CompPart::Price, "-5"),
        ("sold $-5", CompPart::Price, "$-5"),
        ("1e300", CompPart::Price, "1e300"),
        ("nan", CompPart::Price, "nan"),
        ("sold inf", CompPart::Price, "inf"),
        ("14.999", CompPart::Price, "14.999"),
        ("10000000.01", CompPart::Price, "10000000.01"),
        ("17,50 + 8", CompPart::Price, "17,50"),
        ("15-20", CompPart::Price, "15-20"),
        ("14 + -8", CompPart::Shipping, "-8"),
        ("14 + 12-7", CompPart::Shipping, "12-7"),
        ("14 + 60d", CompPart::Shipping, "60"),
        ("14 +", CompPart::Shipping, "+"),
        ("9000000 each x2", CompPart::Price, "9000000 each"),
        // Counts
        ("0 for 14", CompPart::Pieces, "0"),
        ("1001 for 14", CompPart::Pieces, "1001"),
        ("14 x2.5", CompPart::Pieces, "2.5"),
        ("$2 for 14", CompPart::Pieces, "$2"),
        ("17.50 for 2", CompPart::Pieces, "17.50"),
        ("9 each", CompPart::Pieces, "9 each"),
        // Either may be the count, or the price may be of each
        ("2 x 17", CompPart::Pieces, "2 x 17"),
        ("sold 2 x 17", CompPart::Pieces, "2 x 17"),
        ("6x 49", CompPart::Pieces, "6x 49"),
        ("2x17", CompPart::Pieces, "2x17"),
        ("24x2", CompPart::Pieces, "24x2"),
        ("sold at 49, 6x", CompPart::Pieces, "6x"),
        ("3x 2 for 17.50", CompPart::Pieces, "3x 2"),
        ("49 ship 14.25", CompPart::Price, "49 ship 14.25"),
        // Times
        ("14 101 years ago", CompPart::Age, "101 years"),
        ("14 on 1900-01-01", CompPart::Age, "1900-01-01"),
        ("14 on 2026-11-26", CompPart::Age, "2026-11-26"),
        ("14 on 2026-02-30", CompPart::Age, "2026-02-30"),
        ("14 on friday", CompPart::Age, "friday"),
        ("sold 35 for 90d", CompPart::Days, "for 90d"),
        ("unsold 35", CompPart::Days, "unsold"),
        ("unsold 35 0d", CompPart::Days, "0d"),
        ("auction 5 no bids", CompPart::Days, "auction"),
        // What a kind needs, and what it doesn't go with
        ("offer x2", CompPart::Ask, "offer"),
        ("offer under", CompPart::Ask, "under"),
        ("offer 24", CompPart::Price, "24"),
        ("unsold 90d", CompPart::Price, "unsold"),
        ("auction 31", CompPart::Bids, "auction"),
        ("auction one bid", CompPart::Price, "auction"),
        ("unsold 35 90d one bid", CompPart::Bids, "one bid"),
        ("grade B", CompPart::Price, "grade B"),
        ("ask 24", CompPart::Ask, "ask 24"),
        ("<24", CompPart::Ask, "<24"),
        ("sold 30 ask 24", CompPart::Ask, "ask 24"),
        ("sold 30 of 29.99", CompPart::Ask, "of 29.99"),
        ("unsold 24 ask 30 9d", CompPart::Ask, "ask 30"),
        // Twice
        ("14 15", CompPart::Price, "15"),
        ("offer <24 ask 30", CompPart::Ask, "ask 30"),
        ("14 60d ago yesterday", CompPart::Age, "yesterday"),
        ("14 60d 90d ago", CompPart::Age, "60d"),
        ("14 + 8 + 9", CompPart::Shipping, "+ 9"),
        ("14 + 8 shipped", CompPart::Shipping, "shipped"),
        ("pair 14 x2", CompPart::Pieces, "x2"),
        ("sold 14 unsold", CompPart::Kind, "unsold"),
        ("14 mint chip", CompPart::Grade, "chip"),
        ("14 1 bid 2 bids", CompPart::Bids, "2 bids"),
        ("14 like 0.5 like 0.5", CompPart::Likeness, "like 0.5"),
        ("unsold 35 90d for 90d", CompPart::Days, "90d"),
        // Likeness
        ("14 like 0", CompPart::Likeness, "0"),
        ("14 like 50", CompPart::Likeness, "50"),
        ("14 alike 101 %", CompPart::Likeness, "101 %"),
        ("14 70 %", CompPart::Likeness, "70 %"),
        // What says nothing
        ("2 for 17.50 mugs", CompPart::Line, "mugs"),
        ("2 for 17.50 (mugs)", CompPart::Line, "mugs"),
        ("14 € + 8", CompPart::Line, "€"),
        ("14 (1 bid", CompPart::Line, "("),
        ("14 1 bid)", CompPart::Line, ")"),
        ("14 seen 3 times", CompPart::Line, "seen"),
        ("14\u{1b}[2J", CompPart::Line, "\u{1b}"),
        ("14 \u{202e}", CompPart::Line, "\u{202e}"),
        ("", CompPart::Line, ""),
        ("  # mugs", CompPart::Line, "# mugs"),
    ] {
        let error = refused(line);
        assert_eq!((error.part, &line[error.span.clone()]), (part, pointed), "{line}: {error}");
        let column = line[..error.span.start].chars().count() + 1;
        assert_eq!(error.column, column, "{line}");
        assert!(!error.right.is_empty() && error.to_string().contains("; right would be: "), "{line}");
    }
    assert_eq!(refused("14\u{1b}[2J").fault, CompFault::Control { code: 0x1b });
    let second = refused("14 like 0.5 like 0.5");
    assert_eq!(second.column, 13, "the second is the one too many");
    assert_eq!(refused("é 14").column, 1);
    assert_eq!(refused("14 – é").column, 4, "columns count characters and not bytes");
}

#[test]
fn every_right_example_without_a_choice_reads() {
    // Examples with "or" offer a choice in words; the first choice stands before the comma or the word.
    for line in ["0", "sold -5", "9 each", "auction 5 no bids", "unsold 35", "2 for 17.50 mugs", ""] {
        let right = refused(line).right;
        let first = right.split(", or").next().unwrap_or(right).split(" (a note").next().unwrap_or(right);
        assert!(Comp::read(first, TODAY).is_ok(), "{line}: {first}");
    }
}

#[test]
fn a_misspelt_word_is_told_its_nearest() {
    for (line, nearest) in [
        ("unsol 35 90d", "unsold"),
        ("ofer under 24", "offer"),
        ("auctoin 14 one bid", "auction"),
        ("14 shiped", "shipped"),
        ("14 damagd", "damaged"),
        ("14 3 moths ago", "months"),
        ("yestreday 14", "yesterday"),
        ("14 qzwv", ""),
    ] {
        let CompFault::Unknown { nearest: found, .. } = refused(line).fault else {
            panic!("{line}: {}", refused(line));
        };
        assert_eq!(found.first().map_or("", String::as_str), nearest, "{line}");
    }
}

#[test]
fn a_line_is_read_up_to_200_characters() {
    let note = |length: usize| format!("14 #{}", "é".repeat(length - 4));
    assert_eq!(read(&note(200)), read("14"));
    let line = note(201);
    let error = refused(&line);
    assert_eq!(error.fault, CompFault::TooLong { characters: 201, most: 200 });
    assert_eq!((error.column, &line[error.span]), (201, "é"));
}

#[test]
fn lines_keep_their_numbers_and_errors_stop_nothing() {
    let text = "\u{feff}2 for 17.50 + 8\r\n\r\n# a note\r\n   \noffer 24\n\tunsold 35 90d\nunsol 35 90d";
    let (comps, errors) = read_lines(text, TODAY);
    assert_eq!(comps, [(1, read("2 for 17.50 + 8")), (6, read("unsold 35 90d"))]);
    assert_eq!(errors, [(5, refused("offer 24")), (7, refused("unsol 35 90d"))]);
    assert_eq!(read_lines("", TODAY), (vec![], vec![]));
}

/// The rows of the page's tables whose first cell is a line and whose second is its echo.
#[test]
fn every_line_of_the_page_reads_as_the_page_says() {
    let page = include_str!("../../../docs/comps.md");
    let mut seen = 0;
    let (lines, _) = page.split_once("**A table**").expect("the page says so");
    for row in lines.lines().filter(|row| row.starts_with("| `")) {
        let cells: Vec<&str> = row.trim_matches('|').split(" | ").map(str::trim).collect();
        let [lines, echo] = cells[..] else {
            continue;
        };
        for line in lines.split('`').skip(1).step_by(2) {
            assert_eq!(read(line).understood(), echo, "{line}");
            seen += 1;
        }
    }
    assert!(seen >= 40, "{seen}");
}

fn money() -> impl Strategy<Value = Money> {
    prop_oneof![1_i64..10_000, 1_i64..=1_000_000_000].prop_map(Money::from_cents)
}

fn days() -> impl Strategy<Value = f64> {
    prop_oneof![
        (1_u32..400).prop_map(f64::from),
        (1_u32..=3_652_500).prop_map(|days| f64::from(days) / 100.0)
    ]
}

fn grade() -> impl Strategy<Value = Grade> {
    prop::sample::select(vec![Grade::A, Grade::B, Grade::C, Grade::D, Grade::E])
}

fn shipping() -> impl Strategy<Value = Shipping> {
    prop_oneof![
        Just(Shipping::Free),
        Just(Shipping::Unknown),
        money().prop_map(Shipping::Charged),
        (money(), 1_i64..10_000).prop_filter_map("within the largest", |(low, more)| {
            let high = low + cents(more);
            (high <= measure::LARGEST_MONEY).then_some(Shipping::Between(low, high))
        }),
    ]
}

fn evidence() -> impl Strategy<Value = Evidence> {
    let with_bid = prop_oneof![Just(0.0), days()];
    prop_oneof![
        money().prop_map(|price| Evidence::Sold { price }),
        money().prop_map(|ask| Evidence::AcceptedOffer { ask }),
        (money(), days()).prop_map(|(ask, days)| Evidence::Unsold { ask, days }),
        (money(), days()).prop_map(|(price, days)| Evidence::Auction { price, bids: Bids::None, days }),
        (money(), with_bid, any::<bool>()).prop_map(|(price, days, one)| {
            Evidence::Auction { price, bids: if one { Bids::One } else { Bids::Several }, days }
        }),
    ]
}

fn comp() -> impl Strategy<Value = Comp> {
    let age = prop_oneof![Just(0.0), days()];
    let likeness = prop_oneof![Just(1.0), (1_u32..10_000).prop_map(|share| f64::from(share) / 1e4)];
    (evidence(), shipping(), 1_u32..=1000, grade(), age, prop::option::of(days()), likeness).prop_map(
        |(evidence, shipping, pieces, grade, age_days, days_to_sell, likeness)| {
            let sells = matches!(evidence, Evidence::Sold { .. } | Evidence::AcceptedOffer { .. });
            let days_to_sell = days_to_sell.filter(|_| sells);
            Comp { evidence, shipping, pieces, grade, age_days, days_to_sell, likeness }
        },
    )
}

/// The clauses that a person may type for a comp, each in one of several ways.
fn clauses(comp: &Comp, way: usize) -> Vec<String> {
    let pick = |ways: &[String]| ways[way % ways.len()].clone();
    let mut clauses = match comp.evidence {
        Evidence::Sold { price } => {
            vec![pick(&[format!("sold {price}"), format!("{price}"), format!("Sold at ${price}")])]
        }
        Evidence::AcceptedOffer { ask } => {
            vec![pick(&[
                format!("offer <{ask}"),
                format!("accepted offer ask {ask}"),
                format!("OFFER under {ask}"),
            ])]
        }
        Evidence::Unsold { ask, days } => {
            vec![format!("unsold {ask}"), pick(&[format!("for {days}d"), format!("{days} days")])]
        }
        Evidence::Auction { price, bids, days } => {
            let bids = match bids {
                Bids::None => pick(&["no bids".to_owned(), "0 bids".to_owned()]),
                Bids::One => pick(&["one bid".to_owned(), "(1 bid)".to_owned()]),
                Bids::Several => pick(&["7 bids".to_owned(), "several bids".to_owned()]),
            };
            let mut told = vec![format!("auction {price}"), bids];
            if days > 0.0 {
                told.push(format!("ran {days}d"));
            }
            told
        }
    };
    match comp.shipping {
        Shipping::Free => {
            clauses.push(pick(&["free ship".to_owned(), "shipped".to_owned(), "+ 0".to_owned()]))
        }
        Shipping::Charged(amount) => clauses.push(pick(&[format!("+ {amount}"), format!("+{amount} ship")])),
        Shipping::Between(low, high) => {
            clauses.push(pick(&[format!("+ {low}-{high}"), format!("+{low} to {high}")]))
        }
        Shipping::Unknown => {
            if way.is_multiple_of(2) {
                clauses.push("+ ?".to_owned());
            }
        }
    }
    if comp.pieces != 1 {
        clauses.push(pick(&[format!("x{}", comp.pieces), format!("lot of {}", comp.pieces)]));
    }
    if comp.grade != Grade::C {
        let words = match comp.grade {
            Grade::A => "mint",
            Grade::B => "light wear",
            Grade::C => "used",
            Grade::D => "chip",
            Grade::E => "cracked",
        };
        clauses.push(pick(&[format!("grade {:?}", comp.grade), words.to_owned()]));
    }
    if comp.likeness != 1.0 {
        clauses.push(format!("alike {}", comp.likeness));
    }
    if let Some(days) = comp.days_to_sell {
        clauses.push(format!("in {days}d"));
    }
    if comp.age_days != 0.0 {
        clauses.push(format!("{} days ago", comp.age_days));
    }
    clauses
}

fn word() -> impl Strategy<Value = String> {
    let words = "sold unsold offer accepted auction for at @ + < ? , ; ( ) - – % $ x x2 2x × each ask under of lot \
        set pair free ship shipped incl d days ago weeks on today in after ran took grade a like alike mint as new \
        one no bid bids piece to 2026-10-01 9999-99-99 1 2 14 17.50 1,234.50 1e9 -5 .5 0 99999999999999999999999 \
        0.333 é \u{301} 🫖 \0 \u{7f} # nan";
    prop::sample::select(words.split(' ').map(str::to_owned).collect::<Vec<_>>())
}

/// A read comp is sound and an error lies within the text, whatever was typed.
fn holds(line: &str) -> Result<(), TestCaseError> {
    match Comp::read(line, TODAY) {
        Ok(comp) => {
            let back = Comp::read(&comp.write(), TODAY);
            prop_assert_eq!(back, Ok(comp.clone()), "{}", comp.write());
            prop_assert!((1..=1000).contains(&comp.pieces));
            prop_assert!(comp.likeness > 0.0 && comp.likeness <= 1.0);
            prop_assert!((0.0..=36_525.0).contains(&comp.age_days));
            let (amount, days) = match comp.evidence {
                Evidence::Sold { price } => (price, 1.0),
                Evidence::AcceptedOffer { ask } => (ask, 1.0),
                Evidence::Unsold { ask, days } => (ask, days),
                Evidence::Auction { price, bids: Bids::None, days } => (price, days),
                Evidence::Auction { price, bids: Bids::One | Bids::Several, .. } => (price, 1.0),
            };
            prop_assert!(amount > Money::ZERO && amount <= measure::LARGEST_MONEY);
            prop_assert!(days > 0.0 && days <= 36_525.0);
            prop_assert!(!comp.understood().is_empty());
        }
        Err(error) => {
            let pointed = line.get(error.span.clone());
            prop_assert!(
                pointed.is_some(),
                "{:?} lies outside of {line:?} or within a character",
                error.span
            );
            let before = line.get(..error.span.start).unwrap_or_default();
            prop_assert_eq!(error.column, before.chars().count() + 1);
            prop_assert!(!error.to_string().contains(char::is_control));
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn what_is_written_reads_back_to_the_same_comp(comp in comp()) {
        prop_assert_eq!(Comp::read(&comp.write(), TODAY), Ok(comp));
    }

    #[test]
    fn clauses_mean_the_same_in_any_order(
        (comp, way, told) in (comp(), 0_usize..12).prop_flat_map(|(comp, way)| {
            let told = clauses(&comp, way);
            (Just(comp), Just(way), Just(told).prop_shuffle())
        }),
    ) {
        let line = told.join([", ", " ", " ; "][way % 3]);
        prop_assume!(line.chars().count() <= 200);
        prop_assert_eq!(Comp::read(&line, TODAY), Ok(comp), "{}", line);
    }

    #[test]
    fn case_and_blanks_change_nothing(comp in comp(), blanks in "[ \t]{1,3}") {
        let line = comp.write().to_uppercase().replace(' ', &blanks);
        prop_assume!(line.chars().count() <= 200);
        prop_assert_eq!(Comp::read(&line, TODAY), Ok(comp), "{}", line);
    }

    #[test]
    fn a_foreign_word_is_never_passed_over(comp in comp(), place in any::<prop::sample::Index>(), sign in any::<bool>()) {
        let told = comp.write();
        let mut parts: Vec<&str> = told.split(' ').collect();
        parts.insert(place.index(parts.len() + 1), if sign { "!" } else { "qzwv" });
        prop_assert!(Comp::read(&parts.join(" "), TODAY).is_err(), "{}", parts.join(" "));
    }

    #[test]
    fn a_clause_said_twice_is_refused(comp in comp(), way in 0_usize..12, place in any::<prop::sample::Index>()) {
        let mut told = clauses(&comp, way);
        let again = told[place.index(told.len())].clone();
        told.push(again);
        prop_assert!(Comp::read(&told.join(", "), TODAY).is_err(), "{}", told.join(", "));
    }

    #[test]
    fn any_text_is_read_or_pointed_at(line in any::<String>()) {
        holds(&line)?;
    }

    #[test]
    fn any_row_of_words_is_read_or_pointed_at(words in prop::collection::vec(word(), 0..12), gap in "[ ]{0,1}") {
        holds(&words.join(&gap))?;
    }

    #[test]
    fn any_spoiled_line_is_read_or_pointed_at(
        comp in comp(),
        slips in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..4, any::<char>()), 1..4),
    ) {
        let mut line: Vec<char> = comp.write().chars().collect();
        for (place, slip, letter) in slips {
            let place = place.index(line.len() + 1);
            match slip {
                0 => line.insert(place, letter),
                1 if place < line.len() => { line.remove(place); }
                2 if place + 1 < line.len() => line.swap(place, place + 1),
                _ => line.truncate(place),
            }
        }
        holds(&line.into_iter().collect::<String>())?;
    }

    #[test]
    fn any_day_may_be_today(line in prop::collection::vec(word(), 0..6), day in 1_i8..=28, year in any::<i16>()) {
        if let Ok(today) = Date::new(year, 1, day) {
            let _ = Comp::read(&format!("14 on 2026-10-01 {}", line.join(" ")), today);
        }
    }

    #[test]
    fn many_lines_are_each_read_alone(text in any::<String>(), comps in prop::collection::vec(comp(), 0..4)) {
        let told: Vec<String> = comps.iter().map(Comp::write).collect();
        let (read, errors) = read_lines(&told.join("\n"), TODAY);
        prop_assert_eq!(read.into_iter().map(|(_, comp)| comp).collect::<Vec<_>>(), comps);
        prop_assert!(errors.is_empty());
        let lines = text.strip_prefix('\u{feff}').unwrap_or(&text).lines().count();
        let (read, errors) = read_lines(&text, TODAY);
        prop_assert!(read.len() + errors.len() <= lines);
    }
}

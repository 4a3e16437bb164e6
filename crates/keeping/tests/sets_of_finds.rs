//! What sets over several finds promise: they are reckoned as the same pieces on a job sheet written by hand.

mod desk;

use books::{FindId, FlawedCarry, Purse, SplitRule};
use desk::{DAY, part, refused, stamp};
use keeping::{Alone, Desk, RecordJob, SetPart, SetQuestion, SetTold, lots_in_words};
use measure::{Length, Mass, Money};
use shop::{
    Comp, FindText, Flaw, FromShelf, HaulIn, Leaving, ListingIn, Measured, Measurement, NewFind, Shop, Which,
};
use trade::{Cost, LotsBy, Worth, appraise};

/// Sets that are worth their parcels by far, whatever postage does.
const COMPS: [&str; 3] = ["2 for 133 + 15", "2 for 140 + 15", "70 + 12"];

/// A haul of finds, each so many sound pieces of a form and so many flawed ones, at 2.00 a piece.
fn haul(finds: &[(&str, u32, u32)]) -> Shop {
    let mut shop = Shop::in_memory().expect("a shop");
    let new = |(form, sound, flawed): &(&str, u32, u32)| NewFind {
        text: FindText {
            form: (*form).to_owned(),
            description: String::from("<brown>"),
            shelf: String::new(),
        },
        sound: *sound,
        flawed: *flawed,
        value: Money::from_cents(1000),
    };
    let pieces: u32 = finds.iter().map(|(_, sound, flawed)| sound + flawed).sum();
    let haul = HaulIn {
        place: None,
        date: DAY,
        paid: Money::from_cents(i64::from(pieces) * 200),
        tax: None,
        freight: Money::ZERO,
        split: SplitRule::PerPiece,
        flawed_carry: FlawedCarry::Share,
        purse: Purse::Cash,
        freight_purse: Purse::Cash,
        miles_hundredths: 0,
        note: String::new(),
        finds: finds.iter().map(new).collect(),
    };
    shop.buy(&stamp(), &haul).expect("a haul");
    shop
}

/// Five cups, one of them flawed (find 1), and three saucers (find 2), measured.
fn cups_and_saucers() -> Shop {
    let mut shop = haul(&[("tea_cup", 4, 1), ("tea_saucer", 3, 0)]);
    let measures = [
        (1, "diameter", Measured::Length(Length::from_inches(3.5))),
        (1, "height", Measured::Length(Length::from_inches(2.25))),
        (1, "weight", Measured::Mass(Mass::from_ounces(6.0))),
        (2, "diameter", Measured::Length(Length::from_inches(5.75))),
        (2, "weight", Measured::Mass(Mass::from_ounces(7.0))),
    ];
    for (find, name, figure) in measures {
        let one =
            Measurement { find: FindId(find), piece: None, name: name.into(), figure, estimated: false };
        shop.note(&stamp(), &one).expect("measured");
    }
    let size = Some(Length::from_inches(0.25));
    let flaw = Flaw { find: FindId(1), piece: Some(5), kind: "chip".into(), position: "rim".into(), size };
    shop.note(&stamp(), &flaw).expect("a flaw");
    shop
}

fn comps(shop: &mut Shop, find: u64, lines: &[&str]) {
    for typed in lines {
        shop.note(&stamp(), &Comp { find: FindId(find), typed: (*typed).to_owned(), date: DAY })
            .expect("a comp");
    }
}

/// So many pieces of each find in a set.
fn set(parts: &[(u64, u32)]) -> SetTold {
    let part = |(find, each): &(u64, u32)| SetPart { find: FindId(*find), each: *each };
    SetTold { parts: parts.iter().map(part).collect(), alone: Vec::new() }
}

fn question(shop: &mut Shop, parts: &[(u64, u32)], alone: &[(u64, f64)]) -> SetQuestion {
    let alone: Vec<Alone> =
        alone.iter().map(|(find, share)| Alone { find: FindId(*find), share: *share }).collect();
    SetQuestion::read(shop, &SetTold { alone, ..set(parts) }, DAY).expect("a set")
}

fn job(shop: &mut Shop, parts: &[(u64, u32)], alone: &[(u64, f64)]) -> RecordJob {
    question(shop, parts, alone).job(&Desk::published()).expect("a job")
}

fn worth_of(job: &trade::Job) -> Worth {
    appraise(job, &Desk::published().library, 0, &|_| {}).expect("worked out")
}

/// The same pieces written as a job sheet by hand.
const BY_HAND: &str = r#"
[[find]]
name = "cups and saucers"
comps = ["2 for 133 + 15", "2 for 140 + 15", "70 + 12"]
paid = "16.00"

[[find.piece]]
form = "tea_cup"
what = "tea cup"
count = 5
flawed = 1
flaws = ["1 chip 1/4 in rim"]
diameter = "3.5 in"
height = "2.25 in"
weight = "6 oz"
alone = "30 %"

[[find.piece]]
form = "tea_saucer"
what = "tea saucer"
count = 3
diameter = "5.75 in"
weight = "7 oz"
"#;

#[test]
fn sets_of_two_finds_are_split_as_the_same_pieces_on_a_sheet_written_by_hand() {
    let mut shop = cups_and_saucers();
    comps(&mut shop, 1, &COMPS);
    // Comps of the other find are of saucers and no evidence of what sets sell for.
    comps(&mut shop, 2, &["1 for 3 + 5"]);
    let made = job(&mut shop, &[(1, 1), (2, 1)], &[(1, 0.3)]);
    let sheet = format!("{}\n{BY_HAND}", sheet::usual());
    let by_hand = Desk::published().read(&sheet, DAY).expect("a right sheet");
    let (made, by_hand) = (worth_of(&made.job), worth_of(&by_hand));
    let (split, wanted) = (made.split.as_ref().expect("comps"), by_hand.split.as_ref().expect("comps"));
    assert_eq!(split.plan.sets, wanted.plan.sets);
    assert_eq!(split.plan.worth_by_sets, wanted.plan.worth_by_sets);
    assert_eq!(lots_in_words(&split.choice.best), lots_in_words(&wanted.choice.best));
    assert_eq!((split.worth, split.hours), (wanted.worth, wanted.hours));
    let piles = |worth: &Worth| -> Vec<(String, u32, f64, String)> {
        let of = |(priced, split): (&trade::PricedPool, &selling::Split)| {
            (priced.pool.name.clone(), priced.pool.available, priced.pool.worth, lots_in_words(split))
        };
        worth.splits().into_iter().map(of).collect()
    };
    assert_eq!(piles(&made), piles(&by_hand));
    assert_eq!(split.plan.sets, 3, "three saucers make three sets at most, and these are worth it");
    let rest: u32 = split.plan.of_bare.iter().map(|split| split.pieces).sum();
    assert_eq!(rest, 1, "the fourth sound cup is in no set, and the flawed one has a pile of its own");
    assert!(piles(&made).iter().any(|(name, there, ..)| name.starts_with("flawed") && *there == 1));
}

#[test]
fn a_set_has_a_row_for_each_find_with_the_free_pieces_their_flaws_and_the_cost_of_all() {
    let mut shop = cups_and_saucers();
    comps(&mut shop, 1, &COMPS);
    let left = FromShelf {
        find: FindId(1),
        pieces: vec![1],
        date: DAY,
        how: Leaving::GivenAway,
        note: String::new(),
    };
    shop.leave_shelf(&stamp(), &left).expect("one is given away");
    let listed = ListingIn { parts: vec![part(2, 2, Which::Sound)], ..desk::listing(1, Vec::new()) };
    shop.list(&stamp(), &listed).expect("two are listed");
    let question = question(&mut shop, &[(1, 1), (2, 1)], &[(2, 0.25)]);
    assert_eq!((question.sets(), question.basis()), (3, Money::from_cents(1400)));
    assert_eq!(question.members.iter().map(|member| member.listed).collect::<Vec<_>>(), [0, 2]);
    let job = question.job(&Desk::published()).expect("a job").job;
    let find = &job.finds[0];
    assert_eq!(
        (find.lots_by, find.cost, find.comps.len()),
        (LotsBy::Split, Cost::Paid(Money::from_cents(1400)), 3)
    );
    let rows: Vec<(u32, u32, u32, f64, usize)> = find
        .rows
        .iter()
        .map(|row| (row.count, row.flawed, row.per_lot, row.alone, row.flaws.len()))
        .collect();
    assert_eq!(rows, [(4, 1, 1, 0.4, 1), (3, 0, 1, 0.25, 0)]);
}

#[test]
fn without_comps_a_lot_is_one_set_and_nothing_is_split() {
    let mut shop = cups_and_saucers();
    comps(&mut shop, 2, &COMPS);
    let question = question(&mut shop, &[(1, 1), (2, 1)], &[]);
    assert!(!question.has_comps());
    let job = question.job(&Desk::published()).expect("a job").job;
    assert_eq!((job.finds[0].lots_by, job.finds[0].lots()), (LotsBy::Sheet, 3));
}

#[test]
fn two_finds_of_the_same_form_are_two_rows_with_words_of_their_own() {
    let mut shop = haul(&[("tea_cup", 2, 0), ("tea_saucer", 2, 0), ("tea_saucer", 3, 0)]);
    comps(&mut shop, 1, &COMPS);
    let made = job(&mut shop, &[(1, 1), (2, 1), (3, 1)], &[(3, 0.1)]);
    let words: Vec<&str> = made.job.finds[0].rows.iter().map(|row| row.what.as_str()).collect();
    assert!(words[1].starts_with("find 2 ") && words[2].starts_with("find 3 "), "{words:?}");
    assert!(!words[0].contains("find"), "{words:?}");
    let worth = worth_of(&made.job);
    assert_eq!((worth.pools[0].pool.available, worth.pools[0].pool.unit.clone()), (2, vec![1, 1, 1]));
    let alone: Vec<(u32, f64)> =
        worth.pools[1..].iter().map(|priced| (priced.pool.available, priced.pool.worth)).collect();
    assert_eq!(alone, [(2, 0.4), (2, 0.4), (3, 0.1)]);
    assert_eq!(worth.split.expect("comps").plan.sets, 2);
}

#[test]
fn sets_that_cant_be_made_up_or_counted_are_refused_with_what_would_be_right() {
    let mut shop = haul(&[("tea_cup", 6, 0), ("tea_saucer", 4, 0), ("tea_saucer", 0, 2)]);
    let why = |shop: &mut Shop, parts: &[(u64, u32)]| refused(SetQuestion::read(shop, &set(parts), DAY));
    assert!(why(&mut shop, &[(1, 1)]).contains("2 to 20"));
    assert!(why(&mut shop, &[(1, 1), (9, 1)]).contains("find 9"));
    assert!(why(&mut shop, &[(1, 0), (2, 1)]).contains("from 1 to 6"));
    assert!(why(&mut shop, &[(1, 1), (2, 5)]).contains("from 1 to 4 of it"));
    assert!(why(&mut shop, &[(1, 1), (3, 1)]).contains("0 sound ones are free"));
    assert!(why(&mut shop, &[(1, u32::MAX), (2, u32::MAX)]).contains("right would be"));
    let many: Vec<(u64, u32)> = (0..21).map(|find| (find, 1)).collect();
    assert!(why(&mut shop, &many).contains("2 to 20"));
    // A set of two and two is fine as a lot, but no comp counts it.
    assert!(SetQuestion::read(&mut shop, &set(&[(1, 2), (2, 2)]), DAY).is_ok());
    comps(&mut shop, 1, &COMPS);
    let told = why(&mut shop, &[(1, 4), (2, 2)]);
    assert!(told.contains("2 smaller sets") && told.contains("2 of find 1 and 1 of find 2"), "{told}");
    let mut large = haul(&[("tea_cup", 101, 0), ("tea_saucer", 4, 0)]);
    assert!(why(&mut large, &[(1, 99), (2, 2)]).contains("at most 100"));
}

#[test]
fn unequal_pieces_in_a_set_take_as_many_of_each_find() {
    let mut shop = haul(&[("tea_cup", 3, 0), ("tea_saucer", 5, 0)]);
    comps(&mut shop, 1, &COMPS);
    let question = question(&mut shop, &[(1, 1), (2, 2)], &[]);
    assert_eq!(question.sets(), 2);
    let worth = worth_of(&question.job(&Desk::published()).expect("a job").job);
    assert_eq!((worth.pools[0].pool.available, worth.pools[0].pool.unit.clone()), (2, vec![1, 2]));
}

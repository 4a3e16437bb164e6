//! What holds of a sheet as a whole: its size, its text, and that all its problems come at once.

mod desk;

use desk::{TODAY, library, no_files, read};
use measure::{Length, Money};
use sheet::{LARGEST_SHEET, Problem};
use trade::Job;

fn read_bytes(bytes: &[u8]) -> Result<Job, Vec<Problem>> {
    sheet::read_bytes(bytes, &library(&no_files), TODAY)
}

fn only(read: Result<Job, Vec<Problem>>) -> Problem {
    let mut problems = read.expect_err("the sheet is refused");
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.remove(0)
}

#[test]
fn an_empty_sheet_is_told_how_to_begin() {
    for text in ["", "  \n\n", "\u{feff}\n"] {
        let problem = only(read(text));
        assert_eq!((problem.line, problem.column), (1, 1));
        assert!(problem.message.contains("empty"), "{problem}");
        assert!(problem.right.contains("lotwright example"), "{problem}");
    }
}

#[test]
fn a_sheet_of_notes_alone_is_told_all_that_is_missing() {
    let problems = read("# nothing yet").expect_err("the sheet is refused");
    let fields: Vec<_> = problems.iter().map(|problem| problem.field.as_str()).collect();
    assert_eq!(fields, ["find", "post", "title"]);
}

#[test]
fn broken_utf8_is_told_with_its_line() {
    let problem = only(read_bytes(b"title = \"x\"\n\xc3\xa9 = \"\xff\"\n"));
    assert_eq!((problem.line, problem.column, problem.span), (2, 6, 18..19));
    assert!(problem.right.contains("UTF-8"));
}

#[test]
fn a_sheet_of_one_megabyte_is_read_and_one_byte_more_is_refused() {
    let mut text = sheet::example().to_owned();
    text.push('#');
    text.push_str(&"x".repeat(LARGEST_SHEET - text.len()));
    assert_eq!(text.len(), LARGEST_SHEET);
    assert!(read_bytes(text.as_bytes()).is_ok());
    text.push('x');
    for problem in [only(read_bytes(text.as_bytes())), only(read(&text))] {
        assert!(problem.message.contains("a job sheet may be at most 1 MB"), "{problem}");
    }
}

#[test]
fn a_large_sheet_of_nonsense_is_refused_with_a_bounded_list() {
    let line = "no equals sign here\n";
    let problems = read(&line.repeat(LARGEST_SHEET / line.len())).expect_err("the sheet is refused");
    assert!(problems.len() <= 201, "{}", problems.len());
    assert!(problems.last().is_some_and(|last| last.message.contains("more problems")));
    let keys: String = (0..60_000).map(|n| format!("k{n} = 1\n")).collect();
    assert!(read(&keys).err().is_some_and(|problems| problems.len() == 201));
}

#[test]
fn deep_nesting_is_refused() {
    let lists = format!("title = {}1{}", "[".repeat(5000), "]".repeat(5000));
    let tables = format!("title = {}1{}", "{ a = ".repeat(5000), " }".repeat(5000));
    let keys = format!("{}a = 1", "a.".repeat(5000));
    for text in [lists, tables, keys] {
        let problems = read(&text).expect_err("the sheet is refused");
        assert!(problems[0].message.contains("too deep"), "{}", problems[0]);
    }
}

#[test]
fn all_problems_come_at_once_and_in_the_order_of_the_sheet() {
    let text = sheet::example()
        .replace("\"606\"", "\"6061\"")
        .replace("further = 4.00", "further = \"four\"")
        .replace("size = \"8 x 8 x 8\"", "size = \"8 x 8\"")
        .replace("count = 14 ", "count = 1400 ")
        .replace("\"pressed_goblet\"", "\"pressed_gobblet\"")
        .replace("\"goblets\" = 1", "\"gobblets\" = 1");
    let problems = read(&text).expect_err("the sheet is refused");
    let fields: Vec<_> = problems.iter().map(|problem| problem.field.as_str()).collect();
    assert_eq!(
        fields,
        [
            "post.to[3]",
            "charge.further",
            "carton[1].size",
            "find[1].piece[1].count",
            "find[2].form",
            "order[2].lots.gobblets"
        ]
    );
    assert!(problems.is_sorted_by_key(|problem| problem.span.start));
    assert!(problems.iter().all(|problem| !text[problem.span.clone()].is_empty()));
}

#[test]
fn cents_and_quarters_survive_however_they_are_written() {
    let text =
        sheet::example().replace("first = 9.50", "first = 0.29").replace("wage = 15.00", "wage = \"$15\"");
    let job = read(&text).expect("the sheet has no problem");
    let trade::Charging::FlatPlus { first, .. } = job.charging else { panic!("{:?}", job.charging) };
    assert_eq!((first, job.wage), (Money::from_cents(29), Money::from_cents(1500)));
}

#[test]
fn sizes_are_read_in_every_spelling_and_the_longer_side_of_the_opening_comes_first() {
    for size in ["\"12 x 16 x 8\"", "\"16x12x8 in\"", "[12, \"16 in\", 8]", "\"12\\\" × 16\\\" × 8\\\"\""] {
        let text = sheet::example().replacen("\"16 x 12 x 12\"", size, 1).replacen(
            "cut_to = [10, 8, 6]\n\n[[carton]]\nsize = \"16 x 16",
            "cut_to = [6]\n\n[[carton]]\nsize = \"16 x 16",
            1,
        );
        let job = read(&text).unwrap_or_else(|problems| panic!("{size}: {}", problems[0]));
        assert_eq!(job.cartons[6].inside, [16.0, 12.0, 8.0].map(Length::from_inches), "{size}");
        assert_eq!(job.cartons[6].name, "16 x 12 x 8");
    }
    let text = sheet::example().replace("\"8 x 8 x 8\"", "\"20 x 20 x 20 cm\"");
    let job = read(&text).expect("the sheet has no problem");
    assert_eq!(job.cartons[0].inside, [200.0; 3].map(Length::from_mm));
}

#[test]
fn two_cartons_of_one_size_need_names() {
    let text = sheet::example().replace("\"8 x 8 x 8\"", "\"10 x 10 x 10\"");
    let problem = only(read(&text));
    assert_eq!(problem.field, "carton[2].size");
    let text = text.replacen("on_hand = 6", "name = \"stout cube\"\ngrade = \"44 ect\"\non_hand = 6", 1);
    let job = read(&text).expect("the sheet has no problem");
    assert_eq!((job.cartons[0].name.as_str(), job.cartons[0].grade.as_str()), ("stout cube", "44 ECT"));
}

#[test]
fn thirds_typed_short_are_shares_and_add_up_afterwards() {
    let to = "to = [{ zip = \"100\", share = 0.333 }, { zip = \"606\", share = 0.333 }, { zip = \"981\", share = 0.333 }]";
    let text = sheet::example().replace("to = [\"100\", \"303\", \"606\", \"802\", \"981\"]", to);
    let job = read(&text).expect("the sheet has no problem");
    assert!((job.post.buyers.iter().map(|buyer| buyer.share).sum::<f64>() - 1.0).abs() < 1e-12);
}

#[test]
fn too_many_of_anything_is_refused() {
    let finds = "[[find]]\nname = \"n\"\nform = \"diner_mug\"\ncount = 1\nper_lot = 1\n".repeat(51);
    let problem = only(read(&format!("{}\n{finds}", head())));
    assert!(problem.right.contains("at most 50"), "{problem}");
    let cartons = "[[carton]]\nsize = \"8 x 8 x 8\"\n".repeat(201);
    let problem = only(
        read(&format!("{}\n{cartons}", sheet::example().split("[[carton]]").next().unwrap_or("")))
            .map_err(|problems| problems.into_iter().filter(|problem| problem.field == "carton").collect()),
    );
    assert!(problem.right.contains("at most 200"), "{problem}");
    let pieces = "[[find.piece]]\nform = \"diner_mug\"\ncount = 60\nper_lot = 60\n".repeat(2);
    let problem = only(read(&format!("{}\n[[find]]\nname = \"n\"\n{pieces}", head())));
    assert!(problem.message.contains("120 pieces"), "{problem}");
}

fn head() -> &'static str {
    "title = \"t\"\n[post]\nfrom = \"453\"\nto = [\"100\"]\ncard = \"ground_advantage_commercial\"\n"
}

#[test]
fn cut_heights_are_kept_tallest_first_and_once() {
    let text = sheet::example().replacen("cut_to = [6, 4]", "cut_to = [4, \"6 in\", 4]", 1);
    let job = read(&text).expect("the sheet has no problem");
    assert_eq!(job.cartons[2].cut_heights, [6.0, 4.0].map(Length::from_inches));
}

#[test]
fn a_broken_line_is_told_once() {
    let problems = read("a = [1 2 3 4]\nb = { c d e }\n").expect_err("the sheet is refused");
    let lines: Vec<_> = problems.iter().map(|problem| problem.line).collect();
    assert_eq!(lines, [1, 2]);
}

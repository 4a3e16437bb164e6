//! The body of the fuzz target `sheet` over its seeds and seeded mutations of them.

#[path = "../../../fuzz/bodies/sheet.rs"]
mod body;
#[path = "../../../fuzz/bodies/mutations.rs"]
mod mutations;

#[test]
fn any_bytes_are_a_job_or_problems_with_a_place_in_the_text() {
    mutations::run(&mutations::seeds("sheet", Some("examples")), body::TOKENS, body::run);
}

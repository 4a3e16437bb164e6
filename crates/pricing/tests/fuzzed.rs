//! The body of the fuzz target `comps` over its seeds and seeded mutations of them.

#[path = "../../../fuzz/bodies/comps.rs"]
mod body;
#[path = "../../../fuzz/bodies/mutations.rs"]
mod mutations;

#[test]
fn any_text_is_comps_or_problems_and_what_is_read_can_be_written() {
    mutations::run(&mutations::seeds("comps", None), body::TOKENS, body::run);
}

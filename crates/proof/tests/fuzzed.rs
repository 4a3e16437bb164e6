//! The body of the fuzz target `proof` over its seeds and seeded mutations of them.

#[path = "../../../fuzz/bodies/proof.rs"]
mod body;
#[path = "../../../fuzz/bodies/mutations.rs"]
mod mutations;

#[test]
fn any_record_is_judged_and_an_overlap_never_passes() {
    mutations::run(&mutations::seeds("proof", None), body::TOKENS, body::run);
}

//! The example and the sheets of the examples folder are read without a problem.
mod desk;

#[test]
fn the_example_reads() {
    match desk::read(sheet::example()) {
        Ok(job) => println!("{:?}", job.finds.iter().map(|f| (f.name.clone(), f.lots())).collect::<Vec<_>>()),
        Err(problems) => panic!("{:#?}", problems.iter().map(|p| p.plain("x")).collect::<Vec<_>>()),
    }
}

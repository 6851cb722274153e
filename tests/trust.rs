//! The page on trust (`src/manual/trust.md`) tells the truth: its commands run, its lists are those of the program.

mod common;

#[test]
fn the_page_has_a_title() {
    let page = include_str!("../src/manual/trust.md");
    assert!(page.starts_with("# Trust"));
}

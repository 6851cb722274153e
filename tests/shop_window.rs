//! The shop window: manual pages and completions, held against the tools that read them, and what a package holds.

mod common;

#[path = "shop_window/completions.rs"]
mod completions;
#[path = "shop_window/examples.rs"]
mod examples;
#[path = "shop_window/manual.rs"]
mod manual;
#[path = "shop_window/package.rs"]
mod package;
#[path = "shop_window/pages.rs"]
mod pages;

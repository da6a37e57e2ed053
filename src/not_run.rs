//! What a test does where a program that it compares with is missing.

/// Says that the test is not run for want of `what`, and returns `None`.
///
/// # Panics
/// Where the variable `CALLOVER_RUN_ALL` is set, as it is where every change is checked: there a test
/// that is left out would pass for one that holds.
#[allow(clippy::print_stdout, reason = "it is said in the tests' output")]
pub(crate) fn not_run<T>(what: &str) -> Option<T> {
    assert!(
        std::env::var_os("CALLOVER_RUN_ALL").is_none(),
        "{what} is missing, and every test must run here"
    );
    println!("NOT RUN: {what} is not installed");
    None
}

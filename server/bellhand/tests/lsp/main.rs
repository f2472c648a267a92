//! The language server over a real pipe, as an editor drives it.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_pass_by_value,
    clippy::print_stdout,
    reason = "a client in a test fails loudly, takes json! as it is written, and says what it has checked"
)]

mod client;
mod completion;
mod envelopes;
mod folders;
mod framing;
mod hovers;
mod leaving;
mod lenses;
mod lines;
mod names;
mod notations;
mod ordering;
mod outline;
mod protocol;
mod reports;
mod session;
mod settings;
mod workspace;

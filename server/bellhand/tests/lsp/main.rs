//! The language server over a real pipe, as an editor drives it.
#![expect(
    clippy::unwrap_used,
    clippy::panic,
    clippy::needless_pass_by_value,
    reason = "a client in a test fails loudly, and takes json! as it is written"
)]

mod client;
mod envelopes;
mod framing;
mod leaving;
mod notations;
mod ordering;
mod reports;
mod session;
mod settings;

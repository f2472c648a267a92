//! The grammar held to its corpus, to the words its nodes cover and to its queries.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod cases;
mod corpus;
mod queries;
mod words;

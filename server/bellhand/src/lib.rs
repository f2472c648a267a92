//! The command line and language server, as a library so that tests and benchmarks can drive them.

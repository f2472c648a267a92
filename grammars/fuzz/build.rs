//! Compiles what tells the fuzzer where C code has been, and links the sanitizers that the C code is built with.

fn main() {
    println!("cargo::rerun-if-changed=src/passed.c");
    cc::Build::new().file("src/passed.c").compile("passed");
    // Named one by one, since the compiler is told to link no libraries of its own.
    println!("cargo::rustc-link-arg-bins=-Wl,--whole-archive,-l:libasan.a,--no-whole-archive");
    println!("cargo::rustc-link-arg-bins=-lubsan");
    println!("cargo::rustc-link-arg-bins=-Wl,--wrap=__sanitizer_cov_trace_pc");
}

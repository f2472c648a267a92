//! Compiles the generated parser and its scanner.

fn main() {
    let source = std::path::Path::new("src");
    let mut build = cc::Build::new();
    build
        .std("c11")
        .include(source)
        .warnings(false)
        .opt_level(2);
    if build.get_compiler().is_like_msvc() {
        build.flag("-utf-8");
    }
    for file in ["parser.c", "scanner.c"] {
        let path = source.join(file);
        println!("cargo::rerun-if-changed={}", path.display());
        build.file(path);
    }
    build.compile("tree-sitter-kern");
}

//! No test is left out: where a folder of tests is linked as one program, that program names every file.

use std::fs;

use support::home;

#[test]
fn every_file_of_tests_is_run() {
    for tests in ["tests/tests", "server/engine/tests"] {
        let folder = home().join("..").join(tests);
        let main = fs::read_to_string(folder.join("main.rs")).unwrap();
        let manifest = fs::read_to_string(folder.join("../Cargo.toml")).unwrap();
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_stem().unwrap().to_str().unwrap();
            let of_its_own = manifest.contains(&format!("\nname = \"{name}\"\npath = "));
            assert!(
                name == "main" || of_its_own || main.contains(&format!("\nmod {name};\n")),
                "{tests}/{name} is not run: {tests}/main.rs does not name it"
            );
        }
    }
}

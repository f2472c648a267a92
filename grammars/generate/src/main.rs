//! Writes every grammar's parser from its grammar.js; with `--check`, says which written parsers are stale.

use std::{
    env, error, fs, io,
    path::{Path, PathBuf},
    process::ExitCode,
};

use tree_sitter_generate::{ABI_VERSION_MAX, OptLevel, generate_parser_in_directory};

type Failure = Box<dyn error::Error>;

fn main() -> ExitCode {
    let check = match env::args().skip(1).collect::<Vec<_>>().as_slice() {
        [] => false,
        [flag] if flag == "--check" => true,
        _ => return complain("usage: bellhand-grammar-generate [--check]"),
    };
    match run(check) {
        Ok(stale) if stale.is_empty() => ExitCode::SUCCESS,
        Ok(stale) => {
            for file in stale {
                complain(&format!("stale: {}", file.display()));
            }
            complain("run `cargo run -p bellhand-grammar-generate` and commit what it writes")
        }
        Err(failure) => complain(&failure.to_string()),
    }
}

#[allow(clippy::print_stderr)]
fn complain(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::FAILURE
}

/// Generates all grammars, or only compares; returns the files that differ from what the grammars say.
fn run(check: bool) -> Result<Vec<PathBuf>, Failure> {
    let grammars = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("..")
        .canonicalize()?;
    let mut roots: Vec<PathBuf> = fs::read_dir(&grammars)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<Vec<_>>>()?
        .into_iter()
        .filter(|root| root.join("grammar.js").is_file())
        .collect();
    roots.sort();

    let mut stale = Vec::new();
    for root in roots {
        let written = root.join("src");
        if !check {
            generate(&root, &written)?;
            continue;
        }
        let fresh = tempfile::tempdir()?;
        generate(&root, fresh.path())?;
        for file in files_below(fresh.path())? {
            let ours = written.join(file.strip_prefix(fresh.path())?);
            if fs::read(&ours).ok() != Some(fs::read(&file)?) {
                stale.push(ours);
            }
        }
    }
    Ok(stale)
}

fn generate(root: &Path, out: &Path) -> Result<(), Failure> {
    let mut diagnostics = Vec::new();
    generate_parser_in_directory(
        root,
        Some(out),
        None::<PathBuf>,
        ABI_VERSION_MAX,
        None,
        Some("native"),
        true,
        OptLevel::default(),
        &mut diagnostics,
    )
    .map_err(|error| format!("{}: {error}", root.display()))?;
    for diagnostic in diagnostics {
        complain(&format!("{}: {diagnostic}", root.display()));
    }
    Ok(())
}

fn files_below(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            files.extend(files_below(&path)?);
        } else {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

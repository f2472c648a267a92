//! What an installer and other programs take from the command.

use super::*;

#[test]
fn shells_and_the_manual_know_every_command() {
    let commands = [
        "check", "fix", "rewrite", "notes", "draw", "rip", "explain", "lsp",
    ];
    for shell in ["bash", "zsh", "fish", "powershell"] {
        let script = text(&run(&["completions", shell], b"").stdout);
        for word in commands {
            assert!(script.contains(word), "{shell} does not know {word}");
        }
        // The other two are offered options and commands only.
        let knows_rules = script.contains("stopped/too-low");
        assert_eq!(knows_rules, matches!(shell, "bash" | "zsh"), "{shell}");
    }
    let page = text(&run(&["man"], b"").stdout);
    assert!(page.contains(".TH bellhand"), "{page}");
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("man1");
    let done = run(&["man", "--into", into.to_str().unwrap()], b"");
    assert_eq!(done.status.code(), Some(0), "{}", text(&done.stderr));
    for command in commands {
        let page = into.join(format!("bellhand-{command}.1"));
        assert!(std::fs::read_to_string(&page).unwrap().contains(command));
    }
    // Letters beyond ASCII are named, since formatters differ in how they read their bytes.
    let page = std::fs::read_to_string(into.join("bellhand-fingering.1")).unwrap();
    assert!(page.is_ascii() && page.contains(r"\[u266D]"), "{page}");
}

#[test]
fn the_settings_schema_is_written() {
    let written = run(&["explain", "--settings-schema"], b"");
    assert_eq!(written.status.code(), Some(0));
    let schema: Value = serde_json::from_slice(&written.stdout).unwrap();
    assert_eq!(schema["title"], "bellhand.toml");
    let rules = schema["properties"]["rules"]["properties"]
        .as_object()
        .unwrap();
    let of_rules = rules.keys().filter(|name| name.contains('/')).count();
    assert_eq!(of_rules, rules::ALL.len());
    assert!(rules.contains_key("all") && rules.contains_key("stopped"));
}

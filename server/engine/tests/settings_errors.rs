//! What is said of a settings file that cannot be used names the file and the place in it.

use engine::{Settings, SettingsError};

#[test]
fn a_slip_is_told_with_its_file_and_place() {
    let slip = SettingsError {
        path: "pier/bellhand.toml".into(),
        place: Some((3, 5)),
        message: "expected a level".to_owned(),
    };
    assert_eq!(slip.to_string(), "pier/bellhand.toml:3:5: expected a level");
    let absent = Settings::read("no/such/bellhand.toml".as_ref()).err();
    let said = absent.map(|error| error.to_string()).unwrap_or_default();
    assert!(
        said.starts_with("no/such/bellhand.toml: cannot be read: "),
        "{said}"
    );
}

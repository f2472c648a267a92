//! What is said of a settings file that cannot be used names the file and the place in it.

use engine::{OnDisk, SettingsError, load};

#[test]
fn a_slip_is_told_with_its_file_and_place() {
    let slip = SettingsError {
        path: "pier/bellhand.toml".into(),
        place: Some((20..28, (3, 5))),
        message: "expected a level".to_owned(),
        instead: None,
    };
    assert_eq!(slip.to_string(), "pier/bellhand.toml:3:5: expected a level");
    let absent = load("no/such/bellhand.toml".as_ref(), None, &OnDisk);
    let said: Vec<_> = absent.errors.iter().map(ToString::to_string).collect();
    assert!(
        said.len() == 1 && said[0].starts_with("no/such/bellhand.toml: cannot be read: "),
        "{said:?}"
    );
}

//! Desks: who is let in, what is kept, and what students cannot do to each other.

use std::fs::read_to_string;

use serde_json::json;

use crate::Class;

const FIXED: &str = "evening-ferry-fixed.abc";

fn class() -> Class {
    Class::of(&[("ada/horn.abc", FIXED)], &["--desks"])
}

#[test]
fn a_student_writes_and_the_file_holds_it() {
    let class = class();
    let mut cy = class.student("  Cy  of the <Pier> ");
    let id = cy.begin("Ferry & Bell");
    let (text, tag) = cy.piece(&id);
    let more = text.replace("z4 |]", "c4 |]");
    let saved = cy.save(&id, &tag, &more);
    assert_eq!(saved.status, 204, "{}", saved.text());
    let path = class.path("Cy of the-Pier/Ferry-Bell.abc");
    assert_eq!(read_to_string(&path).unwrap(), more);
    // The tag that comes back is that of what is kept now.
    let (kept, tag) = cy.piece(&id);
    assert_eq!((kept, Some(tag.as_str())), (more, saved.header("etag")));
    let state = cy.get("/desk/state").json();
    assert_eq!(state["pieces"][0]["file"], "Ferry-Bell.abc");
    assert_eq!(state["name"], "Cy of the <Pier>");
}

#[test]
fn two_windows_never_overwrite_each_other_in_silence() {
    let class = class();
    let mut one = class.student("Cy");
    let id = one.begin("Duet");
    let (text, tag) = one.piece(&id);
    let state = one.get("/desk/state").json();
    // Back from another browser by the desk's word.
    let mut other = class.browser();
    let word = state["word"].as_str().unwrap();
    assert_eq!(other.enter(&class.code, "cy", word).status, 200);
    let first = format!("{text}% one\n");
    assert_eq!(one.save(&id, &tag, &first).status, 204);
    let second = other.save(&id, &tag, &format!("{text}% other\n"));
    assert_eq!(second.status, 412);
    assert_eq!(second.json()["text"], first.as_str());
    let path = class.path("Cy/Duet.abc");
    assert_eq!(read_to_string(&path).unwrap(), first);
    // With what is kept now it is the student's choice.
    let tag = second.json()["etag"].as_str().unwrap().to_owned();
    assert_eq!(other.save(&id, &tag, &text).status, 204);
    // What a teacher saves in the folder meanwhile is safe, too.
    std::fs::write(&path, "X:1\n% from the teacher\n").unwrap();
    let (_, old) = (0, tag);
    assert_eq!(one.save(&id, &old, "X:2\n").status, 412);
    assert!(read_to_string(&path).unwrap().contains("teacher"));
    // The same text again is no conflict.
    let kept = read_to_string(&path).unwrap();
    assert_eq!(one.save(&id, "\"0\"", &kept).status, 204);
}

#[test]
fn nobody_comes_in_without_the_code_or_in_anothers_name() {
    let class = class();
    let mut browser = class.browser();
    for code in ["", "000000", &class.code[1..]] {
        assert_eq!(browser.enter(code, "Cy", "").status, 401, "{code}");
    }
    assert_eq!(browser.get("/desk/state").status, 401);
    for name in ["", "  ", "..", "🎵", &"a".repeat(200)] {
        assert_eq!(browser.enter(&class.code, name, "").status, 422, "{name}");
    }
    let typed = format!(" {}-{} ", class.code[..3].to_lowercase(), &class.code[3..]);
    assert_eq!(browser.enter(&typed, "Cy", "").status, 200);
    for (name, word) in [("Cy", ""), ("cy", "AAAA"), (" CY ", &class.code)] {
        let answer = class.browser().enter(&class.code, name, word);
        assert_eq!(answer.status, 401, "{name} {word}");
        assert!(
            answer.text().contains("at the desk as Cy already"),
            "{}",
            answer.text()
        );
    }
}

#[test]
fn guessing_is_slow() {
    let class = class();
    let mut browser = class.browser();
    let mut refused = 0;
    for number in 0..40 {
        let status = browser.enter(&format!("{number:06}"), "Cy", "").status;
        refused += usize::from(status == 429);
        assert!(status == 401 || status == 429);
    }
    assert!(refused >= 28, "{refused}");
    // Who is locked out is so with the right code, too; else trying would tell.
    assert_eq!(browser.enter(&class.code, "Cy", "").status, 429);
}

#[test]
fn a_student_reaches_no_other_students_piece() {
    let class = class();
    let mut ada = class.student("ada");
    let state = ada.get("/desk/state").json();
    let theirs = state["pieces"][0]["id"].as_str().unwrap().to_owned();
    let mut cy = class.student("Cy");
    assert_eq!(cy.get(&format!("/desk/piece/{theirs}")).status, 404);
    assert_eq!(cy.save(&theirs, "\"0\"", "X:1\n").status, 404);
    let before = read_to_string(class.path("ada/horn.abc")).unwrap();
    let id = cy.begin("../ada/horn");
    assert_eq!(
        cy.get("/desk/state").json()["pieces"][0]["file"],
        "ada-horn.abc"
    );
    let (_, tag) = cy.piece(&id);
    assert_eq!(cy.save(&id, &tag, "X:1\n").status, 204);
    assert_eq!(read_to_string(class.path("ada/horn.abc")).unwrap(), before);
    // Once gone, the browser is nobody's.
    assert_eq!(cy.post("/desk/leave", &json!({})).status, 204);
    assert_eq!(cy.get("/desk/state").status, 401);
}

#[cfg(unix)]
#[test]
fn a_link_leads_a_desk_nowhere() {
    let class = class();
    let outside = tempfile::tempdir().unwrap();
    let secret = outside.path().join("secret.abc");
    std::fs::write(&secret, "X:1\nT:secret\nK:C\n").unwrap();
    let mut cy = class.student("Cy");
    let id = cy.begin("Mine");
    std::os::unix::fs::symlink(&secret, class.path("Cy/linked.abc")).unwrap();
    let state = cy.get("/desk/state").json();
    assert_eq!(state["pieces"].as_array().unwrap().len(), 1, "{state}");
    std::fs::remove_file(class.path("Cy/Mine.abc")).unwrap();
    std::os::unix::fs::symlink(&secret, class.path("Cy/Mine.abc")).unwrap();
    assert_eq!(cy.get(&format!("/desk/piece/{id}")).status, 404);
    assert_eq!(cy.save(&id, "\"0\"", "X:1\n").status, 404);
    assert!(read_to_string(&secret).unwrap().contains("T:secret"));
}

#[test]
fn sizes_rates_and_counts_have_an_end() {
    let class = class();
    let mut cy = class.student("Cy");
    let id = cy.begin("Large");
    let (_, tag) = cy.piece(&id);
    let before = read_to_string(class.path("Cy/Large.abc")).unwrap();
    assert_eq!(cy.save(&id, &tag, &"c".repeat(200 << 10)).status, 413);
    // A paste of 64 MB is refused before it is read.
    let refused = cy.save(&id, &tag, &"c".repeat(64 << 20));
    assert_eq!((refused.status, refused.taken), (413, false));
    assert_eq!(read_to_string(class.path("Cy/Large.abc")).unwrap(), before);
    assert_eq!(
        cy.tell(
            "PUT",
            &format!("/desk/piece/{id}"),
            &[("If-Match", &tag)],
            &[0xff, 0xfe]
        )
        .status,
        422
    );
    assert_eq!(
        cy.tell("PUT", &format!("/desk/piece/{id}"), &[], b"X:1")
            .status,
        428
    );
    let mut begun = 1;
    loop {
        let answer = cy.post(
            "/desk/piece",
            &json!({ "notation": "abc", "title": "Large" }),
        );
        if answer.status != 201 {
            assert_eq!(answer.status, 429);
            break;
        }
        begun += 1;
    }
    assert_eq!(begun, 20);
    let odd = cy.post(
        "/desk/piece",
        &json!({ "notation": "pictures", "title": "x" }),
    );
    assert_eq!(odd.status, 422);
    // A flood is stopped at its own desk alone.
    let flood = (0..200)
        .filter(|_| cy.get("/desk/state").status == 429)
        .count();
    assert!(flood > 50, "{flood}");
    assert_eq!(class.student("Di").get("/desk/state").status, 200);
}

#[test]
fn a_name_is_what_the_class_knows_it_as() {
    let folder = tempfile::tempdir().unwrap();
    let names = folder.path().join("names.txt");
    std::fs::write(&names, "ada = Ada Brook\n").unwrap();
    let class = Class::of(
        &[("ada/horn.abc", FIXED)],
        &["--desks", "--names", names.to_str().unwrap()],
    );
    let mut ada = class.student("ada brook");
    let state = ada.get("/desk/state").json();
    assert_eq!(
        (&state["name"], &state["pieces"][0]["file"]),
        (&"Ada Brook".into(), &"horn.abc".into())
    );
}

#[test]
fn a_day_is_forgotten() {
    let class = class();
    class.student("Cy").begin("Gone");
    let forget = |day: &str| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_bellhand"));
        let folder = class.folder.path();
        let output = command.arg("class").arg(folder).args(["--forget", day]);
        let output = output.output().unwrap();
        (
            output.status.code(),
            String::from_utf8(output.stdout).unwrap(),
        )
    };
    let (code, said) = forget("2001-01-01");
    assert!(code == Some(0) && said.contains("No piece"), "{said}");
    assert!(class.path("Cy/Gone.abc").exists());
    let (code, said) = forget("today");
    assert!(
        code == Some(0) && said.contains("Gone.abc is deleted"),
        "{said}"
    );
    assert!(!class.path("Cy").exists() && class.path("ada/horn.abc").exists());
    // Nothing about students is left but their scores.
    let left = std::fs::read_dir(class.folder.path()).unwrap().count();
    assert_eq!(left, 1);
    assert_eq!(forget("someday").0, Some(2));
}

#[test]
fn one_machine_takes_no_more_desks_than_a_class_has() {
    let class = class();
    let mut browser = class.browser();
    let entered = (0..80).filter(|number| {
        let name = format!("Student {number}");
        browser.enter(&class.code, &name, "").status == 200
    });
    let entered = entered.count();
    assert!((60..70).contains(&entered), "{entered}");
}

#[test]
fn a_desk_forgets_the_browser_that_came_first() {
    let class = class();
    let mut first = class.student("Cy");
    let word = first.get("/desk/state").json()["word"]
        .as_str()
        .unwrap()
        .to_owned();
    let mut others: Vec<_> = (0..8).map(|_| class.browser()).collect();
    for other in &mut others {
        assert_eq!(other.enter(&class.code, "Cy", &word).status, 200);
    }
    assert_eq!(first.get("/desk/state").status, 401);
    assert!(
        others
            .iter_mut()
            .all(|other| other.get("/desk/state").status == 200)
    );
}

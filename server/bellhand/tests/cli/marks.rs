//! The marks of a class: whose answers they are, what they came to, and in which shapes they are written.

use super::*;

/// A lesson with two faults, and what is asked for.
const LESSON: &str = "X:1\nT:Fog at the Pier\n% bellhand: task Move what is stopped up\n\
    % bellhand: expect stopped/too-low in bar 2\n% bellhand: expect range/too-high in bar 4\nM:4/4\nL:1/4\nQ:1/4=84\nK:none\n\
    V:1 name=\"Horn in F\" transpose=-7\n!mf! c d e c | \"^stopped\" A,4 | \"^open\" c4 | f'4 | c4 |]\n";
const OTHER: &str = "X:1\nT:Slack Water\n% bellhand: expect range/too-low in bar 1\nM:4/4\nL:1/4\nQ:1/4=84\nK:none\n\
    V:1 name=\"Horn in F\" transpose=-7\n!mf! C,,4 | c4 |]\n";

/// A folder of lessons and a folder of students.
struct School(tempfile::TempDir);

impl School {
    fn new() -> Self {
        let school = Self(tempfile::tempdir().unwrap());
        school.place("lessons/01-fog.abc", LESSON);
        school.place("lessons/02-water.abc", OTHER);
        let fixed = LESSON.replace("A,4", "A4").replace("f'4", "f4");
        school.place("river/ada/01-fog.abc", &fixed);
        school.place("river/ada/02-water.abc", OTHER);
        school.place(
            "river/ben/homework.abc",
            &LESSON.replace("| c4 |]", "| d4 |]"),
        );
        school.place("river/=1+2.abc", &LESSON.replace("A,4", "d'''4"));
        school.place("river/di/tune.abc", PART);
        school
    }

    fn place(&self, name: &str, words: &str) {
        let path = self.0.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, words).unwrap();
    }

    fn marks(&self, words: &[&str]) -> Output {
        Command::new(env!("CARGO_BIN_EXE_bellhand"))
            .args(["class", "river", "--lessons"])
            .args(words)
            .current_dir(self.0.path())
            .output()
            .unwrap()
    }
}

#[test]
fn each_student_has_marks_for_each_lesson() {
    let output = School::new().marks(&["lessons", "--marks", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let class = json(&output);
    assert_eq!(
        (&class["version"], &class["class"]),
        (&1.into(), &"river".into())
    );
    let lessons: Vec<_> = class["lessons"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| &one["file"])
        .collect();
    assert_eq!(lessons, ["01-fog.abc", "02-water.abc"]);
    let students = class["students"].as_array().unwrap();
    let sums = students
        .iter()
        .map(|one| serde_json::json!([one["name"], one["sum"], one["missing"]]));
    let sum = |asked: u32, fixed: u32, new: u32, kept: bool| {
        let left = asked - fixed;
        serde_json::json!({ "asked": asked, "fixed": fixed, "left": left, "new": new, "kept": kept })
    };
    let all = ["01-fog.abc", "02-water.abc"];
    assert_eq!(
        sums.collect::<Vec<_>>(),
        [
            serde_json::json!(["=1+2", sum(2, 1, 2, true), [all[1]]]),
            serde_json::json!(["ada", sum(3, 2, 0, true), []]),
            serde_json::json!(["ben", sum(2, 0, 0, false), [all[1]]]),
            serde_json::json!(["di", null, all]),
        ]
    );
    let ben = &students[2]["marks"][0];
    assert_eq!(
        (&ben["file"], &ben["by"]),
        (&"homework.abc".into(), &"title".into())
    );
    assert_eq!(
        ben["changed"],
        serde_json::json!([{"part": "Horn in F", "bar": 5, "what": "pitch"}])
    );
    let asked = &students[1]["marks"][0]["asked"][0];
    assert_eq!(
        *asked,
        serde_json::json!({
            "rule": "stopped/too-low", "bar": 2, "part": "Horn in F", "task": "Move what is stopped up", "hints": [],
            "fixed": true,
        })
    );
}

#[test]
fn the_table_has_a_line_for_each_student_and_lesson_and_no_formula() {
    let school = School::new();
    school.place(
        "names",
        "ada = =SUM(A1)\nben = Ben \"the Bell\" Low, of the Pier\n",
    );
    let output = school.marks(&["lessons", "--marks", "csv", "--names", "names"]);
    let table = text(&output.stdout);
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(lines.len(), 1 + 4 * 2, "{table}");
    assert!(lines[0].starts_with("student,lesson,title,file,answered,asked,fixed,left,new,kept,"));
    assert!(
        lines[1].starts_with("'=1+2,01-fog.abc,Fog at the Pier,'=1+2.abc,yes,2,1,1,2,yes,"),
        "{table}"
    );
    assert!(
        lines[1].contains("range/too-high bar 2 Horn in F"),
        "{table}"
    );
    assert_eq!(
        lines[3],
        "'=SUM(A1),01-fog.abc,Fog at the Pier,01-fog.abc,yes,2,2,0,0,yes,,,,"
    );
    assert!(
        lines[5].starts_with("\"Ben \"\"the Bell\"\" Low, of the Pier\",01-fog.abc,"),
        "{table}"
    );
    assert!(
        lines[5].contains(",bar 5 Horn in F: other notes,"),
        "{table}"
    );
    assert_eq!(lines[7], "di,01-fog.abc,Fog at the Pier,,no,2,,,,,,,,");
}

#[test]
fn the_page_shows_names_and_titles_as_they_are() {
    let school = School::new();
    school.place("names", "ada = <b>Ada</b>\n");
    school.place(
        "lessons/03.abc",
        &LESSON.replace("Fog at the Pier", "<script>alert(1)</script>"),
    );
    let output = school.marks(&["lessons", "--marks", "html", "--names", "names"]);
    let page = text(&output.stdout);
    assert!(!page.contains("<script") && !page.contains("<b>"), "{page}");
    assert!(
        page.contains("&lt;b&gt;Ada&lt;/b&gt;") && page.contains("&lt;script&gt;"),
        "{page}"
    );
    assert!(
        page.contains("<td class=\"good\">2 of 2<br>music kept</td>"),
        "{page}"
    );
    assert!(page.contains("<td>0 of 2<br>music changed</td>"), "{page}");
    assert!(page.contains("No answer to any of the lessons."), "{page}");
}

#[test]
fn the_surest_answer_counts_and_of_those_the_latest() {
    let school = School::new();
    let fixed = LESSON.replace("A,4", "A4");
    // Another notation's name, and an old copy in a folder: neither is surer than the file itself.
    school.place("river/ada/01-fog.krn", "**kern\n*-\n");
    school.place("river/ada/old/copy.abc", &fixed);
    let output = school.marks(&["lessons/01-fog.abc", "--marks", "json"]);
    let class = json(&output);
    let ada = &class["students"][1]["marks"][0];
    assert_eq!(
        (&ada["file"], &ada["by"]),
        (&"01-fog.abc".into(), &"file".into())
    );
}

#[test]
fn what_cannot_be_read_or_is_no_lesson_is_told() {
    let school = School::new();
    school.place("lessons/tune.abc", PART);
    std::fs::write(
        school.0.path().join("river/di/01-fog.musicxml"),
        [0xff, 0xfe, 0x00],
    )
    .unwrap();
    let output = school.marks(&["lessons", "--marks", "json"]);
    assert_eq!(output.status.code(), Some(2));
    let told = text(&output.stderr);
    assert!(
        told.contains("tune.abc: no lesson; a comment such as"),
        "{told}"
    );
    assert!(told.contains("di: 01-fog.musicxml"), "{told}");
    assert_eq!(json(&output)["students"].as_array().unwrap().len(), 4);
    for (words, why) in [
        (
            &["river/di/tune.abc", "--marks", "csv"][..],
            "there is no lesson here",
        ),
        (&["nowhere", "--marks", "csv"], "nowhere cannot be read"),
        (&["lessons", "--marks", "xml"], "invalid value 'xml'"),
    ] {
        let output = school.marks(words);
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        assert!(
            text(&output.stderr).contains(why),
            "{}",
            text(&output.stderr)
        );
        assert_eq!(text(&output.stdout), "");
    }
}

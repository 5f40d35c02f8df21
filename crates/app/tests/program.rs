//! The program as a process. (An integration test beside the program also has cargo build it, so that
//! the acceptance tests find it.)

use std::process::Command;

#[test]
fn help_names_every_verb_and_the_caution() {
    let output = Command::new(env!("CARGO_BIN_EXE_keelsward")).arg("--help").output().expect("it runs");
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(output.status.success());
    for word in ["assess", "lanes", "import", "settings", "A planning aid", "pilot's judgement"] {
        assert!(text.contains(word), "{word} is not in:\n{text}");
    }
}

#[test]
fn without_a_display_the_assessment_comes_as_text() {
    let strip = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-strips/thimble-croft.strip.ron");
    let output = Command::new(env!("CARGO_BIN_EXE_keelsward"))
        .arg(strip)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("it runs");
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(output.status.success());
    assert!(text.starts_with("No display here"), "{text}");
    assert!(text.contains("DOES NOT FIT"), "{text}");
}

use super::*;

fn error(text: &str) -> String {
    parse(7, text).unwrap_err().error
}

#[test]
fn the_contracts_own_line_is_read() {
    let text = r#"{"id": "a", "audio": "path", "start_s": 0.0, "end_s": 1.2, "word": "pig", "sounds": ["P","IH","G"], "speaking": "whole"}"#;
    let line = parse(1, text).unwrap();
    assert_eq!(
        (line.start_s, line.end_s, line.speaking),
        (Some(0.0), Some(1.2), Some(Speaking::Whole))
    );
    let LineQuestion::Count(WantedWord { word, sounds }) = line.question else {
        panic!("not a count")
    };
    assert_eq!(word.as_deref(), Some("pig"));
    assert_eq!(sounds, Some(vec![Sound::P, Sound::IH, Sound::G]));
}

#[test]
fn with_no_word_and_no_sounds_the_count_is_blind() {
    let line = parse(
        1,
        r#"{"id": 3, "audio": "a.wav", "note": "any field of the writer's own"}"#,
    )
    .unwrap();
    assert_eq!(line.question, LineQuestion::Count(WantedWord::default()));
}

#[test]
fn an_error_names_line_field_what_was_found_and_what_was_wanted() {
    for (text, parts) in [
        (r#"{"audio": "a"}"#, ["line 7", "`id`", "not there", "text"]),
        (r#"{"id": "a", "audio": 5}"#, ["line 7", "`audio`", "5", "text"]),
        (
            r#"{"id": "a", "audio": "a", "start_s": "x"}"#,
            ["line 7", "`start_s`", "\"x\"", "seconds"],
        ),
        (
            r#"{"id": "a", "audio": "a", "start_s": -1}"#,
            ["line 7", "`start_s`", "-1", "seconds"],
        ),
        (
            r#"{"id": "a", "audio": "a", "start_s": 2, "end_s": 1}"#,
            ["line 7", "`end_s`", "1", "after"],
        ),
        (
            r#"{"id": "a", "audio": "a", "speaking": "fast"}"#,
            ["line 7", "`speaking`", "fast", "stretched"],
        ),
        (
            r#"{"id": "a", "audio": "a", "sounds": ["P", "QQ"]}"#,
            ["line 7", "`sounds`", "QQ", "ARPAbet"],
        ),
        (
            r#"{"id": "a", "audio": "a", "words": ["one"]}"#,
            ["line 7", "`words`", "one", "two or more"],
        ),
        (
            r#"{"id": "a", "audio": "a", "words": ["a", 2]}"#,
            ["line 7", "`words`", "2", "two or more"],
        ),
        (
            r#"{"id": "a", "audio": "a", "choices": [["P"], 3]}"#,
            ["line 7", "`choices`", "3", "ARPAbet"],
        ),
        (
            r#"{"id": "a", "audio": "a", "rules": {"x": 1}}"#,
            ["line 7", "`rules`", "1", "object"],
        ),
        (
            r#"{"id": "a", "audio": "a", "spekaing": "whole"}"#,
            ["line 7", "`spekaing`", "no such field", "`speaking`"],
        ),
        ("[1, 2]", ["line 7", "found [1,2]", "wanted", "object"]),
        ("{\"id\": ", ["line 7", "not JSON", "wanted", "object"]),
    ] {
        let error = error(text);
        assert!(parts.iter().all(|p| error.contains(p)), "{text} gave: {error}");
        assert!(!error.contains('\n'));
    }
}

#[test]
fn a_bad_line_keeps_its_id() {
    assert_eq!(parse(1, r#"{"id": "k", "audio": null}"#).unwrap_err().id, "k");
}

#[test]
fn lines_are_counted_over_empty_ones_and_a_bad_one_does_not_stop_the_rest() {
    let text = b"\xEF\xBB\xBF\n{\"id\":1,\"audio\":\"a\"}\r\n\n\xff\xfe\n{\"id\":2,\"audio\":\"b\"}";
    let mut lines = Lines::new(&text[..]);
    assert_eq!(lines.next().unwrap().unwrap().unwrap().id, 1);
    assert!(
        lines
            .next()
            .unwrap()
            .unwrap()
            .unwrap_err()
            .error
            .starts_with("line 4: not UTF-8")
    );
    assert_eq!(lines.next().unwrap().unwrap().unwrap().id, 2);
    assert!(lines.next().unwrap().is_none());
}

#[test]
fn a_line_without_end_is_refused_and_the_next_is_read() {
    let mut text = vec![b'x'; LONGEST_LINE * 2];
    text.extend_from_slice(b"\n{\"id\":2,\"audio\":\"b\"}\n");
    let mut lines = Lines::new(&text[..]);
    assert!(
        lines
            .next()
            .unwrap()
            .unwrap()
            .unwrap_err()
            .error
            .contains("longer than")
    );
    assert_eq!(lines.next().unwrap().unwrap().unwrap().id, 2);
}

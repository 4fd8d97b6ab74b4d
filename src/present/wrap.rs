//! Breaks running text into lines.

/// Wraps `text` at spaces to `width` columns. The first line starts with
/// `first`, the others with as many blanks; a word longer than a line stays
/// whole. Line breaks in the text are kept.
pub(super) fn wrap(text: &str, width: usize, first: &str) -> Vec<String> {
    let indent = first.chars().count();
    let room = width.saturating_sub(indent).max(20);
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        for line in fill(paragraph, room) {
            let lead = if lines.is_empty() {
                first.to_owned()
            } else {
                " ".repeat(indent)
            };
            lines.push(format!("{lead}{line}").trim_end().to_owned());
        }
    }
    lines
}

/// Breaks a text at spaces into rows of at most `room` letters; a word longer than
/// a row stays whole.
pub(super) fn fill(paragraph: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut used = 0;
    for word in paragraph.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > room {
            lines.push(String::new());
            used = 0;
        }
        if let Some(line) = lines.last_mut() {
            if used > 0 {
                line.push(' ');
                used += 1;
            }
            line.push_str(word);
            used += length;
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::wrap;

    #[test]
    fn lines_stay_within_the_width_and_hang_under_the_first() {
        let lines = wrap("one two three four five six seven", 24, "  - ");
        assert_eq!(lines, ["  - one two three four", "    five six seven"]);
    }

    #[test]
    fn blank_lines_stay() {
        assert_eq!(wrap("one\n\ntwo", 40, ""), ["one", "", "two"]);
    }
}

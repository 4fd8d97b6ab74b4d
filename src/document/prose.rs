//! Reads the plain text of pages into paragraphs and bullets.

use super::Document;

impl Document {
    /// Adds text written over several lines: a blank line ends a paragraph,
    /// lines that start with `- ` are bullets.
    pub fn prose(&mut self, text: &str) -> &mut Self {
        for chunk in text.split("\n\n") {
            let mut words: Vec<String> = Vec::new();
            let mut bullets: Vec<String> = Vec::new();
            for line in chunk.lines().map(str::trim).filter(|line| !line.is_empty()) {
                match (line.strip_prefix("- "), bullets.last_mut()) {
                    (Some(item), _) => bullets.push(item.to_owned()),
                    (None, Some(open)) => {
                        open.push(' ');
                        open.push_str(line);
                    }
                    (None, None) => words.push(line.to_owned()),
                }
            }
            if !words.is_empty() {
                self.paragraph(words.join(" "));
            }
            self.bullets(bullets);
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use crate::document::{Block, Document};

    #[test]
    fn lines_join_into_paragraphs_and_bullets_stay_apart() {
        let mut document = Document::new();
        document.prose("one\ntwo\n\nthree:\n- four\n  five\n- six\n");
        let expected = [
            Block::Paragraph("one two".into()),
            Block::Paragraph("three:".into()),
            Block::Bullets(vec!["four five".into(), "six".into()]),
        ];
        assert_eq!(document.blocks(), expected);
    }
}

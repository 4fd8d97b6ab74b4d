//! Running text: names in backticks become names.

use crate::markup::{Node, element};

/// Text with what stands in backticks as code; an odd backtick stays as it is.
pub(super) fn words(text: &str) -> Vec<Node> {
    let pieces: Vec<&str> = text.split('`').collect();
    let paired = pieces.len() - usize::from(pieces.len().is_multiple_of(2));
    let mut nodes = Vec::new();
    for (at, piece) in pieces.iter().enumerate() {
        match at {
            _ if at >= paired => nodes.push(Node::Text(format!("`{piece}"))),
            _ if at % 2 == 1 => nodes.push(element("code").text(piece).into()),
            _ if piece.is_empty() => {}
            _ => nodes.push(Node::from(*piece)),
        }
    }
    nodes
}

#[cfg(test)]
mod tests {
    use super::words;
    use crate::markup::element;

    fn shown(text: &str) -> String {
        element("b").all(words(text)).html()
    }

    #[test]
    fn names_are_set_apart_and_an_odd_backtick_stays() {
        assert_eq!(shown("`a` to b"), "<b><code>a</code> to b</b>");
        assert_eq!(shown("a ` b"), "<b>a ` b</b>");
    }
}

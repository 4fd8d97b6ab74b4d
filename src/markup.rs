//! Pages and pictures as trees of elements.
//!
//! A tree cannot be left open, and text is escaped in one place when it is
//! written: names out of a circuit file are inert by construction. Signs that
//! neither HTML nor XML may hold, and those that turn the direction of writing,
//! do not get through.

use std::fmt::Display;

/// A piece of a page.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// An element.
    Element(Element),
    /// Text, escaped when written.
    Text(String),
    /// The inside of `<style>` or `<script>`: our own words, written as they are.
    Verbatim(&'static str),
}

/// An element with its attributes and what is in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    children: Vec<Node>,
}

/// Starts an element.
pub fn element(name: &'static str) -> Element {
    Element {
        name,
        attributes: Vec::new(),
        children: Vec::new(),
    }
}

impl Element {
    /// Adds an attribute.
    #[must_use]
    pub fn attr(mut self, name: &'static str, value: impl Display) -> Self {
        self.attributes.push((name, value.to_string()));
        self
    }

    /// Adds an attribute whose presence alone counts.
    #[must_use]
    pub fn flag(self, name: &'static str, set: bool) -> Self {
        if set { self.attr(name, "") } else { self }
    }

    /// Gives it a class.
    #[must_use]
    pub fn class(self, names: impl Display) -> Self {
        self.attr("class", names)
    }

    /// Adds text.
    #[must_use]
    pub fn text(mut self, text: impl Display) -> Self {
        self.children.push(Node::Text(text.to_string()));
        self
    }

    /// Adds a child.
    #[must_use]
    pub fn with(mut self, child: impl Into<Node>) -> Self {
        self.children.push(child.into());
        self
    }

    /// Adds children.
    #[must_use]
    pub fn all<T: Into<Node>>(mut self, children: impl IntoIterator<Item = T>) -> Self {
        self.children.extend(children.into_iter().map(Into::into));
        self
    }

    /// Adds the inside of `<style>` or `<script>`.
    #[must_use]
    pub fn verbatim(self, text: &'static str) -> Self {
        self.with(Node::Verbatim(text))
    }

    /// As HTML.
    pub fn html(&self) -> String {
        let mut out = String::new();
        self.write(Kind::Html, &mut out);
        out
    }

    /// As XML.
    pub fn xml(&self) -> String {
        let mut out = String::new();
        self.write(Kind::Xml, &mut out);
        out
    }

    fn write(&self, kind: Kind, out: &mut String) {
        out.push('<');
        out.push_str(self.name);
        for (name, value) in &self.attributes {
            out.push(' ');
            out.push_str(name);
            out.push_str("=\"");
            escape(value, out);
            out.push('"');
        }
        let empty = self.children.is_empty();
        match kind {
            Kind::Xml if empty => return out.push_str("/>"),
            Kind::Html if empty && VOID.contains(&self.name) => return out.push('>'),
            _ => out.push('>'),
        }
        for child in &self.children {
            match child {
                Node::Element(element) => element.write(kind, out),
                Node::Text(text) => escape(text, out),
                Node::Verbatim(text) => out.push_str(text),
            }
        }
        out.push_str("</");
        out.push_str(self.name);
        out.push('>');
        if BLOCKS.contains(&self.name) {
            out.push('\n');
        }
    }
}

impl From<Element> for Node {
    fn from(element: Element) -> Self {
        Self::Element(element)
    }
}

impl From<String> for Node {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Node {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

#[derive(Debug, Clone, Copy)]
enum Kind {
    Html,
    Xml,
}

/// Elements of HTML that are never closed.
const VOID: [&str; 7] = ["meta", "input", "br", "hr", "link", "img", "col"];
/// Elements after which a new line starts, so that a page can be read as text.
const BLOCKS: [&str; 17] = [
    "p", "li", "tr", "table", "section", "h1", "h2", "h3", "svg", "g", "ul", "ol", "div", "figure",
    "head", "style", "fieldset",
];

/// Writes text so that it is only text.
fn escape(text: &str, out: &mut String) {
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(sign),
            turning if TURNING.contains(&turning) => {}
            other if is_forbidden(other) => out.push('\u{fffd}'),
            other => out.push(other),
        }
    }
}

/// Signs that turn the direction in which their neighbours are written.
const TURNING: [char; 12] = [
    '\u{61c}', '\u{200e}', '\u{200f}', '\u{202a}', '\u{202b}', '\u{202c}', '\u{202d}', '\u{202e}',
    '\u{2066}', '\u{2067}', '\u{2068}', '\u{2069}',
];

/// Control signs and the code points that are no characters.
fn is_forbidden(sign: char) -> bool {
    let code = u32::from(sign);
    sign.is_control() || (0xfdd0..=0xfdef).contains(&code) || code & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::element;

    #[test]
    fn text_and_attributes_are_inert() {
        let hostile = "<script>alert('\"&')</script>\u{0}\u{202e}\u{ffff}";
        let page = element("p").attr("title", hostile).text(hostile);
        let inert = "&lt;script&gt;alert(&#39;&quot;&amp;&#39;)&lt;/script&gt;\u{fffd}\u{fffd}";
        assert_eq!(page.html(), format!("<p title=\"{inert}\">{inert}</p>\n"));
    }

    #[test]
    fn empty_elements_are_closed_as_each_language_wants() {
        let page = element("div").with(element("input")).with(element("b"));
        assert_eq!(page.html(), "<div><input><b></b></div>\n");
        assert_eq!(page.xml(), "<div><input/><b/></div>\n");
    }
}

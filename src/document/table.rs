//! Figures in rows and columns.

/// A table of cells.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// What it shows; may be empty.
    pub title: String,
    /// Its columns, left to right.
    pub columns: Vec<Column>,
    /// Its rows; a short row ends in empty cells.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// Starts a table; columns and rows are added with the methods below.
    pub fn new(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            ..Self::default()
        }
    }

    /// Adds a column of words.
    #[must_use]
    pub fn words(self, name: impl Into<String>) -> Self {
        self.column(name, Align::Left)
    }

    /// Adds a column of figures.
    #[must_use]
    pub fn figures(self, name: impl Into<String>) -> Self {
        self.column(name, Align::Right)
    }

    fn column(mut self, name: impl Into<String>, align: Align) -> Self {
        self.columns.push(Column {
            name: name.into(),
            align,
        });
        self
    }

    /// Adds a row.
    pub fn row<T: Into<Cell>>(&mut self, cells: impl IntoIterator<Item = T>) -> &mut Self {
        self.rows.push(cells.into_iter().map(Into::into).collect());
        self
    }
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// What stands in it, with the unit where all cells share one.
    pub name: String,
    /// Which side its cells lean to.
    pub align: Align,
}

/// Which side the cells of a column lean to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// What it says.
    pub text: String,
    /// What to think of it; shown by a sign as well as by colour.
    pub emphasis: Emphasis,
}

/// What to think of a cell, the worse the greater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Emphasis {
    /// Nothing to think of it.
    #[default]
    Plain,
    /// Within its limit.
    Ok,
    /// Near its limit, or not certain.
    Warn,
    /// Past its limit.
    Bad,
}

impl Cell {
    /// A plain cell.
    pub fn plain(text: impl Into<String>) -> Self {
        Self::with(text, Emphasis::Plain)
    }

    /// A cell within its limit.
    pub fn ok(text: impl Into<String>) -> Self {
        Self::with(text, Emphasis::Ok)
    }

    /// A cell near its limit, or not certain.
    pub fn warn(text: impl Into<String>) -> Self {
        Self::with(text, Emphasis::Warn)
    }

    /// A cell past its limit.
    pub fn bad(text: impl Into<String>) -> Self {
        Self::with(text, Emphasis::Bad)
    }

    /// A cell with the emphasis given.
    pub fn with(text: impl Into<String>, emphasis: Emphasis) -> Self {
        Self {
            text: text.into(),
            emphasis,
        }
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::plain(text)
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::plain(text)
    }
}

//! A wire list with new sizes: only the cells of its `size` column are touched.

use super::cells::{Row, sheet};
use super::columns::field;
use crate::quantities::WireSize;
use crate::span::{Edit, Span, spliced};
use std::collections::BTreeMap;

/// The list with sizes for some of its rows, each found by where it starts.
/// A list without the column gets it as its last; all else stays byte for byte.
/// None where rows lie in one another, which those of a sheet never do.
pub(crate) fn with_sizes(list: &str, sizes: &BTreeMap<usize, WireSize>) -> Option<String> {
    if sizes.is_empty() {
        return Some(list.to_owned());
    }
    let sheet = sheet(list);
    let Some(head) = sheet.rows.first() else {
        return Some(list.to_owned());
    };
    let is_size = |heading: &str| field(heading).is_some_and(|field| field.key == "size");
    let column = head.cells.iter().position(|cell| is_size(&cell.text));
    let mark = char::from(sheet.separator);
    let mut edits: Vec<Edit> = Vec::new();
    if column.is_none() {
        edits.push(Edit {
            at: Span::new(head.span.end, head.span.end),
            with: format!("{mark}size"),
        });
    }
    let column = column.unwrap_or(head.cells.len());
    for row in sheet.rows.iter().skip(1) {
        if let Some(size) = sizes.get(&row.span.start) {
            edits.push(edit(row, column, *size, mark));
        }
    }
    spliced(list, edits)
}

/// The cell replaced where the row has it, else the row made long enough.
fn edit(row: &Row, column: usize, size: WireSize, mark: char) -> Edit {
    let (at, with) = match row.cells.get(column) {
        Some(cell) if cell.quoted => (cell.span, format!("\"{size}\"")),
        Some(cell) => (cell.span, size.to_string()),
        None => {
            let short = mark.to_string().repeat(column - row.cells.len() + 1);
            (
                Span::new(row.span.end, row.span.end),
                format!("{short}{size}"),
            )
        }
    };
    Edit { at, with }
}

#[cfg(test)]
mod tests {
    use super::with_sizes;
    use crate::quantities::WireSize;
    use std::collections::BTreeMap;

    fn sized(list: &str, rows: &[&str]) -> String {
        let at = |row: &&str| (list.find(*row).expect("a row"), WireSize::Awg(10));
        let sizes = rows.iter().map(at).collect::<BTreeMap<_, _>>();
        with_sizes(list, &sizes).expect("sound")
    }

    #[test]
    fn only_the_cells_of_the_sizes_are_touched() {
        let list = "from;size ;to;\"cable no\"\r\na;\"16 AWG\";b;7\r\n\r\nc; ? ;d;8\r\ne;;f\r\n";
        assert_eq!(
            sized(list, &["a;", "c;", "e;"]),
            "from;size ;to;\"cable no\"\r\na;\"10 AWG\";b;7\r\n\r\nc; 10 AWG ;d;8\r\ne;10 AWG;f\r\n"
        );
        assert_eq!(sized(list, &[]), list);
    }

    #[test]
    fn a_list_without_the_column_gets_it_and_short_rows_are_made_long_enough() {
        assert_eq!(
            sized("from,to,note\na,b,x\nc,d", &["a,", "c,"]),
            "from,to,note,size\na,b,x,10 AWG\nc,d,,10 AWG"
        );
    }
}

//! Reads one data file into a [`Table`].
//!
//! Every area has the same shape: `id`, `title`, `notes`, then `[source]`,
//! `[applies]`, `[columns]`, `[data] rows`, `[totals]` and `[[check]]`. What is
//! wrong with a file is said in words; nothing here panics.

use super::table::{Cell, Check, Column, Table};
use crate::sources::{Source, Standing};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

type Reading<T> = Result<T, String>;

/// Reads the text of a data file of `area`.
///
/// # Errors
/// When the file is not of the common shape; the text says where.
pub fn read_table(area: &'static str, text: &str) -> Result<Table, String> {
    let file = DeTable::parse(text).map_err(|error| error.message().to_owned())?;
    let file = file.get_ref();
    let source = section(file, "source")?;
    let document = match optional(source, "edition")? {
        edition if edition.is_empty() => words(source, "document")?,
        edition => format!("{}, {edition}", words(source, "document")?),
    };
    let standing = words(source, "standing")?;
    let standing = Standing::from_word(&standing)
        .ok_or_else(|| format!("`{standing}` is not a word of standing"))?;
    let applies = section(file, "applies")?;
    let columns: Vec<Column> = cells(section(file, "columns")?)?
        .into_iter()
        .map(|(name, unit)| match unit {
            Cell::Text(unit) => Ok(Column { name, unit }),
            _ => Err(format!("the unit of column `{name}` is not a text")),
        })
        .collect::<Reading<_>>()?;
    Ok(Table {
        id: words(file, "id")?,
        area,
        title: words(file, "title")?,
        source: Source::new(document, words(source, "place")?, standing),
        source_note: optional(source, "note")?,
        applies: words(applies, "words")?,
        limits: cells(applies)?
            .into_iter()
            .filter(|(key, _)| key != "words")
            .collect(),
        rows: rows(section(file, "data")?, columns.len())?,
        columns,
        totals: totals(section(file, "totals")?)?,
        checks: checks(file)?,
        notes: notes(file)?,
    })
}

fn section<'a, 'i>(file: &'a DeTable<'i>, key: &str) -> Reading<&'a DeTable<'i>> {
    match file.get(key).map(Spanned::get_ref) {
        Some(DeValue::Table(table)) => Ok(table),
        _ => Err(format!("section [{key}] is missing")),
    }
}

fn optional(table: &DeTable<'_>, key: &str) -> Reading<String> {
    match table.get(key).map(Spanned::get_ref) {
        Some(DeValue::String(text)) => Ok(text.to_string()),
        Some(_) => Err(format!("`{key}` is not a text")),
        None => Ok(String::new()),
    }
}

fn words(table: &DeTable<'_>, key: &str) -> Reading<String> {
    match optional(table, key)? {
        text if text.is_empty() => Err(format!("`{key}` is missing")),
        text => Ok(text),
    }
}

/// Keys and cells of a section in the order they are written, which the
/// parser's own map does not keep.
fn cells(table: &DeTable<'_>) -> Reading<Vec<(String, Cell)>> {
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    entries
        .into_iter()
        .map(|(key, value)| Ok((key.get_ref().to_string(), cell(value.get_ref())?)))
        .collect()
}

fn cell(value: &DeValue<'_>) -> Reading<Cell> {
    match value {
        DeValue::String(text) if text.is_empty() => Ok(Cell::Empty),
        DeValue::String(text) => Ok(Cell::Text(text.to_string())),
        DeValue::Boolean(flag) => Ok(Cell::Flag(*flag)),
        DeValue::Integer(number) => figure(number.as_str()),
        DeValue::Float(number) => figure(number.as_str()),
        _ => Err("a cell is neither figure, words nor yes and no".to_owned()),
    }
}

fn figure(text: &str) -> Reading<Cell> {
    match text.parse::<f64>() {
        Ok(value) if !value.is_nan() => Ok(Cell::Number(value)),
        _ => Err(format!("`{text}` is not a figure")),
    }
}

fn rows(data: &DeTable<'_>, width: usize) -> Reading<Vec<Vec<Cell>>> {
    let Some(DeValue::Array(list)) = data.get("rows").map(Spanned::get_ref) else {
        return Err("`rows` is missing".to_owned());
    };
    let mut out = Vec::new();
    for (number, row) in list.iter().enumerate() {
        let DeValue::Array(row) = row.get_ref() else {
            return Err(format!("row {} is not a list", number + 1));
        };
        let row: Vec<Cell> = row
            .iter()
            .map(|value| cell(value.get_ref()))
            .collect::<Reading<_>>()?;
        if row.len() != width {
            return Err(format!(
                "row {} has {} cells for {width} columns",
                number + 1,
                row.len()
            ));
        }
        out.push(row);
    }
    Ok(out)
}

fn totals(section: &DeTable<'_>) -> Reading<Vec<(String, f64)>> {
    cells(section)?
        .into_iter()
        .map(|(key, value)| match value {
            Cell::Number(sum) => Ok((key, sum)),
            _ => Err(format!("the total of `{key}` is not a figure")),
        })
        .collect()
}

fn checks(file: &DeTable<'_>) -> Reading<Vec<Check>> {
    let Some(DeValue::Array(list)) = file.get("check").map(Spanned::get_ref) else {
        return Ok(Vec::new());
    };
    list.iter()
        .map(|entry| match entry.get_ref() {
            DeValue::Table(entry) => Ok(Check {
                given: cells(section(entry, "given")?)?,
                printed: cells(section(entry, "printed")?)?,
                place: words(entry, "place")?,
            }),
            _ => Err("a check is not a table".to_owned()),
        })
        .collect()
}

fn notes(file: &DeTable<'_>) -> Reading<Vec<String>> {
    let Some(value) = file.get("notes") else {
        return Ok(Vec::new());
    };
    let DeValue::Array(list) = value.get_ref() else {
        return Err("`notes` is not a list".to_owned());
    };
    list.iter()
        .map(|note| match note.get_ref() {
            DeValue::String(text) => Ok(text.to_string()),
            _ => Err("a note is not a text".to_owned()),
        })
        .collect()
}

//! Every table as heads and rows of text, for a page that shows what stands behind the findings.
//!
//! One small function a table; each row ends with its mark. Figures have three significant digits, as on the rest of
//! the page, and stand in the unit that the head of their column names.

mod parts;
mod supply;

pub(super) use parts::*;
pub(super) use supply::*;

use super::Mark;
use crate::text::{self, number, say};
use crate::units::significant;

/// One printed table.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// What stands over the columns; the last is the mark.
    pub heads: &'static [&'static str],
    /// The rows, with as many cells as there are heads.
    pub rows: Vec<Vec<String>>,
}

/// A cell before it is text.
enum Cell {
    Text(&'static str),
    /// A size by its name, with the decimal mark chosen.
    Measure(&'static str),
    Number(f64),
    /// A figure that the source does not give in every row.
    Maybe(Option<f64>),
    Range(f64, f64),
    Letter(char),
    /// Colours by their first letters.
    Lights(&'static str),
}

impl Sheet {
    const fn new(heads: &'static [&'static str]) -> Self {
        let rows = Vec::new();
        Self { heads, rows }
    }

    fn row(&mut self, mark: Mark, cells: &[Cell]) {
        let mut row: Vec<String> = cells.iter().map(shown).collect();
        row.push(text::of(mark.word()).into());
        self.rows.push(row);
    }
}

fn shown(cell: &Cell) -> String {
    match *cell {
        Cell::Text(text) => text::of(text).into(),
        Cell::Measure(text) => number(text.into()),
        Cell::Maybe(None) => "–".into(),
        Cell::Number(value) | Cell::Maybe(Some(value)) if value.is_infinite() => say!("any").into(),
        Cell::Number(value) | Cell::Maybe(Some(value)) => significant(value),
        Cell::Range(low, high) => say!("{} to {}", significant(low), significant(high)),
        Cell::Letter(letter) => letter.into(),
        Cell::Lights(letters) => {
            let names: Vec<&str> = letters.chars().map(light).collect();
            names.join(say!(" or "))
        }
    }
}

fn light(letter: char) -> &'static str {
    match letter {
        'A' => say!("amber"),
        'R' => say!("red"),
        _ => say!("white"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::tables;

    #[test]
    fn every_table_shows_whole_rows_under_heads_with_units_and_a_mark() {
        let words: Vec<&str> = [
            Mark::Seen,
            Mark::FromMemory,
            Mark::Derived,
            Mark::CommonPractice,
        ]
        .map(Mark::word)
        .into();
        let mut rows = 0;
        for table in tables() {
            let sheets = (table.print)();
            assert!(!sheets.is_empty(), "{}", table.name);
            for sheet in sheets {
                assert_eq!(sheet.heads.last(), Some(&"Mark"), "{}", table.name);
                assert!(!sheet.rows.is_empty(), "{}", table.name);
                for row in &sheet.rows {
                    assert_eq!(row.len(), sheet.heads.len(), "{}: {row:?}", table.name);
                    assert!(
                        row.iter().all(|cell| !cell.is_empty()),
                        "{}: {row:?}",
                        table.name
                    );
                    assert!(
                        row.last()
                            .is_some_and(|mark| words.contains(&mark.as_str()))
                    );
                }
                rows += sheet.rows.len();
            }
        }
        assert!(rows > 400, "{rows}");
    }

    /// Figures known from elsewhere, found again in print: 18 AWG at 105 °C carries 20 A; 4 A fuses are pink.
    #[test]
    fn printed_figures_are_those_of_the_tables() {
        let row = |sheets: Vec<Sheet>, key: &str| {
            let found = sheets
                .into_iter()
                .flat_map(|s| s.rows)
                .find(|row| row[0] == key);
            found.unwrap_or_else(|| panic!("{key} is missing"))
        };
        assert_eq!(
            row(ampacities(), "18 AWG"),
            ["18 AWG", "10", "10", "15", "20", "20", "25", "25", "seen"]
        );
        assert_eq!(row(fuses(), "4")[1], "pink");
        assert_eq!(
            row(law_rows(), "rear turn")[1..3],
            ["amber or red", "amber"]
        );
        assert_eq!(row(lamps(), "1156")[3], "2.1");
        assert_eq!(row(drops(), "Ground point, V")[1], "0.1");
    }
}

//! Which columns of a header are read, and what is wrong with their names.

use super::{Column, Table, guessed};
use crate::clean::{clean, quoted};
use crate::fault::{Fault, Remedy, Setting};
use crate::figures::{ColumnFigures, flawed};
use crate::header::{Named, unit_fault};
use crate::line::Cell;
use crate::names::folded;
use crate::place::Place;
use crate::table_head::Titled;

impl<'t, K: Copy + PartialEq + std::fmt::Debug> Table<'t, K> {
    /// Takes the columns of a header; `choice` names those to read where several are of one kind, `None` where nobody
    /// can choose.
    pub(super) fn take_header(&mut self, header: &Titled<'t, K>, choice: Option<&[String]>) {
        let choose = choice.unwrap_or_default();
        self.check_choice(header, choose);
        let is_chosen = |cell: &Cell<'_>| {
            let name = folded(&cell.text);
            choose.iter().any(|chosen| folded(chosen) == name)
        };
        // What a chosen column is makes others of its kind unread.
        let chosen_kinds: Vec<K> = header
            .cells
            .iter()
            .zip(&header.named)
            .filter(|(cell, _)| is_chosen(cell))
            .filter_map(|(_, named)| kind_of(named))
            .collect();
        for (cell, named) in header.cells.iter().zip(&header.named) {
            let place = header.line.place_of(cell);
            let mut column = Column {
                name: clean(&cell.text),
                place: place.clone(),
                kind: None,
                figures: ColumnFigures::new(None),
            };
            let unread =
                kind_of(named).is_some_and(|kind| chosen_kinds.contains(&kind) && !is_chosen(cell));
            if let Some(flaw) = cell.flaw {
                self.faults.push(*flawed(&cell.text, flaw, place.clone()));
            }
            match named {
                _ if unread => self.ignored.push(column.name.clone()),
                Named::Known(kind, unit) => match self.column(*kind) {
                    Some(first) => {
                        let fault = self.second(*kind, first, cell, place, choice.is_some());
                        self.faults.push(fault);
                    }
                    None => {
                        column.kind = Some(*kind);
                        column.figures = ColumnFigures::new(*unit);
                    }
                },
                Named::Blank => {}
                _ => match self.refusal(cell, named, place) {
                    Some(fault) => self.faults.push(fault),
                    None => self.ignored.push(column.name.clone()),
                },
            }
            self.columns.push(column);
        }
        if self.file.is_guessed
            && let Some(cell) = header.cells.iter().find(|cell| !cell.text.is_ascii())
        {
            self.faults.push(guessed(cell, header.line.place_of(cell)));
        }
    }

    /// Each chosen name has to be that of one column.
    fn check_choice(&mut self, header: &Titled<'_, K>, choose: &[String]) {
        for chosen in choose {
            let names = header.cells.iter().map(|cell| &cell.text);
            let count = names
                .clone()
                .filter(|name| folded(name) == folded(chosen))
                .count();
            if count != 1 {
                let there = names.map(ToString::to_string).collect();
                self.faults.push(Fault::at(
                    header.line.whole(),
                    format!("{count} columns named {}", quoted(chosen)),
                    "one",
                    Setting::Column(there),
                ));
            }
        }
    }

    /// A second column of one kind.
    fn second(
        &self,
        kind: K,
        first: usize,
        cell: &Cell<'_>,
        place: Place,
        can_choose: bool,
    ) -> Fault {
        let first = &self.columns[first].name;
        let meaning = self.quantity(kind).map_or("", |found| found.meaning);
        let mut remedy = Remedy::from("keep one of them");
        if can_choose {
            remedy = remedy.or_set(Setting::Column(vec![first.clone(), clean(&cell.text)]));
        }
        Fault::at(
            place,
            format!(
                "a second column of {meaning}, {}, beside {}",
                quoted(&cell.text),
                quoted(first)
            ),
            "",
            remedy,
        )
    }

    /// What is wrong with a name that is no column's; `None` where its column is not read.
    fn refusal(&self, cell: &Cell<'_>, named: &Named<K>, place: Place) -> Option<Fault> {
        let column = || format!("the column {}", quoted(&cell.text));
        Some(match named {
            Named::WrongUnit(kind, unit) => {
                let (found, remedy) = unit_fault(&cell.text, self.quantity(*kind)?, Some(unit));
                Fault::at(place, found, "", remedy)
            }
            Named::Nearly(near) => Fault::at(
                place,
                column(),
                "",
                format!("write {near} if that is meant, else give it a name that is less like it"),
            ),
            Named::Number => Fault::at(
                place,
                format!("the number {} in the header", quoted(&cell.text)),
                "the name of a column",
                format!("write a header such as {}", self.spec.example),
            ),
            _ => {
                let name = folded(&cell.text);
                let mut refused = self.spec.refused_columns.iter();
                let (_, advice) = refused.find(|(words, _)| words.contains(&name.as_str()))?;
                Fault::at(place, column(), "", *advice)
            }
        })
    }
}

fn kind_of<K: Copy>(named: &Named<K>) -> Option<K> {
    match named {
        Named::Known(kind, _) | Named::WrongUnit(kind, _) => Some(*kind),
        _ => None,
    }
}

//! The cells of several processes, to be drawn on one axis.

use glasswick_core::calculators::Field;
use glasswick_core::sheet::{Card, CardResult, Input, Row};

/// Cells of several processes.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Strips {
    /// What is compared.
    pub(crate) field: &'static Field,
    /// In the order of the table.
    pub(crate) processes: Vec<Process>,
}

/// The cells of one process.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Process {
    /// Its name.
    pub(crate) name: String,
    /// The names of its substrates.
    pub(crate) substrates: Vec<String>,
    /// Every cell with a number.
    pub(crate) cells: Vec<Cell>,
    /// The mean of its substrates, in SI.
    pub(crate) mean: Option<f64>,
    /// The interval of the mean, in SI.
    pub(crate) interval: Option<[f64; 2]>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Its number, in SI.
    pub(crate) value: f64,
    /// The position of its substrate.
    pub(crate) substrate: usize,
    /// Whether it is left out.
    pub(crate) excluded: bool,
}

/// The cells of a card that compares processes: one whose table of cells has a result for each process.
pub(super) fn strips(card: &Card, result: &CardResult) -> Option<Strips> {
    const BY_PROCESS: &str = "_by_process.";
    let compared = result
        .outputs
        .iter()
        .find_map(|output| output.path.split_once(BY_PROCESS))?
        .0;
    let Some(Input::Rows(rows)) = card.inputs.get("cells") else {
        return None;
    };
    let mut processes: Vec<Process> = Vec::new();
    let mut field = None;
    for row in rows {
        let path = format!("cells.{}.{compared}", row.id);
        let found = |column: &str| {
            let path = format!("{compared}{BY_PROCESS}{}.{column}", row.id);
            Some(result.output(&path)?.value)
        };
        let name = word(row, "process");
        let place = processes.iter().position(|known| known.name == name);
        // The results of a process stand in the row of its first cell.
        let place = place.unwrap_or_else(|| {
            processes.push(Process {
                name,
                substrates: Vec::new(),
                cells: Vec::new(),
                mean: found("mean"),
                interval: found("low").zip(found("high")).map(Into::into),
            });
            processes.len() - 1
        });
        let reading = result.readings.iter().find(|reading| reading.path == path);
        let Some(reading) = reading.filter(|reading| reading.value.is_finite()) else {
            continue;
        };
        field = field.or(Some(reading.field));
        let process = &mut processes[place];
        let substrate = word(row, "substrate");
        let known = process
            .substrates
            .iter()
            .position(|known| *known == substrate);
        let substrate = known.unwrap_or_else(|| {
            process.substrates.push(substrate);
            process.substrates.len() - 1
        });
        process.cells.push(Cell {
            value: reading.value,
            substrate,
            excluded: reading.spared,
        });
    }
    Some(Strips {
        field: field?,
        processes,
    })
}

/// The text in a column.
fn word(row: &Row, column: &str) -> String {
    match row.cells.get(column) {
        Some(Input::Text(text)) => text.trim().to_owned(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glasswick_core::calculators::find;
    use glasswick_core::sheet::{Sheet, evaluate};

    #[test]
    fn every_cell_with_a_number_is_there_and_the_excluded_are_told_apart() {
        let calculator = find("process_comparison").unwrap();
        let mut card = Card::new(calculator, "c");
        card.enter(calculator, "compare", "efficiency");
        for (row, value, reason) in [
            ("r1", "2.7 %", ""),
            ("r2", "2.9 %", ""),
            ("r3", "1.1 %", "shorted"),
            ("r4", "9 %", "its sweep cannot be read"),
        ] {
            let mut enter = |column: &str, text: &str| {
                card.enter(calculator, &format!("cells.{row}.{column}"), text);
            };
            enter("process", "A");
            enter("substrate", row);
            enter("efficiency", value);
            if !reason.is_empty() {
                enter("exclude", "yes");
                enter("reason", reason);
            }
        }
        // The last one takes its number from a card that is not there.
        if let Some(Input::Rows(rows)) = card.inputs.get_mut("cells") {
            let link = Input::Link("gone.efficiency".parse().unwrap());
            rows[3].cells.insert("efficiency".into(), link);
        }
        let cards = vec![card];
        let evaluation = evaluate(&Sheet {
            cards: cards.clone(),
        });
        let strips = strips(&cards[0], &evaluation.cards[0]).unwrap();
        let [process] = strips.processes.as_slice() else {
            panic!("{strips:?}");
        };
        let expected = [(0.027, false), (0.029, false), (0.011, true)];
        assert_eq!(process.cells.len(), expected.len(), "{process:?}");
        for (cell, (value, excluded)) in process.cells.iter().zip(expected) {
            assert!((cell.value - value).abs() < 1e-15, "{cell:?}");
            assert_eq!(cell.excluded, excluded, "{cell:?}");
        }
        assert!((process.mean.unwrap() - 0.028).abs() < 1e-12);
    }
}

//! The cells of several processes, to be drawn on one axis.

use glasswick_core::calculators::Field;
use glasswick_core::sheet::{Card, CardResult, Evaluation, Input, Row};

use super::field_at;

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
    /// Whether it is left out, with a reason.
    pub(crate) excluded: bool,
}

/// The cells of a card that compares processes: one whose table of cells has a result for each process.
pub(super) fn strips(evaluation: &Evaluation, card: &Card, result: &CardResult) -> Option<Strips> {
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
        let Some(estimate) = evaluation.estimate(&card.id, &path) else {
            continue;
        };
        field = field.or(field_at(card, &path));
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
            value: estimate.value,
            substrate,
            excluded: word(row, "exclude") == "yes" && !word(row, "reason").is_empty(),
        });
    }
    Some(Strips {
        field: field?,
        processes,
    })
}

/// The text or the option in a column.
fn word(row: &Row, column: &str) -> String {
    match row.cells.get(column) {
        Some(Input::Text(text)) => text.trim().to_owned(),
        _ => String::new(),
    }
}

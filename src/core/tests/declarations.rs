//! What every declaration must hold, so that form, record, links and help can be read from it.

use std::path::Path;

use glasswick_core::calculators::{ALL, CASES, Calculator, Entry, Field, FieldKind};
use glasswick_core::quantity::unit;

const HEADINGS: [&str; 7] = [
    "What it computes",
    "Formulas",
    "Symbols and units",
    "Valid range",
    "Assumptions",
    "Sources",
    "Worked example",
];

fn identifier(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
    !text.is_empty() && text.chars().all(plain)
}

/// Every field of a calculator, columns of tables and curves included.
fn fields(calculator: &Calculator) -> Vec<&'static Field> {
    let entries = calculator.inputs.iter().chain(calculator.outputs);
    let with_parts = |entry: &Entry| {
        let field = entry.field;
        let parts: Vec<&'static Field> = match field.kind {
            FieldKind::Table { columns } => columns.to_vec(),
            FieldKind::Curve { x, y } => vec![x, y],
            _ => Vec::new(),
        };
        core::iter::once(field).chain(parts).collect::<Vec<_>>()
    };
    entries.flat_map(with_parts).collect()
}

#[test]
fn every_calculator_file_explains_itself() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/calculators");
    for calculator in ALL {
        let file = folder.join(calculator.id).with_extension("rs");
        let text = std::fs::read_to_string(&file)
            .unwrap_or_else(|error| panic!("{}: {error}", file.display()));
        let found: Vec<&str> = text
            .lines()
            .filter_map(|line| line.strip_prefix("//! # "))
            .collect();
        assert_eq!(found, HEADINGS, "{}", calculator.id);
    }
}

#[test]
fn identifiers_titles_and_units_are_sound() {
    for calculator in ALL {
        assert!(identifier(calculator.id), "{}", calculator.id);
        assert!(calculator.purpose.ends_with('.'), "{}", calculator.id);
        assert!(!calculator.hazards.is_empty(), "{}", calculator.id);
        assert!(!calculator.sources.is_empty(), "{}", calculator.id);
        for field in fields(calculator) {
            let name = format!("{}.{}", calculator.id, field.id);
            assert!(identifier(field.id), "{name}");
            assert!(!field.title.is_empty(), "{name}");
            assert!(field.help.is_empty() || field.help.ends_with('.'), "{name}");
            if let FieldKind::Quantity { kind, units, .. } = field.kind {
                for code in units {
                    let known = unit(kind, code).is_some_and(|unit| unit.code == *code);
                    assert!(
                        known,
                        "{name}: {code} is no code of a unit of {}",
                        kind.name()
                    );
                }
            }
            if let FieldKind::Choice { options } = field.kind {
                assert!(options.len() >= 2, "{name}");
                assert!(options.iter().all(|option| identifier(option.id)), "{name}");
            }
        }
    }
}

#[test]
fn one_identifier_means_one_thing_on_a_card() {
    for calculator in ALL {
        let listed: Vec<_> = calculator
            .inputs
            .iter()
            .chain(calculator.outputs)
            .map(|e| e.field)
            .collect();
        for field in &listed {
            let same = listed.iter().filter(|other| other.id == field.id);
            for other in same {
                let name = format!("{}.{}", calculator.id, field.id);
                assert_eq!(field.number_kind(), other.number_kind(), "{name}");
                assert_eq!(field.title, other.title, "{name}");
            }
        }
    }
}

/// Every way of choosing among the options of a card, each choice with the option taken.
fn ways(calculator: &Calculator) -> Vec<Vec<(&'static str, &'static str)>> {
    let mut ways = vec![Vec::new()];
    for entry in calculator.inputs {
        let FieldKind::Choice { options } = entry.field.kind else {
            continue;
        };
        let mut longer = Vec::new();
        for way in ways {
            if !entry.applies(|choice| chosen(&way, choice)) {
                longer.push(way);
                continue;
            }
            for option in options {
                let mut way = way.clone();
                way.push((entry.field.id, option.id));
                longer.push(way);
            }
        }
        ways = longer;
    }
    ways
}

fn chosen(way: &[(&str, &'static str)], choice: &Field) -> Option<&'static str> {
    let found = way.iter().find(|(id, _)| *id == choice.id);
    found.map(|(_, option)| *option)
}

#[test]
fn every_output_has_working_whatever_is_chosen() {
    let mut looked_at = 0;
    for calculator in ALL {
        for way in ways(calculator) {
            // With every optional input empty, and with every one filled.
            for filled in [false, true] {
                let choose = |choice: &Field| chosen(&way, choice);
                let entered = |field: &Field| {
                    let mut inputs = calculator.inputs.iter();
                    filled && inputs.any(|input| input.field.is(field) && input.applies(choose))
                };
                let steps = || {
                    calculator
                        .working
                        .iter()
                        .filter(|step| step.applies(choose, entered))
                };
                for entry in calculator.outputs {
                    if entry.applies(choose) {
                        let given =
                            steps().any(|step| step.results().any(|id| id == entry.field.id));
                        assert!(given, "{}.{}, {way:?}", calculator.id, entry.field.id);
                        looked_at += 1;
                    }
                }
            }
        }
    }
    assert!(looked_at > 1000, "{looked_at}");
}

#[test]
fn working_gives_outputs_only() {
    for calculator in ALL {
        for id in calculator.working.iter().flat_map(|step| step.results()) {
            assert!(calculator.output(id).is_some(), "{}: {id}", calculator.id);
        }
        for field in calculator.working.iter().filter_map(|step| step.without) {
            // Empty because nothing was entered, or because it does not apply.
            let input = calculator.inputs.iter().find(|input| input.field.is(field));
            let may_be_empty = |input: &Entry| {
                input.field.optional || input.conditions.iter().any(Option::is_some)
            };
            assert!(
                input.is_some_and(may_be_empty),
                "{}: {}",
                calculator.id,
                field.id
            );
        }
    }
}

/// Fields are compared by a digest of their identifiers.
#[test]
fn no_two_identifiers_are_taken_for_one() {
    let all: Vec<&Field> = ALL.iter().flat_map(|c| fields(c)).collect();
    for one in &all {
        for other in &all {
            assert_eq!(one.is(other), one.id == other.id, "{} {}", one.id, other.id);
        }
    }
}

#[test]
fn identifiers_of_calculators_are_unique() {
    let mut ids: Vec<_> = ALL.iter().map(|calculator| calculator.id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), ALL.len());
}

#[test]
fn every_calculator_has_worked_cases_on_its_own_fields() {
    assert_eq!(CASES.len(), ALL.len());
    for (calculator, cases) in ALL.iter().zip(CASES) {
        assert!(cases.len() >= 4, "{}", calculator.id);
        for case in *cases {
            for (path, _) in case.inputs {
                let field = path.split('.').next().unwrap_or_default();
                let known = calculator.input(field).is_some();
                assert!(known, "{} ({}): {field}", calculator.id, case.title);
            }
        }
    }
}

/// Which entries belong to one batch is a judgement: say it here for every calculator, an empty list where there are
/// none. What is missing here would come into the next batch's results unseen.
const MEASURED: &[(&str, &[&str])] = &[
    (
        "defoamer",
        &[
            "ink_mass",
            "doses.at",
            "doses.dose",
            "doses.active",
            "doses.collapse_time",
            "doses.foam_height",
            "doses.remark",
        ],
    ),
    ("acidity", &[]),
    (
        "cleaning_bath",
        &["reagent", "water", "actual_reagent", "actual_water"],
    ),
    ("concentration", &["solute_mass", "solvent_mass"]),
    ("absorbance", &["absorbance", "transmittance"]),
    (
        "calibration_line",
        &[
            "standards.label",
            "standards.concentration",
            "standards.signal",
            "standards_by_mass.label",
            "standards_by_mass.mass_concentration",
            "standards_by_mass.signal",
            "readings.reading",
        ],
    ),
    ("dilution", &["aliquot_mass"]),
    ("dilution_series", &[]),
    (
        "dye_bath",
        &[
            "mass",
            "actual_mass",
            "film_count",
            "thickness",
            "film_mass",
        ],
    ),
    (
        "dye_uptake",
        &[
            "absorbance",
            "before_absorbance",
            "after_absorbance",
            "blank",
            "concentration",
            "before",
            "after",
            "dilution",
            "volume",
            "bath_volume",
            "volume_after",
            "film_count",
            "film_mass",
        ],
    ),
    (
        "diode_fit",
        &[
            "points",
            "density_points",
            "dark_points",
            "dark_density_points",
            "temperature",
        ],
    ),
    ("efficiency", &["points", "density_points", "temperature"]),
    (
        "sweep_pair",
        &["forward", "reverse", "forward_density", "reverse_density"],
    ),
    (
        "translation",
        &[
            "short_circuit_current",
            "voltage",
            "current",
            "open_circuit_voltage",
            "open_slope",
            "maximum_power_voltage",
            "maximum_power_current",
            "temperature",
        ],
    ),
    ("ink_correction", &["components.so_far", "components.added"]),
    (
        "ink_recipe",
        &[
            "components.actual_mass",
            "components.weighed",
            "powder_at_hand",
            "measured_density",
        ],
    ),
    ("powder", &[]),
    (
        "process_comparison",
        &[
            "cells.process",
            "cells.substrate",
            "cells.cell",
            "cells.efficiency",
            "cells.fill_factor",
            "cells.open_circuit_voltage",
            "cells.short_circuit_density",
            "cells.exclude",
            "cells.reason",
        ],
    ),
    (
        "reporting_checklist",
        &[
            "temperature",
            "cell_count",
            "substrate_count",
            "mean_efficiency",
            "spread",
            "best_efficiency",
            "followed_for",
        ],
    ),
    (
        "solids_residue",
        &[
            "crucibles.label",
            "crucibles.empty",
            "crucibles.with_ink",
            "crucibles.dried",
            "crucibles.fired",
            "filters.label",
            "filters.before",
            "filters.after",
            "filtrate",
        ],
    ),
    (
        "electrolyte",
        &[
            "components.actual_mass",
            "components.actual_volume",
            "solvents.actual_volume",
            "actual_final_volume",
        ],
    ),
    (
        "powder_acid",
        &["acid_volume", "actual_acid_volume", "powder", "measured_ph"],
    ),
    ("drop_spread", &["angle", "spot"]),
    (
        "firing",
        &[
            "empty",
            "with_film",
            "film_mass",
            "thickness",
            "green_thickness",
            "actual_thickness",
            "green_mass",
            "actual_film_mass",
        ],
    ),
    ("layer", &["films.footprint", "substrates", "ink_at_hand"]),
    ("light_harvesting", &["absorbance", "absorbance_spectrum"]),
    (
        "irradiance",
        &[
            "current_before",
            "current_after",
            "temperature",
            "irradiance_before",
            "irradiance_after",
        ],
    ),
    (
        "photocurrent",
        &["quantum_efficiency", "short_circuit_density"],
    ),
    ("spectral_mismatch", &["lamp", "cell_curve"]),
    (
        "soaking_log",
        &[
            "films.film",
            "films.put_in",
            "films.taken_out",
            "films.film_temperature",
            "films.bath_temperature",
            "films.rinsed_with",
            "films.rinse_time",
            "films.how_dried",
        ],
    ),
    (
        "solution",
        &[
            "mass",
            "reagent_volume",
            "solvent_mass",
            "actual_mass",
            "actual_reagent_volume",
            "actual_final_volume",
            "actual_solvent_mass",
        ],
    ),
    (
        "spacer_gap",
        &[
            "pressed",
            "edge_1",
            "edge_2",
            "edge_3",
            "edge_4",
            "film_thickness",
            "cells",
        ],
    ),
    ("cell_filling", &[]),
    ("vacuum_filling", &["actual_pumped"]),
    ("diffusion_limit", &["thickness", "current"]),
    (
        "sealing_log",
        &[
            "steps.cell",
            "steps.at",
            "steps.temperature",
            "steps.time",
            "steps.pressure",
            "steps.force",
            "steps.done",
        ],
    ),
    (
        "step_height",
        &[
            "trace",
            "left_edge",
            "right_edge",
            "substrate_from",
            "substrate_to",
            "film_from",
            "film_to",
        ],
    ),
    (
        "loss_analysis",
        &["photocurrent", "saturation", "ideality", "series", "shunt"],
    ),
    (
        "series_resistance",
        &[
            "contact",
            "transfer",
            "diffusion",
            "contact_cell",
            "transfer_cell",
            "diffusion_cell",
            "fitted",
        ],
    ),
    ("reported_rows", &[]),
    (
        "shortfall",
        &[
            "first_name",
            "first_jsc",
            "first_voc",
            "first_ff",
            "second_name",
            "second_jsc",
            "second_voc",
            "second_ff",
            "first_photocurrent",
            "first_saturation",
            "first_ideality",
            "first_series",
            "first_shunt",
            "second_photocurrent",
            "second_saturation",
            "second_ideality",
            "second_series",
            "second_shunt",
        ],
    ),
    ("step_mean", &["heights.label", "heights.height"]),
    ("stock_aliquot", &["actual_stock_mass", "actual_aliquot"]),
    ("jetting", &["velocity"]),
    ("drop_size", &[]),
    (
        "drop_mass",
        &[
            "runs.waveform",
            "runs.drops",
            "runs.before",
            "runs.after",
            "blank",
            "loss",
            "loss_time",
            "open_time",
        ],
    ),
    ("meniscus", &[]),
    ("particles", &["ink"]),
    ("light_scattering", &[]),
    ("settling", &[]),
    ("viscosity", &["points.temperature", "points.viscosity"]),
    ("nozzle_shear", &["points.rate", "points.viscosity"]),
    (
        "reference_coating",
        &["coating_thickness", "coating_areal_mass"],
    ),
    (
        "thickness",
        &["pairs.label", "pairs.passes", "pairs.thickness"],
    ),
    ("ultrasound", &["mass", "time", "actual_time"]),
    ("triiodide", &[]),
    (
        "treatment_bath",
        &[
            "stock_volume",
            "actual_stock_volume",
            "substrates",
            "dispensed",
            "actual_dispensed",
        ],
    ),
];

#[test]
fn what_is_measured_on_one_batch_is_listed() {
    for calculator in ALL {
        let mut found = Vec::new();
        for entry in calculator.inputs {
            let field = entry.field;
            if let FieldKind::Table { columns } = field.kind {
                // A table is emptied by its columns.
                assert!(!field.measured, "{}.{}", calculator.id, field.id);
                for column in columns.iter().filter(|column| column.measured) {
                    found.push(format!("{}.{}", field.id, column.id));
                }
            } else if field.measured {
                let choice = matches!(field.kind, FieldKind::Choice { .. });
                assert!(
                    !choice,
                    "{}.{}: a choice is part of the plan",
                    calculator.id, field.id
                );
                found.push(field.id.into());
            }
            let actual = field.id.starts_with("actual_");
            assert!(!actual || field.measured, "{}.{}", calculator.id, field.id);
        }
        let listed = MEASURED.iter().find(|(id, _)| *id == calculator.id);
        let (_, listed) =
            listed.unwrap_or_else(|| panic!("{} says what is measured", calculator.id));
        assert_eq!(found, *listed, "{}", calculator.id);
    }
}

//! The two reports: text for people, one JSON object for programs.

use loomwright::behaviour::{Cell, Row, Table, Verdict};
use loomwright::findings::{Finding, state_words};
use loomwright::plan::Plan;
use loomwright::units::{Amps, Volts, significant};
use serde_json::{Map, Value, json};
use std::fmt::Write;

/// The readable report.
pub fn text(plan: &Plan, table: &Table, findings: &[Finding]) -> String {
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = write_text(&mut out, plan, table, findings);
    out
}

fn write_text(
    out: &mut String,
    plan: &Plan,
    table: &Table,
    findings: &[Finding],
) -> std::fmt::Result {
    writeln!(out, "{}", plan.title)?;
    writeln!(
        out,
        "{} parts, {} wires, {} controls, {} lamp circuits; {} of {} states solved",
        plan.parts.len(),
        plan.wires.len(),
        plan.controls.len(),
        table.lamps.len(),
        table.solve.states - table.solve.missed,
        table.coverage.total
    )?;
    let circuits = plan.lamp_circuits();
    for row in &table.rows {
        writeln!(out, "\n{}", state_words(plan, &row.state))?;
        if !row.solved {
            writeln!(out, "  not solved")?;
            continue;
        }
        for (cell, id) in row.cells.iter().zip(&table.lamps) {
            if cell.verdict == Verdict::AsWished && cell.bright().level < 1e-3 {
                continue;
            }
            let label = circuits
                .iter()
                .find(|c| c.id == *id)
                .map_or("", |c| c.label.as_str());
            writeln!(
                out,
                "  {:<12} {:<28} {}",
                id.to_string(),
                label,
                cell_words(cell)
            )?;
        }
    }
    writeln!(
        out,
        "\nFindings: {}",
        if findings.is_empty() { "none" } else { "" }
    )?;
    for finding in findings {
        writeln!(
            out,
            "- {} ({}): {} [{}]",
            finding.severity.text(),
            finding.check,
            finding.text,
            finding.source
        )?;
    }
    let cells = table.rows.iter().flat_map(|row| &row.cells);
    let off = cells
        .clone()
        .filter(|c| c.verdict != Verdict::AsWished)
        .count();
    writeln!(
        out,
        "\n{} of {} cells as wished. Worst Kirchhoff residual {:.1e} A, at most {} Newton steps.",
        cells.count() - off,
        table.rows.len() * table.lamps.len(),
        table.solve.worst_residual,
        table.solve.iterations_max
    )?;
    writeln!(
        out,
        "This is advice from computed values. It does not certify a build; see local codes."
    )
}

fn cell_words(cell: &Cell) -> String {
    let reading = |r: loomwright::behaviour::Reading| {
        format!(
            "{} {} {} %",
            Volts::of(r.volts),
            Amps::of(r.amps),
            significant(100.0 * r.level)
        )
    };
    let readings = if cell.on == cell.off {
        reading(cell.on)
    } else {
        format!("{} / {}", reading(cell.on), reading(cell.off))
    };
    format!(
        "{:<9} {:<9} {readings}",
        cell.shows.text(),
        cell.verdict.text()
    )
}

/// The JSON object.
pub fn json(plan: &Plan, table: &Table, findings: &[Finding]) -> String {
    let controls: Vec<Value> = plan
        .controls
        .iter()
        .map(|c| json!({"id": c.id, "label": c.label, "positions": c.positions}))
        .collect();
    let lamps: Vec<Value> = plan
        .lamp_circuits()
        .iter()
        .map(|l| json!({"id": l.id, "label": l.label, "duties": l.duties}))
        .collect();
    let rows: Vec<Value> = table
        .rows
        .iter()
        .map(|row| row_json(plan, table, row))
        .collect();
    let findings: Vec<Value> = findings
        .iter()
        .map(|f| {
            json!({
                "check": f.check,
                "severity": f.severity.text(),
                "about": f.about,
                "text": f.text,
                "source": f.source,
            })
        })
        .collect();
    let object = json!({
        "plan": plan.title,
        "controls": controls,
        "lamps": lamps,
        "rows": rows,
        "solve": {
            "states": table.solve.states,
            "worst_residual": table.solve.worst_residual,
            "iterations_max": table.solve.iterations_max,
        },
        "findings": findings,
    });
    format!("{object}\n")
}

fn row_json(plan: &Plan, table: &Table, row: &Row) -> Value {
    let mut positions = Map::new();
    for (i, control) in plan.controls.iter().enumerate() {
        let position = control.positions.get(row.state.position(i));
        positions.insert(control.id.to_string(), json!(position));
    }
    let cells: Vec<Value> = row
        .cells
        .iter()
        .zip(&table.lamps)
        .map(|(cell, lamp)| {
            // A number of a solve that missed is never shown.
            let number = |value: f64| {
                if row.solved {
                    json!(value)
                } else {
                    Value::Null
                }
            };
            json!({
                "lamp": lamp,
                "shows": cell.shows.text(),
                "wish": cell.wish.text(),
                "verdict": cell.verdict.text(),
                "volts_on": number(cell.on.volts),
                "volts_off": number(cell.off.volts),
                "amps_on": number(cell.on.amps),
                "amps_off": number(cell.off.amps),
                "level_on": number(cell.on.level),
                "level_off": number(cell.off.level),
            })
        })
        .collect();
    json!({"positions": positions, "cells": cells})
}

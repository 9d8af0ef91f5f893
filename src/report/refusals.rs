//! Why machines cannot take a piece, in words and for other programs.

use serde::Serialize;

use super::pen::Pen;
use crate::shop::{Limit, Machine, Refusal};

/// A machine in the middle of a sentence.
pub(super) fn machine_name(machine: Machine) -> &'static str {
    match machine {
        Machine::Jointer => "jointer",
        Machine::RouterSled => "router sled",
        Machine::PlanerSled => "planer, the piece on a sled",
        Machine::Planer => "planer",
        Machine::HandPlanes => "hand planes",
    }
}

/// Why each machine cannot take a piece.
pub(super) fn refused(pen: Pen, refusals: &[Refusal]) -> Vec<String> {
    let mut machines: Vec<Machine> = refusals.iter().map(|r| r.machine).collect();
    machines.dedup();
    let told = machines.iter().map(|machine| {
        let own = refusals.iter().filter(|r| r.machine == *machine);
        let why: Vec<String> = own.map(|r| refusal(pen, r)).collect();
        format!("the {}: {}", machine_name(*machine), why.join("; "))
    });
    told.collect()
}

/// What a cut makes `of` a board that is for no machine of the shop, and what to do; nothing where there is none. `pieces` are
/// what each is called, and why.
pub(super) fn beyond_machines(
    pen: Pen,
    of: &str,
    pieces: &[(String, Vec<Refusal>)],
) -> Vec<String> {
    let mut told: Vec<(String, Vec<&str>)> = Vec::new();
    for (name, why) in pieces.iter().filter(|(_, why)| !why.is_empty()) {
        let why = refused(pen, why).join("; ");
        match told.iter_mut().find(|(other, _)| *other == why) {
            Some((_, names)) if names.contains(&name.as_str()) => {}
            Some((_, names)) => names.push(name),
            None => told.push((why, vec![name])),
        }
    }
    let note = |(why, names): &(String, Vec<&str>)| {
        format!(
            "No machine takes these{of}: {} ({why}; a shop file tells of yours). Hand planes or a router sled on rails would, or \
             rip narrower, mill the strips and glue them up.",
            names.join("; ")
        )
    };
    told.iter().map(note).collect()
}

fn refusal(pen: Pen, refusal: &Refusal) -> String {
    let (is, allowed) = (pen.near(refusal.is), pen.near(refusal.allowed));
    match refusal.limit {
        Limit::Absent => "the shop has none".to_owned(),
        Limit::Width => format!("{is} wide, it takes {allowed}"),
        Limit::MinLength => format!("{is} long, it wants {allowed} at least"),
        Limit::MaxLength => format!("{is} long, it takes {allowed}"),
        Limit::MinThickness => format!("comes to {is}, it wants {allowed} at least"),
        Limit::MaxThickness => format!("stands {is} high, it takes {allowed}"),
    }
}

/// Why a machine cannot take a piece.
#[derive(Serialize)]
pub(super) struct RefusalPart {
    machine: &'static str,
    limit: &'static str,
    is_mm: f64,
    allowed_mm: f64,
}

impl RefusalPart {
    pub(super) fn new(refusal: &Refusal) -> Self {
        Self {
            machine: machine_name(refusal.machine),
            limit: match refusal.limit {
                Limit::Absent => "absent",
                Limit::Width => "width",
                Limit::MinLength => "min length",
                Limit::MaxLength => "max length",
                Limit::MinThickness => "min thickness",
                Limit::MaxThickness => "max thickness",
            },
            is_mm: refusal.is,
            allowed_mm: refusal.allowed,
        }
    }
}

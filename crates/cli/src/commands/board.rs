//! `board`: the boards of a lead, hole by hole.

use std::path::{Path, PathBuf};

use clap::Args;
use solderside_lead::{Assembly, Lead, Leg};
use solderside_sheet::{BoardPlan, BoardWire, Colouring, Hole, board_drawing};

use crate::answer::{Reply, Status};
use crate::page::Page;
use crate::report;
use crate::shelf::Shelf;
use crate::store;
use crate::subject::SubjectArgs;
use crate::trouble::Trouble;
use crate::wire::Board;

const USAGE: &str = "\
solderside board [OPTIONS] <LEAD>
       solderside board [OPTIONS] <CONTROLLER> <PORT>";

const EXAMPLES: &str = "\
Examples:
  solderside board heron-stick-to-bittern                      every part and every wire, by its holes
  solderside board heron-stick-to-bittern --drawing board.svg  both sides at their true size, to print

Exit codes: 0 it was laid out; 1 the lead is not sound, and nothing was; 2 the input was wrong.";

/// Lay out the boards of a lead with chips: where each part stands on perforated board, and every wire
///
/// Holes are named from the component side, rows by letters and columns by numbers: `C7`. A lead that fails, harms or is
/// unproved gets no board.
#[derive(Debug, Args)]
#[command(override_usage = USAGE, after_long_help = EXAMPLES)]
pub struct BoardArgs {
    #[command(flatten)]
    subject: SubjectArgs,

    /// Write both sides as SVG too, which prints at its true size
    #[arg(long, value_name = "FILE")]
    drawing: Option<PathBuf>,

    /// Replace a file that is there
    #[arg(long)]
    force: bool,
}

impl BoardArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.subject.words())?;
        let (assembly, proof) = self.subject.proved(&shelf)?;
        let name = &assembly.lead.name;
        let mut page = Page::default();
        page.line(report::headline(&assembly, &proof));
        if !proof.verdict.is_sound() {
            report::not_made(&mut page, "board was laid out", &proof.findings);
            return Ok(Reply::new(Status::Found, page.finish(), &Board::new(name, &[], None)));
        }
        if let Some(file) = &self.drawing {
            store::may_write(file, self.force)?;
        }
        let plans = BoardPlan::all(&assembly.lead);
        if plans.is_empty() {
            return Err(Trouble::new(
                format!("`{name}` has no board: nothing in it has more than two legs"),
                format!("`solderside guide {name}` tells how it is built without one"),
            ));
        }
        for plan in &plans {
            show(&mut page, plan, &assembly.lead);
        }
        let mut written = None;
        if let Some(file) = &self.drawing {
            store::write(file, &drawn(&assembly, &plans), self.force)?;
            written = Some(file.display().to_string());
            page.line("");
            page.line(format!("written: {}", file.display()));
        }
        Ok(Reply::new(Status::Sound, page.finish(), &Board::new(name, &plans, written)))
    }
}

fn drawn(assembly: &Assembly, plans: &[BoardPlan]) -> String {
    board_drawing(assembly, &Colouring::of(assembly), plans)
}

fn show(page: &mut Page, plan: &BoardPlan, lead: &Lead) {
    let [high, wide] = plan.millimetres();
    page.heading(&format!("Board at the end `{}`", plan.end));
    page.line(format!("  {} columns, {} rows: {wide:.1} mm by {high:.1} mm", plan.columns, plan.rows));
    if let Some(told) = plan.too_large(lead) {
        page.paragraph("  ", &told);
    }
    let insulated = plan.wires.iter().filter(|wire| wire.insulated).count();
    page.line(match insulated {
        0 => "  no wire crosses another: all are bare".to_owned(),
        _ => format!("  insulated wires: {insulated}; crossings: {}", plan.crossings),
    });
    page.line("");
    let parts = plan.seats.iter().map(|seat| {
        let legs = seat.legs.iter().map(|(contact, hole)| {
            let name = seat.part.id().leg_name(*contact);
            format!("{name} {hole}")
        });
        [seat.part.id().to_string(), seat.part.body.to_string(), legs.collect::<Vec<_>>().join(", ")]
    });
    page.table(["part", "is", "legs"], &parts.collect::<Vec<_>>());
    page.line("");
    let wires = plan.wires.iter().zip(1..).map(|(wire, number): (&BoardWire, u32)| {
        let end = |leg: Leg, hole: Option<&Hole>| {
            hole.map_or_else(|| leg.to_string(), |hole| format!("{leg} {hole}"))
        };
        [
            number.to_string(),
            end(wire.legs[0], wire.corners.first()),
            end(wire.legs[1], wire.corners.last()),
            wire.told(),
        ]
    });
    page.table(["", "joins", "and", "by laying"], &wires.collect::<Vec<_>>());
    if plan.wires.iter().any(|wire| wire.told().contains("lies already")) {
        page.paragraph(
            "  ",
            "Each row joins two legs. Where part of the way lies already from a row before, only what is named is laid on.",
        );
    }
}

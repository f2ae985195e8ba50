//! `atlas`: every controller against every port.

use std::path::{Path, PathBuf};
use std::thread::available_parallelism;

use clap::Args;
use solderside_design::{Best, Pads, Square, atlas};
use solderside_profile::{Controller, Kind, Port};
use solderside_sheet::atlas_page;

use crate::answer::{Reply, Status};
use crate::commands::design::made_of;
use crate::page::Page;
use crate::progress::Progress;
use crate::report;
use crate::shelf::{Shelf, name_of};
use crate::store;
use crate::tone::Tone;
use crate::trouble::Trouble;
use crate::wire::Atlas;

const EXAMPLES: &str = "\
Examples:
  solderside atlas                          every controller against every port
  solderside atlas heron-stick              one controller against every port
  solderside atlas heron-stick plover teal  one controller against two ports
  solderside atlas --write atlas.html       and as a page to look at and to print

Exit codes: 0 it is answered, whatever the answer is; 2 the input was wrong.";

/// Show every controller against every port: the best lead, what it loses, and why
///
/// Each pair is designed and proved as `design` does it without wishes, the pads of the shelf tried as donors. Sockets
/// where no lead belongs are left out.
#[derive(Debug, Args)]
#[command(after_long_help = EXAMPLES)]
pub struct AtlasArgs {
    /// Only these controllers and ports: names, or paths that end in `.toml`; of a kind of which none is named,
    /// all
    names: Vec<String>,

    /// Write it as a page too: one HTML file that needs nothing else
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,

    /// Let `--write` replace a file
    #[arg(long, requires = "write")]
    force: bool,
}

/// What the atlas is about.
#[derive(Default)]
pub struct Sides {
    pub controllers: Vec<Controller>,
    pub ports: Vec<Port>,
    /// Sockets where no lead belongs.
    pub left_out: Vec<Port>,
    /// Profiles with mistakes.
    pub unreadable: Vec<String>,
}

impl AtlasArgs {
    pub fn run(&self, shelf: Option<&Path>) -> Result<Reply, Trouble> {
        let shelf = Shelf::open(shelf, &self.names)?;
        let sides = self.sides(&shelf)?;
        if let Some(file) = &self.write {
            // Nobody shall wait for an answer that has nowhere to go.
            store::may_write(file, self.force)?;
        }
        let threads = available_parallelism().map_or(1, usize::from);
        let progress = Progress::of("pairs");
        let pads = Pads::of(&shelf.library);
        let told = |done, all| progress.tell(done, all);
        let rows = atlas(&sides.controllers, &sides.ports, &pads, threads, &told)?;
        drop(progress);
        if let Some(file) = &self.write {
            store::write(file, &sides.page(&rows), self.force)?;
        }
        let mut page = Page::default();
        summary(&mut page, &sides, &rows);
        for (controller, squares) in sides.controllers.iter().zip(&rows) {
            page.heading(&format!("{}: {}", Tone::Strong.of(&controller.name), controller.title));
            row(&mut page, &sides.ports, squares);
        }
        left_out(&mut page, &sides);
        let written = self.write.as_ref().map(|file| file.display().to_string());
        if let Some(file) = &written {
            page.line(format!("written: {file}"));
        }
        Ok(Reply::new(Status::Sound, page.finish(), &Atlas::new(&sides, &rows, written)))
    }

    /// What is named, and all of a kind of which nothing is.
    fn sides(&self, shelf: &Shelf) -> Result<Sides, Trouble> {
        let mut sides = Sides::default();
        for word in &self.names {
            let name = name_of(word);
            match shelf.library.kind(name) {
                Some(Kind::Controller) => sides.controllers.push(shelf.controller(word)?),
                Some(Kind::Port) => sides.put(shelf.port(word)?),
                Some(kind @ (Kind::Cable | Kind::Drawer | Kind::Lead | Kind::BuzzRun)) => {
                    let text = format!("`{name}` is a {kind}, expected a controller or a port");
                    return Err(Trouble::new(text, "`solderside shelf` lists both"));
                }
                // Its file may say why it is nothing.
                None if shelf.library.file(name).is_some() => drop(shelf.controller(word)?),
                None => return Err(shelf.unknown(name)),
            }
        }
        let (all_controllers, all_ports) =
            (sides.controllers.is_empty(), sides.ports.is_empty() && sides.left_out.is_empty());
        for entry in shelf.library.entries() {
            let read = match entry.kind {
                Some(Kind::Controller) if all_controllers => {
                    shelf.library.controller(&entry.name).map(|controller| sides.controllers.push(controller))
                }
                Some(Kind::Port) if all_ports => shelf.library.port(&entry.name).map(|port| sides.put(port)),
                Some(
                    Kind::Controller | Kind::Port | Kind::Cable | Kind::Drawer | Kind::Lead | Kind::BuzzRun,
                )
                | None => {
                    continue;
                }
            };
            if read.is_err() {
                sides.unreadable.push(entry.name);
            }
        }
        sides.sort();
        Ok(sides)
    }
}

impl Sides {
    /// The atlas as a page.
    fn page(&self, rows: &[Vec<Square>]) -> String {
        let Self { controllers, ports, left_out, unreadable } = self;
        atlas_page(solderside_sheet::Atlas {
            controllers,
            ports,
            squares: rows,
            left_out,
            unreadable,
            made_of,
        })
    }

    fn put(&mut self, port: Port) {
        if port.hazard.is_some() { self.left_out.push(port) } else { self.ports.push(port) }
    }

    /// Puts all in the order of the names, each once.
    fn sort(&mut self) {
        self.controllers.sort_by(|one, other| one.name.cmp(&other.name));
        self.controllers.dedup_by(|one, other| one.name == other.name);
        for ports in [&mut self.ports, &mut self.left_out] {
            ports.sort_by(|one, other| one.name.cmp(&other.name));
            ports.dedup_by(|one, other| one.name == other.name);
        }
        self.unreadable.sort();
    }
}

/// How many pairs have a lead, by what it comes to.
fn summary(page: &mut Page, sides: &Sides, rows: &[Vec<Square>]) {
    let squares = || rows.iter().flatten();
    let mut counted: Vec<(String, usize)> = Vec::new();
    let mut ranked: Vec<&Square> = squares().collect();
    ranked.sort_by_key(|square| square.merit());
    for square in ranked {
        let word = lead_of(square);
        match counted.iter_mut().find(|(other, _)| *other == word) {
            Some((_, count)) => *count += 1,
            None => counted.push((word, 1)),
        }
    }
    let [controllers, ports] = [
        counted_as(sides.controllers.len(), "controller", "controllers"),
        counted_as(sides.ports.len(), "port", "ports"),
    ];
    page.line(format!("{controllers} against {ports}: {}", counted_as(squares().count(), "pair", "pairs")));
    for (word, count) in counted {
        page.line(format!("  {count:>4}  {word}"));
    }
    page.paragraph(
        "",
        "No program is told here. A lead into the port's own pad takes one of these; what else would do, \
         `solderside design` puts beside it.",
    );
}

fn counted_as(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// One controller: ports that come to the same stand together, the best first.
fn row(page: &mut Page, ports: &[Port], squares: &[Square]) {
    let mut alike: Vec<(&Square, Vec<&str>)> = Vec::new();
    for (port, square) in ports.iter().zip(squares) {
        match alike.iter_mut().find(|(other, _)| *other == square) {
            Some((_, names)) => names.push(&port.name),
            None => alike.push((square, vec![&port.name])),
        }
    }
    alike.sort_by_key(|(square, _)| square.merit());
    for (square, names) in alike {
        let pad = square.best.as_ref().and_then(|best| best.donor.as_deref());
        page.paragraph("  ", &format!("{}: {}", lead_into(square, pad), names.join(", ")));
        if let Some(best) = &square.best {
            page.paragraph("      ", &format!("lost: {}", lost(best)));
        }
        if let Some(first) = square.reasons.first() {
            let more = match square.reasons.len() {
                0 | 1 => String::new(),
                all => format!(" (and {})", counted_as(all - 1, "more reason", "more reasons")),
            };
            let but = match &square.best {
                Some(_) => "wire alone does not do all: ",
                None if square.is_final => "",
                None => "wire does not do it: ",
            };
            page.paragraph("      ", &format!("{but}{}{more}", first.join("; together with: ")));
        }
    }
}

/// "works, wire only"; "NO lead".
fn lead_of(square: &Square) -> String {
    lead_into(square, None)
}

/// "works, wire into the port's own pad `dunlin-pad`".
fn lead_into(square: &Square, pad: Option<&str>) -> String {
    let Some(best) = &square.best else { return format!("{} lead", Tone::Bad.of("NO")) };
    let verdict = Tone::from(best.verdict).of(best.verdict.as_str());
    let but = if best.plays_no_direction { ", but NO DIRECTION is played" } else { "" };
    let pad = pad.map_or_else(String::new, |pad| format!(" `{pad}`"));
    format!("{verdict}, {}{pad}{but}", made_of(best.class))
}

/// What the best lead loses, the machine's side first.
fn lost(best: &Best) -> String {
    let lost: Vec<String> = [
        ("actions", report::quoted_list(&best.actions_lost)),
        ("axes of the machine", report::quoted_list(&best.axes_lost)),
        ("controls", report::quoted_list(&best.controls_lost)),
        ("axes of the controller", report::quoted_list(&best.pots_lost)),
    ]
    .into_iter()
    .filter(|(_, names)| !names.is_empty())
    .map(|(what, names)| format!("{what} {names}"))
    .collect();
    if lost.is_empty() { "nothing".to_owned() } else { lost.join("; ") }
}

/// What is not in the atlas, and where the whole of a square is told.
fn left_out(page: &mut Page, sides: &Sides) {
    if !sides.left_out.is_empty() || !sides.unreadable.is_empty() {
        page.heading("Left out");
    }
    for Port { name, title, hazard, .. } in &sides.left_out {
        let hazard = hazard.as_deref().unwrap_or_default();
        page.paragraph("  ", &format!("{name}: {title}, where no lead belongs: {hazard}"));
    }
    for name in &sides.unreadable {
        page.paragraph("  ", &format!("{name}: its file has mistakes, which `solderside show {name}` tells"));
    }
    page.line("");
    page.line("`solderside design CONTROLLER PORT` tells all of a pair.");
}

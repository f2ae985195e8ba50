//! The atlas: one HTML file with every controller against every port.
//!
//! It loads nothing. At a desk and on paper it is a table whose squares point to numbered notes; on a phone a list for
//! each controller. Its own small script filters, sorts, and opens a square's note where it stands; without it every
//! square is a link to its note. A colour only repeats what a word or a letter says.

mod note;
#[cfg(test)]
mod tests;

use maud::{DOCTYPE, Markup, PreEscaped, html};
use solderside_design::{ATLAS_CLASSES, Class, Square, is_one_controller, is_one_port};
use solderside_profile::{Controller, Port};
use solderside_proof::Verdict;

use crate::guide::head;
use crate::words::count;
use note::{Outcome, lost_count, outcome};

/// What the page shows.
#[derive(Debug, Clone, Copy)]
pub struct Atlas<'a> {
    /// The controllers, a row each.
    pub controllers: &'a [Controller],
    /// The ports, a column each.
    pub ports: &'a [Port],
    /// What each pair comes to, a row for each controller with a square for each port.
    pub squares: &'a [Vec<Square>],
    /// Sockets where no lead belongs.
    pub left_out: &'a [Port],
    /// Profiles with mistakes.
    pub unreadable: &'a [String],
    /// What the leads of a class are made of, in words.
    pub made_of: fn(Class) -> &'static str,
}

/// A row or a column: profiles that differ in name and title only share it.
struct Side<'a> {
    names: Vec<&'a str>,
    titles: Vec<&'a str>,
    /// The place of the first of them.
    at: usize,
    /// How many sides are better served.
    rank: usize,
}

/// The page's rows and columns, and the notes to which its squares point.
struct Sheet<'a> {
    atlas: Atlas<'a>,
    rows: Vec<Side<'a>>,
    columns: Vec<Side<'a>>,
    /// Squares that come to the same share a note; the best stands first.
    notes: Vec<&'a Square>,
}

/// Writes the atlas as one HTML document.
pub fn atlas_page(atlas: Atlas<'_>) -> String {
    let sheet = Sheet::of(atlas);
    let styles =
        [include_str!("guide/style.css"), include_str!("guide/print.css"), include_str!("atlas/atlas.css")];
    let page = html! {
        (DOCTYPE)
        html lang="en-GB" {
            (head("Atlas: every controller against every port", &styles))
            body class="atlas" {
                a class="skip" href="#squares" { "Skip to the squares" }
                header {
                    p class="kind" { "Atlas" }
                    h1 { "Every controller against every port" }
                    p class="job" { (sheet.job()) }
                }
                main {
                    section id="key" aria-labelledby="key-heading" { (sheet.key()) }
                    (filters())
                    section id="squares" aria-labelledby="squares-heading" {
                        h2 id="squares-heading" { "The squares" }
                        (sheet.table())
                        (sheet.lists())
                    }
                    section id="notes" aria-labelledby="notes-heading" {
                        h2 id="notes-heading" { "Notes" }
                        p { "What stands behind each number in the squares. " code { "solderside design CONTROLLER PORT" } " tells all of a pair." }
                        ol { @for (at, square) in sheet.notes.iter().enumerate() {
                            li id={ "note-" (at + 1) } tabindex="-1" { (note::note(square, atlas.made_of)) }
                        } }
                    }
                    (sheet.left_out())
                }
                dialog id="square" aria-labelledby="square-heading" {}
                footer { p { "Made by Solderside from the catalogue and the shelf. The same profiles give the same atlas." } }
                script { (PreEscaped(include_str!("atlas/atlas.js"))) }
            }
        }
    };
    page.into_string()
}

impl<'a> Sheet<'a> {
    fn of(atlas: Atlas<'a>) -> Self {
        let mut rows = sides(atlas.controllers, is_one_controller, |own| [&own.name, &own.title]);
        let mut columns = sides(atlas.ports, is_one_port, |own| [&own.name, &own.title]);
        let square = |row: &Side<'_>, column: &Side<'_>| &atlas.squares[row.at][column.at];
        let [of_rows, of_columns] = [
            rows.iter()
                .map(|row| served(columns.iter().map(|column| square(row, column))))
                .collect::<Vec<_>>(),
            columns.iter().map(|column| served(rows.iter().map(|row| square(row, column)))).collect(),
        ];
        rank(&mut rows, &of_rows);
        rank(&mut columns, &of_columns);
        let mut notes: Vec<&Square> = Vec::new();
        for square in rows.iter().flat_map(|row| columns.iter().map(move |column| square(row, column))) {
            if !notes.contains(&square) {
                notes.push(square);
            }
        }
        notes.sort_by_key(|square| square.merit());
        Self { atlas, rows, columns, notes }
    }

    fn square(&self, row: &Side<'_>, column: &Side<'_>) -> &'a Square {
        &self.atlas.squares[row.at][column.at]
    }

    /// The number of a square's note.
    fn number(&self, square: &Square) -> usize {
        self.notes.iter().position(|own| *own == square).map_or(0, |at| at + 1)
    }

    /// How much there is, in a sentence.
    fn job(&self) -> String {
        let Atlas { controllers, ports, squares, .. } = self.atlas;
        let with = squares.iter().flatten().filter(|square| square.best.is_some()).count();
        let (pairs, shown) = (controllers.len() * ports.len(), self.rows.len() * self.columns.len());
        let shared = if shown < pairs {
            format!(
                " Profiles that differ in name alone share a row or a column: all {} stand in {}.",
                count(pairs, "pair"),
                count(shown, "square")
            )
        } else {
            String::new()
        };
        format!(
            "{} against {}: for {with} of {} there is a lead.{shared}",
            count(controllers.len(), "controller"),
            count(ports.len(), "port"),
            count(pairs, "pair")
        )
    }

    /// What the letters in the squares mean.
    fn key(&self) -> Markup {
        let squares = || self.atlas.squares.iter().flatten();
        let outcomes =
            Outcome::ALL.into_iter().map(|own| (own, squares().filter(|it| outcome(it) == own).count()));
        let classes = ATLAS_CLASSES.into_iter().map(|class| {
            (class, squares().filter(|it| it.best.as_ref().is_some_and(|best| best.class == class)).count())
        });
        html! {
            h2 id="key-heading" { "What the squares say" }
            div class="keys" {
                dl {
                    @for (outcome, pairs) in outcomes {
                        dt class=(outcome.as_str()) { (outcome.letter()) }
                        dd { b { (outcome.as_str()) } ": " (outcome.means()) " (" (count(pairs, "pair")) ")" }
                    }
                }
                dl {
                    @for (class, pairs) in classes {
                        dt { (short(class)) }
                        dd { b { (class.as_str()) } ": " ((self.atlas.made_of)(class)) " (" (count(pairs, "pair")) ")" }
                    }
                }
                dl class="of-squares" {
                    dt { "−3" }
                    dd { "three controls or axes of the controller do nothing there" }
                    dt { "!" }
                    dd { "the port reads directions, and none is played" }
                    dt class="in-print" { sup { "12" } }
                    dd class="in-print" { "the number of the note that tells the rest" }
                }
            }
            p class="quiet" {
                "No program is told here. A lead into the port's own pad takes one of these, opened; what else would do, "
                code { "solderside design" } " puts beside it."
            }
        }
    }

    fn table(&self) -> Markup {
        html! {
            div class="table wide-table" role="region" tabindex="0" aria-label="Every controller against every port" {
                table id="grid" aria-describedby="key-heading" {
                    thead { tr {
                        th scope="col" class="corner" { "Controller" }
                        @for column in &self.columns {
                            th scope="col" data-name=(column.names.join(" ")) data-words=(column.words()) data-rank=(column.rank) title=(column.titles.join("; ")) {
                                span { (column.names.join(" = ")) }
                            }
                        }
                    } }
                    tbody { @for row in &self.rows {
                        tr {
                            th scope="row" data-name=(row.names.join(" ")) data-words=(row.words()) data-rank=(row.rank) title=(row.titles.join("; ")) { (row.names.join(" = ")) }
                            @for column in &self.columns { (self.cell(row, column)) }
                        }
                    } }
                }
            }
        }
    }

    fn cell(&self, row: &Side<'_>, column: &Side<'_>) -> Markup {
        let square = self.square(row, column);
        let (own, number) = (outcome(square), self.number(square));
        let class = square.best.as_ref().map(|best| best.class);
        let alone = square.best.as_ref().is_some_and(|best| best.plays_no_direction);
        let lost = square.best.as_ref().map_or(0, lost_count);
        let mut told = format!("{} with {}: {}", row.names[0], column.names[0], own.as_str());
        if let Some(class) = class {
            told = format!("{told}, {class}");
        }
        if alone {
            told += ", no direction is played";
        }
        if lost > 0 {
            told = format!("{told}, {lost} lost");
        }
        html! {
            td class=(own.as_str()) data-outcome=(own.as_str()) data-class=[class.map(Class::as_str)] data-sign=[sign(square)] {
                a href={ "#note-" (number) } aria-label=(told) {
                    b { (own.letter()) @if alone { "!" } } " "
                    @if let Some(class) = class { (short(class)) " " }
                    @if lost > 0 { i { "−" (lost) } " " }
                    sup { (number) }
                }
            }
        }
    }

    /// The same for a narrow screen: for each controller what comes to the same, the best first.
    fn lists(&self) -> Markup {
        html! {
            div class="lists" { @for row in &self.rows {
                section class="of-controller" data-name=(row.names.join(" ")) data-words=(row.words()) data-rank=(row.rank) {
                    h3 { (row.titles.join(" = ")) }
                    p class="quiet" { code { (row.names.join(" = ")) } }
                    @for (square, columns) in self.alike(row) {
                        @let own = outcome(square);
                        details class=(own.as_str()) data-outcome=(own.as_str()) data-class=[square.best.as_ref().map(|best| best.class.as_str())] data-sign=[sign(square)] {
                            summary { span {
                                b { (note::headline(square, self.atlas.made_of)) }
                                @if let Some(lost) = square.best.as_ref().map(lost_count).filter(|lost| *lost > 0) { ", " (lost) " lost" }
                                br; span class="quiet" { (listed(&columns)) }
                            } }
                            ul class="of-ports" { @for column in columns { li data-words=(column.words()) {
                                (column.titles.join(" = ")) br;
                                code { "solderside design " (row.names[0]) " " (column.names[0]) }
                            } } }
                            (note::rest(square))
                        }
                    }
                }
            } }
        }
    }

    /// The ports of a controller that come to the same, the best first.
    fn alike(&self, row: &Side<'_>) -> Vec<(&'a Square, Vec<&Side<'a>>)> {
        let mut alike: Vec<(&Square, Vec<&Side<'_>>)> = Vec::new();
        for column in &self.columns {
            let square = self.square(row, column);
            match alike.iter_mut().find(|(other, _)| *other == square) {
                Some((_, columns)) => columns.push(column),
                None => alike.push((square, vec![column])),
            }
        }
        alike.sort_by_key(|(square, _)| square.merit());
        alike
    }

    fn left_out(&self) -> Markup {
        let Atlas { left_out, unreadable, .. } = self.atlas;
        html! {
            @if !left_out.is_empty() || !unreadable.is_empty() {
                section id="left-out" aria-labelledby="left-out-heading" {
                    h2 id="left-out-heading" { "Left out" }
                    ul {
                        @for port in left_out {
                            li { code { (port.name) } ": " (port.title) ", where no lead belongs: " (port.hazard.as_deref().unwrap_or_default()) }
                        }
                        @for name in unreadable {
                            li { code { (name) } ": its file has mistakes, which " code { "solderside show " (name) } " tells" }
                        }
                    }
                }
            }
        }
    }
}

/// What can be filtered and sorted; shown by the script, which does it.
fn filters() -> Markup {
    let text = |id: &str, what: &str| {
        html! {
            label { (what) input type="search" id=(id) autocomplete="off" spellcheck="false"; }
        }
    };
    let boxes = |name: &str, legend: &str, words: Vec<&str>| {
        html! {
            fieldset {
                legend { (legend) }
                @for word in words { label { input type="checkbox" name=(name) value=(word) checked; " " (word) } }
            }
        }
    };
    let order = |id: &str, what: &str| {
        html! {
            label { (what) select id=(id) {
                option value="name" { "by name" }
                option value="rank" { "by how much works" }
            } }
        }
    };
    html! {
        details id="filter-box" hidden { summary { "Filter and sort" }
        form id="filters" aria-label="Filter and sort" {
            div { (text("of-controllers", "Controllers with")) (text("of-ports", "Ports with")) }
            div { (order("rows", "Controllers")) (order("columns", "Ports")) }
            (boxes("outcome", "Verdict", Outcome::ALL.map(Outcome::as_str).to_vec()))
            (boxes("class", "Class", ATLAS_CLASSES.map(Class::as_str).to_vec()))
            (boxes("sign", "Directions", SIGNS.to_vec()))
            p role="status" { output id="shown" {} " " button type="reset" { "Show all" } }
            p class="quiet keys-told" { "Arrow keys move from square to square, Enter opens one, Escape closes it." }
        } }
    }
}

/// Whether a lead carries the sign that no direction is played, as the filter has it.
const SIGNS: [&str; 2] = ["played or none read", "none played (!)"];

/// The sign of a square's lead; none where there is no lead.
fn sign(square: &Square) -> Option<&'static str> {
    square.best.as_ref().map(|best| SIGNS[usize::from(best.plays_no_direction)])
}

/// The ports of a line by all their names; of many the first ones, and how many more.
fn listed(columns: &[&Side<'_>]) -> String {
    let names: Vec<String> =
        columns.iter().take(MOST_LISTED).map(|column| column.names.join(" = ")).collect();
    match columns.len().saturating_sub(MOST_LISTED) {
        0 => names.join(", "),
        more => format!("{} and {more} more", names.join(", ")),
    }
}

/// So many ports are named in a line.
const MOST_LISTED: usize = 4;

impl Side<'_> {
    /// What a filter looks into.
    fn words(&self) -> String {
        format!("{} {}", self.names.join(" "), self.titles.join(" ")).to_lowercase()
    }
}

/// The rows or the columns, in the order of their first names.
fn sides<'a, T>(
    all: &'a [T],
    is_one: impl Fn(&T, &T) -> bool,
    named: impl Fn(&'a T) -> [&'a String; 2],
) -> Vec<Side<'a>> {
    let mut sides: Vec<Side<'a>> = Vec::new();
    for (at, own) in all.iter().enumerate() {
        let [name, title] = named(own);
        match sides.iter_mut().find(|side| is_one(&all[side.at], own)) {
            Some(side) => {
                side.names.push(name);
                side.titles.push(title);
            }
            None => sides.push(Side { names: vec![name], titles: vec![title], at, rank: 0 }),
        }
    }
    sides
}

/// How well a side is served: how many squares have no lead that plays what the machine reads first of all, its directions;
/// how many have none at all, how many one that is thin, and what is lost in all.
fn served<'a>(squares: impl Iterator<Item = &'a Square>) -> [usize; 4] {
    squares.fold([0; 4], |[still, none, thin, lost], square| match &square.best {
        None => [still + 1, none + 1, thin, lost],
        Some(best) => [
            still + usize::from(best.plays_no_direction),
            none,
            thin + usize::from(best.verdict > Verdict::Works),
            lost + lost_count(best),
        ],
    })
}

fn rank(sides: &mut [Side<'_>], served: &[[usize; 4]]) {
    for (side, own) in sides.iter_mut().zip(served) {
        side.rank = served.iter().filter(|other| *other < own).count();
    }
}

/// The fewest letters by which a class is told from the others, two at least: an `l` alone looks like a 1.
fn short(class: Class) -> &'static str {
    let word = class.as_str();
    let is_own = |letters: &&str| {
        Class::ALL.iter().all(|other| *other == class || !other.as_str().starts_with(letters))
    };
    (2..word.len()).filter_map(|end| word.get(..end)).find(is_own).unwrap_or(word)
}

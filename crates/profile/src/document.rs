//! A TOML file as a cursor that never stops at the first mistake.
//!
//! A reader is an ordinary function that asks a [`Table`] for its keys. Whatever it asks for is
//! read, and a mistake is written down while the reading goes on; whatever it did not ask for is a
//! complaint. The same function run over nothing yields the file's schema ([`describe`]).

use std::cell::RefCell;
use std::collections::BTreeSet;

use serde_json::Value as Json;
use toml::de::{DeTable, DeValue};

use crate::complaint::{Complaint, MOST, listed, quoted};
use crate::file_quantity::leading_number;
use crate::shape::{Shape, TableShape, document_schema};
use crate::source::{Place, SourceFile};
use crate::spelling::nearest;
use crate::value::{Value, around};

/// What was read of a file, and what is wrong with it.
#[derive(Debug)]
pub struct Reading<T> {
    /// What could be read.
    pub value: T,
    /// All mistakes that reading met, in no order.
    pub complaints: Vec<Complaint>,
    /// Whether the text is broken TOML, so that what is missing may only be hidden.
    pub broken: bool,
}

/// Reads a file with a function that asks for its keys.
///
/// ```
/// # use solderside_profile::{SourceFile, read};
/// let file = SourceFile::new("a.toml", "titel = 'x'");
/// let reading = read(&file, |table| table.key("title", "what it is called").text());
/// assert_eq!(reading.complaints[0].headline, "unknown key `titel`");
/// ```
pub fn read<T>(file: &SourceFile, reader: impl FnOnce(&mut Table<'_>) -> T) -> Reading<T> {
    let (root, mut errors) = DeTable::parse_recoverable(file.text());
    errors.sort_by_key(|error| error.span().map(|span| span.start));
    let mut complaints: Vec<Complaint> =
        errors.iter().take(MOST).map(|error| syntax_complaint(file, error)).collect();
    // A key that stands twice is a mistake, but the text around it was understood.
    let broken = errors.iter().any(|error| error.message() != DUPLICATE);
    let context = Context { file: file.clone(), describing: false, complaints: RefCell::default() };
    let mut table = Table::new(&context, file.top(), Some(root.get_ref()));
    let value = reader(&mut table);
    table.finish();
    let mut others = context.complaints.into_inner();
    if broken {
        // What the parser guessed of a broken line is not worth a second complaint.
        let doubtful = doubtful_lines(file, &complaints);
        others.retain(|c| !c.absence && !doubtful.contains(&c.place.line()));
    }
    complaints.append(&mut others);
    Reading { value, complaints, broken }
}

/// Returns the lines that the parser had to guess: broken ones, and what follows a broken header.
fn doubtful_lines(file: &SourceFile, syntax: &[Complaint]) -> BTreeSet<usize> {
    let broken: BTreeSet<usize> = syntax.iter().map(|complaint| complaint.place.line()).collect();
    let mut doubtful = BTreeSet::new();
    let mut headless = false;
    for (line, text) in (1..).zip(file.text().split('\n')) {
        if text.trim_start().starts_with('[') {
            headless = broken.contains(&line);
        }
        if headless || broken.contains(&line) {
            doubtful.insert(line);
        }
    }
    doubtful
}

/// Returns the JSON Schema (draft 2020-12) of the files that a reader reads.
pub fn describe<T>(title: &str, reader: impl FnOnce(&mut Table<'_>) -> T) -> Json {
    let file = SourceFile::new("", "");
    let context = Context { file: file.clone(), describing: true, complaints: RefCell::default() };
    let mut table = Table::new(&context, file.top(), None);
    reader(&mut table);
    document_schema(title, &table.finish())
}

/// The message of `toml` for a key or a table that stands twice.
const DUPLICATE: &str = "duplicate key";

fn syntax_complaint(file: &SourceFile, error: &toml::de::Error) -> Complaint {
    let place = file.place(error.span().unwrap_or(0..0));
    if error.message() == DUPLICATE {
        let key = quoted(place.text());
        return Complaint::new(place, format!("{key} stands twice"))
            .label("the second one")
            .help("keep one, with the keys of both");
    }
    let help = with_its_unit(file, place.line()).unwrap_or_else(|| {
        "write `key = value`; texts in \"quotes\", lists in [brackets], tables as [name]".to_owned()
    });
    Complaint::new(place, format!("broken TOML: {}", error.message())).label("not understood").help(help)
}

/// How to write a line such as `volts = +5v`, whose number has its unit behind it.
fn with_its_unit(file: &SourceFile, line: usize) -> Option<String> {
    let (key, value) = file.text().lines().nth(line.checked_sub(1)?)?.split_once('=')?;
    let (key, value) = (key.trim(), value.trim());
    let unit = key.rsplit('_').find(|word| *word != "max")?;
    if !["volts", "ohms", "amps", "farads", "seconds", "mm"].contains(&unit) || value.starts_with(['[', '"'])
    {
        return None;
    }
    let number = leading_number(value)?;
    let value = match number.parse() {
        Ok(number) if unit != "mm" && !key.ends_with("_max") => around(number),
        Ok(_) | Err(_) => number,
    };
    Some(format!("write `{key} = {value}`; the unit stands in the key"))
}

/// What all cursors of one reading share.
#[derive(Debug)]
pub(crate) struct Context {
    pub(crate) file: SourceFile,
    /// No file is read: the reader is asked for its shape.
    pub(crate) describing: bool,
    complaints: RefCell<Vec<Complaint>>,
}

impl Context {
    pub(crate) fn complain(&self, complaint: Complaint) {
        self.complaints.borrow_mut().push(complaint);
    }
}

/// A table of a file, or the place where one might be.
#[derive(Debug)]
pub struct Table<'d> {
    context: &'d Context,
    /// The table's header or its first key.
    place: Place,
    node: Option<&'d DeTable<'d>>,
    shape: TableShape,
    /// Keys that belong in another kind of file, with what to do about them.
    foreign: Vec<(&'static str, &'static str, &'static str)>,
}

impl<'d> Table<'d> {
    pub(crate) fn new(context: &'d Context, place: Place, node: Option<&'d DeTable<'d>>) -> Self {
        Self { context, place, node, shape: TableShape::default(), foreign: Vec::new() }
    }

    /// Where the table begins.
    pub fn place(&self) -> Place {
        self.place.clone()
    }

    /// Asks for a key; `doc` says in the schema what it is for.
    pub fn key(&mut self, key: &'static str, doc: &'static str) -> Value<'_> {
        let node = self.node.and_then(|table| table.get(key));
        let at = self.shape.keys.len();
        self.shape.keys.push((key, doc, Shape::Unasked));
        let shape = &mut self.shape.keys[at].2;
        Value::new(self.context, key, node.map(|node| (node.span(), node.get_ref())), shape)
    }

    /// Says whether a key is there, rightly written or not.
    pub fn has(&self, key: &str) -> bool {
        self.node.is_some_and(|table| table.contains_key(key))
    }

    /// Returns those of these keys that are there, rightly written or not.
    pub(crate) fn those_of<const N: usize>(&self, keys: [&'static str; N]) -> BTreeSet<&'static str> {
        keys.into_iter().filter(|key| self.has(key)).collect()
    }

    /// Returns the place of a key that is there.
    pub fn place_of(&self, key: &str) -> Option<Place> {
        let (key, _) = self.node?.get_key_value(key)?;
        Some(self.context.file.place(key.span()))
    }

    /// Complains about each of these keys that is not there.
    pub fn require(&mut self, keys: &[&'static str]) {
        self.shape.required.extend(keys);
        self.complain_of_missing(keys, "");
    }

    /// Complains about each of these keys that is not there, unless another one is.
    pub fn require_unless(&mut self, unless: &'static str, keys: &[&'static str]) {
        self.shape.required_unless = Some((unless, keys.to_vec()));
        if !self.has(unless) {
            self.complain_of_missing(keys, &format!(", or take it over with `{unless} = \"NAME\"`"));
        }
    }

    fn complain_of_missing(&self, keys: &[&str], or: &str) {
        for key in keys.iter().filter(|key| self.node.is_some() && !self.has(key)) {
            let asked = self.shape.keys.iter().find(|(asked, _, _)| asked == key);
            let (doc, value) = asked.map_or(("", None), |(_, doc, shape)| (*doc, shape.only_value()));
            let value = value.unwrap_or_else(|| "…".to_owned());
            let complaint = Complaint::new(self.place(), format!("the key `{key}` is missing"))
                .help(format!("add `{key} = {value}`{or}: {doc}"));
            self.complain(complaint.absence());
        }
    }

    /// Complains when both keys are there.
    pub fn exclude(&mut self, one: &'static str, other: &'static str) {
        self.shape.exclusive.push((one, other));
        if let (Some(first), Some(second)) = (self.place_of(one), self.place_of(other)) {
            let headline = format!("both `{one}` and `{other}` stand here, expected one of them");
            self.complain(
                Complaint::new(second, headline).help("drop one of the two").also(first, "the other one"),
            );
        }
    }

    /// Names a key that belongs elsewhere: its headline and its remedy, should it be met.
    pub fn foreign(&mut self, key: &'static str, headline: &'static str, help: &'static str) {
        self.foreign.push((key, headline, help));
    }

    /// Writes a complaint down.
    pub fn complain(&self, complaint: Complaint) {
        self.context.complain(complaint);
    }

    /// Complains about every key that nobody asked for, and hands over what was asked.
    pub(crate) fn finish(self) -> TableShape {
        let known = || self.shape.keys.iter().map(|(key, _, _)| *key);
        for (key, _) in self.node.into_iter().flatten() {
            let name = key.get_ref().as_ref();
            if known().any(|asked| asked == name) {
                continue;
            }
            let place = self.context.file.place(key.span());
            if let Some((_, headline, help)) = self.foreign.iter().find(|(key, _, _)| *key == name) {
                self.complain(Complaint::new(place, *headline).help(*help));
                continue;
            }
            let help = match nearest(name, known()) {
                Some(near) => format!("write `{near}`"),
                None => format!("known here: {}", listed(known(), "and")),
            };
            self.complain(Complaint::new(place, format!("unknown key {}", quoted(name))).help(help));
        }
        self.shape
    }
}

/// Returns the word for a value's type in a sentence.
pub(crate) fn type_word(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

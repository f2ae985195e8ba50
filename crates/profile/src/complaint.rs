//! What is wrong in a file, where, and how to mend it; and the one renderer of it.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use crate::source::Place;

/// How many complaints of one reading are kept: mending the first ones mends most of the rest.
pub(crate) const MOST: usize = 50;

/// A mistake in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// Where it is.
    pub place: Place,
    /// What is wrong, in one line that makes sense alone.
    pub headline: String,
    /// What to look at in that place; may be empty.
    pub label: String,
    /// How to mend it; may be empty.
    pub help: String,
    /// A second place that takes part, with its label.
    pub also: Option<(Place, String)>,
    /// Something that is not there: not worth saying of a file whose syntax is broken.
    pub(crate) absence: bool,
}

impl Complaint {
    /// Begins a complaint about a place.
    pub fn new(place: Place, headline: impl Into<String>) -> Self {
        Self {
            place,
            headline: headline.into(),
            label: String::new(),
            help: String::new(),
            also: None,
            absence: false,
        }
    }

    /// Says what to look at in the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    /// Shows a second place.
    #[must_use]
    pub fn also(mut self, place: Place, label: impl Into<String>) -> Self {
        self.also = Some((place, label.into()));
        self
    }

    /// Marks the complaint as one about something that is not there.
    #[must_use]
    pub(crate) fn absence(mut self) -> Self {
        self.absence = true;
        self
    }
}

/// Brings the complaints about what has this name into the order of their files and places, each once: its own file
/// comes before those that it starts from.
pub(crate) fn settle(name: &str, mut complaints: Vec<Complaint>) -> Vec<Complaint> {
    let key = |c: &'_ Complaint| (c.place.span.start, c.place.span.end);
    complaints.sort_by(|one, other| {
        let [first, second] = [one, other].map(|c| (c.place.file.name() != name, c.place.file.path()));
        first
            .cmp(&second)
            .then_with(|| key(one).cmp(&key(other)))
            .then_with(|| one.headline.cmp(&other.headline))
    });
    complaints.dedup();
    complaints.truncate(MOST);
    complaints
}

/// Renders complaints as plain text: file, line and column, the line itself, cause and remedy.
pub fn render(complaints: &[Complaint]) -> String {
    let renderer = Renderer::plain();
    let texts: Vec<String> = complaints.iter().map(|complaint| renderer.render(&report(complaint))).collect();
    texts.join("\n\n")
}

fn report(complaint: &Complaint) -> Vec<Group<'_>> {
    let Complaint { place, headline, label, help, also, absence: _ } = complaint;
    let here = AnnotationKind::Primary.span(place.span.clone());
    let mut snippet =
        snippet(place).annotation(if label.is_empty() { here } else { here.label(label.as_str()) });
    let mut elsewhere = None;
    match also {
        Some((other, label)) if other.file == place.file => {
            let there = AnnotationKind::Context.span(other.span.clone()).label(label.as_str());
            snippet = snippet.annotation(there);
        }
        Some((other, label)) => {
            let there = AnnotationKind::Primary.span(other.span.clone()).label(label.as_str());
            elsewhere = Some(self::snippet(other).annotation(there));
        }
        None => {}
    }
    let mut first = Level::ERROR.primary_title(headline.as_str()).element(snippet);
    if let Some(elsewhere) = elsewhere {
        first = first.element(elsewhere);
    }
    if !help.is_empty() {
        first = first.element(Level::HELP.message(help.as_str()));
    }
    vec![first]
}

fn snippet(place: &Place) -> Snippet<'_, annotate_snippets::Annotation<'_>> {
    Snippet::source(place.file.text()).path(place.file.path())
}

/// Returns a word of the file in backticks, cut to a length that a line can hold.
pub fn quoted(word: &str) -> String {
    const LONGEST: usize = 40;
    let mut shown: String =
        word.chars().take(LONGEST).map(|c| if c.is_control() { '·' } else { c }).collect();
    if word.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    format!("`{shown}`")
}

/// Returns a text with a capital in front.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// Returns words in backticks as a list in a sentence: "`a`, `b` or `c`".
pub fn listed<'w>(words: impl IntoIterator<Item = &'w str>, last: &str) -> String {
    let words: Vec<String> = words.into_iter().map(quoted).collect();
    match words.as_slice() {
        [] => "none".to_owned(),
        [one] => one.clone(),
        [all @ .., end] => format!("{} {last} {end}", all.join(", ")),
    }
}

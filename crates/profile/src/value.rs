//! A value of a file under the cursor, and the forms in which a reader may want it.

use std::ops::Range;

use solderside_quantity::{Triple, significant};
use solderside_trade::ContactId;
use toml::de::DeValue;

use crate::believed::Believed;
use crate::complaint::{Complaint, listed, quoted};
use crate::document::{Context, Table, type_word};
use crate::file_quantity::{FileQuantity, leading_number, range};
use crate::shape::{self, Shape};
use crate::source::{At, Place};
use crate::spelling::nearest;

/// The pattern of a kebab-case name.
const KEBAB: &str = "^[a-z0-9]+(-[a-z0-9]+)*$";

/// What is wrong with a text, and how to mend it; the cursor adds where.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// What is wrong, in one line that makes sense alone.
    pub headline: String,
    /// How to mend it.
    pub help: String,
}

impl Misread {
    /// Takes a sentence of the form "what is wrong; how to mend it".
    pub fn from_sentence(sentence: &str) -> Self {
        let (headline, help) = sentence.split_once("; ").unwrap_or((sentence, ""));
        Self { headline: headline.to_owned(), help: help.to_owned() }
    }
}

/// A value of a file, or the place where one might be.
#[derive(Debug)]
pub struct Value<'d> {
    context: &'d Context,
    key: &'d str,
    node: Option<(Range<usize>, &'d DeValue<'d>)>,
    shape: &'d mut Shape,
    believed: Option<Believed>,
}

impl<'d> Value<'d> {
    pub(crate) fn new(
        context: &'d Context,
        key: &'d str,
        node: Option<(Range<usize>, &'d DeValue<'d>)>,
        shape: &'d mut Shape,
    ) -> Self {
        Self { context, key, node, shape, believed: None }
    }

    /// Narrows what is believed of the resistances that are read here.
    pub(crate) fn believed(mut self, believed: Believed) -> Self {
        self.believed = Some(believed);
        self
    }

    /// Reads a text.
    pub fn text(self) -> Option<At<String>> {
        *self.shape = Shape::Text { pattern: Some("\\S"), examples: Vec::new() };
        let text = self.string()?;
        if text.value.trim().is_empty() {
            self.reject(text.place, format!("`{}` is empty", self.key), "write the text between the quotes");
            return None;
        }
        Some(text)
    }

    /// Reads a kebab-case name.
    pub fn name<T>(self, new: impl FnOnce(&str) -> Option<T>) -> Option<At<T>> {
        *self.shape = Shape::Text { pattern: Some(KEBAB), examples: Vec::new() };
        let text = self.string()?;
        let name = new(&text.value);
        if name.is_none() {
            self.context.complain(not_kebab(text.place.clone(), &text.value));
        }
        name.map(|value| At { value, place: text.place })
    }

    /// Reads a text that stands for something else.
    pub fn parsed<T>(
        self,
        examples: impl IntoIterator<Item = String>,
        parse: impl FnOnce(&str) -> Result<T, Misread>,
    ) -> Option<At<T>> {
        *self.shape = Shape::Text { pattern: None, examples: examples.into_iter().collect() };
        let text = self.string()?;
        match parse(&text.value) {
            Ok(value) => Some(At { value, place: text.place }),
            Err(Misread { headline, help }) => {
                self.reject(text.place, headline, help);
                None
            }
        }
    }

    /// Reads a contact: its number, or its name as a text.
    pub fn contact(self) -> Option<At<ContactId>> {
        *self.shape = Shape::Contact;
        let (place, node) = self.here()?;
        let name = match node {
            DeValue::Integer(digits) => digits.as_str(),
            DeValue::String(text) => text.as_ref(),
            DeValue::Float(_)
            | DeValue::Boolean(_)
            | DeValue::Datetime(_)
            | DeValue::Array(_)
            | DeValue::Table(_) => {
                self.wrong_type(place, "a contact", node);
                return None;
            }
        };
        let id = ContactId::parse(name).ok();
        if id.is_none() {
            let headline = format!("`{}` names no contact: {}", self.key, quoted(name));
            self.reject(place.clone(), headline, "write the contact's number, or \"shell\"");
        }
        id.map(|value| At { value, place })
    }

    /// Reads one of these words.
    pub fn choice<T>(self, choices: impl IntoIterator<Item = (&'static str, T)>) -> Option<At<T>> {
        self.choice_or(choices, |_| None)
    }

    /// Reads one of these words; `hint` says how to mend a word that belongs elsewhere.
    pub(crate) fn choice_or<T>(
        self,
        choices: impl IntoIterator<Item = (&'static str, T)>,
        hint: impl FnOnce(&str) -> Option<String>,
    ) -> Option<At<T>> {
        let (words, values): (Vec<&str>, Vec<T>) = choices.into_iter().unzip();
        *self.shape = Shape::Choice(words.iter().map(|word| (*word).to_owned()).collect());
        let text = self.string()?;
        let found = words.iter().position(|word| *word == text.value);
        if found.is_none() {
            let known = listed(words.iter().copied(), "or");
            let help = match (hint(&text.value), nearest(&text.value, words)) {
                (Some(hint), _) => hint,
                (None, Some(near)) => format!("write `{near}`; known: {known}"),
                (None, None) => format!("write {known}"),
            };
            let headline = format!("unknown `{}` {}", self.key, quoted(&text.value));
            self.reject(text.place.clone(), headline, help);
        }
        let value = values.into_iter().nth(found?)?;
        Some(At { value, place: text.place })
    }

    /// Reads a whole number in a range.
    pub fn whole(self, lowest: i64, highest: i64) -> Option<At<i64>> {
        *self.shape = Shape::Whole { lowest, highest };
        let (place, node) = self.here()?;
        let DeValue::Integer(digits) = node else {
            self.wrong_type(place, "a whole number", node);
            return None;
        };
        let number = i64::from_str_radix(digits.as_str(), digits.radix()).ok();
        let number = number.filter(|number| (lowest..=highest).contains(number));
        if number.is_none() {
            let headline = format!("`{}` is out of range: found {}", self.key, quoted(place.text()));
            let help = format!("write a whole number from {lowest} to {highest}");
            self.reject(place.clone(), headline, help);
        }
        number.map(|value| At { value, place })
    }

    /// Reads the number of a file format, of which this program knows those up to `newest`.
    pub fn version(self, newest: i64) -> Option<At<i64>> {
        *self.shape = Shape::Whole { lowest: 1, highest: newest };
        if let Some((place, DeValue::Integer(digits))) = self.here()
            && digits.as_str().parse::<i64>().is_ok_and(|number| number > newest)
        {
            let found = quoted(place.text());
            let headline = format!("format {found} is newer than this program reads: `{newest}`");
            self.reject(place, headline, "read it with a newer program");
            return None;
        }
        self.whole(1, newest)
    }

    /// Reads `true` or `false`.
    pub fn flag(self) -> Option<At<bool>> {
        *self.shape = Shape::Flag;
        match self.here()? {
            (place, DeValue::Boolean(value)) => Some(At { value: *value, place }),
            (place, other) => {
                self.wrong_type(place, "true or false", other);
                None
            }
        }
    }

    /// Reads what may be a text or a list, each with a reader of its own.
    pub fn text_or_list<T, L>(
        self,
        text: impl FnOnce(Value<'_>) -> Option<T>,
        list: impl FnOnce(Value<'_>) -> Option<L>,
    ) -> (Option<T>, Option<L>) {
        let is_list = matches!(self.node, Some((_, DeValue::Array(_))));
        let [mut as_text, mut as_list] = [Shape::Unasked, Shape::Unasked];
        let node = |wanted: bool| self.node.clone().filter(|_| wanted);
        let text = text(Value::new(self.context, self.key, node(!is_list), &mut as_text));
        let list = list(Value::new(self.context, self.key, node(is_list), &mut as_list));
        *self.shape = Shape::Either(vec![as_text, as_list]);
        (text, list)
    }

    /// Reads a quantity, whose unit stands in the key.
    pub fn quantity<T: FileQuantity>(self) -> Option<At<T>> {
        *self.shape = Shape::Number(self.range::<T>());
        let (place, node) = self.here()?;
        let value = self.number::<T>(&place, node)?;
        self.is_believed(&[value], &place).then_some(At { value, place })
    }

    /// Reads `[low, typical, high]`.
    pub fn triple<T: FileQuantity>(self) -> Option<At<Triple<T>>> {
        let (values, place) = self.rising::<T, 3>("[low, typical, high]")?;
        let [low, typical, high] = values;
        // `rising` has checked the order; equal neighbours are fine.
        Triple::new(low, typical, high).ok().map(|value| At { value, place })
    }

    /// Reads `[low, high]`.
    pub fn pair<T: FileQuantity>(self) -> Option<At<(T, T)>> {
        let ([low, high], place) = self.rising::<T, 2>("[low, high]")?;
        Some(At { value: (low, high), place })
    }

    /// Reads a list, item by item; items that are wrong are left out.
    pub fn list<T>(self, mut item: impl FnMut(Value<'_>) -> Option<T>) -> Option<At<Vec<T>>> {
        let mut inner = Shape::Unasked;
        let here = self.here();
        let mut values = Vec::new();
        let found = match here {
            Some((place, DeValue::Array(nodes))) => {
                for node in nodes {
                    let value =
                        Value::new(self.context, self.key, Some((node.span(), node.get_ref())), &mut inner);
                    values.extend(item(value));
                }
                Some(place)
            }
            Some((place, other)) => {
                self.wrong_type(place, "a list", other);
                None
            }
            None => None,
        };
        if self.context.describing {
            item(Value::new(self.context, self.key, None, &mut inner));
        }
        *self.shape = Shape::List(Box::new(inner));
        found.map(|place| At { value: values, place })
    }

    /// Reads a table whose keys are names, entry by entry in the order of the keys; entries that
    /// are wrong are left out. `keys` is the pattern of the keys for the schema.
    pub fn map<T>(
        self,
        keys: Option<&'static str>,
        mut entry: impl FnMut(&At<String>, Value<'_>) -> Option<T>,
    ) -> Vec<T> {
        let mut inner = Shape::Unasked;
        let mut values = Vec::new();
        match self.here() {
            Some((_, DeValue::Table(table))) => {
                for (key, node) in table {
                    let name = At {
                        value: key.get_ref().clone().into_owned(),
                        place: self.context.file.place(key.span()),
                    };
                    let node = Some((node.span(), node.get_ref()));
                    let value = Value::new(self.context, &name.value, node, &mut inner);
                    values.extend(entry(&name, value));
                }
            }
            Some((place, other)) => self.wrong_type(place, "a table", other),
            None => {}
        }
        if self.context.describing {
            let name = At { value: String::new(), place: self.context.file.top() };
            entry(&name, Value::new(self.context, "", None, &mut inner));
        }
        *self.shape = Shape::Map { keys, entry: Box::new(inner) };
        values
    }

    /// Reads a table whose keys are fixed.
    pub fn table<T>(self, reader: impl FnOnce(&mut Table<'_>) -> T) -> Option<At<T>> {
        let (place, node) = match self.here() {
            Some((place, DeValue::Table(table))) => (place, Some(table)),
            Some((place, other)) => {
                self.wrong_type(place, "a table", other);
                return None;
            }
            None if self.context.describing => (self.context.file.top(), None),
            None => return None,
        };
        let mut table = Table::new(self.context, place.clone(), node);
        let value = reader(&mut table);
        *self.shape = Shape::Table(table.finish());
        node.map(|_| At { value, place })
    }

    /// Returns whether there is no file: the reader is asked for its shape.
    pub fn is_imagined(&self) -> bool {
        self.context.describing
    }

    /// Returns whether a table stands here, with nothing in it.
    pub(crate) fn is_empty_table(&self) -> bool {
        matches!(&self.node, Some((_, DeValue::Table(table))) if table.is_empty())
    }

    /// Returns the text that stands here, if one does.
    pub(crate) fn written_text(&self) -> Option<&'d str> {
        if let Some((_, DeValue::String(text))) = &self.node { Some(text.as_ref()) } else { None }
    }

    /// Returns where the value stands, if it does.
    pub fn place(&self) -> Option<Place> {
        self.here().map(|(place, _)| place)
    }

    /// Writes a complaint down.
    pub fn complain(&self, complaint: Complaint) {
        self.context.complain(complaint);
    }

    fn here(&self) -> Option<(Place, &'d DeValue<'d>)> {
        let (span, node) = self.node.as_ref()?;
        Some((self.context.file.place(span.clone()), node))
    }

    fn string(&self) -> Option<At<String>> {
        match self.here()? {
            (place, DeValue::String(text)) => Some(At { value: text.clone().into_owned(), place }),
            (place, other) => {
                self.wrong_type(place, "a text", other);
                None
            }
        }
    }

    fn number<T: FileQuantity>(&self, place: &Place, node: &DeValue<'_>) -> Option<T> {
        let number: f64 = match node {
            DeValue::Integer(digits) => {
                // Beyond 64 bits the range refuses it anyway.
                let whole = i64::from_str_radix(digits.as_str(), digits.radix()).unwrap_or(i64::MAX);
                #[expect(clippy::cast_precision_loss, reason = "the range below ends long before 2^53")]
                let number = whole as f64;
                number
            }
            DeValue::Float(digits) => digits.as_str().parse().unwrap_or(f64::NAN),
            DeValue::String(text) => {
                let help = match leading_number(text) {
                    Some(number) => format!("write {number}; the unit stands in the key"),
                    None => "write a number without quotes; the unit stands in the key".to_owned(),
                };
                self.reject(place.clone(), format!("`{}` must be a number, found a text", self.key), help);
                return None;
            }
            DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => {
                self.wrong_type(place.clone(), "a number", node);
                return None;
            }
        };
        let shape::Range { lowest, highest } = range::<T>();
        match T::new(number) {
            Ok(_) if number > highest && number * 1e-3 <= highest && T::MILLI_IS_LIKELY => {
                let (found, meant) = (quoted(place.text()), significant(number * 1e-3, 6));
                let headline = format!("`{}` is out of range: found {found}", self.key);
                let help = format!(
                    "did you mean {meant}? `{}` are meant, and at most {highest} is believed",
                    T::KEY
                );
                self.reject(place.clone(), headline, help);
                None
            }
            Ok(value) if (lowest..=highest).contains(&number) => Some(value),
            Ok(_) if lowest == 0.0 && number < 0.0 => {
                let headline = format!("`{}` cannot be negative: found {number}", self.key);
                self.reject(place.clone(), headline, format!("write a number from 0 to {highest}"));
                None
            }
            Ok(_) | Err(_) => {
                let found = quoted(place.text());
                let headline = format!("`{}` is out of range: found {found}", self.key);
                let help = format!("write a number of {} from {lowest} to {highest}", T::KEY);
                self.reject(place.clone(), headline, help);
                None
            }
        }
    }

    /// Complains about a slip of a prefix.
    fn is_believed<T: FileQuantity>(&self, values: &[T], place: &Place) -> bool {
        let numbers: Vec<f64> = values.iter().map(|value| value.get()).collect();
        let doubt = self.believed.and_then(|believed| believed.doubt(&numbers));
        if let Some(help) = &doubt {
            let headline = format!("`{}` is out of range: found {}", self.key, quoted(place.text()));
            self.reject(place.clone(), headline, help);
        }
        doubt.is_none()
    }

    /// The numbers that may stand here; 0 is left to who reads them.
    fn range<T: FileQuantity>(&self) -> shape::Range {
        let range = range::<T>();
        let highest = self.believed.map_or(range.highest, |believed| believed.highest.min(range.highest));
        shape::Range { highest, ..range }
    }

    fn rising<T: FileQuantity, const N: usize>(self, form: &str) -> Option<([T; N], Place)> {
        *self.shape = Shape::Rising { count: N, range: self.range::<T>() };
        let (place, node) = self.here()?;
        let DeValue::Array(items) = node else {
            let number = number_of(node).filter(|_| N == 3);
            let help = match number {
                Some(number) => format!("write `{}`, {form} without units", around(number)),
                None => format!("write {form}; the same number {N} times if there is no tolerance"),
            };
            let found = type_word(node);
            self.reject(place, format!("`{}` must be {form}, found {found}", self.key), help);
            return None;
        };
        let count = items.len();
        let numbers: Vec<T> = items
            .iter()
            .filter_map(|item| self.number(&self.context.file.place(item.span()), item.get_ref()))
            .collect();
        if count != N {
            let headline = format!("`{}` must be {form}, found {count} numbers", self.key);
            self.reject(place, headline, format!("write {form}"));
            return None;
        }
        // Fewer numbers than items: each of the others has its complaint already.
        let values: [T; N] = numbers.try_into().ok()?;
        if values.is_sorted() {
            return self.is_believed(&values, &place).then_some((values, place));
        }
        let headline = format!("`{}` is out of order, expected {form}", self.key);
        self.reject(place, headline, "write the numbers so that none is below the one before it");
        None
    }

    fn wrong_type(&self, place: Place, expected: &str, found: &DeValue<'_>) {
        let headline = format!("`{}` must be {expected}, found {}", self.key, type_word(found));
        self.reject(place, headline, format!("write {expected} here"));
    }

    fn reject(&self, place: Place, headline: impl Into<String>, help: impl Into<String>) {
        self.complain(Complaint::new(place, headline).help(help));
    }
}

/// A number with 5 % either way, as a file has it: `[4.75, 5, 5.25]`.
pub(crate) fn around(number: f64) -> String {
    let [low, typical, high] = [0.95, 1.0, 1.05].map(|share| significant(number * share, 6));
    format!("[{low}, {typical}, {high}]")
}

/// The number that a value is, or that a text begins with.
fn number_of(node: &DeValue<'_>) -> Option<f64> {
    match node {
        DeValue::String(text) => leading_number(text)?.parse().ok(),
        DeValue::Integer(digits) => digits.as_str().parse().ok(),
        DeValue::Float(digits) => digits.as_str().parse().ok(),
        DeValue::Boolean(_) | DeValue::Datetime(_) | DeValue::Array(_) | DeValue::Table(_) => None,
    }
}

/// Complains about a name that is not kebab-case, with the name that it could be.
pub(crate) fn not_kebab(place: Place, name: &str) -> Complaint {
    let words: Vec<String> = name
        .to_lowercase()
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    let help = if words.is_empty() {
        "write small letters and digits, words joined by `-`".to_owned()
    } else {
        format!("write {}", quoted(&words.join("-")))
    };
    Complaint::new(place, format!("the name {} is not kebab-case", quoted(name))).help(help)
}

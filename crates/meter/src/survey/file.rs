//! The file of a survey's run: what lies on the bench, and every reading, so that it can be left and taken up.

use std::fmt::Write;

use solderside_profile::{
    At, Cable, Complaint, FORMAT, Failure, Misread, Place, Reading, SourceFile, Table, Value, describe,
    is_kebab, read, toml_text,
};
use solderside_trade::{Conductor, Connector, CoreColour};

use super::found::written;
use super::unknown::{Tail, UnknownCable};
use super::{Survey, SurveyReading, Taken};
use crate::ohms_text::TypedReading;

/// What the file describes.
const KIND: &str = "cable-survey";

/// A survey's run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SurveyHead {
    /// The name of the cable that is surveyed.
    pub cable: String,
    /// What lies on the bench.
    pub unknown: UnknownCable,
    /// The name of the cable that is said to be alike.
    pub like: Option<String>,
    /// Each core's copper, as far as it is known.
    pub conductor: Option<Conductor>,
    /// How long the cable is, as far as that is known.
    pub length_mm: Option<i64>,
}

/// A run's file as it stands.
struct RunFile {
    cable: Option<At<String>>,
    end: Option<At<Connector>>,
    other_end: Option<At<Connector>>,
    cores: Option<At<Vec<At<CoreColour>>>>,
    drain: Option<At<bool>>,
    like: Option<At<String>>,
    conductor: Option<At<Conductor>>,
    length_mm: Option<At<i64>>,
    readings: Vec<At<ReadingEntry>>,
}

struct ReadingEntry {
    between: Option<At<Vec<At<String>>>>,
    reads: Option<At<TypedReading>>,
}

/// Reads what a run's file is about, and its readings; the survey itself needs the cable that is alike.
///
/// # Errors
/// Returns every mistake of the file.
pub fn read_run(file: &SourceFile) -> Result<(SurveyHead, Vec<At<SurveyReading>>), Failure> {
    let Reading { value, mut complaints, broken } = read(file, RunFile::read);
    let run = value.check(&mut complaints);
    match run {
        Some(run) if complaints.is_empty() && !broken => Ok(run),
        _ => Err(Failure::faulty(file.name(), complaints)),
    }
}

/// Puts the readings of a run's file into a survey.
///
/// # Errors
/// Refuses readings that contradict each other, with their places.
pub fn take_up(
    head: &SurveyHead,
    like: Option<&Cable>,
    readings: Vec<At<SurveyReading>>,
) -> Result<Survey, Failure> {
    let mut survey = Survey::new(head.unknown.clone(), like);
    let mut complaints = Vec::new();
    let mut places: Vec<(SurveyReading, Place)> = Vec::new();
    for At { value, place } in readings {
        places.push((value.clone(), place.clone()));
        if let Taken::Contradicts(struck) = survey.take(value) {
            let first = struck.first().and_then(|first| places.iter().find(|(own, _)| own == first));
            let complaint = Complaint::new(place, "this reading contradicts earlier ones")
                .help("take both out of the file, and they are asked for again");
            complaints.push(match first {
                Some((_, earlier)) => complaint.also(earlier.clone(), "against this one"),
                None => complaint,
            });
        }
    }
    if complaints.is_empty() { Ok(survey) } else { Err(Failure::faulty(&head.cable, complaints)) }
}

/// Returns the JSON Schema of run files.
pub fn run_schema() -> String {
    let schema = describe("Solderside run of a cable survey", RunFile::read);
    format!("{schema:#}\n")
}

/// Writes a run as a file, the way a person would.
pub fn write_run(head: &SurveyHead, survey: &Survey) -> String {
    let unknown = &head.unknown;
    let mut text = format!(
        "format = {FORMAT}\nkind = \"{KIND}\"\ncable = \"{}\"\nend = \"{}\"\n",
        head.cable, unknown.end
    );
    match &unknown.tail {
        Tail::Moulded(other) => _ = writeln!(text, "other_end = \"{other}\""),
        Tail::Cores { colours, drain } => {
            let colours =
                colours.iter().map(|colour| toml_text(&colour.words())).collect::<Vec<_>>().join(", ");
            _ = writeln!(text, "cores = [{colours}]\ndrain = {drain}");
        }
    }
    if let Some(like) = &head.like {
        _ = writeln!(text, "like = \"{like}\"");
    }
    if let Some(conductor) = head.conductor {
        _ = writeln!(text, "conductor = \"{}\"", written(conductor));
    }
    if let Some(length) = head.length_mm {
        _ = writeln!(text, "length_mm = {length}");
    }
    for SurveyReading { touch, reads, .. } in survey.readings() {
        let [one, other] = unknown.words(touch).map(|words| toml_text(&words));
        _ = write!(
            text,
            "\n[[reading]]\nbetween = [{one}, {other}]\nreads = {}\n",
            toml_text(&reads.to_string())
        );
    }
    text
}

/// The name of a contact, or of cores between plus signs.
fn point(value: Value<'_>) -> Option<At<String>> {
    value.text()
}

fn connector(value: Value<'_>) -> Option<At<Connector>> {
    value.parsed(["DE-9 socket".to_owned()], |text| {
        Connector::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
    })
}

impl RunFile {
    fn read(table: &mut Table<'_>) -> Self {
        table.key("format", "the number of the file format").version(FORMAT);
        table.key("kind", "what the file describes").choice([(KIND, ())]);
        let name = |name: &str| is_kebab(name).then(|| name.to_owned());
        let file = Self {
            cable: table.key("cable", "the name of the cable that is surveyed").name(name),
            end: connector(table.key("end", "the connector that is moulded on")),
            other_end: connector(
                table.key("other_end", "the connector at the other end, if that is moulded too"),
            ),
            cores: table.key("cores", "the colours of the bare cores, in the order in which they lie").list(
                |item| {
                    item.parsed(["WH", "white with green"].map(str::to_owned), |text| {
                        CoreColour::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
                    })
                },
            ),
            drain: table.key("drain", "whether there is a bare drain, or a screen drawn into one").flag(),
            like: table.key("like", "a cable that is said to be alike: its order is tried first").name(name),
            conductor: table
                .key("conductor", "each core's copper, as far as it is known: `AWG 28` or `0.14 mm2`")
                .parsed(["AWG 28", "0.14 mm2"].map(str::to_owned), |text| {
                    Conductor::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
                }),
            length_mm: table
                .key("length_mm", "how long it is, in millimetres, as far as that is known")
                .whole(1, Cable::LONGEST_MM),
            readings: table
                .key("reading", "what was read, in its order")
                .list(|item| {
                    item.table(|table| {
                        let entry = ReadingEntry {
                            between: table
                                .key(
                                    "between",
                                    "where the probes were: a contact of `end` or cores, and cores",
                                )
                                .list(point),
                            reads: table.key("reads", "what the meter showed: `0.4`, `1.2k`, `open`").parsed(
                                ["0.4", "open"].map(str::to_owned),
                                |text| {
                                    TypedReading::parse(text)
                                        .map_err(|error| Misread::from_sentence(&error.to_string()))
                                },
                            ),
                        };
                        table.require(&["between", "reads"]);
                        entry
                    })
                })
                .map_or(Vec::new(), |list| list.value),
        };
        table.require(&["format", "kind", "cable", "end"]);
        table.exclude("cores", "other_end");
        table.exclude("drain", "other_end");
        if !table.has("cores") {
            table.require_unless("other_end", &["cores"]);
        }
        file
    }

    fn check(self, complaints: &mut Vec<Complaint>) -> Option<(SurveyHead, Vec<At<SurveyReading>>)> {
        let tail = match (self.other_end, self.cores) {
            (Some(other), _) => Tail::Moulded(other.value),
            (None, Some(At { value: cores, place })) => {
                if cores.is_empty() || cores.len() > usize::from(Cable::MOST_CORES) {
                    let headline = format!("`cores` lists {} cores", cores.len());
                    let help = format!("write the colours of 1 to {} cores", Cable::MOST_CORES);
                    complaints.push(Complaint::new(place, headline).help(help));
                    return None;
                }
                let colours = cores.into_iter().map(|core| core.value).collect();
                Tail::Cores { colours, drain: self.drain.is_some_and(|drain| drain.value) }
            }
            (None, None) => return None,
        };
        let unknown = UnknownCable { end: self.end?.value, tail };
        let readings = self
            .readings
            .into_iter()
            .filter_map(|entry| entry.value.check(&unknown, entry.place, complaints));
        let readings = readings.collect();
        let head = SurveyHead {
            cable: self.cable?.value,
            unknown,
            like: self.like.map(|like| like.value),
            conductor: self.conductor.map(|conductor| conductor.value),
            length_mm: self.length_mm.map(|length| length.value),
        };
        Some((head, readings))
    }
}

impl ReadingEntry {
    /// Holds a reading against the cable; both of its mistakes are told.
    fn check(
        self,
        unknown: &UnknownCable,
        place: Place,
        complaints: &mut Vec<Complaint>,
    ) -> Option<At<SurveyReading>> {
        let mut complain = |place: Place, sentence: &str| {
            let Misread { headline, help } = Misread::from_sentence(sentence);
            complaints.push(Complaint::new(place, headline).help(help));
        };
        let touch = self.between.and_then(|between| {
            let [one, other] = between.value.as_slice() else {
                let found = between.value.len();
                let sentence = format!(
                    "a reading is between two points, found {found}; write `between = [\"3\", \"BN\"]`"
                );
                complain(between.place, &sentence);
                return None;
            };
            unknown
                .touch(&one.value, &other.value)
                .map_err(|error| complain(between.place.clone(), &error.to_string()))
                .ok()
        });
        let reads = self.reads?;
        SurveyReading::new(touch?, reads.value)
            .map_err(|error| complain(reads.place, &error.to_string()))
            .ok()
            .map(|value| At { value, place })
    }
}

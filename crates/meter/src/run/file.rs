//! The file of a run.

use std::fmt::Write;

use solderside_lead::{Assembly, Leg};
use solderside_profile::{
    At, Complaint, Control, Failure, Kind, Misread, Reading, SourceFile, Table, describe, heading, quoted,
    read, toml_text,
};

use crate::powered::ACROSS;

use super::{Deed, Given, Probed, Question, Record, Setting, course};

/// A run as its file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct BuzzRun {
    /// The name of the lead.
    pub lead: String,
    /// The fingerprint of the lead as it was then.
    pub fingerprint: String,
    /// What was answered, in its order.
    pub records: Vec<Record>,
}

struct RunFile {
    lead: Option<At<String>>,
    fingerprint: Option<At<String>>,
    readings: Option<At<Vec<At<Option<Record>>>>>,
}

/// Reads a run; with a lead, one of that very lead.
///
/// # Errors
/// Returns every mistake of the file, and says so where it is of another lead or of an older version of it.
pub fn read_run(file: &SourceFile, of: Option<&Assembly>) -> Result<BuzzRun, Failure> {
    let Reading { value: RunFile { lead, fingerprint, readings }, mut complaints, broken } =
        read(file, RunFile::read);
    if let (Some(assembly), Some(lead), Some(fingerprint)) = (of, &lead, &fingerprint) {
        complaints.extend(another(assembly, lead, fingerprint));
    }
    match (lead, fingerprint) {
        (Some(lead), Some(fingerprint)) if complaints.is_empty() && !broken => {
            let readings = readings.map(|readings| readings.value).unwrap_or_default();
            let records = readings.into_iter().filter_map(|record| record.value).collect();
            Ok(BuzzRun { lead: lead.value, fingerprint: fingerprint.value, records })
        }
        _ => {
            for complaint in complaints.iter_mut().filter(|_| broken) {
                if complaint.headline.starts_with("broken TOML") {
                    complaint.help +=
                        "; a run that was cut short goes on when its last table `[[reading]]` is taken out";
                }
            }
            Err(Failure::faulty(file.name(), complaints))
        }
    }
}

/// Why a run is not of this lead as it is.
fn another(assembly: &Assembly, lead: &At<String>, fingerprint: &At<String>) -> Option<Complaint> {
    let own = &assembly.lead.name;
    if lead.value != *own {
        let headline = format!("this is a run of the lead {}, not of {}", quoted(&lead.value), quoted(own));
        let help = "name that lead, or another file for `--run`";
        return Some(Complaint::new(lead.place.clone(), headline).help(help));
    }
    (fingerprint.value != assembly.fingerprint()).then(|| {
        let headline =
            format!("this is a run of an older version of {}: the lead has changed since", quoted(own));
        let help =
            "its readings are of another lead: keep the file for itself, and name a new one for `--run`";
        Complaint::new(fingerprint.place.clone(), headline).help(help)
    })
}

/// Returns the JSON Schema of the files of runs.
pub fn run_schema() -> String {
    let schema = describe("Solderside buzz-run", RunFile::read);
    format!("{schema:#}\n")
}

/// Writes a run as a file.
pub fn write_run(run: &BuzzRun) -> String {
    let mut text = String::from("format = 1\nkind = \"buzz-run\"\n");
    _ = writeln!(text, "lead = {}", toml_text(&run.lead));
    _ = writeln!(text, "fingerprint = {}", toml_text(&run.fingerprint));
    for Record { question, given } in &run.records {
        text += "\n[[reading]]\n";
        let Probed { setting, red, black, held, across, chip_in } = match question {
            Question::Reading(probed) => probed,
            Question::Deed(deed) => {
                _ = writeln!(text, "deed = \"{deed}\"\nvalue = \"{given}\"");
                continue;
            }
        };
        _ = write!(text, "red = \"{red}\"\nblack = \"{black}\"\nrange = \"{}\"\n", setting.as_str());
        if let Some(held) = held {
            let held: Vec<String> = held.iter().map(|control| format!("\"{control}\"")).collect();
            _ = writeln!(text, "held = [{}]", held.join(", "));
        }
        if *across {
            _ = writeln!(text, "across_ohms = {}", ACROSS.get());
        }
        if *chip_in {
            text += "chip_in = true\n";
        }
        _ = writeln!(text, "value = \"{given}\"");
    }
    text
}

impl RunFile {
    fn read(table: &mut Table<'_>) -> Self {
        heading(table, Kind::BuzzRun);
        let file = Self {
            lead: table.key("lead", "the name of the lead").text(),
            fingerprint: table.key("fingerprint", "sixteen digits of the lead as it was then").text(),
            readings: table
                .key("reading", "what was read or done, in its order")
                .list(|item| item.table(record)),
        };
        table.require(&["format", "kind", "lead", "fingerprint"]);
        file
    }
}

fn record(table: &mut Table<'_>) -> Option<Record> {
    let red = leg(table, "red", "where the red probe was");
    let black = leg(table, "black", "where the black probe was");
    let setting = table
        .key("range", "what the meter was set to")
        .choice(Setting::ALL.map(|setting| (setting.as_str(), setting)));
    let held = table
        .key("held", "the controls that were held, with the controller plugged in; absent without it")
        .list(|item| item.name(Control::new));
    let across =
        table.key("across_ohms", "the resistor across the probes, if there was one").whole(1000, 1000);
    let chip_in = table.key("chip_in", "whether the chip sat in the socket at which it was read").flag();
    let deed = table.key("deed", "what was done, in place of a reading");
    let deed = deed.parsed(["plug-in", "press-in u1"].map(str::to_owned), |text| {
        let misread =
            || Misread::from_sentence("nothing that is done in a run; write `plug-in` or `press-in u1`");
        Deed::parse(text).ok_or_else(misread)
    });
    let value = table.key("value", "what the meter showed, `right`, or `done`");
    let examples = ["open", "0.4", "4.9 V", "right", "done"].map(str::to_owned);
    let value = value.parsed(examples, |text| {
        Given::parse(text).map_err(|error| Misread::from_sentence(&error.to_string()))
    });
    for reading in ["red", "black", "range"] {
        table.exclude("deed", reading);
    }
    table.require(&["value"]);
    table.require_unless("deed", &["red", "black", "range"]);
    let value = value?;
    if let Some(deed) = deed {
        if value.value != Given::Done {
            let headline = format!("{} is no answer to what is to be done", quoted(&value.value.to_string()));
            table.complain(
                Complaint::new(value.place, headline).help("write `done`, or take the reading out"),
            );
            return None;
        }
        return Some(Record { question: Question::Deed(deed.value), given: Given::Done });
    }
    let setting = setting?.value;
    if let Err(refused) = course::is_of(setting, value.value) {
        let headline = super::unfit(&value.value.to_string(), setting);
        table.complain(Complaint::new(value.place, headline).help(refused.help));
        return None;
    }
    let held = held.map(|held| held.value.into_iter().map(|control| control.value).collect());
    let chip_in = chip_in.is_some_and(|chip_in| chip_in.value);
    let probed = Probed { setting, red: red?, black: black?, held, across: across.is_some(), chip_in };
    Some(Record { question: Question::Reading(probed), given: value.value })
}

fn leg(table: &mut Table<'_>, key: &'static str, doc: &'static str) -> Option<Leg> {
    let examples = ["port.5", "controller.13", "u1.3"].map(str::to_owned);
    let leg = table.key(key, doc).parsed(examples, |text| {
        text.parse()
            .map_err(|error: solderside_lead::ParseLegError| Misread::from_sentence(&error.to_string()))
    });
    leg.map(|leg| leg.value)
}

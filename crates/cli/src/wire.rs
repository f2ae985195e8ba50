//! The shapes of JSON answers, and their schemas. A shape may gain keys; one that loses a key or changes
//! its meaning gets another `format`.

#![expect(clippy::struct_field_names, reason = "fields are the keys of JSON, which stand without their type")]

mod atlas;
mod board;
mod buzz;
mod buzz_run;
mod compare;
mod design;
mod diagnose;
mod error;
mod explain;
mod fits;
mod guide;
mod lead;
mod play;
mod proof;
mod shelf;
mod show;
mod survey;
mod timing;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

pub use atlas::Atlas;
pub use board::Board;
pub use buzz::Buzz;
pub use buzz_run::BuzzRun;
pub use compare::Compare;
pub use design::Design;
pub use diagnose::Diagnosis;
pub use error::{ErrorAnswer, Mistake};
pub use explain::{Explain, Explained};
pub use fits::Fits;
pub use guide::Guide;
pub use lead::Lead;
pub use play::Play;
pub use proof::{Proof, Prove};
pub use shelf::{Entry, Shelf};
pub use show::{ShowCable, ShowController, ShowDrawer, ShowLead, ShowPort};
pub use survey::{SurveyEnd, SurveyedCable};
pub use timing::Timing;

/// The number of the format of all answers.
pub const FORMAT: u8 = 1;

/// Returns each schema with the name of its file below `docs/schema/`, without the ending.
pub fn schemas() -> Vec<(&'static str, String)> {
    vec![
        ("atlas", schema::<Atlas>()),
        ("board", schema::<Board>()),
        ("buzz", schema::<Buzz>()),
        ("buzz-run", solderside_meter::run_schema()),
        ("buzz-run-answer", schema::<BuzzRun>()),
        ("compare", schema::<Compare>()),
        ("design", schema::<Design>()),
        ("diagnose", schema::<Diagnosis>()),
        ("error", schema::<ErrorAnswer>()),
        ("explain", schema::<Explain>()),
        ("fault-weights", solderside_meter::Weights::schema()),
        ("fits", schema::<Fits>()),
        ("guide", schema::<Guide>()),
        ("lead", solderside_lead::lead_schema()),
        ("play", schema::<Play>()),
        ("prove", schema::<Prove>()),
        ("shelf", schema::<Shelf>()),
        ("show", schema::<show::Show>()),
        ("survey-cable", schema::<SurveyedCable>()),
        ("cable-survey", solderside_meter::survey::run_schema()),
        ("timing", schema::<Timing>()),
    ]
}

fn schema<T: JsonSchema>() -> String {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let schema: Schema = generator.into_root_schema_for::<T>();
    format!("{:#}\n", schema.as_value())
}

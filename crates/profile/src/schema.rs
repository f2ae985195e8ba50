//! The JSON Schemas by which editors complete and check the files of profiles.

use serde_json::Value;

use crate::cable_file::CableFile;
use crate::controller_file::ControllerFile;
use crate::document::describe;
use crate::drawer_file::DrawerFile;
use crate::heading::Kind;
use crate::port_file::PortFile;
use crate::profile_file::ProfileFile;

/// Returns the JSON Schema (draft 2020-12) of a kind of profile; the crates that read leads
/// and runs describe those.
pub fn schema(kind: Kind) -> Option<Value> {
    match kind {
        Kind::Controller => Some(describe("Solderside controller", ControllerFile::read)),
        Kind::Port => Some(describe("Solderside port", PortFile::read)),
        Kind::Cable => Some(describe("Solderside cable", CableFile::read)),
        Kind::Drawer => Some(describe("Solderside drawer", DrawerFile::read)),
        Kind::Lead | Kind::BuzzRun => None,
    }
}

//! Writes the API's description to `schema/openapi.json`.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schema/openapi.json");
    std::fs::write(&path, server::openapi::text())?;
    println!("wrote schema/openapi.json");
    Ok(())
}

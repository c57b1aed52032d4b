//! Writes the JSON Schema of the debrief document to `schema/debrief-1.schema.json`.

use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schema/debrief-1.schema.json");
    std::fs::create_dir_all(path.parent().ok_or("no folder")?)?;
    std::fs::write(&path, debrief::json_schema())?;
    println!("wrote schema/debrief-1.schema.json");
    Ok(())
}

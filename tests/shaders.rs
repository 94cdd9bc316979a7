//! Every shader in the folder parses and validates, put together as the program puts it together.

use std::fs;
use std::path::Path;

#[test]
fn every_shader_validates() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("shaders");
    let read = |path: &Path| fs::read_to_string(path).expect("a shader can be read");
    let wgsl = |folder: &Path| {
        let entries = fs::read_dir(folder).expect("the folder is there").map(|e| e.expect("an entry").path());
        let mut files: Vec<_> = entries.filter(|p| p.extension().is_some_and(|e| e == "wgsl")).collect();
        files.sort();
        files
    };
    let shared: String = wgsl(&folder.join("shared")).iter().map(|p| read(p)).collect();
    let mut faults = Vec::new();
    let files = wgsl(&folder);
    assert!(!files.is_empty(), "no shader was found in {}", folder.display());
    for path in &files {
        let source = format!("{shared}\n{}", read(path));
        let checked =
            wgpu::naga::front::wgsl::parse_str(&source).map_err(|e| e.emit_to_string(&source)).and_then(|module| {
                let mut validator = wgpu::naga::valid::Validator::new(
                    wgpu::naga::valid::ValidationFlags::all(),
                    wgpu::naga::valid::Capabilities::empty(),
                );
                validator.validate(&module).map_err(|e| e.emit_to_string(&source))
            });
        if let Err(fault) = checked {
            faults.push(format!("{}:\n{fault}", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

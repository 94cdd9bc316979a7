//! The project's own source as text: without its tests, and with words and code told apart.

use std::fs;
use std::path::{Path, PathBuf};

/// One source file.
pub struct File {
    /// Path below `src`.
    pub path: String,
    /// All of it.
    pub text: String,
    /// What is not its tests.
    pub code: String,
    /// That without comments and texts.
    bare: String,
}

/// The project's folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every source file, by path.
pub fn files() -> Vec<File> {
    let src = root().join("src");
    let mut paths = Vec::new();
    collect(&src, &mut paths);
    paths.sort();
    assert!(paths.len() > 20, "only {} source files were found", paths.len());
    let read = |path: &PathBuf| {
        let below = path.strip_prefix(&src).expect("below src").to_string_lossy().into_owned();
        File::new(below, fs::read_to_string(path).expect("a source file"))
    };
    paths.iter().map(read).collect()
}

/// The text of all tests, beside the source and within it.
pub fn all_tests() -> String {
    let mut paths = Vec::new();
    collect(&root().join("tests"), &mut paths);
    collect(&root().join("src"), &mut paths);
    paths.iter().map(|path| fs::read_to_string(path).expect("a test")).collect()
}

fn collect(folder: &Path, paths: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            collect(&path, paths);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            paths.push(path);
        }
    }
}

impl File {
    /// A file of that path below `src`.
    pub fn new(path: String, text: String) -> Self {
        let code = match text.find("#[cfg(test)]\nmod ") {
            _ if path.ends_with("/tests.rs") => String::new(),
            Some(end) => text[..end].to_owned(),
            None => text.clone(),
        };
        let bare = bare(&code);
        Self { path, text, code, bare }
    }

    /// Its top module.
    pub fn module(&self) -> &str {
        let first = self.path.split('/').next().unwrap_or(&self.path);
        first.trim_end_matches(".rs")
    }

    /// Whether it is, or lies below, `place`.
    pub fn is_in(&self, place: &str) -> bool {
        self.path == place || self.module() == place || self.path.starts_with(&format!("{place}/"))
    }

    /// Modules of the crate that it names, sorted.
    pub fn imports(&self) -> Vec<String> {
        let mut imports = Vec::new();
        for (at, path) in self.bare.match_indices("crate::") {
            let rest = &self.bare[at + path.len()..];
            if rest.starts_with('{') {
                imports.extend(group_heads(rest));
            } else {
                imports.push(head(rest));
            }
        }
        imports.sort();
        imports.dedup();
        imports
    }

    /// Lines on which `word` stands by itself, from 1.
    pub fn lines_with(&self, word: &str) -> Vec<usize> {
        let part = |c: char| c.is_alphanumeric() || c == '_';
        let alone = |line: &str| {
            line.match_indices(word)
                .any(|(at, _)| !line[..at].ends_with(part) && !line[at + word.len()..].starts_with(part))
        };
        self.bare.lines().enumerate().filter(|(_, line)| alone(line)).map(|(i, _)| i + 1).collect()
    }

    /// Each function with its number of lines, by the indentation that rustfmt gives.
    pub fn functions(&self) -> Vec<(String, usize)> {
        let lines: Vec<&str> = self.code.lines().collect();
        let mut functions = Vec::new();
        for (i, line) in lines.iter().enumerate() {
            let start = line.trim_start();
            let signature = ["pub ", "pub(crate) ", "pub(super) ", "const ", "async ", "unsafe "]
                .iter()
                .fold(start, |rest, word| rest.strip_prefix(word).unwrap_or(rest));
            let Some(name) = signature.strip_prefix("fn ") else { continue };
            let end = format!("{}}}", &line[..line.len() - start.len()]);
            let own = lines[i..].iter().position(|line| *line == end).map_or(1, |length| length + 1);
            let ends_at_once = line.ends_with('}') || line.ends_with(';');
            functions.push((head(name), if ends_at_once { 1 } else { own }));
        }
        functions
    }

    /// Names of public fields that hold f64.
    pub fn public_f64_fields(&self) -> Vec<String> {
        let field = |line: &str| {
            let (name, of) = line.trim().strip_prefix("pub ")?.strip_suffix(',')?.split_once(": ")?;
            (of.contains("f64") && !of.contains("fn") && name == head(name)).then(|| name.to_owned())
        };
        self.bare.lines().filter_map(field).collect()
    }
}

/// The identifier at the start of a text.
fn head(text: &str) -> String {
    text.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
}

/// The first identifiers of a `{a::b, c}` group.
fn group_heads(text: &str) -> Vec<String> {
    let (mut depth, mut heads) = (0, Vec::new());
    let mut at_start = false;
    for (i, c) in text.char_indices() {
        match c {
            '{' => (depth, at_start) = (depth + 1, depth == 0),
            '}' => depth -= 1,
            ',' if depth == 1 => at_start = true,
            c if c.is_whitespace() => {}
            _ if at_start => {
                heads.push(head(&text[i..]));
                at_start = false;
            }
            _ => {}
        }
        if depth == 0 {
            break;
        }
    }
    heads
}

/// Code without comments and without the contents of texts; lines stay where they are.
pub fn bare(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if rest.starts_with("r#\"") {
            rest.find("\"#").map_or(rest.len(), |end| end + 2)
        } else if c == '"' {
            text_end(rest)
        } else if rest.starts_with("'\"'") || rest.starts_with("'\\''") {
            rest[1..].rfind('\'').map_or(1, |_| if rest.starts_with("'\"'") { 3 } else { 4 })
        } else {
            out.push(c);
            rest = &rest[c.len_utf8()..];
            continue;
        };
        out.extend(rest[..skipped].matches('\n'));
        rest = &rest[skipped..];
    }
    out
}

/// Where the text literal at the start of `rest` ends.
fn text_end(rest: &str) -> usize {
    let mut escaped = false;
    for (i, c) in rest.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return i + 1,
            _ => {}
        }
    }
    rest.len()
}

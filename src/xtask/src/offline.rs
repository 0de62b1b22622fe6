//! What makes the built page work offline: program files in a folder named after their build, and the service
//! worker with a list of every file and the hash of its bytes. The bundler's file-name hashes will not do: builds
//! with different bytes were seen under one name.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use anyhow::{Context, Result, ensure};
use sha2::{Digest, Sha256};

use crate::build::files;
use crate::server::media_type;

/// The name of the service worker, beside `index.html`.
pub const WORKER: &str = "sw.js";

/// Letters of a build's name: 64 bits, far more than two builds need to differ. `sw.js` knows the length too.
const NAME_LENGTH: usize = 16;

/// Finishes a page as Trunk left it, and gives the build's name.
///
/// Program files move into a folder that is named after the bytes of the whole build: an address then means the same
/// bytes for ever, and no page ever mixes the files of two builds. All others keep their addresses. Pages name program
/// files as `"./name"`, program files each other relative to themselves.
///
/// # Errors
/// When a file cannot be read or written, or `index.html` has no Content-Security-Policy.
pub fn finish(dist: &Path) -> Result<String> {
    let index = fs::read_to_string(dist.join("index.html")).context("dist/ has no index.html")?;
    let policy = policy(&index).context("index.html has no Content-Security-Policy")?;
    let script = crate::root().join("src/app").join(WORKER);
    let script = fs::read_to_string(&script)
        .with_context(|| format!("{} cannot be read", script.display()))?;

    let mut all = Sha256::new();
    all.update(&script);
    let files = names(dist)?;
    for name in &files {
        all.update(format!("{} {name}\n", sha256(&fs::read(dist.join(name))?)));
    }
    let mut build = hex(&all.finalize());
    build.truncate(NAME_LENGTH);

    let (program, others): (Vec<_>, Vec<_>) = files.iter().partition(|name| is_program(name));
    for name in &program {
        let moved = dist.join(&build).join(name);
        fs::create_dir_all(moved.parent().unwrap_or(dist))?;
        let left = dist.join(name);
        fs::rename(&left, moved)?;
        // Its folder goes with the last file; this fails as long as there is another.
        let _ = left.parent().map(fs::remove_dir);
    }
    for page in others.iter().filter(|name| name.ends_with(".html")) {
        let mut text = fs::read_to_string(dist.join(page))?;
        for name in &program {
            text = text.replace(&format!("\"./{name}\""), &format!("\"./{build}/{name}\""));
        }
        fs::write(dist.join(page), text)?;
    }

    let mut worker =
        format!("const BUILD = {build:?};\nconst POLICY = {policy:?};\nconst FILES = [\n");
    for name in names(dist)? {
        let path = dist.join(&name);
        let digest = sha256(&fs::read(&path)?);
        let kind = media_type(&path);
        writeln!(worker, "  [{name:?}, {digest:?}, {kind:?}],")?;
    }
    worker += "];\n\n";
    worker += &script;
    fs::write(dist.join(WORKER), worker)?;
    Ok(build)
}

/// The policy that `index.html` states, as a header: a page's own text cannot forbid that it is framed.
#[must_use]
pub fn policy(index: &str) -> Option<String> {
    let (_, rest) = index.split_once("http-equiv=\"Content-Security-Policy\" content=\"")?;
    let (policy, _) = rest.split_once('"')?;
    Some(format!("{policy}; frame-ancestors 'none'"))
}

/// Whether a file belongs to the program, whose parts only fit their own build. Others are read as data.
#[must_use]
pub fn is_program(name: &str) -> bool {
    let end = Path::new(name).extension().unwrap_or_default();
    ["css", "js", "wasm"].iter().any(|program| end == *program)
}

/// The name of every file, as it stands in an address.
fn names(dist: &Path) -> Result<Vec<String>> {
    let name = |path: &Path| {
        let name = path
            .strip_prefix(dist)?
            .to_string_lossy()
            .replace('\\', "/");
        let plain = |letter: char| letter.is_ascii_alphanumeric() || "-_./".contains(letter);
        ensure!(
            name.chars().all(plain),
            "{name} needs another name: letters a to z, digits, - _ and . stand in every address as they are"
        );
        Ok(name)
    };
    files(dist)?.iter().map(|path| name(path)).collect()
}

fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

fn hex(bytes: &[u8]) -> String {
    let mut text = String::new();
    for byte in bytes {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
    }
    text
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;

    const INDEX: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\">\
        <link href=\"./look.css\"><link href=\"./icons/a.svg\"><script src=\"./boot.js\" data-wasm=\"./a.wasm\">";

    /// A page as the bundler leaves it; removed when dropped.
    struct Dist(PathBuf);

    impl Dist {
        fn new(name: &str, wasm: &str) -> Self {
            let name = format!("glasswick-finish-{name}-{}", std::process::id());
            let dist = Self(std::env::temp_dir().join(name));
            fs::create_dir_all(dist.0.join("icons")).unwrap();
            fs::create_dir_all(dist.0.join("later")).unwrap();
            for (name, text) in [
                ("index.html", INDEX),
                ("look.css", "p{}"),
                ("boot.js", "start()"),
                ("a.wasm", wasm),
                ("other.html", "<script src=\"./boot.js\">"),
                ("icons/a.svg", "<svg/>"),
                ("later/part.wasm", "part"),
            ] {
                fs::write(dist.0.join(name), text).unwrap();
            }
            dist
        }

        fn read(&self, name: &str) -> String {
            fs::read_to_string(self.0.join(name)).unwrap()
        }
    }

    impl Drop for Dist {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    #[test]
    fn the_worker_lists_every_file_with_the_hash_of_its_bytes_and_its_type() {
        let dist = Dist::new("lists", "abc");
        let build = finish(&dist.0).unwrap();
        assert_eq!(build.len(), 16, "{build}");
        let worker = dist.read("sw.js");
        let (constants, script) = worker.split_once("];\n\n").unwrap();
        // SHA-256 of "abc": FIPS 180-4, example of one block.
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        for line in [
            format!("const BUILD = \"{build}\";"),
            "const POLICY = \"default-src 'none'; frame-ancestors 'none'\";".to_owned(),
            format!("  [\"{build}/a.wasm\", \"{abc}\", \"application/wasm\"],"),
        ] {
            assert!(constants.contains(&line), "{line} is not in {constants}");
        }
        let listed: Vec<_> = constants
            .lines()
            .filter_map(|line| line.strip_prefix("  [\"")?.split('"').next())
            .collect();
        assert_eq!(
            listed,
            [
                format!("{build}/a.wasm").as_str(),
                &format!("{build}/boot.js"),
                &format!("{build}/later/part.wasm"),
                &format!("{build}/look.css"),
                "icons/a.svg",
                "index.html",
                "other.html",
            ]
        );
        assert!(script.contains("addEventListener(\"install\""), "{script}");
    }

    #[test]
    fn program_files_move_and_pages_name_them_where_they_are() {
        let dist = Dist::new("moves", "abc");
        let build = finish(&dist.0).unwrap();
        let index = dist.read("index.html");
        for name in ["look.css", "boot.js", "a.wasm"] {
            assert!(index.contains(&format!("\"./{build}/{name}\"")), "{index}");
            assert!(dist.0.join(&build).join(name).is_file(), "{name}");
            assert!(!dist.0.join(name).exists(), "{name}");
        }
        assert!(index.contains("\"./icons/a.svg\""), "{index}");
        assert!(dist.0.join("icons/a.svg").is_file());
        assert!(dist.0.join(&build).join("later/part.wasm").is_file());
        assert!(!dist.0.join("later").exists(), "an empty folder is left");
        let other = dist.read("other.html");
        assert_eq!(other, format!("<script src=\"./{build}/boot.js\">"));
    }

    #[test]
    fn one_changed_byte_makes_another_build_and_the_same_bytes_the_same() {
        let [one, same, other] =
            [("one", "abc"), ("same", "abc"), ("other", "abd")].map(|(name, wasm)| {
                let dist = Dist::new(name, wasm);
                (finish(&dist.0).unwrap(), dist.read("sw.js"))
            });
        assert_eq!(one, same);
        assert_ne!(one.0, other.0);
        assert_ne!(one.1, other.1);
    }

    #[test]
    fn a_page_without_a_policy_or_with_an_odd_file_name_is_refused() {
        let dist = Dist::new("refused", "abc");
        fs::write(dist.0.join("a b.json"), "").unwrap();
        let error = finish(&dist.0).unwrap_err().to_string();
        assert!(error.starts_with("a b.json needs another name"), "{error}");
        fs::write(dist.0.join("index.html"), "<p>").unwrap();
        let error = finish(&dist.0).unwrap_err().to_string();
        assert_eq!(error, "index.html has no Content-Security-Policy");
    }
}

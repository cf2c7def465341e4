//! A block put into `bench.toml`, whose comments and order stay as they are.

use super::super::block_reader;
use super::super::file_problem::FileProblem;
use super::super::files;
use super::super::gather::Refused;
use super::super::logger_block::logger_of;
use super::super::settings;
use super::super::write_file::{Existing, write_file};
use super::super::{logger, logger_block::Logger};
use super::{Block, block_text};
use crate::problem::quoted;
use std::path::Path;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table};

/// The pattern of the files of a logger, from the paths below `logs/` of logs that it wrote: their
/// folder and their extension, if those are the same.
pub fn pattern(logs: &[String]) -> Option<String> {
    let of = |log: &String| {
        let (folder, name) = log
            .rsplit_once('/')
            .map_or(("", log.as_str()), |parts| parts);
        let (_, extension) = name.rsplit_once('.')?;
        let folder = if folder.is_empty() {
            String::new()
        } else {
            format!("{}/", globset::escape(folder))
        };
        Some(format!("{folder}*.{}", globset::escape(extension)))
    };
    let first = of(logs.first()?)?;
    logs.iter()
        .all(|log| of(log).as_ref() == Some(&first))
        .then_some(first)
}

/// Puts a block into `bench.toml`, behind the loggers that stand there.
///
/// # Errors
///
/// If `bench.toml` has problems, has this logger already, has one that reads one of the logs, or
/// changed meanwhile. Then it is left as it was.
pub fn keep(folder: &Path, id: &str, logs: &[String], block: &Block) -> Result<(), Refused> {
    let old = files::file(folder, settings::FILE)?.ok_or_else(files::no_settings)?;
    let loggers = loggers(&old)?;
    let refuse = |why: String| Err(Refused::Unwritten(format!("{why}; nothing was written")));
    if loggers.iter().any(|logger| logger.id == id) {
        return refuse(format!("bench.toml has a logger {} already", quoted(id)));
    }
    let plain = Logger::default();
    for log in logs {
        let reads = logger_of(&loggers, "", log, &plain).filter(|logger| logger.block.is_some());
        if let Some(logger) = reads {
            return refuse(format!(
                "the logger {} of bench.toml reads {} already",
                quoted(&logger.id),
                quoted(log)
            ));
        }
    }
    let mut keys: Block = vec![("id".into(), toml_edit::Value::from(id).to_string())];
    keys.extend(block.iter().filter(|(key, _)| key != "id").cloned());
    let new = with_block(&old, &keys).map_err(Refused::Unwritten)?;
    // What was written must read every log.
    let kept = self::loggers(&new)?;
    for log in logs {
        if logger_of(&kept, "", log, &plain).is_none_or(|logger| logger.id != id) {
            return refuse(format!(
                "the pattern \"files\" of the block does not fit {}",
                quoted(log)
            ));
        }
    }
    let path = folder.join(settings::FILE);
    write_file(&path, &new, Existing::Bytes(&old)).map_err(Refused::Unwritten)
}

fn loggers(bytes: &[u8]) -> Result<Vec<Logger>, Vec<FileProblem>> {
    let settings = settings::read(bytes)?;
    let loggers = block_reader::loggers(&settings)?;
    let faults = loggers.iter().enumerate().flat_map(|(i, block)| {
        let faults = logger::faults(block).into_iter();
        let settings = &settings;
        faults.map(move |(key, problem)| {
            settings::problem_at(settings, &format!("/loggers/{i}/{key}"), problem)
        })
    });
    let faults: Vec<FileProblem> = faults.collect();
    if faults.is_empty() {
        Ok(loggers)
    } else {
        Err(faults)
    }
}

/// The bytes of `bench.toml` with a block more.
fn with_block(old: &[u8], block: &Block) -> Result<Vec<u8>, String> {
    let failed = |why: &str| format!("bench.toml: {why}; nothing was written");
    let text = str::from_utf8(old).map_err(|_| failed("no UTF-8"))?;
    let (mark, text) = match text.strip_prefix('\u{feff}') {
        Some(text) => ("\u{feff}", text),
        None => ("", text),
    };
    let has_returns = text.contains("\r\n");
    let plain = text.replace("\r\n", "\n");
    if has_returns && plain.matches('\n').count() != text.matches("\r\n").count() {
        return Err(failed("its lines end in several ways; save it with one"));
    }
    let parse = |text: &str| text.parse::<DocumentMut>().map_err(|_| failed("no TOML"));
    let mut document = parse(&plain)?;
    let added = parse(&block_text(block))?;
    let mut table = Table::new();
    let blocks = added.get("loggers").and_then(Item::as_array_of_tables);
    for (key, item) in blocks
        .iter()
        .flat_map(|blocks| blocks.iter())
        .flat_map(|block| block.iter())
    {
        table.insert(key, item.clone());
    }
    table.decor_mut().set_prefix("\n");
    let loggers = document
        .entry("loggers")
        .or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    let Some(loggers) = loggers.as_array_of_tables_mut() else {
        return Err(failed("its loggers are no [[loggers]] blocks"));
    };
    loggers.push(table);
    trailing_above_last(&mut document, block);
    let new = document.to_string();
    let new = if has_returns {
        new.replace('\n', "\r\n")
    } else {
        new
    };
    Ok(format!("{mark}{new}").into_bytes())
}

/// What stands at the end of the file belongs above a block that comes last.
fn trailing_above_last(document: &mut DocumentMut, block: &Block) {
    let trailing = document.trailing().as_str().unwrap_or_default().to_owned();
    let rendered = document.to_string();
    let is_last = rendered
        .strip_suffix(&trailing)
        .is_some_and(|before| before.ends_with(&block_text(block)));
    if is_last && !trailing.is_empty() {
        let end = if trailing.ends_with('\n') {
            "\n"
        } else {
            "\n\n"
        };
        let loggers = document
            .get_mut("loggers")
            .and_then(Item::as_array_of_tables_mut);
        let last = loggers.and_then(|loggers| loggers.iter_mut().last());
        if let Some(table) = last {
            table.decor_mut().set_prefix(format!("{trailing}{end}"));
            document.set_trailing("");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn with(old: &str) -> String {
        let block = vec![
            ("id".to_owned(), "\"b\"".to_owned()),
            ("delimiter".to_owned(), "\";\"".to_owned()),
            (
                "torque".to_owned(),
                "{ column = 2, unit = \"N·m\" }".to_owned(),
            ),
        ];
        String::from_utf8(with_block(old.as_bytes(), &block).unwrap()).unwrap()
    }

    const ADDED: &str =
        "\n[[loggers]]\nid = \"b\"\ndelimiter = \";\"\ntorque = { column = 2, unit = \"N·m\" }\n";

    #[test]
    fn a_block_stands_behind_the_others_and_all_else_stays() {
        let before = "# first\ntitle = 'x'   # why\n\n[[loggers]] # one\nid = \"a\"\n\n[loggers.time]\ncolumn=1\n";
        let behind = "\n# jobs\n[[jobs]]\nid = \"j\" # last\n# end\n";
        assert_eq!(
            with(&format!("{before}{behind}")),
            format!("{before}{ADDED}{behind}")
        );
        assert_eq!(with(before), format!("{before}{ADDED}"));
        for old in [
            "title = \"x\"\n",
            "# a\n\n# b = 1\n",
            "title = \"x\"\n[[loggers]]\nid = \"a\"\n# end\n",
        ] {
            assert_eq!(with(old), format!("{old}{ADDED}"));
        }
    }

    #[test]
    fn line_ends_and_mark_stay() {
        let old = "\u{feff}title = \"x\"\r\n# y\r\n";
        let new = with(old);
        assert!(new.starts_with("\u{feff}title = \"x\"\r\n"), "{new:?}");
        assert!(new.contains("# y\r\n"), "{new:?}");
        assert!(
            new.ends_with(&ADDED.trim_start().replace('\n', "\r\n")),
            "{new:?}"
        );
        assert!(with_block(b"a = 1\r\nb = 2\n", &Vec::new()).is_err());
    }

    #[test]
    fn the_pattern_is_of_one_folder_and_extension() {
        let of =
            |logs: &[&str]| pattern(&logs.iter().map(|log| (*log).to_owned()).collect::<Vec<_>>());
        assert_eq!(
            of(&["unit 4/a.csv", "unit 4/b.csv"]).as_deref(),
            Some("unit 4/*.csv")
        );
        assert_eq!(of(&["a.csv"]).as_deref(), Some("*.csv"));
        assert_eq!(of(&["x[1]/a.csv"]).as_deref(), Some("x[[]1[]]/*.csv"));
        assert_eq!(of(&["x/a.csv", "y/b.csv"]), None);
        assert_eq!(of(&["a"]), None);
    }
}

//! The files of a new bench folder, with commented examples.

use super::columns::{
    DAYS, FIELD_CHECKS, LISTS, Layout, NOTEBOOK, PACKS, PRICES, RUNS, SPECIMENS, TOOLS,
};
use super::raw_logs::FOLDER;
use super::settings;
use super::unbundle::File;

/// `bench.toml` of a new folder.
const SETTINGS: &str = include_str!("start/bench.toml");

/// An example row of a table, by the columns that it fills. The things in it are made up.
fn example(layout: &Layout) -> &'static [(&'static str, &'static str)] {
    match layout.list {
        list if list == TOOLS.list => &[
            ("id", "example-tool"),
            ("name", "Example tool"),
            ("pack_mount", "rail"),
            ("mass_kg", "1.6"),
            ("length_mm", "150"),
        ],
        list if list == PACKS.list => &[
            ("id", "example-pack"),
            ("name", "Example pack 4.0"),
            ("pack_mount", "rail"),
            ("nominal_v", "18"),
            ("capacity_ah", "4"),
            ("cells.series", "5"),
        ],
        list if list == SPECIMENS.list => &[
            ("tool", "example-tool"),
            ("specimen", "A"),
            ("got", "bought"),
            ("condition", "new"),
        ],
        list if list == DAYS.list => &[
            ("id", "2026-03-02"),
            ("date", "2026-03-02"),
            ("ambient_c", "19"),
        ],
        list if list == PRICES.list => &[
            ("tool", "example-tool"),
            ("amount", "189"),
            ("currency", "EUR"),
            ("date", "2026-03-01"),
        ],
        list if list == FIELD_CHECKS.list => &[
            ("date", "2026-03-09"),
            ("tool", "example-tool"),
            ("pack", "example-pack"),
            ("fastener", "M12 wheel nut"),
            ("came_loose", "yes"),
        ],
        _ => &[
            ("log", "2026-03-02_example-tool_example-pack_A_1.csv"),
            ("tool", "example-tool"),
            ("pack", "example-pack"),
            ("specimen", "A"),
            ("day", "2026-03-02"),
            ("clock", "14:05"),
            ("edition", "1"),
        ],
    }
}

/// The files of a new folder.
pub fn files() -> Vec<File> {
    let mut files = vec![
        (settings::FILE.to_owned(), SETTINGS.as_bytes().to_vec()),
        (format!("{FOLDER}/"), Vec::new()),
    ];
    for layout in LISTS.into_iter().chain([&PRICES]) {
        let header: Vec<&str> = if layout.list == RUNS.list {
            NOTEBOOK.to_vec()
        } else {
            layout.columns.iter().map(|column| column.name).collect()
        };
        let filled = example(layout);
        let cell = |name: &&str| {
            let cell = filled.iter().find(|(column, _)| column == name);
            cell.map_or("", |(_, cell)| *cell)
        };
        let row: Vec<&str> = header.iter().map(cell).collect();
        let text = format!("{}\n# {}\n", header.join(","), row.join(","));
        files.push((layout.file.to_owned(), text.into_bytes()));
    }
    files
}

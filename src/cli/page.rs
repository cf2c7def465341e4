//! `page`: the site written to a folder.

use super::options::Data;
use super::{Failure, load, print};
use crate::dataset::write::Publish;
use crate::site::compile::source;
use crate::site::files::Site;
use clap::Args;
use std::path::PathBuf;

/// Said where the optimiser is missing.
pub(super) const NOT_OPTIMISED: &str = "The module is not optimised: `npm ci` in tests/browser installs wasm-opt, which makes it smaller.";

#[derive(Debug, Args)]
pub(super) struct Page {
    #[command(flatten)]
    data: Data,
    /// Folder to write to [default: target/site]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Leave the module as the compiler made it, even where the optimiser is there
    #[arg(long)]
    unoptimised: bool,
    /// Publish who held the tools
    #[arg(long)]
    with_operators: bool,
    /// Publish the last digits of serial numbers
    #[arg(long)]
    with_serials: bool,
}

impl Page {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.data.data.as_deref(), "en")?;
        let publish = Publish {
            operators: self.with_operators,
            serials: self.with_serials,
        };
        let site = Site::build(
            &loaded.text,
            &loaded.results,
            loaded.texts,
            publish,
            !self.unoptimised,
        )?;
        let out = self
            .out
            .clone()
            .unwrap_or_else(|| source().join("target").join("site"));
        site.write(&out)?;
        let mut lines = vec![format!("Written to {}:", out.display())];
        lines.extend(
            site.files
                .iter()
                .map(|file| format!("{:>10} bytes  {}", file.bytes.len(), file.name)),
        );
        lines.push(if site.optimised {
            "The module is optimised.".into()
        } else {
            NOT_OPTIMISED.into()
        });
        print(&lines.join("\n"))
    }
}

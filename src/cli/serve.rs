//! `serve`: the site on this machine alone.

use super::options::Data;
use super::{Failure, load, print};
use crate::dataset::write::Publish;
use crate::site::files::Site;
use crate::site::preview::Preview;
use clap::Args;

/// The port where no other is asked for.
const PORT: u16 = 8017;

#[derive(Debug, Args)]
pub(super) struct Serve {
    #[command(flatten)]
    data: Data,
    /// Port; 0 takes any free one
    #[arg(long, value_name = "N", default_value_t = PORT)]
    port: u16,
}

impl Default for Serve {
    fn default() -> Self {
        Self {
            data: Data::default(),
            port: PORT,
        }
    }
}

impl Serve {
    pub fn run(&self) -> Result<(), Failure> {
        let loaded = load::dataset(self.data.data.as_deref(), "en")?;
        let site = Site::build(
            &loaded.text,
            &loaded.results,
            loaded.texts,
            Publish::default(),
            true,
        )?;
        if !site.optimised {
            eprintln!("{}", super::page::NOT_OPTIMISED);
        }
        let preview = Preview::bind(site, self.port)?;
        print(&format!(
            "Serving on {} until you press Ctrl-C.",
            preview.address()
        ))?;
        preview.serve();
        Ok(())
    }
}

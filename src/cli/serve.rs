//! `serve`: the site on this machine alone, made again when its dataset changes.

use super::options::Data;
use super::watch::Watch;
use super::{Failure, load, page, print, print_error};
use crate::dataset::write::Publish;
use crate::site::code::Code;
use crate::site::files::Site;
use crate::site::preview::Preview;
use crate::site::shown::Shown;
use crate::site::texts;
use clap::Args;
use std::sync::Arc;

/// The port where no other is asked for.
const PORT: u16 = 8017;

/// The most lines of a fault that the page shows.
const MOST_LINES: usize = 6;

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
    pub fn run(self) -> Result<(), Failure> {
        let loaded = self.loaded()?;
        // First of all: a port that is taken is told before the build, which takes its time.
        let preview = Preview::bind(self.port)?;
        // From before the dataset is used, so that no change is missed.
        let watch = self.watch();
        let code = Code::get(true, &texts::of_page(loaded.texts)?)?;
        let site = site(&code, &loaded)?;
        for line in page::larger(&code) {
            print_error(&line);
        }
        let address = preview.address();
        let Some(watch) = watch else {
            print(&format!("Serving on {address} until you press Ctrl-C."))?;
            preview.serve(Arc::new(Shown::fixed(site)));
            return Ok(());
        };
        let shown = Arc::new(Shown::watched(site)?);
        print(&format!(
            "Serving on {address} until you press Ctrl-C. A saved change shows by itself."
        ))?;
        let following = Arc::clone(&shown);
        std::thread::spawn(move || self.follow(&watch, &code, &following));
        preview.serve(shown);
        Ok(())
    }

    fn loaded(&self) -> Result<load::Loaded, Failure> {
        let loaded = load::dataset(self.data.path(), "en", self.data.drafts)?;
        page::publishable(&loaded, self.data.drafts)?;
        Ok(loaded)
    }

    /// Watches the dataset or bench folder, if there is one and the system can.
    fn watch(&self) -> Option<Watch> {
        match Watch::new(self.data.path()?) {
            Ok(watch) => Some(watch),
            Err(error) => {
                print_error(&format!(
                    "Changes will not show by themselves: {error}. Start the command again to see them."
                ));
                None
            }
        }
    }

    /// Makes the site again after each change, until the program is ended.
    fn follow(&self, watch: &Watch, code: &Code, shown: &Shown) {
        while watch.wait() {
            let made = self
                .loaded()
                .and_then(|loaded| site(code, &loaded))
                .and_then(|site| shown.show(site).map_err(Failure::from));
            match made {
                // Who does not read this sees the page.
                Ok(()) => drop(print("The site was made again.")),
                Err(Failure::Closed) => {}
                Err(Failure::Data(lines)) => told(shown, &lines),
                Err(Failure::Misuse(message)) => told(shown, &[message]),
            }
        }
    }
}

fn site(code: &Code, loaded: &load::Loaded) -> Result<Site, Failure> {
    let publish = Publish::default();
    let texts = texts::of_page(loaded.texts)?;
    let site = Site::build(code, &loaded.text, &loaded.results, &texts, publish)?;
    Ok(site)
}

/// Tells a fault where the command runs, and its first lines on the page.
fn told(shown: &Shown, lines: &[String]) {
    for line in lines {
        print_error(line);
    }
    let mut first: Vec<&str> = vec!["This page stays as it was, because of:"];
    first.extend(lines.iter().take(MOST_LINES).map(String::as_str));
    if lines.len() > MOST_LINES {
        first.push("… and more, listed where the command runs");
    }
    shown.fail(&first.join("\n"));
}

//! The source of the program as syntax: its files, what they use, how long their functions are.

use super::root;
use std::collections::BTreeMap;
use std::fs;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};

/// A path from the crate's root, such as `["table", "data", "Row"]`.
pub type Path = Vec<String>;

/// A file of the program, parsed.
pub struct Source {
    syntax: syn::File,
}

/// Every file of the program by the module it is, without files of tests.
pub fn sources() -> BTreeMap<Path, Source> {
    let mut found = BTreeMap::new();
    for (file, text) in super::files("src") {
        let inside = file.trim_start_matches("src/").trim_end_matches(".rs");
        let mut module: Path = inside.split('/').map(String::from).collect();
        if module.last().is_some_and(|last| last == "mod") {
            module.pop();
        }
        if !file.ends_with(".rs")
            || ["lib", "main"].contains(&inside)
            || file.ends_with("/tests.rs")
        {
            continue;
        }
        let syntax = syn::parse_file(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
        found.insert(module, Source { syntax });
    }
    assert!(found.len() > 100, "{}", found.len());
    found
}

impl Source {
    /// The paths from the crate's root that the file names, outside its tests. `is_module` says what
    /// is a file of the program.
    pub fn uses(&self, module: &Path, is_module: &dyn Fn(&Path) -> bool) -> Vec<Path> {
        let mut uses = Uses {
            module: module.clone(),
            is_module,
            found: Vec::new(),
        };
        uses.visit_file(&self.syntax);
        uses.found
    }
}

/// Gathers the paths that a file names.
struct Uses<'a> {
    /// The module around what is visited.
    module: Path,
    is_module: &'a dyn Fn(&Path) -> bool,
    found: Vec<Path>,
}

impl Uses<'_> {
    /// Takes a path as it stands in the source, if it leads to the crate.
    fn take(&mut self, written: &[String]) {
        let mut base = self.module.clone();
        let mut rest = written;
        match written.first().map(String::as_str) {
            Some("crate") => {
                base.clear();
                rest = &written[1..];
            }
            Some("self") => rest = &written[1..],
            Some("super") => {
                while rest.first().is_some_and(|first| first == "super") {
                    base.pop();
                    rest = &rest[1..];
                }
            }
            Some(first) => {
                let mut child = base.clone();
                child.push(first.to_owned());
                if !(self.is_module)(&child) {
                    return;
                }
            }
            None => return,
        }
        base.extend(rest.iter().cloned());
        self.found.push(base);
    }

    fn take_tree(&mut self, before: &[String], tree: &syn::UseTree) {
        let with = |name: &syn::Ident| [before, &[name.to_string()]].concat();
        match tree {
            syn::UseTree::Path(path) => self.take_tree(&with(&path.ident), &path.tree),
            syn::UseTree::Name(name) if name.ident == "self" => self.take(before),
            syn::UseTree::Name(name) => self.take(&with(&name.ident)),
            syn::UseTree::Rename(rename) => self.take(&with(&rename.ident)),
            syn::UseTree::Glob(_) => self.take(before),
            syn::UseTree::Group(group) => {
                for tree in &group.items {
                    self.take_tree(before, tree);
                }
            }
        }
    }
}

/// Whether an item is there in tests alone.
fn is_of_tests(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        let syn::Meta::List(list) = &attribute.meta else {
            return false;
        };
        let words = list.tokens.to_string();
        let first = words.split(|c: char| !c.is_alphanumeric() && c != '_');
        let mut words = first.filter(|word| !word.is_empty());
        let of_tests = match words.next() {
            Some("all") => words.next() == Some("test"),
            first => first == Some("test"),
        };
        list.path.is_ident("cfg") && of_tests
    })
}

impl<'ast> Visit<'ast> for Uses<'_> {
    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        self.take_tree(&[], &item.tree);
    }

    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if is_of_tests(&item.attrs) {
            return;
        }
        self.module.push(item.ident.to_string());
        visit::visit_item_mod(self, item);
        self.module.pop();
    }

    fn visit_path(&mut self, path: &'ast syn::Path) {
        if path.segments.len() > 1 {
            let names = path
                .segments
                .iter()
                .map(|segment| segment.ident.to_string());
            self.take(&names.collect::<Vec<String>>());
        }
        visit::visit_path(self, path);
    }
}

/// Name and number of lines of every function of every file of the program, its tests included.
pub fn functions() -> Vec<(String, usize)> {
    struct Functions {
        file: String,
        found: Vec<(String, usize)>,
    }
    impl Functions {
        fn take(&mut self, signature: &syn::Signature, block: &syn::Block) {
            let lines = block.span().end().line - signature.span().start().line + 1;
            self.found
                .push((format!("{} of {}", signature.ident, self.file), lines));
        }
    }
    impl<'ast> Visit<'ast> for Functions {
        fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
            self.take(&item.sig, &item.block);
            visit::visit_item_fn(self, item);
        }
        fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
            self.take(&item.sig, &item.block);
            visit::visit_impl_item_fn(self, item);
        }
        fn visit_trait_item_fn(&mut self, item: &'ast syn::TraitItemFn) {
            if let Some(block) = &item.default {
                self.take(&item.sig, block);
            }
            visit::visit_trait_item_fn(self, item);
        }
    }
    let mut found = Vec::new();
    for (file, text) in super::files("src") {
        if !file.ends_with(".rs") {
            continue;
        }
        let syntax = syn::parse_file(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
        let mut functions = Functions {
            file,
            found: Vec::new(),
        };
        functions.visit_file(&syntax);
        found.append(&mut functions.found);
    }
    assert!(found.len() > 1000, "{}", found.len());
    found
}

/// The names of the crate's modules in their order.
pub fn order() -> Vec<String> {
    let text = fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let syntax = syn::parse_file(&text).unwrap();
    let modules = syntax.items.iter().filter_map(|item| match item {
        syn::Item::Mod(item) => Some(item.ident.to_string()),
        _ => None,
    });
    modules.collect()
}

//! Inside a part, no files use each other in a circle: what ties two of them belongs below both.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use syn::visit::{self, Visit};

/// A module by its names from the root, such as `store`, `open`.
type Module = Vec<String>;

/// The file of each module, and what each module's own face hands on (`pub use`).
struct House {
    files: BTreeMap<Module, syn::File>,
    faces: BTreeMap<Module, BTreeMap<String, Vec<String>>>,
}

impl House {
    fn read(src: &Path, sources: &[PathBuf]) -> Self {
        let mut house = Self {
            files: BTreeMap::new(),
            faces: BTreeMap::new(),
        };
        for path in sources {
            let code = std::fs::read_to_string(path).unwrap();
            let file = syn::parse_file(&code).unwrap();
            house.files.insert(module_of(src, path), file);
        }
        for (module, file) in &house.files {
            let mut uses = Uses::of(module.clone());
            let public = file.items.iter().filter_map(|item| match item {
                syn::Item::Use(item) if !matches!(item.vis, syn::Visibility::Inherited) => {
                    Some(item)
                }
                _ => None,
            });
            public.for_each(|item| uses.visit_item_use(item));
            let names = uses
                .paths
                .into_iter()
                .filter_map(|(name, path)| Some((name?, path)));
            house.faces.insert(module.clone(), names.collect());
        }
        house
    }

    /// The module in whose file a path's thing stands, through the faces that hand it on.
    fn home(&self, path: &[String]) -> Option<Module> {
        let mut path = path.to_vec();
        for _ in 0..8 {
            let deepest = (1..=path.len())
                .rev()
                .find(|n| self.files.contains_key(&path[..*n]))?;
            let module = path[..deepest].to_vec();
            let handed = path
                .get(deepest)
                .and_then(|name| self.faces[&module].get(name));
            let Some(handed) = handed else {
                return Some(module);
            };
            let rest = path[deepest + 1..].to_vec();
            path = handed.iter().cloned().chain(rest).collect();
        }
        None
    }

    /// From each file to those that it uses; tests within a file are left out.
    fn arrows(&self) -> BTreeMap<Module, BTreeSet<Module>> {
        let of = |(module, file): (&Module, &syn::File)| {
            let mut uses = Uses::of(module.clone());
            uses.visit_file(file);
            let homes = uses.paths.iter().filter_map(|(_, path)| self.home(path));
            // a folder's own file opens its files and hands their things on: no use of them
            let used = homes.filter(|home| home != module && !home.starts_with(module));
            (module.clone(), used.collect())
        };
        self.files.iter().map(of).collect()
    }
}

fn module_of(src: &Path, path: &Path) -> Module {
    let inside = path.strip_prefix(src).unwrap().with_extension("");
    let mut names: Module = inside
        .iter()
        .map(|name| name.to_string_lossy().into_owned())
        .collect();
    if names.last().is_some_and(|name| name == "mod") {
        names.pop();
    }
    names
}

/// The paths that a file's code names, from the root; with the name that a `use` gives to each.
struct Uses {
    module: Module,
    paths: Vec<(Option<String>, Vec<String>)>,
}

impl Uses {
    fn of(module: Module) -> Self {
        Self {
            module,
            paths: Vec::new(),
        }
    }

    /// A path from the root of the crate; none of another crate's.
    fn rooted(&self, names: &[String]) -> Option<Vec<String>> {
        let (first, rest) = names.split_first()?;
        let mut from = match first.as_str() {
            "crate" | "thirdwood" => Vec::new(),
            "self" => self.module.clone(),
            "super" => self.module.split_last()?.1.to_vec(),
            _ => return None,
        };
        let mut rest = rest;
        while let Some((first, after)) = rest.split_first().filter(|(first, _)| *first == "super") {
            debug_assert_eq!(first, "super");
            from.pop()?;
            rest = after;
        }
        from.extend(rest.iter().cloned());
        Some(from)
    }

    fn tree(&mut self, tree: &syn::UseTree, before: &[String]) {
        let with = |name: &syn::Ident| {
            let mut names = before.to_vec();
            names.push(name.to_string());
            names
        };
        let mut leaf = |name: Option<String>, names: &[String]| {
            if let Some(path) = self.rooted(names) {
                self.paths.push((name, path));
            }
        };
        match tree {
            syn::UseTree::Path(path) => self.tree(&path.tree, &with(&path.ident)),
            syn::UseTree::Name(name) if name.ident == "self" => {
                leaf(before.last().cloned(), before);
            }
            syn::UseTree::Name(name) => leaf(Some(name.ident.to_string()), &with(&name.ident)),
            syn::UseTree::Rename(name) => leaf(Some(name.rename.to_string()), &with(&name.ident)),
            syn::UseTree::Glob(_) => leaf(None, before),
            syn::UseTree::Group(group) => {
                for tree in &group.items {
                    self.tree(tree, before);
                }
            }
        }
    }
}

impl<'a> Visit<'a> for Uses {
    fn visit_item_use(&mut self, item: &'a syn::ItemUse) {
        let mut names = Vec::new();
        // `use child::Thing` of a module's own child
        if let syn::UseTree::Path(path) = &item.tree
            && !["crate", "self", "super", "thirdwood"]
                .iter()
                .any(|word| path.ident == word)
        {
            names.push("self".to_owned());
        }
        self.tree(&item.tree, &names);
    }

    fn visit_path(&mut self, path: &'a syn::Path) {
        let names: Vec<String> = path
            .segments
            .iter()
            .map(|segment| segment.ident.to_string())
            .collect();
        if let Some(path) = self.rooted(&names) {
            self.paths.push((None, path));
        }
        visit::visit_path(self, path);
    }

    /// Who may see a thing is no use of it.
    fn visit_vis_restricted(&mut self, _: &'a syn::VisRestricted) {}

    fn visit_item_mod(&mut self, item: &'a syn::ItemMod) {
        let for_tests = item.attrs.iter().any(|attr| {
            attr.path().is_ident("cfg")
                && attr
                    .parse_args::<syn::Path>()
                    .is_ok_and(|path| path.is_ident("test"))
        });
        if !for_tests {
            visit::visit_item_mod(self, item);
        }
    }
}

/// What can be reached from a file along the arrows.
fn reached(arrows: &BTreeMap<Module, BTreeSet<Module>>, from: &Module) -> BTreeSet<Module> {
    let mut seen = BTreeSet::new();
    let mut open: Vec<&Module> = arrows.get(from).into_iter().flatten().collect();
    while let Some(next) = open.pop() {
        if seen.insert(next.clone()) {
            open.extend(arrows.get(next).into_iter().flatten());
        }
    }
    seen
}

/// Files that use each other in a circle: the first of them, how many, and what ties them.
fn circles(arrows: &BTreeMap<Module, BTreeSet<Module>>) -> Vec<(String, usize, String)> {
    let reach: BTreeMap<&Module, BTreeSet<Module>> = arrows
        .keys()
        .map(|module| (module, reached(arrows, module)))
        .collect();
    let mut told: BTreeSet<&Module> = BTreeSet::new();
    let mut lines = Vec::new();
    for (module, beyond) in &reach {
        if !beyond.contains(*module) || told.contains(module) {
            continue;
        }
        let circle: Vec<&Module> = beyond
            .iter()
            .filter_map(|other| reach.get_key_value(other))
            .filter(|(_, back)| back.contains(*module))
            .map(|(other, _)| *other)
            .collect();
        told.extend(&circle);
        let ties = circle.iter().flat_map(|from| {
            let within = arrows[*from].iter().filter(|to| circle.contains(to));
            within.map(|to| format!("{} uses {}", from.join("::"), to.join("::")))
        });
        let ties = ties.collect::<Vec<_>>().join(", ");
        lines.push((circle[0].join("::"), circle.len(), ties));
    }
    lines
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let sources = super::sources(&src);
    let house = House::read(&src, &sources);
    let arrows = house.arrows();
    let found: usize = arrows.values().map(BTreeSet::len).sum();
    assert!(
        found > 1_000,
        "only {found} arrows: does this test still read the sources?"
    );
    let circles = circles(&arrows);
    let ties: Vec<&str> = circles.iter().map(|(_, _, ties)| ties.as_str()).collect();
    assert!(ties.is_empty(), "{}", ties.join("\n\n"));
}

#[test]
fn a_circle_would_be_found() {
    let module = |name: &str| vec!["part".to_owned(), name.to_owned()];
    let mut house = House {
        files: BTreeMap::new(),
        faces: BTreeMap::new(),
    };
    for (name, code) in [
        ("", "mod a; mod b; mod c; pub use c::Thing;"),
        ("a", "use super::b::{self, One}; fn f() {}"),
        ("b", "use super::Thing; pub struct One;"),
        (
            "c",
            "pub struct Thing; fn g() { crate::part::a::f() } #[cfg(test)] mod tests { use super::super::b; }",
        ),
    ] {
        let mut key = module(name);
        key.retain(|name| !name.is_empty());
        house
            .files
            .insert(key.clone(), syn::parse_file(code).unwrap());
        let handed = (name.is_empty()).then(|| {
            (
                "Thing".to_owned(),
                vec!["part".to_owned(), "c".to_owned(), "Thing".to_owned()],
            )
        });
        house.faces.insert(key, handed.into_iter().collect());
    }
    let found = circles(&house.arrows());
    let ties = "part::a uses part::b, part::b uses part::c, part::c uses part::a";
    assert_eq!(found, [("part::a".to_owned(), 3, ties.to_owned())]);
}

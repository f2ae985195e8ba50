//! Files as people have them: saved, shared, broken, forbidden, and no files at all.

#![expect(clippy::disallowed_methods, reason = "tests make the files that the program meets")]

use std::fs::{self, File};
use std::io::Read;
use std::process::Stdio;

use crate::bench::{Bench, Ran};
use solderside_profile::Library;

#[test]
fn a_saved_lead_is_proved_by_its_name_and_by_its_path() {
    let bench = Bench::demo();
    let answer = bench.run("design heron-pad teal --save").sound();
    assert!(answer.ends_with("\nsaved in heron-pad-to-teal.toml\n"), "{answer}");
    let by_name = bench.run("prove heron-pad-to-teal").sound();
    assert!(by_name.starts_with("Heron pad to Teal games console: works\n"), "{by_name}");
    assert_eq!(by_name, bench.run("prove ./heron-pad-to-teal.toml").sound());
    assert_eq!(by_name, bench.run("prove heron-pad teal").sound());
    bench.run("guide heron-pad-to-teal").sound();
    assert!(bench.path("heron-pad-to-teal-guide.html").is_file());
}

#[test]
fn a_lead_is_saved_where_it_is_told_to_be() {
    let bench = Bench::demo();
    bench.put("leads/keep.txt", "");
    bench.run("design heron-stick curlew --save leads/one-fire.toml").sound();
    let shown = bench.run("show one-fire").sound();
    assert!(shown.starts_with("Heron stick to Curlew home computer (lead `one-fire`)\n"), "{shown}");
    // From another folder the shelf's own folder is the default.
    let elsewhere = Bench::empty();
    let shelf = bench.path("").display().to_string();
    elsewhere.run(&format!("design heron-stick plover --save --shelf {shelf}")).sound();
    assert!(bench.path("heron-stick-to-plover.toml").is_file());
    assert_eq!(elsewhere.names(), Vec::<String>::new());
}

#[test]
fn a_changed_profile_makes_a_saved_lead_stale() {
    let bench = Bench::demo();
    bench.run("design heron-stick curlew --save").sound();
    assert!(!bench.run("prove heron-stick-to-curlew").sound().contains("build-stale"));
    bench.put("curlew.toml", "like = 'nine-pin-one-fire'\n[input.line]\npull_up_ohms = [4000, 5000, 6000]\n");
    assert!(bench.run("prove heron-stick-to-curlew").sound().contains("build-stale"));
}

#[test]
fn a_lead_that_is_not_sound_is_not_saved() {
    let bench = Bench::demo();
    let answer = bench.run("design heron-pad teal --join 8-7 --save").found();
    assert!(answer.ends_with("\nnothing was saved: there is no sound lead\n"), "{answer}");
    assert!(!bench.path("heron-pad-to-teal.toml").exists());
}

#[test]
fn nothing_is_replaced_without_force() {
    let bench = Bench::demo();
    bench.put("mine.toml", "# mine\n");
    for command in ["design heron-stick curlew --save mine.toml", "guide heron-stick curlew --out mine.toml"]
    {
        insta::allow_duplicates! {
            insta::assert_snapshot!(bench.run(command).wrong(), @r"
            error: `mine.toml` is there already
              = help: add `--force` to replace it, or name another file
            ");
        }
        assert_eq!(bench.read("mine.toml"), "# mine\n");
    }
    bench.put("a.svg", "");
    bench.run("guide heron-stick curlew --drawing a.svg").wrong();
    assert!(!bench.path("heron-stick-to-curlew-guide.html").exists(), "all files or none");
    bench.run("design heron-stick curlew --save mine.toml --force").sound();
    assert!(bench.read("mine.toml").starts_with("format = 1\nkind = \"lead\"\n"));
    assert!(!bench.names().iter().any(|name| name.contains(".part")), "nothing half-written stays");
}

#[test]
fn a_name_that_the_shelf_has_in_its_other_folder_is_taken() {
    let bench = Bench::demo();
    bench.put("leads/heron-stick-to-curlew.toml", "# mine\n");
    insta::assert_snapshot!(bench.run("design heron-stick curlew --save").wrong(), @r"
    error: the name `heron-stick-to-curlew` is taken by `leads/heron-stick-to-curlew.toml`
      = help: add `--force` to replace that file, or write to a file of another name
    ");
    let by_its_path =
        bench.run("design heron-stick curlew --save ./heron-stick-to-curlew.toml --force").wrong();
    insta::assert_snapshot!(by_its_path, @r"
    error: the name `heron-stick-to-curlew` is taken by `leads/heron-stick-to-curlew.toml`
      = help: give the file another name, or name `leads/heron-stick-to-curlew.toml` and add `--force` to replace it
    ");
    assert!(!bench.path("heron-stick-to-curlew.toml").exists(), "nothing was written");
    assert_eq!(bench.read("leads/heron-stick-to-curlew.toml"), "# mine\n");
    // Elsewhere than on the shelf the name is free.
    bench.put("elsewhere/keep.txt", "");
    bench.run("design heron-stick curlew --save elsewhere/heron-stick-to-curlew.toml").sound();

    let saved = bench.run("design heron-stick curlew --save --force").sound();
    assert!(saved.ends_with("\nsaved in leads/heron-stick-to-curlew.toml\n"), "{saved}");
    assert!(!bench.path("heron-stick-to-curlew.toml").exists(), "no second file has the name");
    bench.run("prove heron-stick-to-curlew").sound();
    bench.put("heron-stick-to-plover.toml", "# mine\n");
    let told = bench.run("design heron-stick plover --save leads/heron-stick-to-plover.toml --force").wrong();
    assert!(
        told.starts_with("error: the name `heron-stick-to-plover` is taken by `heron-stick-to-plover.toml`")
    );
    // Before half an hour with the meter.
    bench.put("leads/cord.toml", "format = 1\nkind = \"cable\"\n");
    let told = bench.typed("survey cable cord --cores bn", &["--end", "DE-9 socket"], "").wrong();
    assert!(told.starts_with("error: the name `cord` is taken by `leads/cord.toml`"), "{told}");
}

#[test]
fn a_lead_takes_no_profiles_name_and_no_other_ending() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick curlew --save teal.toml --force").wrong(), @r"
    error: the name `teal` is taken by a port
      = help: save the lead under another name
    ");
    insta::assert_snapshot!(bench.run("design heron-stick curlew --save My_Lead.toml").wrong(), @r"
    error: a lead cannot be saved as `My_Lead.toml`
      = help: end it in `.toml`, after small letters and digits joined by `-`
    ");
    bench.run("design heron-stick curlew --save lead.json").wrong();
    insta::assert_snapshot!(bench.run("guide heron-stick curlew --out a.html --drawing a.html").wrong(), @r"
    error: `a.html` is named for both the guide and the drawing
      = help: name two files
    ");
}

#[test]
fn a_folder_that_is_missing_is_named_with_the_remedy() {
    let bench = Bench::demo();
    insta::assert_snapshot!(bench.run("design heron-stick curlew --save no/lead.toml").wrong(), @r"
    error: `no/lead.toml` cannot be written: there is no such file or folder
      = help: make the folder `no` first
    ");
    bench.put("full.toml/inside", "");
    insta::assert_snapshot!(bench.run("design heron-stick curlew --save full.toml --force").wrong(), @r"
    error: `full.toml` is there and is no file
      = help: name a file
    ");
    insta::assert_snapshot!(bench.run("shelf --shelf nowhere").wrong(), @r"
    error: the shelf `nowhere` cannot be listed: there is no such file or folder
      = help: `--shelf` takes the folder that holds your profiles and leads
    ");
    bench.run("shelf --shelf teal.toml").wrong();
}

#[test]
fn a_path_that_leads_nowhere_is_named() {
    insta::assert_snapshot!(Bench::demo().run("prove missing.toml").wrong(), @r"
    error: `missing.toml` cannot be used: there is no such file or folder
      = help: see that it is there and may be read
    ");
}

#[test]
fn a_profile_is_named_by_its_path_from_anywhere() {
    let bench = Bench::empty();
    bench.put("files/my-port.toml", "like = 'nine-pin-one-fire'\ntitle = 'Two lines are a machine'\n");
    let answer = bench.run("design fifteen-pin-stick files/my-port.toml").sound();
    assert!(
        answer
            .starts_with("Fifteen-pin stick, all switches to one common to Two lines are a machine: works\n")
    );
    bench.run("show files/my-port.toml").sound();
    bench.run("show my-port").wrong();
}

#[test]
fn a_lead_away_from_its_profiles_asks_for_the_shelf() {
    let bench = Bench::empty();
    bench.put("shelf/my-port.toml", "like = 'nine-pin-one-fire'\n");
    bench.run("design fifteen-pin-stick my-port --shelf shelf --save lead.toml").sound();
    let told = bench.run("prove shelf/my-port.toml ./lead.toml").wrong();
    assert!(told.starts_with("error: `my-port` is a port, expected a controller\n"), "{told}");
    fs::rename(bench.path("lead.toml"), bench.path("shelf/lead.toml")).expect("it was saved here");
    let told = bench.run("prove shelf/lead.toml").wrong();
    assert!(told.contains("error: no port is called `my-port`\n"), "{told}");
    assert!(
        told.ends_with("  = help: if it names files of yours, say with `--shelf DIR` where they are\n"),
        "{told}"
    );
    bench.run("prove lead --shelf shelf").sound();
}

#[test]
fn all_mistakes_of_a_file_are_told_at_once() {
    let bench = Bench::demo();
    bench.put(
        "mine.toml",
        "like = \"nine-pin-one-fire\"\ntitel = \"x\"\n\n[contact.77]\naction = \"fire\"\nnote = 5\n",
    );
    insta::assert_snapshot!(bench.run("show mine").wrong(), @r#"
    error: unknown key `titel`
     --> mine.toml:2:1
      |
    2 | titel = "x"
      | ^^^^^
      |
      = help: write `title`

    error: a DE-9 plug has no contact 77
     --> mine.toml:4:10
      |
    4 | [contact.77]
      |          ^^ expected 1 to 9, or `shell`
      |
      = help: correct the contact, or the `connector`

    error: action `fire` stands on two contacts
      --> mine.toml:5:10
       |
     5 | action = "fire"
       |          ^^^^^^ here
       |
      ::: catalogue/ports/nine-pin-one-fire.toml:45:10
       |
    45 | action = "fire"
       |          ^^^^^^ and here
       |
       = help: give each action one contact, or one of the two another name

    error: `note` must be a text, found a whole number
     --> mine.toml:6:8
      |
    6 | note = 5
      |        ^
      |
      = help: write a text here

    error: `mine` has 4 mistakes
    "#);
    let designed = bench.run("design heron-stick mine").wrong();
    assert_eq!(designed, bench.run("show mine").wrong());
    bench.run("design heron-stick plover").sound();
}

#[test]
fn a_file_that_is_no_page_of_text_neither_hangs_nor_hides_the_others() {
    let bench = Bench::demo();
    let huge = File::create(bench.path("huge.toml")).expect("a file can be made");
    huge.set_len(100_000_000).expect("a sparse file can be made");
    bench.put("binary.toml", b"\x7fELF\x02\x01\x01\x00\x00");
    bench.put("wide.toml", b"\xff\xfek\x00i\x00");
    bench.put("latin.toml", b"title = \"\xe4\"\n");
    bench.put("deep.toml", format!("a = {}", "[".repeat(100_000)));
    bench.put("folder.toml/inside", "");
    bench.put("empty.toml", "");
    let list = bench.run("shelf").sound();
    let (_, broken) = list.split_once("Not understood\n").expect("these are not understood");
    insta::assert_snapshot!(broken, @"
    binary  shelf  broken: the file is binary, expected a page of text
    deep    shelf  broken TOML: cannot recurse further; max recursion depth met, and 1 more
    empty   shelf  broken: the file is empty
    folder  shelf  broken: this is a folder, expected a file
    huge    shelf  broken: the file has 100000000 bytes, more than 1 MiB
    latin   shelf  broken: the file is not UTF-8 text
    wide    shelf  broken: the file is saved as UTF-16, expected UTF-8
    ");
    for name in ["binary", "deep", "empty", "folder", "huge", "latin", "wide"] {
        let told = bench.run(&format!("show {name}")).wrong();
        assert!(told.contains(&format!("{name}.toml")), "{told}");
        assert_eq!(bench.json(&format!("prove ./{name}.toml")).0, 2);
    }
}

#[test]
fn a_file_that_takes_a_name_of_the_catalogue_is_told_of() {
    let bench = Bench::demo();
    bench.put("fifteen-pin-stick.toml", "like = 'nine-pin-one-fire'\n");
    let list = bench.run("shelf fifteen-pin-stick").sound();
    assert!(
        list.contains("broken: the name `fifteen-pin-stick` is taken by a profile of the catalogue"),
        "{list}"
    );
    let shown = bench.run("show fifteen-pin-stick").sound();
    assert!(shown.starts_with("Fifteen-pin stick, all switches to one common"), "{shown}");
    bench.run("show heron-stick").sound();
    let told = bench.run("show ./fifteen-pin-stick.toml").wrong();
    assert!(told.contains("is taken by a profile of the catalogue"), "the path means the file: {told}");
}

#[test]
fn somebody_elses_folder_is_no_shelf() {
    let bench = Bench::empty();
    bench.put("Cargo.toml", "[package]\nname = 'x'\n");
    bench.put("other.toml", "kind = 'recipe'\n");
    let catalogue = Library::catalogue().entries().len();
    let (_, answer) = bench.json("shelf");
    assert_eq!(answer["shelf"], serde_json::Value::Null);
    assert_eq!(answer["entries"].as_array().map(Vec::len), Some(catalogue), "the catalogue alone");
    // Told to, it takes it for one.
    let (_, answer) = bench.json("shelf --shelf .");
    assert_eq!(answer["entries"].as_array().map(Vec::len), Some(catalogue + 2));
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let bench = Bench::demo();
    for arguments in ["explain --json", "--help", "shelf"] {
        let mut child = bench
            .command(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        drop(child.stdout.take());
        let mut said = String::new();
        child.stderr.take().expect("it is piped").read_to_string(&mut said).expect("it says text");
        let status = child.wait().expect("it ends");
        assert_eq!((status.code(), said.as_str()), (Some(0), ""), "{arguments}");
    }
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
    use std::os::unix::process::CommandExt;

    use nix::sys::signal::{Signal, kill};
    use nix::unistd::Pid;

    use super::*;

    /// Somebody who owns nothing; root may write anywhere, so the program runs as this user then.
    const NOBODY: u32 = 65_534;

    fn as_nobody(bench: &Bench, arguments: &str) -> Ran {
        let mut command = bench.command(arguments);
        if fs::metadata(bench).expect("it is there").uid() == 0 {
            command.uid(NOBODY);
        }
        command.output().expect("it starts").into()
    }

    fn allow(bench: &Bench, name: &str, mode: u32) {
        fs::set_permissions(bench.path(name), fs::Permissions::from_mode(mode)).expect("it is ours");
    }

    #[test]
    fn a_folder_that_may_not_be_written_to_is_named_with_the_remedy() {
        let bench = Bench::demo();
        bench.put("locked/keep.txt", "");
        allow(&bench, "", 0o755);
        allow(&bench, "locked", 0o555);
        let told = as_nobody(&bench, "design heron-stick curlew --save locked/lead.toml").wrong();
        allow(&bench, "locked", 0o755);
        insta::assert_snapshot!(told, @r"
        error: `locked/lead.toml` cannot be written: permission is denied
          = help: write into another folder than `locked`, or make it writable
        ");
    }

    #[test]
    fn a_file_that_may_not_be_read_is_told_of() {
        let bench = Bench::demo();
        allow(&bench, "", 0o755);
        allow(&bench, "teal.toml", 0o000);
        insta::assert_snapshot!(as_nobody(&bench, "show teal").wrong(), @r"
        error: `teal.toml` cannot be used: permission is denied
          = help: see that it is there and may be read
        ");
        assert_eq!(as_nobody(&bench, "show plover").code, 0);
    }

    #[test]
    fn an_interrupt_while_a_file_is_written_leaves_nothing_beside_it() {
        let bench = Bench::demo();
        let commands = ["guide heron-stick curlew --out", "atlas heron-stick curlew --write"];
        for words in commands.into_iter().cycle().take(30) {
            let mut command = bench.command(&format!("{words} a.html --force"));
            let mut child = command.stdout(Stdio::null()).spawn().expect("it starts");
            let pid = Pid::from_raw(child.id().try_into().expect("a number of a process"));
            let is_half = || bench.names().iter().any(|name| name.contains(".part"));
            while !is_half() && child.try_wait().expect("it is ours").is_none() {}
            // Who has been waited for has no number any more.
            if child.try_wait().expect("it is ours").is_none() {
                kill(pid, Signal::SIGINT).expect("it is ours");
            }
            child.wait().expect("it is ours");
            assert!(!is_half(), "{:?}", bench.names());
            assert!(bench.read("a.html").trim_end().ends_with("</html>"), "the file is whole");
        }
    }

    #[test]
    fn a_pipe_or_a_device_on_the_shelf_is_not_opened() {
        let bench = Bench::demo();
        symlink("/dev/zero", bench.path("zero.toml")).expect("a link can be made");
        let made = std::process::Command::new("mkfifo").arg(bench.path("pipe.toml")).status();
        let list = bench.run("shelf").sound();
        assert!(
            list.contains("  zero  shelf  broken: this is a device or a pipe, expected a file\n"),
            "{list}"
        );
        if made.is_ok_and(|status| status.success()) {
            assert!(
                list.contains("  pipe  shelf  broken: this is a device or a pipe, expected a file\n"),
                "{list}"
            );
        }
    }

    #[test]
    fn a_symbolic_link_is_read_but_never_replaced() {
        let bench = Bench::demo();
        bench.put("elsewhere/real.toml", "like = 'nine-pin-one-fire'\n");
        symlink("elsewhere/real.toml", bench.path("linked.toml")).expect("a link can be made");
        symlink("nowhere", bench.path("lost.toml")).expect("a link can be made");
        bench.run("show linked").sound();
        for name in ["linked-lead.toml", "lost.toml"] {
            if name != "lost.toml" {
                symlink("elsewhere/real.toml", bench.path(name)).expect("a link can be made");
            }
            let told = bench.run(&format!("guide heron-stick curlew --out {name} --force")).wrong();
            assert!(told.starts_with(&format!("error: `{name}` is a symbolic link")), "{told}");
        }
        assert_eq!(bench.read("elsewhere/real.toml"), "like = 'nine-pin-one-fire'\n");
    }
}

//! Many styluses compared, as a bench tester does it.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::bench_room::{Room, Words as _, items, number, numbers, project, string};

/// A comparison of this with few resamples: these journeys are about what is told, not about how sure it is.
fn quick(args: &str) -> String {
    format!("compare {args} --resamples 60")
}

/// The same of the demo's studio.
fn of_studio(args: &str) -> String {
    quick(&format!(
        "\"{}\" {args}",
        project().join("demo/studio").display()
    ))
}

/// The text of a measurement of the studio.
fn dunlin() -> String {
    std::fs::read_to_string(project().join("demo/studio/dunlin-01.csv")).unwrap()
}

#[test]
fn the_studio_is_compared() {
    let room = Room::new();
    let found = room.json(&of_studio("--json"), 0);
    let units = items(&found["units"]);
    let groups = items(&found["groups"]);
    assert!(units.len() >= 24 && groups.len() >= 6);
    // Repeats are one unit, the shared unit is two entries on two benches.
    let named = |name: &str| -> Vec<&serde_json::Value> {
        units.iter().filter(|unit| unit["name"] == name).collect()
    };
    assert_eq!(named("Dunlin 02").len(), 1);
    assert_eq!(named("Dunlin 02")[0]["files"].as_array().unwrap().len(), 3);
    assert_eq!(named("Avocet 03").len(), 2);
    let benches = items(&found["benches"]);
    assert_eq!(benches.len(), 1);
    assert!(
        benches[0]["agreement_gf"].is_null(),
        "one shared unit shows no limits"
    );
    // The stiff one is flagged, and nothing is invented for its saturation.
    let stiff = named("Dunlin 06")[0];
    assert_eq!(stiff["flagged"], true);
    assert!(stiff["saturation_force_gf"]["estimate"].is_null());
    assert!(number(&stiff["saturation_force_gf"]["low"]) >= 999.0);
    // Nor for the next unit of its model.
    let group = groups.iter().find(|group| group["name"] == stiff["group"]);
    let spread = &group.unwrap()["saturation_force_gf"];
    for interval in [&spread["next_unit"], &spread["tolerance_90"]] {
        assert!(
            interval["high"].is_null() && number(&interval["low"]) > 90.0,
            "{spread}"
        );
    }
    // Curves rise, and no group holds two benches.
    for unit in units {
        let forces = numbers(&unit["curve"], "force_gf");
        assert!(forces.is_sorted(), "{}", unit["name"]);
    }
    assert!(groups.iter().all(|group| !group["bench"].is_null()));
}

#[test]
fn one_file_is_a_collection_too() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let did = room.ends(&quick("dunlin-01.csv"), 0);
    did.assert_out("nothing is said of its model");
    assert!(!did.out.contains("next unit"), "{}", did.out);
}

#[test]
fn bad_files_are_named_and_skipped() {
    let room = Room::new();
    for name in ["dunlin-01.csv", "dunlin-02.csv", "dunlin-01.checks.csv"] {
        room.demo(name);
    }
    room.write("broken.csv", "force_gf,reported_percent\n1,2\n3,many\n");
    room.write(
        "silent.csv",
        "force_gf,reported_percent\n1,0\n30,0\n90,0\n200,0\n",
    );
    room.write("empty.toml", "");
    room.write("notes.txt", "no measurement");
    let found = room.json(&quick(". missing.csv --json"), 1);
    let skipped: Vec<&str> = items(&found["skipped"])
        .iter()
        .map(|one| string(&one["file"]))
        .collect();
    let expected = "./broken.csv ./empty.toml ./silent.csv missing.csv";
    assert_eq!(skipped.join(" "), expected);
    assert_eq!(items(&found["units"]).len(), 2);
    let did = room.ends(&quick("."), 1);
    // A file that is no measurement is passed over, and said so.
    did.assert_err(["broken.csv:3", "dunlin-01.checks.csv"]);
    assert!(!did.err.contains("notes.txt"));
    // Nothing usable is bad input.
    room.ends("compare broken.csv", 2);
    room.ends("compare broken.csv silent.csv", 2);
    std::fs::create_dir(room.path("none")).unwrap();
    room.ends("compare none", 2);
    room.ends("compare", 2);
}

#[test]
fn the_same_bytes_count_once() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.write("copy.csv", room.read("dunlin-01.csv"));
    let found = room.json(&quick(". --json"), 0);
    assert_eq!(items(&found["files"]).len(), 1);
    assert_eq!(items(&found["duplicates"]).len(), 1);
    assert!(items(&found["repeats"]).is_empty(), "no repeat is made up");
}

#[test]
fn units_that_agree_are_not_known_better_than_they_were_measured() {
    let room = Room::new();
    let text = dunlin();
    for unit in ["51", "52"] {
        room.write(
            &format!("d{unit}.csv"),
            text.replace("# unit = 01", &format!("# unit = {unit}")),
        );
    }
    let told = room.ends(&quick("d51.csv d52.csv"), 0);
    told.assert_err("the same samples under two names");
    told.assert_out(["observed SD 0.0 gf", "no between-unit spread detected"]);
    let found = room.json(&quick("d51.csv d52.csv --json"), 0);
    let saturation = &found["groups"][0]["saturation_force_gf"];
    // Measured as they are, they may differ by so much.
    assert!(number(&saturation["between_unit_sd_upper_bound"]) > 0.0);
    assert!(number(&saturation["between_unit_sd_lower_bound"]) <= 0.0);
    let next = &saturation["next_unit"];
    let measuring = number(&saturation["measurement_sd"]);
    // t of one degree of freedom, times √1.5, on both sides of the mean.
    let expected = 2.0 * 12.706_204_736 * 1.5_f64.sqrt() * measuring;
    let width = number(&next["high"]) - number(&next["low"]);
    assert!((width / expected - 1.0).abs() < 1e-6, "{saturation}");
}

#[test]
fn names_steer_neither_terminals_nor_sheets() {
    let room = Room::new();
    let text = dunlin();
    let named = |model: &str| text.replace("# model = Dunlin", &format!("# model = {model}"));
    room.write("odd.csv", named("Esc\u{1b}[31m\u{7}\u{202e}red"));
    room.write("sum.csv", named("=1+2"));
    let told = room.ends(&quick("odd.csv sum.csv --report page.html"), 0);
    for text in [&told.out, &told.err, &room.read("page.html")] {
        assert!(!text.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{text}");
    }
    told.assert_out("Esc\u{fffd}[31m");
}

#[test]
fn what_is_left_out_is_named_in_every_picture() {
    let room = Room::new();
    for what in ["all", "groups", "units"] {
        let out = format!("{what}.svg");
        let left = "--exclude \"Dunlin 06\" --quiet";
        let did = room.ends(
            &of_studio(&format!("{left} --chart {out} --chart-of {what}")),
            0,
        );
        assert_eq!(did.out, "", "{what}");
        let svg = room.read(&out);
        assert!(svg.contains("Left out by request: Dunlin 06."), "{out}");
    }
    // The nearest is offered.
    room.refuses(&of_studio("--exclude \"Dunlin 6\""), "Dunlin 06");
    let model = room.json(&of_studio("--exclude Dunlin --json"), 0);
    assert_eq!(items(&model["excluded"]).len(), 8);
}

#[test]
fn one_bench_of_a_unit_can_be_left_out() {
    let room = Room::new();
    let found = room.json(&of_studio("--exclude \"Avocet 03 (loft)\" --json"), 0);
    let left = items(&found["excluded"]);
    assert_eq!(left.len(), 1, "{left:?}");
    assert_eq!(left[0]["name"], "Avocet 03 (loft)");
    assert!(
        found["units"].to_string().contains("Avocet 03"),
        "on the other bench it stays"
    );
}

#[test]
fn models_that_differ_in_writing_only_are_told() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let other = room.read("dunlin-01.csv").replace("Dunlin", "dunlin");
    room.write("other.csv", other.replace("unit = 01", "unit = 07"));
    let did = room.run(&quick("dunlin-01.csv other.csv"));
    did.assert_err("`Dunlin` and `dunlin` are counted as two models");
}

#[test]
fn a_png_is_drawn_and_nothing_is_replaced_unasked() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.ends(&quick("dunlin-01.csv --chart all.png"), 0);
    assert!(room.bytes("all.png").starts_with(b"\x89PNG"));
    room.write("page.html", "mine");
    room.ends("compare dunlin-01.csv --report page.html", 2);
    assert_eq!(room.read("page.html"), "mine");
    room.ends("compare dunlin-01.csv --report page.txt", 2);
    assert_eq!(room.names(), ["all.png", "dunlin-01.csv", "page.html"]);
}

#[test]
fn the_page_is_the_same_whatever_the_threads() {
    let room = Room::new();
    let page = |threads: &str| -> String {
        let ended = Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .env("RAYON_NUM_THREADS", threads)
            .args(of_studio("--report page.html --force --quiet").words())
            .status()
            .unwrap();
        assert!(ended.success());
        room.read("page.html")
    };
    let one = page("1");
    assert!(one == page("3"), "byte for byte");
    // The command it names makes it again.
    assert!(one.contains("--report page.html --force --quiet --resamples 60"));
}

#[test]
fn styluses_are_mapped_to_feel_like_a_model() {
    let room = Room::new();
    let found = room.json(&of_studio("--like Avocet --receiver segments-8 --json"), 0);
    let units = items(&found["like"]["units"]);
    assert!(
        units
            .iter()
            .all(|unit| !string(&unit["unit"]).starts_with("Avocet"))
    );
    let errors = numbers(&found["like"]["units"], "max_error");
    assert!(errors.is_sorted(), "the nearest first: {errors:?}");
    for unit in units {
        assert!(number(&unit["max_error"]) >= number(&unit["uncorrectable_error"]) - 1e-12);
        assert!(
            number(&unit["max_error"]) <= number(&unit["without_map"]) + 1e-9,
            "{unit}"
        );
    }
    // A wider stylus becomes narrow, a narrow one cannot become wide.
    let error_of = |name: &str| {
        let unit = units.iter().find(|unit| unit["unit"] == name).unwrap();
        number(&unit["max_error"])
    };
    assert!(error_of("Curlew 01") < 0.01 && error_of("Dunlin 01") > 0.2);
    room.refuses(&of_studio("--like Avocett"), "Avocet");
    // A unit that did not saturate has no end to be like.
    room.ends(&of_studio("--like \"Dunlin 06\""), 1);
}

/// A browser that can run without a screen.
fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let names = ["chromium", "chromium-browser", "google-chrome"];
    std::env::split_paths(&path)
        .flat_map(|folder| names.map(|name| folder.join(name)))
        .find(|file| file.is_file())
}

fn browse(browser: &Path, folder: &Path, args: &[&str]) -> std::process::Output {
    Command::new(browser)
        .current_dir(folder)
        .args(
            "--headless --no-sandbox --disable-gpu --disable-dev-shm-usage --no-first-run".words(),
        )
        .arg(format!(
            "--user-data-dir={}",
            folder.join("profile").display()
        ))
        .args(args)
        .output()
        .unwrap()
}

#[test]
fn a_browser_reads_sorts_and_prints_the_page() {
    let Some(browser) = browser() else {
        // The structure of the page is checked without one, in the report's own tests.
        return;
    };
    let room = Room::new();
    room.ends(&of_studio("--report page.html --quiet"), 0);
    // The page, followed by a script of the test that sorts by saturation and writes what it finds.
    let probe = r#"<script>
        const table = document.querySelector("table.sorts");
        const heads = [...table.tHead.rows[0].cells];
        const column = heads.findIndex((head) => head.textContent.startsWith("Saturation"));
        heads[column].querySelector("button").click();
        heads[column].querySelector("button").click();
        const found = document.createElement("p");
        found.id = "found";
        const wide = [...document.querySelectorAll("main > *")].filter((one) => one.scrollWidth > one.clientWidth + 1 && !one.matches(".wide"));
        found.textContent = [heads[column].getAttribute("aria-sort"), table.tBodies[0].rows[0].cells[0].textContent, document.querySelectorAll("figure svg").length, wide.length].join("|");
        document.body.append(found);
    </script>"#;
    room.write(
        "probe.html",
        room.read("page.html")
            .replace("</body>", &format!("{probe}</body>")),
    );
    let url = |name: &str| format!("file://{}", room.path(name).display());
    let seen = browse(
        &browser,
        &room.path("."),
        &["--dump-dom", &url("probe.html")],
    );
    let dom = String::from_utf8_lossy(&seen.stdout);
    let found = dom
        .split("<p id=\"found\">")
        .nth(1)
        .and_then(|rest| rest.split('<').next());
    assert_eq!(
        found,
        Some("descending|Dunlin 06|3|0"),
        "{}",
        String::from_utf8_lossy(&seen.stderr)
    );
    let printed = format!("--print-to-pdf={}", room.path("page.pdf").display());
    browse(&browser, &room.path("."), &[&printed, &url("page.html")]);
    assert!(room.bytes("page.pdf").starts_with(b"%PDF"));
}

//! The page stands by itself: nothing outside is asked for, all of it is there without a script, every tag is
//! closed, and the data to download is what was compared.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use evenhand_fitting::Response;
use evenhand_measurement::Force;
use evenhand_population::{
    CompareSettings, FittedMeasurement, ForceEstimate, GroupBy, NearEnds, Profile, READING_GRID,
    compare, level_reading,
};
use evenhand_report::{CAUTIONS, Findings, LeftOut, comparison_json, page, units_csv};

fn measured(model: &str, unit: u32, saturation: f64) -> FittedMeasurement {
    let points: Vec<(Force, f64)> = (0..READING_GRID)
        .map(|level| {
            let reading = level_reading(level);
            (Force::from_gf(4.0 + (saturation - 4.0) * reading), reading)
        })
        .collect();
    let figure = |estimate: f64| ForceEstimate {
        estimate,
        low: estimate - 1.0,
        high: estimate + 1.0,
        error: 0.5,
        shared: 0.0,
        is_least: false,
        sd: 0.5,
        freedom: f64::INFINITY,
    };
    FittedMeasurement {
        file: format!("{model}-{unit}.csv"),
        sha256: format!("{unit:064x}"),
        folder: None,
        model: Some(model.to_owned()),
        unit: Some(format!("{unit:02}")),
        bench: Some("window".to_owned()),
        date: Some("2026-01-12".to_owned()),
        lever: None,
        tilt_deg: None,
        read_at: None,
        samples: 23,
        left_out: 0,
        largest_gf: 300.0,
        onset: figure(4.0),
        saturation: figure(saturation),
        span: figure(saturation - 4.0),
        saturation_class: Some("below 200 gf"),
        profile: Profile::of(&Response::from_points(&points).expect("a response")),
        resolution_gf: 0.02,
        warnings: 0,
        near: NearEnds {
            at_1: figure(4.0 + 0.01 * (saturation - 4.0)),
            at_99: figure(4.0 + 0.99 * (saturation - 4.0)),
            is_onset_gentle: false,
            is_saturation_gentle: false,
        },
    }
}

fn findings() -> Findings {
    let mut all = Vec::new();
    for unit in 0..6 {
        all.push(measured("Dunlin", unit, 160.0 + f64::from(unit)));
        all.push(measured(
            "Avocet <\"&'>",
            10 + unit,
            260.0 + f64::from(unit),
        ));
    }
    let left_out = |file: &str, name: Option<&str>, reason: &str| LeftOut {
        file: file.to_owned(),
        name: name.map(str::to_owned),
        reason: reason.to_owned(),
    };
    Findings {
        comparison: compare(
            all,
            CompareSettings {
                group_by: GroupBy::Model,
                confidence: 0.95,
                seed: 1,
                consistency_limit: 0.1,
                pool_benches: false,
            },
        ),
        resamples: 1000,
        excluded: vec![left_out("d7.csv", Some("Dunlin 07"), "left out by request")],
        skipped: vec![left_out(
            "bad.csv",
            None,
            "bad.csv:3:1: found `x` <script>alert(1)</script>",
        )],
        duplicates: Vec::new(),
        likened: None,
        command: "evenhand compare 'my </pre> folder'".to_owned(),
        version: "0.0.0".to_owned(),
    }
}

/// Tags that have no end.
const VOID: [&str; 3] = ["meta", "br", "!doctype"];

/// Names of elements in order of their ends; panics where one is not closed by its own.
fn closed(html: &str) -> Vec<String> {
    let mut open: Vec<String> = Vec::new();
    let mut seen = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        // What is in a script is no element.
        if open
            .last()
            .is_some_and(|name| name == "script" || name == "style")
            && !(rest.starts_with("/script") || rest.starts_with("/style"))
        {
            continue;
        }
        let tag = &rest[..rest.find('>').expect("a tag ends")];
        let name: String = tag
            .trim_start_matches('/')
            .chars()
            .take_while(|c| !c.is_whitespace() && *c != '/')
            .collect::<String>()
            .to_lowercase();
        if tag.starts_with('/') {
            assert_eq!(
                open.pop().as_deref(),
                Some(name.as_str()),
                "{tag} closes it"
            );
            seen.push(name);
        } else if !tag.ends_with('/') && !VOID.contains(&name.as_str()) {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?} stay open");
    seen
}

#[test]
fn every_tag_is_closed_and_every_part_is_there() {
    let html = page(&findings());
    let seen = closed(&html);
    assert!(html.starts_with("<!DOCTYPE html>"));
    assert_eq!(
        seen.iter().filter(|name| *name == "svg").count(),
        3,
        "three charts"
    );
    assert_eq!(
        seen.iter().filter(|name| *name == "script").count(),
        1,
        "one script"
    );
    for head in [
        "All responses",
        "Group by group",
        "Units",
        "Groups compared",
        "The bench",
        "Method",
        "Files",
        "Made by",
    ] {
        assert!(html.contains(&format!("<h2>{head}</h2>")), "{head}");
    }
    for caution in CAUTIONS {
        assert!(
            html.contains(&caution.replace('\'', "&#39;")) || html.contains(caution),
            "{caution}"
        );
    }
    for one in &findings().comparison.measured {
        assert!(html.contains(&one.sha256), "{}", one.sha256);
    }
    assert!(html.contains("Left out by request: Dunlin 07."));
    assert_eq!(html, page(&findings()), "the same bytes");
}

#[test]
fn nothing_outside_is_asked_for() {
    let html = page(&findings());
    for (at, _) in html.match_indices("://") {
        let around = &html[at.saturating_sub(30)..at + 25];
        assert!(around.contains("http://www.w3.org/2000/svg"), "{around}");
    }
    for word in [
        "<link", "<img", "<iframe", " src=", "@import", "url(", "fetch(", "XMLHttp",
    ] {
        assert!(!html.contains(word), "{word}");
    }
}

#[test]
fn names_and_messages_are_text_only() {
    let html = page(&findings());
    assert!(!html.contains("<script>alert"), "a message is no script");
    assert!(html.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
    assert!(html.contains("Avocet &lt;&quot;&amp;"), "a name is escaped");
    assert!(html.contains("my &lt;/pre&gt; folder"));
}

#[test]
fn what_can_be_downloaded_is_what_was_compared() {
    let findings = findings();
    let html = page(&findings);
    let data = |kind: &str| -> String {
        let start = format!("href=\"data:{kind};base64,");
        let rest = html.split(&start).nth(1).expect("a link");
        let bytes = BASE64_STANDARD
            .decode(rest.split('"').next().expect("an end"))
            .expect("base64");
        String::from_utf8(bytes).expect("text")
    };
    let csv = data("text/csv;charset=utf-8");
    assert_eq!(csv, units_csv(&findings.comparison));
    assert_eq!(csv.lines().count(), 13);
    let header = csv.lines().next().expect("a header");
    let columns = header.split(',').count();
    let class = header
        .split(',')
        .position(|name| name == "saturation_class");
    let row = csv
        .lines()
        .find(|line| line.contains("Dunlin 00"))
        .expect("a unit");
    assert_eq!(row.split(',').count(), columns, "{row}");
    let class = row.split(',').nth(class.expect("a column of classes"));
    assert_eq!(class, Some("below 200 gf"));
    assert!(html.contains("Saturation class") && html.contains("<td>below 200 gf</td>"));
    let json = data("application/json");
    assert_eq!(json, comparison_json(&findings));
    let value: serde_json::Value = serde_json::from_str(&json).expect("an object");
    assert_eq!(value["units"].as_array().map(Vec::len), Some(12));
}

#[test]
fn it_prints() {
    let html = page(&findings());
    let print = html.split("@media print{").nth(1).expect("rules for print");
    for rule in ["@page", "break-inside:avoid", "table-header-group"] {
        assert!(print.contains(rule), "{rule}");
    }
    assert!(html.contains("prefers-color-scheme:dark"), "dark screens");
}

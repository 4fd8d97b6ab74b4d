//! Worksheets judge as the library judges, by the limits `bench` prints, keep
//! their entries in the address, and write logs that are read back.

use super::browser::{shown, there};
use super::generated::Numbers;
use super::{ampkeel, boat, circuit, folder, page, report_of, words};
use ampkeel::reporting::{Field, Fit, Reader, Report, Worksheet};
use std::collections::BTreeMap;
use std::path::Path;

fn fields(report: &Report) -> impl Iterator<Item = &Field> {
    let steps = report.worksheets.iter().flat_map(|sheet| &sheet.steps);
    steps.flat_map(|step| &step.fields)
}

#[test]
fn limits_of_the_boxes_are_those_the_bench_prints() {
    for name in ["gabbro-injected-outboard", "gneiss-inboard-diesel"] {
        let path = boat(name);
        let mut checked = 0;
        for sheet in report_of(&path)
            .worksheets
            .iter()
            .filter(|s| s.reader == Reader::Interpret)
        {
            let output = ampkeel(&["bench", words(&path), &sheet.part, "--json"]);
            let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
            let told = json["steps"].as_array().expect("steps").iter();
            let told: Vec<&serde_json::Value> = told
                .flat_map(|step| step["expect"].as_array().expect("readings"))
                .collect();
            let boxes: Vec<&Field> = sheet.steps.iter().flat_map(|step| &step.fields).collect();
            assert_eq!(told.len(), boxes.len(), "{}", sheet.part);
            for (reading, field) in told.iter().zip(boxes) {
                assert_eq!(reading["quantity"], field.quantity.as_str());
                for (key, end) in [("low", &field.low), ("high", &field.high)] {
                    let limit = reading[key].as_f64();
                    assert_eq!(limit.is_some(), end.is_some(), "{}: {key}", field.id);
                    if let (Some(limit), Some(end)) = (limit, end) {
                        let printed: f64 = end.parse().expect("a figure");
                        let here = limit / scale(&field.unit);
                        // Half a step of the last digit that is printed.
                        let decimals = end.split_once('.').map_or(0, |(_, d)| d.len());
                        let half = 0.5001 / 10f64.powf(decimals as f64);
                        assert!(
                            (here - printed).abs() <= half,
                            "{}: {here} {printed}",
                            field.id
                        );
                        checked += 1;
                    }
                }
            }
        }
        assert!(checked > 100, "{checked}");
    }
}

/// What one of a box's unit is in the base unit.
fn scale(unit: &str) -> f64 {
    match unit {
        "mV" | "mA" | "mohm" => 1e-3,
        "uV" | "uA" => 1e-6,
        "kohm" => 1e3,
        "Mohm" => 1e6,
        "V" | "A" | "ohm" => 1.0,
        other => panic!("{other}"),
    }
}

/// A reading to type: below, at, between and above the limits, or open.
fn typed(field: &Field, round: usize, numbers: &mut Numbers) -> String {
    let end = |end: &Option<String>| end.as_ref().and_then(|text| text.parse::<f64>().ok());
    let low = end(&field.low).or(end(&field.high)).unwrap_or(1.0);
    let high = end(&field.high).or(end(&field.low)).unwrap_or(2.0);
    let value = match round {
        0 => low * 0.9 * numbers.share(),
        1 => low,
        2 => low + (high - low) * numbers.share(),
        3 => high,
        4 => high * (1.0 + numbers.share()) + 0.01,
        5 if field.may_be_open => return "OL".to_owned(),
        _ => high * (0.5 + numbers.share()),
    };
    match round {
        1 => field.low.clone().unwrap_or_else(|| format!("{value}")),
        3 => field.high.clone().unwrap_or_else(|| format!("{value}")),
        _ => format!("{value:.4}"),
    }
}

fn fragment(entries: &BTreeMap<String, String>) -> String {
    let pairs: Vec<String> = entries
        .iter()
        .map(|(id, value)| format!("{id}={value}"))
        .collect();
    format!("#{}", pairs.join("&"))
}

/// What stands in the page's verdict of a box.
fn verdict(dom: &str, id: &str) -> String {
    let marker = format!("<output for=\"{id}\"");
    let after = dom.split(&marker).nth(1).unwrap_or_else(|| panic!("{id}"));
    let inside = after.split_once('>').expect("an element").1;
    inside.split("</output>").next().unwrap_or("").to_owned()
}

#[test]
fn the_page_judges_generated_readings_as_the_library_does() {
    if !there("judging") {
        return;
    }
    let folder = folder("judging");
    let mut numbers = Numbers::new(20_260_401);
    let mut fits: BTreeMap<&str, usize> = BTreeMap::new();
    for name in ["gabbro-injected-outboard", "marl-tiller-9hp"] {
        let path = boat(name);
        let report = report_of(&path);
        let page = page(&path, &folder);
        for round in 0..7 {
            let entries: BTreeMap<String, String> = fields(&report)
                .map(|field| (field.id.clone(), typed(field, round, &mut numbers)))
                .collect();
            let dom = shown(&page, &fragment(&entries), 1000).dom;
            for field in fields(&report) {
                let text = &entries[&field.id];
                let value = text.parse().unwrap_or(f64::INFINITY);
                let (expected, word) = match field.judge(value) {
                    Fit::Within => ("\u{2713} within".to_owned(), "within"),
                    Fit::Below => {
                        let low = field.low.as_deref().expect("a limit");
                        (format!("!! below {low} {}", field.unit), "below")
                    }
                    Fit::Reversed => panic!("{}: {text} is not below zero", field.id),
                    Fit::Unproven => {
                        let high = field.high.as_deref().expect("a limit");
                        (
                            format!("above {high} {}: proves nothing", field.unit),
                            "unproven",
                        )
                    }
                    Fit::Above => {
                        let high = field.high.as_deref().expect("a limit");
                        (format!("!! above {high} {}", field.unit), "above")
                    }
                };
                assert_eq!(
                    verdict(&dom, &field.id),
                    expected,
                    "{name}: {} {text}",
                    field.id
                );
                *fits.entry(word).or_default() += 1;
            }
        }
    }
    // Few readings prove nothing above: the windings of pumps.
    let least = |word: &str| if word == "unproven" { 2 } else { 150 };
    assert!(
        fits.iter().all(|(word, count)| *count > least(word)),
        "{fits:?}"
    );
}

#[test]
fn what_is_no_figure_is_told_and_not_judged() {
    if !there("no figure") {
        return;
    }
    let folder = folder("no-figure");
    let page = page(&boat("basalt-bilge-pump"), &folder);
    let report = report_of(&boat("basalt-bilge-pump"));
    let field = fields(&report)
        .find(|f| f.quantity == "current")
        .expect("a current");
    for (text, expected) in [
        ("3,1", "write 3.1, with a point"),
        (
            "-3",
            "below zero: the leads or the clamp are the wrong way round",
        ),
        ("abc", "a figure in A alone"),
        ("open", "a figure in A alone"),
        ("1e3", "a figure in A alone"),
        ("NaN", "a figure in A alone"),
    ] {
        let entries = BTreeMap::from([(field.id.clone(), text.to_owned())]);
        let dom = shown(&page, &fragment(&entries), 1000).dom;
        assert_eq!(verdict(&dom, &field.id), expected, "{text}");
    }
}

/// The text of a sheet's log, as the page wrote it; the page shows it in a box
/// whose value no dump holds, so a copy of the page writes it out.
fn logs(page: &Path, entries: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let text = std::fs::read_to_string(page).expect("page");
    let start = text.find("<meta http-equiv=").expect("a policy");
    let end = start + text[start..].find('>').expect("its end") + 1;
    let mut text = format!("{}{}", &text[..start], &text[end..]);
    let close = text.rfind("</body>").expect("a body");
    text.insert_str(
        close,
        "<script>for(const t of document.querySelectorAll('.log textarea'))t.textContent=t.value</script>",
    );
    let copy = page.with_extension("logs.html");
    std::fs::write(&copy, text).expect("written");
    let dom = shown(&copy, &fragment(entries), 1000).dom;
    let mut all = BTreeMap::new();
    for sheet in dom.split("<details ").skip(1) {
        let part = sheet
            .split("data-part=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next());
        let log = sheet
            .split("<textarea")
            .nth(1)
            .and_then(|rest| rest.split_once('>'));
        let log = log.and_then(|(_, rest)| rest.split("</textarea>").next());
        if let (Some(part), Some(log)) = (part, log) {
            all.insert(part.to_owned(), log.replace("&amp;", "&"));
        }
    }
    all
}

/// Typical readings for every box of a sheet.
fn typical(sheet: &Worksheet, entries: &mut BTreeMap<String, String>) {
    for field in sheet.steps.iter().flat_map(|step| &step.fields) {
        let words: Vec<&str> = field.range.split("typically ").collect();
        let value = match (
            words.as_slice(),
            field.low.as_deref(),
            field.high.as_deref(),
        ) {
            ([_, typical], ..) => typical.split(' ').next().unwrap_or("1").to_owned(),
            (_, Some(_), None) => "OL".to_owned(),
            (_, _, Some(high)) => format!("{}", 0.5 * high.parse::<f64>().expect("a figure")),
            _ => "1".to_owned(),
        };
        entries.insert(field.id.clone(), value);
    }
}

/// Reads every log of a page back by its command; returns how many were read
/// and how many sheets came out sound.
fn read_back(
    path: &Path,
    report: &Report,
    logs: &BTreeMap<String, String>,
    folder: &Path,
) -> (usize, usize) {
    let (mut count, mut sound) = (0, 0);
    for sheet in &report.worksheets {
        let log = &logs[&sheet.part];
        let fields = || sheet.steps.iter().flat_map(|step| &step.fields);
        let logged = fields().filter(|field| field.log.is_some()).count();
        assert_eq!(log.matches("[[reading]]").count(), logged, "{}", sheet.part);
        if logged == 0 {
            continue;
        }
        let file = folder.join("readings.toml");
        std::fs::write(&file, log).expect("written");
        let log_file = words(&file);
        let output = match sheet.reader {
            Reader::Interpret => ampkeel(&[
                "interpret",
                words(path),
                &sheet.part,
                "--log",
                log_file,
                "--json",
            ]),
            Reader::Trace => ampkeel(&["trace", words(path), "--log", log_file, "--json"]),
        };
        let said = String::from_utf8_lossy(&output.stderr);
        let status = output.status.code();
        assert!(
            matches!(status, Some(0 | 1)),
            "{}: {said}\n{log}",
            sheet.part
        );
        count += 1;
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        if sheet.reader == Reader::Interpret {
            let likeliest = &json["conditions"][0]["condition"];
            let possible = json["impossible"].is_null();
            sound += usize::from(possible && likeliest == "healthy");
        }
    }
    (count, sound)
}

/// What a log of `trace` must say beside its readings.
fn complain(report: &Report, entries: &mut BTreeMap<String, String>) {
    let harness = report.worksheets.len() - 1;
    entries.insert(format!("complaint{harness}"), "fuse-opens".into());
    let fuse = report.fuses.first().expect("a fuse").name.clone();
    entries.insert(format!("about{harness}"), fuse);
}

#[test]
fn logs_of_filled_sheets_are_read_by_interpret_and_trace() {
    if !there("logs") {
        return;
    }
    let folder = folder("logs");
    let mut numbers = Numbers::new(20_260_402);
    for (path, least, least_sound) in [
        (boat("gabbro-injected-outboard"), 20, 8),
        (boat("marl-tiller-9hp"), 8, 3),
        (boat("devices/two-batteries"), 2, 0),
    ] {
        let report = report_of(&path);
        let page = page(&path, &folder);
        // Typical readings are those of a sound part.
        let mut entries = BTreeMap::new();
        for sheet in &report.worksheets {
            typical(sheet, &mut entries);
        }
        complain(&report, &mut entries);
        let (count, sound) = read_back(&path, &report, &logs(&page, &entries), &folder);
        assert!(count >= least, "{}: {count}", path.display());
        assert!(sound >= least_sound, "{}: {sound}", path.display());
        if report.worksheets.len() > 30 {
            continue;
        }
        // Any reading within its limits is read as well, whatever it says.
        let mut entries: BTreeMap<String, String> = fields(&report)
            .map(|field| (field.id.clone(), typed(field, 2, &mut numbers)))
            .collect();
        complain(&report, &mut entries);
        read_back(&path, &report, &logs(&page, &entries), &folder);
    }
}

#[test]
fn drops_are_logged_from_the_posts_of_the_battery_that_feeds_the_load() {
    let report = report_of(&boat("gneiss-inboard-diesel"));
    let sheet = report.worksheets.last().expect("the harness");
    let logged: Vec<_> = sheet
        .steps
        .iter()
        .flat_map(|step| &step.fields)
        .filter_map(|field| field.log.as_ref())
        .collect();
    let on = |post: &str| logged.iter().any(|log| log.at == post || log.to == post);
    // The file starts the engine from one battery and lives on the other.
    let circuit = circuit(&boat("gneiss-inboard-diesel"));
    let batteries = circuit
        .parts
        .iter()
        .filter(|part| matches!(part.device, ampkeel::circuit::Device::Battery(_)));
    let mut count = 0;
    for battery in batteries {
        assert!(on(&format!("{}.plus", battery.name)), "{}", battery.name);
        assert!(on(&format!("{}.minus", battery.name)), "{}", battery.name);
        count += 1;
    }
    assert_eq!(count, 2);
}

#[test]
fn a_form_names_every_reading_its_log_leaves_out() {
    let folder = folder("left-out");
    for name in ["gabbro-injected-outboard", "gneiss-inboard-diesel"] {
        let path = boat(name);
        let report = report_of(&path);
        let text = std::fs::read_to_string(page(&path, &folder)).expect("page");
        let mut count = 0;
        for (sheet, shown) in report
            .worksheets
            .iter()
            .zip(text.split("<details ").skip(1))
        {
            let whole = plain(shown.split("</details>").next().expect("a form"));
            let fields = || sheet.steps.iter().flat_map(|step| &step.fields);
            let paragraph = shown.split("No place in a log of").nth(1);
            let told = paragraph.and_then(|rest| Some(plain(rest.split("</p>").next()?)));
            let none = whole.contains("None of these readings has a place in a log");
            for field in fields().filter(|field| field.log.is_none()) {
                let quantity = field.quantity.replace('`', "");
                assert!(
                    none || told.as_ref().is_some_and(|told| told.contains(&quantity)),
                    "{}: {quantity}",
                    sheet.part
                );
                count += 1;
            }
            let logged = fields().filter(|field| field.log.is_some()).count();
            assert!(!none || logged == 0, "{}", sheet.part);
        }
        assert!(count > 40, "{count}");
    }
}

/// The words of a piece of a page.
fn plain(text: &str) -> String {
    let mut all = String::new();
    for piece in text.split('<') {
        all.push_str(piece.split_once('>').map_or(piece, |(_, words)| words));
    }
    all.replace("&amp;", "&")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
}

#[test]
fn pump_and_harness_sheets_have_words_for_a_log() {
    let report = report_of(&boat("gabbro-injected-outboard"));
    let logged = |part: &str| {
        let sheet = report.worksheets.iter().find(|sheet| sheet.part == part);
        let steps = &sheet.expect("a sheet").steps;
        steps
            .iter()
            .flat_map(|step| &step.fields)
            .filter(|f| f.log.is_some())
            .count()
    };
    assert_eq!(logged("high-pressure"), 4);
    assert!(logged("up-relay") >= 4);
    assert!(logged("harness") > 15);
}

#[test]
fn a_reading_below_zero_is_told_as_reversed_and_high_ohms_of_a_winding_prove_nothing() {
    let report = report_of(&boat("basalt-bilge-pump"));
    let volts = fields(&report)
        .find(|field| field.unit == "V" && field.low.is_some())
        .expect("volts");
    assert_eq!(volts.judge(-3.0), Fit::Reversed);
    let ohms = fields(&report)
        .find(|field| field.quantity.starts_with("lowest ohms"))
        .expect("ohms");
    assert_eq!(ohms.judge(2.6), Fit::Unproven);
    assert_eq!(ohms.judge(f64::INFINITY), Fit::Above);
}

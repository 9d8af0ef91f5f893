//! The whole documents of the sample scans, number by number: to a millionth, since processors differ in the digits beyond what
//! sums of thousands of points leave. RENEW_DOCUMENTS=1 writes them anew: read the difference.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// Where two documents differ, by the path to it.
fn differences(path: &str, kept: &Value, now: &Value, told: &mut Vec<String>) {
    match (kept, now) {
        (Value::Object(a), Value::Object(b)) => {
            for key in a.keys().chain(b.keys().filter(|k| !a.contains_key(*k))) {
                let of = |object: &serde_json::Map<String, Value>| {
                    object.get(key).cloned().unwrap_or(Value::Null)
                };
                differences(&format!("{path}.{key}"), &of(a), &of(b), told);
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (k, (a, b)) in a.iter().zip(b).enumerate() {
                differences(&format!("{path}[{k}]"), a, b, told);
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            let [a, b] = [a, b].map(|n| n.as_f64().unwrap());
            if (a - b).abs() > 1e-6 * (1.0 + a.abs()) {
                told.push(format!("{path}: {a} was, {b} is"));
            }
        }
        (a, b) => {
            if a != b {
                told.push(format!("{path}: {a} was, {b} is"));
            }
        }
    }
}

fn stays(name: &str, arguments: &[&str]) {
    let output = Command::new(env!("CARGO_BIN_EXE_outwind"))
        .current_dir("sample-scans")
        .arg("flatten")
        .args(arguments)
        .arg("--json")
        .output()
        .unwrap();
    assert!(output.status.success(), "{output:?}");
    let path = Path::new("tests/data/documents").join(name);
    if std::env::var_os("RENEW_DOCUMENTS").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, &output.stdout).unwrap();
    }
    let kept: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    let now: Value = serde_json::from_slice(&output.stdout).unwrap();
    let mut told = Vec::new();
    differences(name, &kept, &now, &mut told);
    assert!(told.is_empty(), "{}", told.join("\n"));
}

#[test]
fn a_scan_with_noise_dust_and_worm_holes() {
    let arguments = [
        "pear-scan.ply",
        "--unit",
        "mm",
        "--thickness",
        "52",
        "--need",
        "45",
    ];
    stays("pear-scan.json", &arguments);
}

#[test]
fn two_scans_in_the_scanners_own_frame() {
    stays("plum-scans.json", &["plum-scans.toml", "--need", "30 mm"]);
}

#[test]
fn a_difference_is_told() {
    let [a, b] = [
        r#"{"a": 1.0, "b": [1, 2], "c": "x"}"#,
        r#"{"a": 1.000002, "b": [1, 3], "d": null}"#,
    ]
    .map(|text| serde_json::from_str(text).unwrap());
    let mut told = Vec::new();
    differences("", &a, &b, &mut told);
    let places: Vec<&str> = told.iter().map(|t| t.split(':').next().unwrap()).collect();
    assert_eq!(places, [".a", ".b[1]", ".c"]);
}

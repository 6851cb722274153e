//! Files measured by others: sox, Python's own `wave`, scipy, and `measure.py` with numpy (pins in `.ci/run`).

use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

use crate::common::{Shop, outside};

/// What a tool prints.
fn said(program: &str, arguments: &[&str]) -> String {
    let run = Command::new(program).args(arguments).stdin(Stdio::null()).output().unwrap();
    assert!(run.status.success(), "{program} {arguments:?}: {}", String::from_utf8_lossy(&run.stderr));
    String::from_utf8(run.stdout).unwrap()
}

pub fn has_numpy() -> bool {
    outside::needs("python3 with numpy and scipy", outside::runs("python3", &["-c", "import numpy, scipy.io"]))
}

/// A file with its tones, measured. Each is named as HZ@BEGINS+SECONDS.
pub fn measured(file: &Path, tones: &[String]) -> Value {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tones/measure.py");
    let mut arguments = vec!["-B", script.to_str().unwrap(), file.to_str().unwrap()];
    arguments.extend(tones.iter().map(String::as_str));
    serde_json::from_str(&said("python3", &arguments)).unwrap()
}

/// The tones of a document's file, as `measure.py` takes them.
pub fn named(file: &Value) -> Vec<String> {
    let tones = file["tones"].as_array().unwrap().iter();
    tones.map(|tone| format!("{}@{}+{}", tone["tone_hz"], tone["begins_s"], tone["length_s"])).collect()
}

/// Makes a file by these options, and measures it.
fn made(options: &str) -> (Value, Value) {
    let shop = Shop::new();
    let mut arguments = vec!["tone", "--json", "-o", "tone.wav"];
    arguments.extend(options.split(' '));
    let document = shop.run(&arguments).expect(0).json();
    let file = &document["files"][0];
    let measured = measured(&shop.path().join("tone.wav"), &named(file));
    for (one, other) in [("rate", "rate_hz"), ("bits", "bits"), ("channels", "channels")] {
        assert_eq!(measured[one], file[other], "{options}");
    }
    (file.clone(), measured)
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// At both depths and every usual rate: the level within 0.0001 dB, the phase within 1e-6 of a cycle, nothing at full scale, ends
/// near zero, no step where the tone begins and ends, and beside the tone only what dither leaves.
///
/// Levels as in AES17 (from memory). The noise of triangular dither and its rounding has a variance of 1/4 of a step squared
/// (Lipshitz, Wannamaker and Vanderkooy 1992, from memory): at 16 bit that is -93.3 dBFS over the whole band.
#[test]
fn tones_are_what_they_are_called() {
    if !has_numpy() {
        return;
    }
    for (hz, level, rate, bits, stereo) in [
        ("27", -6.0, 44_100, 16, false),
        ("26.25", -0.1, 44_100, 16, true),
        ("5", -20.0, 8000, 16, false),
        ("200", -6.0, 48_000, 24, false),
        ("38.2719", -0.1, 96_000, 24, true),
        ("19.7", -60.0, 48_000, 24, false),
        ("63", -80.0, 44_100, 16, false),
    ] {
        let flag = if stereo { " --stereo" } else { "" };
        let options = format!("--hz {hz} --level-dbfs {level} --rate {rate} --bits {bits} --seconds 20{flag}");
        let (_, measured) = made(&options);
        let tone = &measured["tones"][0];
        let count = number(&measured["frames"]);
        assert_eq!(count, 20.0 * f64::from(rate));
        // How well a fit of so many noisy samples can know the amplitude: five standard errors, sqrt(2/n) / 2 steps each.
        let full = number(&measured["full"]);
        let blur = 5.0 * (2.0 / count).sqrt() / 2.0 / (full * 10f64.powf(level / 20.0));
        let level_off = (number(&tone["level_dbfs"]) - level).abs();
        // Full scale taken for 2^15 would be 0.00027 dB off at 16 bit.
        assert!(level_off < 0.0001f64.max(8.7 * blur), "{options}: {measured:#}");
        for place in ["phase_start_cycles", "phase_end_cycles", "phase_whole_cycles"] {
            let share: f64 = if place == "phase_whole_cycles" { 1.0 } else { 20.0 };
            let most = 1e-6f64.max(blur * share.sqrt());
            assert!(number(&tone[place]).abs() < most, "{options}: {place} {measured:#}");
        }
        let variance = number(&tone["residual_variance_lsb2"]);
        assert!((10.0 * (variance / 0.25).log10()).abs() < 0.1, "{options}: {measured:#}");
        assert!(bits == 16 || level < -40.0 || number(&tone["thd_n_db"]) < -120.0, "{options}: {measured:#}");
        assert!(number(&tone["constant_lsb"]).abs() < 0.01, "{options}: {measured:#}");
        assert!(number(&measured["most"]) < full, "{options}: {measured:#}");
        assert!(number(&tone["first"]).abs() <= 1.0 && number(&tone["last"]).abs() <= 1.0, "{options}: {measured:#}");
        // What dither adds to a step is two steps of the last bit at most.
        let dither = 3.0 / (full * 10f64.powf(level / 20.0));
        assert!(number(&tone["edges_step"]) < number(&tone["steady_step"]) + dither, "{options}: {measured:#}");
        // Dither and rounding are off by a step and a half at most, and the fitted amplitude by next to nothing.
        assert!(number(&tone["most_off_lsb"]) < 1.6, "{options}: {measured:#}");
        assert_eq!(measured["channels_same"], true);
    }
}

/// Ten minutes: the phase at the end is that at the start, to less than a millionth of a cycle. The pieces of `measure.py` at
/// both ends last a second, so their own blur at 24 bit is far below that.
#[test]
fn the_frequency_is_exact_to_the_end_of_a_long_file() {
    if !has_numpy() {
        return;
    }
    let (_, measured) = made("--hz 199.123456789 --seconds 600 --rate 8000 --bits 24");
    let tone = &measured["tones"][0];
    for place in ["phase_start_cycles", "phase_end_cycles"] {
        assert!(number(&tone[place]).abs() < 1e-6, "{measured:#}");
    }
}

/// Every tone of a stepped file begins where the document says, and before it there is only dither.
#[test]
fn stepped_files_begin_where_they_say() {
    if !has_numpy() {
        return;
    }
    for options in ["--hz 27 54 --rounds 2 --seconds 1.5", "--sweep 15..80 --per-octave 2 --seconds 1"] {
        let (file, measured) = made(options);
        let tones = measured["tones"].as_array().unwrap();
        assert_eq!(tones.len(), file["tones"].as_array().unwrap().len());
        assert!(tones.len() >= 4);
        for (tone, named) in tones.iter().zip(file["tones"].as_array().unwrap()) {
            assert_eq!(number(&named["begins_s"]).fract(), 0.0, "a whole second");
            assert!((number(&tone["level_dbfs"]) + 6.0).abs() < 0.001, "{options}: {tone}");
            assert!(number(&tone["phase_whole_cycles"]).abs() < 2e-6, "{options}: {tone}");
            assert!(number(&tone["silence_most"]) <= 1.0, "{options}: {tone}");
        }
    }
}

/// The head of the file as sox reads it, and the levels that its `stats` finds: the peak of -6 dBFS is -6.00 dB of full scale, and
/// its rms 3.01 dB lower.
#[test]
fn sox_reads_the_same() {
    if !outside::needs("sox", outside::runs("sox", &["--version"])) {
        return;
    }
    let shop = Shop::new();
    for (rate, bits, stereo) in
        [("44100", "16", false), ("96000", "24", true), ("192000", "24", false), ("8000", "16", true)]
    {
        let mut arguments =
            vec!["tone", "--hz", "50", "--seconds", "3", "--rate", rate, "--bits", bits, "-o", "tone.wav"];
        arguments.extend(stereo.then_some("--stereo"));
        shop.run(&arguments).expect(0);
        let path = shop.path().join("tone.wav");
        let path = path.to_str().unwrap();
        let asked = |option: &str| said("sox", &["--info", option, path]).trim().to_owned();
        assert_eq!((asked("-r").as_str(), asked("-b").as_str()), (rate, bits));
        assert_eq!(asked("-c"), if stereo { "2" } else { "1" });
        assert_eq!(asked("-D").parse::<f64>().unwrap(), 3.0);
        assert_eq!(asked("-e"), "Signed Integer PCM");
        let run = Command::new("sox").args([path, "-n", "trim", "0.5", "2", "stats"]).output().unwrap();
        let stats = String::from_utf8(run.stderr).unwrap();
        let of = |name: &str| -> f64 {
            let line = stats.lines().find(|line| line.starts_with(name)).unwrap_or_else(|| panic!("{name}: {stats}"));
            line[name.len()..].split_whitespace().next().unwrap().parse().unwrap()
        };
        assert!((of("Pk lev dB") + 6.0).abs() < 0.011, "{stats}");
        assert!((of("RMS lev dB") + 9.01).abs() < 0.011, "{stats}");
    }
}

/// Python's `wave`, which knows plain PCM only, and scipy find as many samples as there are, at both depths.
#[test]
fn python_reads_the_same() {
    if !has_numpy() {
        return;
    }
    let shop = Shop::new();
    let path = shop.path().join("tone.wav");
    let path = path.to_str().unwrap();
    shop.run(&["tone", "--hz", "50", "--seconds", "2", "--stereo", "-o", "tone.wav"]).expect(0);
    let script = "import sys, wave; w = wave.open(sys.argv[1]); print(*w.getparams()[:4], w.getcomptype())";
    assert_eq!(said("python3", &["-c", script, path]).trim(), "2 2 44100 88200 NONE");
    shop.run(&["tone", "--hz", "50", "--seconds", "2", "--bits", "24", "--rate", "96 kHz", "-o", "tone.wav"]).expect(0);
    let script =
        "import sys, scipy.io.wavfile as f; rate, data = f.read(sys.argv[1]); print(rate, *data.shape, data.dtype)";
    assert_eq!(said("python3", &["-c", script, path]).trim(), "96000 192000 int32");
    let script = "import sys, wave; w = wave.open(sys.argv[1]); print(*w.getparams()[:4], w.getcomptype())";
    assert_eq!(said("python3", &["-c", script, path]).trim(), "1 3 96000 192000 NONE");
    // A second and a bit of 11025 Hz: an odd number of bytes, and one more to make it even.
    let odd = ["tone", "--hz", "50", "--seconds", "1.0001", "--bits", "24", "--rate", "11025", "-o", "tone.wav"];
    shop.run(&odd).expect(0);
    assert_eq!(said("python3", &["-c", script, path]).trim(), "1 3 11025 11026 NONE");
    let seconds = ["tone", "--hz", "50", "--seconds", "1", "--bits", "24", "--rate", "11025", "-o", "tone.wav"];
    shop.run(&seconds).expect(0);
    assert_eq!(said("python3", &["-c", script, path]).trim(), "1 3 11025 11025 NONE");
    assert_eq!(std::fs::metadata(path).unwrap().len(), 44 + 3 * 11_025 + 1);
}

#[test]
fn the_same_command_makes_the_same_bytes() {
    let shop = Shop::new();
    for name in ["one.wav", "other.wav"] {
        shop.run(&["tone", "--hz", "27", "54", "--seconds", "1", "-o", name]).expect(0);
    }
    let bytes = |name: &str| std::fs::read(shop.path().join(name)).unwrap();
    assert!(bytes("one.wav") == bytes("other.wav"));
}

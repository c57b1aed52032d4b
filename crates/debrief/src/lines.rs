//! The two sentences on top of a sheet: what happened, and what to change.

use crate::document::Finding;
use crate::kinds;
use crate::words::{sentence, with_unit};
use air::units::{M_PER_FT, MPS_PER_KT};
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks, Verdict};

/// At most so many causes lead.
const LEADING: usize = 2;

/// What happened, in one sentence; two when something broke a limit.
pub(crate) fn verdict(maneuver: &Maneuver, marks: &TaskMarks, findings: &[Finding]) -> String {
    let opening = match maneuver.kind {
        Kind::PowerOffStall | Kind::PowerOnStall => stall(maneuver, marks),
        Kind::SteepTurn => turn(maneuver, &marks.marks),
        Kind::SlowFlight => slow(maneuver, &marks.marks),
        kind => kinds::words_of(kind).map_or_else(
            || sentence(&format!("you flew {}", kinds::with_article(kind))),
            |words| sentence(&(words.opening)(maneuver, marks)),
        ),
    };
    // Evidence is a sentence of its own for some findings and a bare figure for others; both read on.
    let causes: Vec<String> = findings
        .iter()
        .take(LEADING)
        .map(|finding| finding.evidence.clone())
        .collect();
    [opening]
        .into_iter()
        .chain(causes)
        .filter(|text| !text.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// What to change, in one sentence.
pub(crate) fn change(findings: &[Finding], strengths: &[Finding], marks: &[Mark]) -> String {
    if let Some(first) = findings.first() {
        return sentence(&format!("next time: {}", lower(&first.advice)));
    }
    let open = marks.iter().find(|mark| mark.mark == Verdict::TooClose);
    match (open, strengths.first()) {
        (Some(mark), _) => sentence(&format!(
            "nothing that the recorder can decide was outside its limit; {} is too close to call: what did you see?",
            mark.quantity
        )),
        (None, Some(_)) => {
            "Nothing recorded was outside its limit: fly it the same way again.".to_owned()
        }
        (None, None) => "Nothing recorded was outside its limit.".to_owned(),
    }
}

fn lower(text: &str) -> String {
    let mut characters = text.chars();
    // A sentence that begins with a name in capitals keeps them.
    match (characters.next(), characters.next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => {
            let rest: String = text.chars().skip(1).collect();
            format!("{}{rest}", first.to_lowercase())
        }
        _ => text.to_owned(),
    }
}

fn stall(maneuver: &Maneuver, marks: &TaskMarks) -> String {
    let full = maneuver.fact("full_stall_probability");
    let recovered = marks
        .marks
        .iter()
        .find(|mark| mark.criterion == "recovery_prompt");
    let mut parts: Vec<String> = Vec::new();
    match full {
        full if full >= 0.95 => {
            parts.push("you stalled it fully".to_owned());
            if let Some((seconds, sigma)) = recovered.and_then(|mark| mark.worst.zip(mark.sigma))
                && seconds > 0.05
                && sigma < 1.0
            {
                parts.push(format!(
                    "began the recovery {} later",
                    with_unit(seconds, sigma, "s")
                ));
            }
        }
        full if full <= 0.05 => parts.push("you recovered before the full stall".to_owned()),
        _ => parts.push(
            "you brought it to the stall (whether fully, the recording cannot tell)".to_owned(),
        ),
    }
    if let Some(lost) = maneuver
        .facts
        .get("altitude_lost")
        .filter(|fact| fact.value.is_finite())
    {
        let feet = lost.value / M_PER_FT;
        parts.push(if feet < 10.0 {
            "lost no height".to_owned()
        } else {
            format!("lost {}", with_unit(feet, 1.0, "ft"))
        });
    }
    let last = parts.pop().unwrap_or_default();
    let text = if parts.is_empty() {
        last
    } else {
        format!("{} and {last}", parts.join(", "))
    };
    sentence(&text)
}

fn turn(maneuver: &Maneuver, marks: &[Mark]) -> String {
    let bank = maneuver
        .facts
        .get("bank_mean")
        .filter(|fact| fact.value.is_finite());
    let bank = bank.map_or(String::new(), |fact| {
        format!(
            " at {} of bank",
            with_unit(fact.value.abs().to_degrees(), 1.0, "deg")
        )
    });
    let turned = maneuver
        .facts
        .get("heading_turned")
        .filter(|fact| fact.value.is_finite());
    let turned = turned.map_or("a full circle".to_owned(), |fact| {
        with_unit(fact.value.abs().to_degrees(), 1.0, "deg")
    });
    let mut text = format!("you turned {turned}{bank}");
    if let Some(mark) = marks.iter().find(|mark| mark.criterion == "altitude")
        && let (Some(worst), Some(target), Some(sigma)) = (mark.worst, mark.target, mark.sigma)
    {
        let kept = (worst - target).abs();
        let within = with_unit(kept.max(sigma), sigma, "ft");
        let verb = if mark.mark == Verdict::Met {
            "kept the altitude within"
        } else {
            "let the altitude go by"
        };
        text += &format!(" and {verb} {within}");
    }
    sentence(&text)
}

fn slow(maneuver: &Maneuver, marks: &[Mark]) -> String {
    let established = maneuver.phase("established");
    let seconds = established.map_or(f64::NAN, |phase| phase.end_s - phase.start_s);
    let mut text = "you held slow flight".to_owned();
    if seconds.is_finite() {
        text += &format!(" for {}", with_unit(seconds, 8.0, "s"));
    }
    let speeds = (
        maneuver.fact("ias_low") / MPS_PER_KT,
        maneuver.fact("ias_high") / MPS_PER_KT,
    );
    if speeds.0.is_finite() && speeds.1.is_finite() {
        text += &format!(", between {:.0} and {:.0} kt", speeds.0, speeds.1);
    }
    let warned = marks
        .iter()
        .find(|mark| mark.criterion == "no_stall_warning")
        .map(|mark| mark.mark);
    if warned == Some(Verdict::Met) {
        text += ", without a stall warning";
    }
    sentence(&text)
}

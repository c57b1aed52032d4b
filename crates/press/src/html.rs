//! One self-contained page: no network, no script, light and dark, and it prints one sheet a page.

use crate::account;
use crate::day_fit;
use crate::glyph;
use crate::height;
use crate::palette::{Role, hex};
use crate::sheet::{self, Asked, Figure, Sheet, Told};
use crate::strip;
use crate::svg::escape;
use crate::text::Face;
use crate::whole;
use crate::words::{self, Watch};
use base64::Engine as _;
use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;
use standard::Verdict;
use std::fmt::Write as _;

/// The whole page.
#[must_use]
pub fn page(debrief: &Debrief, flight: &Flight) -> String {
    let sheets = sheet::sheets(debrief, flight);
    let title = sheet::debrief_title(debrief, flight);
    let mut out = opened(&format!("{title} · Proofwing debrief"));
    if let Some(first) = sheets.first() {
        let _ = write!(
            out,
            "<a class=\"skip\" href=\"#{}\">To the first maneuver</a>",
            first.id
        );
    }
    cover(&mut out, debrief, flight, &sheets, &title);
    out.push_str("<main>");
    for sheet in &sheets {
        section(&mut out, debrief, flight, sheet);
    }
    out.push_str("</main>");
    close(&mut out, debrief);
    out
}

/// A page up to its body: what it may fetch (nothing), its title, style and fonts.
pub(crate) fn opened(title: &str) -> String {
    let mut out = String::with_capacity(400_000);
    out.push_str("<!doctype html>\n<html lang=\"en-US\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"><meta name=\"color-scheme\" content=\"light dark\">");
    // Nothing may be fetched, whatever a hostile name in a recording tries.
    out.push_str("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; font-src data:\">");
    let _ = write!(
        out,
        "<title>{}</title><style>{}</style></head><body>",
        escape(title),
        style_sheet()
    );
    out
}

/// The end of a page: which program and document it is from.
pub(crate) fn close(out: &mut String, debrief: &Debrief) {
    let _ = writeln!(
        out,
        "<footer><p class=\"found\">Proofwing {}, document {}</p></footer></body></html>",
        escape(&debrief.program),
        escape(&debrief.schema)
    );
}

fn style_sheet() -> String {
    let variables = |scheme: fn(Role) -> [u8; 3]| {
        Role::ALL
            .iter()
            .map(|role| format!("--{}:{};", role.css(), hex(scheme(*role))))
            .collect::<String>()
    };
    let mut css = String::with_capacity(110_000);
    let _ = write!(
        css,
        ":root{{{}}}@media (prefers-color-scheme:dark){{:root{{{}}}}}",
        variables(Role::light),
        variables(Role::dark)
    );
    // Print is light whatever the screen shows, and leaves the paper white.
    let _ = write!(
        css,
        "@media print{{:root{{{}--paper:#fff}}}}",
        variables(Role::light)
    );
    for face in Face::ALL {
        let data = base64::engine::general_purpose::STANDARD.encode(face.woff2());
        let _ = write!(
            css,
            "@font-face{{font-family:\"{}\";font-weight:{};src:url(data:font/woff2;base64,{data}) format(\"woff2\")}}",
            face.family(),
            face.weight()
        );
    }
    css.push_str(include_str!("page.css"));
    for role in Role::ALL {
        let _ = write!(
            css,
            ".f-{0}{{fill:var(--{0})}}.s-{0}{{stroke:var(--{0})}}",
            role.css()
        );
    }
    css
}

pub(crate) fn figure(out: &mut String, figure: &Figure, id: &str) {
    out.push_str(&figure.wide.to_svg(&format!("{id}w"), "fig wide"));
    out.push_str(&figure.narrow.to_svg(&format!("{id}n"), "fig narrow"));
}

fn cover(out: &mut String, debrief: &Debrief, flight: &Flight, sheets: &[Sheet<'_>], title: &str) {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let span = format!(
        "{}–{} {}",
        watch.hm(0.0),
        watch.hm(debrief.recording.duration_s),
        if watch.start_unix_s.is_some() {
            "UTC"
        } else {
            "from the first sample"
        }
    );
    let _ = write!(
        out,
        "<header class=\"cover\"><p class=\"row kick\"><span>Proofwing debrief</span><span>{}</span></p><h1>{}</h1>",
        escape(&format!("{span}, {}", debrief.aircraft.name)),
        escape(title)
    );
    safety(out, debrief, watch);
    let strip = Figure {
        wide: strip::draw(debrief, watch, false),
        narrow: strip::draw(debrief, watch, true),
    };
    figure(out, &strip, "strip");
    let times = whole::times(debrief);
    if !times.is_empty() {
        let words = escape(&times);
        let _ = write!(
            out,
            "<p class=\"also\"><span class=\"key\">The whole flight</span> {words}</p>"
        );
    }
    if debrief.maneuvers.is_empty() {
        out.push_str("<p>No maneuver was found in this recording.</p>");
    } else {
        list(out, debrief, sheets, watch);
    }
    day_fit::html(out, debrief);
    out.push_str("<h2 class=\"part\">What was read, and what was not</h2><dl>");
    for (name, words) in account::account(debrief, flight) {
        let _ = write!(out, "<dt>{name}</dt><dd>{}</dd>", escape(&words));
    }
    let _ = write!(
        out,
        "</dl><p class=\"caution\">{}</p></header>",
        escape(&debrief.caution)
    );
}

/// What could have hurt, before everything else.
fn safety(out: &mut String, debrief: &Debrief, watch: Watch) {
    out.push_str("<h2 class=\"part\">Safety</h2>");
    if debrief.safety.is_empty() {
        let _ = write!(out, "<p>{}</p>", escape(&words::sentence(whole::NOTHING)));
    }
    for event in &debrief.safety {
        let _ = write!(
            out,
            "<p class=\"also\">{} <span class=\"key\">{}</span> {}</p>",
            watch.hms(event.start_s),
            escape(&whole::headline(event)),
            escape(&whole::evidence(event))
        );
    }
    let unseen = whole::not_watched(debrief);
    if !unseen.is_empty() {
        let words = escape(&format!("Not watched: {}", unseen.join("; ")));
        let _ = write!(out, "<p class=\"also\">{words}</p>");
    }
}

fn list(out: &mut String, debrief: &Debrief, sheets: &[Sheet<'_>], watch: Watch) {
    out.push_str("<h2 class=\"part\">Maneuvers</h2>");
    if !sheets.is_empty() {
        table_of_maneuvers(out, sheets, watch);
    }
    if let Some(words) = sheet::unmarked(debrief, watch) {
        let _ = write!(
            out,
            "<p class=\"also\"><span class=\"key\">Found, not marked</span> {}</p>",
            escape(&words)
        );
    }
}

fn table_of_maneuvers(out: &mut String, sheets: &[Sheet<'_>], watch: Watch) {
    out.push_str("<table class=\"man\"><thead><tr><th class=\"num\" scope=\"col\">no.</th><th scope=\"col\">time</th><th scope=\"col\">maneuver and marks</th></tr></thead><tbody>");
    for sheet in sheets {
        for maneuver in &sheet.maneuvers {
            let _ = write!(
                out,
                "<tr><td class=\"num\">{}</td><td class=\"when\">{}</td><td><a class=\"key\" href=\"#{}\">{}</a>{}<br>",
                maneuver.number,
                watch.hm(maneuver.start_s),
                sheet.id,
                escape(&maneuver.title),
                escape(&doubt(maneuver))
            );
            tally(out, maneuver);
            if !maneuver.change_line.is_empty() {
                let change = escape(&words::sentence(&maneuver.change_line));
                let _ = write!(out, "<p class=\"change\">{change}</p>");
            }
            out.push_str("</td></tr>");
        }
    }
    out.push_str("</tbody></table>");
}

fn doubt(maneuver: &ManeuverDebrief) -> String {
    if maneuver.confidence_word == "certain" || maneuver.confidence_word.is_empty() {
        String::new()
    } else {
        format!(" ({})", maneuver.confidence_word)
    }
}

fn tally(out: &mut String, maneuver: &ManeuverDebrief) {
    for (verdict, words) in sheet::tally(maneuver) {
        let _ = write!(
            out,
            "<span class=\"mk\">{}<b>{}</b> {}</span>",
            glyph::svg(verdict, false),
            words::mark(verdict),
            escape(&words)
        );
    }
}

fn section(out: &mut String, debrief: &Debrief, flight: &Flight, sheet: &Sheet<'_>) {
    let _ = write!(
        out,
        "<section class=\"sheet\" id=\"{0}\" aria-labelledby=\"{0}h\"><p class=\"row kick\"><span>{1}</span><span>{2}</span></p>",
        sheet.id,
        escape(&sheet.kicker),
        escape(&sheet.asked)
    );
    let _ = write!(
        out,
        "<div class=\"row\"><h2 id=\"{}h\">{}</h2><span class=\"facts\">{}</span></div>",
        sheet.id,
        escape(&sheet.title),
        escape(&sheet.facts)
    );
    for said in &sheet.said {
        let lead = if said.lead.is_empty() {
            String::new()
        } else {
            format!("{} ", escape(&said.lead))
        };
        let _ = write!(
            out,
            "<p class=\"said\">{lead}{} <strong>{}</strong></p>",
            escape(&said.verdict),
            escape(&said.change)
        );
    }
    for (index, shown) in sheet.figures.iter().enumerate() {
        figure(out, shown, &format!("{}f{index}", sheet.id));
    }
    story(out, flight, sheet);
    findings(out, sheet);
    lists(out, sheet);
    for maneuver in &sheet.maneuvers {
        height::html(out, maneuver);
    }
    for maneuver in &sheet.maneuvers {
        marks_table(out, maneuver, sheet.maneuvers.len() > 1);
    }
    let _ = write!(
        out,
        "<p class=\"caution\">{}</p></section>",
        escape(&crate::print::foot(debrief))
    );
}

fn story(out: &mut String, flight: &Flight, sheet: &Sheet<'_>) {
    if sheet.story.is_empty() {
        return;
    }
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let plain = if sheet.story_is_numbered {
        ""
    } else {
        " plain"
    };
    let _ = write!(out, "<ol class=\"story{plain}\" aria-label=\"Story\">");
    for line in &sheet.story {
        let number = if sheet.story_is_numbered {
            format!("<b>{}</b>", line.number)
        } else {
            String::new()
        };
        let _ = write!(
            out,
            "<li>{number}<time>{}</time><span>{}</span></li>",
            watch.hms(line.at_s),
            escape(&line.words)
        );
    }
    out.push_str("</ol>");
}

fn finding(out: &mut String, told: &Told) {
    let _ = write!(
        out,
        "<div class=\"find\"><h3>{}</h3><p>{}</p>",
        escape(&told.headline),
        escape(&told.evidence)
    );
    if !told.cost.is_empty() {
        let _ = write!(
            out,
            "<p class=\"cost\"><span class=\"key\">Cost</span> {}</p>",
            escape(&told.cost)
        );
    }
    if !told.advice.is_empty() {
        let source = if told.source.is_empty() {
            String::new()
        } else {
            format!(" <span class=\"src\">({})</span>", escape(&told.source))
        };
        let _ = write!(
            out,
            "<p><span class=\"key\">Try</span> {}{source}</p>",
            escape(&told.advice)
        );
    }
    out.push_str("</div>");
}

fn findings(out: &mut String, sheet: &Sheet<'_>) {
    if !sheet.findings.is_empty() {
        out.push_str("<hr><div class=\"finds\">");
        for told in &sheet.findings {
            finding(out, told);
        }
        out.push_str("</div>");
    }
    if !sheet.rest.is_empty() {
        let count = sheet.rest.len();
        let things = if count == 1 {
            "One more thing"
        } else {
            "More things"
        };
        let _ = write!(
            out,
            "<details class=\"rest\"><summary>{things} seen ({count})</summary>"
        );
        for told in &sheet.rest {
            let _ = write!(
                out,
                "<p><span class=\"key\">{}.</span> {}{} <span class=\"key\">Try</span> {}</p>",
                escape(&told.headline),
                escape(&told.evidence),
                if told.cost.is_empty() {
                    String::new()
                } else {
                    format!(" Cost: {}.", escape(&told.cost))
                },
                escape(&told.advice)
            );
        }
        out.push_str("</details>");
    }
}

fn lists(out: &mut String, sheet: &Sheet<'_>) {
    if sheet.kept.is_empty() && sheet.also.is_empty() {
        return;
    }
    let one = if sheet.kept.is_empty() || sheet.also.is_empty() {
        " one"
    } else {
        ""
    };
    let _ = write!(out, "<hr><div class=\"lists{one}\">");
    if !sheet.kept.is_empty() {
        out.push_str("<div><h3>Kept</h3>");
        for told in &sheet.kept {
            let _ = write!(out, "<p>{}.</p>", escape(&told.headline));
        }
        out.push_str("</div>");
    }
    if !sheet.also.is_empty() {
        out.push_str("<div><h3>Also asked by the standard</h3><ul class=\"asked\">");
        for Asked { mark, below, words } in &sheet.also {
            let _ = write!(
                out,
                "<li>{}<span><span class=\"key\">{}</span> {}</span></li>",
                glyph::svg(*mark, *below),
                words::mark(*mark),
                escape(words)
            );
        }
        out.push_str("</ul></div>");
    }
    out.push_str("</div>");
}

/// Every mark as a table, for who would rather read than look.
fn marks_table(out: &mut String, maneuver: &ManeuverDebrief, named: bool) {
    if maneuver.marks.is_empty() {
        return;
    }
    let of = if named {
        format!(" of the {} turn", escape(&maneuver.direction))
    } else {
        String::new()
    };
    let _ = write!(
        out,
        "<details class=\"screen\"><summary>All {} marks{of} as a table</summary><div class=\"scroll\" tabindex=\"0\"><table><thead><tr><th scope=\"col\">element</th><th scope=\"col\">what</th><th scope=\"col\">asked for</th><th scope=\"col\">worst</th><th scope=\"col\">outside</th><th scope=\"col\">mark</th><th scope=\"col\">from</th><th scope=\"col\">note</th></tr></thead><tbody>",
        maneuver.marks.len()
    );
    let left = maneuver.direction.starts_with("left");
    for mark in &maneuver.marks {
        let nothing = matches!(mark.mark, Verdict::NotRecorded | Verdict::ForInstructor);
        let worst = if nothing {
            String::new()
        } else {
            words::worst(mark, left).unwrap_or_default()
        };
        let outside = mark
            .outside_s
            .filter(|outside| outside.is_finite() && *outside > 0.0)
            .map(|outside| words::with_unit(outside, 1, "s"))
            .unwrap_or_default();
        let _ = write!(
            out,
            "<tr><td>{}</td><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{outside}</td><td><b>{}</b></td><td>{}</td><td>{}</td></tr>",
            escape(&mark.element),
            escape(&mark.quantity),
            escape(&words::limits(mark)),
            escape(&worst),
            words::mark(mark.mark),
            if nothing {
                String::new()
            } else {
                escape(&mark.origin)
            },
            escape(&mark.note)
        );
    }
    out.push_str("</tbody></table></div></details>");
}

//! The report as one HTML file that needs nothing else: no scripts, no links, pictures inside it.

use std::fmt::Write;

use super::content::{self, Widths};
use super::data::ReportData;
use super::passage::ReportPassage;
use super::plots::Plot;
use crate::sheet::page::Area;
use crate::sheet::svg::{self, SvgLetters, escape};

/// Width of the plots in points. A telephone held upright is 390 CSS pixels wide, some 350 without the margins: drawn as wide as that,
/// letters of 8 points are 11 pixels high and more.
const WIDTH: f32 = 250.0;

/// Calm, readable, and good on paper too. System fonts stand in where Andika is not installed.
const STYLE: &str = "\
body{font:17px/1.55 Andika,'Segoe UI',Helvetica,Arial,sans-serif;color:#1c1c1c;background:#fff;max-width:42rem;\
margin:2rem auto;padding:0 1rem}h1{font-size:1.7rem;margin:0}h2{font-size:1.2rem;margin:2rem 0 .5rem;\
break-after:avoid}p,ul{margin:.5rem 0}.when{color:#555}figure{margin:1rem 0;break-inside:avoid}\
svg{width:100%;height:auto;max-width:25rem;flex:1 1 18rem}.side{display:flex;flex-wrap:wrap;gap:1rem}\
figcaption{color:#555;font-size:.88rem;margin-top:.3rem}li{overflow-wrap:break-word}blockquote{margin:.2rem 0 1rem;padding-left:.8rem;border-left:3px solid #8c8c8c}\
.small{font-size:.92rem}.about{color:#555;margin:.8rem 0 0;font-size:.92rem}dl{display:grid;grid-template-columns:max-content 1fr;gap:.15rem .8rem;margin:1rem 0}dt{color:#555}dd{margin:0;\
overflow-wrap:anywhere}@media print{body{font-size:10.5pt;line-height:1.4;margin:0;max-width:none}h2{margin-top:1.2rem}svg{max-width:19rem}}";

/// The file.
pub fn page(data: &ReportData) -> String {
    let title = escape(&content::title(data));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n\
         <p class=\"when\">{}</p>\n",
        escape(&content::subtitle(data))
    );
    let widths = Widths {
        whole: WIDTH,
        half: WIDTH,
        page: WIDTH,
    };
    for block in content::blocks(data, widths, &content::chart_parts(data)) {
        draw(&mut out, &block);
    }
    out + "</main>\n</body>\n</html>\n"
}

fn draw(out: &mut String, block: &ReportPassage) {
    // Writing into a string cannot fail.
    let _ = match block {
        ReportPassage::Heading(text) => writeln!(out, "<h2>{}</h2>", escape(text)),
        ReportPassage::Facts(facts) => {
            let facts: String = facts
                .iter()
                .map(|(name, text)| format!("<dt>{}</dt><dd>{}</dd>\n", escape(name), escape(text)))
                .collect();
            writeln!(out, "<dl>\n{facts}</dl>")
        }
        ReportPassage::Text(text) => writeln!(out, "<p>{}</p>", escape(text)),
        ReportPassage::Small(text) => writeln!(out, "<p class=\"small\">{}</p>", escape(text)),
        ReportPassage::List(lines) => {
            let items: String = lines
                .iter()
                .map(|line| format!("<li>{}</li>\n", escape(line)))
                .collect();
            writeln!(out, "<ul>\n{items}</ul>")
        }
        ReportPassage::Note { about, text } => {
            let parts = text.lines().filter(|line| !line.trim().is_empty());
            let parts: String = parts.map(|part| format!("<p>{}</p>\n", escape(part))).collect();
            writeln!(
                out,
                "<p class=\"about\">{}</p>\n<blockquote>\n{parts}</blockquote>",
                escape(about)
            )
        }
        ReportPassage::Plot(plot) => writeln!(out, "<figure class=\"wide\">\n{}</figure>", picture(plot)),
        ReportPassage::Charts { plots, caption } => {
            let pictures: String = plots.iter().map(picture).collect();
            let caption = match caption.as_str() {
                "" => String::new(),
                text => format!("<figcaption>{}</figcaption>\n", escape(text)),
            };
            writeln!(
                out,
                "<figure>\n<div class=\"side\">{pictures}</div>\n{caption}</figure>"
            )
        }
    };
}

fn picture(plot: &Plot) -> String {
    let view = Area::new(0.0, 0.0, plot.width, plot.height);
    svg::picture(&plot.items, view, &plot.title, SvgLetters::Live, "")
}

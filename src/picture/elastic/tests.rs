//! The drawing read back: what stands in it is where the chart of the same size has it.

use super::super::layout;
use super::*;
use crate::chart::draw::CURVE;
use crate::chart::view::LINE;
use crate::query::question::Question;
use crate::results::Results;
use resvg::usvg::roxmltree::{Document, Node};

fn results() -> Results {
    let texts = include_str!("../../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    Results::read(include_bytes!("../../../data/demo.json"), catalogue).unwrap()
}

fn questions() -> [Question; 3] {
    let question = |job: &str, pair: Option<(&str, &str)>| Question {
        job: Some(job.into()),
        tool: pair.map(|(tool, _)| tool.into()),
        pack: pair.map(|(_, pack)| pack.into()),
        ..Question::default()
    };
    [
        question("heavy-truck-wheel-tighten", None),
        question("650 N·m", Some(("sorrel-18-medium", "two-row-5-0"))),
        question("150 N·m", None),
    ]
}

/// The drawing and the chart of each width that words are laid out for.
fn drawn(results: &Results, question: &Question) -> (Elastic, Vec<(View, &'static str)>) {
    let curves = results.curves(question).unwrap();
    let catalogue = results.catalogue();
    let views = ROOMS.map(|(width_px, room)| {
        let frame = Viewport {
            width_px,
            height_px: HEIGHT_PX,
            text_px: TEXT_PX,
            runs: None,
            top_nm: None,
        };
        (View::new(&curves, frame, catalogue), room)
    });
    (Elastic::of(&curves, catalogue).unwrap(), views.into())
}

/// An SVG document of the element, as an XML reader takes it.
fn document(elastic: &Elastic) -> String {
    elastic
        .svg
        .replacen("<svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"", 1)
        .replace("&nbsp;", "\u{a0}")
}

fn number(node: Node, name: &str, unit: &str) -> f64 {
    let text = node.attribute(name);
    text.map_or(0.0, |text| {
        text.strip_suffix(unit).unwrap().parse().unwrap()
    })
}

/// Whether an element stands at this width.
fn stands(node: Node, room: &str) -> bool {
    let rooms = node
        .ancestors()
        .filter_map(|around| around.attribute("class"));
    let mut rooms = rooms.filter(|class| class.starts_with("in-"));
    rooms.next().is_none_or(|class| class == room)
}

/// Across and down in CSS pixels in a chart, of shares of its area in per cent.
fn placed(view: &View, across: f64, down: f64) -> (f64, f64) {
    (
        view.left_px + across / 100.0 * (view.right_px - view.left_px),
        view.top_px + down / 100.0 * (view.bottom_px - view.top_px),
    )
}

#[test]
fn every_word_stands_where_the_chart_of_that_width_has_it() {
    let results = results();
    let mut compared = 0;
    for question in questions() {
        let (elastic, views) = drawn(&results, &question);
        let text = document(&elastic);
        let document = Document::parse(&text).unwrap();
        for (view, room) in &views {
            let nodes = document.descendants();
            let nodes = nodes.filter(|node| node.has_tag_name("text") && stands(*node, room));
            let mut drawn: Vec<(String, f64, f64)> = nodes
                .map(|node| {
                    let (x, y) = placed(view, number(node, "x", "%"), number(node, "y", "%"));
                    let (dx, dy) = (number(node, "dx", "em"), number(node, "dy", "em"));
                    let text = node.text().unwrap().to_owned();
                    (text, x + dx * TEXT_PX, y + dy * TEXT_PX)
                })
                .collect();
            let words = layout::words(view);
            assert_eq!(drawn.len(), words.len(), "{room}");
            for word in words {
                let (x, y) = (word.label.x_px, word.label.y_px + TEXT_PX * LINE / 2.0);
                let is_it = |(text, across, down): &(String, f64, f64)| {
                    *text == word.label.text && (across - x).abs() < 0.15 && (down - y).abs() < 0.15
                };
                let at = drawn.iter().position(is_it);
                drawn.remove(at.unwrap_or_else(|| panic!("{room}: {:?} {drawn:?}", word.label)));
                compared += 1;
            }
        }
    }
    assert!(compared > 100, "{compared}");
}

#[test]
fn a_name_stands_in_the_chart_or_below_it() {
    let results = results();
    for question in questions() {
        let (elastic, views) = drawn(&results, &question);
        for (view, room) in &views {
            let key = elastic.key.iter();
            let key = key.filter(|name| name.room.is_empty() || name.room == *room);
            let key: Vec<&str> = key.map(|name| name.text.as_str()).collect();
            let wanted = layout::key(view, TEXT_PX);
            let wanted: Vec<&str> = wanted.iter().map(|name| name.text.as_str()).collect();
            assert_eq!(key, wanted, "{room}");
        }
    }
}

/// The points of a path as it is written, in shares of the area in per cent.
fn points(path: &str) -> Vec<(f64, f64)> {
    let spaced = path.replace('-', " -").replace(['M', 'l', 'z'], " ");
    let numbers: Vec<f64> = spaced
        .split_whitespace()
        .map(|number| number.parse().unwrap())
        .collect();
    let mut at = (0.0, 0.0);
    let steps = numbers.chunks(2).map(|step| {
        at = (at.0 + step[0], at.1 + step[1]);
        (100.0 * at.0 / SIDE, 100.0 * at.1 / SIDE)
    });
    steps.collect()
}

/// How far a point is from the nearest part of a line.
fn distance(line: &[(f64, f64)], (x, y): (f64, f64)) -> f64 {
    let parts = line.windows(2).map(|part| {
        let ((ax, ay), (bx, by)) = (part[0], part[1]);
        let (dx, dy) = (bx - ax, by - ay);
        let along = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy).max(1e-12);
        let along = along.clamp(0.0, 1.0);
        let (off_x, off_y) = (x - ax - along * dx, y - ay - along * dy);
        (off_x * off_x + off_y * off_y).sqrt()
    });
    parts.fold(f64::INFINITY, f64::min)
}

#[test]
fn a_curve_is_off_by_less_than_an_eye_tells_apart() {
    let results = results();
    for question in questions() {
        let (elastic, views) = drawn(&results, &question);
        let (widest, _) = &views[ROOMS.len() - 1];
        let text = document(&elastic);
        let document = Document::parse(&text).unwrap();
        let width = CURVE.to_string();
        let nodes = document.descendants();
        let lines = nodes.filter(|node| node.attribute("stroke-width") == Some(&width));
        let lines: Vec<Vec<(f64, f64)>> = lines
            .map(|node| {
                let points = points(node.attribute("d").unwrap()).into_iter();
                points
                    .map(|(across, down)| placed(widest, across, down))
                    .collect()
            })
            .collect();
        assert_eq!(lines.len(), widest.curves.len());
        // The last stands first, so that the first lies above the others.
        for (line, curve) in lines.iter().rev().zip(&widest.curves) {
            assert!(line.len() < curve.points.len());
            for &point in &curve.points {
                let off = distance(line, point);
                assert!(off < 0.25, "{off} at {point:?}");
            }
        }
    }
}

#[test]
fn the_drawing_has_no_ground_and_no_colour_of_its_own() {
    let results = results();
    let (elastic, _) = drawn(&results, &questions()[0]);
    let text = document(&elastic);
    let document = Document::parse(&text).unwrap();
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    assert!(root.attribute("aria-label").unwrap().contains("678 N·m"));
    for node in document.descendants() {
        assert!(!node.has_tag_name("rect"));
        for name in ["fill", "stroke"] {
            let colour = node.attribute(name).unwrap_or("none");
            assert!(["none", "currentColor"].contains(&colour), "{colour}");
        }
    }
}

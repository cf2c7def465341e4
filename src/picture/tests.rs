use super::png::png;
use super::*;
use crate::chart::label::Label;
use crate::text::catalogue::Catalogue;
use resvg::usvg::roxmltree::{Document, Node};

const DEMO: &str = include_str!("../../data/demo.json");

fn results(text: &str) -> Results {
    let texts = include_str!("../../www/texts/en.json");
    let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
    Results::read(text.as_bytes(), catalogue).unwrap()
}

fn question(job: &str, pair: Option<(&str, &str)>) -> Question {
    Question {
        job: Some(job.into()),
        tool: pair.map(|(tool, _)| tool.into()),
        pack: pair.map(|(_, pack)| pack.into()),
        ..Question::default()
    }
}

const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

fn texts<'a>(document: &'a Document, name: &str) -> Vec<&'a str> {
    let named = document
        .descendants()
        .filter(|node| node.has_tag_name(name));
    named.filter_map(|node| node.text()).collect()
}

#[test]
fn a_picture_states_what_whoever_meets_it_elsewhere_must_know() {
    let results = results(DEMO);
    let question = question("650 N·m", Some(PAIR));
    let answer = results.ask(&question).unwrap();
    let contents = results.contents();
    for size in [Size::WHOLE, Size::SHARED] {
        let picture = picture(&results, &question, false, &size).unwrap();
        assert_eq!(picture.curves, 1);
        let document = Document::parse(&picture.svg).unwrap();
        let all = texts(&document, "text");
        // That the data are made up comes before anything else.
        assert_eq!(all[0], contents.notice.as_ref().unwrap());
        let text = all.join(" ");
        let wanted = [
            &answer.headline,
            &answer.asked,
            &contents.title,
            &contents.license,
        ];
        for wanted in wanted.into_iter().chain([&contents.editions[0].name]) {
            assert!(text.contains(wanted.as_str()), "{wanted}: {text}");
        }
        for unit in ["torque, N·m", "time, s", "needed: 650 N·m"] {
            assert!(all.contains(&unit), "{unit}: {text}");
        }
        assert_eq!(texts(&document, "title").len(), 1);
        assert!(texts(&document, "desc")[0].contains(" reaches 650 N·m at "));
    }
}

/// Every word of the chart as script sets it, in the same place.
#[test]
fn the_words_of_the_chart_are_those_of_the_page() {
    let results = results(DEMO);
    let question = question("650 N·m", Some(PAIR));
    let curves = results.curves(&question).unwrap();
    let frame = Viewport {
        width_px: 904.0,
        height_px: 420.0,
        text_px: 15.0,
        runs: Some(false),
        top_nm: None,
    };
    let view = View::new(&curves, frame, results.catalogue());
    let curve = &view.curves[0];
    let crossing = curve.crossing.as_ref().unwrap().label.as_ref().unwrap();
    let band = view.band.as_ref().unwrap().label.as_ref().unwrap();
    let ticks = view.time_ticks.iter().chain(&view.torque_ticks);
    let mut wanted: Vec<&Label> = ticks.map(|tick| &tick.label).collect();
    wanted.extend([&view.time_unit, &view.torque_unit, &view.needed]);
    wanted.extend([crossing, band]);
    let picture = picture(&results, &question, false, &Size::WHOLE).unwrap();
    let document = Document::parse(&picture.svg).unwrap();
    let group = document
        .descendants()
        .find(|node| node.attribute("paint-order").is_some())
        .unwrap();
    let words: Vec<Node> = group.children().filter(Node::is_element).collect();
    for label in &wanted {
        let x = 28.0 + label.x_px;
        let there = words.iter().any(|word| {
            let at: f64 = word.attribute("x").unwrap().parse().unwrap();
            (at - x).abs() < 1e-3 && word.text() == Some(label.text.as_str())
        });
        assert!(there, "{label:?}");
    }
    let name = format!("● {}", curve.pair.name);
    assert!(words.iter().any(|word| word.text() == Some(&name)));
    assert_eq!(words.len(), wanted.len() + 1);
}

#[test]
fn the_lines_of_a_picture_are_drawn_to_scale_and_dashed() {
    let results = results(DEMO);
    let picture = picture(&results, &question("150 N·m", None), false, &Size::WHOLE).unwrap();
    assert_eq!(picture.curves, 3);
    let document = Document::parse(&picture.svg).unwrap();
    let drawing = document
        .descendants()
        .find(|node| node.attribute("stroke-linejoin") == Some("round"))
        .unwrap();
    // Two drawn pixels for each CSS pixel, eight coordinates for each drawn pixel.
    let transform = drawing.attribute("transform").unwrap();
    assert!(transform.ends_with("scale(0.0625)"), "{transform}");
    let curves = drawing.children().filter(|node| {
        node.has_tag_name("polyline") && node.attribute("stroke-width") == Some("40")
    });
    let dashes: Vec<_> = curves
        .map(|curve| curve.attribute("stroke-dasharray"))
        .collect();
    assert_eq!(dashes, [Some("40 56"), Some("144 80"), None]);
    for (name, least) in [("circle", 1), ("polygon", 2), ("polyline", 12)] {
        let count = drawing
            .children()
            .filter(|node| node.has_tag_name(name))
            .count();
        assert!(count >= least, "{name}: {count}");
    }
    // The runs behind a pair.
    let lines = |runs| {
        let question = question("650 N·m", Some(PAIR));
        let picture = super::picture(&results, &question, runs, &Size::WHOLE).unwrap();
        let (_, chart) = picture.svg.split_once("<g transform").unwrap();
        let (chart, _) = chart.split_once("</g>").unwrap();
        chart.matches("<polyline").count()
    };
    assert!(lines(true) > lines(false) + 2);
}

#[test]
fn nothing_of_a_dataset_is_markup_in_a_picture() {
    let title = "\"title\": \"";
    assert_eq!(DEMO.matches(title).count(), 1);
    let odd = "<script>1</script> & \\\"x\\\" \\u200f\\u0007 ";
    let results = results(&DEMO.replace(title, &format!("{title}{odd}")));
    let question = question("150 N·m", None);
    let picture = picture(&results, &question, false, &Size::WHOLE).unwrap();
    let document = Document::parse(&picture.svg).unwrap();
    assert_eq!(texts(&document, "script").len(), 0);
    let text = texts(&document, "text").join(" ");
    let shown = "<script>1</script> & \"x\" \\u{200f}\\u{7} ";
    assert!(text.contains(shown), "{text}");
}

#[test]
fn no_word_of_a_picture_lies_beyond_its_edge_however_long_the_texts() {
    let title = "\"title\": \"";
    let long = format!("{} {}", "A long title".repeat(7), "x".repeat(60));
    let licence = format!("\"license\": \"{}", "with many more words ".repeat(60));
    let text = DEMO.replace(title, &format!("{title}{long}"));
    let results = results(&text.replace("\"license\": \"", &licence));
    for (size, most) in [(Size::WHOLE, f64::INFINITY), (Size::SHARED, 630.0)] {
        for pair in [None, Some(PAIR)] {
            let question = question("heavy-truck-wheel-loosen", pair);
            let picture = picture(&results, &question, false, &size).unwrap();
            let document = Document::parse(&picture.svg).unwrap();
            let root = document.root_element();
            let height: f64 = root.attribute("height").unwrap().parse().unwrap();
            assert!(height <= most, "{height}");
            let words = document
                .descendants()
                .filter(|node| node.has_tag_name("text"));
            let mut before = 0.0;
            for word in words {
                let y: f64 = word.attribute("y").unwrap().parse().unwrap();
                assert!(y < height - size.edge_px / 2.0, "{word:?}");
                if word.attribute("font-size").is_some() {
                    assert!(y >= before, "{word:?}");
                    before = y;
                }
            }
            // Nothing but ground in the outer half of the edge, in the widest usual font.
            let painted =
                resvg::tiny_skia::Pixmap::decode_png(&png(&picture.svg, 1).unwrap()).unwrap();
            let ground = painted.pixel(0, 0).unwrap();
            let (width, edge) = (painted.width(), size.edge_px as u32 / 2);
            for (at, pixel) in painted.pixels().iter().enumerate() {
                let across = at as u32 % width;
                let is_edge = across < edge || across >= width - edge;
                assert!(!is_edge || *pixel == ground, "{across}");
            }
        }
    }
}

#[test]
fn the_colours_are_those_of_the_style_sheet_in_the_light() {
    let sheet = include_str!("../../www/style.css");
    let light = |name: &str| {
        let start = format!("--{name}: var(--job-torque-{name}, light-dark(#");
        let (_, rest) = sheet.split_once(&start).unwrap();
        let part = |at: usize| u8::from_str_radix(&rest[at..at + 2], 16).unwrap();
        (part(0), part(2), part(4))
    };
    for (name, colour) in [
        ("paper", GROUND),
        ("ink", INK),
        ("quiet", QUIET),
        ("rule", GRID),
        ("accent", NEEDED),
        ("curve-1", CURVES[0]),
        ("curve-2", CURVES[1]),
        ("curve-3", CURVES[2]),
        ("curve-4", CURVES[3]),
        ("curve-5", CURVES[4]),
    ] {
        assert_eq!(light(name), colour, "{name}");
    }
}

#[test]
fn a_painted_picture_has_its_size_its_ground_and_words_in_it() {
    let results = results(DEMO);
    let picture = picture(&results, &question("150 N·m", None), false, &Size::SHARED).unwrap();
    let painted = |svg: &str| {
        let bytes = png(svg, 1).unwrap();
        resvg::tiny_skia::Pixmap::decode_png(&bytes).unwrap()
    };
    let whole = painted(&picture.svg);
    assert_eq!(
        (whole.width(), whole.height()),
        (SHARED_WIDTH_PX, SHARED_HEIGHT_PX)
    );
    let ground = whole.pixel(2, 2).unwrap();
    assert_eq!((ground.red(), ground.green(), ground.blue()), GROUND);
    // Without a font there would be no words, and no word of it from the system.
    let without = painted(&picture.svg.replace("<text", "<text display=\"none\""));
    let differ = whole.pixels().iter().zip(without.pixels());
    let differ = differ.filter(|(one, other)| one != other).count();
    assert!(differ > 10_000, "{differ}");
}

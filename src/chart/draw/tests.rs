//! What is drawn, kept by a backend that draws nothing.

use super::super::tests::{demo, question, view};
use super::super::view::KINDS;
use super::*;

/// What was drawn.
#[derive(Clone, Debug, PartialEq)]
enum Drawing {
    Line {
        points: Vec<(f64, f64)>,
        width: f64,
        dashes: Vec<f64>,
    },
    Area(Vec<(f64, f64)>),
    Disc((f64, f64), f64),
}

impl Drawing {
    /// Left, top, right and bottom.
    fn bounds(&self) -> (f64, f64, f64, f64) {
        let (points, half) = match self {
            Self::Line { points, width, .. } => (points.clone(), width / 2.0),
            Self::Area(points) => (points.clone(), 0.0),
            Self::Disc(centre, radius) => (vec![*centre], *radius),
        };
        let beyond = (f64::INFINITY, f64::INFINITY, -f64::INFINITY, -f64::INFINITY);
        points
            .iter()
            .fold(beyond, |(left, top, right, bottom), &(x, y)| {
                (
                    left.min(x - half),
                    top.min(y - half),
                    right.max(x + half),
                    bottom.max(y + half),
                )
            })
    }
}

/// Keeps what is drawn on it, in drawn pixels.
#[derive(Default)]
struct Recorder {
    drawn: Vec<Drawing>,
    dashes: Vec<f64>,
}

fn pixels(length: impl Into<f64>) -> f64 {
    length.into() / f64::from(COORDINATES)
}

fn points(path: impl IntoIterator<Item = BackendCoord>) -> Vec<(f64, f64)> {
    let pixels = |(x, y): BackendCoord| (pixels(x), pixels(y));
    path.into_iter().map(pixels).collect()
}

impl DashingBackend for Recorder {
    fn set_dashes(&mut self, lengths: &[u32]) {
        self.dashes = lengths.iter().map(|&length| pixels(length)).collect();
    }
}

impl DrawingBackend for Recorder {
    type ErrorType = std::convert::Infallible;

    fn get_size(&self) -> (u32, u32) {
        panic!("the size is that of the look")
    }

    fn ensure_prepared(&mut self) -> Drawn<Self> {
        assert!(self.drawn.is_empty());
        Ok(())
    }

    fn present(&mut self) -> Drawn<Self> {
        Ok(())
    }

    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Drawn<Self> {
        panic!("a chart has lines, areas and discs only")
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn<Self> {
        self.drawn.push(Drawing::Line {
            points: points(path),
            width: pixels(style.stroke_width()),
            dashes: self.dashes.clone(),
        });
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        outline: I,
        _: &S,
    ) -> Drawn<Self> {
        self.drawn.push(Drawing::Area(points(outline)));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        (x, y): BackendCoord,
        radius: u32,
        _: &S,
        fill: bool,
    ) -> Drawn<Self> {
        assert!(fill);
        let centre = (pixels(x), pixels(y));
        self.drawn.push(Drawing::Disc(centre, pixels(radius)));
        Ok(())
    }
}

fn look(ratio: f64) -> Theme {
    Theme {
        ratio,
        ground: (255, 255, 255),
        grid: (200, 200, 200),
        needed: (90, 40, 100),
        curves: vec![(0, 0, 0), (0, 90, 160)],
    }
}

fn recorded(view: &View, look: &Theme) -> Vec<Drawing> {
    let mut recorder = Recorder::default();
    draw(view, look, &mut recorder).unwrap();
    recorder.drawn
}

#[test]
fn all_ink_stays_on_the_surface() {
    let results = demo();
    for job in ["20 N·m", "150 N·m", "9000 N·m"] {
        for ratio in [1.0, 2.0, 3.0] {
            let look = look(ratio);
            let view = view(&results, &question(job, None), 328.0);
            let (width, height) = look.surface(&view);
            let ink = recorded(&view, &look);
            assert!(ink.len() > 15);
            for ink in ink {
                let (left, top, right, bottom) = ink.bounds();
                assert!(left >= 0.0 && right <= f64::from(width), "{ink:?}");
                assert!(top >= 0.0 && bottom <= f64::from(height), "{ink:?}");
            }
        }
    }
}

#[test]
fn a_curve_is_one_line_through_its_crossing_and_off_by_at_most_half_a_coordinate() {
    let results = demo();
    let pair = Some(("sorrel-18-medium", "two-row-5-0"));
    let view = view(&results, &question("150 N·m", pair), 640.0);
    let curve = &view.curves[0];
    let crossing = curve.crossing.clone().unwrap();
    let is_near = |(x, y): (f64, f64), (drawn_x, drawn_y): (f64, f64)| {
        let most = pixels(1) / 2.0 + 1e-9;
        (2.0 * x - drawn_x).abs() <= most && (2.0 * y - drawn_y).abs() <= most
    };
    let ink = recorded(&view, &look(2.0));
    let lines = ink.into_iter().filter_map(|ink| match ink {
        Drawing::Line { points, width, .. } if width == 2.0 * CURVE => Some(points),
        _ => None,
    });
    let lines: Vec<_> = lines.collect();
    assert_eq!(lines.len(), 1);
    assert_eq!(lines[0].len(), curve.points.len());
    for (&point, &drawn) in curve.points.iter().zip(&lines[0]) {
        assert!(is_near(point, drawn), "{point:?} {drawn:?}");
    }
    let crossing = (crossing.x_px, crossing.y_px);
    assert!(lines[0].iter().any(|&drawn| is_near(crossing, drawn)));
    // Whole pixels would be off by more.
    assert!(
        lines[0]
            .iter()
            .any(|(x, y)| x.fract() != 0.0 && y.fract() != 0.0)
    );
}

#[test]
fn edges_of_straight_lines_lie_between_pixels_of_the_device() {
    let results = demo();
    let view = view(&results, &question("150 N·m", None), 333.0);
    // Pixels of the device for each CSS pixel, and drawn pixels for each of the device.
    for (ratio, pixel) in [(1.0, 2.0), (2.0, 1.0), (3.0, 1.0), (1.5, 1.0), (0.1, 1.0)] {
        let look = look(ratio);
        let mut straight = 0;
        for ink in recorded(&view, &look) {
            let Drawing::Line { points, width, .. } = ink else {
                continue;
            };
            if let &[(x0, y0), (x1, y1)] = points.as_slice() {
                assert!(x0 == x1 || y0 == y1);
                let at = if x0 == x1 { x0 } else { y0 };
                for edge in [at - width / 2.0, at + width / 2.0] {
                    assert_eq!((edge / pixel).fract(), 0.0, "{ratio}: {at} {width}");
                }
                straight += 1;
            }
        }
        assert_eq!(
            straight,
            view.time_ticks.len() + view.torque_ticks.len() + 1
        );
    }
}

#[test]
fn lines_and_surface_grow_with_the_ratio_and_never_below_two() {
    let results = demo();
    let view = view(&results, &question("150 N·m", None), 640.0);
    assert_eq!(look(1.0).surface(&view), (1280, 480));
    assert_eq!(look(3.0).surface(&view), (1920, 720));
    for odd in [f64::NAN, -1.0, 0.0] {
        assert_eq!(look(odd).drawn_ratio(), 2.0);
        assert_eq!(look(odd).pixel(), 1.0);
    }
    assert_eq!(look(1e9).drawn_ratio(), 4.0);
    let widest = |ratio| {
        let width = |ink: &Drawing| match ink {
            Drawing::Line { width, .. } => *width,
            _ => 0.0,
        };
        let ink = recorded(&view, &look(ratio));
        ink.iter().map(width).fold(0.0, f64::max)
    };
    assert_eq!((widest(2.0), widest(4.0)), (5.0, 10.0));
}

#[test]
fn curves_differ_without_colour() {
    for (index, kind) in KINDS.into_iter().enumerate() {
        for other in KINDS.into_iter().skip(index + 1) {
            assert_ne!(dashes(kind), dashes(other));
            assert_ne!(dashes(kind), ESTIMATE);
            assert_ne!(corners(kind), corners(other));
        }
    }
    let results = demo();
    let view = view(&results, &question("150 N·m", None), 640.0);
    let drawn: Vec<Vec<f64>> = recorded(&view, &look(2.0))
        .into_iter()
        .filter_map(|ink| match ink {
            Drawing::Line {
                width: 5.0, dashes, ..
            } => Some(dashes),
            _ => None,
        })
        .collect();
    // From the last to the first, which lies above the others.
    assert_eq!(drawn, [vec![5.0, 7.0], vec![18.0, 10.0], vec![]]);
}

use plane::{Outline, Point, Segment};
use sheet::OpeningShape;

use super::*;
use crate::look::{show, texts_stand_clear};

fn point(name: &str, x: f64, y: f64) -> MarkedPoint {
    MarkedPoint {
        name: name.into(),
        at: Point::new(x, y),
    }
}

fn plate() -> MarkedOut {
    let corners = [(0.0, 0.0), (120.0, 0.0), (120.0, 60.0), (0.0, 60.0)].map(|(x, y)| Point::new(x, y));
    let outline = Outline::polygon(&corners).expect("a rectangle");
    MarkedOut {
        title: "Angle".into(),
        points: vec![
            point("A", 0.0, 0.0),
            point("B", 120.0, 0.0),
            point("C", 120.0, 60.0),
            point("D", 0.0, 60.0),
            point("H1", 30.0, 30.0),
        ],
        outline: MarkedOutline {
            edges: outline.segments().collect(),
            sound: true,
        },
        creases: vec![MarkedCrease {
            name: "b1".into(),
            from: Point::new(70.0, 0.0),
            to: Point::new(70.0, 60.0),
            bent: "90.0 deg up".into(),
        }],
        openings: vec![
            MarkedOpening {
                name: "h1".into(),
                shape: OpeningShape::Round {
                    at: Point::new(30.0, 30.0),
                    dia_mm: 8.5,
                },
            },
            MarkedOpening {
                name: "s1".into(),
                shape: OpeningShape::Slot {
                    from: Point::new(90.0, 20.0),
                    to: Point::new(105.0, 40.0),
                    width_mm: 7.0,
                },
            },
        ],
        scribed: vec![],
        readings: vec![MarkedReading {
            index: 0,
            read: "134 mm".into(),
            called: "A-C".into(),
            of: MarkedSpan::Between([Point::new(0.0, 0.0), Point::new(120.0, 60.0)]),
        }],
        not_drawn: vec![],
    }
}

fn corners(svg: &str) -> [f64; 4] {
    let from = svg.find("data-mm=\"").expect("it says where it is") + 9;
    let words = svg[from..].split('"').next().unwrap_or_default();
    let all: Vec<f64> = words
        .split(' ')
        .map(|word| word.parse().expect("a number"))
        .collect();
    all.try_into().expect("four")
}

#[test]
fn every_named_thing_is_a_group_of_its_own_and_words_stand_clear() {
    let svg = mark_out_svg(&plate());
    show("mark_out.svg", svg.as_bytes());
    for group in [
        "data-point=\"A\"",
        "data-point=\"H1\"",
        "data-hole=\"h1\"",
        "data-slot=\"s1\"",
        "data-bend=\"b1\"",
        "data-reading=\"0\"",
    ] {
        assert_eq!(svg.matches(group).count(), 1, "{group}");
    }
    texts_stand_clear(&svg);
    assert_eq!(svg, mark_out_svg(&plate()));
}

#[test]
fn a_place_on_the_page_is_told_in_the_designs_axes() {
    let svg = mark_out_svg(&plate());
    let [x0, y0, x1, y1] = corners(&svg);
    let file = usvg::roxmltree::Document::parse(&svg).expect("XML");
    let view_box: Vec<f64> = file
        .root_element()
        .attribute("viewBox")
        .expect("a view box")
        .split(' ')
        .map(|word| word.parse().expect("a number"))
        .collect();
    let group = file
        .descendants()
        .find(|node| node.attribute("data-point") == Some("C"))
        .expect("the point C");
    let mark = group
        .children()
        .find(|node| node.has_tag_name("circle"))
        .expect("its mark");
    let number = |name: &str| -> f64 { mark.attribute(name).expect("a place").parse().expect("a number") };
    let x = x0 + (x1 - x0) * number("cx") / view_box[2];
    let y = y0 + (y1 - y0) * number("cy") / view_box[3];
    assert!((x - 120.0).abs() < 0.01 && (y - 60.0).abs() < 0.01, "{x}, {y}");
}

#[test]
fn readings_along_one_line_can_each_be_read() {
    let mut plate = plate();
    let along = [
        ("40", 0.0, 40.0),
        ("120", 0.0, 120.0),
        ("80", 40.0, 120.0),
        ("119", 0.0, 120.0),
    ];
    plate.readings = along
        .iter()
        .enumerate()
        .map(|(index, (read, from, to))| MarkedReading {
            index,
            read: format!("{read} mm"),
            called: format!("reading {index}"),
            of: MarkedSpan::Between([Point::new(*from, 30.0), Point::new(*to, 30.0)]),
        })
        .collect();
    let svg = mark_out_svg(&plate);
    show("mark_out_along.svg", svg.as_bytes());
    for (read, _, _) in along {
        assert!(svg.contains(&format!(">{read} mm<")), "{read}");
    }
    texts_stand_clear(&svg);
}

#[test]
fn it_grows_from_nothing_and_from_one_point() {
    let empty = mark_out_svg(&MarkedOut::default());
    assert!(empty.contains("No point is marked out yet"));
    let one = MarkedOut {
        points: vec![point("A", 500.0, -300.0)],
        ..MarkedOut::default()
    };
    let svg = mark_out_svg(&one);
    assert!(svg.contains("data-point=\"A\"") && !svg.contains("NaN") && !svg.contains("inf"));
    texts_stand_clear(&svg);
}

#[test]
fn what_is_not_sound_is_told_apart_by_pattern_and_word_and_listed() {
    let mut broken = plate();
    broken.outline = MarkedOutline {
        edges: vec![
            Segment::line(Point::new(0.0, 0.0), Point::new(120.0, 60.0)),
            Segment::line(Point::new(120.0, 60.0), Point::new(120.0, 0.0)),
            Segment::line(Point::new(120.0, 0.0), Point::new(0.0, 60.0)),
        ],
        sound: false,
    };
    broken.not_drawn = vec!["The edges A-C and B-D cross.".into()];
    let svg = mark_out_svg(&broken);
    show("mark_out_broken.svg", svg.as_bytes());
    assert!(svg.contains("class=\"unsound\"") && svg.contains("outside edge, not sound yet"));
    assert!(svg.contains("data-point=\"C\"") && svg.contains("The edges A-C and B-D cross."));
    texts_stand_clear(&svg);
}

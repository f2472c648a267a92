//! The things of a drawing, each with its ink.

use std::cell::OnceCell;
use std::collections::HashMap;

use roxmltree::{Document as Xml, Node, NodeId};

use super::outline::{Area, Rings, Rows, boxed, numbers, outline};

/// Rows in which ink must lie on ink, and how far: less is a touch. Thin lines are held to three fifths of what they have.
pub(super) const DEEP: usize = 3;
pub(super) const WIDE: f64 = 1.0;
pub(super) const SHARE: f64 = 0.6;

/// Something that is drawn.
pub(super) struct Thing<'a> {
    pub(super) kind: &'a str,
    /// What it is called where it lies on something.
    pub(super) name: String,
    /// The chord or small note that it belongs to; a head that two voices share, to both.
    pub(super) of: Vec<NodeId>,
    /// Where the head that a dot belongs to stands.
    pub(super) head: Option<(f64, f64)>,
    pub(super) rings: Rings,
    pub(super) area: Area,
    pub(super) rows: OnceCell<Rows>,
}

impl Thing<'_> {
    pub(super) fn rows(&self) -> &Rows {
        self.rows
            .get_or_init(|| Rows::within(&self.rings, self.area))
    }

    /// Whether its ink lies on another's.
    pub(super) fn lies_on(&self, other: &Self) -> bool {
        let (one, two) = (self.area, other.area);
        if one.bottom < two.top
            || two.bottom < one.top
            || one.right < two.left
            || two.right < one.left
        {
            return false;
        }
        let (rows, others) = (self.rows(), other.rows());
        let wide = WIDE.min((one.right - one.left).min(two.right - two.left) * SHARE);
        let least = rows.edges.len().min(others.edges.len()) as f64 * SHARE;
        let skip = |first: i64, from: i64| usize::try_from(from - first).unwrap_or(0);
        let pairs = rows.edges.iter().skip(skip(rows.first, others.first));
        let pairs = pairs.zip(others.edges.iter().skip(skip(others.first, rows.first)));
        let deep =
            pairs.filter(|((left, right), (from, to))| right.min(*to) - left.max(*from) > wide);
        deep.count() >= DEEP.min(least.ceil() as usize)
    }

    /// Whether one is of one kind, the other of the other.
    pub(super) fn kinds(&self, other: &Self, kinds: [&str; 2]) -> bool {
        [self.kind, other.kind] == kinds || [other.kind, self.kind] == kinds
    }

    pub(super) fn same_chord(&self, other: &Self) -> bool {
        self.of.iter().any(|of| other.of.contains(of))
    }
}

pub(super) fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

pub(super) fn class<'a>(node: Node<'a, '_>) -> &'a str {
    node.attribute("class").unwrap_or_default()
}

/// The glyphs that a drawing uses, by the names of their elements.
pub(super) fn glyphs<'a>(xml: &'a Xml<'_>) -> HashMap<&'a str, Rings> {
    let paths = xml
        .descendants()
        .filter(|node| node.tag_name().name() == "path");
    let named = paths.filter_map(|node| Some((node.attribute("id")?, node.attribute("d")?)));
    named.map(|(id, path)| (id, outline(path))).collect()
}

/// Where a glyph stands, and its size.
pub(super) fn place(node: Node<'_, '_>) -> (f64, f64, f64) {
    match node.attribute("transform").map(numbers).as_deref() {
        Some([x, y, size]) => (*x, *y, *size),
        _ => (number(node, "x"), number(node, "y"), 1.0),
    }
}

/// What an element is, and its ink; nothing for what is not compared.
pub(super) fn ink<'a>(
    node: Node<'a, '_>,
    glyphs: &HashMap<&str, Rings>,
) -> Option<(&'a str, Rings)> {
    let name = class(node);
    Some(match (node.tag_name().name(), name) {
        ("use", _) => {
            let glyph = &glyphs[node.attribute("href").unwrap().trim_start_matches('#')];
            let (x, y, size) = place(node);
            let put = |(right, down): &(f64, f64)| (x + right * size, y + down * size);
            let rings = glyph.iter().map(|ring| ring.iter().map(put).collect());
            (
                if name.is_empty() { "small note" } else { name },
                rings.collect(),
            )
        }
        ("line", "stem" | "ending" | "hairpin" | "rip") => {
            let [x, y, to, down] = ["x1", "y1", "x2", "y2"].map(|name| number(node, name));
            // As thick as it is drawn.
            let (across, along) = if (to - x).abs() > (down - y).abs() {
                (0.0, 0.5)
            } else {
                (0.5, 0.0)
            };
            let ring = [
                (x - across, y - along),
                (to - across, down - along),
                (to + across, down + along),
                (x + across, y + along),
                (x - across, y - along),
            ];
            let own = node.parent().is_some_and(|up| class(up) == "system");
            (
                if own && name == "stem" {
                    "end of bars of rest"
                } else {
                    name
                },
                vec![ring.to_vec()],
            )
        }
        ("polygon", _) => {
            let all = numbers(node.attribute("points").unwrap());
            let mut ring: Vec<(f64, f64)> = all.chunks(2).map(|pair| (pair[0], pair[1])).collect();
            ring.push(ring[0]);
            (name, vec![ring])
        }
        ("rect", "barline" | "rest") => {
            let [left, top, wide, high] =
                ["x", "y", "width", "height"].map(|name| number(node, name));
            (
                name,
                boxed(Area {
                    left,
                    right: left + wide,
                    top,
                    bottom: top + high,
                }),
            )
        }
        ("circle", "shape" | "partial") => {
            let [x, y, r] = ["cx", "cy", "r"].map(|name| number(node, name));
            (
                name,
                boxed(Area {
                    left: x - r,
                    right: x + r,
                    top: y - r,
                    bottom: y + r,
                }),
            )
        }
        ("text", _) => {
            let (left, y) = (number(node, "x"), number(node, "y"));
            let letters = node.text().unwrap_or_default().chars().count() as f64;
            (
                name,
                boxed(Area {
                    left,
                    right: left + letters * 4.5,
                    top: y - 6.0,
                    bottom: y - 1.0,
                }),
            )
        }
        _ => return None,
    })
}

/// The things of one line of music, from left to right.
pub(super) fn things<'a>(system: Node<'a, '_>, glyphs: &HashMap<&str, Rings>) -> Vec<Thing<'a>> {
    let mut found: Vec<Thing<'a>> = Vec::new();
    for node in system.descendants().filter(Node::is_element) {
        let Some((kind, rings)) = ink(node, glyphs) else {
            continue;
        };
        let of = node
            .ancestors()
            .find(|up| matches!(class(*up), "chord" | "grace" | "cue"));
        let of: Vec<NodeId> = of.map(|of| of.id()).into_iter().collect();
        if kind == "head"
            && let Some(shared) = found
                .iter_mut()
                .find(|other| other.kind == kind && other.rings == rings)
        {
            shared.of.extend(of);
            continue;
        }
        let beside = (kind == "dot").then(|| node.parent()).flatten();
        let head = beside.and_then(|group| group.children().find(|node| class(*node) == "head"));
        let points = || rings.iter().flatten();
        let [left, top] = [
            points().map(|point| point.0).fold(f64::MAX, f64::min),
            points().map(|point| point.1).fold(f64::MAX, f64::min),
        ];
        let [right, bottom] = [
            points().map(|point| point.0).fold(f64::MIN, f64::max),
            points().map(|point| point.1).fold(f64::MIN, f64::max),
        ];
        found.push(Thing {
            kind,
            name: [
                kind,
                node.attribute("href").unwrap_or_default(),
                node.text().unwrap_or_default(),
            ]
            .join(" "),
            of,
            head: head.map(place).map(|(x, y, _)| (x, y)),
            area: Area {
                left,
                right,
                top,
                bottom,
            },
            rings,
            rows: OnceCell::new(),
        });
    }
    found.sort_by(|one, other| one.area.left.total_cmp(&other.area.left));
    found
}

//! The outlines of what is drawn: closed lines, and the ink within them row by row.

/// How finely outlines are compared, in pixels: rows of this height.
pub(super) const ROW: f64 = 0.5;

/// Left and right edge of ink in each row, counted from a first one.
pub(super) struct Rows {
    pub(super) first: i64,
    pub(super) edges: Vec<(f64, f64)>,
}

impl Rows {
    /// The rows of what is bounded by closed lines.
    pub(super) fn within(rings: &Rings, area: Area) -> Self {
        let row = |y: f64| (y / ROW).floor() as i64;
        let (first, last) = (row(area.top), row(area.bottom));
        let mut edges = vec![(f64::MAX, f64::MIN); usize::try_from(last - first + 1).unwrap()];
        for pair in rings.iter().flat_map(|ring| ring.windows(2)) {
            let [(x, y), (to, down)] = *pair else {
                continue;
            };
            let steps = ((down - y).abs() / ROW * 2.0).ceil().max(1.0) as u32;
            for step in 0..=steps {
                let share = f64::from(step) / f64::from(steps);
                // Sums are rounded, also at the ends.
                let at = row(y + (down - y) * share).clamp(first, last) - first;
                let (left, right) = edges.get_mut(usize::try_from(at).unwrap()).unwrap();
                let here = x + (to - x) * share;
                (*left, *right) = (left.min(here), right.max(here));
            }
        }
        Self { first, edges }
    }
}

/// What ink lies within, in pixels right and down.
#[derive(Clone, Copy)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// Closed lines.
pub(super) type Rings = Vec<Vec<(f64, f64)>>;

/// The rings of a glyph, curves in straight pieces. Its numbers count from the last point.
pub(super) fn outline(path: &str) -> Rings {
    let mut rings = Rings::new();
    let (mut at, mut start) = ((0.0, 0.0), (0.0, 0.0));
    let mut rest = path;
    while let Some(command) = rest.chars().next() {
        rest = &rest[1..];
        let end = rest.find(char::is_alphabetic).unwrap_or(rest.len());
        let numbers = numbers(&rest[..end]);
        rest = &rest[end..];
        let by = |place: usize| (at.0 + numbers[place], at.1 + numbers[place + 1]);
        let all = match command {
            'm' => {
                start = by(0);
                rings.push(Vec::new());
                vec![start]
            }
            'l' => vec![by(0)],
            'q' => curve(&[at, by(0), by(2)]),
            'c' => curve(&[at, by(0), by(2), by(4)]),
            'z' => vec![start],
            other => panic!("no glyph is drawn with {other}"),
        };
        at = *all.last().unwrap();
        rings.last_mut().unwrap().extend(all);
    }
    rings
}

/// Points on a curve, behind its first.
pub(super) fn curve(through: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let point = |share: f64| {
        let mut points = through.to_vec();
        while points.len() > 1 {
            let pairs = points.windows(2);
            let between = |one: f64, other: f64| one + (other - one) * share;
            points = pairs
                .map(|pair| (between(pair[0].0, pair[1].0), between(pair[0].1, pair[1].1)))
                .collect();
        }
        points[0]
    };
    [0.25, 0.5, 0.75, 1.0].map(point).to_vec()
}

/// Every number in words: `1.2-.3 4` are three.
pub(super) fn numbers(words: &str) -> Vec<f64> {
    let mut found: Vec<String> = Vec::new();
    let mut open = false;
    for letter in words.chars() {
        let goes_on = letter.is_ascii_digit()
            || letter == '.' && open && !found.last().is_some_and(|last| last.contains('.'));
        if goes_on && open {
            found.last_mut().unwrap().push(letter);
        } else if letter.is_ascii_digit() || letter == '.' || letter == '-' {
            found.push(letter.to_string());
            open = true;
        } else {
            open = false;
        }
    }
    found.iter().map(|number| number.parse().unwrap()).collect()
}

pub(super) fn boxed(area: Area) -> Rings {
    let Area {
        left,
        right,
        top,
        bottom,
    } = area;
    vec![vec![
        (left, top),
        (right, top),
        (right, bottom),
        (left, bottom),
        (left, top),
    ]]
}

//! One system while it is drawn: the elements so far, the glyphs they use, and how high and low they reach.

use std::collections::BTreeMap;
use std::io;

use crate::glyph::{Glyph, SPACE};
use crate::sheet::{Sheet, Tag, short};

/// How finely what stands above and below is known, in pixels.
const GRAIN: f64 = 2.0;
/// Air between things that stand above one another.
pub(crate) const AIR: f64 = 2.0;

/// A box, in pixels right and down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) bottom: f64,
}

impl Area {
    pub(crate) const fn new(left: f64, right: f64, top: f64, bottom: f64) -> Self {
        Self {
            left,
            right,
            top,
            bottom,
        }
    }
}

/// The glyphs that a drawing uses, by their names.
pub(crate) type Used = BTreeMap<&'static str, &'static Glyph>;

/// A system. Places count from the left of the page and the middle line of the staff.
pub(crate) struct Ink<'u> {
    sheet: Sheet,
    used: &'u mut Used,
    /// What the names of elements begin with.
    names: &'u str,
    /// The highest and lowest ink over each grain of the width.
    above: Vec<f64>,
    below: Vec<f64>,
}

impl<'u> Ink<'u> {
    /// An empty system of a width, its staff `lowest` below and above the middle line.
    pub(crate) fn new(width: f64, names: &'u str, used: &'u mut Used) -> Self {
        let grains = (width / GRAIN).ceil().clamp(1.0, 100_000.0) as usize + 1;
        Self {
            sheet: Sheet::new(),
            used,
            names,
            above: vec![-2.0 * SPACE; grains],
            below: vec![2.0 * SPACE; grains],
        }
    }

    pub(crate) const fn sheet(&mut self) -> &mut Sheet {
        &mut self.sheet
    }

    /// The elements, and how high and low they reach.
    pub(crate) fn finish(self) -> (String, f64, f64) {
        let top = self.above.iter().copied().fold(0.0, f64::min);
        let bottom = self.below.iter().copied().fold(0.0, f64::max);
        (self.sheet.finish(), top, bottom)
    }

    fn grains(&self, left: f64, right: f64) -> std::ops::Range<usize> {
        let last = self.above.len();
        let from = (left / GRAIN).floor().max(0.0) as usize;
        let to = (right / GRAIN).ceil().max(0.0) as usize + 1;
        from.min(last)..to.min(last)
    }

    /// Takes note of ink.
    pub(crate) fn touch(&mut self, area: Area) {
        let grains = self.grains(area.left, area.right);
        for high in self.above.get_mut(grains.clone()).unwrap_or_default() {
            *high = high.min(area.top);
        }
        for low in self.below.get_mut(grains).unwrap_or_default() {
            *low = low.max(area.bottom);
        }
    }

    /// The highest ink between two places.
    pub(crate) fn top(&self, left: f64, right: f64) -> f64 {
        let grains = self.above.get(self.grains(left, right));
        grains
            .unwrap_or_default()
            .iter()
            .copied()
            .fold(f64::MAX, f64::min)
    }

    /// The lowest ink between two places.
    pub(crate) fn bottom(&self, left: f64, right: f64) -> f64 {
        let grains = self.below.get(self.grains(left, right));
        grains
            .unwrap_or_default()
            .iter()
            .copied()
            .fold(f64::MIN, f64::max)
    }

    /// Takes room above all ink between two places; gives back its bottom.
    pub(crate) fn room_above(&mut self, left: f64, right: f64, height: f64) -> f64 {
        let bottom = self.top(left, right).min(-2.0 * SPACE) - AIR;
        self.touch(Area::new(left, right, bottom - height, bottom));
        bottom
    }

    /// Takes room below all ink between two places; gives back its top.
    pub(crate) fn room_below(&mut self, left: f64, right: f64, height: f64) -> f64 {
        let top = self.bottom(left, right).max(2.0 * SPACE) + AIR;
        self.touch(Area::new(left, right, top, top + height));
        top
    }

    /// A glyph of a class, at a share of its size.
    pub(crate) fn glyph(
        &mut self,
        class: &str,
        glyph: &'static Glyph,
        (x, y): (f64, f64),
        size: f64,
    ) -> io::Result<()> {
        self.used.insert(glyph.name, glyph);
        let href = format!("#{}g-{}", self.names, glyph.name);
        let mut tag = Tag::new("use");
        if !class.is_empty() {
            tag = tag.word("class", class);
        }
        tag = tag.word("href", &href);
        tag = if size < 1.0 {
            let moved = format!(
                "translate({} {}) scale({})",
                short(x),
                short(y),
                short(size)
            );
            tag.word("transform", &moved)
        } else {
            tag.numbers([("x", x), ("y", y)])
        };
        self.sheet.empty(tag)?;
        let size = size * SPACE;
        self.touch(Area::new(
            x + glyph.left * size,
            x + glyph.right * size,
            y + glyph.top * size,
            y + glyph.bottom * size,
        ));
        Ok(())
    }

    /// A straight line of a class.
    pub(crate) fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) -> io::Result<()> {
        let tag = Tag::new("line").word("class", class);
        self.sheet.empty(tag.numbers([
            ("x1", from.0),
            ("y1", from.1),
            ("x2", to.0),
            ("y2", to.1),
        ]))?;
        self.touch(Area::new(
            from.0.min(to.0),
            from.0.max(to.0),
            from.1.min(to.1),
            from.1.max(to.1),
        ));
        Ok(())
    }

    /// A box of a class, filled.
    pub(crate) fn bar(&mut self, class: &str, area: Area) -> io::Result<()> {
        let tag = Tag::new("rect").word("class", class);
        self.sheet.empty(tag.numbers([
            ("x", area.left),
            ("y", area.top),
            ("width", area.right - area.left),
            ("height", area.bottom - area.top),
        ]))?;
        self.touch(area);
        Ok(())
    }

    /// Words of a class, on a line.
    pub(crate) fn text(&mut self, class: &str, (x, y): (f64, f64), words: &str) -> io::Result<()> {
        let tag = Tag::new("text").word("class", class);
        self.sheet.text(tag.numbers([("x", x), ("y", y)]), words)
    }
}

/// About how wide words are, in pixels, at a size of letters: a little more than most fonts need.
pub(crate) fn width_of(words: &str, size: f64) -> f64 {
    let letter = |letter: char| match letter {
        'i' | 'j' | 'l' | 't' | 'f' | 'r' | 'I' | '.' | ',' | ':' | ';' | '\'' | '!' | '|'
        | '(' | ')' | ' ' => 0.36,
        'm' | 'w' | 'M' | 'W' | '@' | '—' => 0.92,
        'A'..='Z' => 0.74,
        '\u{2e80}'.. => 1.0,
        _ => 0.58,
    };
    words.chars().map(letter).sum::<f64>() * size
}

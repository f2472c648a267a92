//! A part drawn as blocks: heading, lines of music and legend, put one below the other or each by itself.

use std::io;

use theory::Seconds;

use crate::sheet::{Sheet, Tag, short};
use crate::subject::Place;

/// A part that is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What the part is called.
    pub part: String,
    /// What the piece is called.
    pub title: Option<String>,
    /// The part, its crook where the page does not name it, and the pitch.
    pub heading: String,
    /// How wide every block is, in pixels.
    pub width: f64,
    /// Colours, hatches and the outlines of signs, which every block needs.
    pub(crate) style: String,
    /// Heading, lines of music and legend.
    pub blocks: Vec<Block>,
    /// Its notes and findings, in the order of the text.
    pub places: Vec<Place>,
}

/// What is not parted by the end of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Its elements, from its top down.
    pub(crate) svg: String,
    /// How high it is, in pixels.
    pub(crate) height: f64,
    /// How long nothing is to be played around its end; `None` where no music stands in it.
    pub(crate) silence: Option<Seconds>,
    /// Its first and last bar, by their numbers.
    pub(crate) bars: Option<(u32, u32)>,
}

impl Drawing {
    /// The whole as one `svg` element. Fails when it is larger than a picture can be.
    pub fn whole(&self) -> io::Result<String> {
        let height = self.blocks.iter().map(|block| block.height).sum();
        let mut svg = opened(self.width, height, &self.heading)?;
        svg.push_str(&self.style);
        let mut y = 0.0;
        for block in &self.blocks {
            svg.push_str(&moved(block, 0.0, y));
            y += block.height;
        }
        svg.push_str("</svg>");
        Ok(svg)
    }

    /// Each block as an `svg` element of its own, for a page that shows all of them and may be printed; what they share
    /// stands in the first. Fails when one is larger than a picture can be.
    pub fn strips(&self) -> io::Result<Vec<String>> {
        let blocks = self.blocks.iter().enumerate();
        let strips = blocks.map(|(place, block)| {
            let label = match block.bars {
                Some((first, last)) => format!("{}, bars {first} to {last}", self.heading),
                None => self.heading.clone(),
            };
            let mut svg = opened(self.width, block.height, &label)?;
            if place == 0 {
                svg.push_str(&self.style);
            }
            svg.push_str(&block.svg);
            svg.push_str("</svg>");
            Ok(svg)
        });
        strips.collect()
    }
}

/// The beginning of a drawing of a size.
fn opened(width: f64, height: f64, label: &str) -> io::Result<String> {
    let mut sheet = Sheet::new();
    sheet.open(
        Tag::new("svg")
            .word("xmlns", "http://www.w3.org/2000/svg")
            .word("viewBox", &format!("0 0 {width:.0} {height:.0}"))
            .numbers([("width", width.round()), ("height", height.round())])
            .word("role", "group")
            .word("aria-label", label),
    )?;
    sheet.text(Tag::new("title"), label)?;
    Ok(sheet.finish())
}

/// A block at a place.
pub(crate) fn moved(block: &Block, x: f64, y: f64) -> String {
    format!(
        "<g transform=\"translate({} {})\">{}</g>",
        short(x),
        short(y),
        block.svg
    )
}

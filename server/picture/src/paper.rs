//! Pages to print: blocks on paper, none cut by the end of a page, and pages turned in rests where there are any.

use std::io;

use theory::Seconds;

use crate::drawing::{Block, Drawing, moved};
use crate::sheet::{Sheet, Tag, short};

/// A size of paper, upright.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    A4,
    /// 8.5 by 11 inches (ANSI/ASME Y14.1).
    Letter,
}

/// Room around the music, in millimetres.
const MARGIN: f64 = 13.0;
/// A staff space on paper, in millimetres. Bellhand's own choice, between what parts and pocket scores have.
const SPACE: f64 = 1.7;
/// Pixels of a millimetre.
const PIXELS: f64 = crate::glyph::SPACE / SPACE;
/// Room for the line at the head of a later page, in pixels.
const RUNNING: f64 = 26.0;
/// A page that ends for a turn is at least so full.
const FULL: f64 = 0.55;

impl Paper {
    /// Both, as they are chosen by word.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The word that chooses it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Width and height, in millimetres.
    const fn size(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }

    /// How wide the music is drawn, in pixels.
    #[must_use]
    pub fn width(self) -> f64 {
        ((self.size().0 - 2.0 * MARGIN) * PIXELS).floor()
    }

    /// How high a page holds music, in pixels.
    fn height(self) -> f64 {
        (self.size().1 - 2.0 * MARGIN) * PIXELS
    }
}

/// A page that is turned while the player plays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turned {
    /// The page, counted from 1.
    pub page: usize,
    /// The last bar on it.
    pub bar: u32,
    /// The rest there is.
    pub rest: Seconds,
}

impl Drawing {
    /// The part on pages, each one `svg` element in millimetres, and the turns that leave no time. A part begins on a
    /// right-hand page, so that every odd page is turned. Fails when a page is larger than a picture can be.
    pub fn pages(&self, paper: Paper) -> io::Result<(Vec<String>, Vec<Turned>)> {
        let needed = horn::time_to_turn_page().value;
        let shares = share_out(&self.blocks, paper.height(), needed);
        let count = shares.len();
        let mut pages = Vec::with_capacity(count);
        let mut turned = Vec::new();
        for (page, blocks) in (1..).zip(shares) {
            pages.push(self.page(paper, blocks, page, count)?);
            let last = blocks
                .iter()
                .rev()
                .find_map(|block| Some((block.silence?, block.bars?.1)));
            if let Some((rest, bar)) =
                last.filter(|(rest, _)| is_turned(page) && page < count && *rest < needed)
            {
                turned.push(Turned { page, bar, rest });
            }
        }
        Ok((pages, turned))
    }

    fn page(
        &self,
        paper: Paper,
        blocks: &[Block],
        page: usize,
        count: usize,
    ) -> io::Result<String> {
        let (width, height) = paper.size();
        let across = width * PIXELS;
        let mut sheet = Sheet::new();
        let label = format!("{}, page {page} of {count}", self.heading);
        sheet.open(
            Tag::new("svg")
                .word("xmlns", "http://www.w3.org/2000/svg")
                .word(
                    "viewBox",
                    &format!("0 0 {across:.0} {:.0}", height * PIXELS),
                )
                .word("width", &format!("{}mm", short(width)))
                .word("height", &format!("{}mm", short(height)))
                .word("role", "group")
                .word("aria-label", &label),
        )?;
        sheet.text(Tag::new("title"), &label)?;
        let mut svg = sheet.finish();
        svg.push_str(&self.style);
        let (left, top) = (MARGIN * PIXELS, MARGIN * PIXELS);
        let mut y = top;
        if page > 1 {
            let mut running = Sheet::new();
            let words = self.title.iter().chain([&self.part]).map(String::as_str);
            let words: Vec<&str> = words.collect();
            let text = Tag::new("text").word("class", "heading");
            running.text(
                text.numbers([("x", left + 4.0), ("y", y + 12.0)]),
                &words.join(", "),
            )?;
            let text = Tag::new("text")
                .word("class", "heading")
                .word("text-anchor", "end");
            running.text(
                text.numbers([("x", across - left - 4.0), ("y", y + 12.0)]),
                &page.to_string(),
            )?;
            svg.push_str(&running.finish());
            y += RUNNING;
        }
        for block in blocks {
            svg.push_str(&moved(block, left, y));
            y += block.height;
        }
        svg.push_str("</svg>");
        Ok(svg)
    }
}

/// Whether the player turns behind a page.
const fn is_turned(page: usize) -> bool {
    page % 2 == 1
}

/// The blocks of each page: as many as fit, fewer where the page is turned and only an earlier end leaves time for it. A
/// block that is higher than a page has one of its own.
fn share_out(blocks: &[Block], height: f64, needed: Seconds) -> Vec<&[Block]> {
    let mut pages: Vec<&[Block]> = Vec::new();
    let mut rest = blocks;
    while !rest.is_empty() {
        let room = height - if pages.is_empty() { 0.0 } else { RUNNING };
        let mut used = 0.0;
        let fits = rest.iter().take_while(|block| {
            used += block.height;
            used <= room
        });
        let fits = fits.count().max(1);
        let mut taken = fits;
        if is_turned(pages.len() + 1) && fits < rest.len() {
            let mut filled = 0.0;
            let ends = rest
                .iter()
                .take(fits)
                .enumerate()
                .filter_map(|(place, block)| {
                    filled += block.height;
                    let leaves_time = block.silence.is_some_and(|silence| silence >= needed);
                    (leaves_time && filled >= room * FULL).then_some(place + 1)
                });
            taken = ends.last().unwrap_or(fits);
        }
        let (page, after) = rest.split_at(taken);
        pages.push(page);
        rest = after;
    }
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(height: f64, silence: f64) -> Block {
        Block {
            svg: String::new(),
            height,
            silence: Some(Seconds(silence)),
            bars: Some((1, 1)),
        }
    }

    fn counts(silences: &[f64]) -> Vec<usize> {
        let blocks: Vec<Block> = silences
            .iter()
            .map(|silence| block(100.0, *silence))
            .collect();
        share_out(&blocks, 430.0, Seconds(3.0))
            .iter()
            .map(|page| page.len())
            .collect()
    }

    #[test]
    fn a_page_is_turned_in_a_rest_where_there_is_one() {
        // Without a rest pages are full; the head of later pages takes room too.
        assert_eq!(counts(&[0.0; 9]), [4, 4, 1]);
        assert_eq!(counts(&[0.0, 0.0, 3.0, 0.0, 0.0, 0.0, 0.0]), [3, 4]);
        assert_eq!(counts(&[0.0, 0.0, 2.9, 0.0, 0.0, 0.0, 0.0]), [4, 3]);
        // A page that would be half empty is not ended for a turn, nor a left-hand page.
        assert_eq!(
            counts(&[0.0, 9.0, 0.0, 0.0, 0.0, 0.0, 9.0, 0.0, 0.0]),
            [4, 4, 1]
        );
        // What is higher than a page has one of its own.
        assert_eq!(
            share_out(&[block(900.0, 0.0), block(10.0, 0.0)], 430.0, Seconds(3.0)).len(),
            2
        );
    }
}

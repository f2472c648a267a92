//! What a page says of the way through it, bar by bar.

use crate::bar::Barline;
use crate::bounds::MOST_PASSES;
use crate::event::{EventKind, MarkKind};
use crate::kinds::Kinds;
use crate::piece::Part;
use crate::route::{Jump, Route};
use crate::span::Span;

/// All that a page says of the way through it.
#[derive(Debug, Default)]
pub(super) struct Instructions {
    /// Stretches played several times, in the order of the page.
    pub(super) repeats: Vec<Repeat>,
    /// Ways back: behind which bar, where they go, where they stand.
    pub(super) jumps: Vec<(usize, Jump, Span)>,
    /// Bars that D.S. may go back to.
    pub(super) segnos: Vec<usize>,
    /// Bars that begin a coda.
    pub(super) codas: Vec<usize>,
    /// Bars behind which a player who has gone back leaves for the coda.
    pub(super) to_codas: Vec<usize>,
    /// Bars behind which a player who has gone back ends.
    pub(super) fines: Vec<usize>,
    /// Labels of sections, each with the bar that it begins.
    pub(super) labels: Vec<(usize, String)>,
    /// How many verses the whole is played for, and where that is said.
    pub(super) verses: Option<(u32, Span)>,
    /// Where a repeat ends of which it is not clear where it begins.
    pub(super) nested: Option<Span>,
}

/// A stretch played several times.
#[derive(Debug)]
pub(super) struct Repeat {
    /// Its first bar.
    pub(super) first: usize,
    /// The bars behind which one goes back.
    pub(super) backs: Vec<usize>,
    /// How many times it is played in all.
    pub(super) times: u32,
    /// Its endings, in the order of the page.
    pub(super) endings: Vec<Ending>,
    /// Where the last way back stands.
    pub(super) span: Span,
    /// Whether a sign says that it begins.
    begun: bool,
}

/// An ending of a repeat.
#[derive(Debug)]
pub(super) struct Ending {
    /// Its first bar.
    pub(super) first: usize,
    /// The bar after it.
    pub(super) end: usize,
    /// In which passes it is played; nothing where its numbers cannot be read.
    pub(super) passes: Vec<u32>,
    /// Where it is marked.
    pub(super) span: Span,
}

/// The instructions for parts that are as long as each other.
pub(super) fn of(parts: &[&Part]) -> Instructions {
    let mut all = Instructions::default();
    all.take_repeats(&barlines(parts));
    let mut routes = parts.iter().map(|part| routes(part));
    let routes = routes.find(|routes| !routes.is_empty());
    all.take_routes(routes.unwrap_or_default());
    let mut labels = parts.iter().map(|part| labels(part));
    all.labels = labels.find(|labels| !labels.is_empty()).unwrap_or_default();
    all
}

/// The barlines of a score: the one before its first bar, and those behind each. A repeat is the score's where half of
/// its parts say it. Scores made from manuscripts keep the signs by which a copyist spared the writing of a part's own
/// bars, which are then written out. A score that prints its repeats once prints them in its first part.
fn barlines(parts: &[&Part]) -> Vec<Barline> {
    let bars = parts.first().map_or(0, |part| part.bars.len());
    let all: Vec<Barline> = (0..=bars).map(|place| joint(parts, place)).collect();
    let says = |line: &Barline| line.repeat_end || line.ending.is_some();
    if all.iter().any(says) {
        return all;
    }
    let first = parts.get(..1).unwrap_or_default();
    (0..=bars).map(|place| joint(first, place)).collect()
}

/// A part's barline before the bar at a place, or behind its last.
fn barline(part: &Part, place: usize) -> Option<&Barline> {
    match place.checked_sub(1) {
        None => part.opening.as_ref(),
        Some(before) => part.bars.get(before)?.close.as_ref(),
    }
}

/// What half of the parts or more say at a barline.
fn joint(parts: &[&Part], place: usize) -> Barline {
    let lines = || parts.iter().filter_map(|part| barline(part, place));
    let most =
        |says: fn(&Barline) -> bool| lines().filter(|line| says(line)).count() * 2 >= parts.len();
    let ending = most(|line| line.ending.is_some());
    let plain = |line: &&Barline| !line.repeat_end && !line.repeat_start && line.ending.is_none();
    let speaks = lines().find(|line| !plain(line)).or_else(|| lines().next());
    Barline {
        span: speaks.map_or_else(Span::default, |line| line.span),
        repeat_end: most(|line| line.repeat_end),
        repeat_start: most(|line| line.repeat_start),
        times: lines().find_map(|line| line.times),
        repeat_from: most(|line| line.repeat_from),
        ending_end: most(|line| line.ending_end),
        section_end: most(|line| line.section_end),
        ending: lines()
            .find_map(|line| line.ending.clone())
            .filter(|_| ending),
    }
}

impl Ending {
    /// The ending that a barline begins in so many bars.
    fn of(barline: &Barline, bars: usize, first: usize) -> Option<Self> {
        let words = barline.ending.as_ref()?;
        Some(Self {
            first,
            end: bars,
            passes: numbers(words),
            span: barline.span,
        })
    }
}

impl Repeat {
    fn from(first: usize) -> Self {
        Self {
            first,
            backs: Vec::new(),
            times: 1,
            endings: Vec::new(),
            span: Span::default(),
            begun: false,
        }
    }

    fn begun_at(first: usize) -> Self {
        Self {
            begun: true,
            ..Self::from(first)
        }
    }

    /// Whether a bar is played in every pass.
    pub(super) fn holds(&self, bar: usize) -> bool {
        self.backs.last().is_some_and(|last| bar <= *last) && self.first <= bar
    }

    /// The same with the number of times that its endings say; nothing if it is played once.
    fn finished(mut self) -> Option<Self> {
        let of_endings = self.endings.iter().flat_map(|ending| &ending.passes).max();
        self.times = of_endings.map_or(self.times, |most| self.times.max(*most));
        if self.backs.is_empty() {
            return None;
        }
        Some(self)
    }

    /// Whether a player goes back behind a bar in a pass.
    pub(super) fn goes_back(&self, bar: usize, pass: u32) -> bool {
        pass < self.times && self.backs.contains(&bar)
    }
}

/// The numbers of an ending: `1`, `1,3`, `1-3`, `1. 2.`; none where they are no numbers of passes.
fn numbers(words: &str) -> Vec<u32> {
    let mut all = Vec::new();
    for word in words.split([',', ' ', '.']).filter(|word| !word.is_empty()) {
        let (from, to) = word.split_once('-').unwrap_or((word, word));
        let believed = |number: &str| {
            let number: u32 = number.parse().ok()?;
            (1..=MOST_PASSES).contains(&number).then_some(number)
        };
        let (Some(from), Some(to)) = (believed(from), believed(to)) else {
            return Vec::new();
        };
        all.extend(from..=to);
    }
    all
}

/// What is said of the way through a part, and where.
struct Said {
    bar: usize,
    /// Whether it stands behind the bar's music, and may belong to what follows.
    behind: bool,
    route: Route,
    span: Span,
}

fn routes(part: &Part) -> Vec<Said> {
    let mut all: Vec<Said> = Vec::new();
    for placed in part.events_of(Kinds::ROUTES.and(Kinds::WORDS)) {
        let route = match &placed.event.kind {
            EventKind::Route(route) => Some(*route),
            EventKind::Mark(mark) => match &mark.kind {
                MarkKind::Words(words) => Route::of_words(&words.text),
                _ => None,
            },
            _ => None,
        };
        let Some(route) = route else {
            continue;
        };
        let bar = part.bars.get(placed.bar);
        let behind = bar.is_some_and(|bar| placed.event.offset >= bar.length);
        // A sign and the words beside it say one thing.
        let before = all
            .iter_mut()
            .rev()
            .take_while(|said| said.bar == placed.bar);
        let mut same = before.filter_map(|said| match (&mut said.route, route) {
            (Route::Jump(known), Route::Jump(more)) => {
                known.until = known.until.or(more.until);
                known.to_segno |= more.to_segno;
                Some(())
            }
            (known, more) if *known == more => Some(()),
            _ => None,
        });
        if same.next().is_none() {
            all.push(Said {
                bar: placed.bar,
                behind,
                route,
                span: placed.span(),
            });
        }
    }
    all
}

/// The labels of a part's sections.
fn labels(part: &Part) -> Vec<(usize, String)> {
    part.events_of(Kinds::SECTIONS)
        .filter_map(|placed| match &placed.event.kind {
            EventKind::Section(label) => {
                let bar = part.bars.get(placed.bar)?;
                let behind = placed.event.offset >= bar.length && !bar.length.is_zero();
                Some((placed.bar + usize::from(behind), label.trim().to_owned()))
            }
            _ => None,
        })
        .collect()
}

impl Instructions {
    /// One that names no beginning goes back to the last one's end, or to where the notation says.
    fn take_repeats(&mut self, lines: &[Barline]) {
        let Some((opening, closes)) = lines.split_first() else {
            return;
        };
        let mut open = Repeat::from(0);
        open.begun = opening.repeat_start;
        open.endings.extend(Ending::of(opening, closes.len(), 0));
        // Whether a repeat has begun and another one before it ended.
        let mut left_open = false;
        for (index, close) in closes.iter().enumerate() {
            let next = index + 1;
            if close.repeat_end {
                if left_open && !open.begun && open.backs.is_empty() {
                    self.nested = self.nested.or(Some(close.span));
                }
                open.backs.push(index);
                open.times = open.times.max(close.times.unwrap_or(2));
                open.span = close.span;
            }
            let ended = close.repeat_end || close.ending_end || close.ending.is_some();
            if ended
                && let Some(ending) = open.endings.last_mut()
                && ending.end > index
            {
                ending.end = next;
            }
            left_open |= close.repeat_start && open.begun && open.backs.is_empty();
            // Behind the end of a section nothing goes back before it.
            left_open &= !close.section_end || close.repeat_end || close.repeat_start;
            if close.ending.is_some() {
                // A repeat that begins with its ending, as after the last time through another.
                if close.repeat_start {
                    self.repeats.extend(open.finished());
                    open = Repeat::begun_at(next);
                }
                open.endings.extend(Ending::of(close, closes.len(), next));
                continue;
            }
            let from_here = close.repeat_from && (!open.begun || !open.backs.is_empty());
            if close.repeat_start {
                self.repeats.extend(open.finished());
                open = Repeat::begun_at(next);
            } else if close.repeat_end || close.ending_end || from_here {
                self.repeats.extend(open.finished());
                open = Repeat::from(next);
            }
        }
        self.repeats.extend(open.finished());
    }

    fn take_routes(&mut self, mut routes: Vec<Said>) {
        // A sign drawn within the words "To Coda" or "D.S." says no more than they.
        let beside = |said: &Said, other: &dyn Fn(Route) -> bool| {
            let mut near = routes.iter().filter(|one| one.bar == said.bar);
            near.any(|one| other(one.route))
        };
        let leaves = |route| route == Route::ToCoda;
        let named: Vec<bool> = routes
            .iter()
            .map(|said| said.route == Route::Coda && beside(said, &leaves))
            .collect();
        let mut named = named.into_iter();
        routes.retain(|_| !named.next().unwrap_or_default());
        // Two coda signs, and no words: the first says where to leave, the second where to go.
        let is = |route: Route| move |said: &&Said| said.route == route;
        let only_signs = !routes.iter().any(|said| is(Route::ToCoda)(&said));
        if only_signs && routes.iter().filter(is(Route::Coda)).count() > 1 {
            let first = routes.iter_mut().find(|said| said.route == Route::Coda);
            first
                .into_iter()
                .for_each(|said| said.route = Route::ToCoda);
        }
        for Said {
            bar,
            behind,
            route,
            span,
        } in routes
        {
            let begins = bar + usize::from(behind);
            match route {
                Route::Jump(jump) => self.jumps.push((bar, jump, span)),
                Route::Segno => self.segnos.push(begins),
                Route::Coda => self.codas.push(begins),
                Route::ToCoda => self.to_codas.push(bar),
                Route::Fine => self.fines.push(bar),
                Route::Times(times) => {
                    // The first repeat that ends there or later; words over what is not repeated say nothing of it.
                    let repeat = self.repeats.iter_mut().find(|repeat| repeat.holds(bar));
                    if let Some(repeat) = repeat {
                        repeat.times = repeat.times.max(times);
                        repeat.span = span;
                    }
                }
                Route::Verses(verses) => self.verses = self.verses.or(Some((verses, span))),
            }
        }
    }
}

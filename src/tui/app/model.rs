//! All that the screens know.

use std::path::PathBuf;

use super::Layer;
use super::tour::Tour;
use crate::orchard::{Block, BlockId, Language, Marks, Pruner, Stamp, TreeCount, Winter};
use crate::outlook::pace::Currency;
use crate::report::{
    BlockProgress, Period, RepeatTree, Season, Standing, Touched, Walk, WinterProgress,
};
use crate::store::backup::{Contents, Shelved};
use crate::store::bundle::{Conflict, Joined, Twins};
use crate::tui::kit::Hand;
use crate::tui::{BudKeys, Mode, Screen, Theme, features};

/// All that the screens know.
#[derive(Debug)]
pub struct Model {
    /// What does not belong to one winter.
    pub house: House,
    /// The winter looked at; none before the first is set up.
    pub season: Option<Season>,
    /// The marks on trees as they were before the file was read last: so that marking can be taken back.
    pub marks_before: Marks,
    /// The backups of the file, oldest first.
    pub backups: Vec<Shelved>,
    /// What the file held when the list of backups was opened.
    pub holds: Option<Contents>,
    /// What there is of other tablets, as it was when last read.
    pub tablets: Tablets,
    /// Figures made from the winter, afresh whenever it changed.
    pub figures: Figures,
    /// How the screens look and answer on this tablet.
    pub look: Look,
    /// The moment of the last event.
    pub now: Stamp,
    /// The days that Crew and Blocks show.
    pub span: Span,
    /// The screen shown.
    pub screen: Screen,
    /// What lies over it, the uppermost last.
    pub layers: Vec<Layer>,
    /// What was done last was done by this.
    pub hand: Hand,
    /// The line at the foot.
    pub message: Option<Message>,
    /// Something was changed elsewhere that an open form changes too: it must be seen before the form is saved.
    pub met: bool,
    /// Columns and lines of the terminal.
    pub size: (u16, u16),
    /// The first round through the house, while somebody is on it.
    pub tour: Option<Tour>,
    /// State of the Today screen.
    pub today: features::today::State,
    /// State of the Count screen.
    pub count: features::count::State,
    /// State of the Crew screen.
    pub crew: features::crew_blocks::State,
    /// State of the Blocks screen.
    pub blocks: features::crew_blocks::State,
    /// State of the Winter screen.
    pub winter: features::winter::State,
    /// State of the Outlook screen.
    pub outlook: features::crop::State,
    /// State of the Set-up screen.
    pub setup: features::setup::State,
}

/// What there is of other tablets.
#[derive(Debug, Clone, Default)]
pub struct Tablets {
    /// The label of this one; empty where it has none yet.
    pub own: String,
    /// Folders at hand: what is plugged in stands first.
    pub folders: Vec<PathBuf>,
    /// Bundles at hand, newest first.
    pub found: Vec<PathBuf>,
    /// What was changed on two tablets.
    pub conflicts: Vec<Conflict>,
    /// What was entered on two tablets.
    pub twins: Vec<Twins>,
    /// Entries that were made one.
    pub joined: Vec<Joined>,
}

/// What does not belong to one winter.
#[derive(Debug, Clone, Default)]
pub struct House {
    /// The orchard's name.
    pub orchard: String,
    /// Language of sheets for whom none is noted.
    pub sheet_language: Language,
    /// Pruners are shown by number only.
    pub numbers_only: bool,
    /// Drawn trees are counted whole.
    pub whole_trees: bool,
    /// All blocks, by name.
    pub blocks: Vec<Block>,
    /// All pruners, by number.
    pub pruners: Vec<Pruner>,
    /// All winters, oldest first.
    pub winters: Vec<Winter>,
    /// How the screens look and answer.
    pub look: Look,
    /// The orchard's currency.
    pub currency: Currency,
    /// Counts of the winter looked at that were taken out of the figures, and can be brought back.
    pub removed: Vec<TreeCount>,
    /// What was changed or entered on two tablets, and waits for a person.
    pub to_settle: usize,
}

impl House {
    /// The block of this id.
    pub fn block(&self, block: BlockId) -> Option<&Block> {
        self.blocks.iter().find(|known| known.id == block)
    }
}

/// How the screens look and answer on this tablet.
#[derive(Debug, Clone, Default)]
pub struct Look {
    /// The colours.
    pub theme: Theme,
    /// Whether the colours were chosen for this run (`NO_COLOR` and the like) and settings do not change them.
    pub theme_fixed: bool,
    /// The letters of the bud field.
    pub bud_keys: BudKeys,
    /// Who counts on this tablet.
    pub counter: String,
    /// Whether upright wood and thick wood in the top have their buttons.
    pub extras: bool,
    /// The last piece that was drawn leaves the tree open.
    pub stays_open: bool,
}

/// Figures made from the winter.
#[derive(Debug, Clone, Default)]
pub struct Figures {
    /// How each pruner stands over the days of [`Model::span`].
    pub crew: Vec<Standing>,
    /// How each block stands over the same days.
    pub blocks: Vec<Standing>,
    /// Trees done and left in each block.
    pub progress: Vec<BlockProgress>,
    /// How each pruner stands over the winter so far.
    pub so_far: Vec<Standing>,
    /// Minutes that a tree takes, the walk with it; none where too few were counted one after the other.
    pub minutes_a_tree: Option<f64>,
    /// Which trees come next, and who stands where; none without a winter.
    pub walk: Option<Walk>,
    /// Trees of [`features::today`] that are still to be counted again.
    pub again: Vec<RepeatTree>,
    /// The winter's work, while the Winter screen is looked at: a forecast takes its time.
    pub winter: Option<WinterProgress>,
    /// The same with what is changed there.
    pub what_if: Option<WinterProgress>,
}

/// The days that figures are shown for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Span {
    /// The winter so far.
    #[default]
    Winter,
    /// The last seven days.
    Week,
    /// Today.
    Day,
}

impl Span {
    /// The next in the round.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::Winter => Self::Week,
            Self::Week => Self::Day,
            Self::Day => Self::Winter,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Winter => "winter so far",
            Self::Week => "last seven days",
            Self::Day => "today",
        }
    }

    /// The days, seen from today.
    pub fn period(self, today: chrono::NaiveDate) -> Period {
        match self {
            Self::Winter => Period::so_far(today),
            Self::Week => Period {
                since: today.checked_sub_days(chrono::Days::new(6)),
                until: today,
            },
            Self::Day => Period::day(today),
        }
    }
}

/// How loud a message is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Something to know.
    Note,
    /// Something went wrong.
    Problem,
}

/// The line at the foot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// How loud.
    pub tone: Tone,
    /// The words.
    pub words: String,
}

impl Model {
    /// A model of an empty house.
    pub fn new(now: Stamp, size: (u16, u16), look: Look) -> Self {
        Self {
            house: House::default(),
            season: None,
            marks_before: Marks::default(),
            backups: Vec::new(),
            holds: None,
            tablets: Tablets::default(),
            figures: Figures::default(),
            look,
            now,
            span: Span::default(),
            screen: Screen::Today,
            layers: Vec::new(),
            hand: Hand::default(),
            message: None,
            met: false,
            size,
            tour: None,
            today: features::today::State::default(),
            count: features::count::State::default(),
            crew: features::crew_blocks::State::default(),
            blocks: features::crew_blocks::State::default(),
            winter: features::winter::State::default(),
            outlook: features::crop::State::default(),
            setup: features::setup::State::default(),
        }
    }

    /// Which keys hold now.
    pub fn mode(&self) -> Mode {
        let layer = self.layers.last();
        let own = layer.and_then(Layer::mode);
        own.unwrap_or_else(|| self.screen_mode())
    }

    /// Shows a layer in place of whatever lies over the screen.
    pub fn show(&mut self, layer: Layer) {
        self.layers = vec![layer];
    }

    /// Which keys hold where nothing lies over the screen.
    pub fn screen_mode(&self) -> Mode {
        match self.screen {
            Screen::Crew if self.crew.is_open() => Mode::Detail,
            Screen::Blocks if self.blocks.is_open() => Mode::Detail,
            Screen::Outlook if self.outlook.is_open() => Mode::Detail,
            Screen::Today
            | Screen::Count
            | Screen::Crew
            | Screen::Blocks
            | Screen::Winter
            | Screen::Outlook
            | Screen::SetUp => Mode::Base,
        }
    }

    /// Says something at the foot.
    pub fn note(&mut self, words: impl Into<String>) {
        self.message = Some(Message {
            tone: Tone::Note,
            words: words.into(),
        });
    }

    /// Says at the foot what went wrong.
    pub fn problem(&mut self, words: impl Into<String>) {
        self.message = Some(Message {
            tone: Tone::Problem,
            words: words.into(),
        });
    }

    /// Makes the list of trees to walk to afresh: taps change it, and no other figure.
    pub fn refresh_walk(&mut self) {
        if let Some(season) = &self.season {
            self.figures.walk = Some(season.walk_among(self.now.day, &self.figures.so_far));
            self.figures.again = season.repeats_to_go(self.today.to_count_again());
        }
    }

    /// Makes the figures afresh.
    pub fn refresh(&mut self) {
        let Some(season) = &self.season else {
            self.figures = Figures::default();
            features::crew_blocks::refreshed(self);
            features::crop::refreshed(self);
            return;
        };
        let today = self.now.day;
        let (so_far, blocks_so_far) = season.all_standings(Period::so_far(today));
        (self.figures.crew, self.figures.blocks) = match self.span {
            Span::Winter => (so_far.clone(), blocks_so_far),
            Span::Week | Span::Day => season.all_standings(self.span.period(today)),
        };
        self.figures.so_far = so_far;
        self.refresh_rest();
    }

    /// The same after a change of counts alone: only the standings that are touched are made afresh.
    pub fn refresh_touched(&mut self, touched: &Touched) {
        let Some(season) = &self.season else { return };
        let (today, figures) = (self.now.day, &mut self.figures);
        let (winter, shown) = (Period::so_far(today), self.span.period(today));
        if self.span == Span::Winter {
            season.renew_standings(winter, touched, &mut figures.so_far, &mut figures.blocks);
            figures.crew.clone_from(&figures.so_far);
        } else {
            season.renew_standings(winter, touched, &mut figures.so_far, &mut []);
            season.renew_standings(shown, touched, &mut figures.crew, &mut figures.blocks);
        }
        self.refresh_rest();
    }

    /// What else follows from counts and standings.
    fn refresh_rest(&mut self) {
        let Some(season) = &self.season else { return };
        self.figures.progress = season.progress(self.now.day);
        self.figures.minutes_a_tree = season.minutes_a_tree();
        self.refresh_walk();
        features::crew_blocks::refreshed(self);
        features::winter::refreshed(self);
        features::crop::refreshed(self);
    }
}

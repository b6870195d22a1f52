# The words of day sheets and briefs in English. Each key stands in every language of this folder.
# Numbers arrive written out, but for those that choose a plural form. A message is one line, however long:
# a line break in it would be part of the sentence.

### Common to all sheets

orchard-unnamed = Orchard
winter-named = winter { $label }
day-named = { $weekday } { $iso }
weekday-1 = Monday
weekday-2 = Tuesday
weekday-3 = Wednesday
weekday-4 = Thursday
weekday-5 = Friday
weekday-6 = Saturday
weekday-7 = Sunday
month-1 = January
month-2 = February
month-3 = March
month-4 = April
month-5 = May
month-6 = June
month-7 = July
month-8 = August
month-9 = September
month-10 = October
month-11 = November
month-12 = December
# between numbers with decimals
list-numbers = { ", " }
list-last = { $first } and { $last }
percent = { $n } %
range-to = { $lo } to { $hi }
trees = { $n ->
    [one] { $n } tree
   *[other] { $n } trees
}
caution-ladders = Stand ladders and platforms firm and do not overreach; keep your free hand clear of sharp and powered secateurs.
caution-wounds = Where canker or fire blight is about, keep fresh wounds out of wet weather and disinfect tools between trees. Local codes and licensed practice come first.

### What is counted

metric-one = one-year wood
metric-two = two-year wood
metric-three = three-year wood
metric-four-plus = four-plus wood
metric-buds = buds
# with the article, where the language wants one
metric-the-one = { metric-one }
metric-the-two = { metric-two }
metric-the-three = { metric-three }
metric-the-four-plus = { metric-four-plus }
metric-the-buds = { metric-buds }
metric-short-one = one-year
metric-short-two = two-year
metric-short-three = three-year
metric-short-four-plus = four-plus
metric-short-buds = buds
# as in "pieces of one-year wood"
age-one = one-year
age-two = two-year
age-three = three-year
age-four-plus = four-plus
# heads of narrow columns
age-column-one = 1-year
age-column-two = 2-year
age-column-three = 3-year
age-column-four-plus = 4-plus
# units of two-year wood, by diameter
size-thin = thin
size-medium = medium
size-thick = thick

### Rules, intervals and verdicts

band-kept = { $lo }-{ $hi } %
band-too-old = to { $hi } %
band-compliance = from { $lo } %
interval-known = { $lo }-{ $hi } %
interval-open = not yet
verdict-wood-in-balance = in balance
verdict-wood-light = light
verdict-wood-heavy = heavy
verdict-wood-leaning-light = leaning light
verdict-wood-leaning-heavy = leaning heavy
verdict-wood-keep-counting = keep counting
# said of the whole before anything is known to be in balance
verdict-nothing-badly-wrong = nothing badly wrong
# of buds, too low a compliance is not called light: it would be read as too few buds
verdict-buds-in-balance = within the rule
verdict-buds-light = off the rule
verdict-buds-heavy = heavy
verdict-buds-leaning-light = leaning light
verdict-buds-leaning-heavy = leaning heavy
verdict-buds-keep-counting = keep counting
# a whole verdict with the metric that it rests on
whole-wood-in-balance = { verdict-wood-in-balance } ({ $metric })
whole-wood-light = { verdict-wood-light } ({ $metric })
whole-wood-heavy = { verdict-wood-heavy } ({ $metric })
whole-wood-leaning-light = { verdict-wood-leaning-light } ({ $metric })
whole-wood-leaning-heavy = { verdict-wood-leaning-heavy } ({ $metric })
whole-wood-keep-counting = { verdict-wood-keep-counting } ({ $metric })
whole-buds-in-balance = { verdict-buds-in-balance } ({ $metric })
whole-buds-light = { verdict-buds-light } ({ $metric })
whole-buds-heavy = { verdict-buds-heavy } ({ $metric })
whole-buds-leaning-light = { verdict-buds-leaning-light } ({ $metric })
whole-buds-leaning-heavy = { verdict-buds-leaning-heavy } ({ $metric })
whole-buds-keep-counting = { verdict-buds-keep-counting } ({ $metric })
more-about = { $n ->
    [one] about { $n } more tree
   *[other] about { $n } more trees
}
more-too-close = too close to call yet
more-unknown = too few trees for a forecast
more-not-looked-at = look at the others first

### Day sheet: headings and columns

day-sheet-title = Day sheet { $who }
day-sheet-blocks = Blocks: { $blocks }
day-sheet-right = Right
day-sheet-change = To change
day-sheet-go-back = Rows to go back to
day-sheet-wood = Wood
day-sheet-rule = Rule
day-sheet-left = Left
# the range that the true share lies in
day-sheet-interval = Between
day-sheet-this-day = This day
day-sheet-trees = Trees
day-sheet-verdict = Verdict
day-sheet-bar-left = left
day-sheet-pieces = { $n } pieces on the average tree
day-sheet-information = For information, on the average tree: { $upright } upright one-year pieces, { $thick } thick pieces in the top.
day-sheet-over = Too many
day-sheet-under = Too few
day-sheet-by-day = By day
day-sheet-buds-in-rule = Buds in rule

### Day sheet: sentences

status-none = No tree has been counted yet, so nothing can be said.
status-counting = Still counting: { $more }. No change is asked for yet.
status-fine = Nothing is badly wrong. Whether it is in balance: { $more }. No change is asked for yet.
status-leaning = { $whole }. Not sure yet: { $more }.
status-found = { $whole }.
basis-judged = Judged on { $trees } counted this winter: { $drawn } drawn at random, { $eye } chosen by eye. On this day: { $today }.
basis-by-eye = Most of these trees were chosen by eye and not by the draw: they may not stand for all.
basis-counting = By { $trees } counted twice, much of the difference between trees seems to come from the counting, not from the wood: { $parts }. The ranges below allow for chance in it, but not for a counter who always sees more or less than another.
basis-counting-part = { $share } of it for { $of }
basis-shares = Shares by age rest on { $trees }: a bare tree has none, nor has one of which only the buds were counted.
basis-in-part = { $trees } counted in part: pieces are scaled up to the whole tree.
right-all = Every age of wood is in balance, and the buds are within the rule.
right-balance = { $n ->
    [one] { $metrics } is in balance.
   *[other] { $metrics } are in balance.
}
right-within = { $n ->
    [one] { $metrics } is within the rule.
   *[other] { $metrics } are within the rule.
}
right-not-known = Nothing is known yet.
right-not-settled = { $n ->
    [one] { $n } tree counted; nothing is settled as in balance yet.
   *[other] { $n } trees counted; nothing is settled as in balance yet.
}
open-metrics = Not settled yet: { $metrics }.
swap-light = { $n ->
    [0] Leave a little more { $age } wood, less than a piece a tree.
    [one] Leave about { $n } more { $age } piece a tree.
   *[other] Leave about { $n } more { $age } pieces a tree.
}
swap-heavy = { $n ->
    [0] Take out a little more { $age } wood, less than a piece a tree.
    [one] Take out about { $n } more { $age } piece a tree.
   *[other] Take out about { $n } more { $age } pieces a tree.
}
swap-too-old = { $n ->
    [0] Take out a little more { $age } wood, less than a piece a tree.
    [one] Take out about { $n } { $age } piece a tree: it is older than may stay.
   *[other] Take out about { $n } { $age } pieces a tree: it is older than may stay.
}
swap-leaning-light = { $n ->
    [0] { $wood } looks light: it seems less than a piece a tree too few.
    [one] { $wood } looks light: it seems about { $n } piece a tree too few.
   *[other] { $wood } looks light: it seems about { $n } pieces a tree too few.
}
swap-leaning-heavy = { $n ->
    [0] { $wood } looks heavy: it seems less than a piece a tree too many.
    [one] { $wood } looks heavy: it seems about { $n } piece a tree too many.
   *[other] { $wood } looks heavy: it seems about { $n } pieces a tree too many.
}
swap-none = { $wood }: { $verdict }.
balance-sure = To keep the number of pieces: { $pieces }.
# some of what is to go has no wood in its place: the number is not kept
balance-short = { $n ->
    [one] With it { $pieces }; the tree keeps { $n } piece fewer, as no more was there that may stay.
   *[other] With it { $pieces }; the tree keeps { $n } pieces fewer, as no more was there that may stay.
}
balance-unsure = That would mean { $pieces }.
balance-fewer = { $n } fewer { $age }
balance-more = { $n } more { $age }
not-there = { $wood } is short, but the trees did not offer it: { $offered } pieces a tree before pruning, { $left } left. There is nothing to change about it; wood of the other ages that may stay is held in its place.
where-offered = Leave more only where the tree offers it.
where-counted = { $n ->
    [one] No more is asked than was there ({ $n } tree counted before pruning). { where-offered }
   *[other] No more is asked than was there ({ $n } trees counted before pruning). { where-offered }
}
buds-within = Buds: on the average tree { $within } of the units (pieces of two-year wood) keep the rule; at least { $wanted } should.
buds-of-size = { $size } units: { $left } buds left on average, the rule is { $limit }; { $advice }.
buds-leave-fewer = leave fewer
buds-leave-more = leave more
buds-mixed = some have more, some fewer
week-nearer = { $metric }: { $now } in the last 7 days ({ $trees-now }), { $before } in the 7 before ({ $trees-before }): nearer to the rule.
week-farther = { $metric }: { $now } in the last 7 days ({ $trees-now }), { $before } in the 7 before ({ $trees-before }): farther from the rule.
go-back-row = { $block }, row { $row }
go-back-sent = sent back { $day }
go-back-open = open
go-back-redone = redone by { $pruner } { $day }
outcome-mended = mended
outcome-still-wrong = still wrong
outcome-left-as-is = left as is

### Brief: headings and columns

brief-title = Brief { $block }
brief-block = { $n ->
    [one] { $density } trees/ha, { $n } stem a tree. For the harvest of { $season }.
   *[other] { $density } trees/ha, { $n } stems a tree. For the harvest of { $season }.
}
brief-to-leave = To leave for { $aim }: { $tonnes } t/ha, { $kg } kg a tree
brief-no-aim = No aim is set for this block: set one on the Outlook screen (F7), under Entries.
brief-a-tree = a tree
brief-a-stem = a stem
brief-fruit = Fruit harvested
brief-fruit-set = Fruit after thinning
brief-clusters = Clusters kept
brief-fruit-buds = Fruit buds
brief-buds = Buds, as they are counted
brief-units = Units (two-year pieces)
brief-pieces = pieces of { $age } wood
brief-extra = and one-year for next winter's losses
brief-buds-a-unit = Buds on a unit
brief-units-a-tree = units/tree
brief-units-a-stem = units/stem
brief-tonnes-same = t/ha if units stay
brief-factors = Factors
brief-value = value
brief-within = 4 times of 5 within
brief-seasons = Seasons

### Brief: sentences

aim-tonnes = { $n } t/ha
aim-fruit = { $n } fruit a tree
aim-trunk = { $n } fruit per cm² of trunk (girth { $girth } cm)
taken-here = Taken here, not stored: { $taken }.
taken-buds = buds a unit
buds-rule = Buds by the rule: { $rule }. Here { $n } a unit: { $from }. Mean figures: half of the seasons give less.
buds-from-taken = taken here
buds-from-counted = the rule, over the sizes of unit that were counted
buds-from-thirds = the rule, over a third of the units of each size (from memory)
factor-fruit-weight = fruit weight, g
factor-fruit-per-cluster = fruit kept per cluster
factor-set = clusters kept per fruit bud
factor-loss = share of fruit lost before harvest
factor-fruit-buds = share of fruit buds
source-memory = from memory
source-practice = common practice, no source
source-entered = entered for this block
source-taken = taken here, not stored
# $work is the publication, named
published-fruit-weight = { $work }: 171 to 228 g over two pear varieties
published-fruit-per-cluster = { $work }: the 1 to 2 largest fruit of a cluster are left
published-fruit-buds = { $work }, on counting buds: 0.84 of the buds fruitful (spread from memory)
source-own = { $n ->
    [one] own counts: { $count } in { $n } season, { $share } of the value
   *[other] own counts: { $count } in { $n } seasons, { $share } of the value
}
growth-known = { $n } new one-year pieces a tree each winter; of 100 pieces of each age, youngest first, { $kept } are there a winter later. Source: { $source }.
growth-not-known = new one-year wood not known; of 100 pieces of each age, youngest first, { $kept } are there a winter later. Source: { $source }.
growth-from-counts = growth from the trees counted before pruning; losses from memory
growth-from-memory = growth and losses from memory: enter the block's own, or count before pruning
growth-losses = losses from memory
yields = Yields, t/ha: { $yields }.
bearing-not-known = Alternate bearing: not known; it takes the yields of two seasons that follow each other.
bearing-known = { $n ->
    [one] Alternate bearing: { $ratios } as the mean of ratios (form: University of Georgia, pecan breeding pages), { $sums } as the ratio of sums (form from memory: Hoblyn et al. 1936), over { $n } pair of seasons. 0 is no swing, 1 a crop every other year.
   *[other] Alternate bearing: { $ratios } as the mean of ratios (form: University of Georgia, pecan breeding pages), { $sums } as the ratio of sums (form from memory: Hoblyn et al. 1936), over { $n } pairs of seasons. 0 is no swing, 1 a crop every other year.
}
bearing-caution = CAUTION: { $caution }
season-heavy = Last season was heavy ({ $ratio } of the others): fruit buds may be few. Look at them before cutting to the number of buds.
season-light = Last season was light ({ $ratio } of the others): fruit buds may be many, and a heavy crop may follow.

### Paper: headings and captions

paper-figures = The figures
paper-wood = Wood and buds beside the rule
paper-buds = Buds left on a unit (a piece of two-year wood), by size
paper-units-of = Units
paper-counted = Counted
paper-days = The last days with counts
paper-day = Day
paper-briefs = Briefs
paper-day-sheets = Day sheets
paper-what = What
paper-leave = On the average tree and stem
paper-by-buds = What other numbers of buds a unit would mean
paper-factor = Factor
paper-source = Source
paper-rests-on = What it rests on

### Pictures: short words, cut where there is no room

picture-mix-title = Wood left, by age
picture-ternary-title = The counted trees between the ages
picture-buds-title = Buds left, by size of unit
picture-trend-title = From day to day
picture-rows-title = The rows from above
picture-progress-title = Trees pruned, and the finish
picture-ahead-title = Wood by age, winters ahead
picture-crop-title = The crop, winters ahead
picture-buds-within = buds in the rule
picture-accepted = accepted
picture-wanted = wanted
picture-interval = interval
picture-mean = mean
picture-tree = a tree
picture-trees = trees
picture-of = of
picture-shown = shown
picture-lowest-to-highest = lowest to highest tree
picture-day-mean = mean of a day
picture-without-four-plus = four-plus wood left out; the three add up to 100 %
picture-units = units
picture-within = within
picture-outside = outside
picture-rule = rule
picture-left-on-mean = mean left
picture-over = over
picture-under = under
picture-to-prune = to prune
picture-pruned = pruned
picture-counted = counted
picture-partly = partly
picture-sent-back = go back
picture-marked = marked
picture-row = row
picture-done = pruned
picture-to-come = to come, likely
picture-middle = middle
picture-budburst = budburst
picture-finish = finish
picture-in-time = in time
picture-beyond-a-year = beyond a year
picture-no-forecast = no forecast yet
picture-this-winter = now
picture-winter = winter
picture-pieces-a-tree = pieces a tree
picture-tonnes-per-ha = t/ha
picture-range = four times of five
picture-nothing = nothing counted
picture-all-of-one = all one-year
picture-all-of-two = all two-year
picture-all-of-three = all three-year
picture-scenarios-as-pruned = as pruned
picture-scenarios-mended = mended now
picture-scenarios-on-rule = on the rule
month-short-1 = Jan
month-short-2 = Feb
month-short-3 = Mar
month-short-4 = Apr
month-short-5 = May
month-short-6 = Jun
month-short-7 = Jul
month-short-8 = Aug
month-short-9 = Sep
month-short-10 = Oct
month-short-11 = Nov
month-short-12 = Dec

together = Look together at: { $block }, row { $row }, tree { $tree } (the reference tree).

//! How measured numbers pull golfers: what a golfer with given causes must be like to show them.
//!
//! With the causes given, the measured axes are all but straight lines in what makes a golfer: the
//! personal deviations, those of each club, and the sizes of the causes' shifts, all of them normal
//! scores. So these scores given the numbers are normal too, and how well a set of causes goes with
//! the numbers follows without drawing anything. Takes the numbers and the tables of their groups;
//! gives for a golfer the middle and the spread of those scores, draws them, and states the fit.
//! Only proposals are made with it: the weights of the golfers drawn are exact, so a bent line
//! costs golfers, not truth. Knows nothing of symptoms.

use super::evidence::{Plan, reading};
use super::model::{Axis, Evidence};
use super::population::{Golfer, PERSON, Population};
use super::quantities::{AXES, Axes};
use super::world::{Ground, World};
use crate::beside::each;
use crate::vocabulary::GroupId;

/// Errors count as this much wider, since numbers are weighed with heavier tails than normal.
const WIDER: f64 = 1.25;
/// Less change than this for a whole score is none.
const SLIGHT: f64 = 1e-3;

/// A score that the numbers pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Score {
    /// A personal deviation.
    Person(usize),
    /// A deviation of one club, or the size of a shift, by key.
    Key(u64),
}

/// One measured number.
#[derive(Debug, Clone)]
struct Line {
    axis: Axis,
    group: GroupId,
    value: f64,
    /// One over the square of the widened error.
    precision: f64,
    /// Change of the axis for one of each score of [`Pull::everybody`].
    slope: Vec<f64>,
    /// Change of the axis for one more of a shift, by axis shifted.
    by_shift: [f64; AXES],
}

/// What measured numbers say of golfers.
#[derive(Debug, Clone)]
pub(super) struct Pull {
    lines: Vec<Line>,
    /// The groups of the lines, each once.
    groups: Vec<GroupId>,
    /// The scores that every golfer has and that move one of the axes.
    everybody: Vec<Score>,
}

/// The scores of one golfer given the numbers.
struct Pulled {
    scores: Vec<Score>,
    middle: Vec<f64>,
    root: Root,
    /// Log of how likely the numbers are with this golfer's causes, whatever the scores; the same
    /// constant is left out for all golfers.
    log_fit: f64,
}

impl Pull {
    /// What the measured numbers of the evidence say; nothing where nothing was measured.
    pub(super) fn new(ground: &Ground, plan: &Plan) -> Option<Self> {
        let read = plan.items.iter().filter_map(|i| reading(&ground.model, i));
        let read: Vec<_> = read
            .filter(|(_, g, ..)| ground.table(*g).is_some())
            .collect();
        let mut groups: Vec<GroupId> = read.iter().map(|(_, group, ..)| *group).collect();
        groups.sort_unstable();
        groups.dedup();
        let mut everybody: Vec<Score> = (0..PERSON).map(Score::Person).collect();
        for tables in groups.iter().filter_map(|g| ground.table(*g)) {
            everybody.extend(tables.own_keys().map(Score::Key));
        }
        let mut lines: Vec<Line> = read
            .into_iter()
            .map(|(axis, group, value, error)| Line {
                axis,
                group,
                value: f64::from(value),
                precision: (f64::from(error) * WIDER).powi(-2),
                slope: everybody
                    .iter()
                    .map(|&score| slope(ground, axis, group, score))
                    .collect(),
                by_shift: by_shift(ground, axis, group),
            })
            .collect();
        let steep = |s: &f64| s.abs() > SLIGHT;
        let kept: Vec<bool> = (0..everybody.len())
            .map(|at| lines.iter().any(|l| l.slope.get(at).is_some_and(steep)))
            .collect();
        let mut keep = kept.iter();
        everybody.retain(|_| keep.next().copied().unwrap_or(false));
        for line in &mut lines {
            let mut keep = kept.iter();
            line.slope.retain(|_| keep.next().copied().unwrap_or(false));
        }
        (!everybody.is_empty()).then_some(Self {
            lines,
            groups,
            everybody,
        })
    }

    /// Whether a personal deviation is among what the numbers pull.
    pub(super) fn moves(&self, dimension: usize) -> bool {
        self.everybody.contains(&Score::Person(dimension))
    }

    /// Log of how well the causes of a golfer whose rows are worked out go with the numbers.
    pub(super) fn log_fit(&self, ground: &Ground, world: &World, index: usize) -> f64 {
        let golfer = world.population.golfer(index);
        let (scores, slopes) = self.scores(ground, &golfer);
        let own: Vec<f64> = scores.iter().map(|s| of(ground, &golfer, *s)).collect();
        let levels = self.lines.iter().zip(&slopes).map(|(line, slope)| {
            let here = f64::from(world.axis(index, line.axis, line.group));
            here - slope.iter().zip(&own).map(|(s, x)| s * x).sum::<f64>()
        });
        let levels = levels.collect::<Vec<f64>>();
        self.pulled(scores, &slopes, &levels).log_fit
    }

    /// Draws the pulled scores of every golfer of a population from `from` on, whose deviations are
    /// normal scores so far; the others keep theirs. Returns log of proposal over prior, golfer by
    /// golfer.
    pub(super) fn draw(&self, ground: &Ground, golfers: &mut Population, from: usize) -> Vec<f64> {
        let drawn = each(golfers.count, |i| {
            self.drawn(ground, &golfers.golfer(i), i < from)
        });
        let mut logs = Vec::with_capacity(golfers.count);
        for (i, (log, scores)) in drawn.into_iter().enumerate() {
            logs.push(log);
            for (score, x) in scores {
                match score {
                    Score::Person(d) => {
                        if let Some(slot) = golfers.person.get_mut(i * PERSON + d) {
                            *slot = x as f32;
                        }
                    }
                    Score::Key(key) => golfers.set_score(i, key, x as f32),
                }
            }
        }
        logs
    }

    /// Log of proposal over prior of one golfer, and its pulled scores unless it keeps its own.
    fn drawn(&self, ground: &Ground, golfer: &Golfer<'_>, keeps: bool) -> (f64, Vec<(Score, f64)>) {
        let (scores, slopes) = self.scores(ground, golfer);
        let own: Vec<f64> = scores.iter().map(|s| of(ground, golfer, *s)).collect();
        let levels = self.levels(ground, golfer, &scores, &slopes, &vec![0.0; scores.len()]);
        let first = self.pulled(scores, &slopes, &levels);
        // The lines are bent a little: once more, straight through where the numbers pulled.
        let levels = self.levels(ground, golfer, &first.scores, &slopes, &first.middle);
        let pulled = self.pulled(first.scores, &slopes, &levels);
        let x: Vec<f64> = if keeps {
            own
        } else {
            let spread = pulled.root.back(own);
            let moved = pulled.middle.iter().zip(spread);
            moved.map(|(m, s)| m + s).collect()
        };
        let off: Vec<f64> = x.iter().zip(&pulled.middle).map(|(x, m)| x - m).collect();
        let there = pulled.root.square(&off);
        let prior: f64 = x.iter().map(|x| x * x).sum();
        let log = 0.5 * (prior - there) + pulled.root.log_size;
        let scores = if keeps {
            Vec::new()
        } else {
            pulled.scores.into_iter().zip(x).collect()
        };
        (log, scores)
    }

    /// The scores that the numbers pull in this golfer, and their slopes, line by line.
    fn scores(&self, ground: &Ground, golfer: &Golfer<'_>) -> (Vec<Score>, Vec<Vec<f64>>) {
        let room = self.everybody.len() + 2 * golfer.causes.len();
        let mut scores = Vec::with_capacity(room);
        scores.extend_from_slice(&self.everybody);
        let roomy = |line: &Line| {
            let mut slope = Vec::with_capacity(room);
            slope.extend_from_slice(&line.slope);
            slope
        };
        let mut slopes: Vec<Vec<f64>> = self.lines.iter().map(roomy).collect();
        for &group in &self.groups {
            let Some(tables) = ground.table(group) else {
                continue;
            };
            let wanted = |axis: usize| {
                let mut lines = self.lines.iter().filter(|l| l.group == group);
                lines.any(|l| l.by_shift.get(axis).is_some_and(|by| by.abs() > 0.0))
            };
            for (key, axis, per_score) in tables.sizes(golfer.causes, wanted) {
                let moves = |line: &Line| {
                    let by = line.by_shift.get(axis).copied().unwrap_or(0.0);
                    if line.group == group {
                        by * per_score
                    } else {
                        0.0
                    }
                };
                if !self.lines.iter().any(|l| moves(l).abs() > SLIGHT) {
                    continue;
                }
                let known = scores.iter().position(|s| *s == Score::Key(key));
                let at = known.unwrap_or_else(|| {
                    scores.push(Score::Key(key));
                    scores.len() - 1
                });
                for (line, slope) in self.lines.iter().zip(&mut slopes) {
                    slope.resize(scores.len(), 0.0);
                    if let Some(slot) = slope.get_mut(at) {
                        *slot += moves(line);
                    }
                }
            }
        }
        (scores, slopes)
    }

    /// What the measured axes of a golfer would be with all these scores at nothing, if they were
    /// straight lines through the golfer who has the scores `at`.
    fn levels(
        &self,
        ground: &Ground,
        golfer: &Golfer<'_>,
        scores: &[Score],
        slopes: &[Vec<f64>],
        at: &[f64],
    ) -> Vec<f64> {
        let mut person = golfer.person.to_vec();
        let mut set = Vec::with_capacity(scores.len());
        for (score, x) in scores.iter().zip(at) {
            match score {
                Score::Person(d) => {
                    if let Some(slot) = person.get_mut(*d) {
                        *slot = *x as f32;
                    }
                }
                Score::Key(key) => set.push((*key, *x as f32)),
            }
        }
        let there = Golfer {
            person: &person,
            set: &set,
            ..*golfer
        };
        let axes: Vec<Option<Axes>> = self
            .groups
            .iter()
            .map(|g| ground.table(*g).map(|t| t.axes(&there, &ground.normal)))
            .collect();
        let axis = |line: &Line| {
            let at = self.groups.iter().position(|g| *g == line.group)?;
            let axes = axes.get(at)?.as_ref()?;
            axes.get(line.axis as usize).map(|&x| f64::from(x))
        };
        let lines = self.lines.iter().zip(slopes);
        lines
            .map(|(line, slope)| {
                let moved: f64 = slope.iter().zip(at).map(|(s, x)| s * x).sum();
                axis(line).map_or(line.value, |here| here - moved)
            })
            .collect()
    }

    /// The scores given the numbers.
    fn pulled(&self, scores: Vec<Score>, slopes: &[Vec<f64>], levels: &[f64]) -> Pulled {
        let mut asked = vec![0.0; scores.len()];
        let mut squares = 0.0;
        for ((line, slope), level) in self.lines.iter().zip(slopes).zip(levels) {
            let off = line.value - level;
            squares += off * off * line.precision;
            for (sum, slope) in asked.iter_mut().zip(slope) {
                *sum += slope * off * line.precision;
            }
        }
        let precisions = self.lines.iter().map(|l| l.precision);
        let root = Root::new(scores.len(), slopes, &precisions.collect::<Vec<f64>>());
        let middle = root.back(root.forward(asked.clone()));
        let explained: f64 = asked.iter().zip(&middle).map(|(a, m)| a * m).sum();
        Pulled {
            scores,
            middle,
            log_fit: -0.5 * (squares - explained).max(0.0) - root.log_size,
            root,
        }
    }
}

/// A score of a golfer.
fn of(ground: &Ground, golfer: &Golfer<'_>, score: Score) -> f64 {
    f64::from(match score {
        Score::Person(d) => golfer.person.get(d).copied().unwrap_or(0.0),
        Score::Key(key) => golfer.score(&ground.normal, key),
    })
}

/// An axis of a golfer without causes who has one score and nothing else.
fn slope(ground: &Ground, axis: Axis, group: GroupId, score: Score) -> f64 {
    let mut person = [0.0f32; PERSON];
    let tables = ground.table(group);
    let mut keys: Vec<(u64, f32)> =
        tables.map_or(Vec::new(), |t| t.own_keys().map(|key| (key, 0.0)).collect());
    let mut at = |x: f32| {
        match score {
            Score::Person(d) => {
                if let Some(slot) = person.get_mut(d) {
                    *slot = x;
                }
            }
            Score::Key(key) => {
                for slot in keys.iter_mut().filter(|(k, _)| *k == key) {
                    slot.1 = x;
                }
            }
        }
        let golfer = Golfer {
            causes: &[],
            person: &person,
            seed: 0,
            index: 0,
            set: &keys,
        };
        let axes = tables.map(|t| t.axes(&golfer, &ground.normal));
        axes.and_then(|a| a.get(axis as usize).copied())
            .map_or(0.0, f64::from)
    };
    0.5 * (at(1.0) - at(-1.0))
}

/// Change of an axis for one more of each shift, about the golfer with none.
fn by_shift(ground: &Ground, axis: Axis, group: GroupId) -> [f64; AXES] {
    let mut out = [0.0; AXES];
    let Some(tables) = ground.table(group) else {
        return out;
    };
    let nobody = Golfer::NOBODY;
    for (shifted, out) in out.iter_mut().enumerate() {
        let at = |x: f32| {
            let mut by = [0.0; AXES];
            if let Some(slot) = by.get_mut(shifted) {
                *slot = x;
            }
            let axes = tables.moved(&nobody, &ground.normal, &by);
            axes.get(axis as usize).copied().map_or(0.0, f64::from)
        };
        *out = 0.5 * (at(1.0) - at(-1.0));
    }
    out
}

/// A root of the spread of scores given the numbers, whose precision is that of standard normals and
/// what each number adds along its slopes. Number by number: each narrows the scores along one
/// direction and leaves the rest, so a golfer costs scores times numbers squared, and a score that
/// no number moves stays where it was.
struct Root {
    n: usize,
    /// For every number its slopes in units of its error, then the direction it narrows; `n` each.
    rows: Vec<f64>,
    /// How much of its direction each number takes away.
    shares: Vec<f64>,
    /// Log of the determinant of the precision's root.
    log_size: f64,
}

impl Root {
    fn new(n: usize, slopes: &[Vec<f64>], precisions: &[f64]) -> Self {
        let mut root = Self {
            n,
            rows: Vec::with_capacity(2 * n * slopes.len()),
            shares: Vec::with_capacity(slopes.len()),
            log_size: 0.0,
        };
        for (slope, precision) in slopes.iter().zip(precisions) {
            let scale = precision.sqrt();
            let by: Vec<f64> = slope.iter().map(|s| s * scale).collect();
            let along = root.forward(by.clone());
            let size: f64 = along.iter().map(|x| x * x).sum();
            let share = if size > 1e-12 {
                (1.0 - 1.0 / (1.0 + size).sqrt()) / size
            } else {
                0.5
            };
            root.log_size += 0.5 * size.ln_1p();
            root.rows.extend(by);
            root.rows.extend(along);
            root.shares.push(share);
        }
        root
    }

    fn direction(&self, number: usize) -> &[f64] {
        let from = (2 * number + 1) * self.n;
        self.rows.get(from..from + self.n).unwrap_or(&[])
    }

    fn narrow(&self, x: &mut [f64], number: usize, share: f64) {
        let along = self.direction(number);
        let dot: f64 = along.iter().zip(&*x).map(|(a, x)| a * x).sum();
        for (x, a) in x.iter_mut().zip(along) {
            *x -= share * dot * a;
        }
    }

    /// The transpose of the root times a vector.
    fn forward(&self, mut x: Vec<f64>) -> Vec<f64> {
        for (number, &share) in self.shares.iter().enumerate() {
            self.narrow(&mut x, number, share);
        }
        x
    }

    /// The root times a vector: normal scores become scores that go with the numbers.
    fn back(&self, mut x: Vec<f64>) -> Vec<f64> {
        for (number, &share) in self.shares.iter().enumerate().rev() {
            self.narrow(&mut x, number, share);
        }
        x
    }

    /// The square of a vector in the measure of the precision.
    fn square(&self, x: &[f64]) -> f64 {
        let own: f64 = x.iter().map(|x| x * x).sum();
        let numbers = self.rows.chunks_exact(2 * self.n.max(1)).map(|rows| {
            let dot: f64 = rows.iter().zip(x).map(|(a, x)| a * x).sum();
            dot * dot
        });
        own + numbers.sum::<f64>()
    }
}

/// True for evidence that a pull takes in.
pub(super) const fn is_number(item: &Evidence) -> bool {
    matches!(item, Evidence::Measured { .. })
}

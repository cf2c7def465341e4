//! The columns of a table: the code, the figure and the kind of cell of each, in one list. Which of them
//! a table has: `columns` in `figures.rs`.

use super::row::Row;

/// How the cells of a column are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shown {
    /// The place with its interval.
    Place,
    /// Names of tool and pack.
    Pair,
    /// Three figures of a torque per kg or per price.
    ThreeFigures,
    /// Of 100 tries.
    Chance,
    /// A time, or that the job is not reached.
    Time,
    /// Power.
    Power,
    /// Rise rate.
    RiseRate,
    /// Torque.
    Torque,
    /// Torque that is surely reached: rounded down.
    TorqueDown,
    /// A percentage of the maker's stated torque, and that torque.
    OfStated,
    /// Mass.
    Mass,
    /// Length.
    Length,
    /// Price with its currency.
    Price,
    /// Counts of runs and tools.
    Counts,
}

/// From which end a column is sorted first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sorted {
    LeastFirst,
    LargestFirst,
}
use Sorted::{LargestFirst, LeastFirst};

/// Declares the columns: the heading is the text `table.CODE` of the catalogue; the figure is what a row
/// is sorted by, nothing where there is none.
macro_rules! columns {
    ($($(#[$about:meta])+ $column:ident $code:literal $sorted:ident $shown:ident |$row:ident| $figure:expr;)*) => {
        /// A column. Its code is the same in every language.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Column {
            $($(#[$about])+ $column,)*
        }

        /// Every column, in the order in which a table shows those it has.
        pub const COLUMNS: &[Column] = &[$(Column::$column),*];

        impl Column {
            /// Its code.
            pub fn code(self) -> &'static str {
                match self {
                    $(Self::$column => $code,)*
                }
            }

            /// Whether more is better, so that sorting begins with the largest.
            pub fn largest_first(self) -> bool {
                let sorted = match self {
                    $(Self::$column => $sorted,)*
                };
                sorted == LargestFirst
            }

            /// How its cells are told.
            pub(crate) fn shown(self) -> Shown {
                match self {
                    $(Self::$column => Shown::$shown,)*
                }
            }

            /// The figure that a row is sorted by; nothing where there is none, and for the pair, which
            /// is sorted by its name.
            pub fn figure(self, row: &Row) -> Option<f64> {
                match self {
                    $(Self::$column => {
                        let $row = row;
                        $figure
                    })*
                }
            }
        }
    };
}

columns! {
    /// Place with its interval.
    Place "place" LeastFirst Place |row| row.rank.map(f64::from);
    /// Tool and pack.
    Pair "pair" LeastFirst Pair |_row| None;
    /// What the field is ranked by, per kg or per price.
    Value "value" LargestFirst ThreeFigures |row| row.value;
    /// Chance of a further try, of 100.
    Chance "chance" LargestFirst Chance |row| row.reach_probability;
    /// Typical time to the job.
    Time "time" LeastFirst Time |row| row.figures.time_to_job_s;
    /// Average power to the job.
    Power "power" LargestFirst Power |row| reached(row.figures.average_power_w);
    /// Rise rate to the job.
    RiseRate "rise_rate" LargestFirst RiseRate |row| reached(row.figures.rise_rate_nm_per_s);
    /// Average power, best of three.
    BestPower "best_power" LargestFirst Power |row| reached(row.figures.best_of_three_power_w);
    /// Rise rate, best of three.
    BestRiseRate "best_rise_rate" LargestFirst RiseRate
        |row| reached(row.figures.best_of_three_rise_rate_nm_per_s);
    /// Typical mean torque.
    Mean "mean" LargestFirst Torque |row| row.figures.mean_torque_nm;
    /// Typical torque at one second.
    Early "early" LargestFirst Torque |row| row.figures.early_torque_nm;
    /// The torque that 19 of 20 tries reach.
    Nineteen "nineteen" LargestFirst TorqueDown |row| row.torque_19_of_20_nm;
    /// Typical peak torque.
    Peak "peak" LargestFirst Torque |row| row.figures.peak_torque_nm;
    /// The peak beside the maker's stated figure.
    Stated "stated" LargestFirst OfStated
        |row| Some(row.figures.peak_torque_nm? / row.stated_torque_nm?);
    /// Mass of tool and pack.
    Mass "mass" LeastFirst Mass |row| row.mass_kg;
    /// Length of the tool.
    Length "length" LeastFirst Length |row| row.length_mm;
    /// Price of tool and pack.
    Price "price" LeastFirst Price |row| row.price;
    /// Runs and tools behind the figures.
    Tested "tested" LargestFirst Counts |row| row.figures.runs_used.map(f64::from);
}

impl Column {
    /// Whether it shows power, or the rise rate in its stead: a table has one of these.
    pub fn is_power(self) -> bool {
        matches!(self.shown(), Shown::Power | Shown::RiseRate)
    }

    /// Whether its cells are figures, to be set against the right.
    pub fn holds_figures(self) -> bool {
        !matches!(self.shown(), Shown::Pair | Shown::Counts)
    }
}

/// A score of a job that is reached: it is 0 where that is not.
fn reached(figure: Option<f64>) -> Option<f64> {
    figure.filter(|figure| *figure > 0.0)
}

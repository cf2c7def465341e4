//! The columns of a table.

/// A column. Its code is the same in every language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Place with its interval.
    Place,
    /// Tool and pack.
    Pair,
    /// What the field is ranked by, per kg or per price.
    Value,
    /// Chance of a further try, of 100.
    Chance,
    /// Typical time to the job.
    Time,
    /// Average power to the job.
    Power,
    /// Rise rate to the job.
    RiseRate,
    /// Average power, best of three.
    BestPower,
    /// Rise rate, best of three.
    BestRiseRate,
    /// Typical mean torque.
    Mean,
    /// Typical torque at one second.
    Early,
    /// The torque that 19 of 20 tries reach.
    Nineteen,
    /// Typical peak torque.
    Peak,
    /// The peak beside the maker's stated figure.
    Stated,
    /// Mass of tool and pack.
    Mass,
    /// Length of the tool.
    Length,
    /// Price of tool and pack.
    Price,
    /// Runs and tools behind the figures.
    Tested,
}

/// Every column, in the order in which a table shows those it has.
pub const COLUMNS: [Column; 18] = [
    Column::Place,
    Column::Pair,
    Column::Value,
    Column::Chance,
    Column::Time,
    Column::Power,
    Column::RiseRate,
    Column::BestPower,
    Column::BestRiseRate,
    Column::Mean,
    Column::Early,
    Column::Nineteen,
    Column::Peak,
    Column::Stated,
    Column::Mass,
    Column::Length,
    Column::Price,
    Column::Tested,
];

impl Column {
    /// Its code.
    pub fn code(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Pair => "pair",
            Self::Value => "value",
            Self::Chance => "chance",
            Self::Time => "time",
            Self::Power => "power",
            Self::RiseRate => "rise_rate",
            Self::BestPower => "best_power",
            Self::BestRiseRate => "best_rise_rate",
            Self::Mean => "mean",
            Self::Early => "early",
            Self::Nineteen => "nineteen",
            Self::Peak => "peak",
            Self::Stated => "stated",
            Self::Mass => "mass",
            Self::Length => "length",
            Self::Price => "price",
            Self::Tested => "tested",
        }
    }

    /// Whether it shows power, or the rise rate in its stead: a table has one of these.
    pub fn is_power(self) -> bool {
        matches!(
            self,
            Self::Power | Self::RiseRate | Self::BestPower | Self::BestRiseRate
        )
    }

    /// Whether more is better, so that sorting begins with the largest.
    pub fn largest_first(self) -> bool {
        let least_first = [
            Self::Place,
            Self::Pair,
            Self::Time,
            Self::Mass,
            Self::Length,
            Self::Price,
        ];
        !least_first.contains(&self)
    }

    /// Whether its cells are figures, to be set against the right.
    pub fn holds_figures(self) -> bool {
        !matches!(self, Self::Pair | Self::Tested)
    }
}

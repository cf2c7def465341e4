//! Where a run begins.

/// The onset level is this part of the largest rise above the quiet level, if the rig gives none.
/// Common practice, no source: low enough to be passed at the first blows, above sensor noise.
const ONSET_PART: f64 = 0.02;

/// From a height of this many onset levels the search goes back, so that a bump made while the
/// socket is seated is passed over.
const SURE_RISE: f64 = 5.0;

/// The onset of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Onset {
    /// The instant on the log's own clock, in microseconds: t = 0 of the run.
    pub time_us: f64,
    /// The onset level on the scale of the smoothed torque, in N·m.
    pub level_nm: f64,
    /// The first sample after the onset.
    pub first: usize,
    /// Whether some sample lies below the onset level.
    pub quiet: bool,
}

/// Finds the onset in smoothed torque `m` (up to and including the end, its first largest value).
///
/// The onset level is `quiet_nm` + `onset_nm`, or + 2 % of what the largest `m` is above
/// `quiet_nm`. From the first sample that is five times as far above `quiet_nm` (or the end) the
/// search goes back to the last sample below the level; the onset is where the straight line from
/// there to the next sample crosses it. `None` if the largest `m` is not above the level.
pub fn find(time_us: &[i64], m: &[f64], quiet_nm: f64, onset_nm: Option<f64>) -> Option<Onset> {
    let largest = *m.last()?;
    let rise = onset_nm.unwrap_or(ONSET_PART * (largest - quiet_nm));
    let level_nm = quiet_nm + rise;
    if largest <= level_nm {
        return None;
    }
    let sure = m
        .iter()
        .position(|&m| m - quiet_nm >= SURE_RISE * rise)
        .unwrap_or(m.len() - 1);
    let below = m.get(..=sure)?.iter().rposition(|&m| m < level_nm);
    let crossing = below.and_then(|below| {
        let (from, to) = (*m.get(below)?, *m.get(below + 1)?);
        let (start, end) = (*time_us.get(below)? as f64, *time_us.get(below + 1)? as f64);
        Some(start + (end - start) * ((level_nm - from) / (to - from)))
    });
    let onset_us = crossing.or_else(|| time_us.first().map(|&first| first as f64))?;
    let first = time_us.partition_point(|&time| time as f64 <= onset_us);
    Some(Onset {
        time_us: onset_us,
        level_nm,
        first,
        quiet: crossing.is_some(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIME: [i64; 6] = [0, 10, 20, 30, 40, 50];

    #[test]
    fn the_onset_is_where_the_line_crosses_the_level() {
        let onset = find(&TIME, &[0.0, 0.0, 0.0, 8.0, 60.0, 100.0], 0.0, None).unwrap();
        assert_eq!(
            (onset.time_us, onset.level_nm, onset.first, onset.quiet),
            (22.5, 2.0, 3, true)
        );
    }

    #[test]
    fn a_bump_below_ten_per_cent_is_passed_over() {
        let onset = find(&TIME, &[0.0, 9.0, 0.0, 0.0, 60.0, 100.0], 0.0, None).unwrap();
        assert!(onset.time_us > 30.0);
    }

    #[test]
    fn an_offset_moves_nothing() {
        let bare = find(&TIME, &[0.0, 0.0, 0.0, 8.0, 60.0, 100.0], 0.0, None).unwrap();
        let offset = find(
            &TIME,
            &[-40.0, -40.0, -40.0, -32.0, 20.0, 60.0],
            -40.0,
            None,
        )
        .unwrap();
        assert_eq!(bare.time_us, offset.time_us);
    }

    #[test]
    fn without_a_quiet_part_the_first_sample_is_the_onset() {
        let onset = find(&TIME, &[30.0, 40.0, 50.0, 60.0, 70.0, 80.0], 0.0, None).unwrap();
        assert_eq!((onset.time_us, onset.first, onset.quiet), (0.0, 1, false));
    }

    #[test]
    fn torque_that_never_rises_has_no_onset() {
        assert_eq!(find(&TIME, &[3.0; 6], 3.0, None), None);
        assert_eq!(
            find(&TIME, &[0.0, 1.0, 2.0, 3.0, 4.0, 5.0], 0.0, Some(5.0)),
            None
        );
    }
}

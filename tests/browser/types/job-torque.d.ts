// Jobtorque 0.1.0+603854c004e5f492 sha256:d4eb50cba443c42a4c5c1ce9ad596981fc3b9561c22a8bf6ecb976039c5edb5c
/* tslint:disable */
/* eslint-disable */
/**
 * A bolt worked out from handbook formulas, in SI units at full precision.
 */
export interface BoltFigures {
    /**
     * Thread: `M20×2.5`, `1/2-13 UNC`.
     */
    thread: string;
    /**
     * Property class, or SAE grade of an inch thread: `10.9`, `A2-70`, `8`.
     */
    class: string;
    /**
     * Code of the finish whose usual nut factor is taken; `nut_factor` or `coefficient` where that was
     * given.
     */
    friction: string;
    /**
     * Nominal diameter in mm.
     */
    diameter_mm: number;
    /**
     * Pitch in mm.
     */
    pitch_mm: number;
    /**
     * Tensile stress area in mm².
     */
    stress_area_mm2: number;
    /**
     * Proof stress in N/mm².
     */
    proof_stress_mpa: number;
    /**
     * Yield strength in N/mm².
     */
    yield_stress_mpa: number;
    /**
     * Nut factor K: torque over preload and diameter.
     */
    nut_factor: number;
    /**
     * Coefficient of friction in thread and below the head that was given, or that the nut factor
     * comes to.
     */
    friction_coefficient: number;
    /**
     * Preload in N.
     */
    preload_n: number;
    /**
     * Preload in per cent of the proof load, or of what uses the yield strength up.
     */
    preload_percent: number;
    /**
     * Whether `preload_percent` is of the yield strength.
     */
    preload_of_yield: boolean;
    /**
     * Torque that tightens it, in N·m.
     */
    tightening_torque_nm: number;
    /**
     * Torque that loosens it while the joint is fresh, in N·m.
     */
    loosening_torque_nm: number;
    /**
     * How far preload differs at one torque, in per cent either way.
     */
    preload_scatter_percent: number;
    /**
     * Largest preload at that scatter over the smallest.
     */
    tightening_factor: number;
}

/**
 * A chart ready to be drawn and lettered.
 */
export interface View {
    /**
     * The room it was made for.
     */
    frame: Viewport;
    /**
     * Left end of the time axis.
     */
    left_px: number;
    /**
     * Right end of the time axis, the end of the window.
     */
    right_px: number;
    /**
     * Top of the torque axis.
     */
    top_px: number;
    /**
     * Bottom of the torque axis, 0.
     */
    bottom_px: number;
    /**
     * Ticks of the time axis.
     */
    time_ticks: Tick[];
    /**
     * Ticks of the torque axis.
     */
    torque_ticks: Tick[];
    /**
     * The unit of time, at its axis.
     */
    time_unit: Label;
    /**
     * The unit of torque, at its axis.
     */
    torque_unit: Label;
    /**
     * Height of the needed line.
     */
    needed_px: number;
    /**
     * Its words.
     */
    needed: Label;
    /**
     * The curves, in the order of the answer.
     */
    curves: DrawnCurve[];
    /**
     * Pairs laid over the chart that have no runs here.
     */
    without_runs: WithoutRuns[];
    /**
     * The band about the first curve, where a single pair is asked for and enough is known.
     */
    band: Band | null;
}

/**
 * A check on a real fastener near the torque that an answer is about.
 */
export interface NearCheck {
    /**
     * Identifier of the tool.
     */
    tool: string;
    /**
     * Identifier of the pack; `null` if none was noted.
     */
    pack: string | null;
    /**
     * Whether it is of the very pair asked for, and not of its tool with another pack.
     */
    of_pair: boolean;
    /**
     * Name of tool and pack for people.
     */
    label: string;
    /**
     * Date.
     */
    date: string | null;
    /**
     * Thread or name.
     */
    fastener: string | null;
    /**
     * Its state.
     */
    state: string | null;
    /**
     * Torque it was tightened to, in N·m.
     */
    installed_nm: number;
    /**
     * Whether it came loose.
     */
    came_loose: boolean;
    /**
     * How long was tried, in s.
     */
    tried_s: number | null;
}

/**
 * A job of the file.
 */
export interface JobChoice {
    /**
     * Its identifier.
     */
    id: string;
    /**
     * Its name for people.
     */
    name: string;
    /**
     * Its torque in words, in newton metres where no other unit is asked for.
     */
    torque: string;
    /**
     * Loosen or tighten.
     */
    direction: Direction;
}

/**
 * A job, the tool and pack that shall do it, and the runs that shall answer.
 *
 * Everything may be left out where the answer does not need it. One question serves a single
 * pair, a list and a whole table, so that they cannot speak of different things.
 */
export interface Question {
    /**
     * Identifier of the tool; any tool if absent.
     */
    tool?: string | null;
    /**
     * Identifier of the pack; any that fits if absent.
     */
    pack?: string | null;
    /**
     * Pairs laid over the chart of the answer, at most [`MOST_BESIDE`], none twice; all fit.
     */
    beside?: PairIds[];
    /**
     * A torque with its unit as people write it, a bolt, or a job of the file by its identifier or name.
     */
    job?: string | null;
    /**
     * Loosen or tighten; that of the file's job, or loosen, if absent.
     */
    direction?: Direction | null;
    /**
     * Factor on the torque of a joint to be loosened, above 0 and at most 10, or `checked` (of aged nuts
     * that were tried) or `checked-fresh`; 1 if absent.
     */
    condition?: Condition | null;
    /**
     * Loss between anvil and fastener in per cent, from 0 to below 100; 0 if absent.
     */
    loss_percent?: number | null;
    /**
     * The visitor's patience in seconds, above 0 and at most the window; the window if absent.
     */
    within_s?: number | null;
    /**
     * Typical run or best of three; typical if absent.
     */
    score?: Score | null;
    /**
     * Identifier of the setup; the file's first if absent.
     */
    setup?: string | null;
    /**
     * Identifier of the rig; the file's first if absent.
     */
    rig?: string | null;
    /**
     * Number of the edition; the newest if absent.
     */
    edition?: number | null;
    /**
     * What a table is ranked by; time if there is a job, else mean torque, if absent.
     */
    by?: Measure | null;
    /**
     * ISO 4217 code of the prices that count; the field's only one if absent. Without it nothing is
     * ordered or limited by price in a field that has several.
     */
    currency?: string | null;
    /**
     * Which pairs a table and the pairs that reach a job show; all if absent.
     */
    narrow?: Narrowing | null;
    /**
     * Code of the column that a table is sorted by, from the least up, or with a minus in front
     * from the largest down; by place if absent.
     */
    sort?: string | null;
    /**
     * What the pairs that reach the job are listed by; mass if absent.
     */
    order?: Order | null;
    /**
     * The pair that stays in view where a long table is collapsed; no filter moves by it.
     */
    chosen?: PairIds | null;
    /**
     * Whether a table compares the peak with the maker's stated figure.
     */
    stated?: boolean | null;
    /**
     * Unit of torque in the words of the answer; newton metres if absent.
     */
    units?: TorqueUnit | null;
}

/**
 * A pair laid over the chart that has no runs here.
 */
export interface WithoutRuns {
    /**
     * Tool and pack.
     */
    pair: NamedPair;
    /**
     * That there is no curve.
     */
    text: string;
    /**
     * The words of the control that takes it away.
     */
    take_off: string;
}

/**
 * A pair to choose, in words.
 */
export interface WordedChoice {
    /**
     * Identifier of the tool.
     */
    tool: string;
    /**
     * Identifier of the pack.
     */
    pack: string;
    /**
     * Names of both.
     */
    name: string;
    /**
     * What speaks for it, or how far it misses.
     */
    cells: string[];
    /**
     * Whether no other beats it, where that is told.
     */
    marked: boolean;
    /**
     * Whether it stands there at first.
     */
    at_first: boolean;
}

/**
 * A pair with its name.
 */
export interface NamedPair {
    /**
     * Identifiers of tool and pack.
     */
    ids: PairIds;
    /**
     * Name of tool and pack.
     */
    name: string;
}

/**
 * A place and its interval as a mark: a dot on a line.
 */
export interface Mark {
    /**
     * Where the line begins, as a part of the places shown from 0 to 1.
     */
    low: number;
    /**
     * Where the dot stands.
     */
    at: number;
    /**
     * Where the line ends.
     */
    high: number;
    /**
     * The place alone, in words.
     */
    place: string;
    /**
     * Place and interval in words.
     */
    text: string;
}

/**
 * A row in words.
 */
export interface WordedRow {
    /**
     * Identifier of the tool.
     */
    tool: string;
    /**
     * Identifier of the pack.
     */
    pack: string;
    /**
     * Whether the typical curve reaches the job; `null` without a job.
     */
    reaches: boolean | null;
    /**
     * Whether it stands there at first; else something has to be opened.
     */
    at_first: boolean;
    /**
     * Index, in this list, of the row that it opens from: the first of its tool. `null` for a row
     * that stands by itself.
     */
    under: number | null;
    /**
     * How many rows open from it, in words; `null` if none does.
     */
    opens: string | null;
    /**
     * One text for each heading.
     */
    cells: string[];
    /**
     * The place and its interval, for a mark; `null` without a place.
     */
    mark: Mark | null;
}

/**
 * A row of a small table.
 */
export interface PanelRow {
    /**
     * Identifier of the pack that the row is about, if it is about one.
     */
    pack: string | null;
    /**
     * One text for each column.
     */
    cells: string[];
}

/**
 * A small table with sentences above it, in words.
 */
export interface Panel {
    /**
     * Says that the data are made up, if they are.
     */
    notice: string | null;
    /**
     * What it says in short.
     */
    headline: string;
    /**
     * Further sentences.
     */
    lines: string[];
    /**
     * Headings of the columns; empty where the cells explain themselves.
     */
    headings: string[];
    /**
     * Rows of the table.
     */
    rows: PanelRow[];
}

/**
 * A table in words: every cell as people read it.
 */
export interface WordedTable {
    /**
     * Says that the data are made up, if they are.
     */
    notice: string | null;
    /**
     * What the table is.
     */
    caption: string;
    /**
     * Whether it is worth showing: from two pairs on.
     */
    stands: boolean;
    /**
     * What there is to narrow it by; `null` in a field too small to need that.
     */
    filters: Filters | null;
    /**
     * How many pairs of how many, and by which limits; `null` if nothing is narrowed.
     */
    state: string | null;
    /**
     * Said in the place of rows where a limit leaves none.
     */
    empty: string | null;
    /**
     * What to know before reading it: what is missing, what was left out.
     */
    notes: string[];
    /**
     * Label of the control that opens what is collapsed; `null` if nothing is.
     */
    open_all: string | null;
    /**
     * Headings of the columns.
     */
    headings: Heading[];
    /**
     * Rows in the order of the table.
     */
    rows: WordedRow[];
    /**
     * A line before the first row that does not reach the job.
     */
    falls_short: string | null;
    /**
     * Pairs nobody ran that can be estimated, to stand below the others.
     */
    estimates: WordedRow[];
    /**
     * A line before the first of them.
     */
    estimated: string;
}

/**
 * A tick of an axis.
 */
export interface Tick {
    /**
     * Where it is on its axis.
     */
    at_px: number;
    /**
     * Its number.
     */
    label: Label;
}

/**
 * A tool and a pack by their identifiers.
 */
export interface PairIds {
    /**
     * Identifier of the tool.
     */
    tool: string;
    /**
     * Identifier of the pack.
     */
    pack: string;
}

/**
 * A typical curve.
 */
export interface DrawnCurve {
    /**
     * How it is drawn, so that colour is not the only difference.
     */
    kind: Kind;
    /**
     * Whether nobody ran the pair: then it is dashed in a way of its own and its marks are hollow.
     */
    estimate: boolean;
    /**
     * Tool and pack.
     */
    pair: NamedPair;
    /**
     * The words of the control that takes it away, if it is laid over the answer's own.
     */
    take_off: string | null;
    /**
     * What it does, in a sentence for those who do not see it.
     */
    name: string;
    /**
     * Its name near its end. All curves have one, or none: for want of room, or because some are
     * laid over and can be taken away, beside their names below the drawing.
     */
    label: Label | null;
    /**
     * Where it crosses the needed line.
     */
    crossing: Crossing | null;
}

/**
 * A unit that torques are shown in.
 */
export type TorqueUnit = "n-m" | "lbf-ft";

/**
 * A value to choose, and its name for people.
 */
export interface Offered {
    /**
     * The value.
     */
    value: string;
    /**
     * Its name.
     */
    text: string;
}

/**
 * A verdict. The words are codes and do not change with the language.
 */
export type Verdict = "within reach" | "borderline" | "out of reach" | "too few runs to say";

/**
 * An answer in the forms in which it leaves the page.
 */
export interface Taken {
    /**
     * Title of a page that shows it.
     */
    title: string;
    /**
     * Name of a file that holds it, without its ending.
     */
    name: string;
    /**
     * The plain answer and the whole table, as HTML in the form in which browsers write it.
     */
    plain: string;
    /**
     * The answer as text, with what it rests on.
     */
    text: string;
    /**
     * Whose the results are: title, edition, licence.
     */
    credit: string;
    /**
     * The field of the question as CSV (RFC 4180): exact figures in SI units.
     */
    csv: string;
}

/**
 * An edition in words.
 */
export interface EditionTold {
    /**
     * Its number.
     */
    edition: number;
    /**
     * Its name: number and date.
     */
    name: string;
    /**
     * What it brought, and what it corrected.
     */
    lines: string[];
    /**
     * The warning beside a result that it corrected.
     */
    corrected: string;
    /**
     * Says that a newer one is out, if it is.
     */
    outdated: string | null;
}

/**
 * Dash and mark of a curve: by its index among the curves.
 */
export type Kind = "full" | "dashed" | "dotted" | "dashdot" | "dashdots";

/**
 * Heading of a column.
 */
export interface Heading {
    /**
     * The column's code, the same in every language.
     */
    key: string;
    /**
     * Its heading.
     */
    text: string;
    /**
     * Whether its cells are figures, to be set against the right.
     */
    figures: boolean;
    /**
     * `ascending` or `descending` if the table is sorted by it.
     */
    sorted: string | null;
    /**
     * What to sort by when it is chosen.
     */
    next: string;
}

/**
 * How much less torque a setup gives than the one asked for, over the pairs that were run in both.
 */
export interface SetupCost {
    /**
     * Identifier of the other setup.
     */
    setup: string;
    /**
     * What is changed in it.
     */
    changed: Changed;
    /**
     * Pairs that were run in both.
     */
    pairs: number;
    /**
     * Torque lost in per cent: 100 (1 − ratio of typical mean torque), below 0 where it gives more.
     */
    lost_percent: number;
    /**
     * Lower end of the 90 % interval; `null` where there are too few runs to say.
     */
    low_percent: number | null;
    /**
     * Upper end of the 90 % interval.
     */
    high_percent: number | null;
    /**
     * The loss as printed, to be asked with as the question's `loss_percent`; `null` where nothing
     * stands between tool and nut, or nothing is lost.
     */
    take_percent: number | null;
    /**
     * The measurement in words.
     */
    words: string;
    /**
     * What takes the loss, in words.
     */
    take: string | null;
}

/**
 * Nuts of one state that were tried with pairs of the field, on which a verdict is possible: each names
 * its pair, the torque it was tightened to and whether it came loose.
 */
export interface NutsTried {
    /**
     * Which nuts: what to ask with as the question's `condition`.
     */
    condition: Checked;
    /**
     * How many were tried.
     */
    checks: number;
    /**
     * Of how many groups: nuts of one date, fastener, tool and state share their past.
     */
    groups: number;
    /**
     * How many came loose.
     */
    loose: number;
    /**
     * The smallest factor at which one came loose, by what its pair had built up by then; `null` if
     * none did.
     */
    loose_from: number | null;
    /**
     * The largest.
     */
    loose_to: number | null;
    /**
     * The factor that half of such nuts stay below; `null` where too few were tried to say.
     */
    factor: number | null;
    /**
     * The factor that 19 of 20 such nuts stay below.
     */
    factor_19_of_20: number | null;
    /**
     * How many were tried and how many of them came loose, in words.
     */
    words: string;
    /**
     * What takes the factor, in words; `null` where there is none.
     */
    take: string | null;
}

/**
 * One line of text.
 */
export interface Label {
    /**
     * Where its anchor is.
     */
    x_px: number;
    /**
     * Its top.
     */
    y_px: number;
    /**
     * Which part of the text is at `x_px`.
     */
    anchor: Anchor;
    /**
     * The text.
     */
    text: string;
}

/**
 * One thing to choose.
 */
export interface Choice {
    /**
     * Its identifier.
     */
    id: string;
    /**
     * Its name for people.
     */
    name: string;
    /**
     * Other names it goes by.
     */
    aka: string[];
    /**
     * Who makes it, for tools.
     */
    maker: string | null;
    /**
     * Mount of its packs, for tools and packs.
     */
    mount: string | null;
    /**
     * Size, for tools.
     */
    size: Size | null;
}

/**
 * One thing wrong with a dataset, a log or a question.
 *
 * A problem is a value: readers and checkers collect every one before they stop.
 */
export interface Problem {
    /**
     * JSON pointer (RFC 6901) to the faulty position, or the name of the faulty part of a question
     * after a slash. Empty for the whole.
     */
    pointer: string;
    /**
     * Line of the faulty position in the text, from 1, where there is a text.
     */
    line: number | null;
    /**
     * Column of the faulty position in bytes, from 1, where there is a text.
     */
    column: number | null;
    /**
     * What stands there.
     */
    found: string;
    /**
     * What would be right.
     */
    wanted: string;
    /**
     * What to do next, where that is not plain from `wanted`.
     */
    hint: string | null;
    /**
     * The whole as a sentence for people.
     */
    message: string;
}

/**
 * Red, green and blue.
 */
export type Colour = [number, number, number];

/**
 * Runs of one day and one specimen.
 */
export interface RunGroup {
    /**
     * Which day, tool and pack.
     */
    title: string;
    /**
     * For each run one text for each heading.
     */
    rows: string[][];
    /**
     * What is to be said of them.
     */
    lines: string[];
}

/**
 * Sentences that belong together, with their heading.
 */
export interface Passage {
    /**
     * The heading.
     */
    heading: string;
    /**
     * One text for each line.
     */
    lines: string[];
}

/**
 * Size of a tool, as the tester sorts them.
 */
export type Size = "small" | "medium" | "large";

/**
 * The answer to a question. Absent figures are `null`: not asked for, not measured, or not
 * worked out.
 */
export interface Answer {
    /**
     * Identifier of the tool; `null` for any.
     */
    tool: string | null;
    /**
     * Identifier of the pack; `null` for any that fits.
     */
    pack: string | null;
    /**
     * Identifier of the rig.
     */
    rig: string;
    /**
     * Identifier of the setup.
     */
    setup: string;
    /**
     * The edition shown.
     */
    edition: number;
    /**
     * The newest edition of the file.
     */
    newest_edition: number;
    /**
     * Whether the data are made up.
     */
    invented: boolean;
    /**
     * Whether the pack fits the tool; `null` if either is open.
     */
    fits: boolean | null;
    /**
     * Identifier of the file's job; `null` for a torque.
     */
    job: string | null;
    /**
     * What was worked out of the bolt that was asked for; `null` for a torque or a job.
     */
    bolt: BoltFigures | null;
    /**
     * Loosen or tighten.
     */
    direction: Direction;
    /**
     * What places are counted by.
     */
    score: Score;
    /**
     * Unit of torque in the words.
     */
    units: TorqueUnit;
    /**
     * The job's torque as a number of that unit for people, or as a range.
     */
    job_torque: string;
    /**
     * Job torque in N·m; of a range the larger.
     */
    job_torque_nm: number;
    /**
     * Condition factor.
     */
    condition_factor: number;
    /**
     * Which nuts that were tried the factor is that of; `null` for the visitor's own.
     */
    condition_from: Checked | null;
    /**
     * Loss between anvil and fastener in per cent.
     */
    loss_percent: number;
    /**
     * Required torque at the anvil in N·m.
     */
    required_torque_nm: number;
    /**
     * Length of a run that counts, in s.
     */
    window_s: number;
    /**
     * The visitor's patience in s, else the window.
     */
    within_s: number;
    /**
     * How long each job counts at least at the trigger in `jobs_per_charge`, in s: the file's
     * figure, or 2 by common practice.
     */
    least_trigger_s: number;
    /**
     * Checks on real fasteners that bear on the answer, failures first, then the nearest in torque:
     * of this pair, or where it has none, of this tool. A success counts from 15 % below the
     * required torque up, a failure from 15 % above it down. Empty where tightening is asked for.
     */
    field_checks: NearCheck[];
    /**
     * Why to read the result with care, in sentences.
     */
    warnings: string[];
    /**
     * What to know of the tools tested and of the rig, in sentences; `rests_on` holds them too.
     */
    remarks: string[];
    /**
     * Name of tool and pack for people; empty if both are open.
     */
    label: string;
    /**
     * Says that the data are made up, if they are. Stands first on every view.
     */
    notice: string | null;
    /**
     * Which cautions the job needs.
     */
    caution: Caution | null;
    /**
     * What other setups of the file cost in torque, where pairs were run in both; with the whole
     * answer, not with each of its list.
     */
    setup_costs: SetupCost[];
    /**
     * What real nuts say that were tried with pairs of the field, by their states, where one is to be
     * loosened; with the whole answer, not with each of its list.
     */
    nuts_tried: NutsTried[];
    /**
     * What the figures rest on.
     */
    basis: Basis;
    /**
     * Typical peak torque in N·m; `null` for an estimate.
     */
    peak_torque_nm: number | null;
    /**
     * Largest sample of the counted runs in N·m; `null` for an estimate.
     */
    largest_sample_nm: number | null;
    /**
     * Typical mean torque over the window in N·m.
     */
    mean_torque_nm: number | null;
    /**
     * Typical torque at one second in N·m.
     */
    early_torque_nm: number | null;
    /**
     * The typical curve at the window's end in N·m.
     */
    typical_end_nm: number | null;
    /**
     * Whether the typical curve gains more than 1 % in the last tenth of the window.
     */
    still_rising: boolean | null;
    /**
     * The typical curve's time to the required torque in s; `null` if not reached or
     * without a job.
     */
    time_to_job_s: number | null;
    /**
     * Work to the required torque in J; `null` if not reached, without a job or an angle.
     */
    work_j: number | null;
    /**
     * Average power to the required torque in W; 0 if not reached, `null` without a job
     * or an angle.
     */
    average_power_w: number | null;
    /**
     * Rise rate to the required torque in N·m/s; 0 if not reached.
     */
    rise_rate_nm_per_s: number | null;
    /**
     * Best of three by average power in W.
     */
    best_of_three_power_w: number | null;
    /**
     * Best of three by rise rate in N·m/s.
     */
    best_of_three_rise_rate_nm_per_s: number | null;
    /**
     * Counted runs.
     */
    runs_used: number | null;
    /**
     * Runs set aside.
     */
    runs_excluded: number | null;
    /**
     * Specimens of the tool with a counted run.
     */
    specimens: number | null;
    /**
     * Jobs on one charge, each counted as the typical time to it, but at least
     * `least_trigger_s`, rounded down. Words round it, and say "more than 1,000" beyond
     * that.
     */
    jobs_per_charge: number | null;
    /**
     * The verdict; `null` where there is no basis, no verdict yet, or no single pair asked.
     */
    verdict: Verdict | null;
    /**
     * The torque that 19 of 20 tries reach, in N·m.
     */
    torque_19_of_20_nm: number | null;
    /**
     * Probability that a further try reaches the job in time; of a nut like those tried, where
     * `condition_from` names such, that it comes loose in time.
     */
    reach_probability: number | null;
    /**
     * By when nine in ten tries are there, in s.
     */
    time_nine_in_ten_s: number | null;
    /**
     * Run scatter in per cent.
     */
    run_scatter_percent: number | null;
    /**
     * Scatter from tool to tool in per cent.
     */
    unit_scatter_percent: number | null;
    /**
     * Scatter from pack to pack of one kind in per cent.
     */
    pack_scatter_percent: number | null;
    /**
     * Scatter from day to day in per cent.
     */
    day_scatter_percent: number | null;
    /**
     * Place in the field.
     */
    rank: number | null;
    /**
     * Lower end of the 90 % interval of the place.
     */
    rank_low: number | null;
    /**
     * Upper end of the 90 % interval of the place.
     */
    rank_high: number | null;
    /**
     * How many combinations have a place.
     */
    rank_of: number | null;
    /**
     * How many measured combinations match; `null` if a single pair was asked.
     */
    of: number | null;
    /**
     * How many of them reach the job.
     */
    reach_count: number | null;
    /**
     * The answer in words: the notice of invented data, if they are, and the headline.
     */
    sentence: string;
    /**
     * What must be read before the answer.
     */
    before: string[];
    /**
     * The answer in one sentence or two.
     */
    headline: string;
    /**
     * What a real fastener says for or against it, directly under the headline: of several a failure,
     * then the nearest. The others are in `rests_on`.
     */
    checks: string[];
    /**
     * The sentences under the headline: how sure, how fast, how strong.
     */
    lines: string[];
    /**
     * The figures that matter in `lines`: which line, and where in it they begin and end, counted
     * as script counts (in UTF-16 code units).
     */
    stressed: [number, number, number][];
    /**
     * What there is to know beside: place, power, jobs on a charge. In little room it stands below
     * the chart.
     */
    further: string[];
    /**
     * The caution that matters most here, in full beside the answer; none if one stands before it, or
     * a check speaks against it. All others are in `rests_on`.
     */
    cautions: string[];
    /**
     * What the answer rests on: how its torque came about, what it allows for, further cautions, what
     * its scatter is made of, what is not known.
     */
    rests_on: string[];
    /**
     * What to think of before starting, whatever the answer.
     */
    reminders: string[];
}

/**
 * The answers for several pairs.
 */
export interface Listed {
    /**
     * Those measured in rank order, then the estimates; `null` where one pair is asked for.
     */
    list: Answer[] | null;
}

/**
 * The band that 90 of 100 tries stay in.
 */
export interface Band {
    /**
     * What it is.
     */
    text: string;
    /**
     * The same in the drawing, where there is room for it.
     */
    label: Label | null;
}

/**
 * The choices in words.
 */
export interface WordedChoices {
    /**
     * What the list is.
     */
    caption: string;
    /**
     * What it may stand in the order of.
     */
    orders: Offered[];
    /**
     * What it stands in the order of: the value of one of these.
     */
    order: string;
    /**
     * What to know before reading it.
     */
    notes: string[];
    /**
     * The pairs.
     */
    rows: WordedChoice[];
    /**
     * What the mark means; `null` where it would tell nothing.
     */
    legend: string | null;
    /**
     * Label of the control that opens the rest; `null` if all stand there at first.
     */
    open_all: string | null;
    /**
     * Said where there are none.
     */
    empty: string | null;
}

/**
 * The factor on the torque of a joint that is to be loosened.
 */
export type Condition = number | Checked;

/**
 * The readings of a chart.
 */
export interface Readings {
    /**
     * From the left end of the time axis to the right, equally far apart.
     */
    steps: Reading[];
    /**
     * The index in `steps` to begin at: where the first curve gets to the needed torque, or the end.
     */
    first: number;
}

/**
 * The room a chart has.
 */
export interface Viewport {
    /**
     * Width in CSS pixels.
     */
    width_px: number;
    /**
     * Height in CSS pixels.
     */
    height_px: number;
    /**
     * Size of its text in CSS pixels. Lines of text are taken as [`LINE`] times as high.
     */
    text_px: number;
    /**
     * Whether the runs behind the first curve are drawn too; not if absent.
     */
    runs: boolean | undefined;
}

/**
 * The runs behind a pair in words.
 */
export interface WordedRuns {
    /**
     * Says that the data are made up, if they are.
     */
    notice: string | null;
    /**
     * Says so, if no run counts.
     */
    none: string | null;
    /**
     * Headings of the columns.
     */
    headings: string[];
    /**
     * Runs that count.
     */
    counted: RunGroup[];
    /**
     * Runs that are set aside.
     */
    set_aside: RunGroup[];
    /**
     * The days, corrections, places in other editions, real fasteners.
     */
    passages: Passage[];
    /**
     * The maker's figures, to be shown when asked for.
     */
    stated: Passage | null;
}

/**
 * What a chart looks like.
 */
export interface Theme {
    /**
     * Pixels of the device for each CSS pixel. At least [`LEAST_RATIO`] are drawn.
     */
    ratio: number;
    /**
     * The ground, inside of the marks.
     */
    ground: Colour;
    /**
     * Lines of the grid.
     */
    grid: Colour;
    /**
     * The needed line.
     */
    needed: Colour;
    /**
     * The curves in their order; the last serves for all that follow.
     */
    curves: Colour[];
}

/**
 * What a curve reads at one time.
 */
export interface CurveReading {
    /**
     * How the curve is drawn.
     */
    kind: Kind;
    /**
     * Where it is on the torque axis, in CSS pixels.
     */
    y_px: number;
    /**
     * Its torque.
     */
    torque: string;
}

/**
 * What a field can be narrowed by, beside words and figures that are written.
 */
export interface Filters {
    /**
     * Sizes of its tools, where there are several.
     */
    sizes: Offered[];
    /**
     * Mounts of its packs, where there are several.
     */
    mounts: Offered[];
    /**
     * Currencies of its prices, where there are several.
     */
    currencies: Offered[];
}

/**
 * What a field is ranked by, once a job is given. Never mixed.
 */
export type Score = "typical" | "best-of-three";

/**
 * What a setup changes, and nothing else. The words are codes and do not change with the language.
 */
export type Changed = "extension" | "packs";

/**
 * What a table may be ranked by.
 */
export type Measure = "time" | "mean" | "peak" | "early" | "mean-per-kg" | "peak-per-kg" | "early-per-kg" | "mean-per-price" | "peak-per-price" | "early-per-price";

/**
 * What a visitor wants to see alone. Everything may be left out; what is set holds together.
 *
 * A pair whose tool or pack was never weighed, measured or priced meets no limit on that figure:
 * it is left out, and the table says how many are.
 */
export interface Narrowing {
    /**
     * Words that each stand in the name, another name or the maker of the tool, or in the name of
     * the pack. Case and accents do not count.
     */
    find?: string | null;
    /**
     * Size of the tool.
     */
    size?: Size | null;
    /**
     * Mount of the pack.
     */
    mount?: string | null;
    /**
     * Only tools that are still sold.
     */
    still_sold?: boolean | null;
    /**
     * Greatest length of the tool in mm, above 0.
     */
    longest_mm?: number | null;
    /**
     * Greatest mass of tool and pack in kg, above 0.
     */
    heaviest_kg?: number | null;
    /**
     * Highest price of tool and pack, above 0, in the currency of the question or the only one of
     * the field.
     */
    dearest?: number | null;
    /**
     * Only pairs that have the job within reach; where there are too few runs to say, those whose
     * typical run reaches it.
     */
    reaching?: boolean | null;
}

/**
 * What an answer rests on. The words are codes and do not change with the language.
 */
export type Basis = "measured" | "estimate" | "none";

/**
 * What someone who is typing may mean.
 */
export interface Found {
    /**
     * Jobs of the file, one of each name, with their torques in the unit of the question.
     */
    jobs: JobChoice[];
    /**
     * Tools.
     */
    tools: Choice[];
}

/**
 * What stands below the answer.
 */
export interface Lists {
    /**
     * The pairs that reach the job, or come closest.
     */
    choices: WordedChoices;
    /**
     * The field, ranked.
     */
    table: WordedTable;
}

/**
 * What stands beside an answer, in words.
 */
export interface Panels {
    /**
     * The pair asked for beside each pair that the question names beside it.
     */
    beside: Panel[];
    /**
     * The packs on the tool asked for; `null` without a tool, or with fewer than two packs.
     */
    packs: Panel | null;
}

/**
 * What stands on a page as soon as a question is answered.
 */
export interface Answered {
    /**
     * The answer.
     */
    answer: Answer;
    /**
     * What stands beside it; `null` if it is not asked for.
     */
    panels: Panels | null;
}

/**
 * What the curves read at one time.
 */
export interface Reading {
    /**
     * Where it is on the time axis, in CSS pixels.
     */
    x_px: number;
    /**
     * The time.
     */
    time: string;
    /**
     * What each curve reads, in their order.
     */
    curves: CurveReading[];
    /**
     * All of it in sentences, for those who do not see it.
     */
    sentence: string;
}

/**
 * What the pairs that reach a job are listed by, the least first.
 */
export type Order = "lightest" | "shortest" | "least-costly" | "quickest";

/**
 * What there is to choose from, and what stands above and below every view.
 */
export interface Contents {
    /**
     * Name of the results.
     */
    title: string;
    /**
     * What was measured.
     */
    summary: string | null;
    /**
     * Licence of the data.
     */
    license: string;
    /**
     * Says that the data are made up, if they are.
     */
    notice: string | null;
    /**
     * Said where newer results do not load and these are shown.
     */
    unloaded: string;
    /**
     * Tools with a published run, in the standard field or any other, those of one maker together.
     */
    tools: Choice[];
    /**
     * Packs likewise.
     */
    packs: Choice[];
    /**
     * Jobs of the file.
     */
    jobs: JobChoice[];
    /**
     * Setups.
     */
    setups: Choice[];
    /**
     * Rigs.
     */
    rigs: Choice[];
    /**
     * Editions, newest first.
     */
    editions: EditionTold[];
    /**
     * How it was measured, and who paid.
     */
    measured: Passage[];
    /**
     * How to cite the newest edition, and its licence.
     */
    citation: string[];
    /**
     * What the form asks when nothing has been chosen: the first job of the file, or 100 N·m.
     */
    default_job: string;
    /**
     * The condition factor that is offered first where a fastener is no longer fresh.
     */
    first_factor: number;
    /**
     * Whether there are so many tools or pairs that one is found by typing rather than by looking.
     */
    is_large: boolean;
}

/**
 * Where a curve crosses the needed line.
 */
export interface Crossing {
    /**
     * Across.
     */
    x_px: number;
    /**
     * Down.
     */
    y_px: number;
    /**
     * The time to the job, where there is room for it.
     */
    label: Label | null;
}

/**
 * Whether a fastener is to be loosened or tightened.
 */
export type Direction = "loosen" | "tighten";

/**
 * Which cautions a job needs.
 */
export type Caution = "wheel";

/**
 * Which nuts that were tried give the factor.
 */
export type Checked = "checked" | "checked-fresh";

/**
 * Which part of a text is at its position.
 */
export type Anchor = "start" | "middle" | "end";


/**
 * A dataset ready to answer, in one language.
 */
export class Jobtorque {
    free(): void;
    [Symbol.dispose](): void;
    /**
     * The answer to a question, and, with `panels`, what stands beside it.
     *
     * # Errors
     *
     * Throws a `Problem` whose `pointer` names the faulty part of the question and whose
     * `message` is for visitors.
     */
    ask(question: Question, panels: boolean): Answered;
    /**
     * What there is to choose from.
     *
     * # Errors
     *
     * Throws a `Problem` if it cannot be handed over.
     */
    contents(): Contents;
    /**
     * Draws the curves that belong to an answer, sizes the canvas to suit, and says where words
     * go.
     *
     * # Errors
     *
     * As `ask`; also if the canvas cannot be drawn on.
     */
    draw(question: Question, canvas: HTMLCanvasElement, frame: Viewport, look: Theme): View;
    /**
     * A text that someone wrote or put into a link as it is repeated to people: shortened, and with
     * nothing hidden in it.
     */
    echoed(text: string): string;
    /**
     * What someone who is typing a job or a tool may mean.
     *
     * # Errors
     *
     * Throws a `Problem` if the question cannot be read.
     */
    found(text: string, question: Question): Found;
    /**
     * The answer for each pair that the answer to a question is about.
     *
     * # Errors
     *
     * As `ask`.
     */
    list(question: Question): Listed;
    /**
     * The pairs that reach the job of a question, or come closest, and the whole field, ranked, in
     * words.
     *
     * # Errors
     *
     * As `ask`.
     */
    lists(question: Question): Lists;
    /**
     * Reads results as `jobtorque page` publishes them and a text catalogue, both as `JSON.parse`
     * gives them.
     *
     * # Errors
     *
     * Throws `message`, a sentence for visitors, `problems`, at most 50 of the `Problem`s, and
     * `more`, how many there are besides.
     */
    constructor(data: any, catalogue: any);
    /**
     * What the curves of the same chart read from time to time.
     *
     * # Errors
     *
     * As `ask`.
     */
    readings(question: Question, frame: Viewport): Readings;
    /**
     * The runs behind a pair, in words.
     *
     * # Errors
     *
     * As `ask`; also if tool or pack is open.
     */
    runs(question: Question): WordedRuns;
    /**
     * The pairs that a question asks for, ranked in the whole field, in words.
     *
     * # Errors
     *
     * As `ask`.
     */
    table(question: Question): WordedTable;
    /**
     * What may be taken along of the answer to a question; `saved` is the day on which a page is
     * saved, such as `2026-03-02`.
     *
     * # Errors
     *
     * As `ask`.
     */
    take(question: Question, saved?: string | null): Taken;
    /**
     * The `Problem` with an option of a link or an attribute that is none, to be thrown: a `text`
     * that is not among the `known` ones of the option `name`, which gives the `part` of a question,
     * or, without a name, the name of an option that is almost the `known` one.
     */
    unknown(part: string, name: string, text: string, known: string): any;
}

export function __wbg_reset_state(): void;

export type InitInput = RequestInfo | URL | Response | BufferSource | WebAssembly.Module;

export interface InitOutput {
    readonly memory: WebAssembly.Memory;
    readonly __wbg_jobtorque_free: (a: number, b: number) => void;
    readonly jobtorque_ask: (a: number, b: any, c: number) => [number, number, number];
    readonly jobtorque_contents: (a: number) => [number, number, number];
    readonly jobtorque_draw: (a: number, b: any, c: any, d: any, e: any) => [number, number, number];
    readonly jobtorque_echoed: (a: number, b: number, c: number) => [number, number];
    readonly jobtorque_found: (a: number, b: number, c: number, d: any) => [number, number, number];
    readonly jobtorque_list: (a: number, b: any) => [number, number, number];
    readonly jobtorque_lists: (a: number, b: any) => [number, number, number];
    readonly jobtorque_new: (a: any, b: any) => [number, number, number];
    readonly jobtorque_readings: (a: number, b: any, c: any) => [number, number, number];
    readonly jobtorque_runs: (a: number, b: any) => [number, number, number];
    readonly jobtorque_table: (a: number, b: any) => [number, number, number];
    readonly jobtorque_take: (a: number, b: any, c: number, d: number) => [number, number, number];
    readonly jobtorque_unknown: (a: number, b: number, c: number, d: number, e: number, f: number, g: number, h: number, i: number) => any;
    readonly __wbindgen_malloc: (a: number, b: number) => number;
    readonly __wbindgen_realloc: (a: number, b: number, c: number, d: number) => number;
    readonly __wbindgen_free: (a: number, b: number, c: number) => void;
    readonly __wbindgen_exn_store: (a: number) => void;
    readonly __externref_table_alloc: () => number;
    readonly __wbindgen_externrefs: WebAssembly.Table;
    readonly __externref_table_dealloc: (a: number) => void;
    readonly __wbindgen_start: () => void;
}

export type SyncInitInput = BufferSource | WebAssembly.Module;

/**
 * Instantiates the given `module`, which can either be bytes or
 * a precompiled `WebAssembly.Module`.
 *
 * @param {{ module: SyncInitInput }} module - Passing `SyncInitInput` directly is deprecated.
 *
 * @returns {InitOutput}
 */
export function initSync(module: { module: SyncInitInput } | SyncInitInput): InitOutput;

/**
 * If `module_or_path` is {RequestInfo} or {URL}, makes a request and
 * for everything else, calls `WebAssembly.instantiate` directly.
 *
 * @param {{ module_or_path: InitInput | Promise<InitInput> }} module_or_path - Passing `InitInput` directly is deprecated.
 *
 * @returns {Promise<InitOutput>}
 */
export default function __wbg_init (module_or_path: { module_or_path: InitInput | Promise<InitInput> } | InitInput | Promise<InitInput>): Promise<InitOutput>;

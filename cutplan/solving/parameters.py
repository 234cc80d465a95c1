"""Every constant of the search in one place: what limits it, what tunes it, and where each figure comes from.

Nobody but whoever measures the search has a reason to change one: the figures were chosen on the benchmarks of
``tests/benchmarks`` unless a source is named, and plans may differ where they do. What only keeps arithmetic in range
(64 bits, an LP solver's largest number) is no parameter and stands where it is needed.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path

from cutplan.problems import Refused, nearest


@dataclass(frozen=True, kw_only=True)
class Parameters:
    """Counters per group that end its search, and the figures that steer it; "own choice" where no source is named."""

    # The tree.
    nodes: int = 2_000
    """Nodes of bar counts that are bounded. Own choice: most jobs close within a hundred."""
    rounds: int = 400
    """Rounds of column generation in one node. Own choice."""
    near: int = 12
    """Cost steps between bound and incumbent up to which a plan may well reach the bound itself. Own choice."""
    divided_first: int = 300_000_000
    """Work on component bounds of one node before plans are sought at length, in cells of pricing tables. Own
    choice."""
    divided_full: int = 4_000_000_000
    """The same where every bar has to be full, so that a hair fathoms a node. Measured on Delorme's instances: 300
    million are too few with 600 parts, 1000 million with 402 and 801."""
    divided: int = 3_000_000_000
    """The same work at the end, on each node that is still open. Own choice."""
    count_integrality: float = 1e-5
    """How far from whole a number of bars must be for a branching on bar counts. Usual in branch and bound."""
    integrality: float = 1e-6
    """How far from whole any other value of an LP solution must be to be fractional. Usual in branch and bound."""
    grace: float = 0.25
    """Time for exchanges after that for the search is up: many times what they take on usual jobs. Own choice. [s]"""

    late: float = 0.25
    """How long after its limit and that grace a plan may still be laid out and checked; more than that is kept back
    from the search. Own choice. [s]"""
    kept_at_most: float = 0.9
    """Of the time there is, what may be kept back at most: what it is reckoned to take is not known for sure. Own
    choice."""
    pace_assumed: float = 0.02
    """Work that is taken to have gone at full speed before any did: the first slices of a shared processor say little.
    Own choice. [s]"""
    kept_often: float = 0.01
    """How often it is reckoned how long what is kept back takes at the pace so far. Own choice. [s]"""
    part_work: float = 3e-5
    """How long laying out, weighing and checking a plan keeps a processor busy, for each part of a bar that no other
    is cut like. Measured. [s]"""
    alike_work: float = 1e-5
    """The same for each part of all other bars. Measured. [s]"""
    carried_work: float = 1e-4
    """The same for each part where lengths may be cut for the carry. Measured. [s]"""
    parts_apart: int = 20
    """Parts of such bars, for each that is different, up to which no other bar is taken to be cut like them. Own
    choice."""
    leaf_passes: float = 4.0
    """How often all bars could be priced while the checker goes through one leaf. Measured: one to twelve times."""
    leaf_lengths: float = 3.0
    """The same in bounds by length alone, where no LP was solved. Measured: a half to seven times."""
    bound_plans: float = 3.0
    """How many first plans are made in the time that one more, a bound by length and its check take. Measured, where
    that is longest: of mitred parts on lengths cut for the carry."""
    loading: float = 0.45
    """How long loading CP-SAT keeps a processor busy. Measured. [s]"""

    # Constructive heuristics and dives.
    few_counts: int = 3_000
    """Counts in the first plans' patterns, for each source, up to which more plans are made even when time is up: a
    millisecond or two of work. Own choice."""
    orders_tried: int = 4
    """Orders of sources in which first fit fills what rounding down leaves. Own choice."""
    least_dual: float = 1e-3
    """Of the highest dual, what the longest part counts besides its own when a bar is filled by duals. Own choice."""
    root_dives: int = 1
    """Dives from the first LP solution where its bound is near. Own choice."""
    node_dives: int = 4
    """Dives from an LP solution whose bar counts are whole. Own choice."""
    listed_dives: int = 1
    """The same where branching over a list finds plans in the end, after an integer program of the root's effort.
    Measured."""
    dives: int = 4
    """Dives where bar counts cannot be branched on further. Measured: where no plan is to be found, as in one of
    Schoenfield's, sixteen take half a minute."""
    dive_rounds: int = 12
    """Rounds of column generation after each fixing of a dive, whose duals need not be exact. Own choice."""
    discrepancies: int = 3
    """Bars tried at one place of a dive when the LP shows that the first come to nothing. Own choice; limited
    discrepancy search is W. D. Harvey and M. L. Ginsberg's (IJCAI 1995)."""
    dive_missing: float = 1e-6
    """Parts left out by an LP solution above which a dive goes no further. Own choice."""

    # Bars filled to the brim.
    tight_pieces: int = 150
    """Different parts from which on a plan of such bars is made before an LP is solved. Own choice."""
    tight_left: int = 80
    """Parts that are left to a search of their own; with more, or fewer, its plans are dearer. Measured."""
    tight_steps: int = 200_000
    """Steps of a bar in which sums are formed: a tenth of a millimetre of 20 m. Own choice."""
    tight_nodes: int = 8
    """Nodes of that search. Own choice."""
    tight_tries: int = 12
    """LP solutions whose whole bars are completed so. Own choice."""

    tight_alone: int = 500
    """Different parts from which on another plan is made so, because the LP takes what time there is. Measured: one of
    a thousand takes a minute."""
    tight_aside: int = 40
    """Parts of all lengths that are put aside for the search then: where but short parts are left, as otherwise, it
    cannot choose between bars. Measured."""
    tight_last: int = 40
    """Other parts left to it. Measured."""
    tight_aside_nodes: int = 60
    """Nodes of it. Measured: two seconds."""
    tight_copies: int = 10
    """Copies of a part, on average, from which on that is also done where an LP uses whole numbers of bars, with more
    parts left: most of its bars are whole there. Own choice."""
    tight_doubled: int = 3
    """How often twice as many parts are left then. Measured: of three jobs of 10,000 parts that were open, one ends at
    its bound with 160 parts left and one with 330."""

    # Bars of few parts without waste.
    full_parts: int = 3
    """Parts of nearly every bar, three at most. Measured: sets of more are too many."""
    full_bars: int = 500
    """Bars up to which plans without waste are looked for among bars of so many parts: two or three seconds. Own
    choice."""
    full_more: float = 0.2
    """Parts that a bar holds beyond those, on average, up to which that is done. Own choice."""
    full_listed: int = 20_000
    """Sets of two and three parts that fill a bar, beyond which that is not tried. Own choice."""
    full_spare: float = 0.05
    """How much a packing by such bars counts less for every part that it leaves out, as a factor. Measured, as the
    next."""
    full_spare_first: float = 1e-4
    """The same for parts that are to be placed first, because all others have more of a measure in common."""
    full_damping: float = 0.6
    """How much of a message stays as it was, as an exponent. Own choice: sets of three overshoot with less than a
    half."""
    full_said: float = 1e-3
    """Change of a message below which it counts as told. Own choice."""
    full_rounds: int = 200
    """Rounds of messages before the first bar is taken. Own choice."""
    full_rounds_again: int = 40
    """Rounds of messages after each further one. Own choice."""
    full_end: int = 20
    """Parts to be placed first of which the last are placed by an integer program. Measured."""
    full_back: int = 10
    """Bars that are given back, and so many more each time, where it finds none. Own choice."""
    full_backs: int = 4
    """How often that is done. Own choice."""
    full_effort: float = 0.5
    """Deterministic time of each such integer program. Own choice."""
    full_worth: int = 1_000
    """What a set counts there, if it is no longer than most; a likely one counts twice as much. Own choice."""
    full_rest: int = 20
    """Bars that are left to an integer program at the end, which fills all but one. Measured."""
    full_rest_again: float = 0.7
    """Of so many, how many are left when that is tried again, if it found none. Own choice."""
    full_rest_effort: float = 0.25
    """Deterministic time of that one. Measured: what it finds it mostly finds in less than that."""
    full_first: int = 2
    """How often all this is tried before an LP is solved. Measured: of Delorme's instances three of four need one."""
    full_tries: int = 8
    """How often in all, where that finds none. Own choice."""
    full_spread: float = 1.0
    """How widely chances are varied by luck from the second time on, as a power of two. Own choice."""

    # Integer programs.
    whole_columns: int = 4_000
    """Known columns that an integer program is given. Own choice."""
    root_effort: float = 0.1
    """Deterministic time of the integer program over the root's columns. Own choice."""
    node_effort: float = 0.3
    """The same in a node whose bar counts are whole. Own choice."""
    last_effort: float = 4.0
    """The same in a node whose bar counts cannot be branched on further. Own choice."""
    listed_effort: float = 8.0
    """The same over enumerated patterns. Own choice."""

    # Reduced-cost enumeration.
    listed_first: int = 10_000
    """Patterns enumerated before a list is given up, at the start of a group with one source. Own choice."""
    listed: int = 40_000
    """The same for nodes set aside. Own choice: CP-SAT decides most lists of that length in seconds."""
    listed_cells: int = 16_000_000
    """Cells of the completion tables, above which enumeration is not tried: 128 MB. Own choice."""
    sets_per_pattern: int = 4
    """Sets begun that are kept for each pattern that may be listed; more than one, as some grow into none. Own
    choice."""
    parted: int = 20_000
    """Parts placed while a set is shared out among so many pieces of a length that is cut for the carry; beyond that it
    counts as one that cannot be, and nothing is proven by search. Own choice: thousandths of a second."""
    parted_mitres: int = 300
    """The same where parts are mitred, and what each way of sharing them out takes depends on their order. Own
    choice."""
    parted_further: int = 2
    """Pieces more than need be that a length is then cut into at most. Own choice: a bound tells two more apart."""
    pieces_listed: int = 12_000
    """Sets for pieces of lengths cut for the carry, and patterns of lengths beside them, that are listed. Measured:
    CP-SAT decides so many in seconds."""
    pieces_few: int = 800
    """The same where first only those are listed that cost least by the duals, so that a plan is found in less than a
    second if there is one of them. Own choice."""
    pieces_few_effort: float = 0.5
    """Deterministic time of the integer program over those. Own choice."""
    pieces_widened: int = 3
    """How many times as many are listed, for as much more effort, where nothing is found. Own choice."""
    narrowing: float = 0.75
    """How much narrower a gap is made until what is listed within it is so little. Own choice."""
    pieces_narrowed: int = 12
    """How many gaps are tried for pieces of lengths. Own choice."""
    pieces_effort: float = 2.0
    """Deterministic time of the integer program over them. Own choice."""
    pieces_last_effort: float = 8.0
    """The same in a node whose bar counts cannot be branched on further. Measured: of four jobs of 20 lengths that were
    open after 2, two end at their bound."""
    short_first: int = 300
    """Patterns that a plan is first looked for among, where more than ``listed_first`` are of use. Measured, as the
    next."""
    short_listed: int = 450
    """The same after that. Measured: over 800 CP-SAT finds none as cheap in several times as long."""
    short_effort: float = 4.0
    """Deterministic time of the integer program over each: three seconds. Own choice."""
    short_narrowed: int = 16
    """How many gaps are tried for so few. Own choice."""
    replanned_bars: int = 12
    """Bars of a plan that are planned anew together, at least. Own choice."""
    replanned_more: int = 2
    """How many more are, as long as it is known that there is no cheaper plan for those. Own choice."""
    replanned_listed: int = 15_000
    """Patterns of each source that they are planned anew of. Measured on two jobs of 40 lengths: the plans are as cheap
    as of 40,000, which take three times as long to list."""
    replanned_narrowed: int = 16
    """How many gaps are tried for so few. Own choice."""
    replanned_patterns: int = 500
    """Of those, how many that cost least by the duals of the LP for some bars a plan of these is looked for among.
    Measured, as the next, on the same jobs: with 800 and 30,000 the same plan of one is found in twice the time."""
    replanned_widened: int = 4
    """How many times as many, where that search went through all of those. Measured on a job of 40 lengths whose plan
    is 31 mm of scrap cheaper so; all that are of use took another four times as long."""
    replanned_states: int = 5_000
    """Different rests to cover that such a search goes on from."""
    replanned_tries: int = 40
    """How often bars are drawn in vain before that is given up: some three seconds. Own choice."""
    listed_with_kept: int = 20_000
    """Sets, those whose left over is kept too, up to which a list for branching has these. Own choice."""
    listed_sets: int = 100_000
    """Sets, parts of full ones too, that a list for branching may have: four times as many may be begun, which is what
    the checker goes along with."""
    listed_work: int = 12_000_000_000
    """Work on branching over the list of one node, in cells of pricing tables: half a minute. Own choice."""
    kept_listed: int = 20_000
    """Patterns of the parts that are left where all bars but those whose left over is kept are known. Own choice."""
    kept_effort: float = 1.0
    """Deterministic time of the integer program over them. Measured: of 27 parts on nine bars it takes a tenth of a
    second."""
    listed_node_cells: int = 2
    """Cells of a pricing table that are filled in the time that an LP over a list takes, for each pattern and part.
    Measured."""
    listed_begun: int = 100
    """Patterns of each source that such an LP begins with. Own choice."""
    listed_more: int = 30
    """Patterns that it is given at a time. Own choice."""
    listed_known: int = 6
    """Ways to branch over a list that are tried because they came out well before. Measured with the two figures below
    on two jobs of 40 lengths: twice as many of each leave nodes open after 24 s that end in 9 and 11 s so, and half as
    many take 3 and 6 s longer."""
    listed_fresh: int = 10
    """Ways that are tried because their number is most fractional. Measured."""
    listed_patience: int = 4
    """Ways tried in vain before the best so far is taken. Measured."""
    gap_slack: float = 1e-6
    """What is added to the gap for floating point, as a fraction of the cutoff. Own choice."""
    finished: int = 2_000
    """Patterns enumerated for what is left of a dive. Own choice."""
    finished_effort: float = 0.1
    """Deterministic time of the integer program over them. Own choice."""
    finished_cells: int = 3_000_000
    """Parts left times steps of the longest bar up to which a dive's end is enumerated. Own choice."""
    finished_again: float = 0.8
    """Parts left, as a fraction of those when a dive's end was last enumerated, below which that is tried again. Own
    choice."""
    finished_pieces: int = 200
    """Parts left of a dive up to which patterns of few parts are enumerated. Own choice."""
    finished_few: int = 8_000
    """How many of those. Own choice."""
    few_effort: float = 2.0
    """Deterministic time of the integer program over them. Own choice."""
    few_from: int = 3
    """Least parts that "patterns of few parts" are limited to. Own choice."""
    few_up_to: int = 11
    """Most parts that they are limited to, one more at a time. Own choice: triplets need 3, others 4 or 5."""

    # Column generation.
    coarse_steps: int = 12_000
    """Steps of the longest bar in the rounded-up grid that finds most columns; the exact grid only finishes. Own
    choice."""
    reduced_cost: float = 1e-7
    """Reduced costs below this fraction of the dearest bar count as none: GLOP's own tolerance is of that size."""
    fine_reduced_cost: float = 1e-12
    """The same where the bound is that near to the target that the last digits decide: where every bar has to be full,
    an LP may cost 1e-10 of a bar more than whole bars, or less. Measured on Delorme's instances."""
    margin: float = 1e-11
    """How far above the dearest cost of use a bound is called beyond it, as a fraction of the dearest bar, besides what
    whole duals may lose. Measured on Delorme's instances."""
    others: int = 100
    """Columns a round and source beyond the best one; more of them slow the LP down more than they help. Measured on
    Scholl's third set."""
    capped_pieces: int = 200
    """Different parts from which on the first LP may at first leave parts out for little more than their length is
    worth. Measured: with fewer, of sets of Schoenfield's, some took longer."""
    cap: float = 1e-3
    """How much more than that, as a fraction. Measured on Delorme's instances; a fiftieth takes a third longer."""
    corners: int = 8
    """Optimal duals looked for besides those at hand, to take the mean of. Own choice."""
    corner_rounds: int = 12
    """Rounds of column generation for each of them. Own choice."""
    corner_raise: float = 1e-4
    """Most by which a demand is raised to find them, as a fraction. Own choice."""
    row_cells: int = 4_000
    """Cells of a table that are filled in the time it takes to begin with a part. Measured."""
    pivot_cells: int = 80
    """Cells that are filled in the time a step of the simplex method takes for each part. Measured."""

    # Mitres whose shared cuts pricing does not see.
    apart_share: float = 0.5
    """Of the time that is left, what a plan without them may be looked for, to begin with. Own choice."""
    apart_kinds: int = 8
    """Kinds of parts, by their ends, up to which such a plan is looked for. Own choice."""

    # Bounds.
    most_steps: int = 1_500_000
    """Steps a bar may have before the working step is made coarser than the common divisor, and beyond which exact
    fills are not worked out. The checker goes through as many (`checking`)."""
    state_steps: int = 3_000_000
    """Steps that all states of sets may have side by side. The checker goes through as many (`checking`)."""
    table_cells: int = 400_000_000
    """Cells of a pricing table, a byte each, above which the working step is made coarser too. Own choice: 400 MB."""
    first_cells: int = 60_000_000
    """Cells of a table that is worked through in tenths of a second: groups of more begin with a bound in coarser
    steps. Measured."""
    missing: float = 1e-9
    """Parts left out by an LP solution above which they count as left out. Own choice."""
    raises: int = 3
    """How often the penalty for leaving parts out is raised in one node. Own choice."""
    raise_factor: int = 2
    """How many times what seems needed it is raised by. Own choice."""
    most_raised: int = 1_000
    """How many times its first value the penalty may become. Own choice: duals must stay summable in 64 bits."""
    length_bounds: int = 3
    """Dual feasible functions whose duals are tried without an LP, the most promising first. Own choice."""
    divisions: int = 4
    """Of a bar into equal lengths whose borders a dual feasible function counts: 1 is halves. Own choice."""
    shortest_tried: int = 16
    """Lengths below which a dual feasible function leaves parts aside, in turn. Own choice."""
    divisions_few: int = 1
    """Divisions once time is up. Own choice."""
    shortest_few: int = 1
    """Lengths to leave shorter parts aside once time is up. Own choice."""

    # Exchanges.
    exchanges: int = 20_000
    """Exchanges of two bars looked at for one group: all of them on usual jobs, in hundredths of a second. Own
    choice."""
    exchange_pieces: int = 20
    """Different parts up to which that many are looked at; with more, each takes longer and there are fewer. Own
    choice."""
    shared_by: int = 3
    """Pieces of the rack, lying unused, that may share the parts of one bar. Own choice."""

    # Batches.
    whole_pieces: int = 1_500
    """Different parts up to which a group is searched as a whole. Measured: time and memory grow with the square."""
    batch_pieces: int = 250
    """About how many different parts there are in a batch, where that is not too many counts. Own choice."""
    batch_counts: int = 2_500_000
    """Different parts of a group times those of a batch: first plans of all batches take about a second then.
    Measured."""
    batch_least: int = 100
    """Different parts of a batch below which another bar for each, as parts dealt out need it, costs too much. Own
    choice."""

    # The rest of a plan that was begun.
    anew_share: float = 0.5
    """Of the time there is, what planning all of it anew may take where bars could stay. Own choice."""

    # Merchants.
    charging: int = 8
    """Merchants with fixed charges up to which every set of them is bounded. Own choice: 256 sets."""
    free_cut_sets: int = 7
    """Sets of merchants whose cuts for the carry count nothing that are tried where some are free: all of three."""
    brief_nodes: int = 40
    """Nodes of bar counts where a bound at multipliers need not be the best. Own choice."""
    weighing: float = 0.25
    """Fraction of the time for a job that is kept for weighing merchants' charges, where there are any. Own choice."""
    planes: int = 12
    """LPs of all groups that are solved for one set of merchants; with two minimum orders five or six are usual."""
    multiplier_denominator: int = 1_000_000
    """Largest denominator of a multiplier. Own choice."""
    plane_gap: float = 1e-7
    """Fraction of the bound by which planes and bound may differ at the end. Own choice."""

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if value < 0:
                raise ValueError(f"{field.name} is {value}; 0 or more is accepted")


def read_parameters(path: Path) -> Parameters:
    """Parameters from a TOML file of ``name = number``; what it does not name stays as it is.

    Raises
    ------
    Refused
        When the file is no TOML, names what is no parameter, or holds no number of the right kind.
    """
    import tomllib

    try:
        given = tomllib.loads(path.read_text(encoding="utf-8"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as broken:
        raise Refused(
            path.name, "a TOML file of lines such as nodes = 100", str(broken), code="parameters.file"
        ) from broken
    usual = Parameters()
    kinds = {field.name: type(getattr(usual, field.name)) for field in fields(usual)}
    for name, value in given.items():
        if name not in kinds:
            raise Refused(
                name, "a parameter of the search, such as nodes = 100", nearest(name, kinds), code="parameters.unknown"
            )
        whole = isinstance(value, int) and not isinstance(value, bool)
        if not (whole or (kinds[name] is float and isinstance(value, float))) or not value >= 0:
            example = "0 or more, such as 0.5" if kinds[name] is float else "a whole number of 0 or more, such as 100"
            raise Refused(f"{name} = {value}", example, code="parameters.value")
    return Parameters(**{name: kinds[name](value) for name, value in given.items()})

"""The studies of workbook 09, each in its cell: what is flown, and what is shown of it.

Each can be stopped, keeps what was found until then, and leaves a picture and words in the
workbook.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from mplan.checks.finding import Finding
from mplan.checks.remedies import for_findings
from mplan.plan import Plan
from mplan.show import notebook
from mplan.show import odds as shown_odds
from mplan.show import sensitivities as shown
from mplan.show import sizing as shown_sizing
from mplan.show import trades as shown_trades
from mplan.show.drawn.figure import Drawing, Picture
from mplan.show.drawn.palette import Theme
from mplan.show.notebook import Words, sentence, together
from mplan.show.odds import driver_bars
from mplan.show.odds import words as words_of_odds
from mplan.show.panels.in_cell import NOTHING, Study, Telling
from mplan.show.reached import asks_climb, asks_splash
from mplan.show.sensitivities import ratio_bars
from mplan.show.sensitivities.tornado import drawing as tornado
from mplan.show.sizing import words as words_of_sizing
from mplan.show.to_change import asked, chosen, remedy_bars
from mplan.studies import odds, sizing, trades
from mplan.studies.odds import Odds
from mplan.studies.sensitivities import differences
from mplan.studies.sensitivities import exchange as ratios_of
from mplan.studies.sensitivities.differences import Sensitivities
from mplan.studies.sensitivities.exchange import Ratio
from mplan.studies.sizing import Sizing, freed, measures
from mplan.studies.trades import Trades
from mplan.studies.trades.models import Best

Shown = tuple[Picture | Words, Words, str]

NO_STOP = "Nothing stops the flight and no decision is open: there is nothing to remedy."
BETTER: Mapping[str, Best] = {"tightest margin": "most", "time from lift-off to the end": "least"}
NO_DISPERSIONS = (
    "The scenario states no [dispersions]: nothing is drawn, and no odds are told. Write the "
    'table, for example with dry_mass = "0.5 %".'
)
NO_LOAD = "No element ends with margin to spare: name in FREE what may change."
FLIGHTS = 150  # of a search for the least, at most
NO_RATIO = "No engine's margin can be kept by its propellant: no ratio arises."
NO_MISSION_YET = "No mission was flown until then."
NO_CASE_YET = "No case was flown until then."
NO_RATIO_YET = "No ratio was flown until then: what keeps the margins is flown first."


def remedies(plan: Plan, *, theme: Theme | None = None) -> Study | Words:
    """Return flights of changes against what stops the flight or asks a decision, with prices."""
    if not any(each.rank < 2 for each in plan.findings):
        return sentence(NO_STOP)

    def work(telling: Telling) -> tuple[Finding, ...]:
        return for_findings(
            plan.flight,
            plan.findings,
            done=telling.progress,
            so_far=telling.fill,
            stopped=telling.stopped,
        )

    def show(found: tuple[Finding, ...]) -> Shown:
        told = remedy_bars.summary(found)
        worked = [x for x in found if x.rank < 2 and not x.cause]
        words = notebook.findings(replace(plan, findings=tuple(worked)))
        if not remedy_bars.changes(found):
            return sentence(told), words, told
        return _picture(remedy_bars.drawing(found, theme), plan, "remedies"), words, told

    return Study("Fly remedies", "{} of at most {} flights", work, show)


@asks_climb
def sensitivities(plan: Plan, burn: str = "", *, theme: Theme | None = None) -> Study | Words:
    """Return flights of a unit more and less of each thing: what it does to a burn's margin.

    That of the tightest burn, if none is named; ArgumentError for a burn without a margin.
    """
    known = differences.margins(plan.flight)
    if not known:
        return sentence("No burn has a margin: nothing can be felt in one.")
    burn = asked.burn("burn", burn, known)

    def work(telling: Telling) -> Sensitivities:
        return differences.of(
            plan, done=telling.progress, so_far=telling.fill, stopped=telling.stopped
        )

    def show(found: Sensitivities) -> Shown:
        drawn, words = tornado(found, burn, theme), shown.felt(found, burn)
        if words.frame.empty:
            return sentence(drawn.summary), NOTHING, drawn.summary
        return _picture(drawn, plan, "sensitivities"), words, drawn.summary

    return Study("Fly a unit of each", "{} of {} variations", work, show)


@asks_splash
def exchange(plan: Plan, *, theme: Theme | None = None) -> Study | Words:
    """Return flights of a kilogram more of each element, paid with propellant."""

    def work(telling: Telling) -> list[Ratio]:
        return ratios_of.of(plan, done=telling.progress, stopped=telling.stopped)

    def show(found: Sequence[Ratio]) -> Shown:
        told = ratio_bars.summary(found)
        if not found:
            why = NO_RATIO_YET if ratios_of.payers(plan.flight) else NO_RATIO
            return sentence(why), NOTHING, why
        drawn = ratio_bars.drawing(found, theme)
        return _picture(drawn, plan, "exchange"), shown.exchange(found), told

    return Study("Fly exchange ratios", "{} of {} flights", work, show)


def sized(
    plan: Plan,
    free: Sequence[str] = (),
    least: str = "lift-off-mass",
    flights: int = FLIGHTS,
    *,
    theme: Theme | None = None,
) -> Study | Words:
    """Return the search for the least lift-off mass, cost or height over what is freed.

    Where nothing is named in `free`, loads of the elements that end with the most margin are.
    At most so many `flights` are spent. ScenarioError for what cannot be freed, ArgumentError for
    what is no list of keys and no count.
    """
    keys = asked.texts("free", free) or chosen.freed(plan)
    most = asked.whole("flights", flights)
    if not keys:
        return sentence(NO_LOAD)
    freed.read(plan.scenario, keys)
    measures.measure(least, plan.scenario)

    def work(telling: Telling) -> Sizing:
        return sizing.of(
            plan.scenario,
            keys,
            least,
            most=most,
            done=telling.progress,
            so_far=telling.say,
            stopped=telling.stopped,
        )

    def show(found: Sizing) -> Shown:
        told = words_of_sizing.told(found)
        tables = (shown_sizing.keys(found), shown_sizing.figures(found))
        words = together(*map(sentence, told), *tables)
        return shown_sizing.changed(found, theme=theme), words, told[0]

    return Study("Search the least", "{} of at most {} flights", work, show)


@asks_splash
def chances(plan: Plan, missions: int, *, theme: Theme | None = None) -> Study | Words:
    """Return flights of so many `missions`, drawn by [dispersions]: how likely the plan holds.

    A sentence where the scenario states no [dispersions]. ArgumentError for a count that is none.
    """
    if plan.scenario.dispersions is None:
        return sentence(NO_DISPERSIONS)
    count = asked.whole("missions", missions, odds.MOST)

    def work(telling: Telling) -> Odds:
        return odds.of(
            plan, count, done=telling.progress, so_far=telling.fill, stopped=telling.stopped
        )

    def show(found: Odds) -> Shown:
        if not found.flown:
            return sentence(NO_MISSION_YET), NOTHING, NO_MISSION_YET
        picture = shown_odds.probabilities(found, theme=theme)
        driven = driver_bars.chosen(found, "")
        tables = (shown_odds.burns(found), shown_odds.tanks(found), shown_odds.why_not(found))
        drivers = (shown_odds.driven(found, driven.figure),) if driven else ()
        notes = (words_of_odds.INTERVAL, words_of_odds.CARRY, *words_of_odds.NOT_DRAWN)
        return picture, together(*tables, *drivers, *map(sentence, notes)), picture.summary

    return Study("Fly drawn missions", "{} of {} missions", work, show)


@asks_splash
def traded(
    plan: Plan, values: Mapping[str, Sequence[object]] | None = None, *, theme: Theme | None = None
) -> Study | Words:
    """Return flights of all combinations of `values` by key, and which of them none beats.

    Better is more of the tightest margin, and less time to the end; climbs keep the steering of
    the plan. Without values, two keys of the scenario are traded. ScenarioError for keys that are
    not there, and for values that do not fit them; ArgumentError for what is no lists by key.
    """
    stated = {} if values is None else asked.lists("trade", values)
    study = trades.study_of(
        plan.scenario,
        stated or {x: list(y) for x, y in chosen.traded(plan.scenario).items()},
        climb="kept",
        tell=(*BETTER, "propellant, all burns"),
        objectives=BETTER,
    )

    def work(telling: Telling) -> Trades:
        return trades.of(study, done=telling.progress, so_far=telling.fill, stopped=telling.stopped)

    def show(found: Trades) -> Shown:
        if not found.rows:
            return sentence(NO_CASE_YET), NOTHING, NO_CASE_YET
        told = f"{shown_trades.summary(found)}."
        drawn = _picture(shown_trades.drawing(found, theme), plan, "trades")
        return drawn, shown_trades.cases(found), told

    return Study("Fly the trades", "{} of {} cases", work, show)


def _picture(drawing: Drawing, plan: Plan, name: str) -> Picture:
    return Picture(drawing, plan.scenario.source.stem, name)

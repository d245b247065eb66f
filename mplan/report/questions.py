"""The questions that the report of a mission answers, each with one sentence read off its plan."""

from __future__ import annotations

from collections.abc import Iterable

from mplan.checks import contact as checked
from mplan.checks import limits
from mplan.comparing import dates
from mplan.contingencies.ways_out.cells import cabins_of
from mplan.glancing import glanced
from mplan.plan import Plan
from mplan.report.chapters import ChapterQuestion
from mplan.scenario.severity import WAYS_OUT
from mplan.show import (
    contact,
    counters,
    gist,
    lunar_orbits,
    reached,
    readiness,
)
from mplan.show import limits as written
from mplan.show.mission import burn_bars
from mplan.studies import cards

LIVED_ON = ("supply", "storage for waste", "energy")


def _sentence(parts: Iterable[str]) -> str:
    """Return lines of a plan as one sentence; "" for none."""
    text = "; ".join(filter(None, parts))
    return f"{text[0].upper()}{text[1:].rstrip('.')}." if text else ""


def _before_climb(plan: Plan) -> str:
    return reached.why_not(plan.flight, reached.climb)


def _before_end(plan: Plan) -> str:
    return reached.why_not(plan.flight, reached.splash)


def counted(plan: Plan) -> str:
    """Return how many findings stop the flight, ask a decision, and inform."""
    ranks = [finding.rank for finding in plan.findings]
    stops, open_, told = (ranks.count(rank) for rank in range(3))
    gaps = sum(finding.check == WAYS_OUT for finding in plan.findings)
    stopped = f"{_number(stops, 'finding')} stop{'s' * (stops == 1)} the flight"
    decisions = f"{_number(open_, 'decision')} {'is' if open_ == 1 else 'are'} open"
    return _sentence(
        [
            stopped if stops else "nothing stops the flight",
            decisions if open_ else "no decision is open",
            f"{_number(told, 'finding')} {'is' if told == 1 else 'are'} for information"
            if told
            else "",
            f"{_number(gaps, 'gap')} in the ways out, told below, counted in" if gaps else "",
        ]
    )


def _number(count: int, what: str) -> str:
    return f"{count} {what}{'s' * (count != 1)}"


def _burns(plan: Plan) -> str:
    return burn_bars.summary(plan)


def _events(plan: Plan) -> str:
    told = [f"{each.name} {each.when:%Y-%m-%d %H:%M} UTC" for each in dates.of(plan)]
    return _sentence(told) or "No date is known: the flight ends before it is on its way."


def _pad(plan: Plan) -> str:
    return _sentence([gist.on_the_pad(plan)])


def _climb(plan: Plan) -> str:
    return _sentence([gist.climb(plan)])


def _leaving(plan: Plan) -> str:
    return _sentence([gist.departure(plan), gist.arrival(plan)])


def _moon(plan: Plan) -> str:
    return _sentence([lunar_orbits.line(plan), gist.landing(plan), gist.rendezvous(plan)])


def _homeward(plan: Plan) -> str:
    return _sentence([gist.splash(plan)])


def _entry(plan: Plan) -> str:
    return _sentence([gist.entry(plan)])


def _supplies(plan: Plan) -> str:
    rows = limits.tightest([x for x in limits.of(plan.flight) if x.kind in LIVED_ON])
    told = (f"{row.kind}: {row.name}, {written.left(row)} left" for row in rows)
    return _sentence(told) or "Nobody lives on supplies or stored energy in this mission."


def _ways(plan: Plan) -> str:
    if not cabins_of(plan.flight):
        return "Nobody is aboard: nobody to bring home."
    gaps = [each for each in plan.findings if each.check == WAYS_OUT]
    more = f"{len(gaps) - 1} more gap{'s' * (len(gaps) != 2)} below" if len(gaps) > 1 else ""
    clear = "a way out is open of every stretch that was examined, whichever of the five fails"
    return _sentence([gaps[0].text, more] if gaps else [clear])


def _counters(plan: Plan) -> str:
    return _sentence(counters.lines(plan)[:1]) or "Nothing is counted: no engine was lit."


def _links(plan: Plan) -> str:
    return _sentence([contact.link_sentence(checked.of(plan.flight)) or contact.NO_LINKS])


def _ready(plan: Plan) -> str:
    return _sentence([readiness.summary(readiness.every_row(glanced(plan)))])


def _cards(plan: Plan) -> str:
    return f"{cards.count(plan)} cards, in order of time."


def _basis(plan: Plan) -> str:
    scenario = plan.scenario
    return f"The same file, {scenario.source.name} (hash {scenario.hash}), gives the same numbers."


QUESTIONS = (
    ChapterQuestion("found", "What was found, and what would mend it?", counted),
    ChapterQuestion("burns", "Does every burn have its propellant?", _burns, _before_climb),
    ChapterQuestion("events", "What happens when, and where?", _events, _before_climb),
    ChapterQuestion("pad", "Does it fit on the pad, and where does every metre go?", _pad),
    ChapterQuestion(
        "climb",
        "Does it reach its orbit, and what if something fails?",
        _climb,
        _before_climb,
    ),
    ChapterQuestion("leaving", "When can it leave, and which way?", _leaving, _before_end),
    ChapterQuestion("moon", "Can it stay at the Moon, land, and come back up?", _moon, _before_end),
    ChapterQuestion("homeward", "How and when does it come home?", _homeward, _before_end),
    ChapterQuestion("entry", "Does the crew come through the entry?", _entry, _before_end),
    ChapterQuestion("ways", "Is there a way out if something fails?", _ways, _before_end),
    ChapterQuestion("supplies", "Do supplies, power and thrusters last?", _supplies, _before_end),
    ChapterQuestion(
        "counters", "Is anything used more often than it may be?", _counters, _before_climb
    ),
    ChapterQuestion("links", "Do radio links close?", _links, _before_climb),
    ChapterQuestion("ready", "Is it ready to launch?", _ready, _before_climb),
    ChapterQuestion(
        "cards", "What is done at each burn and event, and if it fails?", _cards, _before_climb
    ),
    ChapterQuestion("basis", "How far do these numbers hold?", _basis, titled=True),
)

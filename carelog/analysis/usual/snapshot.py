"""What was noticed so far as JSON, to go on from later without reading the years before.

Derived, deletable, outside the hashes. It holds numbers, not entries: the days of the window are read again
from the entries in force. Going on from it gives what a replay of the whole record gives.
"""

from collections.abc import Mapping
from dataclasses import asdict, fields

from carelog.analysis.flags_ledger import Ledger
from carelog.analysis.usual.channel import Sum
from carelog.analysis.usual.drift import Recent
from carelog.analysis.usual.learning import Spell
from carelog.analysis.usual.lives import Episode
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.threshold import Thresholds
from carelog.analysis.usual.usual import Rate
from carelog.domain.entry import Json
from carelog.domain.flag import Level

VERSION = 1


def keep(noticing: Noticing) -> Json:
    """What can't be read again from the entries of the window."""
    diary, course, drift = noticing.diary, noticing.course, noticing.drift
    return {
        "version": VERSION,
        "head": noticing.head,
        "today": noticing.today,
        "fired": noticing.fired,
        "restarted": noticing.restarted,
        "oldest": diary.oldest,
        "dirty": diary.dirty,
        "pruned_days": diary.pruned_days,
        "recorders": dict(diary.recorders),
        "spells": [[spell.first, spell.last, list(spell.groups)] for spell in noticing.spells],
        "first_judged": course.first_judged,
        "resets": {name: list(moments) for name, moments in course.resets.items()},
        "ends": {str(day): _sums(sums) for day, sums in course.ends.items()},
        "drift": {
            "reference": asdict(drift.reference) if drift.reference else None,
            "learnt": drift.learnt,
            "recent": asdict(drift.recent) if drift.recent else None,
            "sum": _sum(drift.sum),
        },
        "newest": [_episode(each) for each in noticing.lives.newest.values()],
    }


def _sums(sums: Mapping[str, Sum]) -> Json:
    return {name: _sum(each) for name, each in sums.items()}


def _sum(found: Sum) -> Json:
    return [found.value, found.since, list(found.parts)]


def _episode(episode: Episode) -> Json:
    found = {each.name: getattr(episode, each.name) for each in fields(episode)}
    return {
        **found,
        "level": int(episode.level),
        "channels": sorted(episode.channels),
        "entries": list(episode.entries),
    }


def restore(kept: Mapping[str, Json], ledger: Ledger, thresholds: Thresholds) -> Noticing:
    """Go on from what was kept; the ledger holds the entries in force of the window and all standing ones."""
    noticing = Noticing(thresholds)
    noticing.head, noticing.today = kept["head"], kept["today"]
    noticing.fired, noticing.restarted = kept["fired"], kept["restarted"]
    noticing.spells[:] = [Spell(first, last, tuple(groups)) for first, last, groups in kept["spells"]]
    diary, course, drift = noticing.diary, noticing.course, noticing.drift
    diary.oldest = kept["oldest"]
    diary.read(ledger.held, ledger.home, ledger.plans)
    diary.pruned_days, diary.recorders = kept["pruned_days"], dict(kept["recorders"])
    diary.dirty = kept["dirty"]
    course.first_judged = kept["first_judged"]
    course.resets = {name: list(moments) for name, moments in kept["resets"].items()}
    course.ends = {
        int(day): {name: _sum_of(each) for name, each in sums.items()} for day, sums in kept["ends"].items()
    }
    drift.reference = _rate_of(kept["drift"]["reference"])
    drift.learnt = kept["drift"]["learnt"]
    drift.recent = Recent(**kept["drift"]["recent"]) if kept["drift"]["recent"] else None
    drift.sum = _sum_of(kept["drift"]["sum"])
    for each in kept["newest"]:
        noticing.lives.remember(_episode_of(each))
    return noticing


def _sum_of(kept: Json) -> Sum:
    value, since, parts = kept
    return Sum(value, since, tuple(parts))


def _rate_of(kept: Json) -> Rate | None:
    if kept is None:
        return None
    return Rate(**{**kept, "shares": tuple(kept["shares"]), "clockwork": tuple(kept["clockwork"])})


def _episode_of(kept: Json) -> Episode:
    return Episode(
        **{
            **kept,
            "level": Level(kept["level"]),
            "channels": set(kept["channels"]),
            "entries": dict.fromkeys(kept["entries"]),
        }
    )

"""All flags at a moment, kept as plain values: which entries are still read, and what isn't in them.

It is derived from the record, deletable, and outside the hashes. It names entries by their ids only; its size
doesn't grow with the record: the entries of the last recorded days, the standing kinds whole, and of the
others what some rule may still read.
"""

from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import fields

from carelog.analysis.flags.frozen import Unreadable, freeze, thaw
from carelog.analysis.flags.ledger import Ledger, start_place
from carelog.analysis.flags.life import NEVER, Episode, Life
from carelog.analysis.flags.replay import SEEN_AFTER, Replay, groups
from carelog.analysis.flags.statistics import Whole
from carelog.analysis.usual.noticing import Noticing
from carelog.analysis.usual.threshold import Thresholds, thresholds
from carelog.domain.entry import Entry, Json
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H, Instant
from carelog.kinds import ALL as KINDS

VERSION = 4
NO_TABLES = Thresholds((), (), {}, {})
EDGE = 8 * DAY_24_H
"""Rules look back 7 days at most from an entry; so nearer to the cut than this nothing is judged anew."""
KEPT_DAYS = 60
"""Recorded days, and days, of which every entry is kept; blood looks back on 45 recorded days."""
STANDING = ("person", "plan", "stay", "gap", "tube_change", "decannulation")
WITH_STATISTICS = ("cuff_leak", "inner_tube_blocking")
"""Flags on what was written that are told as one with those by statistics that overlap them."""
ENDED_KEPT = SEEN_AFTER + 2 * DAY_24_H


def cut_of(ledger: Ledger, now: Instant) -> Instant:
    """From when on every entry is kept."""
    if len(ledger.days) <= KEPT_DAYS:
        return -NEVER
    day = min(ledger.days[-KEPT_DAYS], ledger.day(now - KEPT_DAYS * DAY_24_H))
    return ledger.home.start_of(day)


def keep(whole: Whole) -> dict[str, Json]:
    """Everything that another start needs, as plain values."""
    replay = whole.replay
    ledger, cut = replay.ledger, cut_of(replay.ledger, replay.now)
    roots = set(ledger.newer_roots(cut))
    roots.update(held.first.id for kind in STANDING for held in ledger.of(kind))
    roots.update(root for desk in replay.desks.values() for root in desk.tracker.needs(cut))
    roots.update(_looked(replay, cut))
    roots.update(_newest_of_each(ledger, cut))
    return {
        "version": VERSION,
        "now": replay.now,
        "cut": cut,
        "ids": sorted(ledger.ids_of(roots)),
        "days": ledger.days_before(cut, KEPT_DAYS),
        "last_known": ledger.last_known,
        "last_entries": list(ledger.last_entries),
        "open": [
            _kept(life.open) for desk in replay.desks.values() for life in desk.lives.values() if life.open
        ],
        "ended": [_kept(episode) for episode in replay.ended if _is_kept(replay, episode)],
        "memory": {name: desk.tracker.memory(cut) for name, desk in replay.desks.items()},
        "last_raised": replay.last_raised,
        "noticing": _noticing_kept(whole.noticing),
    }


def _newest_of_each(ledger: Ledger, cut: Instant) -> Iterable[str]:
    """The newest entry of each kind with each of its values: a later plan may ask when that was last done."""
    for kind in KINDS:
        seen: set[tuple[str, str | bool]] = set()
        for held in ledger.shelf(kind.name).backward(start_place(cut)):
            given = {item for item in held.entry.details.items() if isinstance(item[1], str | bool)}
            values = {("", kind.does(held.entry.details)), *given}
            if not values <= seen:
                seen |= values
                yield held.first.id


def _looked(replay: Replay, cut: Instant) -> Iterable[str]:
    """Who looked at a flag in force, who told of a sign that is kept, the first entry that gives a zone."""
    for held in replay.ledger.of("seen"):
        if replay.in_force(held.entry.details["rule"], held.entry.details.get("subject")) is not None:
            yield held.first.id
    for (rule, subject), tolds in replay.tolds.items():
        signs = [s for s in replay.desks[rule].tracker.kept_signs(cut) if s.subject == subject]
        yield from (told.root for told in tolds if any(told.covers(sign) for sign in signs))
    first = replay.ledger.first_zoned
    if first is not None:
        yield first.first.id


def _is_kept(replay: Replay, episode: Episode) -> bool:
    """Whether an ended flag is still shown, or a stoma flag in force leans on it."""
    stoma = replay.in_force("stoma_worse", None)
    ended = episode.cleared_at or 0
    leans = stoma is not None and episode.rule == "temperature" and ended >= stoma.raised_at
    is_joined = episode.rule in WITH_STATISTICS
    start = cut_of(replay.ledger, replay.now) if is_joined else replay.now - ENDED_KEPT
    return leans or ended > start


def _kept(episode: Episode) -> Json:
    """An episode as JSON."""
    found = {each.name: getattr(episode, each.name) for each in fields(episode)}
    return {
        **found,
        "level": int(episode.level),
        "entries": list(episode.entries),
        "seen": list(episode.seen),
    }


def _episode(kept: Mapping[str, Json]) -> Episode:
    level, known = kept["shown"]
    return Episode(
        **{
            **kept,
            "level": Level(kept["level"]),
            "shown": (Level(level), known),
            "entries": dict.fromkeys(kept["entries"]),
            "seen": dict.fromkeys(kept["seen"]),
            "members": dict(kept["members"]),
        }
    )


def restore(kept: Mapping[str, Json], entries: Iterable[Entry]) -> Whole:
    """The state that was kept, as it was; `entries` are those that it names."""
    whole = Whole()
    whole.noticing = _noticing(kept["noticing"], kept["now"])
    _restore(kept, entries, whole.replay)
    return whole


def _restore(kept: Mapping[str, Json], entries: Iterable[Entry], replay: Replay) -> None:
    ledger, now = replay.ledger, kept["now"]
    ledger.cut = kept["cut"]
    for known, group in groups(entries):
        ledger.take(group, known)
    ledger.read_home()
    ledger.recall_days(kept["days"])
    replay.now = now
    replay.ended = [_episode(each) for each in kept["ended"]]
    for episode in replay.ended:
        replay.remember(episode)
    for each in kept["open"]:
        _open(replay, _episode(each))
    replay.read_again(now)
    for name, desk in replay.desks.items():
        desk.tracker.recall(kept["memory"].get(name))
    ledger.last_known, ledger.last_entries = kept["last_known"], tuple(kept["last_entries"])
    replay.last_raised = kept["last_raised"]
    replay.wait(now)


def _noticing_kept(noticing: Noticing) -> bytes:
    """The statistics' own state, without the tables that come with the program."""
    plain = copy(noticing)
    plain.thresholds = NO_TABLES
    return freeze(plain)


def _noticing(kept: bytes, now: Instant) -> Noticing:
    found = thaw(kept)
    if not isinstance(found, Noticing):
        raise Unreadable(type(found).__name__)
    found.thresholds = thresholds()
    found.lives.ended = [each for each in found.lives.ended if (each.cleared_at or now) > now - ENDED_KEPT]
    return found


def _open(replay: Replay, episode: Episode) -> None:
    desk = replay.desks[episode.rule]
    life = desk.lives.setdefault(episode.subject, Life(desk.tracker.rule, episode.subject, desk.keep))
    life.open = episode

"""The care plan on paper: who set it and since when, all that it says in sentences, the plans before it."""

from collections.abc import Iterator, Sequence
from datetime import date

from carelog.analysis.people import person
from carelog.analysis.pictures import Columns
from carelog.analysis.revision import PAPER_ARROW, revision_of
from carelog.analysis.sentences import Passage, passages
from carelog.analysis.times import full_day
from carelog.domain.entry import Entry
from carelog.domain.plan import Plan
from carelog.kinds.plan import PLAN
from carelog.sheet.blocks import Block, Content, Facts, Handwriting, Heading, Item, Points, words
from carelog.sheet.flagged import alert
from carelog.sheet.head import LANGUAGE, banner, feet, phone
from carelog.sheet.material import Material, print_mark
from carelog.sheet.standing import tube_words, unknown, when
from carelog.text import mark, say

MOST_EARLIER = 12
_NONE = mark("No plan is recorded: no limit is set, and nothing is asked for.")
_SINCE = mark("From {since}, set by {who}: {changes}")
_MORE = mark("{count} plans before these stand in the record.")


def plan_content(found: Material, entries: Sequence[Entry], _columns: Columns) -> Content:
    """The plan in force at the sheet's moment, one sentence a line."""
    plans = [each for each in found.review.plans if each.since < found.period.judged]
    plan = plans[-1] if plans else None
    title = say(PLAN.title)
    return Content(
        title=title,
        subtitle=_subtitle(found, plan),
        running=f"{title} · {full_day(found.period.days[-1])} · {found.name}",
        feet=feet(found, print_mark(found, entries)),
        blocks=(_head(found), *_body(found, plan), *_others(found, plans), *_signing()),
        banner=banner(found),
        alert=alert(found),
        language=say(LANGUAGE),
    )


def _subtitle(found: Material, plan: Plan | None) -> str:
    if plan is None:
        return say(_NONE)
    words_ = say(mark("Set by {who}, in force since {since}"))
    return words_.format(who=plan.details.get("set_by", ""), since=when(found, plan.since))


def _head(found: Material) -> Facts:
    born = found.person.get("born")
    contacts = [f"{held.entry.details['role']}: {phone(held.entry.details)}" for held in found.contacts]
    return Facts(
        (
            (say(mark("Name")), words(found.name, bold=True)),
            (say(mark("Born")), words(full_day(date.fromisoformat(born)) if born else unknown())),
            (say(mark("Tube in place")), words("; ".join(part for part in tube_words(found) if part))),
            (say(mark("Contacts")), words("; ".join(contacts) or say(mark("no contact recorded")))),
        )
    )


def _body(found: Material, plan: Plan | None) -> Iterator[Block]:
    if plan is None:
        return
    is_adult = person(found.reading).is_adult(found.period.days[-1]) is True
    for each in passages(plan.details, is_adult=is_adult):
        yield Heading(each.title)
        yield Points(tuple(_items(each)))


def _items(passage: Passage) -> Iterator[Item]:
    """What is set, a line each; then what isn't, as it stands."""
    for each in passage.sentences:
        if each.is_set:
            first, *rest = each.words.splitlines() or [""]
            yield Item(words(first), under=tuple(words(line) for line in rest))
    left = [each.words for each in passage.sentences if not each.is_set]
    if left:
        yield Item(words("; ".join(left)))


def _others(found: Material, plans: Sequence[Plan]) -> Iterator[Block]:
    """The plans in their order, the newest first, each with what it changed."""
    if len(plans) < 2:
        return
    known = found.review.plans
    yield Heading(say(mark("All plans, newest first")))
    shown = list(reversed(plans))[:MOST_EARLIER]
    items = [
        say(_SINCE).format(
            since=when(found, each.since),
            who=each.details.get("set_by", ""),
            changes=revision_of(known, each.entry, PAPER_ARROW) or "",
        )
        for each in shown
    ]
    if len(plans) > len(shown):
        items.append(say(_MORE).format(count=len(plans) - len(shown)))
    yield Points(tuple(Item(words(each)) for each in items))


def _signing() -> Iterator[Block]:
    labels = ((say(mark("Read and agreed: name and signature")), 0.7), (say(mark("Date")), 0.3))
    yield Handwriting(labels, 2)

"""Details for people: where they name other kinds, tasks or rules, the titles of those stand instead."""

from carelog.analysis.times import day_words, week_words
from carelog.domain.entry import Details, Json
from carelog.domain.field import KIND_NAME, RULE_NAME, WEEK, Date, Field, Group, ListOf, Type
from carelog.kinds import named_or_unknown, task_title
from carelog.kinds.plan import TASK
from carelog.text import say


def with_titles(kind: str, details: Details) -> Details:
    """Details of a kind as people read them; what this version doesn't know stays as it is."""
    return _of(named_or_unknown(kind).fields, details)


def with_days(kind: str, details: Details) -> Details:
    """Details with days and weeks as people write them; rows keep the file's form, which finds them."""
    found = dict(details)
    for each in named_or_unknown(kind).fields:
        if each.name in details and each.type.problem(details[each.name]) is None:
            if each.type is WEEK:
                found[each.name] = week_words(details[each.name])
            elif each.type == Date():
                found[each.name] = day_words(details[each.name])
    return found


def _of(fields: tuple[Field, ...], details: Details) -> Details:
    titled = {each.name: _titled(each.type, details[each.name]) for each in fields if each.name in details}
    return {**details, **titled}


def _titled(type_: Type, value: Json) -> Json:
    if type_ is KIND_NAME:
        return say(named_or_unknown(value).title)
    if type_ is RULE_NAME:
        return rule_title(value)
    if type_ is TASK:
        title = task_title(value["kind"], value.get("where", {}))
        return {**{name: each for name, each in value.items() if name != "where"}, "kind": title}
    if isinstance(type_, ListOf):
        return [_titled(type_.item, each) for each in value]
    return _of(type_.fields, value) if isinstance(type_, Group) else value


def rule_title(name: str) -> str:
    """What people call a rule; one that this version doesn't know keeps its name."""
    from carelog.analysis.rules.table import RULES  # with the first flag that somebody looked at

    return next((say(rule.title) for rule in RULES if rule.name == name), name)
